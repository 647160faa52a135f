/* reach_list.c - what a stated number takes: a plan with as little missing as can be,
 * and of it the share of the pieces asked for, open orders served first. */
#include <math.h>

#include "reckon/loss.h"
#include "reckon/reach_shed.h"

struct sums {               /* of one kind of item */
	struct rat *needed; /* by the pieces asked for */
	double *others;     /* by the open orders */
	int64_t *whole;
	unsigned char *used;
};
struct listing {
	struct program p;
	struct reach_list *out;
	struct arena *a, *scratch;
	int64_t count;
	int64_t *mine;     /* per variant: makings for the pieces asked for */
	uint32_t *buckets; /* per variant of a crop */
	int64_t *made;     /* per part: makings for them */
	struct sums crops, parts, supplies;
	double *short_crops, *short_supplies;
};

static struct sums sums_of(struct arena *a, size_t n)
{
	struct sums s = { ARENA_ARRAY(a, n + 1, struct rat), ARENA_ARRAY(a, n + 1, double),
			  ARENA_ARRAY(a, n + 1, int64_t), ARENA_ARRAY(a, n + 1, unsigned char) };
	for (size_t i = 0; i < n; i++)
		s.needed[i] = RAT_ZERO;
	return s;
}

/* ---- whose is what ---- */

static uint32_t item_of(const struct program *p, const struct variant *v)
{
	return p->makers[v->maker].needs[v->need].options[v->option].item.index;
}

static int add_needed(struct listing *l, struct sums *s, uint32_t i, int64_t n, struct rat each)
{
	struct rat sum;
	if (n == 0)
		return 0;
	s->used[i] = 1;
	if (!rat_mul(&sum, (struct rat){ n, 1 }, each) || !rat_add(&sum, s->needed[i], sum))
		return diag_error(l->p.q->diag, SPAN_NONE,
				  "The number asked for is too large to be reckoned.");
	s->needed[i] = sum;
	return 0;
}

/* Open orders take the first ways first; the rest is for the pieces asked for. */
static int split_need(struct listing *l, size_t first, size_t n, int64_t others)
{
	for (size_t k = first; k < first + n; k++) {
		const struct variant *v = &l->p.variants[k];
		int64_t theirs = v->got < others ? v->got : others;
		others -= theirs;
		l->mine[k] = v->got - theirs;
		uint32_t i = item_of(&l->p, v);
		struct sums *s = v->kind == KIND_CROP   ? &l->crops
				 : v->kind == KIND_PART ? &l->parts
							: &l->supplies;
		struct rat each = v->kind == KIND_CROP ? v->stems : v->count;
		if (add_needed(l, s, i, l->mine[k], each) < 0)
			return -1;
		s->others[i] += (double)theirs * rat_double(each);
		if (v->kind == KIND_CROP)
			s->whole[i] += times_up(v->got, each) - times_up(theirs, each);
	}
	return 0;
}

/* Makings of a part that today's orders would have taken anyway. */
static int64_t others_makings(struct listing *l, const struct maker *m)
{
	const struct batch_of *b = &l->p.batches[l->p.batch_of[m->item.index]];
	int64_t gross = 0, mine = 0;
	for (size_t k = 0; k < l->p.nvariants; k++) {
		const struct variant *v = &l->p.variants[k];
		if (v->kind != KIND_PART || v->where != l->p.batch_of[m->item.index] ||
		    l->p.makers[v->maker].day != m->day)
			continue;
		gross = plenty_add(gross, plenty_times(v->got, v->scaled));
		mine = plenty_add(mine, plenty_times(l->mine[k], v->scaled));
	}
	int64_t from_stock = gross - plenty_times(m->got, b->makes);
	int64_t theirs = gross - mine - (from_stock > 0 ? from_stock : 0);
	int64_t makings = theirs > 0 ? (theirs + b->makes - 1) / b->makes : 0;
	return makings < m->got ? makings : m->got;
}

static int split(struct listing *l)
{
	struct program *p = &l->p;
	for (size_t i = 0; i < p->nmakers; i++) {
		const struct maker *m = &p->makers[i];
		int64_t mine = m->wanted ? l->count : 0;
		if (m->item.kind == KIND_PART && m->day == 0) {
			mine = m->got - others_makings(l, m);
			l->made[m->item.index] = mine;
		}
		size_t end = m->first + m->nvariants;
		for (size_t k = m->first, next; k < end; k = next) {
			for (next = k; next < end && p->variants[next].need == p->variants[k].need;)
				next++;
			if (split_need(l, k, next - k, m->got - mine) < 0)
				return -1;
		}
	}
	return 0;
}

