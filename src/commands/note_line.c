/* note_line.c - the words and options of `note` become the cells of a line. */
#include "commands/note_in.h"

#include <math.h>

#include "base/unit.h"
#include "farm/measure.h"

enum { CELL_MOST = 1 << 16 };

/* ---- texts into cells ---- */

static struct str keep(struct noting *n, const struct buf *b)
{
	return (struct str){ arena_copy(&n->s.arena, b->data, b->len), b->len };
}

/* Whatever is written must be text of one line. */
static int set_text(struct noting *n, size_t column, const char *text)
{
	struct str s = str_trim(str_of(text));
	bool plain = str_utf8_bad(s) == s.n;
	for (size_t i = 0; i < s.n; i++)
		plain = plain && (unsigned char)s.p[i] >= ' ' && s.p[i] != 127;
	if (!plain || s.n > CELL_MOST)
		return session_usage(&n->s, "%s is no text of one line.",
				     diag_quote(&n->s.diag, s));
	n->cells[column] = s;
	return 0;
}

/* `42 EUR`, `20min`: what goes with an option is a number alone. */
static int option_fault(struct noting *n, struct str text)
{
	struct diag *d = &n->s.diag;
	struct str digits = number_head(text);
	struct rat q;
	session_usage(&n->s, "%s is no number.", diag_quote(d, text));
	if (digits.n && digits.n < text.n && text.p[digits.n] != ',' && !number_quantity_all(digits, &q))
		diag_hint(d, "write the number alone: %.*s", STR_ARG(digits));
	else if (memchr(text.p, ',', text.n))
		diag_hint(d, "write decimals with a point: 2.5");
	return EXIT_USAGE;
}

static int number_fault(struct noting *n, struct str text, enum number_fault fault)
{
	struct diag *d = &n->s.diag;
	session_usage(&n->s, "%s is no number.", diag_quote(d, text));
	if (fault == NUMBER_DECIMAL_COMMA)
		diag_hint(d, "write decimals with a point: 2.5");
	else if (fault == NUMBER_JUNK)
		diag_hint(d, "put a blank behind the number, as in `12 bunch` or `2 1/2 bunch`");
	return EXIT_USAGE;
}

static int set_number(struct noting *n, size_t column, struct rat q, struct str text)
{
	struct buf b;
	buf_init(&b, CELL_MOST);
	bool fits = log_line_number(&b, &n->s.farm->log_form, q);
	n->cells[column] = keep(n, &b);
	buf_release(&b);
	if (fits)
		return 0;
	session_usage(&n->s, "%s does not fit into a table: it is no decimal number.",
		      diag_quote(&n->s.diag, text));
	diag_hint(&n->s.diag, "count in a smaller unit, in stems, say");
	return EXIT_USAGE;
}

static int set_option(struct noting *n, size_t column, const char *text)
{
	struct rat q;
	if (!text)
		return 0;
	enum number_fault fault = number_quantity_all(str_of(text), &q);
	return fault ? option_fault(n, str_of(text)) : set_number(n, column, q, str_of(text));
}

static double number_or_nan(const char *text)
{
	struct rat q;
	return text && !number_quantity_all(str_of(text), &q) ? rat_double(q) : (double)NAN;
}

/* ---- how much of what ---- */

static struct str joined_words(struct noting *n)
{
	struct buf b;
	buf_init(&b, CELL_MOST);
	for (size_t i = 0; i < n->req->nwords; i++)
		buf_printf(&b, "%s%s", i ? " " : "", n->req->words[i]);
	struct str all = str_trim(keep(n, &b));
	buf_release(&b);
	return all;
}

static uint32_t find_box(const struct farm *farm, const char *name, struct arena *a)
{
	struct str fold = str_fold(a, str_of(name));
	for (uint32_t i = 0; i < farm->nboxes; i++) {
		if (farm->boxes[i].id.n && str_eq(str_fold(a, farm->boxes[i].id), fold))
			return i;
	}
	return NONE;
}

