/* plan_bound_asks.c - what a piece, a stem and a metre take at least, for plan_bound.c. */
#include <math.h>
#include <stdlib.h>

#include "reckon/hang.h"
#include "reckon/loss.h"
#include "reckon/plan_bound_in.h"

enum { TRIAL = 1000000 };       /* stems: rows and packets no longer show */
#define ROUNDED 2e-5            /* of what is left of a making among so many */

/* ---- plans that only explode ---- */

static int needs_open(struct bound_needs *q, const struct plan_bound *b, const struct plan_wish *wishes,
                      size_t n, bool alone, const struct plan_line_ways *ways, struct diag *diag)
{
	const struct plan_bound_of *of = b->of;
	arena_init(&q->scratch);
	remarks_init(&q->aside, &q->scratch);
	q->options = (struct plan_options){ .wishes = wishes, .nwishes = n, .has_wishes = true,
		                            .ignore_orders = alone, .rates_sure = alone,
		                            .ignore_stock = alone || of->ignore_stock, .ways = ways };
	plan_begin(&q->w, &q->plan, of->farm, of->stock, NULL, NULL, &q->options, &q->scratch, &q->aside,
	           diag);
	plan_sources(&q->w);
	return plan_needs(&q->w);
}

static void needs_close(struct bound_needs *q)
{
	arena_release(&q->scratch);
}

/* So many of each line's piece, nothing there yet. */
static struct plan_wish *each_line(const struct plan_bound *b, double count)
{
	struct plan_wish *wishes = ARENA_ARRAY(b->a, b->nlines + 1, struct plan_wish);
	for (size_t i = 0; i < b->nlines; i++) {
		wishes[i] = b->of->all->lines[i].wish;
		wishes[i].outlet = NONE;
		wishes[i].count = count;
	}
	return wishes;
}

/* ---- pools ---- */

double bound_fade(const struct plan_work *w, uint32_t crop, day from, day to)
{
	return loss_storage(w->crops[crop].storage, date_months(from, to));
}

static bool same_pool(const struct plan_pool *a, const struct plan_pool *b)
{
	bool same = a->crop == b->crop && a->ncolours == b->ncolours;
	for (size_t i = 0; same && i < a->ncolours; i++)
		same = a->colours[i] == b->colours[i];
	return same;
}

uint32_t bound_pool_in(const struct plan *p, const struct plan_pool *like)
{
	for (uint32_t i = 0; i < p->npools; i++) {
		if (same_pool(&p->pools[i], like))
			return i;
	}
	return NONE;
}

static bool can_be_there(const struct plan_source_of *src, day by)
{
	bool known = false;
	for (size_t i = 0; i < src->nsowings; i++) {
		known = known || src->sowings[i].first_boxed != DAY_NONE;
		if (season_in_time(&src->sowings[i], by) > 0)
			return true;
	}
	return !known;
}

static int by_number(const void *x, const void *y)
{
	day a = *(const day *)x, b = *(const day *)y;
	return (a > b) - (a < b);
}

static void set_dates(struct plan_bound *b, struct bound_pool *p, const struct plan_work *w)
{
	const struct plan_source_of *src = &w->crops[p->crop];
	day *all = ARENA_ARRAY(b->a, p->nasks + 1, day);
	size_t n = 0;
	for (size_t i = 0; i < p->nasks; i++) {
		if (!p->asks[i].late)
			all[n++] = p->asks[i].by;
	}
	if (n)
		qsort(all, n, sizeof *all, by_number);
	for (size_t i = 0; i < n; i++) {
		if (p->ndates == 0 || all[p->ndates - 1] != all[i])
			all[p->ndates++] = all[i];
	}
	p->dates = all;
	p->in_time = ARENA_ARRAY(b->a, n + 1, double);
	p->kept = ARENA_ARRAY(b->a, n + 1, double);
	p->fade = ARENA_ARRAY(b->a, n + 1, double);
	for (size_t j = 0; j < p->ndates; j++) {
		p->fade[j] = bound_fade(w, p->crop, p->dates[j], b->crops[p->crop].last);
		for (size_t i = 0; i < src->nsowings; i++) {
			double in_time = season_in_time(&src->sowings[i], p->dates[j]);
			if (!(in_time > 0))
				continue;
			p->in_time[j] = fmax(p->in_time[j], in_time);
			p->kept[j] = fmax(p->kept[j], season_kept(&src->sowings[i], src->storage, p->dates[j]));
		}
		if (!(p->in_time[j] > 0)) /* no days known */
			p->in_time[j] = p->kept[j] = 1;
	}
}

