/* weighed.c - see weighed.h. */
#include "reckon/weighed.h"

#include <math.h>

#include "reckon/bench.h"

bool batch_boxed(const struct batch *b, day on)
{
	return b->boxed_on != DAY_NONE ? b->boxed_on <= on : !isnan(b->boxed);
}

bool batch_hangs(const struct batch *b, day on)
{
	bool hung = b->hung_on == DAY_NONE ? !b->logged : b->hung_on <= on;
	return hung && !batch_boxed(b, on);
}

struct survey {
	const struct farm *farm;
	day on;
	struct arena *arena;
	size_t *lines; /* of the bench log */
	size_t nlines;
};

static bool may_hold(const struct box *box, const struct batch *b)
{
	if (box->item.kind != KIND_CROP || box->item.index != b->crop || box->boxed != b->boxed_on)
		return false;
	if (box->colour != NONE && b->colour != NONE && box->colour != b->colour)
		return false;
	return !(box->length > 0) || !(b->length > 0) || fabs(box->length - b->length) < 0.5;
}

static bool touches(const struct log_entry *e, uint32_t box)
{
	for (size_t i = 0; i < e->ndrawn; i++) {
		if (e->drawn[i].box == box)
			return true;
	}
	return e->box == box;
}

/* Somebody has had it open, long enough after the boxing for damp to show. */
static bool opened(const struct survey *s, uint32_t box, day boxed_on)
{
	if (s->farm->boxes[box].counted != DAY_NONE && s->farm->boxes[box].counted <= s->on &&
	    s->farm->boxes[box].counted - boxed_on >= OPENED_AFTER)
		return true;
	for (size_t i = 0; i < s->nlines; i++) {
		const struct log_entry *e = &s->farm->log[s->lines[i]];
		if (e->on - boxed_on >= OPENED_AFTER && touches(e, box))
			return true;
	}
	return false;
}

static void find_boxes(const struct survey *s, struct weighed_batch *w)
{
	const struct batch *b = &s->farm->batches[w->batch];
	size_t cap = 0;
	if (b->boxed_on == DAY_NONE)
		return;
	bool closed = false;
	for (uint32_t i = 0; i < s->farm->nboxes; i++) {
		if (!may_hold(&s->farm->boxes[i], b))
			continue;
		*ARENA_PUSH(s->arena, w->boxes, w->nboxes, cap) = i;
		closed |= !opened(s, i, b->boxed_on);
	}
	const struct drying *d = &w->drying;
	bool dry_by_then = d->expected != DAY_NONE && d->expected <= b->boxed_on;
	w->look = d->verdict == DRYING_HANG && !dry_by_then && s->on - b->boxed_on <= LOOK_FOR &&
	          (closed || w->nboxes == 0);
}

void weighed_reckon(struct weighed *out, const struct farm *farm, day on, struct arena *a)
{
	struct survey s = { .farm = farm, .on = on, .arena = a };
	size_t cap = 0, cap_never = 0;
	*out = (struct weighed){ 0 };
	s.nlines = bench_lines(&s.lines, farm, on, NULL, a);
	for (uint32_t i = 0; i < farm->nbatches; i++) {
		struct weighing *all;
		struct weighed_batch w = { .batch = i, .boxed = batch_boxed(&farm->batches[i], on) };
		size_t n = drying_weighings(&all, farm, i, on, s.lines, s.nlines, a);
		w.n = drying_nets(&w.list, all, n, farm->batches[i].tare, a);
		if (w.n == 0) {
			if (batch_hangs(&farm->batches[i], on))
				*ARENA_PUSH(a, out->never, out->nnever, cap_never) = i;
			continue;
		}
		drying_judge(&w.drying, all, n, farm->batches[i].tare, a);
		if (w.boxed)
			find_boxes(&s, &w);
		*ARENA_PUSH(a, out->items, out->n, cap) = w;
	}
}
