/* SPDX-License-Identifier: GPL-3.0-or-later */
/**
 * @file fitwright.h
 * The whole public interface of libfitwright.
 */
#ifndef FITWRIGHT_FITWRIGHT_H
#define FITWRIGHT_FITWRIGHT_H

#include "fitwright/calc.h"
#include "fitwright/conform.h"
#include "fitwright/error.h"
#include "fitwright/job.h"
#include "fitwright/joint.h"
#include "fitwright/measure.h"
#include "fitwright/quantity.h"
#include "fitwright/question.h"
#include "fitwright/report.h"
#include "fitwright/shim.h"
#include "fitwright/trail.h"

#ifdef __cplusplus
extern "C" {
#endif

/** "0.1.0" */
const char *fw_version(void);

#ifdef __cplusplus
}
#endif

#endif
