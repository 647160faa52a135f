/* plan_fit.c - boxes of counts, parted until the best plan that fits is known. */
#include "reckon/plan_fit.h"

#include <math.h>

#include "solve/solve.h"

enum { TRIES = 8 };
#define EPS 1e-9

struct looked {                 /* one plan */
	double earns, cost, rest; /* rest: what is earned besides the targets */
	size_t unpriced;
	double *brings;         /* per target */
	struct plan_room used;
	bool fits;
};
struct range {
	int64_t *lo, *hi;
	struct looked at_lo, at_hi;
	double bound;
};
struct fit {
	struct plan_fit *out;
	const struct farm *farm;
	const struct stock *stock;
	const struct costs *costs;
	const struct prices *prices;
	const struct plan_fit_options *options;
	struct arena *a;
	struct diag *diag;
	int64_t *all, *best;
	struct range *boxes;
	size_t n, nboxes, cap, most_looks;
	bool failed;
};

/* ---- room ---- */

struct plan_room plan_limits(const struct farm *farm, double hours)
{
	const struct business *b = &farm->business;
	return (struct plan_room){ .metres = b->beds.given ? b->beds.v : NAN,
		                   .line = b->line.given ? b->line.v : NAN,
		                   .racks = b->racks.given ? b->racks.v : NAN,
		                   .boxes = b->boxes.given ? b->boxes.v : NAN,
		                   .hours = hours };
}

void plan_room_of(struct plan_room *out, const struct farm *farm, const struct rates *rates,
                  const struct plan *plan, struct arena *a)
{
	struct hang h;
	struct hang_lots lots;
	struct remarks aside;
	struct hang_options options = { .hours = NAN, .no_peaks = true };
	remarks_init(&aside, a);
	hang_plan(&lots, farm, rates, plan, a, &aside);
	hang_reckon(&h, farm, NULL, &lots, &options, a, &aside);
	*out = (struct plan_room){ .metres = plan->metres };
	for (size_t w = 0; w < h.nweeks; w++) {
		out->line = fmax(out->line, h.weeks[w].line);
		out->racks = fmax(out->racks, h.weeks[w].racks);
		out->boxes = fmax(out->boxes, h.weeks[w].used);
		out->hours = fmax(out->hours, h.weeks[w].hours);
	}
}

static bool within(double used, double limit)
{
	return isnan(limit) || used <= limit + EPS * fmax(1, limit);
}

bool plan_fits_in(const struct plan_room *u, const struct plan_room *l)
{
	return within(u->metres, l->metres) && within(u->line, l->line) && within(u->racks, l->racks) &&
	       within(ceil(u->boxes - 1e-6), l->boxes) && within(u->hours, l->hours);
}

/* ---- one plan ---- */

static void set_wishes(const struct fit *f, struct plan_wish *wishes, const int64_t *counts)
{
	for (size_t t = 0; t < f->n; t++) {
		wishes[t] = f->out->wishes[t];
		wishes[t].count = (double)counts[t];
	}
}

static struct looked look(struct fit *f, const int64_t *counts)
{
	struct arena scratch;
	struct plan plan;
	struct remarks aside;
	struct looked l = { .brings = ARENA_ARRAY(f->a, f->n + 1, double) };
	arena_init(&scratch);
	remarks_init(&aside, &scratch);
	struct plan_wish *wishes = ARENA_ARRAY(&scratch, f->n + 1, struct plan_wish);
	set_wishes(f, wishes, counts);
	struct plan_options options = { .wishes = wishes,
		                        .nwishes = f->n,
		                        .has_wishes = true,
		                        .ignore_stock = f->options->ignore_stock };
	f->out->looks++;
	if (plan_reckon(&plan, f->farm, f->stock, f->costs, f->prices, &options, &scratch, &aside,
	                f->diag)) {
		f->failed = true;
	} else {
		l.earns = plan.contribution;
		l.cost = plan.money.total;
		l.unpriced = plan.unpriced;
		l.rest = l.earns + l.cost;
		for (size_t t = 0; t < f->n; t++) {
			double c = plan.lines[t].contribution;
			l.brings[t] = isnan(c) ? 0 : c;
			l.rest -= l.brings[t];
		}
		plan_room_of(&l.used, f->farm, f->stock->rates, &plan, &scratch);
		l.fits = plan_fits_in(&l.used, &f->options->limits);
	}
	arena_release(&scratch);
	return l;
}

