/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>
#include <stdlib.h>

#include "solve/reuse/reuse_internal.h"

#define FACTOR_MOST 10.0

static int check_length(double length, const char *what, struct fw_error *err)
{
	if (!isfinite(length))
		return fw_fail(err, FW_ERR_ARGUMENT, "%s is not a finite number", what);
	if (fabs(length) > FW_REUSE_LONGEST)
		return fw_fail(err, FW_ERR_ARGUMENT, "%s is beyond 10 m; a slip of units?", what);
	return FW_OK;
}

static int check_size(double size, struct fw_error *err)
{
	if (size <= 0.0)
		return fw_fail(err, FW_ERR_ARGUMENT, "the size is not above 0");
	return check_length(size, "the size", err);
}

static int check_u(double u, struct fw_error *err)
{
	if (u < 0.0)
		return fw_fail(err, FW_ERR_ARGUMENT, "the uncertainty is negative");
	return check_length(u, "the uncertainty", err);
}

static int check_place(const struct fw_place *place, size_t parts, struct fw_error *err)
{
	int rc = check_length(place->found, "the clearance found", err);
	if (rc == FW_OK)
		rc = check_u(place->u, err);
	if (rc == FW_OK)
		rc = fw_limits_check(&place->limits, err);
	if (rc == FW_OK && isfinite(place->limits.min))
		rc = check_length(place->limits.min, "min", err);
	if (rc == FW_OK && isfinite(place->limits.max))
		rc = check_length(place->limits.max, "max", err);
	if (rc == FW_OK)
		rc = check_length(fw_limits_aim(&place->limits), "the aim", err);
	if (rc != FW_OK)
		return rc;
	if (!(place->factor > 0.0 && place->factor <= FACTOR_MOST))
		return fw_fail(err, FW_ERR_ARGUMENT, "the factor must be above 0, and at most 10");
	if (place->own != FW_PLACE_BARE && place->own >= parts)
		return fw_fail(err, FW_ERR_ARGUMENT, "its own part is number %zu of %zu", place->own + 1,
		               parts);
	return FW_OK;
}

/* Each old part was in one place at most. */
static int check_owners(const struct fw_reuse *reuse, struct fw_error *err)
{
	int rc = FW_OK;
	size_t *owner = calloc(reuse->parts + 1, sizeof *owner);

	if (!owner)
		return fw_fail(err, FW_ERR_MEMORY, "reuse: out of memory");
	for (size_t i = 0; i < reuse->places && rc == FW_OK; i++) {
		size_t own = reuse->place[i].own;
		if (own == FW_PLACE_BARE)
			continue;
		if (owner[own] != 0)
			rc = fw_fail(err, FW_ERR_ARGUMENT, "reuse: places %zu and %zu both had old part %zu in",
			             owner[own], i + 1, own + 1);
		owner[own] = i + 1;
	}
	free(owner);
	return rc;
}

static int check_counts(const struct fw_reuse *reuse, struct fw_error *err)
{
	if (!reuse->place || reuse->places == 0)
		return fw_fail(err, FW_ERR_ARGUMENT, "reuse: no places");
	if ((!reuse->part && reuse->parts > 0) || (!reuse->grade && reuse->grades > 0))
		return fw_fail(err, FW_ERR_ARGUMENT, "reuse: a list is missing");
	if (reuse->places > FW_REUSE_PLACES)
		return fw_fail(err, FW_ERR_RANGE, "reuse: %zu places are more than %d", reuse->places,
		               FW_REUSE_PLACES);
	if (reuse->parts > FW_REUSE_ITEMS || reuse->grades > FW_REUSE_ITEMS)
		return fw_fail(err, FW_ERR_RANGE, "reuse: more than %d %s", FW_REUSE_ITEMS,
		               reuse->parts > FW_REUSE_ITEMS ? "old parts" : "grades");
	if (!(reuse->asked > 0.5 && reuse->asked < 1.0))
		return fw_fail(err, FW_ERR_ARGUMENT,
		               "reuse: the probability asked for must lie between 0.5 and 1");
	return FW_OK;
}

int fw_reuse_check_pairs(size_t places, size_t parts, size_t pieces, struct fw_error *err)
{
	if (places + parts + pieces <= FW_REUSE_PAIRS / places)
		return FW_OK;
	return fw_fail(err, FW_ERR_RANGE,
	               "reuse: %zu places with %zu old parts and at least %zu pieces of the shelf are "
	               "too many to weigh against each other",
	               places, parts, pieces);
}

int fw_reuse_check(const struct fw_reuse *reuse, struct fw_error *err)
{
	if (!reuse)
		return fw_fail(err, FW_ERR_ARGUMENT, "reuse: nothing given");

	int rc = check_counts(reuse, err);
	if (rc != FW_OK)
		return rc;
	rc = fw_reuse_check_pairs(reuse->places, reuse->parts, 0, err);
	if (rc != FW_OK)
		return rc;
	rc = check_u(reuse->grade_u, err);
	if (rc != FW_OK) {
		fw_error_prefix(err, "reuse: shelf: ");
		return rc;
	}
	for (size_t i = 0; i < reuse->places; i++) {
		rc = check_place(&reuse->place[i], reuse->parts, err);
		if (rc != FW_OK) {
			fw_error_prefix(err, "reuse: place %zu: ", i + 1);
			return rc;
		}
	}
	for (size_t j = 0; j < reuse->parts; j++) {
		rc = check_size(reuse->part[j].size, err);
		if (rc == FW_OK)
			rc = check_u(reuse->part[j].u, err);
		if (rc != FW_OK) {
			fw_error_prefix(err, "reuse: old part %zu: ", j + 1);
			return rc;
		}
	}
	for (size_t g = 0; g < reuse->grades; g++) {
		rc = check_size(reuse->grade[g].size, err);
		if (rc != FW_OK) {
			fw_error_prefix(err, "reuse: grade %zu: ", g + 1);
			return rc;
		}
	}
	return check_owners(reuse, err);
}
