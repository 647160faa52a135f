/* test_mix.c - best mixes against trying everything, and by single rules; published optima
 * are in tests/published. */
#include "reckon/mix.h"

#include <math.h>

#include "help_mix.h"
#include "help_pull.h"

enum { FARMS = 2000 };

/* ---- reckoning a built farm ---- */

struct mixed {
	struct stock stock;
	struct stemcosts stems;
	struct costs costs;
	struct prices prices;
	struct mix mix;
};

static void reckon_mix(struct built *b, struct mixed *m, const char *on,
		       const struct mix_options *o)
{
	stock_take(&m->stock, &b->farm, build_day(on), false, NULL, &b->arena, &b->remarks);
	stemcosts_reckon(&m->stems, &b->farm, &m->stock, &b->arena, &b->remarks);
	costs_reckon(&m->costs, &b->farm, &m->stems, &b->arena, &b->remarks);
	prices_reckon(&m->prices, &b->farm, &m->costs, &b->arena, &b->remarks);
	assert_int_equal(mix_reckon(&m->mix, &b->farm, &m->stock, &m->costs, &m->prices, o,
				    &b->arena, &b->remarks, &b->diag),
			 0);
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
		struct need *need =
		    piece ? &piece->needs[piece->nneeds - 1] : &part->needs[part->nneeds - 1];
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
			struct box *box =
			    build_box(b, "x", build_crop_item(b, crop), 2 + roll(d, 9),
				      chance(d, 0.5) ? "2026-09-20" : "2026-11-01",
				      chance(d, 0.7) ? "2026-11-20" : "2026-10-01");
			if (box->boxed > box->counted)
				box->boxed = box->counted;
			box->colour = chance(d, 0.8) ? (uint32_t)roll(d, 2) : NONE;
			box->length = chance(d, 0.5) ? 250 : chance(d, 0.5) ? 150 : 0;
		}
	}
	if (chance(d, 0.5))
		build_box(b, "s", build_supply_item(b, &b->farm.supplies[0]), roll(d, 5), NULL,
			  "2026-11-20");
	if (b->farm.nparts && chance(d, 0.5))
		build_box(b, "p", build_part_item(b, &b->farm.parts[0]), roll(d, 4), NULL,
			  "2026-11-20");
	if (chance(d, 0.3))
		build_box(b, "f", build_piece_item(b, &b->farm.pieces[0]), 1 + roll(d, 2), NULL,
			  "2026-11-20");
}

enum kind_of_farm {
	ANY,
	SETTINGS, /* plenty of all; only setting up makes one mix better than another */
	STALLS    /* every piece sells at a stall, likely so many, up to more */
};

static void any_offers(struct built *b, struct dice *d, enum kind_of_farm kind)
{
	for (size_t p = 0; p < b->farm.npieces; p++) {
		struct piece *piece = &b->farm.pieces[p];
		for (size_t i = 0; i < b->farm.noutlets; i++) {
			if (i > 0 && chance(d, 0.4) && kind != STALLS)
				continue;
			struct offer *o =
			    build_offer(b, piece, &b->farm.outlets[i], 6 + roll(d, 40) * 0.75);
			int likely = roll(d, 3);
			if (chance(d, 0.8))
				o->likely = build_fig(likely);
			if (!o->likely.given || chance(d, 0.6))
				o->upto = build_fig(likely + roll(d, 3));
			if (kind == STALLS && i > 0) {
				o->likely = build_fig(likely);
				o->upto = build_fig(likely + 1 + roll(d, 2));
			}
		}
		piece->packing = build_fig(60 * roll(d, 4));
		piece->carton = build_fig(0.25 * roll(d, 4));
	}
}

/* Hours go into settings alone, and stems, rings and colours never run out. */
static void settings_farm(struct built *b, struct dice *d)
{
	build_start(b);
	b->farm.business.wage = build_fig(chance(d, 0.5) ? 12 : 0);
	b->farm.business.bench_hours = build_fig(0.5 + 0.25 * roll(d, 6));
	struct crop *crop = build_crop(b, "Statice");
	build_box(b, "x", build_crop_item(b, crop), 500, "2026-09-20", "2026-11-20");
	struct outlet *shop = build_outlet(b, "shop");
	int npieces = 2 + roll(d, 2);
	for (int i = 0; i < npieces; i++) {
		struct piece *piece = build_piece(b, "Wreath");
		build_piece_need(b, piece, build_crop_item(b, crop), 1 + roll(d, 4), 1);
		build_piece_task(b, piece, 300 + 300 * roll(d, 5), 2 + roll(d, 3));
		build_offer(b, piece, shop, 6 + roll(d, 40) * 0.75)->likely =
		    build_fig(3 + roll(d, 5));
	}
	build_done(b);
}

