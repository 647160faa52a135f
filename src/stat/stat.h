/* stat.h - distributions and intervals of proportions. stat.c is the only file
 * that knows libRmath.  Domain errors return NaN. */
#ifndef STAT_STAT_H
#define STAT_STAT_H

struct interval {
	double low, high;
};
/* Clopper-Pearson "exact" interval for x of n, two-sided at `confidence`:
 * low = Beta(x, n-x+1) at alpha/2, high = Beta(x+1, n-x) at 1-alpha/2. */
struct interval stat_exact(double x, double n, double confidence);
/* Jeffreys: Beta(x+1/2, n-x+1/2); low is 0 at x = 0, high is 1 at x = n. */
struct interval stat_jeffreys(double x, double n, double confidence);
/* P(X <= k), X binomial(n, p). */
double stat_binomial_upto(double k, double n, double p);
/* Smallest k with P(X <= k) >= chance. */
double stat_binomial_quantile(double chance, double n, double p);
/* Smallest n with P(Binomial(n, p) >= wanted) >= chance; a chance that is reached
 * exactly counts.  INFINITY when no n will do (p 0, or chance 1 with p < 1). */
double stat_how_many(double wanted, double p, double chance);

/* z with P(Z <= z) = chance, Z standard normal; chance in (0, 1). */
double stat_normal_quantile(double chance);
/* P(T <= t) and its inverse, Student's T with df > 0 degrees of freedom (any real
 * number; INFINITY is the normal). */
double stat_t_upto(double t, double df);
double stat_t_quantile(double chance, double df);
/* P(X <= x) and its inverse, X beta(a, b) with finite a, b > 0. */
double stat_beta_upto(double x, double a, double b);
double stat_beta_quantile(double chance, double a, double b);
/* P(X = k) and P(X <= k) for k of n, each with a chance drawn once for all n from
 * beta(a, b): the stems of a batch that do well or badly together.  Mean a/(a+b), and
 * two of the n are correlated by 1/(a+b+1).  n whole and at most 1e7. */
double stat_betabinomial(double k, double n, double a, double b);
double stat_betabinomial_upto(double k, double n, double a, double b);

#endif
