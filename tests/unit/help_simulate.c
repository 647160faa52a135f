/* help_simulate.c - see help_simulate.h. */
#include "help_simulate.h"

#include <math.h>

double simulate_normal(uint64_t *state)
{
	double u = build_random(state), v = build_random(state); /* Box and Muller */
	return sqrt(-2 * log1p(-u)) * cos(6.283185307179586 * v);
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
		if (log(u) < 0.5 * x * x + d - d * v + d * log(v))
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
