/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "calc/shim/kit.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* No drawer holds more of one size. */
#define COUNT_MOST 1000000.0

static int take_piece(struct fw_shim *shim, const struct fw_calc_values *record, size_t number,
                      struct fw_error *err)
{
	double count = fw_calc_value(record, "count");
	const struct fw_quantity *thickness = fw_calc_quantity(record, "thickness");
	const struct fw_quantity *crush = fw_calc_quantity(record, "crush");

	if (!(count >= 1.0 && count <= COUNT_MOST))
		return fw_fail(err, FW_ERR_ARGUMENT, "kit %zu: count: from 1 to a million pieces", number);
	*shim = (struct fw_shim){.thickness = thickness->value,
	                         .u = fw_quantity_u(thickness),
	                         .crush = crush ? crush->value : 0.0,
	                         .crush_u = crush ? fw_quantity_u(crush) : 0.0,
	                         .count = (unsigned)count};
	return FW_OK;
}

int fw_calc_kit_take(struct fw_calc_kit *out, const struct fw_calc_values *in, struct fw_error *err)
{
	size_t count = fw_calc_count(in, "kit");
	int rc = FW_OK;

	*out = (struct fw_calc_kit){.count = count, .in = in};
	out->shim = calloc(count ? count : 1, sizeof *out->shim);
	if (!out->shim)
		return fw_fail(err, FW_ERR_MEMORY, "kit: out of memory");
	for (size_t i = 0; rc == FW_OK && i < count; i++)
		rc = take_piece(&out->shim[i], fw_calc_record(in, "kit", i), i + 1, err);
	if (rc != FW_OK)
		fw_calc_kit_free(out);
	return rc;
}

void fw_calc_kit_free(struct fw_calc_kit *kit)
{
	free(kit->shim);
	kit->shim = NULL;
}

int fw_calc_kit_limits(struct fw_limits *out, const struct fw_calc_values *in, struct fw_error *err)
{
	if (!fw_calc_take_limits(out, in))
		return fw_fail(err, FW_ERR_ARGUMENT, "min and max are both missing: give at least one");
	return fw_limits_check(out, err);
}

int fw_calc_kit_most(size_t *out, const struct fw_calc_values *in, struct fw_error *err)
{
	double most = fw_calc_value(in, "most");

	if (!(most >= 1.0 && most <= FW_STACK_MOST))
		return fw_fail(err, FW_ERR_ARGUMENT, "most: %.0f pieces in a stack, must be 1 to %d", most,
		               FW_STACK_MOST);
	*out = (size_t)most;
	return FW_OK;
}

const char *fw_calc_kit_text(const struct fw_calc_kit *kit, const struct fw_stack *stack,
                             char buffer[FW_STACK_TEXT])
{
	size_t used = 0, n;
	char figure[FW_FIGURE];

	snprintf(buffer, FW_STACK_TEXT, "none");
	for (size_t i = 0; i < stack->count && used < FW_STACK_TEXT; i += n) {
		for (n = 1; i + n < stack->count && stack->shim[i + n] == stack->shim[i];)
			n++;
		const struct fw_calc_values *record = fw_calc_record(kit->in, "kit", stack->shim[i]);
		fw_calc_figure(kit->shim[stack->shim[i]].thickness, fw_calc_unit(record, "thickness"),
		               figure, sizeof figure);
		const char *plus = i > 0 ? " + " : "";
		int wrote =
		    n > 1 ? snprintf(buffer + used, FW_STACK_TEXT - used, "%s%zu × %s", plus, n, figure)
		          : snprintf(buffer + used, FW_STACK_TEXT - used, "%s%s", plus, figure);
		used += wrote > 0 ? (size_t)wrote : 0;
	}
	return buffer;
}

bool fw_calc_kit_nothing(int code, const struct fw_shim_choice *choice)
{
	return code == FW_ERR_RANGE && isfinite(choice->wanted);
}

/* Φ, or F of Student's t, at one limit, or what it is where there is none. */
static const char *tail_text(const char *function, double limit, const struct fw_shim_choice *c,
                             const struct fw_unit *unit, char *buffer, size_t size)
{
	char a[FW_FIGURE], b[FW_FIGURE];

	if (isinf(limit))
		snprintf(buffer, size, "%d", limit > 0.0);
	else
		snprintf(buffer, size, "%s((%s - %s)/u)", function,
		         fw_calc_figure(limit, unit, a, sizeof a),
		         fw_calc_figure(c->play, unit, b, sizeof b));
	return buffer;
}

static void show_chance(struct fw_calc_out *out, const struct fw_shim_choice *c,
                        const struct fw_limits *limits, double freedom, const struct fw_unit *unit)
{
	char high[3 * FW_FIGURE], low[3 * FW_FIGURE], p[FW_FIGURE], t[3 * FW_FIGURE] = "";
	bool normal = !(freedom > 0.0 && isfinite(freedom));
	const char *function = normal ? "Φ" : "F";

	if (c->u == 0.0) {
		fw_calc_warn(out, "no uncertainty is given: the chance is one on the numbers, not on the "
		                  "parts; type readings with their ±");
		return;
	}
	if (!normal)
		snprintf(t, sizeof t, ", F of Student's t with %s degrees of freedom",
		         fw_calc_plain(freedom, p));
	fw_calc_line(out, "chance = %s - %s = %s%s",
	             tail_text(function, limits->max, c, unit, high, sizeof high),
	             tail_text(function, limits->min, c, unit, low, sizeof low),
	             fw_calc_plain(c->probability, p), t);
}

