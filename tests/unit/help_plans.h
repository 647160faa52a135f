/* help_plans.h - plans made up by chance, each the same whenever it is made.
 *
 * What comes of them is drawn in help_seasons.c, which knows nothing of the program. */
#ifndef TESTS_HELP_PLANS_H
#define TESTS_HELP_PLANS_H

#include "help_seasons.h"

struct pool_asked {             /* what decided the stems of a crop */
	int64_t need, cut;
	double chance;
};
struct made_plan {
	struct made_up farm;
	struct done done[CROPS_MOST]; /* what it says to do */
	struct done plain[CROPS_MOST]; /* for the plain numbers: so many plants as they need */
	struct pool_asked pools[CROPS_MOST];
	double said[LINES_MOST], plain_said[LINES_MOST]; /* chance that it says */
};
/* Plan `number`: 2 to 6 crops in one line or in two that share them. */
void make_plan(struct made_plan *out, uint64_t number);
/* A stream of chance that is this plan's own. */
uint64_t plan_seed(uint64_t number, uint64_t seed);

#endif