static void any_farm(struct built *b, struct dice *d, enum kind_of_farm kind)
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
	int npieces = 1 + roll(d, kind == STALLS ? 2 : 3);
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
	if (chance(d, 0.4) || kind == STALLS) {
		struct outlet *market = build_outlet(b, "market");
		market->stall = build_fig(1 + roll(d, 10));
		market->stall_hours = build_fig(roll(d, 2) * 0.25);
		market->stall_days = build_fig(1 + roll(d, 2));
	}
	any_stock(b, d);
	any_offers(b, d, kind);
	if (chance(d, 0.3)) {
		struct order *o = build_order(b, &b->farm.pieces[0], 1, NULL);
		o->due = chance(d, 0.5)   ? build_day("2026-12-05")
			 : chance(d, 0.5) ? build_day("2027-01-20")
					  : DAY_NONE;
		o->price = 20;
	}
	build_done(b);
}

/* However the search is cut short, no mix earns more than the bound, what was found can
 * be made, and what is called proven is within the gap. */
static void is_honest(struct built *b, const struct mix_options *o, double best, uint64_t seed)
{
	static const struct {
		double gap;
		long nodes;
		bool by_hand, stopped;
	} ways[] = { { 0, 0, false, false },
		     { 0.05, 0, false, false },
		     { 0.3, 1, false, false },
		     { 0, 0, true, false },
		     { 0, 0, false, true } };
	volatile sig_atomic_t stop = 1;
	size_t i = seed % (sizeof ways / sizeof *ways);
	struct mixed m;
	struct mix_options cut = *o;
	cut.to_the_end = false;
	cut.gap = ways[i].gap;
	cut.nodes = ways[i].nodes;
	cut.by_hand = ways[i].by_hand;
	cut.stop = ways[i].stopped ? &stop : NULL;
	reckon_mix(b, &m, "2026-11-25", &cut);
	double slack = 1e-6 * fmax(1, fabs(best)), gap = cut.gap > 0 ? cut.gap : MIX_GAP;
	bool honest = m.mix.state != MIX_NOTHING && m.mix.value <= best + slack &&
		      m.mix.bound >= best - slack &&
		      (m.mix.state == MIX_LIMITED ||
		       best - m.mix.value <= gap * fmax(fabs(m.mix.value), 0.01) + slack);
	if (!honest)
		print_message("seed %llu, way %zu: found %.9g, bound %.9g, best %.9g\n",
			      (unsigned long long)seed, i, m.mix.value, m.mix.bound, best);
	assert_true(honest);
}

/* What was found can be pulled from the boxes, met or not. */
static void can_be_pulled(struct built *b, struct mixed *m, const struct mix_options *o)
{
	struct pull pull;
	bool reserve = false;
	for (size_t i = 0; i < b->farm.ncrops; i++)
		reserve = reserve || b->farm.crops[i].reserve.v > 0;
	assert_int_equal(pull_mix(&pull, &b->farm, &m->stock, &m->mix, o, &b->arena, &b->diag), 0);
	help_check_pull_mix(&b->farm, &pull, &m->mix, o->no_buying, 0, reserve);
}

struct tally {
	long farms, met, unmet;
	long loose;   /* met; the relaxation promises more than the best mix brings */
	long rounded; /* met; the relaxation rounded is not the best */
};

/* Of a farm of settings with shares of settings instead of whole ones, the dearest of an
 * hour first; rounded down.  -INFINITY: whole settings do not fit into the hours. */
static double shares_rounded(const struct farm *f, bool own_labour)
{
	double wage = own_labour ? 0 : f->business.wage.v / 3600, value = 0, busy = 0;
	double left = f->business.bench_hours.v * 3600;
	bool done[8] = { false };
	for (size_t turn = 0; turn < f->npieces; turn++) {
		const struct piece *p = NULL;
		double best = 0;
		for (size_t i = 0; i < f->npieces; i++) {
			const struct piece *q = &f->pieces[i];
			double by = q->offers[0].price.v * q->tasks[0].batch.v / q->tasks[0].seconds.v;
			if (!done[i] && by > best && by > wage) {
				best = by;
				p = q;
			}
		}
		if (!p)
			break;
		done[p - f->pieces] = true;
		double each = p->tasks[0].seconds.v / p->tasks[0].batch.v;
		double most = fmin(p->offers[0].likely.v, left / each);
		left -= most * each;
		double n = floor(most + 1e-9);
		double setting = ceil(n / p->tasks[0].batch.v) * p->tasks[0].seconds.v;
		busy += setting;
		value += n * p->offers[0].price.v - setting * wage;
	}
	return busy <= f->business.bench_hours.v * 3600 ? value : -(double)INFINITY;
}

