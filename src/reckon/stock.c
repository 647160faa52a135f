/* stock.c - counts, moved by the bench log, shrunk to the day, pooled into classes. */
#include "reckon/stock.h"

#include <math.h>

#include "reckon/bench.h"
#include "reckon/loss.h"

/* Not enough to be more than a rounding error of counts. */
#define CRUMB 1e-9

/* A supply, part, piece or crop: its boxes, and what lies in no box of the table. */
struct shelf {
	uint32_t first;         /* box; NONE */
	day counted;            /* latest count of its boxes in stock.csv; DAY_NONE: none */
	double loose;
	bool known;             /* counted, or moved by the log */
};

struct taking {                 /* what stock_take works with */
	struct stock *s;
	const struct farm *farm;
	struct arena *arena;
	struct remarks *r;
	day *counted;           /* per box: its count in stock.csv */
	day *recounted;         /* per box: its last count, in either place */
	uint32_t *next;         /* per box: next box of the same item */
	size_t *first_move;     /* per box: moves before that one are in its count */
	size_t cap_moves;
	struct shelf *shelves[KIND_COUNT];
	bool by_recipe;         /* something was taken off by the recipe */
	struct said short_boxes, no_box, not_drawn, too_few, short_items;
};

bool stock_order_open(const struct order *o, day on)
{
	return o->sent == DAY_NONE || o->sent > on;
}

static struct str words(struct arena *a, const char *what, size_t n)
{
	char text[64];
	int len = snprintf(text, sizeof text, "%s %zu", what, n);
	return (struct str){ arena_copy(a, text, (size_t)len), (size_t)len };
}

static struct str box_name(struct arena *a, const struct box *box)
{
	return box->id.n ? box->id : words(a, "line", box->line);
}

static struct shelf *shelf_of(struct taking *t, struct item item)
{
	return &t->shelves[item.kind][item.index];
}

static double storage_rate(const struct stock *s, uint32_t crop)
{
	return rates_at(s->rates, crop, STAGE_STORAGE);
}

/* ---- setting out: the counts of stock.csv ---- */

static struct shelf *new_shelves(struct arena *a, size_t n)
{
	struct shelf *shelves = ARENA_ARRAY(a, n, struct shelf);
	for (size_t i = 0; i < n; i++)
		shelves[i] = (struct shelf){ .first = NONE, .counted = DAY_NONE };
	return shelves;
}

static void set_box(struct taking *t, uint32_t i, double count, day when)
{
	struct stock_box *box = &t->s->boxes[i];
	struct item item = t->farm->boxes[i].item;
	box->count = count;
	box->worth = count;
	box->base = count;
	box->base_on = when;
	box->cut = false;
	t->first_move[i] = t->s->nmoves;
	t->recounted[i] = when;
	if (item.kind == KIND_CROP)
		box->worth *= loss_storage(storage_rate(t->s, item.index),
		                           date_months(when, t->s->on));
}

/* Boxes are chained in file order, hence from the last to the first. */
static void lay_out(struct taking *t)
{
	const struct farm *farm = t->farm;
	struct said late = { 0 }, undated = { 0 };
	for (size_t i = farm->nboxes; i-- > 0;) {
		const struct box *box = &farm->boxes[i];
		struct shelf *shelf = shelf_of(t, box->item);
		t->next[i] = shelf->first;
		shelf->first = (uint32_t)i;
		shelf->known = true;
		t->counted[i] = box->counted == DAY_NONE ? t->s->on : box->counted;
		if (shelf->counted == DAY_NONE || t->counted[i] > shelf->counted)
			shelf->counted = t->counted[i];
		set_box(t, (uint32_t)i, box->count, t->counted[i]);
	}
	for (size_t i = 0; i < farm->nboxes; i++) {
		if (t->counted[i] > t->s->on && farm->boxes[i].count > 0)
			said_add(&late, t->arena, box_name(t->arena, &farm->boxes[i]));
		if (farm->boxes[i].counted == DAY_NONE)
			said_add(&undated, t->arena, box_name(t->arena, &farm->boxes[i]));
	}
	char on[11];
	date_print(t->s->on, on);
	if (late.n)
		remark(t->r, REMARK_ASSUMED, "Counted after %s and used as counted, without loss: %s.", on,
		       said_text(&late));
	if (undated.n)
		remark(t->r, REMARK_ASSUMED, "No day of counting, taken as counted on %s: %s.", on,
		       said_text(&undated));
}

