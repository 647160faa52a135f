/* help_plans.c - see help_plans.h. */
#include "help_plans.h"

#include <math.h>

#include "base/buf.h"
#include "help.h"
#include "help_simulate.h"
#include "reckon/plan.h"
#include "reckon/reckon.h"

#define LAST_FROST date_from_civil(2027, 4, 24)
#define LATEST 240.0 /* days after it */

uint64_t plan_seed(uint64_t number, uint64_t seed)
{
	/* S. Vigna's splitmix64, so that neighbours have nothing in common; from memory. */
	uint64_t x = (number + 1) * 0x9e3779b97f4a7c15u + seed * 0xd1342543de82ef95u;
	x = (x ^ (x >> 30)) * 0xbf58476d1ce4e5b9u;
	x = (x ^ (x >> 27)) * 0x94d049bb133111ebu;
	return x ^ (x >> 31);
}

/* ---- the farm ---- */

static double per_cent(double low, double high, uint64_t *state)
{
	return simulate_whole(low, high, state) / 100;
}

static void make_crop(struct grown *g, uint64_t *state)
{
	static const double most[STEPS] = { 12, 18, 2, 8 };
	for (int i = 0; i < STEPS; i++)
		g->loss[i] = per_cent(0, most[i], state);
	g->weighs = build_random(state) < 0.5 ? 10 : simulate_whole(20, 80, state);
	g->germinates = per_cent(50, 98, state);
	g->seeds = simulate_whole(1, 3, state);
	g->live = per_cent(65, 100, state);
	g->per_plant = simulate_whole(1, 30, state);
	g->low = floor(g->per_plant * (0.5 + 0.5 * build_random(state)) * 10) / 10;
	g->high = ceil(g->per_plant * (1 + 0.6 * build_random(state)) * 10) / 10;
	g->weeks = simulate_whole(1, 10, state);
	g->drying = simulate_whole(1, 21, state);
	g->sowings = build_random(state) < 0.3 ? 2 : 1;
}

static void make_line(struct wanted *l, size_t crops, double share, uint64_t *state)
{
	static const double sure[] = { 0.5, 0.7, 0.8, 0.9, 0.95 };
	l->pieces = floor(exp(log(61) * build_random(state)));
	l->sure = sure[(size_t)simulate_whole(0, 4, state)];
	l->day = LATEST;
	for (size_t i = 0; i < crops; i++)
		l->count[i] = i == 0 || build_random(state) < share ? simulate_whole(1, 24, state) : 0;
}

/* Not before a fifth of the first sowing of each of its crops is there. */
static void set_day(struct wanted *l, const struct made_up *m, uint64_t *state)
{
	double first = 0;
	for (size_t i = 0; i < m->n; i++) {
		const struct grown *g = &m->crops[i];
		if (l->count[i] > 0)
			first = fmax(first, ceil(seasons_boxed(g, 0) + 7 * g->weeks / 5));
	}
	l->day = simulate_whole(first, LATEST, state);
}

static void make_up(struct made_up *m, uint64_t *state)
{
	m->n = (size_t)simulate_whole(2, CROPS_MOST, state);
	m->nlines = build_random(state) < 0.5 ? 2 : 1;
	for (size_t i = 0; i < m->n; i++)
		make_crop(&m->crops[i], state);
	make_line(&m->lines[0], m->n, 1, state);
	if (m->nlines > 1) {
		make_line(&m->lines[1], m->n, 0.6, state);
		set_day(&m->lines[1], m, state);
	}
}

