/* alike.c - see alike.h for the formulas. */
#include "reckon/alike.h"

#include <math.h>

struct sums {
	double k, n, x, nn;     /* lots, stems, lost, sum of squares of stems */
	double xx, yy;          /* sums of squares of lost and of kept */
	size_t losing;          /* lots that lost stems */
};

static bool counts(const struct lot *l)
{
	return l->of > 0 && l->lost >= 0 && l->lost <= l->of;
}

static struct sums sum_up(const struct lot *lots, size_t n)
{
	struct sums s = { 0 };
	for (size_t i = 0; i < n; i++) {
		const struct lot *l = &lots[i];
		if (!counts(l))
			continue;
		double kept = l->of - l->lost;
		s.k++;
		s.n += l->of;
		s.x += l->lost;
		s.nn += l->of * l->of;
		s.xx += l->lost * l->lost;
		s.yy += kept * kept;
		s.losing += l->lost > 0;
	}
	return s;
}

double alike_rho(const struct lot *lots, size_t n)
{
	struct sums s = sum_up(lots, n);
	double p = s.x / s.n, within = 0, between = 0;
	if (s.k < 2 || !(s.n > s.k) || !(p > 0 && p < 1))
		return (double)NAN;
	for (size_t i = 0; i < n; i++) {
		if (!counts(&lots[i]))
			continue;
		double q = lots[i].lost / lots[i].of;
		within += lots[i].of * q * (1 - q);
		between += lots[i].of * (q - p) * (q - p);
	}
	within /= s.n - s.k;
	between /= s.k - 1;
	double m0 = (s.n - s.nn / s.n) / (s.k - 1);
	return (between - within) / (between + (m0 - 1) * within);
}

void borrow_start(struct borrowed *b)
{
	*b = (struct borrowed){ .sum = ALIKE_STATED, .worth = 1 };
}

/* Lots less one, or 0 where they cannot tell. */
static double worth_of(const struct lot *lots, size_t n, double rho)
{
	struct sums s = sum_up(lots, n);
	return s.losing < 2 || isnan(rho) ? 0 : s.k - 1;
}

void borrow_add(struct borrowed *b, const struct lot *lots, size_t n)
{
	double rho = alike_rho(lots, n), worth = worth_of(lots, n, rho);
	if (!(worth > 0))
		return;
	b->sum += worth * rho;
	b->worth += worth;
	b->others = true;
}

void borrow_less(struct borrowed *b, const struct lot *lots, size_t n)
{
	double rho = alike_rho(lots, n), worth = worth_of(lots, n, rho);
	if (!(worth > 0))
		return;
	b->sum -= worth * rho;
	b->worth = fmax(1, b->worth - worth);
	b->others = b->worth > 1;
}

double borrow_rho(const struct borrowed *b)
{
	return fmax(0, b->sum / b->worth);
}

static struct interval no_interval(void)
{
	return (struct interval){ (double)NAN, (double)NAN };
}

double measured_stems_at(const struct measured *m, double confidence)
{
	double tail = 1 - (1 - confidence) / 2;
	double z = stat_normal_quantile(tail);
	double t = z + sqrt(m->share) * (stat_t_quantile(tail, m->freedom) - z);
	return m->effective * (z / t) * (z / t);
}

/* Very few effective stems pull Jeffreys limits off an extreme rate. */
static struct interval hold(struct interval i, double rate)
{
	return (struct interval){ fmin(i.low, rate), fmax(i.high, rate) };
}

static struct interval limits(const struct measured *m, double confidence)
{
	double n = measured_stems_at(m, confidence);
	return hold(stat_jeffreys(m->rate * n, n, confidence), m->rate);
}

void measure(struct measured *out, const struct lot *lots, size_t n, double rate,
             const struct borrowed *b)
{
	struct sums s = sum_up(lots, n);
	*out = (struct measured){ .lots = (size_t)s.k, .stems = s.n, .lost = s.x,
		                  .rate = (double)NAN, .deff = 1, .few = s.k < ALIKE_FEW,
		                  .i80 = no_interval(), .i95 = no_interval() };
	if (s.k == 0)
		return;
	double own = alike_rho(lots, n), ma = s.nn / s.n;
	double carriers = s.x * 2 <= s.n ? s.x * s.x / s.xx : (s.n - s.x) * (s.n - s.x) / s.yy;
	out->rate = isnan(rate) ? s.x / s.n : fmin(fmax(rate, 0), 1);
	if (s.k >= ALIKE_FEW && !isnan(own)) {
		out->rho = fmax(0, own);
		out->freedom = fmax(1, carriers - 1);
		out->source = RHO_OWN;
	} else {
		out->rho = borrow_rho(b);
		out->freedom = b->worth;
		out->source = b->others ? RHO_FARM : RHO_STATED;
	}
	out->rough = !out->few && s.k < ALIKE_ROUGH &&
	             ((double)s.losing * 2 <= s.k || out->rho > ALIKE_VERY);
	out->deff = fmax(1, 1 + (ma - 1) * out->rho);
	out->effective = s.n / out->deff;
	out->share = fmin(1, ma * out->rho / out->deff);
	out->i80 = limits(out, 0.80);
	out->i95 = limits(out, 0.95);
}

static struct interval beta_limits(double a, double b, double confidence)
{
	double tail = (1 - confidence) / 2;
	if (!(a > 0)) /* "none of so many": as Jeffreys puts it */
		return (struct interval){ 0, stat_beta_quantile(1 - tail, 0.5, b + 0.5) };
	if (!(b > 0))
		return (struct interval){ stat_beta_quantile(tail, a + 0.5, 0.5), 1 };
	return (struct interval){ stat_beta_quantile(tail, a, b), stat_beta_quantile(1 - tail, a, b) };
}

void plan_rate(struct planned *out, const struct measured *m, double assumed, double weight)
{
	bool has = m->lots > 0;
	*out = (struct planned){ .rate = assumed, .i80 = no_interval(), .i95 = no_interval() };
	if (isnan(assumed) || !(weight > 0))
		assumed = weight = 0;
	double n80 = has ? measured_stems_at(m, 0.80) : 0;
	double lost = weight * assumed, kept = weight * (1 - assumed), rate = has ? m->rate : 0;
	out->stems = weight + n80;
	if (!(out->stems > 0))
		return; /* the bare assumption, or nothing */
	out->a = lost + n80 * rate;
	out->b = kept + n80 * (1 - rate);
	out->rate = out->a / out->stems;
	if (weight > 0 && !has) {
		out->i80 = hold(beta_limits(out->a, out->b, 0.80), out->rate);
		out->i95 = hold(beta_limits(out->a, out->b, 0.95), out->rate);
	} else if (!(weight > 0)) {
		out->i80 = m->i80;
		out->i95 = m->i95;
	}
}

struct interval rate_change(double before, struct interval b, double after, struct interval a)
{
	double d = after - before;
	return (struct interval){
		.low = d - hypot(after - a.low, b.high - before),
		.high = d + hypot(a.high - after, before - b.low),
	};
}
