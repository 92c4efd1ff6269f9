/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>

#include "fitwright/joint.h"
#include "solve/joint/thread_parse.h"

#define MICRON 1e-6
#define MM     1e-3
#define INCH   0.0254

/* ISO 965-1:1998, tables 1, 3 and 4: by pitch, µm. */
struct by_pitch {
	double pitch;      /* mm */
	double deviation;  /* es of position g, below nominal */
	double bolt_outer; /* Td, grade 6 */
	double nut_inner;  /* TD1, grade 6 */
};

static const struct by_pitch by_pitch[] = {
    {0.35, 19, 85, 100}, {0.4, 19, 95, 112},    {0.45, 20, 100, 125}, {0.5, 20, 106, 140},
    {0.6, 21, 125, 160}, {0.7, 22, 140, 180},   {0.75, 22, 140, 190}, {0.8, 24, 150, 200},
    {1.0, 26, 180, 236}, {1.25, 28, 212, 265},  {1.5, 32, 236, 300},  {1.75, 34, 265, 335},
    {2.0, 38, 280, 375}, {2.5, 42, 335, 450},   {3.0, 48, 375, 500},  {3.5, 53, 425, 560},
    {4.0, 60, 475, 600}, {4.5, 63, 500, 670},   {5.0, 71, 530, 710},  {5.5, 75, 560, 750},
    {6.0, 80, 600, 800}, {8.0, 100, 710, 1000},
};

/* Tables 5 and 6: by diameter, above `over` up to and including `to`, and pitch. */
struct by_size {
	double over, to, pitch;       /* mm */
	double bolt_pitch, nut_pitch; /* Td2 and TD2, grade 6, µm */
};

static const struct by_size by_size[] = {
    {1.4, 2.8, 0.35, 63, 85},     {1.4, 2.8, 0.4, 67, 90},      {1.4, 2.8, 0.45, 71, 95},
    {2.8, 5.6, 0.35, 67, 90},     {2.8, 5.6, 0.5, 75, 100},     {2.8, 5.6, 0.6, 85, 112},
    {2.8, 5.6, 0.7, 90, 118},     {2.8, 5.6, 0.75, 90, 118},    {2.8, 5.6, 0.8, 95, 125},
    {5.6, 11.2, 0.75, 100, 132},  {5.6, 11.2, 1.0, 112, 150},   {5.6, 11.2, 1.25, 118, 160},
    {5.6, 11.2, 1.5, 132, 180},   {11.2, 22.4, 1.0, 118, 160},  {11.2, 22.4, 1.25, 132, 180},
    {11.2, 22.4, 1.5, 140, 190},  {11.2, 22.4, 1.75, 150, 200}, {11.2, 22.4, 2.0, 160, 212},
    {11.2, 22.4, 2.5, 170, 224},  {22.4, 45.0, 1.0, 125, 170},  {22.4, 45.0, 1.5, 150, 200},
    {22.4, 45.0, 2.0, 170, 224},  {22.4, 45.0, 3.0, 200, 265},  {22.4, 45.0, 3.5, 212, 280},
    {22.4, 45.0, 4.0, 224, 300},  {22.4, 45.0, 4.5, 236, 315},  {45.0, 90.0, 1.5, 160, 212},
    {45.0, 90.0, 2.0, 180, 236},  {45.0, 90.0, 3.0, 212, 280},  {45.0, 90.0, 4.0, 236, 315},
    {45.0, 90.0, 5.0, 250, 335},  {45.0, 90.0, 5.5, 265, 355},  {45.0, 90.0, 6.0, 280, 375},
    {90.0, 180.0, 2.0, 190, 250}, {90.0, 180.0, 3.0, 224, 300}, {90.0, 180.0, 4.0, 250, 335},
    {90.0, 180.0, 6.0, 300, 400}, {90.0, 180.0, 8.0, 335, 450},
};

static bool same(double a, double b)
{
	return fabs(a - b) < 1e-6;
}

static const struct by_pitch *find_pitch(double pitch)
{
	for (size_t i = 0; i < sizeof by_pitch / sizeof by_pitch[0]; i++)
		if (same(by_pitch[i].pitch, pitch))
			return &by_pitch[i];
	return NULL;
}

static const struct by_size *find_size(double diameter, double pitch)
{
	for (size_t i = 0; i < sizeof by_size / sizeof by_size[0]; i++)
		if (diameter > by_size[i].over + 1e-6 && diameter <= by_size[i].to + 1e-6 &&
		    same(by_size[i].pitch, pitch))
			return &by_size[i];
	return NULL;
}

