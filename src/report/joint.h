/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file joint.h  A joint: what was asked for, and what the wrench was set to. */
#ifndef FITWRIGHT_REPORT_JOINT_H
#define FITWRIGHT_REPORT_JOINT_H

#include "report/model.h"

struct fw_report_joint {
	const struct fw_report_entry *asked;     /**< never NULL */
	const struct fw_report_entry *tightened; /**< NULL: not recorded */
};

/** Marks the joints of a folded job, each with how it was tightened. False: out of memory. */
bool fw_report_pair_joints(struct fw_report_job *job);
/** The next joint after `joint` (zeroed: the first); false when there is none. */
bool fw_report_next_joint(const struct fw_report_job *job, struct fw_report_joint *joint);

/** Whether the last setting was another than the torque asked for. */
bool fw_report_joint_otherwise(const struct fw_report_joint *joint);
/** Whether the bolts can pass their proof load, as tightened; as asked where that isn't recorded.
 */
bool fw_report_joint_overloaded(const struct fw_report_joint *joint);

/** "11.0 N·m, then 22.0 N·m"; "" when there are none. Returns `buffer`, as those below. */
const char *fw_report_torques_text(char *buffer, size_t size, const json_t *torques);
/** "16.4 kN usual; 12.1 kN to 21.3 kN with friction and wrench", as tightened if that is recorded.
 */
const char *fw_report_preload_text(char *buffer, size_t size, const struct fw_report_joint *joint);
/** What to beware of, a sentence each, by `index` from 0, as tightened if that is recorded; NULL
 * behind the last. Borrowed. */
const char *fw_report_joint_warning(const struct fw_report_joint *joint, size_t index);
/** "2.00 in at 0.00° on a wrench of 12.00 in"; "" without an adapter. */
const char *fw_report_adapter_text(char *buffer, size_t size, const struct fw_report_joint *joint);
/** "14.00 mm of cast aluminium"; "" when it isn't recorded. */
const char *fw_report_parent_text(char *buffer, size_t size, const struct fw_report_joint *joint);
/** "dry, oiled under the head". */
const char *fw_report_friction_text(char *buffer, size_t size, const struct fw_report_joint *joint);
/** "at most 91 % of proof load", in the same way. */
const char *fw_report_share_text(char *buffer, size_t size, const struct fw_report_joint *joint);

#endif
