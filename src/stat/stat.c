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
