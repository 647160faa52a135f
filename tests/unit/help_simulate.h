/* help_simulate.h - seasons of batches drawn at random, repeatably, for the tests and
 * the bench of the intervals.  `state` is the stream of build_random(). */
#ifndef TESTS_HELP_SIMULATE_H
#define TESTS_HELP_SIMULATE_H

#include "help_farm.h"
#include "reckon/alike.h"

double simulate_normal(uint64_t *state);
double simulate_gamma(double shape, uint64_t *state);
double simulate_beta(double a, double b, uint64_t *state); /* a = 0: 0; b = 0: 1 */
double simulate_binomial(double n, double p, uint64_t *state);
/* The same distribution in a few draws. */
double simulate_count(double n, double p, uint64_t *state);
/* Whole numbers from `low` to `high`, all alike. */
double simulate_whole(double low, double high, uint64_t *state);
/* k lots of `low` to `high` stems.  Each lot has its own rate, beta with mean p and
 * alikeness rho (0: p itself), and binomial losses. */
void simulate_season(struct lot *lots, size_t k, double low, double high, double p, double rho,
                     uint64_t *state);

#endif
