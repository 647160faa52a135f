/* plan_sure.h - how many stems to plan for, so that enough are usable with a wanted chance.
 *
 * n stems to cut, as a season of usual yield gives them, bring
 *
 *     C = n x E x G x t     stems cut in time; E season, G plants that live, t share in time
 *     U | C, q ~ binomial(C, q),   q = (1-f)(1-d)(1-s)^m (1-b)
 *
 *   E   season effect, one for all plants of the crop: yield over the usual yield.  The
 *       usual range holds four years of five: its ends are the 10% and 90% points and the
 *       usual yield is the median.  Between and beyond them log-normal, with a spread of its
 *       own on either side: ln E = z ln(low/usual)/-z10 below, z ln(high/usual)/z10 above,
 *       z10 = 1.2816.  (A two-piece normal: K. Wallis, Statistical Science 29 (2014) 106-112,
 *       from memory; halves of equal weight and logarithms are our own choice, so that no
 *       year gives less than nothing.  A low end of 0: the lower half is normal, cut at 0.)
 *   G   plants that live, over their mean: binomial(N, live) / (N x live) for the
 *       N = n / (usual yield x live) plants that are set out.  Between two whole numbers of
 *       plants the chance is in proportion, so that rounding them up only adds to it.
 *   f, d, s, b   each drawn once for the season from beta(A, B): mean A/(A+B) = the planning
 *       rate, variance = that of the rate, which is not known for sure, and that of the mean of
 *       next season's batches, whose stems fare alike:
 *           p (1-p) / (stems + 1)  +  p (1-p) rho / batches
 *       So each stage is beta-binomial (M. Skellam, J. Royal Statistical Society B 10 (1948)
 *       257-261, from memory).
 *
 * P(U >= need) is added up by quadrature: the shares kept by the trapezoid rule in
 * logit(rate), multiplied and pooled stage by stage (finer in the tails).  At each of them
 *   plants   few of them one by one.  Many go into the stems that must be cut: these times
 *            1/G, by its first three moments
 *   stems    that must be cut for `need` usable ones: negative binomial, mean need/q, variance
 *            need (1-q)/q^2.  Few one by one, else a normal with its skewness (E. Cornish and
 *            R. Fisher, 1938, from memory)
 *   season   exact: 1 less its distribution
 * With all rates certain there is one point, and the smallest n is that of the negative
 * binomial (stat_how_many).  The tests add the same chance up the long way and find the same
 * to 0.001 (tests/unit/test_plan_certain.c).
 */
#ifndef RECKON_PLAN_SURE_H
#define RECKON_PLAN_SURE_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "base/mem.h"

#define SURE_MOST 1000000000 /* stems */

struct sure_yield {
	double usual, low, high; /* stems per plant, 0 <= low <= usual <= high; low == high:
	                          * certain */
};
/* A rate of loss: beta(a, b).  a 0: nothing is lost; b INFINITY: certain at `rate`. */
struct sure_rate {
	double rate;
	double a, b;
};
struct sure_rate sure_certain(double rate);
/* stems: behind the rate (alike.h's planned); rho, batches: next season's. */
struct sure_rate sure_of(double rate, double stems, double rho, double batches);

/* Points of q, rising, with their weights. */
struct sure {
	double *kept, *weight;
	size_t n;
	struct sure_yield yield;
	bool season;            /* yield spreads: */
	double above, below;    /* of ln(yield / usual), on either side; below 0: to nothing */
	double narrow;          /* the smaller of them; 0: no season */
	double z10;
	double live;            /* 1: all plants do, or there are none */
	double plants_share;    /* 1; less: only so many of them give anything in time */
	double usual;           /* q at the planning rates */
};
/* The season and the plants; no loss yet. live in (0, 1]. */
void sure_start(struct sure *out, const struct sure_yield *yield, double live, struct arena *a);
/* One more stage: kept (1 - rate)^months. */
void sure_stage(struct sure *out, const struct sure *in, const struct sure_rate *rate, double months,
                struct arena *a);

/* P(U >= need) for n stems, t of which are cut in time. */
double sure_chance(const struct sure *s, int64_t n, double in_time, int64_t need);
/* Smallest n with sure_chance >= chance (a chance that is reached exactly counts); -1 when
 * none up to SURE_MOST has it. */
int64_t sure_smallest(const struct sure *s, double in_time, int64_t need, double chance);
/* Whether so many have that chance, as sure_smallest() goes by it. */
bool sure_suffices(const struct sure *s, int64_t n, double in_time, int64_t need, double chance);
/* The plain number: need over usual x in_time, rounded up; -1 when that is 0. */
int64_t sure_plain(const struct sure *s, double in_time, int64_t need);

#endif
