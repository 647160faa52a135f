/* mix_solve.c - a mix written down for solve/: sales, makers, parts, supplies, hours. */
#include "reckon/mix_emit.h"

#include <math.h>
#include <time.h>

#include "solve/solve.h"

enum { ROOT_ROUNDS = 5, LARGE_ROUNDS = 10 };

/* ---- rows ---- */

int emit_column(struct emit *e, double lo, double hi, double gain, bool whole)
{
	int c = solve_column(&e->m, lo, hi < lo ? lo : hi, gain, whole);
	if ((size_t)c >= e->cap_cols) {
		size_t cap = e->cap_cols ? 2 * e->cap_cols : 256;
		e->sum = mem_grow(e->sum, cap, sizeof *e->sum);
		e->in = mem_grow(e->in, cap, sizeof *e->in);
		e->touched = mem_grow(e->touched, cap, sizeof *e->touched);
		memset(e->in + e->cap_cols, 0, cap - e->cap_cols);
		e->cap_cols = cap;
	}
	return c;
}

void emit_add(struct emit *e, int col, double by)
{
	if (!e->in[col]) {
		e->in[col] = 1;
		e->sum[col] = 0;
		e->touched[e->ntouched++] = col;
	}
	e->sum[col] += by;
}

void emit_term(struct emit *e, const struct term *t, double by)
{
	e->constant += by * (double)t->base;
	if (t->col >= 0)
		emit_add(e, t->col, by);
}

void emit_row(struct emit *e, double lo, double hi)
{
	double k = e->constant;
	int row = e->ntouched ? solve_row(&e->m, lo <= -SOLVE_INF ? lo : lo - k,
					  hi >= SOLVE_INF ? hi : hi - k)
			      : -1;
	for (size_t i = 0; i < e->ntouched; i++) {
		solve_entry(&e->m, row, e->touched[i], e->sum[e->touched[i]]);
		e->in[e->touched[i]] = 0;
	}
	if (row < 0 && (k < lo - 1e-9 || k > hi + 1e-9)) { /* nothing to choose, and it fails */
		int none = emit_column(e, 0, 0, 0, false);
		solve_entry(&e->m, solve_row(&e->m, 1, 1), none, 1);
	}
	e->ntouched = 0;
	e->constant = 0;
}

static void gain(struct emit *e, const struct term *t, double by)
{
	if (t->col >= 0 && !e->elastic && !e->count_orders)
		e->m.cols[t->col].gain += by;
}

double emit_money(const struct emit *e, double money)
{
	return e->elastic || e->count_orders ? 0 : money;
}

/* ---- sales and makers ---- */

static struct mix_range range_of(const struct emit *e, size_t sale)
{
	const struct sale *s = &e->x->sales[sale];
	struct mix_range r = { 0, e->gone && s->stall != NONE ? sale_most(s, e->gone[s->stall])
							      : s->upto };
	if (e->count_orders || e->elastic)
		r.hi = 0;
	if (e->ranges) {
		const struct mix_range *narrow = &e->ranges->sales[sale];
		r.hi = narrow->hi < r.hi ? narrow->hi : r.hi;
		r.lo = narrow->lo < r.hi ? narrow->lo : r.hi;
	}
	return r;
}

/* The steps of a curve, each no wider than on so many days, and their sum. */
static void emit_curve(struct emit *e, const struct sale *s, int n)
{
	int first = (int)e->m.ncols, last = first;
	/* No step need be wider than what the stock allows on all days. */
	int64_t sure = plenty_times(s->upto, s->parts) < s->likely ? s->upto * s->parts : s->likely;
	for (size_t k = s->likely > 0 ? 0 : 1; k < s->nsteps; k++)
		last = emit_column(e, 0, k == 0 ? (double)sure : 1,
				   emit_money(e, money_of((wide)s->gain[k] * s->parts)), false);
	if ((size_t)first == e->m.ncols)
		return;
	for (int c = first; c <= last; c++) {
		if (s->stall == NONE)
			continue;
		emit_add(e, c, (double)s->parts);
		emit_add(e, e->days[s->stall], -e->m.cols[c].hi);
		emit_row(e, -SOLVE_INF, 0);
		e->m.cols[c].hi += e->price_days;
	}
	for (int c = first; c <= last; c++)
		emit_add(e, c, 1);
	emit_add(e, n, -1);
	emit_row(e, 0, 0);
}

