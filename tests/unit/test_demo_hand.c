/* test_demo_hand.c - some figures of recipes-demo/ followed by hand.
 *
 * Every number below was worked out with a pocket calculator from the demo's texts
 * and tables alone, line by line as the comments show, kept to six decimals.  They
 * are compared to 2e-5 of their value, which is what that leaves. */
#include <stdlib.h>

#include "help.h"
#include "reckon/reckon.h"

struct demo {
	struct arena arena;
	struct farm *farm;
	struct diag diag;
	struct reckoning r;
};

static int open_demo(void **state)
{
	static const struct load_options none = { 0 };
	static const struct reach_options usual = { 0 };
	struct demo *d = calloc(1, sizeof *d);
	day on;
	*state = d;
	if (!d || !date_parse(str_of("2026-11-10"), &on))
		return -1;
	arena_init(&d->arena);
	diag_init(&d->diag, &d->arena);
	if (farm_load(&d->farm, &d->arena, "recipes-demo", &none, &d->diag) < 0)
		return -1;
	return reckon(&d->r, d->farm, on, RECKON_ALL, false, &usual, &d->arena, &d->diag);
}

static int close_demo(void **state)
{
	struct demo *d = *state;
	arena_release(&d->arena);
	free(d);
	return 0;
}

static uint32_t find(const struct demo *d, enum kind kind, const char *name)
{
	struct item item;
	assert_true(farm_find(d->farm, str_of(name), &item));
	assert_int_equal(item.kind, kind);
	return item.index;
}

static const struct stem_cost *stem(const struct demo *d, const char *name)
{
	return &d->r.stems.crops[find(d, KIND_CROP, name)];
}

static const struct price_line *line(const struct demo *d, const char *piece, const char *outlet)
{
	uint32_t p = find(d, KIND_PIECE, piece), o = farm_find_outlet(d->farm, str_of(outlet));
	for (size_t i = 0; i < d->r.prices.n; i++) {
		if (d->r.prices.lines[i].piece == p && d->r.prices.lines[i].outlet == o)
			return &d->r.prices.lines[i];
	}
	fail_msg("%s is not sold at %s", piece, outlet);
	return NULL;
}

#define assert_hand(got, want) assert_near_by((got), (want), 2e-5, 0)

/* Wage 16.50 x 1.21 = 19.965 an hour, 0.332750 a minute; overhead 1560/340 =
 * 4.588235 an hour, 0.076471 a minute. */
static void test_an_hour(void **state)
{
	const struct demo *d = *state;
	assert_hand(d->r.costs.wage, 19.965);
	assert_hand(d->r.costs.overhead_rate, 4.588235);
}

/* Ammobium, bed M6: 360 stems, none fresh.
 *   bed   6.00 + 1.1 h x 19.965 (21.961500) + 1.5 m x 2.40 (3.60)
 *         + cutting 360/500 = 0.72 h (14.374800)                    = 45.936300
 *   hung  360 x 0.92 = 331.2, in 331.2/20 = 16.56 bundles
 *   boxed 331.2 x 0.91 = 301.392
 *   hours strip 360/600 0.600000 + bundle 331.2/700 0.473143
 *         + hang 16.56/100 0.165600 + box 16.56 x 30 s 0.138000
 *         = 1.376743 h x 19.965                                      = 27.486671
 *   bands 16.56 x 0.02 0.331200 + boxes 301.392/350 x 1.10 0.947232  =  1.278432
 *   74.701403 / 301.392 = 0.247855 a boxed stem.
 * Boxes AM01, 114 stems boxed 89 days before the count, and AM02, 134 stems, 61
 * days; a month is 30.4375 days:
 *   as boxed  114/0.99^2.924025 (117.399879) + 134/0.99^2.004107 (136.726386) = 254.126265
 *   usable    248 x 0.99^(10/30.4375) (0.996703) x 0.95                       = 234.823342
 *   0.247855 x 254.126265/234.823342 = 0.268229 a usable stem. */
