/* plan_fit.h - the plan that earns most within the beds, the line, the racks, the boxes and
 * the hours: which targets to shrink, to whole pieces.
 *
 * Every plan that is looked at is a whole plan (plan_reckon, then its weeks on the line by
 * hang_plan): rows, trays, packets and certainties are those of the counts themselves.
 * Earned is plan.contribution: what the pieces bring less what growing costs.  Open orders
 * stay as they are.
 *
 * Search.  A whole-number program (solve.h) on what each target takes, found by leaving it
 * out, gives the first answers; then boxes of counts lo..hi are parted, best first.  More
 * of a target never takes less of anything and never costs less to grow, so a box
 *   - holds nothing that fits when lo does not fit;
 *   - earns no more than sum over targets of the better of what lo and hi bring, less what
 *     growing lo costs.
 * When no box is left the answer is the best of all; when `looks` plans were looked at, the
 * best box that is left says how much more there could be.
 */
#ifndef RECKON_PLAN_FIT_H
#define RECKON_PLAN_FIT_H

#include "reckon/hang.h"
#include "reckon/plan.h"

enum { PLAN_FIT_LOOKS = 200 };

/* As limits: NaN is none.  As what a plan takes: most at any time. */
struct plan_room {
	double metres;          /* mm of bed */
	double line, racks;     /* mm; mm2 */
	double boxes;           /* filled by the end of the season */
	double hours;           /* cutting to boxing, in a week */
};
struct plan_fit_options {
	struct plan_room limits;
	bool ignore_stock;      /* as for plan_reckon */
	size_t looks;           /* plans to look at; 0: PLAN_FIT_LOOKS */
};
enum plan_fit_state {
	PLAN_FIT_ALL,           /* all targets fit */
	PLAN_FIT_FOUND,         /* the best there is */
	PLAN_FIT_STOPPED,       /* the best found: `bound` says how much more there could be */
	PLAN_FIT_NONE           /* the open orders alone do not fit */
};
struct plan_fit {
	enum plan_fit_state state;
	struct plan_wish *wishes; /* per target of the farm: with the count that fits */
	double *asked;          /* per target: whole pieces of its count */
	size_t n;
	struct plan_room wanted, used; /* of all that is asked; of what fits */
	double earns_all, earns; /* of all that is asked, whether it fits or not; of what fits */
	double bound;           /* no plan that fits earns more */
	size_t looks;           /* plans looked at */
	size_t unpriced;        /* lines of all that is asked without a price: they bring 0 */
};

/* The farm's own limits: beds, line, racks, boxes; hours a week as given (NaN: none). */
struct plan_room plan_limits(const struct farm *farm, double hours);
/* What a plan takes. */
void plan_room_of(struct plan_room *out, const struct farm *farm, const struct rates *rates,
                  const struct plan *plan, struct arena *a);
bool plan_fits_in(const struct plan_room *used, const struct plan_room *limits);
/* 0; -1 with an error in diag.  costs and prices as for plan_reckon, and needed here. */
int plan_fit(struct plan_fit *out, const struct farm *farm, const struct stock *stock,
             const struct costs *costs, const struct prices *prices,
             const struct plan_fit_options *options, struct arena *a, struct diag *diag);

#endif
