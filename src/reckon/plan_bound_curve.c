/* plan_bound_curve.c - lines below the number of stems to cut, for plan_bound.c. */
#include <math.h>

#include "reckon/plan_bound_in.h"

#define JITTER 1.0              /* stems, */
#define NEAR   0.01             /* or of the number: near enough for a line below it */
#define LOW    0.6              /* chances for which which of two asks for fewer may change with the count */
#define MOST   (INT64_C(1) << 40) /* stems that anybody asks for */
#define TRIED  200              /* usable stems, to see which of two asks for fewer */
#define GUESS  1.02             /* of what a number is taken to be at most before it is looked at */

static int64_t number_at(const struct sure *s, double share, double level, int64_t need, bool *reached)
{
	int64_t n = sure_smallest(s, share, need, level);
	*reached = n >= 0;
	return n < 0 ? sure_plain(s, share, need) : n;
}

/* The less it spreads the fewer stems, for most chances; for low ones, and rates that mostly are far below
 * their mean, the other way round. */
static const struct sure *fewest(const struct sure *all, const struct sure *few, double share, double level)
{
	bool reached;
	if (all == few || isnan(level))
		return all;
	int64_t x = number_at(all, share, level, TRIED, &reached), y = number_at(few, share, level, TRIED, &reached);
	return y < x ? few : all;
}

struct bound_curve *bound_curve(struct plan_bound *b, uint32_t pool, size_t date, double level, double fits, bool own)
{
	const struct bound_pool *p = &b->pools[pool];
	double share = p->in_time[date] * fits;
	date = own ? date : 0;
	for (size_t i = 0; i < b->ncurves; i++) {
		struct bound_curve *c = &b->curves[i];
		if (c->of == p->sure[date] && !(c->share < share) && !(c->share > share) &&
		    (c->level == level || (isnan(c->level) && isnan(level))))
			return c;
	}
	struct bound_curve *c = ARENA_PUSH(b->a, b->curves, b->ncurves, b->cap_curves);
	*c = (struct bound_curve){ .of = p->sure[date], .level = level, .share = share, .bears = -1 };
	c->sure = fewest(p->sure[date], p->few[date], share, level);
	if (level < LOW && p->few[date] != p->sure[date])
		c->other = c->sure == p->sure[date] ? p->few[date] : p->sure[date];
	return c;
}

/* The first known at x or beyond. */
static size_t place_of(const struct bound_curve *c, int64_t x)
{
	size_t low = 0, high = c->n;
	while (low < high) {
		size_t middle = low + (high - low) / 2;
		if (c->known[middle].x < x)
			low = middle + 1;
		else
			high = middle;
	}
	return low;
}

/* The point at x; a new one knows what its neighbours do, as the number never falls. */
static struct bound_point *point_at(const struct plan_bound *b, struct bound_curve *c, int64_t x)
{
	size_t at = place_of(c, x);
	if (at < c->n && c->known[at].x == x)
		return &c->known[at];
	struct bound_point p = { x, at > 0 ? c->known[at - 1].low : 0, at < c->n ? c->known[at].high : INFINITY };
	ARENA_PUSH(b->a, c->known, c->n, c->cap);
	memmove(&c->known[at + 1], &c->known[at], (c->n - 1 - at) * sizeof *c->known);
	c->known[at] = p;
	return &c->known[at];
}

static double other_number(const struct bound_curve *c, int64_t x, bool *reached)
{
	bool there;
	double n = (double)number_at(c->other, c->share, c->level, x, &there);
	*reached = *reached && there;
	return n;
}

double bound_number(const struct plan_bound *b, struct bound_curve *c, int64_t x)
{
	if (x <= 0)
		return 0;
	if (isnan(c->level))
		return (double)x / (c->sure->usual * c->share);
	struct bound_point *at = point_at(b, c, x);
	if (at->low < at->high) {
		bool reached;
		at->low = at->high = (double)number_at(c->sure, c->share, c->level, x, &reached);
		if (c->other)
			at->low = at->high = fmin(at->low, other_number(c, x, &reached));
		c->reached = reached && x > c->reached ? x : c->reached;
	}
	return at->low;
}

