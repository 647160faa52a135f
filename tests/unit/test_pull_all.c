/* test_pull_all.c - pull lists of many small farms by chance, checked line by line: a list
 * for the most that the reach found, none for one more, one for the open orders. */
#include "help_pull.h"

#include <math.h>

#include "reckon/reach.h"

static int dice(uint64_t *seed, int lo, int hi)
{
	return lo + (int)floor(build_random(seed) * (hi - lo + 1));
}

static void random_way(struct built *b, struct need *need, uint64_t *seed, size_t first_part)
{
	static const int64_t counts[][2] = { { 1, 1 }, { 2, 1 }, { 5, 1 }, { 12, 1 },
					     { 1, 3 }, { 2, 3 }, { 3, 2 }, { 7, 4 } };
	const struct farm *f = &b->farm;
	const int64_t *count = counts[dice(seed, 0, 7)];
	int what = dice(seed, 0, 9);
	if (what == 0 && f->nsupplies > 0) {
		build_or(b, need, (struct item){ KIND_SUPPLY, 0 }, count[0], count[1]);
		return;
	}
	if (what <= 3 && first_part < f->nparts) {
		uint32_t part = (uint32_t)dice(seed, (int)first_part, (int)f->nparts - 1);
		build_or(b, need, (struct item){ KIND_PART, part }, count[0], count[1]);
		return;
	}
	uint32_t crop = (uint32_t)dice(seed, 0, (int)f->ncrops - 1);
	struct need_option *o =
	    build_or(b, need, (struct item){ KIND_CROP, crop }, count[0], count[1]);
	int colours = dice(seed, 0, 6), lengths = dice(seed, 0, 5);
	o->ncolours = colours == 3 || colours == 4 ? 1 : colours == 5 ? 2 : 0;
	o->colours = ARENA_ARRAY(&b->arena, 2, uint32_t);
	o->colours[0] = (uint32_t)dice(seed, 0, 2);
	o->colours[1] = (o->colours[0] + 1) % 3;
	o->one_colour = colours >= 5;
	o->from = lengths == 4 ? 250 : lengths == 5 ? 350 : 0;
	o->to = lengths == 3 ? 350 : 0;
}

static void random_needs(struct built *b, struct need *needs, size_t *n, int most, uint64_t *seed,
			 size_t first_part)
{
	*n = (size_t)dice(seed, 1, most);
	for (size_t i = 0; i < *n; i++)
		do
			random_way(b, &needs[i], seed, first_part);
		while (needs[i].noptions < 3 && dice(seed, 0, 2) == 0);
}

static void random_boxes(struct built *b, uint64_t *seed)
{
	static const char *const boxed[] = { "2026-07-03", "2026-08-10", "2026-08-20", "2026-08-31",
					     "2026-09-15" };
	static const char *const counted[] = { "2026-10-05", "2026-10-20", "2026-11-25" };
	struct farm *f = &b->farm;
	for (uint32_t c = 0; c < f->ncrops; c++) {
		int n = dice(seed, 1, 12), most = dice(seed, 0, 1) ? 12 : 60;
		for (int i = 0; i < n; i++) {
			struct box *box =
			    build_box(b, "box", (struct item){ KIND_CROP, c }, dice(seed, 1, most),
				      boxed[dice(seed, 0, 4)], counted[dice(seed, 0, 2)]);
			box->colour = dice(seed, 0, 4) ? (uint32_t)dice(seed, 0, 2) : NONE;
			box->length =
			    (float)(dice(seed, 0, 2) * 100 + 200) * (dice(seed, 0, 5) ? 1 : 0);
		}
	}
	for (uint32_t p = 0; p < f->nparts; p++)
		if (dice(seed, 0, 1))
			build_box(b, "parts", (struct item){ KIND_PART, p },
				  dice(seed, 0, 12) / 2.0, NULL, HELP_PULL_DAY);
	for (uint32_t p = 0; p < f->npieces; p++)
		if (dice(seed, 0, 2) == 0)
			build_box(b, "pieces", (struct item){ KIND_PIECE, p }, dice(seed, 1, 3),
				  NULL, HELP_PULL_DAY);
	if (f->nsupplies && dice(seed, 0, 2))
		build_box(b, "wire", (struct item){ KIND_SUPPLY, 0 }, dice(seed, 0, 30), NULL,
			  HELP_PULL_DAY);
}