static void compare_rounding(struct built *b, enum kind_of_farm kind, const struct mix_options *o,
			     double best, struct tally *t)
{
	struct mixed m;
	struct mix_options by_hand = *o;
	double slack = 1e-6 * fmax(1, fabs(best));
	by_hand.by_hand = true;
	reckon_mix(b, &m, HELP_PULL_DAY, &by_hand);
	assert_true(m.mix.bound >= best - slack && m.mix.value <= best + slack);
	t->loose += m.mix.bound > best + slack;
	double rounded = kind == SETTINGS ? shares_rounded(&b->farm, o->own_labour) : m.mix.value;
	assert_true(rounded <= best + slack);
	t->rounded += rounded < best - slack;
}

static void one_farm(uint64_t seed, enum kind_of_farm kind, struct tally *tally)
{
	struct built b;
	struct mixed m;
	struct tried t;
	struct dice d = { seed };
	if (kind == SETTINGS)
		settings_farm(&b, &d);
	else
		any_farm(&b, &d, kind);
	struct mix_options o = { .to_the_end = true,
				 .nodes = 20000,
				 .own_labour = chance(&d, 0.3),
				 .no_buying = chance(&d, 0.2) };
	struct try_options to = { o.own_labour, o.no_buying, 0, NONE };
	reckon_mix(&b, &m, HELP_PULL_DAY, &o);
	try_all(&t, &b.farm, &m.stock, &to);
	bool short_ = m.mix.nshorts > 0;
	if (t.any == short_ || (t.any && !help_is_near(m.mix.value, t.best, 1e-7, 1e-6)) ||
	    (t.any && m.mix.state != MIX_PROVEN))
		print_message(
		    "seed %llu: found %.9g (state %d, bound %.9g, %zu short), tried %.9g (%d)\n",
		    (unsigned long long)seed, m.mix.value, (int)m.mix.state, m.mix.bound,
		    m.mix.nshorts, t.best, (int)t.any);
	can_be_pulled(&b, &m, &o);
	tally->farms++;
	if (t.any) {
		assert_near_by(m.mix.value, t.best, 1e-7, 1e-6);
		assert_int_equal(m.mix.state, MIX_PROVEN);
		is_honest(&b, &o, t.best, seed);
		if (kind != ANY)
			compare_rounding(&b, kind, &o, t.best, tally);
		tally->met++;
	} else {
		tally->unmet++;
	}
	assert_int_equal(short_, !t.any);
	build_end(&b);
}

static void generated_farms(void **state)
{
	struct tally t[3] = { 0 };
	(void)state;
	for (uint64_t seed = 1; seed <= FARMS; seed++) {
		enum kind_of_farm kind = seed % 10 == 0 ? SETTINGS : seed % 10 == 5 ? STALLS : ANY;
		one_farm(seed * 7919, kind, &t[kind]);
	}
	/* The generator makes what it is there for. */
	assert_true(t[SETTINGS].rounded > FARMS / 40);
	assert_true(t[ANY].met > FARMS / 2);
	assert_true(t[ANY].unmet > 10);
	for (int kind = SETTINGS; kind <= STALLS; kind++) {
		print_message("%ld farms: %ld met, %ld that the sharpened relaxation promises too much of, %ld "
			      "where rounding it is not best\n",
			      t[kind].farms, t[kind].met, t[kind].loose, t[kind].rounded);
		assert_true(t[kind].met > FARMS / 20);
	}
	for (int kind = SETTINGS; kind <= STALLS; kind++) {
		assert_true(t[kind].loose > 0); /* though it is sharpened by cuts */
		assert_true(t[kind].rounded > 0);
	}
}

/* ---- single rules ---- */

static int64_t count_of(const struct mix *m, uint32_t piece)
{
	int64_t n = 0;
	for (size_t i = 0; i < m->nlines; i++)
		n += m->lines[i].piece == piece ? m->lines[i].count : 0;
	return n;
}

struct wreath { /* 10 stems each at 20; 15 stems, bunches of 10 */
	struct built b;
	struct crop *crop;
	struct piece *piece;
	struct outlet *shop;
};

