/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>
#include <stdio.h>

#include "calc/bearing/common.h"

/* What all bearings of one run share. */
struct duty {
	double radial, axial, speed, reliability;
	bool loaded;
};

/* One bearing and what it comes to. */
struct rated {
	const char *name;
	struct fw_bearing bearing;
	struct fw_bearing_rating rating;
	struct fw_bearing_load load;
	struct fw_bearing_life life;
};

#define MOST 100

static int take_one(struct rated *r, const struct fw_calc_values *record, struct fw_error *err)
{
	unsigned rows;
	int rc = fw_bearing_take(&r->bearing, record, err);

	r->name = fw_calc_text(record, "name");
	if (rc == FW_OK && (rc = fw_bearing_whole(&rows, record, "rows", 100, err)) == FW_OK)
		r->bearing.rows = rows;
	return rc;
}

static int work_out(struct rated *r, const struct duty *duty, struct fw_error *err)
{
	int rc = fw_bearing_rate(&r->rating, &r->bearing, err);

	if (rc == FW_OK && duty->loaded)
		rc = fw_bearing_equivalent(&r->load, &r->bearing, duty->radial, duty->axial, err);
	if (rc == FW_OK && duty->loaded)
		rc = fw_bearing_lasts(&r->life, r->bearing.kind, r->rating.dynamic, r->load.dynamic,
		                      duty->speed, duty->reliability, err);
	return rc;
}

static void show_ball(struct fw_calc_out *out, const struct rated *r)
{
	const struct fw_bearing *b = &r->bearing;
	double dw = b->element_dia * 1e3, c = b->rows * cos(b->contact_angle);
	bool large = dw > 25.4;

	fw_calc_line(out, "  C = bm·fc·(i·cos α)^0.7·Z^(2/3)·%s", large ? "3.647·Dw^1.4" : "Dw^1.8");
	fw_calc_line(out, "    = 1.3·%.4g·%.5g^0.7·%u^(2/3)·%s%.5g^%s = %.5g N", r->rating.fc, c,
	             b->elements, large ? "3.647·" : "", dw, large ? "1.4" : "1.8", r->rating.dynamic);
	fw_calc_line(out, "  C0 = f0·i·Z·Dw²·cos α = %.4g·%u·%u·%.5g²·%.5g = %.5g N", r->rating.f0,
	             b->rows, b->elements, dw, cos(b->contact_angle), r->rating.still);
}

static void show_roller(struct fw_calc_out *out, const struct rated *r)
{
	const struct fw_bearing *b = &r->bearing;
	double dw = b->element_dia * 1e3, length = b->element_length * 1e3, c = cos(b->contact_angle);

	fw_calc_line(out, "  C = bm·fc·(i·Lwe·cos α)^(7/9)·Z^(3/4)·Dwe^(29/27)");
	fw_calc_line(out, "    = 1.1·%.4g·%.5g^(7/9)·%u^(3/4)·%.5g^(29/27) = %.5g N", r->rating.fc,
	             b->rows * length * c, b->elements, dw, r->rating.dynamic);
	fw_calc_line(out, "  C0 = 44·(1 - %.4g)·i·Z·Lwe·Dwe·cos α = %.4g·%u·%u·%.5g·%.5g·%.5g = %.5g N",
	             r->rating.gamma, r->rating.f0, b->rows, b->elements, length, dw, c,
	             r->rating.still);
}

