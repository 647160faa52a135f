/* test_plan_fit.c - the best plan within the limits, against every plan there is. */
#include "reckon/plan_fit.h"

#include <math.h>

#include "base/buf.h"
#include "help_farm.h"
#include "reckon/calendar.h"
#include "reckon/reckon.h"

enum { CROPS = 2, TARGETS_MOST = 3, COUNT_MOST = 3, DAYS = 800 };

/* `make check-book` says 200; make check stays short. */
static size_t farms = 24;

struct small {
	struct arena arena;
	struct diag diag;
	struct farm *farm;
	struct reckoning now;
	char *folder;
};

static void load(struct small *s, const char *text)
{
	struct load_options options = { 0 };
	s->folder = help_folder();
	help_write(help_path(s->folder, "farm.txt"), text);
	arena_init(&s->arena);
	diag_init(&s->diag, &s->arena);
	assert_int_equal(farm_load(&s->farm, &s->arena, s->folder, &options, &s->diag), 0);
	assert_int_equal(reckon(&s->now, s->farm, build_day("2026-11-25"), RECKON_PRICES, false, NULL,
				&s->arena, &s->diag),
			 0);
}

static void unload(struct small *s)
{
	help_remove(s->folder);
	arena_release(&s->arena);
}

static int pick(uint64_t *rng, int low, int high)
{
	return low + (int)(build_random(rng) * (high - low + 1));
}

static void draw(struct buf *b, uint64_t *rng)
{
	int pieces = pick(rng, 0, 7) ? 2 : TARGETS_MOST, crops = pick(rng, 1, CROPS);
	buf_printf(b, "farm F\n  currency EUR\n  wage %d per h\n  growing %d per m of bed\n"
		      "  frost last 2027-04-24\n",
		   pick(rng, 5, 20), pick(rng, 0, 5));
	for (int c = 0; c < crops; c++)
		buf_printf(b,
			   "crop C%d\n  loses %d%% field, %d%% drying, 1%% storage per month\n"
			   "  hangs %d stem per bundle, %d cm of line per bundle, %d days\n"
			   "  boxes %d stem per box\n  works cut %d, bundle 300 stem per h\n"
			   "  sows 7 weeks before last frost, germinates 80%%, 50 cells per tray, 3 per 100 seeds\n"
			   "  plants %d weeks after last frost, 25 cm apart, %d rows, 90%% live\n"
			   "  cuts from 10 weeks after planting, over %d weeks, %d stem per plant%s\n",
			   c, pick(rng, 0, 15), pick(rng, 0, 15), pick(rng, 5, 20), pick(rng, 5, 12),
			   pick(rng, 7, 16), pick(rng, 20, 60), pick(rng, 100, 500), pick(rng, 1, 4),
			   pick(rng, 2, 5), pick(rng, 2, 6), pick(rng, 3, 9),
			   pick(rng, 0, 5) ? "" : ", usually 2 to 12");
	buf_text(b, "outlet stall\n  fee 3%\n");
	for (int p = 0; p < pieces; p++) {
		int first = pick(rng, 4, 30), second = crops > 1 && pick(rng, 0, 1) ? pick(rng, 4, 30) : 0;
		buf_printf(b, "piece P%d\n  needs %d stem C%d\n", p, first, p % crops);
		if (second)
			buf_printf(b, "  needs %d stem C%d\n", second, (p + 1) % crops);
		buf_printf(b, "  takes %d min\n  sells stall at %d\n", pick(rng, 5, 30), pick(rng, 8, 60));
	}
	for (int p = 0; p < pieces; p++)
		buf_printf(b, "target P%d\n  sell %d by 2027-1%d-01 at stall%s\n", p,
			   pick(rng, 1, COUNT_MOST), pick(rng, 1, 2),
			   pick(rng, 0, 5) ? "" : ", 80% sure");
}

/* ---- every plan there is ---- */

