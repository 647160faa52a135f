/* test_reach_list.c - what a stated number takes, reckoned by hand. */
#include "help_reach.h"

#include <math.h>

static struct item crop(uint32_t i)
{
	return (struct item){ KIND_CROP, i };
}

static struct item supply(uint32_t i)
{
	return (struct item){ KIND_SUPPLY, i };
}

static void list(struct reached *r, uint32_t i, int64_t count)
{
	assert_int_equal(reach_list(&r->list, &r->b.farm, &r->stock, i, count, &r->options,
				    &r->b.arena, &r->b.diag),
			 0);
}

static const struct list_line *line(const struct reached *r, struct item item)
{
	for (size_t i = 0; i < r->list.n; i++) {
		const struct list_line *l = &r->list.lines[i];
		if (l->item.kind == item.kind && l->item.index == item.index)
			return l;
	}
	fail_msg("no line of kind %d, %u", (int)item.kind, item.index);
	return NULL;
}

/* A wreath: three tufts of five grass, ten statice or eight sea lavender, a ring, 2.5 m
 * of wire, a card.  Two are ordered for today. */
static void build_wreaths(struct reached *r)
{
	build_start(&r->b);
	struct crop *grass = build_crop(&r->b, "Grass"), *statice = build_crop(&r->b, "Statice");
	struct crop *sea = build_crop(&r->b, "Sea lavender");
	struct supply *ring = build_supply(&r->b, "ring", 2),
		      *wire = build_supply(&r->b, "wire", 0.05);
	struct supply *card = build_supply(&r->b, "card", NAN);
	struct part *tuft = build_part(&r->b, "tuft");
	struct piece *p = build_piece(&r->b, "wreath");
	grass->loss[STAGE_BENCH] = build_fig(0.2);
	ring->pack = build_fig(10);
	build_part_need(&r->b, tuft, build_crop_item(&r->b, grass), 5, 1);
	build_piece_need(&r->b, p, build_part_item(&r->b, tuft), 3, 1);
	reached_need(r, p, statice, 10, 1);
	build_or(&r->b, &p->needs[1], build_crop_item(&r->b, sea), 8, 1);
	build_piece_need(&r->b, p, build_supply_item(&r->b, ring), 1, 1);
	build_piece_need(&r->b, p, build_supply_item(&r->b, wire), 5, 2);
	build_piece_need(&r->b, p, build_supply_item(&r->b, card), 1, 1);
	reached_stems(r, grass, 100);
	reached_stems(r, statice, 45);
	reached_stems(r, sea, 100);
	build_box(&r->b, "t", build_part_item(&r->b, tuft), 8, NULL, TODAY);
	build_box(&r->b, "r", build_supply_item(&r->b, ring), 4, NULL, TODAY);
	build_order(&r->b, p, 2, NULL);
	reached_reckon(r);
}

static void stems_and_parts(void **state)
{
	(void)state;
	struct reached r = { 0 };
	build_wreaths(&r);
	/* With the two ordered: 8 tufts and the 16 that 100 stems make are 8 wreaths. */
	assert_int_equal(reached_piece(&r, 0)->most, 6);
	list(&r, 0, 9);
	assert_false(r.list.possible);
	/* 33 tufts with the orders, 8 on hand: 25 makings, all of them for the nine; they take
	 * 27 tufts, of which two are left when the orders have had six. */
	const struct list_line *t = line(&r, (struct item){ KIND_PART, 0 });
	assert_near(rat_double(t->needed), 27);
	assert_near(t->whole, 25);
	assert_near(t->on_hand, 2);
	assert_near(t->missing, 25);
	const struct list_line *g = line(&r, crop(0));
	assert_near(rat_double(g->needed), 25 * 5 / 0.8);
	assert_near(g->whole, 157); /* 156.25 */
	assert_near(g->on_hand, 100);
	assert_near(g->missing, 57);
	/* Statice is the usual way: four wreaths in all, two of them the orders'. */
	assert_near(line(&r, crop(1))->whole, 20);
	assert_near(line(&r, crop(1))->on_hand, 25);
	assert_near(line(&r, crop(1))->missing, 0);
	assert_near(line(&r, crop(2))->whole, 7 * 8);
	assert_near(line(&r, crop(2))->missing, 0);

	list(&r, 0, 6);
	assert_true(r.list.possible);
	assert_near(line(&r, crop(0))->missing, 0);
	list(&r, 0, 0);
	assert_true(r.list.possible);
	assert_int_equal(r.list.n, 0);
	build_end(&r.b);
}

