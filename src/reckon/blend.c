/* blend.c - see blend.h. */
#include "reckon/blend.h"

#include <math.h>

enum { POINTS = 41, NARROWINGS = 20 };
#define FAR      16.0   /* logit(rate) of the ends; the density falls off evenly beyond */
#define GONE     16.0   /* in logarithms, below the top: nothing is left */
#define FILLED   0.7    /* of a stretch: narrow enough */
#define SEPARATE 1e-5   /* alikeness below which stems fare each for itself */
#define R_LEAST  0.02   /* of r: other crops' calm does not promise that no box ever spoils */

struct node {           /* one alikeness */
	double s;       /* (1 - rho) / rho; INFINITY: each stem for itself */
	double base;    /* what of the likelihood the rate does not change */
	bool gone;
};
struct posterior {
	const struct lot *lots;
	size_t n;
	double a, b;            /* prior of the rate */
	struct node nodes[BLEND_NODES];
	double low, step;       /* points in logit(rate) */
	double f[BLEND_NODES][POINTS]; /* logarithms */
	double density[POINTS], upto[POINTS], total, right;
};

/* Stirling's series from 8 on: good to 1e-9, and far quicker than lgamma. */
static double log_gamma(double z)
{
	double below = 1;
	for (; z < 8; z++)
		below *= z;
	double r = 1 / z, rr = r * r;
	return (z - 0.5) * log(z) - z + 0.91893853320467274 +
	       r * (1.0 / 12 - rr * (1.0 / 360 - rr / 1260)) - log(below);
}

static void set_nodes(struct posterior *q, double r)
{
	static const double shares[BLEND_NODES + 1] = { 0,    0.005, 0.02, 0.06, 0.13, 0.23,  0.36,  0.50, 0.64,
		                                        0.76, 0.85,  0.92, 0.96, 0.98, 0.99, 0.996, 0.999, 1 };
	r = fmin(fmax(r, R_LEAST), 1 - R_LEAST);
	for (int j = 0; j < BLEND_NODES; j++) {
		double rho = stat_beta_quantile((shares[j] + shares[j + 1]) / 2, BLEND_WEIGHT * r,
		                                BLEND_WEIGHT * (1 - r));
		struct node *d = &q->nodes[j];
		*d = (struct node){ .s = rho < SEPARATE ? (double)INFINITY : (1 - rho) / rho,
			            .base = log(shares[j + 1] - shares[j]) };
		for (size_t i = 0; i < q->n && isfinite(d->s); i++)
			d->base -= log_gamma(d->s + q->lots[i].of) - log_gamma(d->s);
	}
}

static double log_likelihood(const struct posterior *q, const struct node *d, double log_p,
                             double log_kept)
{
	double sum = d->base;
	if (!isfinite(d->s)) {
		for (size_t i = 0; i < q->n; i++)
			sum += q->lots[i].lost * log_p + (q->lots[i].of - q->lots[i].lost) * log_kept;
		return sum;
	}
	double a = d->s * exp(log_p), b = d->s * exp(log_kept);
	double of_a = log_gamma(a), of_b = log_gamma(b);
	for (size_t i = 0; i < q->n; i++) {
		double lost = q->lots[i].lost, kept = q->lots[i].of - lost;
		sum += lost > 0 ? log_gamma(a + lost) - of_a : 0;
		sum += kept > 0 ? log_gamma(b + kept) - of_b : 0;
	}
	return sum;
}

/* Returns the highest point. */
static double evaluate(struct posterior *q)
{
	double top = -(double)INFINITY;
	for (int j = 0; j < BLEND_NODES; j++) {
		for (int i = 0; i < POINTS && !q->nodes[j].gone; i++) {
			double x = q->low + q->step * i;
			double log_p = -log1p(exp(-x)), log_kept = -log1p(exp(x));
			q->f[j][i] = log_likelihood(q, &q->nodes[j], log_p, log_kept) + q->a * log_p +
			             q->b * log_kept;
			top = fmax(top, q->f[j][i]);
		}
	}
	return top;
}

/* Drops alikenesses and ends of the stretch at which nothing is left; false: it is filled. */
static bool narrow(struct posterior *q, double top)
{
	int first = POINTS - 1, last = 0;
	for (int j = 0; j < BLEND_NODES; j++) {
		bool left = false;
		for (int i = 0; i < POINTS && !q->nodes[j].gone; i++) {
			if (q->f[j][i] < top - GONE)
				continue;
			left = true;
			first = i < first ? i : first;
			last = i > last ? i : last;
		}
		q->nodes[j].gone = !left;
	}
	first = first > 0 ? first - 1 : 0;
	last = last < POINTS - 1 ? last + 1 : last;
	if (last - first > FILLED * (POINTS - 1))
		return false;
	q->low += first * q->step;
	q->step *= (double)(last - first) / (POINTS - 1);
	return true;
}

