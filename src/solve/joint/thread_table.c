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
	double diameter, coarse, fine, extra; /* in, threads per inch */
};

/* ASME B1.1, series UNC, UNF and UNEF, from memory; the same in two public lists of them. */
static const struct unified unified[] = {
    {0.060, 0, 80, 0},   {0.073, 64, 72, 0},   {0.086, 56, 64, 0}, {0.099, 48, 56, 0},
    {0.112, 40, 48, 0},  {0.125, 40, 44, 0},   {0.138, 32, 40, 0}, {0.164, 32, 36, 0},
    {0.190, 24, 32, 0},  {0.216, 24, 28, 32},  {0.25, 20, 28, 32}, {0.3125, 18, 24, 32},
    {0.375, 16, 24, 32}, {0.4375, 14, 20, 28}, {0.5, 13, 20, 28},  {0.5625, 12, 18, 24},
    {0.625, 11, 18, 24}, {0.6875, 0, 0, 24},   {0.75, 10, 16, 20}, {0.8125, 0, 0, 20},
    {0.875, 9, 14, 20},  {0.9375, 0, 0, 20},   {1.0, 8, 12, 20},   {1.0625, 0, 0, 18},
    {1.125, 7, 12, 18},  {1.1875, 0, 0, 18},   {1.25, 7, 12, 18},  {1.3125, 0, 0, 18},
    {1.375, 6, 12, 18},  {1.4375, 0, 0, 18},   {1.5, 6, 12, 18},   {1.5625, 0, 0, 18},
    {1.625, 0, 0, 18},   {1.6875, 0, 0, 18},   {1.75, 5, 0, 0},    {2.0, 4.5, 0, 0},
    {2.25, 4.5, 0, 0},   {2.5, 4, 0, 0},       {2.75, 4, 0, 0},    {3.0, 4, 0, 0},
    {3.25, 4, 0, 0},     {3.5, 4, 0, 0},       {3.75, 4, 0, 0},    {4.0, 4, 0, 0},
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
			return series == 'C'   ? unified[i].coarse
			       : series == 'F' ? unified[i].fine
			                       : unified[i].extra;
	return 0.0;
}
