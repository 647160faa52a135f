/* drying.h - is this batch ready to box?  Moisture, a drying curve, a verdict.
 *
 * Weights are net of the tare (hook, band or tray).  Moisture, wet basis, is water over
 * the weight as it was: (wet - dry)/(wet - tare); dry basis is water over dry matter,
 * Md = Mw/(1 - Mw) (IRRI, Rice Knowledge Bank, defines both).
 *
 * Ready means all of this, and a look at the stems besides (snap one, feel the neck of
 * the head: the grower's own crispness test):
 *   - three weighings or more;
 *   - constant weight: the last two, at least 24 hours apart, differ by no more than 1%
 *     of the starting weight (Saskatchewan, "Determining Moisture Content": under 1 g of
 *     100 g; others allow 2 g).  Days are days: weigh at the same hour;
 *   - it has lost 5% of its weight or more, or its drying was never seen: three equal
 *     weights may be a dry bundle or a wet one in a fog (our own rule, no source);
 *   - at most 2% of its water is still to go by the curve
 *         weight(t) = rest + water e^(-k t),  to go = (last - rest)/(start - rest).
 *     Slow drying gives small differences too, but its curve has far to go.
 *
 * The curve is first order (W. K. Lewis, J. Industrial and Engineering Chemistry 13
 * (1921) 427-432, from memory), fitted by least squares with k anywhere between
 * DRYING_SLOWEST and DRYING_FASTEST.  Of all curves that fit as well as the best one, up to the
 * step of the scale (step^2/12 a weighing), the one with most to go is judged by, so that
 * a coarse scale makes nobody sure.  A late start (drying is fastest only after a damp
 * day or two) is left off when four weighings remain.  No curve can see that drying
 * stands still in wet weather and will go on: hence the crispness test.
 */
#ifndef RECKON_DRYING_H
#define RECKON_DRYING_H

#include "farm/farm.h"

enum { DRYING_WEIGHINGS = 3, DRYING_LOOK_AHEAD = 90 /* days */ };
#define DRYING_CONSTANT 0.01 /* of the starting weight */
#define DRYING_TO_GO 0.02    /* of the water */
#define DRYING_SEEN 0.05     /* of the starting weight */
#define DRYING_SLOWEST 0.02  /* k per day */
#define DRYING_FASTEST 5.0

/* Shares; NaN when a weight makes no sense (wet <= tare, dry < tare, dry > wet). */
double moisture_wet(double tare, double wet, double dry);
double moisture_dry_basis(double wet_basis);
double moisture_wet_basis(double dry_basis);
/* Weight of what weighed `fresh` at moisture `from`, when it has come to `to` (wet basis). */
double dried_weight(double fresh, double from, double to);

enum drying_verdict {
	DRYING_TOO_FEW,         /* weigh again */
	DRYING_HANG,            /* leave it hanging */
	DRYING_READY            /* dry by its weight: test for crispness, then box */
};
enum drying_reason {
	DRYING_BY_ALL,          /* READY */
	DRYING_BY_COUNT,        /* TOO_FEW */
	DRYING_BY_LOSS,         /* the last two differ too much */
	DRYING_BY_GAIN,         /* it has taken up water */
	DRYING_BY_NO_DROP,      /* hardly lighter than at first */
	DRYING_BY_CURVE         /* constant enough, but with water still to go */
};
struct drying {
	enum drying_verdict verdict;
	enum drying_reason reason;
	size_t weighings;       /* used: one a day, net weight above 0 */
	double start, last;     /* g, net */
	double lost;            /* (start - last)/start: moisture lost so far, wet basis */
	double change;          /* (last but one - last)/start */
	bool fitted;            /* the curve slows down towards a weight above 0 */
	double k, rest;         /* per day; g */
	double water;           /* g, on the day `from`, where the curve begins */
	day from;
	double to_go;           /* of the water, cautious; 1 when no curve fits; NaN under 3 */
	day expected;           /* first day with no more than 2% to go; DAY_NONE: cannot
	                         * be said, or it has gained, or its drying was never seen */
};
/* By day, then by place in the list; the last one of a day counts. */
void drying_judge(struct drying *out, const struct weighing *weighings, size_t n, double tare,
                  struct arena *a);
/* What is judged: net weights above 0, one a day, by day.  As many as returned, in *out. */
size_t drying_nets(struct weighing **out, const struct weighing *weighings, size_t n, double tare,
                   struct arena *a);
/* Net weight by the curve on a day; NaN when none is fitted or the day is before it. */
double drying_at(const struct drying *d, day on);
/* All weighings of a batch, in batches.csv and in the given lines of the bench log
 * (bench_lines()), up to that day; as many as returned, in *out. */
size_t drying_weighings(struct weighing **out, const struct farm *farm, uint32_t batch, day on,
                        const size_t *lines, size_t nlines, struct arena *a);
/* Judged by them. */
void drying_of_batch(struct drying *out, const struct farm *farm, uint32_t batch, day on,
                     struct arena *a);

#endif
