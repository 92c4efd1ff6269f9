/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>

#include "solve/bearing/check.h"
#include "solve/length_text.h"

#define MICRON      1e-6
#define MM          1e-3
#define COUNT(rows) (sizeof(rows) / sizeof((rows)[0]))
#define ABSENT      (-1)

/* Clearances in µm for bores above that of the row before, up to `upto` mm. */
struct row {
	double upto;
	short limits[FW_CLEARANCE_GROUPS][2];
};

/* ISO 5753-1, deep groove ball bearings. Up to 100 mm read in three reprints; 100 to 180 mm in one
 * (C2 to C4) against memory; C5 above 100 mm and the last row from memory. */
static const struct row deep_groove[] = {
    {2.5,
     {{ABSENT, ABSENT}, {ABSENT, ABSENT}, {ABSENT, ABSENT}, {ABSENT, ABSENT}, {ABSENT, ABSENT}}},
    {6, {{0, 7}, {2, 13}, {8, 23}, {ABSENT, ABSENT}, {ABSENT, ABSENT}}},
    {10, {{0, 7}, {2, 13}, {8, 23}, {14, 29}, {20, 37}}},
    {18, {{0, 9}, {3, 18}, {11, 25}, {18, 33}, {25, 45}}},
    {24, {{0, 10}, {5, 20}, {13, 28}, {20, 36}, {28, 48}}},
    {30, {{1, 11}, {5, 20}, {13, 28}, {23, 41}, {30, 53}}},
    {40, {{1, 11}, {6, 20}, {15, 33}, {28, 46}, {40, 64}}},
    {50, {{1, 11}, {6, 23}, {18, 36}, {30, 51}, {45, 73}}},
    {65, {{1, 15}, {8, 28}, {23, 43}, {38, 61}, {55, 90}}},
    {80, {{1, 15}, {10, 30}, {25, 51}, {46, 71}, {65, 105}}},
    {100, {{1, 18}, {12, 36}, {30, 58}, {53, 84}, {75, 120}}},
    {120, {{2, 20}, {15, 41}, {36, 66}, {61, 97}, {90, 140}}},
    {140, {{2, 23}, {18, 48}, {41, 81}, {71, 114}, {105, 160}}},
    {160, {{2, 23}, {18, 53}, {46, 91}, {81, 130}, {120, 180}}},
    {180, {{2, 25}, {20, 61}, {53, 102}, {91, 147}, {135, 200}}},
    {200, {{2, 30}, {25, 71}, {63, 117}, {107, 163}, {150, 230}}},
};

/* ISO 5753-1, cylindrical roller bearings with cylindrical bore, read in two reprints. */
static const struct row cylindrical[] = {
    {24, {{0, 25}, {20, 45}, {35, 60}, {50, 75}, {65, 90}}},
    {30, {{0, 25}, {20, 45}, {35, 60}, {50, 75}, {70, 95}}},
    {40, {{5, 30}, {25, 50}, {45, 70}, {60, 85}, {80, 105}}},
    {50, {{5, 35}, {30, 60}, {50, 80}, {70, 100}, {95, 125}}},
    {65, {{10, 40}, {40, 70}, {60, 90}, {80, 110}, {110, 140}}},
    {80, {{10, 45}, {40, 75}, {65, 100}, {90, 125}, {130, 165}}},
    {100, {{15, 50}, {50, 85}, {75, 110}, {105, 140}, {155, 190}}},
    {120, {{15, 55}, {50, 90}, {85, 125}, {125, 165}, {180, 220}}},
    {140, {{15, 60}, {60, 105}, {100, 145}, {145, 190}, {200, 245}}},
    {160, {{20, 70}, {70, 120}, {115, 165}, {165, 215}, {225, 275}}},
    {180, {{25, 75}, {75, 125}, {120, 170}, {170, 220}, {250, 300}}},
    {200, {{35, 90}, {90, 145}, {140, 195}, {195, 250}, {275, 330}}},
};

const char *fw_clearance_group_name(enum fw_clearance_group group)
{
	static const char *const names[FW_CLEARANCE_GROUPS] = {"C2", "CN", "C3", "C4", "C5"};

	return (size_t)group < FW_CLEARANCE_GROUPS ? names[group] : "?";
}

/* The row for a bore; a nanometre over still counts as the bore itself. */
static const struct row *row_for(const struct row *rows, size_t count, double bore)
{
	for (size_t i = 0; i < count; i++) {
		if (bore <= rows[i].upto * MM + 1e-9)
			return &rows[i];
	}
	return NULL;
}

int fw_bearing_clearances(struct fw_clearance_range *out, enum fw_clearance_table table,
                          double bore, struct fw_error *err)
{
	bool balls = table == FW_CLEARANCE_DEEP_GROOVE;
	char text[FW_LENGTH_TEXT];

	if (!balls && table != FW_CLEARANCE_CYLINDRICAL)
		return fw_fail(err, FW_ERR_ARGUMENT, "bearing clearance: no such table");
	if (!fw_positive(bore))
		return fw_fail(err, FW_ERR_ARGUMENT,
		               "bearing clearance: the bore must be finite and above zero");
	if (!out)
		return fw_fail(err, FW_ERR_ARGUMENT, "bearing clearance: nowhere to put it");
	const struct row *row = balls ? row_for(deep_groove, COUNT(deep_groove), bore)
	                              : row_for(cylindrical, COUNT(cylindrical), bore);
	if (!row || row->limits[FW_GROUP_N][0] == ABSENT)
		return fw_fail(
		    err, FW_ERR_RANGE, "bearing clearance: a bore of %s is outside the table, %s 200 mm",
		    fw_length_text(bore, text, sizeof text), balls ? "above 2.5 mm to" : "up to");
	for (size_t i = 0; i < FW_CLEARANCE_GROUPS; i++) {
		bool absent = row->limits[i][0] == ABSENT;
		out[i].min = absent ? NAN : row->limits[i][0] * MICRON;
		out[i].max = absent ? NAN : row->limits[i][1] * MICRON;
	}
	return FW_OK;
}
