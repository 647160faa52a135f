/* draw.c - see draw.h. */
#include "reckon/draw.h"

#include <math.h>

#include "reckon/bench.h"
#include "reckon/loss.h"

static bool has_boxes(const struct farm *farm, uint32_t crop)
{
	for (size_t i = 0; i < farm->nboxes; i++) {
		if (farm->boxes[i].item.kind == KIND_CROP &&
		    (crop == NONE || farm->boxes[i].item.index == crop))
			return true;
	}
	return false;
}

static void add_stems(struct drawing *out, const struct pull_line *line, struct arena *a,
		      size_t *cap)
{
	for (size_t i = 0; i < out->ndrawn; i++) {
		if (out->drawn[i].box == line->box) {
			out->drawn[i].stems += (double)line->stems;
			return;
		}
	}
	if (line->stems > 0)
		*ARENA_PUSH(a, out->drawn, out->ndrawn, *cap) =
		    (struct drawn){ line->box, (double)line->stems };
}

/* The first part of which some lie ready and some are made: NULL when there is none. */
static const struct pull_run *mixed_run(const struct pull *pull)
{
	for (size_t i = 0; i < pull->nruns; i++) {
		const struct pull_run *r = &pull->runs[i];
		if (r->listed && r->item.kind == KIND_PART && rat_sign(r->ready) > 0 &&
		    rat_cmp(r->ready, r->wanted) < 0)
			return r;
	}
	return NULL;
}

/* Orders for the same piece on the same day are in its run: what is made may be for them,
 * and what they take cannot be told from it. */
static bool has_own_orders(const struct pull *pull)
{
	for (size_t i = 0; i < pull->nruns; i++) {
		if (pull->runs[i].listed && pull->runs[i].ordered > 0)
			return true;
	}
	return false;
}

/* What is short and could have been in a box; the rest was never counted. */
static bool truly_short(const struct farm *farm, const struct pull *pull)
{
	for (size_t i = 0; i < pull->nshorts; i++) {
		struct item item = pull->shorts[i].item;
		if (item.kind == KIND_CROP && has_boxes(farm, item.index))
			return true;
	}
	return false;
}

static enum draw_state judge(struct drawing *out, const struct farm *farm, const struct pull *pull)
{
	const struct pull_run *mixed = mixed_run(pull);
	out->shorts = pull->shorts;
	out->nshorts = pull->nshorts;
	if (pull->state == PULL_STOPPED)
		return DRAW_STOPPED;
	if (pull->state == PULL_SHORT && truly_short(farm, pull))
		return DRAW_SHORT;
	if (!mixed)
		return DRAW_DONE;
	out->part = mixed->item;
	out->ready = rat_double(mixed->ready);
	out->wanted = rat_double(mixed->wanted);
	return DRAW_MIXED;
}

static bool draws(const struct pull *pull, const struct pull_line *line)
{
	return line->kind == PULL_STEMS && pull->runs[line->run].listed;
}

static int attempt(struct drawing *out, struct pull *pull, const struct farm *farm,
		   const struct stock *stock, const struct making *making, bool alone,
		   struct arena *a, struct diag *diag)
{
	struct pull_options options = { .alone = alone };
	struct remarks unheard;
	size_t cap = 0;
	*out = (struct drawing){ .state = DRAW_DONE };
	remarks_init(&unheard, a);
	if (pull_reckon(pull, farm, stock, making, 1, &options, a, &unheard, diag))
		return -1;
	out->state = judge(out, farm, pull);
	for (size_t i = 0; i < pull->nlines && out->state == DRAW_DONE; i++) {
		if (draws(pull, &pull->lines[i]))
			add_stems(out, &pull->lines[i], a, &cap);
	}
	return 0;
}

/* Beside the open orders, else without them. */
static int settle(struct drawing *out, struct pull *pull, const struct farm *farm,
		  const struct stock *stock, const struct making *making, struct arena *a,
		  struct diag *diag)
{
	if (attempt(out, pull, farm, stock, making, false, a, diag))
		return -1;
	if (out->state == DRAW_DONE && !has_own_orders(pull))
		return 0;
	return attempt(out, pull, farm, stock, making, true, a, diag);
}