static void write_crop(struct buf *b, size_t i, const struct grown *g)
{
	buf_printf(b,
		   "crop C%zu\n  loses %.0f%% field, %.0f%% drying, %.0f%% storage per month, "
		   "%.0f%% bench, weighs %.0f stem\n  hangs 10 stem per bundle, %.0f days\n",
		   i, g->loss[0] * 100, g->loss[1] * 100, g->loss[2] * 100, g->loss[3] * 100,
		   g->weighs, g->drying);
	for (int k = 0; k < g->sowings; k++)
		buf_printf(b,
			   "  sows %d weeks before last frost, germinates %.0f%%, 128 cells per tray, "
			   "%.0f seeds per cell\n  plants %d weeks after last frost, 20 cm apart, 3 "
			   "rows, %.0f%% live\n",
			   7 - k * 3, g->germinates * 100, g->seeds, seasons_planted(k), g->live * 100);
	buf_printf(b,
		   "  cuts from 9 weeks after planting, over %.0f weeks, %.0f stem per plant, usually "
		   "%.1f to %.1f\n",
		   g->weeks, g->per_plant, g->low, g->high);
}

static void write_farm(struct buf *b, const struct made_up *m)
{
	buf_text(b, "farm Made up\n  frost last 2027-04-24\n");
	for (size_t i = 0; i < m->n; i++)
		write_crop(b, i, &m->crops[i]);
	for (size_t j = 0; j < m->nlines; j++) {
		const struct wanted *l = &m->lines[j];
		struct civil by = date_civil(LAST_FROST + (day)l->day);
		buf_printf(b, "piece P%zu\n", j);
		for (size_t i = 0; i < m->n; i++) {
			if (l->count[i] > 0)
				buf_printf(b, "  needs %.0f stem C%zu\n", l->count[i], i);
		}
		buf_printf(b, "target P%zu\n  sell %.0f by %04d-%02d-%02d, %.0f%% sure\n", j, l->pieces,
			   by.year, by.month, by.mday, l->sure * 100);
	}
}

/* ---- the plan ---- */

static void follow(struct done *d, const struct plan_crop *c, const struct grown *g, bool plain)
{
	*d = (struct done){ .sown = !plain };
	for (int i = 0; i < g->sowings && c->cut > 0; i++) {
		const struct plan_sowing *s = &c->sowings[i];
		double stems = (double)s->stems * (double)c->plain / (double)c->cut;
		d->plants[i] = plain ? ceil(stems / g->per_plant / g->live) : (double)s->plants_out;
		d->cells[i] = (double)s->cells;
	}
}

static void plan_of(struct plan *out, const char *folder, struct arena *a)
{
	struct diag diag;
	struct farm *farm;
	struct reckoning now;
	struct load_options load = { .nsuppose = 0 };
	diag_init(&diag, a);
	assert_int_equal(farm_load(&farm, a, folder, &load, &diag), 0);
	assert_int_equal(reckon(&now, farm, date_from_civil(2026, 11, 25), RECKON_STOCK, false, NULL, a,
				&diag),
			 0);
	assert_int_equal(plan_reckon(out, farm, &now.stock, NULL, NULL, NULL, a, &now.remarks, &diag), 0);
}

static void take(struct made_plan *out, const struct plan *plan)
{
	for (size_t i = 0; i < out->farm.n; i++) {
		follow(&out->done[i], &plan->crops[i], &out->farm.crops[i], false);
		follow(&out->plain[i], &plan->crops[i], &out->farm.crops[i], true);
	}
	for (size_t i = 0; i < plan->npools; i++) {
		const struct plan_pool *p = &plan->pools[i];
		out->pools[p->crop] = (struct pool_asked){ p->need, p->cut, p->chance_wanted };
	}
	for (size_t j = 0; j < out->farm.nlines; j++) {
		assert_true(!(plan->lines[j].lacking > 0));
		out->said[j] = plan->lines[j].chance;
		out->plain_said[j] = plan->lines[j].plain_chance;
	}
}

void make_plan(struct made_plan *out, uint64_t number)
{
	struct buf b;
	struct arena a;
	struct plan plan;
	uint64_t state = plan_seed(number, 0);
	char *folder = help_folder();
	*out = (struct made_plan){ .farm = { .n = 0 } };
	make_up(&out->farm, &state);
	buf_init(&b, 1 << 16);
	write_farm(&b, &out->farm);
	help_write(help_path(folder, "farm.txt"), b.data);
	arena_init(&a);
	plan_of(&plan, folder, &a);
	take(out, &plan);
	arena_release(&a);
	buf_release(&b);
	help_remove(folder);
}
