/* test_plan_fit.c - the best plan within the limits, against every plan there is. */
#include "reckon/plan_fit.h"

#include <math.h>

#include "base/buf.h"
#include "help_farm.h"
#include "reckon/calendar.h"
#include "reckon/reckon.h"

enum { CROPS = 2, TARGETS_MOST = 3, COUNT_MOST = 3, DAYS = 798 };

/* `make check-book` says 200; make check stays short. */
static size_t farms = 24;

static const char *const COLOURS[] = { "rust", "gold", "white" };

struct small {
	struct arena arena;
	struct diag diag;
	struct farm *farm;
	struct reckoning now;
	char *folder;
};

static void load_with(struct small *s, const char *text, const char *stock, const char *orders)
{
	struct load_options options = { 0 };
	s->folder = help_folder();
	help_write(help_path(s->folder, "farm.txt"), text);
	if (stock)
		help_write(help_path(s->folder, "stock.csv"), stock);
	if (orders)
		help_write(help_path(s->folder, "orders.csv"), orders);
	arena_init(&s->arena);
	diag_init(&s->diag, &s->arena);
	if (farm_load(&s->farm, &s->arena, s->folder, &options, &s->diag))
		fail_msg("%.*s\n%s", STR_ARG(s->diag.items[0].text), text);
	assert_int_equal(reckon(&s->now, s->farm, build_day("2026-11-25"), RECKON_PRICES, false, NULL,
				&s->arena, &s->diag),
			 0);
}

