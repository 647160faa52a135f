/* test_variance.c - what making took against the recipe, in money.  Textbooks mark what
 * cost more U or A, what cost less F; here more is positive. */
#include "reckon/variance.h"

#include <math.h>

#include "help_farm.h"

struct published {
	double actual, actual_price, standard, standard_price;
	double price, usage, total;
};

static void published_price_and_usage(void **state)
{
	(void)state;
	static const struct published rows[] = {
		/* Franklin, Graybeal and Cooper, Principles of Accounting vol. 2 (OpenStax 2019):
		 * sec. 8.2, Biglow shampoo, materials: 11,000 bottles of 8 oz at .85; 89,000 oz
		 * for 74,760. */
		{ 89000, 0.84, 88000, 0.85, -890, 850, -40 },
		/* Sec. 8.3, labour: 1.5 h at 35 for 11,000; 16,000 h for 565,600.  The diagram
		 * prints the total as unfavourable and one box as 5,650, which does not recompute. */
		{ 16000, 35.35, 16500, 35, 5600, -17500, -11900 },
		/* Secs. 8.2 and 8.3, Connie's Candy, a box: materials, then labour. */
		{ 0.50, 9, 0.25, 7, 1.00, 1.75, 2.75 },
		{ 0.20, 9.50, 0.10, 8, 0.30, 0.80, 1.10 },
		/* The same, favourable cases. */
		{ 0.20, 7, 0.25, 7, 0, -0.35, -0.35 },
		{ 0.05, 8, 0.10, 8, 0, -0.40, -0.40 },
		{ 0.10, 7.50, 0.10, 8, -0.05, 0, -0.05 },
		{ 0.10, 9.50, 0.10, 8, 0.15, 0, 0.15 },
		/* Bought 20 lb at 6, then at 9, where 7 was meant. */
		{ 20, 6, 20, 7, -20, 0, -20 },
		{ 20, 9, 20, 7, 40, 0, 40 },
		/* Sec. 8.4, variable overhead: 2.00 an hour; 2,500 h for 7,000 against 2,000. */
		{ 2500, 2.80, 2000, 2, 2000, 1000, 3000 },
		/* 1,800 h for 3,500.  The book takes 1.94 an hour and so prints 108 F and 508 F;
		 * unrounded it is 100 F, 400 F and 500 F. */
		{ 1800, 3500.0 / 1800, 2000, 2, -100, -400, -500 },
	};
	for (size_t i = 0; i < COUNT(rows); i++) {
		const struct published *p = &rows[i];
		struct input_variance v =
		    variance_input(p->actual, p->actual_price, p->standard, p->standard_price);
		assert_near_by(v.price, p->price, 1e-9, 1e-9);
		assert_near_by(v.usage, p->usage, 1e-9, 1e-9);
		assert_near_by(v.total, p->total, 1e-9, 1e-9);
		assert_near_by(v.total,
		               p->actual * p->actual_price - p->standard * p->standard_price, 1e-9, 1e-9);
	}
}

/* Bhimani, Horngren, Datar and Foster, Management and Cost Accounting, ch. 17, Exhibit
 * 17.2 (apples to cider, 1.6 t in for 1 t out): 3,250, 2,275 and 975 t for 4,000 t. */
static void mix_and_yield_of_cider(void **state)
{
	(void)state;
	struct mix_input in[] = { { 0.80, 70, 3250, 0, 0 }, { 0.48, 80, 2275, 0, 0 }, { 0.32, 90, 975, 0, 0 } };
	struct mix_variance v = variance_mix(in, 3, 1, 4000);
	assert_near(v.standard, 492800);
	assert_near_by(v.standard / 4000, 123.20, 1e-12, 0);
	assert_near_by(in[0].mix, 0, 0, 1e-6);
	assert_near_by(in[1].mix, 26000, 1e-9, 0);
	assert_near_by(in[2].mix, -29250, 1e-9, 0);
	assert_near_by(v.mix, -3250, 1e-9, 0);
	assert_near_by(in[0].yield, 3500, 1e-9, 0);
	assert_near_by(in[1].yield, 2400, 1e-9, 0);
	assert_near_by(in[2].yield, 1800, 1e-9, 0);
	assert_near_by(v.yield, 7700, 1e-9, 0);
	double usage = 0, actual = 0;
	for (size_t i = 0; i < 3; i++) {
		usage += variance_input(in[i].actual, in[i].price, in[i].standard * 4000, in[i].price).usage;
		actual += in[i].actual * in[i].price;
	}
	assert_near_by(usage, 4450, 1e-9, 0);
	assert_near(actual, 497250);
	/* It cost 507,650, so 10,400 was price (our sum; the exhibit gives the prices). */
	assert_near(507650 - actual, 10400);
}

