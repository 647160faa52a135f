/* test_loss.c - the loss chain from bed to bench. */
#include <math.h>

#include "help_farm.h"
#include "reckon/loss.h"

/* Stages multiply: rolled throughput yield. */
static void test_stages_multiply(void **state)
{
	(void)state;
	/* Minitab support, "Throughput yield and rolled throughput yield": steps that
	 * pass 95%, 84% and 88% leave .70224, printed .70 and 700 of 1,000. */
	assert_near(loss_usable(1, 0.05, 0.16, 0, 0, 0.12), 0.70224);
	assert_int_equal(llround(loss_usable(1000, 0.05, 0.16, 0, 0, 0.12)), 702);
	/* The storage stage is one more factor. */
	assert_near(loss_usable(1, 0.05, 0.16, 0.12, 1, 0), 0.70224);
	/* Sigmapedia, "Rolled throughput yield": 100 units with 13, 7 and 5 defects pass
	 * .87, .93 and .95.  Its formula line prints .85 for .87 and so does not
	 * recompute; the stated defects give .768645 (printed 0.77). */
	assert_near(loss_usable(1, 0.13, 0.07, 0, 0, 0.05), 0.768645);
	/* iSixSigma, "Rolled throughput yield": .97 x .94 = .9118. */
	assert_near(loss_usable(1, 0.03, 0.06, 0, 0, 0), 0.9118);
}

/* Eric Eberly, "Economic Feasibility of Fresh Cut Flower Production in Tobacco
 * Transplant Greenhouses", Virginia Tech Farm Management Update, April 1997: 18,681
 * plants give 1,700 bunches of 10, so 91.0% are sold. */
static void test_field_to_sale(void **state)
{
	(void)state;
	double lost = 1 - 1700.0 * 10 / 18681;
	assert_near_by(1 - lost, 0.910, 0, 0.0005);
	assert_int_equal(loss_whole(loss_usable(18681, lost, 0, 0, 0, 0)), 17000);
}

/* M. Dana and B. R. Lerner, "Preserving Plant Materials", Purdue Extension: gather
 * twice what you expect to use: for 120, cut 240. */
static void test_gather_twice(void **state)
{
	(void)state;
	assert_near(loss_usable(240, 0.5, 0, 0, 0, 0), 120);
	assert_int_equal(loss_cover(120 / loss_usable(1, 0.5, 0, 0, 0, 0)), 240);
}

/* A loss is of what enters the stage, never of what leaves it.  OpenTuition, "Process
 * costing" (topic 42): 13,200 in and a loss of 10% OF OUTPUT are 12,000 out; a rate of
 * 10% here is of the input and leaves 11,880. */
static void test_loss_is_of_input(void **state)
{
	(void)state;
	assert_near(13200 / 1.1, 12000);
	assert_near(loss_usable(13200, 0.10, 0, 0, 0, 0), 11880);
	/* The rate of ours that says the same as 10% of output is 1/11. */
	assert_near(loss_usable(13200, 1.0 / 11, 0, 0, 0, 0), 12000);
}

static void test_storage(void **state)
{
	(void)state;
	assert_near(loss_storage(0.02, 3), 0.98 * 0.98 * 0.98);
	assert_near(loss_storage(0.19, 0.5), 0.9);
	assert_near(loss_storage(0.5, 0), 1);
	assert_near(loss_storage(0.5, -3), 1); /* counted after the day */
	assert_near(loss_storage(0.5, NAN), 1);
	assert_near(loss_storage(0, 120), 1);
	assert_near(loss_storage(1, 0.01), 0);
	/* Split over time it is the same. */
	assert_near(loss_storage(0.03, 1.7) * loss_storage(0.03, 4.1), loss_storage(0.03, 5.8));
}