static void show_load(struct fw_calc_out *out, const struct rated *r, const struct duty *duty)
{
	const struct fw_bearing_load *l = &r->load;
	bool balls = r->bearing.kind == FW_BALL_BEARING;

	if (duty->axial > 0.0 && balls && r->bearing.contact_angle > 0.0)
		fw_calc_line(out, "  f0·i·Fa/C0 = %.4g·%u·%.5g/%.5g = %.4g; table: e = %.4g", r->rating.f0,
		             r->bearing.rows, duty->axial, r->rating.still, l->relative, l->e);
	else if (duty->axial > 0.0 && balls)
		fw_calc_line(out, "  f0·Fa/C0 = %.4g·%.5g/%.5g = %.4g; table: e = %.4g", r->rating.f0,
		             duty->axial, r->rating.still, l->relative, l->e);
	if (duty->axial > 0.0 && duty->radial > 0.0)
		fw_calc_line(out, "  Fa/Fr = %.5g/%.5g = %.4g; e = %.4g", duty->axial, duty->radial,
		             duty->axial / duty->radial, l->e);
	fw_calc_line(out, "  P = X·Fr + Y·Fa = %.4g·%.5g + %.4g·%.5g = %.5g N", l->x, duty->radial,
	             l->y, duty->axial, l->dynamic);
	fw_calc_line(out, "  L = a1·(C/P)^p = %.4g·(%.5g/%.5g)^%s = %.5g million turns", r->life.a1,
	             r->rating.dynamic, l->dynamic, balls ? "3" : "(10/3)", r->life.revolutions / 1e6);
	if (isfinite(r->life.seconds))
		fw_calc_line(out, "  hours = L·10^6/(60·n) = %.5g·10^6/(60·%.5g) = %.5g h",
		             r->life.revolutions / 1e6, 60.0 * fw_bearing_hertz(duty->speed),
		             r->life.seconds / 3600.0);
}

static void show(struct fw_calc_out *out, const struct rated *r, const struct duty *duty)
{
	fw_calc_line(out, "%s: Dw·cos α/Dpw = %.5g·%.5g/%.5g = %.4g; table: fc = %.4g, f0 = %.4g",
	             r->name, r->bearing.element_dia * 1e3, cos(r->bearing.contact_angle),
	             r->bearing.pitch_dia * 1e3, r->rating.gamma, r->rating.fc, r->rating.f0);
	if (r->bearing.kind == FW_BALL_BEARING && r->bearing.rows == 2 &&
	    r->bearing.contact_angle == 0.0)
		fw_calc_line(out, "  two rows of radial contact: this fc is 0.90/0.95 of one row's");
	if (r->bearing.kind == FW_BALL_BEARING)
		show_ball(out, r);
	else
		show_roller(out, r);
	if (duty->loaded)
		show_load(out, r, duty);
}

static void put(struct fw_calc_out *out, const struct rated *r, const struct rated *first,
                const struct duty *duty)
{
	const struct fw_unit *newton = fw_calc_symbol("N");

	fw_calc_row(out, "bearings", "Bearings");
	fw_calc_put_text(out, "name", "bearing", r->name);
	fw_calc_put(out, "dynamic", "C", r->rating.dynamic, newton);
	fw_calc_put(out, "static", "C0", r->rating.still, newton);
	if (duty->loaded) {
		fw_calc_put(out, "load", "P", r->load.dynamic, newton);
		fw_calc_put_number(out, "safety", "C0/P0", r->rating.still / r->load.still);
		fw_calc_put_number(out, "turns", "million turns", r->life.revolutions / 1e6);
		fw_calc_put(out, "life", "life", r->life.seconds, fw_calc_symbol("h"));
	}
	fw_calc_row_end(out);
	if (r == first)
		return;
	fw_calc_row(out, "against", "Against the first");
	fw_calc_put_text(out, "name", "bearing", r->name);
	fw_calc_put_number(out, "balls", "balls",
	                   (double)r->bearing.elements / first->bearing.elements);
	fw_calc_put_number(out, "dia", "their diameter",
	                   r->bearing.element_dia / first->bearing.element_dia);
	fw_calc_put_number(out, "dynamic", "C", r->rating.dynamic / first->rating.dynamic);
	fw_calc_put_number(out, "static", "C0", r->rating.still / first->rating.still);
	if (duty->loaded)
		fw_calc_put_number(out, "life", "life", r->life.revolutions / first->life.revolutions);
	fw_calc_row_end(out);
}

static void warn(struct fw_calc_out *out, const struct rated *r)
{
	if (r->life.heavy)
		fw_calc_warn(out, "%s: the load is above C/2; the life formula isn't meant for that",
		             r->name);
	if (r->rating.still < r->load.still)
		fw_calc_warn(out, "%s: the load is above the static rating; it will be dented", r->name);
}

static bool better(const struct rated *a, const struct rated *b, const struct duty *duty)
{
	return duty->loaded ? a->life.revolutions > b->life.revolutions
	                    : a->rating.dynamic > b->rating.dynamic;
}

