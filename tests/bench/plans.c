/* plans.c - 300 plans made up by chance, each tried in 20,000 seasons: does the target as a
 * whole reach the certainty asked for, within three standard errors?
 *
 *     make bench-plans */
#include <math.h>
#include <stdio.h>

#include "../unit/help_plans.h"

int main(void)
{
	enum { PLANS = 300, SEASONS = 20000 };
	uint64_t state = 42;
	int short_of = 0;
	double worst = 1e9, low = 1, high = -1, plain = 0;
	for (int i = 0; i < PLANS; i++) {
		struct tried_plan t;
		try_plan(&t, &state, SEASONS);
		double se = sqrt(t.sure * (1 - t.sure) / SEASONS), z = (t.met - t.sure) / se;
		short_of += z < -3;
		worst = fmin(worst, z);
		low = fmin(low, t.met - t.said);
		high = fmax(high, t.met - t.said);
		plain += t.plain_met >= t.sure;
		if (z < -3)
			printf("plan %d: %zu crops, asked %.2f, said %.4f, met %.4f\n", i, t.crops, t.sure,
			       t.said, t.met);
	}
	printf("%d plans, %d seasons each: %d short of the certainty asked by more than three "
	       "standard errors (worst %+.1f); met less said from %+.4f to %+.4f; the plain numbers "
	       "reach it in %.0f plans.\n",
	       PLANS, SEASONS, short_of, worst, low, high, plain);
	return short_of ? 1 : 0;
}
