/* mix_model.c - laying out a mix: what sells, stalls, work, supplies, pooled stems. */
#include "reckon/mix_model.h"

#include <math.h>

#include "reckon/loss.h"

#define NANO       1e9
#define MONEY_MOST 9e8 /* of one coefficient; beyond it is held there */
enum { SCALE_MOST = 1000000, SOLD_MOST = 1000000, STEPS_MOST = 200 };

static nano to_nano(double money)
{
	if (!(money > -MONEY_MOST))
		return isnan(money) ? 0 : (nano)(-MONEY_MOST * NANO);
	return llround(fmin(money, MONEY_MOST) * NANO);
}

static int64_t to_ms(double seconds)
{
	return seconds > 0 ? llround(fmin(seconds, 1e10) * 1000) : 0;
}

double money_of(wide n)
{
	return (double)((long double)n / (long double)NANO);
}

static double wage_of(const struct mixing *x)
{
	return x->options->own_labour ? 0 : x->costs->wage;
}

/* ---- what may be sold ---- */

static bool excluded(const struct mixing *x, uint32_t piece)
{
	for (size_t i = 0; i < x->options->nexcluded; i++)
		if (x->options->excluded[i] == piece)
			return true;
	return false;
}

static bool has_stall(const struct outlet *o)
{
	return o->stall.v > 0 || o->stall_hours.v > 0 || o->travel_km.v * o->travel_rate.v > 0;
}

static uint32_t stall_for(struct mixing *x, uint32_t outlet)
{
	const struct outlet *o = &x->farm->outlets[outlet];
	if (!has_stall(o))
		return NONE;
	for (size_t i = 0; i < x->nstalls; i++)
		if (x->stalls[i].outlet == outlet)
			return (uint32_t)i;
	struct stall *s = &x->stalls[x->nstalls++];
	int64_t days = loss_whole(fmin(o->stall_days.v, 1000));
	s->outlet = outlet;
	s->days = days > 0 ? days : 1;
	s->hours = o->stall_hours.v;
	s->money = o->stall.v + o->travel_km.v * o->travel_rate.v + s->hours * wage_of(x);
	s->cost = to_nano(s->money);
	s->ms = x->options->stall_in_hours ? to_ms(s->hours * SECONDS_PER_HOUR) : 0;
	return (uint32_t)(x->nstalls - 1);
}

/* What a piece that sells and arrives leaves before it was made; NaN without a price. */
static double money_sold(const struct mixing *x, const struct price_line *l, double paid)
{
	struct price_at at;
	price_judge(&at, &l->in, paid);
	double labour = x->options->own_labour ? 0 : l->in.packing_labour;
	return at.net + l->in.charged / (1 + l->in.tax) - at.fee - l->in.sending - l->in.carton -
	       labour;
}

static void take_curve(struct sale *s, const struct offer *o)
{
	int64_t likely = loss_whole(o->likely.v), upto = loss_whole(o->upto.v);
	if (!o->likely.given && !o->upto.given)
		likely = upto = SOLD_MOST;
	else if (!o->likely.given)
		likely = upto;
	else if (!o->upto.given || upto < likely)
		upto = likely;
	if (upto > SOLD_MOST)
		upto = SOLD_MOST;
	if (likely > upto)
		likely = upto;
	s->likely = likely;
	s->upto = s->asked = upto;
}

static void add_sale(struct mixing *x, size_t line)
{
	const struct price_line *l = &x->prices->lines[line];
	const struct offer *o = &x->farm->pieces[l->piece].offers[l->offer];
	struct sale *s = &x->sales[x->nsales];
	*s = (struct sale){
		.piece = l->piece, .outlet = l->outlet, .offer = l->offer, .line = line
	};
	take_curve(s, o);
	s->sold_money = (1 - l->in.spoils) * money_sold(x, l, l->at.paid);
	if (isnan(s->sold_money) || s->upto <= 0)
		return;
	s->stall = stall_for(x, l->outlet);
	s->parts = s->stall == NONE ? 1 : x->stalls[s->stall].days;
	s->ms = to_ms(l->in.packing_seconds);
	x->nsales++;
}