static int run(struct fw_calc_out *out, const struct fw_calc_values *in, struct fw_error *err)
{
	double axial = fw_calc_value(in, "axial"), radial = fw_calc_value(in, "radial"),
	       speed = fw_calc_value(in, "speed");
	struct duty duty = {isnan(radial) ? 0.0 : radial, isnan(axial) ? 0.0 : axial,
	                    isnan(speed) ? 0.0 : speed, fw_calc_value(in, "reliability"), false};
	size_t count = fw_calc_count(in, "bearing");
	struct rated first = {0}, best = {0}, r;

	duty.loaded = duty.radial > 0.0 || duty.axial > 0.0;
	if (count > MOST)
		return fw_fail(err, FW_ERR_ARGUMENT, "bearing: at most %d at once", MOST);
	for (size_t i = 0; i < count; i++) {
		r = (struct rated){0};
		int rc = take_one(&r, fw_calc_record(in, "bearing", i), err);
		if (rc == FW_OK)
			rc = work_out(&r, &duty, err);
		if (rc != FW_OK) {
			fw_error_prefix(err, "bearing %zu: ", i + 1);
			return rc;
		}
		if (i == 0)
			first = best = r;
		if (better(&r, &best, &duty))
			best = r;
		show(out, &r, &duty);
		put(out, i == 0 ? &first : &r, &first, &duty);
		warn(out, &r);
	}
	if (duty.loaded)
		fw_calc_put_text(out, "best", "lasts longest", best.name);
	else
		fw_calc_put_text(out, "best", "rates highest", best.name);
	return FW_OK;
}

static const struct fw_calc_input fields[] = {
    {.name = "name", .kind = FW_CALC_TEXT, .required = true, .doc = "what to call it"},
    FW_GEOMETRY_INPUTS(true),
    {.name = "rows", .kind = FW_CALC_WHOLE, .fallback = "1", .doc = "number of rows"},
    {.name = "length",
     .kind = FW_CALC_QUANTITY,
     .unit = "mm",
     .sign = FW_CALC_POSITIVE,
     .doc = "of the rollers; makes it a roller bearing"},
    FW_INPUT_END};

static const struct fw_calc_input inputs[] = {
    {.name = "bearing",
     .kind = FW_CALC_RECORDS,
     .required = true,
     .fields = fields,
     .doc = "one record each; the others are held against the first"},
    {.name = "radial",
     .kind = FW_CALC_QUANTITY,
     .unit = "N",
     .sign = FW_CALC_NOT_NEGATIVE,
     .doc = "radial load Fr"},
    {.name = "axial",
     .kind = FW_CALC_QUANTITY,
     .unit = "N",
     .sign = FW_CALC_NOT_NEGATIVE,
     .doc = "axial load Fa"},
    {.name = "speed", .kind = FW_CALC_QUANTITY, .unit = "rpm", .doc = "for the life in hours"},
    {.name = "reliability",
     .kind = FW_CALC_NUMBER,
     .sign = FW_CALC_POSITIVE,
     .fallback = "90 %",
     .doc = "share that shall last, 90 % to 99.95 %"},
    FW_INPUT_END};

const struct fw_calculator fw_calculator_bearing = {
    .name = "bearing",
    .summary = "load ratings and life of rolling bearings, from their balls",
    .about = "Counts and sizes balls or rollers for what the bearing can carry: dynamic and\n"
             "static rating, and under a load its life. Several bearings of one size can be\n"
             "compared: at one ball size the rating goes with the number of balls to the 2/3,\n"
             "but more balls in a row must be smaller, which costs more than it brings.\n"
             "For ordinary steel, grooves of at most 0.52 ball diameters, and clean oil: the\n"
             "factor aISO for lubrication and dirt is left out, and so are filling slots.",
    .source = "ISO 281:2007, ISO 76:2006 (tables checked against the theory behind them)",
    .example = "--bearing 'old, balls=8, dia=12, pitch=50' "
               "--bearing 'new, balls=12, dia=8, pitch=50' --radial 2000 --speed 1500",
    .inputs = inputs,
    .run = run};
