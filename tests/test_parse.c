/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What people type: read right or refused with a reason; slips named; nothing typed does harm. */
#include <stdbool.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "check.h"
#include "fitwright/quantity.h"
#include "quantity/text.h"

static const struct fw_unit *unit_of(const char *spelling)
{
	return spelling ? fw_unit_find(spelling, strlen(spelling)) : NULL;
}

/* Expected numbers follow from the text by the definition of the units: they are counted in `unit`.
 */
static const struct {
	const char *typed, *prompt;
	double number;
	const char *unit;
} good[] = {
    {"0.41", "mm", 0.41, "mm"},
    {"16 thou", "mm", 16, "thou"},
    {"16thou", "mm", 16, "thou"},
    {".016\"", "mm", 0.016, "in"},
    {".016", "in", 0.016, "in"},
    {"0.016 in", NULL, 0.016, "in"},
    {"0.016in.", NULL, 0.016, "in"},
    {"0.001in", "mm", 0.001, "in"},
    {"0,41 mm", NULL, 0.41, "mm"},
    {"0,406", "mm", 0.406, "mm"},
    {"-0,406", "mm", -0.406, "mm"},
    {",406", "mm", 0.406, "mm"},
    {"12,5", "mm", 12.5, "mm"},
    {"1,2345", "mm", 1.2345, "mm"},
    {"1234,567", "mm", 1234.567, "mm"},
    {"1 3/8 in", NULL, 1.375, "in"},
    {"1-3/8 in", NULL, 1.375, "in"},
    {"-1 3/8\"", NULL, -1.375, "in"},
    {"5/16\"", NULL, 0.3125, "in"},
    {"5/16", "in", 0.3125, "in"},
    {"5\xE2\x81\x84"
     "16 in",
     NULL, 0.3125, "in"},
    {"½ in", NULL, 0.5, "in"},
    {"1½\"", NULL, 1.5, "in"},
    {"1 ¼ in", NULL, 1.25, "in"},
    {"2¾″", NULL, 2.75, "in"},
    {"⅜in", NULL, 0.375, "in"},
    {"-½", "in", -0.5, "in"},
    {"25 lbf·ft", "N·m", 25, "lbf·ft"},
    {"25 ft-lb", "N·m", 25, "lbf·ft"},
    {"25ft-lb", NULL, 25, "lbf·ft"},
    {"25 ft lbs", NULL, 25, "lbf·ft"},
    {"34Nm", "N·m", 34, "N·m"},
    {"34 nm", "N·m", 34, "N·m"},
    {"34 N\xC2\xB7m", NULL, 34, "N·m"},
    {"34 N\xC2\xA0m", NULL, 34, "N·m"},
    {"3.5 kgm", "N·m", 3.5, "kgf·m"},
    {"120 in-lb", "N·m", 120, "lbf·in"},
    {"120 ozf-in", "N·m", 120, "ozf·in"},
    {"-40 °F", NULL, -40, "°F"},
    {"-40F", "°C", -40, "°F"},
    {"20C", NULL, 20, "°C"},
    {"180°", "°C", 180, "°C"},
    {"180 deg", "°F", 180, "°F"},
    {"180 º", "°F", 180, "°F"},
    {"60 K", "K", 60, "K"},
    {"-5", "K", -5, "K"},
    {"90°", NULL, 90, "°"},
    {"90", "°", 90, "°"},
    {"15'", "°", 15, "arcmin"},
    {"15 min", "°", 15, "arcmin"},
    {"15 min", "s", 15, "min"},
    {"5'", "mm", 5, "ft"},
    {"5'", NULL, 5, "ft"},
    {"25 lb", "N", 25, "lbf"},
    {"25 lb", "kg", 25, "lb"},
    {"3 kg", "N", 3, "kgf"},
    {"\xE2\x88\x92"
     "0.41",
     "mm", -0.41, "mm"},
    {"\xE2\x80\x93"
     "0.41",
     "mm", -0.41, "mm"},
    {"+0.41", "mm", 0.41, "mm"},
    {"-0.0", "mm", 0, "mm"},
    {"  0.41\t\n", "mm", 0.41, "mm"},
    {"0.41\xE2\x80\x89mm", NULL, 0.41, "mm"},
    {"\xC2\xA0"
     "0.41\xE2\x80\xAFmm\xC2\xA0",
     NULL, 0.41, "mm"},
    {"406 \xC2\xB5m", "mm", 406, "µm"},
    {"406 \xCE\xBCm", "mm", 406, "µm"},
    {"406um", "mm", 406, "µm"},
    {"12 microns", "mm", 12, "µm"},
    {"0.406 MM", NULL, 0.406, "mm"},
    {"1e-3 m", NULL, 1e-3, "m"},
    {"4.1E-1", "mm", 0.41, "mm"},
    {"4,1e-1", "mm", 0.41, "mm"},
    {"1e\xE2\x88\x92"
     "3 m",
     NULL, 1e-3, "m"},
    {"5.", "mm", 5, "mm"},
    {"5.mm", NULL, 5, "mm"},
    {"007", "mm", 7, "mm"},
    {"0.0000000000000000000000000000000000000000000000000001", "m", 1e-52, "m"},
    {"32 psi", "bar", 32, "psi"},
    {"2 kg/cm2", "bar", 2, "kgf/cm²"},
    {"10 N/mm²", NULL, 10, "MPa"},
    {"12.5%", "1", 12.5, "%"},
    {"0.14", "1", 0.14, "1"},
    {"3000rpm", NULL, 3000, "rpm"},
    {"450 cc", "ml", 450, "cc"},
    {"1.2 L", NULL, 1.2, "L"},
    {"24 hrs", "min", 24, "h"},
};

