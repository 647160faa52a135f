/* test_reach.c - the most of each piece: cases small enough to be reckoned by hand. */
#include "help_reach.h"

#include <math.h>

static void colours(struct reached *r, struct need_option *o, uint32_t a, uint32_t b)
{
	o->colours = ARENA_ARRAY(&r->b.arena, 2, uint32_t);
	o->colours[0] = a;
	o->colours[1] = b;
	o->ncolours = a == b ? 1 : 2;
}

static void assert_found(const struct reached *r, size_t i, int64_t most)
{
	assert_int_equal(reached_piece(r, i)->state, REACH_FOUND);
	assert_int_equal(reached_piece(r, i)->most, most);
	assert_int_equal(reached_piece(r, i)->upper, most);
}

static bool stops(const struct reached *r, size_t i, struct item item)
{
	for (size_t k = 0; k < reached_piece(r, i)->nstops; k++)
		if (reached_piece(r, i)->stops[k].kind == item.kind &&
		    reached_piece(r, i)->stops[k].index == item.index)
			return true;
	return false;
}

/* ---- whole stems ---- */

static void stems_are_pooled_over_the_run(void **state)
{
	(void)state;
	struct reached r = { 0 };
	build_start(&r.b);
	struct crop *c = build_crop(&r.b, "Statice");
	c->loss[STAGE_BENCH] = build_fig(0.04);
	reached_stems(&r, c, 9);
	reached_need(&r, build_piece(&r.b, "tag"), c, 1, 3);
	reached_need(&r, build_piece(&r.b, "posy"), c, 2, 1);
	reached_reckon(&r);
	/* 25 x 1/3 / 0.96 = 8.68 stems, 26 would take 9.03; of two stems each, 4 take 8.33. */
	assert_found(&r, 0, 25);
	assert_found(&r, 1, 4);
	/* A bunch of 10: 19 stems are 54 x 1/3 / 0.96 = 18.75 and 9 x 2 / 0.96 = 18.75. */
	assert_near(reached_piece(&r, 0)->more_by, 10);
	assert_int_equal(reached_piece(&r, 0)->more, 54 - 25);
	assert_int_equal(reached_piece(&r, 1)->more, 9 - 4);
	build_end(&r.b);
}

static void classes_are_floored_one_by_one(void **state)
{
	(void)state;
	struct reached r = { 0 };
	build_start(&r.b);
	struct crop *c = build_crop(&r.b, "Statice");
	c->loss[STAGE_STORAGE] = build_fig(0.1);
	/* Counted 30 days before: 0.9^(30/30.4375) = 0.9014 are left. */
	build_box(&r.b, "a", build_crop_item(&r.b, c), 21, "2026-08-01", "2026-10-26"); /* 18.93 */
	build_box(&r.b, "b", build_crop_item(&r.b, c), 21, "2026-09-01", "2026-10-26"); /* 18.93 */
	reached_need(&r, build_piece(&r.b, "posy"), c, 1, 1);
	reached_reckon(&r);
	assert_found(&r, 0, 36); /* not floor(37.86) */
	build_end(&r.b);
}

/* ---- what fits ---- */

static void colours_mix_or_not(void **state)
{
	(void)state;
	struct reached r = { 0 };
	build_start(&r.b);
	r.b.farm.ncolours = 3;
	struct crop *c = build_crop(&r.b, "Strawflower");
	reached_stems(&r, c, 17)->colour = 0;
	reached_stems(&r, c, 17)->colour = 1;
	reached_stems(&r, c, 50)->colour = 2;
	reached_stems(&r, c, 50); /* does not say */
	struct need_option *mixed = reached_need(&r, build_piece(&r.b, "mixed"), c, 5, 1);
	struct need_option *alike = reached_need(&r, build_piece(&r.b, "alike"), c, 5, 1);
	struct need_option *rust = reached_need(&r, build_piece(&r.b, "rust"), c, 5, 1);
	reached_need(&r, build_piece(&r.b, "any"), c, 5, 1);
	colours(&r, mixed, 0, 1);
	colours(&r, alike, 0, 1);
	alike->one_colour = true;
	colours(&r, rust, 0, 0);
	reached_reckon(&r);
	assert_found(&r, 0, 6); /* 34 of rust or gold */
	assert_found(&r, 1, 6); /* 3 of each */
	assert_found(&r, 2, 3);
	assert_found(&r, 3, 26); /* 134 of any */
	/* Ten more of one colour. */
	assert_int_equal(reached_piece(&r, 0)->more, 2);
	assert_int_equal(reached_piece(&r, 1)->more, 2);
	build_end(&r.b);
}

