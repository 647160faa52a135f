/* pull_boxes.c - stems that are wanted: from which class, and from which box of it. */
#include "reckon/pull_boxes.h"

#include <math.h>

#include "reckon/loss.h"
#include "solve/solve.h"

#define FEW 100.0 /* ranks: a stem that is missing; of what is kept, so many of the list */
enum { NODES = 2000 };

static const struct need_option *option_of(const struct program *p, const struct variant *v)
{
	return &p->makers[v->maker].needs[v->need].options[v->option];
}

static const struct maker *maker_of(const struct program *p, const struct demand *d)
{
	return &p->makers[p->variants[d->variant].maker];
}

/* ---- what is wanted ---- */

static int64_t stems_of_colour(const struct program *p, const struct need_option *o, uint32_t day_,
			       uint32_t colour)
{
	const struct question *q = p->q;
	int64_t sum = 0;
	for (size_t i = 0; i < q->stock->nclasses; i++) {
		const struct stock_class *c = &q->stock->classes[i];
		if (c->crop == o->item.index && stem_fits(o, colour, c->colour, c->length))
			sum = plenty_add(
			    sum, times_down(c->counted_stems, q->keep[i * q->ndays + day_]));
	}
	return sum;
}

/* Where a crop was proven to suffice in any colour, the one that there is most of. */
static uint32_t one_colour(const struct program *p, const struct variant *v)
{
	const struct need_option *o = option_of(p, v);
	uint32_t day_ = p->makers[v->maker].day, best = NONE;
	int64_t most = -1;
	if (!o->one_colour || v->colour != NONE)
		return v->colour;
	size_t n = o->ncolours ? o->ncolours : p->q->farm->ncolours;
	for (size_t i = 0; i < n; i++) {
		uint32_t colour = o->ncolours ? o->colours[i] : (uint32_t)i;
		int64_t stems = stems_of_colour(p, o, day_, colour);
		if (stems > most) {
			most = stems;
			best = colour;
		}
	}
	return best;
}

void pull_demands(struct demands *out, struct program *p, struct arena *a)
{
	out->items = ARENA_ARRAY(a, p->nvariants + 1, struct demand);
	out->n = 0;
	for (size_t k = 0; k < p->nvariants; k++) {
		const struct variant *v = &p->variants[k];
		int64_t stems = v->kind == KIND_CROP ? times_up(v->got, v->stems) : 0;
		if (stems <= 0)
			continue;
		const struct need_option *o = option_of(p, v);
		uint32_t day_ = p->makers[v->maker].day;
		struct demand *d = &out->items[out->n++];
		*d = (struct demand){ .variant = k, .colour = one_colour(p, v), .stems = stems };
		d->bucket = program_bucket(p, o->item.index, day_, o, d->colour);
	}
	for (size_t i = 0; i < out->n; i++) {
		struct demand *d = &out->items[i];
		d->by_class =
		    ARENA_ARRAY(a, p->rooms[p->buckets[d->bucket].room].nclasses + 1, int64_t);
	}
}

/* ---- classes: oldest first, then the shortest that fits ---- */

struct turn { /* a class, or a demand, in its order */
	const struct program *p;
	const struct stems *class_;
	int64_t stems;
	uint32_t day;
	size_t index;
	bool later; /* where something is missing, what is kept comes before the list */
};

static int by_age(const void *x, const void *y)
{
	const struct turn *a = x, *b = y;
	const struct stock_class *classes = a->p->q->stock->classes;
	int32_t m = classes[a->class_->index].month, n = classes[b->class_->index].month;
	if (m != n)
		return m < 0 ? 1 : n < 0 ? -1 : m < n ? -1 : 1;
	double k = a->class_->length, l = b->class_->length;
	if (k < l || k > l)
		return k < l ? -1 : 1;
	return (a->index > b->index) - (a->index < b->index);
}

static void rank_classes(struct program *p, struct room *room, struct arena *a)
{
	struct turn *turns = ARENA_ARRAY(a, room->nclasses + 1, struct turn);
	for (size_t c = 0; c < room->nclasses; c++)
		turns[c] = (struct turn){ .p = p, .class_ = &room->classes[c], .index = c };
	if (room->nclasses)
		qsort(turns, room->nclasses, sizeof *turns, by_age);
	for (size_t c = 0; c < room->nclasses; c++)
		room->classes[turns[c].index].rank = (int64_t)c + 1;
}

