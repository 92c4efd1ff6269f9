/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <string.h>

#include "cli/cli.h"

#define LONGEST 32

static unsigned least(unsigned a, unsigned b)
{
	return a < b ? a : b;
}

/* Slips of typing between two words: a letter too many, missing, wrong, or two changed over
 * (restricted Damerau-Levenshtein distance). */
static unsigned slips(const char *a, size_t a_length, const char *b, size_t b_length)
{
	unsigned rows[LONGEST + 1][LONGEST + 1];

	for (size_t i = 0; i <= a_length; i++)
		rows[i][0] = (unsigned)i;
	for (size_t j = 0; j <= b_length; j++)
		rows[0][j] = (unsigned)j;
	for (size_t i = 1; i <= a_length; i++) {
		for (size_t j = 1; j <= b_length; j++) {
			unsigned wrong = rows[i - 1][j - 1] + (a[i - 1] != b[j - 1]);
			rows[i][j] = least(wrong, least(rows[i - 1][j], rows[i][j - 1]) + 1);
			if (i > 1 && j > 1 && a[i - 1] == b[j - 2] && a[i - 2] == b[j - 1])
				rows[i][j] = least(rows[i][j], rows[i - 2][j - 2] + 1);
		}
	}
	return rows[a_length][b_length];
}

const char *fw_suggest(const char *typed, const char *(*name)(const void *list, size_t index),
                       const void *list, size_t count)
{
	const char *best = NULL;
	size_t length = strlen(typed);
	unsigned fewest = length < 5 ? 2 : 3; /* from here on it is another word */

	if (length == 0 || length > LONGEST)
		return NULL;
	for (size_t i = 0; i < count; i++) {
		const char *word = name(list, i);
		size_t word_length = strlen(word);
		if (word_length > LONGEST)
			continue;
		unsigned number = slips(typed, length, word, word_length);
		if (number < fewest) {
			fewest = number;
			best = word;
		}
	}
	return best;
}
