/* mix.c - the best mix as reports want it: lines, makings, what to buy, what is left,
 * what binds, orders that cannot be met, and what more of something would be worth. */
#include "reckon/mix.h"

#include <math.h>

#include "base/buf.h"
#include "reckon/loss.h"
#include "reckon/mix_model.h"

enum { SAID_MOST = 1 << 20 };
#define CLOSE 0.01 /* a runner-up within this of the best is worth a word */

static void open_mixing(struct mixing *x, const struct farm *farm, const struct stock *stock,
			const struct costs *costs, const struct prices *prices,
			const struct mix_options *options, struct arena *a, struct diag *diag)
{
	*x = (struct mixing){ .farm = farm,
			      .stock = stock,
			      .costs = costs,
			      .prices = prices,
			      .options = options,
			      .a = a,
			      .diag = diag };
}

/* ---- lines ---- */

/* Expected pieces sold of n on so many days, before spoils. */
static double expected(const struct sale *s, int64_t n, int64_t days)
{
	int64_t step_days = s->stall == NONE ? 1 : days, left = n * s->parts,
		over = s->asked - s->likely;
	double sum = 0;
	for (size_t i = 0; i < s->nsteps && left > 0; i++) {
		int64_t width = (i == 0 ? s->likely : 1) * step_days,
			take = left < width ? left : width;
		double chance = i == 0 ? 1 : (double)(over + 1 - (int64_t)i) / (double)(over + 1);
		sum += chance * (double)take;
		left -= take;
	}
	return sum / (double)s->parts;
}

static struct mix_line line_of(const struct mixing *x, const struct mix_plan *p, size_t i,
			       int64_t *shelf)
{
	const struct sale *s = &x->sales[i];
	const struct price_line *l = &x->prices->lines[s->line];
	int64_t days = s->stall == NONE ? 1 : p->days[s->stall], n = p->n[i];
	struct mix_line line = {
		.piece = s->piece, .outlet = s->outlet, .offer = s->offer, .count = n
	};
	line.finished = n < *shelf ? n : *shelf;
	*shelf -= line.finished;
	line.sold = expected(s, n, days) * (1 - l->in.spoils);
	line.money = money_of(sale_value(s, n, days));
	line.profit = l->at.profit;
	return line;
}

static struct mix_line *take_lines(const struct mixing *x, const struct mix_plan *p,
				   struct arena *a, size_t *n)
{
	struct mix_line *lines = ARENA_ARRAY(a, x->nsales + 1, struct mix_line);
	int64_t *shelf = ARENA_ARRAY(a, x->farm->npieces + 1, int64_t);
	memcpy(shelf, x->finished, x->farm->npieces * sizeof *shelf);
	*n = 0;
	for (size_t i = 0; i < x->nsales; i++)
		if (p->n[i] > 0)
			lines[(*n)++] = line_of(x, p, i, &shelf[x->sales[i].piece]);
	return lines;
}

static void take_makings(struct mix *out, const struct mixing *x, const struct mix_plan *p,
			 struct arena *a)
{
	const struct program *prog = &x->p;
	out->makings = ARENA_ARRAY(a, prog->nmakers + 1, struct mix_making);
	out->ways = ARENA_ARRAY(a, prog->nvariants + 1, struct mix_way);
	for (size_t i = 0; i < prog->nmakers; i++) {
		const struct maker *m = &prog->makers[i];
		if (p->made[i] == 0)
			continue;
		out->makings[out->nmakings++] =
		    (struct mix_making){ m->item, x->q.days[m->day], p->made[i] };
		for (size_t k = m->first; k < m->first + m->nvariants; k++) {
			const struct variant *v = &prog->variants[k];
			bool choice = (k > m->first && v[-1].need == v->need) ||
				      (k + 1 < m->first + m->nvariants && v[1].need == v->need);
			if (p->got[k] > 0)
				out->ways[out->nways++] =
				    (struct mix_way){ m->item,   x->q.days[m->day], v->need,
						      v->option, v->colour,         choice,
						      p->got[k] };
		}
	}
}