/* ---- what spoiled is said ---- */

/* What one option of a need takes, all its colours together. */
struct share {
	struct item maker;
	uint32_t need, option, colour; /* colour: of the line read last */
	int64_t makings, stems; /* stems: the recipe's, then the spoiled besides */
	int64_t rest;           /* remainder of its part of the spoiled */
};
struct shares {
	struct share *items;
	size_t n, cap;
	int64_t net, drawn;     /* the recipe's stems; those of the list */
};

enum { SPOILED_MOST = 1000000000 }; /* the product of two of these is an int64_t */

static const struct need_option *option_of(const struct farm *farm, struct item maker, uint32_t need,
					   uint32_t option)
{
	return &recipe_of(farm, maker).needs[need].options[option];
}

static void add_line(struct shares *s, const struct farm *farm, const struct pull *pull,
		     const struct pull_line *line, struct arena *a)
{
	struct item maker = pull->runs[line->run].item;
	const struct need_option *o = option_of(farm, maker, line->need, line->option);
	struct share *last = s->n ? &s->items[s->n - 1] : NULL;
	s->drawn += line->stems;
	if (!last || !same_item(last->maker, maker) || last->need != line->need ||
	    last->option != line->option) {
		last = ARENA_PUSH(a, s->items, s->n, s->cap);
		*last = (struct share){ .maker = maker,
					.need = line->need,
					.option = line->option,
					.makings = line->makings };
	} else if (o->one_colour && last->colour != line->colour) {
		last->makings += line->makings;
	}
	last->colour = line->colour;
}

static void find_shares(struct shares *s, const struct farm *farm, const struct pull *pull,
			struct arena *a)
{
	*s = (struct shares){ .n = 0 };
	for (size_t i = 0; i < pull->nlines; i++) {
		if (draws(pull, &pull->lines[i]))
			add_line(s, farm, pull, &pull->lines[i], a);
	}
	for (size_t i = 0; i < s->n; i++) {
		struct share *x = &s->items[i];
		const struct need_option *o = option_of(farm, x->maker, x->need, x->option);
		x->stems = loss_cover((double)x->makings * rat_double(o->count));
		s->net += x->stems;
	}
}

static void share_out(struct shares *s, int64_t spoiled)
{
	int64_t left = spoiled;
	for (size_t i = 0; i < s->n; i++) {
		struct share *x = &s->items[i];
		int64_t part = spoiled * x->stems / s->net;
		x->rest = spoiled * x->stems % s->net;
		x->stems += part;
		left -= part;
	}
	for (; left > 0; left--) {
		struct share *most = &s->items[0];
		for (size_t i = 1; i < s->n; i++) {
			if (s->items[i].rest > most->rest)
				most = &s->items[i];
		}
		most->stems++;
		most->rest = -1;
	}
}

/* The needs with the stems of the shares, else the recipe's, as the pull list will draw
 * them once its loss is on top again.  NULL when the numbers are too large. */
static struct need *wanted_needs(const struct farm *farm, const struct stock *stock, struct item maker,
				 const struct shares *s, struct arena *a)
{
	struct recipe r = recipe_of(farm, maker);
	struct need *needs = ARENA_ARRAY(a, r.nneeds + 1, struct need);
	for (size_t i = 0; i < r.nneeds; i++) {
		needs[i] = (struct need){ ARENA_ARRAY(a, r.needs[i].noptions, struct need_option),
					  r.needs[i].noptions };
		for (size_t k = 0; k < needs[i].noptions; k++) {
			struct need_option *o = &needs[i].options[k];
			*o = r.needs[i].options[k];
			if (o->item.kind != KIND_CROP)
				continue;
			for (size_t j = 0; j < s->n; j++) {
				const struct share *x = &s->items[j];
				if (same_item(x->maker, maker) && x->need == i && x->option == k &&
				    !rat_make(&o->count, x->stems, x->makings))
					return NULL;
			}
			if (!rat_div(&o->count, o->count, rates_allowance(stock->rates, o->item.index)))
				return NULL;
		}
	}
	return needs;
}

