/* plan_sure.c - the chance that so many stems leave enough, by quadrature. */
#include "reckon/plan_sure.h"

#include <math.h>
#include <stdlib.h>

#include "reckon/loss.h"
#include "stat/stat.h"

enum {
	RATE_POINTS_MOST = 97,
	POOLS_MOST = 80,
	SLOTS = 512,
	POINTS_MOST = 256,      /* of plants, or of stems */
};
#define NOISE_REACH 4.5         /* standard deviations */
#define NOISE_STEP  0.9
#define ONE_BY_ONE  2.5         /* standard deviation, in plants or stems: up to it they count singly */
#define SMOOTHED    1.5         /* stems, or plants, that a season is wide: from it on they need not */
#define WIDE        0.1         /* a season that smooths what follows */
#define NARROW      0.03        /* one that hardly does */
#define CRUMB       1e-7        /* of chance: not looked at */
#define LOGIT_LEAST (-9.2)      /* rates below 1e-4 count as 0 */
#define LOGIT_MOST  16.0
#define LOGIT_STEP  0.125       /* of the search for the ends: density down by exp(-20) */
#define POOL_REACH  10.0        /* logit of the outermost tail that is kept apart */
#define FAR         9.0         /* standard deviations: beyond it a chance is 0 or 1 */
#define TIE         (64 * 2.220446049250313e-16) /* stat_how_many's */
#define ROOT_HALF   0.70710678118654752440

/* A season smooths what follows, the wider the more; without one every step shows. */
static int rate_points_for(const struct sure *s)
{
	return s->narrow > WIDE ? 33 : s->narrow > NARROW ? 65 : RATE_POINTS_MOST;
}

static int pools_for(const struct sure *s)
{
	return s->narrow > WIDE ? 16 : s->narrow > NARROW ? 40 : POOLS_MOST;
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
	if (!(share > 0))
		return sure_certain(rate);
	share = fmin(share, 1 - 1e-9); /* beyond it all stems fare alike */
	double all = 1 / share - 1;    /* a + b: variance p (1-p) / (a + b + 1) */
	return (struct sure_rate){ rate, rate * all, (1 - rate) * all };
}

/* ---- points ---- */

struct point {
	double kept, weight;
};
struct pooling {                /* moments of the points that fall together */
	double sum, mean, square, cube;
};

/* Which pool a point goes to whose weight lies round u of 0..1. */
static int pool_of(double u, int pools)
{
	double at = (log(u / (1 - u)) + POOL_REACH) / (2 * POOL_REACH) * pools;
	return (int)fmin(fmax(at, 0), pools - 1);
}

/* Two points with the weight, mean, variance and third moment of those pooled (the
 * two-point rule of Gauss). */
static void put_pool(struct sure *out, const struct pooling *p, double all)
{
	double sd = sqrt(p->square / p->sum), skew = p->cube / p->sum / (sd * sd * sd);
	if (!(sd > 1e-9 * p->mean)) {
		out->kept[out->n] = p->mean;
		out->weight[out->n++] = p->sum / all;
		return;
	}
	double root = sqrt(skew * skew + 4), above = (root + skew) / 2, below = (root - skew) / 2;
	out->kept[out->n] = p->mean - sd * below;
	out->weight[out->n++] = p->sum / all * above / root;
	out->kept[out->n] = p->mean + sd * above;
	out->weight[out->n++] = p->sum / all * below / root;
}

/* Points between two shares kept fall together: many slots of even width, and neighbouring
 * slots by the weight that lies below them. */
static void find_pools(int *pool_at, const struct point *p, size_t n, double least, double width, int pools)
{
	double slots[SLOTS] = { 0 }, all = 0, done = 0;
	for (size_t i = 0; i < n; i++) {
		slots[(size_t)((p[i].kept - least) / width)] += p[i].weight;
		all += p[i].weight;
	}
	for (size_t i = 0; i < SLOTS; i++) {
		double u = (done + slots[i] / 2) / all;
		pool_at[i] = pool_of(fmin(fmax(u, 1e-12), 1 - 1e-12), pools);
		done += slots[i];
	}
}