static void find_sales(struct mixing *x)
{
	x->sales = ARENA_ARRAY(x->a, x->prices->n + 1, struct sale);
	x->stalls = ARENA_ARRAY(x->a, x->farm->noutlets + 1, struct stall);
	for (size_t i = 0; i < x->prices->n; i++)
		if (x->prices->lines[i].offer != NONE && !excluded(x, x->prices->lines[i].piece))
			add_sale(x, i);
}

/* ---- the makers ---- */

/* Every piece that may be sold is a maker of the stock's day, promised or not. */
static void add_promises(struct mixing *x)
{
	const struct reach_shed *shed = &x->shed;
	struct promise *all =
	    ARENA_ARRAY(x->a, shed->npromises + x->farm->npieces + 1, struct promise);
	unsigned char *there = ARENA_ARRAY(x->a, x->farm->npieces + 1, unsigned char);
	size_t n = shed->npromises;
	if (n)
		memcpy(all, shed->promises, n * sizeof *all);
	for (size_t i = 0; i < n; i++)
		if (all[i].day == 0)
			there[all[i].piece] = 1;
	for (size_t i = 0; i < x->nsales; i++)
		if (!there[x->sales[i].piece]) {
			there[x->sales[i].piece] = 1;
			all[n++] = (struct promise){ x->sales[i].piece, 0, 0 };
		}
	x->q.promises = all;
	x->q.npromises = n;
}

void mix_hold_reserves(struct program *p, const struct mix_options *options)
{
	for (size_t i = 0; i < options->nreserves; i++) {
		const struct mix_reserve *r = &options->reserves[i];
		uint32_t at = p->room_of[r->crop];
		if (at == NONE || !(r->stems > 0))
			continue;
		struct room *room = &p->rooms[at];
		int64_t all = 0, keep = loss_cover(r->stems);
		for (size_t c = 0; c < room->nclasses; c++)
			all = plenty_add(all, room->classes[c].counted);
		int64_t usable = all > keep ? all - keep : 0;
		if (usable < room->usable)
			room->usable = usable;
		room->reserve = true;
	}
}

static int lay_out(struct mixing *x, const struct extra *extra, bool elastic)
{
	unsigned char *crops = ARENA_ARRAY(x->a, x->farm->ncrops + 1, unsigned char);
	unsigned char *supplies = ARENA_ARRAY(x->a, x->farm->nsupplies + 1, unsigned char);
	x->q = (struct question){ .farm = x->farm,
				  .stock = x->stock,
				  .days = x->shed.days,
				  .ndays = x->shed.ndays,
				  .keep = x->shed.keep,
				  .piece = NONE,
				  .crops = crops,
				  .supplies = supplies,
				  .extra = extra,
				  .elastic = elastic,
				  .choices = true,
				  .diag = x->diag };
	add_promises(x);
	if (program_build(&x->p, &x->q, x->a) < 0)
		return -1;
	mix_hold_reserves(&x->p, x->options);
	return 0;
}

/* A way that takes the same from the same, and more of it, is none. */
static void drop_dominated(struct mixing *x)
{
	struct variant *v = x->p.variants;
	for (size_t i = 0; i < x->p.nvariants; i++)
		for (size_t k = i; k-- > 0 && v[k].maker == v[i].maker && v[k].need == v[i].need;) {
			const struct need *need = &x->p.makers[v[i].maker].needs[v[i].need];
			struct item a = need->options[v[i].option].item,
				    b = need->options[v[k].option].item;
			if (a.kind != b.kind || a.index != b.index || v[i].where != v[k].where ||
			    v[i].cap == 0 || v[k].cap == 0)
				continue;
			int c = v[i].kind == KIND_CROP ? rat_cmp(v[i].stems, v[k].stems)
						       : rat_cmp(v[i].count, v[k].count);
			v[c >= 0 ? i : k].cap = 0;
		}
}

/* ---- work ---- */

