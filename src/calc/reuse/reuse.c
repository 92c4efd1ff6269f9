/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "calc/reuse/reuse.h"

#include <stdlib.h>

#include "calc/list.h"

static int run(struct fw_calc_out *out, const struct fw_calc_values *in, struct fw_error *err)
{
	struct fw_bench bench;
	struct fw_reuse_sum sum;

	int rc = fw_bench_take(&bench, in, err);
	if (rc != FW_OK)
		return rc;
	struct fw_fitting *fitting = malloc(bench.reuse.places * sizeof *fitting);
	rc = fitting ? fw_reuse(fitting, &sum, &bench.reuse, err)
	             : fw_fail(err, FW_ERR_MEMORY, "reuse: out of memory");
	if (rc == FW_OK)
		rc = fw_bench_put(out, &bench, fitting, &sum, err);
	free(fitting);
	fw_bench_free(&bench);
	return rc;
}

#define LENGTH(a_name, a_sign, is_required, a_doc)                                                 \
	{                                                                                              \
		.name = (a_name), .kind = FW_CALC_QUANTITY, .unit = "mm", .sign = (a_sign),                \
		.required = (is_required), .doc = (a_doc)                                                  \
	}

#define ERROR_OF(a_name, a_doc)                                                                    \
	{                                                                                              \
		.name = (a_name), .kind = FW_CALC_QUANTITY, .unit = "mm", .sign = FW_CALC_NOT_NEGATIVE,    \
		.fallback = "0 mm", .doc = (a_doc)                                                         \
	}

static const struct fw_calc_input place_fields[] = {
    {.name = "name", .kind = FW_CALC_TEXT, .required = true, .doc = "\"exhaust 1\""},
    LENGTH("found", FW_CALC_ANY, true, "clearance measured, ± (k = 2)"),
    LENGTH("was", FW_CALC_POSITIVE, false, "size of the part then in, ±; left out: none was"),
    LENGTH("min", FW_CALC_ANY, false, "least clearance here"),
    LENGTH("max", FW_CALC_ANY, false, "most clearance here"),
    LENGTH("aim", FW_CALC_ANY, false, "aim here"),
    {.name = NULL}};

static const struct fw_calc_input spare_fields[] = {
    LENGTH("size", FW_CALC_POSITIVE, true, "as measured, ± (k = 2)"), {.name = NULL}};

static const struct fw_calc_input shelf_fields[] = {
    LENGTH("size", FW_CALC_POSITIVE, true, "of the grade"),
    {.name = "count", .kind = FW_CALC_WHOLE, .doc = "pieces there; any number if not given"},
    {.name = NULL}};

static const struct fw_calc_input inputs[] = {
    {.name = "place",
     .kind = FW_CALC_RECORDS,
     .required = true,
     .fields = place_fields,
     .doc = "a valve or bearing, in order"},
    {.name = "spare",
     .kind = FW_CALC_RECORDS,
     .fields = spare_fields,
     .doc = "an old part more, from nowhere here"},
    {.name = "shelf",
     .kind = FW_CALC_RECORDS,
     .fields = shelf_fields,
     .doc = "a grade that can be bought"},
    LENGTH("shelf-from", FW_CALC_POSITIVE, false, "or grades in steps: the smallest"),
    LENGTH("shelf-to", FW_CALC_POSITIVE, false, "the largest"),
    LENGTH("shelf-step", FW_CALC_POSITIVE, false, "from one to the next"),
    LENGTH("min", FW_CALC_ANY, false, "least clearance; open if not given"),
    LENGTH("max", FW_CALC_ANY, false, "most clearance; open if not given"),
    LENGTH("aim", FW_CALC_ANY, false, "clearance aimed at; the middle if not given"),
    ERROR_OF("gauge", "± of a clearance typed without one (k = 2)"),
    ERROR_OF("micrometer", "± of an old part's size typed without one (k = 2)"),
    ERROR_OF("shelf-error", "± of a new part's size (k = 2)"),
    {.name = "part",
     .kind = FW_CALC_CHOICE,
     .choices = "shim|shells",
     .fallback = "shim",
     .doc = "one part a place, or two shells of one size"},
    {.name = "chance",
     .kind = FW_CALC_NUMBER,
     .sign = FW_CALC_POSITIVE,
     .fallback = "0.95",
     .doc = "to be within, that a choice must have"},
    {.name = NULL}};

const struct fw_calculator fw_calculator_reuse = {
    .name = "reuse",
    .summary = "which old shim or shell goes where, and which to buy",
    .about = "Clearance falls by what a part is thicker: by once a shim's, twice a shell's\n"
             "size. Of all ways to give each place an old part or one of the shelf the best\n"
             "is found: fewest places left out, then fewest bought, then least sum of what\n"
             "the clearances are off their aims, then a part where it was, else the first\n"
             "that serves. A part serves where the clearance is within with that chance. What\n"
             "stays adds no uncertainty of its size. Check every clearance once assembled.",
    .source = "geometry; shortest augmenting paths: Jonker and Volgenant, Computing 38 (1987); "
              "verdict: JCGM 106:2012, 7.3, as ISO 14253-1 asks (from memory)",
    .example = "--place \"inlet 1, found=0.16 mm, was=2.50 mm\" --place \"inlet 2, found=0.27 mm, "
               "was=2.40 mm\" --place \"exhaust 1, found=0.21 mm, was=2.60 mm, min=0.27 mm, "
               "max=0.33 mm\" --min \"0.17 mm\" --max \"0.23 mm\" --gauge \"0.02 mm\" --micrometer "
               "\"0.004 mm\" --shelf-from \"2 mm\" --shelf-to \"3 mm\" --shelf-step \"0.025 mm\"",
    .inputs = inputs,
    .plain = true,
    .run = run};