/* ACCA F5 exam question (JC Ltd), at OpenTuition, "Materials mix and yield variances":
 * 110 kg in gives 100 kg out, as drying does; 26,400 kg gave 23,180. */
static void mix_and_yield_of_what_shrinks(void **state)
{
	(void)state;
	struct mix_input in[] = { { 50, 10, 13200, 0, 0 }, { 40, 5, 7600, 0, 0 }, { 20, 9, 5600, 0, 0 } };
	struct mix_variance v = variance_mix(in, 3, 100, 23180);
	assert_near_by(in[0].mix, 12000, 1e-9, 0);
	assert_near_by(in[1].mix, -10000, 1e-9, 0);
	assert_near_by(in[2].mix, 7200, 1e-9, 0);
	assert_near_by(v.mix, 9200, 1e-9, 0);
	assert_near_by(v.yield, 7216, 1e-9, 0);
	/* As the question counts it: 820 kg short of 24,000, at 8.80. */
	assert_near_by(v.yield, (24000 - 23180) * 8.80, 1e-9, 0);
}

/* P. Dunn, "Direct material mix and yield variance explained", PQ Magazine, November 2020. */
static void mix_and_yield_with_prices(void **state)
{
	(void)state;
	static const double paid[] = { 72, 61, 40 }, price[] = { -195, 28, 0 }, mix[] = { 195, -192, 24 };
	struct mix_input in[] = { { 60, 75, 65, 0, 0 }, { 30, 60, 28, 0, 0 }, { 10, 40, 11, 0, 0 } };
	struct mix_variance v = variance_mix(in, 3, 100, 100);
	double prices = 0;
	for (size_t i = 0; i < 3; i++) {
		double p = variance_input(in[i].actual, paid[i], in[i].actual, in[i].price).price;
		assert_near_by(p, price[i], 1e-9, 1e-9);
		assert_near_by(in[i].mix, mix[i], 1e-9, 1e-9);
		prices += p;
	}
	assert_near_by(prices, -167, 1e-9, 0);
	assert_near_by(v.mix, 27, 1e-9, 0);
	assert_near_by(v.yield, 4 * 67, 1e-9, 0);
	assert_near_by(prices + v.mix + v.yield, 128, 1e-9, 0);
}

/* A management-accounting question bank (GreenGro, second hand):
 * 150 batches of 500 lb. */
static void mix_without_yield(void **state)
{
	(void)state;
	struct mix_input in[] = { { 120, 0.25, 18400, 0, 0 },
		                  { 10, 17.984, 1500, 0, 0 },
		                  { 40, 2.44, 6450, 0, 0 },
		                  { 330, 0.49, 48650, 0, 0 } };
	struct mix_variance v = variance_mix(in, 4, 500, 75000);
	assert_near_by(v.mix, 781.50, 1e-9, 0);
	assert_near_by(v.yield, 0, 0, 1e-6);
	/* Two inputs from the same bank: 60/40 at 5 and 8, 570 + 430. */
	struct mix_input two[] = { { 60, 5, 570, 0, 0 }, { 40, 8, 430, 0, 0 } };
	v = variance_mix(two, 2, 100, 1000);
	assert_near_by(v.mix, 90, 1e-9, 0);
	assert_near_by(v.yield, 0, 0, 1e-9);
}

/* OpenStax, as above, sec. 8.1: a standard cost card of five lines comes to 165.25.  The
 * coffee card (.25 + .20 + .05 + .10 = .60) prints .50 a minute for .05. */
static void standard_cost_card(void **state)
{
	(void)state;
	struct mix_input card[] = { { 4, 5.25, 4, 0, 0 }, { 2.75, 11, 2.75, 0, 0 }, { 4, 15, 4, 0, 0 },
		                    { 5, 6.75, 5, 0, 0 }, { 3, 6.75, 3, 0, 0 } };
	struct mix_variance v = variance_mix(card, 5, 1, 1);
	assert_near(v.standard, 165.25);
	assert_near_by(v.mix, 0, 0, 1e-9);
	assert_near_by(v.yield, 0, 0, 1e-9);
	struct mix_input coffee[] = { { 1, 0.25, 1, 0, 0 }, { 1, 0.20, 1, 0, 0 }, { 1, 0.05, 1, 0, 0 },
		                      { 1, 0.10, 1, 0, 0 } };
	assert_near(variance_mix(coffee, 4, 1, 1).standard, 0.60);
}

