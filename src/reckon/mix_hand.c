/* mix_hand.c - plans by hand: rounding what the program wishes for, mending what whole
 * stems do not allow, adding while it pays, exchanging, tearing down and building up.
 * All in whole numbers and in the same order on every run. */
#include "reckon/mix_model.h"

#include <math.h>

enum { ROUNDS_MOST = 6, IDLE_MOST = 100, MENDS_MOST = 500, PUSH_MENDS = 12, PUSH_EFFORT = 50,
       PUSHED_MOST = 150 };
#define UP_FROM 0.02

struct hand { /* adding and exchanging */
	struct mix_plan *p;
	const struct mixing *x;
	size_t *order; /* sales, best first */
	long effort;   /* trials left */
	uint64_t dice; /* the same on every run */
	size_t **touching, *ntouching, *lists;
};

/* ---- adding ---- */

/* Keeps what was done since the mark when it holds and brings more than `was`. */
static bool keep_if_better(struct mix_plan *p, size_t mark, wide was)
{
	/* The keep value of more stems is not in it yet, so what is no more now is no more. */
	if (mix_plan_value(p) > was && mix_plan_fits(p) && mix_plan_value(p) > was)
		return true;
	mix_plan_back(p, mark);
	return false;
}

static bool try_add(struct hand *h, size_t sale, int64_t by, wide was)
{
	struct mix_plan *p = h->p;
	const struct sale *s = &h->x->sales[sale];
	int64_t days = s->stall == NONE ? 1 : p->days[s->stall];
	size_t mark = mix_plan_mark(p);
	if (h->x->options->stop && *h->x->options->stop)
		h->effort = 0;
	if (p->n[sale] + by > sale_most(s, days) || h->effort-- <= 0)
		return false;
	mix_plan_add(p, sale, by);
	return keep_if_better(p, mark, was);
}

/* Other ways for the needs of the piece itself, one at a time. */
static bool try_other_ways(struct hand *h, size_t sale, int64_t by, wide was)
{
	const struct program *prog = &h->x->p;
	const struct maker *m = &prog->makers[h->x->sales[sale].maker];
	for (size_t k = m->first; k < m->first + m->nvariants; k++) {
		const struct variant *v = &prog->variants[k];
		bool choice = (k > m->first && v[-1].need == v->need) ||
			      (k + 1 < m->first + m->nvariants && v[1].need == v->need);
		if (!choice || v->cap == 0)
			continue;
		h->p->forced = (uint32_t)k;
		bool added = try_add(h, sale, by, was);
		h->p->forced = NONE;
		if (added)
			return true;
	}
	return false;
}

/* To the end of the setting that is begun, or all of the next. */
static int64_t to_full_batch(const struct hand *h, size_t sale)
{
	const struct labour *w = &h->x->works[h->x->sales[sale].maker];
	int64_t made = h->p->made[h->x->sales[sale].maker], most = 1;
	for (size_t i = 0; i < w->nsettings; i++) {
		int64_t left = w->settings[i].k - made % w->settings[i].k;
		if (left > most && left < 1000)
			most = left;
	}
	return most;
}

static bool add_some(struct hand *h, size_t sale)
{
	wide was = mix_plan_value(h->p);
	if (try_add(h, sale, 1, was) || try_other_ways(h, sale, 1, was))
		return true;
	for (int64_t by = to_full_batch(h, sale); by > 1; by /= 2)
		if (try_add(h, sale, by, was))
			return true;
	return false;
}

static bool add_all(struct hand *h)
{
	bool any = false;
	for (bool more = true; more && h->effort > 0;) {
		more = false;
		for (size_t i = 0; i < h->x->nsales && h->effort > 0; i++)
			while (add_some(h, h->order[i]))
				more = any = true;
	}
	return any;
}

/* ---- exchanging ---- */

static bool share_something(const struct mixing *x, uint32_t a, uint32_t b)
{
	uint32_t pa = x->sales[a].piece, pb = x->sales[b].piece;
	if (x->has_hours || pa == pb)
		return true;
	for (size_t i = 0; i < x->shed.nslots; i++)
		if (x->shed.uses[pa][i] && x->shed.uses[pb][i])
			return true;
	return false;
}

