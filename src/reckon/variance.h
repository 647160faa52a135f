/* variance.h - what making took against the recipe, in money.
 *
 * Everywhere, a positive variance cost more than the standard (textbooks mark it U or A,
 * unfavourable, adverse), a negative one less (F).  For an input, a at price p actually,
 * s at price q by the standard for what came out:
 *     price (of labour: rate)         (p - q) a
 *     usage (of labour: efficiency)   (a - s) q
 *     their sum                       p a - q s
 * (M. Franklin, P. Graybeal and D. Cooper, Principles of Accounting vol. 2, OpenStax
 * 2019, ch. 8.)  Where several inputs may stand in for each other, usage is in two parts,
 * with A = sum a and each input's share h = s / sum s:
 *     mix    (a - h A) q              another blend than the recipe's
 *     yield  (h A - s) q              more or less of the recipe's own blend
 * (A. Bhimani, C. Horngren, S. Datar and G. Foster, Management and Cost Accounting, ch. 17.)
 */
#ifndef RECKON_VARIANCE_H
#define RECKON_VARIANCE_H

#include "farm/farm.h"
#include "reckon/remark.h"
#include "reckon/stemcost.h"

struct input_variance {
	double price, usage, total;
};
struct input_variance variance_input(double actual, double actual_price, double standard,
                                     double standard_price);

struct mix_input {
	double standard;        /* for the standard output */
	double price;           /* standard */
	double actual;
	double mix, yield;      /* filled in */
};
struct mix_variance {
	double standard;        /* standard cost of the actual output */
	double mix, yield;      /* their sum is the usage variance of all inputs */
};
/* standard_output > 0 is what the standard inputs give; sum of standard inputs > 0. */
struct mix_variance variance_mix(struct mix_input *inputs, size_t n, double standard_output,
                                 double actual_output);

struct overhead_taken {         /* a year's money spread over the hours meant for it */
	double rate;            /* per hour */
	double taken;           /* rate x hours worked */
	double short_by;        /* money - taken: not covered; negative: covered more than once */
};
struct overhead_taken overhead_take(double money, double hours_meant, double hours_worked);

/* ---- from the bench log ---- */

struct stem_use {               /* stems of a crop in what was made */
	uint32_t crop;
	double drawn;           /* stems, spoiled ones among them */
	double recipe;          /* stems that the recipe says, normal bench loss included */
	double at;              /* standard money per stem; NaN none known */
	double bought, paid;    /* stems drawn from boxes with a price, and their money */
	double price, usage;    /* variances; 0 when `at` is NaN */
	double mix, yield;      /* 0 unless the making is `mixed` */
};
struct made {                 /* a part or piece in a month, or in all */
	struct item item;
	int year, month;        /* 0: all of them */
	size_t first;           /* of variances.lines: these lines stand there together */
	size_t lines;           /* `made` lines with a count */
	double count;
	size_t unsaid;          /* lines without minutes */
	size_t timed;           /* lines with minutes and a recipe time ... */
	double minutes, recipe_minutes; /* ... and theirs */
	double rate, efficiency; /* variances of labour */
	struct stem_use *uses;  /* by crop, as first drawn */
	size_t nuses, cap;
	double price, usage;    /* of stems, all crops with a known price */
	bool mixed;             /* two crops or more with a recipe and a price: */
	double mix, yield;      /* usage = mix + yield */
};
struct variances {
	struct made *months;  /* by item (pieces after parts, in order), then month */
	size_t nmonths;
	struct made *items;   /* all months together */
	size_t nitems;
	const struct log_entry **lines; /* `made` lines with a count, by item, then by day */
	size_t nlines;
	double hours;           /* in all lines with minutes, whatever happened */
	struct overhead_taken overhead;
	day first;              /* of the lines behind all this; DAY_NONE without any */
	size_t left_out;        /* `made` lines whose stems cannot be told by crop */
};
/* What was made from `from` to `on`, both inclusive.  `paid` is the wage that was really
 * paid per hour, burden included; NaN: the farm's own, and no rate variance.  A crop's
 * standard price is its `costs` line, else `buys at`, else what a boxed stem costs in
 * `stems` (may be NULL); the actual price is the one on the box, and for grown stems the
 * standard.  Stems are compared by bench_stems(); supplies are not in the log. */
void variances_reckon(struct variances *out, const struct farm *farm, day from, day on, double paid,
                      const struct stemcosts *stems, struct arena *a);

#endif
