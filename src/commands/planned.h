/* planned.h - the planting plan and the drying line, for all commands that need them. */
#ifndef COMMANDS_PLANNED_H
#define COMMANDS_PLANNED_H

#include "reckon/hang.h"
#include "reckon/plan.h"
#include "reckon/reckon.h"

/* r holds the stock of its day.  Costs and prices count where every supply has one: without,
 * only the money of the targets is left out.  say: where the plan's remarks go; NULL: they
 * are for `plant` to say.  0, or -1 with an error in diag. */
int planned(struct plan *out, const struct reckoning *r, const struct plan_options *options,
	    struct remarks *say, struct diag *diag);

/* The drying line of this season by the batches, and of the next by the plan (0, or -1 with
 * an error); remarks go to r.  In the next one boxes of today are not counted: how many of
 * them will be empty by then nobody knows.  hours: a week; NaN: no limit. */
void season_now(struct hang *out, struct reckoning *r, double hours);
int season_planned(struct hang *out, struct reckoning *r, double hours, struct diag *diag);
/* The same of a plan that is there already. */
void season_by_plan(struct hang *out, struct reckoning *r, const struct plan *plan, double hours);

#endif