static void supplies_and_money(void **state)
{
	(void)state;
	struct reached r = { 0 };
	build_wreaths(&r);
	list(&r, 0, 9);
	const struct list_line *l = line(&r, supply(0)); /* rings, in tens */
	assert_near(rat_double(l->needed), 9);
	assert_near(l->whole, 1);
	assert_near(l->on_hand, 2); /* the orders take two of four */
	assert_near(l->missing, 7);
	assert_near(l->packs, 1);
	assert_near(l->money, 20);
	l = line(&r, supply(1)); /* wire, loose, nobody counted it */
	assert_true(isnan(l->on_hand));
	assert_near(l->missing, 22.5);
	assert_near(l->packs, 0);
	assert_near(l->money, 22.5 * 0.05);
	assert_true(isnan(line(&r, supply(2))->money)); /* cards have no price */

	/* Where nothing is bought, the rings stop it: 4 less 2. */
	r.options.no_buying = true;
	list(&r, 0, 2);
	assert_true(r.list.possible);
	list(&r, 0, 3);
	assert_false(r.list.possible);
	assert_near(line(&r, supply(0))->missing, 1);
	build_end(&r.b);
}

/* What the orders lack stands in the list too, of what the piece does not take as well. */
static void orders_that_lack_something(void **state)
{
	(void)state;
	struct reached r = { 0 };
	build_start(&r.b);
	struct crop *a = build_crop(&r.b, "Grass"), *b = build_crop(&r.b, "Statice");
	struct piece *p = build_piece(&r.b, "posy"), *q = build_piece(&r.b, "wreath");
	reached_need(&r, p, a, 2, 1);
	reached_need(&r, q, a, 3, 1);
	reached_need(&r, q, b, 4, 1);
	reached_stems(&r, a, 30);
	reached_stems(&r, b, 10);
	build_order(&r.b, q, 4, NULL);
	reached_reckon(&r);
	assert_int_equal(reached_piece(&r, 0)->state, REACH_ORDERS_SHORT);
	list(&r, 0, 9);
	assert_false(r.list.possible);
	assert_near(line(&r, crop(0))->on_hand, 18);
	assert_near(line(&r, crop(0))->missing, 0);
	assert_near(rat_double(line(&r, crop(1))->needed), 0);
	assert_near(line(&r, crop(1))->missing, 6);
	build_end(&r.b);
}

/* Gold there is plenty of; rust is what is missing. */
static void colours_are_looked_at(void **state)
{
	(void)state;
	struct reached r = { 0 };
	build_start(&r.b);
	r.b.farm.ncolours = 2;
	struct crop *c = build_crop(&r.b, "Strawflower");
	struct piece *p = build_piece(&r.b, "posy");
	for (uint32_t k = 0; k < 2; k++) {
		struct need_option *o = reached_need(&r, p, c, 3, 1);
		o->colours = ARENA_NEW(&r.b.arena, uint32_t);
		o->colours[0] = k;
		o->ncolours = 1;
		reached_stems(&r, c, k ? 50 : 10)->colour = k;
	}
	reached_reckon(&r);
	assert_int_equal(reached_piece(&r, 0)->most, 3);
	list(&r, 0, 5);
	const struct list_line *l = line(&r, crop(0));
	assert_near(l->whole, 30);
	assert_near(l->on_hand, 60);
	assert_near(l->missing, 5);
	assert_false(r.list.possible);
	build_end(&r.b);
}

