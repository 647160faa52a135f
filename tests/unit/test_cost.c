/* test_cost.c - labour, overhead and the cost of parts and pieces. */
#include <math.h>

#include "help_farm.h"
#include "reckon/cost.h"
#include "reckon/price.h"

static void reckon_costs(struct built *b, struct costs *out)
{
	struct stock s;
	struct stemcosts stems;
	build_done(b);
	remarks_init(&b->remarks, &b->arena);
	stock_take(&s, &b->farm, build_day("2025-11-25"), false, NULL, &b->arena, &b->remarks);
	stemcosts_reckon(&stems, &b->farm, &s, &b->arena, &b->remarks);
	costs_reckon(out, &b->farm, &stems, &b->arena, &b->remarks);
}

/* University of California Cooperative Extension cost studies (2005): payroll overhead
 * of 47% on 15.00 and 10.00 an hour makes 22.05 and 14.70. */
static void test_burdened_wage(void **state)
{
	(void)state;
	struct business b = { .wage = build_fig(15), .wage_burden = build_fig(0.47) };
	assert_near(burdened_wage(&b), 22.05);
	b.wage = build_fig(10);
	assert_near(burdened_wage(&b), 14.70);
	b = (struct business){ 0 };
	assert_near(burdened_wage(&b), 0);
}

/* Michigan State University Extension, "When calculating labor costs take everything
 * into account": 10.00 and 15% taxes are 11.50 for each of 2,600 hours; 145 of them
 * are paid leave; less travel (245.5), breaks (138) and idle time (245.5) 1,826 are
 * worked; health 7,200.  16.36 for a productive hour, 164% of the wage.  The page
 * prints the leave as 1,677 and 1,667: 145 x 11.50 is 1,667.50. */
static void test_productive_hour(void **state)
{
	(void)state;
	double hours = 2600 - 145 - 245.5 - 138 - 245.5;
	double hour = 11.50 + 7200 / hours + 145 * 11.50 / hours;
	struct business b = { .wage = build_fig(10), .wage_burden = { .v = hour / 10 - 1 } };
	assert_near(hours, 1826);
	assert_near_by(burdened_wage(&b), 16.3562, 0, 0.00005);
	assert_near_by(burdened_wage(&b) / b.wage.v, 1.64, 0, 0.005);
}

/* OpenStax, Principles of Accounting 1: Financial Accounting (2019), section 12.5:
 * employer taxes of 124 + 29 + 12 + 100 and 300 of health cover on 2,000 gross: 2,565. */
static void test_employer_taxes(void **state)
{
	(void)state;
	struct business b = { .wage = build_fig(2000),
		              .wage_burden = { .v = (124 + 29 + 12 + 100 + 300) / 2000.0 } };
	assert_near(burdened_wage(&b), 2565);
}

static void test_overhead_rate(void **state)
{
	(void)state;
	/* OpenStax, Managerial Accounting (2019), section 6.1: 2,500,000 over 1,250,000 h. */
	struct business b = { .overhead = build_fig(2500000), .overhead_hours = build_fig(1250000) };
	assert_near(overhead_rate(&b), 2.00);
	b.overhead_hours = (struct fig){ 0 };
	assert_near(overhead_rate(&b), 0); /* never a division by nothing */
}

/* M. Groover, Automation, Production Systems, and Computer-Integrated Manufacturing,
 * ch. 3, problems on batch time (inputs read, results worked out). */