/* ---- moving: the bench log ---- */

/* Stems into (or, negative, out of) a box of a crop on a day. */
static void move_stems(struct taking *t, uint32_t i, double stems, day when)
{
	struct stock_box *box = &t->s->boxes[i];
	double rate = storage_rate(t->s, t->farm->boxes[i].item.index);
	box->count += stems;
	box->worth += stems * loss_storage(rate, date_months(when, t->s->on));
	*ARENA_PUSH(t->arena, t->s->moves, t->s->nmoves, t->cap_moves) =
	    (struct stock_move){ .box = i, .on = when, .stems = stems };
	/* The pull list rounds a box's good stems up to a whole one: less than that is no doubt. */
	box->cut = box->cut || box->count < -CRUMB || box->worth < -CRUMB;
	if (box->count < -CRUMB || box->worth <= -1)
		said_add(&t->short_boxes, t->arena, box_name(t->arena, &t->farm->boxes[i]));
	box->count = fmax(box->count, 0);
	box->worth = fmin(fmax(box->worth, 0), box->count);
}

/* Moves that a later count has made good are no longer of interest. */
static void drop_old_moves(struct taking *t)
{
	struct stock *s = t->s;
	size_t kept = 0;
	for (size_t i = 0; i < s->nmoves; i++) {
		if (i >= t->first_move[s->moves[i].box])
			s->moves[kept++] = s->moves[i];
	}
	s->nmoves = kept;
}

static void move_box(struct taking *t, uint32_t i, double n, day when)
{
	struct stock_box *box = &t->s->boxes[i];
	if (when <= t->counted[i])
		return; /* in the count already */
	if (t->farm->boxes[i].item.kind == KIND_CROP) {
		move_stems(t, i, n, when);
		return;
	}
	box->count += n;
	if (box->count < -CRUMB)
		said_add(&t->short_boxes, t->arena, box_name(t->arena, &t->farm->boxes[i]));
	box->count = fmax(box->count, 0);
	box->worth = box->count;
}

static double on_shelf(const struct taking *t, const struct shelf *shelf)
{
	double sum = shelf->loose;
	for (uint32_t i = shelf->first; i != NONE; i = t->next[i])
		sum += t->s->boxes[i].count;
	return sum;
}

/* Onto the shelf of a supply, part or piece, in no box that the line names. */
static void put(struct taking *t, struct item item, double n, day when)
{
	struct shelf *shelf = shelf_of(t, item);
	if (shelf->counted != DAY_NONE && when <= shelf->counted)
		return;
	shelf->known = true;
	if (shelf->first != NONE)
		t->s->boxes[shelf->first].count += n;
	else
		shelf->loose += n;
}

/* Off the shelf: from its boxes in file order, then loose ones. */
static void take(struct taking *t, struct item item, double n, day when)
{
	struct shelf *shelf = shelf_of(t, item);
	if (!shelf->known || (shelf->counted != DAY_NONE && when <= shelf->counted))
		return;
	for (uint32_t i = shelf->first; i != NONE && n > 0; i = t->next[i]) {
		double part = fmin(n, t->s->boxes[i].count);
		t->s->boxes[i].count -= part;
		n -= part;
	}
	double part = fmin(n, shelf->loose);
	shelf->loose -= part;
	if (n - part > CRUMB)
		said_add(&t->short_items, t->arena, farm_head(t->farm, item)->name);
}

static void say_no_box(struct taking *t, const struct log_entry *e)
{
	said_add(&t->no_box, t->arena, words(t->arena, "line", e->line));
}

/* n base units of the entry's item, negative for out. */
static void move_item(struct taking *t, const struct log_entry *e, double n)
{
	if (isnan(n))
		return;
	if (e->box != NONE && same_item(t->farm->boxes[e->box].item, e->item))
		move_box(t, e->box, n, e->on);
	else if (e->item.kind == KIND_CROP)
		say_no_box(t, e);
	else if (n >= 0)
		put(t, e->item, n, e->on);
	else
		take(t, e->item, -n, e->on);
}