/* Of the same crop, for stems that are as long in the box. */
static bool share_sure(struct plan_bound *b, uint32_t pool, size_t date)
{
	struct bound_pool *p = &b->pools[pool];
	for (uint32_t i = 0; i <= pool; i++) {
		struct bound_pool *q = &b->pools[i];
		for (size_t k = 0; q->crop == p->crop && k < (i < pool ? q->ndates : date); k++) {
			if (fabs(q->kept[k] - p->kept[date]) > 0)
				continue;
			p->sure[date] = q->sure[k];
			p->few[date] = q->few[k];
			return true;
		}
	}
	return false;
}

static const struct sure *sure_with(struct plan_bound *b, const struct plan_work *w, const struct plan_source_of *src,
                                    double batches, double plants, double kept)
{
	struct sure *out = ARENA_NEW(b->a, struct sure);
	double months = src->storage > 0 && kept < 1 ? log(kept) / log1p(-src->storage) : 0;
	plan_sure_base(out, w, src, batches, b->a);
	out->plants_share = plants;
	plan_sure_stored(out, src, batches, months, b->a);
	return out;
}

/* All plants and batches have a part in it, or as few as may: which asks for fewer stems, the curve finds. */
static void set_sure(struct plan_bound *b, uint32_t pool, const struct plan_work *w)
{
	struct bound_pool *p = &b->pools[pool];
	const struct plan_source_of *src = &w->crops[p->crop];
	double sowings = fmax(1, (double)src->nsowings), least = 1;
	p->sure = ARENA_ARRAY(b->a, p->ndates + 1, const struct sure *);
	p->few = ARENA_ARRAY(b->a, p->ndates + 1, const struct sure *);
	for (size_t j = 0; j < p->ndates; j++) {
		for (size_t i = 0; i < src->nsowings; i++) {
			double t = season_in_time(&src->sowings[i], p->dates[j]);
			least = t > 0 ? fmin(least, t) : least;
		}
	}
	for (size_t j = 0; j < p->ndates; j++) {
		if (share_sure(b, pool, j))
			continue;
		p->sure[j] = sure_with(b, w, src, src->batches * sowings, 1, p->kept[j]);
		p->few[j] = p->sure[j];
		if (src->nsowings > 1 || least < 1)
			p->few[j] = sure_with(b, w, src, src->batches * least, 1 / sowings, p->kept[j]);
	}
}

/* Of each line's need so many stems a piece. */
static void add_ask(struct plan_bound *b, const struct plan_work *w, uint32_t pool,
                    const struct plan_demand *d, uint32_t route, double each)
{
	struct bound_pool *p = &b->pools[pool];
	double fits = plan_fits(w, p->crop, d->from, d->to);
	bool late = !can_be_there(&w->crops[p->crop], d->by) || !(fits > 0);
	*ARENA_PUSH(b->a, p->asks, p->nasks, p->cap_asks) =
	    (struct bound_ask){ d->line, route, each * bound_fade(w, p->crop, d->by, b->crops[p->crop].last),
	                        d->by, d->from, d->to, fits, late };
}

/* routes NULL: each line has its own alone. */
static void add_asks(struct plan_bound *b, const struct bound_needs *many, const struct plan_work *w,
                     uint32_t *const *routes)
{
	for (uint32_t i = 0; i < b->npools; i++) {
		for (size_t k = 0; k < many->w.demands[i].n; k++) {
			const struct plan_demand *d = &many->w.demands[i].items[k];
			double each = d->stems / BOUND_MANY, even = each * 5040;
			if (fabs(even - floor(even + 0.5)) > 1e-6)
				each *= 1 - ROUNDED;
			if (!b->lines[d->line].fixed)
				add_ask(b, w, i, d, routes ? routes[i][k] : d->line, each);
		}
	}
}

