/* rates.h - the rates of loss in use: what everything that looks forward reckons with.
 *
 * Records and the `loses` line together (measured.h, the planning rate), rounded to
 * RATE_STEP so that pooled counts stay exact fractions and a rate can be written as it
 * is used.  Without records it is the `loses` line exactly; what --suppose says is used
 * as it is said; with --assumed it is the line everywhere.
 *
 * Not for what a bed's money should have given: there the `loses` line is the standard
 * (stemcost.h), and so it is in the bench log's recipe stems (bench.h).
 */
#ifndef RECKON_RATES_H
#define RECKON_RATES_H

#include "farm/farm.h"
#include "reckon/remark.h"

struct measures; /* measured.h */

enum { RATE_STEP = 10000 };     /* steps in 1: a rate is a whole number of 0.01% */

enum rate_source {
	RATE_NONE,              /* nothing said, nothing recorded: 0 */
	RATE_LINE,              /* the `loses` line */
	RATE_SUPPOSED,          /* --suppose */
	RATE_BLEND,             /* records and line */
	RATE_RECORDS            /* records without a line that weighs */
};
struct rate_used {
	double v;               /* fraction below 1; storage: per month */
	struct rat q;           /* v, exactly where it can be */
	enum rate_source source;
};
struct rates {
	struct rate_used (*crops)[STAGE_COUNT]; /* per farm->crops */
	struct measures *measures; /* behind them: rates, intervals and the beta distribution
	                            * (plan.a, plan.b) of each; NULL: rates_of_lines() */
	struct remarks said;    /* what measuring has to say; for `loss` */
	bool assumed;           /* the lines alone, though there may be records */
};

/* From the `loses` lines alone. */
void rates_of_lines(struct rates *out, const struct farm *farm, struct arena *a);
/* From the records up to that day, or as rates_of_lines() where `assumed`; measures are
 * there in both cases. */
void rates_reckon(struct rates *out, const struct farm *farm, day on, bool assumed, struct arena *a);

static inline double rates_at(const struct rates *r, uint32_t crop, enum stage stage)
{
	return r->crops[crop][stage].v;
}
/* Records moved it off the `loses` line. */
bool rates_moved(const struct rates *r, const struct farm *farm, uint32_t crop, enum stage stage);
/* 1/(1-b), exact: what one stem in a piece takes at the bench. */
struct rat rates_allowance(const struct rates *r, uint32_t crop);
/* One remark on which crops and stages (bits 1 << stage) records moved. */
void rates_say(const struct rates *r, const struct farm *farm, unsigned stages, struct arena *a,
               struct remarks *out);

#endif
