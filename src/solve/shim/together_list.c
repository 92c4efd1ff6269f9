/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The stacks that could stand at each place, grouped by thickness. */
#include <math.h>
#include <stdlib.h>

#include "solve/shim/together_internal.h"

#define PM 1e-12

static int compare_pieces(const void *a, const void *b)
{
	const struct fw_tg_piece *x = a, *y = b;

	if (x->nominal != y->nominal)
		return x->nominal > y->nominal ? -1 : 1;
	return x->crush < y->crush ? -1 : x->crush > y->crush;
}

static int load_pieces(struct fw_tg_task *task, struct fw_error *err)
{
	const struct fw_together *fit = task->fit;

	task->piece = calloc(fit->sizes, sizeof *task->piece);
	if (!task->piece)
		return fw_fail(err, FW_ERR_MEMORY, "shims: out of memory");
	for (size_t i = 0; i < fit->sizes; i++) {
		const struct fw_shim *shim = &fit->kit[i];
		double left = 1.0 - shim->crush;
		double lost = shim->thickness * shim->crush_u;
		task->piece[i] = (struct fw_tg_piece){.thickness = shim->thickness * left,
		                                      .own = left * left * shim->u * shim->u,
		                                      .common = lost * lost,
		                                      .count = shim->count,
		                                      .kit = i,
		                                      .nominal = shim->thickness,
		                                      .crush = shim->crush,
		                                      .pm = llround(shim->thickness * left / PM)};
		task->crush = task->crush || lost > 0.0;
	}
	qsort(task->piece, fit->sizes, sizeof *task->piece, compare_pieces);
	return FW_OK;
}

/* Enumeration of the stacks of one place. */
struct lister {
	const struct fw_tg_task *task;
	const struct fw_together_place *place;
	struct fw_tg_stack *stack;
	size_t stacks;
	struct fw_tg_stack now;
};

static bool fits(const struct lister *l, size_t piece)
{
	return !l->place->fits || l->place->fits[l->task->piece[piece].kit];
}

static void list_from(struct lister *l, size_t first, unsigned used)
{
	if (l->now.count > 0 || l->place->may_be_empty)
		l->stack[l->stacks++] = l->now;
	if (l->now.count == l->place->most)
		return;
	for (size_t i = first; i < l->task->fit->sizes; i++) {
		const struct fw_tg_piece *p = &l->task->piece[i];
		unsigned n = i == first ? used : 0;
		if (n >= p->count || !fits(l, i))
			continue;
		struct fw_tg_stack before = l->now;
		l->now.piece[l->now.count++] = (uint16_t)i;
		l->now.pm += p->pm;
		l->now.own += p->own;
		l->now.common += (2.0 * n + 1.0) * p->common;
		list_from(l, i, n + 1);
		l->now = before;
	}
}

/* By number of shims, thickness, and the order of rule 4: the thinner first shim first. */
static int compare_stacks(const void *a, const void *b)
{
	const struct fw_tg_stack *x = a, *y = b;

	if (x->count != y->count)
		return x->count < y->count ? -1 : 1;
	if (x->pm != y->pm)
		return x->pm < y->pm ? -1 : 1;
	for (size_t i = 0; i < x->count; i++)
		if (x->piece[i] != y->piece[i])
			return x->piece[i] > y->piece[i] ? -1 : 1;
	return 0;
}

static int compare_groups(const void *a, const void *b)
{
	const struct fw_tg_group *x = a, *y = b;

	if (x->sum != y->sum)
		return x->sum < y->sum ? -1 : 1;
	return x->count < y->count ? -1 : x->count > y->count;
}

static struct fw_tg_view view_of(const struct fw_tg_list *list, const struct fw_tg_group *group,
                                 size_t groups)
{
	struct fw_tg_view view = {.group = group, .groups = groups};

	if (groups == 0)
		return view;
	view.low = group[0].sum;
	view.high = group[groups - 1].sum;
	view.own_least = INFINITY;
	for (size_t g = 0; g < groups; g++) {
		view.own_least = fmin(view.own_least, group[g].own);
		for (uint32_t k = 0; k < group[g].stacks; k++) {
			const struct fw_tg_stack *s = &list->stack[group[g].first + k];
			view.own_most = fmax(view.own_most, s->own);
			view.common_most = fmax(view.common_most, s->common);
		}
	}
	return view;
}

