/* help_exact.h - the chance of docs/reckoning.md, "Certainty", added up the long way: no
 * formula of the program, of libRmath or of another library but erfc and lgamma.
 *
 *   losses   each rate cut into thin slices of its beta density; -m ln(1 - rate) of one step
 *            after the other folded together on a fine line
 *   plants   every number that can live
 *   stems    every number that has to be cut until `need` are usable
 *   season   exact, by erfc */
#ifndef TESTS_HELP_EXACT_H
#define TESTS_HELP_EXACT_H

#include <stddef.h>

enum { EXACT_STEPS = 4, EXACT_LINE = 700 };

struct exact_rate {
	double rate, a, b;      /* beta(a, b); b infinite: certain */
	double months;          /* kept is (1 - rate)^months */
};
struct exact {
	double usual, low, high; /* stems a plant */
	double live, plants_share; /* so many of the plants count, as if the others were not there */
	double kept;            /* of the certain steps */
	double weight[EXACT_LINE], step; /* of -ln(share kept) of the others */
};
void exact_start(struct exact *out, double usual, double low, double high, double live);
void exact_losses(struct exact *out, const struct exact_rate *rates, size_t n);
/* P(at least `need` usable) for n stems in a usual season, t of which are cut in time. */
double exact_chance(const struct exact *e, double n, double t, double need);

#endif
