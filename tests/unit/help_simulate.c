/* help_simulate.c - see help_simulate.h. */
#include "help_simulate.h"

#include <math.h>

double simulate_normal(uint64_t *state)
{
	double u = build_random(state), v = build_random(state); /* Box and Muller */
	return sqrt(-2 * log(1 - u)) * cos(6.283185307179586 * v);
}

/* G. Marsaglia and W. W. Tsang, "A simple method for generating gamma variables", ACM
 * Trans. Math. Software 26 (2000) 363-372; from memory. */
double simulate_gamma(double shape, uint64_t *state)
{
	if (shape < 1) {
		double u = 1 - build_random(state);
		return simulate_gamma(shape + 1, state) * pow(u, 1 / shape);
	}
	double d = shape - 1.0 / 3, c = 1 / sqrt(9 * d);
	for (;;) {
		double x = simulate_normal(state), v = 1 + c * x;
		if (v <= 0)
			continue;
		v = v * v * v;
		double u = 1 - build_random(state);
		if (u < 1 - 0.0331 * x * x * x * x || /* nearly always, and the same as: */
		    log(u) < 0.5 * x * x + d - d * v + d * log(v))
			return d * v;
	}
}

double simulate_beta(double a, double b, uint64_t *state)
{
	if (!(a > 0))
		return 0;
	if (!(b > 0))
		return 1;
	double x = simulate_gamma(a, state), y = simulate_gamma(b, state);
	return x + y > 0 ? x / (x + y) : build_random(state) * (a + b) < a;
}

double simulate_binomial(double n, double p, uint64_t *state)
{
	double hits = 0;
	for (double i = 0; i < n; i++)
		hits += build_random(state) < p;
	return hits;
}

static double by_inversion(double n, double p, uint64_t *state)
{
	double u = build_random(state), odds = p / (1 - p), term = exp(n * log1p(-p)), k = 0;
	while (u > term && k < n) {
		u -= term;
		k++;
		term *= odds * (n - k + 1) / k;
	}
	return k;
}

/* W. Hoermann, "The generation of binomial random variates", J. Stat. Computation and
 * Simulation 46 (1993) 101-110, its BTRS; from memory. */
static double by_rejection(double n, double p, uint64_t *state)
{
	double sd = sqrt(n * p * (1 - p)), b = 1.15 + 2.53 * sd, a = -0.0873 + 0.0248 * b + 0.01 * p;
	double alpha = (2.83 + 5.1 / b) * sd, odds = log(p / (1 - p)), m = floor((n + 1) * p);
	for (;;) {
		double u = build_random(state) - 0.5, v = build_random(state), far = 0.5 - fabs(u);
		double k = floor((2 * a / far + b) * u + n * p + 0.5);
		if (far >= 0.07 && v <= 0.92 - 4.2 / b)
			return k;
		if (!(k >= 0 && k <= n))
			continue;
		if (log(v * alpha / (a / (far * far) + b)) <=
		    lgamma(m + 1) + lgamma(n - m + 1) - lgamma(k + 1) - lgamma(n - k + 1) +
			    (k - m) * odds)
			return k;
	}
}

double simulate_count(double n, double p, uint64_t *state)
{
	if (!(p > 0) || !(n > 0))
		return 0;
	if (p > 0.5)
		return n - simulate_count(n, 1 - p, state);
	return n * p < 10 ? by_inversion(n, p, state) : by_rejection(n, p, state);
}

double simulate_whole(double low, double high, uint64_t *state)
{
	return low + floor((high - low + 1) * build_random(state));
}

void simulate_season(struct lot *lots, size_t k, double low, double high, double p, double rho,
                     uint64_t *state)
{
	for (size_t i = 0; i < k; i++) {
		double n = simulate_whole(low, high, state), q = p;
		if (rho > 0)
			q = simulate_beta(p * (1 - rho) / rho, (1 - p) * (1 - rho) / rho, state);
		lots[i] = (struct lot){ .lost = simulate_binomial(n, q, state), .of = n };
	}
}
