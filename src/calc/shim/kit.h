/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file kit.h  What the calculators of one shimmed place share: kit, limits, words for a stack. */
#ifndef FITWRIGHT_CALC_SHIM_KIT_H
#define FITWRIGHT_CALC_SHIM_KIT_H

#include "calc/figure.h"
#include "fitwright/calc.h"
#include "fitwright/shim.h"

/** Room for one figure, and for a stack in words. */
#define FW_STACK_TEXT 640

/** Inputs that calculators of shims have in common: the thickness of a piece, how many there are,
 * and a spread (± with k = 2) that is nothing when left out. */
#define FW_KIT_THICKNESS(text)                                                                     \
	{                                                                                              \
		.name = "thickness", .kind = FW_CALC_QUANTITY, .unit = "mm", .sign = FW_CALC_POSITIVE,     \
		.required = true, .doc = (text)                                                            \
	}
#define FW_KIT_COUNT                                                                               \
	{                                                                                              \
		.name = "count", .kind = FW_CALC_WHOLE, .fallback = "1", .doc = "pieces at hand"           \
	}
#define FW_KIT_SPREAD(called, text)                                                                \
	{                                                                                              \
		.name = (called), .kind = FW_CALC_QUANTITY, .unit = "mm", .sign = FW_CALC_NOT_NEGATIVE,    \
		.fallback = "0 mm", .doc = (text)                                                          \
	}

/** A kit as it was given. */
struct fw_calc_kit {
	struct fw_shim *shim; /**< `count` of them; fw_calc_kit_free() */
	size_t count;
	const struct fw_calc_values *in; /**< borrowed */
};

/** Takes the records of input "kit": thickness (± for its u), count, and, where the table has it,
 *  crush (± too). */
int fw_calc_kit_take(struct fw_calc_kit *out, const struct fw_calc_values *in,
                     struct fw_error *err);
void fw_calc_kit_free(struct fw_calc_kit *kit);

/** Inputs min, max and aim; a side not given is open. */
int fw_calc_kit_limits(struct fw_limits *out, const struct fw_calc_values *in,
                       struct fw_error *err);

/** Input "most", 1 to FW_STACK_MOST; else FW_ERR_ARGUMENT with what was typed. */
int fw_calc_kit_most(size_t *out, const struct fw_calc_values *in, struct fw_error *err);

/** "2 × 0.5 mm + 0.2 mm" by the thickness before crushing, as typed; "none". Returns `buffer`. */
const char *fw_calc_kit_text(const struct fw_calc_kit *kit, const struct fw_stack *stack,
                             char buffer[FW_STACK_TEXT]);

/** What a place calls its things: "play", "shim", "thickness", "" against "nip", "gasket", "clamped
 *  thickness", ", clamped"; and the degrees of freedom of its play, 0 or INFINITY: normal. */
struct fw_calc_kit_words {
	const char *play, *piece, *thickness, *clamped;
	double freedom;
};

/** The line for the chance, the results of a choice, and the warning where it is poor. Results:
 * fit, shims (a table), thickness, play or nip with its u, chance, wanted, add, with. */
void fw_calc_kit_put(struct fw_calc_out *out, const struct fw_calc_kit *kit,
                     const struct fw_shim_choice *choice, const struct fw_limits *limits,
                     const struct fw_calc_kit_words *words, const struct fw_unit *unit);

/** True when a choice failed because nothing serves (not for what was given): then `choice` says
 * what to get. Set choice->wanted to NAN before the call. */
bool fw_calc_kit_nothing(int code, const struct fw_shim_choice *choice);

#endif
