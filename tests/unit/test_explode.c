/* test_explode.c - what a run takes through parts of parts, net of parts on hand. */
#include "help_farm.h"
#include "reckon/explode.h"

static void assert_rat(struct rat got, int64_t num, int64_t den)
{
	assert_int_equal(got.num, num);
	assert_int_equal(got.den, den);
}

/* J. Heizer, B. Render, C. Munson, Operations Management, 12th ed., ch. 14, problem
 * 14.3 (answers read in the published solutions; structure from memory, it reproduces
 * all 16 figures).  Bracket: 1 base, 2 springs, 4 clamps; base: 1 clamp, 2 housings;
 * clamp: 1 handle; handle: 1 casting; housing: 2 bearings, 1 shaft. */
struct bracket {
	struct built b;
	struct exploded e;
	uint32_t base, spring, clamp, handle, casting, housing, bearing, shaft;
};

static uint32_t index_of(struct bracket *k, const struct part *p)
{
	return build_part_item(&k->b, p).index;
}

static void build_bracket(struct bracket *k)
{
	struct built *b = &k->b;
	build_start(b);
	struct piece *bracket = build_piece(b, "Bracket");
	/* Written from the bottom up: the levels must come from the structure. */
	struct part *clamp = build_part(b, "Clamp"), *handle = build_part(b, "Handle");
	struct part *housing = build_part(b, "Housing"), *base = build_part(b, "Base");
	struct item casting = build_supply_item(b, build_supply(b, "Casting", 1));
	struct item spring = build_supply_item(b, build_supply(b, "Spring", 1));
	struct item bearing = build_supply_item(b, build_supply(b, "Bearing", 1));
	struct item shaft = build_supply_item(b, build_supply(b, "Shaft", 1));
	build_piece_need(b, bracket, build_part_item(b, base), 1, 1);
	build_piece_need(b, bracket, spring, 2, 1);
	build_piece_need(b, bracket, build_part_item(b, clamp), 4, 1);
	build_part_need(b, base, build_part_item(b, clamp), 1, 1);
	build_part_need(b, base, build_part_item(b, housing), 2, 1);
	build_part_need(b, clamp, build_part_item(b, handle), 1, 1);
	build_part_need(b, handle, casting, 1, 1);
	build_part_need(b, housing, bearing, 2, 1);
	build_part_need(b, housing, shaft, 1, 1);
	build_done(b);
	k->base = index_of(k, base);
	k->clamp = index_of(k, clamp);
	k->handle = index_of(k, handle);
	k->housing = index_of(k, housing);
	k->casting = casting.index;
	k->spring = spring.index;
	k->bearing = bearing.index;
	k->shaft = shaft.index;
}

static void explode_brackets(struct bracket *k, int64_t n, const struct rat *stock)
{
	struct run run = { 0, { n, 1 } };
	assert_int_equal(explode(&k->e, &k->b.farm, &run, 1, stock, &k->b.arena, &k->b.diag), 0);
}

static void test_gross(void **state)
{
	(void)state;
	struct bracket k;
	build_bracket(&k);
	explode_brackets(&k, 50, NULL);
	assert_rat(k.e.parts[k.base].gross, 50, 1);
	assert_rat(k.e.supplies[k.spring], 100, 1);
	assert_rat(k.e.parts[k.clamp].gross, 250, 1);
	assert_rat(k.e.parts[k.handle].gross, 250, 1);
	assert_rat(k.e.supplies[k.casting], 250, 1);
	assert_rat(k.e.parts[k.housing].gross, 100, 1);
	assert_rat(k.e.supplies[k.bearing], 200, 1);
	assert_rat(k.e.supplies[k.shaft], 100, 1);
	build_end(&k.b);
}

/* The same with 25 bases and 100 clamps on hand.  A base in stock saves its clamp and
 * housings too: taking stock off the gross figures at the end would leave 150 clamps
 * and 250 castings to make. */
static void test_net(void **state)
{
	(void)state;
	struct bracket k;
	build_bracket(&k);
	struct rat stock[4];
	for (int i = 0; i < 4; i++)
		stock[i] = RAT_ZERO;
	stock[k.base] = (struct rat){ 25, 1 };
	stock[k.clamp] = (struct rat){ 100, 1 };
	explode_brackets(&k, 50, stock);
	assert_rat(k.e.parts[k.base].net, 25, 1);
	assert_rat(k.e.supplies[k.spring], 100, 1);
	assert_rat(k.e.parts[k.clamp].gross, 225, 1);
	assert_rat(k.e.parts[k.clamp].from_stock, 100, 1);
	assert_rat(k.e.parts[k.clamp].net, 125, 1);
	assert_rat(k.e.parts[k.handle].net, 125, 1);
	assert_rat(k.e.supplies[k.casting], 125, 1);
	assert_rat(k.e.parts[k.housing].net, 50, 1);
	assert_rat(k.e.supplies[k.bearing], 100, 1);
	assert_rat(k.e.supplies[k.shaft], 50, 1);
	/* More on hand than wanted stays on hand. */
	stock[k.base] = (struct rat){ 80, 1 };
	explode_brackets(&k, 50, stock);
	assert_rat(k.e.parts[k.base].from_stock, 50, 1);
	assert_rat(k.e.parts[k.base].net, 0, 1);
	assert_int_equal(k.e.parts[k.base].makings, 0);
	assert_rat(k.e.parts[k.clamp].gross, 200, 1);
	assert_rat(k.e.parts[k.housing].gross, 0, 1);
	build_end(&k.b);
}

