/* SPDX-License-Identifier: GPL-3.0-or-later */
/**
 * @file calc.h
 * Bench calculators: a solver with its inputs named and its working shown.
 *
 * A calculator is one row of a table: what it is called, what it asks for, what it works out. Its
 * command (`fitwright press-fit --shaft "50.03 mm" …`), its Lua word (`solve.press_fit { shaft =
 * mm(50.03), … }`), the help and the reference all come out of that row, and so do the checks of
 * what is given: a value of the wrong dimension, not finite, or of the wrong sign never reaches the
 * solver.
 *
 * The working is a list of lines that a person can follow with a pocket calculator: each names the
 * equation, puts the figures in, and gives the result.
 *
 * Inputs may be uncertain. fw_calculate() then works the whole of it again with each source of
 * uncertainty moved up and down by one standard uncertainty, in all inputs that share it, and takes
 * half the difference as that source's contribution to each result (JCGM 100:2008, 5.1.3, note 2).
 * Where a result is the greatest or least of several inputs it stands still on one side of a tie;
 * of such sources the one that moves it most counts alone.
 *
 * All values in SI. An ordinary temperature is in kelvins.
 */
#ifndef FITWRIGHT_CALC_H
#define FITWRIGHT_CALC_H

#include <stdbool.h>
#include <stddef.h>

#include "fitwright/error.h"
#include "fitwright/quantity.h"