static int by_hardness(const void *x, const void *y)
{
	const struct turn *a = x, *b = y;
	if (a->later != b->later)
		return a->later ? 1 : -1;
	if (a->stems != b->stems)
		return a->stems < b->stems ? -1 : 1;
	if (a->day != b->day)
		return a->day < b->day ? -1 : 1;
	return (a->index > b->index) - (a->index < b->index);
}

struct crew { /* the demands of one room, those first that fewest stems fit */
	struct program *p;
	struct room *room;
	struct demand **items;
	size_t n;
	const struct keep_values *worth;
	struct arena *a;
};

#define WORTH_NEAR 1e-6

static double worth_of(const struct crew *w, size_t c)
{
	uint32_t class_ = w->room->classes[c].index;
	return w->worth && class_ != NONE ? w->worth->of_class[class_] : 0;
}

/* Stems of more keep value are used than was counted on. */
static bool too_dear(const struct crew *w)
{
	double sum = 0;
	for (size_t i = 0; i < w->n; i++)
		for (size_t c = 0; c < w->room->nclasses; c++)
			sum += (double)w->items[i]->by_class[c] * worth_of(w, c);
	return w->worth && sum > w->worth->most[w->room->crop] + WORTH_NEAR;
}

static void find_crew(struct crew *w, struct demands *d, size_t room, bool few)
{
	struct program *p = w->p;
	struct turn *turns = ARENA_ARRAY(w->a, d->n + 1, struct turn);
	size_t n = 0;
	for (size_t i = 0; i < d->n; i++) {
		const struct bucket *b = &p->buckets[d->items[i].bucket];
		int64_t stems = 0;
		if (b->room != room)
			continue;
		for (size_t c = 0; c < w->room->nclasses; c++)
			if (b->fits[c])
				stems = plenty_add(stems, w->room->classes[c].counted);
		turns[n++] = (struct turn){
			.stems = stems, .day = b->day, .index = i, .later = few && !d->items[i].kept
		};
	}
	if (n)
		qsort(turns, n, sizeof *turns, by_hardness);
	w->items = ARENA_ARRAY(w->a, n + 1, struct demand *);
	w->n = n;
	for (size_t i = 0; i < n; i++)
		w->items[i] = &d->items[turns[i].index];
}

/* One after the other, by the ranks of the classes.  What is missing in all. */
static int64_t draw_by_hand(struct crew *w)
{
	uint32_t ndays = w->p->q->ndays;
	size_t nclasses = w->room->nclasses;
	int64_t *before = ARENA_ARRAY(w->a, nclasses + 1, int64_t), missing = 0;
	allot_start(w->p, w->room);
	for (size_t i = 0; i < w->n; i++) {
		struct demand *d = w->items[i];
		const struct bucket *b = &w->p->buckets[d->bucket];
		const int64_t *used = w->room->by_hand->used;
		for (size_t c = 0; c < nclasses; c++)
			before[c] = used[c * ndays + b->day];
		d->got = allot(w->room->by_hand, b, d->stems);
		for (size_t c = 0; c < nclasses; c++)
			d->by_class[c] = used[c * ndays + b->day] - before[c];
		missing += d->stems - d->got;
	}
	return missing;
}

/* The same, as the reach looks for it where stems are lost whole: what it says can be made so
 * has a list. */
static bool draw_with_care(struct crew *w)
{
	size_t nclasses = w->room->nclasses;
	struct serving *turns = ARENA_ARRAY(w->a, w->n + 1, struct serving);
	int64_t *by_class = ARENA_ARRAY(w->a, w->n * nclasses + 1, int64_t);
	for (size_t i = 0; i < w->n; i++)
		turns[i] = (struct serving){ .b = &w->p->buckets[w->items[i]->bucket],
					     .want = w->items[i]->stems };
	allot_start(w->p, w->room);
	if (!allot_turns_with_care(w->room->by_hand, turns, w->n, by_class))
		return false;
	for (size_t i = 0; i < w->n; i++) {
		w->items[i]->got = w->items[i]->stems;
		memcpy(w->items[i]->by_class, &by_class[i * nclasses], nclasses * sizeof *by_class);
	}
	return true;
}

/* ---- the same by the solver, when by hand it does not come out ---- */

struct sheet {
	struct crew *w;
	struct solve m;
	int *cols; /* per demand and class; -1 */
	int *lost; /* per class and day; -1 */
};