/* Two of one and three of the other, none mixed: alike gets less than mixed. */
static void one_colour_wastes_rests(void **state)
{
	(void)state;
	struct reached r = { 0 };
	build_start(&r.b);
	r.b.farm.ncolours = 2;
	struct crop *c = build_crop(&r.b, "Strawflower");
	reached_stems(&r, c, 14)->colour = 0;
	reached_stems(&r, c, 16)->colour = 1;
	struct need_option *alike = reached_need(&r, build_piece(&r.b, "alike"), c, 5, 1);
	colours(&r, alike, 0, 1);
	alike->one_colour = true;
	reached_reckon(&r);
	assert_found(&r, 0, 5); /* 2 and 3; together 30 stems would be 6 */
	build_end(&r.b);
}

static void longer_serves_shorter_only(void **state)
{
	(void)state;
	struct reached r = { 0 };
	build_start(&r.b);
	struct crop *c = build_crop(&r.b, "Larkspur");
	reached_stems(&r, c, 10)->length = 300;
	reached_stems(&r, c, 10)->length = 500;
	reached_stems(&r, c, 10)->length = 203.2F; /* 8 in: as a float a little less */
	reached_stems(&r, c, 10);                  /* does not say */
	reached_need(&r, build_piece(&r.b, "any"), c, 1, 1);
	reached_need(&r, build_piece(&r.b, "from 40 cm"), c, 1, 1)->from = 400;
	reached_need(&r, build_piece(&r.b, "from 8 in"), c, 1, 1)->from = 203.2;
	reached_need(&r, build_piece(&r.b, "to 35 cm"), c, 1, 1)->to = 350;
	reached_reckon(&r);
	assert_found(&r, 0, 40);
	assert_found(&r, 1, 10);
	assert_found(&r, 2, 30);
	assert_found(&r, 3, 20);
	build_end(&r.b);
}

/* One stock, two needs of one piece: the long need must not lose its stems to the other. */
static void needs_share_a_crop(void **state)
{
	(void)state;
	struct reached r = { 0 };
	build_start(&r.b);
	struct crop *c = build_crop(&r.b, "Larkspur");
	reached_stems(&r, c, 12)->length = 300;
	reached_stems(&r, c, 9)->length = 500;
	struct piece *p = build_piece(&r.b, "bouquet");
	reached_need(&r, p, c, 2, 1)->from = 400;
	reached_need(&r, p, c, 2, 1);
	reached_reckon(&r);
	assert_found(&r, 0, 4); /* 8 long, and 8 of the 13 others */
	assert_int_equal(reached_piece(&r, 0)->nstops, 1);
	/* Ten more long ones: 19 long, 12 short make 7 (14 and 14). */
	assert_int_equal(reached_piece(&r, 0)->more, 3);
	build_end(&r.b);
}

static void alternatives_are_chosen_by_the_piece(void **state)
{
	(void)state;
	struct reached r = { 0 };
	build_start(&r.b);
	struct crop *statice = build_crop(&r.b, "Statice"), *sea = build_crop(&r.b, "Sea lavender");
	struct crop *ring = build_crop(&r.b, "Nigella");
	reached_stems(&r, statice, 50);
	reached_stems(&r, sea, 45);
	reached_stems(&r, ring, 1000);
	struct piece *p = build_piece(&r.b, "wreath");
	reached_need(&r, p, statice, 30, 1);
	build_or(&r.b, &p->needs[0], build_crop_item(&r.b, sea), 20, 1);
	reached_need(&r, p, ring, 7, 1);
	reached_reckon(&r);
	assert_found(&r, 0, 3); /* one with 30 statice, two with 20 sea lavender */
	assert_true(stops(&r, 0, build_crop_item(&r.b, statice)) &&
		    stops(&r, 0, build_crop_item(&r.b, sea)));
	assert_false(stops(&r, 0, build_crop_item(&r.b, ring)));
	assert_int_equal(reached_piece(&r, 0)->more, 1); /* 60 statice */
	build_end(&r.b);
}

