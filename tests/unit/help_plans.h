/* help_plans.h - plans made up by chance, and seasons in which they are tried.
 *
 * The season knows nothing of the program's quadrature: it takes from the plan how many
 * cells to sow and plants to set out, and from the farm's own figures what comes of them,
 * seed by cell, batch by batch, as docs/reckoning.md says that they vary. */
#ifndef TESTS_HELP_PLANS_H
#define TESTS_HELP_PLANS_H

#include "help.h"

struct tried_plan {
	size_t crops;
	double sure;            /* asked for */
	double said;            /* chance that the plan says */
	double met;             /* share of seasons in which the whole target was met */
	double plain_said, plain_met; /* the same with the plain numbers of stems */
};
/* One plan, tried in so many seasons. */
void try_plan(struct tried_plan *out, uint64_t *state, size_t seasons);

#endif
