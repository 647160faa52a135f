/* loss.h - the loss chain from bed to bench.
 *
 * Rates are fractions: f field (cut -> hung), d drying (hung -> boxed), s storage
 * per month of 365.25/12 days, b bench.  Stages multiply (rolled throughput yield).
 */
#ifndef RECKON_LOSS_H
#define RECKON_LOSS_H

#include <stdint.h>

#include "base/date.h"
#include "farm/farm.h"

/* cut x (1-f)(1-d)(1-s)^months (1-b) */
double loss_usable(double cut, double f, double d, double s, double months, double b);
/* (1-s)^months; 1 when months <= 0 */
double loss_storage(double s, double months);
/* Whole stems in x: floor, but x within 1e-9 (relative; at most a thousandth) below
 * a whole number counts as that number, so that 49.99999999999 stems are 50.  0 for
 * negative x and NaN. */
int64_t loss_whole(double x);
/* Whole stems that cover x: the mirror of loss_whole. */
int64_t loss_cover(double x);
/* 1/(1-b) as an exact rational: what one stem in a piece takes at the bench; of the
 * rate v, which is q where q is set. */
struct rat loss_allowance(double v, struct rat q);
/* By the `loses` line: the standard.  By the rate in use: rates_allowance(). */
struct rat loss_bench_allowance(const struct crop *crop);

#endif
