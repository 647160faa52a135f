/* mix_plan.c - a plan: what hangs on every piece, what it brings, whether it can be. */
#include "reckon/mix_model.h"

#include <math.h>

/* ---- one crop ---- */

struct flow { /* of a simple cellar */
	const struct cellar *c;
	int64_t *left, *sent, *wait; /* per pool, per bucket x pool, per bucket */
	size_t pools;                /* those of the first so many may be taken */
	int *from_pool, *from_bucket;
	size_t *queue;
};

static int64_t *sent(const struct flow *f, size_t b, size_t k)
{
	return &f->sent[b * f->c->npools + k];
}

static void send_direct(struct flow *f, size_t b)
{
	for (size_t k = 0; k < f->pools && f->wait[b] > 0; k++) {
		int64_t n = f->left[k] < f->wait[b] ? f->left[k] : f->wait[b];
		if (n <= 0 || !f->c->fits[b * f->c->npools + k])
			continue;
		*sent(f, b, k) += n;
		f->left[k] -= n;
		f->wait[b] -= n;
	}
}

/* Breadth first from a bucket that waits to a pool with stems left; -1 none. */
static ptrdiff_t find_path(struct flow *f, size_t start)
{
	size_t head = 0, tail = 0, np = f->c->npools;
	for (size_t i = 0; i < f->c->nbuckets; i++)
		f->from_bucket[i] = -2;
	for (size_t i = 0; i < np; i++)
		f->from_pool[i] = -2;
	f->from_bucket[start] = -1;
	f->queue[tail++] = start;
	while (head < tail) {
		size_t b = f->queue[head++];
		for (size_t k = 0; k < f->pools; k++) {
			if (f->from_pool[k] != -2 || !f->c->fits[b * np + k])
				continue;
			f->from_pool[k] = (int)b;
			if (f->left[k] > 0)
				return (ptrdiff_t)k;
			for (size_t o = 0; o < f->c->nbuckets; o++)
				if (f->from_bucket[o] == -2 && *sent(f, o, k) > 0) {
					f->from_bucket[o] = (int)k;
					f->queue[tail++] = o;
				}
		}
	}
	return -1;
}

/* Moves as much as the path carries. */
static void push_path(struct flow *f, size_t start, size_t end)
{
	int64_t n = f->wait[start] < f->left[end] ? f->wait[start] : f->left[end];
	for (size_t k = end, b; (b = (size_t)f->from_pool[k]) != start;
	     k = (size_t)f->from_bucket[b]) {
		int64_t there = *sent(f, b, (size_t)f->from_bucket[b]);
		n = there < n ? there : n;
	}
	f->left[end] -= n;
	f->wait[start] -= n;
	for (size_t k = end;;) {
		size_t b = (size_t)f->from_pool[k];
		*sent(f, b, k) += n;
		if (b == start)
			return;
		k = (size_t)f->from_bucket[b];
		*sent(f, b, k) -= n;
	}
}

/* Cheapest stems first: what is sent once stays sent, so the first pools are used as
 * far as they can be (the stems that can be matched form a matroid). */
static bool serve_simple(const struct cellar *c, const int64_t *demand, struct flow *f)
{
	bool all = true;
	for (size_t b = 0; b < c->nbuckets; b++)
		f->wait[b] = demand[c->buckets[b]];
	for (size_t k = 0; k < c->npools; k++)
		f->left[k] = c->pools[k].cap;
	memset(f->sent, 0, c->nbuckets * c->npools * sizeof *f->sent);
	for (f->pools = 0; f->pools < c->npools;) {
		nano carry = c->pools[f->pools].carry;
		while (f->pools < c->npools && c->pools[f->pools].carry == carry)
			f->pools++;
		for (size_t b = 0; b < c->nbuckets; b++)
			send_direct(f, b);
		for (size_t b = 0; b < c->nbuckets; b++)
			while (f->wait[b] > 0) {
				ptrdiff_t end = find_path(f, b);
				if (end < 0)
					break;
				push_path(f, b, (size_t)end);
			}
	}
	for (size_t b = 0; b < c->nbuckets; b++)
		all = all && f->wait[b] == 0;
	return all;
}