#ifdef __cplusplus
extern "C" {
#endif

/** Kinds of input. */
enum fw_calc_kind {
	FW_CALC_QUANTITY,   /**< of the dimension of `unit` */
	FW_CALC_QUANTITIES, /**< a list of them, at least one */
	FW_CALC_NUMBER,     /**< a plain number; "4 %" is 0.04 */
	FW_CALC_NUMBERS,    /**< a list of them, at least one */
	FW_CALC_WHOLE,      /**< a whole number, -2^53..2^53 */
	FW_CALC_TEXT,       /**< "M10x1.5": not empty, one line, UTF-8 */
	FW_CALC_CHOICE,     /**< one of `choices` */
	FW_CALC_FLAG,       /**< given or not */
	FW_CALC_RECORDS     /**< a list of records with `fields` of their own, at least one */
};

/** What a number, or each number of a list, must be; else FW_ERR_ARGUMENT. */
enum fw_calc_sign { FW_CALC_ANY, FW_CALC_POSITIVE, FW_CALC_NOT_NEGATIVE };

/** One input. */
struct fw_calc_input {
	const char *name; /**< lower case, words joined by '-': "bearing-dia"; '_' for '-' in Lua */
	enum fw_calc_kind kind;
	const char *unit; /**< what a bare number is counted in; plain inputs: NULL. "*": a quantity
	                       of any dimension, typed with its unit; "*mm": a bare one in mm. "=x": of
	                     the same dimension as input x beside it, a bare number in x's unit when x
	                     was given before; "~x": the same for a difference (K where x is in °C) */
	enum fw_calc_sign sign; /**< of quantities and numbers */
	bool required;
	const char *fallback; /**< taken when the input isn't given, as it would be typed; or NULL */
	const char *choices;  /**< "dry|oiled": for FW_CALC_CHOICE */
	const struct fw_calc_input *fields; /**< of a record, ended by a NULL name; its first field may
	                                       be typed without its name */
	const char *doc;                    /**< a few words for the help */
};

/** Most items of a list, and most records, in one input; most results of one calculation. */
#define FW_CALC_ITEMS        1000000
#define FW_CALC_RECORDS_MOST 100000
#define FW_CALC_RESULTS_MOST 50000

/** Whether an input takes many values: a list or records. */
bool fw_calc_is_list(const struct fw_calc_input *input);

/** What was given for a calculator's inputs, or for the fields of one record. */
struct fw_calc_values;

/** What a calculation gave: results, working, warnings. */
struct fw_calc_out;

/** A calculator. */
struct fw_calculator {
	const char *name;    /**< command; '_' for '-' in Lua: solve.press_fit */
	const char *summary; /**< one line of a list, no full stop */
	const char
	    *about; /**< what it does, what it assumes, where that ends; lines below 78 columns */
	const char *source;                 /**< where its equations come from */
	const char *example;                /**< arguments of a command that works; the tests run it */
	const struct fw_calc_input *inputs; /**< ended by a NULL name */
	/** True: no uncertainty is worked through, as the calculator reads it itself
	    (fw_calc_quantity()), deals in scatter, or takes long. */
	bool plain;
	bool costly; /**< may take seconds: a procedure gets a few calls an answer */
	/** Works it out. Values are as the table promises. Never prints. */
	int (*run)(struct fw_calc_out *out, const struct fw_calc_values *in, struct fw_error *err);
};

/** The calculator at `index`, counted from 0, NULL behind the last; and the one of that name
 * (either spelling), or NULL. */
const struct fw_calculator *fw_calculator_at(size_t index);
const struct fw_calculator *fw_calculator_find(const char *name);

/* What a calculator gets. Names are those of its table: a misspelt one is a bug and gives "absent".
 */

/** True when given or filled in from `fallback`. */
bool fw_calc_given(const struct fw_calc_values *in, const char *name);
/** A quantity in SI, a number, a whole number; NAN when absent. */
double fw_calc_value(const struct fw_calc_values *in, const char *name);
/** A quantity or number with what is known of its uncertainty; NULL when absent. */
const struct fw_quantity *fw_calc_quantity(const struct fw_calc_values *in, const char *name);
/** The unit that quantity (or the first of a list) was typed in; the input's own when absent. */
const struct fw_unit *fw_calc_unit(const struct fw_calc_values *in, const char *name);
/** A text or choice, borrowed; NULL when absent. */
const char *fw_calc_text(const struct fw_calc_values *in, const char *name);
/** Which choice it is, from 0; -1 when absent. */
int fw_calc_choice(const struct fw_calc_values *in, const char *name);
bool fw_calc_flag(const struct fw_calc_values *in, const char *name);
/** How many items or records; 0 when absent. */
size_t fw_calc_count(const struct fw_calc_values *in, const char *name);
/** An item of QUANTITIES (SI) or NUMBERS; NAN when there is none. */
double fw_calc_item(const struct fw_calc_values *in, const char *name, size_t index);
/** Such an item with what is known of its uncertainty; NULL when there is none. Good until the next
 *  call for the same input. */
const struct fw_quantity *fw_calc_item_quantity(const struct fw_calc_values *in, const char *name,
                                                size_t index);
/** A record, borrowed; NULL when there is none. */
const struct fw_calc_values *fw_calc_record(const struct fw_calc_values *in, const char *name,
                                            size_t index);

/* What a calculator puts out. Running out of memory is remembered and reported by fw_calculate().
 */

/** One line of working, no newline at its end: "p = … = … = 31.2 MPa". */
void fw_calc_line(struct fw_calc_out *out, const char *format, ...) FW_PRINTF(2, 3);
/** Something to beware of: shown above the results, and makes the command end with status 1. */
void fw_calc_warn(struct fw_calc_out *out, const char *format, ...) FW_PRINTF(2, 3);
/** A result: `name` for machines ("holding-torque"), `label` for people ("holding torque"), the SI
 *  value and the unit to write it in. A value that isn't finite is left out. */
void fw_calc_put(struct fw_calc_out *out, const char *name, const char *label, double si,
                 const struct fw_unit *unit);
/** The same for a difference of temperatures and the like (fw_quantity_span()). */
void fw_calc_put_span(struct fw_calc_out *out, const char *name, const char *label, double si,
                      const struct fw_unit *unit);
/** The same with the standard uncertainty `u` (SI) and degrees of freedom that the calculator finds
 * for it itself, as a source of its own: for those that are `plain`. */
void fw_calc_put_known(struct fw_calc_out *out, const char *name, const char *label, double si,
                       double u, double freedom, const struct fw_unit *unit);
/** A result that is a plain number, a text, a yes or no. */
void fw_calc_put_number(struct fw_calc_out *out, const char *name, const char *label, double value);
/** A probability, never shown as certain when it isn't quite. */
void fw_calc_put_chance(struct fw_calc_out *out, const char *name, const char *label,
                        double probability);
void fw_calc_put_text(struct fw_calc_out *out, const char *name, const char *label,
                      const char *text);
void fw_calc_put_flag(struct fw_calc_out *out, const char *name, const char *label, bool value);
/** Results put between these two make one row of the table `name`; rows put one after the other
 * under one name make a table (an array of objects in JSON). Rows don't nest. */
void fw_calc_row(struct fw_calc_out *out, const char *name, const char *label);
void fw_calc_row_end(struct fw_calc_out *out);

/** For lines of working: `si` in `unit` with six significant figures and the unit's symbol,
 *  "27777.8 N". Returns `buffer`; 48 bytes are always enough. */
const char *fw_calc_figure(double si, const struct fw_unit *unit, char *buffer, size_t size);

/* Giving values, for whoever drives a calculator. */

/** Empty values for `inputs` (borrowed; static tables). The caller frees with
 * fw_calc_values_free(). */
int fw_calc_values_new(struct fw_calc_values **out, const struct fw_calc_input *inputs,
                       struct fw_error *err);
void fw_calc_values_free(struct fw_calc_values *values);
/** Sets an input from what a person typed; items and records are added, one a call (a list may also
 *  be typed in one, items parted by ';'). A quantity may carry its expanded uncertainty (k = 2):
 *  "0.41 mm ± 0.01 mm", "+-" too. A record is typed "cover, size=12.5 mm, tolerance=0.1 mm".
 *  "± 2 %" is a share of the value, unless that was typed in % itself. What is typed is a source of
 *  its own, named by the input and its place in it: two calculations in one program that give ± to
 *  inputs of one name share it. A count has no ±. FW_ERR_INPUT, FW_ERR_DIMENSION, FW_ERR_NOT_FOUND
 *  (no such input), FW_ERR_ARGUMENT (sign, given twice), each naming the input; of a record that
 *  can't be read nothing is kept. */
int fw_calc_type(struct fw_calc_values *values, const char *name, const char *text,
                 struct fw_error *err);
/** Sets or adds a value that is one already. The same errors. */
int fw_calc_set_quantity(struct fw_calc_values *values, const char *name,
                         const struct fw_quantity *q, struct fw_error *err);
int fw_calc_set_number(struct fw_calc_values *values, const char *name, double value,
                       struct fw_error *err);
int fw_calc_set_text(struct fw_calc_values *values, const char *name, const char *text,
                     struct fw_error *err);
int fw_calc_set_flag(struct fw_calc_values *values, const char *name, bool value,
                     struct fw_error *err);
/** Adds an empty record, borrowed by the caller to be filled. */
int fw_calc_add_record(struct fw_calc_values **out, struct fw_calc_values *values, const char *name,
                       struct fw_error *err);

/** Most effort of one calculation, some seconds. */
#define FW_CALC_EFFORT_MOST 2e7

/** How much work it is: values read, once for each time that it is worked. */
double fw_calc_effort(const struct fw_calculator *calculator, const struct fw_calc_values *values);

/** Fills in what was left out, checks that nothing required is missing, and works it out. The
 * caller frees `*out` with fw_calc_free(). Errors: FW_ERR_ARGUMENT naming the input; FW_ERR_RANGE:
 * more results than FW_CALC_RESULTS_MOST, or more effort than FW_CALC_EFFORT_MOST; those of the
 * solver. */
int fw_calculate(struct fw_calc_out **out, const struct fw_calculator *calculator,
                 struct fw_calc_values *values, struct fw_error *err);
void fw_calc_free(struct fw_calc_out *out);

/* Reading what came out. */

enum fw_calc_result_kind {
	FW_CALC_IS_QUANTITY,
	FW_CALC_IS_NUMBER,
	FW_CALC_IS_TEXT,
	FW_CALC_IS_FLAG
};

/** One result. Everything is borrowed from the output. */
struct fw_calc_result {
	const char *name, *label;
	enum fw_calc_result_kind kind;
	struct fw_quantity quantity; /**< also a number, with dimension one: it may be uncertain */
	const char *text;
	bool flag;
	bool chance;                     /**< the number is a probability */
	const char *table, *table_label; /**< NULL: not in a row */
	size_t row;                      /**< from 0 within its table */
};

size_t fw_calc_results(const struct fw_calc_out *out);
const struct fw_calc_result *fw_calc_result(const struct fw_calc_out *out, size_t index);
/** The result of that name outside tables, or NULL. */
const struct fw_calc_result *fw_calc_result_find(const struct fw_calc_out *out, const char *name);
size_t fw_calc_lines(const struct fw_calc_out *out);
const char *fw_calc_line_text(const struct fw_calc_out *out, size_t index);
size_t fw_calc_warnings(const struct fw_calc_out *out);
const char *fw_calc_warning_text(const struct fw_calc_out *out, size_t index);

#ifdef __cplusplus
}
#endif

#endif