static void take_work(struct mixing *x, struct labour *w, const struct task *tasks, size_t n)
{
	double wage = wage_of(x);
	w->settings = ARENA_ARRAY(x->a, n + 1, struct setting);
	for (size_t i = 0; i < n; i++) {
		int64_t ms = to_ms(tasks[i].seconds.v);
		nano cost = to_nano(tasks[i].seconds.v / SECONDS_PER_HOUR * wage);
		if (!tasks[i].batch.given) {
			w->ms += ms;
			w->cost += cost;
			continue;
		}
		int64_t k = tasks[i].batch.v >= 1 ? (int64_t)fmin(tasks[i].batch.v, 1e9) : 1;
		size_t at = 0;
		while (at < w->nsettings && w->settings[at].k != k)
			at++;
		if (at == w->nsettings)
			w->settings[w->nsettings++] = (struct setting){ .k = k };
		w->settings[at].ms += ms;
		w->settings[at].cost += cost;
	}
}

static void find_hours(struct mixing *x, double more)
{
	const struct business *b = &x->farm->business;
	double h = x->options->has_hours ? x->options->hours : b->bench_hours.v;
	x->has_hours = x->options->has_hours || b->bench_hours.given;
	if (x->has_hours && b->bench_until != DAY_NONE && b->bench_until < x->stock->on &&
	    !x->options->has_hours) {
		x->has_hours = false;
		if (x->remarks)
			remark(x->remarks, REMARK_DOUBT,
			       "The bench hours end before this day: hours are not limited.");
	}
	x->hours_most = to_ms((h + more) * SECONDS_PER_HOUR);
	x->packed = 0;
	for (size_t i = 0; i < x->shed.nready; i++) {
		const struct ready_order *o = &x->shed.ready[i];
		if (!x->has_hours || b->bench_until == DAY_NONE || o->on <= x->stock->on || o->on <= b->bench_until)
			x->packed += o->count * to_ms(x->farm->pieces[o->piece].packing.v);
	}
	x->hours = x->hours_most > x->packed ? x->hours_most - x->packed : 0;
	if (x->has_hours && x->packed > x->hours_most && x->remarks)
		remark(x->remarks, REMARK_DOUBT,
		       "Packing what lies finished for open orders takes %.1f h, more than there are.",
		       (double)x->packed / 1000 / SECONDS_PER_HOUR);
}

static void find_works(struct mixing *x)
{
	const struct farm *farm = x->farm;
	day until = farm->business.bench_until;
	x->works = ARENA_ARRAY(x->a, x->p.nmakers + 1, struct labour);
	for (size_t i = 0; i < x->p.nmakers; i++) {
		const struct maker *m = &x->p.makers[i];
		struct labour *w = &x->works[i];
		bool piece = m->item.kind == KIND_PIECE;
		const struct piece *p = piece ? &farm->pieces[m->item.index] : NULL;
		if (piece)
			take_work(x, w, p->tasks, p->ntasks);
		else
			take_work(x, w, farm->parts[m->item.index].tasks,
				  farm->parts[m->item.index].ntasks);
		w->timed = x->has_hours &&
			   (until == DAY_NONE || m->day == 0 || x->q.days[m->day] <= until);
		w->packing = piece && w->timed ? m->fixed * to_ms(p->packing.v) : 0;
		w->finished = NONE;
	}
	for (size_t i = 0; i < x->nsales; i++) {
		struct sale *s = &x->sales[i];
		uint32_t m = 0;
		while (x->p.makers[m].item.kind != KIND_PIECE ||
		       x->p.makers[m].item.index != s->piece || x->p.makers[m].day != 0)
			m++;
		s->maker = m;
		x->works[m].finished = s->piece;
		if (!x->works[m].sales)
			x->works[m].sales =
			    ARENA_ARRAY(x->a, farm->pieces[s->piece].noffers + 1, size_t);
		x->works[m].sales[x->works[m].nsales++] = i;
	}
}

/* ---- supplies ---- */

static int64_t common(int64_t a, int64_t b)
{
	while (b) {
		int64_t t = a % b;
		a = b;
		b = t;
	}
	return a;
}

static int too_fine(struct mixing *x, const struct supply *s)
{
	return diag_error(x->diag, s->head.at,
			  "The amounts of %s are too fine to be pooled exactly.",
			  diag_quote(x->diag, s->head.name));
}