/* The same when the days are known: what the next whole piece brings, alike ones in one
 * column.  Between whole pieces the season's narrow steps promise more than there is. */
static void emit_whole_curve(struct emit *e, const struct sale *s, int n, struct mix_range r)
{
	int64_t days = s->stall == NONE ? 1 : e->gone[s->stall];
	if (r.hi == 0)
		return;
	int64_t sure = s->likely * days / s->parts;
	for (int64_t k = 0, next; k < r.hi; k = next) {
		nano from = sale_value(s, k, days), by = sale_value(s, k + 1, days) - from;
		next = k == 0 && sure > 1 ? (sure < r.hi ? sure : r.hi) : k + 1;
		for (; next < r.hi && (next < r.lo || sale_value(s, next + 1, days) -
									  sale_value(s, next, days) ==
								  by);
		     next++)
			;
		double width = (double)(next - k);
		double each = money_of(sale_value(s, next, days) - from) / width;
		if (next == r.hi && k == 0) {
			e->m.cols[n].gain = emit_money(e, each);
			return;
		}
		emit_add(e,
			 emit_column(e, next <= r.lo ? width : 0, width, emit_money(e, each), false),
			 1);
	}
	emit_add(e, n, -1);
	emit_row(e, 0, 0);
}

static void emit_sales(struct emit *e)
{
	const struct mixing *x = e->x;
	for (size_t i = 0; i < x->nstalls; i++)
		e->days[i] = emit_column(e, e->gone ? (double)e->gone[i] : 0,
					 (double)(e->gone ? e->gone[i] : x->stalls[i].days),
					 emit_money(e, -money_of(x->stalls[i].cost)), true);
	for (size_t i = 0; i < x->nsales; i++) {
		const struct sale *s = &x->sales[i];
		struct mix_range r = range_of(e, i);
		e->n[i] = emit_column(e, (double)r.lo, (double)r.hi, 0, true);
		e->m.cols[e->n[i]].hi += e->price_days && s->stall != NONE;
		if (s->stall != NONE && !e->gone)
			emit_curve(e, s, e->n[i]);
		else
			emit_whole_curve(e, s, e->n[i], r);
		e->brings[i] = (struct bringing){ e->n[i], (int)e->m.ncols };
	}
}

/* Finished pieces are sold before others are made. */
static void emit_piece(struct emit *e, size_t index)
{
	const struct mixing *x = e->x;
	const struct maker *m = &x->p.makers[index];
	const struct labour *w = &x->works[index];
	struct term *t = &e->makers[index];
	*t = (struct term){ m->fixed, m->fixed, -1 };
	if (e->count_orders) {
		*t = (struct term){ 0, m->fixed, emit_column(e, 0, (double)m->fixed, 1, true) };
		return;
	}
	if (w->nsales == 0 || e->elastic)
		return;
	int64_t finished = x->finished[m->item.index], most = 0;
	for (size_t i = 0; i < w->nsales; i++)
		most = plenty_add(most, (int64_t)e->m.cols[e->n[w->sales[i]]].hi);
	t->hi = m->fixed + most;
	if (finished == 0 && w->nsales == 1) {
		t->col = e->n[w->sales[0]];
		return;
	}
	if (t->hi > m->cap && m->cap >= m->fixed)
		t->hi = m->cap;
	t->col = emit_column(e, 0, (double)(t->hi - m->fixed), 0, false);
	emit_add(e, t->col, 1);
	for (size_t i = 0; i < w->nsales; i++)
		emit_add(e, e->n[w->sales[i]], -1);
	if (finished > 0)
		emit_row(e, -(double)finished, SOLVE_INF);
	else
		emit_row(e, 0, 0);
}