/* What a plan takes, counted anew: day by day, lot by lot. */
static struct plan_room room_by_hand(const struct farm *farm, const struct plan *plan)
{
	struct plan_room room = { .metres = 0 };
	double line[DAYS] = { 0 };
	day zero = build_day("2027-01-01");
	for (size_t c = 0; c < farm->ncrops; c++) {
		const struct crop *crop = &farm->crops[c];
		for (size_t i = 0; i < plan->crops[c].nsowings; i++) {
			const struct plan_sowing *s = &plan->crops[c].sowings[i];
			room.metres += s->planned ? s->metres : 0;
			for (size_t w = 0; s->planned && w < s->nweeks; w++) {
				double hung = s->weeks[w].stems * (1 - crop->loss[STAGE_FIELD].v);
				double bundles = ceil(hung / crop->bundle.v - 1e-9);
				day from = s->weeks[w].monday > s->first_cut ? s->weeks[w].monday : s->first_cut;
				for (day d = from; d < from + (day)crop->drying_days.v; d++)
					line[d - zero] += bundles * crop->bundle_line.v;
				room.boxes += hung * (1 - crop->loss[STAGE_DRYING].v) / crop->per_box.v;
			}
		}
	}
	for (size_t d = 0; d < DAYS; d++)
		room.line = fmax(room.line, line[d]);
	return room;
}

static bool holds(const struct plan_room *used, const struct plan_room *limits)
{
	return used->metres <= limits->metres * (1 + 1e-9) && used->line <= limits->line * (1 + 1e-9) &&
	       ceil(used->boxes - 1e-6) <= limits->boxes;
}

/* The best of all plans with counts 0..asked; -INFINITY when none fits. */
static double best_of_all(const struct small *s, const struct plan_room *limits, double *all_metres)
{
	double best = -INFINITY;
	size_t n = s->farm->ntargets, total = 1;
	for (size_t t = 0; t < n; t++)
		total *= (size_t)s->farm->targets[t].count.v + 1;
	for (size_t k = 0; k < total; k++) {
		struct arena a;
		struct remarks aside;
		struct diag diag;
		struct plan plan;
		struct plan_wish wishes[TARGETS_MOST];
		size_t rest = k;
		arena_init(&a);
		remarks_init(&aside, &a);
		diag_init(&diag, &a);
		for (size_t t = 0; t < n; t++) {
			const struct target *from = &s->farm->targets[t];
			size_t most = (size_t)from->count.v + 1;
			wishes[t] = (struct plan_wish){ from->piece, from->outlet, (double)(rest % most), from->by,
							from->sure.given ? from->sure.v : (double)NAN };
			rest /= most;
		}
		struct plan_options options = { .wishes = wishes, .nwishes = n, .has_wishes = true };
		assert_int_equal(plan_reckon(&plan, s->farm, &s->now.stock, &s->now.costs, &s->now.prices,
					     &options, &a, &aside, &diag),
				 0);
		struct plan_room room = room_by_hand(s->farm, &plan);
		*all_metres = room.metres; /* of the last one: everything */
		if (holds(&room, limits) && plan.contribution > best)
			best = plan.contribution;
		arena_release(&a);
	}
	return best;
}

/* Limits between nothing and what all targets would take. */
static struct plan_room draw_limits(struct small *s, uint64_t *rng)
{
	struct plan plan;
	struct remarks aside;
	remarks_init(&aside, &s->arena);
	assert_int_equal(plan_reckon(&plan, s->farm, &s->now.stock, &s->now.costs, &s->now.prices, NULL,
				     &s->arena, &aside, &s->diag),
			 0);
	struct plan_room all = room_by_hand(s->farm, &plan);
	assert_near(all.metres, plan.metres);
	struct plan_room limits = { .racks = (double)NAN, .hours = (double)NAN };
	limits.metres = floor(all.metres * (0.2 + build_random(rng)));
	limits.line = floor(all.line * (0.2 + build_random(rng)));
	limits.boxes = floor(all.boxes * (0.2 + build_random(rng)) + 0.5);
	return limits;
}

