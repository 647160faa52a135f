/* help_plans.c - see help_plans.h. */
#include "help_plans.h"

#include <math.h>

#include "base/buf.h"
#include "help_simulate.h"
#include "reckon/plan.h"
#include "reckon/reckon.h"

enum { CROPS_MOST = 5 };
#define RHO 0.1 /* how alike the stems of a batch fare where nothing is on record */

struct grown {                  /* a crop as the farm's text has it */
	double loss[STAGE_COUNT], weighs, germinates, seeds, live, per_plant, low, high, weeks, drying;
	double count;           /* stems in a piece */
	int sowings;
};
struct made_up {
	struct grown crops[CROPS_MOST];
	size_t n;
	double pieces, sure;
};

/* ---- the farm ---- */

static double per_cent(double low, double high, uint64_t *state)
{
	return simulate_whole(low, high, state) / 100;
}

static void make_crop(struct grown *g, uint64_t *state)
{
	static const double most[STAGE_COUNT] = { 12, 18, 2, 8 };
	for (int i = 0; i < STAGE_COUNT; i++)
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
	g->count = simulate_whole(1, 24, state);
	g->sowings = build_random(state) < 0.3 ? 2 : 1;
}

static void make_up(struct made_up *m, uint64_t *state)
{
	static const double sure[] = { 0.5, 0.7, 0.8, 0.9, 0.95 };
	m->n = (size_t)simulate_whole(1, CROPS_MOST, state);
	m->pieces = simulate_whole(3, 60, state);
	m->sure = sure[(size_t)simulate_whole(0, 4, state)];
	for (size_t i = 0; i < m->n; i++)
		make_crop(&m->crops[i], state);
}

static void write_farm(struct buf *b, const struct made_up *m)
{
	buf_text(b, "farm Made up\n  frost last 2027-04-24\n");
	for (size_t i = 0; i < m->n; i++) {
		const struct grown *g = &m->crops[i];
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
				   7 - k * 3, g->germinates * 100, g->seeds, 1 + k * 3, g->live * 100);
		buf_printf(b,
			   "  cuts from 9 weeks after planting, over %.0f weeks, %.0f stem per plant, usually "
			   "%.1f to %.1f\n",
			   g->weeks, g->per_plant, g->low, g->high);
	}
	buf_text(b, "piece P\n");
	for (size_t i = 0; i < m->n; i++)
		buf_printf(b, "  needs %.0f stem C%zu\n", m->crops[i].count, i);
	buf_printf(b, "target P\n  sell %.0f by 2027-12-20, %.0f%% sure\n", m->pieces, m->sure * 100);
}

/* ---- a season ---- */

/* Binomial counts in one draw: rounded normal where that is good, else one by one. */
static double count_of(double n, double p, uint64_t *state)
{
	double mean = n * p, sd = sqrt(mean * (1 - p));
	if (sd < 6)
		return simulate_binomial(n, p, state);
	return fmin(n, fmax(0, floor(mean + sd * simulate_normal(state) + 0.5)));
}

static double yield_of(const struct grown *g, uint64_t *state)
{
	double z = simulate_normal(state) / 1.2815515655446004;
	return g->per_plant *
	       (z < 0 ? pow(g->low / g->per_plant, -z) : pow(g->high / g->per_plant, z));
}

/* Stems that a batch keeps of a stage: its own rate, alike within the batch. */
static double keeps(double stems, double rate, double power, uint64_t *state)
{
	if (rate > 0 && rate < 1)
		rate = simulate_beta(rate * (1 / RHO - 1), (1 - rate) * (1 / RHO - 1), state);
	return count_of(stems, pow(1 - rate, power), state);
}

/* Stems of one sowing that end in pieces; `rates` are this year's. */
static double usable_of(const struct grown *g, const struct plan_sowing *s, double stems,
			const double *rates, day use, uint64_t *state)
{
	double batches = g->weeks, sum = 0;
	for (double b = 0; b < batches; b++) {
		double part = floor(stems * (b + 1) / batches) - floor(stems * b / batches);
		double boxed = s->first_boxed + (b + 0.5) * 7 - 0.5;
		double months = (use - boxed) / (365.25 / 12);
		part = keeps(part, rates[STAGE_FIELD], 1, state);
		part = keeps(part, rates[STAGE_DRYING], 1, state);
		part = keeps(part, rates[STAGE_STORAGE], months, state);
		sum += keeps(part, rates[STAGE_BENCH], 1, state);
	}
	return sum;
}

/* Plants that live, of what the plan sows and sets out; for the plain number: of so many
 * plants as it needs. */
static double living(const struct grown *g, double cells, double plants, bool sown, uint64_t *state)
{
	if (sown)
		plants = fmin(plants, count_of(cells, 1 - pow(1 - g->germinates, g->seeds), state));
	return count_of(plants, g->live, state);
}

static bool crop_meets(const struct grown *g, const struct plan_crop *c, double need, double scale,
		       day use, uint64_t *state)
{
	double rates[STAGE_COUNT], yield = yield_of(g, state), got = 0;
	for (int i = 0; i < STAGE_COUNT; i++)
		rates[i] = simulate_beta(g->loss[i] * g->weighs, (1 - g->loss[i]) * g->weighs, state);
	for (size_t i = 0; i < c->nsowings; i++) {
		const struct plan_sowing *s = &c->sowings[i];
		double plants = scale < 1 ? (double)s->stems * scale / g->per_plant / g->live
					  : (double)s->plants_out;
		double lives = living(g, (double)s->cells, floor(plants + 0.5), scale >= 1, state);
		got += usable_of(g, s, floor(lives * yield + 0.5), rates, use, state);
	}
	return got >= need;
}

static double share_met(const struct made_up *m, const struct plan *p, bool plain, size_t seasons,
			uint64_t *state)
{
	size_t met = 0;
	for (size_t i = 0; i < seasons; i++) {
		bool all = true;
		for (size_t k = 0; k < m->n && all; k++) {
			const struct plan_crop *c = &p->crops[k];
			double scale = plain ? (double)c->plain / (double)c->cut * (1 - 1e-12) : 1;
			all = crop_meets(&m->crops[k], c, m->pieces * m->crops[k].count, scale,
					 p->lines[0].wish.by, state);
		}
		met += all;
	}
	return (double)met / (double)seasons;
}

void try_plan(struct tried_plan *out, uint64_t *state, size_t seasons)
{
	struct made_up m;
	struct buf b;
	struct arena a;
	struct diag diag;
	struct farm *farm;
	struct reckoning now;
	struct plan plan;
	struct load_options load = { .nsuppose = 0 };
	char *folder = help_folder();
	make_up(&m, state);
	buf_init(&b, 1 << 16);
	write_farm(&b, &m);
	help_write(help_path(folder, "farm.txt"), b.data);
	arena_init(&a);
	diag_init(&diag, &a);
	assert_int_equal(farm_load(&farm, &a, folder, &load, &diag), 0);
	assert_int_equal(reckon(&now, farm, date_from_civil(2026, 11, 25), RECKON_STOCK, false, NULL, &a,
				&diag),
			 0);
	assert_int_equal(plan_reckon(&plan, farm, &now.stock, NULL, NULL, NULL, &a, &now.remarks, &diag),
			 0);
	*out = (struct tried_plan){ .crops = m.n, .sure = m.sure, .said = plan.lines[0].chance,
				    .plain_said = plan.lines[0].plain_chance };
	out->met = share_met(&m, &plan, false, seasons, state);
	out->plain_met = share_met(&m, &plan, true, seasons / 10 + 1, state);
	arena_release(&a);
	buf_release(&b);
	help_remove(folder);
}
