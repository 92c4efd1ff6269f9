/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "quantity/terms.h"

#include <float.h>
#include <math.h>

/* FNV-1a, 64 bits (IETF draft-eastlake-fnv) */
#define FNV_BASIS 0xCBF29CE484222325U
#define FNV_PRIME 0x100000001B3U

uint64_t fw_source_extend(uint64_t name, const char *text)
{
	for (; *text != '\0'; text++)
		name = (name ^ (unsigned char)*text) * FNV_PRIME;
	return name;
}

uint64_t fw_source_name(const char *text)
{
	return fw_source_extend(FNV_BASIS, text);
}

/* What is left of two contributions that cancel but for rounding is no uncertainty. */
static double sum(double a, double b)
{
	double s = a + b;
	double most = fmax(fabs(a), fabs(b));
	return isfinite(most) && fabs(s) <= 4 * DBL_EPSILON * most ? 0.0 : s;
}

/* Appends unless nothing is left; terms arrive in order. */
static int append(struct fw_quantity *out, uint64_t source, double u, double freedom,
                  struct fw_error *err)
{
	if (u == 0.0)
		return FW_OK;
	if (!isfinite(u))
		return fw_fail(err, FW_ERR_RANGE, "uncertainty too large to work out");
	if (out->count == FW_TERMS)
		return fw_fail(
		    err, FW_ERR_RANGE,
		    "more than %d sources of uncertainty in one quantity; combine fewer readings",
		    FW_TERMS);
	out->terms[out->count++] = (struct fw_term){source, u, freedom};
	return FW_OK;
}

int fw_terms_combine(struct fw_quantity *out, const struct fw_quantity *a, double ca,
                     const struct fw_quantity *b, double cb, struct fw_error *err)
{
	size_t na = a->count;
	size_t nb = b ? b->count : 0;
	int code = FW_OK;

	out->count = 0;
	for (size_t i = 0, j = 0; code == FW_OK && (i < na || j < nb);) {
		const struct fw_term *x = i < na ? &a->terms[i] : NULL;
		const struct fw_term *y = j < nb ? &b->terms[j] : NULL;
		if (x && y && x->source == y->source) {
			code = append(out, x->source, sum(ca * x->u, cb * y->u), fmin(x->freedom, y->freedom),
			              err);
			i++;
			j++;
		} else if (!y || (x && x->source < y->source)) {
			code = append(out, x->source, ca * x->u, x->freedom, err);
			i++;
		} else {
			code = append(out, y->source, cb * y->u, y->freedom, err);
			j++;
		}
	}
	return code;
}

int fw_quantity_add_term(struct fw_quantity *q, uint64_t source, double u, double freedom,
                         struct fw_error *err)
{
	if (!(u >= 0) || !isfinite(u))
		return fw_fail(err, FW_ERR_RANGE, "a standard uncertainty must be a number from 0 up");
	if (!(freedom > 0))
		return fw_fail(err, FW_ERR_RANGE, "degrees of freedom must be greater than 0");

	struct fw_quantity one = {.count = u > 0 ? 1 : 0, .terms = {{source, u, freedom}}};
	struct fw_quantity result = *q;
	int code = fw_terms_combine(&result, q, 1, &one, 1, err);
	if (code == FW_OK)
		code = fw_quantity_check(&result, "adding uncertainty", err);
	if (code == FW_OK)
		*q = result;
	return code;
}

/* Scaled by the greatest, so that squares neither overflow nor vanish. */
double fw_quantity_u(const struct fw_quantity *q)
{
	double most = 0;
	double squares = 0;

	for (size_t i = 0; i < q->count; i++)
		most = fmax(most, fabs(q->terms[i].u));
	if (most == 0)
		return 0;
	for (size_t i = 0; i < q->count; i++) {
		double share = q->terms[i].u / most;
		squares += share * share;
	}
	return most * sqrt(squares);
}

double fw_quantity_freedom(const struct fw_quantity *q)
{
	double u = fw_quantity_u(q);
	double sum_of_shares = 0;

	if (u == 0)
		return INFINITY;
	for (size_t i = 0; i < q->count; i++) {
		double share = q->terms[i].u / u;
		sum_of_shares += share * share * share * share / q->terms[i].freedom;
	}
	return sum_of_shares > 0 ? 1 / sum_of_shares : INFINITY;
}

int fw_quantity_check(const struct fw_quantity *q, const char *what, struct fw_error *err)
{
	if (!isfinite(q->value))
		return fw_fail(err, FW_ERR_RANGE, "%s gives no finite number", what);
	if (!isfinite(fw_quantity_u(q)))
		return fw_fail(err, FW_ERR_RANGE, "%s gives no finite uncertainty", what);
	return FW_OK;
}