/* What a fixed line takes by itself, but for what cannot be there: that it lacks anyway. */
static void add_fixed(struct plan_bound *b, const struct bound_needs *many, const struct bound_needs *own,
                      const struct plan_work *w)
{
	for (size_t i = 0; i < own->plan.npools; i++) {
		uint32_t pool = bound_pool_in(&many->plan, &own->plan.pools[i]);
		for (size_t k = 0; k < own->w.demands[i].n && pool != NONE; k++) {
			const struct plan_demand *d = &own->w.demands[i].items[k];
			bool there = can_be_there(&w->crops[b->pools[pool].crop], d->by) &&
			             plan_fits(w, b->pools[pool].crop, d->from, d->to) > 0;
			if (b->lines[d->line].fixed && there)
				add_ask(b, w, pool, d, d->line, d->stems);
		}
	}
}

static void set_pools(struct plan_bound *b, const struct bound_needs *many)
{
	size_t most = b->of->farm->ncolours + 1;
	b->npools = many->plan.npools;
	b->pools = ARENA_ARRAY(b->a, b->npools + 1, struct bound_pool);
	b->like = ARENA_ARRAY(b->a, b->npools + 1, struct plan_pool);
	for (size_t i = 0; i < b->npools; i++) {
		struct plan_pool *like = &b->like[i];
		*like = many->plan.pools[i];
		uint32_t *colours = ARENA_ARRAY(b->a, like->ncolours + 1, uint32_t);
		for (size_t k = 0; k < like->ncolours; k++)
			colours[k] = like->colours[k];
		like->colours = colours;
		b->pools[i].crop = like->crop;
		b->pools[i].colours = ARENA_ARRAY(b->a, most, uint32_t);
		b->pools[i].shares = ARENA_ARRAY(b->a, most, double);
		b->pools[i].ncolours = plan_colour_shares(&many->w, like, b->pools[i].colours, b->pools[i].shares);
		struct bound_crop *c = &b->crops[like->crop];
		for (size_t k = 0; k < many->w.demands[i].n; k++) {
			day by = many->w.demands[i].items[k].by;
			c->last = !c->asked || by > c->last ? by : c->last;
			c->asked = true;
		}
	}
}

/* A making of each part of which something may be left over. */
static double left_over(const struct plan_bound *b, uint32_t pool, const struct bound_needs *many,
                        const struct bound_needs *one)
{
	uint32_t first = bound_pool_in(&one->plan, &b->like[pool]);
	double stems = 0;
	for (size_t k = 0; first != NONE && k < one->plan.nuses; k++) {
		const struct plan_use *u = &one->plan.uses[k];
		double each = 0;
		for (size_t d = 0; d < many->w.demands[pool].n && u->pool == first; d++) {
			const struct plan_demand *m = &many->w.demands[pool].items[d];
			each += m->line == u->line ? m->stems / BOUND_MANY : 0;
		}
		if (u->pool == first && fabs(u->stems - u->odd - each) > 1e-3)
			stems += fmax(u->stems - u->odd, each);
	}
	return stems;
}

/* What is finished, made ahead or given by the shed, as far as all that is asked takes it. */
static void take_off(struct plan_bound *b, const struct plan_work *w, const struct bound_needs *many,
                     const struct bound_needs *one)
{
	const struct plan *all = b->of->all;
	for (uint32_t i = 0; i < b->npools; i++) {
		struct bound_pool *p = &b->pools[i];
		uint32_t mine = bound_pool_in(all, &b->like[i]);
		for (size_t k = 0; k < p->nasks; k++) {
			const struct plan_line *l = &all->lines[p->asks[k].line];
			p->off += b->lines[p->asks[k].line].fixed ? 0 : p->asks[k].each * l->make;
		}
		for (size_t k = 0; mine != NONE && k < all->nuses; k++) {
			const struct plan_use *u = &all->uses[k];
			if (u->pool != mine || b->lines[u->line].fixed)
				continue;
			double shrunk = bound_fade(w, p->crop, all->lines[u->line].wish.by, b->crops[p->crop].last);
			p->off -= (u->stems - u->odd) * shrunk;
			b->crops[p->crop].shed += (u->stock + u->hanging) * shrunk;
		}
		p->off = fmax(p->off, 0) + left_over(b, i, many, one);
	}
}

