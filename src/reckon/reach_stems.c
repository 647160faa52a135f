/* reach_stems.c - whole stems: fractions that floor alike, and one crop's classes
 * against what is wanted of them. */
#include "reckon/reach_program.h"

#include <math.h>

#include "reckon/loss.h"

__extension__ typedef __int128 wide;

#define LENGTH_NEAR 0.01 /* mm: lengths may come from other units */
#define GUARD       1e-9 /* loss_whole's */
enum { STEPS_MOST = 4096, BITS = 60, COUNT_MOST = 100000000, MAKINGS_MOST = 1000000000 };

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

static int by_stems(const void *x, const void *y)
{
	const struct serving *a = x, *b = y;
	if (a->stems != b->stems)
		return a->stems < b->stems ? -1 : 1;
	if (a->b->day != b->b->day)
		return a->b->day > b->b->day ? -1 : 1;
	return (a->b > b->b) - (a->b < b->b);
}

/* ---- with care for what the main day loses ---- */

/* Every class from which stems are set aside for a day loses a whole stem or more until then,
 * and the least is lost where that one was to be lost in any case.  So later days are
 * served where that costs the main day (on which most is wanted) the fewest stems. */
struct care {
	uint32_t day; /* the main one */
	bool *mains;  /* per class: wanted on it */
};

static int64_t main_stems(const struct allotment *t, const struct care *care, size_t c,
			  int64_t less)
{
	size_t today = at(t, c, care->day);
	return !care->mains[c] ? 0
			       : times_down(t->aside[today] + t->left[c] - less,
					    t->room->classes[c].keep[care->day]) -
				     t->used[today];
}

struct taking {
	size_t class_;
	int64_t stems, cost;
};

static void try_taking(const struct allotment *t, const struct care *care, struct taking *best,
		       const struct bucket *b, size_t c, int64_t stems)
{
	struct rat keep = t->room->classes[c].keep[b->day];
	int64_t used = t->used[at(t, c, b->day)], aside = t->aside[at(t, c, b->day)];
	int64_t more = times_up(used + stems, (struct rat){ keep.den, keep.num }) - aside;
	int64_t cost = main_stems(t, care, c, 0) - main_stems(t, care, c, more > 0 ? more : 0);
	int64_t mine = cost * best->stems, theirs = best->cost * stems;
	if (best->stems == 0 || mine < theirs || (mine == theirs && stems > best->stems))
		*best = (struct taking){ c, stems, cost };
}

/* All that is wanted, or as much as takes the main day's loss in the class down by whole
 * stems and no more. */
static void try_class(const struct allotment *t, const struct care *care, struct taking *best,
		      const struct bucket *b, size_t c, int64_t n)
{
	struct rat keep = t->room->classes[c].keep[b->day],
		   today = t->room->classes[c].keep[care->day];
	int64_t used = t->used[at(t, c, b->day)], aside = t->aside[at(t, c, b->day)];
	int64_t room = t->left[c] < t->usable ? t->left[c] : t->usable;
	int64_t most = times_down(aside + room, keep) - used;
	if (most > n)
		most = n;
	if (most <= 0)
		return;
	try_taking(t, care, best, b, c, most);
	int64_t all = t->aside[at(t, c, care->day)] + t->left[c];
	int64_t lost = all - times_down(all, today), each = today.den - today.num;
	while (care->mains[c] && each > 0 && lost-- > 0) {
		int64_t z = all - times_down(lost, (struct rat){ today.den, each });
		int64_t stems = z > room ? most : times_down(aside + z, keep) - used;
		if (stems >= most)
			return;
		if (stems > 0)
			try_taking(t, care, best, b, c, stems);
	}
}

static int64_t allot_with_care(struct allotment *t, const struct care *care, const struct bucket *b,
			       int64_t n)
{
	int64_t got = 0;
	while (got < n) {
		struct taking best = { 0 };
		for (size_t c = 0; c < t->room->nclasses; c++)
			if (b->fits[c] && t->room->classes[c].keep[b->day].num > 0)
				try_class(t, care, &best, b, c, n - got);
		if (best.stems == 0)
			return got;
		got += allot_from(t, best.class_, b->day, best.stems);
	}
	return got;
}