static uint32_t find_batch(const struct farm *farm, const char *name, struct arena *a)
{
	struct str fold = str_fold(a, str_of(name));
	for (uint32_t i = 0; i < farm->nbatches; i++) {
		if (str_eq(str_fold(a, farm->batches[i].id), fold))
			return i;
	}
	return NONE;
}

/* The word is one in which what is in the box, or a batch, is counted. */
static bool is_unit(struct noting *n, struct str word)
{
	struct rat factor;
	const struct unit *unit = unit_find(word);
	uint32_t box = n->req->box ? find_box(n->s.farm, n->req->box, &n->s.arena) : NONE;
	uint32_t batch = n->req->nbatches ? find_batch(n->s.farm, n->req->batches[0], &n->s.arena) : NONE;
	if (n->event == EVENT_WEIGHED)
		return unit && unit->dim == DIM_WEIGHT;
	if (batch != NONE)
		return measure_factor(n->s.farm, (struct item){ KIND_CROP, n->s.farm->batches[batch].crop },
				      word, &factor);
	return box != NONE && measure_factor(n->s.farm, n->s.farm->boxes[box].item, word, &factor);
}

static struct str first_word(struct str s)
{
	size_t i = 0;
	while (i < s.n && s.p[i] != ' ' && s.p[i] != '\t')
		i++;
	return (struct str){ s.p, i };
}

/* `bunch Statice`, `Statice`, `kg`: a unit, a name, or both. */
static int take_what(struct noting *n, struct str rest)
{
	struct item item;
	struct str word = first_word(rest);
	struct str behind = str_trim((struct str){ rest.p + word.n, rest.n - word.n });
	if (rest.n == 0)
		return 0;
	if (!farm_find(n->s.farm, rest, &item)) {
		if (behind.n == 0 && is_unit(n, word)) {
			n->cells[BENCH_UNIT] = word;
			return 0;
		}
		if (behind.n == 0 || !farm_find(n->s.farm, behind, &item)) {
			session_unknown(&n->s, rest);
			if (unit_find(rest))
				diag_hint(&n->s.diag, "a value of two words stands in quotes: --length \"20 cm\"");
			return EXIT_USAGE;
		}
		n->cells[BENCH_UNIT] = word;
	}
	n->cells[BENCH_WHAT] = farm_head(n->s.farm, item)->name;
	n->item = item;
	return 0;
}

/* Said before anything is looked for in the boxes. */
static int whole_pieces(struct noting *n)
{
	if (n->item.index == NONE || n->item.kind != KIND_PIECE || n->count.den == 1)
		return 0;
	return session_usage(&n->s, "%s is no whole number of pieces.",
			     diag_quote(&n->s.diag, first_word(joined_words(n))));
}

static bool lacks_what(const struct noting *n)
{
	bool by_box = n->req->box || n->old; /* the box says it, then */
	bool needs = event_columns(n->event).needs >> BENCH_WHAT & 1;
	return !n->cells[BENCH_WHAT].n && n->event != EVENT_STRUCK && n->event != EVENT_WEIGHED &&
	       (needs || !by_box);
}

static int missing_what(struct noting *n)
{
	session_usage(&n->s, "What was %s is missing.", event_name(n->event));
	diag_hint(&n->s.diag, "the name stands behind the number: `thrave note %s 4 ...`",
		  event_name(n->event));
	return EXIT_USAGE;
}

/* 0 says something: counted and none was there; made, and all of it spoiled. */
static bool says_nothing_left(const struct noting *n)
{
	bool tried = n->req->ndrawn || n->req->spoiled || n->req->minutes;
	return n->event == EVENT_COUNTED || (n->event == EVENT_MADE && tried);
}

static int nothing_happened(struct noting *n)
{
	session_usage(&n->s, "0 %s is nothing to write down.", event_name(n->event));
	if (n->event == EVENT_MADE)
		diag_hint(&n->s.diag, "where all of it spoiled, say how many stems: `--spoiled 12`");
	return EXIT_USAGE;
}

