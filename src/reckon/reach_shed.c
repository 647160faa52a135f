/* reach_shed.c - what every question about a day shares: orders less finished pieces,
 * days of use, and which pieces touch which materials. */
#include "reckon/reach_shed.h"

#include <math.h>

#include "reckon/loss.h"

/* ---- what the orders still want ---- */

struct due {
	uint32_t piece;
	day on;
	int64_t count;
	size_t index;
};

static int by_due(const void *x, const void *y)
{
	const struct due *a = x, *b = y;
	if (a->on != b->on)
		return a->on < b->on ? -1 : 1;
	return (a->index > b->index) - (a->index < b->index);
}

static struct str order_name(struct arena *a, const struct order *o)
{
	char text[32];
	if (o->id.n)
		return o->id;
	int n = snprintf(text, sizeof text, "line %u", (unsigned)o->line);
	return (struct str){ arena_copy(a, text, (size_t)n), (size_t)n };
}

/* Open orders by day; what is overdue or has no day is due on `on`. */
static size_t open_orders(struct reach_shed *s, struct due *dues)
{
	struct said late = { 0 };
	size_t n = 0;
	for (size_t i = 0; i < s->farm->norders; i++) {
		const struct order *o = &s->farm->orders[i];
		if (!stock_order_open(o, s->stock->on) || !(o->count > 0))
			continue;
		bool now = o->due == DAY_NONE || o->due <= s->stock->on;
		dues[n++] = (struct due){ o->piece, now ? s->stock->on : o->due,
					  loss_whole(fmin(o->count, PIECES_MOST)), i };
		if (now && o->due != s->stock->on)
			said_add(&late, s->a, order_name(s->a, o));
	}
	if (n)
		qsort(dues, n, sizeof *dues, by_due);
	if (late.n && s->remarks)
		remark(s->remarks, REMARK_ASSUMED,
		       "Orders past their day or without one are taken as due today: %s.",
		       said_text(&late));
	return n;
}

static uint32_t day_index(struct reach_shed *s, day on)
{
	for (uint32_t d = 0; d < s->ndays; d++)
		if (s->days[d] == on)
			return d;
	s->days[s->ndays] = on;
	return s->ndays++;
}

static void promise(struct reach_shed *s, uint32_t piece, day on, int64_t count)
{
	uint32_t d = day_index(s, on);
	for (size_t i = 0; i < s->npromises; i++)
		if (s->promises[i].piece == piece && s->promises[i].day == d) {
			s->promises[i].count = plenty_add(s->promises[i].count, count);
			return;
		}
	s->promises[s->npromises++] = (struct promise){ piece, d, count };
}

/* Finished pieces first, earliest due first; the days come out rising. */
static void take_orders(struct reach_shed *s, bool ignore)
{
	const struct farm *farm = s->farm;
	struct due *dues = ARENA_ARRAY(s->a, farm->norders + 1, struct due);
	size_t n = ignore ? 0 : open_orders(s, dues);
	s->promises = ARENA_ARRAY(s->a, n + 1, struct promise);
	s->days = ARENA_ARRAY(s->a, n + 1, day);
	s->finished = ARENA_ARRAY(s->a, farm->npieces + 1, int64_t);
	s->ready = ARENA_ARRAY(s->a, n + 1, struct ready_order);
	s->days[0] = s->stock->on;
	s->ndays = 1;
	for (size_t i = 0; i < farm->npieces; i++)
		s->finished[i] = loss_whole(s->stock->pieces[i]);
	for (size_t i = 0; i < n; i++) {
		int64_t *have = &s->finished[dues[i].piece];
		int64_t use = dues[i].count < *have ? dues[i].count : *have;
		*have -= use;
		if (use > 0)
			s->ready[s->nready++] = (struct ready_order){ dues[i].piece, dues[i].on, use };
		if (dues[i].count > use)
			promise(s, dues[i].piece, dues[i].on, dues[i].count - use);
	}
}

/* ---- which pieces share materials ---- */

static size_t item_slot(const struct farm *farm, struct item item)
{
	return item.kind == KIND_CROP   ? item.index
	       : item.kind == KIND_PART ? farm->ncrops + item.index
					: farm->ncrops + farm->nparts + item.index;
}

static void mark_needs(const struct reach_shed *s, const struct need *needs, size_t n,
		       unsigned char *uses)
{
	for (size_t i = 0; i < n; i++)
		for (size_t k = 0; k < needs[i].noptions; k++) {
			struct item item = needs[i].options[k].item;
			bool counts = item.kind == KIND_CROP || item.kind == KIND_PART ||
				      (item.kind == KIND_SUPPLY && s->no_buying);
			if (counts)
				uses[item_slot(s->farm, item)] = 1;
		}
}

static void find_uses(struct reach_shed *s)
{
	const struct farm *farm = s->farm;
	s->nslots = farm->ncrops + farm->nparts + farm->nsupplies;
	s->uses = ARENA_ARRAY(s->a, farm->npieces + 1, unsigned char *);
	for (size_t i = 0; i < farm->npieces; i++) {
		unsigned char *uses = s->uses[i] = ARENA_ARRAY(s->a, s->nslots + 1, unsigned char);
		mark_needs(s, farm->pieces[i].needs, farm->pieces[i].nneeds, uses);
		for (size_t k = 0; k < farm->nparts; k++) {
			const struct part *part = &farm->parts[farm->part_order[k]];
			if (uses[farm->ncrops + farm->part_order[k]])
				mark_needs(s, part->needs, part->nneeds, uses);
		}
	}
}

static bool share(const unsigned char *a, const unsigned char *b, size_t n)
{
	for (size_t i = 0; i < n; i++)
		if (a[i] && b[i])
			return true;
	return false;
}

/* The promises that share a material with the piece, directly or through others. */
size_t reach_touching(const struct reach_shed *s, uint32_t piece, struct promise *out,
		      struct arena *a)
{
	unsigned char *all = ARENA_ARRAY(a, s->nslots + 1, unsigned char);
	bool *in = ARENA_ARRAY(a, s->npromises + 1, bool);
	size_t n = 0;
	memcpy(all, s->uses[piece], s->nslots);
	for (bool more = true; more;) {
		more = false;
		for (size_t i = 0; i < s->npromises; i++) {
			const unsigned char *uses = s->uses[s->promises[i].piece];
			if (in[i] ||
			    !(s->promises[i].piece == piece || share(all, uses, s->nslots)))
				continue;
			in[i] = more = true;
			for (size_t k = 0; k < s->nslots; k++)
				all[k] |= uses[k];
		}
	}
	for (size_t i = 0; i < s->npromises; i++)
		if (in[i])
			out[n++] = s->promises[i];
	return n;
}

void reach_shed_open(struct reach_shed *s, const struct farm *farm, const struct stock *stock,
		     const struct reach_options *options, struct arena *a, struct remarks *r,
		     struct diag *diag)
{
	*s =
	    (struct reach_shed){ .farm = farm, .stock = stock, .a = a, .remarks = r, .diag = diag };
	s->no_buying = options->no_buying;
	s->nodes = options->nodes;
	take_orders(s, options->ignore_orders);
	find_uses(s);
	s->keep = shed_keep(farm, stock, s->days, s->ndays, a);
}