/* What the number is at most about, by those known on either side. */
static double guess(const struct bound_curve *c, int64_t x)
{
	size_t at = place_of(c, x);
	if (at >= c->n || !isfinite(c->known[at].high))
		return INFINITY;
	const struct bound_point *right = &c->known[at];
	double from = at > 0 ? (double)c->known[at - 1].x : 0, low = at > 0 ? c->known[at - 1].high : 0;
	return low + (right->high - low) * ((double)x - from) / ((double)right->x - from);
}

/* The number is no less than that; `wanted` is looked at where it might be as many. */
static double no_less(const struct plan_bound *b, struct bound_curve *c, int64_t x, double wanted)
{
	if (x <= 0)
		return 0;
	if (x > c->reached)
		return bound_number(b, c, x);
	if (wanted > guess(c, x) * GUESS) {
		size_t at = place_of(c, x);
		return at < c->n && c->known[at].x == x ? c->known[at].low : at > 0 ? c->known[at - 1].low : 0;
	}
	struct bound_point *at = point_at(b, c, x);
	double n = ceil(wanted);
	if (at->low >= n || at->high < n)
		return at->low;
	if (sure_suffices(c->sure, (int64_t)n - 1, c->share, x, c->level) ||
	    (c->other && sure_suffices(c->other, (int64_t)n - 1, c->share, x, c->level)))
		at->high = n - 1;
	else
		at->low = n;
	return at->low;
}

struct chord {
	struct bound_curve *c;
	double slope, base, near;
	bool whole;
};

/* A multiple of the largest power of two that has one there: the same counts again and again. */
static int64_t between(int64_t from, int64_t to)
{
	int64_t step = 1;
	while ((to - 1) / (2 * step) * (2 * step) > from)
		step *= 2;
	return (to - 1) / step * step;
}

/* So much lies the line above the number at most, anywhere from `from` to `to`.  The number never falls:
 * between two counts it is no less than at the first.  Halved until that tells nearly enough. */
static double above(const struct plan_bound *b, const struct chord *l, int64_t from, int64_t to)
{
	double line = l->base + l->slope * (double)to;
	bool last = to - from <= 1;
	int64_t at = last && l->whole ? to : from;
	double near = l->near + (last && !l->whole ? l->slope : 0), most = line - no_less(b, l->c, at, line - near);
	if (most <= near)
		return most;
	if (last)
		return line - bound_number(b, l->c, at);
	int64_t middle = between(from, to);
	return fmax(above(b, l, from, middle), above(b, l, middle, to));
}

void bound_chord(const struct plan_bound *b, struct bound_curve *c, double least, double most, bool whole,
                 double *slope, double *base)
{
	int64_t from = (int64_t)floor(least), to = (int64_t)ceil(most);
	double low = bound_number(b, c, from), high = bound_number(b, c, to);
	*slope = to > from ? (high - low) / (double)(to - from) : 0;
	*base = low - *slope * (double)from;
	if (isnan(c->level))
		return;
	struct chord l = { c, *slope, *base, fmax(JITTER, NEAR * high), whole };
	*base -= fmax(0, to > from ? above(b, &l, from, to) : 0);
}

double bound_plain_above(const struct plan_bound *b, struct bound_curve *plain, struct bound_curve *c, double most)
{
	int64_t to = (int64_t)ceil(most);
	if (to <= 0)
		return 0;
	bound_number(b, c, to); /* what is within reach */
	struct chord l = { c, bound_number(b, plain, to) / (double)to, 0, JITTER, false };
	return fmax(0, above(b, &l, 0, to));
}

double bound_most(const struct plan_bound *b, struct bound_curve *c, int64_t stems, bool whole)
{
	int64_t low = 0, high = stems + 1;
	if (c->bears == stems)
		return (double)c->most + !whole;
	/* For a low chance a stem may stand for more than one. */
	while (!isnan(c->level) && high < MOST && bound_number(b, c, high) <= (double)stems)
		high *= 2;
	while (high - low > 1) {
		int64_t middle = low + (high - low) / 2;
		double n = isnan(c->level) ? (double)sure_plain(c->sure, c->share, middle) : bound_number(b, c, middle);
		if (n <= (double)stems)
			low = middle;
		else
			high = middle;
	}
	c->bears = stems;
	c->most = low;
	/* Stems of another day are not whole here. */
	return (double)low + !whole;
}
