/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "fitwright/joint.h"

#include <math.h>

#define PI     3.14159265358979323846
#define COS_30 0.86602540378443864676 /* half the angle of a 60° thread */

static bool positive(double x)
{
	return isfinite(x) && x > 0.0;
}

/* Above zero, or 0 for "unknown". */
static bool known_or_nil(double x)
{
	return isfinite(x) && x >= 0.0;
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

static bool rises(const struct fw_friction *mu)
{
	return mu->low > 0.0 && mu->low <= mu->usual && mu->usual <= mu->high && mu->high < 1.0;
}

static bool is_nil(const struct fw_friction *mu)
{
	return mu->low == 0.0 && mu->usual == 0.0 && mu->high == 0.0;
}

const struct fw_friction *fw_joint_head(const struct fw_joint *joint)
{
	return is_nil(&joint->head) ? &joint->friction : &joint->head;
}

static int friction_check(const struct fw_joint *joint, struct fw_error *err)
{
	if (!rises(&joint->friction))
		return fw_fail(err, FW_ERR_ARGUMENT,
		               "joint: friction must be above 0 and below 1, and rise from low by usual to "
		               "high");
	if (!rises(fw_joint_head(joint)))
		return fw_fail(err, FW_ERR_ARGUMENT,
		               "joint: friction under the head must be above 0 and below 1, and rise from "
		               "low by usual to high; all 0 takes that of the thread");
	return FW_OK;
}

static int wrench_check(const struct fw_joint *joint, struct fw_error *err)
{
	if (!(joint->wrench >= 0.0 && joint->wrench < 1.0))
		return fw_fail(err, FW_ERR_ARGUMENT,
		               "joint: the wrench's error must be a share from 0 to below 1");
	if (!known_or_nil(joint->wrench_fixed))
		return fw_fail(err, FW_ERR_ARGUMENT,
		               "joint: the wrench's fixed error must be finite, 0 or more");
	if (!known_or_nil(joint->prevailing))
		return fw_fail(err, FW_ERR_ARGUMENT,
		               "joint: the prevailing torque must be finite, 0 or more");
	return FW_OK;
}

static int joint_check(const struct fw_joint *joint, struct fw_error *err)
{
	if (!joint)
		return fw_fail(err, FW_ERR_ARGUMENT, "joint: none given");

	int rc = thread_check(&joint->thread, err);
	if (rc == FW_OK)
		rc = friction_check(joint, err);
	if (rc != FW_OK)
		return rc;
	if (joint->bearing_dia != 0.0 &&
	    !(isfinite(joint->bearing_dia) && joint->bearing_dia >= joint->thread.diameter))
		return fw_fail(err, FW_ERR_ARGUMENT,
		               "joint: the mean bearing diameter under the head can't be less than the "
		               "bolt's; 0 takes 1.3 times that");
	if (!known_or_nil(joint->proof_stress))
		return fw_fail(err, FW_ERR_ARGUMENT,
		               "joint: the proof stress must be finite and above zero; 0 if unknown");
	if (!known_or_nil(joint->yield_stress))
		return fw_fail(err, FW_ERR_ARGUMENT,
		               "joint: the yield stress must be finite and above zero; 0 if unknown");
	if (!(joint->loss >= 0.0 && joint->loss < 1.0))
		return fw_fail(err, FW_ERR_ARGUMENT,
		               "joint: the loss by bedding down must be a share from 0 to below 1");
	return wrench_check(joint, err);
}

static struct fw_lever lever(const struct fw_joint *joint, double thread, double head)
{
	double bearing =
	    joint->bearing_dia > 0.0 ? joint->bearing_dia : FW_BEARING_USUAL * joint->thread.diameter;

	return (struct fw_lever){.rise = joint->thread.pitch / (2.0 * PI),
	                         .thread = thread * joint->thread.pitch_dia / (2.0 * COS_30),
	                         .head = head * bearing / 2.0};
}

/* Torque for each newton of preload, m. */
static double whole(struct fw_lever l)
{
	return l.rise + l.thread + l.head;
}

/* Of the pull, and of the thread's and the prevailing torque; the header has the equation. */
static double stress(const struct fw_joint *joint, double preload, double thread)
{
	double area = joint->thread.stress_area;
	double d0 = sqrt(4.0 * area / PI);
	struct fw_lever l = lever(joint, thread, 0.0);
	double twist = preload * (l.rise + l.thread) + joint->prevailing;
	double sigma = preload / area, tau = 12.0 * twist / (PI * d0 * d0 * d0);

	return sqrt(sigma * sigma + 3.0 * tau * tau);
}

/* The head that slips most easily leaves most to the thread; more friction there twists the bolt
 * more but pulls it less, so both ends are tried. */
static double worst_stress(const struct fw_joint *joint, double seating)
{
	const struct fw_friction *mu = &joint->friction;
	double head = fw_joint_head(joint)->low;
	double slick = stress(joint, seating / whole(lever(joint, mu->low, head)), mu->low);
	double rough = stress(joint, seating / whole(lever(joint, mu->high, head)), mu->high);

	return fmax(slick, rough);
}

static struct fw_preload work(const struct fw_joint *joint, double torque)
{
	const struct fw_friction *mu = &joint->friction, *head = fw_joint_head(joint);
	double most = torque * (1.0 + joint->wrench) + joint->wrench_fixed - joint->prevailing;
	double least = torque * (1.0 - joint->wrench) - joint->wrench_fixed - joint->prevailing;
	double usual = whole(lever(joint, mu->usual, head->usual));
	double area = joint->thread.stress_area;
	struct fw_preload p = {.usual = (torque - joint->prevailing) / usual,
	                       .high = most / whole(lever(joint, mu->low, head->low)),
	                       .proof_load = NAN,
	                       .share = NAN,
	                       .usual_share = NAN,
	                       .nut_factor = usual / joint->thread.diameter,
	                       .yield_share = NAN};

	p.low = fmax(least, 0.0) / whole(lever(joint, mu->high, head->high)) * (1.0 - joint->loss);
	p.stress_usual = stress(joint, p.usual, mu->usual);
	p.stress_high = worst_stress(joint, most);
	if (joint->proof_stress > 0.0) {
		p.proof_load = joint->proof_stress * area;
		p.share = p.high / p.proof_load;
		p.usual_share = p.usual / p.proof_load;
	}
	if (joint->yield_stress > 0.0)
		p.yield_share = p.stress_high / joint->yield_stress;
	return p;
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
	if (torque <= joint->prevailing)
		return fw_fail(
		    err, FW_ERR_RANGE,
		    "joint: the torque, %.3g N·m, is not above the prevailing torque, %.3g N·m, so "
		    "nothing is clamped",
		    torque, joint->prevailing);

	struct fw_preload preload = work(joint, torque);
	if (!isfinite(preload.high) || !isfinite(preload.stress_high))
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

	struct fw_lever l = lever(joint, joint->friction.usual, fw_joint_head(joint)->usual);
	double torque = preload * whole(l) + joint->prevailing;
	if (!isfinite(torque))
		return fw_fail(err, FW_ERR_RANGE, "joint: the torque is beyond all measure");
	*out = torque;
	return FW_OK;
}

int fw_joint_lever(struct fw_lever *out, const struct fw_joint *joint, double thread, double head,
                   struct fw_error *err)
{
	if (!out)
		return fw_fail(err, FW_ERR_ARGUMENT, "joint: no place for the lever");

	int rc = joint_check(joint, err);
	if (rc != FW_OK)
		return rc;
	if (!(thread >= 0.0 && thread < 1.0 && head >= 0.0 && head < 1.0))
		return fw_fail(err, FW_ERR_ARGUMENT, "joint: friction must be from 0 to below 1");
	*out = lever(joint, thread, head);
	return FW_OK;
}

int fw_joint_stress(double *out, const struct fw_joint *joint, double preload, double thread,
                    struct fw_error *err)
{
	if (!out)
		return fw_fail(err, FW_ERR_ARGUMENT, "joint: no place for the stress");

	int rc = joint_check(joint, err);
	if (rc != FW_OK)
		return rc;
	if (!known_or_nil(preload))
		return fw_fail(err, FW_ERR_ARGUMENT, "joint: the preload must be finite, 0 or more");
	if (!(thread >= 0.0 && thread < 1.0))
		return fw_fail(err, FW_ERR_ARGUMENT, "joint: friction must be from 0 to below 1");

	double result = stress(joint, preload, thread);
	if (!isfinite(result))
		return fw_fail(err, FW_ERR_RANGE, "joint: the stress is beyond all measure");
	*out = result;
	return FW_OK;
}
