/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "report/joint.h"

#include <math.h>
#include <string.h>

#include "report/put.h"

static bool same_joint(const struct fw_report_entry *a, const struct fw_report_entry *b)
{
	const char *one = fw_get_text(a->ask, "name"), *other = fw_get_text(b->ask, "name");

	return strcmp(one ? one : "", other ? other : "") == 0;
}

static bool is(const struct fw_report_entry *entry, const char *find)
{
	const char *own = entry->struck_by ? NULL : fw_report_find(entry);

	return own && strcmp(own, find) == 0;
}

/* The next finding of that sort on the joint, unless it is asked for again before. */
static const struct fw_report_entry *tightened_after(const struct fw_report_job *job,
                                                     const struct fw_report_entry *joint)
{
	const struct fw_report_entry *end = job->entries + job->count;

	for (const struct fw_report_entry *entry = joint + 1; entry < end; entry++) {
		if (is(entry, "joint") && same_joint(entry, joint))
			return NULL;
		if (is(entry, "tightened") && same_joint(entry, joint))
			return entry;
	}
	return NULL;
}

/* A stranger's trail may hold it without the other. */
static bool stands_alone(const struct fw_report_job *job, const struct fw_report_entry *tightened)
{
	for (const struct fw_report_entry *entry = tightened; entry-- > job->entries;) {
		if (is(entry, "joint") && same_joint(entry, tightened))
			return false;
		if (is(entry, "tightened") && same_joint(entry, tightened))
			return true;
	}
	return true;
}

bool fw_report_next_joint(const struct fw_report_job *job, struct fw_report_joint *joint)
{
	const struct fw_report_entry *end = job->entries + job->count;
	const struct fw_report_entry *entry = joint->asked ? joint->asked + 1 : job->entries;

	for (; entry < end; entry++) {
		bool asked = is(entry, "joint");
		if (!asked && !(is(entry, "tightened") && stands_alone(job, entry)))
			continue;
		joint->asked = entry;
		joint->tightened = asked ? tightened_after(job, entry) : entry;
		return true;
	}
	return false;
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
