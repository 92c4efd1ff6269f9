/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file no_sync.h  Stands in for the C library's in this program: what is written reaches the system, and need
 *  not reach the disk. For tests that make many trails and cut no power. */
#ifndef FITWRIGHT_TESTS_NO_SYNC_H
#define FITWRIGHT_TESTS_NO_SYNC_H

#include <unistd.h>

int fsync(int file)
{
	(void)file;
	return 0;
}

int fdatasync(int file)
{
	(void)file;
	return 0;
}

#endif