static int take_words(struct noting *n)
{
	struct str rest = joined_words(n);
	struct rat q;
	size_t used;
	if (rest.n && str_utf8_bad(rest) < rest.n)
		return session_usage(&n->s, "%s is no text of one line.",
				     diag_quote(&n->s.diag, rest));
	enum number_fault fault = number_quantity(rest, &q, &used);
	if (fault == NUMBER_NONE) {
		session_usage(&n->s, "How much was %s is missing.", event_name(n->event));
		diag_hint(&n->s.diag, "the number comes first: `thrave note %s 4 ...`",
			  event_name(n->event));
		return EXIT_USAGE;
	}
	if (fault)
		return number_fault(n, (struct str){ rest.p, used }, fault);
	struct str number = { rest.p, used };
	if (rat_sign(q) == 0 && !says_nothing_left(n))
		return nothing_happened(n);
	n->count = q;
	int status = set_number(n, BENCH_COUNT, q, number);
	if (!status)
		status = take_what(n, str_trim((struct str){ rest.p + used, rest.n - used }));
	return status ? status : whole_pieces(n);
}

/* ---- strikes ---- */

/* The id without zeros before its number: `41` is to find `041`. */
static struct str without_zeros(struct str id)
{
	while (id.n > 1 && id.p[0] == '0')
		id = (struct str){ id.p + 1, id.n - 1 };
	return id;
}

/* The entry of the log that has the id: the first, as the reader has it; or NULL. */
static const struct log_entry *find_entry(const struct farm *farm, struct str id, struct arena *a)
{
	struct str fold = without_zeros(str_fold(a, id));
	for (size_t i = 0; i < farm->nlog; i++) {
		if (str_eq(without_zeros(str_fold(a, farm->log[i].id)), fold))
			return &farm->log[i];
	}
	return NULL;
}

/* The strike that takes the entry back; NULL when there is none in force. */
static const struct log_entry *strike_of(const struct farm *farm, const struct log_entry *e)
{
	size_t n;
	const bool *struck = log_struck(farm, farm->arena);
	for (n = 0; n < farm->nlog; n++) {
		const struct log_entry *s = &farm->log[n];
		if (s->event == EVENT_STRUCK && !struck[n] && str_eq(s->strikes, e->id))
			return s;
	}
	return NULL;
}

static int take_strike(struct noting *n)
{
	struct str id = joined_words(n);
	struct diag *d = &n->s.diag;
	if (id.n == 0) {
		session_usage(&n->s, "Which entry is to be struck is missing.");
		diag_hint(d, "the number stands first in its line of bench.csv: `thrave note strike 57`");
		return EXIT_USAGE;
	}
	int status = set_text(n, BENCH_STRIKES, arena_copy(&n->s.arena, id.p, id.n));
	if (status)
		return status;
	n->struck = find_entry(n->s.farm, id, &n->s.arena);
	if (!n->struck)
		return 0; /* the reader knows all ids, and says so */
	n->cells[BENCH_STRIKES] = n->struck->id;
	if (n->struck->event == EVENT_STRUCK) {
		session_usage(&n->s, "The entry %s is a strike itself.", diag_quote(d, n->struck->id));
		diag_hint(d, "note again what it has taken back");
		return EXIT_USAGE;
	}
	const struct log_entry *by = strike_of(n->s.farm, n->struck);
	if (by && !(n->old && by == n->old))
		return session_usage(&n->s, "The entry %s is struck already, by %s.",
				     diag_quote(d, n->struck->id), diag_quote(d, by->id));
	return 0;
}

/* ---- boxes ---- */

static void list_boxes(struct noting *n, uint32_t crop, const struct stock *stock)
{
	const struct farm *farm = n->s.farm;
	struct said boxes = { 0 };
	for (size_t i = 0; i < farm->nboxes; i++) {
		const struct box *box = &farm->boxes[i];
		if (box->item.kind == KIND_CROP && box->item.index == crop && box->id.n &&
		    (stock->boxes[i].count > 0 || n->event == EVENT_COUNTED))
			said_add(&boxes, &n->s.arena, box->id);
	}
	if (boxes.n)
		diag_hint(&n->s.diag, "it lies in %s", said_text(&boxes));
}