static void add_up(struct posterior *q, double top)
{
	double high = q->low + q->step * (POINTS - 1), *d = q->density;
	for (int i = 0; i < POINTS; i++) {
		d[i] = 0;
		for (int j = 0; j < BLEND_NODES; j++)
			d[i] += q->nodes[j].gone ? 0 : exp(q->f[j][i] - top);
	}
	/* Beyond the ends it falls as p^a and as (1-p)^b. */
	q->upto[0] = q->low <= -FAR ? d[0] / q->a : 0;
	q->right = high >= FAR ? d[POINTS - 1] / q->b : 0;
	for (int i = 1; i < POINTS; i++) {
		/* A cubic through four points, a line at the ends. */
		double mean = i == 1 || i == POINTS - 1
		                  ? (d[i - 1] + d[i]) / 2
		                  : (13 * (d[i - 1] + d[i]) - d[i - 2] - d[i + 1]) / 24;
		q->upto[i] = q->upto[i - 1] + fmax(0, mean) * q->step;
	}
	q->total = q->upto[POINTS - 1] + q->right;
}

static double rate_at(double logit)
{
	return 1 / (1 + exp(-logit));
}

/* Between two points the density is a line, scaled to what lies between them. */
static double scaled(const struct posterior *q, int i)
{
	double line = (q->density[i - 1] + q->density[i]) / 2 * q->step;
	return line > 0 ? (q->upto[i] - q->upto[i - 1]) / line : 0;
}

static double share_below(const struct posterior *q, double rate)
{
	double x = log(rate) - log1p(-rate), to = (x - q->low) / q->step;
	if (!(to > 0)) /* rate 0, too */
		return q->upto[0] * exp(q->a * fmin(0, x - q->low)) / q->total;
	if (to >= POINTS - 1)
		return 1 - q->right * exp(-q->b * (to - POINTS + 1) * q->step) / q->total;
	int i = (int)to + 1;
	double u = to - (i - 1), rise = q->density[i] - q->density[i - 1];
	double part = (q->density[i - 1] + rise * u / 2) * u * q->step;
	return (q->upto[i - 1] + part * scaled(q, i)) / q->total;
}

static double rate_with_below(const struct posterior *q, double share)
{
	double need = share * q->total, high = q->low + q->step * (POINTS - 1);
	if (need <= q->upto[0])
		return need > 0 ? rate_at(q->low + log(need / q->upto[0]) / q->a) : 0;
	if (need >= q->upto[POINTS - 1])
		return q->total > need ? rate_at(high - log((q->total - need) / q->right) / q->b) : 1;
	int i = 1;
	while (q->upto[i] < need)
		i++;
	/* d0 u + (d1 - d0) u^2 / 2 = what is missing, in steps. */
	double scale = scaled(q, i) * q->step, d0 = q->density[i - 1] * scale;
	double rise = q->density[i] * scale - d0, missing = need - q->upto[i - 1];
	double u = 2 * missing / (d0 + sqrt(fmax(0, d0 * d0 + 2 * rise * missing)));
	return rate_at(q->low + q->step * (i - 1 + fmin(u, 1)));
}

static struct interval between(const struct posterior *q, double confidence, double rate)
{
	double tail = (1 - confidence) / 2, at = share_below(q, rate);
	if (at < tail)
		return (struct interval){ rate, rate_with_below(q, at + confidence) };
	if (at > 1 - tail)
		return (struct interval){ rate_with_below(q, at - confidence), rate };
	return (struct interval){ rate_with_below(q, tail), rate_with_below(q, 1 - tail) };
}

void blend_intervals(struct planned *plan, const struct lot *lots, size_t n, double assumed,
                     double weight, double r)
{
	if (n == 0 || isnan(assumed) || !(weight > 0))
		return;
	struct posterior q = { .lots = lots, .n = n, .a = weight * assumed, .b = weight * (1 - assumed),
		               .low = -FAR, .step = 2 * FAR / (POINTS - 1) };
	if (!(q.a > 0 && q.b > 0)) {
		q.a += 0.5;
		q.b += 0.5;
	}
	set_nodes(&q, r);
	double top = evaluate(&q);
	for (int i = 0; i < NARROWINGS && narrow(&q, top); i++)
		top = evaluate(&q);
	add_up(&q, top);
	plan->i80 = between(&q, 0.80, plan->rate);
	plan->i95 = between(&q, 0.95, plan->rate);
}