/* What is reserved stays where it costs the main day least. */
static void hold_back(struct allotment *t, const struct care *care, int64_t *held)
{
	int64_t spare = -t->usable;
	for (size_t c = 0; c < t->room->nclasses; c++)
		spare += t->left[c];
	while (spare > 0) {
		size_t best = SIZE_MAX;
		int64_t least = 0;
		for (size_t c = 0; c < t->room->nclasses; c++) {
			struct rat today = t->room->classes[c].keep[care->day];
			int64_t all = t->aside[at(t, c, care->day)] + t->left[c];
			int64_t lost = all - times_down(all, today), each = today.den - today.num;
			int64_t z =
			    !care->mains[c] ? t->left[c]
			    : each > 0 && lost > 0
				? all - times_down(lost - 1, (struct rat){ today.den, each })
				: 0;
			if (!care->mains[c] && z > spare)
				z = spare;
			if (z > 0 && z <= t->left[c] && z <= spare &&
			    (best == SIZE_MAX || z < least)) {
				best = c;
				least = z;
			}
		}
		if (best == SIZE_MAX)
			return;
		t->left[best] -= least;
		held[best] += least;
		spare -= least;
	}
}

enum { TURNS = 64 };

static bool allot_turns(struct allotment *t, const struct serving *turns, size_t n)
{
	for (size_t i = 0; i < n; i++)
		if (allot(t, turns[i].b, turns[i].want) < turns[i].want)
			return false;
	return true;
}

/* What a turn took of each class, as its day's use before it and after it tells. */
static void note_use(const struct allotment *t, uint32_t day_, int64_t *by_class, int64_t sign)
{
	for (size_t c = 0; by_class && c < t->room->nclasses; c++)
		by_class[c] += sign * t->used[at(t, c, day_)];
}

bool allot_turns_with_care(struct allotment *t, const struct serving *turns, size_t n,
			   int64_t *by_class)
{
	struct program *p = t->p;
	const struct room *room = t->room;
	struct care care = { 0, ARENA_ARRAY(p->a, room->nclasses, bool) };
	int64_t *wants = ARENA_ARRAY(p->a, p->q->ndays, int64_t);
	int64_t *held = ARENA_ARRAY(p->a, room->nclasses, int64_t);
	for (size_t i = 0; i < n; i++)
		wants[turns[i].b->day] = plenty_add(wants[turns[i].b->day], turns[i].want);
	for (uint32_t d = 1; d < p->q->ndays; d++)
		if (wants[d] > wants[care.day])
			care.day = d;
	for (size_t i = 0; i < n; i++)
		for (size_t c = 0; c < room->nclasses && turns[i].b->day == care.day; c++)
			care.mains[c] |= turns[i].b->fits[c];
	bool all = true;
	for (int pass = 0; pass < 2 && all; pass++) {
		if (pass == 1)
			hold_back(t, &care, held);
		for (size_t i = 0; i < n && all; i++) {
			const struct serving *u = &turns[i];
			int64_t *mine = by_class ? &by_class[i * room->nclasses] : NULL;
			if ((u->b->day == care.day) != (pass == 1))
				continue;
			note_use(t, u->b->day, mine, -1);
			all = (pass == 0 ? allot_with_care(t, &care, u->b, u->want)
					 : allot(t, u->b, u->want)) == u->want;
			note_use(t, u->b->day, mine, 1);
		}
	}
	for (size_t c = 0; c < room->nclasses; c++)
		t->left[c] += held[c];
	return all;
}

bool allot_all(struct allotment *t, bool hi)
{
	struct program *p = t->p;
	struct serving turns[TURNS];
	size_t n = 0, room = (size_t)(t->room - p->rooms);
	for (size_t i = 0; i < p->nbuckets; i++) {
		const struct bucket *b = &p->buckets[i];
		int64_t want = hi ? b->hi : b->lo;
		if (b->room != room || want == 0)
			continue;
		if (n == TURNS)
			return false; /* not by hand */
		turns[n++] = (struct serving){ b, fitting_stems(t->room, b), want };
	}
	if (n)
		qsort(turns, n, sizeof *turns, by_stems);
	if (allot_turns(t, turns, n))
		return true;
	allot_start(p, &p->rooms[room]);
	return allot_turns_with_care(t, turns, n, NULL);
}

/* ---- proving that too much is wanted ---- */

static bool within(const struct bucket *inner, const unsigned char *fits, size_t nclasses)
{
	for (size_t c = 0; c < nclasses; c++)
		if (inner->fits[c] && !fits[c])
			return false;
	return true;
}

/* A class of z stems, used on whatever days, loses at least ceil(z (1 - keep)) of them, keep
 * being that of its best day: a ceiling of a sum is no more than the sum of ceilings.  So it loses
 * no more than l only while z <= l / (1 - keep), and what is set aside for something else
 * spares a stem each time that it takes the class past such a step. */
struct steps {
	int64_t all, lost; /* of the classes: stems, and what they lose */
	int64_t *sizes;    /* rising */
	size_t n;
};

static int by_size(const void *x, const void *y)
{
	const int64_t *a = x, *b = y;
	return (*a > *b) - (*a < *b);
}

