/* plan_bound.h - inside src/reckon/plan_fit*.c: how much a plan whose counts lie between two
 * can earn at most, and which counts that would be.
 *
 * A whole-number program that asks for no more than any such plan does (solve.h):
 *
 *   - a piece takes the stems that many thousands of it take, each, without rounding up
 *     makings, less all that is finished, made ahead or left over;
 *   - the shed and the drying line give each crop no more than they give when everything is
 *     made, but to whom is free;
 *   - by each day, certainty and length that a pool owes, its stems to cut are no fewer than
 *     a line from plan_sure.h's number for the least stems asked for to that for the most, put
 *     as low as it has to be between: the number never falls (plan_bound_curve.c).  In the best
 *     sowing's time; a target's certainty as with the pools that have to be grown for it from so
 *     many pieces on (plan_bound_grown.c);
 *   - for a line that is known to need some of a pool grown: as surely as that, what it and those
 *     that are served before it are owed by its day;
 *   - all_ways: the pieces of a need's ways add up to those that come to it; the program chooses.
 *     Then nothing is taken for known that leans on one way (plan_bound_ways.c), but the shed
 *     has nothing left of a pool for a target once it has to be grown for one served before;
 *   - rows, cells and packets in parts;
 *   - and of each crop no fewer stems, metres and money than for the lowest counts.
 */
#ifndef RECKON_PLAN_BOUND_H
#define RECKON_PLAN_BOUND_H

#include "reckon/plan.h"
#include "reckon/plan_fit.h"

struct plan_corner {            /* what the plan of the lowest counts takes */
	double *cost, *metres;  /* per crop; mm */
	int64_t *cut;           /* per crop */
	size_t *pools;          /* per line */
};
struct plan_bound_of {
	const struct farm *farm;
	const struct stock *stock;
	const struct costs *costs;
	const struct prices *prices;
	bool ignore_stock;
	bool all_ways;          /* each need of each piece by any of its ways; else by its cheapest */
	double beyond;          /* usable stems that the open orders alone lack, by the cheapest ways */
	const struct plan *all;  /* of all that is asked; its lines are those of every plan */
	const struct plan *none; /* of the open orders alone */
	size_t n;               /* targets: the first lines */
	const int64_t *most;    /* per target */
};
struct plan_bound;
struct plan_best {              /* by the program */
	int64_t *counts;
	double *cost;           /* per crop */
	struct plan_line_ways *ways; /* all_ways: per line; NULL */
};

/* NULL with an error in diag.  Lives in the arena. */
struct plan_bound *plan_bound_open(const struct plan_bound_of *of, struct arena *a,
                                   struct diag *diag);
/* Money of the targets less what growing costs, at most; -INFINITY: none of them fits; NaN with
 * an error in diag.
 * What is worth less than `least` need not be found.
 * best, whose arrays are there but for the ways: not when -INFINITY. */
double plan_bound(struct plan_bound *b, const struct plan_room *limits, const int64_t *lo,
                  const int64_t *hi, const struct plan_corner *at_lo, double least, struct plan_best *best,
                  struct arena *a, struct diag *diag);
/* Usable stems of a crop that a piece of a target takes, about. */
double plan_bound_stems(const struct plan_bound *b, size_t target, uint32_t crop);

#endif