/* Keeps it when it fits and earns more; of equals the one with more pieces. */
static void offer(struct fit *f, const int64_t *counts, const struct looked *l)
{
	int64_t more = 0;
	if (f->failed || !l->fits)
		return;
	for (size_t t = 0; t < f->n; t++)
		more += counts[t] - f->best[t];
	bool first = f->out->state == PLAN_FIT_NONE;
	double step = EPS * fmax(1, fabs(f->out->earns));
	if (!first && (l->earns < f->out->earns - step || (l->earns <= f->out->earns + step && more <= 0)))
		return;
	f->out->state = PLAN_FIT_STOPPED;
	f->out->earns = l->earns;
	f->out->used = l->used;
	memcpy(f->best, counts, f->n * sizeof *counts);
}

/* ---- the first answers: what each target takes, as a whole-number program ---- */

static const size_t room_at[] = { offsetof(struct plan_room, metres), offsetof(struct plan_room, line),
	                          offsetof(struct plan_room, racks), offsetof(struct plan_room, boxes),
	                          offsetof(struct plan_room, hours) };
enum { ROOMS = sizeof room_at / sizeof room_at[0] };

static double room(const struct plan_room *r, size_t k)
{
	return *(const double *)(const void *)((const char *)r + room_at[k]);
}

static void solve_once(struct fit *f, const struct looked *all, const struct looked *without,
                       const struct plan_room *limits, int64_t *counts)
{
	struct solve m;
	struct solution s;
	struct solve_options options = { 0 };
	solve_init(&m);
	for (size_t t = 0; t < f->n; t++) {
		double n = (double)f->all[t];
		double gain = n > 0 ? (all->earns - without[t].earns) / n : 0;
		solve_column(&m, 0, n, gain, true);
	}
	for (size_t k = 0; k < ROOMS; k++) {
		double limit = room(limits, k), base = room(&all->used, k);
		if (isnan(limit))
			continue;
		for (size_t t = 0; t < f->n; t++)
			base -= room(&all->used, k) - room(&without[t].used, k);
		int row = solve_row(&m, -SOLVE_INF, fmax(limit - base, 0));
		for (size_t t = 0; t < f->n && f->n; t++) {
			double each = room(&all->used, k) - room(&without[t].used, k);
			if (f->all[t] > 0)
				solve_entry(&m, row, (int)t, fmax(each, 0) / (double)f->all[t]);
		}
	}
	solve_run(&m, &options, &s);
	for (size_t t = 0; t < f->n; t++)
		counts[t] = s.x && s.outcome == SOLVE_OPTIMAL ? (int64_t)s.x[t] : 0;
	if (s.outcome != SOLVE_BAD)
		solution_release(&s);
	solve_release(&m);
}

/* One more of this and of that, as long as it fits and pays. */
static void climb(struct fit *f, int64_t *counts, struct looked *at)
{
	for (bool again = at->fits; again;) {
		again = false;
		for (size_t t = 0; t < f->n && f->out->looks < f->most_looks && !f->failed; t++) {
			if (counts[t] >= f->all[t])
				continue;
			counts[t]++;
			struct looked next = look(f, counts);
			offer(f, counts, &next);
			again = again || (next.fits && next.earns > at->earns);
			if (next.fits && next.earns > at->earns)
				*at = next;
			else
				counts[t]--;
		}
	}
}

static void first_answers(struct fit *f, const struct looked *all)
{
	struct looked *without = ARENA_ARRAY(f->a, f->n + 1, struct looked);
	int64_t *counts = ARENA_ARRAY(f->a, f->n + 1, int64_t);
	struct plan_room limits = f->options->limits;
	for (size_t t = 0; t < f->n && !f->failed; t++) {
		memcpy(counts, f->all, f->n * sizeof *counts);
		counts[t] = 0;
		without[t] = look(f, counts);
		offer(f, counts, &without[t]);
	}
	for (int i = 0; i < TRIES && !f->failed; i++) {
		solve_once(f, all, without, &limits, counts);
		struct looked l = look(f, counts);
		offer(f, counts, &l);
		if (l.fits) {
			climb(f, counts, &l);
			return;
		}
		for (size_t k = 0; k < ROOMS; k++) { /* whole rows and bundles took more */
			double limit = room(&f->options->limits, k), used = room(&l.used, k);
			if (!within(used, limit))
				*(double *)(void *)((char *)&limits + room_at[k]) *= 0.98 * limit / used;
		}
	}
}

/* ---- all the rest ---- */

static void add_box(struct fit *f, struct range b)
{
	b.bound = fmax(b.at_lo.rest, b.at_hi.rest) - b.at_lo.cost;
	for (size_t t = 0; t < f->n; t++)
		b.bound += fmax(b.at_lo.brings[t], b.at_hi.brings[t]);
	bool one = memcmp(b.lo, b.hi, f->n * sizeof *b.lo) == 0;
	if (f->failed || one || !b.at_lo.fits)
		return;
	if (f->out->state != PLAN_FIT_NONE && b.bound <= f->out->earns + EPS * fmax(1, fabs(f->out->earns)))
		return;
	*ARENA_PUSH(f->a, f->boxes, f->nboxes, f->cap) = b;
}