/* ---- parts ---- */

/* Heizer, Render & Munson, Operations Management, 12th ed., problem 14.3 (structure from
 * memory, figures second hand): 50 brackets with 25 bases and 100 clamps on hand take
 * 100 springs, 125 castings, 100 bearings and 50 shafts.  Stock subtracted from the
 * gross at the end would ask for 250 castings. */
static void bracket_takes_what_the_textbook_says(void **state)
{
	(void)state;
	for (int less = 0; less < 2; less++) {
		struct reached r = { .options = { .no_buying = true } };
		build_start(&r.b);
		struct supply *spring = build_supply(&r.b, "spring", 1),
			      *casting = build_supply(&r.b, "casting", 1);
		struct supply *bearing = build_supply(&r.b, "bearing", 1),
			      *shaft = build_supply(&r.b, "shaft", 1);
		struct part *base = build_part(&r.b, "base"), *clamp = build_part(&r.b, "clamp");
		struct part *handle = build_part(&r.b, "handle"),
			    *housing = build_part(&r.b, "housing");
		struct piece *bracket = build_piece(&r.b, "bracket");
		build_piece_need(&r.b, bracket, build_part_item(&r.b, base), 1, 1);
		build_piece_need(&r.b, bracket, build_supply_item(&r.b, spring), 2, 1);
		build_piece_need(&r.b, bracket, build_part_item(&r.b, clamp), 4, 1);
		build_part_need(&r.b, base, build_part_item(&r.b, clamp), 1, 1);
		build_part_need(&r.b, base, build_part_item(&r.b, housing), 2, 1);
		build_part_need(&r.b, clamp, build_part_item(&r.b, handle), 1, 1);
		build_part_need(&r.b, handle, build_supply_item(&r.b, casting), 1, 1);
		build_part_need(&r.b, housing, build_supply_item(&r.b, bearing), 2, 1);
		build_part_need(&r.b, housing, build_supply_item(&r.b, shaft), 1, 1);
		build_box(&r.b, "a", build_part_item(&r.b, base), 25, NULL, TODAY);
		build_box(&r.b, "b", build_part_item(&r.b, clamp), 100, NULL, TODAY);
		build_box(&r.b, "c", build_supply_item(&r.b, spring), 100, NULL, TODAY);
		build_box(&r.b, "d", build_supply_item(&r.b, casting), 125 - less, NULL, TODAY);
		build_box(&r.b, "e", build_supply_item(&r.b, bearing), 100, NULL, TODAY);
		build_box(&r.b, "f", build_supply_item(&r.b, shaft), 50, NULL, TODAY);
		reached_reckon(&r);
		assert_found(&r, 0, 50 - less);
		if (less)
			assert_true(stops(&r, 0, build_supply_item(&r.b, casting)));
		else /* all four run out at once */
			assert_true(reached_piece(&r, 0)->together &&
				    reached_piece(&r, 0)->nstops == 4);
		build_end(&r.b);
	}
}

static void parts_are_made_whole(void **state)
{
	(void)state;
	struct reached r = { 0 };
	build_start(&r.b);
	struct crop *c = build_crop(&r.b, "Sea lavender");
	reached_stems(&r, c, 100);
	struct part *garland = build_part(&r.b, "garland");
	garland->makes = (struct rat){ 2, 1 };
	build_part_need(&r.b, garland, build_crop_item(&r.b, c), 44, 1);
	struct piece *swag = build_piece(&r.b, "swag");
	build_piece_need(&r.b, swag, build_part_item(&r.b, garland), 6, 5);
	build_box(&r.b, "g", build_part_item(&r.b, garland), 0.5, NULL, TODAY);
	reached_reckon(&r);
	/* Two makings of 2 m and half a metre on hand: 4.5 m are 3 swags of 1.2 m. */
	assert_found(&r, 0, 3);
	assert_int_equal(reached_piece(&r, 0)->more, 0);
	build_end(&r.b);
}

