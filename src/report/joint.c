/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "report/joint.h"

#include <math.h>
#include <string.h>

#include "report/put.h"

static const char *name_of(const struct fw_report_entry *entry)
{
	const char *name = fw_get_text(entry->ask, "name");

	return name ? name : "";
}

static bool is(const struct fw_report_entry *entry, const char *find)
{
	const char *own = entry->struck_by ? NULL : fw_report_find(entry);

	return own && strcmp(own, find) == 0;
}

/* The entry of that joint that was met last, and this one in its place. -1: none yet; `*made` is
 * false when memory ran out. */
static int64_t last_of(json_t *seen, const struct fw_report_entry *entry, int64_t index, bool *made)
{
	const json_t *before = json_object_get(seen, name_of(entry));
	int64_t last = before ? (int64_t)json_integer_value(before) : -1;

	*made = json_object_set_new(seen, name_of(entry), json_integer((json_int_t)index)) == 0;
	return last;
}

/* A joint is tightened by the next finding of that sort, unless it is asked for again before. A
 * stranger's trail may hold one without the other. */
bool fw_report_pair_joints(struct fw_report_job *job)
{
	json_t *seen = json_object();
	bool made = seen != NULL;

	for (size_t i = 0; made && i < job->count; i++) {
		struct fw_report_entry *entry = &job->entries[i];
		bool tightened = is(entry, "tightened");
		if (!tightened && !is(entry, "joint"))
			continue;
		int64_t last = last_of(seen, entry, (int64_t)i, &made);
		struct fw_report_entry *asked =
		    tightened && last >= 0 && is(&job->entries[last], "joint") ? &job->entries[last] : NULL;
		entry->joint = !asked;
		if (asked)
			asked->tightened = entry;
	}
	json_decref(seen);
	return made;
}

bool fw_report_next_joint(const struct fw_report_job *job, struct fw_report_joint *joint)
{
	const struct fw_report_entry *end = job->entries + job->count;
	const struct fw_report_entry *entry = joint->asked ? joint->asked + 1 : job->entries;

	while (entry < end && !entry->joint)
		entry++;
	if (entry == end)
		return false;
	joint->asked = entry;
	joint->tightened = is(entry, "joint") ? entry->tightened : entry;
	return true;
}

/* What the preload was worked out in. */
static const json_t *outcome_of(const struct fw_report_joint *joint)
{
	return joint->tightened ? joint->tightened->value : joint->asked->value;
}

bool fw_report_joint_otherwise(const struct fw_report_joint *joint)
{
	return joint->tightened && fw_get_true(joint->tightened->value, "otherwise");
}

bool fw_report_joint_overloaded(const struct fw_report_joint *joint)
{
	return fw_get_number(outcome_of(joint), "share") > 1;
}

const char *fw_report_joint_warning(const struct fw_report_joint *joint, size_t index)
{
	return json_string_value(json_array_get(json_object_get(outcome_of(joint), "warnings"), index));
}

const char *fw_report_adapter_text(char *buffer, size_t size, const struct fw_report_joint *joint)
{
	const json_t *adapter = json_object_get(joint->asked->ask, "adapter");
	char length[128], extension[128], angle[128];

	buffer[0] = '\0';
	if (!adapter)
		return buffer;
	fw_report_quantity_text(length, sizeof length, json_object_get(adapter, "length"), false);
	fw_report_quantity_text(extension, sizeof extension, json_object_get(adapter, "extension"),
	                        false);
	fw_report_quantity_text(angle, sizeof angle, json_object_get(adapter, "angle"), false);
	fw_report_print(buffer, size, "%s at %s on a wrench of %s", extension, angle, length);
	return buffer;
}

const char *fw_report_parent_text(char *buffer, size_t size, const struct fw_report_joint *joint)
{
	const char *parent = fw_get_text(joint->asked->ask, "parent");
	char engagement[128];

	buffer[0] = '\0';
	if (parent)
		fw_report_print(buffer, size, "%s of %s",
		                fw_report_quantity_text(engagement, sizeof engagement,
		                                        json_object_get(joint->asked->ask, "engagement"),
		                                        false),
		                parent);
	return buffer;
}

const char *fw_report_friction_text(char *buffer, size_t size, const struct fw_report_joint *joint)
{
	const char *friction = fw_get_text(joint->asked->ask, "friction");
	const char *head = fw_get_text(joint->asked->ask, "head_friction");

	buffer[0] = '\0';
	if (friction)
		fw_report_print(buffer, size, head ? "%s, %s under the head" : "%s", friction, head);
	return buffer;
}

const char *fw_report_torques_text(char *buffer, size_t size, const json_t *torques)
{
	char text[128];
	size_t i, used = 0;
	const json_t *torque;

	buffer[0] = '\0';
	json_array_foreach(torques, i, torque)
	{
		fw_report_print(buffer + used, size - used, "%s%s", i ? ", then " : "",
		                fw_report_quantity_text(text, sizeof text, torque, false));
		used = strlen(buffer);
	}
	return buffer;
}

const char *fw_report_preload_text(char *buffer, size_t size, const struct fw_report_joint *joint)
{
	const json_t *value = outcome_of(joint);
	char low[128], usual[128], high[128];

	fw_report_quantity_text(low, sizeof low, json_object_get(value, "low"), false);
	fw_report_quantity_text(usual, sizeof usual, json_object_get(value, "usual"), false);
	fw_report_quantity_text(high, sizeof high, json_object_get(value, "high"), false);
	buffer[0] = '\0';
	if (usual[0])
		fw_report_print(buffer, size, "%s usual; %s to %s with friction and wrench", usual, low,
		                high);
	return buffer;
}

const char *fw_report_share_text(char *buffer, size_t size, const struct fw_report_joint *joint)
{
	double share = fw_get_number(outcome_of(joint), "share");
	char number[32];

	buffer[0] = '\0';
	if (isfinite(share) && share > 1)
		fw_report_print(buffer, size, "above proof load at worst: %s times it",
		                fw_report_two_figures(number, sizeof number, share));
	else if (share >= 0)
		fw_report_print(buffer, size, "at most %s of proof load",
		                fw_report_percent(number, sizeof number, share));
	return buffer;
}