static struct item variant_item(const struct mixing *x, const struct variant *v)
{
	return x->p.makers[v->maker].needs[v->need].options[v->option].item;
}

static int find_shelves(struct mixing *x)
{
	const struct farm *farm = x->farm;
	uint32_t *at = ARENA_ARRAY(x->a, farm->nsupplies + 1, uint32_t);
	x->shelves = ARENA_ARRAY(x->a, farm->nsupplies + 1, struct shelf);
	x->shelf_of = ARENA_ARRAY(x->a, x->p.nvariants + 1, uint32_t);
	x->shelf_each = ARENA_ARRAY(x->a, x->p.nvariants + 1, int64_t);
	for (size_t i = 0; i < x->p.nvariants; i++) {
		const struct variant *v = &x->p.variants[i];
		struct item item = variant_item(x, v);
		x->shelf_of[i] = NONE;
		if (v->kind != KIND_SUPPLY || rat_sign(v->count) <= 0)
			continue;
		if (at[item.index] == 0) {
			x->shelves[x->nshelves++] =
			    (struct shelf){ .supply = item.index, .scale = 1 };
			at[item.index] = (uint32_t)x->nshelves;
		}
		struct shelf *s = &x->shelves[at[item.index] - 1];
		s->scale = s->scale / common(s->scale, v->count.den) * v->count.den;
		if (s->scale > SCALE_MOST || v->count.den > SCALE_MOST)
			return too_fine(x, &farm->supplies[item.index]);
		x->shelf_of[i] = at[item.index] - 1;
		*ARENA_PUSH(x->a, s->uses, s->nuses, s->cap_uses) = i;
	}
	for (size_t i = 0; i < x->nshelves; i++) {
		struct shelf *s = &x->shelves[i];
		const struct supply *supply = &farm->supplies[s->supply];
		double on_hand = x->stock->supplies[s->supply];
		s->buy = !x->options->no_buying;
		s->endless = !s->buy && isnan(on_hand);
		s->on_hand = isnan(on_hand) ? 0 : loss_whole(fmin(on_hand, 1e9) * (double)s->scale);
		s->price = to_nano((supply->cost.given ? supply->cost.v : 0) / (double)s->scale);
		for (size_t k = 0; k < s->nuses; k++) {
			struct rat c = x->p.variants[s->uses[k]].count;
			int64_t each = plenty_times(c.num, s->scale / c.den);
			if (each >= PLENTY)
				return too_fine(x, supply);
			x->shelf_each[s->uses[k]] = each;
		}
	}
	return 0;
}

/* ---- bounds of what is sold ---- */

/* What making one costs at the very least. */
static nano least_cost(const struct mixing *x, uint32_t maker)
{
	const struct maker *m = &x->p.makers[maker];
	nano sum = x->works[maker].cost;
	for (size_t k = m->first, next; k < m->first + m->nvariants; k = next) {
		nano least = INT64_MAX;
		for (next = k; next < m->first + m->nvariants &&
			       x->p.variants[next].need == x->p.variants[k].need;
		     next++) {
			uint32_t shelf = x->shelf_of[next];
			nano cost = 0;
			if (x->p.variants[next].cap == 0)
				continue;
			if (shelf != NONE && x->shelves[shelf].buy &&
			    x->shelves[shelf].on_hand == 0)
				cost = (nano)fmin((double)x->shelves[shelf].price *
						      (double)x->shelf_each[next],
						  1e18);
			if (cost < least)
				least = cost;
		}
		if (least != INT64_MAX && least > 0)
			sum = sum > PLENTY * 100 ? sum : sum + least;
	}
	return sum;
}