static void recount(struct taking *t, const struct log_entry *e)
{
	struct shelf *shelf = shelf_of(t, e->item);
	if (isnan(e->count))
		return;
	if (e->box != NONE && same_item(t->farm->boxes[e->box].item, e->item)) {
		if (e->on > t->counted[e->box])
			set_box(t, e->box, e->count, e->on);
		return;
	}
	if (e->item.kind == KIND_CROP) {
		say_no_box(t, e);
		return;
	}
	if (shelf->counted != DAY_NONE && e->on <= shelf->counted)
		return;
	for (uint32_t i = shelf->first; i != NONE; i = t->next[i])
		t->s->boxes[i].count = 0;
	shelf->loose = 0;
	shelf->known = true;
	put(t, e->item, e->count, e->on);
}

/* ---- what making takes by the recipe ---- */

static void take_by_recipe(struct taking *t, const struct log_entry *e, const struct need *need,
                           double makings)
{
	struct item item = need->options[0].item;
	for (size_t k = 0; k < need->noptions; k++) {
		if (bench_drew(t->farm, e, need->options[k].item))
			return; /* the line itself says what was taken */
	}
	double n = makings * rat_double(need->options[0].count);
	struct shelf *shelf = shelf_of(t, item);
	if (item.kind == KIND_CROP) {
		bool counts = shelf->first != NONE && e->on > shelf->counted;
		if (counts && !(e->drawn_gone > 0)) /* those came from boxes no longer here */
			said_add(&t->not_drawn, t->arena, words(t->arena, "line", e->line));
		return;
	}
	if (!shelf->known || (shelf->counted != DAY_NONE && e->on <= shelf->counted))
		return;
	if (item.kind == KIND_PART) {
		if (bench_on_the_spot(t->farm, e, item))
			return;
		/* The rest was made on the spot, or the count is wrong: take() says so. */
	}
	if (n > 0) {
		take(t, item, n, e->on);
		t->by_recipe = true;
	}
}

static bool is_way(const struct need *need, struct item item)
{
	for (size_t k = 0; k < need->noptions; k++) {
		if (same_item(need->options[k].item, item))
			return true;
	}
	return false;
}

/* Stems drawn that the need can use. */
static double drawn_for(const struct farm *farm, const struct log_entry *e, const struct need *need)
{
	double sum = 0;
	for (size_t i = 0; i < e->ndrawn; i++) {
		struct item item = farm->boxes[e->drawn[i].box].item;
		if (item.kind == KIND_CROP && is_way(need, item))
			sum += e->drawn[i].stems;
	}
	return sum;
}

/* The fewest stems that one making takes of what the need can use: its own, and those
 * of other needs that can use nothing else. */
static double least_of(struct recipe recipe, const struct need *need)
{
	double sum = 0;
	for (size_t i = 0; i < recipe.nneeds; i++) {
		const struct need *other = &recipe.needs[i];
		double least = INFINITY;
		bool within = other->noptions > 0;
		for (size_t k = 0; k < other->noptions; k++) {
			within &= is_way(need, other->options[k].item);
			least = fmin(least, rat_double(other->options[k].count));
		}
		sum += within ? least : 0;
	}
	return sum;
}

static bool moves_boxes(const struct taking *t, const struct log_entry *e)
{
	for (size_t i = 0; i < e->ndrawn; i++) {
		if (e->on > t->counted[e->drawn[i].box])
			return true;
	}
	return false;
}

/* Boxes were named, but for a small part only of what the recipe takes. */
static void doubt_draws(struct taking *t, const struct log_entry *e, struct recipe recipe)
{
	double gone = e->drawn_gone > 0 ? e->drawn_gone : 0;
	for (size_t i = 0; i < recipe.nneeds && moves_boxes(t, e); i++) {
		double drawn = drawn_for(t->farm, e, &recipe.needs[i]);
		double least = least_of(recipe, &recipe.needs[i]) * e->count / recipe.makes;
		if (drawn > 0 && drawn + gone < least / 2)
			said_add(&t->too_few, t->arena, words(t->arena, "line", e->line));
	}
}

static void made(struct taking *t, const struct log_entry *e)
{
	struct recipe recipe = recipe_of(t->farm, e->item);
	for (size_t i = 0; i < e->ndrawn; i++)
		move_box(t, e->drawn[i].box, -e->drawn[i].stems, e->on);
	if (isnan(e->count))
		return;
	move_item(t, e, e->count);
	for (size_t i = 0; i < recipe.nneeds; i++) {
		if (recipe.needs[i].noptions)
			take_by_recipe(t, e, &recipe.needs[i], e->count / recipe.makes);
	}
	doubt_draws(t, e, recipe);
}