/* ---- crops ---- */

/* Packets of the largest size at the lowest price, for the sowing with fewest seeds a stem. */
static void set_seed(struct bound_crop *out, const struct plan_crop *p, const struct crop *c)
{
	double size = 0;
	out->packet = out->packets = INFINITY;
	for (size_t i = 0; i < c->nsowings; i++) {
		const struct sowing *s = &c->sowings[i];
		out->packet = fmin(out->packet, s->seed_price.given ? s->seed_price.v : 0);
		size = fmax(size, s->seed_count.v);
	}
	for (size_t i = 0; i < p->nsowings; i++) {
		if (p->sowings[i].stems > 0)
			out->packets = fmin(out->packets,
			                    (double)p->sowings[i].seeds / (double)p->sowings[i].stems / size);
	}
	if (!(size > 0) || !isfinite(out->packet) || !isfinite(out->packets))
		out->packet = out->packets = 0;
}

static void add_sowings(struct plan_bound *b, const struct plan *p, uint32_t crop)
{
	struct bound_crop *c = &b->crops[crop];
	const struct plan_crop *from = &p->crops[crop];
	bool grown = from->source == PLAN_SOWN || from->source == PLAN_STANDING;
	c->sowings = b->nsowings;
	for (size_t i = 0; grown && i < from->nsowings; i++) {
		const struct plan_sowing *s = &from->sowings[i];
		bool sown = from->source == PLAN_SOWN && s->stems > 0;
		*ARENA_PUSH(b->a, b->sowings, b->nsowings, b->cap_sowings) = (struct bound_sowing){
			.crop = crop,
			.metres = sown ? s->metres / (double)s->stems : 0,
			.apart = sown && s->plants != NONE ? b->of->farm->crops[crop].plantings[s->plants].apart.v
							   : 0,
			.stems = (double)s->stems,
		};
	}
	c->nsowings = b->nsowings - c->sowings;
}

static void set_crop(struct plan_bound *b, const struct plan_work *w, uint32_t crop)
{
	const struct plan_crop *p = &w->out->crops[crop];
	const struct plan_money *m = &p->money;
	struct bound_crop *c = &b->crops[crop];
	double field = m->land + m->growing_hours * w->wage;
	c->a_stem = ((m->cutting_hours + m->drying_hours) * w->wage + m->spends + m->bought) / (double)p->cut;
	if (p->source == PLAN_SOWN && p->metres > 0)
		c->a_metre = field / p->metres;
	if (p->source == PLAN_SOWN)
		set_seed(c, p, &b->of->farm->crops[crop]);
	if (p->source == PLAN_STANDING)
		c->fixed = field + m->establishment;
	c->bears = INFINITY;
	if (p->bears >= 0)
		c->bears = b->of->all_ways ? (double)p->bears + b->beyond
					   : fmax((double)p->bears, (double)b->of->none->crops[crop].cut);
	add_sowings(b, w->out, crop);
}

static void set_lots(struct plan_bound *b, const struct plan_work *w)
{
	struct hang_lots lots;
	size_t sowing = 0, bed = 0;
	hang_plan(&lots, b->of->farm, b->of->stock->rates, w->out, b->a, w->r);
	for (uint32_t c = 0; c < b->of->farm->ncrops; c++) {
		const struct plan_crop *p = &w->out->crops[c];
		bool grown = p->source == PLAN_SOWN || p->source == PLAN_STANDING;
		for (size_t i = 0; grown && i < p->nsowings; i++, bed++) {
			struct bound_sowing *s = sowing < b->nsowings && b->sowings[sowing].crop == c
						     ? &b->sowings[sowing++]
						     : NULL;
			for (size_t k = 0; s && k < lots.n; k++) {
				if (lots.lots[k].bed != bed)
					continue;
				hang_lot_fill(&lots.lots[k], b->of->farm);
				s->lots = s->nlots ? s->lots : &lots.lots[k];
				s->nlots++;
			}
		}
	}
}

