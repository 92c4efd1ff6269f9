/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "fitwright/joint.h"

#include <math.h>

#define PI            3.14159265358979323846
#define COS_30        0.86602540378443864676 /* half the angle of a 60° thread */
#define USUAL_BEARING 1.3

static bool positive(double x)
{
	return isfinite(x) && x > 0.0;
}

static int thread_check(const struct fw_thread *thread, struct fw_error *err)
{
	if (!positive(thread->diameter) || !positive(thread->pitch) || !positive(thread->pitch_dia) ||
	    !positive(thread->stress_area))
		return fw_fail(err, FW_ERR_ARGUMENT,
		               "joint: diameter, pitch, pitch diameter and stress area of the thread must "
		               "be finite and above zero");
	if (thread->pitch_dia >= thread->diameter)
		return fw_fail(err, FW_ERR_ARGUMENT,
		               "joint: the pitch diameter must be below the nominal diameter");
	return FW_OK;
}

static int joint_check(const struct fw_joint *joint, struct fw_error *err)
{
	if (!joint)
		return fw_fail(err, FW_ERR_ARGUMENT, "joint: none given");

	const struct fw_friction *mu = &joint->friction;
	int rc = thread_check(&joint->thread, err);
	if (rc != FW_OK)
		return rc;
	if (!(mu->low > 0.0 && mu->low <= mu->usual && mu->usual <= mu->high && mu->high < 1.0))
		return fw_fail(err, FW_ERR_ARGUMENT,
		               "joint: friction must be above 0 and below 1, and rise from low by usual to "
		               "high");
	if (joint->bearing_dia != 0.0 &&
	    !(isfinite(joint->bearing_dia) && joint->bearing_dia >= joint->thread.diameter))
		return fw_fail(err, FW_ERR_ARGUMENT,
		               "joint: the mean bearing diameter under the head can't be less than the "
		               "bolt's; 0 takes 1.3 times that");
	if (!(isfinite(joint->proof_stress) && joint->proof_stress >= 0.0))
		return fw_fail(err, FW_ERR_ARGUMENT,
		               "joint: the proof stress must be finite and above zero; 0 if unknown");
	if (!(joint->wrench >= 0.0 && joint->wrench < 1.0))
		return fw_fail(err, FW_ERR_ARGUMENT,
		               "joint: the wrench's error must be a share from 0 to below 1");
	return FW_OK;
}

/* Torque for each newton of preload, m: the bracket of the equation in the header. */
static double lever(const struct fw_joint *joint, double mu)
{
	const struct fw_thread *thread = &joint->thread;
	double bearing =
	    joint->bearing_dia > 0.0 ? joint->bearing_dia : USUAL_BEARING * thread->diameter;

	return thread->pitch / (2.0 * PI) + mu * thread->pitch_dia / (2.0 * COS_30) +
	       mu * bearing / 2.0;
}

int fw_joint_preload(struct fw_preload *out, const struct fw_joint *joint, double torque,
                     struct fw_error *err)
{
	if (!out)
		return fw_fail(err, FW_ERR_ARGUMENT, "joint: no place for the preload");
	if (!positive(torque))
		return fw_fail(err, FW_ERR_ARGUMENT, "joint: the torque must be finite and above zero");

	int rc = joint_check(joint, err);
	if (rc != FW_OK)
		return rc;

	double usual = lever(joint, joint->friction.usual);
	struct fw_preload preload = {
	    .low = torque * (1.0 - joint->wrench) / lever(joint, joint->friction.high),
	    .usual = torque / usual,
	    .high = torque * (1.0 + joint->wrench) / lever(joint, joint->friction.low),
	    .proof_load = NAN,
	    .share = NAN,
	    .usual_share = NAN,
	    .nut_factor = usual / joint->thread.diameter};
	if (joint->proof_stress > 0.0) {
		preload.proof_load = joint->proof_stress * joint->thread.stress_area;
		preload.share = preload.high / preload.proof_load;
		preload.usual_share = preload.usual / preload.proof_load;
	}
	if (!isfinite(preload.high))
		return fw_fail(err, FW_ERR_RANGE, "joint: the preload is beyond all measure");
	*out = preload;
	return FW_OK;
}

int fw_joint_torque(double *out, const struct fw_joint *joint, double preload, struct fw_error *err)
{
	if (!out)
		return fw_fail(err, FW_ERR_ARGUMENT, "joint: no place for the torque");
	if (!positive(preload))
		return fw_fail(err, FW_ERR_ARGUMENT, "joint: the preload must be finite and above zero");

	int rc = joint_check(joint, err);
	if (rc != FW_OK)
		return rc;

	double torque = preload * lever(joint, joint->friction.usual);
	if (!isfinite(torque))
		return fw_fail(err, FW_ERR_RANGE, "joint: the torque is beyond all measure");
	*out = torque;
	return FW_OK;
}