/* Most demands are met by the first stems at hand, and then nothing need be kept of it. */
static bool serve_at_once(const struct cellar *c, const int64_t *demand, int64_t *left)
{
	for (size_t k = 0; k < c->npools; k++)
		left[k] = c->pools[k].cap;
	for (size_t b = 0; b < c->nbuckets; b++) {
		int64_t wait = demand[c->buckets[b]];
		const unsigned char *fits = c->fits + b * c->npools;
		for (size_t k = 0; k < c->npools && wait > 0; k++) {
			int64_t n = !fits[k] ? 0 : left[k] < wait ? left[k] : wait;
			left[k] -= n;
			wait -= n;
		}
		if (wait > 0)
			return false;
	}
	return true;
}

enum { CELL_MOST = 4096, SIDE_MOST = 512 };

/* By hand: whole stems set aside from the classes that fewest want. */
static bool serve_by_day(const struct mixing *x, size_t room, const int64_t *demand, nano *carry,
			 int64_t *taken)
{
	const struct cellar *c = &x->cellars[room];
	struct program *p = (struct program *)&x->p;
	for (size_t b = 0; b < c->nbuckets; b++)
		p->buckets[c->buckets[b]].lo = demand[c->buckets[b]];
	allot_start(p, &p->rooms[room]);
	if (!allot_all(p->rooms[room].by_hand, false))
		return false;
	for (size_t k = 0; k < c->npools; k++) {
		int64_t used = 0;
		for (uint32_t d = 0; d < x->q.ndays; d++)
			used += p->rooms[room].by_hand->used[c->pools[k].lead * x->q.ndays + d];
		*carry += used * c->pools[k].carry;
		if (taken)
			taken[k] = used;
	}
	return true;
}

bool cellar_serves(const struct mixing *x, size_t room, const int64_t *demand, bool exactly,
		   nano *carry, int64_t *taken)
{
	const struct cellar *c = &x->cellars[room];
	int64_t total = 0;
	bool ok;
	*carry = 0;
	for (size_t b = 0; b < c->nbuckets; b++)
		total = plenty_add(total, demand[c->buckets[b]]);
	if (total > c->usable)
		return false;
	if (!c->simple) {
		ok = serve_by_day(x, room, demand, carry, taken);
		if (exactly && (!ok || *carry > 0))
			return mix_room((struct mixing *)x, room, demand, carry, taken);
		return ok;
	}
	size_t cells = c->nbuckets * c->npools;
	bool small = cells <= CELL_MOST && c->nbuckets <= SIDE_MOST && c->npools <= SIDE_MOST;
	int64_t left[SIDE_MOST], wait[SIDE_MOST], flows[CELL_MOST];
	int from_pool[SIDE_MOST], from_bucket[SIDE_MOST];
	size_t queue[SIDE_MOST];
	if (!c->carries && !taken && c->npools <= SIDE_MOST && serve_at_once(c, demand, left))
		return true;
	struct flow f = { c, left, flows, wait, 0, from_pool, from_bucket, queue };
	if (!small) {
		f.left = mem_alloc(c->npools + 1, sizeof *left);
		f.sent = mem_alloc(cells + 1, sizeof *flows);
		f.wait = mem_alloc(c->nbuckets + 1, sizeof *wait);
		f.from_pool = mem_alloc(c->npools + 1, sizeof *from_pool);
		f.from_bucket = mem_alloc(c->nbuckets + 1, sizeof *from_bucket);
		f.queue = mem_alloc(c->nbuckets + 1, sizeof *queue);
	}
	ok = serve_simple(c, demand, &f);
	for (size_t k = 0; k < c->npools && ok; k++) {
		*carry += (c->pools[k].cap - f.left[k]) * c->pools[k].carry;
		if (taken)
			taken[k] = c->pools[k].cap - f.left[k];
	}
	if (!small) {
		mem_free(f.left);
		mem_free(f.sent);
		mem_free(f.wait);
		mem_free(f.from_pool);
		mem_free(f.from_bucket);
		mem_free(f.queue);
	}
	return ok;
}

/* ---- numbers that can be taken back ---- */

static void put(struct mix_plan *p, int64_t *at, int64_t v)
{
	if (*at == v)
		return;
	if (p->ntrail == p->cap_trail) {
		p->cap_trail = p->cap_trail ? 2 * p->cap_trail : 1024;
		p->trail = mem_grow(p->trail, p->cap_trail, sizeof *p->trail);
	}
	p->trail[p->ntrail++] = (struct trail){ at, *at, p->value };
	*at = v;
}

