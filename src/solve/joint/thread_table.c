/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>
#include <stddef.h>

#include "solve/joint/thread_parse.h"

struct metric {
	double diameter, pitch; /* mm */
};

/* ISO 261, coarse series, from memory; the pitches from M3 to M24 also stand in ISO 898-1. */
static const struct metric coarse[] = {
    {1.0, 0.25}, {1.1, 0.25}, {1.2, 0.25}, {1.4, 0.3},  {1.6, 0.35}, {1.8, 0.35}, {2.0, 0.4},
    {2.2, 0.45}, {2.5, 0.45}, {3.0, 0.5},  {3.5, 0.6},  {4.0, 0.7},  {4.5, 0.75}, {5.0, 0.8},
    {6.0, 1.0},  {7.0, 1.0},  {8.0, 1.25}, {9.0, 1.25}, {10.0, 1.5}, {11.0, 1.5}, {12.0, 1.75},
    {14.0, 2.0}, {16.0, 2.0}, {18.0, 2.5}, {20.0, 2.5}, {22.0, 2.5}, {24.0, 3.0}, {27.0, 3.0},
    {30.0, 3.5}, {33.0, 3.5}, {36.0, 4.0}, {39.0, 4.0}, {42.0, 4.5}, {45.0, 4.5}, {48.0, 5.0},
    {52.0, 5.0}, {56.0, 5.5}, {60.0, 5.5}, {64.0, 6.0},
};

struct unified {
	double diameter, coarse, fine; /* in, threads per inch */
};

/* ASME B1.1, series UNC and UNF, from memory. */
static const struct unified unified[] = {
    {0.060, 0.0, 80.0},  {0.073, 64.0, 72.0},  {0.086, 56.0, 64.0}, {0.099, 48.0, 56.0},
    {0.112, 40.0, 48.0}, {0.125, 40.0, 44.0},  {0.138, 32.0, 40.0}, {0.164, 32.0, 36.0},
    {0.190, 24.0, 32.0}, {0.216, 24.0, 28.0},  {0.25, 20.0, 28.0},  {0.3125, 18.0, 24.0},
    {0.375, 16.0, 24.0}, {0.4375, 14.0, 20.0}, {0.5, 13.0, 20.0},   {0.5625, 12.0, 18.0},
    {0.625, 11.0, 18.0}, {0.75, 10.0, 16.0},   {0.875, 9.0, 14.0},  {1.0, 8.0, 12.0},
    {1.125, 7.0, 12.0},  {1.25, 7.0, 12.0},    {1.375, 6.0, 12.0},  {1.5, 6.0, 12.0},
    {1.75, 5.0, 0.0},    {2.0, 4.5, 0.0},
};

double fw_metric_coarse_pitch(double diameter)
{
	for (size_t i = 0; i < sizeof coarse / sizeof coarse[0]; i++)
		if (fabs(coarse[i].diameter - diameter) < 1e-6)
			return coarse[i].pitch;
	return 0.0;
}

double fw_unified_tpi(double diameter, char series)
{
	for (size_t i = 0; i < sizeof unified / sizeof unified[0]; i++)
		if (fabs(unified[i].diameter - diameter) < 1e-6)
			return series == 'C' ? unified[i].coarse : unified[i].fine;
	return 0.0;
}
