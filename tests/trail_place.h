/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file trail_place.h  A place for one trail, made anew for each test. */
#ifndef FITWRIGHT_TESTS_TRAIL_PLACE_H
#define FITWRIGHT_TESTS_TRAIL_PLACE_H

#include "trail_make.h"

struct place {
	char folder[PATH_MAX], file[PATH_MAX];
};

static inline int set_up(void **state)
{
	struct place *place = calloc(1, sizeof *place);

	assert_non_null(place);
	make_folder(place->folder);
	make_name(place->file, place->folder, "trail.db");
	*state = place;
	return 0;
}

static inline int tear_down(void **state)
{
	struct place *place = *state;

	make_gone(place->file);
	rmdir(place->folder);
	free(place);
	return 0;
}

static inline struct fw_trail *open_trail(const struct place *place, enum fw_trail_mode mode)
{
	struct fw_error error = {0};
	struct fw_trail *trail = NULL;

	assert_ok(fw_trail_open(&trail, place->file, mode, &error));
	return trail;
}

static inline void print_flaw(void *context, const struct fw_flaw *flaw)
{
	(void)context;
	print_message("  %lld:%lld %s (%s)\n", (long long)flaw->job, (long long)flaw->seq, flaw->what,
	              flaw->means);
}

static inline size_t count_flaws(struct fw_trail *trail, int64_t job)
{
	struct fw_error error = {0};
	size_t flaws = 99;

	assert_ok(fw_trail_verify(trail, job, print_flaw, NULL, &flaws, &error));
	return flaws;
}

#define TEST(name) cmocka_unit_test_setup_teardown(name, set_up, tear_down)

#endif