/* One or two less of this, and what fits then of one other - and again of another. */
static bool exchange(struct hand *h, size_t sale, int64_t less)
{
	struct mix_plan *p = h->p;
	const struct mixing *x = h->x;
	wide was = mix_plan_value(p);
	size_t mark = mix_plan_mark(p);
	if (p->n[sale] < less)
		return false;
	for (size_t i = 0; i < x->nsales && h->effort > 0; i++) {
		size_t other = h->order[i];
		const struct sale *s = &x->sales[other];
		if (other == sale || !share_something(x, (uint32_t)sale, (uint32_t)other) ||
		    p->n[other] >= sale_most(s, s->stall == NONE ? 1 : p->days[s->stall]))
			continue;
		mix_plan_add(p, sale, -less);
		if (!mix_plan_fits(p)) {
			mix_plan_back(p, mark);
			return false;
		}
		wide low = mix_plan_value(p);
		int got = 0;
		while (got < 4 && (try_add(h, other, 1, low) ||
				   (got == 0 && try_other_ways(h, other, 1, low)))) {
			low = mix_plan_value(p);
			got++;
		}
		if (got > 0 && low > was)
			return true;
		/* What is left over may serve a third. */
		for (size_t k = 0; k < x->nsales && got > 0 && k < 24 && h->effort > 0; k++)
			if (h->order[k] != sale && try_add(h, h->order[k], 1, low))
				low = mix_plan_value(p);
		if (got > 0 && low > was)
			return true;
		mix_plan_back(p, mark);
	}
	return false;
}

static bool exchange_all(struct hand *h)
{
	bool any = false;
	for (size_t i = h->x->nsales; i-- > 0 && h->effort > 0;) {
		size_t sale = h->order[i];
		while (h->p->n[sale] > 0 && (exchange(h, sale, 1) || exchange(h, sale, 2)))
			any = true;
	}
	return any;
}

/* ---- tearing down and building up ---- */

uint32_t mix_draw(uint64_t *dice, size_t n)
{
	*dice ^= *dice << 13;
	*dice ^= *dice >> 7;
	*dice ^= *dice << 17;
	return (uint32_t)((*dice >> 33) % n);
}

static uint32_t roll(struct hand *h, size_t n)
{
	return mix_draw(&h->dice, n);
}

/* Sales of each slot (crop, part, supply), best first. */
static void list_touching(struct hand *h)
{
	const struct mixing *x = h->x;
	size_t all = 0;
	h->touching = mem_alloc(x->shed.nslots + 1, sizeof *h->touching);
	h->ntouching = mem_alloc(x->shed.nslots + 1, sizeof *h->ntouching);
	for (size_t i = 0; i < x->nsales; i++)
		for (size_t k = 0; k < x->shed.nslots; k++)
			h->ntouching[k] += x->shed.uses[x->sales[i].piece][k];
	for (size_t k = 0; k < x->shed.nslots; k++)
		all += h->ntouching[k];
	h->lists = mem_alloc(all + 1, sizeof *h->lists);
	for (size_t k = 0, at = 0; k < x->shed.nslots; k++) {
		h->touching[k] = h->lists + at;
		at += h->ntouching[k];
		h->ntouching[k] = 0;
		for (size_t i = 0; i < x->nsales; i++)
			if (x->shed.uses[x->sales[h->order[i]].piece][k])
				h->touching[k][h->ntouching[k]++] = h->order[i];
	}
}

/* Some of what shares a material is taken away, and that material's sales are tried
 * anew from a place in their order; then the others of what was taken away. */