static void take_buys(struct mix *out, const struct mixing *x, const struct mix_plan *p,
		      struct arena *a)
{
	out->buys = ARENA_ARRAY(a, x->nshelves + 1, struct mix_buy);
	for (size_t i = 0; i < x->nshelves; i++) {
		const struct shelf *s = &x->shelves[i];
		int64_t buy = s->buy && p->used[i] > s->on_hand ? p->used[i] - s->on_hand : 0;
		if (p->used[i] == 0)
			continue;
		out->buys[out->nbuys++] =
		    (struct mix_buy){ .supply = s->supply,
				      .used = (double)p->used[i] / (double)s->scale,
				      .on_hand = x->stock->supplies[s->supply],
				      .buy = (double)buy / (double)s->scale,
				      .money = money_of((wide)buy * s->price) };
	}
}

static void take_stalls(struct mix *out, const struct mixing *x, const struct mix_plan *p,
			struct arena *a)
{
	out->stalls = ARENA_ARRAY(a, x->nstalls + 1, struct mix_stall);
	for (size_t i = 0; i < x->nstalls; i++) {
		const struct stall *s = &x->stalls[i];
		double days = (double)p->days[i];
		out->stalls[out->nstalls++] =
		    (struct mix_stall){ s->outlet, p->days[i], s->days, days * s->money,
					days * s->hours };
	}
}

static void take_left(struct mix *out, const struct mixing *x, const struct mix_plan *p,
		      struct arena *a)
{
	const struct farm *farm = x->farm;
	out->left = ARENA_ARRAY(a, farm->ncrops + 1, struct mix_left);
	for (uint32_t i = 0; i < farm->ncrops; i++) {
		struct mix_left left = { .crop = i };
		uint32_t room = x->p.room_of[i];
		bool any = false;
		wide worth = 0; /* of all that is there: reserved, or of no use to any piece, too */
		for (uint32_t c = 0; c < x->stock->nclasses; c++) {
			const struct stock_class *k = &x->stock->classes[c];
			if (k->crop != i || (k->past && !x->stock->with_past))
				continue;
			left.usable += k->whole;
			worth += (wide)k->whole * mix_carry(x, c);
			any = true;
		}
		if (!any)
			continue;
		if (room != NONE) {
			const struct cellar *c = &x->cellars[room];
			for (size_t b = 0; b < c->nbuckets; b++)
				left.used += p->bucket[c->buckets[b]];
			worth -= p->stems[room];
			left.spent = money_of(p->stems[room]);
		}
		left.carried = worth > 0 ? money_of(worth) : 0;
		left.left = left.usable > left.used ? left.usable - left.used : 0;
		out->left[out->nleft++] = left;
	}
}

/* ---- the whole ---- */

/* What sells less all that was made, at full cost; stall hours at the wage. */
static double full_profit(const struct mix *m, const struct mixing *x, const struct mix_plan *p)
{
	double sum = 0;
	size_t line = 0;
	for (size_t i = 0; i < x->nsales; i++) {
		if (p->n[i] == 0)
			continue;
		const struct mix_line *l = &m->lines[line++];
		const struct price_line *at = &x->prices->lines[x->sales[i].line];
		double made = x->costs->pieces[l->piece].total, kept = 1 - at->in.spoils;
		double sold =
		    kept > 0 ? at->at.profit + made / kept : 0; /* of a piece, before its making */
		sum += l->sold * sold - (double)l->count * made;
	}
	for (size_t i = 0; i < m->nstalls; i++) {
		double labour = x->options->own_labour ? m->stalls[i].hours * x->costs->wage : 0;
		sum -= m->stalls[i].money + labour;
	}
	return sum;
}