static void overhead_over_the_hours(void **state)
{
	(void)state;
	/* OpenStax, as above, sec. 4.4: 250,000 over 100,000 is 2.50; a job of 66 bears 165
	 * and with 700 of material comes to 931. */
	struct overhead_taken o = overhead_take(250000, 100000, 66);
	assert_near(o.rate, 2.50);
	assert_near(o.taken, 165);
	assert_near(700 + 66 + o.taken, 931);
	/* Sec. 6.1: 2,500,000 over 1,250,000 h; 350,000, 400,000 and 500,000 h are borne by
	 * 140,000, 100,000 and 250,000 units: 5, 8 and 4 each, and nothing is left. */
	assert_near(overhead_take(2500000, 1250000, 350000).taken / 140000, 5);
	assert_near(overhead_take(2500000, 1250000, 400000).taken / 100000, 8);
	assert_near(overhead_take(2500000, 1250000, 500000).taken / 250000, 4);
	assert_near(overhead_take(2500000, 1250000, 350000 + 400000 + 500000).short_by, 0);
	/* Sec. 8.4: 6,000 fixed over 2,000 h.  With 2.00 an hour besides, 1,800, 2,000 and
	 * 2,200 h cost 5.33, 5.00 and 4.73 an hour; at 1,800 h 600 is not covered. */
	o = overhead_take(6000, 2000, 1800);
	assert_near(o.short_by, 600);
	assert_near_by((6000 + 2.0 * 1800) / 1800, 5.33, 0, 0.005);
	assert_near_by((6000 + 2.0 * 2200) / 2200, 4.73, 0, 0.005);
	assert_near(o.rate + 2.0, 5.00);
	/* No hours meant: no rate. */
	assert_near(overhead_take(3900, 0, 100).short_by, 3900);
}

/* ---- from the bench log ---- */

struct shop {
	struct built b;
	struct crop *statice, *grass, *sea;
	struct part *tuft;
	struct piece *wreath;
	struct box *s1, *g1, *l1;
};

/* A wreath: 10 statice or 20 sea lavender, and 2 tufts of 5 grass.  35 min each, 20 min to
 * set up for up to 4; a tuft takes 1 min.  Bench losses: statice 0, grass 20%. */
static void open_shop(struct shop *s)
{
	struct built *b = &s->b;
	build_start(b);
	s->statice = build_crop(b, "Statice");
	s->grass = build_crop(b, "Grass");
	s->sea = build_crop(b, "Sea lavender");
	s->statice->cost = build_fig(0.30);
	s->grass->bought = build_fig(0.10);
	s->grass->loss[STAGE_BENCH] = build_fig(0.20);
	s->tuft = build_part(b, "Tuft");
	build_part_need(b, s->tuft, build_crop_item(b, s->grass), 5, 1);
	build_part_task(b, s->tuft, 60, 0);
	s->wreath = build_piece(b, "Wreath");
	build_piece_need(b, s->wreath, build_crop_item(b, s->statice), 10, 1);
	build_or(b, &s->wreath->needs[0], build_crop_item(b, s->sea), 20, 1);
	build_piece_need(b, s->wreath, build_part_item(b, s->tuft), 2, 1);
	build_piece_task(b, s->wreath, 35 * 60, 0);
	build_piece_task(b, s->wreath, 20 * 60, 4);
	b->farm.business.wage = build_fig(12);
	b->farm.business.wage_burden = build_fig(0.25);
	s->s1 = build_box(b, "S1", build_crop_item(b, s->statice), 500, NULL, "2026-06-30");
	s->g1 = build_box(b, "G1", build_crop_item(b, s->grass), 500, NULL, "2026-06-30");
	s->l1 = build_box(b, "L1", build_crop_item(b, s->sea), 500, NULL, "2026-06-30");
}