static void pool(struct sure *out, const struct point *p, size_t n, struct arena *a)
{
	struct pooling pools[POOLS_MOST] = { { 0 } };
	int pool_at[SLOTS], count = pools_for(out);
	double least = 1, most = 0, all = 0;
	for (size_t i = 0; i < n; i++) {
		least = fmin(least, p[i].kept);
		most = fmax(most, p[i].kept);
		all += p[i].weight;
	}
	double width = fmax((most - least) / (SLOTS - 0.5), 1e-15);
	find_pools(pool_at, p, n, least, width, count);
	for (int pass = 0; pass < 2; pass++) {
		for (size_t i = 0; i < n; i++) {
			struct pooling *one = &pools[pool_at[(size_t)((p[i].kept - least) / width)]];
			double off = p[i].kept - one->mean;
			one->sum += pass ? 0 : p[i].weight;
			one->mean += pass || !(one->sum > 0) ? 0 : p[i].weight * off / one->sum;
			one->square += pass ? p[i].weight * off * off : 0;
			one->cube += pass ? p[i].weight * off * off * off : 0;
		}
	}
	out->kept = ARENA_ARRAY(a, 2 * (size_t)count, double);
	out->weight = ARENA_ARRAY(a, 2 * (size_t)count, double);
	out->n = 0;
	for (int i = 0; i < count; i++) {
		if (pools[i].sum > 0)
			put_pool(out, &pools[i], all);
	}
}

void sure_start(struct sure *out, const struct sure_yield *yield, double live, struct arena *a)
{
	*out = (struct sure){ .yield = *yield, .live = live, .plants_share = 1, .usual = 1, .n = 1 };
	if (yield->high > yield->low && yield->usual > 0) {
		double z10 = stat_normal_quantile(0.9), above = log(yield->high / yield->usual) / z10;
		double below = yield->low > 0 ? log(yield->usual / yield->low) / z10 : 1;
		out->season = true;
		out->z10 = z10;
		out->above = above;
		out->below = yield->low > 0 ? below : 0;
		out->narrow = fmax(fmin(above, below), 1e-6);
	}
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
	for (size_t j = 0; j < k; j++) {
		double kept = pow(1 - rates[j], months);
		for (size_t i = 0; i < in->n; i++)
			p[n++] = (struct point){ in->kept[i] * kept, in->weight[i] * weights[j] };
	}
	*out = *in;
	pool(out, p, n, a);
	out->usual = in->usual * pow(1 - rate->rate, months);
}

/* ---- plants and stems ---- */

struct spread {
	double mean, variance, third; /* central moments */
};
struct points {
	double at[POINTS_MOST], weight[POINTS_MOST];
	size_t n;
};

static void add(struct points *p, double at, double weight)
{
	if (weight > CRUMB && p->n < POINTS_MOST) {
		p->at[p->n] = at;
		p->weight[p->n++] = weight;
	}
}

/* A normal with its skewness, so finely that a season of `smooth` stems evens it out. */
static void add_normal(struct points *out, const struct spread *s, double least, double smooth)
{
	double sd = sqrt(s->variance), skew = s->third / (s->variance * sd), all = 0;
	double step = fmin(NOISE_STEP, fmax(NOISE_STEP * smooth / sd, 2 * NOISE_REACH / (POINTS_MOST - 2)));
	int half = (int)(NOISE_REACH / step);
	double weights[POINTS_MOST], ratio = exp(-step * step / 2), square = ratio * ratio;
	weights[0] = 1;
	for (int i = 0; i < half; i++, ratio *= square) /* exp(-(step i)^2 / 2) */
		weights[i + 1] = weights[i] * ratio;
	for (int i = -half; i <= half; i++) {
		double z = step * i, weight = weights[abs(i)];
		add(out, fmax(s->mean + sd * (z + skew * (z * z - 1) / 6), least), weight);
		all += weight;
	}
	for (size_t i = 0; i < out->n; i++)
		out->weight[i] /= all;
}

/* Plants that live over their mean; the last one, of which only a part is needed, lives
 * with that part of the chance. */
static void add_plants(struct points *out, double plants, double live)
{
	double whole = floor(plants), last = (plants - whole) * live, odds = live / (1 - live);
	double top = fmin(whole, floor((whole + 1) * live)), low = fmax(0, top - POINTS_MOST / 2 + 2);
	double chance[POINTS_MOST] = { 0 }, sum = 0, before = 0;
	int at = (int)(top - low), n = (int)fmin(whole - low + 1, POINTS_MOST - 2);
	chance[at] = 1;
	for (int i = at; i > 0; i--)
		chance[i - 1] = chance[i] * (low + i) / (whole - low - i + 1) / odds;
	for (int i = at; i + 1 < n; i++)
		chance[i + 1] = chance[i] * (whole - low - i) / (low + i + 1) * odds;
	for (int i = 0; i < n; i++)
		sum += chance[i];
	for (int i = 0; i <= n; i++) {
		add(out, (low + i) / (plants * live), (chance[i] * (1 - last) + before * last) / sum);
		before = chance[i];
	}
}

