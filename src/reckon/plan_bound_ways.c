/* plan_bound_ways.c - what a piece takes by each of its ways, for plan_bound.c: where the plan
 * may choose between them, so does the program. */
#include <math.h>
#include <stdlib.h>

#include "reckon/loss.h"
#include "reckon/plan_bound_in.h"

struct asked {                  /* per pool: routes beside its demands */
	uint32_t *routes;
	size_t n, cap;
};
struct wayfarer {
	struct plan_bound *b;
	struct plan_work *w;    /* whose plan gets the pools */
	struct asked *asked;
	size_t nasked, cap_asked;
	uint32_t line, needs;   /* needs: with several ways, so far */
};

/* ---- pools ---- */

static struct plan_pool pool_like(const struct plan_work *w, const struct need_option *o, struct arena *a)
{
	struct plan_pool like = { .crop = o->item.index, .by = DAY_NONE, .chance_wanted = NAN };
	uint32_t *colours = ARENA_ARRAY(a, o->ncolours + 1, uint32_t);
	like.ncolours = plan_colours_of(w, o, colours);
	like.colours = colours;
	return like;
}

static uint32_t pool_of(struct wayfarer *f, const struct need_option *o)
{
	struct plan_work *w = f->w;
	struct plan_pool like = pool_like(w, o, w->a);
	uint32_t pool = bound_pool_in(w->out, &like);
	if (pool != NONE)
		return pool;
	*ARENA_PUSH(w->a, w->out->pools, w->out->npools, w->cap_pools) = like;
	*ARENA_PUSH(w->a, w->demands, w->ndemand_lists, w->cap_demand_lists) = (struct plan_demands){ 0 };
	*ARENA_PUSH(w->a, f->asked, f->nasked, f->cap_asked) = (struct asked){ 0 };
	return (uint32_t)(w->out->npools - 1);
}

/* ---- routes ---- */

static void take_ways(struct wayfarer *f, uint32_t route, const struct need *needs, size_t n, double times);

/* So much of it for each piece of the route. */
static void take_option(struct wayfarer *f, uint32_t route, const struct need_option *o, double times)
{
	const struct farm *farm = f->w->farm;
	double each = times * rat_double(o->count);
	if (o->item.kind == KIND_PART) {
		const struct part *p = &farm->parts[o->item.index];
		take_ways(f, route, p->needs, p->nneeds, each / fmax(rat_double(p->makes), 1e-9));
	}
	if (o->item.kind != KIND_CROP)
		return;
	uint32_t pool = pool_of(f, o);
	struct plan_demands *d = &f->w->demands[pool];
	day by = f->b->of->all->lines[f->line].wish.by;
	*ARENA_PUSH(f->w->a, d->items, d->n, d->cap) =
	    (struct plan_demand){ f->line, by, NAN, each * BOUND_MANY, o->from, o->to };
	*ARENA_PUSH(f->w->a, f->asked[pool].routes, f->asked[pool].n, f->asked[pool].cap) = route;
}

static void take_ways(struct wayfarer *f, uint32_t route, const struct need *needs, size_t n, double times)
{
	struct plan_bound *b = f->b;
	for (size_t i = 0; i < n; i++) {
		if (needs[i].noptions == 1) {
			take_option(f, route, &needs[i].options[0], times);
			continue;
		}
		uint32_t need = f->needs++;
		for (size_t k = 0; k < needs[i].noptions; k++) {
			*ARENA_PUSH(b->a, b->routes, b->nroutes, b->cap_routes) =
			    (struct bound_route){ f->line, route, need };
			take_option(f, (uint32_t)(b->nroutes - 1), &needs[i].options[k], times);
		}
	}
}

