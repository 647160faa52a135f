/* test_mix.c - best mixes against trying everything, and against published optima. */
#include "reckon/mix.h"

#include <math.h>

#include "help_mix.h"

enum { FARMS = 2000 };

/* ---- reckoning a built farm ---- */

struct mixed {
	struct stock stock;
	struct stemcosts stems;
	struct costs costs;
	struct prices prices;
	struct mix mix;
};

static void reckon_mix(struct built *b, struct mixed *m, const char *on, const struct mix_options *o)
{
	stock_take(&m->stock, &b->farm, build_day(on), false, &b->arena, &b->remarks);
	stemcosts_reckon(&m->stems, &b->farm, &m->stock, &b->arena, &b->remarks);
	costs_reckon(&m->costs, &b->farm, &m->stems, &b->arena, &b->remarks);
	prices_reckon(&m->prices, &b->farm, &m->costs, &b->arena, &b->remarks);
	assert_int_equal(mix_reckon(&m->mix, &b->farm, &m->stock, &m->costs, &m->prices, o, &b->arena,
	                            &b->remarks, &b->diag), 0);
}

/* ---- generated farms ---- */

struct dice {
	uint64_t state;
};

static int roll(struct dice *d, int n) /* 0 .. n-1 */
{
	return (int)(build_random(&d->state) * n);
}

static bool chance(struct dice *d, double p)
{
	return build_random(&d->state) < p;
}

static uint32_t two_colours[2] = { 0, 1 };
static struct str colour_names[2];

static void dress_option(struct dice *d, struct need_option *o)
{
	if (o->item.kind != KIND_CROP)
		return;
	if (chance(d, 0.4)) {
		o->colours = two_colours + roll(d, 2);
		o->ncolours = o->colours == two_colours && chance(d, 0.5) ? 2 : 1;
		o->one_colour = o->ncolours == 2 && chance(d, 0.5);
	}
	if (chance(d, 0.3))
		o->from = 200;
}

static struct item any_item(struct built *b, struct dice *d, bool parts)
{
	int k = roll(d, 10);
	if (k < 2)
		return build_supply_item(b, &b->farm.supplies[0]);
	if (k < 5 && parts && b->farm.nparts)
		return build_part_item(b, &b->farm.parts[0]);
	return build_crop_item(b, &b->farm.crops[roll(d, (int)b->farm.ncrops)]);
}

static void any_need(struct built *b, struct dice *d, struct piece *piece, struct part *part)
{
	static const int64_t dens[] = { 1, 1, 1, 1, 2, 3 };
	struct item item = any_item(b, d, piece != NULL);
	int64_t den = item.kind == KIND_PART ? 1 : dens[roll(d, 6)];
	int64_t num = 1 + roll(d, item.kind == KIND_PART ? 2 : 4);
	struct need_option *o = piece ? build_piece_need(b, piece, item, num, den)
	                              : build_part_need(b, part, item, num, den);
	dress_option(d, o);
	if (chance(d, 0.3)) {
		struct need *need = piece ? &piece->needs[piece->nneeds - 1] : &part->needs[part->nneeds - 1];
		item = any_item(b, d, piece != NULL);
		dress_option(d, build_or(b, need, item, 1 + roll(d, 4), 1));
	}
}

static void any_stock(struct built *b, struct dice *d)
{
	for (size_t c = 0; c < b->farm.ncrops; c++) {
		int n = 1 + roll(d, 3);
		struct crop *crop = &b->farm.crops[c];
		if (chance(d, 0.5))
			crop->loss[STAGE_BENCH] = build_fig(chance(d, 0.5) ? 0.04 : 0.1);
		if (chance(d, 0.5))
			crop->loss[STAGE_STORAGE] = build_fig(0.06);
		if (chance(d, 0.15))
			crop->reserve = build_fig(1 + roll(d, 3));
		if (chance(d, 0.25)) {
			crop->carries = build_fig(0.5);
			crop->keeps = build_fig(14);
		}
		for (int i = 0; i < n; i++) {
			struct box *box = build_box(b, "x", build_crop_item(b, crop), 2 + roll(d, 9),
			                            chance(d, 0.5) ? "2026-09-20" : "2026-11-01",
			                            chance(d, 0.7) ? "2026-11-20" : "2026-10-01");
			if (box->boxed > box->counted)
				box->boxed = box->counted;
			box->colour = chance(d, 0.8) ? (uint32_t)roll(d, 2) : NONE;
			box->length = chance(d, 0.5) ? 250 : chance(d, 0.5) ? 150 : 0;
		}
	}
	if (chance(d, 0.5))
		build_box(b, "s", build_supply_item(b, &b->farm.supplies[0]), roll(d, 5), NULL, "2026-11-20");
	if (b->farm.nparts && chance(d, 0.5))
		build_box(b, "p", build_part_item(b, &b->farm.parts[0]), roll(d, 4), NULL, "2026-11-20");
	if (chance(d, 0.3))
		build_box(b, "f", build_piece_item(b, &b->farm.pieces[0]), 1 + roll(d, 2), NULL, "2026-11-20");
}