/* 1 over that, by powers of how far it is from 1. */
static struct spread spread_of_many(double plants, double live)
{
	double v = (1 - live) / (live * plants), third = v * (1 - 2 * live) / (live * plants);
	return (struct spread){ 1 + v - third + 3 * v * v, v - 2 * third + 8 * v * v,
		                6 * v * v - third };
}

static struct spread spread_of_stems(double need, double q)
{
	double v = need * (1 - q) / (q * q);
	return (struct spread){ need / q, v, v * (2 - q) / q };
}

static struct spread product(const struct spread *x, const struct spread *y)
{
	double mean = x->mean * y->mean;
	double square = (x->variance + x->mean * x->mean) * (y->variance + y->mean * y->mean);
	double v = fmax(square - mean * mean, 0);
	/* E(x^3) = third + 3 mean variance + mean^3 */
	double own = x->third * (y->third + 3 * y->mean * y->variance + pow(y->mean, 3)) +
		     pow(x->mean, 3) * y->third + 3 * x->mean * x->variance * y->third;
	double mixed = 3 * x->mean * x->variance * (3 * y->mean * y->variance + pow(y->mean, 3)) +
		       3 * pow(x->mean, 3) * y->mean * y->variance + pow(mean, 3);
	return (struct spread){ mean, v, own + mixed - 3 * mean * v - pow(mean, 3) };
}

/* Stems that have to be cut until `need` are usable. */
static void add_stems(struct points *out, double need, double q)
{
	double chance = pow(q, need);
	for (double k = need; out->n < POINTS_MOST - 1 && k < need + POINTS_MOST; k++) {
		add(out, k, chance);
		chance *= (1 - q) * k / (k - need + 1);
	}
}

/* ---- chances ---- */

/* P(E >= exp(x)). */
static double season_gives(const struct sure *s, double x)
{
	double z;
	if (x > 0)
		z = s->above > 0 ? x / s->above : INFINITY;
	else if (s->yield.low > 0)
		z = s->below > 0 ? x / s->below : -INFINITY;
	else
		z = s->z10 * (exp(x) - 1);
	return 0.5 * erfc(z * ROOT_HALF);
}

struct asking {                 /* what does not change from one q to the next */
	const struct sure *s;
	double stems, need;     /* in time in a usual season */
	bool many;              /* plants: `by` holds them, else `plants` */
	struct spread by;
	struct points plants;
};

