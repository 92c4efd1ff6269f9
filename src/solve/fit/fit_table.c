/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "solve/fit/fit_table.h"

#include <stddef.h>
#include <string.h>

/* ISO 286-1:2010, tables 1 to 5, by way of a public transcription of PN-EN ISO 286-1:2011
 * (odchylki.py; its misprints mended: IT15 of 30 to 50 mm, y of 14 to 18 mm). The printed values
 * are the standard: naive rounding of its formulas misses one in five.
 * tests/solve/test_fit_table.c holds them against a second transcription (DIN ISO 286-1) and
 * against the formulas. */

#define NONE 0 /* no fundamental deviation printed */

const double fw_fit_steps[FW_FIT_STEPS] = {3, 6, 10, 18, 30, 50, 80, 120, 180, 250, 315, 400, 500};

const double fw_fit_substeps[FW_FIT_SUBSTEPS] = {3,   6,   10,  14,  18,  24,  30,  40,  50,
                                                 65,  80,  100, 120, 140, 160, 180, 200, 225,
                                                 250, 280, 315, 355, 400, 450, 500};

/* clang-format off */
static const double tolerances[FW_FIT_STEPS][FW_FIT_GRADES] = {
    /* 01   0    1    2    3   4   5   6   7   8    9   10   11   12   13    14    15    16    17    18 */
    {0.3, 0.5, 0.8, 1.2, 2,   3,  4,  6,  10, 14, 25,  40,  60,  100, 140, 250,  400,  600,  1000, 1400},
    {0.4, 0.6, 1,   1.5, 2.5, 4,  5,  8,  12, 18, 30,  48,  75,  120, 180, 300,  480,  750,  1200, 1800},
    {0.4, 0.6, 1,   1.5, 2.5, 4,  6,  9,  15, 22, 36,  58,  90,  150, 220, 360,  580,  900,  1500, 2200},
    {0.5, 0.8, 1.2, 2,   3,   5,  8,  11, 18, 27, 43,  70,  110, 180, 270, 430,  700,  1100, 1800, 2700},
    {0.6, 1,   1.5, 2.5, 4,   6,  9,  13, 21, 33, 52,  84,  130, 210, 330, 520,  840,  1300, 2100, 3300},
    {0.6, 1,   1.5, 2.5, 4,   7,  11, 16, 25, 39, 62,  100, 160, 250, 390, 620,  1000, 1600, 2500, 3900},
    {0.8, 1.2, 2,   3,   5,   8,  13, 19, 30, 46, 74,  120, 190, 300, 460, 740,  1200, 1900, 3000, 4600},
    {1,   1.5, 2.5, 4,   6,   10, 15, 22, 35, 54, 87,  140, 220, 350, 540, 870,  1400, 2200, 3500, 5400},
    {1.2, 2,   3.5, 5,   8,   12, 18, 25, 40, 63, 100, 160, 250, 400, 630, 1000, 1600, 2500, 4000, 6300},
    {2,   3,   4.5, 7,   10,  14, 20, 29, 46, 72, 115, 185, 290, 460, 720, 1150, 1850, 2900, 4600, 7200},
    {2.5, 4,   6,   8,   12,  16, 23, 32, 52, 81, 130, 210, 320, 520, 810, 1300, 2100, 3200, 5200, 8100},
    {3,   5,   7,   9,   13,  18, 25, 36, 57, 89, 140, 230, 360, 570, 890, 1400, 2300, 3600, 5700, 8900},
    {4,   6,   8,   10,  15,  20, 27, 40, 63, 97, 155, 250, 400, 630, 970, 1550, 2500, 4000, 6300, 9700},
};

/* Letters whose value changes with the main steps only. */
static const char *const plain_names[] = {"cd", "d", "e", "ef", "f", "fg", "g", "h", "m", "n", "p"};
#define PLAIN (sizeof plain_names / sizeof plain_names[0])

/* cd, ef and fg: up to 10 mm, as in all editions. The edition of 2010 goes on to 50 mm; the two
 * transcriptions at hand don't agree there. h is all zeros and told apart by its name. */
