/* loss.c - stages of loss multiply; each rate is of what enters its own stage. */
#include "reckon/loss.h"

#include <math.h>

#define NEAR 1e-9          /* relative: far above rounding error, far below a stem */
#define NEAR_MOST 1e-3     /* and never so much, however large the number */
#define WHOLE_MOST 9e15    /* below 2^53 */
enum { PARTS = 1000000000 }; /* a rate that is no exact fraction, in thousand-millionths */

double loss_storage(double s, double months)
{
	if (!(months > 0))
		return 1;
	return pow(1 - s, months);
}

double loss_usable(double cut, double f, double d, double s, double months, double b)
{
	return cut * (1 - f) * (1 - d) * loss_storage(s, months) * (1 - b);
}

static double guard(double x)
{
	return fmin(NEAR * fmax(1, x), NEAR_MOST);
}

int64_t loss_whole(double x)
{
	if (!(x > 0))
		return 0;
	if (x > WHOLE_MOST)
		return (int64_t)WHOLE_MOST;
	double up = ceil(x);
	return (int64_t)(up - x <= guard(x) ? up : floor(x));
}

int64_t loss_cover(double x)
{
	if (!(x > 0))
		return 0;
	if (x > WHOLE_MOST)
		return (int64_t)WHOLE_MOST;
	double down = floor(x);
	return (int64_t)(x - down <= guard(x) ? down : ceil(x));
}

struct rat loss_allowance(double v, struct rat b)
{
	struct rat kept, allowance;
	/* `v` leads: it alone is set when a figure comes from arithmetic. */
	if (b.den <= 0 || fabs(rat_double(b) - v) > 1e-12) {
		if (!rat_make(&b, llround(fmin(fmax(v, 0), 1) * PARTS), PARTS))
			b = RAT_ZERO;
	}
	/* A rate of 100% is refused on loading; here it must not become "needs none". */
	if (!rat_sub(&kept, RAT_ONE, b) || rat_sign(kept) <= 0 || !rat_div(&allowance, RAT_ONE, kept))
		return (struct rat){ PARTS, 1 };
	return allowance;
}

struct rat loss_bench_allowance(const struct crop *crop)
{
	return loss_allowance(crop->loss[STAGE_BENCH].v, crop->loss[STAGE_BENCH].q);
}
