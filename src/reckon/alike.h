/* alike.h - a rate of loss from batches whose stems fare alike.
 *
 * Stems of a batch fail together (one damp bundle spoils a box), so x lost of n is
 * far less sure than n separate stems would be.  A lot is one batch: `lost` of `of`
 * stems.  k lots, N = sum of, X = sum lost, p = X/N.
 *
 *   alikeness   rho = (MSB - MSW) / (MSB + (m0 - 1) MSW), never below 0, with
 *               MSB = sum n (x/n - p)^2 / (k - 1), MSW = sum n (x/n)(1 - x/n) / (N - k),
 *               m0 = (N - sum n^2 / N) / (k - 1): the analysis-of-variance estimator
 *               (A. Donner, Int. Statistical Review 54 (1986) 67-82; M. Ridout,
 *               C. Demetrio and D. Firth, Biometrics 55 (1999) 137-148; from memory).
 *   design      deff = 1 + (mA - 1) rho, mA = sum n^2 / N (L. Kish, Survey Sampling,
 *               1965, from memory); effective stems = N / deff.
 *   interval    Jeffreys limits at n* stems, of which p n*; n* = (N/deff) (z/t)^2 (the
 *               way of E. Korn and B. Graubard, Survey Methodology 24 (1998) 193-201,
 *               from memory; their limits are Clopper-Pearson's).
 *   t           z + sqrt(f) (t(v) - z): Student's in the share of the standard error
 *               that comes from differences between lots, f = mA rho / deff, the normal
 *               in the rest.  v = kA - 1, at least 1, with kA = (sum x)^2 / sum x^2, Kish's
 *               effective number of lots, weighed by what they lost (by what they kept
 *               where more was lost): k lots of which one lost everything know no more
 *               about the differences between lots than one does.  The plain k - 1 is
 *               too wide where stems fare independently and too narrow where few lots
 *               carry the loss; tests/bench/coverage.c shows both.
 *
 * Borrowed alikeness.  Under three lots, or where nothing (or everything) was lost,
 * rho comes from all crops of the farm and v with it; ALIKE_STATED stands in as if one
 * more pair of lots had shown it.  The interval always holds p.
 */
#ifndef RECKON_ALIKE_H
#define RECKON_ALIKE_H

#include <stdbool.h>
#include <stddef.h>

#include "stat/stat.h"

#define ALIKE_STATED 0.1 /* rho where nothing is known: our own assumption, no source */
#define ALIKE_VERY 0.25
enum { ALIKE_FEW = 3, ALIKE_ROUGH = 6 }; /* fewer lots are too few; are few */

struct lot {
	double lost, of; /* stems; 0 <= lost <= of, of > 0 */
};

/* Alikeness, not cut off at 0; NaN when the lots cannot tell (one lot, single stems,
 * nothing lost, everything lost). */
double alike_rho(const struct lot *lots, size_t n);

/* What other crops say about alikeness. */
struct borrowed {
	double sum, worth; /* sum of v x rho; sum of v */
	bool others;       /* more than ALIKE_STATED is in it */
};
void borrow_start(struct borrowed *b);
/* A crop counts by its lots less one, if two of its lots or more lost stems. */
void borrow_add(struct borrowed *b, const struct lot *lots, size_t n);
void borrow_less(struct borrowed *b, const struct lot *lots, size_t n); /* takes it out again */
double borrow_rho(const struct borrowed *b); /* 0 or more */

enum rho_source { RHO_NONE, RHO_OWN, RHO_FARM, RHO_STATED };

struct measured {               /* what the lots alone say */
	size_t lots;
	double stems, lost;
	double rate;            /* NaN without lots */
	double rho;             /* used, 0 or more */
	enum rho_source source;
	double deff, effective; /* effective = stems / deff */
	double freedom;         /* v */
	double share;           /* f */
	bool few;               /* under ALIKE_FEW lots: say so */
	bool rough;             /* under ALIKE_ROUGH lots, and half of them or more lost nothing,
	                         * or rho is over ALIKE_VERY: where tests/bench/coverage.c finds
	                         * the intervals too wide */
	struct interval i80, i95; /* two-sided; NaN without lots */
};
/* `rate` NaN: pooled; else it stands for p (fitted elsewhere from the same lots). */
void measure(struct measured *out, const struct lot *lots, size_t n, double rate,
             const struct borrowed *b);
/* n* of an interval at that confidence. */
double measured_stems_at(const struct measured *m, double confidence);

/* Planning: the measured stems blended with an assumption that weighs as `weight`
 * effective stems,
 *     rate = (weight x assumed + n* x measured) / (weight + n*),
 * with the n* of the 80% interval: how alike stems fare is itself measured from few
 * lots.  An assumption of NaN has no weight; without lots the assumption stands alone.
 * For next season the rate is taken as beta-distributed with a = the numerator and
 * a + b = the denominator (plan_sure.h).  How sure it is where lots and a line stand
 * behind it is for blend.h to say; until then the intervals are NaN there. */
struct planned {
	double rate;            /* NaN: neither assumed nor measured */
	double stems;           /* weight + n* */
	double a, b;            /* a + b = stems; a = 0: nothing lost, nothing assumed */
	struct interval i80, i95;
};
void plan_rate(struct planned *out, const struct measured *m, double assumed, double weight);

/* Interval of after - before from the intervals of both: R. Newcombe, Statistics in
 * Medicine 17 (1998) 873-890, method 10, with these limits in place of Wilson's. */
struct interval rate_change(double before, struct interval b, double after, struct interval a);

#endif
