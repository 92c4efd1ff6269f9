/* SPDX-License-Identifier: GPL-3.0-or-later */
/**
 * @file error.h
 * How every call of the library says what went wrong.
 *
 * A call that can fail returns 0 (FW_OK) or one of the negative codes below, and fills in the
 * struct fw_error its caller passed, if any. There is no global error. A message is one line, names
 * the place (file:line, step, entry) and, where there is something to do about it, says what.
 *
 * Errors are propagated, never overwritten: fw_error_prefix() adds context in front.
 */
#ifndef FITWRIGHT_ERROR_H
#define FITWRIGHT_ERROR_H

#ifdef __cplusplus
extern "C" {
#endif

/** What a failed call returns. A code is worth telling apart only where a caller acts on it. */
enum fw_status {
	FW_OK = 0,
	FW_ERR_ARGUMENT = -1,  /**< the caller broke the contract: NaN, empty list, null pointer */
	FW_ERR_INPUT = -2,     /**< what a person typed or wrote in a file can't be used */
	FW_ERR_DIMENSION = -3, /**< length where torque was asked for, and the like */
	FW_ERR_RANGE = -4,  /**< outside an equation's range of validity, or no solution in the kit */
	FW_ERR_MEMORY = -5, /**< out of memory */
	FW_ERR_SCRIPT = -6, /**< the procedure or sheet is at fault; the message carries file:line */
	FW_ERR_LIMIT = -7,  /**< a script spent its instruction or memory budget */
	FW_ERR_REPLAY = -8, /**< the stored procedure no longer asks what the trail recorded */
	FW_ERR_TRAIL = -9,  /**< the trail file can't be read or written, or breaks its own rules */
	FW_ERR_BUSY = -10,  /**< another process holds the trail, or went on with the job */
	FW_ERR_IMPLAUSIBLE = -11, /**< a reading outside what is plausible: ask once, then confirm */
	FW_ERR_NOT_FOUND = -12,   /**< no such job, entry, file or unit */
	FW_ERR_STATE = -13        /**< not now: the job is released, or nothing is pending */
};

/** Longest message kept, with its terminating zero. Longer ones are cut at a UTF-8 boundary. */
#define FW_ERROR_TEXT 768

/** Where a call leaves the reason of its failure. Zero-initialise, or call fw_error_clear(). */
struct fw_error {
	int code;                 /**< one of enum fw_status */
	char text[FW_ERROR_TEXT]; /**< one line of UTF-8, no newline at the end */
};

#if defined(__GNUC__)
#define FW_PRINTF(fmt, args) __attribute__((format(printf, fmt, args)))
#else
#define FW_PRINTF(fmt, args)
#endif

/** Fills `err` (which may be NULL) and returns `code`, so that callers write `return fw_fail(...)`.
 *  What is quoted may be anything: line ends become spaces, other control characters and
 *  bytes that are no UTF-8 '?'. No argument may point into `err`; use fw_error_prefix() for that.
 */
int fw_fail(struct fw_error *err, int code, const char *format, ...) FW_PRINTF(3, 4);

/** FW_ERR_MEMORY, with a message that says no more. */
int fw_no_memory(struct fw_error *err);

/** Puts context in front of the message already in `err`: "shim kit, size 3: " + old text. Does
 *  nothing when `err` is NULL; no argument may point into it. */
void fw_error_prefix(struct fw_error *err, const char *format, ...) FW_PRINTF(2, 3);

/** Empties `err`. NULL is allowed. */
void fw_error_clear(struct fw_error *err);

#ifdef __cplusplus
}
#endif

#endif