static void test_batch_time(void **state)
{
	(void)state;
	/* 4 h setting up; 1.50 + 0.50 min for 3 parts; 4 min for each tray of 27. */
	struct task a[] = { { .seconds = build_fig(14400), .batch = build_fig(2700) },
		            { .seconds = build_fig(120), .batch = build_fig(3) },
		            { .seconds = build_fig(240), .batch = build_fig(27) } };
	double setup;
	assert_near(labour_run_seconds(a, 3, 2700) / 60, 2440);
	assert_near_by(labour_run_seconds(a, 3, 2700) / 3600, 40.667, 0, 0.0005);
	assert_near_by(labour_run_seconds(a + 1, 2, 2700) / 60 / 900, 2.4444, 0, 0.00005);
	assert_near_by(labour_unit_seconds(a, 3, &setup) / 60, 0.9037, 0, 0.00005);
	assert_near_by(60 / (labour_unit_seconds(a, 3, NULL) / 60), 66.39, 0, 0.005);
	assert_near(setup, labour_unit_seconds(a, 3, NULL)); /* here all of it is by batch */
	/* 3 h; 1.60 + 0.75 min for 2; 3 min per 24; 2,400 parts: 55.0 h, 43.64 an hour. */
	struct task b[] = { { .seconds = build_fig(10800), .batch = build_fig(2400) },
		            { .seconds = build_fig(141), .batch = build_fig(2) },
		            { .seconds = build_fig(180), .batch = build_fig(24) } };
	assert_near(labour_run_seconds(b, 3, 2400) / 60, 3300);
	assert_near_by(2400 / (labour_run_seconds(b, 3, 2400) / 3600), 43.64, 0, 0.005);
	/* 1.5 h; 0.5 + 1.37 min each; 2 min per 10; 80 parts: 255.6 min, 18.78 an hour. */
	struct task c[] = { { .seconds = build_fig(5400), .batch = build_fig(80) },
		            { .seconds = build_fig(112.2) },
		            { .seconds = build_fig(120), .batch = build_fig(10) } };
	assert_near(labour_run_seconds(c, 3, 80) / 60, 255.6);
	assert_near_by(80 / (labour_run_seconds(c, 3, 80) / 3600), 18.78, 0, 0.005);
}

/* Batches begin whole: 7 of "up to 6" are two settings up. */
static void test_batches_begin_whole(void **state)
{
	(void)state;
	struct task t[] = { { .seconds = build_fig(2100) },
		            { .seconds = build_fig(1200), .batch = build_fig(6) } };
	static const struct {
		int64_t n;
		double seconds;
	} rows[] = { { 0, 0 }, { 1, 3300 }, { 6, 13800 }, { 7, 7 * 2100 + 2400 }, { 12, 27600 }, { -3, 0 } };
	double setup;
	for (size_t i = 0; i < COUNT(rows); i++)
		assert_near(labour_run_seconds(t, 2, rows[i].n), rows[i].seconds);
	assert_near(labour_unit_seconds(t, 2, &setup), 2300);
	assert_near(setup, 200);
	/* A run is never cheaper than the unit cost says, and equal in full batches. */
	for (int64_t n = 1; n < 60; n++) {
		double run = labour_run_seconds(t, 2, n), unit = 2300 * (double)n;
		assert_true(run >= unit - 1e-9);
		if (n % 6 == 0)
			assert_near(run, unit);
	}
}

/* OpenStax, Managerial Accounting (2019), section 8.1, standard cost card: 4 lb at 5.25,
 * 2.75 h at 11 and 4 h at 15, overhead of 5 + 3 an hour on 6.75 h: 21.00 + 30.25 + 60.00
 * + 33.75 + 20.25 = 165.25.  Two grades of labour stand here as their average wage. */
static void test_standard_cost_card(void **state)
{
	(void)state;
	struct built b;
	struct costs c;
	build_start(&b);
	b.farm.business.wage = (struct fig){ .v = (2.75 * 11 + 4 * 15) / 6.75, .given = true };
	b.farm.business.overhead = build_fig(8000);
	b.farm.business.overhead_hours = build_fig(1000);
	struct piece *p = build_piece(&b, "Unit");
	build_piece_need(&b, p, build_supply_item(&b, build_supply(&b, "Material", 5.25)), 4, 1);
	build_piece_task(&b, p, 2.75 * 3600, 0);
	build_piece_task(&b, p, 4 * 3600, 0);
	reckon_costs(&b, &c);
	assert_near(c.pieces[0].supplies, 21);
	assert_near(c.pieces[0].labour, 30.25 + 60);
	assert_near(c.pieces[0].overhead, 33.75 + 20.25);
	assert_near(c.pieces[0].total, 165.25);
	build_end(&b);
}