/* The search may keep parts on the shelf for a later day.  Where nothing is lost by it
 * what lies ready is taken first, as on the pull list. */
static void shelf_first(struct mix_plan *p)
{
	const struct program *prog = &p->x->p;
	for (size_t i = 0; i < prog->nmakers; i++) {
		size_t mark = mix_plan_mark(p);
		wide was = mix_plan_value(p);
		if (p->hold[i] == 0)
			continue;
		mix_plan_hold(p, i, 0);
		if (!mix_plan_settle(p) || mix_plan_value(p) < was)
			mix_plan_back(p, mark);
	}
}

/* Bench and packing of all days, where no limit counts it: thousandths of a second. */
static int64_t all_work(const struct mixing *x, const struct mix_plan *p)
{
	int64_t sum = 0;
	for (size_t i = 0; i < x->p.nmakers; i++) {
		const struct maker *m = &x->p.makers[i];
		const struct labour *w = &x->works[i];
		sum += p->made[i] * w->ms;
		for (size_t k = 0; k < w->nsettings; k++)
			sum += (p->made[i] + w->settings[k].k - 1) / w->settings[k].k * w->settings[k].ms;
		if (m->item.kind == KIND_PIECE)
			sum += m->fixed * llround(x->farm->pieces[m->item.index].packing.v * 1000);
	}
	for (size_t i = 0; i < x->nsales; i++)
		sum += p->n[i] * x->sales[i].ms;
	for (size_t i = 0; i < x->nstalls; i++)
		sum += p->days[i] * x->stalls[i].ms;
	return sum;
}

static void take_plan(struct mix *out, const struct mixing *x, const struct mix_answer *found,
		      struct arena *a)
{
	const struct mix_plan *p = &found->best;
	out->value = money_of(mix_plan_value(p));
	out->bound = fmax(found->bound, out->value);
	out->gap = (out->bound - out->value) / fmax(fabs(out->value), 0.01);
	out->orders = money_of(x->orders);
	out->lines = take_lines(x, p, a, &out->nlines);
	take_makings(out, x, p, a);
	take_buys(out, x, p, a);
	take_stalls(out, x, p, a);
	take_left(out, x, p, a);
	mix_share(out, x);
	out->profit = full_profit(out, x, p);
	out->hours = (double)(x->packed + (x->has_hours ? *p->ms : all_work(x, p))) / 1000 /
		     SECONDS_PER_HOUR;
	out->hours_most =
	    x->has_hours ? (double)x->hours_most / 1000 / SECONDS_PER_HOUR : (double)INFINITY;
	out->second_value = (double)NAN;
	if (found->has_second) {
		double second = money_of(mix_plan_value(&found->second));
		if (out->value - second <= CLOSE * fmax(fabs(out->value), 0.01)) {
			out->second_value = second;
			out->second = take_lines(x, &found->second, a, &out->nsecond);
		}
	}
}

/* ---- orders that cannot all be met ---- */

static void find_lacks(struct mix *out, struct mixing *base, struct arena *a, int *fault)
{
	struct mixing x;
	struct mix_solved s;
	const struct farm *farm = base->farm;
	open_mixing(&x, farm, base->stock, base->costs, base->prices, base->options, base->a,
		    base->diag);
	if (mix_build(&x, NULL, 0, true) < 0) {
		*fault = -1;
		return;
	}
	mix_program(&x, &(struct mix_solving){ .stems = STEMS_EXACT, .elastic = true, .nodes = MIX_NODES },
		    &s);
	out->lacks = ARENA_ARRAY(a, farm->ncrops + farm->nsupplies + 2, struct mix_lack);
	if (!s.any)
		return;
	double *crops = ARENA_ARRAY(base->a, farm->ncrops + 1, double);
	for (size_t b = 0; b < x.p.nbuckets; b++)
		crops[x.p.rooms[x.p.buckets[b].room].crop] += s.short_bucket[b];
	for (uint32_t i = 0; i < farm->ncrops; i++)
		if (crops[i] > 1e-6)
			out->lacks[out->nlacks++] =
			    (struct mix_lack){ { KIND_CROP, i }, ceil(crops[i] - 1e-6), 0 };
	for (size_t i = 0; i < x.nshelves; i++)
		if (s.short_shelf[i] > 1e-6)
			out->lacks[out->nlacks++] =
			    (struct mix_lack){ { KIND_SUPPLY, x.shelves[i].supply },
					       s.short_shelf[i] / (double)x.shelves[i].scale,
					       0 };
	/* The program has no less than 0 h for what is to be made. */
	double over = fmax(0, (double)(x.packed - x.hours_most) / 1000);
	if (s.short_hours > 1e-3)
		out->lacks[out->nlacks++] =
		    (struct mix_lack){ .hours = (s.short_hours + over) / SECONDS_PER_HOUR };
}

