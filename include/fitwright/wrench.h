/* SPDX-License-Identifier: GPL-3.0-or-later */
/**
 * @file wrench.h
 * What a torque wrench is set to when an adapter (a crowfoot or ring on the square) moves the bolt
 * out of its axis:
 *
 *     setting = torque · L / (L + E·cos a)
 *
 * L from the middle of the grip to the square, E from the square to the bolt, a the angle between
 * them: 0 in line, a quarter turn leaves the setting as it is, half a turn points back along the
 * handle (TM 9-254, General maintenance procedures, US Army; AC 43.13-1B, 7-40). It holds while the
 * hand pulls at the middle of the grip and square to the handle. SI throughout.
 */
#ifndef FITWRIGHT_WRENCH_H
#define FITWRIGHT_WRENCH_H

#include "fitwright/error.h"

#ifdef __cplusplus
extern "C" {
#endif

struct fw_adapter {
	double length;    /**< L, m, above 0 */
	double extension; /**< E, m, 0 or more */
	double angle;     /**< rad, -pi..pi */
};

/** setting / torque. FW_ERR_ARGUMENT names what can't be used; FW_ERR_RANGE when the adapter points
 * back so far that less than a tenth of the lever is left. */
int fw_adapter_factor(double *out, const struct fw_adapter *adapter, struct fw_error *err);

/** What to set for `torque` (N·m at the bolt, > 0), and what a `setting` gives at the bolt.
 * The errors of fw_adapter_factor(); FW_ERR_RANGE also when the result is no finite number. */
int fw_adapter_setting(double *out, const struct fw_adapter *adapter, double torque,
                       struct fw_error *err);
int fw_adapter_torque(double *out, const struct fw_adapter *adapter, double setting,
                      struct fw_error *err);

/** What a wrench with a relative error limit (0 to below 1) and a fixed one (N·m, 0 or more) may
 * give when set to `setting` (N·m, > 0); `low` is 0 at least. FW_ERR_ARGUMENT; FW_ERR_RANGE
 * when the range is no finite number. */
int fw_wrench_range(double *low, double *high, double setting, double relative, double fixed,
                    struct fw_error *err);

#ifdef __cplusplus
}
#endif

#endif