static bool want(struct farm *out, const struct farm *farm, const struct stock *stock, uint32_t piece,
		 const struct shares *s, struct arena *a)
{
	*out = *farm;
	out->pieces = ARENA_ARRAY(a, farm->npieces, struct piece);
	out->parts = ARENA_ARRAY(a, farm->nparts + 1, struct part);
	memcpy(out->pieces, farm->pieces, farm->npieces * sizeof *out->pieces);
	out->pieces[piece].needs = wanted_needs(farm, stock, (struct item){ KIND_PIECE, piece }, s, a);
	bool fits = out->pieces[piece].needs != NULL;
	for (uint32_t i = 0; i < farm->nparts; i++) {
		out->parts[i] = farm->parts[i];
		out->parts[i].needs = wanted_needs(farm, stock, (struct item){ KIND_PART, i }, s, a);
		fits = fits && out->parts[i].needs;
	}
	return fits;
}

/* Colours are rounded up one by one: what that makes too much stays in the last box. */
static void give_back(struct drawing *out, int64_t stems)
{
	while (stems > 0 && out->ndrawn) {
		struct drawn *last = &out->drawn[out->ndrawn - 1];
		if (last->stems > (double)stems) {
			last->stems -= (double)stems;
			return;
		}
		stems -= (int64_t)last->stems;
		out->ndrawn--;
	}
}

/* First the recipe alone, which shows the way that each need goes; then with the spoiled,
 * and again where that led another way. */
static int draw_said(struct drawing *out, const struct farm *farm, const struct stock *stock,
		     const struct making *making, int64_t spoiled, struct arena *a, struct diag *diag)
{
	struct shares shares = { .n = 0 };
	for (int round = 0; round < 4; round++) {
		struct farm wanted;
		struct pull pull;
		if (!want(&wanted, farm, stock, making->piece, &shares, a))
			return diag_error(diag, SPAN_NONE, "The numbers are too large to be reckoned.");
		if (settle(out, &pull, &wanted, stock, making, a, diag))
			return -1;
		if (out->state != DRAW_DONE)
			return 0;
		find_shares(&shares, farm, &pull, a);
		int64_t target = shares.net > 0 ? shares.net + spoiled : 0;
		if (shares.drawn >= target) {
			give_back(out, shares.drawn - target);
			return 0;
		}
		share_out(&shares, spoiled);
	}
	return 0;
}

/* The part as a piece behind the farm's own, since the pull list is one of pieces. */
static void as_piece(struct farm *farm, struct stock *stock, uint32_t part, struct arena *a)
{
	size_t n = farm->npieces;
	const struct part *p = &farm->parts[part];
	struct piece *pieces = ARENA_ARRAY(a, n + 1, struct piece);
	double *finished = ARENA_ARRAY(a, n + 1, double);
	if (n) {
		memcpy(pieces, farm->pieces, n * sizeof *pieces);
		memcpy(finished, stock->pieces, n * sizeof *finished);
	}
	pieces[n] = (struct piece){
		.head = p->head, .needs = p->needs, .nneeds = p->nneeds, .tasks = p->tasks, .ntasks = p->ntasks
	};
	farm->pieces = pieces;
	farm->npieces = n + 1;
	stock->pieces = finished;
}

int draw_reckon(struct drawing *out, const struct farm *farm, const struct stock *stock,
		struct item item, double count, double spoiled, struct arena *a, struct diag *diag)
{
	struct farm with_part = *farm;
	struct stock its_stock = *stock;
	struct making making = { item.index, loss_cover(count), DAY_NONE };
	*out = (struct drawing){ .state = DRAW_DONE };
	if (!has_boxes(farm, NONE))
		return 0;
	if (item.kind == KIND_PART) {
		double makes = rat_double(farm->parts[item.index].makes);
		making.piece = (uint32_t)farm->npieces;
		making.count = loss_cover(count / (makes > 0 ? makes : 1));
		as_piece(&with_part, &its_stock, item.index, a);
	}
	struct pull pull;
	if (isnan(spoiled))
		return settle(out, &pull, &with_part, &its_stock, &making, a, diag);
	int64_t stems = loss_cover(fmin(spoiled, SPOILED_MOST));
	return draw_said(out, &with_part, &its_stock, &making, stems, a, diag);
}