/* What a making of today leaves over serves a later order, but nothing is made today
 * for a later day: so 3 can be made where 2 cannot. */
static void rests_of_makings_are_kept(void **state)
{
	(void)state;
	struct reached r = { 0 };
	build_start(&r.b);
	struct crop *c = build_crop(&r.b, "Grass");
	c->keeps = build_fig(4); /* boxed 10 September: not usable in February */
	reached_stems(&r, c, 20);
	struct part *tuft = build_part(&r.b, "tuft");
	tuft->makes = (struct rat){ 2, 1 };
	build_part_need(&r.b, tuft, build_crop_item(&r.b, c), 10, 1);
	struct piece *p = build_piece(&r.b, "wreath");
	build_piece_need(&r.b, p, build_part_item(&r.b, tuft), 1, 1);
	build_order(&r.b, p, 1, NULL)->due = build_day("2027-02-10");
	reached_reckon(&r);
	assert_found(&r, 0, 3);
	build_end(&r.b);
}

/* Five can be made where four cannot; so more of what stops three lets more be made. */
static void stops_look_past_the_next(void **state)
{
	(void)state;
	struct reached r = { 0 };
	build_start(&r.b);
	struct crop *grass = build_crop(&r.b, "Grass"), *statice = build_crop(&r.b, "Statice");
	grass->keeps = build_fig(4);
	reached_stems(&r, grass, 30);
	reached_stems(&r, statice, 4);
	struct part *tuft = build_part(&r.b, "tuft");
	tuft->makes = (struct rat){ 2, 1 };
	build_part_need(&r.b, tuft, build_crop_item(&r.b, grass), 10, 1);
	struct piece *p = build_piece(&r.b, "wreath");
	build_piece_need(&r.b, p, build_part_item(&r.b, tuft), 1, 1);
	reached_need(&r, p, statice, 1, 1);
	build_order(&r.b, p, 1, NULL)->due = build_day("2027-02-10");
	reached_reckon(&r);
	assert_found(&r, 0, 3);
	assert_int_equal(reached_piece(&r, 0)->nstops, 1);
	assert_false(reached_piece(&r, 0)->together);
	assert_true(stops(&r, 0, build_crop_item(&r.b, statice)));
	assert_int_equal(reached_piece(&r, 0)->more, 2);
	build_end(&r.b);
}

/* ---- orders ---- */

static void orders_come_off_and_finished_pieces_go_first(void **state)
{
	(void)state;
	struct reached r = { 0 };
	build_start(&r.b);
	struct crop *c = build_crop(&r.b, "Statice");
	reached_stems(&r, c, 100);
	struct piece *wreath = build_piece(&r.b, "wreath"), *posy = build_piece(&r.b, "posy");
	reached_need(&r, wreath, c, 20, 1);
	reached_need(&r, posy, c, 5, 1);
	build_box(&r.b, "w", build_piece_item(&r.b, wreath), 2, NULL, TODAY);
	build_box(&r.b, "p", build_piece_item(&r.b, posy), 7, NULL, TODAY);
	struct order *late = build_order(&r.b, wreath, 3, NULL);
	late->id = STR("O-7");
	late->due = build_day("2026-11-20"); /* overdue: today */
	build_order(&r.b, posy, 4, NULL)->due = build_day("2026-12-24");
	build_order(&r.b, wreath, 9, "2026-11-01"); /* sent: closed */
	reached_reckon(&r);
	assert_found(&r, 0, 4); /* one of the three is still to be made: 80 stems left */
	assert_found(&r, 1, 16);
	assert_near(reached_piece(&r, 0)->finished, 0);
	assert_near(reached_piece(&r, 1)->finished, 3);
	assert_true(build_said(&r.b, REMARK_ASSUMED, "taken as due today: O-7"));

	r.options.ignore_orders = true;
	reached_reckon(&r);
	assert_found(&r, 0, 5);
	assert_near(reached_piece(&r, 0)->finished, 2);
	assert_near(reached_piece(&r, 1)->finished, 7);
	build_end(&r.b);
}