/* Stems lie in boxes: where the crop is in one only, that is meant. */
static int find_the_box(struct noting *n)
{
	const struct farm *farm = n->s.farm;
	struct item item;
	struct stock stock;
	uint32_t only = NONE, count = 0;
	bool takes = n->event == EVENT_TOSSED || n->event == EVENT_SOLD || n->event == EVENT_COUNTED;
	if (!takes || n->req->box || !farm_find(farm, n->cells[BENCH_WHAT], &item) ||
	    item.kind != KIND_CROP)
		return 0;
	struct remarks unheard;
	remarks_init(&unheard, &n->s.arena);
	stock_take(&stock, farm, n->on, true, &n->rates, &n->s.arena, &unheard);
	for (uint32_t i = 0; i < farm->nboxes; i++) {
		if (!same_item(farm->boxes[i].item, item) ||
		    !(stock.boxes[i].count > 0 || n->event == EVENT_COUNTED))
			continue;
		only = i;
		count++;
	}
	if (count == 1 && farm->boxes[only].id.n) {
		n->cells[BENCH_BOX] = farm->boxes[only].id;
		return 0;
	}
	session_usage(&n->s, "Which box of %s is missing: say it with `--box`.",
		      diag_quote(&n->s.diag, n->cells[BENCH_WHAT]));
	list_boxes(n, item.index, &stock);
	return EXIT_USAGE;
}

/* The batch of what was cut, hung or boxed; a new one is of the crop that is said. */
static int take_batch(struct noting *n)
{
	const struct farm *farm = n->s.farm;
	if (n->event == EVENT_WEIGHED || !n->req->nbatches)
		return 0;
	int status = set_text(n, BENCH_BATCH, n->req->batches[0]);
	uint32_t batch = find_batch(farm, n->req->batches[0], &n->s.arena);
	if (batch == NONE)
		return status;
	n->cells[BENCH_BATCH] = farm->batches[batch].id;
	if (!n->cells[BENCH_WHAT].n)
		n->cells[BENCH_WHAT] = farm->crops[farm->batches[batch].crop].head.name;
	return status;
}

static int take_box(struct noting *n)
{
	const struct farm *farm = n->s.farm;
	const char *name = n->event == EVENT_WEIGHED ? n->req->batches[0] : n->req->box;
	struct item in_it = { KIND_CROP, NONE };
	if (!name)
		return find_the_box(n);
	int status = set_text(n, BENCH_BOX, name);
	if (n->event == EVENT_WEIGHED) {
		uint32_t batch = find_batch(farm, name, &n->s.arena);
		if (batch != NONE)
			in_it.index = farm->batches[batch].crop;
	} else {
		uint32_t box = find_box(farm, name, &n->s.arena);
		if (box != NONE) {
			n->cells[BENCH_BOX] = farm->boxes[box].id;
			in_it = farm->boxes[box].item;
		}
	}
	/* Said in the line too, for those who read it and for when the box is gone. */
	if (in_it.index != NONE && !n->cells[BENCH_WHAT].n)
		n->cells[BENCH_WHAT] = farm_head(farm, in_it)->name;
	return status;
}

/* `none`, or the texts of all --drawn in one cell. */
static int take_drawn(struct noting *n)
{
	const struct request *req = n->req;
	struct buf b;
	if (req->ndrawn == 1 && strcmp(req->drawn[0], "none") == 0)
		return 0;
	buf_init(&b, CELL_MOST);
	for (size_t i = 0; i < req->ndrawn; i++)
		buf_printf(&b, "%s%s", i ? "; " : "", req->drawn[i]);
	struct str all = keep(n, &b);
	buf_release(&b);
	return set_text(n, BENCH_DRAWN, all.p);
}

static void put_drawn(struct noting *n, const struct farm *farm, const struct drawn *drawn, size_t ndrawn)
{
	struct buf b;
	buf_init(&b, CELL_MOST);
	for (size_t i = 0; i < ndrawn; i++) {
		buf_printf(&b, "%s%.*s ", i ? "; " : "", STR_ARG(farm->boxes[drawn[i].box].id));
		number_print_short(&b, drawn[i].stems, 6);
	}
	n->cells[BENCH_DRAWN] = keep(n, &b);
	buf_release(&b);
}

