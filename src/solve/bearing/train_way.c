/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Which edges can lie on a way between two nodes without passing a node twice? Add an edge between
 * the two: they are those in one block (biconnected component) with it. Blocks by Tarjan's method,
 * the recursion written out. */
#include <string.h>

#include "solve/bearing/train.h"

#define EDGES (FW_EDGES_MOST + 1) /* with the added one, which is the last */

struct walk {
	struct fw_edge edge[EDGES];
	size_t count;
	size_t without;
	unsigned time;
	unsigned seen[FW_TRAIN_MOST]; /* when; 0: not yet */
	unsigned low[FW_TRAIN_MOST];  /* earliest node that its branch reaches */
	size_t next[FW_TRAIN_MOST];   /* edge to look at next */
	size_t by[FW_TRAIN_MOST];     /* edge it was entered by */
	size_t path[FW_TRAIN_MOST];   /* nodes from the root to here */
	size_t depth;
	size_t stack[EDGES]; /* edges of blocks not yet closed */
	size_t stacked;
	bool crossed[EDGES]; /* looked at from one end */
};

static void enter(struct walk *w, size_t node, size_t by)
{
	w->seen[node] = w->low[node] = ++w->time;
	w->by[node] = by;
	w->path[w->depth++] = node;
}

/* The far end of edge `e` from `node`, or FW_NOBODY when it doesn't lead on. */
static size_t far_end(const struct walk *w, size_t e, size_t node)
{
	const struct fw_edge *edge = &w->edge[e];

	if (!edge->used || w->crossed[e] || (edge->a != node && edge->b != node))
		return FW_NOBODY;
	size_t other = edge->a == node ? edge->b : edge->a;
	return other == w->without ? FW_NOBODY : other;
}

/* Looks at the next edge of the topmost node; false when it has no more. */
static bool look(struct walk *w)
{
	size_t node = w->path[w->depth - 1];

	if (w->next[node] == w->count)
		return false;
	size_t e = w->next[node]++, other = far_end(w, e, node);
	if (other == FW_NOBODY)
		return true;
	w->crossed[e] = true;
	w->stack[w->stacked++] = e;
	if (w->seen[other] == 0)
		enter(w, other, e);
	else if (w->seen[other] < w->low[node])
		w->low[node] = w->seen[other];
	return true;
}

/* Takes the edges of a finished block off the stack; marks them if the added edge is among them. */
static void close_block(struct walk *w, size_t first)
{
	size_t begin = w->stacked;
	bool ours = false;

	do {
		begin--;
		ours = ours || w->stack[begin] == w->count - 1;
	} while (w->stack[begin] != first);
	for (size_t i = begin; ours && i < w->stacked; i++)
		w->edge[w->stack[i]].on = true;
	w->stacked = begin;
}

static void leave(struct walk *w)
{
	size_t node = w->path[--w->depth];

	if (w->depth == 0)
		return;
	size_t parent = w->path[w->depth - 1];
	if (w->low[node] < w->low[parent])
		w->low[parent] = w->low[node];
	if (w->low[node] >= w->seen[parent])
		close_block(w, w->by[node]);
}

/* Steps from `from` to each node; directs the edges found away from it. */
static void direct(struct walk *w, size_t from)
{
	size_t queue[FW_TRAIN_MOST], head = 0, tail = 0, steps[FW_TRAIN_MOST];

	memset(w->seen, 0, sizeof w->seen);
	w->seen[from] = 1;
	steps[from] = 0;
	queue[tail++] = from;
	while (head < tail) {
		size_t node = queue[head++];
		for (size_t e = 0; e + 1 < w->count; e++) {
			struct fw_edge *edge = &w->edge[e];
			if (!edge->on || (edge->a != node && edge->b != node))
				continue;
			size_t other = edge->a == node ? edge->b : edge->a;
			if (!w->seen[other]) {
				w->seen[other] = 1;
				steps[other] = steps[node] + 1;
				queue[tail++] = other;
			}
			if (steps[other] > steps[node])
				edge->along = edge->a == node;
		}
	}
}

void fw_train_ways(struct fw_edge *edges, size_t count, size_t from, size_t to, size_t without)
{
	struct walk w = {.count = count + 1, .without = without};

	if (from == to || from == without || to == without || count > FW_EDGES_MOST)
		return;
	for (size_t i = 0; i < count; i++) {
		w.edge[i] = edges[i];
		w.edge[i].on = w.edge[i].along = false;
	}
	w.edge[count] = (struct fw_edge){.a = from, .b = to, .used = true};
	enter(&w, from, FW_NOBODY);
	while (w.depth > 0) {
		if (!look(&w))
			leave(&w);
	}
	direct(&w, from);
	for (size_t i = 0; i < count; i++) {
		if (w.edge[i].on && !edges[i].on) {
			edges[i].on = true;
			edges[i].along = w.edge[i].along;
		}
	}
}
