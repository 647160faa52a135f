/* mix_worth.c - what one and five more bunches, or hours at the bench, would bring: the
 * mix solved again with them, both ends to less than a minor unit or as a range. */
#include "reckon/mix.h"

#include <math.h>

#include "farm/measure.h"
#include "reckon/loss.h"
#include "reckon/mix_model.h"

enum { KINDS_MOST = 12, RANKED_MOST = 150, WORTH_NODES = 300 };

struct asking {
	const struct mix *base;
	const struct farm *farm;
	const struct stock *stock;
	const struct costs *costs;
	const struct prices *prices;
	struct mix_options options;
	struct diag *diag;
	double low, high;   /* of the mix as it is */
	double near_enough; /* half a minor unit */
};

static void open_asking(const struct asking *q, struct mixing *x, struct arena *a)
{
	*x = (struct mixing){ .farm = q->farm,
			      .stock = q->stock,
			      .costs = q->costs,
			      .prices = q->prices,
			      .options = &q->options,
			      .a = a,
			      .diag = q->diag };
}

/* Best value and proven bound with so much more; -1 on a fault. */
static int solve_with(const struct asking *q, const struct extra *extra, double hours, bool again,
		      double *low, double *high)
{
	struct arena a;
	struct mixing x;
	struct mix_answer found;
	int fault;
	arena_init(&a);
	open_asking(q, &x, &a);
	x.again = again;
	x.floor = q->low;
	*low = -(double)INFINITY;
	*high = (double)INFINITY;
	fault = mix_build(&x, extra, hours, false);
	if (fault == 0) {
		mix_search(&x, &found, NULL);
		if (found.any) {
			*low = found.value;
			*high = found.bound;
		}
		mix_answer_release(&found);
	}
	arena_release(&a);
	return fault;
}

/* More never brings less; below the gaps of both ends nothing is known. */
static void difference(const struct asking *q, double low, double high, double *least, double *most)
{
	low = fmax(low, q->low);
	*least = fmax(0, low - q->high);
	*most = fmax(*least, high - q->low);
	if (high - low <= 2 * q->near_enough && q->high - q->low <= 2 * q->near_enough)
		*least = *most = fmax(0, low - q->low);
	if (*most <= 2 * q->near_enough)
		*least = *most = 0;
}

/* Most crops suffice as it is: that is cheaper to prove than by solving again. */
static int ask_whether(const struct asking *q, struct extra *extra, double hours, bool *useless)
{
	struct arena a;
	struct mixing more, base;
	*useless = false;
	if (q->base->nlines > RANKED_MOST)
		return 0;
	arena_init(&a);
	open_asking(q, &more, &a);
	open_asking(q, &base, &a);
	int fault = mix_build(&more, extra, hours, false);
	if (!fault)
		fault = mix_build(&base, NULL, 0, false);
	if (!fault)
		*useless = mix_no_use(&more, &base, extra ? extra->item.index : NONE, q->low);
	arena_release(&a);
	return fault;
}

static int ask(const struct asking *q, struct extra *extra, double unit, struct mix_worth *w)
{
	double low, high;
	bool useless;
	if (extra)
		extra->count = (int64_t)unit * 5;
	if (ask_whether(q, extra, extra ? 0 : 5, &useless) < 0)
		return -1;
	if (useless)
		return 0; /* w's are 0 */
	for (int many = 5; many >= 1; many -= 4) {
		if (extra)
			extra->count = (int64_t)unit * many;
		if (many == 1 && w->five_high == 0)
			return 0;
		if (solve_with(q, extra, extra ? 0 : many, true, &low, &high) < 0)
			return -1;
		difference(q, low, high, many == 1 ? &w->one_low : &w->five_low,
			   many == 1 ? &w->one_high : &w->five_high);
	}
	/* Five bring no less than one. */
	w->five_low = fmax(w->five_low, w->one_low);
	w->one_high = fmin(w->one_high, w->five_high);
	return 0;
}