static struct log_entry *add_made(struct shop *s, const char *on, double count, double minutes,
                                  double statice, double sea, double grass)
{
	struct log_entry *e =
	    build_log(&s->b, on, EVENT_MADE, build_piece_item(&s->b, s->wreath), count);
	e->minutes = minutes;
	if (statice > 0)
		build_drawn(&s->b, e, s->s1, statice);
	if (sea > 0)
		build_drawn(&s->b, e, s->l1, sea);
	if (grass > 0)
		build_drawn(&s->b, e, s->g1, grass);
	return e;
}

static struct variances reckon_shop(struct shop *s, double paid)
{
	struct variances v;
	build_done(&s->b);
	variances_reckon(&v, &s->b.farm, DAY_NONE, build_day("2026-11-25"), paid, NULL, &s->b.arena);
	return v;
}

static void labour_of_a_run(void **state)
{
	(void)state;
	struct shop s;
	open_shop(&s);
	/* 6 wreaths: 210 min and two settings; tufts ready from the shelf. */
	add_made(&s, "2026-07-10", 6, 280, 60, 0, 0);
	/* 2 wreaths and their 4 tufts made on the spot: 70 + 20 + 4. */
	add_made(&s, "2026-07-20", 2, 90, 20, 0, 25);
	add_made(&s, "2026-08-02", 1, NAN, 10, 0, 0);
	struct variances v = reckon_shop(&s, (double)NAN);
	assert_int_equal(v.nitems, 1);
	assert_int_equal(v.nmonths, 2);
	const struct made *m = &v.months[0];
	assert_int_equal(m->year, 2026);
	assert_int_equal(m->month, 7);
	assert_int_equal(m->timed, 2);
	assert_near(m->minutes, 370);
	assert_near(m->recipe_minutes, 250 + 94);
	assert_near(m->efficiency, (370 - 344) / 60.0 * 15);
	assert_near(m->rate, 0);
	assert_int_equal(m->unsaid, 0);
	assert_int_equal(v.months[1].unsaid, 1);
	assert_int_equal(v.first, build_day("2026-07-10"));
	assert_int_equal(v.months[1].timed, 0);
	assert_int_equal(v.months[1].lines, 1);
	assert_near(v.items[0].minutes, 370);
	assert_near(v.items[0].count, 9);
	assert_int_equal(v.items[0].month, 0);
	assert_near(v.hours, 370 / 60.0);
	/* Paid 18 an hour where 15 was meant. */
	v = reckon_shop(&s, 18);
	assert_near(v.months[0].rate, 3 * 370 / 60.0);
	assert_near(v.months[0].rate + v.months[0].efficiency, 18 * 370 / 60.0 - 15 * 344 / 60.0);
	build_end(&s.b);
}

static void stems_of_a_run(void **state)
{
	(void)state;
	struct shop s;
	open_shop(&s);
	s.sea->cost = build_fig(0.12);
	s.s1->price = 0.35; /* bought in for more than the line says */
	/* 4 wreaths: 30 statice do three of them, 20 sea lavender one, and grass for 8
	 * tufts on the spot, 40 / 0.8. */
	add_made(&s, "2026-07-10", 4, NAN, 30, 24, 55);
	struct variances v = reckon_shop(&s, (double)NAN);
	const struct made *m = &v.months[0];
	assert_int_equal(m->nuses, 3);
	const struct stem_use *statice = &m->uses[0], *grass = &m->uses[1], *sea = &m->uses[2];
	/* 30/10 and 24/20 makings: 3 and 1.2 of 4.2 shares of 4. */
	assert_near(statice->recipe, 4 * (3 / 4.2) * 10);
	assert_near(sea->recipe, 4 * (1.2 / 4.2) * 20);
	assert_near(grass->recipe, 50);
	assert_near(grass->drawn, 55);
	assert_near(grass->usage, 5 * 0.10);
	assert_near(statice->price, 30 * 0.05);
	assert_near(statice->usage, (30 - statice->recipe) * 0.30);
	assert_near(m->usage, statice->usage + grass->usage + sea->usage);
	assert_near(m->price, statice->price);
	assert_true(m->mixed);
	assert_near(m->mix + m->yield, m->usage);
	assert_near(statice->mix + statice->yield, statice->usage);
	double all = 30 + 24 + 55, recipe = statice->recipe + sea->recipe + 50;
	assert_near(m->yield, (all / recipe - 1) *
	                          (statice->recipe * 0.30 + 50 * 0.10 + sea->recipe * 0.12));
	build_end(&s.b);
}

