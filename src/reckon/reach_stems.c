/* reach_stems.c - whole stems: fractions that floor alike, and one crop's classes
 * against what is wanted of them. */
#include "reckon/reach_program.h"

#include <math.h>

#include "reckon/loss.h"

__extension__ typedef __int128 wide;

#define LENGTH_NEAR 0.01 /* mm: lengths may come from other units */
#define GUARD       1e-9 /* loss_whole's */
enum { BITS = 60, COUNT_MOST = 100000000, MAKINGS_MOST = 1000000000 };

int64_t plenty_add(int64_t a, int64_t b)
{
	return a > PLENTY - b ? PLENTY : a + b;
}

int64_t plenty_times(int64_t a, int64_t b)
{
	wide product = (wide)a * b;
	return product > PLENTY ? PLENTY : (int64_t)product;
}

int64_t times_up(int64_t n, struct rat r)
{
	wide product = ((wide)n * r.num + r.den - 1) / r.den;
	return product > PLENTY ? PLENTY : (int64_t)product;
}

int64_t times_down(int64_t n, struct rat r)
{
	wide product = (wide)n * r.num / r.den;
	return product > PLENTY ? PLENTY : (int64_t)product;
}

/* ---- best fractions with small denominators (Stern-Brocot) ---- */

struct ends {
	int64_t low_p, low_q, high_p, high_q;
};

/* The fractions nearest to num/den from below (or equal) and above, denominators up
 * to `most`; runs of equal turns are taken at once. */
static struct ends nearest_fractions(wide num, wide den, int64_t most)
{
	struct ends e = { 0, 1, 1, 0 };
	for (;;) {
		wide under = num * e.low_q - e.low_p * den, over = e.high_p * den - num * e.high_q;
		if (under == 0)
			return e;
		wide up = under / over;
		if (e.high_q > 0 && up > (most - e.low_q) / e.high_q)
			up = (most - e.low_q) / e.high_q;
		e.low_p += (int64_t)up * e.high_p;
		e.low_q += (int64_t)up * e.high_q;
		under -= up * over;
		if (under == 0)
			return e;
		wide down = (over - 1) / under;
		if (down > (most - e.high_q) / e.low_q)
			down = (most - e.high_q) / e.low_q;
		e.high_p += (int64_t)down * e.low_p;
		e.high_q += (int64_t)down * e.low_q;
		if (up == 0 && down == 0)
			return e;
	}
}

struct rat fraction_below(double x, int64_t most)
{
	if (!(x > 0) || most < 1)
		return RAT_ZERO;
	if (most > COUNT_MOST)
		most = COUNT_MOST;
	double guarded = x >= 1 ? 1 : fmin(x * (1 + GUARD), 1);
	struct ends e = nearest_fractions((wide)ldexp(guarded, BITS), (wide)1 << BITS, most);
	return (struct rat){ e.low_p, e.low_q };
}

struct rat fraction_above(struct rat r, int64_t most)
{
	if (most > MAKINGS_MOST)
		most = MAKINGS_MOST;
	if (r.den <= most || most < 1 || r.num <= 0)
		return r;
	struct ends e = nearest_fractions(r.num, r.den, most);
	return (struct rat){ e.high_p, e.high_q };
}

/* ---- what is in the shed ---- */

static bool may_use(const struct farm *farm, const struct stock *stock, const struct stock_class *c,
		    day on)
{
	double keeps = farm->crops[c->crop].keeps.v;
	if (stock->with_past)
		return true;
	if (c->past)
		return false;
	return !(keeps > 0) || c->boxed == DAY_NONE || date_months(c->boxed, on) <= keeps;
}

