/* plan_sure.c - the chance that so many stems leave enough, by quadrature. */
#include "reckon/plan_sure.h"

#include <math.h>
#include <stdlib.h>

#include "reckon/loss.h"
#include "stat/stat.h"

enum {
	NOISE_POINTS = 9,       /* z from -4 to 4 */
	RATE_POINTS_MOST = 97,
	POOLED_MOST = 160
};
#define NOISE_REACH 4.0
#define LOGIT_LEAST (-9.2)      /* rates below 1e-4 count as 0 */
#define LOGIT_MOST  16.0
#define LOGIT_STEP  0.125       /* of the search for the ends: density down by exp(-20) */
#define POOL_REACH  10.0        /* logit of the outermost tail that is kept apart */
#define FAR         9.0         /* standard deviations: beyond it a chance is 0 or 1 */
#define TIE         (64 * 2.220446049250313e-16) /* stat_how_many's */
#define ROOT_HALF   0.70710678118654752440

/* A season smooths what follows; without one the steps of the binomial show. */
static int rate_points_for(const struct sure *s)
{
	return s->season ? 33 : RATE_POINTS_MOST;
}

static int pooled_for(const struct sure *s)
{
	return s->season ? 40 : POOLED_MOST;
}

struct sure_rate sure_certain(double rate)
{
	return (struct sure_rate){ rate, rate > 0 ? 1 : 0, INFINITY };
}

struct sure_rate sure_of(double rate, double stems, double rho, double batches)
{
	if (!(rate > 0) || rate >= 1)
		return sure_certain(rate > 0 ? 1 : 0);
	double share = 1 / (fmax(stems, 0) + 1) + fmax(rho, 0) / fmax(batches, 1);
	share = fmin(share, 1 - 1e-9); /* beyond it all stems fare alike */
	double all = 1 / share - 1;    /* a + b: variance p (1-p) / (a + b + 1) */
	return (struct sure_rate){ rate, rate * all, (1 - rate) * all };
}

/* ---- points ---- */

struct point {
	double kept, weight;
};

static int by_kept(const void *x, const void *y)
{
	const struct point *a = x, *b = y;
	return (a->kept > b->kept) - (a->kept < b->kept);
}

/* Which pool a point goes to whose weight lies round u of 0..1. */
static int pool_of(double u, int pools)
{
	double at = (log(u / (1 - u)) + POOL_REACH) / (2 * POOL_REACH) * pools;
	return (int)fmin(fmax(at, 0), pools - 1);
}

/* Neighbours are pooled to their mean. */
static void pool(struct sure *out, struct point *p, size_t n, struct arena *a)
{
	double sum = 0, done = 0, kept = 0, weight = 0;
	int now = 0, pools = pooled_for(out);
	bool few = n <= (size_t)pools;
	qsort(p, n, sizeof *p, by_kept);
	for (size_t i = 0; i < n; i++)
		sum += p[i].weight;
	out->kept = ARENA_ARRAY(a, few ? n : (size_t)pools, double);
	out->weight = ARENA_ARRAY(a, few ? n : (size_t)pools, double);
	out->n = 0;
	for (size_t i = 0; i < n; i++) {
		double u = fmin(fmax((done + p[i].weight / 2) / sum, 1e-12), 1 - 1e-12);
		int at = few ? (int)i : pool_of(u, pools);
		if (weight > 0 && at != now) {
			out->kept[out->n] = kept / weight;
			out->weight[out->n++] = weight / sum;
			kept = weight = 0;
		}
		now = at;
		kept += p[i].weight * p[i].kept;
		weight += p[i].weight;
		done += p[i].weight;
	}
	out->kept[out->n] = kept / weight;
	out->weight[out->n++] = weight / sum;
}

void sure_start(struct sure *out, const struct sure_yield *yield, double live, double plants,
                struct arena *a)
{
	*out = (struct sure){ .yield = *yield, .usual = 1, .n = 1 };
	out->season = yield->high > yield->low && yield->usual > 0;
	out->plants_spread = sqrt((1 - live) / (live * plants));
	out->kept = ARENA_ARRAY(a, 1, double);
	out->weight = ARENA_ARRAY(a, 1, double);
	out->kept[0] = out->weight[0] = 1;
}

/* Points of a beta-distributed rate: even in logit(rate), where the density is
 * p^a (1-p)^b; what lies left of the first is put at 0. */
static size_t rate_points(const struct sure_rate *r, int points, double *rate, double *weight)
{
	if (isinf(r->b) || !(r->a > 0)) {
		rate[0] = r->a > 0 ? r->rate : 0;
		weight[0] = 1;
		return 1;
	}
	double mode = log(r->a / r->b), p = r->a / (r->a + r->b);
	double top = r->a * log(p) + r->b * log1p(-p), from = mode, to = mode;
	/* A rate that is small and unsure falls slowly to the left and steeply to the right. */
	while (from > LOGIT_LEAST && r->a * from - (r->a + r->b) * log1p(exp(from)) > top - 20)
		from -= LOGIT_STEP;
	while (to < LOGIT_MOST && r->a * to - (r->a + r->b) * log1p(exp(to)) > top - 20)
		to += LOGIT_STEP;
	double step = (to - from) / (points - 1);
	size_t n = 0;
	rate[n] = 0;
	weight[n++] = 0;
	for (int i = 0; i < points; i++) {
		double x = from + step * i;
		rate[n] = 1 / (1 + exp(-x));
		weight[n] = exp(r->a * log(rate[n]) - r->b * log1p(exp(x)) - top);
		n++;
	}
	/* The integral of exp(a x) from there to the left, in steps. */
	weight[0] = fmax(0, weight[1] / r->a / step - weight[1] / 2);
	return n;
}