static int *cell(struct sheet *s, size_t demand, size_t class_)
{
	return &s->cols[demand * s->w->room->nclasses + class_];
}

/* What is used of a class and lost by then was set aside for the day: reach_solve.c. */
static void class_rows(struct sheet *s, size_t c, int reserve)
{
	const struct crew *w = s->w;
	const struct stems *class_ = &w->room->classes[c];
	int all = solve_row(&s->m, -SOLVE_INF, (double)class_->counted);
	for (uint32_t d = 0; d < w->p->q->ndays; d++) {
		struct rat keep = class_->keep[d];
		int row = -1;
		for (size_t i = 0; i < w->n; i++) {
			if (*cell(s, i, c) < 0 || w->p->buckets[w->items[i]->bucket].day != d)
				continue;
			if (row < 0)
				row = solve_row(&s->m, -SOLVE_INF, 0);
			solve_entry(&s->m, row, *cell(s, i, c), (double)(keep.den - keep.num));
			solve_entry(&s->m, all, *cell(s, i, c), 1);
			if (reserve >= 0)
				solve_entry(&s->m, reserve, *cell(s, i, c), 1);
		}
		if (row < 0)
			continue;
		int64_t most = class_->counted - times_down(class_->counted, keep);
		int lost = solve_column(&s->m, 0, (double)most, 0, true);
		solve_entry(&s->m, row, lost, -(double)keep.num);
		solve_entry(&s->m, all, lost, 1);
		if (reserve >= 0)
			solve_entry(&s->m, reserve, lost, 1);
	}
}

/* Of stems that would have been worth something, no more than was counted on. */
static void worth_row(struct sheet *s)
{
	const struct crew *w = s->w;
	double most = 0;
	for (size_t c = 0; c < w->room->nclasses; c++)
		most = fmax(most, worth_of(w, c));
	if (!(most > 0))
		return;
	int row =
	    solve_row(&s->m, -SOLVE_INF, (w->worth->most[w->room->crop] + WORTH_NEAR / 2) / most);
	for (size_t i = 0; i < w->n; i++)
		for (size_t c = 0; c < w->room->nclasses; c++)
			if (*cell(s, i, c) >= 0 && worth_of(w, c) > 0)
				solve_entry(&s->m, row, *cell(s, i, c), worth_of(w, c) / most);
}

/* keeps: what is kept comes first, then as little is missing for the list as can be. */
static void lay_out(struct sheet *s, double few, bool keeps)
{
	const struct crew *w = s->w;
	const struct room *room = w->room;
	double each = keeps ? FEW * (double)(room->nclasses + 1) : 0;
	int missing = few > 0 ? solve_row(&s->m, 0, keeps ? SOLVE_INF : few) : -1;
	for (size_t i = 0; i < w->n; i++) {
		const struct demand *d = w->items[i];
		const struct bucket *b = &w->p->buckets[d->bucket];
		int row = solve_row(&s->m, (double)d->stems, (double)d->stems);
		for (size_t c = 0; c < room->nclasses; c++) {
			const struct stems *k = &room->classes[c];
			int64_t most = b->fits[c] ? times_down(k->counted, k->keep[b->day]) : 0;
			*cell(s, i, c) = -1;
			if (most <= 0)
				continue;
			most = most < d->stems ? most : d->stems;
			*cell(s, i, c) =
			    solve_column(&s->m, 0, (double)most, -(double)k->rank, true);
			solve_entry(&s->m, row, *cell(s, i, c), 1);
		}
		if (missing >= 0) {
			int col = solve_column(&s->m, 0, (double)d->stems,
					       -(d->kept ? FEW * each : each), true);
			solve_entry(&s->m, row, col, 1);
			solve_entry(&s->m, missing, col, 1);
		}
	}
	worth_row(s);
	int reserve = room->reserve ? solve_row(&s->m, -SOLVE_INF, (double)room->usable) : -1;
	for (size_t c = 0; c < room->nclasses; c++)
		class_rows(s, c, reserve);
}

