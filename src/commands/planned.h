/* planned.h - the planting plan, for commands that are about something else. */
#ifndef COMMANDS_PLANNED_H
#define COMMANDS_PLANNED_H

#include "reckon/plan.h"
#include "reckon/reckon.h"

/* r holds the stock of its day.  Costs and prices count where every supply has one; what
 * is remarked on the way is for `plant` to say.  0, or -1 with an error in diag. */
int planned(struct plan *out, const struct reckoning *r, struct diag *diag);

#endif
