/* pull.c - the pull list: a plan with as little missing as can be, cut to what is
 * wanted, and of it the runs and their lines. */
#include "reckon/pull_in.h"

#include <math.h>

#include "reckon/loss.h"

/* ---- what is to be made, and when ---- */

static day day_of(const struct planning *t, const struct making *m)
{
	return m->on == DAY_NONE || m->on < t->stock->on ? t->stock->on : m->on;
}

static int by_date(const void *x, const void *y)
{
	const day *a = x, *b = y;
	return (*a > *b) - (*a < *b);
}

void pull_days(struct planning *t, const struct making *makings, size_t n)
{
	size_t all = 0, kept = 0;
	t->days = ARENA_ARRAY(t->scratch, t->shed.ndays + n + 1, day);
	for (uint32_t d = 0; d < t->shed.ndays; d++)
		t->days[all++] = t->shed.days[d];
	for (size_t i = 0; i < n; i++)
		t->days[all++] = day_of(t, &makings[i]);
	qsort(t->days, all, sizeof *t->days, by_date);
	for (size_t i = 0; i < all; i++)
		if (kept == 0 || t->days[i] != t->days[kept - 1])
			t->days[kept++] = t->days[i];
	t->ndays = (uint32_t)kept;
}

uint32_t pull_day(const struct planning *t, day on)
{
	uint32_t d = 0;
	while (t->days[d] != on)
		d++;
	return d;
}

/* Adds to the promise of that piece and day. */
size_t pull_promise(struct planning *t, uint32_t piece, uint32_t day_)
{
	for (size_t i = 0; i < t->npromises; i++)
		if (t->promises[i].piece == piece && t->promises[i].day == day_)
			return i;
	t->promises[t->npromises] = (struct promise){ piece, day_, 0 };
	return t->npromises++;
}

static bool among(const uint32_t *list, size_t n, uint32_t piece)
{
	for (size_t i = 0; i < n; i++)
		if (list[i] == piece)
			return true;
	return false;
}

static void add_orders(struct planning *t, const struct promise *orders, size_t n, bool listed)
{
	const struct pull_options *o = t->options;
	for (size_t i = 0; i < n; i++) {
		size_t k =
		    pull_promise(t, orders[i].piece, pull_day(t, t->shed.days[orders[i].day]));
		if (t->ordered[k] > 0)
			continue; /* it touches two of the makings */
		t->promises[k].count = plenty_add(t->promises[k].count, orders[i].count);
		t->ordered[k] = orders[i].count;
		t->listed[k] = t->listed[k] ||
			       (listed && (!o->nonly || among(o->only, o->nonly, orders[i].piece)));
	}
}

static void gather(struct planning *t, const struct making *makings, size_t n)
{
	size_t room = t->shed.npromises + n + 1;
	struct promise *near = ARENA_ARRAY(t->scratch, room, struct promise);
	t->promises = ARENA_ARRAY(t->scratch, room, struct promise);
	t->listed = ARENA_ARRAY(t->scratch, room, bool);
	t->ordered = ARENA_ARRAY(t->scratch, room, int64_t);
	pull_days(t, makings, n);
	if (n == 0)
		add_orders(t, t->shed.promises, t->shed.npromises, true);
	for (size_t i = 0; i < n; i++) {
		size_t k = pull_promise(t, makings[i].piece, pull_day(t, day_of(t, &makings[i])));
		t->promises[k].count = plenty_add(t->promises[k].count, makings[i].count);
		t->listed[k] = true;
	}
	for (size_t i = 0; i < n; i++)
		add_orders(t, near, reach_touching(&t->shed, makings[i].piece, near, t->scratch),
			   false);
}

/* ---- the plan ---- */

struct question pull_question(const struct planning *t, bool elastic)
{
	return (struct question){
		.farm = t->farm,
		.stock = t->stock,
		.no_buying = t->options->no_buying,
		.days = t->days,
		.ndays = t->ndays,
		.keep = shed_keep(t->farm, t->stock, t->days, t->ndays, t->scratch),
		.promises = t->promises,
		.npromises = t->npromises,
		.piece = NONE,
		.crops = ARENA_ARRAY(t->scratch, t->farm->ncrops + 1, unsigned char),
		.supplies = ARENA_ARRAY(t->scratch, t->farm->nsupplies + 1, unsigned char),
		.elastic = elastic,
		.choices = true,
		.nodes = t->options->nodes,
		.diag = t->diag,
	};
}

