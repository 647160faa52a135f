/* test_plan_fit.c - the best plan within the limits, against every plan there is. */
#include "reckon/plan_fit.h"

#include <math.h>

#include "help_small.h"

/* `make check-book` says 200; make check stays short. */
static size_t farms = 24;

enum farm_sort { PLAIN, RICH, UNSURE }; /* rich recipes; less sure than an even year */

static const char *const COLOURS[] = { "rust", "gold", "white" };

/* Stems of a crop; rich: now and then in some colours, or of a length. */
static void draw_stems(struct buf *b, uint64_t *rng, int stems, int c, bool rich)
{
	buf_printf(b, "%d stem C%d", stems, c);
	int colour = rich ? small_pick(rng, 0, 5) : 0, first = colour ? small_pick(rng, 0, 2) : 0;
	const char *one = COLOURS[first], *other = COLOURS[(first + 1) % 3];
	if (colour == 1)
		buf_printf(b, ", colour %s", one);
	else if (colour == 2)
		buf_printf(b, ", colour %s or %s", one, other);
	else if (colour == 3)
		buf_printf(b, ", one colour of %s, %s", one, other);
	if (rich && small_pick(rng, 0, 2) == 0)
		buf_printf(b, ", from %d cm%s", small_pick(rng, 2, 5) * 10, small_pick(rng, 0, 3) ? "" : " to 60 cm");
	buf_text(b, "\n");
}

/* One way, or two. */
static void draw_need(struct buf *b, uint64_t *rng, int stems, int c, int crops, bool rich)
{
	buf_text(b, "  needs ");
	draw_stems(b, rng, stems, c, rich);
	if (!rich || crops < 2 || small_pick(rng, 0, 1))
		return;
	buf_text(b, "     or ");
	draw_stems(b, rng, small_pick(rng, 4, 30), (c + 1) % crops, rich);
}

static const char *draw_sure(uint64_t *rng, enum farm_sort kind)
{
	if (kind == UNSURE)
		return small_pick(rng, 0, 1) ? ", 20% sure" : ", 10% sure";
	return small_pick(rng, 0, 2) ? "" : small_pick(rng, 0, 1) ? ", 80% sure" : ", 90% sure";
}

static void draw(struct buf *b, uint64_t *rng, enum farm_sort kind)
{
	bool rich = kind == RICH;
	int pieces = small_pick(rng, 0, 7) ? 2 : TARGETS_MOST, crops = small_pick(rng, 1, CROPS);
	bool parts = small_pick(rng, 0, 2) == 0;
	buf_printf(b, "farm F\n  currency EUR\n  wage %d per h\n  growing %d per m of bed\n"
		      "  frost last 2027-04-24\n",
		   small_pick(rng, 5, 20), small_pick(rng, 0, 5));
	for (int c = 0; c < crops; c++)
		small_crop(b, rng, c, rich, 0);
	if (parts) {
		buf_printf(b, "part Tuft\n  makes %d each\n", small_pick(rng, 1, 4));
		draw_need(b, rng, small_pick(rng, 5, 20), 0, crops, rich);
	}
	buf_printf(b, "outlet stall\n  fee 3%%\n  spoils %d%%\n", small_pick(rng, 0, 2) * 5);
	for (int p = 0; p < pieces; p++) {
		int first = small_pick(rng, 4, 30), second = crops > 1 && small_pick(rng, 0, 1) ? small_pick(rng, 4, 30) : 0;
		buf_printf(b, "piece P%d\n", p);
		draw_need(b, rng, first, p % crops, crops, rich);
		if (second)
			draw_need(b, rng, second, (p + 1) % crops, crops, rich);
		if (parts && small_pick(rng, 0, 1))
			buf_printf(b, "  needs %d each Tuft\n", small_pick(rng, 1, 3));
		buf_printf(b, "  takes %d min\n  sells stall at %d\n", small_pick(rng, 5, 30), small_pick(rng, 8, 60));
	}
	for (int p = 0; p < pieces; p++)
		buf_printf(b, "target P%d\n  sell %d by 2027-1%d-01 at stall%s\n", p,
			   small_pick(rng, 1, COUNT_MOST), small_pick(rng, 0, 2), draw_sure(rng, kind));
}

/* Now and then boxes, parts and pieces that are there already, and an order.  rich: boxes of
 * a colour and a length, which say how many stems are so long. */