/* OpenStax, Managerial Accounting (2019), section 4.4: overhead of 250,000 on labour of
 * 100,000 is 2.50 for each unit of labour money; a job of 700 material and 66 labour
 * costs 931.  At a wage of 11 that is 27.50 for each hour. */
static void test_job_cost(void **state)
{
	(void)state;
	struct built b;
	struct costs c;
	build_start(&b);
	b.farm.business.wage = build_fig(11);
	b.farm.business.overhead = build_fig(250000);
	b.farm.business.overhead_hours = (struct fig){ .v = 100000 / 11.0, .given = true };
	struct piece *p = build_piece(&b, "Job");
	build_piece_need(&b, p, build_supply_item(&b, build_supply(&b, "Material", 700)), 1, 1);
	build_piece_task(&b, p, 6 * 3600, 0);
	reckon_costs(&b, &c);
	assert_near(c.pieces[0].labour, 66);
	assert_near(c.pieces[0].overhead, 165);
	assert_near(c.pieces[0].total, 931);
	build_end(&b);
}

/* The same book, section 6.1: overhead of 2.00 an hour; 350,000, 400,000 and 500,000
 * hours for 140,000, 100,000 and 250,000 units bear 5, 8 and 4 each; unit costs 18.50,
 * 16.75, 20.00 and gross profits 1.50, 8.25, 10.00. */
static void test_overhead_by_hours(void **state)
{
	(void)state;
	static const struct {
		const char *name;
		double hours, units, bears, cost, profit;
	} rows[] = { { "Solo", 350000, 140000, 5, 18.50, 1.50 },
		     { "Band", 400000, 100000, 8, 16.75, 8.25 },
		     { "Orchestra", 500000, 250000, 4, 20.00, 10.00 } };
	struct built b;
	struct costs c;
	build_start(&b);
	b.farm.business.overhead = build_fig(2500000);
	b.farm.business.overhead_hours = build_fig(1250000);
	for (size_t i = 0; i < COUNT(rows); i++) {
		struct piece *p = build_piece(&b, rows[i].name);
		double prime = rows[i].cost - rows[i].bears;
		build_piece_need(&b, p, build_supply_item(&b, build_supply(&b, rows[i].name, prime)), 1, 1);
		build_piece_task(&b, p, rows[i].hours / rows[i].units * 3600, 0);
	}
	reckon_costs(&b, &c);
	for (size_t i = 0; i < COUNT(rows); i++) {
		struct price_in in = { .supplies = c.pieces[i].supplies,
			               .overhead = c.pieces[i].overhead };
		struct price_at at;
		assert_near(c.pieces[i].overhead, rows[i].bears);
		assert_near(c.pieces[i].total, rows[i].cost);
		price_judge(&at, &in, rows[i].cost + rows[i].profit);
		assert_near(at.profit, rows[i].profit);
	}
	build_end(&b);
}

/* Parts of parts: each line of a piece holds all that its part costs; parts that make
 * several share a making. */
