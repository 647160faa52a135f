/* help_seasons.c - see help_seasons.h. */
#include "help_seasons.h"

#include <math.h>

#include "help_simulate.h"

#define Z10 1.2815515655446004
#define DAYS_A_MONTH (365.25 / 12)
#define RHO 0.1 /* how alike the stems of a batch fare where nothing is on record */
enum { BATCHES_MOST = 12 * SOWINGS_MOST };

struct cutting_week {
	double boxed;           /* first of its seven days */
	double stems, left;     /* cut, even over these days; not yet given to a line */
	double kept, bench;     /* of a stem: through field and drying; at the bench */
	double box;             /* per month */
};

int seasons_planted(int sowing)
{
	return 1 + 3 * sowing;
}

double seasons_boxed(const struct grown *g, int sowing)
{
	return 7 * (seasons_planted(sowing) + 9) + g->drying;
}

static double drawn_yield(const struct grown *g, uint64_t *state)
{
	double z = simulate_normal(state) / Z10;
	return g->per_plant *
	       (z < 0 ? pow(g->low / g->per_plant, -z) : pow(g->high / g->per_plant, z));
}

/* A batch keeps so much of a step; `rate` is the season's. */
static double keeps(double rate, uint64_t *state)
{
	if (rate > 0 && rate < 1)
		rate = simulate_beta(rate * (1 / RHO - 1), (1 - rate) * (1 / RHO - 1), state);
	return 1 - rate;
}

static double living(const struct grown *g, const struct done *d, int sowing, uint64_t *state)
{
	double plants = d->plants[sowing], comes = 1 - pow(1 - g->germinates, g->seeds);
	if (d->sown)
		plants = fmin(plants, simulate_count(d->cells[sowing], comes, state));
	return simulate_count(plants, g->live, state);
}

/* A season's batches, the earliest first in each sowing. */
static size_t cut(struct cutting_week *out, const struct grown *g, const struct done *d, uint64_t *state)
{
	double rates[STEPS], yield = drawn_yield(g, state);
	size_t n = 0;
	for (int i = 0; i < STEPS; i++)
		rates[i] = simulate_beta(g->loss[i] * g->weighs, (1 - g->loss[i]) * g->weighs, state);
	for (int i = 0; i < g->sowings; i++) {
		double stems = floor(living(g, d, i, state) * yield + 0.5);
		for (double b = 0; b < g->weeks; b++) {
			struct cutting_week *one = &out[n++];
			one->boxed = seasons_boxed(g, i) + 7 * b;
			one->stems = floor(stems * (b + 1) / g->weeks) - floor(stems * b / g->weeks);
			one->left = one->stems;
			one->kept = keeps(rates[IN_FIELD], state) * keeps(rates[IN_DRYING], state);
			one->box = keeps(rates[IN_BOX], state);
			one->bench = keeps(rates[AT_BENCH], state);
		}
	}
	return n;
}

/* Stems of the batch that are good on that day, up to `need`; those that went into them
 * are no longer left. */
static double give(struct cutting_week *b, double by, double need, uint64_t *state)
{
	double days = fmin(7, by - b->boxed + 1), in_time = floor(b->stems * days / 7 + 0.5);
	double stems = fmin(b->left, in_time), months = (by - b->boxed - (days - 1) / 2) / DAYS_A_MONTH;
	if (!(days > 0) || !(stems > 0))
		return 0;
	double good = simulate_count(stems, b->kept * pow(b->box, months) * b->bench, state);
	if (good > need) {
		stems = ceil(stems * need / good);
		good = need;
	}
	b->left -= stems;
	return good;
}

/* The last ones first: earlier ones may be wanted for an earlier day. */
static bool serve(struct cutting_week *batches, size_t n, const struct wanted *line, double need,
		  uint64_t *state)
{
	for (size_t i = n; i-- > 0 && need > 0;)
		need -= give(&batches[i], line->day, need, state);
	return need <= 0;
}

static bool before(const struct wanted *a, const struct wanted *b)
{
	if (a->sure < b->sure || a->sure > b->sure)
		return a->sure > b->sure;
	return a->day < b->day;
}

void seasons_met(double *met, const struct made_up *m, const struct done *crops, size_t seasons,
		 uint64_t *state)
{
	size_t first = m->nlines > 1 && before(&m->lines[1], &m->lines[0]), times[LINES_MOST] = { 0 };
	for (size_t i = 0; i < seasons; i++) {
		bool all[LINES_MOST] = { true, true };
		for (size_t k = 0; k < m->n && (all[0] || (m->nlines > 1 && all[1])); k++) {
			struct cutting_week batches[BATCHES_MOST];
			size_t n = cut(batches, &m->crops[k], &crops[k], state);
			for (size_t j = 0; j < m->nlines; j++) {
				size_t at = j ? 1 - first : first;
				const struct wanted *l = &m->lines[at];
				double need = l->pieces * l->count[k];
				all[at] = serve(batches, n, l, need, state) && all[at];
			}
		}
		for (size_t j = 0; j < m->nlines; j++)
			times[j] += all[j];
	}
	for (size_t j = 0; j < m->nlines; j++)
		met[j] = (double)times[j] / (double)seasons;
}