static void equals_exhaustive_search(void **state)
{
	(void)state;
	size_t all_fit = 0, shrunk = 0, nothing = 0;
	for (uint64_t seed = 1; seed <= farms; seed++) {
		struct small s;
		struct plan_fit fit;
		struct buf text;
		uint64_t rng = seed * 7919;
		double metres;
		buf_init(&text, 1 << 16);
		draw(&text, &rng);
		load(&s, text.data);
		struct plan_fit_options options = { .limits = draw_limits(&s, &rng) };
		assert_int_equal(plan_fit(&fit, s.farm, &s.now.stock, &s.now.costs, &s.now.prices, &options,
					  &s.arena, &s.diag),
				 0);
		double best = best_of_all(&s, &options.limits, &metres);
		assert_near(fit.wanted.metres, metres);
		if (fit.state == PLAN_FIT_ALL) { /* all of it, whether less would pay better or not */
			assert_true(fit.earns <= best + 1e-9);
			all_fit++;
		} else {
			if (fit.state != PLAN_FIT_FOUND || !help_is_near(fit.earns, best, 1e-9, 1e-9))
				fail_msg("seed %d: state %d, %.6f of %.6f\n%s", (int)seed, (int)fit.state,
					 fit.earns, best, text.data);
			assert_near(fit.bound, fit.earns);
			double pieces = 0, asked = 0;
			for (size_t t = 0; t < fit.n; t++) {
				assert_true(fit.wishes[t].count >= 0 && fit.wishes[t].count <= fit.asked[t]);
				pieces += fit.wishes[t].count;
				asked += fit.asked[t];
			}
			assert_true(pieces < asked);
			assert_true(holds(&fit.used, &options.limits));
			nothing += pieces <= 0;
			shrunk++;
		}
		buf_release(&text);
		unload(&s);
	}
	/* Enough of each kind to have tested it. */
	print_message("%zu fit, %zu shrunk, %zu of them to nothing\n", all_fit, shrunk, nothing);
	assert_true(shrunk - nothing > farms / 8);
}

/* Stopped early: what it has fits, and the bound is not below the best there is. */
static void stopped_early(void **state)
{
	(void)state;
	size_t stopped = 0;
	for (uint64_t seed = 301; seed <= 308; seed++) {
		struct small s;
		struct plan_fit fit;
		struct buf text;
		uint64_t rng = seed * 104729;
		double metres;
		buf_init(&text, 1 << 16);
		draw(&text, &rng);
		load(&s, text.data);
		struct plan_fit_options options = { .limits = draw_limits(&s, &rng), .looks = 6 };
		assert_int_equal(plan_fit(&fit, s.farm, &s.now.stock, &s.now.costs, &s.now.prices, &options,
					  &s.arena, &s.diag),
				 0);
		double best = best_of_all(&s, &options.limits, &metres);
		if (fit.state == PLAN_FIT_STOPPED) {
			assert_true(fit.earns <= best + 1e-9 && fit.bound >= best - 1e-9);
			assert_true(holds(&fit.used, &options.limits));
			stopped++;
		}
		buf_release(&text);
		unload(&s);
	}
	assert_true(stopped > 1);
}

/* By hand; what one more metre is worth, another search says. */
static void by_hand(void **state)
{
	(void)state;
	struct small s;
	struct plan_fit fit;
	load(&s, "farm F\n  frost last 2027-04-24\n"
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
	unload(&s);
}

int main(int argc, char **argv)
{
	for (const char *p = argc > 1 ? argv[1] : ""; *p; p++)
		farms = (p == argv[1] ? 0 : farms * 10) + (size_t)(*p - '0');
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(equals_exhaustive_search),
		cmocka_unit_test(stopped_early),
		cmocka_unit_test(by_hand),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
