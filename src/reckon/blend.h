/* blend.h - how sure the planning rate is, from the prior that docs/records.md states.
 *
 *   rate       beta(w p0, w (1 - p0)): the `loses` line p0 with its weight of w stems
 *              (p0 = 0: beta(1/2, w + 1/2), as Jeffreys puts "none of so many")
 *   alikeness  beta(c r, c (1 - r)), c = BLEND_WEIGHT: r what other crops show, or
 *              ALIKE_STATED
 *   lots       beta-binomial: a lot's own rate is beta with that mean and alikeness
 *              (J. Skellam, J. Royal Statistical Society B 10 (1948) 257-261, from memory)
 *
 * The joint posterior is added up over points of both: alikeness at the middles of
 * BLEND_NODES shares of its prior, smaller ones at both ends, since batches that are all the
 * same or one that is spoiled take it far out there; the rate by the trapezoid rule in
 * log(p / (1 - p)), on a stretch that is narrowed until the posterior fills it.  Drawn
 * from that prior the truth lies inside in exactly 80% and 95%, apart from the points
 * (tests/bench/coverage.c).
 *
 * Equal tails, but the interval holds the rate in use: where that lies in a tail it is
 * the end on its side, and the other end is moved so that 80% or 95% lie between still.
 */
#ifndef RECKON_BLEND_H
#define RECKON_BLEND_H

#include "reckon/alike.h"

#define BLEND_WEIGHT 4.0 /* our own assumption, no source */
enum { BLEND_NODES = 17 };

/* Sets i80 and i95 of `plan`, as plan_rate() left it, where there are lots and a line that
 * weighs; else they are there already.  The lots, line and weight are those of
 * plan_rate(); r in 0 to 1. */
void blend_intervals(struct planned *plan, const struct lot *lots, size_t n, double assumed,
                     double weight, double r);

#endif