void bound_all_ways(struct plan_bound *b, struct bound_needs *many, uint32_t ***routes)
{
	const struct farm *farm = b->of->farm;
	struct wayfarer f = { .b = b, .w = &many->w };
	for (uint32_t l = 0; l < b->nlines; l++) {
		const struct piece *p = &farm->pieces[b->of->all->lines[l].wish.piece];
		f.line = l;
		b->lines[l].routes = b->nroutes;
		take_ways(&f, l, p->needs, p->nneeds, 1);
		b->lines[l].nroutes = b->nroutes - b->lines[l].routes;
	}
	*routes = ARENA_ARRAY(many->w.a, f.nasked + 1, uint32_t *);
	for (size_t i = 0; i < f.nasked; i++)
		(*routes)[i] = f.asked[i].routes;
}

/* ---- ways, whole pieces of them ---- */

/* Of the routes of one need, laid end to end from `from` on, the one that holds `at`; the last one
 * where rounding leaves none. from becomes its start. */
static uint32_t route_at(const struct plan_bound *b, const double *pieces, uint32_t line, uint32_t need, double at,
                         double *from, uint32_t *choice)
{
	uint32_t found = NONE, k = 0;
	double start = *from;
	for (size_t i = 1; i <= b->lines[line].nroutes; i++) {
		uint32_t r = bound_route_of(b, line, i);
		if (b->routes[r].need != need)
			continue;
		if (pieces[r] > 1e-9) {
			found = r;
			*from = start;
			*choice = k;
			if (at < start + pieces[r])
				return found;
		}
		start += pieces[r];
		k++;
	}
	return found;
}

/* Choices of the piece that lies at `at`; where no piece comes to a need, its first way. */
static void name_choices(const struct plan_bound *b, const double *pieces, uint32_t line, double at, double *starts,
                         uint32_t *choices)
{
	size_t first = b->lines[line].routes, n = b->lines[line].nroutes;
	uint32_t last = NONE, base = n ? b->routes[first].need : 0;
	for (size_t i = 0; i < n; i++)
		starts[first + i] = NAN; /* not come to */
	starts[line] = 0;
	for (size_t i = 0; i < n; i++) {
		const struct bound_route *r = &b->routes[first + i];
		double from = starts[r->parent];
		uint32_t choice = 0;
		if (last != NONE && r->need <= last)
			continue;
		last = r->need;
		uint32_t found = isnan(from) ? NONE : route_at(b, pieces, line, r->need, at, &from, &choice);
		if (found != NONE)
			starts[found] = from;
		choices[r->need - base] = choice;
	}
}

struct plan_line_ways *bound_ways_named(const struct plan_bound *b, const double *pieces, struct arena *a)
{
	struct plan_line_ways *lines = ARENA_ARRAY(a, b->nlines + 1, struct plan_line_ways);
	double *starts = ARENA_ARRAY(a, b->nroutes + 1, double);
	for (uint32_t l = 0; l < b->nlines; l++) {
		size_t routes = b->lines[l].nroutes, cap = 0;
		int64_t all = (int64_t)ceil(pieces[l] - 1e-6);
		uint32_t *before = NULL;
		struct plan_way *ways = NULL;
		for (int64_t i = 0; i < all && routes; i++) {
			uint32_t *choices = ARENA_ARRAY(a, routes + 1, uint32_t);
			name_choices(b, pieces, l, ((double)i + 0.5) * pieces[l] / (double)all, starts, choices);
			if (!before || memcmp(before, choices, routes * sizeof *choices) != 0)
				*ARENA_PUSH(a, ways, lines[l].n, cap) = (struct plan_way){ 0, choices };
			before = choices;
			ways[lines[l].n - 1].pieces++;
		}
		lines[l].ways = ways;
	}
	return lines;
}

/* ---- what is there ---- */

static uint32_t pool_there(const struct plan_bound *b, const struct plan_work *w, const struct need_option *o,
                           struct arena *a)
{
	struct plan_pool like = pool_like(w, o, a);
	struct plan known = { .pools = b->like, .npools = b->npools };
	return bound_pool_in(&known, &like);
}

