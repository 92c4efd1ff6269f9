/* SPDX-License-Identifier: GPL-3.0-or-later */
/* ISO 281:2007, table 3. Up to 15° in one and two rows, and 20° to 45° in one row, as transcribed
 * in an independent program (radial contact in many); 20° to 45° in two rows from memory. Second
 * route: at Fa/Fr = e both formulas must give the same load, X + Y·e = 1 + low Y·e, which they do
 * within 1.1 % throughout. */
#include "solve/bearing/factor.h"

#define LOADS 9

static const double loads[LOADS] = {0.172, 0.345, 0.689,           1.03, 1.38, 2.07,
                                    3.45,  5.17,  FW_RELATIVE_MOST};

/* One contact angle. */
struct block {
	double degrees, x;
	double y[LOADS], e[LOADS], low_y[LOADS];
};

#define RADIAL_Y                                                                                   \
	{                                                                                              \
		2.30, 1.99, 1.71, 1.55, 1.45, 1.31, 1.15, 1.04, 1.00                                       \
	}
#define RADIAL_E                                                                                   \
	{                                                                                              \
		0.19, 0.22, 0.26, 0.28, 0.30, 0.34, 0.38, 0.42, 0.44                                       \
	}
#define E_10                                                                                       \
	{                                                                                              \
		0.29, 0.32, 0.36, 0.38, 0.40, 0.44, 0.49, 0.54, 0.54                                       \
	}
#define E_15                                                                                       \
	{                                                                                              \
		0.38, 0.40, 0.43, 0.46, 0.47, 0.50, 0.55, 0.56, 0.56                                       \
	}
#define SAME(v)                                                                                    \
	{                                                                                              \
		v, v, v, v, v, v, v, v, v                                                                  \
	}

/* A single row at 5° takes the figures of radial contact, as the table says in words. */
static const struct block single_row[] = {
    {0, 0.56, RADIAL_Y, RADIAL_E, SAME(0)},
    {5, 0.56, RADIAL_Y, RADIAL_E, SAME(0)},
    {10, 0.46, {1.88, 1.71, 1.52, 1.41, 1.34, 1.23, 1.10, 1.01, 1.00}, E_10, SAME(0)},
    {15, 0.44, {1.47, 1.40, 1.30, 1.23, 1.19, 1.12, 1.02, 1.00, 1.00}, E_15, SAME(0)},
    {20, 0.43, SAME(1.00), SAME(0.57), SAME(0)},
    {25, 0.41, SAME(0.87), SAME(0.68), SAME(0)},
    {30, 0.39, SAME(0.76), SAME(0.80), SAME(0)},
    {35, 0.37, SAME(0.66), SAME(0.95), SAME(0)},
    {40, 0.35, SAME(0.57), SAME(1.14), SAME(0)},
    {45, 0.33, SAME(0.50), SAME(1.34), SAME(0)},
};

static const struct block double_row[] = {
    {0, 0.56, RADIAL_Y, RADIAL_E, SAME(0)},
    {5,
     0.78,
     {3.74, 3.23, 2.78, 2.52, 2.36, 2.13, 1.87, 1.69, 1.63},
     {0.23, 0.26, 0.30, 0.34, 0.36, 0.40, 0.45, 0.50, 0.52},
     {2.78, 2.40, 2.07, 1.87, 1.75, 1.58, 1.39, 1.26, 1.21}},
    {10,
     0.75,
     {3.06, 2.78, 2.47, 2.29, 2.18, 2.00, 1.79, 1.64, 1.63},
     E_10,
     {2.18, 1.98, 1.76, 1.63, 1.55, 1.42, 1.27, 1.17, 1.16}},
    {15,
     0.72,
     {2.39, 2.28, 2.11, 2.00, 1.93, 1.82, 1.66, 1.63, 1.63},
     E_15,
     {1.65, 1.57, 1.46, 1.38, 1.34, 1.26, 1.14, 1.12, 1.12}},
    {20, 0.70, SAME(1.63), SAME(0.57), SAME(1.09)},
    {25, 0.67, SAME(1.41), SAME(0.68), SAME(0.92)},
    {30, 0.63, SAME(1.24), SAME(0.80), SAME(0.78)},
    {35, 0.60, SAME(1.07), SAME(0.95), SAME(0.66)},
    {40, 0.57, SAME(0.93), SAME(1.14), SAME(0.55)},
    {45, 0.54, SAME(0.81), SAME(1.34), SAME(0.47)},
};

#define ANGLES (sizeof single_row / sizeof single_row[0])
_Static_assert(ANGLES == sizeof double_row / sizeof double_row[0], "the same angles");

static struct fw_factor_xy at_load(const struct block *block, double relative)
{
	return (struct fw_factor_xy){
	    .x = block->x,
	    .y = fw_interpolate(loads, block->y, LOADS, relative),
	    .e = fw_interpolate(loads, block->e, LOADS, relative),
	    .low_y = fw_interpolate(loads, block->low_y, LOADS, relative),
	};
}

static double between(double a, double b, double share)
{
	return a + share * (b - a);
}

/* By Fa/(Z·Dw²) at an angle, by Fa/(i·Z·Dw²) for radial contact. */
static double load_of(const struct block *block, unsigned rows, double one_row)
{
	return block->degrees > 0.0 ? one_row : one_row / rows;
}

struct fw_factor_xy fw_factor_ball(double degrees, unsigned rows, double one_row)
{
	const struct block *table = rows == 1 ? single_row : double_row;
	size_t i = 0;

	while (i + 2 < ANGLES && degrees > table[i + 1].degrees)
		i++;
	struct fw_factor_xy a = at_load(&table[i], load_of(&table[i], rows, one_row));
	struct fw_factor_xy b = at_load(&table[i + 1], load_of(&table[i + 1], rows, one_row));
	double share = (degrees - table[i].degrees) / (table[i + 1].degrees - table[i].degrees);
	return (struct fw_factor_xy){
	    .x = between(a.x, b.x, share),
	    .y = between(a.y, b.y, share),
	    .e = between(a.e, b.e, share),
	    .low_y = between(a.low_y, b.low_y, share),
	};
}

/* ISO 76:2006, table 2, from memory. Radial contact 0.6 and 0.5 also in public reprints. */
void fw_factor_ball_still(double *x0, double *y0, double degrees, unsigned rows)
{
	static const double angles[] = {5, 10, 15, 20, 25, 30, 35, 40, 45};
	static const double single_y0[] = {0.52, 0.50, 0.46, 0.42, 0.38, 0.33, 0.29, 0.26, 0.22};

	if (degrees <= 0.0) {
		*x0 = 0.6;
		*y0 = 0.5;
		return;
	}
	*x0 = rows == 1 ? 0.5 : 1.0;
	*y0 = fw_interpolate(angles, single_y0, sizeof angles / sizeof angles[0], degrees) *
	      (rows == 1 ? 1.0 : 2.0);
}
