/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Arithmetic: the value, the dimension, and each source of uncertainty by its sensitivity
 * coefficient (JCGM 100:2008, 5.1.3). Results are built aside, so that `out` may be an operand.
 */
#include <math.h>

#include "quantity/dimension.h"
#include "quantity/terms.h"

#define TEXT_SIZE 64
#define NAME_SIZE 48

static int both_sides(const struct fw_quantity *a, const struct fw_quantity *b, const char *verb,
                      struct fw_error *err)
{
	char text_a[TEXT_SIZE];
	char text_b[TEXT_SIZE];
	char name_a[NAME_SIZE];
	char name_b[NAME_SIZE];

	return fw_fail(err, FW_ERR_DIMENSION, "can't %s %s (%s) and %s (%s)", verb,
	               fw_quantity_text(a, false, text_a, sizeof text_a),
	               fw_dimension_name(a->dimension, name_a, sizeof name_a),
	               fw_quantity_text(b, false, text_b, sizeof text_b),
	               fw_dimension_name(b->dimension, name_b, sizeof name_b));
}

static bool is_point(const struct fw_quantity *q)
{
	return fw_unit_is_scale(q->unit);
}

static int two_points(const struct fw_quantity *a, const struct fw_quantity *b, const char *why,
                      struct fw_error *err)
{
	char text_a[TEXT_SIZE];
	char text_b[TEXT_SIZE];

	return fw_fail(err, FW_ERR_DIMENSION, "%s and %s: %s",
	               fw_quantity_text(a, false, text_a, sizeof text_a),
	               fw_quantity_text(b, false, text_b, sizeof text_b), why);
}

static int finish(struct fw_quantity *out, const struct fw_quantity *result, int code,
                  const char *what, struct fw_error *err)
{
	if (code == FW_OK)
		code = fw_quantity_check(result, what, err);
	if (code == FW_OK && is_point(result) && result->value < 0)
		code = fw_fail(err, FW_ERR_RANGE, "%s gives a temperature below absolute zero", what);
	if (code == FW_OK)
		*out = *result;
	return code;
}

int fw_quantity_add(struct fw_quantity *out, const struct fw_quantity *a,
                    const struct fw_quantity *b, struct fw_error *err)
{
	if (!fw_dimension_equal(a->dimension, b->dimension))
		return both_sides(a, b, "add", err);
	if (is_point(a) && is_point(b))
		return two_points(a, b, "two temperatures on a scale can't be added; one must be in K",
		                  err);

	struct fw_quantity sum = {.value = a->value + b->value,
	                          .dimension = a->dimension,
	                          .unit = is_point(b) ? b->unit : a->unit};
	int code = fw_terms_combine(&sum, a, 1, b, 1, err);
	return finish(out, &sum, code, "adding", err);
}

int fw_quantity_sub(struct fw_quantity *out, const struct fw_quantity *a,
                    const struct fw_quantity *b, struct fw_error *err)
{
	if (!fw_dimension_equal(a->dimension, b->dimension))
		return both_sides(a, b, "subtract", err);
	if (is_point(b) && !is_point(a))
		return two_points(
		    a, b,
		    "a temperature on a scale can't be taken from a difference; use °C or °F on both sides",
		    err);

	struct fw_quantity difference = {.value = a->value - b->value,
	                                 .dimension = a->dimension,
	                                 .unit = is_point(b) ? fw_unit_si(a->dimension) : a->unit};
	int code = fw_terms_combine(&difference, a, 1, b, -1, err);
	return finish(out, &difference, code, "subtracting", err);
}

/* Celsius and Fahrenheit have no products: twice 20 °C is not 40 °C. */
static int no_points(const struct fw_quantity *a, const struct fw_quantity *b, struct fw_error *err)
{
	char text[TEXT_SIZE];
	const struct fw_quantity *point = is_point(a) ? a : b && is_point(b) ? b : NULL;

	if (!point)
		return FW_OK;
	return fw_fail(
	    err, FW_ERR_DIMENSION,
	    "%s is a point on a scale and can't be multiplied or divided; take a difference first",
	    fw_quantity_text(point, false, text, sizeof text));
}