/* As many of the promised pieces as can be; the rest is taken off and named. */
static bool shed_orders(struct mix *out, struct mixing *x, struct arena *a)
{
	struct mix_solved s;
	bool any = false;
	mix_program(
	    x, &(struct mix_solving){ .stems = STEMS_EXACT, .count_orders = true, .nodes = MIX_NODES },
	    &s);
	if (!s.any)
		return false;
	out->shorts = ARENA_ARRAY(a, x->p.nmakers + 1, struct mix_short_order);
	for (size_t i = 0; i < x->p.nmakers; i++) {
		struct maker *m = &x->p.makers[i];
		int64_t can = llround(s.made[i]);
		if (m->item.kind != KIND_PIECE || can >= m->fixed)
			continue;
		out->shorts[out->nshorts++] =
		    (struct mix_short_order){ m->item.index, x->q.days[m->day], m->fixed - can };
		x->works[i].packing = m->fixed ? x->works[i].packing / m->fixed * can : 0;
		mix_order_cut(x, m->item.index, m->fixed - can);
		m->fixed = can;
		any = true;
	}
	return any;
}

/* ---- what binds ---- */

/* Crops of the maker's own needs that no class of stems can serve once more. */
static void name_unmet(const struct mixing *x, const struct mix_plan *p, uint32_t maker,
		       unsigned char *crops)
{
	const struct maker *m = &x->p.makers[maker];
	for (size_t k = m->first; k < m->first + m->nvariants; k++)
		if (x->p.variants[k].kind == KIND_CROP && x->p.variants[k].cap < p->made[maker])
			crops[m->needs[x->p.variants[k].need]
				  .options[x->p.variants[k].option]
				  .item.index] = 1;
}

/* A limit binds when nothing more fits of something that would still pay: told from the
 * last trial of each sale, by hand. */