size_t mix_plan_mark(const struct mix_plan *p)
{
	return p->ntrail;
}

void mix_plan_back(struct mix_plan *p, size_t mark)
{
	while (p->ntrail > mark) {
		struct trail t = p->trail[--p->ntrail];
		*t.at = t.was;
		p->value = t.value;
	}
}

/* ---- what hangs on a making ---- */

static void set_maker(struct mix_plan *p, size_t index, int64_t made);

/* Stock first, unless it is held back for a later day: but on no day is more made than
 * that day takes, rounded up to whole makings. */
static void update_batch(struct mix_plan *p, size_t index)
{
	const struct batch_of *b = &p->x->p.batches[index];
	int64_t pool = b->stock;
	for (uint32_t d = 0; d < p->x->q.ndays; d++) {
		if (b->makers[d] == NONE)
			continue;
		int64_t gross = p->gross[index * p->x->q.ndays + d];
		int64_t more = gross > pool ? (gross - pool + b->makes - 1) / b->makes : 0;
		int64_t most = gross > 0 ? (gross + b->makes - 1) / b->makes : 0;
		int64_t hold = p->hold[b->makers[d]] < most ? p->hold[b->makers[d]] : most;
		if (more < hold)
			more = hold;
		pool += more * b->makes - gross;
		set_maker(p, b->makers[d], more);
	}
}

static wide to_buy(const struct shelf *s, int64_t used)
{
	return s->buy && used > s->on_hand ? (wide)(used - s->on_hand) * s->price : 0;
}

static void set_variant(struct mix_plan *p, size_t index, int64_t got)
{
	const struct mixing *x = p->x;
	const struct variant *v = &x->p.variants[index];
	int64_t by = got - p->got[index];
	if (by == 0)
		return;
	put(p, &p->got[index], got);
	if (x->shelf_of[index] != NONE) {
		const struct shelf *s = &x->shelves[x->shelf_of[index]];
		int64_t *used = &p->used[x->shelf_of[index]],
			now = *used + by * x->shelf_each[index];
		wide more = to_buy(s, now) - to_buy(s, *used);
		put(p, used, now);
		p->value -= more;
	} else if (v->where != NONE && v->kind == KIND_CROP) {
		int64_t want = times_up(got, v->stems), was = p->want[index];
		uint32_t room = x->p.buckets[v->where].room;
		put(p, &p->want[index], want);
		put(p, &p->bucket[v->where], p->bucket[v->where] + want - was);
		put(p, &p->dirty[room], 1);
	} else if (v->where != NONE && v->kind == KIND_PART) {
		int64_t *gross = &p->gross[v->where * x->q.ndays + x->p.makers[v->maker].day];
		put(p, gross, *gross + by * v->scaled);
		update_batch(p, v->where);
	}
}

static double wish(const struct mix_plan *p, size_t v, int64_t made)
{
	return p->share ? p->share[v] * (double)made : (double)p->got[v] - (double)v;
}

/* Makings added go where the wish is furthest off, those taken away likewise; without
 * wishes to the first way and from the last. */
static void spread(struct mix_plan *p, size_t first, size_t n, int64_t by, int64_t made)
{
	const struct variant *v = p->x->p.variants;
	while (by != 0) {
		size_t at = n;
		double most = 0;
		for (size_t k = 0; k < n; k++) {
			double off = wish(p, first + k, made) - (double)p->got[first + k];
			bool can = by > 0 ? v[first + k].cap > 0 : p->got[first + k] > 0;
			if (can && first + k == p->forced && by > 0) {
				at = k;
				break;
			}
			if (can && (at == n || (by > 0 ? off > most : off < most))) {
				at = k;
				most = off;
			}
		}
		if (at == n)
			return; /* no way at all: the maker is impossible */
		int64_t go = by;
		if (p->share && first + at != p->forced && (by > 0 ? most >= 1 : most <= -1))
			go = by > 0 ? (int64_t)fmin((double)by, most)
				    : (int64_t)fmax((double)by, most);
		if (go < -p->got[first + at])
			go = -p->got[first + at];
		set_variant(p, first + at, p->got[first + at] + go);
		by -= go;
	}
}

static int64_t settings_of(const struct setting *s, int64_t made)
{
	return made / s->k + (made % s->k != 0);
}