static void wreath_start(struct wreath *w, double stems)
{
	build_start(&w->b);
	w->crop = build_crop(&w->b, "Statice");
	w->piece = build_piece(&w->b, "Wreath");
	w->shop = build_outlet(&w->b, "shop");
	build_piece_need(&w->b, w->piece, build_crop_item(&w->b, w->crop), 10, 1);
	build_offer(&w->b, w->piece, w->shop, 20);
	build_box(&w->b, "b", build_crop_item(&w->b, w->crop), stems, "2026-10-01", "2026-11-25");
}

static const struct mix_options to_the_end = { .to_the_end = true };

/* Likely 2, up to 5: the third sells with 3/4, the fourth with 1/2: 20 x 1/2 < 12. */
static void the_last_ones_earn_their_risk(void **state)
{
	struct wreath w;
	struct mixed m;
	(void)state;
	wreath_start(&w, 1000);
	struct supply *ring = build_supply(&w.b, "Ring", 12);
	build_piece_need(&w.b, w.piece, build_supply_item(&w.b, ring), 1, 1);
	w.piece->offers[0].likely = build_fig(2);
	w.piece->offers[0].upto = build_fig(5);
	build_done(&w.b);
	reckon_mix(&w.b, &m, "2026-11-25", &to_the_end);
	assert_int_equal(count_of(&m.mix, 0), 3);
	assert_near(m.mix.value, 2 * 8 + 15 - 12);
	assert_near(m.mix.lines[0].sold, 2.75);
	assert_near(m.mix.profit, 55 - 36);
	assert_int_equal(m.mix.nbuys, 1);
	assert_near(m.mix.buys[0].buy, 3);
	assert_near(m.mix.buys[0].money, 36);
	build_end(&w.b);
}

static bool remarked(const struct built *b, const char *part)
{
	for (size_t i = 0; i < b->remarks.n; i++)
		if (strstr(b->remarks.items[i].text, part))
			return true;
	return false;
}

/* Of up to 6, likely 4, five are sold: one more may be, none surely.  What was sold more than a year
 * ago, elsewhere, or was struck is no matter. */
static void what_is_sold_already_is_said(void **state)
{
	(void)state;
	static const struct {
		const char *on;
		double count;
		bool elsewhere;
	} sold[] = { { "2025-11-20", 50, false }, { "2026-11-07", 2, false }, { "2026-11-21", 3, false },
		     { "2026-11-22", 9, true },	  { "2026-11-26", 7, false } };
	struct log_entry log[6];
	struct wreath w;
	struct mixed m;
	wreath_start(&w, 1000);
	w.piece->offers[0].likely = build_fig(4);
	w.piece->offers[0].upto = build_fig(6);
	for (size_t i = 0; i < COUNT(sold); i++)
		log[i] = (struct log_entry){ .on = build_day(sold[i].on),
					     .event = EVENT_SOLD,
					     .item = build_piece_item(&w.b, w.piece),
					     .count = sold[i].count,
					     .outlet = sold[i].elsewhere ? NONE : 0 };
	build_done(&w.b);
	w.b.farm.log = log;
	w.b.farm.nlog = COUNT(sold);
	reckon_mix(&w.b, &m, "2026-11-25", &to_the_end);
	assert_true(remarked(&w.b, "sold at shop since 2026-11-07"));
	assert_true(remarked(&w.b, ": 5 Wreath."));
	assert_true(remarked(&w.b, "\"Wreath shop likely = 0\""));
	assert_true(remarked(&w.b, "\"Wreath shop up to = 1\""));
	build_end(&w.b);
}

/* 3 of 8 rings at 2 are to be bought, the wage is 10 and a wreath takes half an hour.  With an order of
 * 2: six wreaths for the shop bear 6/8 of 6 and of 40, the order the rest. */
static void what_each_earns_adds_up(void **state)
{
	(void)state;
	struct wreath w;
	struct mixed m;
	wreath_start(&w, 1000);
	w.b.farm.business.wage = build_fig(10);
	build_piece_task(&w.b, w.piece, 1800, 0);
	struct supply *ring = build_supply(&w.b, "Ring", 2);
	build_piece_need(&w.b, w.piece, build_supply_item(&w.b, ring), 1, 1);
	build_box(&w.b, "rings", build_supply_item(&w.b, ring), 5, NULL, "2026-11-25");
	w.piece->offers[0].upto = build_fig(6);
	build_order(&w.b, w.piece, 2, NULL)->price = 30;
	build_done(&w.b);
	reckon_mix(&w.b, &m, "2026-11-25", &to_the_end);
	assert_int_equal(count_of(&m.mix, 0), 6);
	assert_near(m.mix.value, 6 * 20 + 2 * 30 - 3 * 2 - 8 * 5);
	assert_near(m.mix.lines[0].contribution, 20 - 6.0 / 8 - 5);
	build_end(&w.b);
}

