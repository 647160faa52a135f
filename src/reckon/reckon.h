/* reckon.h - everything that a farm answers on a day, in one struct.
 *
 * Commands and reports use this; the parts are pure functions on the model. */
#ifndef RECKON_RECKON_H
#define RECKON_RECKON_H

#include "reckon/cost.h"
#include "reckon/learning.h"
#include "reckon/price.h"
#include "reckon/rates.h"
#include "reckon/reach.h"
#include "reckon/remark.h"
#include "reckon/stemcost.h"
#include "reckon/stock.h"
#include "reckon/variance.h"
#include "reckon/weighed.h"

struct reckoning {
	const struct farm *farm;
	day on;
	struct arena *arena;
	struct rates rates;     /* losses in use, and what the records say */
	struct stock stock;
	struct stemcosts stems;
	struct costs costs;
	struct prices prices;
	struct reach reach;
	struct variances took;  /* all of the bench log up to the day, at the farm's wage */
	struct skills skills;
	struct weighed weighed;
	struct remarks remarks;
};
enum { /* what to reckon, as bits; stock always */
	RECKON_STOCK = 0,
	RECKON_COSTS = 1,
	RECKON_PRICES = 1 | 2,
	RECKON_REACH = 4,
	RECKON_RECORDS = 8 | RECKON_COSTS, /* took, skills, weighed */
	RECKON_ALL = 15,
	RECKON_ASSUMED = 16,    /* losses by the `loses` lines alone */
	RECKON_SURE = 32        /* how sure the planning rates are, too */
};

int reckon(struct reckoning *out, const struct farm *farm, day on, unsigned what,
           bool with_past, const struct reach_options *options, struct arena *a, struct diag *diag);
/* Cautions that go with what the farm grows, makes and sells (docs/cautions.md). */
void reckon_cautions(struct remarks *r, const struct farm *farm);

#endif
