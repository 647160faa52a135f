/* sway.c - one figure after the other set to both of its ends, and put back. */
#include "reckon/sway.h"

#include <math.h>
#include <stdlib.h>

#include "reckon/measured.h"

#define TENTH 0.1
#define NOTHING 1e-9 /* a change below this, in money or of a margin, is rounding */

/* ---- the season ---- */

static double less_overhead(const struct make_cost *m)
{
	return m->total - m->overhead;
}

/* Of pieces brought to an outlet: `sold` of `count` are expected to sell at `at`. */
static double sales(const struct price_at *at, const struct make_cost *made, double count,
		    double sold, double kept)
{
	double each = kept > 0 ? at->contribution + less_overhead(made) / kept : 0;
	return sold * each - count * less_overhead(made);
}

static const struct price_line *line_at(const struct prices *p, uint32_t piece, uint32_t outlet)
{
	for (size_t i = 0; i < p->n; i++) {
		if (p->lines[i].piece == piece && p->lines[i].outlet == outlet)
			return &p->lines[i];
	}
	return NULL;
}

static double order_brings(const struct prices *prices, const struct costs *costs,
			   const struct order *o)
{
	const struct make_cost *made = &costs->pieces[o->piece];
	const struct price_line *l = o->outlet != NONE ? line_at(prices, o->piece, o->outlet) : NULL;
	if (!l) /* sold at no outlet: no fees are known */
		return isnan(o->price) ? 0 : o->count * (o->price - less_overhead(made));
	struct price_at at = l->at;
	if (!isnan(o->price))
		price_judge(&at, &l->in, o->price);
	else if (!l->asked)
		return 0;
	return o->count * at.contribution;
}

static double stall_day(const struct outlet *o, double wage)
{
	return o->stall.v + o->travel_km.v * o->travel_rate.v + o->stall_hours.v * wage;
}

double sway_season(const struct farm *farm, const struct prices *prices, const struct costs *costs,
		   const struct mix *mix, const double *spoils, day on)
{
	double sum = 0;
	bool any = false;
	for (size_t i = 0; mix && i < mix->nlines; i++) {
		const struct mix_line *m = &mix->lines[i];
		const struct price_line *l = line_at(prices, m->piece, m->outlet);
		double kept = 1 - l->in.spoils, was = 1 - spoils[m->outlet];
		double sold = was > 0 ? m->sold * kept / was : 0;
		sum += sales(&l->at, &costs->pieces[m->piece], (double)m->count, sold, kept);
		any = true;
	}
	for (size_t i = 0; i < farm->norders; i++) {
		if (!stock_order_open(&farm->orders[i], on))
			continue;
		sum += order_brings(prices, costs, &farm->orders[i]);
		any = true;
	}
	for (size_t i = 0; mix && i < mix->nstalls; i++)
		sum -= (double)mix->stalls[i].days *
		       stall_day(&farm->outlets[mix->stalls[i].outlet], costs->wage);
	return any ? sum : NAN;
}

/* ---- one trial ---- */

struct trial {
	struct farm *farm; /* its figures may be changed */
	const struct reckoning *base;
	const struct mix *mix;
	double *spoils; /* per outlet, today */
};
struct outcome {
	double season;
	const struct prices *prices;
};

/* Loss rates in use, but for one that is set. */
static void set_rate(struct rates *r, const struct farm *farm, const struct fig *fig,
		     struct arena *a)
{
	struct rate_used(*crops)[STAGE_COUNT] =
	    arena_alloc(a, farm->ncrops + 1, sizeof *crops);
	for (size_t i = 0; i < farm->ncrops; i++) {
		memcpy(crops[i], r->crops[i], sizeof crops[i]);
		for (int s = 0; s < STAGE_COUNT; s++) {
			if (fig == &farm->crops[i].loss[s])
				crops[i][s] = (struct rate_used){ fig->v, fig->q, RATE_SUPPOSED };
		}
	}
	r->crops = crops;
}