/* Two of three days: two thirds of the curve.  A day costs 35, a wreath leaves 20; 2 a day. */
static void a_stall_is_gone_to_when_it_pays(void **state)
{
	struct wreath w;
	struct mixed m;
	(void)state;
	wreath_start(&w, 40); /* four wreaths: two days */
	w.shop->stall = build_fig(35);
	w.shop->stall_days = build_fig(3);
	w.piece->offers[0].upto = build_fig(6);
	build_done(&w.b);
	reckon_mix(&w.b, &m, "2026-11-25", &to_the_end);
	assert_int_equal(m.mix.nstalls, 1);
	assert_int_equal(m.mix.stalls[0].days, 2);
	assert_int_equal(count_of(&m.mix, 0), 4);
	assert_near_by(m.mix.value, 80 - 70, 1e-9, 1e-7); /* thirds of a price are rounded */
	w.shop->stall = build_fig(41);
	reckon_mix(&w.b, &m, "2026-11-25", &to_the_end);
	assert_int_equal(m.mix.stalls[0].days, 0);
	assert_near(m.mix.value, 0);
	build_end(&w.b);
}

/* On one of two days the steps are half as wide: 1.5 sell surely, the halves of the next
 * three with 3/4, 1/2 and 1/4.  The sixth of the season, 5 for a ring of 6, never pays, but
 * the third of the day has half of that step and half of the better one: 7.50. */
static void a_day_may_take_of_a_step_that_no_piece_fills(void **state)
{
	struct wreath w;
	struct mixed m;
	(void)state;
	wreath_start(&w, 30);
	struct supply *ring = build_supply(&w.b, "Ring", 6);
	build_piece_need(&w.b, w.piece, build_supply_item(&w.b, ring), 1, 1);
	w.shop->stall = build_fig(20);
	w.shop->stall_days = build_fig(2);
	w.piece->offers[0].likely = build_fig(3);
	w.piece->offers[0].upto = build_fig(6);
	build_done(&w.b);
	reckon_mix(&w.b, &m, "2026-11-25", &to_the_end);
	assert_int_equal(m.mix.stalls[0].days, 1);
	assert_int_equal(count_of(&m.mix, 0), 3);
	assert_near_by(m.mix.value, 2.25 * 20 - 3 * 6 - 20, 1e-9, 1e-7);
	build_end(&w.b);
}

static void finished_pieces_are_sold_first(void **state)
{
	struct wreath w;
	struct mixed m;
	(void)state;
	wreath_start(&w, 15);
	build_piece_task(&w.b, w.piece, 3600, 0);
	w.b.farm.business.wage = build_fig(5);
	build_box(&w.b, "f", build_piece_item(&w.b, w.piece), 2, NULL, "2026-11-25");
	build_done(&w.b);
	reckon_mix(&w.b, &m, "2026-11-25", &to_the_end);
	assert_int_equal(count_of(&m.mix, 0), 3);
	assert_int_equal(m.mix.lines[0].finished, 2);
	assert_near(m.mix.value, 60 - 5);
	assert_int_equal(m.mix.nleft, 1);
	assert_int_equal(m.mix.left[0].left, 5);
	/* Three at 20, each with an hour of 5 at full cost; stems have no cost here. */
	assert_near(m.mix.profit, 60 - 15);
	build_end(&w.b);
}

/* Five promised, seventeen stems: one is made, four are short of 33 stems. */
static void orders_that_cannot_be_met(void **state)
{
	struct wreath w;
	struct mixed m;
	(void)state;
	wreath_start(&w, 17);
	build_order(&w.b, w.piece, 5, NULL)->price = 30;
	build_done(&w.b);
	reckon_mix(&w.b, &m, "2026-11-25", &to_the_end);
	assert_int_equal(m.mix.nshorts, 1);
	assert_int_equal(m.mix.shorts[0].count, 4);
	assert_int_equal(m.mix.nlacks, 1);
	assert_int_equal(m.mix.lacks[0].item.kind, KIND_CROP);
	assert_near(m.mix.lacks[0].count, 33);
	assert_int_equal(m.mix.state, MIX_PROVEN);
	assert_near(m.mix.value, 30);
	build_end(&w.b);
}

