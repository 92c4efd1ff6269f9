/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "solve/shim/stack.h"

static int task_check(const struct fw_stack_task *task, struct fw_error *err)
{
	int rc = fw_kit_check(task->kit, task->sizes, err);
	if (rc != FW_OK)
		return rc;
	if (task->most < 1 || task->most > FW_STACK_MOST)
		return fw_fail(err, FW_ERR_ARGUMENT, "stack: %zu pieces at most asked for, must be 1 to %d",
		               task->most, FW_STACK_MOST);
	if (fw_stack_count(task->kit, task->sizes, task->most) > FW_STACKS_MOST)
		return fw_fail(err, FW_ERR_RANGE,
		               "stack: %zu sizes and up to %zu pieces give more than 50 million stacks; "
		               "allow fewer pieces in a stack, or leave out sizes",
		               task->sizes, task->most);
	return FW_OK;
}

int fw_stack_search(struct fw_shim_choice *out, const struct fw_stack_task *task,
                    struct fw_error *err)
{
	struct fw_shim_choice choice;

	int rc = task_check(task, err);
	if (rc == FW_OK)
		rc = fw_stack_pick(&choice, task, err);
	if (rc == FW_OK && choice.probability < FW_CONFORMANCE)
		rc = fw_stack_piece(&choice, task, err);
	if (rc != FW_OK)
		return rc;

	*out = choice;
	return choice.probability > 0.0 ? FW_OK : fw_stack_advise(task, &choice, err);
}
