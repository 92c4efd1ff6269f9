/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <stddef.h>

#include "base/text.h"
#include "solve/joint/thread_parse.h"

static bool is_word(char c)
{
	char small = fw_ascii_lower(c);

	return fw_ascii_is_digit(c) || (small >= 'a' && small <= 'z');
}

bool fw_skip_thread_word(const char **at, const char *word)
{
	const char *p = *at;

	for (; *word; word++, p++)
		if (fw_ascii_lower(*p) != *word)
			return false;
	if (is_word(*p))
		return false;
	fw_skip_blanks(&p);
	*at = p;
	return true;
}

/* "6H" of a nut is not "6h" of a bolt, which would be another fit: no either case here. */
static bool skip_exact(const char **at, const char *word)
{
	const char *p = *at;

	for (; *word; word++, p++)
		if (*p != *word)
			return false;
	if (is_word(*p) || *p == '/')
		return false;
	fw_skip_blanks(&p);
	*at = p;
	return true;
}

/* The one class a designation may carry: limits are those of the usual ones. */
static bool skip_class(const char **at, bool inch)
{
	static const char *const metric[] = {"6H/6g", "6g", "6H", NULL};
	static const char *const unified[] = {"2B/2A", "2A", "2B", NULL};

	for (const char *const *word = inch ? unified : metric; *word; word++)
		if (skip_exact(at, *word))
			return true;
	return false;
}

bool fw_read_thread_end(const char *at, bool inch, bool *left_hand)
{
	bool classed = false, handed = false;

	fw_skip_blanks(&at);
	while (*at != '\0') {
		if (*at == '-') {
			at++;
			fw_skip_blanks(&at);
		}
		if (!handed && fw_skip_thread_word(&at, "lh"))
			handed = true;
		else if (!handed && !classed && skip_class(&at, inch))
			classed = true;
		else
			return false;
	}
	*left_hand = handed;
	return true;
}
