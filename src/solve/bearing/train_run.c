/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>

#include "solve/bearing/train.h"

#define STILL 1e-9 /* of the speed given: rounding, not turning */

/* Marks the pairs that bear load, and which way power goes through them. */
static void find_loads(struct fw_edge *edges, const struct fw_train *t,
                       const struct fw_train_case *at)
{
	for (size_t i = 0; i < t->pairs; i++) {
		const struct fw_train_pair *p = &t->pair[i];
		edges[i] = (struct fw_edge){p->a, p->b, fw_train_holds(p->gears, at), false, false};
	}
	for (size_t i = 0; i < t->locks; i++) {
		const struct fw_train_lock *l = &t->lock[i];
		edges[t->pairs + i] =
		    (struct fw_edge){l->a, l->b, fw_train_holds(l->gears, at), false, false};
	}
	if (at->gear == FW_NEUTRAL || at->load == FW_FLOAT)
		return;
	fw_train_ways(edges, t->pairs + t->locks, t->input, t->output, FW_CASE);
	/* on the overrun the same ways backwards */
	for (size_t i = 0; at->load == FW_OVERRUN && i < t->pairs + t->locks; i++)
		edges[i].along = edges[i].on && !edges[i].along;
}

/* The side of a's teeth that bears: the one facing its motion when a drives, the other when b does.
 */
static int flank(bool a_drives, double speed_a)
{
	return a_drives == (speed_a > 0.0) ? 1 : -1;
}

static int pair_state(struct fw_pair_state *out, const struct fw_train_pair *p,
                      const struct fw_edge *edge, const double *body, struct fw_error *err)
{
	double speed = body[p->a];

	*out = (struct fw_pair_state){0};
	out->mesh.common = 0;
	if (!edge->used || isnan(speed) || speed == 0.0)
		return FW_OK;
	out->turning = true;
	out->loaded = edge->on;
	out->a_drives = edge->on && edge->along;
	out->flank = edge->on ? flank(edge->along, speed) : 0;
	return fw_gear_mesh(&out->mesh, p->teeth_a, p->teeth_b, speed, err);
}

/* Marks the bearings that some loaded pair's force can pass on its way to the case: on the ways
 * from a body beyond all, joined to those that are pushed. */
static void find_forces(struct fw_edge *ways, const struct fw_train *t, const struct fw_edge *edges)
{
	bool pushed[FW_TRAIN_MOST] = {false};
	size_t count = t->bearings, beyond = t->bodies;

	for (size_t i = 0; i < t->bearings; i++)
		ways[i] = (struct fw_edge){t->bearing[i].inner, t->bearing[i].outer, true, false, false};
	for (size_t i = 0; i < t->pairs; i++) {
		if (edges[i].on)
			pushed[edges[i].a] = pushed[edges[i].b] = true;
	}
	for (size_t i = 0; i < t->bodies; i++) {
		if (pushed[i])
			ways[count++] = (struct fw_edge){beyond, i, true, false, false};
	}
	fw_train_ways(ways, count, beyond, FW_CASE, FW_NOBODY);
}

static int bearing_state(struct fw_bearing_state *out, const struct fw_train_bearing *b,
                         bool loaded, const double *body, double speed, struct fw_error *err)
{
	double inner = body[b->inner], outer = body[b->outer];
	bool known = !isnan(inner) && !isnan(outer);

	out->inner = inner;
	out->outer = outer;
	out->turning = known && fabs(inner - outer) > STILL * fabs(speed);
	out->loaded = loaded;
	out->sounds = (struct fw_bearing_frequencies){NAN, NAN, NAN, NAN, NAN};
	if (!b->geometry || !known)
		return FW_OK;
	return fw_bearing_sounds(&out->sounds, b->geometry, inner, out->turning ? outer : inner, err);
}

static int fill(struct fw_pair_state *pair, struct fw_bearing_state *bearing,
                const struct fw_train *t, const struct fw_train_case *at, const double *body,
                double speed, struct fw_error *err)
{
	struct fw_edge edges[FW_EDGES_MOST], ways[FW_EDGES_MOST];
	int rc;

	find_loads(edges, t, at);
	for (size_t i = 0; pair && i < t->pairs; i++) {
		if ((rc = pair_state(&pair[i], &t->pair[i], &edges[i], body, err)) != FW_OK)
			return rc;
	}
	if (!bearing)
		return FW_OK;
	find_forces(ways, t, edges);
	for (size_t i = 0; i < t->bearings; i++) {
		rc = bearing_state(&bearing[i], &t->bearing[i], ways[i].on, body, speed, err);
		if (rc != FW_OK)
			return rc;
	}
	return FW_OK;
}

int fw_train_run(double *body, struct fw_pair_state *pair, struct fw_bearing_state *bearing,
                 const struct fw_train *train, const struct fw_train_case *at, double speed,
                 struct fw_error *err)
{
	double speeds[FW_TRAIN_MOST];
	int rc;

	if ((rc = fw_train_check(train, err)) != FW_OK ||
	    (rc = fw_train_case_check(train, at, err)) != FW_OK)
		return rc;
	if (!isfinite(speed) || speed == 0.0)
		return fw_fail(err, FW_ERR_ARGUMENT,
		               "gear train: the input speed must be finite and not zero");
	if ((rc = fw_train_speeds(speeds, train, at, speed, err)) != FW_OK ||
	    (rc = fill(pair, bearing, train, at, speeds, speed, err)) != FW_OK)
		return rc;
	for (size_t i = 0; body && i < train->bodies; i++)
		body[i] = speeds[i];
	return FW_OK;
}
