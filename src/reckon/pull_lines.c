/* pull_lines.c - a plan as runs and their lines, by box and by supply, and what is short. */
#include <math.h>

#include "reckon/loss.h"
#include "reckon/pull_in.h"

/* ---- runs ---- */

static int too_large(struct planning *t)
{
	return diag_error(t->diag, SPAN_NONE, "The numbers are too large to be reckoned.");
}

static bool times(struct rat *out, int64_t n, struct rat each)
{
	return rat_mul(out, (struct rat){ n, 1 }, each);
}

static int fill_part(struct planning *t, struct pull_run *run, const struct maker *m,
		     int64_t *pools)
{
	uint32_t batch = t->p.batch_of[m->item.index];
	const struct batch_of *b = &t->p.batches[batch];
	int64_t gross = pull_gross(&t->p, batch, m->day);
	/* What is made goes first: where more is made than the shelf asks for, the rest lies there
	 * for a later day. */
	int64_t wait = gross - m->got * b->makes > 0 ? gross - m->got * b->makes : 0;
	int64_t ready = wait < pools[batch] ? wait : pools[batch];
	pools[batch] += m->got * b->makes - gross;
	if (!times(&run->gives, m->got, (struct rat){ b->makes, 1 }) ||
	    !rat_make(&run->gives, run->gives.num, b->scale) ||
	    !rat_make(&run->wanted, gross, b->scale) || !rat_make(&run->ready, ready, b->scale))
		return too_large(t);
	return 0;
}

static struct pull_line *add_line(struct planning *t, enum pull_kind kind, size_t k)
{
	const struct variant *v = &t->p.variants[k];
	const struct need_option *o = &t->p.makers[v->maker].needs[v->need].options[v->option];
	struct pull *out = t->out;
	struct pull_line *line = ARENA_PUSH(t->a, out->lines, out->nlines, t->cap_lines);
	*line = (struct pull_line){ .kind = kind,
				    .run = (uint32_t)out->nruns - 1,
				    .item = o->item,
				    .need = v->need,
				    .option = v->option,
				    .colour = NONE,
				    .makings = v->got,
				    .box = NONE,
				    .amount = RAT_ZERO };
	return line;
}

static void stem_lines(struct planning *t, const struct demand *d)
{
	for (size_t i = 0; i < d->ndraws; i++) {
		struct pull_line *line = add_line(t, PULL_STEMS, d->variant);
		line->box = d->draws[i].box;
		line->stems = d->draws[i].stems;
		line->colour = t->farm->boxes[line->box].colour;
	}
	if (d->got < d->stems) {
		struct pull_line *line = add_line(t, PULL_MISSING, d->variant);
		line->stems = d->stems - d->got;
		line->colour = d->colour;
	}
}

static int add_lines(struct planning *t, const struct maker *m)
{
	size_t at = 0;
	for (size_t k = m->first; k < m->first + m->nvariants; k++) {
		const struct variant *v = &t->p.variants[k];
		if (v->got <= 0)
			continue;
		if (v->kind == KIND_CROP) {
			while (at < t->demands.n && t->demands.items[at].variant < k)
				at++;
			if (at < t->demands.n && t->demands.items[at].variant == k)
				stem_lines(t, &t->demands.items[at]);
			continue;
		}
		struct pull_line *line =
		    add_line(t, v->kind == KIND_PART ? PULL_PART : PULL_SUPPLY, k);
		if (!times(&line->amount, v->got, v->count))
			return too_large(t);
	}
	return 0;
}

static int add_run(struct planning *t, size_t maker, int64_t *pools)
{
	const struct maker *m = &t->p.makers[maker];
	struct pull_run *run = &t->out->runs[t->out->nruns++];
	*run = (struct pull_run){ .item = m->item,
				  .on = t->days[m->day],
				  .count = m->got,
				  .gives = { m->got, 1 },
				  .wanted = { m->got, 1 },
				  .ready = RAT_ZERO,
				  .listed = t->shown[maker],
				  .first = t->out->nlines };
	if (m->item.kind == KIND_PIECE)
		run->ordered = t->ordered[maker];
	else if (fill_part(t, run, m, pools) < 0)
		return -1;
	if (add_lines(t, m) < 0)
		return -1;
	run->nlines = t->out->nlines - run->first;
	return 0;
}

/* Day by day; deepest parts first, then pieces. */
static int add_runs(struct planning *t)
{
	struct program *p = &t->p;
	int64_t *pools = ARENA_ARRAY(t->scratch, p->nbatches + 1, int64_t);
	for (size_t i = 0; i < p->nbatches; i++)
		pools[i] = p->batches[i].stock;
	t->out->runs = ARENA_ARRAY(t->a, p->nmakers + 1, struct pull_run);
	for (uint32_t d = 0; d < t->ndays; d++) {
		for (size_t i = p->nmakers; i-- > 0;) {
			bool wanted = p->makers[i].item.kind == KIND_PART && p->makers[i].day == d;
			if (wanted &&
			    (p->makers[i].got > 0 ||
			     pull_gross(p, p->batch_of[p->makers[i].item.index], d) > 0) &&
			    add_run(t, i, pools) < 0)
				return -1;
		}
		for (size_t i = 0; i < p->nmakers; i++)
			if (p->makers[i].item.kind == KIND_PIECE && p->makers[i].day == d &&
			    p->makers[i].got > 0 && add_run(t, i, pools) < 0)
				return -1;
	}
	return 0;
}