static void orders_may_lack_hours(void **state)
{
	struct wreath w;
	struct mixed m;
	(void)state;
	wreath_start(&w, 100);
	build_piece_task(&w.b, w.piece, 3600, 0);
	w.b.farm.business.bench_hours = build_fig(2.5);
	build_order(&w.b, w.piece, 4, NULL)->price = 30;
	build_done(&w.b);
	reckon_mix(&w.b, &m, "2026-11-25", &to_the_end);
	assert_int_equal(m.mix.nshorts, 1);
	assert_int_equal(m.mix.shorts[0].count, 2);
	assert_int_equal(m.mix.nlacks, 1);
	assert_near_by(m.mix.lacks[0].hours, 1.5, 1e-6, 1e-6);
	assert_near(m.mix.hours, 2);
	build_end(&w.b);
}

/* Two wreaths lie finished for an order: an hour to pack them leaves 2 of 3 h, for two more wreaths of
 * half an hour each with their packing. */
static void packing_of_finished_orders_takes_hours(void **state)
{
	(void)state;
	for (int limit = 0; limit < 3; limit++) {
		struct wreath w;
		struct mixed m;
		wreath_start(&w, 1000);
		build_piece_task(&w.b, w.piece, 1800, 0);
		w.piece->packing = build_fig(1800);
		if (limit)
			w.b.farm.business.bench_hours = build_fig(limit == 1 ? 3 : 0.5);
		else
			w.piece->offers[0].upto = build_fig(5);
		build_box(&w.b, "shelf", build_piece_item(&w.b, w.piece), 2, NULL, "2026-11-25");
		build_order(&w.b, w.piece, 2, NULL)->price = 30;
		build_done(&w.b);
		reckon_mix(&w.b, &m, "2026-11-25", &to_the_end);
		assert_int_equal(m.mix.nlines, limit < 2);
		assert_near(m.mix.hours, limit == 1 ? 3 : limit ? 1 : 1 + 5);
		if (limit)
			assert_near(m.mix.hours_most, limit == 1 ? 3 : 0.5);
		if (limit == 1)
			assert_int_equal(m.mix.lines[0].count, 2);
		build_end(&w.b);
	}
}

static void one_more_bunch(void **state)
{
	struct wreath w;
	struct mixed m;
	struct mix_worths worths;
	(void)state;
	wreath_start(&w, 15);
	w.crop->loss[STAGE_FIELD] = build_fig(0.1);
	w.crop->loss[STAGE_DRYING] = build_fig(0.2);
	w.crop->fresh_price = build_fig(0.9);
	w.b.farm.business.bench_hours = build_fig(100);
	build_done(&w.b);
	reckon_mix(&w.b, &m, "2026-11-25", &to_the_end);
	assert_near(m.mix.value, 20);
	assert_int_equal(mix_worth(&worths, &m.mix, &w.b.farm, &m.stock, &m.costs, &m.prices,
				   &to_the_end, &w.b.arena, &w.b.diag),
			 0);
	assert_int_equal(worths.n, 2);
	assert_false(worths.items[0].hour);
	assert_near(worths.items[0].one_low, 20);
	assert_near(worths.items[0].one_high, 20);
	assert_near(worths.items[0].five_low, 100);
	assert_near(worths.items[0].per_fresh, 2 * 0.9 * 0.8);
	assert_near(worths.items[0].fresh, 0.9);
	assert_true(worths.items[1].hour);
	assert_near(worths.items[1].five_high, 0);
	build_end(&w.b);
}

static void an_hour_is_worth_a_wreath(void **state)
{
	struct wreath w;
	struct mixed m;
	struct mix_worths worths;
	(void)state;
	wreath_start(&w, 1000);
	build_piece_task(&w.b, w.piece, 1800, 0);
	w.b.farm.business.bench_hours = build_fig(3);
	build_done(&w.b);
	reckon_mix(&w.b, &m, "2026-11-25", &to_the_end);
	assert_near(m.mix.value, 120);
	assert_true(m.mix.nbinding == 1 && m.mix.binding[0].hours);
	assert_int_equal(mix_worth(&worths, &m.mix, &w.b.farm, &m.stock, &m.costs, &m.prices,
				   &to_the_end, &w.b.arena, &w.b.diag),
			 0);
	assert_true(worths.items[0].hour);
	assert_near(worths.items[0].one_low, 40);
	assert_near(worths.items[0].five_low, 200);
	build_end(&w.b);
}