static int64_t part_most(const struct emit *e, size_t index)
{
	const struct program *p = &e->x->p;
	const struct maker *m = &p->makers[index];
	const struct batch_of *b = &p->batches[p->batch_of[m->item.index]];
	int64_t gross = 0;
	for (size_t i = 0; i < p->nvariants; i++) {
		const struct variant *v = &p->variants[i];
		if (v->kind == KIND_PART && &p->batches[v->where] == b)
			gross = plenty_add(gross, plenty_times(e->variants[i].hi, v->scaled));
	}
	int64_t most = gross / b->makes + (gross % b->makes != 0);
	return most < m->cap ? most : m->cap;
}

static void emit_need(struct emit *e, size_t index, size_t first, size_t n)
{
	const struct program *p = &e->x->p;
	const struct term *made = &e->makers[index];
	size_t usable = 0, only = first;
	for (size_t k = first; k < first + n; k++)
		if (p->variants[k].cap > 0) {
			usable++;
			only = k;
		}
	for (size_t k = first; k < first + n; k++) {
		int64_t cap = p->variants[k].cap, hi = cap < made->hi ? cap : made->hi;
		if (n == 1 || (usable == 1 && k == only)) {
			e->variants[k] = *made;
			continue;
		}
		int64_t lo = 0;
		if (e->ranges) {
			const struct mix_range *r = &e->ranges->variants[k];
			hi = r->hi < hi ? r->hi : hi;
			lo = r->lo < hi ? r->lo : hi;
		}
		e->variants[k] = (struct term){ 0, hi, -1 };
		if (cap == 0)
			continue;
		if (usable > 1)
			e->variants[k].col = emit_column(e, (double)lo, (double)hi, 0, true);
		if (e->variants[k].col >= 0)
			emit_add(e, e->variants[k].col, 1);
	}
	if (n > 1 && usable != 1) {
		emit_term(e, made, -1);
		emit_row(e, 0, 0);
	}
}

static void emit_settings(struct emit *e, size_t index)
{
	const struct labour *w = &e->x->works[index];
	const struct term *made = &e->makers[index];
	size_t before = e->nsettings;
	for (size_t i = 0; i < w->nsettings; i++) {
		const struct setting *s = &w->settings[i];
		if (s->cost == 0 && (s->ms == 0 || !w->timed))
			continue;
		int z = emit_column(e, (double)((made->base + s->k - 1) / s->k),
				    (double)((made->hi + s->k - 1) / s->k),
				    emit_money(e, -money_of(s->cost)), made->col >= 0);
		if (made->col < 0)
			e->m.cols[z].hi = e->m.cols[z].lo;
		emit_add(e, z, (double)s->k);
		emit_term(e, made, -1);
		emit_row(e, 0, SOLVE_INF);
		e->setting_cols[e->nsettings++] = (struct setting_col){ index, i, z };
	}
	emit_counts(e, index, before); /* while the gains are still of the sales alone */
	gain(e, made, -money_of(w->cost));
}

static void emit_makers(struct emit *e)
{
	struct program *p = &e->x->p;
	for (size_t i = 0; i < p->nmakers; i++) {
		const struct maker *m = &p->makers[i];
		if (m->item.kind == KIND_PIECE) {
			emit_piece(e, i);
		} else {
			int64_t most = part_most(e, i), least = 0;
			if (e->ranges) {
				const struct mix_range *r = &e->ranges->makers[i];
				most = r->hi < most ? r->hi : most;
				least = r->lo < most ? r->lo : most;
			}
			e->makers[i] = (struct term){
				0, most, emit_column(e, (double)least, (double)most, 0, true)
			};
		}
		if (m->impossible) {
			emit_term(e, &e->makers[i], 1);
			emit_row(e, -SOLVE_INF, 0);
		}
		for (size_t k = m->first, next; k < m->first + m->nvariants; k = next) {
			for (next = k; next < m->first + m->nvariants &&
				       p->variants[next].need == p->variants[k].need;)
				next++;
			emit_need(e, i, k, next - k);
		}
		emit_settings(e, i);
	}
}