static void test_parts(void **state)
{
	(void)state;
	struct built b;
	struct costs c;
	build_start(&b);
	b.farm.business.wage = build_fig(18);
	b.farm.business.overhead = build_fig(360);
	b.farm.business.overhead_hours = build_fig(100);
	struct crop *grass = build_crop(&b, "Grass");
	grass->cost = build_fig(0.10);
	grass->loss[STAGE_BENCH] = build_fig(0.2);
	struct part *tuft = build_part(&b, "Tuft"), *garland = build_part(&b, "Garland");
	struct item wire = build_supply_item(&b, build_supply(&b, "Wire", 0.40));
	tuft->makes = (struct rat){ 4, 1 };
	build_part_need(&b, tuft, build_crop_item(&b, grass), 16, 1);
	build_part_task(&b, tuft, 100, 0);
	build_part_task(&b, tuft, 120, 2); /* setting up for each two makings */
	build_part_need(&b, garland, build_part_item(&b, tuft), 3, 1);
	build_part_need(&b, garland, wire, 1, 2);
	build_part_task(&b, garland, 30, 0);
	struct piece *p = build_piece(&b, "Piece");
	build_piece_need(&b, p, build_part_item(&b, garland), 2, 1);
	build_piece_need(&b, p, wire, 5, 2);
	build_piece_task(&b, p, 600, 0);
	build_piece_task(&b, p, 900, 5);
	reckon_costs(&b, &c);

	const struct make_cost *t = &c.parts[0], *g = &c.parts[1], *whole = &c.pieces[0];
	assert_near(t->stems, 16 * 0.125 / 4);
	assert_near(t->seconds, 160 / 4.0);
	assert_near(t->setup_seconds, 60 / 4.0);
	assert_near(t->makes, 4);
	assert_int_equal(t->run, 2);
	assert_near(t->lines[0].count, 16); /* lines are of one making */
	assert_near(g->stems, 1.5);
	assert_near(g->supplies, 0.2);
	assert_near(g->seconds, 150);
	assert_int_equal(g->run, 1);
	assert_near(whole->stems, 3);
	assert_near(whole->supplies, 0.4 + 1.0);
	assert_near(whole->seconds, 300 + 600 + 180);
	assert_near(whole->setup_seconds, 2 * 3 * 15 + 180);
	assert_near(whole->labour, 1080 / 3600.0 * 18);
	assert_near(whole->overhead, 1080 / 3600.0 * 3.6);
	assert_int_equal(whole->run, 5);
	assert_true(whole->complete);
	assert_near(whole->lines[0].each, g->total);
	/* Lines and the piece's own work add up to the total. */
	double own = (600 + 180) / 3600.0 * (18 + 3.6);
	assert_near(whole->lines[0].money + whole->lines[1].money + own, whole->total);
	build_end(&b);
}

/* What has no price counts as nothing, is marked on the way up, and said once. */
static void test_unknown_prices(void **state)
{
	(void)state;
	struct built b;
	struct costs c;
	build_start(&b);
	struct crop *a = build_crop(&b, "Ammobium");
	struct supply *ring = build_supply(&b, "Ring", NAN);
	struct part *tuft = build_part(&b, "Tuft");
	struct piece *with_part = build_piece(&b, "Wreath"), *plain = build_piece(&b, "Plain");
	build_part_need(&b, tuft, build_crop_item(&b, a), 5, 1);
	build_part_need(&b, tuft, build_supply_item(&b, ring), 1, 1);
	build_piece_need(&b, with_part, build_part_item(&b, tuft), 2, 1);
	build_piece_need(&b, plain, build_supply_item(&b, build_supply(&b, "Wire", 0)), 1, 1);
	reckon_costs(&b, &c);
	assert_false(c.parts[0].complete);
	assert_false(c.pieces[0].complete);
	assert_false(c.pieces[0].lines[0].known);
	assert_true(c.pieces[1].complete); /* a price of 0 is a price */
	assert_near(c.pieces[0].total, 0);
	assert_true(build_said(&b, REMARK_DOUBT, "No cost known for Ammobium"));
	assert_true(build_said(&b, REMARK_DOUBT, "No price known for Ring: every figure with it is too low."));
	assert_true(build_said(&b, REMARK_ASSUMED, "No wage given: labour is counted as 0."));
	assert_true(build_said(&b, REMARK_ASSUMED, "No overhead given: counted as 0."));
	assert_true(build_said(&b, REMARK_ASSUMED, "No time said for making Wreath and Plain"));
	build_end(&b);
}

