/* draw.c - see draw.h. */
#include "reckon/draw.h"

#include <math.h>

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

static int attempt(struct drawing *out, const struct farm *farm, const struct stock *stock,
		   const struct making *making, bool alone, bool *told, struct arena *a,
		   struct diag *diag)
{
	struct pull_options options = { .alone = alone };
	struct remarks unheard;
	struct pull pull;
	size_t cap = 0;
	*out = (struct drawing){ .state = DRAW_DONE };
	remarks_init(&unheard, a);
	if (pull_reckon(&pull, farm, stock, making, 1, &options, a, &unheard, diag))
		return -1;
	out->state = judge(out, farm, &pull);
	*told = !has_own_orders(&pull);
	for (size_t i = 0; i < pull.nlines && out->state == DRAW_DONE; i++) {
		const struct pull_line *line = &pull.lines[i];
		if (line->kind == PULL_STEMS && pull.runs[line->run].listed)
			add_stems(out, line, a, &cap);
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
		struct item item, double count, struct arena *a, struct diag *diag)
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
	bool told;
	if (attempt(out, &with_part, &its_stock, &making, false, &told, a, diag))
		return -1;
	if (out->state == DRAW_DONE && told)
		return 0;
	return attempt(out, &with_part, &its_stock, &making, true, &told, a, diag);
}