static void what_people_type_is_read(void **state)
{
	(void)state;
	struct fw_error error;

	for (size_t i = 0; i < sizeof good / sizeof good[0]; i++) {
		struct fw_quantity q;
		struct fw_quantity expected;
		fw_error_clear(&error);
		if (fw_quantity_parse(&q, good[i].typed, unit_of(good[i].prompt), &error) != FW_OK)
			fail_msg("\"%s\": %s", good[i].typed, error.text);
		if (strcmp(q.unit->symbol, good[i].unit) != 0)
			fail_msg("\"%s\" read in %s", good[i].typed, q.unit->symbol);
		assert_ok(fw_quantity_make(&expected, good[i].number, unit_of(good[i].unit), &error));
		if (q.value != expected.value)
			fail_msg("\"%s\" read as %.17g, not %.17g", good[i].typed, q.value, expected.value);
		assert_int_equal(q.count, 0);
	}
}

static const struct {
	const char *typed, *prompt;
	int code;
	const char *says;
} bad[] = {
    {"", "mm", FW_ERR_INPUT, "nothing"},
    {" \t ", "mm", FW_ERR_INPUT, "nothing"},
    {"\xC2\xA0\xE2\x80\x89", "mm", FW_ERR_INPUT, "nothing"},
    {"mm", "mm", FW_ERR_INPUT, "number"},
    {"abc", "mm", FW_ERR_INPUT, "number"},
    {"nan", "mm", FW_ERR_INPUT, "number"},
    {"NaN mm", "mm", FW_ERR_INPUT, "number"},
    {"inf", "mm", FW_ERR_INPUT, "number"},
    {"-infinity", "mm", FW_ERR_INPUT, "number"},
    {"0x10", "mm", FW_ERR_INPUT, "x10"},
    {"0x1p-3", "mm", FW_ERR_INPUT, "x1p-3"},
    {"1e400", "mm", FW_ERR_INPUT, "too large"},
    {"1e99999999999", "mm", FW_ERR_INPUT, "too large"},
    {"1e-400", "mm", FW_ERR_INPUT, "too small"},
    {"1e308 ksi", NULL, FW_ERR_INPUT, "too large"},
    {"5e-324", "mm", FW_ERR_INPUT, "too small"},
    {"1,234", "mm", FW_ERR_INPUT, "comma"},
    {"12,345 mm", "mm", FW_ERR_INPUT, "comma"},
    {"123,456", "mm", FW_ERR_INPUT, "comma"},
    {"-1,234", "mm", FW_ERR_INPUT, "comma"},
    {"1,234e3", "mm", FW_ERR_INPUT, "comma"},
    {"1,234,567", "mm", FW_ERR_INPUT, "comma"},
    {"1,234.5", "mm", FW_ERR_INPUT, "comma"},
    {"1.234,5", "mm", FW_ERR_INPUT, "decimal sign"},
    {"1.2.3", "mm", FW_ERR_INPUT, "decimal sign"},
    {"0,1,2", "mm", FW_ERR_INPUT, "decimal sign"},
    {"1 234.5", "mm", FW_ERR_INPUT, "234.5"},
    {"1 234", "mm", FW_ERR_INPUT, "234"},
    {"5 1", "1", FW_ERR_INPUT, "from \"1\" on"},
    {"5,", "mm", FW_ERR_INPUT, "\",\""},
    {".", "mm", FW_ERR_INPUT, "number"},
    {"-", "mm", FW_ERR_INPUT, "number"},
    {"- 5", "mm", FW_ERR_INPUT, "number"},
    {"--5", "mm", FW_ERR_INPUT, "number"},
    {"+-5", "mm", FW_ERR_INPUT, "number"},
    {"e5", "mm", FW_ERR_INPUT, "number"},
    {"1e", "mm", FW_ERR_INPUT, "\"e\""},
    {"1e5e5", "mm", FW_ERR_INPUT, "\"e5\""},
    {"5/0 in", NULL, FW_ERR_INPUT, "fraction"},
    {"1 3/0 in", NULL, FW_ERR_INPUT, "fraction"},
    {"1 9/8 in", NULL, FW_ERR_INPUT, "fraction"},
    {"1/2/3", "in", FW_ERR_INPUT, "\"/3\""},
    {"1.5/2", "in", FW_ERR_INPUT, "/2"},
    {"1.5 3/8", "in", FW_ERR_INPUT, "3/8"},
    {"1/1234567", "in", FW_ERR_INPUT, "fraction"},
    {"½½", "in", FW_ERR_INPUT, "½"},
    {"5 / 16", "in", FW_ERR_INPUT, "/ 16"},
    {"5", NULL, FW_ERR_INPUT, "unit is missing"},
    {"5 furlong", "mm", FW_ERR_INPUT, "write mm, thou, in"},
    {"5 mm x", "mm", FW_ERR_INPUT, "\"mm x\""},
    {"5 mm 3", "mm", FW_ERR_INPUT, "\"mm 3\""},
    {"5 mm; drop", "mm", FW_ERR_INPUT, "; drop"},
    {"5 mil", "mm", FW_ERR_INPUT, "thou or mm"},
    {"5 mils", "mm", FW_ERR_INPUT, "thou or mm"},
    {"2 tenths", "mm", FW_ERR_INPUT, "thou or mm"},
    {"5 mPa", "MPa", FW_ERR_INPUT, "MPa"},
    {"5' 3\"", "mm", FW_ERR_INPUT, "' 3"},
    {"5-mm", "mm", FW_ERR_INPUT, "-mm"},
    {"5 m m", "mm", FW_ERR_INPUT, "m m"},
    {"0.41 ± 0.01 mm", "mm", FW_ERR_INPUT, "±"},
    {"0.3-0.4", "mm", FW_ERR_INPUT, "-0.4"},
    {"\xFF\xFE", "mm", FW_ERR_INPUT, "??"},
    {"5 m\xFFm", "mm", FW_ERR_INPUT, "m?m"},
    {"5 \xE2\x80", "mm", FW_ERR_INPUT, "??"},
    {"5 \xC0\xAFmm", "mm", FW_ERR_INPUT, "??mm"},
    {"5 \xED\xA0\x80", "mm", FW_ERR_INPUT, "???"},
    {"5\x01mm", "mm", FW_ERR_INPUT, "?mm"},
    {"٣ mm", "mm", FW_ERR_INPUT, "number"},
    {"-300 °C", NULL, FW_ERR_INPUT, "absolute zero"},
    {"-500 °F", "°C", FW_ERR_INPUT, "absolute zero"},
    {"5 Nm", "mm", FW_ERR_DIMENSION, "torque"},
    {"5 Nm", "in", FW_ERR_DIMENSION, "length in in"},
    {"5 mm", "N·m", FW_ERR_DIMENSION, "length"},
    {"25 lbs", "N·m", FW_ERR_DIMENSION, "mass"},
    {"5 ft", "°", FW_ERR_DIMENSION, "angle"},
    {"80 °C", "K", FW_ERR_DIMENSION, "difference"},
    {"90°", "mm", FW_ERR_DIMENSION, "angle"},
    {"5 %", "mm", FW_ERR_DIMENSION, "plain number"},
    {"99999999999999999999999999999999999999999", "mm", FW_ERR_INPUT, "too many digits"},
    {"0.99999999999999999999999999999999999999999", "mm", FW_ERR_INPUT, "too many digits"},
};