static void later_orders_lose_stems_until_then(void **state)
{
	(void)state;
	struct reached r = { 0 };
	build_start(&r.b);
	struct crop *c = build_crop(&r.b, "Statice");
	c->loss[STAGE_STORAGE] = build_fig(0.1);
	reached_stems(&r, c, 100);
	struct piece *p = build_piece(&r.b, "posy");
	reached_need(&r, p, c, 1, 1);
	/* 90 days: 0.9^2.9569 = 0.7323; 30 stems then need 41 now (41 x 0.7323 = 30.02). */
	build_order(&r.b, p, 30, NULL)->due = build_day("2027-02-23");
	reached_reckon(&r);
	assert_found(&r, 0, 59);
	build_end(&r.b);
}

/* The small case of docs/reckoning.md. */
static void the_small_case_of_the_docs(void **state)
{
	(void)state;
	struct reached r = { 0 };
	build_start(&r.b);
	struct crop *c = build_crop(&r.b, "Statice");
	c->loss[STAGE_STORAGE] = build_fig(0.1);
	c->loss[STAGE_BENCH] = build_fig(0.04);
	reached_stems(&r, c, 100);
	struct piece *p = build_piece(&r.b, "posy");
	reached_need(&r, p, c, 2, 1);
	build_order(&r.b, p, 5, NULL)->due = build_day(TODAY) + 90;
	reached_reckon(&r);
	assert_found(&r, 0, 40);
	build_end(&r.b);
}

/* The order may take short stems, and the old box only today. */
static void orders_are_met_jointly(void **state)
{
	(void)state;
	struct reached r = { 0 };
	build_start(&r.b);
	struct crop *c = build_crop(&r.b, "Larkspur");
	c->keeps = build_fig(4);
	struct box *long_new =
	    build_box(&r.b, "a", build_crop_item(&r.b, c), 10, "2026-11-10", TODAY);
	struct box *long_old =
	    build_box(&r.b, "b", build_crop_item(&r.b, c), 10, "2026-08-10", TODAY);
	struct box *short_new =
	    build_box(&r.b, "c", build_crop_item(&r.b, c), 6, "2026-11-10", TODAY);
	long_new->length = long_old->length = 500;
	short_new->length = 200;
	struct piece *tall = build_piece(&r.b, "tall"), *low = build_piece(&r.b, "low");
	reached_need(&r, tall, c, 1, 1)->from = 400;
	reached_need(&r, low, c, 1, 1);
	build_order(&r.b, low, 8, NULL)->due =
	    build_day("2027-01-20"); /* the old box is past keeping then */
	reached_reckon(&r);
	assert_found(&r, 0, 18); /* 6 short and 2 long new ones are kept for January */
	assert_found(&r, 1, 18);
	build_end(&r.b);
}

static void orders_that_cannot_be_met(void **state)
{
	(void)state;
	struct reached r = { 0 };
	build_start(&r.b);
	struct crop *statice = build_crop(&r.b, "Statice"), *lunaria = build_crop(&r.b, "Lunaria");
	struct crop *poppy = build_crop(&r.b, "Poppy");
	reached_stems(&r, statice, 100);
	reached_stems(&r, lunaria, 30);
	reached_stems(&r, poppy, 12);
	struct piece *hoop = build_piece(&r.b, "hoop"), *posy = build_piece(&r.b, "posy");
	struct piece *both = build_piece(&r.b, "both");
	reached_need(&r, hoop, lunaria, 4, 1);
	build_or(&r.b, &hoop->needs[0], build_crop_item(&r.b, poppy), 6, 1);
	reached_need(&r, posy, statice, 5, 1);
	reached_need(&r, both, statice, 1, 1);
	reached_need(&r, both, lunaria, 1, 1);
	build_order(&r.b, hoop, 10, NULL);
	reached_reckon(&r);
	/* 7 of lunaria, 2 of poppy: for the tenth two more lunaria are least. */
	assert_int_equal(reached_piece(&r, 0)->state, REACH_ORDERS_SHORT);
	assert_int_equal(reached_piece(&r, 2)->state, REACH_ORDERS_SHORT);
	assert_int_equal(reached_piece(&r, 0)->most, 0);
	assert_int_equal(r.reach.nshorts, 1);
	assert_int_equal(r.reach.shorts[0].item.kind, KIND_CROP);
	assert_int_equal(r.reach.shorts[0].item.index, 1);
	assert_near(r.reach.shorts[0].count, 2);
	assert_found(&r, 1, 20); /* shares nothing with the order */
	build_end(&r.b);
}