static void options_reserve_exclude_and_hours(void **state)
{
	struct wreath w;
	struct mixed m;
	const struct mix_reserve keep = { 0, 16 };
	const uint32_t none = 0;
	(void)state;
	wreath_start(&w, 45);
	build_piece_task(&w.b, w.piece, 3600, 0);
	build_done(&w.b);
	reckon_mix(&w.b, &m, "2026-11-25", &to_the_end);
	assert_int_equal(count_of(&m.mix, 0), 4);
	reckon_mix(&w.b, &m, "2026-11-25",
		   &(struct mix_options){ .to_the_end = true, .reserves = &keep, .nreserves = 1 });
	assert_int_equal(count_of(&m.mix, 0), 2);
	reckon_mix(&w.b, &m, "2026-11-25",
		   &(struct mix_options){ .to_the_end = true, .has_hours = true, .hours = 3.5 });
	assert_int_equal(count_of(&m.mix, 0), 3);
	reckon_mix(&w.b, &m, "2026-11-25",
		   &(struct mix_options){ .to_the_end = true, .excluded = &none, .nexcluded = 1 });
	assert_int_equal(m.mix.nlines, 0);
	assert_near(m.mix.value, 0);
	build_end(&w.b);
}

/* Ten stems carried into next season at 3 each are worth more than a wreath at 20. */
static void stems_that_keep_may_be_kept(void **state)
{
	struct wreath w;
	struct mixed m;
	(void)state;
	wreath_start(&w, 10);
	w.crop->carries = build_fig(3);
	w.crop->keeps = build_fig(20);
	build_done(&w.b);
	reckon_mix(&w.b, &m, "2026-11-25", &to_the_end);
	assert_int_equal(m.mix.nlines, 0);
	assert_near(m.mix.left[0].carried, 30);
	assert_near(m.mix.profit, 0);
	reckon_mix(&w.b, &m, "2026-11-25",
		   &(struct mix_options){ .to_the_end = true, .without_carries = true });
	assert_int_equal(count_of(&m.mix, 0), 1);
	w.crop->keeps = build_fig(13); /* boxed in October: too old by then */
	reckon_mix(&w.b, &m, "2026-11-25", &to_the_end);
	assert_int_equal(count_of(&m.mix, 0), 1);
	build_end(&w.b);
}

/* All that is there next season has its keep value, reserved or of no use to a piece: the
 * whole stems of the day, docs/reckoning.md.  60 counted two months ago, a tenth lost a
 * month: 60 x 0.9^(61/30.4375) = 48.58, so 48. */
static void stems_that_stay_have_their_keep_value(void **state)
{
	struct wreath w;
	struct mixed m;
	(void)state;
	wreath_start(&w, 60);
	struct box *other = build_box(&w.b, "o", build_crop_item(&w.b, w.crop), 7, "2026-09-25",
				      "2026-11-25");
	struct mix_reserve keep = { 0, 25 };
	w.b.farm.ncolours = 1;
	w.b.farm.colours = ARENA_ARRAY(&w.b.arena, 1, struct str);
	w.b.farm.colours[0] = STR("rust");
	w.crop->carries = build_fig(0.5);
	w.b.farm.boxes[0].counted = build_day("2026-09-25");
	w.b.farm.boxes[0].boxed = build_day("2026-09-25");
	w.b.farm.boxes[0].colour = 0; /* the other says no colour and fits nothing */
	other->colour = NONE;
	w.piece->needs[0].options[0].colours = ARENA_ARRAY(&w.b.arena, 1, uint32_t);
	w.piece->needs[0].options[0].ncolours = 1;
	w.crop->loss[STAGE_STORAGE] = build_fig(0.1);
	build_done(&w.b);
	struct mix_options o = { .to_the_end = true };
	for (int i = 0; i < 2; i++) {
		reckon_mix(&w.b, &m, "2026-11-25", &o);
		assert_int_equal(m.mix.nleft, 1);
		assert_int_equal(m.mix.left[0].usable, 48 + 7);
		assert_int_equal(m.mix.left[0].used, i ? 30 : 40);
		assert_near(m.mix.left[0].carried, (i ? 25 : 15) * 0.5);
		o.reserves = &keep;
		o.nreserves = 1;
	}
	build_end(&w.b);
}

static void what_nothing_limits_is_named(void **state)
{
	struct wreath w;
	struct mixed m;
	(void)state;
	wreath_start(&w, 20);
	struct piece *bow = build_piece(&w.b, "Bow");
	build_offer(&w.b, bow, w.shop, 5);
	build_done(&w.b);
	reckon_mix(&w.b, &m, "2026-11-25", &to_the_end);
	assert_int_equal(m.mix.nendless, 1);
	assert_int_equal(m.mix.endless[0], 1);
	assert_near(m.mix.value, 40);
	build_end(&w.b);
}

/* ---- limits ---- */

struct heard {
	long calls;
	double bound;
	volatile sig_atomic_t *stop; /* set when first called */
};

