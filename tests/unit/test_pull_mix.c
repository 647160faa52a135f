/* test_pull_mix.c - the pull list of a mix is what the mix counted on: farms by chance. */
#include "help_pull.h"

#include <math.h>

#include "reckon/mix.h"

/* Outlets, prices, work and keep values for a farm that only had stock and orders. */
static void dress(struct built *b, uint64_t *seed)
{
	struct farm *f = &b->farm;
	struct outlet *shop = build_outlet(b, "shop"), *fair = build_outlet(b, "fair");
	fair->stall = build_fig(help_dice(seed, 0, 20));
	fair->stall_days = build_fig(help_dice(seed, 1, 3));
	shop->fee = build_fig(0.1);
	f->business.wage = build_fig(12);
	if (help_dice(seed, 0, 1))
		f->business.bench_hours = build_fig(help_dice(seed, 1, 12));
	for (size_t i = 0; i < f->ncrops; i++)
		if (help_dice(seed, 0, 3) == 0) {
			f->crops[i].carries = build_fig(help_dice(seed, 1, 40) / 100.0);
			f->crops[i].keeps = build_fig(help_dice(seed, 14, 17));
		}
	for (size_t i = 0; i < f->nparts; i++)
		build_part_task(b, &f->parts[i], help_dice(seed, 20, 200), 0);
	for (size_t i = 0; i < f->npieces; i++) {
		struct piece *p = &f->pieces[i];
		build_piece_task(b, p, help_dice(seed, 60, 1200), 0);
		if (help_dice(seed, 0, 2) == 0)
			build_piece_task(b, p, 600, help_dice(seed, 2, 5));
		p->packing = build_fig(help_dice(seed, 0, 200));
		for (int o = 0; o < 2; o++) {
			struct offer *offer =
			    build_offer(b, p, o ? fair : shop, help_dice(seed, 5, 60));
			int likely = help_dice(seed, 0, 4);
			offer->likely = build_fig(likely);
			offer->upto = build_fig(likely + help_dice(seed, 1, 5));
		}
	}
	build_done(b);
}

struct tally {
	int farms, sold, days, parts, shorts, carries, leaves;
};

static void count_what_was_met(struct tally *t, const struct mix *mix,
			       const struct pull *pull, bool leave)
{
	bool carries = false;
	for (size_t i = 0; i < mix->nleft; i++)
		carries = carries || (mix->left[i].spent > 0 && mix->left[i].carried > 0);
	t->farms++;
	t->carries += carries;
	t->sold += mix->nlines > 0;
	t->days += pull->nruns > 0 && pull->runs[0].on != pull->runs[pull->nruns - 1].on;
	t->shorts += mix->nshorts > 0;
	t->leaves += leave && mix->nlines > 0;
	for (size_t i = 0; i < pull->nlines; i++)
		if (pull->lines[i].kind == PULL_PART) {
			t->parts++;
			break;
		}
}

static void mix_and_list(struct built *b, const struct mix_options *o, struct mix *mix,
			 struct pull *pull)
{
	struct stock stock;
	struct stemcosts stems;
	struct costs costs;
	struct prices prices;
	struct pull again;
	stock_take(&stock, &b->farm, build_day(HELP_PULL_DAY), false, NULL, &b->arena, &b->remarks);
	stemcosts_reckon(&stems, &b->farm, &stock, &b->arena, &b->remarks);
	costs_reckon(&costs, &b->farm, &stems, &b->arena, &b->remarks);
	prices_reckon(&prices, &b->farm, &costs, &b->arena, &b->remarks);
	assert_int_equal(
	    mix_reckon(mix, &b->farm, &stock, &costs, &prices, o, &b->arena, NULL, &b->diag), 0);
	for (int i = 0; i < 2; i++)
		assert_int_equal(pull_mix(i ? &again : pull, &b->farm, &stock, mix, o, &b->arena,
					  &b->diag),
				 0);
	assert_int_equal(pull->nlines, again.nlines);
	for (size_t i = 0; i < pull->nlines; i++)
		assert_true(pull->lines[i].box == again.lines[i].box &&
			    pull->lines[i].stems == again.lines[i].stems);
}

