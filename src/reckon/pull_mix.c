/* pull_mix.c - the pull list of a mix: its own makings and ways, nothing looked for. */
#include <math.h>

#include "reckon/mix_model.h"
#include "reckon/pull_in.h"

/* Pieces of the mix that open orders of that day cannot have. */
static int64_t short_of(const struct mix *mix, uint32_t piece, day on)
{
	int64_t n = 0;
	for (size_t i = 0; i < mix->nshorts; i++)
		if (mix->shorts[i].piece == piece && mix->shorts[i].due == on)
			n += mix->shorts[i].count;
	return n;
}

/* What the mix makes of each piece on each day, and how many of these are ordered. */
static void take_pieces(struct planning *t, const struct mix *mix)
{
	size_t n = mix->nmakings + 1;
	pull_days(t, NULL, 0);
	t->promises = ARENA_ARRAY(t->scratch, n, struct promise);
	t->listed = ARENA_ARRAY(t->scratch, n, bool);
	t->ordered = ARENA_ARRAY(t->scratch, n, int64_t);
	for (size_t i = 0; i < mix->nmakings; i++) {
		const struct mix_making *m = &mix->makings[i];
		if (m->item.kind != KIND_PIECE)
			continue;
		size_t k = pull_promise(t, m->item.index, pull_day(t, m->on));
		t->promises[k].count = m->makings;
		t->listed[k] = true;
	}
	for (size_t i = 0; i < t->shed.npromises; i++) {
		const struct promise *o = &t->shed.promises[i];
		for (size_t k = 0; k < t->npromises; k++)
			if (t->promises[k].piece == o->piece && t->promises[k].day == o->day)
				t->ordered[k] = o->count - short_of(mix, o->piece, t->days[o->day]);
	}
}

static bool made_here(const struct planning *t, const struct maker *m, struct item item, day on)
{
	return m->item.kind == item.kind && m->item.index == item.index && t->days[m->day] == on;
}

/* The plan is the mix's. */
static void take_plan(struct planning *t, const struct mix *mix)
{
	struct program *p = &t->p;
	for (size_t i = 0; i < p->nmakers; i++) {
		struct maker *m = &p->makers[i];
		for (size_t k = 0; k < mix->nmakings; k++)
			if (made_here(t, m, mix->makings[k].item, mix->makings[k].on))
				m->got = mix->makings[k].makings;
		for (size_t v = m->first; v < m->first + m->nvariants; v++)
			for (size_t k = 0; k < mix->nways; k++) {
				const struct mix_way *w = &mix->ways[k];
				struct variant *o = &p->variants[v];
				if (made_here(t, m, w->maker, w->on) && w->need == o->need &&
				    w->option == o->option && w->colour == o->colour)
					o->got = w->makings;
			}
	}
}

/* Every need of every making is met. */
static bool plan_is_whole(const struct program *p)
{
	for (size_t i = 0; i < p->nmakers; i++) {
		const struct maker *m = &p->makers[i];
		for (uint32_t need = 0; need < m->nneeds; need++) {
			int64_t met = 0;
			for (size_t v = m->first; v < m->first + m->nvariants; v++)
				met += p->variants[v].need == need ? p->variants[v].got : 0;
			if (met != m->got && m->needs[need].noptions > 0)
				return false;
		}
	}
	return true;
}

static const struct keep_values *keep_values(struct planning *t, const struct mix *mix,
					     const struct mix_options *options)
{
	double *of_class = ARENA_ARRAY(t->scratch, t->stock->nclasses + 1, double);
	double *most = ARENA_ARRAY(t->scratch, t->farm->ncrops + 1, double);
	struct keep_values *k = ARENA_NEW(t->scratch, struct keep_values);
	for (uint32_t c = 0; c < t->stock->nclasses && !options->without_carries; c++)
		of_class[c] = mix_keep_value(t->farm, t->stock, c);
	for (size_t i = 0; i < mix->nleft; i++)
		most[mix->left[i].crop] = mix->left[i].spent;
	*k = (struct keep_values){ of_class, most };
	return k;
}

/* Of equal days the orders that stand last go without. */
static void take_cuts(struct planning *t, const struct mix *mix)
{
	for (size_t i = 0; i < mix->nshorts; i++) {
		int64_t left = mix->shorts[i].count;
		for (size_t k = t->out->norders; k-- > 0 && left > 0;) {
			struct pull_order *o = &t->out->orders[k];
			int64_t make = o->count - o->finished - o->cannot;
			int64_t n = make < left ? make : left;
			if (t->farm->orders[o->order].piece != mix->shorts[i].piece ||
			    o->on != mix->shorts[i].due)
				continue;
			o->cannot += n;
			left -= n;
		}
	}
}

static void take_sales(struct planning *t, const struct mix *mix)
{
	struct pull *out = t->out;
	out->sales = ARENA_ARRAY(t->a, mix->nlines + 1, struct pull_sale);
	for (size_t i = 0; i < mix->nlines; i++)
		out->sales[out->nsales++] =
		    (struct pull_sale){ mix->lines[i].piece, mix->lines[i].outlet,
					mix->lines[i].count, mix->lines[i].finished };
}

static int plan(struct planning *t, const struct mix *mix, const struct mix_options *options)
{
	take_pieces(t, mix);
	t->q = pull_question(t, false);
	if (program_build(&t->p, &t->q, t->scratch) < 0)
		return -1;
	mix_hold_reserves(&t->p, options);
	take_plan(t, mix);
	if (!plan_is_whole(&t->p))
		return diag_error(t->diag, SPAN_NONE, "The mix cannot be laid out as a list.");
	t->worth = keep_values(t, mix, options);
	pull_draw(t);
	pull_boxes(&t->demands, &t->p, t->scratch);
	return pull_write(t, true);
}

int pull_mix(struct pull *out, const struct farm *farm, const struct stock *stock,
	     const struct mix *mix, const struct mix_options *options, struct arena *a,
	     struct diag *diag)
{
	struct arena scratch;
	struct pull_options plain = { 0 };
	struct planning t = { .out = out,
			      .farm = farm,
			      .stock = stock,
			      .options = &plain,
			      .a = a,
			      .scratch = &scratch,
			      .diag = diag };
	struct reach_options reach = { .ignore_orders = options->ignore_orders };
	arena_init(&scratch);
	*out = (struct pull){ .state = PULL_MET };
	reach_shed_open(&t.shed, farm, stock, &reach, &scratch, NULL, diag);
	t.short_crops = ARENA_ARRAY(&scratch, farm->ncrops + 1, double);
	t.short_supplies = ARENA_ARRAY(&scratch, farm->nsupplies + 1, double);
	int fault = plan(&t, mix, options);
	if (!options->ignore_orders)
		pull_orders(&t);
	take_cuts(&t, mix);
	take_sales(&t, mix);
	arena_release(&scratch);
	return fault;
}
