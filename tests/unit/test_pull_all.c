/* test_pull_all.c - pull lists of many small farms by chance, checked line by line: a list
 * for the most that the reach found, none for one more, one for the open orders. */
#include "help_pull.h"

#include <math.h>

#include "reckon/reach.h"

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
	help_pull_farm(&b, &seed, &reserve);
	struct reach_options options = { .no_buying = help_dice(&seed, 0, 2) == 0 };
	stock_take(&stock, &b.farm, build_day(HELP_PULL_DAY), false, NULL, &b.arena, &b.remarks);
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
