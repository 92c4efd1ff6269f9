/* SPDX-License-Identifier: GPL-3.0-or-later */
/**
 * @file quantity.h
 * Quantities: a value in SI, its dimension, the unit it was written in, and where its uncertainty
 * comes from.
 *
 * Uncertainty follows arithmetic to first order with its sources kept apart (JCGM 100:2008, 5.1 and
 * 5.2): two readings off one gauge share that gauge's error, so it cancels in their difference, and
 * x - x is 0 with no uncertainty. A source is a 64-bit name (fw_source_name()); terms of one source
 * are fully correlated, terms of different sources are independent.
 *
 * Values are finite doubles. A call that would make NaN or infinity fails with FW_ERR_RANGE.
 * Nothing here depends on the locale: the decimal sign is the point, on entry the comma too.
 */
#ifndef FITWRIGHT_QUANTITY_H
#define FITWRIGHT_QUANTITY_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "fitwright/error.h"

#ifdef __cplusplus
extern "C" {
#endif

/**
 * Exponents of the SI base dimensions and of the plane angle, which counts as a base dimension here
 * so that degrees and plain numbers are not mixed up. Torque is force times length and has no angle
 * in it. Energy has the same exponents, but nothing at the bench is given as energy: N·m is torque.
 */
struct fw_dimension {
	int8_t length, mass, time, temperature, angle;
};

/** One unit of the table. Value in SI = value in the unit * factor + offset. */
struct fw_unit {
	const char *symbol;           /**< as printed: "mm", "thou", "lbf·ft", "°C" */
	const char *name;             /**< in words: "millimetre" */
	const char *const *spellings; /**< NULL-terminated; what people type, `symbol` not repeated;
	                                   "·" stands for any separator or none */
	struct fw_dimension dimension;
	double factor; /**< to SI, exact where the definition is (NIST SP 811, appendix B) */
	double offset; /**< only temperatures on a scale: 273.15 for °C */
	double step;   /**< finest figure worth printing, in the unit, a power of ten: 0.001 for mm */
};

/** All units, in a fixed order; `*count` gets their number. The table is static. */
const struct fw_unit *fw_units(size_t *count);

/** The unit of that symbol or spelling (case matters only where two units differ by case), or NULL;
 *  NULL also for spellings that mean two things, such as "mil". */
const struct fw_unit *fw_unit_find(const char *text, size_t length);

/** SI's own unit for a dimension: m, N, N·m, Pa, K …; NULL where the table has none. */
const struct fw_unit *fw_unit_si(struct fw_dimension dimension);

bool fw_dimension_equal(struct fw_dimension a, struct fw_dimension b);

/** Names a dimension for messages: "length", "torque", else its exponents, "m^2·kg". Returns
 * `buffer`. */
const char *fw_dimension_name(struct fw_dimension dimension, char *buffer, size_t size);

/** One contribution to a standard uncertainty. */
struct fw_term {
	uint64_t source; /**< fw_source_name() of what it comes from */
	double u;        /**< signed standard contribution c_i·u(x_i), in SI */
	double freedom;  /**< degrees of freedom, INFINITY when the value is known outright */
};

/** Most sources that one quantity can carry; further arithmetic fails with FW_ERR_RANGE. */
#define FW_TERMS 32

/** A quantity. Plain value: copy it freely; `unit` points into the static table (NULL: SI). */
struct fw_quantity {
	double value; /**< SI */
	struct fw_dimension dimension;
	const struct fw_unit *unit; /**< how to write it; has the same dimension */
	size_t count;               /**< used elements of `terms`, sorted by source */
	struct fw_term terms[FW_TERMS];
};

/** A 64-bit name (FNV-1a) for a source of uncertainty: "gauge: dial indicator". */
uint64_t fw_source_name(const char *text);

/** `value` counted in `unit`, without uncertainty. FW_ERR_RANGE on NaN, infinity, what vanishes in
 * SI and a temperature below absolute zero; FW_ERR_ARGUMENT without a unit. */
int fw_quantity_make(struct fw_quantity *out, double value, const struct fw_unit *unit,
                     struct fw_error *err);

/** The SI value `si` (finite), to be written in `unit` (not NULL), without uncertainty. */
struct fw_quantity fw_quantity_of(double si, const struct fw_unit *unit);

/** The same for a difference: in the unit itself, and in kelvins where that is a scale (°C, °F). */
struct fw_quantity fw_quantity_span(double si, const struct fw_unit *unit);

/** Adds a term: standard uncertainty `u` in SI (>= 0), of `source`, with `freedom` (> 0). What `q`
 * carries of that source already is fully correlated with it and may have either sign: -x bears its
 * gauge's error with the other sign. FW_ERR_RANGE on NaN and infinite u, a freedom of 0 or less,
 * and beyond FW_TERMS. */
int fw_quantity_add_term(struct fw_quantity *q, uint64_t source, double u, double freedom,
                         struct fw_error *err);

/** Combined standard uncertainty in SI: root of the sum of squares of the terms. */
double fw_quantity_u(const struct fw_quantity *q);

/** Effective degrees of freedom by Welch and Satterthwaite (JCGM 100:2008, G.4.1, equation G.2b);
 *  INFINITY when there is no uncertainty or all of it is known outright. */
double fw_quantity_freedom(const struct fw_quantity *q);

/** The value counted in `unit`; NAN when the dimensions differ. */
double fw_quantity_in(const struct fw_quantity *q, const struct fw_unit *unit);

/** a + b and a - b. FW_ERR_DIMENSION names both sides. Result is written in a's unit. Temperatures
 * in °C and °F are points on a scale, those in K and Δ°F differences: point - point is a difference
 * in kelvins, point ± difference and difference + point are points, the rest is FW_ERR_DIMENSION.
 */
int fw_quantity_add(struct fw_quantity *out, const struct fw_quantity *a,
                    const struct fw_quantity *b, struct fw_error *err);
int fw_quantity_sub(struct fw_quantity *out, const struct fw_quantity *a,
                    const struct fw_quantity *b, struct fw_error *err);
/** a · b and a / b, dimensions follow. Division by zero is FW_ERR_RANGE, a point on a temperature
 * scale FW_ERR_DIMENSION (scale too). Written in the unit of the one that isn't a plain number,
 * else SI. */
int fw_quantity_mul(struct fw_quantity *out, const struct fw_quantity *a,
                    const struct fw_quantity *b, struct fw_error *err);
int fw_quantity_div(struct fw_quantity *out, const struct fw_quantity *a,
                    const struct fw_quantity *b, struct fw_error *err);
/** a · factor, a plain finite number. */
int fw_quantity_scale(struct fw_quantity *out, const struct fw_quantity *a, double factor,
                      struct fw_error *err);
/** The square root, of half the dimension: a length of an area. FW_ERR_DIMENSION where an exponent
 * is odd or `a` a point on a temperature scale; FW_ERR_RANGE below zero, and at zero with an
 * uncertainty, which to first order knows no bounds there. Written in SI's unit. */
int fw_quantity_sqrt(struct fw_quantity *out, const struct fw_quantity *a, struct fw_error *err);
/** -1, 0, 1 by value alone; FW_ERR_DIMENSION names both sides, also of a point on a temperature
 * scale and a difference. */
int fw_quantity_compare(int *out, const struct fw_quantity *a, const struct fw_quantity *b,
                        struct fw_error *err);

/**
 * Reads what a person types: `0.41`, `.016"`, `16 thou`, `0,41 mm`, `1 3/8 in`, `5/16"`,
 * `25 lbf·ft`, `25 ft-lb`, `34Nm`, `-40 °F`. A bare number takes `fallback` (NULL: a bare number is
 * an error that asks for a unit). White space around is skipped; anything left over is an error
 * that shows where. A comma followed by exactly three digits ("1,234") is refused as ambiguous,
 * unless it can't part thousands ("0,406", "1234,567"). The prompt settles lb, kg (force), ' and
 * min (angle), ° (temperature), and K at a prompt for °C or °F is a point on that scale; °C at a
 * prompt for K, a difference, is FW_ERR_DIMENSION. At most 200 bytes. Errors: FW_ERR_INPUT;
 * FW_ERR_DIMENSION when the unit's dimension isn't `fallback`'s. On failure `out` is untouched,
 * here as in all calls.
 */
int fw_quantity_parse(struct fw_quantity *out, const char *text, const struct fw_unit *fallback,
                      struct fw_error *err);

/** Writes "0.406 mm" in the quantity's own unit, rounded to the unit's step, trailing zeros kept to
 *  that step; with `with_u` and uncertainty present "0.406 ± 0.012 mm" where ± is the standard
 *  uncertainty times 2, at least one step. From 1e9 up, and where the table has no unit for the
 *  dimension, six significant figures. Never prints "-0". Returns `buffer`; `size` of 64 is always
 * enough. */
const char *fw_quantity_text(const struct fw_quantity *q, bool with_u, char *buffer, size_t size);

/** As fw_quantity_text() but in `unit` (same dimension, else falls back to the own unit). */
const char *fw_quantity_text_in(const struct fw_quantity *q, const struct fw_unit *unit,
                                bool with_u, char *buffer, size_t size);

/** Shortest decimal that reads back as the same double, always with '.' as decimal sign; laid out
 * as in JSON by RFC 8785, but for "-0". `size` of 32 is always enough. */
const char *fw_number_text(double value, char *buffer, size_t size);

/**
 * Names the likely slip behind a reading outside [low, high] (SI): "thou typed without its unit",
 * "inch for mm", "a decimal place", a lost sign. Tries each and reports the first whose correction
 * falls inside; a side without a limit is -INFINITY or INFINITY.
 * `typed` is the quantity as entered in `q->unit`. Returns a message such as
 * "55 mm is far outside 0 mm to 3 mm; did you mean 55 thou?" in `buffer`, and true when it is
 * implausible; false (buffer emptied) when `q` lies within.
 */
bool fw_quantity_implausible(const struct fw_quantity *q, double low, double high, char *buffer,
                             size_t size);

#ifdef __cplusplus
}
#endif

#endif