static void test_whole_stems(void **state)
{
	(void)state;
	static const struct {
		double x;
		int64_t whole, cover;
	} rows[] = {
		{ 0, 0, 0 },
		{ -2.5, 0, 0 },
		{ NAN, 0, 0 },
		{ 0.3, 0, 1 },
		{ 1, 1, 1 },
		{ 49.99, 49, 50 },
		{ 49.99999999999, 50, 50 },
		{ 50.00000000001, 50, 50 },
		{ 49.9999, 49, 50 },
		{ 50.0001, 50, 51 },
		{ 1e6 + 0.5, 1000000, 1000001 },
		{ 3e9 + 0.25, 3000000000, 3000000001 }, /* the tolerance never grows to a stem */
		{ 1e300, 9000000000000000, 9000000000000000 },
		{ INFINITY, 9000000000000000, 9000000000000000 },
	};
	for (size_t i = 0; i < COUNT(rows); i++) {
		assert_int_equal(loss_whole(rows[i].x), rows[i].whole);
		assert_int_equal(loss_cover(rows[i].x), rows[i].cover);
	}
	assert_int_equal(loss_whole(100 * (1 - 0.08) * (1 - 0.10)), 82); /* 82.8 */
	assert_int_equal(loss_whole(0.1 * 3 / 0.3), 1); /* rounding must not cost a stem */
	assert_int_equal(loss_cover(0.1 * 3 / 0.1), 3); /* nor ask for one more */
}

static void assert_rat(struct rat got, int64_t num, int64_t den)
{
	assert_int_equal(got.num, num);
	assert_int_equal(got.den, den);
}

static void test_bench_allowance(void **state)
{
	(void)state;
	struct crop crop = { 0 };
	assert_rat(loss_bench_allowance(&crop), 1, 1); /* nothing said: nothing lost */
	crop.loss[STAGE_BENCH] = build_fig(0.04);
	assert_rat(loss_bench_allowance(&crop), 25, 24);
	crop.loss[STAGE_BENCH] = build_fig(0.2);
	assert_rat(loss_bench_allowance(&crop), 5, 4);
	/* Set by arithmetic: the value leads, not the rational of before. */
	crop.loss[STAGE_BENCH].v = 0.5;
	assert_rat(loss_bench_allowance(&crop), 2, 1);
	/* All lost: never "needs none". */
	crop.loss[STAGE_BENCH] = build_fig(1);
	assert_true(loss_bench_allowance(&crop).num > 1000000);
}

/* Higher losses never leave more; one stage's loss can stand for another's. */
static void test_properties(void **state)
{
	(void)state;
	uint64_t seed = 7;
	for (int i = 0; i < 20000; i++) {
		double r[5], m = 24 * build_random(&seed);
		for (int k = 0; k < 5; k++)
			r[k] = 0.95 * build_random(&seed);
		double usable = loss_usable(1000, r[0], r[1], r[2], m, r[3]);
		double more = r[0] + (1 - r[0]) * 0.5 * r[4];
		assert_true(usable >= 0 && usable <= 1000);
		assert_true(loss_usable(1000, more, r[1], r[2], m, r[3]) <= usable);
		assert_near_by(loss_usable(1000, r[1], r[0], r[2], m, r[3]), usable, 1e-12, 0);
		assert_near_by(loss_usable(1000, r[3], r[1], r[2], m, r[0]), usable, 1e-12, 0);
		assert_true((double)loss_whole(usable) <= usable + 1e-6);
		assert_true((double)loss_cover(usable) >= usable - 1e-6);
		assert_true(loss_cover(usable) - loss_whole(usable) <= 1);
	}
}

int main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(test_stages_multiply), cmocka_unit_test(test_field_to_sale),
		cmocka_unit_test(test_gather_twice),    cmocka_unit_test(test_loss_is_of_input),
		cmocka_unit_test(test_storage),         cmocka_unit_test(test_whole_stems),
		cmocka_unit_test(test_bench_allowance), cmocka_unit_test(test_properties),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