/* The answer in whole numbers: set aside day by day, no more than there is. */
static bool stands(struct sheet *s, const double *x)
{
	const struct crew *w = s->w;
	int64_t usable = w->room->usable;
	for (size_t c = 0; c < w->room->nclasses; c++) {
		const struct stems *k = &w->room->classes[c];
		int64_t aside = 0;
		for (uint32_t d = 0; d < w->p->q->ndays; d++) {
			int64_t used = 0;
			for (size_t i = 0; i < w->n; i++)
				if (*cell(s, i, c) >= 0 &&
				    w->p->buckets[w->items[i]->bucket].day == d)
					used += (int64_t)x[*cell(s, i, c)];
			if (used > 0)
				aside +=
				    times_up(used, (struct rat){ k->keep[d].den, k->keep[d].num });
		}
		if (aside > k->counted)
			return false;
		usable -= aside;
	}
	return usable >= 0;
}

static bool draw_by_solver(struct crew *w, double few, bool keeps, long nodes)
{
	size_t nclasses = w->room->nclasses;
	struct sheet s = { .w = w, .cols = ARENA_ARRAY(w->a, w->n * nclasses + 1, int) };
	struct solution x;
	solve_init(&s.m);
	lay_out(&s, few, keeps);
	solve_run(&s.m, &(struct solve_options){ .nodes = nodes ? nodes : NODES }, &x);
	bool found = (x.outcome == SOLVE_OPTIMAL || x.outcome == SOLVE_LIMIT) && stands(&s, x.x);
	for (size_t i = 0; i < w->n && found; i++) {
		w->items[i]->got = 0;
		for (size_t c = 0; c < nclasses; c++) {
			int64_t n = *cell(&s, i, c) >= 0 ? (int64_t)x.x[*cell(&s, i, c)] : 0;
			w->items[i]->by_class[c] = n;
			w->items[i]->got += n;
		}
	}
	solution_release(&x);
	solve_release(&s.m);
	return found;
}

static bool keeps_some(const struct crew *w)
{
	size_t kept = 0;
	for (size_t i = 0; i < w->n; i++)
		kept += w->items[i]->kept;
	return kept > 0 && kept < w->n;
}

void pull_classes(struct demands *d, struct program *p, const double *few,
		  const struct keep_values *worth, struct arena *a)
{
	for (size_t i = 0; i < p->nrooms; i++) {
		struct crew w = { .p = p, .room = &p->rooms[i], .worth = worth, .a = a };
		double allowed = few[w.room->crop];
		find_crew(&w, d, i, allowed > 0);
		if (w.n == 0)
			continue;
		rank_classes(p, w.room, a);
		if ((double)draw_by_hand(&w) <= allowed && !too_dear(&w))
			continue;
		if (draw_with_care(&w) && !too_dear(&w))
			continue;
		if (!draw_by_solver(&w, allowed, allowed > 0 && keeps_some(&w), p->q->nodes))
			draw_by_hand(&w);
	}
}

/* ---- boxes ---- */

struct line_box { /* a box of a class */
	uint32_t box;
	day boxed;
	double worth;
	double end;    /* where it ends, in counted stems of the class */
	double share;  /* of the stems taken */
	int64_t stems; /* whole */
};

static int by_box(const void *x, const void *y)
{
	const struct line_box *a = x, *b = y;
	if (a->boxed != b->boxed)
		return a->boxed == DAY_NONE   ? 1
		       : b->boxed == DAY_NONE ? -1
		       : a->boxed < b->boxed  ? -1
					      : 1;
	if (a->worth < b->worth || a->worth > b->worth)
		return a->worth > b->worth ? -1 : 1;
	return (a->box > b->box) - (a->box < b->box);
}

static size_t boxes_of(struct line_box *boxes, const struct program *p, uint32_t class_)
{
	const struct stock *stock = p->q->stock;
	double worth = 0, sum = 0;
	size_t n = 0;
	for (uint32_t i = 0; i < stock->nboxes; i++)
		if (stock->boxes[i].class_ == class_) {
			boxes[n++] = (struct line_box){ .box = i,
							.boxed = p->q->farm->boxes[i].boxed,
							.worth = stock->boxes[i].worth };
			worth += stock->boxes[i].worth;
		}
	if (n)
		qsort(boxes, n, sizeof *boxes, by_box);
	for (size_t i = 0; i < n; i++) {
		sum += boxes[i].worth;
		boxes[i].end = worth > 0 ? sum / worth : 1;
		boxes[i].end *= (double)stock->classes[class_].counted_stems;
	}
	return n;
}

/* Good stems taken up to a place of the class, when each day empties it further from
 * the first box on: what is set aside for a day lies there one behind the other. */