static void hear(void *context, const struct mix_progress *p)
{
	struct heard *h = context;
	h->calls++;
	h->bound = p->bound;
	if (h->stop)
		*h->stop = 1;
}

/* Forty 0/1 pieces of one crop: the relaxation alone does not prove it. */
static void hard_farm(struct built *b)
{
	struct dice d = { 77 };
	build_start(b);
	struct outlet *shop = build_outlet(b, "shop");
	for (int i = 0; i < 4; i++) {
		struct crop *c = build_crop(b, "Crop");
		build_box(b, "b", build_crop_item(b, c), 301, "2026-10-01", "2026-11-25");
	}
	for (int i = 0; i < 40; i++) {
		struct piece *p = build_piece(b, "Piece");
		for (int k = 0; k < 4; k++)
			build_piece_need(b, p, build_crop_item(b, &b->farm.crops[k]),
					 10 + roll(&d, 30), 1);
		build_offer(b, p, shop, 20 + roll(&d, 20))->upto = build_fig(1);
	}
	build_done(b);
}

static void a_limit_leaves_an_answer(void **state)
{
	struct built b;
	struct mixed one, two;
	struct heard heard = { 0 };
	volatile sig_atomic_t stop = 1;
	(void)state;
	hard_farm(&b);
	struct mix_options o = {
		.to_the_end = true, .nodes = 1, .progress = hear, .context = &heard
	};
	reckon_mix(&b, &one, "2026-11-25", &o);
	assert_int_equal(one.mix.state, MIX_LIMITED);
	assert_true(one.mix.value > 0 && one.mix.bound > one.mix.value && one.mix.gap > 0);
	assert_true(heard.calls > 0 && heard.bound >= one.mix.value);
	reckon_mix(&b, &two, "2026-11-25", &o);
	assert_true(one.mix.value == two.mix.value && one.mix.nlines == two.mix.nlines);
	for (size_t i = 0; i < one.mix.nlines; i++)
		assert_int_equal(one.mix.lines[i].piece, two.mix.lines[i].piece);
	reckon_mix(&b, &two, "2026-11-25",
		   &(struct mix_options){ .stop = &stop, .to_the_end = true });
	assert_true(two.mix.interrupted && two.mix.state == MIX_LIMITED && two.mix.value > 0);
	/* Stopped by hand while the tree grows. */
	heard = (struct heard){ .stop = &stop };
	stop = 0;
	o = (struct mix_options){ .to_the_end = true,
				  .stop = &stop,
				  .progress = hear,
				  .context = &heard };
	reckon_mix(&b, &two, "2026-11-25", &o);
	assert_true(stop && two.mix.interrupted && two.mix.state == MIX_LIMITED);
	assert_true(two.mix.value > 0 && two.mix.bound >= one.mix.value);
	/* Time enough changes nothing. */
	o = (struct mix_options){ .to_the_end = true, .nodes = 1, .seconds = 500 };
	reckon_mix(&b, &two, "2026-11-25", &o);
	assert_true(two.mix.value == one.mix.value && !two.mix.interrupted);
	/* With room to search, the answer lies between. */
	reckon_mix(&b, &two, "2026-11-25",
		   &(struct mix_options){ .to_the_end = true, .nodes = 100000 });
	assert_int_equal(two.mix.state, MIX_PROVEN);
	assert_true(two.mix.value >= one.mix.value && two.mix.value <= one.mix.bound + 1e-6);
	build_end(&b);
}

int main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(the_last_ones_earn_their_risk),
		cmocka_unit_test(what_is_sold_already_is_said),
		cmocka_unit_test(what_each_earns_adds_up),
		cmocka_unit_test(a_stall_is_gone_to_when_it_pays),
		cmocka_unit_test(a_day_may_take_of_a_step_that_no_piece_fills),
		cmocka_unit_test(finished_pieces_are_sold_first),
		cmocka_unit_test(orders_that_cannot_be_met),
		cmocka_unit_test(orders_may_lack_hours),
		cmocka_unit_test(packing_of_finished_orders_takes_hours),
		cmocka_unit_test(one_more_bunch),
		cmocka_unit_test(an_hour_is_worth_a_wreath),
		cmocka_unit_test(options_reserve_exclude_and_hours),
		cmocka_unit_test(stems_that_keep_may_be_kept),
		cmocka_unit_test(stems_that_stay_have_their_keep_value),
		cmocka_unit_test(what_nothing_limits_is_named),
		cmocka_unit_test(a_limit_leaves_an_answer),
		cmocka_unit_test(generated_farms),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