static void random_farm(struct built *b, uint64_t *seed, bool *reserve)
{
	static const double bench[] = { 0, 0.04, 0.1, 0.125, 0.333 },
			    storage[] = { 0, 0.01, 0.05, 0.1 };
	static const char *const days[] = { NULL,         "2026-11-01", "2026-11-25",
					    "2026-12-20", "2027-02-10", "2027-03-01" };
	static const int64_t makes[][2] = { { 1, 1 }, { 1, 1 }, { 2, 1 }, { 3, 1 }, { 3, 2 } };
	build_start(b);
	struct farm *f = &b->farm;
	f->ncolours = 3;
	int crops = dice(seed, 1, 3), parts = dice(seed, 0, 3), pieces = dice(seed, 1, 4);
	*reserve = false;
	for (int i = 0; i < crops; i++) {
		struct crop *c = build_crop(b, build_name(b, "crop %d", i).p);
		c->loss[STAGE_BENCH] = build_fig(bench[dice(seed, 0, 4)]);
		c->loss[STAGE_STORAGE] = build_fig(storage[dice(seed, 0, 3)]);
		if (dice(seed, 0, 5) == 0) {
			c->reserve = build_fig(dice(seed, 1, 9));
			*reserve = true;
		}
		if (dice(seed, 0, 4) == 0)
			c->keeps = build_fig(dice(seed, 3, 7));
	}
	if (dice(seed, 0, 1))
		build_supply(b, "wire", 1);
	for (int i = 0; i < parts; i++)
		build_part(b, build_name(b, "part %d", i).p);
	for (int i = 0; i < parts; i++) {
		const int64_t *m = makes[dice(seed, 0, 4)];
		assert_true(rat_make(&f->parts[i].makes, m[0], m[1]));
		random_needs(b, f->parts[i].needs, &f->parts[i].nneeds, 2, seed, (size_t)i + 1);
	}
	for (int i = 0; i < pieces; i++) {
		struct piece *p = build_piece(b, build_name(b, "piece %d", i).p);
		random_needs(b, p->needs, &p->nneeds, 4, seed, 0);
	}
	random_boxes(b, seed);
	int orders = dice(seed, 0, 4), alike_days = dice(seed, 0, 2);
	for (int i = 0; i < orders; i++)
		build_order(b, &f->pieces[dice(seed, 0, pieces - 1)], dice(seed, 1, 4), NULL)->due =
		    build_day(days[alike_days == 0 ? 2 : dice(seed, 0, 5)]);
	build_done(b);
	for (size_t i = 0; i < f->nparts; i++) { /* a part is made of later ones only */
		f->part_order[i] = (uint32_t)i;
		f->parts[i].level = (uint32_t)i + 1;
	}
}

static void assert_same(const struct pull *a, const struct pull *b)
{
	assert_true(a->state == b->state && a->nruns == b->nruns && a->nlines == b->nlines);
	for (size_t i = 0; i < a->nlines; i++) {
		const struct pull_line *x = &a->lines[i], *y = &b->lines[i];
		assert_true(x->run == y->run && x->need == y->need && x->option == y->option);
		assert_true(x->box == y->box && x->stems == y->stems && x->makings == y->makings);
	}
}

struct tally {
	int lists, met, few, pieces, orders, many_days, none;
};

static void pull_and_check(struct built *b, const struct stock *stock, const struct making *making,
			   bool no_buying, bool reserve, bool want, struct tally *tally)
{
	struct pull pull, again;
	struct pull_options options = { .no_buying = no_buying };
	bool twice = tally->lists++ % 4 == 0;
	for (int i = 0; i < 1 + twice; i++)
		assert_int_equal(pull_reckon(i ? &again : &pull, &b->farm, stock, making,
					     making ? 1 : 0, &options, &b->arena, NULL, &b->diag),
				 0);
	assert_int_equal(pull.state, want ? PULL_MET : PULL_SHORT);
	help_check_pull(&b->farm, &pull, making, no_buying, reserve);
	if (twice)
		assert_same(&pull, &again);
	tally->met += pull.state == PULL_MET;
	tally->few += pull.state == PULL_SHORT;
	tally->none += pull.state == PULL_SHORT && pull.nruns == 0;
	tally->many_days += pull.nruns > 0 && pull.runs[0].on != pull.runs[pull.nruns - 1].on;
}

static void check_farm(uint64_t seed, struct tally *tally)
{
	struct built b;
	struct stock stock;
	struct reach reach;
	bool reserve;
	random_farm(&b, &seed, &reserve);
	struct reach_options options = { .no_buying = dice(&seed, 0, 2) == 0 };
	stock_take(&stock, &b.farm, build_day(HELP_PULL_DAY), false, &b.arena, &b.remarks);
	assert_int_equal(
	    reach_reckon(&reach, &b.farm, &stock, &options, &b.arena, &b.remarks, &b.diag), 0);
	bool orders = true;
	for (uint32_t i = 0; i < b.farm.npieces; i++) {
		const struct reach_piece *most = &reach.pieces[i];
		orders = orders && most->state != REACH_ORDERS_SHORT;
		if (most->state == REACH_STOPPED)
			continue;
		bool endless = most->state == REACH_ENDLESS,
		     none = most->state == REACH_ORDERS_SHORT;
		struct making making = { i, endless ? 7 : most->most, DAY_NONE };
		tally->pieces++;
		if (!endless && !none && making.count > 0)
			pull_and_check(&b, &stock, &making, options.no_buying, reserve, true,
				       tally);
		making.count++;
		if (!endless)
			pull_and_check(&b, &stock, &making, options.no_buying, reserve, false,
				       tally);
	}
	bool endless = false;
	for (uint32_t i = 0; i < b.farm.npieces; i++)
		endless = endless || reach.pieces[i].state == REACH_ENDLESS ||
			  reach.pieces[i].state == REACH_STOPPED;
	if (!endless) {
		tally->orders++;
		pull_and_check(&b, &stock, NULL, options.no_buying, reserve, orders, tally);
	}
	build_end(&b);
}

enum { FARMS = 400 };

static void random_lists_can_be_pulled(void **state)
{
	(void)state;
	struct tally t = { 0 };
	for (uint64_t i = 0; i < FARMS; i++)
		check_farm(0x2545f491u + i * 7919, &t);
	print_message("%d lists met, %d short (%d without a plan), %d over several days\n", t.met,
		      t.few, t.none, t.many_days);
	assert_true(t.met > FARMS / 2 && t.few > FARMS / 2 && t.many_days > FARMS / 10);
	assert_true(t.orders > FARMS / 4 && t.none < FARMS);
}

int main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(random_lists_can_be_pulled),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
