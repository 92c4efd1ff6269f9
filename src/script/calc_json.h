/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file calc_json.h  A calculation as JSON: for --json and for findings. '-' in names becomes '_'.
 */
#ifndef FITWRIGHT_SCRIPT_CALC_JSON_H
#define FITWRIGHT_SCRIPT_CALC_JSON_H

#include <jansson.h>

#include "fitwright/calc.h"

/* Longest name of an input or result that is kept whole. */
#define FW_CALC_NAME 64

/* A name with '_' for '-'. Returns `buffer`. */
const char *fw_calc_key(const char *name, char *buffer, size_t size);

/* What was given and filled in. NULL when out of memory, as below. */
json_t *fw_calc_inputs_json(const struct fw_calc_input *inputs,
                            const struct fw_calc_values *values);

/* Results by name; a table is an array of objects. A plain number is a quantity in the unit "1". */
json_t *fw_calc_results_json(const struct fw_calc_out *out);

/* What each result and each table is called, by its name in the results: "holding_torque",
 * "pieces", "pieces.thickness". */
json_t *fw_calc_labels_json(const struct fw_calc_out *out);

/* The working and the warnings, each an array of objects with "text". */
json_t *fw_calc_working_json(const struct fw_calc_out *out);
json_t *fw_calc_warnings_json(const struct fw_calc_out *out);

/* A result in words: "31.2 MPa ± 0.4 MPa", "0.99983", "yes". Returns `buffer`, or the result's own
 * text. */
const char *fw_calc_result_text(const struct fw_calc_result *result, char *buffer, size_t size);

#endif