static void group_stacks(struct fw_tg_list *list)
{
	struct fw_tg_group *g = NULL;

	for (size_t i = 0; i < list->stacks; i++) {
		const struct fw_tg_stack *s = &list->stack[i];
		if (!g || s->count != s[-1].count || s->pm != s[-1].pm) {
			g = &list->group[list->groups++];
			*g = (struct fw_tg_group){
			    .sum = (double)s->pm * PM, .first = (uint32_t)i, .count = s->count, .own = s->own};
		}
		g->stacks++;
		g->own = fmin(g->own, s->own);
	}
}

static int list_fill(struct fw_tg_list *list, struct fw_tg_task *task, size_t j, size_t room,
                     struct fw_error *err)
{
	struct lister lister = {.task = task, .place = &task->fit->place[j]};

	list->stack = calloc(room, sizeof *list->stack);
	list->group = calloc(room, sizeof *list->group);
	list->mixed = calloc(room, sizeof *list->mixed);
	if (!list->stack || !list->group || !list->mixed)
		return fw_fail(err, FW_ERR_MEMORY, "shims: out of memory");
	lister.stack = list->stack;
	list_from(&lister, 0, 0);
	list->stacks = lister.stacks;
	qsort(list->stack, list->stacks, sizeof *list->stack, compare_stacks);
	group_stacks(list);

	for (size_t n = 0, from = 0; n <= FW_STACK_MOST; n++) {
		size_t to = from;
		while (to < list->groups && list->group[to].count == n)
			to++;
		list->of[n] = view_of(list, list->group + from, to - from);
		from = to;
	}
	for (size_t g = 0; g < list->groups; g++)
		list->mixed[g] = list->group[g];
	qsort(list->mixed, list->groups, sizeof *list->mixed, compare_groups);
	list->all = view_of(list, list->mixed, list->groups);
	return FW_OK;
}

/* Stacks that place `j` can have. */
static double count_stacks(const struct fw_tg_task *task, size_t j)
{
	const struct fw_together_place *place = &task->fit->place[j];
	double ways[FW_STACK_MOST + 1] = {1.0}, total = 0.0;

	for (size_t i = 0; i < task->fit->sizes; i++) {
		size_t count = task->piece[i].count < place->most ? task->piece[i].count : place->most;
		if (place->fits && !place->fits[task->piece[i].kit])
			continue;
		for (size_t k = place->most; k > 0; k--)
			for (size_t n = 1; n <= count && n <= k; n++)
				ways[k] += ways[k - n];
	}
	for (size_t k = 0; k <= place->most; k++)
		total += ways[k];
	return total;
}

static bool alike(const struct fw_together *fit, size_t a, size_t b)
{
	const struct fw_together_place *x = &fit->place[a], *y = &fit->place[b];

	if (x->most != y->most || x->may_be_empty != y->may_be_empty)
		return false;
	for (size_t i = 0; i < fit->sizes; i++)
		if ((!x->fits || x->fits[i]) != (!y->fits || y->fits[i]))
			return false;
	return true;
}

int fw_tg_lists_make(struct fw_tg_task *task, struct fw_error *err)
{
	double total = 0.0;

	int rc = load_pieces(task, err);
	for (size_t j = 0; j < task->places && rc == FW_OK; j++) {
		for (size_t b = 0; b < j && !task->list[j]; b++) {
			task->borrowed[j] = alike(task->fit, b, j);
			task->list[j] = task->borrowed[j] ? task->list[b] : NULL;
		}
		if (task->borrowed[j])
			continue;
		double stacks = count_stacks(task, j);
		total += stacks;
		if (total > FW_TOGETHER_STACKS_MOST)
			return fw_fail(err, FW_ERR_RANGE,
			               "shims: kit and places give more than a million stacks; allow fewer "
			               "shims at a place, or leave out sizes");
		task->list[j] = calloc(1, sizeof *task->list[j]);
		if (!task->list[j])
			return fw_fail(err, FW_ERR_MEMORY, "shims: out of memory");
		rc = list_fill(task->list[j], task, j, (size_t)stacks, err);
	}
	return rc;
}

void fw_tg_lists_free(struct fw_tg_task *task)
{
	for (size_t j = 0; j < task->places; j++) {
		if (task->list[j] && !task->borrowed[j]) {
			free(task->list[j]->stack);
			free(task->list[j]->group);
			free(task->list[j]->mixed);
			free(task->list[j]);
		}
		task->list[j] = NULL;
	}
	free(task->piece);
	task->piece = NULL;
}
