/* test_sway.c - which figure moves what is left the most. */
#include <math.h>

#include "base/buf.h"
#include "farm/farm.h"
#include "help_farm.h"
#include "reckon/measured.h"
#include "reckon/sway.h"

enum { KEEP = 12 };

struct shop {
	char *folder;
	struct arena own, *arena; /* copies of a shop share the arena of the first */
	struct farm *farm, *trial;
	struct reckoning now;
	struct mix mix;
	struct diag diag;
};

static void reckon_it(struct shop *s, const char *suppose)
{
	struct load_options options = { .suppose = &suppose, .nsuppose = suppose ? 1 : 0 };
	struct mix_options mo = { 0 };
	struct reach_options ro = { 0 };
	struct remarks aside;
	diag_init(&s->diag, s->arena);
	assert_int_equal(farm_load(&s->farm, s->arena, s->folder, &options, &s->diag), 0);
	assert_int_equal(farm_load(&s->trial, s->arena, s->folder, &options, &s->diag), 0);
	assert_int_equal(reckon(&s->now, s->farm, build_day("2026-11-10"),
	                        RECKON_PRICES | RECKON_SURE, false, &ro,
				s->arena, &s->diag),
			 0);
	if (suppose) /* the season keeps the mix of the farm as it is */
		return;
	remarks_init(&aside, s->arena);
	assert_int_equal(mix_reckon(&s->mix, s->farm, &s->now.stock, &s->now.costs, &s->now.prices,
				    &mo, s->arena, &aside, &s->diag),
			 0);
}

static void open_shop(struct shop *s, const char *texts, const char *orders)
{
	*s = (struct shop){ .folder = help_folder() };
	arena_init(&s->own);
	s->arena = &s->own;
	help_write(help_path(s->folder, "farm.txt"), texts);
	if (orders)
		help_write(help_path(s->folder, "orders.csv"), orders);
	reckon_it(s, NULL);
}

static void close_shop(struct shop *s)
{
	arena_release(s->arena);
	help_remove(s->folder);
}

static double brings(const struct shop *s, const struct shop *base)
{
	double *spoils = ARENA_ARRAY(s->arena, base->farm->noutlets + 1, double);
	for (size_t i = 0; i < base->farm->noutlets; i++)
		spoils[i] = base->farm->outlets[i].spoils.v;
	return sway_season(s->farm, &s->now.prices, &s->now.costs, &base->mix, spoils, s->now.on);
}

static const struct sway_item *item(const struct sway *w, const char *path)
{
	for (size_t i = 0; i < w->nitems; i++) {
		if (str_is(w->items[i].path, path))
			return &w->items[i];
	}
	fail_msg("no figure %s", path);
	return NULL;
}

/* M. Franklin, P. Graybeal and D. Cooper, Principles of Accounting vol. 2, OpenStax 2019,
 * section 3.3: a cafe sells at 3.75 what costs 1.50, fixed costs 2,475; 1,500 of them leave
 * 900.  At a cost of 1.55 they leave 825, at a price of 3.95 at the old cost they would
 * leave 1,200 (the book prints 875 together with fixed costs of 2,800).  Fixed costs are
 * overhead here and stand apart: 3,375 before them. */
static const char cafe[] = "farm Cafe\n  currency USD\n"
			   "supply Beans\n  costs 1.50 per each\n"
			   "piece Cup\n  needs 1 each Beans\n  sells Bar at 3.75, up to 0\n"
			   "outlet Bar\n  fee 0%\n";
static const char cups[] = "order,piece,count,outlet,due\nA,Cup,1500,Bar,2026-11-30\n";

static void test_cafe(void **state)
{
	(void)state;
	struct shop s, dearer, higher;
	struct sway w;
	open_shop(&s, cafe, cups);
	assert_near(brings(&s, &s) - 2475, 900);
	dearer = higher = s;
	reckon_it(&dearer, "Beans cost = 1.55");
	reckon_it(&higher, "Cup Bar price = 3.95");
	assert_near(brings(&dearer, &s) - 2475, 825);
	assert_near(brings(&higher, &s) - 2475, 1200);
	sway_reckon(&w, s.trial, &s.now, &s.mix, KEEP, s.arena);
	/* A tenth of the price is 562.50 on 1,500 cups, of the cost 225: both ways. */
	assert_near(w.season, 3375);
	assert_int_equal(w.nitems, 2);
	assert_true(str_is(w.items[0].path, "Cup Bar price") && w.items[0].asked);
	assert_near(w.items[0].most, 1125);
	assert_near(item(&w, "Beans cost")->season_low, 3600);
	assert_near(item(&w, "Beans cost")->season_high, 3150);
	/* Margin at 3.75 and 1.65: 2.10/3.75. */
	assert_int_equal(w.nlines, 1);
	assert_near(w.lines[0].margin, 0.6);
	assert_near(w.lines[0].moves[1].high, 0.56);
	arena_release(s.arena);
	help_remove(s.folder);
}