/* A maker whose need nothing whatever can meet: all of it is short. */
static bool add_impossible(struct planning *t)
{
	bool any = false;
	for (size_t i = 0; i < t->p.nmakers; i++) {
		const struct maker *m = &t->p.makers[i];
		for (uint32_t k = 0; k < m->nneeds && m->impossible; k++) {
			const struct need_option *o = m->needs[k].options;
			bool met = m->needs[k].noptions == 0;
			for (size_t v = m->first; v < m->first + m->nvariants; v++)
				met = met || t->p.variants[v].need == k;
			if (met || o->item.kind != KIND_CROP)
				continue;
			any = true;
			t->short_crops[o->item.index] +=
			    (double)times_up(m->fixed > 0 ? m->fixed : 1, o->count);
		}
	}
	return any;
}

static bool is_short(const struct planning *t)
{
	for (size_t i = 0; i < t->farm->ncrops; i++)
		if (t->short_crops[i] > 0)
			return true;
	for (size_t i = 0; i < t->farm->nsupplies; i++)
		if (t->short_supplies[i] > 0)
			return true;
	return false;
}

/* The search for the least that is missing was stopped: is there a plan with nothing
 * missing?  That is asked by itself, and often easier to say. */
static int second_look(struct planning *t)
{
	struct question *q = ARENA_NEW(t->scratch, struct question);
	struct program p;
	*q = t->q;
	q->elastic = false;
	q->crops = ARENA_ARRAY(t->scratch, t->farm->ncrops + 1, unsigned char);
	q->supplies = ARENA_ARRAY(t->scratch, t->farm->nsupplies + 1, unsigned char);
	if (program_build(&p, q, t->scratch) < 0 || program_strip(&p, q, 0, t->scratch) < 0)
		return -1;
	struct finding_n f = { FOUND_NONE, 0, 0 };
	if (program_possible(&p, 0))
		f = program_solve(&p, 0, 0, &(struct solving){ .nodes = t->q.nodes });
	t->out->state = f.found == FOUND_NONE ? PULL_SHORT : PULL_STOPPED;
	if (f.found != FOUND_MOST && f.found != FOUND_SOME)
		return 1;
	t->p = p;
	memset(t->short_crops, 0, t->farm->ncrops * sizeof *t->short_crops);
	memset(t->short_supplies, 0, t->farm->nsupplies * sizeof *t->short_supplies);
	return 1;
}

/* 1 when there is a plan, 0 when there is none, -1 on a fault. */
static int solve(struct planning *t)
{
	t->q = pull_question(t, true);
	if (program_build(&t->p, &t->q, t->scratch) < 0 ||
	    program_strip(&t->p, &t->q, 0, t->scratch) < 0)
		return -1;
	struct solving how = { .short_crops = t->short_crops, .short_supplies = t->short_supplies };
	struct finding_n f = program_solve(&t->p, 0, 0, &how);
	t->out->state = PULL_MET;
	t->out->least = f.found == FOUND_MOST;
	if (f.found == FOUND_MOST)
		return 1;
	if (f.found == FOUND_SOME)
		return is_short(t) ? second_look(t) : 1;
	t->out->state = add_impossible(t) ? PULL_SHORT : PULL_STOPPED;
	return 0;
}

/* ---- no part is made that is not wanted ---- */

int64_t pull_gross(const struct program *p, size_t batch, uint32_t day_)
{
	int64_t gross = 0;
	for (size_t i = 0; i < p->nvariants; i++) {
		const struct variant *v = &p->variants[i];
		if (v->kind == KIND_PART && v->where == batch && p->makers[v->maker].day == day_)
			gross += v->got * v->scaled;
	}
	return gross;
}

/* So many makings fewer, from the way written last on. */
static void make_fewer(struct program *p, struct maker *m, int64_t fewer)
{
	m->got -= fewer;
	for (uint32_t need = 0; need < m->nneeds; need++) {
		int64_t left = fewer;
		for (size_t k = m->first + m->nvariants; k-- > m->first && left > 0;) {
			struct variant *v = &p->variants[k];
			int64_t n = v->need != need ? 0 : v->got < left ? v->got : left;
			v->got -= n;
			left -= n;
		}
	}
}

/* The same way of the same need on another day; NULL when it is not there. */
static struct variant *same_way(struct program *p, const struct maker *m, const struct variant *v)
{
	for (size_t k = m->first; k < m->first + m->nvariants; k++) {
		struct variant *o = &p->variants[k];
		if (o->need == v->need && o->option == v->option && o->colour == v->colour)
			return o;
	}
	return NULL;
}