static bool is_utf8(const char *text)
{
	const char *end = text + strlen(text);
	while (text < end) {
		uint32_t c = fw_utf8_next(&text, end);
		if (c == FW_UTF8_BAD || c < ' ')
			return false;
	}
	return true;
}

static void what_cannot_be_read_is_refused_with_a_reason(void **state)
{
	(void)state;
	struct fw_error error;

	for (size_t i = 0; i < sizeof bad / sizeof bad[0]; i++) {
		struct fw_quantity q = {.value = 42};
		fw_error_clear(&error);
		int code = fw_quantity_parse(&q, bad[i].typed, unit_of(bad[i].prompt), &error);
		if (code != bad[i].code)
			fail_msg("\"%s\": %d (%s), value %g", bad[i].typed, code, error.text, q.value);
		if (!strstr(error.text, bad[i].says))
			fail_msg("\"%s\": \"%s\" does not say \"%s\"", bad[i].typed, error.text, bad[i].says);
		assert_true(is_utf8(error.text));
		assert_near(q.value, 42, 0);
	}
	assert_code(fw_quantity_parse(NULL, NULL, NULL, &error), FW_ERR_ARGUMENT);
	assert_int_equal(fw_quantity_parse(NULL, "x", NULL, NULL), FW_ERR_INPUT);
}