/* Every sowing of every crop that is asked for gives very many stems. */
static void try_crops(struct plan_bound *b, struct bound_needs *many)
{
	struct plan_work *w = &many->w;
	for (size_t i = 0; i < b->npools; i++)
		w->out->pools[i].cut = TRIAL;
	for (size_t c = 0; c < b->of->farm->ncrops; c++) {
		struct plan_source_of *s = &w->crops[c];
		for (size_t i = 0; b->crops[c].asked && i < s->nsowings; i++) {
			s->sowings[i].planned = true;
			s->stems[i] = TRIAL;
		}
	}
	plan_beds(w);
	plan_moneys(w);
	for (uint32_t c = 0; c < b->of->farm->ncrops; c++) {
		b->standing += b->of->farm->crops[c].standing.metres.v;
		if (b->crops[c].asked)
			set_crop(b, w, c);
	}
	set_lots(b, w);
}

/* ---- lines ---- */

/* Served before all targets, whatever these are. */
static bool is_fixed(const struct plan_bound *b, size_t line)
{
	const struct plan *all = b->of->all;
	if (line < b->of->n || b->of->all_ways)
		return false;
	for (size_t i = 0; i < b->of->n; i++) {
		if (all->lines[i].wish.by < all->lines[line].wish.by)
			return false;
	}
	return true;
}

static void set_lines(struct plan_bound *b)
{
	const struct plan *all = b->of->all;
	b->nlines = all->nlines;
	b->lines = ARENA_ARRAY(b->a, b->nlines + 1, struct bound_line);
	b->beyond = b->of->all_ways ? b->of->beyond : 0;
	for (size_t i = 0; i < b->nlines; i++) {
		const struct plan_line *l = &all->lines[i];
		struct bound_line *out = &b->lines[i];
		*out = (struct bound_line){ .sure = l->wish.sure, .most = l->wish.count, .each = 1 };
		out->fixed = is_fixed(b, i);
		out->routes = b->nlines;
		if (out->fixed)
			out->most = 1;
		else if (!b->of->all_ways)
			b->beyond += b->of->none->lines[i].lacking;
		*ARENA_PUSH(b->a, b->routes, b->nroutes, b->cap_routes) = (struct bound_route){ (uint32_t)i, NONE, NONE };
		if (l->order == NONE && l->wish.outlet != NONE)
			out->each = 1 / fmax(1 - b->of->farm->outlets[l->wish.outlet].spoils.v, 1e-6);
		if (i < b->of->n && l->wish.count > 0 && !isnan(l->contribution))
			out->brings = l->contribution / l->wish.count;
	}
}

static void count_pools(struct plan_bound *b)
{
	for (size_t p = 0; p < b->npools; p++) {
		for (size_t l = 0; l < b->nlines; l++) {
			bool asks = false;
			for (size_t i = 0; i < b->pools[p].nasks; i++)
				asks = asks || (b->pools[p].asks[i].line == l && !b->pools[p].asks[i].late);
			b->lines[l].pools += asks;
		}
	}
}

/* By the cheapest way of each need. */
static int gather(struct plan_bound *b, struct bound_needs *many, const struct plan_work *w, struct diag *diag)
{
	struct bound_needs one, own;
	int status = needs_open(&one, b, each_line(b, 1), b->nlines, true, NULL, diag);
	status |= needs_open(&own, b, each_line(b, 0), b->of->n, false, NULL, diag);
	if (!status) {
		add_asks(b, many, w, NULL);
		add_fixed(b, many, &own, w);
		take_off(b, w, many, &one);
		bound_made_ahead(b, w);
	}
	needs_close(&one);
	needs_close(&own);
	return status;
}

int bound_gather(struct plan_bound *b, struct diag *diag)
{
	struct bound_needs many;
	struct plan known;
	struct plan_work w;
	struct plan_options options = { .ignore_stock = b->of->ignore_stock };
	struct remarks *aside = ARENA_NEW(b->a, struct remarks);
	bool all = b->of->all_ways;
	uint32_t **routes = NULL;
	remarks_init(aside, b->a);
	plan_begin(&w, &known, b->of->farm, b->of->stock, NULL, NULL, &options, b->a, aside, diag);
	plan_sources(&w);
	set_lines(b);
	b->crops = ARENA_ARRAY(b->a, b->of->farm->ncrops + 1, struct bound_crop);
	int status = needs_open(&many, b, each_line(b, all ? 0 : BOUND_MANY), b->nlines, true, NULL, diag);
	if (!status) {
		if (all)
			bound_all_ways(b, &many, &routes);
		set_pools(b, &many);
		if (all) {
			add_asks(b, &many, &w, routes);
			bound_all_stock(b, &w);
		} else {
			status = gather(b, &many, &w, diag);
		}
	}
	if (!status) {
		for (uint32_t i = 0; i < b->npools; i++) {
			set_dates(b, &b->pools[i], &w);
			set_sure(b, i, &w);
		}
		try_crops(b, &many);
		count_pools(b);
	}
	needs_close(&many);
	return status;
}