struct rat *shed_keep(const struct farm *farm, const struct stock *stock, const day *days,
		      uint32_t ndays, struct arena *a)
{
	struct rat *keep = ARENA_ARRAY(a, stock->nclasses * ndays, struct rat);
	for (size_t i = 0; i < stock->nclasses; i++) {
		const struct stock_class *c = &stock->classes[i];
		/* Parts of stems in a count (stems by weight) stay with the whole ones. */
		double parts = 1, whole = (double)c->counted_stems;
		if (whole > 0 && c->survival > 0 && fabs(c->worth / c->survival - whole) > 1e-6)
			parts = c->worth / c->survival / whole;
		for (uint32_t d = 0; d < ndays; d++) {
			struct rat *r = &keep[i * ndays + d];
			*r = RAT_ZERO;
			if (may_use(farm, stock, c, days[d]))
				*r = fraction_below(
				    fmin(1, stock_class_survival(stock, i, days[d]) * parts),
				    c->counted_stems);
		}
	}
	return keep;
}

static bool colour_fits(const struct need_option *o, uint32_t one_colour, uint32_t colour)
{
	if (o->one_colour && (colour == NONE || (one_colour != NONE && colour != one_colour)))
		return false;
	if (o->ncolours == 0)
		return true;
	for (size_t i = 0; i < o->ncolours; i++)
		if (o->colours[i] == colour)
			return colour != NONE;
	return false;
}

bool stem_fits(const struct need_option *o, uint32_t one_colour, uint32_t colour, double length)
{
	if (!colour_fits(o, one_colour, colour))
		return false;
	if (!(o->from > 0) && !(o->to > 0))
		return true;
	return length > 0 && !(o->from > 0 && length < o->from - LENGTH_NEAR) &&
	       !(o->to > 0 && length > o->to + LENGTH_NEAR);
}

/* ---- allotting by hand ---- */

static size_t at(const struct allotment *t, size_t class_, uint32_t day_)
{
	return class_ * t->p->q->ndays + day_;
}

void allot_start(struct program *p, struct room *room)
{
	size_t n = room->nclasses * p->q->ndays;
	struct allotment *t = room->by_hand;
	if (!t) {
		t = room->by_hand = ARENA_NEW(p->a, struct allotment);
		t->used = ARENA_ARRAY(p->a, n, int64_t);
		t->aside = ARENA_ARRAY(p->a, n, int64_t);
		t->left = ARENA_ARRAY(p->a, room->nclasses, int64_t);
	}
	t->p = p;
	t->room = room; /* rooms may have moved since */
	memset(t->used, 0, n * sizeof *t->used);
	memset(t->aside, 0, n * sizeof *t->aside);
	t->usable = room->usable;
	for (size_t c = 0; c < room->nclasses; c++)
		t->left[c] = room->classes[c].counted;
}

/* From one class, setting aside as few more stems as will do. */
static int64_t allot_from(struct allotment *t, size_t c, uint32_t day_, int64_t n)
{
	struct rat keep = t->room->classes[c].keep[day_];
	if (keep.num == 0 || n <= 0)
		return 0;
	int64_t *used = &t->used[at(t, c, day_)], *aside = &t->aside[at(t, c, day_)];
	int64_t room = t->left[c] < t->usable ? t->left[c] : t->usable;
	int64_t most = times_down(*aside + room, keep) - *used;
	if (n > most)
		n = most;
	if (n <= 0)
		return 0;
	*used += n;
	int64_t need = times_up(*used, (struct rat){ keep.den, keep.num }) - *aside;
	if (need > 0) {
		*aside += need;
		t->left[c] -= need;
		t->usable -= need;
	}
	return n;
}

int64_t allot(struct allotment *t, const struct bucket *b, int64_t n)
{
	int64_t got = 0;
	/* Classes that fewest want come first; so few that a pass per rank is cheap. */
	for (int64_t rank = 0; got < n && rank != INT64_MAX;) {
		int64_t next = INT64_MAX;
		for (size_t c = 0; c < t->room->nclasses; c++) {
			int64_t r = t->room->classes[c].rank;
			if (!b->fits[c])
				continue;
			if (r == rank)
				got += allot_from(t, c, b->day, n - got);
			else if (r > rank && r < next)
				next = r;
		}
		rank = next;
	}
	return got;
}