/* So many makings on a later day instead, each need in the way that it was to be met. */
static bool make_later(struct program *p, struct maker *from, struct maker *to, int64_t n)
{
	from->got -= n;
	to->got += n;
	for (uint32_t need = 0; need < from->nneeds; need++) {
		int64_t left = n;
		for (size_t k = from->first + from->nvariants; k-- > from->first && left > 0;) {
			struct variant *v = &p->variants[k];
			int64_t some = v->need != need ? 0 : v->got < left ? v->got : left;
			struct variant *other = some > 0 ? same_way(p, to, v) : NULL;
			if (some > 0 && !other)
				return false;
			v->got -= some;
			left -= some;
			if (other)
				other->got += some;
		}
	}
	return true;
}

/* What lies on the shelf is taken before anything is made: what a day makes too much
 * is made on a later one, or not at all.  Shallowest parts first, since that saves what
 * is below them.  False when it cannot be had so. */
static bool shelf_first(struct planning *t)
{
	struct program *p = &t->p;
	for (size_t i = 0; i < t->farm->nparts; i++) {
		uint32_t batch = p->batch_of[t->farm->part_order[i]];
		if (batch == NONE)
			continue;
		const struct batch_of *b = &p->batches[batch];
		int64_t pool = b->stock;
		for (uint32_t d = 0; d < t->ndays; d++) {
			if (b->makers[d] == NONE)
				continue;
			struct maker *m = &p->makers[b->makers[d]];
			int64_t over = pool + m->got * b->makes - pull_gross(p, batch, d);
			int64_t fewer = over / b->makes < m->got ? over / b->makes : m->got;
			uint32_t next = d + 1;
			while (next < t->ndays && b->makers[next] == NONE)
				next++;
			if (fewer > 0 && next == t->ndays)
				make_fewer(p, m, fewer);
			else if (fewer > 0 && !make_later(p, m, &p->makers[b->makers[next]], fewer))
				return false;
			pool += m->got * b->makes - pull_gross(p, batch, d);
		}
	}
	return true;
}

/* Else only what is wanted on no day is left out. */
static void trim(struct planning *t)
{
	struct program *p = &t->p;
	for (size_t i = 0; i < t->farm->nparts; i++) {
		uint32_t batch = p->batch_of[t->farm->part_order[i]];
		if (batch == NONE)
			continue;
		const struct batch_of *b = &p->batches[batch];
		int64_t *over = ARENA_ARRAY(t->scratch, t->ndays, int64_t), pool = b->stock;
		for (uint32_t d = 0; d < t->ndays; d++) {
			if (b->makers[d] != NONE)
				pool += p->makers[b->makers[d]].got * b->makes;
			over[d] = pool -= pull_gross(p, batch, d);
		}
		for (uint32_t d = 0; d < t->ndays; d++) {
			if (b->makers[d] == NONE)
				continue;
			struct maker *m = &p->makers[b->makers[d]];
			int64_t fewer = m->got;
			for (uint32_t k = d; k < t->ndays; k++)
				if (over[k] / b->makes < fewer)
					fewer = over[k] / b->makes;
			if (fewer <= 0)
				continue;
			make_fewer(p, m, fewer);
			for (uint32_t k = d; k < t->ndays; k++)
				over[k] -= fewer * b->makes;
		}
	}
}

/* Runs that were asked for, and the parts that these take. */
static void find_shown(struct planning *t)
{
	struct program *p = &t->p;
	t->shown = ARENA_ARRAY(t->scratch, p->nmakers + 1, bool);
	for (size_t i = 0; i < p->nmakers; i++) { /* what wants a part comes before it */
		const struct maker *m = &p->makers[i];
		if (m->item.kind == KIND_PIECE)
			t->shown[i] = t->listed[i]; /* makers of pieces: promise by promise */
		for (size_t k = m->first; k < m->first + m->nvariants && t->shown[i]; k++) {
			const struct variant *v = &p->variants[k];
			if (v->kind == KIND_PART && v->got > 0)
				t->shown[p->batches[v->where].makers[m->day]] = true;
		}
	}
}