/* ---- parts, supplies, hours ---- */

/* What the variants take of the part from one day to another. */
static void row_parts(struct emit *e, size_t index, uint32_t from, uint32_t to)
{
	const struct program *p = &e->x->p;
	for (size_t i = 0; i < p->nvariants; i++) {
		const struct variant *v = &p->variants[i];
		uint32_t d = p->makers[v->maker].day;
		if (v->kind == KIND_PART && v->where == index && d >= from && d <= to)
			emit_term(e, &e->variants[i], -(double)v->scaled);
	}
}

static void emit_batch(struct emit *e, size_t index)
{
	const struct program *p = &e->x->p;
	const struct batch_of *b = &p->batches[index];
	for (uint32_t d = 0; d < p->q->ndays; d++) {
		if (b->makers[d] == NONE)
			continue;
		for (uint32_t k = 0; k <= d; k++)
			if (b->makers[k] != NONE)
				emit_term(e, &e->makers[b->makers[k]], (double)b->makes);
		row_parts(e, index, 0, d);
		emit_row(e, -(double)b->stock, SOLVE_INF);
		if (b->ndays == 1)
			continue;
		emit_term(e, &e->makers[b->makers[d]], (double)b->makes);
		row_parts(e, index, d, d);
		emit_row(e, -SOLVE_INF, (double)(b->makes - 1));
	}
}

static void emit_shelf(struct emit *e, size_t index)
{
	const struct mixing *x = e->x;
	const struct shelf *s = &x->shelves[index];
	int64_t most = 0;
	if (s->endless)
		return;
	for (size_t k = 0; k < s->nuses; k++)
		most = plenty_add(
		    most, plenty_times(e->variants[s->uses[k]].hi, x->shelf_each[s->uses[k]]));
	if (most <= s->on_hand)
		return;
	double price = money_of(s->price);
	if (s->buy && (e->elastic || e->count_orders))
		return;
	if (s->buy && s->on_hand == 0) {
		for (size_t k = 0; k < s->nuses; k++)
			gain(e, &e->variants[s->uses[k]],
			     -price * (double)x->shelf_each[s->uses[k]]);
		return;
	}
	for (size_t k = 0; k < s->nuses; k++)
		emit_term(e, &e->variants[s->uses[k]], (double)x->shelf_each[s->uses[k]]);
	if (s->buy)
		emit_add(e, emit_column(e, 0, (double)(most - s->on_hand), -price, false), -1);
	else if (e->elastic) {
		e->short_shelf[index] =
		    emit_column(e, 0, (double)most, -1.0 / (double)s->scale, false);
		emit_add(e, e->short_shelf[index], -1);
	}
	emit_row(e, -SOLVE_INF, (double)s->on_hand);
}