/* ---- which kind of stem ---- */

struct kinds {
	struct extra items[KINDS_MOST];
	size_t n;
};

static void add_kind(struct kinds *k, uint32_t crop, uint32_t colour, double length)
{
	for (size_t i = 0; i < k->n; i++)
		if (k->items[i].colour == colour && k->items[i].length == length)
			return;
	if (k->n < KINDS_MOST)
		k->items[k->n++] = (struct extra){ .item = { KIND_CROP, crop },
						   .colour = colour,
						   .length = length };
}

/* Every colour that is asked for, at the longest length that any need asks for and this
 * one allows: it serves the shorter ones too. */
static void find_kinds(const struct mixing *x, uint32_t crop, struct kinds *k)
{
	double longest = 0;
	k->n = 0;
	for (int pass = 0; pass < 2; pass++)
		for (size_t i = 0; i < x->p.nmakers; i++)
			for (size_t n = 0; n < x->p.makers[i].nneeds; n++)
				for (size_t j = 0; j < x->p.makers[i].needs[n].noptions; j++) {
					const struct need_option *o =
					    &x->p.makers[i].needs[n].options[j];
					if (o->item.kind != KIND_CROP || o->item.index != crop)
						continue;
					if (pass == 0) {
						longest = fmax(longest, o->from);
						continue;
					}
					double length =
					    o->to > 0 && longest > o->to ? o->to : longest;
					for (size_t c = 0; c < o->ncolours; c++)
						add_kind(k, crop, o->colours[c], length);
					for (uint32_t c = 0;
					     o->one_colour && !o->ncolours && c < x->farm->ncolours;
					     c++)
						add_kind(k, crop, c, length);
					if (o->ncolours == 0 && !o->one_colour)
						add_kind(k, crop, NONE, length);
				}
	/* A stem of a colour serves what asks for none. */
	if (k->n > 1)
		for (size_t i = 0; i < k->n; i++)
			if (k->items[i].colour == NONE) {
				memmove(k->items + i, k->items + i + 1,
					(k->n - i - 1) * sizeof *k->items);
				k->n--;
				break;
			}
}

/* What the relaxation could make of one bunch of it. */
static double hope(const struct asking *q, const struct extra *kind)
{
	struct arena a;
	struct mixing x;
	struct mix_solved s = { .value = (double)INFINITY };
	arena_init(&a);
	open_asking(q, &x, &a);
	if (mix_build(&x, kind, 0, false) == 0)
		mix_program(&x, &(struct mix_solving){ .relaxed = true }, &s);
	arena_release(&a);
	return isnan(s.value) ? -(double)INFINITY : s.value;
}

static struct extra best_kind(const struct asking *q, struct kinds *k, double bunch, bool rank)
{
	size_t best = 0;
	double most = -(double)INFINITY;
	for (size_t i = 0; i < k->n && rank && k->n > 1; i++) {
		k->items[i].count = (int64_t)bunch;
		double h = hope(q, &k->items[i]);
		if (h > most + 1e-9) {
			most = h;
			best = i;
		}
	}
	return k->items[best];
}

/* ---- dry it or sell it ---- */

static double seconds_for(const struct crop *c, enum work w, double stems, double bundles,
			  double boxes)
{
	const struct rate *r = &c->works[w];
	double n = r->per == PER_STEM     ? stems
		   : r->per == PER_BUNDLE ? bundles
		   : r->per == PER_BOX    ? boxes
					  : 0;
	return r->seconds.v * n;
}