bool pull_draw(struct planning *t)
{
	double allowed = 0, missing = 0;
	pull_demands(&t->demands, &t->p, t->scratch);
	find_shown(t);
	for (size_t i = 0; i < t->demands.n; i++)
		t->demands.items[i].kept = !t->shown[t->p.variants[t->demands.items[i].variant].maker];
	pull_classes(&t->demands, &t->p, t->short_crops, t->worth, t->scratch);
	for (size_t i = 0; i < t->farm->ncrops; i++)
		allowed += t->short_crops[i];
	for (size_t i = 0; i < t->demands.n; i++)
		missing += (double)(t->demands.items[i].stems - t->demands.items[i].got);
	return missing <= allowed;
}

/* Stems for the plan: with the shelf first if that can be, else as it was found. */
static void draw_stems(struct planning *t)
{
	struct program *p = &t->p;
	int64_t *got = ARENA_ARRAY(t->scratch, p->nvariants + p->nmakers + 1, int64_t);
	for (size_t i = 0; i < p->nvariants; i++)
		got[i] = p->variants[i].got;
	for (size_t i = 0; i < p->nmakers; i++)
		got[p->nvariants + i] = p->makers[i].got;
	if (!shelf_first(t) || !pull_draw(t)) {
		for (size_t i = 0; i < p->nvariants; i++)
			p->variants[i].got = got[i];
		for (size_t i = 0; i < p->nmakers; i++)
			p->makers[i].got = got[p->nvariants + i];
		trim(t);
		pull_draw(t);
	}
	pull_boxes(&t->demands, p, t->scratch);
}

/* ---- orders and finished pieces ---- */

static int by_due(const void *x, const void *y)
{
	const struct pull_order *a = x, *b = y;
	if (a->on != b->on)
		return a->on < b->on ? -1 : 1;
	return (a->order > b->order) - (a->order < b->order);
}

void pull_orders(struct planning *t)
{
	const struct farm *farm = t->farm;
	const struct pull_options *o = t->options;
	struct pull *out = t->out;
	int64_t *have = ARENA_ARRAY(t->scratch, farm->npieces + 1, int64_t);
	size_t n = 0;
	for (size_t i = 0; i < farm->npieces; i++)
		have[i] = loss_whole(t->stock->pieces[i]);
	out->orders = ARENA_ARRAY(t->a, farm->norders + 1, struct pull_order);
	for (uint32_t i = 0; i < farm->norders; i++) {
		const struct order *r = &farm->orders[i];
		if (stock_order_open(r, t->stock->on) && r->count > 0)
			out->orders[n++] =
			    (struct pull_order){ .order = i,
						 .on = r->due == DAY_NONE || r->due < t->stock->on
							   ? t->stock->on
							   : r->due,
						 .count = loss_whole(r->count) };
	}
	if (n)
		qsort(out->orders, n, sizeof *out->orders, by_due);
	for (size_t i = 0; i < n; i++) {
		struct pull_order *p = &out->orders[i];
		uint32_t piece = farm->orders[p->order].piece;
		p->finished = p->count < have[piece] ? p->count : have[piece];
		have[piece] -= p->finished;
		if (!o->nonly || among(o->only, o->nonly, piece))
			out->orders[out->norders++] = *p;
	}
}

static int plan(struct planning *t)
{
	int found = solve(t);
	if (found < 0)
		return -1;
	if (found)
		draw_stems(t);
	return pull_write(t, found > 0);
}

int pull_reckon(struct pull *out, const struct farm *farm, const struct stock *stock,
		const struct making *makings, size_t n, const struct pull_options *options,
		struct arena *a, struct remarks *r, struct diag *diag)
{
	struct arena scratch;
	struct planning t = { .out = out,
			      .farm = farm,
			      .stock = stock,
			      .options = options,
			      .a = a,
			      .scratch = &scratch,
			      .diag = diag };
	struct reach_options reach = { .no_buying = options->no_buying,
				       .ignore_orders = options->alone && n > 0,
				       .nodes = options->nodes };
	arena_init(&scratch);
	*out = (struct pull){ .state = PULL_MET };
	reach_shed_open(&t.shed, farm, stock, &reach, &scratch, r, diag);
	if (!farm->has_stock && r)
		remark(r, REMARK_ASSUMED, "No boxes counted: the shed is taken as empty.");
	t.short_crops = ARENA_ARRAY(&scratch, farm->ncrops + 1, double);
	t.short_supplies = ARENA_ARRAY(&scratch, farm->nsupplies + 1, double);
	gather(&t, makings, n);
	if (n == 0)
		pull_orders(&t);
	int fault = plan(&t);
	arena_release(&scratch);
	return fault;
}