/* Fractions are pooled over the run; a part is made in whole makings. */
static void test_fractions_and_makings(void **state)
{
	(void)state;
	struct built b;
	struct exploded e;
	build_start(&b);
	struct item statice = build_crop_item(&b, build_crop(&b, "Statice"));
	struct item oats = build_crop_item(&b, build_crop(&b, "Oats"));
	struct item wire = build_supply_item(&b, build_supply(&b, "Wire", 1));
	struct part *tufts = build_part(&b, "Tufts");
	tufts->makes = (struct rat){ 6, 1 };
	build_part_need(&b, tufts, oats, 30, 1);
	struct piece *wreath = build_piece(&b, "Wreath"), *star = build_piece(&b, "Star");
	build_piece_need(&b, wreath, statice, 7, 3); /* seven sprigs, three of a stem */
	build_piece_need(&b, wreath, build_part_item(&b, tufts), 4, 1);
	build_piece_need(&b, star, statice, 1, 7);
	build_piece_need(&b, star, wire, 5, 2);
	build_done(&b);
	struct run runs[] = { { 1, { 14, 1 } }, { 0, { 4, 1 } }, { 0, { 1, 1 } } };
	assert_int_equal(explode(&e, &b.farm, runs, 3, NULL, &b.arena, &b.diag), 0);
	assert_rat(e.crops[statice.index], 41, 3); /* 35/3 + 2 */
	assert_rat(e.supplies[wire.index], 35, 1);
	assert_rat(e.parts[0].net, 20, 1);
	assert_int_equal(e.parts[0].makings, 4); /* 24 tufts for 20 */
	assert_rat(e.crops[oats.index], 120, 1);
	/* Needs in the order of pieces, then parts: wreath, star, star, tufts. */
	assert_int_equal(e.nneeds, 4);
	assert_int_equal(e.needs[0].maker.index, 0);
	assert_rat(e.needs[0].makings, 5, 1);
	assert_rat(e.needs[0].count, 35, 3);
	assert_int_equal(e.needs[2].maker.index, 1);
	assert_int_equal(e.needs[3].maker.kind, KIND_PART);
	assert_rat(e.needs[3].makings, 4, 1);
	build_end(&b);
}

/* The first option written is the usual one. */
static void test_first_option(void **state)
{
	(void)state;
	struct built b;
	struct exploded e;
	build_start(&b);
	struct item a = build_crop_item(&b, build_crop(&b, "A"));
	struct item c = build_crop_item(&b, build_crop(&b, "C"));
	struct piece *p = build_piece(&b, "P");
	build_piece_need(&b, p, a, 3, 1);
	build_or(&b, &p->needs[0], c, 20, 1);
	build_done(&b);
	struct run run = { 0, { 2, 1 } };
	assert_int_equal(explode(&e, &b.farm, &run, 1, NULL, &b.arena, &b.diag), 0);
	assert_rat(e.crops[0], 6, 1);
	assert_rat(e.crops[1], 0, 1);
	assert_int_equal(e.needs[0].option, 0);
	build_end(&b);
}

static void test_overflow(void **state)
{
	(void)state;
	struct built b;
	struct exploded e;
	build_start(&b);
	struct item wire = build_supply_item(&b, build_supply(&b, "Wire", 1));
	struct piece *p = build_piece(&b, "Huge wreath");
	struct part *parts[3];
	for (int i = 0; i < 3; i++) {
		parts[i] = build_part(&b, "Part");
		if (i)
			build_part_need(&b, parts[i - 1], build_part_item(&b, parts[i]), 10000000, 1);
	}
	build_part_need(&b, parts[2], wire, 10000000, 1);
	build_piece_need(&b, p, build_part_item(&b, parts[0]), 10000000, 1);
	build_done(&b);
	struct run run = { 0, { 1, 1 } };
	assert_int_equal(explode(&e, &b.farm, &run, 1, NULL, &b.arena, &b.diag), -1);
	assert_int_equal(b.diag.errors, 1);
	assert_non_null(strstr(b.diag.items[0].text.p, "Part"));
	struct run twice[] = { { 0, { INT64_MAX, 1 } }, { 0, { INT64_MAX, 1 } } };
	assert_int_equal(explode(&e, &b.farm, twice, 2, NULL, &b.arena, &b.diag), -1);
	assert_non_null(strstr(b.diag.items[1].text.p, "Huge wreath"));
	build_end(&b);
}