/* ---- age, reserve, supplies ---- */

static void reserve_stays(void **state)
{
	(void)state;
	struct reached r = { 0 };
	build_start(&r.b);
	struct crop *c = build_crop(&r.b, "Statice");
	c->reserve = build_fig(25);
	reached_stems(&r, c, 60)->length = 300;
	reached_stems(&r, c, 60)->length = 500;
	reached_need(&r, build_piece(&r.b, "posy"), c, 1, 1);
	reached_need(&r, build_piece(&r.b, "tall"), c, 1, 1)->from = 400;
	reached_reckon(&r);
	assert_found(&r, 0, 95);
	assert_found(&r, 1, 60); /* the short ones can be the reserve */
	build_end(&r.b);
}

static void past_keeping_only_when_asked(void **state)
{
	(void)state;
	for (int with = 0; with < 2; with++) {
		struct reached r = { .with_past = with };
		build_start(&r.b);
		struct crop *c = build_crop(&r.b, "Statice");
		c->keeps = build_fig(12);
		build_box(&r.b, "old", build_crop_item(&r.b, c), 8, "2025-08-01", TODAY);
		reached_stems(&r, c, 5);
		reached_need(&r, build_piece(&r.b, "posy"), c, 1, 1);
		reached_reckon(&r);
		assert_found(&r, 0, with ? 13 : 5);
		build_end(&r.b);
	}
}

/* A crop that is plenty today and past keeping on the order's day must not pass for
 * plenty then. */
static void plenty_today_is_not_plenty_later(void **state)
{
	(void)state;
	struct reached r = { 0 };
	build_start(&r.b);
	struct crop *x = build_crop(&r.b, "Grass"), *y = build_crop(&r.b, "Statice");
	x->keeps = build_fig(4);
	reached_stems(&r, x, 500);
	reached_stems(&r, y, 3);
	struct part *tuft = build_part(&r.b, "tuft");
	build_part_need(&r.b, tuft, build_crop_item(&r.b, x), 1, 1);
	struct piece *a = build_piece(&r.b, "a"), *b = build_piece(&r.b, "b"),
		     *c = build_piece(&r.b, "c");
	build_piece_need(&r.b, a, build_part_item(&r.b, tuft), 1, 1);
	build_or(&r.b, &a->needs[0], build_crop_item(&r.b, y), 1, 1);
	reached_need(&r, b, x, 1, 1);
	reached_need(&r, b, y, 1, 1);
	build_piece_need(&r.b, c, build_part_item(&r.b, tuft), 1, 1);
	build_order(&r.b, c, 2, NULL);
	build_order(&r.b, a, 2, NULL)->due = build_day("2027-02-10");
	reached_reckon(&r);
	assert_found(&r, 1, 1); /* two statice are for February */
	build_end(&r.b);
}

static void supplies_are_bought_or_not(void **state)
{
	(void)state;
	for (int k = 0; k < 3; k++) {
		struct reached r = { .options = { .no_buying = k > 0 } };
		build_start(&r.b);
		struct crop *c = build_crop(&r.b, "Statice");
		struct supply *ring = build_supply(&r.b, "ring", 2.1),
			      *wire = build_supply(&r.b, "wire", NAN);
		ring->pack = build_fig(25);
		reached_stems(&r, c, 100);
		struct piece *p = build_piece(&r.b, "posy"), *bare = build_piece(&r.b, "bare");
		reached_need(&r, p, c, 1, 1);
		build_piece_need(&r.b, p, build_supply_item(&r.b, ring), 1, 1);
		build_piece_need(&r.b, p, build_supply_item(&r.b, wire), 5, 2);
		build_piece_need(&r.b, bare, build_supply_item(&r.b, ring), 1, 1);
		if (k < 2)
			build_box(&r.b, "rings", build_supply_item(&r.b, ring), 12, NULL, TODAY);
		reached_reckon(&r);
		assert_found(&r, 0, k == 1 ? 12 : 100);
		if (k == 1) {
			assert_true(stops(&r, 0, build_supply_item(&r.b, ring)));
			assert_near(reached_piece(&r, 0)->more_by, 25);
			assert_int_equal(reached_piece(&r, 0)->more, 25);
			assert_found(&r, 1, 12);
		} else {
			assert_int_equal(reached_piece(&r, 1)->state, REACH_ENDLESS);
		}
		assert_int_equal(
		    build_said(&r.b, REMARK_ASSUMED, "Not counted, so taken as enough"), k > 0);
		build_end(&r.b);
	}
}