static void move(struct taking *t, const struct log_entry *e)
{
	switch (e->event) {
	case EVENT_MADE:
		made(t, e);
		break;
	case EVENT_BOXED:
		move_item(t, e, e->count);
		break;
	case EVENT_TOSSED:
	case EVENT_SOLD:
		move_item(t, e, -e->count);
		break;
	case EVENT_COUNTED:
		recount(t, e);
		break;
	default: /* cut, hung and weighed stems are in no box yet */
		break;
	}
}

static void say_later(struct taking *t, size_t later)
{
	char on[11];
	date_print(t->s->on, on);
	if (later)
		remark(t->r, REMARK_ASSUMED, "Of bench.csv %zu %s after %s and %s left out.", later,
		       later == 1 ? "entry is" : "entries are", on, later == 1 ? "is" : "are");
}

static void move_by_log(struct taking *t)
{
	size_t *lines, later;
	size_t n = bench_lines(&lines, t->farm, t->s->on, &later, t->arena);
	say_later(t, later);
	for (size_t i = 0; i < n; i++)
		move(t, &t->farm->log[lines[i]]);
}

static void say_movements(struct taking *t)
{
	if (t->by_recipe)
		remark(t->r, REMARK_ASSUMED,
		       "What the bench log says was made since the count has taken supplies and "
		       "made-ahead parts off the shelf by the recipe.");
	if (t->no_box.n)
		remark(t->r, REMARK_DOUBT,
		       "bench.csv names no box for stems, so the stock is not moved by them: %s.",
		       said_text(&t->no_box));
	if (t->not_drawn.n)
		remark(t->r, REMARK_DOUBT,
		       "bench.csv does not say from which box stems were taken, so they still count as "
		       "in the shed: %s.",
		       said_text(&t->not_drawn));
	if (t->too_few.n)
		remark(t->r, REMARK_DOUBT,
		       "bench.csv draws fewer than half of the stems that the recipe takes, so stems "
		       "may still count as in the shed that are gone: %s.",
		       said_text(&t->too_few));
	if (t->short_boxes.n)
		remark(t->r, REMARK_DOUBT,
		       "More was taken than the count and the losses leave, so count again: %s.",
		       said_text(&t->short_boxes));
	if (t->short_items.n)
		remark(t->r, REMARK_DOUBT, "More was taken than there was, so count again: %s.",
		       said_text(&t->short_items));
}

/* ---- age, totals, classes ---- */

static bool past_keeping(const struct farm *farm, const struct box *box, day on)
{
	const struct fig *keeps = &farm->crops[box->item.index].keeps;
	return keeps->v > 0 && box->boxed != DAY_NONE && date_months(box->boxed, on) > keeps->v;
}

static bool has_stems(const struct farm *farm, const struct stock *s, size_t i)
{
	return farm->boxes[i].item.kind == KIND_CROP && s->boxes[i].count > 0;
}

static void judge_age(struct taking *t)
{
	const struct farm *farm = t->farm;
	struct said past = { 0 }, ageless = { 0 };
	for (size_t i = 0; i < farm->nboxes; i++) {
		const struct box *box = &farm->boxes[i];
		if (!has_stems(farm, t->s, i))
			continue;
		t->s->boxes[i].past = past_keeping(farm, box, t->s->on);
		if (t->s->boxes[i].past)
			said_add(&past, t->arena, box_name(t->arena, box));
		if (box->boxed == DAY_NONE)
			said_add(&ageless, t->arena, box_name(t->arena, box));
	}
	if (past.n)
		remark(t->r, REMARK_ASSUMED,
		       t->s->with_past ? "Past keeping, but counted as usable: %s."
		                       : "Past keeping and left out: %s.",
		       said_text(&past));
	if (ageless.n)
		remark(t->r, REMARK_ASSUMED,
		       "No day of boxing, so never past keeping and without loss before the count: %s.",
		       said_text(&ageless));
}

static double *totals(struct taking *t, enum kind kind, size_t n)
{
	double *sum = ARENA_ARRAY(t->arena, n, double);
	for (size_t i = 0; i < n; i++) {
		const struct shelf *shelf = &t->shelves[kind][i];
		sum[i] = kind == KIND_SUPPLY && !shelf->known ? NAN : on_shelf(t, shelf);
	}
	return sum;
}

struct class_key {
	uint32_t crop, colour;
	bool past;
	double length;
	int32_t month;
	size_t box;
};

