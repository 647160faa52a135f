/* crop_use.c - looks through recipes for one crop. */
#include "reckon/crop_use.h"

#include <math.h>

#include "reckon/loss.h"
#include "reckon/reach_program.h"

struct ways { /* all options that name the crop */
	const struct need_option **list;
	size_t n, cap;
};

static void look(const struct need *needs, size_t n, uint32_t crop, bool *parts, struct ways *ways,
		 struct arena *a)
{
	for (size_t i = 0; i < n; i++) {
		for (size_t k = 0; k < needs[i].noptions; k++) {
			const struct need_option *o = &needs[i].options[k];
			if (o->item.kind == KIND_PART)
				parts[o->item.index] = true;
			else if (o->item.kind == KIND_CROP && o->item.index == crop)
				*ARENA_PUSH(a, ways->list, ways->n, ways->cap) = o;
		}
	}
}

static struct ways find_ways(const struct farm *farm, uint32_t crop, const bool *pieces,
			     struct arena *a)
{
	struct ways ways = { 0 };
	bool *parts = ARENA_ARRAY(a, farm->nparts + 1, bool);
	for (size_t i = 0; i < farm->npieces; i++) {
		if (pieces[i])
			look(farm->pieces[i].needs, farm->pieces[i].nneeds, crop, parts, &ways, a);
	}
	for (size_t k = 0; k < farm->nparts; k++) {
		const struct part *part = &farm->parts[farm->part_order[k]];
		if (parts[farm->part_order[k]])
			look(part->needs, part->nneeds, crop, parts, &ways, a);
	}
	return ways;
}

/* ---- what fits ---- */

static bool any_fits(const struct ways *ways, const struct stock_class *c)
{
	for (size_t i = 0; i < ways->n; i++) {
		if (stem_fits(ways->list[i], NONE, c->colour, c->length))
			return true;
	}
	return false;
}

/* Why a class serves no way: every reason that one of them gives. */
static void reasons(struct crop_fit *out, const struct ways *ways, const struct stock_class *c)
{
	for (size_t i = 0; i < ways->n; i++) {
		struct need_option o = *ways->list[i];
		if (!stem_fits(&(struct need_option){ .from = o.from }, NONE, NONE, c->length))
			*(c->length > 0 ? &out->too_short : &out->unsaid) = true;
		if (!stem_fits(&(struct need_option){ .to = o.to }, NONE, NONE, c->length))
			*(c->length > 0 ? &out->too_long : &out->unsaid) = true;
		o.from = o.to = 0;
		if (!stem_fits(&o, NONE, c->colour, 0))
			*(c->colour != NONE ? &out->colour : &out->unsaid) = true;
	}
}

void crop_fit(struct crop_fit *out, const struct farm *farm, const struct stock *stock,
	      uint32_t crop, const bool *pieces, struct arena *a)
{
	struct ways ways = find_ways(farm, crop, pieces, a);
	*out = (struct crop_fit){ 0 };
	for (size_t i = 0; i < stock->nclasses; i++) {
		const struct stock_class *c = &stock->classes[i];
		if (c->crop != crop || c->whole <= 0 || (c->past && !stock->with_past))
			continue;
		if (any_fits(&ways, c)) {
			out->fits += c->whole;
			continue;
		}
		out->unfit += c->whole;
		reasons(out, &ways, c);
	}
}

/* ---- who wants it ---- */

struct tally {
	uint32_t crop;
	double *parts; /* base units of each part in one piece */
	double stems;  /* without the bench allowance */
};

static void add_first_ways(struct tally *t, const struct need *needs, size_t n, double makings)
{
	for (size_t i = 0; i < n; i++) {
		const struct need_option *o = needs[i].options;
		if (needs[i].noptions == 0)
			continue;
		double count = makings * rat_double(o->count);
		if (o->item.kind == KIND_PART)
			t->parts[o->item.index] += count;
		else if (o->item.kind == KIND_CROP && o->item.index == t->crop)
			t->stems += count;
	}
}

/* Stems for n pieces before the bench allowance: parts on hand taken first where
 * on_hand is given, in whole makings then; else shared out. */
static double stems_for(struct tally *t, const struct farm *farm, uint32_t piece, double n,
			const double *on_hand)
{
	const struct piece *p = &farm->pieces[piece];
	t->stems = 0;
	for (size_t i = 0; i < farm->nparts; i++)
		t->parts[i] = 0;
	add_first_ways(t, p->needs, p->nneeds, n);
	for (size_t k = 0; k < farm->nparts; k++) {
		uint32_t i = farm->part_order[k];
		const struct part *part = &farm->parts[i];
		double makes = rat_sign(part->makes) > 0 ? rat_double(part->makes) : 1;
		double makings = fmax(0, t->parts[i] - (on_hand ? on_hand[i] : 0)) / makes;
		add_first_ways(t, part->needs, part->nneeds,
			       on_hand ? (double)loss_cover(makings) : makings);
	}
	return t->stems;
}

/* Most pieces whose stems are no more than there are, by halving. */
static int64_t most_alone(struct tally *t, const struct farm *farm, uint32_t piece, double stems,
			  const double *on_hand)
{
	enum { MOST = 1 << 24 };
	int64_t low = 0, high = MOST;
	while (low < high) {
		int64_t n = low + (high - low + 1) / 2;
		if (stems_for(t, farm, piece, (double)n, on_hand) <= stems * (1 + 1e-12))
			low = n;
		else
			high = n - 1;
	}
	return low;
}

size_t crop_uses(struct crop_use *out, const struct farm *farm, const struct stock *stock,
		 uint32_t crop, struct arena *a)
{
	size_t n = 0;
	bool *one = ARENA_ARRAY(a, farm->npieces + 1, bool);
	struct tally t = { crop, ARENA_ARRAY(a, farm->nparts + 1, double), 0 };
	double kept = fmax(1e-3, 1 - rates_at(stock->rates, crop, STAGE_BENCH));
	for (uint32_t i = 0; i < farm->npieces; i++) {
		struct crop_fit fit;
		one[i] = true;
		struct ways ways = find_ways(farm, crop, one, a);
		crop_fit(&fit, farm, stock, crop, one, a);
		one[i] = false;
		if (!ways.n)
			continue;
		double one_takes = stems_for(&t, farm, i, 1, NULL);
		out[n++] = (struct crop_use){ i, one_takes / kept, fit.fits,
					      one_takes > 0
						  ? most_alone(&t, farm, i, (double)fit.fits * kept,
							       stock->parts)
						  : -1 };
	}
	return n;
}
