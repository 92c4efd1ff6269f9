/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>
#include <stdio.h>

#include "solve/length_text.h"
#include "solve/shim/stack.h"

#define TEXT (2 * FW_LENGTH_TEXT + 32)

/* "0.13 mm (0.0051 in) to 0.64 mm (0.0252 in)", "at least ...", "at most ...". */
static const char *range_text(double low, double high, char *buffer, size_t size)
{
	char a[FW_LENGTH_TEXT], b[FW_LENGTH_TEXT];

	if (isinf(high))
		snprintf(buffer, size, "at least %s", fw_length_text(low, a, sizeof a));
	else if (isinf(low))
		snprintf(buffer, size, "at most %s", fw_length_text(high, b, sizeof b));
	else
		snprintf(buffer, size, "%s to %s", fw_length_text(low, a, sizeof a),
		         fw_length_text(high, b, sizeof b));
	return buffer;
}

/* The share of its thickness that every size of the kit loses, or 0 when they differ. */
static double common_crush(const struct fw_stack_task *task)
{
	for (size_t i = 1; i < task->sizes; i++)
		if (fabs(task->kit[i].crush - task->kit[0].crush) > 1e-9)
			return 0.0;
	return task->kit[0].crush;
}

/* "0.42 mm (0.0165 in)", and what it must measure new where it is crushed in use. */
static const char *get_text(const struct fw_stack_task *task, double wanted, char *buffer,
                            size_t size)
{
	char clamped[FW_LENGTH_TEXT], fresh[FW_LENGTH_TEXT];
	double crush = common_crush(task);

	fw_length_text(wanted, clamped, sizeof clamped);
	if (crush > 0.0)
		snprintf(buffer, size, "%s new, %s clamped",
		         fw_length_text(wanted / (1.0 - crush), fresh, sizeof fresh), clamped);
	else
		snprintf(buffer, size, "%s", clamped);
	return buffer;
}

/* "0.50 mm (0.0197 in) and 2 of 1.00 mm (0.0394 in)". */
static const char *pieces_text(const struct fw_stack *stack, const struct fw_shim *kit,
                               char *buffer, size_t size)
{
	char length[FW_LENGTH_TEXT];
	size_t used = 0, n;

	buffer[0] = '\0';
	for (size_t i = 0; i < stack->count && used < size; i += n) {
		for (n = 1; i + n < stack->count && stack->shim[i + n] == stack->shim[i];)
			n++;
		const char *joint = i == 0 ? "" : i + n < stack->count ? ", " : " and ";
		fw_length_text(kit[stack->shim[i]].thickness, length, sizeof length);
		int wrote = n > 1 ? snprintf(buffer + used, size - used, "%s%zu of %s", joint, n, length)
		                  : snprintf(buffer + used, size - used, "%s%s", joint, length);
		used += wrote > 0 ? (size_t)wrote : 0;
	}
	return buffer;
}

/* ", or one of 1.42 mm (0.0559 in) to go with 2 of 2.00 mm (0.0787 in)", or nothing. */
static const char *with_text(const struct fw_stack_task *task, const struct fw_shim_choice *choice,
                             char *buffer, size_t size)
{
	char add[TEXT], pieces[FW_STACK_MOST * (FW_LENGTH_TEXT + 8)];

	buffer[0] = '\0';
	if (isfinite(choice->add))
		snprintf(buffer, size, ", or one of %s to go with %s",
		         get_text(task, choice->add, add, sizeof add),
		         pieces_text(&choice->with, task->kit, pieces, sizeof pieces));
	return buffer;
}

static int advise_size(const struct fw_stack_task *task, const struct fw_shim_choice *choice,
                       struct fw_error *err)
{
	double wanted = choice->wanted;
	double low = fmax(0.0, task->datum - task->limits->max);
	double high = task->datum - task->limits->min;
	char asked[TEXT], whole[TEXT], get[TEXT], with[FW_ERROR_TEXT];
	const char *but = task->may_be_empty ? ", nor does leaving all out" : "";

	range_text(task->limits->min, task->limits->max, asked, sizeof asked);
	range_text(isinf(high) || low > 0.0 ? low : -INFINITY, high, whole, sizeof whole);
	if (wanted > 0.0)
		return fw_fail(err, FW_ERR_RANGE,
		               "no stack of up to %zu from the kit brings the %s to %s%s: get a %s of %s, "
		               "or a stack of %s in all%s",
		               task->most, task->play, asked, but, task->noun,
		               get_text(task, wanted, get, sizeof get), whole,
		               with_text(task, choice, with, sizeof with));
	return fw_fail(
	    err, FW_ERR_RANGE,
	    "no stack of up to %zu from the kit brings the %s to %s%s: get a %s, or a stack, "
	    "of %s in all",
	    task->most, task->play, asked, but, task->noun, whole);
}

int fw_stack_advise(const struct fw_stack_task *task, const struct fw_shim_choice *choice,
                    struct fw_error *err)
{
	double least_u = sqrt(task->variance);
	char bare[FW_LENGTH_TEXT], least[FW_LENGTH_TEXT];
	double middle = task->limits->min + (task->limits->max - task->limits->min) / 2.0;

	if (isfinite(middle) && fw_stack_chance(middle, least_u, task->limits) < FW_SHIM_CHANCE)
		return fw_fail(err, FW_ERR_RANGE,
		               "the %s is known only to within %s (twice its standard uncertainty), too "
		               "coarse for the limits: no thickness can be trusted to serve; measure again "
		               "with a finer gauge",
		               task->play, fw_length_text(2.0 * least_u, bare, sizeof bare));
	if (fw_limits_snap(task->datum, task->limits) <= task->limits->min)
		return fw_fail(
		    err, FW_ERR_RANGE,
		    "with no %s at all the %s would be %s, not above its min of %s: no %s can help; "
		    "look for what else takes up the room",
		    task->noun, task->play, fw_length_text(task->datum, bare, sizeof bare),
		    fw_length_text(task->limits->min, least, sizeof least), task->noun);
	return advise_size(task, choice, err);
}