/* ---- what it comes to ---- */

/* Good stems of the stock's day that stems of a later day were. */
static double worth_today(const struct planning *t, const struct pull_line *line)
{
	day on = t->out->runs[line->run].on;
	double rate = rates_at(t->stock->rates, line->item.index, STAGE_STORAGE);
	double lives = loss_storage(rate, date_months(t->stock->on, on));
	return lives > 0 ? (double)line->stems / lives : (double)line->stems;
}

static void sum_boxes(struct planning *t)
{
	struct pull *out = t->out;
	struct pull_box *sums = ARENA_ARRAY(t->scratch, t->farm->nboxes + 1, struct pull_box);
	for (size_t i = 0; i < t->farm->nboxes; i++) {
		sums[i].holds = t->stock->boxes[i].worth;
		sums[i].left = sums[i].holds;
	}
	for (size_t i = 0; i < out->nlines; i++) {
		const struct pull_line *line = &out->lines[i];
		if (line->kind != PULL_STEMS)
			continue;
		struct pull_box *box = &sums[line->box];
		if (out->runs[line->run].listed)
			box->take += line->stems;
		else
			box->kept += line->stems;
		box->left = fmax(box->left - worth_today(t, line), 0);
	}
	out->boxes = ARENA_ARRAY(t->a, t->farm->nboxes + 1, struct pull_box);
	for (uint32_t crop = 0; crop < t->farm->ncrops; crop++)
		for (uint32_t i = 0; i < t->farm->nboxes; i++) {
			struct item item = t->farm->boxes[i].item;
			if (item.kind != KIND_CROP || item.index != crop || sums[i].take == 0)
				continue;
			sums[i].box = i;
			out->boxes[out->nboxes++] = sums[i];
		}
}

static int sum_supplies(struct planning *t)
{
	struct pull *out = t->out;
	out->supplies = ARENA_ARRAY(t->a, t->farm->nsupplies + 1, struct pull_supply);
	for (uint32_t k = 0; k < t->farm->nsupplies; k++) {
		struct pull_supply s = { k, RAT_ZERO, t->stock->supplies[k], 0 };
		for (size_t i = 0; i < out->nlines; i++) {
			const struct pull_line *line = &out->lines[i];
			if (line->kind != PULL_SUPPLY || line->item.index != k)
				continue;
			if (!out->runs[line->run].listed)
				s.on_hand -= rat_double(line->amount);
			else if (!rat_add(&s.needed, s.needed, line->amount))
				return too_large(t);
		}
		if (rat_sign(s.needed) <= 0)
			continue;
		double needed = rat_double(s.needed);
		if (!isnan(s.on_hand)) {
			s.on_hand = fmax(s.on_hand, 0);
			s.missing = fmax(needed - s.on_hand, 0);
		}
		if (s.missing < 1e-9 * needed)
			s.missing = 0;
		out->supplies[out->nsupplies++] = s;
	}
	return 0;
}

static void add_short(struct pull *out, enum kind kind, size_t index, double count, double orders)
{
	if (count > 0)
		out->shorts[out->nshorts++] =
		    (struct pull_short){ { kind, (uint32_t)index }, count, orders };
}

static void sum_shorts(struct planning *t, bool plan)
{
	struct pull *out = t->out;
	double *kept = ARENA_ARRAY(t->scratch, t->farm->ncrops + 1, double);
	for (size_t i = 0; i < t->farm->ncrops && plan; i++)
		t->short_crops[i] = 0;
	for (size_t i = 0; i < t->demands.n && plan; i++) {
		const struct demand *d = &t->demands.items[i];
		const struct bucket *b = &t->p.buckets[d->bucket];
		t->short_crops[t->p.rooms[b->room].crop] += (double)(d->stems - d->got);
		if (d->kept)
			kept[t->p.rooms[b->room].crop] += (double)(d->stems - d->got);
	}
	out->shorts =
	    ARENA_ARRAY(t->a, t->farm->ncrops + t->farm->nsupplies + 1, struct pull_short);
	for (size_t i = 0; i < t->farm->ncrops; i++)
		add_short(out, KIND_CROP, i, t->short_crops[i], kept[i]);
	for (size_t i = 0; i < t->farm->nsupplies; i++)
		add_short(out, KIND_SUPPLY, i, t->short_supplies[i], 0);
	if (plan && out->nshorts == 0)
		out->state = PULL_MET; /* whatever the search said of less */
	else if (out->state == PULL_MET)
		out->state = PULL_SHORT;
}

int pull_write(struct planning *t, bool plan)
{
	if (plan && add_runs(t) < 0)
		return -1;
	sum_shorts(t, plan);
	sum_boxes(t);
	return sum_supplies(t);
}