/* ---- stems by the rule ---- */

static int say_short(struct noting *n, const struct drawing *d)
{
	struct diag *diag = &n->s.diag;
	struct buf b;
	bool first = true;
	buf_init(&b, CELL_MOST);
	for (size_t i = 0; i < d->nshorts; i++) {
		if (d->shorts[i].item.kind != KIND_CROP)
			continue;
		buf_text(&b, first ? "" : ", ");
		note_amount(&b, n->s.farm, d->shorts[i].item, d->shorts[i].count);
		first = false;
	}
	diag_error(diag, SPAN_NONE, "The boxes do not hold enough for it: %s missing.", b.data);
	diag_hint(diag, "count the boxes again, or name those that were drawn from: --drawn \"B12 24; B13 10\"");
	buf_release(&b);
	return EXIT_NO;
}

static int say_mixed(struct noting *n, const struct drawing *d)
{
	struct diag *diag = &n->s.diag;
	struct str name = farm_head(n->s.farm, d->part)->name;
	struct buf ready, wanted, rest;
	char on[11] = "";
	buf_init(&ready, CELL_MOST);
	buf_init(&wanted, CELL_MOST);
	buf_init(&rest, CELL_MOST);
	note_amount(&ready, n->s.farm, d->part, d->ready);
	note_amount(&wanted, n->s.farm, d->part, d->wanted);
	number_print_short(&rest, d->wanted - d->ready, 6);
	if (n->req->on != DAY_NONE) /* made later it would not lie ready then */
		date_print(n->on, on);
	diag_error(diag, SPAN_NONE, "It takes %s, and of these only %s lie ready.", wanted.data,
		   ready.data);
	diag_hint(diag, "note first what was made of it: `thrave note made %s %.*s%s%s`", rest.data,
		  STR_ARG(name), *on ? " --on " : "", on);
	buf_release(&rest);
	buf_release(&wanted);
	buf_release(&ready);
	return EXIT_NO;
}

/* The log can only speak of boxes that have a name. */
static int say_nameless(struct noting *n, const struct box *box)
{
	diag_error(&n->s.diag, SPAN_NONE,
		   "The box in line %u of stock.csv has no name, so the log cannot say what it gave.",
		   (unsigned)box->line);
	diag_hint(&n->s.diag, "write a name into its column `box`");
	return EXIT_NO;
}

static int take_drawing(struct noting *n, const struct drawing *d)
{
	switch (d->state) {
	case DRAW_SHORT:
		return say_short(n, d);
	case DRAW_MIXED:
		return say_mixed(n, d);
	case DRAW_STOPPED:
		diag_error(&n->s.diag, SPAN_NONE,
			   "Which boxes it came from could not be worked out.");
		diag_hint(&n->s.diag, "name them: --drawn \"B12 24; B13 10\"");
		return EXIT_STOPPED;
	case DRAW_DONE:
		break;
	}
	for (size_t i = 0; i < d->ndrawn; i++) {
		const struct box *box = &n->s.farm->boxes[d->drawn[i].box];
		if (box->id.n == 0)
			return say_nameless(n, box);
	}
	put_drawn(n, n->s.farm, d->drawn, d->ndrawn);
	return 0;
}

static int draw(struct noting *n)
{
	const struct farm *farm = n->s.farm;
	struct rat factor = RAT_ONE;
	struct str unit = n->cells[BENCH_UNIT];
	struct remarks unheard;
	struct stock stock;
	struct drawing d;
	bool maker = n->item.kind == KIND_PART || n->item.kind == KIND_PIECE;
	if (n->event != EVENT_MADE || n->req->ndrawn || n->old || n->item.index == NONE || !maker ||
	    (unit.n && !measure_factor(farm, n->item, unit, &factor)) || rat_sign(n->count) <= 0)
		return 0;
	remarks_init(&unheard, &n->s.arena);
	stock_take(&stock, farm, n->on, n->req->with_past, &n->rates, &n->s.arena, &unheard);
	if (draw_reckon(&d, farm, &stock, n->item, rat_double(n->count) * rat_double(factor),
			number_or_nan(n->req->spoiled), &n->s.arena, &n->s.diag))
		return EXIT_INPUT;
	return take_drawing(n, &d);
}

