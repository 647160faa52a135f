/* note_say.c - what `note` prints: what it wrote, what is left where it took from, and
 * how to take it back. */
#include <math.h>

#include "commands/note_in.h"
#include "farm/measure.h"
#include "report/text.h"

enum { LINE_MOST = 1 << 16, WIDTH = 79, INDENT = 2 };

void note_amount(struct buf *out, const struct farm *farm, struct item item, double count)
{
	struct str unit = measure_base(farm, item);
	number_print_short(out, count, 3);
	if (!str_is(unit, "each"))
		buf_printf(out, " %.*s%s", STR_ARG(unit), str_is(unit, "stem") && count != 1 ? "s" : "");
	buf_char(out, ' ');
	buf_visible(out, farm_head(farm, item)->name, LINE_MOST);
}

/* The text on lines of 79 columns, the later ones indented. */
static void put_wrapped(struct buf *out, const struct buf *text)
{
	struct str rest = buf_slice(text);
	bool first = true;
	while (rest.n) {
		buf_fill(out, ' ', first ? 0 : INDENT);
		buf_str(out, text_wrap(&rest, first ? WIDTH : WIDTH - INDENT));
		buf_char(out, '\n');
		first = false;
	}
}

static void put_name(struct buf *b, struct str name)
{
	buf_visible(b, name, LINE_MOST);
}

/* ---- what was written ---- */

static void say_drawn(const struct noting *n, const struct log_entry *e, struct buf *b)
{
	for (size_t i = 0; i < e->ndrawn; i++) {
		const struct box *box = &n->farm->boxes[e->drawn[i].box];
		buf_text(b, i ? ", " : "; drawn from ");
		put_name(b, box->id);
		buf_char(b, ' ');
		number_print_short(b, e->drawn[i].stems, 3);
	}
}

static void say_entry(const struct noting *n, const struct log_entry *e, struct buf *b)
{
	const struct farm *farm = n->farm;
	char iso[11];
	date_print(e->on, iso);
	if (e->event == EVENT_WEIGHED) {
		buf_text(b, "batch ");
		put_name(b, farm->batches[e->batch].id);
		buf_text(b, " of ");
		put_name(b, farm_head(farm, e->item)->name);
		buf_text(b, " weighed ");
		number_print_short(b, e->count, 3);
		buf_printf(b, " g on %s", iso);
		return;
	}
	note_amount(b, farm, e->item, e->count);
	buf_printf(b, " %s", event_name(e->event));
	if (e->batch != NONE) {
		buf_text(b, e->event == EVENT_BOXED ? " of batch " : " as batch ");
		put_name(b, farm->batches[e->batch].id);
	}
	if (e->box != NONE) {
		bool out = e->event == EVENT_TOSSED || e->event == EVENT_SOLD;
		buf_text(b, out ? " from " : e->event == EVENT_BOXED ? " into " : " in ");
		put_name(b, farm->boxes[e->box].id);
	}
	if (e->outlet != NONE) {
		buf_text(b, " at ");
		put_name(b, farm->outlets[e->outlet].head.name);
	}
	buf_printf(b, " on %s", iso);
	if (!isnan(e->price)) {
		buf_text(b, " for ");
		number_print(b, e->price, farm->business.digits);
		buf_printf(b, " %.*s each", STR_ARG(farm->business.currency));
	}
	if (!isnan(e->minutes)) {
		buf_text(b, " in ");
		number_print_short(b, e->minutes, 1);
		buf_text(b, " min");
	}
	if (e->spoiled > 0) {
		buf_text(b, ", ");
		number_print_short(b, e->spoiled, 3);
		buf_text(b, " spoiled");
	} else if (e->spoiled_said) {
		buf_text(b, ", none spoiled");
	}
	if (e->cause != NONE)
		buf_printf(b, ", %s", cause_name((enum cause)e->cause));
	say_drawn(n, e, b);
}