static void long_text_is_refused(void **state)
{
	(void)state;
	static const char fillers[] = "15 .,/-e\"m\xC2";
	struct fw_error error;
	struct fw_quantity q;
	char *text = malloc(10001);

	assert_non_null(text);
	text[10000] = '\0';
	for (const char *filler = fillers; *filler; filler++) {
		memset(text, *filler, 10000);
		assert_code(fw_quantity_parse(&q, text, unit_of("mm"), &error), FW_ERR_INPUT);
		assert_null(fw_unit_find(text, 10000));
	}
	memset(text, ' ', 10000);
	text[9999] = '5';
	assert_code(fw_quantity_parse(&q, text, unit_of("mm"), &error), FW_ERR_INPUT);
	free(text);
}

static void kelvins_at_a_scale_are_a_point(void **state)
{
	(void)state;
	struct fw_error error;
	struct fw_quantity q;

	assert_ok(fw_quantity_parse(&q, "293.15 K", unit_of("°C"), &error));
	assert_string_equal(q.unit->symbol, "°C");
	assert_near(q.value, 293.15, 1e-12); /* 20 °C, by definition */
}

/* splitmix64, public domain */
static uint64_t draw(uint64_t *seed)
{
	uint64_t z = *seed += 0x9E3779B97F4A7C15U;
	z = (z ^ (z >> 30)) * 0xBF58476D1CE4E5B9U;
	z = (z ^ (z >> 27)) * 0x94D049BB133111EBU;
	return z ^ (z >> 31);
}

/* What fw_number_text() writes, the parser reads as the same double; metres need no factor. */
static void numbers_written_are_read_back(void **state)
{
	(void)state;
	struct fw_error error;
	uint64_t seed = 7;
	int done = 0;

	while (done < 10000) {
		uint64_t bits = draw(&seed);
		double value;
		char text[32];
		struct fw_quantity q;
		memcpy(&value, &bits, sizeof value);
		if (!isfinite(value))
			continue;
		fw_number_text(value, text, sizeof text);
		assert_ok(fw_quantity_parse(&q, text, unit_of("m"), &error));
		if (q.value != value)
			fail_msg("%s read as %.17g", text, q.value);
		done++;
	}
}