static struct outcome try_out(const struct trial *t, const struct fig *fig, struct arena *a)
{
	struct remarks said;
	struct stock *stock = ARENA_NEW(a, struct stock);
	struct stemcosts *stems = ARENA_NEW(a, struct stemcosts);
	struct costs *costs = ARENA_NEW(a, struct costs);
	struct prices *prices = ARENA_NEW(a, struct prices);
	struct rates *rates = ARENA_NEW(a, struct rates);
	remarks_init(&said, a);
	*rates = t->base->rates;
	set_rate(rates, t->farm, fig, a);
	stock_take(stock, t->farm, t->base->on, t->base->stock.with_past, rates, a, &said);
	stemcosts_reckon(stems, t->farm, stock, a, &said);
	costs_reckon(costs, t->farm, stems, a, &said);
	prices_reckon(prices, t->farm, costs, a, &said);
	return (struct outcome){ sway_season(t->farm, prices, costs, t->mix, t->spoils, t->base->on),
				 prices };
}

static struct outcome try_value(const struct trial *t, struct fig *fig, double v, struct arena *a)
{
	enum { FINE = 1000000000 };
	struct fig was = *fig;
	fig->v = v;
	if (fabs(v) > 1e6 || !rat_make(&fig->q, llround(v * FINE), FINE))
		rat_make(&fig->q, llround(v), 1);
	struct outcome out = try_out(t, fig, a);
	*fig = was;
	return out;
}

/* ---- the ends of a figure ---- */

static const struct interval *recorded(const struct rates *r, const struct farm *farm,
				       const struct fig *fig)
{
	for (size_t i = 0; r->measures && !r->assumed && i < farm->ncrops; i++) {
		for (int s = 0; s < STAGE_COUNT; s++) {
			const struct stage_measured *m = &r->measures->crops[i].stages[s];
			if (fig == &farm->crops[i].loss[s])
				return m->m.lots && isfinite(m->plan.i80.low) ? &m->plan.i80 : NULL;
		}
	}
	return NULL;
}

/* Counted whole: a batch of 5.4 there is not. */
static bool whole_kind(const struct figure_kind *k)
{
	return strcmp(k->id, "part.batch") == 0 || strcmp(k->id, "piece.batch") == 0;
}

static bool asked_kind(const struct figure_kind *k)
{
	return strcmp(k->id, "offer.price") == 0 || strcmp(k->id, "outlet.charges") == 0;
}

static double within(const struct figure_kind *k, double v)
{
	return v < k->low ? k->low : v > k->high ? k->high : v;
}

/* False: there is nothing to try. */
static bool ends(struct sway_item *item, const struct trial *t, const struct figure *f)
{
	const struct interval *i = recorded(&t->base->rates, t->farm, f->fig);
	*item = (struct sway_item){ .path = f->path,
				    .kind = f->kind,
				    .range = i ? SWAY_RECORDS : SWAY_TENTH,
				    .asked = asked_kind(f->kind),
				    .today = f->fig->v,
				    .low = f->fig->v * (1 - TENTH),
				    .high = f->fig->v * (1 + TENTH) };
	if (i) {
		item->low = i->low;
		item->high = i->high;
	} else if (whole_kind(f->kind)) {
		item->low = floor(item->low);
		item->high = ceil(item->high);
	}
	item->low = within(f->kind, item->low);
	item->high = within(f->kind, item->high);
	return item->high > item->low;
}

/* What is used today of a loss with records is the planning rate. */
static void in_use(struct sway_item *item, const struct trial *t, const struct fig *fig)
{
	for (size_t i = 0; i < t->farm->ncrops; i++) {
		for (int s = 0; s < STAGE_COUNT; s++) {
			if (fig == &t->farm->crops[i].loss[s])
				item->today = t->base->rates.crops[i][s].v;
		}
	}
}

/* ---- ranks ---- */

/* Keeps the largest: a move goes in before the first that is smaller. */
static void keep_move(struct sway_line *l, struct sway_move m, size_t keep)
{
	size_t at = l->n;
	double size = fabs(m.high - m.low);
	while (at > 0 && fabs(l->moves[at - 1].high - l->moves[at - 1].low) < size)
		at--;
	if (at >= keep)
		return;
	if (l->n < keep)
		l->n++;
	for (size_t i = l->n - 1; i > at; i--)
		l->moves[i] = l->moves[i - 1];
	l->moves[at] = m;
}