/* The ends found by changing one number in memory are those of the whole way round: the
 * farm's texts with --suppose. */
static void test_like_suppose(void **state)
{
	(void)state;
	struct shop s, other;
	struct sway w;
	s = (struct shop){ .folder = NULL };
	arena_init(&s.own);
	s.arena = &s.own;
	s.folder = (char *)"recipes-demo";
	reckon_it(&s, NULL);
	sway_reckon(&w, s.trial, &s.now, &s.mix, KEEP, s.arena);
	assert_true(w.nitems > 100);
	size_t tried = 0;
	for (size_t i = 0; i < w.nitems; i += 23) {
		struct buf b;
		const struct sway_item *it = &w.items[i];
		double high = floor(figure_shown(it->kind, it->high) * 1e6) / 1e6;
		if (fabs(high - figure_shown(it->kind, it->high)) > 1e-9)
			continue; /* not written exactly with six decimals */
		buf_init(&b, 4096);
		buf_printf(&b, "%.*s = %.6f %s", STR_ARG(it->path), high,
			   it->kind->unit == FU_MONEY ? "" : figure_unit_name(it->kind->unit));
		other = s;
		reckon_it(&other, b.data);
		assert_near_by(brings(&other, &s), it->season_high, 1e-9, 1e-9);
		buf_release(&b);
		tried++;
	}
	assert_true(tried > 5);
	arena_release(s.arena);
}

/* What was changed is put back: a second look is the first. */
static void test_put_back(void **state)
{
	(void)state;
	struct shop s;
	struct sway a, b;
	open_shop(&s, cafe, cups);
	sway_reckon(&a, s.trial, &s.now, &s.mix, KEEP, s.arena);
	sway_reckon(&b, s.trial, &s.now, &s.mix, KEEP, s.arena);
	assert_int_equal(a.nitems, b.nitems);
	for (size_t i = 0; i < a.nitems; i++)
		assert_true(a.items[i].most >= b.items[i].most && a.items[i].most <= b.items[i].most);
	close_shop(&s);
}

/* Nothing planned: no season, but margins. */
static void test_no_season(void **state)
{
	(void)state;
	struct shop s;
	struct sway w;
	open_shop(&s, cafe, NULL);
	sway_reckon(&w, s.trial, &s.now, &s.mix, KEEP, s.arena);
	assert_true(isnan(w.season));
	assert_int_equal(w.nitems, 2);
	assert_true(w.items[0].most <= 0);
	assert_int_equal(w.lines[0].n, 2);
	close_shop(&s);
}

/* A loss with records goes to the ends of its planning interval, not to a tenth. */
static void test_records(void **state)
{
	(void)state;
	struct shop s;
	struct sway w;
	s = (struct shop){ .folder = help_folder() };
	arena_init(&s.own);
	s.arena = &s.own;
	help_write(help_path(s.folder, "farm.txt"),
		   "farm Shed\n  currency EUR\ncrop Statice\n  costs 0.5 per stem boxed\n"
		   "  loses 10% bench\npiece Wreath\n  needs 10 stem Statice\n"
		   "  sells Bar at 20\noutlet Bar\n  fee 0%\n");
	help_write(help_path(s.folder, "stock.csv"),
		   "box,what,count,unit,boxed,counted\nB1,Statice,500,stem,2026-07-01,2026-08-01\n");
	help_write(help_path(s.folder, "bench.csv"),
		   "id,on,event,what,count,unit,minutes,spoiled,drawn,end\n"
		   "1,2026-09-01,made,Wreath,4,each,,8,B1 48,.\n2,2026-09-08,made,Wreath,4,each,,2,B1 42,.\n"
		   "3,2026-09-15,made,Wreath,4,each,,5,B1 45,.\n");
	reckon_it(&s, NULL);
	sway_reckon(&w, s.trial, &s.now, &s.mix, KEEP, s.arena);
	const struct sway_item *it = item(&w, "Statice bench loss");
	const struct interval *i = &s.now.rates.measures->crops[0].stages[STAGE_BENCH].plan.i80;
	assert_int_equal(it->range, SWAY_RECORDS);
	assert_near(it->low, i->low);
	assert_near(it->high, i->high);
	assert_near(it->today, s.now.rates.crops[0][STAGE_BENCH].v);
	close_shop(&s);
}

int main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(test_cafe),      cmocka_unit_test(test_like_suppose),
		cmocka_unit_test(test_put_back),  cmocka_unit_test(test_no_season),
		cmocka_unit_test(test_records),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