static void what_is_not_recorded_is_not_compared(void **state)
{
	(void)state;
	struct shop s;
	open_shop(&s);
	/* Nothing drawn for statice: not as if none had been used.  Sea lavender has no price. */
	add_made(&s, "2026-07-10", 1, 60, 0, 22, 0);
	struct log_entry *gone = add_made(&s, "2026-07-11", 1, 60, 0, 0, 0);
	gone->drawn_gone = 10; /* statice or sea lavender: nobody knows */
	struct log_entry *struck = add_made(&s, "2026-07-12", 9, 999, 90, 0, 0);
	build_log(&s.b, "2026-07-12", EVENT_STRUCK, struck->item, NAN)->strikes = struck->id;
	add_made(&s, "2026-12-01", 9, 999, 90, 0, 0); /* after the day */
	add_made(&s, "2026-07-13", NAN, 15, 10, 0, 0); /* no count: hours only */
	struct variances v = reckon_shop(&s, (double)NAN);
	assert_int_equal(v.nmonths, 1);
	const struct made *m = &v.months[0];
	assert_int_equal(m->lines, 2);
	assert_int_equal(m->nuses, 1);
	assert_near(m->uses[0].recipe, 20);
	assert_near(m->uses[0].drawn, 22);
	assert_true(isnan(m->uses[0].at));
	assert_near(m->usage, 0);
	assert_false(m->mixed);
	assert_int_equal(v.left_out, 1);
	assert_near(v.hours, 135 / 60.0);
	build_end(&s.b);
}

static void parts_and_pieces_month_by_month(void **state)
{
	(void)state;
	struct shop s;
	open_shop(&s);
	s.b.farm.business.overhead = build_fig(1000);
	s.b.farm.business.overhead_hours = build_fig(500);
	add_made(&s, "2026-10-10", 1, 60, 10, 0, 0);
	struct log_entry *e =
	    build_log(&s.b, "2026-09-05", EVENT_MADE, build_part_item(&s.b, s.tuft), 48);
	e->minutes = 36;
	build_drawn(&s.b, e, s.g1, 310);
	add_made(&s, "2026-09-10", 1, 60, 12, 0, 0);
	build_log(&s.b, "2026-09-20", EVENT_CUT, build_crop_item(&s.b, s.grass), 100)->minutes = 84;
	struct variances v = reckon_shop(&s, (double)NAN);
	assert_int_equal(v.nitems, 2);
	assert_int_equal(v.items[0].item.kind, KIND_PART);
	assert_near(v.items[0].uses[0].recipe, 300);
	assert_near(v.items[0].efficiency, -12 / 60.0 * 15);
	assert_int_equal(v.nmonths, 3);
	assert_int_equal(v.months[1].month, 9);
	assert_int_equal(v.months[2].month, 10);
	assert_near(v.items[1].uses[0].drawn, 22);
	assert_near(v.items[1].uses[0].usage, 2 * 0.30);
	assert_false(v.items[1].mixed); /* nothing to blend it with */
	assert_near(v.hours, 4);
	assert_near(v.overhead.taken, 8);
	assert_near(v.overhead.short_by, 992);
	/* From October on. */
	variances_reckon(&v, &s.b.farm, build_day("2026-10-01"), build_day("2026-11-25"), (double)NAN,
	                 NULL, &s.b.arena);
	assert_int_equal(v.nmonths, 1);
	assert_near(v.hours, 1);
	build_end(&s.b);
}

static void empty_log_has_no_variances(void **state)
{
	(void)state;
	struct shop s;
	open_shop(&s);
	struct variances v = reckon_shop(&s, (double)NAN);
	assert_int_equal(v.nmonths + v.nitems + v.left_out, 0);
	assert_near(v.hours, 0);
	build_end(&s.b);
}

int main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(published_price_and_usage),
		cmocka_unit_test(mix_and_yield_of_cider),
		cmocka_unit_test(mix_and_yield_of_what_shrinks),
		cmocka_unit_test(mix_and_yield_with_prices),
		cmocka_unit_test(mix_without_yield),
		cmocka_unit_test(standard_cost_card),
		cmocka_unit_test(overhead_over_the_hours),
		cmocka_unit_test(labour_of_a_run),
		cmocka_unit_test(stems_of_a_run),
		cmocka_unit_test(what_is_not_recorded_is_not_compared),
		cmocka_unit_test(parts_and_pieces_month_by_month),
		cmocka_unit_test(empty_log_has_no_variances),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