static void what_is_short_together(void **state)
{
	(void)state;
	struct reached r = { 0 };
	build_start(&r.b);
	struct crop *x = build_crop(&r.b, "Grass"), *y = build_crop(&r.b, "Statice");
	struct crop *z = build_crop(&r.b, "Nigella");
	reached_stems(&r, x, 12);
	reached_stems(&r, y, 9);
	reached_stems(&r, z, 900);
	struct piece *p = build_piece(&r.b, "posy");
	reached_need(&r, p, x, 4, 1);
	reached_need(&r, p, z, 4, 1);
	reached_need(&r, p, y, 3, 1);
	reached_reckon(&r);
	assert_found(&r, 0, 3);
	assert_true(reached_piece(&r, 0)->together);
	assert_int_equal(reached_piece(&r, 0)->nstops, 2);
	assert_true(stops(&r, 0, build_crop_item(&r.b, x)) &&
		    stops(&r, 0, build_crop_item(&r.b, y)));
	assert_int_equal(reached_piece(&r, 0)->more, 0);
	build_end(&r.b);
}

static void nothing_in_the_shed(void **state)
{
	(void)state;
	struct reached r = { 0 };
	build_start(&r.b);
	struct crop *c = build_crop(&r.b, "Statice");
	reached_need(&r, build_piece(&r.b, "posy"), c, 3, 1);
	build_piece(&r.b, "bare");
	reached_reckon(&r);
	assert_found(&r, 0, 0);
	assert_true(stops(&r, 0, build_crop_item(&r.b, c)));
	assert_int_equal(reached_piece(&r, 0)->more, 3);
	assert_int_equal(reached_piece(&r, 1)->state, REACH_ENDLESS);
	build_end(&r.b);
}

/* Amounts whose common denominator would pass all bounds are an error, not a guess. */
static void too_fine_to_pool(void **state)
{
	(void)state;
	struct reached r = { .options = { .no_buying = true } };
	build_start(&r.b);
	struct supply *wire = build_supply(&r.b, "wire", 1);
	struct piece *p = build_piece(&r.b, "posy");
	build_piece_need(&r.b, p, build_supply_item(&r.b, wire), 1, 999983);
	build_piece_need(&r.b, p, build_supply_item(&r.b, wire), 1, 999979);
	build_box(&r.b, "w", build_supply_item(&r.b, wire), 3, NULL, TODAY);
	build_done(&r.b);
	stock_take(&r.stock, &r.b.farm, build_day(TODAY), false, NULL, &r.b.arena, &r.b.remarks);
	assert_int_equal(reach_reckon(&r.reach, &r.b.farm, &r.stock, &r.options, &r.b.arena,
				      &r.b.remarks, &r.b.diag),
			 -1);
	assert_int_equal(r.b.diag.errors, 1);
	assert_text(r.b.diag.items[0].text,
		    "The amounts in `posy` are too fine or too large to be pooled exactly.");
	build_end(&r.b);
}

/* ---- one answer ---- */

/* Four boxes of 25 counted so that 0.97 of each is left today, 6 stems reserved.  One box with its
 * 6 left out has 19, and every box that is used loses one whole stem: 94 - 4, by hand.
 * Pooled it would be floor(94 x 0.969) = 91.  One step of the solver must be enough. */