static bool rebuild(struct hand *h, size_t slot)
{
	struct mix_plan *p = h->p;
	size_t n = h->ntouching[slot], mark = mix_plan_mark(p), out[8], nout = 0;
	const size_t *list = h->touching[slot];
	wide was = mix_plan_value(p);
	if (n < 2)
		return false;
	size_t take = 1 + roll(h, 4);
	for (size_t tries = 0; tries < 4 * take && nout < take; tries++) {
		size_t sale = list[roll(h, n)];
		if (p->n[sale] == 0)
			continue;
		int64_t less = 1 + (int64_t)roll(h, (size_t)(p->n[sale] < 3 ? p->n[sale] : 3));
		mix_plan_add(p, sale, -less);
		out[nout++] = sale;
	}
	if (nout == 0 || !mix_plan_fits(p)) {
		mix_plan_back(p, mark);
		return false;
	}
	wide now = mix_plan_value(p);
	size_t from = roll(h, n);
	for (size_t i = 0; i < n && h->effort > 0; i++) {
		size_t sale = list[(from + i) % n];
		for (int k = 0; k < 4 && (try_add(h, sale, 1, now) ||
					  (k == 0 && try_other_ways(h, sale, 1, now)));
		     k++)
			now = mix_plan_value(p);
	}
	for (size_t i = 0; i < 12 && h->effort > 0; i++) {
		size_t sale = roll(h, 2) ? h->order[roll(h, h->x->nsales)] : out[i % nout];
		if (try_add(h, sale, 1, now))
			now = mix_plan_value(p);
	}
	if (now > was || (now == was && roll(h, 2)))
		return now > was;
	mix_plan_back(p, mark);
	return false;
}

static void rebuild_all(struct hand *h)
{
	const struct mixing *x = h->x;
	for (long idle = 0; h->effort > 0 && idle < IDLE_MOST * (long)(1 + x->shed.nslots);
	     idle++) {
		h->effort--;
		if (x->shed.nslots && rebuild(h, roll(h, x->shed.nslots)))
			idle = 0;
		h->p->ntrail = 0;
	}
}

/* A day more or less, with what is worth making then. */
static bool change_days(struct hand *h)
{
	const struct mixing *x = h->x;
	for (size_t i = 0; i < x->nstalls; i++)
		for (int by = -1; by <= 1; by += 2) {
			int64_t days = h->p->days[i] + by;
			size_t mark = mix_plan_mark(h->p);
			wide was = mix_plan_value(h->p);
			if (days < 0 || days > x->stalls[i].days)
				continue;
			mix_plan_go(h->p, i, days);
			if (mix_plan_holds(h->p)) {
				add_all(h);
				if (mix_plan_value(h->p) > was)
					return true;
			}
			mix_plan_back(h->p, mark);
		}
	return false;
}

static void sort_sales(struct hand *h)
{
	const struct mixing *x = h->x;
	h->order = mem_alloc(x->nsales + 1, sizeof *h->order);
	for (size_t i = 0; i < x->nsales; i++) {
		wide gain = (wide)x->sales[i].gain[0] * x->sales[i].parts -
			    x->works[x->sales[i].maker].cost;
		size_t k = i;
		for (; k > 0; k--) {
			const struct sale *o = &x->sales[h->order[k - 1]];
			if ((wide)o->gain[0] * o->parts - x->works[o->maker].cost >= gain)
				break;
			h->order[k] = h->order[k - 1];
		}
		h->order[k] = i;
	}
}

/* ---- what whole stems do not allow ---- */

static int64_t room_wants(const struct mix_plan *p, size_t room)
{
	const struct cellar *c = &p->x->cellars[room];
	int64_t sum = 0;
	for (size_t b = 0; b < c->nbuckets; b++)
		sum += p->bucket[c->buckets[b]];
	return sum;
}

static bool serves(const struct mix_plan *p, size_t room)
{
	nano carry;
	return cellar_serves(p->x, room, p->bucket, false, &carry, NULL);
}

/* The first crop that is short; nrooms: none is. */
static size_t short_room(const struct mix_plan *p)
{
	size_t room = 0;
	while (room < p->x->p.nrooms && (!p->dirty[room] || serves(p, room)))
		room++;
	return room;
}