/* Most stems of each pool in a base unit of a part, by any way; in[part][pool]. */
static void most_in_part(const struct plan_bound *b, const struct plan_work *w, uint32_t part, double **in,
                         struct arena *a)
{
	const struct part *p = &w->farm->parts[part];
	double makes = fmax(rat_double(p->makes), 1e-9), *most = ARENA_ARRAY(a, b->npools + 1, double);
	in[part] = ARENA_ARRAY(a, b->npools + 1, double);
	for (size_t i = 0; i < p->nneeds; i++) {
		for (size_t q = 0; q < b->npools; q++)
			most[q] = 0;
		for (size_t k = 0; k < p->needs[i].noptions; k++) {
			const struct need_option *o = &p->needs[i].options[k];
			double count = rat_double(o->count) / makes;
			uint32_t pool = o->item.kind == KIND_CROP ? pool_there(b, w, o, a) : NONE;
			if (pool != NONE)
				most[pool] = fmax(most[pool], count);
			for (size_t q = 0; q < b->npools && o->item.kind == KIND_PART; q++)
				most[q] = fmax(most[q], count * in[o->item.index][q]);
		}
		for (size_t q = 0; q < b->npools; q++)
			in[part][q] += most[q];
	}
}

static bool divides(struct rat count, struct rat makes)
{
	struct rat times;
	return rat_div(&times, count, makes) && rat_cmp(times, (struct rat){ rat_floor(times), 1 }) == 0;
}

/* Notes parts whose makings may leave something over, and those that the needs go into. */
static void mark_parts(const struct farm *f, const struct need *needs, size_t n, bool *uneven, bool *used)
{
	for (size_t i = 0; i < n; i++) {
		for (size_t k = 0; k < needs[i].noptions; k++) {
			const struct need_option *o = &needs[i].options[k];
			if (o->item.kind != KIND_PART)
				continue;
			const struct part *p = &f->parts[o->item.index];
			used[o->item.index] = true;
			if (!divides(o->count, p->makes))
				uneven[o->item.index] = true;
			mark_parts(f, p->needs, p->nneeds, uneven, used);
		}
	}
}

/* Parts on hand, and what makings leave over, less than one for each line (which `off` has where
 * each need has one way): as if it were stems of the shed. */
void bound_made_ahead(struct plan_bound *b, const struct plan_work *w)
{
	struct arena *a = b->a;
	const struct farm *f = w->farm;
	double **in = ARENA_ARRAY(a, f->nparts + 1, double *);
	bool *uneven = ARENA_ARRAY(a, f->nparts + 1, bool), *some = ARENA_ARRAY(a, f->nparts + 1, bool);
	for (size_t i = f->nparts; i-- > 0;)
		most_in_part(b, w, f->part_order[i], in, a);
	for (size_t i = 0; i < f->npieces; i++)
		mark_parts(f, f->pieces[i].needs, f->pieces[i].nneeds, uneven, some);
	b->ahead = ARENA_ARRAY(a, b->nlines + 1, double *);
	for (size_t l = 0; l < b->nlines; l++) {
		const struct piece *p = &f->pieces[b->of->all->lines[l].wish.piece];
		bool *used = ARENA_ARRAY(a, f->nparts + 1, bool), *aside = ARENA_ARRAY(a, f->nparts + 1, bool);
		b->ahead[l] = ARENA_ARRAY(a, b->npools + 1, double);
		mark_parts(f, p->needs, p->nneeds, aside, used);
		for (size_t i = 0; i < f->nparts; i++) {
			double have = b->of->ignore_stock ? 0 : w->stock->parts[i], makes = rat_double(f->parts[i].makes);
			bool over = uneven[i] || fabs(have / makes - floor(have / makes)) > 0;
			for (size_t q = 0; q < b->npools && used[i]; q++) {
				b->ahead[l][q] += (have + (over ? makes : 0)) * in[i][q];
				b->crops[b->pools[q].crop].shed += b->of->all_ways && over ? makes * in[i][q] : 0;
			}
		}
	}
	for (size_t i = 0; i < f->nparts && b->of->all_ways && !b->of->ignore_stock; i++) {
		for (size_t q = 0; q < b->npools; q++)
			b->crops[b->pools[q].crop].shed += w->stock->parts[i] * in[i][q];
	}
}