/* A stem as it is cut: stripped, hung if it is good enough, boxed if it dries well. */
static double per_fresh(const struct asking *q, uint32_t crop, double per_boxed)
{
	const struct crop *c = &q->farm->crops[crop];
	const struct rates *rates = q->stock->rates;
	double hung = 1 - rates_at(rates, crop, STAGE_FIELD);
	double boxed = hung * (1 - rates_at(rates, crop, STAGE_DRYING));
	double bundles = c->bundle.v > 0 ? hung / c->bundle.v : 0;
	double boxes = c->per_box.v > 0 ? boxed / c->per_box.v : 0;
	double seconds = seconds_for(c, WORK_STRIP, 1, bundles, boxes) +
			 seconds_for(c, WORK_BUNDLE, hung, bundles, boxes) +
			 seconds_for(c, WORK_HANG, hung, bundles, boxes) +
			 seconds_for(c, WORK_BOX, boxed, bundles, boxes);
	double wage = q->options.own_labour ? 0 : q->costs->wage;
	return per_boxed * boxed - seconds / SECONDS_PER_HOUR * wage - bundles * c->spend_bundle.v -
	       boxes * c->spend_box.v;
}

static int worth_of_crop(const struct asking *q, const struct mixing *x, uint32_t crop,
			 struct mix_worths *out)
{
	struct kinds k;
	double bunch = (double)rat_floor(measure_bunch(q->farm, crop));
	find_kinds(x, crop, &k);
	if (k.n == 0 || bunch < 1)
		return 0;
	struct extra e = best_kind(q, &k, bunch, x->nsales <= RANKED_MOST);
	struct mix_worth *w = &out->items[out->n++];
	*w = (struct mix_worth){ .crop = crop,
				 .colour = e.colour,
				 .length = e.length,
				 .bunch = bunch,
				 .fresh = (double)NAN };
	if (q->farm->crops[crop].fresh_price.given)
		w->fresh = q->farm->crops[crop].fresh_price.v;
	if (ask(q, &e, bunch, w) < 0)
		return -1;
	w->per_fresh = per_fresh(q, crop, w->one_low / bunch);
	return 0;
}

static void rank_worths(struct mix_worths *out)
{
	for (size_t i = 1; i < out->n; i++) {
		struct mix_worth w = out->items[i];
		size_t k = i;
		for (; k > 0 && out->items[k - 1].one_low < w.one_low; k--)
			out->items[k] = out->items[k - 1];
		out->items[k] = w;
	}
}

int mix_worth(struct mix_worths *out, const struct mix *base, const struct farm *farm,
	      const struct stock *stock, const struct costs *costs, const struct prices *prices,
	      const struct mix_options *options, struct arena *a, struct diag *diag)
{
	struct asking q = { base,     farm, stock,       costs,       prices,
			    *options, diag, base->value, base->bound, 0 };
	struct arena scratch;
	struct mixing x;
	int fault;
	*out = (struct mix_worths){ .items = ARENA_ARRAY(a, farm->ncrops + 1, struct mix_worth) };
	q.near_enough = 0.5 * pow(10, -farm->business.digits);
	q.options.to_the_end = false;
	q.options.gap = fmax(q.near_enough / fmax(fabs(base->value), 1), 1e-9);
	if (isnan(base->value) || base->nshorts > 0)
		return 0;
	if (base->bound - base->value > q.near_enough &&
	    solve_with(&q, NULL, 0, false, &q.low, &q.high) < 0)
		return -1;
	q.low = fmax(q.low, base->value);
	q.high = fmin(q.high, base->bound);
	if (q.options.nodes == 0)
		q.options.nodes = WORTH_NODES;
	arena_init(&scratch);
	open_asking(&q, &x, &scratch);
	fault = mix_build(&x, NULL, 0, false);
	for (uint32_t i = 0; i < farm->ncrops && !fault; i++)
		fault = worth_of_crop(&q, &x, i, out);
	if (!fault && x.has_hours) {
		struct mix_worth *w = &out->items[out->n++];
		*w = (struct mix_worth){ .hour = true,
					 .crop = NONE,
					 .colour = NONE,
					 .bunch = 1,
					 .per_fresh = (double)NAN,
					 .fresh = (double)NAN };
		fault = ask(&q, NULL, 1, w);
	}
	arena_release(&scratch);
	rank_worths(out);
	return fault;
}