static void test_ammobium_stem(void **state)
{
	const struct stem_cost *c = stem(*state, "Ammobium");
	assert_int_equal(c->source, COST_BED);
	assert_hand(c->per_boxed, 0.247855);
	assert_hand(c->per_usable, 0.268229);
	/* 301.392 should have been boxed and 299 were: 2.392 x 0.247855 = 0.592869. */
	assert_near_by(c->abnormal_stems, 2.392, 1e-9, 0);
	assert_hand(c->abnormal_money, 0.592869);
}

/* Sea lavender, bed B1: 480 stems, 40 sold fresh; planted for 132, bears 8 years.
 *   bed   6.00 + 1.8 h (35.937000) + 6 m (14.40) + cutting 480/360 h (26.620000)
 *         + 132/8 (16.50) = 99.457000, of which the hung bear 440/480: 91.168917
 *   hung  440 x 0.95 = 418, 41.8 bundles; boxed 418 x 0.92 = 384.56
 *   hours 440/800 0.550000 + 418/550 0.760000 + 41.8/100 0.418000
 *         + 41.8 x 45 s 0.522500 = 2.250500 h                         = 44.931233
 *   bands 41.8 x 0.03 1.254000 + boxes 384.56/120 x 1.10 3.525133     =  4.779133
 *   140.879283 / 384.56 = 0.366339 a boxed stem. */
static void test_sea_lavender_stem(void **state)
{
	const struct demo *d = *state;
	const struct stem_cost *c = stem(d, "Sea lavender");
	assert_int_equal(c->nbeds, 1);
	const struct bed_cost *bed = &d->r.stems.beds[c->beds[0]];
	assert_hand(bed->joint, 99.457);
	assert_hand(bed->share, 0.916667);
	assert_hand(bed->dry_labour, 44.931233);
	assert_hand(bed->dry_money, 4.779133);
	assert_hand(c->grown, 0.366339);
}

/* Lunaria, bed S8: 165 stems; the hours from strip to box were written down, 1.2.
 *   bed   6.00 + 1.1 h (21.961500) + 3 m (7.20) + 165/420 h (7.843393) = 43.004893
 *   hung  165 x 0.86 = 141.9; boxed 141.9 x 0.92 = 130.548
 *   43.004893 + 1.2 h (23.958000) + 14.19 x 0.02 (0.283800)
 *   + 130.548/80 x 1.10 (1.795035) = 69.041728, / 130.548 = 0.528861
 * Boxes 33 and 49 (82 days, 0.99^2.694045 = 0.973287) and 24 (441 days,
 * 0.99^14.488706 = 0.864489): 84.250568 + 27.762056 = 112.012623 as boxed,
 *   106 x 0.996703 x 0.91 = 96.142018 usable: 0.528861 x 1.165075 = 0.616162.
 *
 * Honesty hoop: 4 Lunaria 2.464649 + 3 sprigs of half an Ammobium 0.402343 = 2.866992;
 * hoop 0.72 + 0.5 m of wire at 0.054 = 0.747; 9 min: 2.994750 and 0.688235.
 * Together 7.296977. */
static void test_honesty_hoop(void **state)
{
	const struct demo *d = *state;
	const struct make_cost *c = &d->r.costs.pieces[find(d, KIND_PIECE, "Honesty hoop")];
	assert_hand(stem(d, "Lunaria")->per_usable, 0.616162);
	assert_hand(c->stems, 2.866992);
	assert_hand(c->supplies, 0.747);
	assert_hand(c->seconds, 540);
	assert_hand(c->total, 7.296977);
}

/* Honesty hoop at the market: packing 2 min (0.665500 and 0.152941), carton 0.75:
 * C = 7.296977 + 1.568441 = 8.865418.  Margin 20%, card fee 1.7% of what is paid:
 *   P = 8.865418 / (1 - 0.20 - 0.017 x 1.19) = 8.865418/0.779770 = 11.369273
 *   with tax x 1.19 = 13.529435, next price point 14.00. */
static void test_hoop_at_the_market(void **state)
{
	const struct price_line *l = line(*state, "Honesty hoop", "market");
	assert_hand(l->aim.c, 8.865418);
	assert_hand(l->aim.aim_net, 11.369273);
	assert_hand(l->aim.aim_paid, 13.529435);
	assert_near(l->aim.point, 14.00);
}