/* ---- all cells ---- */

static int take_id(struct noting *n)
{
	struct buf b;
	buf_init(&b, CELL_MOST);
	log_line_id(&b, &n->s.farm->log_form);
	n->cells[BENCH_ID] = keep(n, &b);
	buf_release(&b);
	if (!n->req->id)
		return 0;
	int status = set_text(n, BENCH_ID, n->req->id);
	if (!status)
		n->old = find_entry(n->s.farm, n->cells[BENCH_ID], &n->s.arena);
	if (n->old)
		n->cells[BENCH_ID] = n->old->id;
	return status;
}

/* What an entry of that id says already, and the command line does not, is the same. */
static void take_old(struct noting *n)
{
	char iso[11];
	if (!n->old)
		return;
	if (n->req->on == DAY_NONE)
		n->on = n->old->on;
	date_print(n->on, iso);
	n->cells[BENCH_ON] = (struct str){ arena_copy(&n->s.arena, iso, 10), 10 };
	if (!n->req->ndrawn && n->event == EVENT_MADE)
		put_drawn(n, n->s.farm, n->old->drawn, n->old->ndrawn);
	if (!n->req->box && n->event != EVENT_WEIGHED && n->old->box != NONE)
		n->cells[BENCH_BOX] = n->s.farm->boxes[n->old->box].id;
	if (!n->req->nbatches && n->event != EVENT_WEIGHED && n->old->batch != NONE)
		n->cells[BENCH_BATCH] = n->s.farm->batches[n->old->batch].id;
}

static int take_options(struct noting *n)
{
	const struct request *req = n->req;
	uint32_t outlet = req->outlet ? farm_find_outlet(n->s.farm, str_of(req->outlet)) : NONE;
	int status = set_option(n, BENCH_MINUTES, req->minutes);
	if (!status)
		status = set_option(n, BENCH_SPOILED, req->spoiled);
	if (!status)
		status = set_option(n, BENCH_PRICE, req->price);
	if (!status && req->colour)
		status = set_text(n, BENCH_COLOUR, req->colour);
	if (!status && req->length)
		status = set_text(n, BENCH_LENGTH, req->length);
	if (!status && req->cause)
		status = set_text(n, BENCH_CAUSE, req->cause);
	if (!status && req->outlet)
		status = set_text(n, BENCH_OUTLET, req->outlet);
	if (!status && outlet != NONE)
		n->cells[BENCH_OUTLET] = n->s.farm->outlets[outlet].head.name;
	if (!status && req->say)
		status = set_text(n, BENCH_NOTE, req->say);
	if (!status && req->ndrawn)
		status = take_drawn(n);
	return status;
}

int note_cells(struct noting *n)
{
	char iso[11];
	n->on = n->s.report.on;
	n->item = (struct item){ KIND_CROP, NONE };
	date_print(n->on, iso);
	n->cells[BENCH_ON] = (struct str){ arena_copy(&n->s.arena, iso, 10), 10 };
	n->cells[BENCH_EVENT] = str_of(event_name(n->event));
	rates_reckon(&n->rates, n->s.farm, n->on, false, &n->s.arena);
	int status = take_id(n);
	if (!status)
		status = take_options(n);
	if (!status)
		status = n->event == EVENT_STRUCK ? take_strike(n) : take_words(n);
	if (!status)
		status = take_batch(n);
	if (!status && n->event != EVENT_STRUCK && !n->old)
		status = take_box(n);
	if (!status && n->old && (n->req->box || n->req->nbatches))
		status = take_box(n);
	if (!status && lacks_what(n))
		status = missing_what(n);
	if (!status)
		take_old(n);
	return status ? status : draw(n);
}