static int metric(struct fw_thread_limits *out, const struct fw_thread *t, struct fw_error *err)
{
	const struct by_pitch *p = find_pitch(t->pitch / MM);
	const struct by_size *s = find_size(t->diameter / MM, t->pitch / MM);

	if (!p || !s)
		return fw_fail(err, FW_ERR_RANGE,
		               "thread M%gx%g: ISO 965-1 has no tolerances of 6g and 6H for this pitch at "
		               "this diameter",
		               t->diameter / MM, t->pitch / MM);
	double top = t->diameter - p->deviation * MICRON;
	double flank = t->pitch_dia - p->deviation * MICRON;
	*out = (struct fw_thread_limits){
	    .classes = "6g/6H",
	    .bolt_outer_min = top - p->bolt_outer * MICRON,
	    .bolt_outer_max = top,
	    .bolt_pitch_min = flank - s->bolt_pitch * MICRON,
	    .bolt_pitch_max = flank,
	    .nut_inner_min = t->inner_dia,
	    .nut_inner_max = t->inner_dia + p->nut_inner * MICRON,
	    .nut_pitch_min = t->pitch_dia,
	    .nut_pitch_max = t->pitch_dia + s->nut_pitch * MICRON,
	};
	return FW_OK;
}

/* Length of engagement that the pitch tolerance is for: the diameter in the coarse, fine and 4-, 6-
 * and 8-thread series, else nine pitches. In inches. */
static double engagement(double diameter, double tpi)
{
	bool standard = same(fw_unified_tpi(diameter, 'C'), tpi) ||
	                same(fw_unified_tpi(diameter, 'F'), tpi) || same(tpi, 4.0) || same(tpi, 6.0) ||
	                same(tpi, 8.0);

	return standard ? diameter : 9.0 / tpi;
}

/* Tolerance of the nut's bore, in: section 5.8.2(c), classes 1B and 2B. */
static double inner_tolerance(double d, double p)
{
	double usual = 0.25 * p - 0.4 * p * p;

	if (d >= 0.25)
		return usual;
	double small = 0.05 * pow(p, 2.0 / 3.0) + 0.03 * p / d - 0.002;
	return fmin(fmax(small, usual), 0.394 * p);
}

/* ASME B1.1-2003, sections 5.1 and 5.8: classes 2A and 2B. */
static int unified(struct fw_thread_limits *out, const struct fw_thread *t, struct fw_error *err)
{
	double d = t->diameter / INCH, p = t->pitch / INCH;

	if (d < 0.0599 || d > 6.0001 || p > 0.2501)
		return fw_fail(
		    err, FW_ERR_RANGE,
		    "thread %.4g-%.4g: limits of 2A and 2B are known from 0.06 in to 6 in, from 4 "
		    "threads per inch",
		    d, 1.0 / p);
	double flank = 0.0015 * (cbrt(d) + sqrt(engagement(d, 1.0 / p)) + 10.0 * pow(p, 2.0 / 3.0));
	double allowance = 0.3 * flank * INCH;
	double top = t->diameter - allowance, middle = t->pitch_dia - allowance;
	*out = (struct fw_thread_limits){
	    .classes = "2A/2B",
	    .bolt_outer_min = top - 0.06 * pow(p, 2.0 / 3.0) * INCH,
	    .bolt_outer_max = top,
	    .bolt_pitch_min = middle - flank * INCH,
	    .bolt_pitch_max = middle,
	    .nut_inner_min = t->inner_dia,
	    .nut_inner_max = t->inner_dia + inner_tolerance(d, p) * INCH,
	    .nut_pitch_min = t->pitch_dia,
	    .nut_pitch_max = t->pitch_dia + 1.3 * flank * INCH,
	};
	return FW_OK;
}

int fw_thread_limits(struct fw_thread_limits *out, const struct fw_thread *thread,
                     struct fw_error *err)
{
	if (!out || !thread)
		return fw_fail(err, FW_ERR_ARGUMENT, "thread: none given, or no place for its limits");
	if (!(thread->diameter > 0.0 && isfinite(thread->diameter) && thread->pitch > 0.0 &&
	      thread->pitch < thread->diameter && thread->pitch_dia > 0.0 && thread->inner_dia > 0.0 &&
	      thread->inner_dia < thread->pitch_dia && thread->pitch_dia < thread->diameter))
		return fw_fail(err, FW_ERR_ARGUMENT, "thread: its dimensions are not those of a thread");
	return thread->inch ? unified(out, thread, err) : metric(out, thread, err);
}
