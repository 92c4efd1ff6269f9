/* SPDX-License-Identifier: GPL-3.0-or-later */
/**
 * @file fitwright.h
 * The whole public interface of libfitwright.
 */
#ifndef FITWRIGHT_FITWRIGHT_H
#define FITWRIGHT_FITWRIGHT_H

#include "fitwright/assign.h"
#include "fitwright/bearing.h"
#include "fitwright/bore.h"
#include "fitwright/calc.h"
#include "fitwright/conform.h"
#include "fitwright/control.h"
#include "fitwright/error.h"
#include "fitwright/export.h"
#include "fitwright/fit.h"
#include "fitwright/gauges.h"
#include "fitwright/gears.h"
#include "fitwright/history.h"
#include "fitwright/job.h"
#include "fitwright/joint.h"
#include "fitwright/measure.h"
#include "fitwright/pattern.h"
#include "fitwright/people.h"
#include "fitwright/preload.h"
#include "fitwright/press.h"
#include "fitwright/quantity.h"
#include "fitwright/question.h"
#include "fitwright/readings.h"
#include "fitwright/report.h"
#include "fitwright/reuse.h"
#include "fitwright/risk.h"
#include "fitwright/shim.h"
#include "fitwright/stackup.h"
#include "fitwright/strip.h"
#include "fitwright/thermal.h"
#include "fitwright/together.h"
#include "fitwright/trail.h"
#include "fitwright/turn.h"
#include "fitwright/wrench.h"

#ifdef __cplusplus
extern "C" {
#endif

/** "0.1.0" */
const char *fw_version(void);

#ifdef __cplusplus
}
#endif

#endif