/* ---- who gets of the shed ---- */

static bool holds(const struct farm *f, const struct need_option *o, uint32_t crop);

static bool any_holds(const struct farm *f, const struct need *needs, size_t n, uint32_t crop)
{
	for (size_t i = 0; i < n; i++) {
		for (size_t k = 0; k < needs[i].noptions; k++) {
			if (holds(f, &needs[i].options[k], crop))
				return true;
		}
	}
	return false;
}

static bool holds(const struct farm *f, const struct need_option *o, uint32_t crop)
{
	if (o->item.kind == KIND_PART)
		return any_holds(f, f->parts[o->item.index].needs, f->parts[o->item.index].nneeds, crop);
	return o->item.kind == KIND_CROP && o->item.index == crop;
}

struct wanting {
	const struct farm *f;
	uint32_t crop;
	uint32_t *choices;
	size_t n, cap;
	struct arena *a;
	bool wants;             /* of several ways one with the crop; else one without */
	bool unclear;           /* several are so, or none */
};

/* As plan_ways_named() counts them. */
static void want(struct wanting *w, const struct need *needs, size_t n)
{
	for (size_t i = 0; i < n; i++) {
		size_t with = 0, one = 0, mine = w->n;
		if (needs[i].noptions > 1)
			*ARENA_PUSH(w->a, w->choices, w->n, w->cap) = 0;
		for (size_t k = 0; k < needs[i].noptions; k++) {
			const struct need_option *o = &needs[i].options[k];
			bool has = holds(w->f, o, w->crop);
			with += has;
			one = has == w->wants ? k : one;
			if (o->item.kind == KIND_PART)
				want(w, w->f->parts[o->item.index].needs, w->f->parts[o->item.index].nneeds);
		}
		if (needs[i].noptions == 1)
			continue;
		w->choices[mine] = (uint32_t)one;
		w->unclear = w->unclear || (w->wants ? with > 1 : with == needs[i].noptions);
	}
}

const struct plan_line_ways *bound_ways_without(const struct plan_bound *b, size_t line, uint32_t crop,
                                                struct arena *a)
{
	struct plan_line_ways *ways = ARENA_ARRAY(a, b->nlines + 1, struct plan_line_ways);
	for (size_t l = 0; l < b->nlines; l++) {
		const struct piece *p = &b->of->farm->pieces[b->of->all->lines[l].wish.piece];
		struct wanting w = { .f = b->of->farm, .crop = crop, .a = a, .wants = l == line };
		struct plan_way *way = ARENA_NEW(a, struct plan_way);
		want(&w, p->needs, p->nneeds);
		if (w.unclear)
			return NULL;
		way->choices = w.choices;
		ways[l] = (struct plan_line_ways){ way, w.n > 0 };
	}
	return ways;
}

/* Crops that a need may take or leave. */
static void mark_choices(struct plan_bound *b, const struct farm *f, const struct need *needs, size_t n)
{
	for (size_t i = 0; i < n; i++) {
		for (size_t k = 0; k < needs[i].noptions; k++) {
			const struct need_option *o = &needs[i].options[k];
			for (uint32_t c = 0; c < f->ncrops && needs[i].noptions > 1; c++)
				b->crops[c].choice = b->crops[c].choice || holds(f, o, c);
			if (o->item.kind == KIND_PART)
				mark_choices(b, f, f->parts[o->item.index].needs, f->parts[o->item.index].nneeds);
		}
	}
}