/* Changes a few bytes of `text`, which has room for `room`. */
static void mutate(char *text, size_t room, uint64_t *seed)
{
	static const char spice[] =
	    "0123456789.,+-/eE \"'%mNlbftinCFK\xC2\xB0\xB5\xBD\xE2\x80\x89\x88\xFF\xF0_^*";
	size_t changes = 1 + draw(seed) % 4;

	while (changes-- > 0) {
		size_t length = strlen(text);
		size_t at = draw(seed) % (length + 1);
		char with =
		    draw(seed) % 4 ? spice[draw(seed) % (sizeof spice - 1)] : (char)(1 + draw(seed) % 255);
		switch (draw(seed) % 3) {
		case 0:
			if (at < length)
				text[at] = with;
			break;
		case 1:
			if (length + 1 < room) {
				memmove(text + at + 1, text + at, length - at + 1);
				text[at] = with;
			}
			break;
		default:
			if (at < length)
				memmove(text + at, text + at + 1, length - at);
		}
	}
}

/* Either a finite quantity of the prompt's dimension or an error that says something. */
static void check_outcome(const char *text, const struct fw_unit *prompt, bool *read)
{
	struct fw_error error = {0};
	struct fw_quantity q;
	char buffer[64];
	char slip[512];

	size_t length = strlen(text);
	char *exact = malloc(length + 1); /* so that a read past the end is seen */
	assert_non_null(exact);
	memcpy(exact, text, length + 1);
	int code = fw_quantity_parse(&q, exact, prompt, &error);
	free(exact);
	*read = code == FW_OK;
	if (code != FW_OK) {
		assert_true(code == FW_ERR_INPUT || code == FW_ERR_DIMENSION);
		assert_true(error.text[0] != '\0' && is_utf8(error.text));
		return;
	}
	assert_true(isfinite(q.value) && q.unit);
	assert_true(!prompt || fw_dimension_equal(q.dimension, prompt->dimension));
	assert_true(strlen(fw_quantity_text(&q, true, buffer, sizeof buffer)) < 63);
	if (fw_quantity_implausible(&q, 0, 1e-3, slip, sizeof slip))
		assert_true(is_utf8(slip) && slip[0] != '\0');
}

static void mutated_text_does_no_harm(void **state)
{
	(void)state;
	static const char *const prompts[] = {"mm", NULL, "N·m", "°C", "°", "1", "N"};
	uint64_t seed = 1;
	size_t count_read = 0;
	size_t total = 150000;
	size_t goods = sizeof good / sizeof good[0];
	size_t bads = sizeof bad / sizeof bad[0];

	for (size_t i = 0; i < total; i++) {
		char text[128];
		size_t from = draw(&seed) % (goods + bads);
		snprintf(text, sizeof text, "%s",
		         from < goods ? good[from].typed : bad[from - goods].typed);
		mutate(text, sizeof text, &seed);
		bool read;
		check_outcome(text, unit_of(prompts[i % 7]), &read);
		count_read += read;
	}
	/* both ways must have been tried a good many times */
	assert_in_range(count_read, total / 50, total / 2);
}