static int64_t *copy(struct fit *f, const int64_t *counts)
{
	int64_t *c = ARENA_ARRAY(f->a, f->n + 1, int64_t);
	memcpy(c, counts, f->n * sizeof *c);
	return c;
}

/* In two where most money lies between lo and hi. */
static void part(struct fit *f, const struct range *b)
{
	size_t widest = f->n;
	double most = -1;
	for (size_t t = 0; t < f->n; t++) {
		double span = fabs(b->at_hi.brings[t] - b->at_lo.brings[t]);
		if (b->hi[t] > b->lo[t] && span > most) {
			most = span;
			widest = t;
		}
	}
	int64_t middle = b->lo[widest] + (b->hi[widest] - b->lo[widest]) / 2;
	struct range low = *b, high = *b;
	low.hi = copy(f, b->hi);
	low.hi[widest] = middle;
	low.at_hi = look(f, low.hi);
	offer(f, low.hi, &low.at_hi);
	high.lo = copy(f, b->lo);
	high.lo[widest] = middle + 1;
	high.at_lo = look(f, high.lo);
	offer(f, high.lo, &high.at_lo);
	add_box(f, high);
	add_box(f, low);
}

/* The box with the best bound, taken out; those that cannot be better go too. */
static bool take_best(struct fit *f, struct range *out)
{
	size_t kept = 0, best = 0;
	double least = f->out->earns + EPS * fmax(1, fabs(f->out->earns));
	for (size_t i = 0; i < f->nboxes; i++) {
		if (f->boxes[i].bound > least)
			f->boxes[kept++] = f->boxes[i];
	}
	f->nboxes = kept;
	if (!kept)
		return false;
	for (size_t i = 1; i < kept; i++) {
		if (f->boxes[i].bound > f->boxes[best].bound)
			best = i;
	}
	*out = f->boxes[best];
	f->boxes[best] = f->boxes[--f->nboxes];
	return true;
}

static void search(struct fit *f, const struct looked *none, const struct looked *all)
{
	struct range b = { ARENA_ARRAY(f->a, f->n + 1, int64_t), copy(f, f->all), *none, *all, 0 };
	add_box(f, b);
	while (!f->failed && take_best(f, &b)) {
		if (f->out->looks + 2 > f->most_looks) {
			f->out->bound = fmax(b.bound, f->out->earns);
			return;
		}
		part(f, &b);
	}
	f->out->state = PLAN_FIT_FOUND;
	f->out->bound = f->out->earns;
}

static void start(struct fit *f)
{
	struct plan_fit *out = f->out;
	out->n = f->n = f->farm->ntargets;
	out->state = PLAN_FIT_NONE;
	out->wishes = ARENA_ARRAY(f->a, f->n + 1, struct plan_wish);
	out->asked = ARENA_ARRAY(f->a, f->n + 1, double);
	f->all = ARENA_ARRAY(f->a, f->n + 1, int64_t);
	f->best = ARENA_ARRAY(f->a, f->n + 1, int64_t);
	f->most_looks = f->options->looks ? f->options->looks : PLAN_FIT_LOOKS;
	for (size_t t = 0; t < f->n; t++) {
		const struct target *from = &f->farm->targets[t];
		f->all[t] = (int64_t)floor(from->count.v + 1e-9);
		out->asked[t] = (double)f->all[t];
		out->wishes[t] = (struct plan_wish){ .piece = from->piece,
			                             .outlet = from->outlet,
			                             .count = out->asked[t],
			                             .by = from->by,
			                             .sure = from->sure.given ? from->sure.v : NAN };
	}
}

int plan_fit(struct plan_fit *out, const struct farm *farm, const struct stock *stock,
             const struct costs *costs, const struct prices *prices,
             const struct plan_fit_options *options, struct arena *a, struct diag *diag)
{
	struct fit f = { .out = out, .farm = farm, .stock = stock, .costs = costs, .prices = prices,
		         .options = options, .a = a, .diag = diag };
	*out = (struct plan_fit){ 0 };
	start(&f);
	struct looked all = look(&f, f.all);
	out->wanted = all.used;
	out->earns_all = all.earns;
	out->unpriced = all.unpriced;
	offer(&f, f.all, &all);
	if (f.failed)
		return -1;
	if (all.fits) {
		out->state = PLAN_FIT_ALL;
		out->bound = out->earns;
		return 0;
	}
	struct looked none = look(&f, f.best);
	offer(&f, f.best, &none);
	if (!f.failed && none.fits) {
		first_answers(&f, &all);
		search(&f, &none, &all);
	}
	set_wishes(&f, out->wishes, f.best);
	return f.failed ? -1 : 0;
}
