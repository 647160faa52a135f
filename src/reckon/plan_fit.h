/* plan_fit.h - the plan that earns most within the beds, the line, the racks, the boxes and
 * the hours: which targets to shrink, to whole pieces.  Nor does it take stems that cannot be
 * there by their day, or more of a standing crop than its bed bears, but for what open
 * orders alone take.
 *
 * Every plan that is looked at is a whole plan (plan_reckon, then its weeks on the line by
 * hang_plan): rows, trays, packets and certainties are those of the counts themselves.
 * Earned is what the targets bring less what growing costs.  Open orders stay as they are,
 * and what they bring is left out: it comes either way.
 *
 * Search.  Boxes of counts lo..hi are parted, best first.  More of a target never takes less
 * of anything, so a box holds nothing that fits when lo does not fit.  What it can earn at
 * most a whole-number program says (plan_bound.h); its best counts are looked at, and
 * bettered piece by piece.  Where a standing bed does not go round and needs have other ways, a
 * second search bounds all ways of all needs, and looks at its best counts in its ways; a box of
 * single counts may keep a bound above what is found there.  When no box is left the answer is the best of all; when `looks`
 * plans were looked at, the best box that is left says how much more there could be.
 */
#ifndef RECKON_PLAN_FIT_H
#define RECKON_PLAN_FIT_H

#include "reckon/hang.h"
#include "reckon/plan.h"

enum {
	PLAN_FIT_LOOKS = 200,
	PLAN_FIT_BEGIN = 10,    /* of these the tenth part by the cheapest ways, where others are open */
	PLAN_FIT_WAYS = 4,      /* and the fourth part by all ways, whose bounds take longest */
	PLAN_FIT_FIRST = 2400   /* plans to look at, times the square of targets, before near
	                         * enough is enough: few targets are searched to the end */
};
#define PLAN_FIT_GAP 0.02 /* of what is earned: seasons differ by far more */

/* As limits: NaN is none.  As what a plan takes: most at any time. */
struct plan_room {
	double metres;          /* mm of bed */
	double line, racks;     /* mm; mm2 */
	double boxes;           /* filled by the end of the season */
	double hours;           /* cutting to boxing, in a week */
};
struct plan_fit_standing {      /* a standing bed of which all that is asked wants too much */
	uint32_t crop;
	int64_t bears, wanted, used; /* stems cut */
};
struct plan_fit_options {
	struct plan_room limits;
	bool ignore_stock;      /* as for plan_reckon */
	size_t looks;           /* plans to look at; 0: PLAN_FIT_LOOKS */
	double gap;             /* of what is earned: near enough; 0: to the end */
	const struct plan_wish *known; /* per target: counts that are known to fit; NULL */
	const struct plan_line_ways *known_ways; /* in these ways; NULL */
};
enum plan_fit_state {
	PLAN_FIT_ALL,           /* all targets fit */
	PLAN_FIT_FOUND,         /* the best there is, or within the gap of it: see `bound` */
	PLAN_FIT_STOPPED,       /* the best found: `bound` says how much more there could be */
	PLAN_FIT_NONE           /* the open orders alone do not fit */
};
struct plan_fit {
	enum plan_fit_state state;
	struct plan_wish *wishes; /* per target of the farm: with the count that fits */
	double *asked;          /* per target: whole pieces of its count */
	size_t n;
	struct plan_room wanted, used; /* of all that is asked; of what fits */
	double earns_all, earns; /* of all that is asked, whether it fits or not; of what fits.
	                          * Without what open orders bring: they come either way */
	struct plan_fit_standing *standing;
	size_t nstanding;
	bool other_ways;        /* this plan has other ways where a standing bed does not go round: */
	const struct plan_line_ways *ways; /* these, as for plan_reckon; NULL: by its own rule */
	bool ways_left;         /* there are such ways: the bound is of all ways of all needs */
	double lacking;         /* usable stems of all that is asked that cannot be there by their day */
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