static void add_steps(struct steps *s, int64_t z, struct rat keep)
{
	s->all += z;
	s->lost += z - times_down(z, keep);
	if (s->lost > STEPS_MOST)
		return;
	for (int64_t l = z - times_down(z, keep); l-- > 0;) {
		int64_t less = times_down(l, (struct rat){ keep.den, keep.den - keep.num });
		s->sizes[s->n++] = z - less;
		z = less;
	}
}

/* The most that they give with so many set aside: smallest steps first. */
static int64_t steps_give(const struct steps *s, int64_t aside)
{
	int64_t lost = s->lost, left = aside;
	for (size_t i = 0; i < s->n && s->sizes[i] <= left; i++, lost--)
		left -= s->sizes[i];
	return s->all - aside - lost;
}

struct wanted {               /* of a day */
	int64_t stems, aside; /* at the best survival of any class */
	struct rat best;
	uint32_t day;
};

static int by_loss(const void *x, const void *y) /* a stem */
{
	const struct wanted *a = x, *b = y;
	wide mine = (wide)(a->aside - a->stems) * b->stems,
	     theirs = (wide)(b->aside - b->stems) * a->stems;
	return mine != theirs ? (mine < theirs ? -1 : 1) : (a->day > b->day) - (a->day < b->day);
}

/* Class by class: the days with the smallest losses are taken together with the first, the
 * others at the best survival of any class; false for any number of them is a proof. */
static bool steps_hold(struct program *p, const struct room *room, const unsigned char *fits,
		       struct wanted *days, size_t n, int64_t reserved)
{
	struct steps s = { .sizes = p->steps };
	if (!p->steps)
		s.sizes = p->steps = ARENA_ARRAY(p->a, STEPS_MOST, int64_t);
	for (size_t c = 0; c < room->nclasses; c++) {
		struct rat keep = RAT_ZERO;
		for (size_t i = 0; i < n && fits[c]; i++)
			if (rat_cmp(room->classes[c].keep[days[i].day], keep) > 0)
				keep = room->classes[c].keep[days[i].day];
		if (keep.num > 0)
			add_steps(&s, room->classes[c].counted, keep);
		else if (fits[c])
			reserved -= room->classes[c].counted < reserved ? room->classes[c].counted
									: reserved;
	}
	int64_t aside = reserved, together = 0;
	for (size_t i = 0; i < n; i++)
		aside = plenty_add(aside, days[i].aside);
	if (s.lost > STEPS_MOST || s.all - s.lost - aside >= 0)
		return true;
	if (s.n)
		qsort(s.sizes, s.n, sizeof *s.sizes, by_size);
	qsort(days, n, sizeof *days, by_loss);
	for (size_t i = 0; i < n; i++) {
		aside -= days[i].aside;
		together += days[i].stems;
		if (together > steps_give(&s, aside))
			return false;
	}
	return true;
}

/* All that must come from the classes of `fits` (or of the whole crop) against what
 * they hold: each day by itself, and all days together at the best survival. */
static bool holds_within(struct program *p, size_t index, const unsigned char *fits)
{
	const struct room *room = &p->rooms[index];
	struct wanted *days = ARENA_ARRAY(p->a, p->q->ndays, struct wanted);
	int64_t aside = 0, counted = 0;
	size_t n = 0;
	for (size_t c = 0; c < room->nclasses; c++)
		if (fits[c])
			counted = plenty_add(counted, room->classes[c].counted);
	for (uint32_t d = 0; d < p->q->ndays; d++) {
		struct wanted w = { .best = RAT_ZERO, .day = d };
		int64_t can = 0;
		for (size_t i = 0; i < p->nbuckets; i++) {
			const struct bucket *b = &p->buckets[i];
			if (b->room == index && b->day == d && b->lo > 0 &&
			    within(b, fits, room->nclasses))
				w.stems = plenty_add(w.stems, b->lo);
		}
		if (w.stems == 0)
			continue;
		for (size_t c = 0; c < room->nclasses; c++) {
			const struct stems *s = &room->classes[c];
			if (!fits[c])
				continue;
			can = plenty_add(can, times_down(s->counted, s->keep[d]));
			if (rat_cmp(s->keep[d], w.best) > 0)
				w.best = s->keep[d];
		}
		if (w.stems > can)
			return false;
		w.aside = times_up(w.stems, (struct rat){ w.best.den, w.best.num });
		aside = plenty_add(aside, w.aside);
		days[n++] = w;
	}
	int64_t usable = counted < room->usable ? counted : room->usable;
	return aside <= usable && (n == 0 || steps_hold(p, room, fits, days, n, counted - usable));
}

bool room_possible(struct program *p, size_t index)
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