static void say_written(struct noting *n, struct buf *out)
{
	struct buf b;
	buf_init(&b, LINE_MOST);
	put_name(&b, n->cells[BENCH_ID]);
	buf_text(&b, n->same ? " stands there already: " : n->req->try_only ? " would be: " : " written: ");
	if (n->event != EVENT_STRUCK) {
		if (n->entry)
			say_entry(n, n->entry, &b);
	} else {
		put_name(&b, n->cells[BENCH_STRIKES]);
		buf_text(&b, " is taken back");
		if (n->struck) {
			buf_text(&b, " (");
			say_entry(n, n->struck, &b);
			buf_char(&b, ')');
		}
	}
	buf_char(&b, '.');
	put_wrapped(out, &b);
	buf_release(&b);
}

/* ---- what is left ---- */

static day last_day(const struct noting *n)
{
	day last = n->on;
	for (size_t i = 0; i < n->farm->nlog; i++) {
		if (n->farm->log[i].on > last)
			last = n->farm->log[i].on;
	}
	return last;
}

static void say_box(const struct noting *n, const struct stock *s, uint32_t box, struct buf *b)
{
	buf_text(b, b->len ? ", " : "Left in the boxes: ");
	put_name(b, n->farm->boxes[box].id);
	buf_char(b, ' ');
	number_print_short(b, s->boxes[box].count, 3);
}

static double shelf_of(const struct stock *s, struct item item)
{
	return item.kind == KIND_PIECE	  ? s->pieces[item.index]
	       : item.kind == KIND_PART	  ? s->parts[item.index]
	       : item.kind == KIND_SUPPLY ? s->supplies[item.index]
					  : (double)NAN;
}

/* Parts, pieces and supplies outside boxes with a name. */
static void say_shelf(const struct noting *n, const struct stock *s, struct item item, struct buf *b)
{
	double here = shelf_of(s, item);
	if (isnan(here))
		return;
	buf_text(b, b->len ? ". On the shelf: " : "On the shelf: ");
	note_amount(b, n->farm, item, here);
}

/* Doubts that were not there before the entry. */
static void say_doubts(const struct remarks *before, const struct remarks *after, struct buf *out)
{
	for (size_t i = 0; i < after->n; i++) {
		bool new_one = after->items[i].kind == REMARK_DOUBT;
		for (size_t k = 0; k < before->n; k++)
			new_one = new_one && strcmp(before->items[k].text, after->items[i].text) != 0;
		if (!new_one)
			continue;
		struct buf b;
		buf_init(&b, LINE_MOST);
		buf_text(&b, after->items[i].text);
		put_wrapped(out, &b);
		buf_release(&b);
	}
}

static bool in_a_count(const struct noting *n, const struct log_entry *e)
{
	for (size_t i = 0; i < e->ndrawn; i++) {
		if (n->farm->boxes[e->drawn[i].box].counted >= e->on)
			return true;
	}
	return e->box != NONE && n->farm->boxes[e->box].counted >= e->on;
}

/* Drawn by the rule, with the usual loss on top: measured.h takes no such line. */
static void say_unsaid(const struct noting *n, struct buf *out)
{
	const struct log_entry *e = n->entry;
	bool on_top = false;
	if (!e || e->event != EVENT_MADE || e->spoiled_said || n->req->ndrawn || n->req->quiet)
		return;
	for (size_t i = 0; i < e->ndrawn; i++) {
		struct item item = n->farm->boxes[e->drawn[i].box].item;
		on_top = on_top ||
			 (item.kind == KIND_CROP && rates_at(&n->rates, item.index, STAGE_BENCH) > 0);
	}
	if (on_top)
		buf_text(out, "This says nothing about bench loss; say what spoiled: --spoiled 3 (or 0).\n"
			      "Spare stems that you lay back can be counted later.\n");
}

static double books_of(struct noting *n)
{
	const struct log_entry *e = n->entry;
	struct remarks unheard;
	struct stock books;
	if (n->event != EVENT_COUNTED || !e || n->same || n->req->quiet ||
	    (e->box != NONE && e->box >= n->s.farm->nboxes))
		return (double)NAN;
	remarks_init(&unheard, &n->arena);
	stock_take(&books, n->s.farm, e->on, true, &n->rates, &n->arena, &unheard);
	double was = e->box != NONE ? books.boxes[e->box].count : shelf_of(&books, e->item);
	return was > 0 ? was : (double)NAN;
}