/* P(x <= at): the normal with its skewness, turned round. */
static double normal_upto(const struct spread *s, double at)
{
	double sd = sqrt(s->variance), skew = s->third / (s->variance * sd) / 6, x = (at - s->mean) / sd;
	double root = 1 + 4 * skew * (skew + x);
	double z = fabs(skew) > 1e-9 ? (sqrt(fmax(root, 0)) - 1) / (2 * skew) : x;
	return 0.5 * erfc(-z * ROOT_HALF);
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

static double without_season(const struct asking *k, double q)
{
	double sum = 0;
	if (k->many) {
		struct spread own = spread_of_stems(k->need, q), all = product(&own, &k->by);
		return normal_upto(&all, k->stems + 0.5);
	}
	for (size_t i = 0; i < k->plants.n; i++)
		sum += k->plants.weight[i] *
		       at_least(k->need, floor(k->stems * k->plants.at[i] + 0.5), q);
	return sum;
}

static double with_season(const struct asking *k, double q)
{
	struct points cut = { .n = 0 };
	struct spread all = spread_of_stems(k->need, q);
	double sum = 0;
	if (k->many)
		all = product(&all, &k->by);
	if (!k->many && (all.variance <= SMOOTHED || (all.variance <= ONE_BY_ONE * ONE_BY_ONE &&
						      all.mean * k->s->narrow < SMOOTHED)))
		add_stems(&cut, k->need, q);
	else
		add_normal(&cut, &all, k->many ? 1 : k->need, all.mean * k->s->narrow);
	for (size_t i = 0; i < cut.n; i++)
		cut.at[i] = log((cut.at[i] - 0.5) / k->stems);
	for (size_t j = 0; j < k->plants.n; j++) {
		double lives = k->plants.at[j] > 0 ? log(k->plants.at[j]) : -INFINITY, part = 0;
		for (size_t i = 0; i < cut.n && isfinite(lives); i++)
			part += cut.weight[i] * season_gives(k->s, cut.at[i] - lives);
		sum += k->plants.weight[j] * part;
	}
	return sum;
}

/* Few plants count one by one; many, or those that a season evens out, by their moments. */
static bool many_plants(const struct sure *s, double plants)
{
	double lives = plants * s->live;
	double most = s->n <= 1 ? POINTS_MOST / 10.0 : s->narrow > NARROW ? ONE_BY_ONE : 2 * ONE_BY_ONE;
	if (!(s->live < 1))
		return false;
	return lives * (1 - s->live) > most * most ||
	       (lives * s->narrow > SMOOTHED && plants - lives > 6 && (1 - s->live) / lives < 0.015);
}

static void ask(struct asking *k, const struct sure *s, int64_t n, double in_time, int64_t need)
{
	double plants = (double)n * s->plants_share / (s->yield.usual * s->live);
	*k = (struct asking){ .s = s, .stems = (double)n * in_time, .need = (double)need };
	k->many = many_plants(s, plants);
	if (k->many)
		k->by = spread_of_many(plants, s->live);
	if (k->many || s->live >= 1)
		add(&k->plants, 1, 1);
	else
		add_plants(&k->plants, plants, s->live);
}

double sure_chance(const struct sure *s, int64_t n, double in_time, int64_t need)
{
	double sum = 0;
	struct asking k;
	if (need <= 0)
		return 1;
	if (!((double)n * in_time > 0))
		return 0;
	ask(&k, s, n, in_time, need);
	for (size_t i = 0; i < s->n; i++) {
		if (s->kept[i] > 0)
			sum += s->weight[i] * (s->season ? with_season(&k, s->kept[i])
							 : without_season(&k, s->kept[i]));
	}
	return fmin(sum, 1);
}

bool sure_suffices(const struct sure *s, int64_t n, double in_time, int64_t need, double chance)
{
	return sure_chance(s, n, in_time, need) >= chance * (1 - TIE);
}

int64_t sure_plain(const struct sure *s, double in_time, int64_t need)
{
	double share = s->usual * in_time;
	if (need <= 0)
		return 0;
	return share > 0 && (double)need / share < SURE_MOST ? loss_cover((double)need / share) : -1;
}

/* A number between the two whose chances are known: the chance is nearly a normal of the
 * logarithm.  Now and then the middle, so that the ends always meet. */
static int64_t between(int64_t low, int64_t high, double below, double above, double wanted, int turn)
{
	double from = stat_normal_quantile(fmin(fmax(below, 1e-12), 1 - 1e-12));
	double to = stat_normal_quantile(fmin(fmax(above, 1e-12), 1 - 1e-12));
	double at = stat_normal_quantile(wanted), part = 0.5;
	if (turn % 3 != 2 && low > 0 && to > from)
		part = (at - from) / (to - from);
	double n = low > 0 ? (double)low * pow((double)high / (double)low, part) : (double)high / 2;
	return (int64_t)fmin(fmax(floor(n + 0.5), (double)low + 1), (double)high - 1);
}

int64_t sure_smallest(const struct sure *s, double in_time, int64_t need, double chance)
{
	int64_t low = 0, high = sure_plain(s, in_time, need);
	double wanted = chance * (1 - TIE), below = 0, above;
	if (need <= 0 || chance <= 0)
		return 0;
	if (high < 0)
		return -1;
	while ((above = sure_chance(s, high, in_time, need)) < wanted) {
		low = high;
		below = above;
		if (high >= SURE_MOST)
			return -1;
		high = high + high / 4 + 1;
	}
	for (int turn = 0; high - low > 1; turn++) {
		int64_t n = between(low, high, below, above, wanted, turn);
		double got = sure_chance(s, n, in_time, need);
		if (got < wanted) {
			low = n;
			below = got;
		} else {
			high = n;
			above = got;
		}
	}
	return high;
}
