/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file shop.h  Trails of an invented shop to measure on, made by the engine, and clocks. */
#ifndef FITWRIGHT_TESTS_BENCH_SHOP_H
#define FITWRIGHT_TESTS_BENCH_SHOP_H

#include <limits.h>
#include <stdint.h>

#include "fitwright/job.h"

struct bench_shop {
	char folder[PATH_MAX], file[PATH_MAX], procedure[PATH_MAX], sheet[PATH_MAX];
	struct fw_trail *trail; /* open for writing; nothing waits for the disk */
	uint64_t seed;
	long minutes; /* of the shop's clock */
};

/* A folder of its own under $TMPDIR or /tmp, with an empty trail. Ends the program on failure, as
 * all here do. */
void bench_shop_open(struct bench_shop *shop);
/* From here on `trail` is closed. */
void bench_shop_shut(struct bench_shop *shop);
/* Removes the folder. */
void bench_shop_remove(struct bench_shop *shop);

/* One job of exactly `entries` entries (at least 9), begun, answered and released by the engine;
 * its readings are its own. Returns its number. */
int64_t bench_shop_job(struct bench_shop *shop, unsigned entries);
/* The same, left open before its sign-off. */
struct fw_job *bench_shop_open_job(struct bench_shop *shop, unsigned entries);

/* For fw_clock: a minute later at each call. */
void bench_shop_clock(void *context, char out[32]);

/* Seconds: of the wall, and of processor time of this process. */
double bench_wall(void);
double bench_cpu(void);
/* Sorts `list` and returns its middle. */
double bench_median(double *list, unsigned count);
/* "what: message" and the end. */
void bench_fail(const char *what, const char *message);

#endif
