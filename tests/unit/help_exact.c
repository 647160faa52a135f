/* help_exact.c - see help_exact.h. */
#include "help_exact.h"

#include <math.h>

#define Z10 1.2815515655446004
#define NOTHING 1e-10 /* of weight: not looked at */
enum { SLICES = 4000, POINTS_MOST = 4096 };

struct points {
	double at[POINTS_MOST], weight[POINTS_MOST];
	size_t n;
};

static void add(struct points *p, double at, double weight)
{
	if (p->n < POINTS_MOST) {
		p->at[p->n] = at;
		p->weight[p->n++] = weight;
	}
}

void exact_start(struct exact *out, double usual, double low, double high, double live)
{
	*out = (struct exact){ .usual = usual, .low = low, .high = high, .live = live,
			       .plants_share = 1, .kept = 1, .step = 1 };
	out->weight[0] = 1;
}

/* ---- losses ---- */

/* Slice i of the rate, and the share of chance in it: even slices of x = ln(rate / (1 -
 * rate)), where the density is rate^a (1 - rate)^b. */
static double slice(const struct exact_rate *r, int i, double *rate)
{
	double from = fmax(log(r->rate / (1 - r->rate)) - 60 / fmin(1, r->a), -690), to = 34;
	double wide = (to - from) / SLICES, x = from + (i + 0.5) * wide;
	*rate = 1 / (1 + exp(-x));
	return wide * exp(lgamma(r->a + r->b) - lgamma(r->a) - lgamma(r->b) -
			  r->a * (x < 0 ? log1p(exp(x)) - x : log1p(exp(-x))) -
			  r->b * (x < 0 ? log1p(exp(x)) : x + log1p(exp(-x))));
}

static double lost(double rate, double months)
{
	return -months * log1p(-rate);
}

static int certain(const struct exact_rate *r)
{
	return !(r->rate > 0) || isinf(r->b) || !(r->months > 0);
}

/* As far as losses go with any chance. */
static double reach(const struct exact_rate *r)
{
	double rate, far = 0;
	for (int i = 0; i < SLICES; i++) {
		if (slice(r, i, &rate) > NOTHING)
			far = lost(rate, r->months);
	}
	return far;
}

static void put(double *line, double at, double weight)
{
	size_t i = (size_t)fmin(floor(at), EXACT_LINE - 2);
	double rest = fmin(at - (double)i, 1);
	line[i] += weight * (1 - rest);
	line[i + 1] += weight * rest;
}

static void one_step(struct exact *out, const struct exact_rate *r)
{
	double own[EXACT_LINE] = { 0 }, was[EXACT_LINE], rate;
	for (int i = 0; i < SLICES; i++) {
		double w = slice(r, i, &rate);
		if (rate < 1)
			put(own, lost(rate, r->months) / out->step, w);
	}
	for (size_t i = 0; i < EXACT_LINE; i++) {
		was[i] = out->weight[i];
		out->weight[i] = 0;
	}
	for (size_t i = 0; i < EXACT_LINE; i++) {
		for (size_t k = 0; k < EXACT_LINE && was[i] > 0; k++)
			out->weight[i + k < EXACT_LINE ? i + k : EXACT_LINE - 1] += was[i] * own[k];
	}
}

void exact_losses(struct exact *out, const struct exact_rate *rates, size_t n)
{
	double far = 0, most = 0;
	for (size_t i = 0; i < n; i++) {
		double one = certain(&rates[i]) ? 0 : reach(&rates[i]);
		if (certain(&rates[i]) && rates[i].rate > 0)
			out->kept *= exp(-lost(rates[i].rate, rates[i].months));
		far = fmax(far, one);
		most += one;
	}
	/* The worst of all at once is never seen: the longest and half of the others. */
	far = far + (most - far) / 2;
	out->step = far > 0 ? far / (EXACT_LINE - 2) : 1;
	for (size_t i = 0; i < n; i++) {
		if (!certain(&rates[i]))
			one_step(out, &rates[i]);
	}
}

/* ---- chances ---- */

/* P(season >= x times the usual one). */
static double season(const struct exact *e, double x)
{
	double edge = x > 1 ? e->high : e->low, z;
	if (x <= 0)
		return 1;
	if (!(e->high > e->low))
		return x <= 1;
	if (x > 1)
		z = edge > e->usual ? Z10 * log(x) / log(edge / e->usual) : INFINITY;
	else if (edge > 0)
		z = edge < e->usual ? -Z10 * log(x) / log(edge / e->usual) : -INFINITY;
	else
		z = Z10 * (x - 1);
	return 0.5 * erfc(z / sqrt(2));
}

/* log of the chance that the `need`-th usable stem is the k-th one cut. */
static double log_stems(double k, double need, double q)
{
	return lgamma(k) - lgamma(need) - lgamma(k - need + 1) + need * log(q) +
	       (k > need ? (k - need) * log1p(-q) : 0);
}

/* Stems that have to be cut, q given: one by one, or a few at a time where a season smooths
 * what follows. */
static void stems_needed(struct points *out, const struct exact *e, double need, double q)
{
	double sd = sqrt(need * (1 - q)) / q, mean = need / q;
	double stride = e->high > e->low ? fmax(1, floor(sd / 6)) : 1;
	out->n = 0;
	if (q >= 1) {
		add(out, need, 1);
		return;
	}
	for (double k = fmax(need, floor(mean - 7 * sd)); k <= mean + 9 * sd + 20; k += stride) {
		double at = k + (stride - 1) / 2; /* the middle of those that it stands for */
		add(out, at, stride * exp(log_stems(at, need, q)));
	}
}

static double log_binomial(double k, double n, double p)
{
	return lgamma(n + 1) - lgamma(k + 1) - lgamma(n - k + 1) + k * log(p) + (n - k) * log1p(-p);
}

/* Plants that live, over their mean; between whole numbers of plants in proportion. */
static void plants_living(struct points *out, const struct exact *e, double plants)
{
	double whole = floor(plants), more = plants - whole;
	out->n = 0;
	if (e->live >= 1) {
		add(out, 1, 1);
		return;
	}
	for (double k = 1; k <= whole + 1; k++) {
		double w = more * exp(log_binomial(k, whole + 1, e->live));
		if (k <= whole)
			w += (1 - more) * exp(log_binomial(k, whole, e->live));
		if (w > NOTHING)
			add(out, k / (plants * e->live), w);
	}
}

double exact_chance(const struct exact *e, double n, double t, double need)
{
	struct points plants, stems;
	double sum = 0;
	plants_living(&plants, e, n * e->plants_share / (e->usual * e->live));
	for (size_t i = 0; i < EXACT_LINE; i++) {
		if (!(e->weight[i] > NOTHING))
			continue;
		stems_needed(&stems, e, need, e->kept * exp(-e->step * (double)i));
		for (size_t j = 0; j < plants.n; j++) {
			double cut = n * t * plants.at[j], all = 0;
			for (size_t k = 0; k < stems.n; k++)
				all += stems.weight[k] * season(e, (stems.at[k] - 0.5) / cut);
			sum += e->weight[i] * plants.weight[j] * fmin(all, 1);
		}
	}
	return sum;
}