static int by_class(const void *x, const void *y)
{
	const struct class_key *a = x, *b = y;
	if (a->crop != b->crop)
		return a->crop < b->crop ? -1 : 1;
	if (a->past != b->past)
		return a->past ? 1 : -1;
	if (a->colour != b->colour)
		return a->colour < b->colour ? -1 : 1;
	if (a->length != b->length)
		return a->length < b->length ? -1 : 1;
	return (a->month > b->month) - (a->month < b->month);
}

static int by_class_then_box(const void *x, const void *y)
{
	const struct class_key *a = x, *b = y;
	int order = by_class(x, y);
	return order ? order : (a->box > b->box) - (a->box < b->box);
}

static struct class_key key_of(const struct taking *t, size_t i)
{
	const struct box *box = &t->farm->boxes[i];
	struct civil c = date_civil(box->boxed);
	return (struct class_key){ .crop = box->item.index,
		                   .colour = box->colour,
		                   .past = t->s->boxes[i].past,
		                   .length = box->length,
		                   .month = box->boxed == DAY_NONE ? -1 : c.year * 12 + c.month - 1,
		                   .box = i };
}

static void add_to_class(struct stock_class *c, const struct box *box, const struct stock_box *in,
                         day counted, double *count)
{
	*count += in->count;
	c->worth += in->worth;
	if (c->boxed == DAY_NONE || (box->boxed != DAY_NONE && box->boxed < c->boxed))
		c->boxed = box->boxed;
	if (c->counted == DAY_NONE || counted > c->counted)
		c->counted = counted;
}

static void sort_into_classes(struct taking *t)
{
	struct stock *s = t->s;
	struct class_key *keys = ARENA_ARRAY(t->arena, s->nboxes, struct class_key);
	size_t n = 0;
	for (size_t i = 0; i < s->nboxes; i++) {
		s->boxes[i].class_ = NONE;
		if (has_stems(t->farm, s, i))
			keys[n++] = key_of(t, i);
	}
	if (n)
		qsort(keys, n, sizeof *keys, by_class_then_box);
	s->classes = ARENA_ARRAY(t->arena, n, struct stock_class);
	for (size_t from = 0, to; from < n; from = to) {
		struct stock_class *c = &s->classes[s->nclasses];
		const struct class_key *k = &keys[from];
		double count = 0;
		*c = (struct stock_class){ .crop = k->crop, .colour = k->colour, .length = k->length,
			                   .month = k->month, .past = k->past, .boxed = DAY_NONE,
			                   .counted = DAY_NONE };
		for (to = from; to < n && by_class(k, &keys[to]) == 0; to++) {
			size_t i = keys[to].box;
			s->boxes[i].class_ = (uint32_t)s->nclasses;
			add_to_class(c, &t->farm->boxes[i], &s->boxes[i], t->recounted[i], &count);
		}
		c->counted_stems = loss_whole(count);
		c->whole = loss_whole(c->worth);
		c->survival = count > 0 ? c->worth / count : 1;
		if (!c->past || s->with_past) {
			s->crop_counted[c->crop] += count;
			s->crop_worth[c->crop] += c->worth;
		}
		s->nclasses++;
	}
}

/* ---- what the boxes do not say and recipes ask for ---- */

struct asked_for {
	bool colour, length;
};

static void note_asked(struct asked_for *asked, const struct need *needs, size_t n)
{
	for (size_t i = 0; i < n; i++) {
		for (size_t k = 0; k < needs[i].noptions; k++) {
			const struct need_option *o = &needs[i].options[k];
			if (o->item.kind != KIND_CROP)
				continue;
			asked[o->item.index].colour |= o->ncolours > 0 || o->one_colour;
			asked[o->item.index].length |= o->from > 0 || o->to > 0;
		}
	}
}

static void say_missing(struct taking *t)
{
	const struct farm *farm = t->farm;
	struct asked_for *asked = ARENA_ARRAY(t->arena, farm->ncrops, struct asked_for);
	struct said colour = { 0 }, length = { 0 };
	for (size_t i = 0; i < farm->nparts; i++)
		note_asked(asked, farm->parts[i].needs, farm->parts[i].nneeds);
	for (size_t i = 0; i < farm->npieces; i++)
		note_asked(asked, farm->pieces[i].needs, farm->pieces[i].nneeds);
	for (size_t i = 0; i < farm->nboxes; i++) {
		const struct box *box = &farm->boxes[i];
		if (!has_stems(farm, t->s, i))
			continue;
		if (asked[box->item.index].colour && box->colour == NONE)
			said_add(&colour, t->arena, box_name(t->arena, box));
		if (asked[box->item.index].length && !(box->length > 0))
			said_add(&length, t->arena, box_name(t->arena, box));
	}
	if (colour.n)
		remark(t->r, REMARK_DOUBT, "Recipes ask for a colour that these boxes do not say: %s.",
		       said_text(&colour));
	if (length.n)
		remark(t->r, REMARK_DOUBT, "Recipes ask for a length that these boxes do not say: %s.",
		       said_text(&length));
}

