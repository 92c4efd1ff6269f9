/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file picture.h  Which files a page may hold, told by their own bytes: what the trail calls them
 * is believed by nobody. */
#ifndef FITWRIGHT_REPORT_PICTURE_H
#define FITWRIGHT_REPORT_PICTURE_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

enum fw_shown { FW_SHOWN_NOT, FW_SHOWN_PICTURE, FW_SHOWN_SOUND };

struct fw_picture {
	enum fw_shown shown;
	const char *type;       /**< media type out of our own table; NULL: not to be shown */
	uint32_t width, height; /**< of a picture, in pixels */
};

/** A picture whose pixels would fill a browser's memory is not to be shown. */
#define FW_PICTURE_PIXELS 100000000U

/** What the bytes are, if they are a kind that every browser shows and begin as such a file does.
 */
struct fw_picture fw_picture_look(const void *bytes, size_t size);

#endif