static const char *draw_stock(struct buf *b, uint64_t *rng, bool parts, bool rich)
{
	if (small_pick(rng, 0, 1))
		return NULL;
	buf_printf(b, "box,what,count,unit,colour,length,boxed,counted\nB1,C0,%d,stem,,,2026-09-01,2026-11-20\n",
		   small_pick(rng, 5, 60));
	if (small_pick(rng, 0, 1))
		buf_printf(b, "B2,P0,%d,each,,,,2026-11-20\n", small_pick(rng, 1, 2));
	if (parts)
		buf_printf(b, "B3,Tuft,%d,each,,,,2026-11-20\n", small_pick(rng, 1, 5));
	for (int i = rich ? small_pick(rng, 0, 3) : 0; i > 0; i--)
		buf_printf(b, "L%d,C0,%d,stem,%s,%d,2026-09-0%d,2026-11-20\n", i, small_pick(rng, 3, 40),
			   COLOURS[small_pick(rng, 0, 2)], small_pick(rng, 1, 6) * 10, small_pick(rng, 1, 9));
	return b->data;
}

static const char *draw_orders(struct buf *b, uint64_t *rng)
{
	if (small_pick(rng, 0, 2))
		return NULL;
	buf_printf(b, "order,piece,count,outlet,due,price\nO1,P%d,%d,stall,2027-1%d-15,20\n", small_pick(rng, 0, 1),
		   small_pick(rng, 1, 2), small_pick(rng, 0, 2));
	return b->data;
}

/* ---- every plan there is ---- */

/* The best of all plans with counts 0..asked; -INFINITY when none fits. */
static double best_of_all(const struct small *s, const struct plan_room *limits, struct by_hand *all)
{
	double best = -INFINITY, base = 0;
	for (size_t k = 0; k < small_plans(s); k++) {
		struct arena a;
		struct plan plan;
		arena_init(&a);
		small_plan(&plan, s, k, &a);
		*all = small_room(s->farm, &plan); /* of the last one: everything */
		base = k == 0 ? all->beyond : base;
		if (small_holds(&all->room, limits) && all->beyond <= base + 1e-6)
			best = fmax(best, small_earned(&plan, s->farm->ntargets));
		arena_release(&a);
	}
	return best;
}

static void make_farm(struct small *s, struct buf *text, uint64_t *rng, enum farm_sort kind)
{
	struct buf stock, orders;
	buf_init(text, 1 << 16);
	buf_init(&stock, 1 << 12);
	buf_init(&orders, 1 << 12);
	draw(text, rng, kind);
	const char *boxes = draw_stock(&stock, rng, strstr(text->data, "part Tuft") != NULL, kind == RICH);
	small_load(s, text->data, boxes, draw_orders(&orders, rng));
	buf_release(&stock);
	buf_release(&orders);
}

struct tally {
	size_t all_fit, shrunk, nothing, no_room, other_ways;
};

/* What is found, where the search has come to its end. */
static void check_shrunk(const struct plan_fit *fit, const struct plan_room *limits, double best, const char *text,
			 uint64_t seed, struct tally *n)
{
	double pieces = 0, asked = 0;
	if (fit->state != PLAN_FIT_FOUND || !help_is_near(fit->earns, best, 1e-9, 1e-9))
		fail_msg("seed %d: state %d, %.6f of %.6f, bound %.6f, %d looks\n%s", (int)seed, (int)fit->state,
			 fit->earns, best, fit->bound, (int)fit->looks, text);
	assert_near(fit->bound, fit->earns);
	for (size_t t = 0; t < fit->n; t++) {
		assert_true(fit->wishes[t].count >= 0 && fit->wishes[t].count <= fit->asked[t]);
		pieces += fit->wishes[t].count;
		asked += fit->asked[t];
	}
	assert_true(pieces < asked);
	assert_true(small_holds(&fit->used, limits));
	n->nothing += pieces <= 0;
	n->shrunk++;
}