static double taken_before(double place, const struct rat *keep, const int64_t *used,
			   const int64_t *aside, uint32_t ndays)
{
	double sum = 0, at = 0;
	for (uint32_t d = 0; d < ndays; d++) {
		double good = (place - at) * rat_double(keep[d]);
		sum += fmin(fmax(good, 0), (double)used[d]);
		at += (double)aside[d];
	}
	return sum;
}

/* Largest remainder: whole shares that add up to n. */
static void share_out(struct line_box *boxes, size_t nboxes, int64_t n)
{
	for (size_t i = 0; i < nboxes; i++) {
		boxes[i].stems = loss_whole(boxes[i].share);
		n -= boxes[i].stems;
	}
	for (; n > 0; n--) {
		size_t best = 0;
		for (size_t i = 1; i < nboxes; i++)
			if (boxes[i].share - (double)boxes[i].stems >
			    boxes[best].share - (double)boxes[best].stems + 1e-9)
				best = i;
		boxes[best].stems++;
	}
}

static void class_shares(struct line_box *boxes, size_t nboxes, const struct program *p,
			 const struct stems *class_, const int64_t *used, struct arena *a)
{
	uint32_t ndays = p->q->ndays;
	int64_t *aside = ARENA_ARRAY(a, ndays, int64_t), n = 0;
	double before = 0;
	for (uint32_t d = 0; d < ndays; d++) {
		struct rat keep = class_->keep[d];
		aside[d] = used[d] ? times_up(used[d], (struct rat){ keep.den, keep.num }) : 0;
		n += used[d];
	}
	for (size_t i = 0; i < nboxes; i++) {
		double to = i + 1 < nboxes
				? taken_before(boxes[i].end, class_->keep, used, aside, ndays)
				: (double)n;
		boxes[i].share = fmax(to - before, 0);
		before = to;
	}
	share_out(boxes, nboxes, n);
}

static void add_draw(struct demand *d, uint32_t box, int64_t stems, struct arena *a)
{
	struct draw *old = d->draws;
	for (size_t i = 0; i < d->ndraws; i++)
		if (old[i].box == box) {
			old[i].stems += stems;
			return;
		}
	d->draws = ARENA_ARRAY(a, d->ndraws + 1, struct draw);
	if (d->ndraws)
		memcpy(d->draws, old, d->ndraws * sizeof *old);
	d->draws[d->ndraws++] = (struct draw){ box, stems };
}

/* Day by day, need by need, from the first box on. */
static void draw_class(struct demands *d, struct program *p, size_t room, size_t c,
		       struct line_box *boxes, struct arena *a)
{
	const struct stems *class_ = &p->rooms[room].classes[c];
	uint32_t ndays = p->q->ndays;
	int64_t *used = ARENA_ARRAY(a, ndays, int64_t);
	bool any = false;
	for (size_t i = 0; i < d->n; i++)
		if (p->buckets[d->items[i].bucket].room == room && d->items[i].by_class[c] > 0) {
			used[maker_of(p, &d->items[i])->day] += d->items[i].by_class[c];
			any = true;
		}
	if (!any)
		return;
	size_t nboxes = boxes_of(boxes, p, class_->index), at = 0;
	class_shares(boxes, nboxes, p, class_, used, a);
	for (uint32_t day_ = 0; day_ < ndays; day_++)
		for (size_t i = 0; i < d->n; i++) {
			const struct bucket *b = &p->buckets[d->items[i].bucket];
			if (b->room != room || b->day != day_)
				continue;
			for (int64_t left = d->items[i].by_class[c]; left > 0;) {
				while (boxes[at].stems == 0)
					at++;
				int64_t n = left < boxes[at].stems ? left : boxes[at].stems;
				add_draw(&d->items[i], boxes[at].box, n, a);
				boxes[at].stems -= n;
				left -= n;
			}
		}
}

void pull_boxes(struct demands *d, struct program *p, struct arena *a)
{
	struct line_box *boxes = ARENA_ARRAY(a, p->q->stock->nboxes + 1, struct line_box);
	for (size_t r = 0; r < p->nrooms; r++)
		for (size_t rank = 1; rank <= p->rooms[r].nclasses; rank++)
			for (size_t c = 0; c < p->rooms[r].nclasses; c++)
				if (p->rooms[r].classes[c].rank == (int64_t)rank)
					draw_class(d, p, r, c, boxes, a);
}