/* One making another way, where the other crop has the stems. */
static bool switch_away(struct mix_plan *p, size_t room)
{
	const struct program *g = &p->x->p;
	for (size_t k = 0; k < g->nvariants; k++) {
		const struct variant *v = &g->variants[k];
		if (v->kind != KIND_CROP || v->where == NONE || p->got[k] == 0 ||
		    g->buckets[v->where].room != room)
			continue;
		const struct maker *m = &g->makers[v->maker];
		for (size_t o = m->first; o < m->first + m->nvariants; o++) {
			const struct variant *to = &g->variants[o];
			if (o == k || to->need != v->need || to->cap == 0)
				continue;
			size_t mark = mix_plan_mark(p);
			wide was = mix_plan_value(p);
			int64_t wanted = room_wants(p, room);
			mix_plan_way(p, k, o, 1);
			bool elsewhere = to->kind != KIND_CROP || to->where == NONE ||
					 g->buckets[to->where].room != room;
			bool fine = elsewhere ? room_wants(p, room) < wanted &&
							(to->kind != KIND_CROP || to->where == NONE ||
							 serves(p, g->buckets[to->where].room))
					      : serves(p, room);
			if (fine && mix_plan_value(p) >= was)
				return true;
			mix_plan_back(p, mark);
		}
	}
	return false;
}

/* One piece less, but of `keep`, which costs least for the stems (or the time) that it
 * gives back. */
static bool take_one_away(struct mix_plan *p, size_t room, size_t keep)
{
	const struct mixing *x = p->x;
	size_t best = x->nsales;
	double least = (double)INFINITY;
	wide was = mix_plan_value(p);
	int64_t wanted = room < x->p.nrooms ? room_wants(p, room) : *p->ms;
	for (size_t i = 0; i < x->nsales; i++) {
		size_t mark = mix_plan_mark(p);
		if (p->n[i] == 0 || i == keep)
			continue;
		mix_plan_add(p, i, -1);
		int64_t freed = wanted - (room < x->p.nrooms ? room_wants(p, room) : *p->ms);
		double cost = money_of(was - mix_plan_value(p)) / (double)freed;
		mix_plan_back(p, mark);
		if (freed > 0 && cost < least) {
			least = cost;
			best = i;
		}
	}
	if (best == x->nsales)
		return false;
	mix_plan_add(p, best, -1);
	return true;
}

static bool mend(struct mix_plan *p, size_t keep, int most)
{
	for (int i = 0; i < most && !mix_plan_holds(p); i++) {
		size_t room = short_room(p);
		if (room < p->x->p.nrooms && switch_away(p, room))
			continue;
		if (!take_one_away(p, room, keep))
			return false;
	}
	return mix_plan_holds(p);
}

bool mix_plan_mend(struct mix_plan *p)
{
	return mend(p, SIZE_MAX, MENDS_MOST);
}

/* One more of this although it does not fit, and what gives way then. */
static bool push(struct hand *h, size_t sale)
{
	struct mix_plan *p = h->p;
	const struct mixing *x = h->x;
	const struct sale *s = &x->sales[sale];
	size_t mark = mix_plan_mark(p);
	wide was = mix_plan_value(p);
	if (p->n[sale] >= sale_most(s, s->stall == NONE ? 1 : p->days[s->stall]))
		return false;
	mix_plan_add(p, sale, 1);
	h->effort -= PUSH_EFFORT;
	if (mend(p, sale, PUSH_MENDS)) {
		wide now = mix_plan_value(p);
		for (size_t k = 0; k < x->nsales && h->effort > 0; k++)
			while (try_add(h, h->order[k], 1, now))
				now = mix_plan_value(p);
		if (now > was)
			return true;
	}
	mix_plan_back(p, mark);
	return false;
}

static bool push_all(struct hand *h)
{
	bool any = false;
	for (size_t i = 0; i < h->x->nsales && h->effort > 0; i++)
		while (h->effort > 0 && push(h, h->order[i]))
			any = true;
	return any;
}

/* ---- all of it ---- */

void mix_plan_improve(struct mix_plan *p, long effort)
{
	struct hand h = { .p = p, .x = p->x, .effort = effort };
	if (!mix_plan_holds(p))
		return;
	sort_sales(&h);
	for (int round = 0; round < ROUNDS_MOST && h.effort > 0; round++) {
		bool any = add_all(&h);
		any |= exchange_all(&h);
		any |= change_days(&h);
		if (p->x->nsales <= PUSHED_MOST)
			any |= push_all(&h);
		if (!any)
			break;
	}
	h.effort = effort;
	h.dice = UINT64_C(0x9e3779b97f4a7c15) + (uint64_t)effort;
	list_touching(&h);
	if (p->x->nsales > 1)
		rebuild_all(&h);
	mem_free(h.touching);
	mem_free(h.ntouching);
	mem_free(h.lists);
	mem_free(h.order);
	p->ntrail = 0;
}

