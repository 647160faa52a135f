/* drying.c - see drying.h. */
#include "reckon/drying.h"

#include <math.h>

#include "reckon/bench.h"

double moisture_wet(double tare, double wet, double dry)
{
	if (!(wet > tare) || !(dry >= tare) || !(dry <= wet) || !(tare >= 0))
		return (double)NAN;
	return (wet - dry) / (wet - tare);
}

double moisture_dry_basis(double wet_basis)
{
	return wet_basis / (1 - wet_basis);
}

double moisture_wet_basis(double dry_basis)
{
	return dry_basis / (1 + dry_basis);
}

double dried_weight(double fresh, double from, double to)
{
	return fresh * (1 - from) / (1 - to);
}

/* ---- the curve ---- */

struct series {
	const struct weighing *w; /* net, one a day, rising days */
	size_t n;
	double tare;
};
struct fit {
	double k, water, rest;  /* weight = rest + water e^(-k (t - t0)) */
	double left;            /* water e^(-k t) at the last weighing */
	double squares;         /* sum of squared differences */
};

static double since(struct series s, size_t i)
{
	return (double)s.w[i].on - (double)s.w[0].on;
}

/* Least squares in rest and water for a given k. */
static struct fit fit_at(struct series s, double k)
{
	struct fit f = { .k = k };
	double n = (double)s.n, mean_e = 0, mean_w = 0, see = 0, sew = 0;
	for (size_t i = 0; i < s.n; i++) {
		mean_e += exp(-k * since(s, i)) / n;
		mean_w += s.w[i].grams / n;
	}
	for (size_t i = 0; i < s.n; i++) {
		double e = exp(-k * since(s, i)) - mean_e;
		see += e * e;
		sew += e * (s.w[i].grams - mean_w);
	}
	f.water = see > 0 ? sew / see : 0;
	f.rest = mean_w - f.water * mean_e;
	f.left = f.water * exp(-k * since(s, s.n - 1));
	for (size_t i = 0; i < s.n; i++) {
		double off = s.w[i].grams - f.rest - f.water * exp(-k * since(s, i));
		f.squares += off * off;
	}
	return f;
}

enum { STEPS = 200 };

static double k_step(int i)
{
	return DRYING_SLOWEST * pow(DRYING_FASTEST / DRYING_SLOWEST, (double)i / STEPS);
}

/* The best of the steps, then between its neighbours by thirds. */
static struct fit fit_best(struct series s)
{
	int best = 0;
	double least = INFINITY;
	for (int i = 0; i <= STEPS; i++) {
		double squares = fit_at(s, k_step(i)).squares;
		if (squares < least) {
			least = squares;
			best = i;
		}
	}
	double low = k_step(best > 0 ? best - 1 : 0), high = k_step(best < STEPS ? best + 1 : STEPS);
	for (int i = 0; i < 60; i++) {
		double a = low + (high - low) / 3, b = high - (high - low) / 3;
		if (fit_at(s, a).squares <= fit_at(s, b).squares)
			high = b;
		else
			low = a;
	}
	return fit_at(s, low + (high - low) / 2);
}

/* The coarsest of the usual steps that all weights on the scale are multiples of. */
static double scale_step(struct series s)
{
	static const double steps[] = { 10, 5, 2, 1, 0.5, 0.2, 0.1, 0.01 };
	for (size_t k = 0; k < sizeof steps / sizeof steps[0]; k++) {
		bool all = true;
		for (size_t i = 0; i < s.n; i++) {
			double times = (s.w[i].grams + s.tare) / steps[k];
			all &= fabs(times - round(times)) < 1e-6;
		}
		if (all)
			return steps[k];
	}
	return 0;
}

static double to_go(const struct fit *f, double start, double last)
{
	if (!(f->water > 0) || !(f->rest > 0))
		return 1;
	return fmin(1, fmax(f->left, last - f->rest) / (start - f->rest));
}

/* The most that any curve leaves which fits as well as the scale can tell. */
static double cautious_to_go(struct series s, const struct fit *best, double step, double start,
                             double last)
{
	double allowed = best->squares + (double)s.n * step * step / 12 + 1e-9 * start * start;
	double most = to_go(best, start, last);
	for (int i = 0; i <= STEPS; i++) {
		struct fit f = fit_at(s, k_step(i));
		if (f.squares <= allowed)
			most = fmax(most, i == 0 ? 1 : to_go(&f, start, last));
	}
	return most;
}

/* Drying is fastest at first; what comes before the fastest stretch is a late start. */
static struct series without_late_start(struct series s)
{
	size_t fastest = 0;
	double most = -INFINITY;
	for (size_t i = 0; i + 1 < s.n; i++) {
		double rate = (s.w[i].grams - s.w[i + 1].grams) / (since(s, i + 1) - since(s, i));
		if (rate > most) {
			most = rate;
			fastest = i;
		}
	}
	if (s.n - fastest <= DRYING_WEIGHINGS)
		return s;
	return (struct series){ s.w + fastest, s.n - fastest, s.tare };
}

static day expected_day(struct series s, const struct fit *f, double start)
{
	double wanted = DRYING_TO_GO * (start - f->rest);
	double days = ceil(log(f->water / wanted) / f->k - 1e-9);
	day last = s.w[s.n - 1].on;
	if (!(days <= (double)(last - s.w[0].on) + DRYING_LOOK_AHEAD))
		return DAY_NONE;
	day d = s.w[0].on + (day)fmax(days, 0);
	return d > last ? d : last + 1; /* at the earliest, weigh again tomorrow */
}