static int64_t fitting_stems(const struct room *room, const struct bucket *b)
{
	int64_t sum = 0;
	for (size_t c = 0; c < room->nclasses; c++)
		if (b->fits[c])
			sum = plenty_add(sum, room->classes[c].counted);
	return sum;
}

struct turn {
	const struct bucket *b;
	int64_t stems;
};

static int by_stems(const void *x, const void *y)
{
	const struct turn *a = x, *b = y;
	if (a->stems != b->stems)
		return a->stems < b->stems ? -1 : 1;
	if (a->b->day != b->b->day)
		return a->b->day > b->b->day ? -1 : 1;
	return (a->b > b->b) - (a->b < b->b);
}

bool allot_all(struct allotment *t, bool hi)
{
	const struct program *p = t->p;
	enum { TURNS = 64 };
	struct turn turns[TURNS];
	size_t n = 0, room = (size_t)(t->room - p->rooms);
	for (size_t i = 0; i < p->nbuckets; i++) {
		const struct bucket *b = &p->buckets[i];
		if (b->room != room || (hi ? b->hi : b->lo) == 0)
			continue;
		if (n == TURNS)
			return false; /* not by hand */
		turns[n++] = (struct turn){ b, fitting_stems(t->room, b) };
	}
	if (n)
		qsort(turns, n, sizeof *turns, by_stems);
	for (size_t i = 0; i < n; i++) {
		int64_t want = hi ? turns[i].b->hi : turns[i].b->lo;
		if (allot(t, turns[i].b, want) < want)
			return false;
	}
	return true;
}

/* ---- proving that too much is wanted ---- */

static bool within(const struct bucket *inner, const unsigned char *fits, size_t nclasses)
{
	for (size_t c = 0; c < nclasses; c++)
		if (inner->fits[c] && !fits[c])
			return false;
	return true;
}

/* All that must come from the classes of `fits` (or of the whole crop) against what
 * they hold: each day by itself, and all days together at the best survival. */
static bool holds_within(const struct program *p, size_t index, const unsigned char *fits)
{
	const struct room *room = &p->rooms[index];
	int64_t aside = 0, counted = 0;
	for (size_t c = 0; c < room->nclasses; c++)
		if (fits[c])
			counted = plenty_add(counted, room->classes[c].counted);
	for (uint32_t d = 0; d < p->q->ndays; d++) {
		int64_t want = 0, can = 0;
		struct rat best = RAT_ZERO;
		for (size_t i = 0; i < p->nbuckets; i++) {
			const struct bucket *b = &p->buckets[i];
			if (b->room == index && b->day == d && b->lo > 0 &&
			    within(b, fits, room->nclasses))
				want = plenty_add(want, b->lo);
		}
		if (want == 0)
			continue;
		for (size_t c = 0; c < room->nclasses; c++) {
			const struct stems *s = &room->classes[c];
			if (!fits[c])
				continue;
			can = plenty_add(can, times_down(s->counted, s->keep[d]));
			if (rat_cmp(s->keep[d], best) > 0)
				best = s->keep[d];
		}
		if (want > can)
			return false;
		aside = plenty_add(aside, times_up(want, (struct rat){ best.den, best.num }));
	}
	return aside <= (counted < room->usable ? counted : room->usable);
}

bool room_possible(const struct program *p, size_t index)
{
	const struct room *room = &p->rooms[index];
	unsigned char all[256];
	bool any = false;
	for (size_t i = 0; i < p->nbuckets; i++) {
		const struct bucket *b = &p->buckets[i];
		if (b->room != index || b->lo == 0)
			continue;
		any = true;
		if (!holds_within(p, index, b->fits))
			return false;
	}
	if (!any || room->nclasses > sizeof all)
		return true;
	memset(all, 1, sizeof all);
	return holds_within(p, index, all);
}