static const short plain[FW_FIT_STEPS][PLAIN] = {
    /* cd    d    e   ef    f  fg   g  h   m   n   p */
    {  34,  20,  14,  10,   6,  4,  2, 0,  2,  4,  6},
    {  46,  30,  20,  14,  10,  6,  4, 0,  4,  8, 12},
    {  56,  40,  25,  18,  13,  8,  5, 0,  6, 10, 15},
    {NONE,  50,  32, NONE, 16, NONE, 6, 0,  7, 12, 18},
    {NONE,  65,  40, NONE, 20, NONE, 7, 0,  8, 15, 22},
    {NONE,  80,  50, NONE, 25, NONE, 9, 0,  9, 17, 26},
    {NONE, 100,  60, NONE, 30, NONE, 10, 0, 11, 20, 32},
    {NONE, 120,  72, NONE, 36, NONE, 12, 0, 13, 23, 37},
    {NONE, 145,  85, NONE, 43, NONE, 14, 0, 15, 27, 43},
    {NONE, 170, 100, NONE, 50, NONE, 15, 0, 17, 31, 50},
    {NONE, 190, 110, NONE, 56, NONE, 17, 0, 20, 34, 56},
    {NONE, 210, 125, NONE, 62, NONE, 18, 0, 21, 37, 62},
    {NONE, 230, 135, NONE, 68, NONE, 20, 0, 23, 40, 68},
};

static const char *const fine_names[] = {"a", "b", "c", "r", "s", "t", "u",
                                         "v", "x", "y", "z", "za", "zb", "zc"};
#define FINE (sizeof fine_names / sizeof fine_names[0])

static const short fine[FW_FIT_SUBSTEPS][FINE] = {
    /* a    b    c    r    s    t     u     v     x     y     z    za    zb    zc */
    { 270, 140,  60,  10,  14, NONE,  18, NONE,  20, NONE,   26,   32,   40,   60},
    { 270, 140,  70,  15,  19, NONE,  23, NONE,  28, NONE,   35,   42,   50,   80},
    { 280, 150,  80,  19,  23, NONE,  28, NONE,  34, NONE,   42,   52,   67,   97},
    { 290, 150,  95,  23,  28, NONE,  33, NONE,  40, NONE,   50,   64,   90,  130},
    { 290, 150,  95,  23,  28, NONE,  33,   39,  45, NONE,   60,   77,  108,  150},
    { 300, 160, 110,  28,  35, NONE,  41,   47,  54,   63,   73,   98,  136,  188},
    { 300, 160, 110,  28,  35,   41,  48,   55,  64,   75,   88,  118,  160,  218},
    { 310, 170, 120,  34,  43,   48,  60,   68,  80,   94,  112,  148,  200,  274},
    { 320, 180, 130,  34,  43,   54,  70,   81,  97,  114,  136,  180,  242,  325},
    { 340, 190, 140,  41,  53,   66,  87,  102, 122,  144,  172,  226,  300,  405},
    { 360, 200, 150,  43,  59,   75, 102,  120, 146,  174,  210,  274,  360,  480},
    { 380, 220, 170,  51,  71,   91, 124,  146, 178,  214,  258,  335,  445,  585},
    { 410, 240, 180,  54,  79,  104, 144,  172, 210,  254,  310,  400,  525,  690},
    { 460, 260, 200,  63,  92,  122, 170,  202, 248,  300,  365,  470,  620,  800},
    { 520, 280, 210,  65, 100,  134, 190,  228, 280,  340,  415,  535,  700,  900},
    { 580, 310, 230,  68, 108,  146, 210,  252, 310,  380,  465,  600,  780, 1000},
    { 660, 340, 240,  77, 122,  166, 236,  284, 350,  425,  520,  670,  880, 1150},
    { 740, 380, 260,  80, 130,  180, 258,  310, 385,  470,  575,  740,  960, 1250},
    { 820, 420, 280,  84, 140,  196, 284,  340, 425,  520,  640,  820, 1050, 1350},
    { 920, 480, 300,  94, 158,  218, 315,  385, 475,  580,  710,  920, 1200, 1550},
    {1050, 540, 330,  98, 170,  240, 350,  425, 525,  650,  790, 1000, 1300, 1700},
    {1200, 600, 360, 108, 190,  268, 390,  475, 590,  730,  900, 1150, 1500, 1900},
    {1350, 680, 400, 114, 208,  294, 435,  530, 660,  820, 1000, 1300, 1650, 2100},
    {1500, 760, 440, 126, 232,  330, 490,  595, 740,  920, 1100, 1450, 1850, 2400},
    {1650, 840, 480, 132, 252,  360, 540,  660, 820, 1000, 1250, 1600, 2100, 2600},
};