static void fit_curve(struct drying *out, struct series all)
{
	struct series s = without_late_start(all);
	struct fit best = fit_best(s);
	out->to_go = cautious_to_go(s, &best, scale_step(all), out->start, out->last);
	out->fitted = best.water > 0 && best.rest > 0 && best.k > k_step(1);
	if (!out->fitted) {
		out->to_go = 1;
		return;
	}
	out->k = best.k;
	out->rest = best.rest;
	out->water = best.water;
	out->from = s.w[0].on;
	out->expected = expected_day(s, &best, out->start);
}

/* ---- the verdict ---- */

static int by_day(const void *x, const void *y)
{
	const struct weighing *a = x, *b = y;
	return (a->on > b->on) - (a->on < b->on);
}

/* Net weights, one a day. */
static struct series sort_out(const struct weighing *weighings, size_t n, double tare, struct arena *a)
{
	struct weighing *w = ARENA_ARRAY(a, n, struct weighing);
	size_t k = 0;
	for (size_t i = 0; i < n; i++) {
		double net = weighings[i].grams - tare;
		if (net > 0 && isfinite(net) && weighings[i].on != DAY_NONE)
			w[k++] = (struct weighing){ weighings[i].on, net };
	}
	/* Insertion keeps the order within a day; lists are short and mostly in order. */
	for (size_t i = 1; i < k; i++) {
		struct weighing one = w[i];
		size_t j = i;
		for (; j > 0 && by_day(&w[j - 1], &one) > 0; j--)
			w[j] = w[j - 1];
		w[j] = one;
	}
	size_t kept = 0;
	for (size_t i = 0; i < k; i++) {
		if (kept && w[kept - 1].on == w[i].on)
			w[kept - 1] = w[i];
		else
			w[kept++] = w[i];
	}
	return (struct series){ w, kept, tare };
}

static enum drying_reason reason_of(const struct drying *d)
{
	/* Weights as read off a scale: 1% exactly is no more than 1%. */
	if (d->change > DRYING_CONSTANT + 1e-9)
		return DRYING_BY_LOSS;
	if (d->change < -DRYING_CONSTANT - 1e-9)
		return DRYING_BY_GAIN;
	if (d->lost < DRYING_SEEN)
		return DRYING_BY_NO_DROP;
	return d->to_go <= DRYING_TO_GO ? DRYING_BY_ALL : DRYING_BY_CURVE;
}

void drying_judge(struct drying *out, const struct weighing *weighings, size_t n, double tare,
                  struct arena *a)
{
	struct series s = sort_out(weighings, n, tare, a);
	*out = (struct drying){ .verdict = DRYING_TOO_FEW, .reason = DRYING_BY_COUNT, .weighings = s.n,
		                .start = (double)NAN, .last = (double)NAN, .lost = (double)NAN,
		                .change = (double)NAN, .k = (double)NAN, .rest = (double)NAN,
		                .water = (double)NAN, .from = DAY_NONE, .to_go = (double)NAN, .expected = DAY_NONE };
	if (s.n == 0)
		return;
	out->start = s.w[0].grams;
	out->last = s.w[s.n - 1].grams;
	out->lost = (out->start - out->last) / out->start;
	if (s.n > 1)
		out->change = (s.w[s.n - 2].grams - out->last) / out->start;
	if (s.n < DRYING_WEIGHINGS)
		return;
	fit_curve(out, s);
	out->reason = reason_of(out);
	out->verdict = out->reason == DRYING_BY_ALL ? DRYING_READY : DRYING_HANG;
	if (out->reason == DRYING_BY_GAIN || out->reason == DRYING_BY_NO_DROP)
		out->expected = DAY_NONE; /* its curve says nothing of what is to come */
	if (out->verdict == DRYING_READY)
		out->expected = s.w[s.n - 1].on;
}

size_t drying_nets(struct weighing **out, const struct weighing *weighings, size_t n, double tare,
                   struct arena *a)
{
	struct series s = sort_out(weighings, n, tare, a);
	*out = ARENA_ARRAY(a, s.n + 1, struct weighing);
	for (size_t i = 0; i < s.n; i++)
		(*out)[i] = s.w[i];
	return s.n;
}

double drying_at(const struct drying *d, day on)
{
	if (!d->fitted || on < d->from)
		return (double)NAN;
	return d->rest + d->water * exp(-d->k * ((double)on - (double)d->from));
}

/* ---- from the farm ---- */

size_t drying_weighings(struct weighing **out, const struct farm *farm, uint32_t batch, day on,
                        const size_t *lines, size_t nlines, struct arena *a)
{
	const struct batch *b = &farm->batches[batch];
	size_t n = 0, cap = 0;
	*out = NULL;
	for (size_t i = 0; i < b->nweighings; i++) {
		if (b->weighings[i].on <= on)
			*ARENA_PUSH(a, *out, n, cap) = b->weighings[i];
	}
	for (size_t i = 0; i < nlines; i++) {
		const struct log_entry *e = &farm->log[lines[i]];
		if (e->event == EVENT_WEIGHED && e->batch == batch && e->count > 0)
			*ARENA_PUSH(a, *out, n, cap) = (struct weighing){ e->on, e->count };
	}
	return n;
}

void drying_of_batch(struct drying *out, const struct farm *farm, uint32_t batch, day on,
                     struct arena *a)
{
	size_t *lines, nlines = bench_lines(&lines, farm, on, NULL, a);
	struct weighing *all;
	size_t n = drying_weighings(&all, farm, batch, on, lines, nlines, a);
	drying_judge(out, all, n, farm->batches[batch].tare, a);
}
