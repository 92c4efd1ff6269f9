/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "fitwright/fitwright.h"

const char *fw_version(void)
{
	return FW_VERSION;
}