static void bound_sale(struct mixing *x, struct sale *s)
{
	const struct maker *m = &x->p.makers[s->maker];
	const struct labour *w = &x->works[s->maker];
	int64_t finished = x->finished[s->piece];
	int64_t make = m->impossible ? 0 : m->cap > m->fixed ? m->cap - m->fixed : 0;
	bool limited = s->asked < SOLD_MOST || make < PLENTY;
	if (w->timed && w->ms > 0) {
		int64_t by_hours = x->hours / w->ms;
		make = by_hours < make ? by_hours : make;
		limited = true;
	}
	if (w->timed && s->ms > 0) {
		s->upto = x->hours / s->ms < s->upto ? x->hours / s->ms : s->upto;
		limited = true;
	}
	if (!limited) {
		s->upto = 0;
		x->endless[x->nendless++] = s->piece;
		return;
	}
	if (plenty_add(make, finished) < s->upto)
		s->upto = make + finished;
}

/* Pieces that sell of so many that are brought in the season. */
static double sells_of(const struct sale *s, double brought)
{
	double wide_ = (double)(s->asked - s->likely), over = brought - (double)s->likely;
	if (over <= 0)
		return brought;
	double k = fmin(floor(over), wide_), rest = fmin(over - k, k < wide_ ? 1 : 0);
	return (double)s->likely + k - k * (k + 1) / 2 / (wide_ + 1) +
	       rest * (wide_ - k) / (wide_ + 1);
}

/* Of each number of days the pieces that pay at the least cost of making, and how much of the
 * season's curve they go over: on few days a piece goes over several steps, so a step that no
 * piece would fill may be of use. */
static double set_pays(struct sale *s, nano least)
{
	double most = 0, money = s->sold_money, cost = (double)least / 1e9;
	for (int64_t days = 1; days <= s->parts; days++) {
		double part = (double)days / (double)s->parts;
		int64_t lo = 0, hi = money > 0 ? (int64_t)(part * (double)s->asked + 1e-9) : 0;
		while (lo < hi) { /* what the n-th leaves falls with n */
			int64_t n = hi - (hi - lo) / 2;
			double more =
			    sells_of(s, (double)n / part) - sells_of(s, (double)(n - 1) / part);
			if (money * part * more > cost - 1e-9)
				lo = n;
			else
				hi = n - 1;
		}
		s->pays[days] = lo;
		most = fmax(most, (double)lo / part);
	}
	return most;
}

static void set_gains(struct mixing *x, struct sale *s)
{
	int64_t wide_ = s->asked - s->likely;
	nano least = x->finished[s->piece] > 0 ? 0 : least_cost(x, s->maker);
	s->pays = ARENA_ARRAY(x->a, (size_t)s->parts + 1, int64_t);
	double pays = set_pays(s, least);
	double over = ceil(pays - (double)s->likely - 1e-9);
	s->nsteps = 1 + (size_t)(wide_ < STEPS_MOST ? wide_ : STEPS_MOST);
	if (pays <= 0)
		s->nsteps = 0;
	else if (over < (double)s->nsteps)
		s->nsteps = over > 0 ? 1 + (size_t)over : 1;
	s->gain = ARENA_ARRAY(x->a, s->nsteps + 1, nano);
	for (size_t i = 0; i < s->nsteps; i++) {
		double chance = i == 0 ? 1 : (double)(wide_ + 1 - (int64_t)i) / (double)(wide_ + 1);
		s->gain[i] = to_nano(s->sold_money * chance / (double)s->parts);
	}
	int64_t most = s->nsteps ? s->likely + (int64_t)s->nsteps - 1 : 0;
	if (s->upto > most)
		s->upto = most;
}

/* What an order's piece leaves when it is sent, before it was made. */
static double order_each(const struct mixing *x, const struct order *o)
{
	const struct price_line bare = { 0 };
	const struct price_line *line = &bare;
	for (size_t k = 0; k < x->prices->n && line == &bare; k++) {
		const struct price_line *l = &x->prices->lines[k];
		if (l->piece == o->piece && (o->outlet == NONE || l->outlet == o->outlet))
			line = l;
	}
	double each = money_sold(x, line, isnan(o->price) ? line->at.paid : o->price);
	return isnan(each) ? 0 : each;
}

static bool order_counts(const struct mixing *x, const struct order *o)
{
	return !x->options->ignore_orders && stock_order_open(o, x->stock->on) && o->count > 0;
}