static void find_binding(struct mix *out, struct mixing *x, struct mix_plan *p, struct arena *a)
{
	unsigned char *crops = ARENA_ARRAY(x->a, x->farm->ncrops + 1, unsigned char);
	unsigned char *shelves = ARENA_ARRAY(x->a, x->nshelves + 1, unsigned char);
	bool hours = false;
	size_t cap = x->farm->ncrops + x->nshelves + x->nsales + 1;
	out->binding = ARENA_ARRAY(a, cap, struct mix_binding);
	for (size_t i = 0; i < x->nsales; i++) {
		const struct sale *s = &x->sales[i];
		int64_t pays = s->likely + (int64_t)s->nsteps - 1,
			days = s->stall == NONE ? 1 : p->days[s->stall];
		if (p->n[i] >= (s->stall == NONE ? pays : pays * days / s->parts)) {
			if (p->n[i] >=
			    s->asked) /* else the next would not pay, or wants another day */
				out->binding[out->nbinding++] = (struct mix_binding){
					{ KIND_PIECE, s->piece }, false, s->outlet
				};
			continue;
		}
		size_t mark = mix_plan_mark(p);
		wide was = mix_plan_value(p);
		mix_plan_add(p, i, 1);
		wide more = mix_plan_value(p);
		for (size_t r = 0; r < x->p.nrooms && more > was; r++) {
			nano carry;
			if (p->dirty[r] && !cellar_serves(x, r, p->bucket, true, &carry, NULL))
				crops[x->p.rooms[r].crop] = 1;
		}
		for (size_t k = 0; k < x->nshelves && more > was; k++)
			if (!x->shelves[k].buy && !x->shelves[k].endless &&
			    p->used[k] > x->shelves[k].on_hand)
				shelves[k] = 1;
		/* A need that the stock could not meet once more, whatever else is made. */
		if (more > was && *p->over > 0)
			name_unmet(x, p, s->maker, crops);
		hours = hours || (more > was && x->has_hours && *p->ms > x->hours);
		mix_plan_back(p, mark);
	}
	for (uint32_t i = 0; i < x->farm->ncrops; i++)
		if (crops[i])
			out->binding[out->nbinding++] =
			    (struct mix_binding){ { KIND_CROP, i }, false, NONE };
	for (size_t i = 0; i < x->nshelves; i++)
		if (shelves[i])
			out->binding[out->nbinding++] = (struct mix_binding){
				{ KIND_SUPPLY, x->shelves[i].supply }, false, NONE
			};
	if (hours)
		out->binding[out->nbinding++] =
		    (struct mix_binding){ .hours = true, .outlet = NONE };
}

static void say_assumed(const struct mixing *x, struct remarks *r)
{
	struct said single = { 0 }, open = { 0 };
	for (size_t i = 0; i < x->nsales; i++) {
		const struct sale *s = &x->sales[i];
		const struct offer *o = &x->farm->pieces[s->piece].offers[s->offer];
		if (s->stall != NONE && !(x->farm->outlets[s->outlet].stall_days.v > 0))
			said_add(&single, x->a, x->farm->outlets[s->outlet].head.name);
		if (!o->likely.given && !o->upto.given)
			said_add(&open, x->a, x->farm->pieces[s->piece].head.name);
	}
	if (single.n)
		remark(r, REMARK_ASSUMED,
		       "Not said how many days a stall is open: one day is counted for %s.",
		       said_text(&single));
	if (open.n)
		remark(r, REMARK_ASSUMED,
		       "Not said how many can be sold, so taken as any number: %s.",
		       said_text(&open));
}

/* The offer with a limit; NULL: none. */
static const struct offer *limited_offer(const struct piece *p, uint32_t outlet)
{
	for (size_t k = 0; k < p->noffers; k++)
		if (p->offers[k].outlet == outlet && (p->offers[k].likely.given || p->offers[k].upto.given))
			return &p->offers[k];
	return NULL;
}

/* How to try what can still sell: --suppose "PIECE OUTLET up to = 3". */
static void say_trial(struct buf *b, const struct mixing *x, uint32_t piece, uint32_t outlet, double sold)
{
	const struct piece *p = &x->farm->pieces[piece];
	const struct offer *o = limited_offer(p, outlet);
	struct str at = x->farm->outlets[outlet].head.name;
	const struct {
		const struct fig *f;
		const char *word;
	} both[] = { { &o->likely, "likely" }, { &o->upto, "up to" } };
	for (size_t i = 0; i < 2; i++)
		if (both[i].f->given)
			buf_printf(b, " --suppose \"%.*s %.*s %s = %g\"", STR_ARG(p->head.name), STR_ARG(at),
				   both[i].word, fmax(0, both[i].f->v - sold));
}