static void take_margins(struct sway *out, size_t item, const struct outcome *low,
			 const struct outcome *high, size_t keep, bool *moved)
{
	for (size_t i = 0; i < out->nlines; i++) {
		struct sway_line *l = &out->lines[i];
		struct sway_move m = { item, low->prices->lines[l->line].at.margin,
				       high->prices->lines[l->line].at.margin };
		if (!(fabs(m.high - m.low) > NOTHING))
			continue;
		*moved = true;
		keep_move(l, m, keep);
	}
}

static int larger(const void *a, const void *b)
{
	const struct sway_item *const *x = a, *const *y = b;
	if ((*x)->most > (*y)->most || (*x)->most < (*y)->most)
		return (*x)->most > (*y)->most ? -1 : 1;
	return *x < *y ? -1 : *x > *y;
}

/* Items by what they move; moves follow them. */
static void rank(struct sway *out, struct arena *a)
{
	const struct sway_item **order = ARENA_ARRAY(a, out->nitems + 1, const struct sway_item *);
	size_t *place = ARENA_ARRAY(a, out->nitems + 1, size_t);
	struct sway_item *sorted = ARENA_ARRAY(a, out->nitems + 1, struct sway_item);
	for (size_t i = 0; i < out->nitems; i++)
		order[i] = &out->items[i];
	qsort(order, out->nitems, sizeof(const struct sway_item *), larger);
	for (size_t i = 0; i < out->nitems; i++) {
		sorted[i] = *order[i];
		place[order[i] - out->items] = i;
	}
	for (size_t i = 0; i < out->nlines; i++) {
		for (size_t k = 0; k < out->lines[i].n; k++)
			out->lines[i].moves[k].item = place[out->lines[i].moves[k].item];
	}
	out->items = sorted;
}

static void open_lines(struct sway *out, const struct prices *prices, size_t keep, struct arena *a)
{
	out->lines = ARENA_ARRAY(a, prices->n + 1, struct sway_line);
	for (size_t i = 0; i < prices->n; i++) {
		if (prices->lines[i].asked)
			out->lines[out->nlines++] = (struct sway_line){
				i, prices->lines[i].at.margin, ARENA_ARRAY(a, keep + 1, struct sway_move), 0
			};
	}
}

static void try_figure(struct sway *out, const struct trial *t, const struct figure *f, size_t keep)
{
	struct sway_item *item = &out->items[out->nitems];
	struct arena scratch;
	bool moved = false;
	if (!f->fig->given || !ends(item, t, f)) {
		out->zero += f->fig->given && !(f->fig->v > 0);
		return;
	}
	in_use(item, t, f->fig);
	arena_init(&scratch);
	struct outcome low = try_value(t, f->fig, item->low, &scratch);
	struct outcome high = try_value(t, f->fig, item->high, &scratch);
	item->season_low = low.season;
	item->season_high = high.season;
	item->most = isfinite(high.season - low.season) ? fabs(high.season - low.season) : 0;
	take_margins(out, out->nitems, &low, &high, keep, &moved);
	if (moved || item->most > NOTHING)
		out->nitems++;
	else
		out->still++;
	arena_release(&scratch);
}

void sway_reckon(struct sway *out, struct farm *trial, const struct reckoning *base,
		 const struct mix *mix, size_t keep, struct arena *a)
{
	struct figure *figures;
	size_t n;
	struct trial t = { trial, base, mix, ARENA_ARRAY(a, trial->noutlets + 1, double) };
	*out = (struct sway){ 0 };
	for (size_t i = 0; i < trial->noutlets; i++)
		t.spoils[i] = trial->outlets[i].spoils.v;
	out->season =
	    sway_season(trial, &base->prices, &base->costs, mix, t.spoils, base->on);
	open_lines(out, &base->prices, keep, a);
	figures_list(trial, a, &figures, &n);
	out->items = ARENA_ARRAY(a, n + 1, struct sway_item);
	for (size_t i = 0; i < n; i++)
		try_figure(out, &t, &figures[i], keep);
	rank(out, a);
}
