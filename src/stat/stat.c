/* stat.c - the only file that knows libRmath (GPL-2 or later).
 *
 * libRmath writes some of its warnings with printf; every argument that could
 * call one up (numbers that are not whole, not finite, out of range) is turned
 * away here first.  Beta quantiles of real counts stay silent. */
#include "stat/stat.h"

#include <math.h>
#include <stdbool.h>

#define MATHLIB_STANDALONE 1
#include <Rmath.h>

/* P(X >= k) is compared with a chance up to rounding: 0.5 is reached by 0.5. */
#define TIE (64 * 2.220446049250313e-16)

static bool is_share(double p)
{
	return p >= 0 && p <= 1; /* false for NaN */
}

static bool is_whole(double x)
{
	return isfinite(x) && x >= 0 && x == floor(x);
}

static bool proportion_ok(double x, double n, double confidence)
{
	return isfinite(n) && n > 0 && x >= 0 && x <= n && confidence > 0 && confidence < 1;
}

struct interval stat_exact(double x, double n, double confidence)
{
	if (!proportion_ok(x, n, confidence))
		return (struct interval){ (double)NAN, (double)NAN };
	double tail = (1 - confidence) / 2;
	return (struct interval){
		.low = x > 0 ? qbeta(tail, x, n - x + 1, 1, 0) : 0,
		.high = x < n ? qbeta(tail, x + 1, n - x, 0, 0) : 1,
	};
}

struct interval stat_jeffreys(double x, double n, double confidence)
{
	if (!proportion_ok(x, n, confidence))
		return (struct interval){ (double)NAN, (double)NAN };
	double tail = (1 - confidence) / 2;
	return (struct interval){
		.low = x > 0 ? qbeta(tail, x + 0.5, n - x + 0.5, 1, 0) : 0,
		.high = x < n ? qbeta(tail, x + 0.5, n - x + 0.5, 0, 0) : 1,
	};
}

double stat_binomial_upto(double k, double n, double p)
{
	if (!is_whole(n) || !is_share(p) || isnan(k))
		return (double)NAN;
	return pbinom(k, n, p, 1, 0);
}

double stat_binomial_quantile(double chance, double n, double p)
{
	if (!is_whole(n) || !is_share(p) || !is_share(chance))
		return (double)NAN;
	return qbinom(chance, n, p, 1, 0);
}

static bool enough(double wanted, double n, double p, double chance)
{
	return n >= wanted && pbinom(wanted - 1, n, p, 0, 0) >= chance * (1 - TIE);
}

double stat_how_many(double wanted, double p, double chance)
{
	if (!isfinite(wanted) || wanted < 0 || wanted > 1e9 || !is_share(p) || !is_share(chance))
		return (double)NAN;
	wanted = ceil(wanted);
	if (wanted == 0 || chance == 0)
		return 0;
	if (p == 1)
		return wanted;
	if (p == 0 || chance == 1)
		return (double)INFINITY;
	/* Failures before the wanted-th success: negative binomial. */
	double n = qnbinom(chance, wanted, p, 1, 0) + wanted;
	if (!isfinite(n))
		return n;
	for (int i = 0; i < 8 && enough(wanted, n - 1, p, chance); i++)
		n--;
	for (int i = 0; i < 8 && !enough(wanted, n, p, chance); i++)
		n++;
	return n;
}

double stat_normal_quantile(double chance)
{
	if (!(chance > 0 && chance < 1))
		return (double)NAN;
	return qnorm(chance, 0, 1, 1, 0);
}

double stat_t_upto(double t, double df)
{
	if (isnan(t) || !(df > 0))
		return (double)NAN;
	return pt(t, df, 1, 0);
}

double stat_t_quantile(double chance, double df)
{
	if (!(chance > 0 && chance < 1) || !(df > 0))
		return (double)NAN;
	return qt(chance, df, 1, 0);
}

static bool shapes_ok(double a, double b)
{
	return a > 0 && b > 0 && isfinite(a) && isfinite(b);
}

double stat_beta_upto(double x, double a, double b)
{
	if (isnan(x) || !shapes_ok(a, b))
		return (double)NAN;
	return pbeta(x, a, b, 1, 0);
}

double stat_beta_quantile(double chance, double a, double b)
{
	if (!is_share(chance) || !shapes_ok(a, b))
		return (double)NAN;
	return qbeta(chance, a, b, 1, 0);
}

/* ---- beta-binomial ---- */

#define BETABINOMIAL_MOST 1e7

static bool betabinomial_ok(double k, double n, double a, double b)
{
	return is_whole(n) && n <= BETABINOMIAL_MOST && !isnan(k) && shapes_ok(a, b);
}

/* Sum of log(1 + j/a) over j < k: nothing cancels, however large a is, where
 * lgamma(a + k) - lgamma(a) - k log(a) would lose every digit. */
static double log_rising(double a, double k)
{
	double sum = 0;
	for (double j = 1; j < k; j++)
		sum += log1p(j / a);
	return sum;
}

/* The binomial term at the mean chance, times what drawing the chance adds. */
static double betabinomial_term(double k, double n, double a, double b)
{
	double log_binomial = dbinom(k, n, a / (a + b), 1);
	return exp(log_binomial + log_rising(a, k) + log_rising(b, n - k) - log_rising(a + b, n));
}

double stat_betabinomial(double k, double n, double a, double b)
{
	if (!betabinomial_ok(k, n, a, b))
		return (double)NAN;
	if (!is_whole(k) || k > n)
		return 0;
	return betabinomial_term(k, n, a, b);
}

double stat_betabinomial_upto(double k, double n, double a, double b)
{
	if (!betabinomial_ok(k, n, a, b))
		return (double)NAN;
	k = floor(k);
	if (k < 0)
		return 0;
	if (k >= n)
		return 1;
	/* The tail away from the mean is summed, term by term: the other one could begin
	 * with a term too small to hold. */
	double sum = 0;
	if (k <= n * (a / (a + b))) {
		double term = betabinomial_term(k, n, a, b);
		for (double i = k; i >= 0; i--) {
			sum += term;
			term *= i * (b + n - i) / ((n - i + 1) * (a + i - 1));
		}
		return fmin(sum, 1);
	}
	double term = betabinomial_term(k + 1, n, a, b);
	for (double i = k + 1; i <= n; i++) {
		sum += term;
		term *= (n - i) * (a + i) / ((i + 1) * (b + n - i - 1));
	}
	return fmax(1 - sum, 0);
}
