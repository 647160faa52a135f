/* plan_bound_grown.c - which pools have to be grown for a line, and so how sure each is to be, for
 * plan_bound.c. */
#include <math.h>

#include "reckon/plan_bound_in.h"

enum { MORE_WAYS = 2 };         /* pools more than are known, where ways are open: each takes time */

/* ---- what is known ---- */

static double asked_in_all(const struct plan_bound *b, size_t pool, size_t route)
{
	return bound_asked_of(b, pool, route, b->pools[pool].ndates, NULL);
}

/* Pieces that the ways of a need could make of the shed at most; INFINITY where one of them takes only what
 * counts already (seen), or nothing that is grown. */
static double shed_makes(const struct program *q, size_t line, uint32_t need, const bool *seen)
{
	const struct plan_bound *b = q->b;
	double pieces = 0;
	for (size_t i = 1; i <= b->lines[line].nroutes; i++) {
		uint32_t r = bound_route_of(b, line, i);
		double makes = INFINITY;
		for (size_t p = 0; p < b->npools && b->routes[r].need == need; p++) {
			double each = asked_in_all(b, p, r);
			if (each > 0 && !seen[p])
				makes = fmin(makes, q->given[line][p] / each);
		}
		pieces += b->routes[r].need == need ? makes : 0;
	}
	return pieces;
}

static void mark_need(const struct plan_bound *b, size_t line, uint32_t need, bool *seen)
{
	for (size_t i = 1; i <= b->lines[line].nroutes; i++) {
		uint32_t r = bound_route_of(b, line, i);
		for (size_t p = 0; p < b->npools && b->routes[r].need == need; p++)
			seen[p] = seen[p] || asked_in_all(b, p, r) > 0;
	}
}

/* By the fewest pieces: pools that all of them take and of which the shed has not enough; then one for each
 * need of which it has not enough whatever goes which way. */
static size_t pools_sure(const struct program *q, size_t line, bool *seen)
{
	const struct plan_bound *b = q->b;
	double pieces = fmax(q->low[line], 1);
	uint32_t last = NONE;
	size_t n = 0;
	for (size_t p = 0; p < b->npools; p++) {
		seen[p] = asked_in_all(b, p, line) * pieces > q->given[line][p] + PLAN_CRUMB;
		n += seen[p];
	}
	for (size_t i = 1; i <= b->lines[line].nroutes; i++) {
		const struct bound_route *r = &b->routes[bound_route_of(b, line, i)];
		if (r->parent != line || r->need == last)
			continue;
		last = r->need;
		if (!(pieces > shed_makes(q, line, last, seen) + PLAN_CRUMB))
			continue;
		mark_need(b, line, last, seen);
		n++;
	}
	return n;
}

/* So many pools are known to be grown for the line. */
static void set_known(struct program *q, size_t line, bool *seen)
{
	bool some = line >= q->b->of->n || q->lo[line] > 0;
	size_t known = q->b->of->all_ways ? pools_sure(q, line, seen) : some ? q->at->pools[line] : 1;
	q->known[line] = known > 1 ? known : 1;
}

/* ---- what the program finds ---- */

/* Whether the pool has to be grown for the line: 1; no: 0. */
static int grown_column(struct program *q, size_t line, size_t pool)
{
	struct plan_bound *b = q->b;
	int *grown = &q->grown[line][pool];
	if (*grown >= 0)
		return *grown;
	double most = 0, off = b->pools[pool].off;
	bool is = q->low[line] * asked_in_all(b, pool, line) > q->given[line][pool] + off + PLAN_CRUMB;
	*grown = solve_column(&q->m, is, 1, 0, true);
	int row = solve_row(&q->m, -SOLVE_INF, off);
	for (size_t i = 0; i <= b->lines[line].nroutes; i++) {
		uint32_t r = bound_route_of(b, line, i);
		double each = asked_in_all(b, pool, r);
		solve_entry(&q->m, row, q->pieces[r], each);
		most += each * q->high[r];
	}
	if (q->own[line][pool] >= 0)
		solve_entry(&q->m, row, q->own[line][pool], -1);
	solve_entry(&q->m, row, *grown, -most);
	return *grown;
}

static bool counts_pools(const struct program *q, size_t line)
{
	const struct bound_line *l = &q->b->lines[line];
	return !isnan(l->sure) && l->pools > q->known[line] && q->most[line] > 0;
}

/* Which of its pools have to be grown for, and from how many on it asks for more of each.  Where ways are open
 * only the rows of its turn know. */
static void add_more(struct program *q, size_t line)
{
	struct plan_bound *b = q->b;
	const struct bound_line *l = &b->lines[line];
	int *grown = bound_columns(q->a, l->pools);
	size_t n = 0;
	for (size_t p = 0; p < b->npools; p++) {
		if (bound_asks(b, p, line))
			grown[n++] = grown_column(q, line, p);
	}
	size_t last = b->of->all_ways ? q->known[line] + MORE_WAYS : n;
	for (size_t k = q->known[line] + 1; k <= n && k <= last; k++) {
		int is = q->is[line][k] = solve_column(&q->m, 0, 1, 0, true);
		int row = solve_row(&q->m, -SOLVE_INF, (double)k - 1); /* k of them or more: is */
		for (size_t i = 0; i < n; i++)
			solve_entry(&q->m, row, grown[i], 1);
		solve_entry(&q->m, row, is, -(double)(n - k + 1));
		for (size_t i = 0; i <= l->nroutes && !b->of->all_ways; i++) {
			uint32_t r = bound_route_of(b, line, i);
			double most = q->high[r];
			q->more[r][k] = solve_column(&q->m, 0, most, 0, false);
			row = solve_row(&q->m, -most, SOLVE_INF); /* is: more >= x */
			solve_entry(&q->m, row, q->more[r][k], 1);
			solve_entry(&q->m, row, q->pieces[r], -1);
			solve_entry(&q->m, row, is, -most);
		}
	}
}

/* Once the pool has to be grown for a target that is served first, the shed has none of it left for the other. */
static void add_turn(struct program *q, const struct bound_turn *t)
{
	double most = q->given[t->then][t->pool], left = fmin(most, t->left + q->b->ahead[t->then][t->pool]);
	if (!counts_pools(q, t->then) || !(q->most[t->first] > 0) || !(left < most) ||
	    q->own[t->then][t->pool] < 0)
		return;
	int row = solve_row(&q->m, -SOLVE_INF, most + PLAN_CRUMB);
	solve_entry(&q->m, row, q->own[t->then][t->pool], 1);
	solve_entry(&q->m, row, grown_column(q, t->first, t->pool), most - left);
}

void bound_grown(struct program *q)
{
	const struct plan_bound *b = q->b;
	bool *seen = ARENA_ARRAY(q->a, b->npools + 1, bool);
	for (size_t i = 0; i < b->nlines; i++) {
		set_known(q, i, seen);
		if (counts_pools(q, i))
			add_more(q, i);
	}
	for (size_t i = 0; i < b->nturns; i++)
		add_turn(q, &b->turns[i]);
}
