/* cost.h - the cost of one part and one piece: stems, supplies, labour, overhead.
 *
 * piece minutes = sum of `takes` + minutes of its parts; a setting up `for each
 * batch of up to k` is 1/k of it in a unit cost, and ceil(n/k) of it in a run of n.
 * Overhead = yearly overhead / yearly bench hours, for each bench hour (packing
 * is done at the bench too, but stands in price.h with the outlet).
 */
#ifndef RECKON_COST_H
#define RECKON_COST_H

#include "farm/farm.h"
#include "reckon/remark.h"
#include "reckon/stemcost.h"

#define SECONDS_PER_HOUR 3600.0

struct cost_line {              /* one need, met by its first option */
	uint32_t need, option;
	struct item item;
	double count;           /* base units for one making */
	double each;            /* money per base unit: usable stem, unit; of a part its total,
	                         * labour and overhead included */
	double money;           /* count x each */
	double stems, supplies, seconds; /* of which, through parts: money, money, time */
	enum cost_source source; /* for a crop */
	bool known;             /* false: no price known, money counted as 0; of a part: somewhere in it */
};
struct make_cost {              /* of one piece, or one base unit of a part */
	struct cost_line *lines; /* per need; of one making */
	size_t nlines;
	double makes;           /* base units from one making; 1 for pieces */
	double stems, supplies; /* money, through parts */
	double seconds;         /* bench time, through parts, set-ups at 1/k */
	double setup_seconds;   /* of which set-ups */
	double labour, overhead; /* money */
	double total;
	bool complete;          /* every material has a price */
	int64_t run;            /* run length meant by the set-up share: the largest k of its own
	                         * tasks; 1 without */
};
struct costs {
	struct make_cost *parts, *pieces;
	double wage;            /* burdened, money per h */
	double overhead_rate;   /* money per h; 0 when not given */
};
/* Seconds for a run of n makings of these tasks: each takes n x, each batch
 * ceil(n/k) x. */
double labour_run_seconds(const struct task *tasks, size_t ntasks, int64_t n);
/* Seconds for one, batches at 1/k. */
double labour_unit_seconds(const struct task *tasks, size_t ntasks, double *setup);
double burdened_wage(const struct business *b); /* wage x (1 + burden) */
double overhead_rate(const struct business *b);
void costs_reckon(struct costs *out, const struct farm *farm, const struct stemcosts *stems,
                  struct arena *a, struct remarks *r);

#endif