static void emit_hours(struct emit *e)
{
	const struct mixing *x = e->x;
	if (!x->has_hours)
		return;
	for (size_t i = 0; i < x->p.nmakers; i++) {
		const struct labour *w = &x->works[i];
		const struct maker *m = &x->p.makers[i];
		if (!w->timed)
			continue;
		emit_term(e, &e->makers[i], (double)w->ms / 1000);
		if (e->count_orders && m->fixed > 0)
			emit_term(e, &e->makers[i], (double)w->packing / (double)m->fixed / 1000);
		else
			e->constant += (double)w->packing / 1000;
	}
	for (size_t i = 0; i < e->nsettings; i++) {
		const struct setting_col *z = &e->setting_cols[i];
		const struct labour *w = &x->works[z->maker];
		if (w->timed)
			emit_add(e, z->col, (double)w->settings[z->setting].ms / 1000);
	}
	for (size_t i = 0; i < x->nsales; i++)
		if (x->works[x->sales[i].maker].timed)
			emit_add(e, e->n[i], (double)x->sales[i].ms / 1000);
	for (size_t i = 0; i < x->nstalls; i++)
		if (x->stalls[i].ms > 0)
			emit_add(e, e->days[i], (double)x->stalls[i].ms / 1000);
	if (e->elastic) {
		e->short_hours = emit_column(e, 0, SOLVE_INF, -1.0 / 3600, false);
		emit_add(e, e->short_hours, -1);
	}
	emit_row(e, -SOLVE_INF, (double)x->hours / 1000);
}

static int *columns(struct arena *a, size_t n)
{
	int *c = ARENA_ARRAY(a, n + 1, int);
	for (size_t i = 0; i < n; i++)
		c[i] = -1;
	return c;
}

static void emit_start(struct emit *e, struct mixing *x)
{
	const struct program *p = &x->p;
	struct arena *a = x->a;
	size_t nsettings = 0;
	e->x = x;
	solve_init(&e->m);
	e->n = columns(a, x->nsales);
	e->days = columns(a, x->nstalls);
	e->brings = ARENA_ARRAY(a, x->nsales + 1, struct bringing);
	e->makers = ARENA_ARRAY(a, p->nmakers + 1, struct term);
	e->counts = ARENA_ARRAY(a, p->nmakers + 1, struct counts);
	e->counted = ARENA_ARRAY(a, p->nvariants + 1, unsigned char);
	e->variants = ARENA_ARRAY(a, p->nvariants + 1, struct term);
	e->draws = ARENA_ARRAY(a, p->nvariants + 1, struct term);
	e->draw_by = ARENA_ARRAY(a, p->nvariants + 1, double);
	e->short_bucket = columns(a, p->nbuckets);
	e->short_shelf = columns(a, x->nshelves);
	e->short_hours = -1;
	e->slack = ARENA_ARRAY(a, p->nrooms + 1, unsigned char);
	e->wanted = ARENA_ARRAY(a, p->nvariants + 1, size_t);
	e->wanted_first = ARENA_ARRAY(a, p->nbuckets + 1, size_t);
	e->wanted_n = ARENA_ARRAY(a, p->nbuckets + 1, size_t);
	for (size_t i = 0; i < p->nmakers; i++)
		nsettings += x->works[i].nsettings;
	e->setting_cols = ARENA_ARRAY(a, nsettings + 1, struct setting_col);
}

static void emit_all(struct emit *e, struct mixing *x)
{
	emit_start(e, x);
	emit_sales(e);
	emit_makers(e);
	emit_wants(e);
	for (size_t i = 0; i < x->p.nrooms; i++)
		emit_cellar(e, i);
	for (size_t i = 0; i < x->p.nbatches; i++)
		emit_batch(e, i);
	for (size_t i = 0; i < x->nshelves; i++)
		emit_shelf(e, i);
	emit_hours(e);
}

static void emit_end(struct emit *e)
{
	solve_release(&e->m);
	mem_free(e->sum);
	mem_free(e->in);
	mem_free(e->touched);
	mem_free(e->cut);
}

/* ---- asking ---- */

double mix_clock(void)
{
	struct timespec t;
	clock_gettime(CLOCK_MONOTONIC, &t);
	return (double)t.tv_sec + 1e-9 * (double)t.tv_nsec;
}

int mix_seconds_left(const struct mixing *x)
{
	return x->until > 0 ? (int)fmax(1, ceil(x->until - mix_clock())) : x->options->seconds;
}

