/* test_plan_seasons.c - plans made up by chance, tried in seasons drawn one by one: the
 * target as a whole is met as often as it was to be.  `make bench-plans` tries 300 of them
 * 20,000 times each. */
#include <math.h>

#include "help_plans.h"

static void targets_are_met_as_often_as_asked(void **state)
{
	(void)state;
	enum { PLANS = 10, SEASONS = 2000 };
	uint64_t random = 20270424;
	double plain = 0, asked = 0;
	for (int i = 0; i < PLANS; i++) {
		struct tried_plan t;
		try_plan(&t, &random, SEASONS);
		double se = sqrt(t.sure * (1 - t.sure) / SEASONS);
		assert_true(t.said >= t.sure);
		assert_true(t.met >= t.sure - 3 * se);
		/* What is said errs on the low side only: whole plants and the seed to spare are
		 * more than the stems asked for. */
		assert_true(t.met >= t.said - 3 * se - 0.01);
		plain += t.plain_met;
		asked += t.sure;
	}
	/* The plain numbers would not do: the test above can fail. */
	assert_true(plain < 0.7 * asked);
}

int main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(targets_are_met_as_often_as_asked),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