static void any_offers(struct built *b, struct dice *d)
{
	for (size_t p = 0; p < b->farm.npieces; p++) {
		struct piece *piece = &b->farm.pieces[p];
		for (size_t i = 0; i < b->farm.noutlets; i++) {
			if (i > 0 && chance(d, 0.4))
				continue;
			struct offer *o = build_offer(b, piece, &b->farm.outlets[i], 6 + roll(d, 40) * 0.75);
			int likely = roll(d, 3);
			if (chance(d, 0.8))
				o->likely = build_fig(likely);
			if (!o->likely.given || chance(d, 0.6))
				o->upto = build_fig(likely + roll(d, 3));
		}
		piece->packing = build_fig(60 * roll(d, 4));
		piece->carton = build_fig(0.25 * roll(d, 4));
	}
}

static void any_farm(struct built *b, struct dice *d)
{
	build_start(b);
	b->farm.colours = colour_names;
	b->farm.colour_folds = colour_names;
	b->farm.ncolours = 2;
	b->farm.business.wage = build_fig(12);
	if (chance(d, 0.5)) {
		b->farm.business.bench_hours = build_fig(0.5 + 0.25 * roll(d, 8));
		b->farm.business.bench_until = build_day("2026-12-12");
	}
	build_supply(b, "Ring", 0.4 + 0.2 * roll(d, 5));
	build_crop(b, "Statice");
	if (chance(d, 0.6))
		build_crop(b, "Yarrow");
	if (chance(d, 0.4)) {
		struct part *part = build_part(b, "Tuft");
		part->makes = (struct rat){ 1 + roll(d, 2), 1 };
		any_need(b, d, NULL, part);
		build_part_task(b, part, 60 * roll(d, 5), 0);
		if (chance(d, 0.4))
			build_part_task(b, part, 300, 1 + roll(d, 3));
	}
	int npieces = 1 + roll(d, 3);
	for (int i = 0; i < npieces; i++) {
		struct piece *piece = build_piece(b, "Wreath");
		int needs = 1 + roll(d, 2);
		for (int k = 0; k < needs; k++)
			any_need(b, d, piece, NULL);
		build_piece_task(b, piece, 300 + 300 * roll(d, 4), 0);
		if (chance(d, 0.4))
			build_piece_task(b, piece, 600, 1 + roll(d, 3));
	}
	struct outlet *shop = build_outlet(b, "shop");
	shop->fee = build_fig(0.05);
	shop->tax = build_fig(0.19);
	if (chance(d, 0.4))
		shop->spoils = build_fig(0.03);
	if (chance(d, 0.4)) {
		struct outlet *market = build_outlet(b, "market");
		market->stall = build_fig(1 + roll(d, 10));
		market->stall_hours = build_fig(roll(d, 2) * 0.25);
		market->stall_days = build_fig(1 + roll(d, 2));
	}
	any_stock(b, d);
	any_offers(b, d);
	if (chance(d, 0.3)) {
		struct order *o = build_order(b, &b->farm.pieces[0], 1, NULL);
		o->due = chance(d, 0.5) ? build_day("2026-12-05") : chance(d, 0.5) ? build_day("2027-01-20") : DAY_NONE;
		o->price = 20;
	}
	build_done(b);
}

static void one_farm(uint64_t seed, long *met, long *unmet)
{
	struct built b;
	struct mixed m;
	struct tried t;
	struct dice d = { seed };
	any_farm(&b, &d);
	struct mix_options o = { .to_the_end = true, .nodes = 20000, .own_labour = chance(&d, 0.3),
		                 .no_buying = chance(&d, 0.2) };
	struct try_options to = { o.own_labour, o.no_buying, 0, NONE };
	reckon_mix(&b, &m, "2026-11-25", &o);
	try_all(&t, &b.farm, &m.stock, &to);
	bool short_ = m.mix.nshorts > 0;
	if (t.any == short_ || (t.any && !help_is_near(m.mix.value, t.best, 1e-7, 1e-6)) ||
	    (t.any && m.mix.state != MIX_PROVEN))
		print_message("seed %llu: found %.9g (state %d, bound %.9g, %zu short), tried %.9g (%d)\n",
		              (unsigned long long)seed, m.mix.value, (int)m.mix.state, m.mix.bound,
		              m.mix.nshorts, t.best, (int)t.any);
	if (t.any) {
		assert_near_by(m.mix.value, t.best, 1e-7, 1e-6);
		assert_int_equal(m.mix.state, MIX_PROVEN);
		++*met;
	} else {
		++*unmet;
	}
	assert_int_equal(short_, !t.any);
	build_end(&b);
}

static void generated_farms(void **state)
{
	long met = 0, unmet = 0;
	(void)state;
	for (uint64_t seed = 1; seed <= FARMS; seed++)
		one_farm(seed * 7919, &met, &unmet);
	/* The generator makes what it is there for. */
	assert_true(met > FARMS / 2);
	assert_true(unmet > 10);
}

int main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(generated_farms),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