/* What shed and line give that line of that crop (NONE: of all that no need has a choice of),
 * whoever else takes no more than lo, and of that crop as little as can be. */
static int give(const struct plan_bound *b, size_t line, uint32_t crop, const int64_t *lo, const int64_t *hi,
                double **given, struct arena *a, struct diag *diag)
{
	struct bound_needs q;
	const struct plan *all = b->of->all;
	struct plan_wish *wishes = ARENA_ARRAY(a, b->of->n + 1, struct plan_wish);
	const struct plan_line_ways *ways = crop == NONE ? NULL : bound_ways_without(b, line, crop, a);
	if (crop != NONE && !ways)
		return 0; /* not to be said: as much as there is */
	for (size_t i = 0; i < b->of->n; i++) {
		wishes[i] = all->lines[i].wish;
		/* Others may take what is finished. */
		wishes[i].count = i == line ? (double)hi[i] + fmax(0, b->of->stock->pieces[wishes[i].piece])
					    : (double)lo[i];
	}
	int status = needs_open(&q, b, wishes, b->of->n, false, ways, diag);
	for (size_t p = 0; p < b->npools && !status; p++) {
		uint32_t mine = bound_pool_in(&q.plan, &b->like[p]), of = b->pools[p].crop;
		if (crop == NONE ? b->crops[of].choice : of != crop)
			continue;
		for (size_t l = line; l < (line < b->of->n ? line + 1 : b->nlines); l++)
			given[l][p] = 0;
		for (size_t k = 0; mine != NONE && k < q.plan.nuses; k++) {
			const struct plan_use *u = &q.plan.uses[k];
			if (u->pool == mine && (u->line == line || (line >= b->of->n && u->line >= line)))
				given[u->line][p] += (u->stock + u->hanging) *
						     bound_fade(&q.w, of, all->lines[u->line].wish.by, b->crops[of].last);
		}
	}
	needs_close(&q);
	return status;
}

int bound_given(const struct plan_bound *b, const int64_t *lo, const int64_t *hi, double **given,
                struct diag *diag)
{
	struct arena scratch;
	int status = 0;
	arena_init(&scratch);
	for (size_t l = 0; l < b->nlines && b->given; l++)
		memcpy(given[l], b->given[l], b->npools * sizeof *given[l]);
	/* Targets one by one, then the orders, which are asked for in any case. */
	for (size_t l = 0; l < b->nlines && l <= b->of->n && !status; l++) {
		status = give(b, l, NONE, lo, hi, given, &scratch, diag);
		for (uint32_t c = 0; c < b->of->farm->ncrops && !status && l < b->of->n; c++) {
			if (b->crops[c].asked && b->crops[c].choice && b->crops[c].shed > 0)
				status = give(b, l, c, lo, hi, given, &scratch, diag);
		}
	}
	for (size_t l = 0; l < b->nlines; l++) {
		for (size_t p = 0; p < b->npools; p++)
			given[l][p] += b->ahead[l][p];
	}
	arena_release(&scratch);
	return status;
}

/* ---- certainty ---- */

double bound_chance(const struct plan_bound *b, uint32_t crop, double sure, size_t pools)
{
	const struct crop *c = &b->of->farm->crops[crop];
	bool trays = false;
	bool stands = c->standing.metres.given || c->standing.planted != DAY_NONE;
	for (size_t i = 0; i < c->nsowings && !stands; i++)
		trays = trays || (c->sowings[i].germinates.given && c->sowings[i].germinates.v < 1);
	return 1 - (1 - sure) / fmax(1, (double)pools) * (trays ? 1 - PLAN_TRAY_RISK : 1);
}