static double term_at(const struct term *t, const double *x)
{
	return (double)t->base + (t->col >= 0 ? x[t->col] : 0);
}

static double *values(struct arena *a, const int *cols, size_t n, const double *x)
{
	double *v = ARENA_ARRAY(a, n + 1, double);
	for (size_t i = 0; i < n; i++)
		v[i] = cols[i] >= 0 ? x[cols[i]] : 0;
	return v;
}

static void take_answer(struct emit *e, const double *at, struct mix_solved *out)
{
	const struct program *p = &e->x->p;
	struct arena *a = e->x->a;
	out->n = values(a, e->n, e->x->nsales, at);
	out->days = values(a, e->days, e->x->nstalls, at);
	out->short_bucket = values(a, e->short_bucket, p->nbuckets, at);
	out->short_shelf = values(a, e->short_shelf, e->x->nshelves, at);
	out->short_hours = e->short_hours >= 0 ? at[e->short_hours] : 0;
	out->made = ARENA_ARRAY(a, p->nmakers + 1, double);
	out->got = ARENA_ARRAY(a, p->nvariants + 1, double);
	for (size_t i = 0; i < p->nmakers; i++)
		out->made[i] = term_at(&e->makers[i], at);
	for (size_t i = 0; i < p->nvariants; i++)
		out->got[i] = term_at(&e->variants[i], at);
}

static void take_wishes(struct emit *e, const struct solution *s, const struct mix_solved *out,
			struct mix_wishes *w)
{
	for (w->n = 0; out->any && w->n < s->nwishes && w->n < MIX_WISHES; w->n++) {
		w->at[w->n] = *out;
		take_answer(e, s->wishes + w->n * e->m.ncols, &w->at[w->n]);
	}
}

static void pass_progress(void *context, double bound, long nodes)
{
	const struct mixing *x = context;
	struct mix_progress now = { x->known, bound + money_of(x->orders), nodes };
	x->options->progress(x->options->context, &now);
}

/* Money constants: what the orders sell for, and their own work and settings, which the
 * program holds as constants of its rows and columns. */
static double constant_of(const struct emit *e)
{
	const struct mixing *x = e->x;
	wide sum = x->orders;
	for (size_t i = 0; i < x->p.nmakers; i++)
		sum -= (wide)e->makers[i].base * x->works[i].cost;
	double money = money_of(sum);
	for (size_t i = 0; i < x->nshelves; i++) {
		const struct shelf *s = &x->shelves[i];
		for (size_t k = 0; k < s->nuses && s->buy && s->on_hand == 0; k++)
			money -= money_of((wide)s->price * x->shelf_each[s->uses[k]] *
					  e->variants[s->uses[k]].base);
	}
	return money;
}

/* The solver's gap is of what it sees, which is less by the constant. */
static double gap_without(const struct mix_solving *how, double constant)
{
	double seen = how->known - constant;
	if (!how->has_known || seen <= 0)
		return how->gap;
	double by = constant / seen;
	return fmin(0.5, how->gap * fmax(0, 1 + (by > 0 ? 0.98 * by : by)));
}

/* Nothing that is worth less is looked for: branches end where they fall below. */
static void emit_cutoff(struct emit *e, double least)
{
	for (size_t j = 0; j < e->m.ncols; j++)
		if (e->m.cols[j].gain != 0)
			emit_add(e, (int)j, e->m.cols[j].gain);
	emit_row(e, least, SOLVE_INF);
}

