/* plan_fit.c - boxes of counts, parted until the best plan that fits is known. */
#include "reckon/plan_fit.h"

#include <math.h>

#include "reckon/plan_bound.h"

#define EPS 1e-9

struct looked {                 /* one plan */
	double earns;
	size_t unpriced;
	struct plan_corner takes;
	struct plan_room used;
	double lacking;         /* usable stems that cannot be there, stems that no bed bears */
	bool fits;
};
struct range {
	int64_t *lo, *hi;
	struct looked at;       /* lo */
	double bound;
	struct plan_best best;  /* by the bound */
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
	struct plan_bound *bounds;
	int64_t *all, *best;
	double *brings;         /* per target: by the piece */
	double climbed;         /* what the best earned when last bettered by climbing */
	size_t climbs;
	double lacking;         /* of the open orders alone */
	struct range *boxes;
	size_t n, nboxes, cap, most_looks;
	bool other_ways;        /* of plans looked at; the bound is of all ways then */
	const struct plan_line_ways *ways; /* and these in particular; NULL */
	double parted;          /* other_ways: most that counts which were looked at may earn by the
	                         * bound: the plan that was found for them need not be their best */
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

static int reckon_counts(struct fit *f, struct plan *plan, const int64_t *counts, struct arena *a)
{
	struct remarks aside;
	remarks_init(&aside, a);
	struct plan_wish *wishes = ARENA_ARRAY(a, f->n + 1, struct plan_wish);
	struct plan_options *options = ARENA_NEW(a, struct plan_options);
	set_wishes(f, wishes, counts);
	*options = (struct plan_options){ .wishes = wishes,
		                          .nwishes = f->n,
		                          .has_wishes = true,
		                          .ignore_stock = f->options->ignore_stock,
		                          .other_ways = f->other_ways,
		                          .ways = f->ways };
	return plan_reckon(plan, f->farm, f->stock, f->costs, f->prices, options, a, &aside, f->diag);
}

static void take(struct fit *f, struct looked *l, const struct plan *plan)
{
	size_t crops = f->farm->ncrops;
	l->takes = (struct plan_corner){ ARENA_ARRAY(f->a, crops + 1, double),
		                         ARENA_ARRAY(f->a, crops + 1, double),
		                         ARENA_ARRAY(f->a, crops + 1, int64_t),
		                         ARENA_ARRAY(f->a, plan->nlines + 1, size_t) };
	l->earns = -plan->money.total;
	l->unpriced = plan->unpriced;
	for (size_t t = 0; t < f->n; t++)
		l->earns += isnan(plan->lines[t].contribution) ? 0 : plan->lines[t].contribution;
	for (size_t i = 0; i < plan->nlines; i++) {
		l->takes.pools[i] = plan->lines[i].pools;
		l->lacking += plan->lines[i].lacking;
	}
	for (size_t c = 0; c < crops; c++) {
		const struct plan_crop *p = &plan->crops[c];
		l->takes.cost[c] = p->cut > 0 ? p->money.total : 0;
		l->takes.metres[c] = p->cut > 0 && p->source == PLAN_SOWN ? p->metres : 0;
		l->takes.cut[c] = p->cut;
		l->lacking += p->short_stems;
	}
}

static void look_at(struct fit *f, struct looked *l, const struct plan *plan)
{
	struct arena scratch;
	arena_init(&scratch);
	*l = (struct looked){ 0 };
	take(f, l, plan);
	plan_room_of(&l->used, f->farm, f->stock->rates, plan, &scratch);
	l->fits = plan_fits_in(&l->used, &f->options->limits) && l->lacking <= f->lacking + 1e-6;
	arena_release(&scratch);
}

static struct looked look(struct fit *f, const int64_t *counts)
{
	struct arena scratch;
	struct plan plan;
	struct looked l = { 0 };
	arena_init(&scratch);
	f->out->looks++;
	if (f->failed || reckon_counts(f, &plan, counts, &scratch))
		f->failed = true;
	else
		look_at(f, &l, &plan);
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
	f->out->other_ways = f->other_ways;
	f->out->ways = f->ways;
	memcpy(f->best, counts, f->n * sizeof *counts);
}

/* ---- the search ---- */

static int64_t *copy(struct fit *f, const int64_t *counts)
{
	int64_t *c = ARENA_ARRAY(f->a, f->n + 1, int64_t);
	memcpy(c, counts, f->n * sizeof *c);
	return c;
}

/* More by less than this part of what is earned is no more. */
static double least_more(const struct fit *f, double part)
{
	return fmax(EPS, part) * fmax(1, fabs(f->out->earns));
}

/* most: what is known of a box around it. */
static void add_box(struct fit *f, const int64_t *lo, const int64_t *hi, const struct looked *at, double most)
{
	struct range b = { copy(f, lo), copy(f, hi), *at, 0,
		           { ARENA_ARRAY(f->a, f->n + 1, int64_t),
			     ARENA_ARRAY(f->a, f->farm->ncrops + 1, double), NULL } };
	/* By other ways more may fit than the lowest counts' plan lets see. */
	if (f->failed || (!f->other_ways && (!at->fits || memcmp(lo, hi, f->n * sizeof *lo) == 0)))
		return;
	b.bound = plan_bound(f->bounds, &f->options->limits, lo, hi, &at->takes,
			     f->out->earns + least_more(f, 0), &b.best, f->a, f->diag);
	f->failed = f->failed || isnan(b.bound);
	b.bound = fmin(b.bound, most);
	if (b.bound > f->out->earns + least_more(f, 0))
		*ARENA_PUSH(f->a, f->boxes, f->nboxes, f->cap) = b;
}

/* One more of this and of that, as long as it fits and pays. */
static void climb(struct fit *f)
{
	int64_t *counts = copy(f, f->best);
	for (bool again = true; again;) {
		double before = f->out->earns;
		for (size_t t = 0; t < f->n && f->out->looks < f->most_looks && !f->failed; t++) {
			if (counts[t] >= f->all[t])
				continue;
			counts[t]++;
			struct looked next = look(f, counts);
			offer(f, counts, &next);
			memcpy(counts, f->best, f->n * sizeof *counts);
		}
		again = f->out->earns > before;
	}
}

/* The box with the best bound, taken out; those that cannot be better go too. */
static bool take_best(struct fit *f, struct range *out)
{
	size_t kept = 0, best = 0;
	double least = f->out->earns + least_more(f, 0);
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

/* In two where the bound errs most: at its own best counts, by crop, shared out by stems
 * between lo and hi; where it does not err, where most money lies between. */
static void part(struct fit *f, const struct range *b, const struct looked *at_best)
{
	size_t widest = 0;
	double *score = ARENA_ARRAY(f->a, f->n + 1, double), most = -1;
	for (uint32_t c = 0; c < f->farm->ncrops; c++) {
		double all = 0, err = fmax(at_best->takes.cost[c] - b->best.cost[c], 0);
		for (size_t t = 0; t < f->n; t++)
			all += plan_bound_stems(f->bounds, t, c) * (double)(b->hi[t] - b->lo[t]);
		for (size_t t = 0; t < f->n && all > 0; t++)
			score[t] += err * plan_bound_stems(f->bounds, t, c) * (double)(b->hi[t] - b->lo[t]) / all;
	}
	for (size_t t = 0; t < f->n; t++) {
		double span = score[t] + 1e-3 * f->brings[t] * (double)(b->hi[t] - b->lo[t]);
		if (b->hi[t] > b->lo[t] && span > most) {
			most = span;
			widest = t;
		}
	}
	int64_t at = b->best.counts[widest], middle = b->lo[widest] + (b->hi[widest] - b->lo[widest]) / 2;
	if (at <= b->lo[widest] || at >= b->hi[widest])
		at = middle;
	if (b->lo[widest] == 0 && !isnan(f->out->wishes[widest].sure))
		at = 0; /* none of it, or some: it is some that are to be so sure */
	int64_t *lo = copy(f, b->lo), *hi = copy(f, b->hi);
	hi[widest] = at;
	lo[widest] = at + 1;
	struct looked high = f->other_ways ? b->at : look(f, lo);
	if (!f->other_ways)
		offer(f, lo, &high);
	add_box(f, lo, b->hi, &high, b->bound);
	add_box(f, b->lo, hi, &b->at, b->bound);
}

/* Whole rows and bundles took more than the bound knew of: somewhat less of everything. */
static void try_less(struct fit *f, const int64_t *counts)
{
	int64_t *less = copy(f, counts);
	for (int part = 97; part > 0 && !f->failed; part -= 8) {
		for (size_t t = 0; t < f->n; t++)
			less[t] = counts[t] * part / 100;
		struct looked l = look(f, less);
		offer(f, less, &l);
		if (l.fits)
			return;
	}
}

static void try_best(struct fit *f, struct range *b, struct looked *at)
{
	const int64_t *counts = b->best.counts;
	f->ways = b->best.ways;
	*at = look(f, counts);
	offer(f, counts, at);
	if (!at->fits && !f->climbs)
		try_less(f, counts);
	if (f->climbs && !(f->out->earns > f->climbed))
		return;
	climb(f);
	f->climbs++;
	f->climbed = f->out->earns;
}

/* at_none: what every plan takes at least. */
static void search(struct fit *f, const struct looked *at_none)
{
	struct range b;
	struct looked at;
	f->nboxes = 0;
	f->parted = -INFINITY;
	add_box(f, ARENA_ARRAY(f->a, f->n + 1, int64_t), f->all, at_none, INFINITY);
	while (!f->failed && take_best(f, &b)) {
		double enough = f->out->earns + least_more(f, f->options->gap);
		f->out->bound = fmax(b.bound, f->parted);
		if (f->out->looks * f->n * f->n >= PLAN_FIT_FIRST && f->out->bound <= enough)
			f->out->state = PLAN_FIT_FOUND;
		if (f->out->state == PLAN_FIT_FOUND)
			return;
		try_best(f, &b, &at);
		if (f->out->looks >= f->most_looks)
			return;
		if (memcmp(b.lo, b.hi, f->n * sizeof *b.lo) != 0)
			part(f, &b, &at);
		else
			f->parted = fmax(f->parted, b.bound);
	}
	f->out->bound = fmax(f->out->earns, f->parted);
	if (f->out->bound <= f->out->earns + least_more(f, f->options->gap))
		f->out->state = PLAN_FIT_FOUND;
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

static void note_standing(struct fit *f, const struct plan *all)
{
	struct plan_fit *out = f->out;
	out->standing = ARENA_ARRAY(f->a, f->farm->ncrops + 1, struct plan_fit_standing);
	for (uint32_t c = 0; c < f->farm->ncrops; c++) {
		const struct plan_crop *p = &all->crops[c];
		if (p->short_stems > 0)
			out->standing[out->nstanding++] =
			    (struct plan_fit_standing){ c, p->bears, p->cut, 0 };
		out->lacking += p->lacking;
	}
}

/* All that is asked, with other ways where a standing bed does not go round. */
static void look_at_other_ways(struct fit *f, const struct looked *all)
{
	f->other_ways = true;
	struct looked other = look(f, f->all);
	f->out->ways_left = !f->failed && other.lacking <= all->lacking - 1e-6;
	if (f->out->ways_left)
		offer(f, f->all, &other);
	f->other_ways = false;
	if (!f->out->ways_left || !other.fits)
		return;
	f->out->wanted = other.used;
	f->out->earns_all = other.earns;
	f->out->state = PLAN_FIT_ALL;
}

/* With other ways more may fit: each target in its turn as high as it fits and pays. */
static void raise_with_other_ways(struct fit *f)
{
	for (size_t t = 0; t < f->n && !f->failed; t++) {
		int64_t *counts = copy(f, f->best), low = counts[t], high = f->all[t], at = high;
		while (low < high && !f->failed) {
			double best = f->out->earns;
			counts[t] = at;
			struct looked l = look(f, counts);
			offer(f, counts, &l);
			if (f->out->earns > best)
				low = at;
			else
				high = at - 1;
			at = low + (high - low + 1) / 2;
		}
	}
}

/* The bound is of all ways of all needs; nothing is known that each of these plans takes. */
static void search_other_ways(struct fit *f, struct plan_bound_of *of)
{
	size_t crops = f->farm->ncrops;
	struct looked nothing = { .takes = { ARENA_ARRAY(f->a, crops + 1, double),
					     ARENA_ARRAY(f->a, crops + 1, double),
					     ARENA_ARRAY(f->a, crops + 1, int64_t),
					     ARENA_ARRAY(f->a, of->all->nlines + 1, size_t) } };
	f->other_ways = true;
	f->climbs = 0;
	f->out->state = PLAN_FIT_STOPPED;
	f->most_looks = f->out->looks + f->most_looks / PLAN_FIT_WAYS;
	raise_with_other_ways(f);
	of->all_ways = true;
	of->beyond = f->lacking;
	f->bounds = plan_bound_open(of, f->a, f->diag);
	f->failed = f->failed || !f->bounds;
	if (!f->failed)
		search(f, &nothing);
}

/* The plans of all that is asked and of the open orders alone, which stay. */
static int look_at_ends(struct fit *f, struct plan *all, struct plan *none, struct looked *at_none)
{
	struct looked at_all;
	struct plan_fit *out = f->out;
	if (reckon_counts(f, all, f->all, f->a) || reckon_counts(f, none, f->best, f->a))
		return -1;
	f->brings = ARENA_ARRAY(f->a, f->n + 1, double);
	for (size_t t = 0; t < f->n; t++) {
		double c = all->lines[t].contribution;
		f->brings[t] = isnan(c) || !f->all[t] ? 0 : fabs(c) / (double)f->all[t];
	}
	f->lacking = INFINITY;
	look_at(f, at_none, none);
	f->lacking = at_none->lacking;
	look_at(f, &at_all, all);
	out->looks += 2;
	out->wanted = at_all.used;
	out->earns_all = at_all.earns;
	out->unpriced = at_all.unpriced;
	note_standing(f, all);
	offer(f, f->all, &at_all);
	if (at_all.fits)
		out->state = PLAN_FIT_ALL;
	else if (out->nstanding)
		look_at_other_ways(f, &at_all);
	if (out->state != PLAN_FIT_ALL)
		offer(f, f->best, at_none);
	return 0;
}

static void offer_known(struct fit *f)
{
	int64_t *counts = ARENA_ARRAY(f->a, f->n + 1, int64_t);
	for (size_t t = 0; t < f->n; t++)
		counts[t] = (int64_t)f->options->known[t].count;
	for (int ways = 0; ways <= f->out->ways_left; ways++) {
		f->other_ways = ways;
		f->ways = ways ? f->options->known_ways : NULL;
		struct looked l = look(f, counts);
		offer(f, counts, &l);
	}
	f->other_ways = false;
	f->ways = NULL;
}

static void count_standing(struct fit *f, const struct looked *best)
{
	for (size_t i = 0; i < f->out->nstanding; i++)
		f->out->standing[i].used = best->takes.cut[f->out->standing[i].crop];
}

int plan_fit(struct plan_fit *out, const struct farm *farm, const struct stock *stock,
             const struct costs *costs, const struct prices *prices,
             const struct plan_fit_options *options, struct arena *a, struct diag *diag)
{
	struct fit f = { .out = out, .farm = farm, .stock = stock, .costs = costs, .prices = prices,
		         .options = options, .a = a, .diag = diag };
	struct plan all, none;
	struct looked at_none;
	*out = (struct plan_fit){ 0 };
	start(&f);
	if (look_at_ends(&f, &all, &none, &at_none))
		return -1;
	if (out->state == PLAN_FIT_STOPPED && options->known)
		offer_known(&f);
	out->bound = out->earns;
	if (out->state == PLAN_FIT_STOPPED) {
		struct plan_bound_of of = { farm, stock, costs, prices, options->ignore_stock, false, 0,
					    &all, &none, f.n, f.all };
		f.bounds = plan_bound_open(&of, a, diag);
		f.failed = !f.bounds;
		size_t looks = f.most_looks;
		if (out->ways_left) /* to begin with */
			f.most_looks = looks / PLAN_FIT_BEGIN;
		if (!f.failed)
			search(&f, &at_none);
		f.most_looks = looks;
		if (!f.failed && out->ways_left)
			search_other_ways(&f, &of);
	}
	set_wishes(&f, out->wishes, f.best);
	if (!f.failed && out->nstanding) {
		f.other_ways = out->other_ways;
		f.ways = out->ways;
		struct looked best = look(&f, f.best);
		count_standing(&f, &best);
	}
	return f.failed ? -1 : 0;
}