static void one_farm(uint64_t seed, enum farm_sort kind, struct tally *n)
{
	struct small s;
	struct plan_fit fit;
	struct buf text;
	struct by_hand all;
	uint64_t rng = seed * 7919;
	make_farm(&s, &text, &rng, kind);
	struct plan_fit_options options = { .limits = small_limits(&s, &rng), .looks = 4000 };
	struct plan_room limits = small_every(options.limits);
	assert_int_equal(plan_fit(&fit, s.farm, &s.now.stock, &s.now.costs, &s.now.prices, &options, &s.arena,
				  &s.diag),
			 0);
	double best = best_of_all(&s, &limits, &all);
	if (fit.ways_left) {
		assert_true(fit.earns >= best - 1e-9);
		n->other_ways++;
	} else {
		assert_near(fit.wanted.metres, all.room.metres);
		assert_near(fit.wanted.line, all.room.line);
		assert_near(fit.wanted.racks, all.room.racks);
		assert_near(fit.wanted.hours, all.room.hours);
		if (fit.state == PLAN_FIT_ALL) { /* all of it, whether less would pay better or not */
			assert_true(fit.earns <= best + 1e-9);
			n->all_fit++;
		} else if (fit.state == PLAN_FIT_NONE) {
			assert_true(isinf(best));
			n->no_room++;
		} else {
			check_shrunk(&fit, &limits, best, text.data, seed, n);
		}
	}
	buf_release(&text);
	small_unload(&s);
}

static void all_farms(enum farm_sort kind)
{
	struct tally n = { 0 };
	for (uint64_t seed = 1; seed <= farms; seed++)
		one_farm(seed, kind, &n);
	/* Enough of each kind to have tested it. */
	print_message("%zu fit, %zu shrunk, %zu of them to nothing, %zu without room for orders, %zu with other ways\n",
		      n.all_fit, n.shrunk, n.nothing, n.no_room, n.other_ways);
	assert_true(n.shrunk - n.nothing > farms / 8);
}

static void equals_exhaustive_search(void **state)
{
	(void)state;
	all_farms(PLAIN);
}

/* With ways to choose from, colours and lengths. */
static void equals_it_with_rich_recipes(void **state)
{
	(void)state;
	all_farms(RICH);
}

/* Of such a chance the number is less than the plain one, and the more the years differ the lower it is. */
static void equals_it_less_sure_than_not(void **state)
{
	(void)state;
	all_farms(UNSURE);
}

/* Stopped early, or content with a tenth less: what it has fits, and the bound is not below
 * the best there is. */
static void stopped_early(void **state)
{
	(void)state;
	size_t stopped = 0, near = 0;
	for (uint64_t seed = 301; seed <= 316; seed++) {
		struct small s;
		struct plan_fit fit;
		struct buf text;
		struct by_hand all;
		uint64_t rng = seed * 104729;
		make_farm(&s, &text, &rng, seed % 4 > 1 ? RICH : PLAIN);
		struct plan_fit_options options = { .limits = small_limits(&s, &rng) };
		options.looks = seed % 2 ? 3 : 0;
		options.gap = seed % 2 ? 0 : 0.1;
		struct plan_room limits = small_every(options.limits);
		assert_int_equal(plan_fit(&fit, s.farm, &s.now.stock, &s.now.costs, &s.now.prices, &options,
					  &s.arena, &s.diag),
				 0);
		double best = best_of_all(&s, &limits, &all);
		if (fit.state == PLAN_FIT_STOPPED || fit.state == PLAN_FIT_FOUND) {
			assert_true((fit.earns <= best + 1e-9 || fit.ways_left) && fit.bound >= best - 1e-9);
			assert_true(small_holds(&fit.used, &limits));
			stopped += fit.state == PLAN_FIT_STOPPED;
			near += fit.state == PLAN_FIT_FOUND && fit.bound > fit.earns;
		}
		if (fit.state == PLAN_FIT_FOUND)
			assert_true(fit.bound <= fit.earns + options.gap * fmax(1, fabs(fit.earns)) + 1e-6);
		buf_release(&text);
		small_unload(&s);
	}
	print_message("%zu stopped, %zu near enough\n", stopped, near);
	assert_true(stopped > 1);
}