/* Of what is worth `least` the one that the tie is broken for. */
static void emit_tie(struct emit *e, const struct mix_tie *t, double least)
{
	emit_cutoff(e, least);
	for (size_t j = 0; j < e->m.ncols; j++)
		e->m.cols[j].gain = 0;
	for (size_t i = 0; i < e->ncut && t->by != TIE_CUT && t->cut_most >= 0; i++)
		emit_add(e, e->cut[i], 1);
	if (e->ntouched)
		emit_row(e, -SOLVE_INF, (double)t->cut_most);
	for (size_t i = 0; i < e->ncut && t->by == TIE_CUT; i++)
		e->m.cols[e->cut[i]].gain = -1;
	if (t->by == TIE_SALE)
		e->m.cols[e->n[t->sale]].gain = 1;
	for (size_t i = 0; i < e->x->p.nvariants && t->by == TIE_WAYS; i++)
		if (e->variants[i].col >= 0)
			e->m.cols[e->variants[i].col].gain -= e->x->p.variants[i].option;
}

void mix_program(struct mixing *x, const struct mix_solving *how, struct mix_solved *out)
{
	bool large = x->nsales > MIX_LARGE;
	struct emit e = { .stems = how->stems,
			  .elastic = how->elastic,
			  .count_orders = how->count_orders,
			  .gone = how->days,
			  .ranges = how->ranges,
			  .ties = how->tie != NULL,
			  .whole_counts = how->root > 0,
			  .price_days = how->relaxed && !how->days };
	struct solution s;
	*out = (struct mix_solved){ .proven = (double)INFINITY };
	emit_all(&e, x);
	double constant = how->elastic || how->count_orders ? 0 : constant_of(&e);
	struct solve_options o = { .gap = gap_without(how, constant),
				   .nodes = how->nodes,
				   .relaxed = how->relaxed,
				   .primal = large,
				   .seconds = how->anyway ? 0 : mix_seconds_left(x),
				   .stop = how->anyway ? NULL : x->options->stop,
				   .has_known = how->has_known,
				   .known = how->known - constant };
	if (how->tie) {
		emit_tie(&e, how->tie, how->at_least - constant);
		constant = 0;
	} else if (x->options->progress) {
		o.progress = pass_progress;
		o.context = x;
	}
	if (how->at_least > -SOLVE_INF && how->has_known && !how->tie)
		emit_cutoff(&e, how->at_least - constant);
	if (how->root)
		solve_root(&e.m, &o,
			   &(struct solve_way){ large ? LARGE_ROUNDS : ROOT_ROUNDS,
						x->nsales ? (size_t)e.n[x->nsales - 1] + 1 : 0,
						how->root, how->every, how->times },
			   &s);
	else
		solve_run(&e.m, &o, &s);
	out->outcome = s.outcome;
	out->any = s.outcome == SOLVE_OPTIMAL || s.outcome == SOLVE_LIMIT;
	out->proven = s.proven + constant;
	out->value = s.value + constant;
	out->nodes = s.nodes;
	out->columns = e.m.ncols;
	out->rows = e.m.nrows;
	out->draws = e.ndraws;
	out->cuts = e.ncut;
	if (out->any)
		take_answer(&e, s.x, out);
	if (how->wishes)
		take_wishes(&e, &s, out, how->wishes);
	if (out->any && s.price)
		out->day_price = values(x->a, e.days, x->nstalls, s.price);
	solution_release(&s);
	emit_end(&e);
}

void mix_ranges_open(struct mixing *x, struct mix_ranges *r)
{
	const struct program *p = &x->p;
	r->sales = ARENA_ARRAY(x->a, x->nsales + 1, struct mix_range);
	r->makers = ARENA_ARRAY(x->a, p->nmakers + 1, struct mix_range);
	r->variants = ARENA_ARRAY(x->a, p->nvariants + 1, struct mix_range);
	for (size_t i = 0; i < x->nsales; i++)
		r->sales[i].hi = PLENTY;
	for (size_t i = 0; i < p->nmakers; i++)
		r->makers[i].hi = PLENTY;
	for (size_t i = 0; i < p->nvariants; i++)
		r->variants[i].hi = PLENTY;
}