static void stems_are_lost_whole_box_by_box(void **state)
{
	static const char *const boxed[] = { "2026-05-10", "2026-06-10", "2026-07-10",
					     "2026-08-10" };
	for (int nodes = 0; nodes < 2; nodes++) {
		struct reached r = { .options.nodes = nodes };
		(void)state;
		build_start(&r.b);
		struct crop *c = build_crop(&r.b, "statice");
		c->loss[STAGE_STORAGE] = build_fig(0.03);
		c->reserve = build_fig(6);
		struct piece *p = build_piece(&r.b, "posy");
		reached_need(&r, p, c, 1, 1);
		for (size_t i = 0; i < COUNT(boxed); i++)
			build_box(&r.b, "box", build_crop_item(&r.b, c), 25, boxed[i],
				  "2026-10-25");
		reached_reckon(&r);
		assert_int_equal(reached_piece(&r, 0)->state, REACH_FOUND);
		assert_int_equal(reached_piece(&r, 0)->most, 90);
		build_end(&r.b);
	}
}

static void same_input_same_answer(void **state)
{
	(void)state;
	struct reached r = { 0 };
	build_start(&r.b);
	r.b.farm.ncolours = 3;
	struct crop *c[3] = { build_crop(&r.b, "A"), build_crop(&r.b, "B"), build_crop(&r.b, "C") };
	for (int i = 0; i < 6; i++) {
		struct box *b = reached_stems(&r, c[i % 3], 40 + 7 * i);
		b->colour = (uint32_t)i / 2;
		b->length = (float)(200 + 50 * i);
		c[i % 3]->loss[STAGE_STORAGE] = build_fig(0.02);
		c[i % 3]->loss[STAGE_BENCH] = build_fig(0.07);
	}
	for (int i = 0; i < 4; i++) {
		struct piece *p = build_piece(&r.b, build_name(&r.b, "piece %d", i).p);
		for (int k = 0; k < 3; k++) {
			struct need_option *o = reached_need(&r, p, c[k], 4 + i, k + 1);
			colours(&r, o, (uint32_t)k, (uint32_t)(k + i) % 3);
			o->one_colour = i % 2;
			build_or(&r.b, &p->needs[k], build_crop_item(&r.b, c[(k + 1) % 3]), 5, 1)
			    ->from = 300;
		}
		build_order(&r.b, p, 2, NULL)->due = build_day("2026-12-10") + 9 * i;
	}
	reached_reckon(&r);
	struct reach first = r.reach;
	for (int again = 0; again < 2; again++) {
		reached_reckon(&r);
		for (size_t i = 0; i < r.b.farm.npieces; i++) {
			const struct reach_piece *x = &first.pieces[i], *y = &r.reach.pieces[i];
			assert_int_equal(x->state, y->state);
			assert_int_equal(x->most, y->most);
			assert_int_equal(x->more, y->more);
			assert_int_equal(x->nstops, y->nstops);
			assert_int_equal(x->stops[0].index, y->stops[0].index);
		}
	}
	build_end(&r.b);
}

int main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(stems_are_pooled_over_the_run),
		cmocka_unit_test(classes_are_floored_one_by_one),
		cmocka_unit_test(colours_mix_or_not),
		cmocka_unit_test(one_colour_wastes_rests),
		cmocka_unit_test(longer_serves_shorter_only),
		cmocka_unit_test(needs_share_a_crop),
		cmocka_unit_test(alternatives_are_chosen_by_the_piece),
		cmocka_unit_test(bracket_takes_what_the_textbook_says),
		cmocka_unit_test(parts_are_made_whole),
		cmocka_unit_test(rests_of_makings_are_kept),
		cmocka_unit_test(stops_look_past_the_next),
		cmocka_unit_test(orders_come_off_and_finished_pieces_go_first),
		cmocka_unit_test(later_orders_lose_stems_until_then),
		cmocka_unit_test(the_small_case_of_the_docs),
		cmocka_unit_test(orders_are_met_jointly),
		cmocka_unit_test(orders_that_cannot_be_met),
		cmocka_unit_test(reserve_stays),
		cmocka_unit_test(past_keeping_only_when_asked),
		cmocka_unit_test(plenty_today_is_not_plenty_later),
		cmocka_unit_test(supplies_are_bought_or_not),
		cmocka_unit_test(what_is_short_together),
		cmocka_unit_test(nothing_in_the_shed),
		cmocka_unit_test(too_fine_to_pool),
		cmocka_unit_test(stems_are_lost_whole_box_by_box),
		cmocka_unit_test(same_input_same_answer),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