static void one_farm(uint64_t seed, struct tally *t)
{
	struct built b;
	struct mix mix;
	struct pull pull;
	bool reserve;
	help_pull_farm(&b, &seed, &reserve);
	dress(&b, &seed);
	struct mix_reserve keep = { 0, help_dice(&seed, 1, 30) };
	struct mix_options o = { .nodes = 60,
				 .gap = 0.02,
				 .own_labour = help_dice(&seed, 0, 1),
				 .no_buying = help_dice(&seed, 0, 2) == 0,
				 .without_carries = false,
				 .reserves = &keep,
				 .nreserves = help_dice(&seed, 0, 3) == 0 };
	mix_and_list(&b, &o, &mix, &pull);
	if (mix.state == MIX_NOTHING) {
		assert_int_equal(pull.nruns, 0);
	} else {
		help_check_pull_mix(&b.farm, &pull, &mix, o.no_buying,
				    o.nreserves ? keep.stems : 0, reserve);
		count_what_was_met(t, &mix, &pull, o.nreserves > 0);
	}
	build_end(&b);
}

enum { FARMS = 300 };

static void lists_are_what_the_mix_counted_on(void **state)
{
	(void)state;
	struct tally t = { 0 };
	for (uint64_t i = 0; i < FARMS; i++)
		one_farm(0x51ab03c7u + i * 6151, &t);
	print_message("%d lists: %d sell, %d over several days, %d with parts, %d with orders that "
		      "cannot be met, %d with keep values, %d with stems left alone\n",
		      t.farms, t.sold, t.days, t.parts, t.shorts, t.carries, t.leaves);
	assert_true(t.farms > FARMS * 9 / 10 && t.sold > FARMS / 2 && t.days > FARMS / 10);
	assert_true(t.parts > FARMS / 10 && t.shorts > FARMS / 20 && t.carries > FARMS / 20 &&
		    t.leaves > FARMS / 20);
}

/* Ten stems counted in September, of which seven are good, and ten of today; twelve are to
 * be left alone.  The old ones would come first, but three of today and three for December
 * then break into the twelve: only of the new ones are eight enough. */
static void what_is_left_alone_stays_on_all_days(void **state)
{
	struct built b;
	struct mix mix;
	struct pull pull;
	const struct mix_reserve keep = { 0, 12 };
	struct mix_options o = { .to_the_end = true, .reserves = &keep, .nreserves = 1 };
	(void)state;
	build_start(&b);
	struct crop *c = build_crop(&b, "Statice");
	struct piece *p = build_piece(&b, "Posy");
	c->loss[STAGE_STORAGE] = build_fig(0.15);
	build_piece_need(&b, p, build_crop_item(&b, c), 1, 1);
	build_offer(&b, p, build_outlet(&b, "shop"), 9)->upto = build_fig(3);
	build_box(&b, "old", build_crop_item(&b, c), 10, "2026-08-10", "2026-09-20");
	build_box(&b, "new", build_crop_item(&b, c), 10, "2026-10-10", HELP_PULL_DAY);
	build_order(&b, p, 3, NULL)->due = build_day("2026-12-20");
	build_done(&b);
	mix_and_list(&b, &o, &mix, &pull);
	assert_int_equal(mix.nlines, 1);
	assert_int_equal(mix.lines[0].count, 3);
	assert_true(pull.nruns == 2 && pull.runs[0].on != pull.runs[1].on);
	help_check_pull_mix(&b.farm, &pull, &mix, false, keep.stems, true);
	build_end(&b);
}

int main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(what_is_left_alone_stays_on_all_days),
		cmocka_unit_test(lists_are_what_the_mix_counted_on),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