void sure_stage(struct sure *out, const struct sure *in, const struct sure_rate *rate, double months,
                struct arena *a)
{
	double rates[RATE_POINTS_MOST + 1], weights[RATE_POINTS_MOST + 1];
	size_t k = rate_points(rate, rate_points_for(in), rates, weights), n = 0;
	struct point *p = ARENA_ARRAY(a, in->n * k, struct point);
	for (size_t i = 0; i < in->n; i++) {
		for (size_t j = 0; j < k; j++)
			p[n++] = (struct point){ in->kept[i] * pow(1 - rates[j], months),
				                 in->weight[i] * weights[j] };
	}
	*out = *in;
	pool(out, p, n, a);
	out->usual = in->usual * pow(1 - rate->rate, months);
}

/* ---- chances ---- */

/* P(E >= x). */
static double season_gives(const struct sure_yield *y, double x, double z10)
{
	double z;
	if (x <= 0)
		return 1;
	if (x > 1)
		z = y->high > y->usual ? z10 * log(x) / log(y->high / y->usual) : INFINITY;
	else if (y->low > 0)
		z = y->low < y->usual ? -z10 * log(x) / log(y->low / y->usual) : -INFINITY;
	else
		z = z10 * (x - 1);
	return 0.5 * erfc(z * ROOT_HALF);
}

static double noise_at(int k)
{
	return -NOISE_REACH + 2 * NOISE_REACH * k / (NOISE_POINTS - 1);
}

/* For `stems` in time of a usual season, q given: the season gives as many as must be cut. */
static double with_season(const struct sure *s, double stems, double need, double q, double z10)
{
	double mean = need / q, own = need * (1 - q) / (q * q), sum = 0, all = 0;
	double plants = mean * s->plants_spread, sd = sqrt(own + plants * plants);
	double skew = own > 0 ? (2 - q) / sqrt(need * (1 - q)) * pow(own, 1.5) / pow(sd, 3) : 0;
	for (int k = 0; k < NOISE_POINTS; k++) {
		double z = noise_at(k), weight = exp(-z * z / 2);
		double cut = mean + sd * (z + skew * (z * z - 1) / 6);
		sum += weight * season_gives(&s->yield, (cut - 0.5) / stems, z10);
		all += weight;
	}
	return sum / all;
}

static double at_least(double need, double cut, double kept)
{
	if (cut < need || kept <= 0)
		return 0;
	double off = cut * kept - need + 0.5, sd = sqrt(cut * kept * (1 - kept));
	if (fabs(off) > FAR * sd + 1)
		return off > 0 ? 1 : 0;
	return 1 - stat_binomial_upto(need - 1, cut, fmin(kept, 1));
}

static double without_season(const struct sure *s, double stems, double need, double q)
{
	double sum = 0, all = 0;
	if (!(s->plants_spread > 0))
		return at_least(need, floor(stems + 0.5), q);
	for (int k = 0; k < NOISE_POINTS; k++) {
		double z = noise_at(k), weight = exp(-z * z / 2);
		double cut = floor(stems * fmax(0, 1 + z * s->plants_spread) + 0.5);
		sum += weight * at_least(need, cut, q);
		all += weight;
	}
	return sum / all;
}

double sure_chance(const struct sure *s, int64_t n, double in_time, int64_t need)
{
	double sum = 0, stems = (double)n * in_time, z10 = stat_normal_quantile(0.9);
	if (need <= 0)
		return 1;
	for (size_t i = 0; i < s->n && stems > 0; i++) {
		if (!(s->kept[i] > 0))
			continue;
		sum += s->weight[i] * (s->season
					   ? with_season(s, stems, (double)need, s->kept[i], z10)
					   : without_season(s, stems, (double)need, s->kept[i]));
	}
	return fmin(sum, 1);
}

int64_t sure_plain(const struct sure *s, double in_time, int64_t need)
{
	double share = s->usual * in_time;
	if (need <= 0)
		return 0;
	return share > 0 && (double)need / share < SURE_MOST ? loss_cover((double)need / share) : -1;
}

int64_t sure_smallest(const struct sure *s, double in_time, int64_t need, double chance)
{
	int64_t low = 0, high = sure_plain(s, in_time, need);
	double wanted = chance * (1 - TIE);
	if (need <= 0 || chance <= 0)
		return 0;
	if (high < 0)
		return -1;
	while (sure_chance(s, high, in_time, need) < wanted) {
		low = high;
		if (high >= SURE_MOST)
			return -1;
		high = high + high / 4 + 1;
	}
	while (high - low > 1) {
		int64_t middle = low + (high - low) / 2;
		if (sure_chance(s, middle, in_time, need) < wanted)
			low = middle;
		else
			high = middle;
	}
	return high;
}