static int combine_dimension(struct fw_quantity *out, const struct fw_quantity *a,
                             const struct fw_quantity *b, int sign, struct fw_error *err)
{
	if (!fw_dimension_combine(&out->dimension, a->dimension, b->dimension, sign))
		return both_sides(a, b, sign > 0 ? "multiply" : "divide", err);
	if (fw_dimension_is_plain(b->dimension))
		out->unit = a->unit;
	else if (fw_dimension_is_plain(a->dimension) && sign > 0)
		out->unit = b->unit;
	else
		out->unit = fw_unit_si(out->dimension);
	return FW_OK;
}

int fw_quantity_mul(struct fw_quantity *out, const struct fw_quantity *a,
                    const struct fw_quantity *b, struct fw_error *err)
{
	struct fw_quantity product = {.value = a->value * b->value};

	int code = no_points(a, b, err);
	if (code == FW_OK)
		code = combine_dimension(&product, a, b, 1, err);
	if (code == FW_OK)
		code = fw_terms_combine(&product, a, b->value, b, a->value, err);
	return finish(out, &product, code, "multiplying", err);
}

int fw_quantity_div(struct fw_quantity *out, const struct fw_quantity *a,
                    const struct fw_quantity *b, struct fw_error *err)
{
	char text[TEXT_SIZE];
	int code = no_points(a, b, err);

	if (code == FW_OK && b->value == 0)
		code = fw_fail(err, FW_ERR_RANGE, "can't divide %s by zero",
		               fw_quantity_text(a, false, text, sizeof text));
	if (code != FW_OK)
		return code;

	struct fw_quantity quotient = {.value = a->value / b->value};
	code = combine_dimension(&quotient, a, b, -1, err);
	if (code == FW_OK)
		code = fw_terms_combine(&quotient, a, 1 / b->value, b, -quotient.value / b->value, err);
	return finish(out, &quotient, code, "dividing", err);
}

int fw_quantity_scale(struct fw_quantity *out, const struct fw_quantity *a, double factor,
                      struct fw_error *err)
{
	if (!isfinite(factor))
		return fw_fail(err, FW_ERR_RANGE, "the factor is no finite number");

	struct fw_quantity scaled = {
	    .value = a->value * factor, .dimension = a->dimension, .unit = a->unit};
	int code = no_points(a, NULL, err);
	if (code == FW_OK)
		code = fw_terms_combine(&scaled, a, factor, NULL, 0, err);
	return finish(out, &scaled, code, "scaling", err);
}

static bool halve(struct fw_dimension *out, struct fw_dimension a)
{
	*out = (struct fw_dimension){(int8_t)(a.length / 2), (int8_t)(a.mass / 2), (int8_t)(a.time / 2),
	                             (int8_t)(a.temperature / 2), (int8_t)(a.angle / 2)};

	struct fw_dimension twice;
	return fw_dimension_combine(&twice, *out, *out, 1) && fw_dimension_equal(twice, a);
}

int fw_quantity_sqrt(struct fw_quantity *out, const struct fw_quantity *a, struct fw_error *err)
{
	char text[TEXT_SIZE], name[NAME_SIZE];
	struct fw_quantity root = {.value = sqrt(a->value)};

	int code = no_points(a, NULL, err);
	if (code == FW_OK && !halve(&root.dimension, a->dimension))
		code = fw_fail(err, FW_ERR_DIMENSION, "%s (%s) has no square root that is a quantity",
		               fw_quantity_text(a, false, text, sizeof text),
		               fw_dimension_name(a->dimension, name, sizeof name));
	if (code == FW_OK && (a->value < 0 || (a->value == 0 && a->count > 0)))
		code = fw_fail(err, FW_ERR_RANGE, "can't take the square root of %s%s",
		               a->value < 0 ? "" : "an uncertain ",
		               fw_quantity_text(a, false, text, sizeof text));
	if (code == FW_OK)
		code = fw_terms_combine(&root, a, root.value > 0 ? 0.5 / root.value : 0, NULL, 0, err);
	root.unit = fw_unit_si(root.dimension);
	return finish(out, &root, code, "taking a square root", err);
}

int fw_quantity_compare(int *out, const struct fw_quantity *a, const struct fw_quantity *b,
                        struct fw_error *err)
{
	if (!fw_dimension_equal(a->dimension, b->dimension))
		return both_sides(a, b, "compare", err);
	if (is_point(a) != is_point(b))
		return two_points(a, b, "a temperature on a scale can't be compared with a difference",
		                  err);
	*out = (a->value > b->value) - (a->value < b->value);
	return FW_OK;
}