/* Only the first option written costs. */
static void test_first_option(void **state)
{
	(void)state;
	struct built b;
	struct costs c;
	build_start(&b);
	struct crop *dear = build_crop(&b, "Dear"), *cheap = build_crop(&b, "Cheap");
	dear->cost = build_fig(0.9);
	cheap->cost = build_fig(0.1);
	struct piece *p = build_piece(&b, "P");
	build_piece_need(&b, p, build_crop_item(&b, dear), 10, 1);
	build_or(&b, &p->needs[0], build_crop_item(&b, cheap), 10, 1);
	reckon_costs(&b, &c);
	assert_near(c.pieces[0].stems, 9);
	assert_int_equal(c.pieces[0].lines[0].option, 0);
	build_end(&b);
}

/* Cost never falls when a loss, a price, a time or the wage rises. */
static void test_monotone(void **state)
{
	(void)state;
	uint64_t seed = 21;
	for (int round = 0; round < 500; round++) {
		struct built b;
		struct costs c;
		build_start(&b);
		b.farm.business.wage = build_fig(30 * build_random(&seed));
		b.farm.business.overhead = build_fig(5000 * build_random(&seed));
		b.farm.business.overhead_hours = build_fig(1 + 1000 * build_random(&seed));
		struct crop *crop = build_crop(&b, "Crop");
		for (int i = 0; i < STAGE_COUNT; i++)
			crop->loss[i] = build_fig(0.3 * build_random(&seed));
		struct bed *bed = build_bed(&b, crop, 500, floor(400 * build_random(&seed)));
		bed->money = 100 * build_random(&seed);
		bed->hours = 10 * build_random(&seed);
		bed->cut_hours = bed->dry_hours = 2;
		struct item stems = build_crop_item(&b, crop);
		build_box(&b, "B1", stems, 100, "2025-03-01", "2025-07-01");
		build_box(&b, "B2", stems, 300, "2025-08-01", "2025-09-01");
		struct part *part = build_part(&b, "Part");
		build_part_need(&b, part, stems, 7, 1);
		build_part_task(&b, part, 60 * build_random(&seed), 3);
		struct piece *p = build_piece(&b, "Piece");
		build_piece_need(&b, p, build_part_item(&b, part), 4, 1);
		build_piece_need(&b, p, stems, 13, 1);
		build_piece_task(&b, p, 3600 * build_random(&seed), 0);
		reckon_costs(&b, &c);
		double before = c.pieces[0].total;
		assert_true(isfinite(before) && before > 0);
		switch (round % 7) {
		case 0:
		case 1:
		case 2:
		case 3:
			crop->loss[round % 7].v += 0.3 * build_random(&seed);
			break;
		case 4:
			b.farm.business.wage.v += 5 * build_random(&seed);
			break;
		case 5:
			bed->money += 50 * build_random(&seed);
			break;
		default:
			part->tasks[0].seconds.v += 30 * build_random(&seed);
			break;
		}
		reckon_costs(&b, &c);
		assert_true(c.pieces[0].total >= before * (1 - 1e-12));
		build_end(&b);
	}
}

int main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(test_burdened_wage),      cmocka_unit_test(test_productive_hour),
		cmocka_unit_test(test_employer_taxes),     cmocka_unit_test(test_overhead_rate),
		cmocka_unit_test(test_batch_time),         cmocka_unit_test(test_batches_begin_whole),
		cmocka_unit_test(test_standard_cost_card), cmocka_unit_test(test_job_cost),
		cmocka_unit_test(test_overhead_by_hours),  cmocka_unit_test(test_parts),
		cmocka_unit_test(test_unknown_prices),     cmocka_unit_test(test_first_option),
		cmocka_unit_test(test_monotone),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