/* What a count found otherwise than the books had it. */
static void say_books(const struct noting *n, const struct log_entry *e, struct buf *b)
{
	double was = n->books;
	if (isnan(was) || fabs(was - e->count) < 0.5)
		return;
	buf_text(b, ". The books said ");
	note_amount(b, n->farm, e->item, e->item.kind == KIND_CROP ? round(was) : was);
}

/* Stems that a count does not find are lost in the box, for all that looks forward. */
static void say_storage(struct noting *n, struct buf *out)
{
	const struct log_entry *e = n->entry;
	struct rates after;
	struct buf b;
	if (!e || n->event != EVENT_COUNTED || e->item.kind != KIND_CROP || n->req->quiet)
		return;
	rates_reckon(&after, n->farm, e->on, false, &n->arena);
	double was = rates_at(&n->rates, e->item.index, STAGE_STORAGE) * 100;
	double is = rates_at(&after, e->item.index, STAGE_STORAGE) * 100;
	if (fabs(was - is) < 0.05)
		return;
	buf_init(&b, LINE_MOST);
	double missing = round(n->books - e->count);
	if (missing >= 1)
		buf_printf(&b, "The %.0f missing count as lost in the box: s", missing);
	else
		buf_text(&b, "By this count s");
	buf_text(&b, "torage loss of ");
	put_name(&b, farm_head(n->farm, e->item)->name);
	buf_printf(&b, " goes from %.1f%% to %.1f%% a month.", was, is);
	if (missing >= 1)
		buf_text(&b, " Where they were used, sold or tossed, take this back and note that first.");
	put_wrapped(out, &b);
	buf_release(&b);
}

/* ---- orders ---- */

/* Pieces that may be for an order which is open still: only `sent` closes it. */
static void say_orders(const struct noting *n, struct buf *out)
{
	const struct log_entry *e = n->entry;
	char iso[11];
	if (!e || n->event != EVENT_SOLD || e->item.kind != KIND_PIECE || n->req->quiet)
		return;
	date_print(e->on, iso);
	for (size_t i = 0; i < n->farm->norders; i++) {
		const struct order *o = &n->farm->orders[i];
		bool there = o->outlet == NONE || e->outlet == NONE || o->outlet == e->outlet;
		struct buf b;
		if (o->piece != e->item.index || o->sent != DAY_NONE || !there)
			continue;
		buf_init(&b, LINE_MOST);
		buf_text(&b, "The order ");
		put_name(&b, o->id);
		buf_text(&b, " of ");
		note_amount(&b, n->farm, e->item, o->count);
		if (o->outlet != NONE) {
			buf_text(&b, " for ");
			put_name(&b, n->farm->outlets[o->outlet].head.name);
		}
		buf_printf(&b, " is still open. If this was for it, write %s under `sent` in orders.csv; else it is "
			       "made once more.", iso);
		put_wrapped(out, &b);
		buf_release(&b);
	}
}

static void say_left(struct noting *n, struct buf *out)
{
	const struct log_entry *e = n->event == EVENT_STRUCK ? n->struck : n->entry;
	struct remarks before, after;
	struct stock was, is;
	struct buf b;
	bool moves = e && e->event != EVENT_CUT && e->event != EVENT_HUNG && e->event != EVENT_WEIGHED;
	if (!moves)
		return;
	remarks_init(&before, &n->arena);
	remarks_init(&after, &n->arena);
	stock_take(&was, n->s.farm, last_day(n), true, &n->rates, &n->arena, &before);
	stock_take(&is, n->farm, last_day(n), true, &n->rates, &n->arena, &after);
	buf_init(&b, LINE_MOST);
	for (size_t i = 0; i < e->ndrawn; i++)
		say_box(n, &is, e->drawn[i].box, &b);
	if (e->box != NONE && !e->ndrawn) {
		struct str id = n->farm->boxes[e->box].id;
		buf_text(&b, "Left in the box ");
		put_name(&b, id);
		buf_text(&b, ": ");
		note_amount(&b, n->farm, n->farm->boxes[e->box].item, is.boxes[e->box].count);
	} else if (e->box != NONE) {
		say_box(n, &is, e->box, &b);
	} else {
		say_shelf(n, &is, e->item, &b);
	}
	say_books(n, e, &b);
	buf_text(&b, b.len ? "." : "");
	put_wrapped(out, &b);
	buf_release(&b);
	bool plain = !n->req->colour && !n->req->length;
	if (n->farm->nboxes > n->s.farm->nboxes && plain && !n->req->quiet)
		buf_text(out, "A new box, of which no --colour and no --length is said.\n");
	if (in_a_count(n, e) && !n->req->quiet)
		buf_text(out, "A box of it was counted on that day or later: the count stands as it is.\n");
	if (!n->req->quiet)
		say_doubts(&before, &after, out);
}