/* ---- lines ---- */

/* What was left out as enough for all is looked at again, to say how much there is. */
static void find_buckets(struct listing *l)
{
	struct program *p = &l->p;
	l->buckets = ARENA_ARRAY(l->scratch, p->nvariants + 1, uint32_t);
	for (size_t k = 0; k < p->nvariants; k++) {
		const struct variant *v = &p->variants[k];
		const struct maker *m = &p->makers[v->maker];
		const struct need_option *o = &m->needs[v->need].options[v->option];
		if (v->kind == KIND_CROP)
			l->buckets[k] = program_bucket(p, o->item.index, m->day, o, v->colour);
	}
}

/* Stems that fit what the pieces take, when the orders have theirs. */
static double stems_left(struct listing *l, uint32_t crop)
{
	struct program *p = &l->p;
	struct room *room = &p->rooms[p->room_of[crop]];
	unsigned char *fits = ARENA_ARRAY(l->scratch, room->nclasses + 1, unsigned char);
	for (size_t i = 0; i < p->nbuckets; i++)
		p->buckets[i].lo = 0;
	for (size_t k = 0; k < p->nvariants; k++) {
		const struct variant *v = &p->variants[k];
		if (v->kind != KIND_CROP || &p->rooms[p->buckets[l->buckets[k]].room] != room)
			continue;
		struct bucket *b = &p->buckets[l->buckets[k]];
		b->lo = plenty_add(b->lo, times_up(v->got - l->mine[k], v->stems));
		for (size_t c = 0; c < room->nclasses && l->mine[k] > 0; c++)
			fits[c] |= b->fits[c];
	}
	allot_start(p, room);
	allot_all(room->by_hand, false);
	const struct allotment *t = room->by_hand;
	int64_t stems = 0, aside = 0;
	for (size_t c = 0; c < room->nclasses; c++) {
		size_t today = c * p->q->ndays;
		if (!fits[c])
			continue;
		stems += times_down(t->aside[today] + t->left[c], room->classes[c].keep[0]) -
			 t->used[today];
		aside += t->left[c];
	}
	if (aside > t->usable) /* the reserve stays */
		stems = stems > aside - t->usable ? stems - (aside - t->usable) : 0;
	return (double)stems;
}

static struct list_line *add_line(struct listing *l, enum kind kind, uint32_t index,
				  struct rat needed)
{
	struct list_line *line = &l->out->lines[l->out->n++];
	*line = (struct list_line){ .item = { kind, index }, .needed = needed };
	return line;
}

static void crop_lines(struct listing *l)
{
	for (uint32_t i = 0; i < l->p.q->farm->ncrops; i++) {
		if (!l->crops.used[i] && !(l->short_crops[i] > 0))
			continue;
		struct list_line *line = add_line(l, KIND_CROP, i, l->crops.needed[i]);
		line->whole = (double)l->crops.whole[i];
		line->missing = l->short_crops[i];
		line->on_hand = l->crops.used[i] ? stems_left(l, i) : 0;
		/* The plan may know better than a quick look. */
		line->on_hand = fmax(line->on_hand, line->whole - line->missing);
		l->out->possible = l->out->possible && !(line->missing > 0);
	}
}

static void part_lines(struct listing *l)
{
	const struct question *q = l->p.q;
	for (size_t k = 0; k < q->farm->nparts; k++) {
		uint32_t i = q->farm->part_order[k];
		if (!l->parts.used[i])
			continue;
		const struct part *part = &q->farm->parts[i];
		struct list_line *line = add_line(l, KIND_PART, i, l->parts.needed[i]);
		double needed = rat_double(line->needed);
		double makes = rat_sign(part->makes) > 0 ? rat_double(part->makes) : 1;
		line->whole = (double)l->made[i];
		line->on_hand = fmax(fmax(0, q->stock->parts[i] - l->parts.others[i]),
				     needed - line->whole * makes);
		if (line->whole > 0)
			line->missing = fmax(0, needed - line->on_hand);
		else
			line->on_hand = fmax(line->on_hand, needed);
	}
}