/* Slips of the trade; common practice, no source. Limits in the unit of the prompt. */
static void likely_slips_are_named(void **state)
{
	(void)state;
	static const struct {
		const char *typed, *prompt;
		double low, high;
		const char *says;
	} table[] = {
	    {"55", "mm", 0, 3, "55 mm is far outside 0 mm to 3 mm; did you mean 55 thou?"},
	    {"16", "mm", 0.2, 0.6, "did you mean 16 thou?"},
	    {"0.016", "mm", 0.2, 0.6, "did you mean 0.016 in?"},
	    {"406", "mm", 0.2, 0.6, "did you mean 406 µm?"},
	    {"4.06", "mm", 0.2, 0.6, "did you mean 0.406 mm?"},
	    {"0.041", "mm", 0.2, 0.6, "did you mean 0.41 mm?"},
	    {"-0.41", "mm", 0.2, 0.6, "did you mean 0.41 mm?"},
	    {"0.41", "in", 0.008, 0.024, "did you mean 0.41 mm?"},
	    {"16", "in", 0.008, 0.024, "did you mean 16 thou?"},
	    {"0.016", "thou", 8, 24, "did you mean 0.016 in?"},
	    {"0.41", "thou", 8, 24, "did you mean 0.41 mm?"},
	    {"160", "thou", 8, 24, "did you mean 16 thou?"},
	    {"16 mm", "thou", 8, 24, "did you mean 16 thou?"},
	    {"16\"", "mm", 0.2, 0.6,
	     "16 in is far outside 0.007874 in to 0.02362 in; did you mean 16 thou?"},
	    {"250", "N·m", 20, 40, "did you mean 250 lbf·in?"},
	    {"25", "N·m", 30, 40, "25 N·m is outside 30 N·m to 40 N·m; did you mean 25 lbf·ft?"},
	    {"3", "N·m", 20, 40, "did you mean 3 kgf·m?"},
	    {"212", "°C", 80, 120, "did you mean 212 °F?"},
	    {"100", "°F", 200, 220, "did you mean 100 °C?"},
	    {"30", "bar", 1.8, 2.4, "did you mean 30 psi?"},
	    {"7777777", "mm", 0.2, 0.6, "check the reading"},
	};
	struct fw_error error;
	char says[256];

	for (size_t i = 0; i < sizeof table / sizeof table[0]; i++) {
		const struct fw_unit *prompt = unit_of(table[i].prompt);
		struct fw_quantity q;
		assert_ok(fw_quantity_parse(&q, table[i].typed, prompt, &error));
		double low = table[i].low * prompt->factor + prompt->offset;
		double high = table[i].high * prompt->factor + prompt->offset;
		assert_true(fw_quantity_implausible(&q, low, high, says, sizeof says));
		if (!strstr(says, table[i].says))
			fail_msg("%s at a prompt for %s: \"%s\" does not say \"%s\"", table[i].typed,
			         table[i].prompt, says, table[i].says);
	}
}

static void plausible_readings_pass(void **state)
{
	(void)state;
	struct fw_error error;
	struct fw_quantity q;
	char says[256] = "old";

	assert_ok(fw_quantity_parse(&q, "0.41", unit_of("mm"), &error));
	assert_false(fw_quantity_implausible(&q, 0, 3e-3, says, sizeof says));
	assert_string_equal(says, "");
	assert_false(fw_quantity_implausible(&q, q.value, q.value, says, sizeof says));
	assert_false(fw_quantity_implausible(&q, -INFINITY, INFINITY, says, sizeof says));
	assert_true(fw_quantity_implausible(&q, 1e-3, INFINITY, says, sizeof says));
	assert_contains(says, "0.41 mm is far below 1 mm");
	assert_true(fw_quantity_implausible(&q, -INFINITY, 0.4e-3, says, sizeof says));
	assert_contains(says, "0.41 mm is above 0.4 mm");
	q.unit = NULL; /* SI, as after a calculation */
	assert_true(fw_quantity_implausible(&q, 1, 2, says, sizeof says));
	assert_contains(says, "0.00041 m is far outside 1 m to 2 m");
	q.dimension.mass = 3;
	assert_true(fw_quantity_implausible(&q, 1, 2, says, sizeof says));
	assert_contains(says, "m·kg^3");
}

int main(void)
{
	const struct CMUnitTest tests[] = {
	    cmocka_unit_test(what_people_type_is_read),
	    cmocka_unit_test(what_cannot_be_read_is_refused_with_a_reason),
	    cmocka_unit_test(long_text_is_refused),
	    cmocka_unit_test(kelvins_at_a_scale_are_a_point),
	    cmocka_unit_test(numbers_written_are_read_back),
	    cmocka_unit_test(mutated_text_does_no_harm),
	    cmocka_unit_test(likely_slips_are_named),
	    cmocka_unit_test(plausible_readings_pass),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