/* ---- against a second way to reckon ---- */

struct oracle {
	const struct farm *farm;
	double crops[8], supplies[8], gross[8];
};

/* Straight down the tree, without stock and for parts that make one. */
static void walk(struct oracle *o, const struct need *needs, size_t n, double makings)
{
	for (size_t i = 0; i < n; i++) {
		const struct need_option *first = &needs[i].options[0];
		double count = makings * rat_double(first->count);
		if (first->item.kind == KIND_CROP) {
			o->crops[first->item.index] += count;
		} else if (first->item.kind == KIND_SUPPLY) {
			o->supplies[first->item.index] += count;
		} else {
			const struct part *p = &o->farm->parts[first->item.index];
			o->gross[first->item.index] += count;
			walk(o, p->needs, p->nneeds, count);
		}
	}
}

static struct item any_item(const struct built *b, uint64_t *seed, size_t from)
{
	double dice = build_random(seed);
	size_t left = b->farm.nparts - from;
	if (left && dice < 0.5)
		return (struct item){ KIND_PART, (uint32_t)(from + (size_t)((double)left * build_random(seed))) };
	return (struct item){ dice < 0.75 ? KIND_CROP : KIND_SUPPLY, (uint32_t)(4 * build_random(seed)) };
}

static void build_any(struct built *b, uint64_t *seed)
{
	build_start(b);
	for (int i = 0; i < 4; i++) {
		build_crop(b, "crop");
		build_supply(b, "supply", 1);
	}
	for (int i = 0; i < 6; i++)
		build_part(b, "part");
	for (size_t i = 0; i < 6; i++) {
		int n = 1 + (int)(3 * build_random(seed));
		for (int k = 0; k < n; k++)
			build_part_need(b, &b->farm.parts[i], any_item(b, seed, i + 1),
			                1 + (int64_t)(5 * build_random(seed)), 1);
	}
	for (int i = 0; i < 3; i++) {
		struct piece *p = build_piece(b, "piece");
		for (int k = 0; k < 4; k++)
			build_piece_need(b, p, any_item(b, seed, 0), 1 + (int64_t)(5 * build_random(seed)), 1);
	}
	build_done(b);
}

/* Without stock the levels give what a walk down the tree gives; with stock, what is
 * wanted is what comes from stock and what is made; needs add up to the totals. */
static void test_conserves(void **state)
{
	(void)state;
	uint64_t seed = 3;
	for (int round = 0; round < 1000; round++) {
		struct built b;
		struct exploded e;
		build_any(&b, &seed);
		struct oracle o = { .farm = &b.farm };
		struct run runs[3];
		for (uint32_t i = 0; i < 3; i++) {
			runs[i] = (struct run){ i, { (int64_t)(20 * build_random(&seed)), 1 } };
			walk(&o, b.farm.pieces[i].needs, b.farm.pieces[i].nneeds,
			     rat_double(runs[i].count));
		}
		assert_int_equal(explode(&e, &b.farm, runs, 3, NULL, &b.arena, &b.diag), 0);
		for (int i = 0; i < 4; i++) {
			assert_near(rat_double(e.crops[i]), o.crops[i]);
			assert_near(rat_double(e.supplies[i]), o.supplies[i]);
		}
		for (int i = 0; i < 6; i++)
			assert_near(rat_double(e.parts[i].gross), o.gross[i]);

		struct rat stock[6];
		for (int i = 0; i < 6; i++) {
			stock[i] = (struct rat){ (int64_t)(50 * build_random(&seed)), 1 };
			b.farm.parts[i].makes = (struct rat){ 1 + (int64_t)(4 * build_random(&seed)), 1 };
		}
		assert_int_equal(explode(&e, &b.farm, runs, 3, stock, &b.arena, &b.diag), 0);
		double crops = 0, supplies = 0, needs = 0;
		for (int i = 0; i < 6; i++) {
			const struct exploded_part *p = &e.parts[i];
			double makes = rat_double(b.farm.parts[i].makes);
			double made = (double)p->makings * makes;
			assert_near(rat_double(p->from_stock) + rat_double(p->net), rat_double(p->gross));
			assert_true(rat_cmp(p->from_stock, stock[i]) <= 0);
			assert_true(made >= rat_double(p->net) && made < rat_double(p->net) + makes);
		}
		for (int i = 0; i < 4; i++) {
			assert_true(rat_double(e.crops[i]) <= o.crops[i]); /* makes >= 1, stock saves */
			crops += rat_double(e.crops[i]);
			supplies += rat_double(e.supplies[i]);
		}
		for (size_t i = 0; i < e.nneeds; i++)
			needs += rat_double(e.needs[i].count);
		assert_near(needs, crops + supplies);
		build_end(&b);
	}
}

int main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(test_gross),        cmocka_unit_test(test_net),
		cmocka_unit_test(test_fractions_and_makings),
		cmocka_unit_test(test_first_option), cmocka_unit_test(test_overflow),
		cmocka_unit_test(test_conserves),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