/* ---- its batch ---- */

static void add_stems(struct buf *b, double stems, const char *word, double of, const char *where)
{
	if (isnan(stems))
		return;
	buf_printf(b, "%s%.0f %s", b->len ? ", " : "", stems, word);
	if (of > 0 && stems <= of)
		buf_printf(b, " (%.1f%% lost %s)", (1 - stems / of) * 100, where);
}

/* The word of an entry that moved nothing of its batch, as batches.csv says it already; or NULL. */
static const char *stands_already(const struct noting *n, const struct batch *now)
{
	const struct log_entry *e = n->entry;
	if (e->batch >= n->s.farm->nbatches || now->logged || !(e->count > 0))
		return NULL;
	const struct batch *before = &n->s.farm->batches[e->batch];
	double was = e->event == EVENT_CUT ? before->cut : e->event == EVENT_HUNG ? before->hung : before->boxed;
	double is = e->event == EVENT_CUT ? now->cut : e->event == EVENT_HUNG ? now->hung : now->boxed;
	return is <= was && is >= was ? event_name(e->event) : NULL;
}

/* What is known of the batch with this entry; or that one is missing. */
static void say_batch(const struct noting *n, struct buf *out)
{
	const struct log_entry *e = n->entry;
	struct buf b, stems;
	if (!e || (e->event != EVENT_CUT && e->event != EVENT_HUNG && e->event != EVENT_BOXED))
		return;
	if (e->batch == NONE) {
		if (e->event != EVENT_BOXED)
			buf_text(out, "Losses, and what hangs, go by batches: name one with --batch.\n");
		return;
	}
	const struct batch *batch = &n->farm->batches[e->batch];
	buf_init(&b, LINE_MOST);
	buf_init(&stems, LINE_MOST);
	add_stems(&stems, batch->cut, "cut", NAN, "");
	add_stems(&stems, batch->hung, "hung", batch->cut, "in the field");
	add_stems(&stems, batch->boxed, "boxed", batch->hung, "in drying");
	buf_text(&b, "The batch ");
	put_name(&b, batch->id);
	buf_printf(&b, ": %s.", stems.data);
	if (batch->hung > batch->cut || batch->boxed > batch->hung)
		buf_text(&b, " More came out than went in, so it counts for no loss.");
	const char *stands = stands_already(n, batch);
	if (stands)
		buf_printf(&b, " The stems %s stand in batches.csv: this adds nothing to them.", stands);
	else if (e->event == EVENT_BOXED)
		buf_text(&b, " What else comes of it is noted with the same --batch.");
	put_wrapped(out, &b);
	buf_release(&stems);
	buf_release(&b);
}

/* ---- all of it ---- */

static void say_back(const struct noting *n, struct buf *out)
{
	struct str id = n->cells[BENCH_ID];
	const char *folder = n->req->folder;
	if (n->req->try_only || n->event == EVENT_STRUCK)
		return;
	buf_text(out, "To take it back: thrave note ");
	if (folder) {
		bool blank = strchr(folder, ' ') != NULL;
		buf_text(out, blank ? "\"" : "");
		buf_visible(out, str_of(folder), LINE_MOST);
		buf_text(out, blank ? "\" " : " ");
	}
	buf_text(out, "strike ");
	put_name(out, id);
	buf_char(out, '\n');
}

void note_say(struct noting *n, struct buf *out)
{
	n->books = books_of(n);
	say_written(n, out);
	if (!n->same)
		say_left(n, out);
	if (!n->same && n->event != EVENT_STRUCK)
		say_unsaid(n, out);
	if (!n->same) {
		say_storage(n, out);
		say_orders(n, out);
	}
	if (!n->req->quiet)
		say_batch(n, out);
	if (n->req->try_only)
		buf_text(out, "This was a try: nothing is written.\n");
	say_back(n, out);
}
