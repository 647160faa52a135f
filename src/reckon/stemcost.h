/* stemcost.h - what one dried stem costs, boxed and usable.
 *
 * Order of belief: price on the box (bought in) > bed record > the crop's `costs`
 * (or `buys at`) line.  Joint cost of a bed = money + growing hours x burdened wage
 * + growing x metres + cutting + establishment/bearing years; shared between stems
 * sold fresh and stems hung by the farm's share rule.  Stripping to boxing, bands
 * and boxes belong to the dried stems alone.  Normal loss (the `loses` line: f, d) raises
 * the unit cost:
 *     per boxed stem = dried share / ((cut - fresh)(1-f)(1-d))
 * what was boxed short of that is abnormal and shown apart, at the same unit cost.
 * Per usable stem: stems as boxed and stems usable now are pooled over the crop's
 * good boxes, with s and b as in use (rates.h),
 *     sum(count/(1-s)^months(boxed -> counted) x cost) / sum(count x (1-s)^months(counted -> on) (1-b)),
 * and without boxes it is per boxed stem / (1-b).  Where the bench log has moved a
 * box, its stems as boxed are those that the stems of today grew from:
 * worth / (1-s)^months(boxed -> on), which is the same thing where it has not.  A box
 * without a day of boxing counts as boxed on the day of its last count.
 *
 * Works of a bed are reckoned where its hours are not said: cutting is of the stems
 * cut, stripping of those kept for hanging, bundling and hanging of those hung,
 * boxing of those boxed (by the stem or box) or hung (by the bundle).
 */
#ifndef RECKON_STEMCOST_H
#define RECKON_STEMCOST_H

#include "farm/farm.h"
#include "reckon/remark.h"
#include "reckon/stock.h"

enum cost_source { COST_NONE, COST_BOX, COST_BED, COST_LINE, COST_MIXED };

/* A bed worked out. All money in the farm's currency, all stems as doubles. */
struct bed_cost {
	uint32_t bed;
	double money, growing_labour, land, cutting, establishment; /* joint, by part */
	double joint;           /* their sum */
	double dry_labour, dry_money; /* dried stems alone: work; bands and boxes */
	double fresh, to_hang;  /* stems sold fresh; cut - fresh */
	double hung;            /* to_hang x (1-f): normal */
	double normal_boxed;    /* hung x (1-d) */
	double boxed;           /* as counted (bed, else batches); NaN not counted */
	double share;           /* fraction of joint that the hung stems bear */
	double dried;           /* share x joint + dry_labour + dry_money */
	double per_boxed;       /* dried / normal_boxed; NaN when nothing was hung */
	double abnormal_stems;  /* normal_boxed - boxed; negative is a gain; 0 not counted */
	double abnormal_money;  /* x per_boxed */
	double fresh_share;     /* money borne by stems sold fresh */
	bool by_stems;          /* shared by stems though the farm's rule is another: no prices */
};
struct stem_cost {              /* per crop */
	enum cost_source source; /* what most of it rests on; MIXED when boxes differ */
	bool measured;          /* rests on counts (bed or paid price), not on a line */
	double grown;           /* per boxed stem, from beds or line; NaN none */
	enum cost_source grown_source; /* BED, LINE or NONE */
	double per_boxed;       /* pooled over good boxes, else grown */
	double per_usable;      /* NaN when no cost is known */
	double survival;        /* boxed -> used, pooled: per_boxed / per_usable */
	double boxed_stems;     /* stems as boxed behind the pool; 0 without boxes */
	double abnormal_stems, abnormal_money;
	size_t *beds;           /* indices into stemcosts.beds */
	size_t nbeds;
};
struct stemcosts {
	struct stem_cost *crops; /* per farm->crops */
	struct bed_cost *beds;   /* per farm->beds */
	double wage;             /* burdened, money per h */
};

/* Pure pieces of the reckoning, for the tests too. */
/* Fraction of a joint cost that the second of two products bears: by weight of
 * stems, of value at that point, or of net realisable value. Values are totals;
 * a negative net value counts as 0; both 0: NaN, and a bed is then shared by stems. */
double share_of_joint(double value_first, double value_second);
/* Seconds of one of the crop's works on so many stems, bundles and boxes.  A rate
 * by the bundle or box without its size counts as 0; stemcosts_reckon says so. */
double work_seconds(const struct crop *crop, enum work w, double stems, double bundles, double boxes);
void bed_reckon(struct bed_cost *out, const struct farm *farm, uint32_t bed, double burdened_wage);
void stemcosts_reckon(struct stemcosts *out, const struct farm *farm, const struct stock *stock,
                      struct arena *a, struct remarks *r);
/* Says which beds without `dry hours` have batches that were all timed: their minutes lie unused,
 * as the cost of a stem takes the bed's hours, else `works`.  crops: which are wanted; NULL: all. */
void stemcosts_say_minutes(const struct farm *farm, const bool *crops, struct arena *a, struct remarks *r);
const char *cost_source_name(enum cost_source s); /* "box", "bed", "crop line" */

#endif
