/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The calendar of ISO 8601: Gregorian, leap years included. */
#include "base/day.h"

#include <stdio.h>
#include <string.h>

#include "base/text.h"

static int days_in(int year, int month)
{
	static const int days[] = {31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31};
	bool leap = year % 4 == 0 && (year % 100 != 0 || year % 400 == 0);

	return month == 2 && leap ? 29 : days[month - 1];
}

static int number(const char *text, size_t digits)
{
	int value = 0;

	for (size_t i = 0; i < digits; i++)
		value = 10 * value + (text[i] - '0');
	return value;
}

static bool has_shape(const char *text)
{
	for (size_t i = 0; i < FW_DAY - 1; i++)
		if (i == 4 || i == 7 ? text[i] != '-' : !fw_ascii_is_digit(text[i]))
			return false;
	return text[FW_DAY - 1] == '\0';
}

bool fw_day_check(const char *text)
{
	if (!text || !has_shape(text))
		return false;
	int year = number(text, 4), month = number(text + 5, 2), day = number(text + 8, 2);
	return year >= 1 && month >= 1 && month <= 12 && day >= 1 && day <= days_in(year, month);
}

bool fw_day_of(char out[FW_DAY], const char *at)
{
	snprintf(out, FW_DAY, "%s", at ? at : "");
	if (fw_day_check(out))
		return true;
	out[0] = '\0';
	return false;
}

void fw_day_next(char out[FW_DAY], const char *day)
{
	int year = number(day, 4), month = number(day + 5, 2), date = number(day + 8, 2) + 1;

	if (date > days_in(year, month)) {
		date = 1;
		month++;
	}
	if (month > 12) {
		month = 1;
		year++;
	}
	if (year > 9999)
		memcpy(out, "9999-12-31", FW_DAY);
	else
		snprintf(out, FW_DAY, "%04u-%02u-%02u", (unsigned)year % 10000u, (unsigned)month % 100u,
		         (unsigned)date % 100u);
}