static void load(struct small *s, const char *text)
{
	load_with(s, text, NULL, NULL);
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

/* Sown in spring, or standing; on the line, or on racks.  rich: in colours. */
static void draw_crop(struct buf *b, uint64_t *rng, int c, bool rich)
{
	bool stands = pick(rng, 0, 3) == 0;
	buf_printf(b, "crop C%d\n  loses %d%% field, %d%% drying, 1%% storage per month\n", c,
		   pick(rng, 0, 15), pick(rng, 0, 15));
	if (pick(rng, 0, 3))
		buf_printf(b, "  hangs %d stem per bundle, %d cm of line per bundle, %d days\n", pick(rng, 5, 20),
			   pick(rng, 5, 12), pick(rng, 7, 16));
	else
		buf_printf(b, "  lies %d stem per m2 of rack, %d days\n", pick(rng, 100, 400), pick(rng, 5, 12));
	buf_printf(b, "  boxes %d stem per box\n  works cut %d, strip 400, bundle 300 stem per h; box 90 s per box\n",
		   pick(rng, 20, 60), pick(rng, 100, 500));
	if (stands)
		buf_printf(b,
			   "  stands %d m of bed, planted 2024-05-10, bears 6 years, 30 to plant\n"
			   "  plants on 2024-05-10, 25 cm apart, %d rows, 90%% live\n"
			   "  cuts on 2027-07-0%d, over %d weeks, %d stem per plant%s\n",
			   pick(rng, 1, 3), pick(rng, 1, 3), pick(rng, 1, 9), pick(rng, 1, 5), pick(rng, 3, 9),
			   pick(rng, 0, 3) ? "" : ", usually 2 to 12");
	else
		buf_printf(b,
			   "  sows 7 weeks before last frost, germinates 80%%, 50 cells per tray, 3 per %d seeds\n"
			   "  plants %d weeks after last frost, 25 cm apart, %d rows, 90%% live\n"
			   "  cuts from 10 weeks after planting, over %d weeks, %d stem per plant%s\n",
			   pick(rng, 10, 100), pick(rng, 1, 4), pick(rng, 2, 5), pick(rng, 2, 6), pick(rng, 3, 9),
			   pick(rng, 0, 3) ? "" : ", usually 2 to 12");
	if (rich)
		buf_text(b, pick(rng, 0, 1) ? "  colours rust 50%, gold 30%, white 20%\n"
					    : "  colours rust, gold, white\n");
}

/* Stems of a crop; rich: now and then in some colours, or of a length. */
static void draw_stems(struct buf *b, uint64_t *rng, int stems, int c, bool rich)
{
	buf_printf(b, "%d stem C%d", stems, c);
	int colour = rich ? pick(rng, 0, 5) : 0, first = colour ? pick(rng, 0, 2) : 0;
	const char *one = COLOURS[first], *other = COLOURS[(first + 1) % 3];
	if (colour == 1)
		buf_printf(b, ", colour %s", one);
	else if (colour == 2)
		buf_printf(b, ", colour %s or %s", one, other);
	else if (colour == 3)
		buf_printf(b, ", one colour of %s, %s", one, other);
	if (rich && pick(rng, 0, 2) == 0)
		buf_printf(b, ", from %d cm%s", pick(rng, 2, 5) * 10, pick(rng, 0, 3) ? "" : " to 60 cm");
	buf_text(b, "\n");
}

/* One way, or two. */
static void draw_need(struct buf *b, uint64_t *rng, int stems, int c, int crops, bool rich)
{
	buf_text(b, "  needs ");
	draw_stems(b, rng, stems, c, rich);
	if (!rich || crops < 2 || pick(rng, 0, 1))
		return;
	buf_text(b, "     or ");
	draw_stems(b, rng, pick(rng, 4, 30), (c + 1) % crops, rich);
}

static void draw(struct buf *b, uint64_t *rng, bool rich)
{
	int pieces = pick(rng, 0, 7) ? 2 : TARGETS_MOST, crops = pick(rng, 1, CROPS);
	bool parts = pick(rng, 0, 2) == 0;
	buf_printf(b, "farm F\n  currency EUR\n  wage %d per h\n  growing %d per m of bed\n"
		      "  frost last 2027-04-24\n",
		   pick(rng, 5, 20), pick(rng, 0, 5));
	for (int c = 0; c < crops; c++)
		draw_crop(b, rng, c, rich);
	if (parts) {
		buf_printf(b, "part Tuft\n  makes %d each\n", pick(rng, 1, 4));
		draw_need(b, rng, pick(rng, 5, 20), 0, crops, rich);
	}
	buf_printf(b, "outlet stall\n  fee 3%%\n  spoils %d%%\n", pick(rng, 0, 2) * 5);
	for (int p = 0; p < pieces; p++) {
		int first = pick(rng, 4, 30), second = crops > 1 && pick(rng, 0, 1) ? pick(rng, 4, 30) : 0;
		buf_printf(b, "piece P%d\n", p);
		draw_need(b, rng, first, p % crops, crops, rich);
		if (second)
			draw_need(b, rng, second, (p + 1) % crops, crops, rich);
		if (parts && pick(rng, 0, 1))
			buf_printf(b, "  needs %d each Tuft\n", pick(rng, 1, 3));
		buf_printf(b, "  takes %d min\n  sells stall at %d\n", pick(rng, 5, 30), pick(rng, 8, 60));
	}
	for (int p = 0; p < pieces; p++)
		buf_printf(b, "target P%d\n  sell %d by 2027-1%d-01 at stall%s\n", p,
			   pick(rng, 1, COUNT_MOST), pick(rng, 0, 2),
			   pick(rng, 0, 2) ? "" : pick(rng, 0, 1) ? ", 80% sure" : ", 90% sure");
}

/* Now and then boxes, parts and pieces that are there already, and an order.  rich: boxes of
 * a colour and a length, which say how many stems are so long. */
static const char *draw_stock(struct buf *b, uint64_t *rng, bool parts, bool rich)
{
	if (pick(rng, 0, 1))
		return NULL;
	buf_printf(b, "box,what,count,unit,colour,length,boxed,counted\nB1,C0,%d,stem,,,2026-09-01,2026-11-20\n",
		   pick(rng, 5, 60));
	if (pick(rng, 0, 1))
		buf_printf(b, "B2,P0,%d,each,,,,2026-11-20\n", pick(rng, 1, 2));
	if (parts)
		buf_printf(b, "B3,Tuft,%d,each,,,,2026-11-20\n", pick(rng, 1, 5));
	for (int i = rich ? pick(rng, 0, 3) : 0; i > 0; i--)
		buf_printf(b, "L%d,C0,%d,stem,%s,%d,2026-09-0%d,2026-11-20\n", i, pick(rng, 3, 40),
			   COLOURS[pick(rng, 0, 2)], pick(rng, 1, 6) * 10, pick(rng, 1, 9));
	return b->data;
}

static const char *draw_orders(struct buf *b, uint64_t *rng)
{
	if (pick(rng, 0, 2))
		return NULL;
	buf_printf(b, "order,piece,count,outlet,due,price\nO1,P%d,%d,stall,2027-1%d-15,20\n", pick(rng, 0, 1),
		   pick(rng, 1, 2), pick(rng, 0, 2));
	return b->data;
}

/* ---- every plan there is ---- */

struct by_hand {
	struct plan_room room;
	double beyond;          /* usable stems that cannot be there, stems that no bed bears */
};

static double seconds(const struct crop *c, enum work w, double stems, double boxes)
{
	return c->works[w].seconds.v * (c->works[w].per == PER_BOX ? boxes : stems);
}

/* Stems that a standing bed bears in a usual season: whole plants in each row. */
static double bears(const struct crop *c)
{
	const struct planting *p = &c->plantings[0];
	return floor(floor(c->standing.metres.v / p->apart.v + 1e-9) * p->rows.v * p->live.v * c->cutting.per_plant.v +
		     1e-9);
}

/* What a plan takes, counted anew: day by day, week by week, lot by lot. */
static struct by_hand room_by_hand(const struct farm *farm, const struct plan *plan)
{
	struct by_hand out = { .beyond = 0 };
	double line[DAYS] = { 0 }, racks[DAYS] = { 0 }, work[DAYS / 7 + 1] = { 0 };
	day zero = build_day("2026-12-28"); /* a Monday */
	for (size_t c = 0; c < farm->ncrops; c++) {
		const struct crop *crop = &farm->crops[c];
		out.room.metres += crop->standing.metres.v;
		if (crop->standing.metres.given)
			out.beyond += fmax(0, (double)plan->crops[c].cut - bears(crop));
		for (size_t i = 0; i < plan->crops[c].nsowings; i++) {
			const struct plan_sowing *s = &plan->crops[c].sowings[i];
			out.room.metres += s->planned && !crop->standing.metres.given ? s->metres : 0;
			for (size_t w = 0; s->planned && w < s->nweeks; w++) {
				double hung = s->weeks[w].stems * (1 - crop->loss[STAGE_FIELD].v);
				double boxed = hung * (1 - crop->loss[STAGE_DRYING].v), boxes = boxed / crop->per_box.v;
				day from = s->weeks[w].monday > s->first_cut ? s->weeks[w].monday : s->first_cut;
				day to = from + (day)crop->drying_days.v;
				for (day d = from; d < to && crop->bundle.v > 0; d++)
					line[d - zero] += ceil(hung / crop->bundle.v - 1e-9) * crop->bundle_line.v;
				for (day d = from; d < to && crop->per_area.v > 0; d++)
					racks[d - zero] += hung / crop->per_area.v;
				work[(from - zero) / 7] += seconds(crop, WORK_CUT, s->weeks[w].stems, 0) +
							   seconds(crop, WORK_STRIP, s->weeks[w].stems, 0) +
							   seconds(crop, WORK_BUNDLE, hung, 0);
				work[(to - zero) / 7] += seconds(crop, WORK_BOX, boxed, boxes);
				out.room.boxes += boxes;
			}
		}
	}
	for (size_t d = 0; d < DAYS; d++) {
		out.room.line = fmax(out.room.line, line[d]);
		out.room.racks = fmax(out.room.racks, racks[d]);
		out.room.hours = fmax(out.room.hours, work[d / 7] / 3600);
	}
	for (size_t i = 0; i < plan->nlines; i++)
		out.beyond += plan->lines[i].lacking;
	return out;
}

static bool holds(const struct plan_room *used, const struct plan_room *limits)
{
	return used->metres <= limits->metres * (1 + 1e-9) && used->line <= limits->line * (1 + 1e-9) &&
	       used->racks <= limits->racks * (1 + 1e-9) && used->hours <= limits->hours * (1 + 1e-9) &&
	       ceil(used->boxes - 1e-6) <= limits->boxes;
}

/* What the targets bring less what growing costs. */
static double earned(const struct plan *plan, size_t targets)
{
	double sum = -plan->money.total;
	for (size_t t = 0; t < targets; t++)
		sum += plan->lines[t].contribution;
	return sum;
}

static void plan_of(struct plan *plan, const struct small *s, size_t number, struct arena *a)
{
	struct remarks aside;
	struct diag diag;
	struct plan_wish wishes[TARGETS_MOST];
	remarks_init(&aside, a);
	diag_init(&diag, a);
	for (size_t t = 0; t < s->farm->ntargets; t++) {
		const struct target *from = &s->farm->targets[t];
		size_t most = (size_t)from->count.v + 1;
		wishes[t] = (struct plan_wish){ from->piece, from->outlet, (double)(number % most), from->by,
						from->sure.given ? from->sure.v : (double)NAN };
		number /= most;
	}
	struct plan_options options = { .wishes = wishes, .nwishes = s->farm->ntargets, .has_wishes = true };
	assert_int_equal(plan_reckon(plan, s->farm, &s->now.stock, &s->now.costs, &s->now.prices, &options, a,
				     &aside, &diag),
			 0);
}

static size_t plans_of(const struct small *s)
{
	size_t total = 1;
	for (size_t t = 0; t < s->farm->ntargets; t++)
		total *= (size_t)s->farm->targets[t].count.v + 1;
	return total;
}

/* The best of all plans with counts 0..asked; -INFINITY when none fits. */
static double best_of_all(const struct small *s, const struct plan_room *limits, struct by_hand *all)
{
	double best = -INFINITY, base = 0;
	for (size_t k = 0; k < plans_of(s); k++) {
		struct arena a;
		struct plan plan;
		arena_init(&a);
		plan_of(&plan, s, k, &a);
		*all = room_by_hand(s->farm, &plan); /* of the last one: everything */
		base = k == 0 ? all->beyond : base;
		if (holds(&all->room, limits) && all->beyond <= base + 1e-6)
			best = fmax(best, earned(&plan, s->farm->ntargets));
		arena_release(&a);
	}
	return best;
}

/* Limits between nothing and what all targets would take; each of them now and then none. */
static struct plan_room draw_limits(struct small *s, uint64_t *rng)
{
	struct plan plan;
	struct plan_room limits;
	plan_of(&plan, s, plans_of(s) - 1, &s->arena);
	struct plan_room all = room_by_hand(s->farm, &plan).room;
	assert_near(all.metres, plan.metres);
	limits.metres = pick(rng, 0, 2) ? floor(all.metres * (0.2 + build_random(rng))) : (double)NAN;
	limits.line = pick(rng, 0, 2) ? floor(all.line * (0.2 + build_random(rng))) : (double)NAN;
	limits.racks = pick(rng, 0, 2) ? floor(all.racks * (0.2 + build_random(rng))) : (double)NAN;
	limits.boxes = pick(rng, 0, 2) ? floor(all.boxes * (0.2 + build_random(rng)) + 0.5) : (double)NAN;
	limits.hours = pick(rng, 0, 1) ? all.hours * (0.3 + build_random(rng)) : (double)NAN;
	return limits;
}

/* Every limit counts. */
static struct plan_room with_infinity(struct plan_room l)
{
	double *all[] = { &l.metres, &l.line, &l.racks, &l.boxes, &l.hours };
	for (size_t i = 0; i < sizeof all / sizeof all[0]; i++)
		*all[i] = isnan(*all[i]) ? INFINITY : *all[i];
	return l;
}

static void make_farm(struct small *s, struct buf *text, uint64_t *rng, bool rich)
{
	struct buf stock, orders;
	buf_init(text, 1 << 16);
	buf_init(&stock, 1 << 12);
	buf_init(&orders, 1 << 12);
	draw(text, rng, rich);
	const char *boxes = draw_stock(&stock, rng, strstr(text->data, "part Tuft") != NULL, rich);
	load_with(s, text->data, boxes, draw_orders(&orders, rng));
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
	assert_true(holds(&fit->used, limits));
	n->nothing += pieces <= 0;
	n->shrunk++;
}

static void one_farm(uint64_t seed, bool rich, struct tally *n)
{
	struct small s;
	struct plan_fit fit;
	struct buf text;
	struct by_hand all;
	uint64_t rng = seed * 7919;
	make_farm(&s, &text, &rng, rich);
	struct plan_fit_options options = { .limits = draw_limits(&s, &rng), .looks = 4000 };
	struct plan_room limits = with_infinity(options.limits);
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
	unload(&s);
}

static void all_farms(bool rich)
{
	struct tally n = { 0 };
	for (uint64_t seed = 1; seed <= farms; seed++)
		one_farm(seed, rich, &n);
	/* Enough of each kind to have tested it. */
	print_message("%zu fit, %zu shrunk, %zu of them to nothing, %zu without room for orders, %zu with other ways\n",
		      n.all_fit, n.shrunk, n.nothing, n.no_room, n.other_ways);
	assert_true(n.shrunk - n.nothing > farms / 8);
}

static void equals_exhaustive_search(void **state)
{
	(void)state;
	all_farms(false);
}

/* With ways to choose from, colours and lengths. */
static void equals_it_with_rich_recipes(void **state)
{
	(void)state;
	all_farms(true);
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
		make_farm(&s, &text, &rng, seed % 4 > 1);
		struct plan_fit_options options = { .limits = draw_limits(&s, &rng) };
		options.looks = seed % 2 ? 3 : 0;
		options.gap = seed % 2 ? 0 : 0.1;
		struct plan_room limits = with_infinity(options.limits);
		assert_int_equal(plan_fit(&fit, s.farm, &s.now.stock, &s.now.costs, &s.now.prices, &options,
					  &s.arena, &s.diag),
				 0);
		double best = best_of_all(&s, &limits, &all);
		if (fit.state == PLAN_FIT_STOPPED || fit.state == PLAN_FIT_FOUND) {
			assert_true(fit.earns <= best + 1e-9 && fit.bound >= best - 1e-9);
			assert_true(holds(&fit.used, &limits));
			stopped += fit.state == PLAN_FIT_STOPPED;
			near += fit.state == PLAN_FIT_FOUND && fit.bound > fit.earns;
		}
		if (fit.state == PLAN_FIT_FOUND)
			assert_true(fit.bound <= fit.earns + options.gap * fmax(1, fabs(fit.earns)) + 1e-6);
		buf_release(&text);
		unload(&s);
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

/* By hand: a bed of 20 stems is enough for two pieces of four; the others take another way,
 * as far as there is bed for it.  Nothing costs anything, so each piece earns its 20. */
static void with_other_ways(void **state)
{
	(void)state;
	struct small s;
	struct plan_fit fit;
	load(&s, "farm F\n  frost last 2027-04-24\n"
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
	assert_int_equal(fit.state, PLAN_FIT_STOPPED);
	assert_true(fit.other_ways);
	assert_near(fit.wishes[0].count, 3);
	assert_near(fit.used.metres, 7500);
	assert_near(fit.earns, 60);
	options.limits.metres = 5100; /* none */
	plan_fit(&fit, s.farm, &s.now.stock, &s.now.costs, &s.now.prices, &options, &s.arena, &s.diag);
	assert_int_equal(fit.state, PLAN_FIT_FOUND);
	assert_false(fit.other_ways);
	assert_near(fit.wishes[0].count, 2);
	unload(&s);
}

int main(int argc, char **argv)
{
	for (const char *p = argc > 1 ? argv[1] : ""; *p; p++)
		farms = (p == argv[1] ? 0 : farms * 10) + (size_t)(*p - '0');
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(equals_exhaustive_search),
		cmocka_unit_test(equals_it_with_rich_recipes),
		cmocka_unit_test(stopped_early),
		cmocka_unit_test(by_hand),
		cmocka_unit_test(with_other_ways),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