/* Online at 19.95, tax 19% in it: 16.764706 before tax.
 *   Parcel 16 x 16 x 6 cm = 1536 cm3 / 5000 = 0.3072 kg, more than the 60 g; 1.4 of
 *   them up to 1 kg: 5.40/1.4 = 3.857143.  Charged 6.90/1.4 = 4.928571, 4.141656 net.
 *   C = 7.296977/0.97 (7.522657) + 1.568441 + 3.857143 = 12.948241
 *   fee 0.065 x (19.95 + 4.928571) 1.617107 + 0.45/1.4 0.321429 = 1.938536
 *   left 16.764706 + 4.141656 - 1.938536 - 12.948241 = 6.019585
 *   an hour: (6.019585 + own work 2.994750/0.97 3.087371 + 0.665500)
 *            / (9/0.97 + 2 = 11.278351 min = 0.187973 h) = 51.988616 */
static void test_hoop_online(void **state)
{
	const struct price_line *l = line(*state, "Honesty hoop", "online");
	assert_true(l->asked);
	assert_hand(l->billed_grams, 1.4 * 307.2);
	assert_hand(l->at.net, 16.764706);
	assert_hand(l->at.fee, 1.938536);
	assert_hand(l->aim.c, 12.948241);
	assert_hand(l->at.profit, 6.019585);
	assert_hand(l->at.per_hour, 51.988616);
}

/* The dearest ticket loses money, everything else leaves some. */
static void test_only_the_swag_loses(void **state)
{
	const struct demo *d = *state;
	uint32_t swag = find(d, KIND_PIECE, "Driftwood swag");
	for (size_t i = 0; i < d->r.prices.n; i++) {
		const struct price_line *l = &d->r.prices.lines[i];
		assert_true(l->asked);
		assert_true((l->at.profit < 0) == (l->piece == swag));
	}
}

/* Crimson door drop, no order on it.  Stems for one, with the bench's share:
 *   5/0.96 = 5.208333 Eucalyptus.  60 and 40 counted, ten days: 60 x 0.99^0.328542 =
 *   59.802 and 39.868, whole 59 + 39 = 98.  18 take 93.75, so 94; 19 take 98.96, so
 *   99, one too many.
 *   4/0.93 = 4.301075 burgundy tassels: 22 would still do with 95 of 51 + 45 = 96;
 *   3/0.95 = 3.157895 cockscombs of 174: 55.
 * Eucalyptus stops it at 18; ten more would make 20 (104.17, so 105 of 108). */
static void test_door_drops(void **state)
{
	const struct demo *d = *state;
	const struct reach_piece *p = &d->r.reach.pieces[find(d, KIND_PIECE, "Crimson door drop")];
	assert_int_equal(p->state, REACH_FOUND);
	assert_int_equal(p->most, 18);
	assert_int_equal(p->nstops, 1);
	assert_int_equal(p->stops[0].index, find(d, KIND_CROP, "Eucalyptus"));
	assert_int_equal(p->more, 2);
}

/* Pod bunch: 12/0.96 = 12.5 poppy pods of 74 + 50 + 163 = 287: 22.96, so 22; ten more
 * make 297/12.5 = 23.76: one more.  Nigella 10/0.97 of 389 would do for 37. */
static void test_pod_bunches(void **state)
{
	const struct demo *d = *state;
	const struct reach_piece *p = &d->r.reach.pieces[find(d, KIND_PIECE, "Pod bunch")];
	assert_int_equal(p->most, 22);
	assert_int_equal(p->stops[0].index, find(d, KIND_CROP, "Poppy pods"));
	assert_int_equal(p->more, 1);
}

int main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(test_an_hour),
		cmocka_unit_test(test_ammobium_stem),
		cmocka_unit_test(test_sea_lavender_stem),
		cmocka_unit_test(test_honesty_hoop),
		cmocka_unit_test(test_hoop_at_the_market),
		cmocka_unit_test(test_hoop_online),
		cmocka_unit_test(test_only_the_swag_loses),
		cmocka_unit_test(test_door_drops),
		cmocka_unit_test(test_pod_bunches),
	};
	return cmocka_run_group_tests(tests, open_demo, close_demo);
}