/* Pieces with a limit at the outlet that the log of the last twelve months says are sold there. */
static void say_sold_at(const struct mixing *x, struct remarks *r, uint32_t outlet, const bool *struck)
{
	const struct farm *farm = x->farm;
	double *sold = ARENA_ARRAY(x->a, farm->npieces + 1, double);
	day on = x->stock->on, year = date_add_months(on, -12), first = DAY_NONE;
	struct buf names, trial;
	char since[11];
	for (size_t i = 0; i < farm->nlog; i++) {
		const struct log_entry *e = &farm->log[i];
		if (e->event != EVENT_SOLD || struck[i] || e->outlet != outlet || e->item.kind != KIND_PIECE ||
		    e->on > on || e->on <= year)
			continue;
		if (!limited_offer(&farm->pieces[e->item.index], outlet))
			continue;
		sold[e->item.index] += e->count;
		first = first == DAY_NONE || e->on < first ? e->on : first;
	}
	if (first == DAY_NONE)
		return;
	buf_init(&names, SAID_MOST);
	buf_init(&trial, SAID_MOST);
	for (uint32_t i = 0; i < farm->npieces; i++) {
		if (!(sold[i] > 0))
			continue;
		buf_printf(&names, "%s%g %.*s", names.len ? ", " : "", sold[i], STR_ARG(farm->pieces[i].head.name));
		if (!trial.len)
			say_trial(&trial, x, i, outlet, sold[i]);
	}
	date_print(first, since);
	if (names.len)
		remark(r, REMARK_DOUBT,
		       "By the log sold at %.*s since %s, and not taken off what can sell there: %s. Where that was "
		       "this season, `sells` should say what can still sell%s. To try it:%s.",
		       STR_ARG(farm->outlets[outlet].head.name), since, names.data,
		       farm->outlets[outlet].stall_days.v > 0 ? ", and `stall` the days still to come" : "", trial.data);
	buf_release(&trial);
	buf_release(&names);
}

static void say_sold(const struct mixing *x, struct remarks *r)
{
	bool *struck = log_struck(x->farm, x->a);
	for (uint32_t i = 0; i < x->farm->noutlets; i++)
		say_sold_at(x, r, i, struck);
}

int mix_reckon(struct mix *out, const struct farm *farm, const struct stock *stock,
	       const struct costs *costs, const struct prices *prices,
	       const struct mix_options *options, struct arena *a, struct remarks *r,
	       struct diag *diag)
{
	struct arena scratch;
	struct mixing x;
	struct mix_answer found;
	int fault = 0;
	*out = (struct mix){ .state = MIX_NOTHING,
			     .value = (double)NAN,
			     .bound = (double)NAN,
			     .gap = (double)NAN,
			     .second_value = (double)NAN,
			     .nodes = -1 };
	arena_init(&scratch);
	open_mixing(&x, farm, stock, costs, prices, options, &scratch, diag);
	x.remarks = r;
	if (mix_build(&x, NULL, 0, false) < 0) {
		arena_release(&scratch);
		return -1;
	}
	if (r) {
		say_assumed(&x, r);
		say_sold(&x, r);
	}
	out->endless = ARENA_ARRAY(a, x.nendless + 1, uint32_t);
	memcpy(out->endless, x.endless, x.nendless * sizeof *out->endless);
	out->nendless = x.nendless;
	mix_search(&x, &found, NULL);
	if (found.none) {
		find_lacks(out, &x, a, &fault);
		if (!fault && shed_orders(out, &x, a)) {
			mix_answer_release(&found);
			mix_search(&x, &found, NULL);
		}
	}
	if (found.tied && r)
		remark(r, REMARK_ASSUMED,
		       "Other mixes may earn as much; the search for the one to prefer among "
		       "them stopped at its limit.");
	if (found.any) {
		shelf_first(&found.best);
		take_plan(out, &x, &found, a);
		find_binding(out, &x, &found.best, a);
		out->state = found.proven ? MIX_PROVEN : MIX_LIMITED;
	}
	out->nodes = found.nodes;
	out->interrupted = found.interrupted;
	mix_answer_release(&found);
	arena_release(&scratch);
	return fault;
}
