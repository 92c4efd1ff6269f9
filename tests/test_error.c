/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Messages: one line of UTF-8 that no quoted text can break up or steer a terminal with. */
#include <stdio.h>
#include <string.h>

#include "base/text.h"
#include "check.h"

static void a_message_is_formatted_and_its_code_returned(void **state)
{
	struct fw_error error = {0};
	(void)state;

	assert_int_equal(fw_fail(&error, FW_ERR_RANGE, "%s, size %d", "shim kit", 3), FW_ERR_RANGE);
	assert_int_equal(error.code, FW_ERR_RANGE);
	assert_string_equal(error.text, "shim kit, size 3");
	fw_error_prefix(&error, "line %d: ", 7);
	assert_string_equal(error.text, "line 7: shim kit, size 3");
	assert_int_equal(error.code, FW_ERR_RANGE);
	fw_error_clear(&error);
	assert_int_equal(error.code, FW_OK);
	assert_string_equal(error.text, "");
	assert_int_equal(fw_fail(NULL, FW_ERR_INPUT, "nobody listens"), FW_ERR_INPUT);
	fw_error_prefix(NULL, "nobody");
	fw_error_clear(NULL);
}

static void what_is_quoted_stays_on_one_line(void **state)
{
	static const struct {
		const char *quoted, *shown;
	} row[] = {
	    {"two\nlines\r\tand more", "two lines  and more"},
	    {"\x1b[2Jgone\x07\x7f", "?[2Jgone??"},
	    {"\xC2\x9B"
	     "2J",
	     "?2J"}, /* CSI of ISO/IEC 6429 in one character */
	    {"line\xE2\x80\xA8separator", "line separator"},
	    {"12 \xC2\xB5m", "12 \xC2\xB5m"},
	    {"half \xC2", "half "},
	    {"\xB5 tail \xC2|", "? tail ?|"},
	    {"\xC0\x8A\xED\xA0\x80\xFF", "??????"}, /* overlong, surrogate, no character at all */
	};
	struct fw_error error;
	(void)state;

	for (size_t i = 0; i < sizeof row / sizeof row[0]; i++) {
		fw_fail(&error, FW_ERR_INPUT, "%s", row[i].quoted);
		assert_string_equal(error.text, row[i].shown);
		fw_error_prefix(&error, "%s", row[i].quoted);
		assert_true(fw_utf8_check(error.text) && !strpbrk(error.text, "\n\r\t\x1b\x07\x7f"));
		assert_true(strlen(error.text) >= 2 * strlen(row[i].shown));
	}
	fw_fail(&error, FW_ERR_INPUT, "%.4s|", "12 \xC2\xB5m"); /* a precision counts bytes */
	assert_string_equal(error.text, "12 ?|");
}

/* Three bytes a character, at each phase of the end of the buffer. */
static void a_long_message_is_cut_between_characters(void **state)
{
	char text[3 * FW_ERROR_TEXT + 1] = "";
	struct fw_error error;
	(void)state;

	for (size_t i = 0; i < FW_ERROR_TEXT; i++)
		memcpy(text + 3 * i, "\xE2\x80\xA6", 4);
	for (size_t lead = 0; lead < 3; lead++) {
		fw_fail(&error, FW_ERR_INPUT, "%.*s%s", (int)lead, "aa", text);
		assert_true(fw_utf8_check(error.text));
		assert_int_equal(strlen(error.text), lead + (FW_ERROR_TEXT - 1 - lead) / 3 * 3);
		fw_error_prefix(&error, "b");
		assert_true(fw_utf8_check(error.text));
		assert_true(strlen(error.text) <= FW_ERROR_TEXT - 1);
		assert_true(strlen(error.text) >= FW_ERROR_TEXT - 3);
		fw_error_prefix(&error, "%s", text);
		assert_int_equal(strlen(error.text), (FW_ERROR_TEXT - 1) / 3 * 3);
	}
}

/* Characters of one to four bytes (RFC 3629, section 3), cut at each place. */
static void a_quotation_is_cut_between_characters(void **state)
{
	static const char text[] = "a\xC2\xB5\xE2\x80\xA6\xF0\x9F\x94\xA7";
	static const int fits[] = {0, 1, 1, 3, 3, 3, 6, 6, 6, 6, 10, 10};
	char cut[16];
	(void)state;

	for (int most = 0; most < 12; most++) {
		assert_int_equal(fw_utf8_fit(text, most), fits[most]);
		snprintf(cut, sizeof cut, "%.*s", most, text);
		fw_utf8_drop_cut(cut);
		assert_int_equal(strlen(cut), fits[most]);
	}
	assert_int_equal(fw_utf8_fit("\xFFz", 1), 1);
	assert_int_equal(fw_utf8_fit("", 5), 0);
}

static void letters_need_no_locale(void **state)
{
	(void)state;
	for (int c = 0; c < 256; c++) {
		char small = fw_ascii_lower((char)c);
		assert_int_equal((unsigned char)small, c >= 0x41 && c <= 0x5A ? c + 0x20 : c);
		assert_int_equal(fw_ascii_is_digit((char)c), c >= 0x30 && c <= 0x39);
	}
}

int main(void)
{
	const struct CMUnitTest tests[] = {
	    cmocka_unit_test(a_message_is_formatted_and_its_code_returned),
	    cmocka_unit_test(what_is_quoted_stays_on_one_line),
	    cmocka_unit_test(a_long_message_is_cut_between_characters),
	    cmocka_unit_test(a_quotation_is_cut_between_characters),
	    cmocka_unit_test(letters_need_no_locale),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
