/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Which edges can lie on a way between two nodes without passing a node twice? Add an edge between
 * the two: they are those in one block (biconnected component) with it. Blocks by Tarjan's method,
 * the recursion written out. And which way are they passed? Such a block has its nodes in an order
 * from the one end to the other in which each has neighbours before and behind it (st-numbering;
 * Tarjan, Two streamlined depth-first search algorithms, 1986, from memory): edges lead up in it.
 * Time and room grow with nodes and edges only. */
#include "solve/bearing/train.h"

#define EDGES (FW_EDGES_MOST + 1) /* with the added one, which is the last */

struct walk {
	struct fw_edge edge[EDGES];
	size_t count;
	size_t without;
	/* edges at each node: at[first[node]] to before at[first[node + 1]], the added one foremost */
	size_t at[2 * EDGES], first[FW_NODES_MOST + 1];
	unsigned time;
	unsigned seen[FW_NODES_MOST]; /* when; 0: not yet */
	size_t order[FW_NODES_MOST];  /* the node seen at time 1, 2 … */
	unsigned low[FW_NODES_MOST];  /* earliest node that its branch reaches */
	size_t next[FW_NODES_MOST];   /* place in `at` to look at next */
	size_t by[FW_NODES_MOST];     /* edge it was entered by */
	size_t path[FW_NODES_MOST];   /* nodes from the root to here */
	size_t depth;
	size_t stack[EDGES]; /* edges of blocks not yet closed */
	size_t stacked;
	bool crossed[EDGES]; /* looked at from one end */
};

static bool there(const struct walk *w, size_t e)
{
	const struct fw_edge *edge = &w->edge[e];

	return edge->used && edge->a != w->without && edge->b != w->without;
}

static void list_edges(struct walk *w)
{
	size_t place[FW_NODES_MOST];

	for (size_t e = 0; e < w->count; e++) {
		if (there(w, e)) {
			w->first[w->edge[e].a + 1]++;
			w->first[w->edge[e].b + 1]++;
		}
	}
	for (size_t i = 0; i < FW_NODES_MOST; i++) {
		w->first[i + 1] += w->first[i];
		place[i] = w->next[i] = w->first[i];
	}
	for (size_t e = w->count; e-- > 0;) {
		if (there(w, e)) {
			w->at[place[w->edge[e].a]++] = e;
			w->at[place[w->edge[e].b]++] = e;
		}
	}
}

static void enter(struct walk *w, size_t node, size_t by)
{
	w->order[w->time] = node;
	w->seen[node] = w->low[node] = ++w->time;
	w->by[node] = by;
	w->path[w->depth++] = node;
}

static size_t far_end(const struct walk *w, size_t e, size_t node)
{
	return w->edge[e].a == node ? w->edge[e].b : w->edge[e].a;
}

/* Looks at the next edge of the topmost node; false when it has no more. */
static bool look(struct walk *w)
{
	size_t node = w->path[w->depth - 1];

	if (w->next[node] == w->first[node + 1])
		return false;
	size_t e = w->at[w->next[node]++], other = far_end(w, e, node);
	if (w->crossed[e])
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

/* The order of a block's nodes as it grows. */
struct row {
	size_t before[FW_NODES_MOST], behind[FW_NODES_MOST];
	bool last[FW_NODES_MOST]; /* this node stands behind the branch that grows from it */
};

static void put(struct row *r, size_t node, size_t left, size_t right)
{
	r->before[node] = left;
	r->behind[node] = right;
	if (left != FW_NOBODY)
		r->behind[left] = node;
	if (right != FW_NOBODY)
		r->before[right] = node;
}

/* Nodes in the order they were entered; each goes to that side of its parent on which stands the
 * node its branch reaches back to. The added edge was the first, so `to` came second. */
static void put_in_row(struct row *r, const struct walk *w, size_t from, size_t to)
{
	put(r, from, FW_NOBODY, to);
	put(r, to, from, FW_NOBODY);
	for (unsigned i = 2; i < w->time; i++) {
		size_t node = w->order[i], parent = far_end(w, w->by[node], node);
		if (!w->edge[w->by[node]].on)
			continue;
		bool behind = r->last[w->order[w->low[node] - 1]];
		if (behind)
			put(r, node, parent, r->behind[parent]);
		else
			put(r, node, r->before[parent], parent);
		r->last[parent] = !behind;
	}
}

/* Directs the edges of the block from `from` to `to`. */
static void direct(struct walk *w, size_t from, size_t to)
{
	struct row r = {.last = {false}};
	size_t place[FW_NODES_MOST] = {0}, n = 0;

	put_in_row(&r, w, from, to);
	for (size_t node = from; node != FW_NOBODY; node = r.behind[node])
		place[node] = n++;
	for (size_t e = 0; e + 1 < w->count; e++) {
		struct fw_edge *edge = &w->edge[e];
		edge->along = edge->on && place[edge->a] < place[edge->b];
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
	list_edges(&w);
	enter(&w, from, FW_NOBODY);
	while (w.depth > 0) {
		if (!look(&w))
			leave(&w);
	}
	direct(&w, from, to);
	for (size_t i = 0; i < count; i++) {
		edges[i].on = w.edge[i].on;
		edges[i].along = w.edge[i].along;
	}
}