/* j5 and j6, j7; J6, J7, J8; k4 to k7. No formula: the standard prints them as they are. */
static const signed char around[FW_FIT_STEPS][6] = {
    { -2,  -4,  2,  4,  6, 0}, { -2,  -4,  5,  6, 10, 1}, { -2,  -5,  5,  8, 12, 1},
    { -3,  -6,  6, 10, 15, 1}, { -4,  -8,  8, 12, 20, 2}, { -5, -10, 10, 14, 24, 2},
    { -7, -12, 13, 18, 28, 2}, { -9, -15, 16, 22, 34, 3}, {-11, -18, 18, 26, 41, 3},
    {-13, -21, 22, 30, 47, 4}, {-16, -26, 25, 36, 55, 4}, {-18, -28, 29, 39, 60, 4},
    {-20, -32, 33, 43, 66, 5},
};

static const struct fw_fit_letter letters[] = {
    {"a", FW_FIT_ABOVE},  {"b", FW_FIT_ABOVE},  {"c", FW_FIT_ABOVE},  {"cd", FW_FIT_ABOVE},
    {"d", FW_FIT_ABOVE},  {"e", FW_FIT_ABOVE},  {"ef", FW_FIT_ABOVE}, {"f", FW_FIT_ABOVE},
    {"fg", FW_FIT_ABOVE}, {"g", FW_FIT_ABOVE},  {"h", FW_FIT_ABOVE},  {"js", FW_FIT_JS},
    {"j", FW_FIT_J},      {"k", FW_FIT_K},      {"m", FW_FIT_BELOW},  {"n", FW_FIT_BELOW},
    {"p", FW_FIT_BELOW},  {"r", FW_FIT_BELOW},  {"s", FW_FIT_BELOW},  {"t", FW_FIT_BELOW},
    {"u", FW_FIT_BELOW},  {"v", FW_FIT_BELOW},  {"x", FW_FIT_BELOW},  {"y", FW_FIT_BELOW},
    {"z", FW_FIT_BELOW},  {"za", FW_FIT_BELOW}, {"zb", FW_FIT_BELOW}, {"zc", FW_FIT_BELOW},
};
/* clang-format on */

double fw_fit_table_it(int step, int grade)
{
	return tolerances[step][grade + 1];
}

const struct fw_fit_letter *fw_fit_letter(const char *name)
{
	for (size_t i = 0; i < sizeof letters / sizeof letters[0]; i++)
		if (strcmp(letters[i].name, name) == 0)
			return &letters[i];
	return NULL;
}

bool fw_fit_value(double *out, const struct fw_fit_letter *letter, int step, int substep)
{
	for (size_t i = 0; i < PLAIN; i++)
		if (strcmp(plain_names[i], letter->name) == 0) {
			*out = plain[step][i];
			return plain[step][i] != NONE || strcmp(letter->name, "h") == 0;
		}
	for (size_t i = 0; i < FINE; i++)
		if (strcmp(fine_names[i], letter->name) == 0) {
			*out = fine[substep][i];
			return fine[substep][i] != NONE;
		}
	return false;
}

bool fw_fit_j_shaft(double *out, int step, int grade)
{
	if (grade == 8 && step == 0) { /* j8 is printed up to 3 mm only */
		*out = -6.0;
		return true;
	}
	if (grade < 5 || grade > 7)
		return false;
	*out = around[step][grade == 7 ? 1 : 0];
	return true;
}

bool fw_fit_j_hole(double *out, int step, int grade)
{
	if (grade < 6 || grade > 8)
		return false;
	*out = around[step][grade - 4];
	return true;
}

double fw_fit_k_shaft(int step)
{
	return around[step][5];
}