static void take_range(const struct emit *e, int col, struct mix_range *r)
{
	if (col < 0 || !e->m.cols[col].whole)
		return;
	r->lo = (int64_t)e->m.cols[col].lo;
	r->hi = (int64_t)e->m.cols[col].hi;
}

bool mix_narrow(struct mixing *x, const struct mix_solving *how, double least,
		struct mix_ranges *r, double *bound)
{
	struct emit e = { .stems = how->stems, .gone = how->days, .ranges = r };
	struct solve_options o = { .seconds = mix_seconds_left(x), .stop = x->options->stop };
	emit_all(&e, x);
	bool any = solve_narrow(&e.m, least - constant_of(&e), &o, bound);
	*bound += constant_of(&e);
	for (size_t i = 0; i < x->nsales; i++)
		take_range(&e, e.n[i], &r->sales[i]);
	for (size_t i = 0; i < x->p.nmakers; i++)
		if (x->p.makers[i].item.kind == KIND_PART)
			take_range(&e, e.makers[i].col, &r->makers[i]);
	for (size_t i = 0; i < x->p.nvariants; i++)
		if (e.variants[i].col >= 0 && e.variants[i].col != e.makers[x->p.variants[i].maker].col)
			take_range(&e, e.variants[i].col, &r->variants[i]);
	emit_end(&e);
	return any;
}

static bool hours_suffice(const struct emit *e, int64_t hours)
{
	const struct mixing *x = e->x;
	int64_t most = 0;
	for (size_t i = 0; i < x->p.nmakers; i++) {
		const struct labour *w = &x->works[i];
		if (!w->timed)
			continue;
		most = plenty_add(most, plenty_times(e->makers[i].hi, w->ms) + w->packing);
		for (size_t k = 0; k < w->nsettings; k++) {
			const struct setting *s = &w->settings[k];
			most = plenty_add(most, plenty_times((e->makers[i].hi + s->k - 1) / s->k, s->ms));
		}
	}
	for (size_t i = 0; i < x->nsales; i++)
		if (x->works[x->sales[i].maker].timed)
			most = plenty_add(most, (int64_t)e->m.cols[e->n[i]].hi * x->sales[i].ms);
	for (size_t i = 0; i < x->nstalls; i++)
		most = plenty_add(most, x->stalls[i].ms * (e->gone ? e->gone[i] : x->stalls[i].days));
	return most <= hours;
}

bool mix_plenty(struct mixing *x, const struct mix_solving *how, uint32_t crop,
		const struct mixing *base)
{
	struct emit e = { .stems = how->stems, .gone = how->days, .ranges = how->ranges };
	emit_all(&e, x);
	uint32_t room = crop == NONE ? NONE : x->p.room_of[crop];
	bool plenty = crop == NONE   ? hours_suffice(&e, base->hours)
		      : room == NONE ? true
				     : !x->cellars[room].carries && emit_plenty(&e, room, base);
	emit_end(&e);
	return plenty;
}

bool mix_room(struct mixing *x, size_t room, const int64_t *demand, nano *carry, int64_t *taken)
{
	struct emit e = { .stems = STEMS_EXACT, .demand = demand };
	const struct cellar *c = &x->cellars[room];
	struct solution s;
	emit_start(&e, x);
	emit_aside(&e, room);
	solve_run(&e.m, &(struct solve_options){ .nodes = MIX_NODES, .stop = x->options->stop },
		  &s);
	bool ok = s.outcome == SOLVE_OPTIMAL || s.outcome == SOLVE_LIMIT;
	*carry = 0;
	for (size_t k = 0; k < c->npools && ok; k++) {
		int64_t used = 0;
		for (size_t b = 0; b < c->nbuckets; b++)
			if (e.aside[b * c->npools + k] >= 0)
				used += llround(s.x[e.aside[b * c->npools + k]]);
		*carry += used * c->pools[k].carry;
		if (taken)
			taken[k] = used;
	}
	solution_release(&s);
	emit_end(&e);
	return ok;
}