static void set_maker(struct mix_plan *p, size_t index, int64_t made)
{
	const struct mixing *x = p->x;
	const struct maker *m = &x->p.makers[index];
	const struct labour *w = &x->works[index];
	int64_t was = p->made[index], ms = (made - was) * w->ms;
	if (made == was)
		return;
	wide cost = (wide)(made - was) * w->cost;
	for (size_t i = 0; i < w->nsettings; i++) {
		int64_t more =
		    settings_of(&w->settings[i], made) - settings_of(&w->settings[i], was);
		ms += more * w->settings[i].ms;
		cost += (wide)more * w->settings[i].cost;
	}
	put(p, &p->made[index], made);
	put(p, p->over, *p->over + (made > m->cap) - (was > m->cap));
	p->value -= cost;
	if (w->timed)
		put(p, p->ms, *p->ms + ms);
	for (size_t k = m->first, next; k < m->first + m->nvariants; k = next) {
		for (next = k; next < m->first + m->nvariants &&
			       x->p.variants[next].need == x->p.variants[k].need;)
			next++;
		if (next - k == 1)
			set_variant(p, k, made);
		else
			spread(p, k, next - k, made - was, made);
	}
}

void mix_plan_hold(struct mix_plan *p, size_t maker, int64_t makings)
{
	const struct maker *m = &p->x->p.makers[maker];
	put(p, &p->hold[maker], makings);
	if (m->item.kind == KIND_PART)
		update_batch(p, p->x->p.batch_of[m->item.index]);
}

/* ---- what sells ---- */

nano sale_value(const struct sale *s, int64_t n, int64_t days)
{
	int64_t step_days = s->stall == NONE ? 1 : days, left = n * s->parts;
	nano sum = 0;
	for (size_t i = 0; i < s->nsteps && left > 0; i++) {
		int64_t width = (i == 0 ? s->likely : 1) * step_days;
		int64_t take = left < width ? left : width;
		sum += take * s->gain[i];
		left -= take;
	}
	return sum;
}

int64_t sale_most(const struct sale *s, int64_t days)
{
	int64_t steps = s->nsteps ? s->likely + (int64_t)s->nsteps - 1 : 0;
	int64_t most = s->stall == NONE ? steps : steps * days / s->parts;
	int64_t pays = s->pays[s->stall == NONE ? 1 : days];
	most = pays < most ? pays : most;
	return most < s->upto ? most : s->upto;
}

static int64_t sold_of(const struct mix_plan *p, size_t maker)
{
	const struct labour *w = &p->x->works[maker];
	int64_t sum = 0;
	for (size_t i = 0; i < w->nsales; i++)
		sum += p->n[w->sales[i]];
	return sum;
}

void mix_plan_add(struct mix_plan *p, size_t sale, int64_t by)
{
	const struct mixing *x = p->x;
	const struct sale *s = &x->sales[sale];
	int64_t days = s->stall == NONE ? 1 : p->days[s->stall], n = p->n[sale];
	nano more = sale_value(s, n + by, days) - sale_value(s, n, days);
	put(p, &p->n[sale], n + by);
	p->value += more;
	if (x->works[s->maker].timed)
		put(p, p->ms, *p->ms + by * s->ms);
	int64_t sold = sold_of(p, s->maker), finished = x->finished[s->piece];
	set_maker(p, s->maker,
		  x->p.makers[s->maker].fixed + (sold > finished ? sold - finished : 0));
}

/* Fewer days: what no longer sells there is left out. */
void mix_plan_go(struct mix_plan *p, size_t stall, int64_t days)
{
	const struct mixing *x = p->x;
	const struct stall *st = &x->stalls[stall];
	int64_t was = p->days[stall];
	for (size_t i = 0; i < x->nsales; i++) {
		const struct sale *s = &x->sales[i];
		if (s->stall == stall && p->n[i] > sale_most(s, days))
			mix_plan_add(p, i, sale_most(s, days) - p->n[i]);
	}
	wide more = -(wide)(days - was) * st->cost;
	for (size_t i = 0; i < x->nsales; i++)
		if (x->sales[i].stall == stall)
			more += sale_value(&x->sales[i], p->n[i], days) -
				sale_value(&x->sales[i], p->n[i], was);
	put(p, &p->days[stall], days);
	p->value += more;
	if (x->has_hours)
		put(p, p->ms, *p->ms + (days - was) * st->ms);
}