/* By hand; what one more metre is worth, another search says. */
static void by_hand(void **state)
{
	(void)state;
	struct small s;
	struct plan_fit fit;
	small_text(&s, "farm F\n  frost last 2027-04-24\n"
		 "crop C\n  costs 0.1 per stem\n  plants 1 week after last frost, 25 cm apart, 1 rows\n"
		 "  cuts from 10 weeks after planting, over 1 weeks, 1 stem per plant\n"
		 "outlet stall\n"
		 "piece P\n  needs 10 stem C\n  sells stall at 20\n"
		 "target P\n  sell 4 by 2027-12-01 at stall\n");
	/* 10 plants 25 cm apart in one row: 2.5 m for each piece. */
	struct plan_fit_options options = { .limits = { 5100, (double)NAN, (double)NAN, (double)NAN,
							(double)NAN } };
	assert_int_equal(plan_fit(&fit, s.farm, &s.now.stock, &s.now.costs, &s.now.prices, &options,
				  &s.arena, &s.diag),
			 0);
	assert_int_equal(fit.state, PLAN_FIT_FOUND);
	assert_near(fit.wishes[0].count, 2);
	assert_near(fit.wanted.metres, 10000);
	assert_near(fit.used.metres, 5000);
	double before = fit.earns;
	options.limits.metres = 7500;
	plan_fit(&fit, s.farm, &s.now.stock, &s.now.costs, &s.now.prices, &options, &s.arena, &s.diag);
	assert_near(fit.wishes[0].count, 3);
	assert_near(fit.earns - before, 20);
	options.limits.metres = 10000;
	plan_fit(&fit, s.farm, &s.now.stock, &s.now.costs, &s.now.prices, &options, &s.arena, &s.diag);
	assert_int_equal(fit.state, PLAN_FIT_ALL);
	assert_near(fit.earns, 80);
	small_unload(&s);
}

/* By hand: a bed of 20 stems is enough for two pieces of four; the others take another way,
 * as far as there is bed for it.  Nothing costs anything, so each piece earns its 20. */
static void with_other_ways(void **state)
{
	(void)state;
	struct small s;
	struct plan_fit fit;
	small_text(&s, "farm F\n  frost last 2027-04-24\n"
		 "crop Stands\n  stands 5 m of bed\n  plants on 2024-05-10, 25 cm apart, 1 rows\n"
		 "  cuts on 2027-07-01, over 1 weeks, 1 stem per plant\n"
		 "crop Sown\n  plants 1 week after last frost, 25 cm apart, 1 rows\n"
		 "  cuts from 10 weeks after planting, over 1 weeks, 1 stem per plant\n"
		 "outlet stall\n"
		 "piece P\n  needs 10 stem Stands\n     or 10 stem Sown\n  sells stall at 20\n"
		 "target P\n  sell 4 by 2027-12-01 at stall\n");
	struct plan_fit_options options = { .limits = { 10100, (double)NAN, (double)NAN, (double)NAN,
							(double)NAN } };
	assert_int_equal(plan_fit(&fit, s.farm, &s.now.stock, &s.now.costs, &s.now.prices, &options,
				  &s.arena, &s.diag),
			 0);
	assert_int_equal(fit.state, PLAN_FIT_ALL);
	assert_true(fit.other_ways);
	assert_near(fit.wanted.metres, 10000);
	assert_near(fit.earns, 80);
	assert_int_equal(fit.nstanding, 1);
	assert_int_equal(fit.standing[0].used, 20); /* what the bed bears, not the 40 of cheapest ways */
	options.limits.metres = 7600; /* 2.5 m for a third piece */
	plan_fit(&fit, s.farm, &s.now.stock, &s.now.costs, &s.now.prices, &options, &s.arena, &s.diag);
	assert_int_equal(fit.state, PLAN_FIT_FOUND);
	assert_near(fit.bound, fit.earns);
	assert_true(fit.other_ways);
	assert_near(fit.wishes[0].count, 3);
	assert_near(fit.used.metres, 7500);
	assert_near(fit.earns, 60);
	options.limits.metres = 5100; /* none */
	plan_fit(&fit, s.farm, &s.now.stock, &s.now.costs, &s.now.prices, &options, &s.arena, &s.diag);
	assert_int_equal(fit.state, PLAN_FIT_FOUND);
	assert_false(fit.other_ways);
	assert_near(fit.wishes[0].count, 2);
	small_unload(&s);
}

int main(int argc, char **argv)
{
	for (const char *p = argc > 1 ? argv[1] : ""; *p; p++)
		farms = (p == argv[1] ? 0 : farms * 10) + (size_t)(*p - '0');
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(equals_exhaustive_search),
		cmocka_unit_test(equals_it_with_rich_recipes),
		cmocka_unit_test(equals_it_less_sure_than_not),
		cmocka_unit_test(stopped_early),
		cmocka_unit_test(by_hand),
		cmocka_unit_test(with_other_ways),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