static void order_money(struct mixing *x)
{
	for (size_t i = 0; i < x->farm->norders; i++) {
		const struct order *o = &x->farm->orders[i];
		if (order_counts(x, o))
			x->orders += to_nano(order_each(x, o)) * loss_whole(fmin(o->count, 1e6));
	}
}

void mix_order_cut(struct mixing *x, uint32_t piece, int64_t count)
{
	for (size_t i = x->farm->norders; i-- > 0 && count > 0;) {
		const struct order *o = &x->farm->orders[i];
		if (o->piece != piece || !order_counts(x, o))
			continue;
		int64_t n = loss_whole(fmin(o->count, 1e6));
		n = n < count ? n : count;
		x->orders -= to_nano(order_each(x, o)) * n;
		count -= n;
	}
}

/* ---- pooled stems ---- */

double mix_keep_value(const struct farm *farm, const struct stock *stock, uint32_t class_)
{
	const struct crop *c = &farm->crops[stock->classes[class_].crop];
	day boxed = stock->classes[class_].boxed, then = date_add_months(stock->on, 12);
	if (!(c->carries.v > 0))
		return 0;
	bool good = !(c->keeps.v > 0) || boxed == DAY_NONE || then == DAY_NONE ||
		    date_months(boxed, then) <= c->keeps.v;
	return good ? c->carries.v : 0;
}

nano mix_carry(const struct mixing *x, uint32_t class_)
{
	if (class_ == NONE || x->options->without_carries)
		return 0;
	return to_nano(mix_keep_value(x->farm, x->stock, class_));
}

static bool adds_up(const struct mixing *x, const struct room *room, const struct cellar *c,
		    uint32_t *only)
{
	bool one_day = true, lossless = true;
	*only = NONE;
	for (size_t i = 0; i < c->nbuckets; i++) {
		const struct bucket *b = &x->p.buckets[c->buckets[i]];
		one_day = one_day && (*only == NONE || *only == b->day);
		*only = b->day;
		for (size_t k = 0; k < room->nclasses; k++) {
			struct rat keep = room->classes[k].keep[b->day];
			lossless = lossless && (keep.num == 0 || keep.num == keep.den);
		}
	}
	return lossless || (one_day && !room->reserve);
}

static bool alike(const struct mixing *x, const struct cellar *c, size_t i, size_t k)
{
	for (size_t b = 0; b < c->nbuckets; b++) {
		const unsigned char *fits = x->p.buckets[c->buckets[b]].fits;
		if (fits[i] != fits[k])
			return false;
	}
	return true;
}

/* Stems of the class that can be used at all. */
static int64_t class_stems(const struct mixing *x, const struct cellar *c, const struct stems *s,
			   size_t k)
{
	int64_t most = 0;
	for (size_t b = 0; b < c->nbuckets; b++) {
		const struct bucket *bucket = &x->p.buckets[c->buckets[b]];
		int64_t n = times_down(s->counted, s->keep[bucket->day]);
		if (bucket->fits[k] && n > most)
			most = n;
	}
	return most;
}

static void find_pools(struct mixing *x, const struct room *room, struct cellar *c)
{
	c->pools = ARENA_ARRAY(x->a, room->nclasses + 1, struct pool);
	for (size_t k = 0; k < room->nclasses; k++) {
		const struct stems *s = &room->classes[k];
		int64_t stems = class_stems(x, c, s, k);
		nano carry = mix_carry(x, s->index);
		size_t at = 0;
		if (stems == 0 && c->simple)
			continue;
		while (at < c->npools && !(c->simple && c->pools[at].carry == carry &&
					   alike(x, c, c->pools[at].lead, k)))
			at++;
		if (at == c->npools)
			c->pools[c->npools++] = (struct pool){ .lead = k, .carry = carry };
		c->pools[at].cap = plenty_add(c->pools[at].cap, c->simple ? stems : s->counted);
		c->carries = c->carries || carry > 0;
	}
}

static int64_t wanted_by(const struct mixing *x, const struct cellar *c, const struct pool *p)
{
	int64_t n = 0;
	for (size_t b = 0; b < c->nbuckets; b++)
		n += x->p.buckets[c->buckets[b]].fits[p->lead];
	return n;
}