void mix_plan_way(struct mix_plan *p, size_t from, size_t to, int64_t by)
{
	set_variant(p, from, p->got[from] - by);
	set_variant(p, to, p->got[to] + by);
}

/* ---- limits and worth ---- */

static bool room_holds(struct mix_plan *p, size_t room)
{
	nano carry;
	if (!p->dirty[room])
		return true;
	if (!cellar_serves(p->x, room, p->bucket, p->exactly, &carry, NULL)) {
		p->scarce = room;
		return false;
	}
	put(p, &p->stems[room], carry);
	put(p, &p->dirty[room], 0);
	return true;
}

/* The crop that was short last is looked at first: it most often is again. */
static bool rooms_hold(struct mix_plan *p)
{
	if (p->scarce < p->x->p.nrooms && !room_holds(p, p->scarce))
		return false;
	for (size_t i = 0; i < p->x->p.nrooms; i++)
		if (!room_holds(p, i))
			return false;
	return true;
}

bool mix_plan_fits(struct mix_plan *p)
{
	const struct mixing *x = p->x;
	if (*p->over > 0 || (x->has_hours && *p->ms > x->hours))
		return false;
	for (size_t i = 0; i < x->nshelves && x->options->no_buying; i++)
		if (!x->shelves[i].endless && p->used[i] > x->shelves[i].on_hand)
			return false;
	return rooms_hold(p);
}

bool mix_plan_holds(struct mix_plan *p)
{
	const struct mixing *x = p->x;
	for (size_t i = 0; i < x->nsales; i++) {
		const struct sale *s = &x->sales[i];
		if (p->n[i] < 0 || p->n[i] > sale_most(s, s->stall == NONE ? 1 : p->days[s->stall]))
			return false;
	}
	return mix_plan_fits(p);
}

bool mix_plan_settle(struct mix_plan *p)
{
	bool was = p->exactly;
	for (size_t i = 0; i < p->x->p.nrooms; i++)
		if (!p->x->cellars[i].simple)
			put(p, &p->dirty[i], 1);
	p->exactly = true;
	bool holds = mix_plan_holds(p);
	p->exactly = was;
	return holds;
}

wide mix_plan_value(const struct mix_plan *p)
{
	wide v = p->value;
	for (size_t i = 0; i < p->x->p.nrooms; i++)
		v -= p->stems[i];
	return v;
}

/* ---- life ---- */

static int64_t *cut(struct mix_plan *p, size_t n)
{
	int64_t *at = p->cells ? p->cells + p->ncells : NULL;
	p->ncells += n;
	return at;
}

static void carve(struct mix_plan *p)
{
	const struct mixing *x = p->x;
	p->ncells = 0;
	p->n = cut(p, x->nsales);
	p->days = cut(p, x->nstalls);
	p->made = cut(p, x->p.nmakers);
	p->hold = cut(p, x->p.nmakers);
	p->got = cut(p, x->p.nvariants);
	p->want = cut(p, x->p.nvariants);
	p->bucket = cut(p, x->p.nbuckets);
	p->gross = cut(p, x->p.nbatches * x->q.ndays);
	p->used = cut(p, x->nshelves);
	p->stems = cut(p, x->p.nrooms);
	p->dirty = cut(p, x->p.nrooms);
	p->ms = cut(p, 1);
	p->over = cut(p, 1);
}

void mix_plan_init(struct mix_plan *p, const struct mixing *x)
{
	*p = (struct mix_plan){ .x = x, .forced = NONE };
	carve(p);
	p->cells = mem_alloc(p->ncells, sizeof *p->cells);
	carve(p);
	p->value = x->orders;
	for (size_t i = 0; i < x->p.nmakers; i++) {
		if (x->p.makers[i].item.kind != KIND_PIECE)
			continue;
		*p->ms += x->works[i].packing;
		set_maker(p, i, x->p.makers[i].fixed);
	}
}

void mix_plan_release(struct mix_plan *p)
{
	mem_free(p->cells);
	mem_free(p->trail);
	*p = (struct mix_plan){ 0 };
}

void mix_plan_copy(struct mix_plan *p, const struct mix_plan *from)
{
	memcpy(p->cells, from->cells, p->ncells * sizeof *p->cells);
	p->value = from->value;
	p->ntrail = 0;
}