/* What the shed could give the line, need by need; options: per pool. */
static void add_given(struct plan_bound *b, const struct plan_work *w, const struct plan_shed *shed, uint32_t line,
                      const struct need *needs, size_t n, struct plan_options_of *options, struct arena *a)
{
	day by = b->of->all->lines[line].wish.by;
	for (size_t i = 0; i < n; i++) {
		for (size_t k = 0; k < needs[i].noptions; k++) {
			const struct need_option *o = &needs[i].options[k];
			const struct part *p = o->item.kind == KIND_PART ? &w->farm->parts[o->item.index] : NULL;
			if (p)
				add_given(b, w, shed, line, p->needs, p->nneeds, options, a);
			uint32_t pool = o->item.kind == KIND_CROP ? pool_there(b, w, o, a) : NONE;
			if (pool == NONE)
				continue;
			b->given[line][pool] += plan_shed_most(shed, o->item.index, o, by) *
						bound_fade(w, o->item.index, by, b->crops[o->item.index].last);
			*ARENA_PUSH(a, options[pool].items, options[pool].n, options[pool].cap) = o;
			options[pool].by = by;
		}
	}
}

/* A target that is to be sure, and those that take of the same pool before it. */
static void add_turns(struct plan_bound *b, const struct plan_work *w, const struct plan_shed *shed, uint32_t then,
                      struct plan_options_of *const *options)
{
	for (uint32_t first = 0; first < b->of->n && !isnan(b->lines[then].sure); first++) {
		for (uint32_t p = 0; p < b->npools && plan_served_first(b->of->all, first, then); p++) {
			const struct plan_options_of *x = &options[first][p], *y = &options[then][p];
			uint32_t crop = b->pools[p].crop;
			if (!x->n || !y->n)
				continue;
			double left = plan_shed_beside(shed, crop, x, y) * bound_fade(w, crop, y->by, b->crops[crop].last);
			if (left < b->given[then][p])
				*ARENA_PUSH(b->a, b->turns, b->nturns, b->cap_turns) = (struct bound_turn){ first, then, p, left };
		}
	}
}

/* Orders take of the shelf as they do in any plan; what they leave, each target might have. */
static void add_shelf(struct plan_bound *b, const struct plan_work *w)
{
	const struct plan *all = b->of->all;
	for (size_t l = 0; l < b->nlines; l++) {
		uint32_t piece = all->lines[l].wish.piece;
		double left = b->of->ignore_stock ? 0 : (double)loss_whole(w->stock->pieces[piece]);
		for (size_t i = b->of->n; i < b->nlines && l < b->of->n; i++)
			left -= all->lines[i].wish.piece == piece ? all->lines[i].finished : 0;
		b->lines[l].finished = l < b->of->n ? left : all->lines[l].finished;
	}
}

void bound_all_stock(struct plan_bound *b, struct plan_work *w)
{
	struct arena scratch;
	const struct farm *f = w->farm;
	struct plan_shed *shed = plan_shed_open(w);
	arena_init(&scratch);
	struct plan_options_of **options = ARENA_ARRAY(&scratch, b->nlines + 1, struct plan_options_of *);
	b->given = ARENA_ARRAY(b->a, b->nlines + 1, double *);
	for (uint32_t c = 0; c < f->ncrops; c++)
		b->crops[c].shed = b->crops[c].asked ? plan_shed_most(shed, c, NULL, b->crops[c].last) : 0;
	for (uint32_t l = 0; l < b->nlines; l++) {
		const struct piece *p = &f->pieces[b->of->all->lines[l].wish.piece];
		b->given[l] = ARENA_ARRAY(b->a, b->npools + 1, double);
		options[l] = ARENA_ARRAY(&scratch, b->npools + 1, struct plan_options_of);
		add_given(b, w, shed, l, p->needs, p->nneeds, options[l], &scratch);
		mark_choices(b, f, p->needs, p->nneeds);
	}
	for (uint32_t l = 0; l < b->of->n; l++)
		add_turns(b, w, shed, l, options);
	add_shelf(b, w);
	bound_made_ahead(b, w);
	arena_release(&scratch);
}
