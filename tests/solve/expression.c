/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Works out expressions in reverse Polish notation from standard input, one a line, for
 * expressions.py to compare:
 *
 *     v VALUE UNIT COUNT {SOURCE U FREEDOM}   a quantity and its terms (u in SI, signed)
 *     + - * /                                 of the two before
 *     s FACTOR      r                         scaled; square root
 *     =                                       value, u and degrees of freedom in SI, exponent of
 * length
 */
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "fitwright/quantity.h"

enum { DEPTH = 64 };

static int add_signed(struct fw_quantity *q, const char *source, double u, double freedom,
                      struct fw_error *err)
{
	struct fw_quantity term = {.dimension = q->dimension, .unit = q->unit};

	int code = fw_quantity_add_term(&term, fw_source_name(source), fabs(u), freedom, err);
	if (code == FW_OK)
		code = (u < 0 ? fw_quantity_sub : fw_quantity_add)(q, q, &term, err);
	return code;
}

static int read_quantity(struct fw_quantity *q, struct fw_error *err)
{
	double value, u, freedom;
	char unit[16], source[32];
	int count;

	if (scanf("%lf %15s %d", &value, unit, &count) != 3)
		return fw_fail(err, FW_ERR_INPUT, "no value");
	int code = fw_quantity_make(q, value, fw_unit_find(unit, strlen(unit)), err);
	for (int i = 0; code == FW_OK && i < count; i++) {
		if (scanf("%31s %lf %lf", source, &u, &freedom) != 3)
			return fw_fail(err, FW_ERR_INPUT, "no term");
		code = add_signed(q, source, u, freedom, err);
	}
	return code;
}

static int combine(struct fw_quantity *a, const struct fw_quantity *b, char operation,
                   struct fw_error *err)
{
	switch (operation) {
	case '+':
		return fw_quantity_add(a, a, b, err);
	case '-':
		return fw_quantity_sub(a, a, b, err);
	case '*':
		return fw_quantity_mul(a, a, b, err);
	case '/':
		return fw_quantity_div(a, a, b, err);
	default:
		return fw_fail(err, FW_ERR_INPUT, "no such operation: %c", operation);
	}
}

static int step(struct fw_quantity *stack, size_t *top, char word, struct fw_error *err)
{
	double factor;

	if (word == 'v')
		return *top < DEPTH ? read_quantity(&stack[(*top)++], err)
		                    : fw_fail(err, FW_ERR_INPUT, "too deep");
	if (*top == 0)
		return fw_fail(err, FW_ERR_INPUT, "nothing to work with");
	if (word == 's')
		return scanf("%lf", &factor) == 1
		           ? fw_quantity_scale(&stack[*top - 1], &stack[*top - 1], factor, err)
		           : fw_fail(err, FW_ERR_INPUT, "no factor");
	if (word == 'r')
		return fw_quantity_sqrt(&stack[*top - 1], &stack[*top - 1], err);
	if (*top < 2)
		return fw_fail(err, FW_ERR_INPUT, "one operand is missing");
	(*top)--;
	return combine(&stack[*top - 1], &stack[*top], word, err);
}

int main(void)
{
	static struct fw_quantity stack[DEPTH];
	struct fw_error err = {0};
	size_t top = 0;
	char word;

	while (scanf(" %c", &word) == 1) {
		if (word == '=' && top == 1) {
			printf("%a %a %a %d\n", stack[0].value, fw_quantity_u(&stack[0]),
			       fw_quantity_freedom(&stack[0]), stack[0].dimension.length);
			top = 0;
		} else if (step(stack, &top, word, &err) != FW_OK) {
			fprintf(stderr, "%s\n", err.text);
			return 1;
		}
	}
	return 0;
}