static void supply_lines(struct listing *l)
{
	const struct question *q = l->p.q;
	for (uint32_t i = 0; i < q->farm->nsupplies; i++) {
		const struct supply *s = &q->farm->supplies[i];
		bool few = l->short_supplies[i] > 0; /* with no buying: for the orders too */
		if (!l->supplies.used[i] && !few)
			continue;
		struct list_line *line = add_line(l, KIND_SUPPLY, i, l->supplies.needed[i]);
		double needed = rat_double(line->needed), pack = s->pack.v;
		line->on_hand = q->stock->supplies[i];
		if (!isnan(line->on_hand))
			line->on_hand = fmax(0, line->on_hand - l->supplies.others[i]);
		line->missing = fmax(0, needed - (isnan(line->on_hand) ? 0 : line->on_hand));
		if (line->missing < 1e-9 * needed)
			line->missing = 0;
		line->missing = fmax(line->missing, l->short_supplies[i]);
		line->whole = pack > 0 ? (double)loss_cover(needed / pack) : needed;
		line->packs = pack > 0 ? (double)loss_cover(line->missing / pack) : 0;
		double buy = pack > 0 ? line->packs * pack : line->missing;
		line->money = s->cost.given ? buy * s->cost.v : (double)NAN;
		l->out->possible = l->out->possible && !few;
	}
}

static int make_list(struct listing *l, struct question *q)
{
	const struct farm *farm = q->farm;
	struct arena *s = l->scratch;
	l->crops = sums_of(s, farm->ncrops);
	l->parts = sums_of(s, farm->nparts);
	l->supplies = sums_of(s, farm->nsupplies);
	l->made = ARENA_ARRAY(s, farm->nparts + 1, int64_t);
	l->short_crops = ARENA_ARRAY(s, farm->ncrops + 1, double);
	l->short_supplies = ARENA_ARRAY(s, farm->nsupplies + 1, double);
	if (program_build(&l->p, q, s) < 0 || program_strip(&l->p, q, l->count, s) < 0)
		return -1;
	struct solving how = { .short_crops = l->short_crops, .short_supplies = l->short_supplies };
	struct finding_n f = program_solve(&l->p, l->count, l->count, &how);
	l->out->found = f.found == FOUND_MOST || f.found == FOUND_SOME;
	if (!l->out->found)
		return 0;
	l->mine = ARENA_ARRAY(s, l->p.nvariants + 1, int64_t);
	if (split(l) < 0)
		return -1;
	find_buckets(l);
	l->out->lines =
	    ARENA_ARRAY(l->a, farm->ncrops + farm->nparts + farm->nsupplies + 1, struct list_line);
	l->out->possible = true;
	l->out->least = f.found == FOUND_MOST;
	crop_lines(l);
	part_lines(l);
	supply_lines(l);
	l->out->least = l->out->least || l->out->possible;
	return 0;
}

int reach_list(struct reach_list *out, const struct farm *farm, const struct stock *stock,
	       uint32_t piece, int64_t count, const struct reach_options *options, struct arena *a,
	       struct diag *diag)
{
	struct arena scratch;
	struct reach_shed s;
	*out = (struct reach_list){ 0 };
	if (count < 0 || count > PIECES_MOST)
		return diag_error(diag, SPAN_NONE,
				  "The number asked for is too large to be reckoned.");
	arena_init(&scratch);
	reach_shed_open(&s, farm, stock, options, &scratch, NULL, diag);
	struct promise *near = ARENA_ARRAY(&scratch, s.npromises + 1, struct promise);
	struct question q = { .farm = farm,
			      .stock = stock,
			      .no_buying = s.no_buying,
			      .days = s.days,
			      .ndays = s.ndays,
			      .keep = s.keep,
			      .promises = near,
			      .npromises = reach_touching(&s, piece, near, &scratch),
			      .piece = piece,
			      .crops = ARENA_ARRAY(&scratch, farm->ncrops + 1, unsigned char),
			      .supplies = ARENA_ARRAY(&scratch, farm->nsupplies + 1, unsigned char),
			      .elastic = true,
			      .choices = true,
			      .nodes = s.nodes,
			      .diag = diag };
	struct listing l = { .out = out, .a = a, .scratch = &scratch, .count = count };
	int fault = make_list(&l, &q);
	arena_release(&scratch);
	return fault;
}