/* No shim differs by so little. */
#define SAME 1e-6

/* "a shim of 0.42 mm, or one of 0.22 mm to go with 0.2 mm". */
static void warn_poor(struct fw_calc_out *out, const struct fw_calc_kit *kit,
                      const struct fw_shim_choice *c, const struct fw_calc_kit_words *words,
                      const struct fw_unit *unit)
{
	char p[FW_FIGURE], wanted[FW_FIGURE], add[FW_FIGURE], with[FW_STACK_TEXT];

	fw_calc_plain(floor(1000.0 * c->probability) / 10.0, p);
	if (!(c->wanted > 0.0)) {
		fw_calc_warn(out, "the chance of being within is only %s %%", p);
		return;
	}
	if (fabs(c->wanted - c->stack.thickness) < SAME) {
		fw_calc_warn(out,
		             "the chance of being within is only %s %%, though the thickness is the one "
		             "wanted: measure more finely",
		             p);
		return;
	}
	fw_calc_figure(c->wanted, unit, wanted, sizeof wanted);
	if (isnan(c->add))
		fw_calc_warn(out, "the chance of being within is only %s %%: better get a %s of %s%s", p,
		             words->piece, wanted, words->clamped);
	else
		fw_calc_warn(out,
		             "the chance of being within is only %s %%: better get a %s of %s%s, or one of "
		             "%s to go with %s",
		             p, words->piece, wanted, words->clamped,
		             fw_calc_figure(c->add, unit, add, sizeof add),
		             fw_calc_kit_text(kit, &c->with, with));
}

/* The share that every size of the kit loses, or 0 when they differ. */
static double common_crush(const struct fw_calc_kit *kit)
{
	for (size_t i = 1; i < kit->count; i++)
		if (fabs(kit->shim[i].crush - kit->shim[0].crush) > 1e-9)
			return 0.0;
	return kit->shim[0].crush;
}

static void put_wanted(struct fw_calc_out *out, const struct fw_calc_kit *kit,
                       const struct fw_shim_choice *c, const struct fw_calc_kit_words *words,
                       const struct fw_unit *unit)
{
	char with[FW_STACK_TEXT], label[2 * FW_FIGURE];
	double crush = common_crush(kit);

	snprintf(label, sizeof label, "%s that hits the aim", words->thickness);
	fw_calc_put(out, "wanted", label, c->wanted, unit);
	if (crush > 0.0 && c->wanted > 0.0)
		fw_calc_put(out, "wanted-new", "the same, new", c->wanted / (1.0 - crush), unit);
	if (isnan(c->add))
		return;
	fw_calc_put(out, "add", "or one piece to get, of", c->add, unit);
	fw_calc_put_text(out, "with", "to go with", fw_calc_kit_text(kit, &c->with, with));
}

static void put_shims(struct fw_calc_out *out, const struct fw_calc_kit *kit,
                      const struct fw_stack *stack)
{
	size_t n;

	for (size_t i = 0; i < stack->count; i += n) {
		for (n = 1; i + n < stack->count && stack->shim[i + n] == stack->shim[i];)
			n++;
		const struct fw_calc_values *record = fw_calc_record(kit->in, "kit", stack->shim[i]);
		fw_calc_row(out, "pieces", "Pieces to fit");
		fw_calc_put(out, "thickness", "thickness", kit->shim[stack->shim[i]].thickness,
		            fw_calc_unit(record, "thickness"));
		fw_calc_put_number(out, "count", "count", (double)n);
		fw_calc_row_end(out);
	}
}

void fw_calc_kit_put(struct fw_calc_out *out, const struct fw_calc_kit *kit,
                     const struct fw_shim_choice *c, const struct fw_limits *limits,
                     const struct fw_calc_kit_words *words, const struct fw_unit *unit)
{
	char stack[FW_STACK_TEXT], label[FW_FIGURE], name[FW_FIGURE];

	if (isnan(c->play)) { /* nothing serves */
		put_wanted(out, kit, c, words, unit);
		return;
	}
	show_chance(out, c, limits, words->freedom, unit);
	fw_calc_put_text(out, "fit", "fit", fw_calc_kit_text(kit, &c->stack, stack));
	put_shims(out, kit, &c->stack);
	fw_calc_put(out, "thickness", words->thickness, c->stack.thickness, unit);
	snprintf(label, sizeof label, "%s to expect", words->play);
	fw_calc_put_known(out, words->play, label, c->play, c->u,
	                  words->freedom > 0.0 ? words->freedom : INFINITY, unit);
	snprintf(name, sizeof name, "%s-u", words->play);
	fw_calc_put(out, name, "its standard uncertainty", c->u, fw_calc_fine(unit));
	fw_calc_put_chance(out, "chance", "chance of being within", c->probability);
	put_wanted(out, kit, c, words, unit);
	if (c->probability < FW_CONFORMANCE)
		warn_poor(out, kit, c, words, unit);
}