/* A sent order does not move finished pieces: the log's `sold` does, or the pieces
 * would go twice. */
static void say_sent(struct taking *t)
{
	const struct farm *farm = t->farm;
	struct said sent = { 0 };
	bool *sold = ARENA_ARRAY(t->arena, farm->npieces, bool);
	for (size_t i = 0; i < farm->nlog; i++) {
		const struct log_entry *e = &farm->log[i];
		if (e->event == EVENT_SOLD && e->item.kind == KIND_PIECE)
			sold[e->item.index] = true;
	}
	for (size_t i = 0; i < farm->norders; i++) {
		const struct order *o = &farm->orders[i];
		const struct shelf *shelf = &t->shelves[KIND_PIECE][o->piece];
		t->s->open_orders += stock_order_open(o, t->s->on);
		if (stock_order_open(o, t->s->on) || sold[o->piece] || t->s->pieces[o->piece] <= 0)
			continue;
		if (shelf->counted == DAY_NONE || o->sent > shelf->counted)
			said_add(&sent, t->arena, farm->pieces[o->piece].head.name);
	}
	if (sent.n)
		remark(t->r, REMARK_DOUBT,
		       "Orders were sent since the count, but bench.csv has no `sold`, so the finished "
		       "pieces still count as here: %s.",
		       said_text(&sent));
}

double stock_class_survival(const struct stock *s, size_t cls, day use)
{
	const struct stock_class *c = &s->classes[cls];
	return c->survival * loss_storage(storage_rate(s, c->crop), date_months(s->on, use));
}

static const struct rates *line_rates(const struct farm *farm, struct arena *a)
{
	struct rates *rates = ARENA_ARRAY(a, 1, struct rates);
	rates_of_lines(rates, farm, a);
	return rates;
}

void stock_take(struct stock *s, const struct farm *farm, day on, bool with_past,
                const struct rates *rates, struct arena *a, struct remarks *r)
{
	struct taking t = { .s = s, .farm = farm, .arena = a, .r = r };
	*s = (struct stock){ .on = on, .with_past = with_past, .nboxes = farm->nboxes };
	s->rates = rates ? rates : line_rates(farm, a);
	s->boxes = ARENA_ARRAY(a, farm->nboxes, struct stock_box);
	s->crop_worth = ARENA_ARRAY(a, farm->ncrops, double);
	s->crop_counted = ARENA_ARRAY(a, farm->ncrops, double);
	t.counted = ARENA_ARRAY(a, farm->nboxes, day);
	t.recounted = ARENA_ARRAY(a, farm->nboxes, day);
	t.next = ARENA_ARRAY(a, farm->nboxes, uint32_t);
	t.first_move = ARENA_ARRAY(a, farm->nboxes, size_t);
	t.shelves[KIND_CROP] = new_shelves(a, farm->ncrops);
	t.shelves[KIND_SUPPLY] = new_shelves(a, farm->nsupplies);
	t.shelves[KIND_PART] = new_shelves(a, farm->nparts);
	t.shelves[KIND_PIECE] = new_shelves(a, farm->npieces);

	lay_out(&t);
	move_by_log(&t);
	drop_old_moves(&t);
	say_movements(&t);
	judge_age(&t);
	for (size_t i = 0; i < farm->nboxes; i++) {
		struct stock_box *box = &s->boxes[i];
		if (farm->boxes[i].item.kind != KIND_CROP)
			box->worth = box->count;
		box->survival = box->count > 0 ? box->worth / box->count : 1;
	}
	s->supplies = totals(&t, KIND_SUPPLY, farm->nsupplies);
	s->parts = totals(&t, KIND_PART, farm->nparts);
	s->pieces = totals(&t, KIND_PIECE, farm->npieces);
	sort_into_classes(&t);
	say_missing(&t);
	say_sent(&t);
}
