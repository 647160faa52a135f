/* price.h - what to ask for a piece at an outlet, and what an asked price leaves.
 *
 * Symbols: t tax rate, e fee rate, g margin aimed at, m markup, Z sending charged
 * per piece (tax included), F fixed fee per piece, P price before tax; the customer
 * pays P(1+t).  C = made/(1-spoils) + packing + sending cost.
 *   fee of what the customer pays: fee = e (P(1+t) + Z) + F
 *   fee of net:                    fee = e (P + Z/(1+t)) + F
 *   margin  P = (C + F + fees on Z - Z/(1+t)) / (1 - g - e'),  e' = e(1+t), or e of net
 *   markup  P = (C(1+m) + F + fees on Z - Z/(1+t)) / (1 - e')
 *   ratio   X = (a x stems + b x (supplies + carton)) / (1 - l) or x (1 + l), then
 *           P = (X + sending + F + fees on Z - Z/(1+t)) / (1 - e')
 * (Margin with a commission on the selling price: Univ. of Regina, Math Central,
 * QQ.09.07.)  A denominator of zero or less has no price: `collide`.
 * The tag is what stands on the ticket: P(1+t), or P where tax comes on top.
 */
#ifndef RECKON_PRICE_H
#define RECKON_PRICE_H

#include "farm/farm.h"
#include "reckon/cost.h"
#include "reckon/remark.h"

struct price_in {               /* everything that a price depends on; plain numbers */
	double stems, supplies, labour, overhead; /* of the piece made */
	double seconds;         /* bench */
	double packing_seconds, packing_labour, packing_overhead, carton;
	double spoils, sending; /* fraction; money per piece */
	double fee_rate, fee_fixed; /* F: per piece */
	bool fee_of_net;
	double charged;         /* Z per piece, tax included */
	double tax;
	bool tax_on_top;
	enum aim_kind aim;
	double margin, markup, ratio_stems, ratio_supplies, ratio_labour;
	enum labour_rule labour_rule;
	double wage;            /* burdened, per h */
	double stall_money;     /* per day, travel included; 0 */
	double stall_hours;     /* per day */
	double stall_pieces;    /* pieces sold a day, all pieces together; 0 not known, or
	                         * this piece is not among them: then no share of the stall */
	const int64_t *endings;
	size_t nendings;
	bool nearest;
	int digits;
};
struct price_out {
	double made;            /* stems + supplies + labour + overhead */
	double c;               /* C */
	bool collide;           /* the aims leave nothing: no price */
	bool has_aim;
	double aim_net;         /* P, exact */
	double aim_paid;        /* P(1+t), exact */
	double aim_tag;         /* exact tag */
	double point;           /* tag at the price point (rounded), NaN without aim */
	double point_paid;      /* what the customer pays at that tag */
};
struct price_at {               /* what a price that the customer pays leaves */
	double paid, net;       /* with and without tax */
	double fee;             /* F included */
	double profit;          /* net + Z/(1+t) - fee - C */
	double margin;          /* profit / net; NaN when net is 0 */
	double contribution;    /* profit + overhead in C */
	double stall_share;     /* stall money per piece; 0 when pieces a day are not known */
	double per_hour;        /* (profit + own labour in C - stall) / hours; NaN without hours */
	double hours;           /* bench + packing + stall hours per piece */
	double break_even;      /* whole pieces that pay a stall day (money, travel and hours at
	                         * the wage) from their contribution; NaN no stall; INFINITY never */
};
void price_aim(struct price_out *out, const struct price_in *in);
void price_judge(struct price_at *out, const struct price_in *in, double paid);
/* Tag at the next price point up (or nearest): minor units that end in one of the
 * endings (rising); a tag within 1e-9 (relative) of a point stays on it.  Endings
 * repeat at the power of ten above the largest, at least at the major unit.  Without
 * endings: the next minor unit up, or the nearest, halves away from zero.  Nearest
 * takes the upper of two equally near points and never 0 for a tag above 0. */
int64_t price_point(double tag, const int64_t *endings, size_t n, int digits, bool nearest);

struct price_line {             /* a piece at an outlet */
	uint32_t piece, outlet;
	uint32_t offer;         /* into piece->offers; NONE: it is not sold there yet */
	struct price_in in;
	struct price_out aim;
	bool asked;             /* a price is asked */
	struct price_at at;     /* at the asked price; at the price point when none is asked */
	double billed_grams;    /* weight that sending is charged by, of one order */
	bool no_tariff;         /* heavier than the last `up to` */
};
struct prices {
	struct price_line *lines; /* by piece, then offers in order; pieces without
	                           * `sells` at every outlet that has an aim */
	size_t n;
};
void prices_reckon(struct prices *out, const struct farm *farm, const struct costs *costs,
                   struct arena *a, struct remarks *r);

#endif