/* ---- rounding ---- */

/* One more of each that is short of its wish, what is short most first, where it fits. */
static void round_up(struct mix_plan *p, const struct mix_solved *s)
{
	size_t n = p->x->nsales;
	bool *tried = mem_alloc(n + 1, sizeof *tried);
	for (;;) {
		size_t at = n;
		double most = UP_FROM;
		for (size_t i = 0; i < n; i++)
			if (!tried[i] && s->n[i] - (double)p->n[i] > most) {
				most = s->n[i] - (double)p->n[i];
				at = i;
			}
		if (at == n)
			break;
		size_t mark = mix_plan_mark(p);
		wide was = mix_plan_value(p);
		tried[at] = true;
		mix_plan_add(p, at, 1);
		if (!mix_plan_holds(p) || mix_plan_value(p) < was)
			mix_plan_back(p, mark);
	}
	mem_free(tried);
}

/* Whole counts near those of the program, never more than holds. */
void mix_plan_round(struct mix_plan *p, const struct mix_solved *s)
{
	const struct mixing *x = p->x;
	for (size_t i = 0; i < x->nstalls; i++)
		mix_plan_go(p, i, (int64_t)ceil(s->days[i] - 1e-6));
	if (!mix_plan_holds(p))
		for (size_t i = 0; i < x->nstalls; i++)
			mix_plan_go(p, i, 0);
	for (size_t i = 0; i < x->nsales; i++)
		for (int64_t by = (int64_t)floor(s->n[i] + 1e-6); by > 0;) {
			size_t mark = mix_plan_mark(p);
			const struct sale *sale = &x->sales[i];
			int64_t most =
			    sale_most(sale, sale->stall == NONE ? 1 : p->days[sale->stall]) -
			    p->n[i];
			if (by > most)
				by = most;
			if (by <= 0)
				break;
			mix_plan_add(p, i, by);
			if (mix_plan_holds(p))
				break;
			mix_plan_back(p, mark);
			by /= 2;
		}
	round_up(p, s);
}

/* The ways of the program's own answer, where it holds. */
static void take_ways(struct mix_plan *p, const struct mix_solved *s)
{
	const struct program *prog = &p->x->p;
	for (size_t i = 0; i < prog->nmakers; i++) {
		const struct maker *m = &prog->makers[i];
		for (size_t k = m->first; k < m->first + m->nvariants; k++)
			for (size_t o = k + 1; o < m->first + m->nvariants &&
					       prog->variants[o].need == prog->variants[k].need;
			     o++) {
				int64_t over_k = p->got[k] - llround(s->got[k]),
					over_o = p->got[o] - llround(s->got[o]);
				if (over_k > 0 && over_o < 0)
					mix_plan_way(p, k, o, over_k < -over_o ? over_k : -over_o);
				else if (over_k < 0 && over_o > 0)
					mix_plan_way(p, o, k, over_o < -over_k ? over_o : -over_k);
			}
	}
}

/* The answer as it is; false when whole stems do not allow it. */
bool mix_plan_take(struct mix_plan *p, const struct mix_solved *s)
{
	const struct mixing *x = p->x;
	for (size_t i = 0; i < x->nstalls; i++)
		mix_plan_go(p, i, llround(s->days[i]));
	for (size_t i = 0; i < x->nsales; i++)
		mix_plan_add(p, i, llround(s->n[i]) - p->n[i]);
	take_ways(p, s);
	for (size_t i = 0; i < x->p.nmakers && x->q.ndays > 1; i++)
		if (x->p.makers[i].item.kind == KIND_PART)
			mix_plan_hold(p, i, llround(s->made[i]));
	take_ways(p, s);
	return mix_plan_settle(p);
}

bool mix_plan_near(struct mix_plan *p, const struct mix_solved *s)
{
	return mix_plan_take(p, s) || mix_plan_mend(p);
}