static void sort_pools(const struct mixing *x, struct cellar *c)
{
	for (size_t i = 1; i < c->npools; i++) {
		struct pool p = c->pools[i];
		int64_t rank = wanted_by(x, c, &p);
		size_t k = i;
		for (; k > 0 && (c->pools[k - 1].carry > p.carry ||
				 (c->pools[k - 1].carry == p.carry &&
				  wanted_by(x, c, &c->pools[k - 1]) > rank));
		     k--)
			c->pools[k] = c->pools[k - 1];
		c->pools[k] = p;
	}
}

/* The bucket that fewest stems fit first. */
static void sort_buckets(const struct mixing *x, struct cellar *c)
{
	int64_t *stems = ARENA_ARRAY(x->a, c->nbuckets + 1, int64_t);
	for (size_t i = 0; i < c->nbuckets; i++)
		for (size_t k = 0; k < c->npools; k++)
			if (x->p.buckets[c->buckets[i]].fits[c->pools[k].lead])
				stems[i] = plenty_add(stems[i], c->pools[k].cap);
	for (size_t i = 1; i < c->nbuckets; i++) {
		uint32_t b = c->buckets[i];
		int64_t n = stems[i];
		size_t k = i;
		for (; k > 0 && stems[k - 1] > n; k--) {
			stems[k] = stems[k - 1];
			c->buckets[k] = c->buckets[k - 1];
		}
		stems[k] = n;
		c->buckets[k] = b;
	}
}

static void find_cellars(struct mixing *x)
{
	x->cellars = ARENA_ARRAY(x->a, x->p.nrooms + 1, struct cellar);
	for (size_t i = 0; i < x->p.nrooms; i++) {
		const struct room *room = &x->p.rooms[i];
		struct cellar *c = &x->cellars[i];
		uint32_t only;
		c->buckets = ARENA_ARRAY(x->a, x->p.nbuckets + 1, uint32_t);
		for (uint32_t b = 0; b < x->p.nbuckets; b++)
			if (x->p.buckets[b].room == i)
				c->buckets[c->nbuckets++] = b;
		c->simple = adds_up(x, room, c, &only);
		c->usable = room->usable;
		find_pools(x, room, c);
		sort_pools(x, c);
		sort_buckets(x, c);
		c->fits = ARENA_ARRAY(x->a, c->nbuckets * c->npools + 1, unsigned char);
		for (size_t b = 0; b < c->nbuckets; b++)
			for (size_t k = 0; k < c->npools; k++)
				c->fits[b * c->npools + k] =
				    x->p.buckets[c->buckets[b]].fits[c->pools[k].lead];
	}
}

/* ---- all of it ---- */

int mix_build(struct mixing *x, const struct extra *extra, double more_hours, bool elastic)
{
	struct reach_options reach = { .no_buying = x->options->no_buying,
				       .ignore_orders = x->options->ignore_orders };
	reach_shed_open(&x->shed, x->farm, x->stock, &reach, x->a, x->remarks, x->diag);
	x->finished = x->shed.finished;
	x->endless = ARENA_ARRAY(x->a, x->prices->n + 1, uint32_t);
	if (elastic)
		x->stalls = ARENA_ARRAY(x->a, 1, struct stall);
	else
		find_sales(x);
	if (lay_out(x, extra, elastic) < 0)
		return -1;
	drop_dominated(x);
	find_hours(x, more_hours);
	find_works(x);
	if (find_shelves(x) < 0)
		return -1;
	size_t n = 0;
	for (size_t i = 0; i < x->nsales; i++) {
		bound_sale(x, &x->sales[i]);
		set_gains(x, &x->sales[i]);
	}
	for (size_t i = 0; i < x->p.nmakers; i++)
		x->works[i].nsales = 0;
	for (size_t i = 0; i < x->nsales; i++) {
		if (x->sales[i].upto <= 0)
			continue;
		x->sales[n] = x->sales[i];
		struct labour *w = &x->works[x->sales[n].maker];
		w->sales[w->nsales++] = n++;
	}
	x->nsales = n;
	order_money(x);
	find_cellars(x);
	return 0;
}