/* Counts beyond all reason neither wrap nor hang. */
static void counts_beyond_reason(void **state)
{
	(void)state;
	struct reached r = { .options = { .no_buying = true } };
	struct reach_list l;
	build_start(&r.b);
	struct crop *c = build_crop(&r.b, "Statice");
	struct supply *wire = build_supply(&r.b, "wire", 1);
	c->loss[STAGE_BENCH] = build_fig(0.123456789);
	reached_stems(&r, c, 1e15);
	build_box(&r.b, "w", build_supply_item(&r.b, wire), 1e300, NULL, TODAY);
	struct part *tuft = build_part(&r.b, "tuft");
	build_part_need(&r.b, tuft, build_crop_item(&r.b, c), 999999, 7);
	struct piece *p = build_piece(&r.b, "wreath"), *tiny = build_piece(&r.b, "tiny");
	build_piece_need(&r.b, p, build_part_item(&r.b, tuft), 123456, 1);
	build_piece_need(&r.b, p, build_supply_item(&r.b, wire), 99999, 1000);
	reached_need(&r, tiny, c, 1, 1000000);
	build_order(&r.b, p, 1e17, NULL)->due = build_day("2027-01-01");
	reached_reckon(&r);
	assert_int_equal(reached_piece(&r, 0)->state, REACH_ORDERS_SHORT);
	/* More stems than are reckoned with: an answer of "no" or an error, no more. */
	int fault =
	    reach_list(&l, &r.b.farm, &r.stock, 0, 1000000000, &r.options, &r.b.arena, &r.b.diag);
	assert_true(fault == -1 || !l.possible);
	assert_int_equal(
	    reach_list(&l, &r.b.farm, &r.stock, 1, 1000000001, &r.options, &r.b.arena, &r.b.diag),
	    -1);

	r.options.ignore_orders = true;
	reached_reckon(&r);
	assert_int_equal(reached_piece(&r, 0)->state, REACH_FOUND);
	/* 1e15 x (1 - 0.123456789) / (999999/7 x 123456) = 49700.37 */
	assert_int_equal(reached_piece(&r, 0)->most, 49700);
	assert_true(reached_piece(&r, 1)->most >= 1000000000);
	assert_int_equal(
	    reach_list(&l, &r.b.farm, &r.stock, 1, 1000000000, &r.options, &r.b.arena, &r.b.diag),
	    0);
	assert_true(l.possible);
	assert_near(l.lines[0].whole, 1141); /* 1000 / (1 - 0.123456789) = 1140.85 */
	build_end(&r.b);
}

/* Stems that have to be one colour each time, of four colours that do not suffice: a
 * short search does not prove what is the least, and says so. */
static void a_search_that_stops_says_so(void **state)
{
	(void)state;
	struct reached r = { 0 };
	build_start(&r.b);
	struct crop *c = build_crop(&r.b, "Statice"), *other = build_crop(&r.b, "Yarrow");
	r.b.farm.ncolours = 4;
	for (uint32_t i = 0; i < 4; i++) {
		reached_stems(&r, c, 41 + 13 * i)->colour = i;
		reached_stems(&r, other, 31 + 17 * i)->colour = i;
	}
	for (int i = 0; i < 6; i++) {
		struct piece *p = build_piece(&r.b, build_name(&r.b, "piece %d", i).p);
		reached_need(&r, p, c, 17 + 5 * i, 2)->one_colour = true;
		build_or(&r.b, &p->needs[0], build_crop_item(&r.b, other), 19 + 4 * i, 2)
		    ->one_colour = true;
		reached_need(&r, p, other, 13 + 3 * i, 3)->one_colour = true;
		build_order(&r.b, p, 3 + i, NULL)->due = build_day(TODAY);
	}
	r.options.nodes = 500;
	reached_reckon(&r);
	list(&r, 0, 4);
	assert_true(!r.list.least && !r.list.possible);
	assert_true(r.list.found);
	r.options.nodes = 1;
	list(&r, 0, 4);
	assert_true(!r.list.found && !r.list.least && !r.list.possible && r.list.n == 0);
	r.options.ignore_orders = true;
	reached_reckon(&r);
	list(&r, 0, 1);
	assert_true(r.list.least && r.list.possible);
	build_end(&r.b);
}

int main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(stems_and_parts),
		cmocka_unit_test(supplies_and_money),
		cmocka_unit_test(orders_that_lack_something),
		cmocka_unit_test(colours_are_looked_at),
		cmocka_unit_test(counts_beyond_reason),
		cmocka_unit_test(a_search_that_stops_says_so),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
