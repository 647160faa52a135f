/* tables_bench.c - the bench log: what happened since the boxes were counted. */
#include "base/buf.h"
#include "base/unit.h"
#include "farm/tables_in.h"

struct entry_row {
	struct log_entry entry;
	struct str note; /* told apart by these, not kept */
	uint32_t colour;
	double length;
};

struct bench {
	struct entry_row *rows; /* by row of ids[TABLE_BENCH] */
	size_t n, cap, cap_log;
	size_t gone;            /* lines that name a box which stock.csv no longer has */
	bool gone_late;         /* one of them is younger than the oldest count */
	struct span gone_at;
	struct str gone_box;
	size_t uncounted;       /* lines that name a box, where there is no stock.csv */
	struct span uncounted_at;
	struct str uncounted_box;
};

const char *event_name(enum event e)
{
	static const char *const name[] = { "made",    "cut",  "hung",    "boxed", "tossed",
		                            "counted", "sold", "weighed", "struck" };
	return e < EVENT_COUNT ? name[e] : "event";
}

#define COL(column) (1u << BENCH_##column)
#define ANY_ITEM (1u << KIND_CROP | 1u << KIND_SUPPLY | 1u << KIND_PART | 1u << KIND_PIECE)

/* What an event says in which column.  id, on, event, note and end go with all. */
static const struct event_columns rules[EVENT_COUNT] = {
	[EVENT_MADE] = { COL(WHAT) | COL(COUNT),
	                 COL(UNIT) | COL(MINUTES) | COL(SPOILED) | COL(DRAWN) | COL(BOX),
	                 1u << KIND_PART | 1u << KIND_PIECE },
	[EVENT_CUT] = { COL(WHAT) | COL(COUNT), COL(UNIT) | COL(MINUTES) | COL(SPOILED) | COL(BATCH), 1u << KIND_CROP },
	[EVENT_HUNG] = { COL(WHAT) | COL(COUNT), COL(UNIT) | COL(MINUTES) | COL(SPOILED) | COL(BATCH), 1u << KIND_CROP },
	[EVENT_BOXED] = { COL(WHAT) | COL(COUNT) | COL(BOX),
	                  COL(UNIT) | COL(MINUTES) | COL(SPOILED) | COL(BATCH) | COL(COLOUR) | COL(LENGTH),
	                  ANY_ITEM },
	[EVENT_TOSSED] = { COL(COUNT), COL(WHAT) | COL(BOX) | COL(UNIT) | COL(MINUTES) | COL(CAUSE),
	                   ANY_ITEM },
	[EVENT_COUNTED] = { COL(COUNT), COL(WHAT) | COL(BOX) | COL(UNIT) | COL(MINUTES), ANY_ITEM },
	[EVENT_SOLD] = { COL(COUNT),
	                 COL(WHAT) | COL(BOX) | COL(UNIT) | COL(MINUTES) | COL(OUTLET) | COL(PRICE),
	                 ANY_ITEM },
	[EVENT_WEIGHED] = { COL(BOX) | COL(COUNT), COL(WHAT) | COL(UNIT) | COL(MINUTES), 1u << KIND_CROP },
	[EVENT_STRUCK] = { COL(STRIKES), COL(WHAT), ANY_ITEM },
};

struct event_columns event_columns(enum event event)
{
	return event < EVENT_COUNT ? rules[event] : (struct event_columns){ .needs = 0 };
}

static const unsigned with_all = COL(ID) | COL(ON) | COL(EVENT) | COL(NOTE) | COL(END);

/* ---- a torn last line ---- */

/* Offset of the last line; the text's length when it ends in a line feed. */
static size_t last_line(struct str text)
{
	size_t start = text.n;
	while (start && text.p[start - 1] != '\n')
		start--;
	return start;
}

/* The last cell of a line without quotes of its own; blanks count where they part cells. */
static struct str last_cell(struct str line, char delimiter)
{
	size_t start = line.n;
	while (start && line.p[start - 1] != delimiter)
		start--;
	return str_trim((struct str){ line.p + start, line.n - start });
}

static bool has_end_column(struct str header, char delimiter)
{
	struct str name = last_cell(header, delimiter);
	while (name.n && strchr("\r\"", name.p[name.n - 1]))
		name.n--;
	while (name.n && *name.p == '"')
		name = (struct str){ name.p + 1, name.n - 1 };
	return csv_column_of(csv_table_of(TABLE_BENCH), name) == BENCH_END;
}

/* Where the last line holds zeros, as after a power cut that the length of the file was
 * written before and the line was not, the text up to them; else all of it. */
static struct str before_zeros(struct str text)
{
	size_t n = text.n && text.p[text.n - 1] == '\n' ? text.n - 1 : text.n;
	size_t start = last_line((struct str){ text.p, n });
	const char *zero = memchr(text.p + start, '\0', n - start);
	return zero ? (struct str){ text.p, (size_t)(zero - text.p) } : text;
}

/* A line is written in one piece with its line feed last, so only a line at the end of
 * the file and without one can be torn.  With nothing but its end mark missing it is
 * whole: a line that stops in an earlier cell has fewer cells. */
size_t bench_whole(struct str all)
{
	struct str text = before_zeros(all);
	size_t start = last_line(text);
	struct str line = { text.p + start, text.n - start };
	char delimiter = csv_delimiter(text);
	struct str header = csv_first_line(text);
	if (start == 0 || str_trim(line).n == 0 || !has_end_column(header, delimiter))
		return text.n;
	size_t cells = csv_cell_count(header, delimiter), here = csv_cell_count(line, delimiter);
	struct str end = last_cell(line, delimiter);
	bool ended = end.n == 0 || str_is(end, ".") || str_is(end, "\".\"");
	return here < cells || (here == cells && !ended) ? start : text.n;
}

size_t bench_length(struct tables *all, uint32_t source)
{
	struct diag *diag = all->l->diag;
	struct str text = diag->sources[source - 1].text;
	size_t start = bench_whole(text);
	struct str line = { text.p + start, text.n - start };
	if (line.n == 0)
		return start;
	diag_warn(diag, ((struct span){ source, (uint32_t)start, (uint32_t)line.n }),
	          "The last line %s is torn and left out.", diag_quote(diag, line));
	diag_hint(diag, "it stops before its last cell, as after a power cut: the next `thrave note` "
	                "moves it into " BENCH_TORN "; note again what it said");
	return start;
}

struct str bench_with_line(struct loader *l, struct str text)
{
	size_t whole = bench_whole(text), n = whole + l->log_line.n;
	char *joined = arena_alloc(l->arena, n + 1, 1);
	if (whole)
		memcpy(joined, text.p, whole);
	memcpy(joined + whole, l->log_line.p, l->log_line.n);
	l->farm->log_form.added = whole;
	return (struct str){ joined, n };
}

/* ---- how it is written, for one who adds to it ---- */

static void note_form(struct table_reader *t)
{
	struct log_form *form = &t->l->farm->log_form;
	struct str text = t->l->diag->sources[t->csv->source - 1].text;
	uint32_t *columns = ARENA_ARRAY(t->l->arena, t->csv->nheader + 1, uint32_t);
	for (size_t i = 0; i < t->csv->nheader; i++)
		columns[i] = BENCH_COLUMNS;
	for (size_t i = 0; i < t->npresent; i++)
		columns[t->present[i].cell] = t->present[i].column;
	form->size = text.n;
	form->whole = bench_whole(text);
	const char *lf = memchr(text.p, '\n', text.n);
	form->crlf = lf && lf > text.p && lf[-1] == '\r';
	form->open_end = form->whole > 0 && text.p[form->whole - 1] != '\n';
	form->delimiter = t->csv->delimiter;
	/* Where `;` parts the cells the comma is most likely the decimal sign. */
	form->decimal = t->decimal ? t->decimal : t->csv->delimiter == ';' ? ',' : '.';
	form->columns = columns;
	form->ncolumns = t->csv->nheader;
}

/* Keeps the largest id that is a whole number. */
static void note_id(struct table_reader *t, struct str id)
{
	enum { DIGITS_MOST = 15 };
	struct log_form *form = &t->l->farm->log_form;
	int64_t n = 0;
	for (size_t i = 0; i < id.n; i++) {
		if (id.p[i] < '0' || id.p[i] > '9' || id.n > DIGITS_MOST)
			return;
		n = n * 10 + (id.p[i] - '0');
	}
	if (n < form->last || id.n == 0)
		return;
	form->last = n;
	form->digits = id.p[0] == '0' ? (unsigned)id.n : 0;
}

/* ---- boxes ---- */

static struct str next_box(void *context, size_t i)
{
	const struct farm *farm = context;
	return i < farm->nboxes ? (farm->boxes[i].id.n ? farm->boxes[i].id : STR("\x01\x01\x01\x01"))
	                        : STR_NONE;
}

static struct str next_batch(void *context, size_t i)
{
	const struct farm *farm = context;
	return i < farm->nbatches ? farm->batches[i].id : STR_NONE;
}

static void unknown_box(struct table_reader *t, size_t column, struct str id)
{
	struct farm *farm = t->l->farm;
	struct diag *diag = t->l->diag;
	if (!farm->has_stock) { /* said once, at the end */
		t->bad = true;
		if (t->bench->uncounted++)
			return;
		t->bench->uncounted_at = cell_span(t, column);
		t->bench->uncounted_box = id;
		return;
	}
	cell_error(t, column, "stock.csv has no box %s.", diag_quote(diag, id));
	struct str near = diag->errors < CSV_ERRORS_MOST ? diag_nearest(id, next_box, farm) : STR_NONE;
	if (near.n)
		diag_hint(diag, "did you mean %s?", diag_quote(diag, near));
	else if (t->l->log_line.n && cell_span(t, column).off >= farm->log_form.added)
		diag_hint(diag, "`thrave stock --of CROP` shows the boxes of a crop");
	else
		diag_hint(diag, "a box stays in stock.csv, with its count, until all is counted anew");
}

/* The box of that id: NONE with an error, or without one when it was emptied and
 * left out of a later count (then *gone). */
static uint32_t find_box(struct table_reader *t, size_t column, struct str id, bool *gone)
{
	struct tables *all = t->all;
	day on = t->values[BENCH_ON].date;
	uint32_t box;
	*gone = false;
	if (all->failed[TABLE_STOCK]) /* its boxes may be anything */
		return NONE;
	if (ids_find(&all->ids[TABLE_STOCK], t->l->arena, id, &box))
		return box;
	if (all->last_count == DAY_NONE || on > all->last_count) {
		unknown_box(t, column, id);
		return NONE;
	}
	*gone = true;
	if (t->bench->gone++ == 0) {
		t->bench->gone_at = cell_span(t, column);
		t->bench->gone_box = id;
	}
	t->bench->gone_late = t->bench->gone_late || on > all->first_count;
	return NONE;
}

/* Stems boxed into a box that nobody has counted yet: empty on the day before. */
static uint32_t open_box(struct table_reader *t, struct item item)
{
	struct farm *farm = t->l->farm;
	struct ids *ids = &t->all->ids[TABLE_STOCK];
	const struct value *v = t->values;
	uint32_t old;
	if (!ids->nslots)
		ids_init(ids, 8);
	ids_add(ids, t->l->arena, v[BENCH_BOX].cell, ids_hash(text_of(&v[BENCH_BOX]), t->l->arena), &old);
	struct box *box = ARENA_PUSH(t->l->arena, farm->boxes, farm->nboxes, t->all->cap_boxes);
	*box = (struct box){ .id = text_of(&v[BENCH_BOX]), .item = item, .price = NAN,
		             .colour = v[BENCH_COLOUR].ref,
		             .length = given(&v[BENCH_LENGTH]) ? v[BENCH_LENGTH].number : 0,
		             .boxed = v[BENCH_ON].date, .counted = v[BENCH_ON].date - 1,
		             .place = NONE };
	return (uint32_t)farm->nboxes - 1;
}

/* What the line says of the box's colour and length is what is known of it. */
static void check_kind_of_box(struct table_reader *t, const struct box *box)
{
	const struct value *v = t->values;
	if (given(&v[BENCH_COLOUR]) && v[BENCH_COLOUR].ref != box->colour)
		cell_error(t, BENCH_COLOUR, "%s is not the colour that the box %s has so far.",
		           cell_quote(t, BENCH_COLOUR), cell_quote(t, BENCH_BOX));
	if (given(&v[BENCH_LENGTH]) && v[BENCH_LENGTH].number != box->length)
		cell_error(t, BENCH_LENGTH, "%s is not the length that the box %s has so far.",
		           cell_quote(t, BENCH_LENGTH), cell_quote(t, BENCH_BOX));
}

/* The box that the line is about; item is what stands in `what`, index NONE when
 * nothing does. */
static uint32_t box_of_line(struct table_reader *t, enum event event, struct item *item, bool *gone)
{
	const struct value *v = t->values;
	struct farm *farm = t->l->farm;
	uint32_t box;
	bool known = ids_find(&t->all->ids[TABLE_STOCK], t->l->arena, text_of(&v[BENCH_BOX]), &box);
	if (!known && event == EVENT_BOXED && !t->all->failed[TABLE_STOCK] &&
	    (t->all->first_count == DAY_NONE || v[BENCH_ON].date > t->all->first_count)) {
		if (item->kind == KIND_CROP)
			cell_colour_of(t, BENCH_COLOUR, item->index);
		return open_box(t, *item);
	}
	box = find_box(t, BENCH_BOX, text_of(&v[BENCH_BOX]), gone);
	if (box == NONE)
		return NONE;
	struct item in_it = farm->boxes[box].item;
	if (item->index == NONE) {
		*item = in_it;
	} else if (item->kind != in_it.kind || item->index != in_it.index) {
		cell_error(t, BENCH_BOX, "In the box %s is %s, not %s.", cell_quote(t, BENCH_BOX),
		           diag_quote(t->l->diag, farm_head(farm, in_it)->name),
		           cell_quote(t, BENCH_WHAT));
		return NONE;
	}
	if (event == EVENT_BOXED)
		check_kind_of_box(t, &farm->boxes[box]);
	return box;
}

/* One `B12 24` of `drawn`. */
static void read_drawn_part(struct table_reader *t, struct str part, struct log_entry *e, size_t *cap)
{
	struct diag *diag = t->l->diag;
	size_t n = part.n;
	bool gone;
	while (n && part.p[n - 1] != ' ' && part.p[n - 1] != '\t')
		n--;
	struct str number = { part.p + n, part.n - n };
	struct str id = str_trim((struct str){ part.p, n });
	double stems;
	uint32_t box;
	if (id.n == 0) {
		cell_error(t, BENCH_DRAWN, "%s is no box and count.", diag_quote(diag, part));
		diag_hint(diag, "what was drawn looks like this: B12 24; B13 10");
		return;
	}
	if (!cell_number(t, BENCH_DRAWN, number, &stems)) {
		diag_hint(diag, "what was drawn looks like this: B12 24; B13 10");
		return;
	}
	if (memchr(id.p, ',', id.n) && !ids_find(&t->all->ids[TABLE_STOCK], t->l->arena, id, &box)) {
		cell_error(t, BENCH_DRAWN, "%s is no box and count.", diag_quote(diag, part));
		diag_hint(diag, "semicolons part the boxes: B12 24; B13 10");
		return;
	}
	struct str before = id; /* `B1 x 4` */
	while (before.n && (before.p[before.n - 1] == 'x' || before.p[before.n - 1] == 'X'))
		before.n--;
	before = str_trim(before);
	if (before.n < id.n && !ids_find(&t->all->ids[TABLE_STOCK], t->l->arena, id, &box) &&
	    ids_find(&t->all->ids[TABLE_STOCK], t->l->arena, before, &box)) {
		cell_error(t, BENCH_DRAWN, "%s is no box and count.", diag_quote(diag, part));
		diag_hint(diag, "write `%.*s %.*s`", STR_ARG(before), STR_ARG(number));
		return;
	}
	box = find_box(t, BENCH_DRAWN, id, &gone);
	if (gone)
		e->drawn_gone += stems;
	if (box == NONE)
		return;
	for (size_t i = 0; i < e->ndrawn; i++) {
		if (e->drawn[i].box == box) {
			cell_error(t, BENCH_DRAWN, "The box %s is named twice.", diag_quote(diag, id));
			return;
		}
	}
	*ARENA_PUSH(t->l->arena, e->drawn, e->ndrawn, *cap) = (struct drawn){ box, stems };
}

static void read_drawn(struct table_reader *t, struct log_entry *e)
{
	struct str rest = text_of(&t->values[BENCH_DRAWN]), part;
	size_t cap = 0;
	while (!t->bad && cell_part(&rest, &part)) {
		if (part.n) /* else a `;` at the end */
			read_drawn_part(t, part, e, &cap);
	}
}

/* ---- one line ---- */

static void name_columns(struct buf *b, unsigned columns)
{
	const struct csv_table *table = csv_table_of(TABLE_BENCH);
	bool first = true;
	for (size_t i = 0; i < table->n; i++) {
		if (columns >> i & 1) {
			buf_printf(b, "%s%s", first ? "" : ", ", table->columns[i].name);
			first = false;
		}
	}
}

static void check_columns(struct table_reader *t, enum event event)
{
	const struct event_columns *rule = &rules[event];
	for (size_t i = 0; i < BENCH_COLUMNS; i++) {
		bool there = given(&t->values[i]);
		if (!there && rule->needs >> i & 1)
			cell_error(t, i, "The cell is empty; an entry `%s` needs it.", event_name(event));
		if (!there || (rule->needs | rule->may | with_all) >> i & 1)
			continue;
		cell_warn(t, i, "%s says nothing with an entry `%s`.", cell_quote(t, i), event_name(event));
		struct buf b;
		buf_init(&b, 256);
		name_columns(&b, rule->needs | rule->may);
		diag_hint(t->l->diag, "with `%s` are read: %s", event_name(event), b.data);
		buf_release(&b);
	}
}

static void check_item(struct table_reader *t, struct log_entry *e)
{
	const struct value *v = t->values;
	const struct event_columns *rule = &rules[e->event];
	struct item item = e->item;
	if (item.index == NONE || rule->kinds >> item.kind & 1)
		return;
	cell_error(t, BENCH_WHAT, "%s is a %s; an entry `%s` is about something else.",
	           cell_quote(t, BENCH_WHAT), kind_name(item.kind), event_name(e->event));
	bool crops = rule->kinds == 1u << KIND_CROP;
	diag_hint(t->l->diag, given(&v[BENCH_EVENT]) && crops ? "only a crop is %s" : "a part or a piece is %s",
	          event_name(e->event));
}

static void take_count(struct table_reader *t, struct log_entry *e)
{
	struct rat factor;
	if (!given(&t->values[BENCH_COUNT]) || !cell_unit(t, BENCH_UNIT, e->item, &factor))
		return;
	e->count = e->count * (double)factor.num / (double)factor.den;
	e->price = e->price * (double)factor.den / (double)factor.num;
	if (e->item.kind == KIND_PIECE && e->count != floor(e->count))
		cell_error(t, BENCH_COUNT, "%s is no whole number of pieces.", cell_quote(t, BENCH_COUNT));
}

/* ---- batches ---- */

/* Whose batch it is goes by batches.csv, or by the first entry that names it. */
static bool is_of_batch(struct table_reader *t, size_t column, struct log_entry *e)
{
	struct item item = { KIND_CROP, t->l->farm->batches[e->batch].crop };
	if (e->item.index == NONE || (e->item.kind == KIND_CROP && e->item.index == item.index))
		return true;
	cell_error(t, column, "The batch %s is of %s, not %s.", cell_quote(t, column),
	           diag_quote(t->l->diag, farm_head(t->l->farm, item)->name), cell_quote(t, BENCH_WHAT));
	return false;
}

static uint32_t open_batch(struct table_reader *t, uint32_t crop)
{
	struct farm *farm = t->l->farm;
	struct ids *ids = &t->all->ids[TABLE_BATCHES];
	const struct value *cell = &t->values[BENCH_BATCH];
	uint32_t old;
	if (!ids->nslots)
		ids_init(ids, 8);
	ids_add(ids, t->l->arena, cell->cell, ids_hash(text_of(cell), t->l->arena), &old);
	struct batch *batch = ARENA_PUSH(t->l->arena, farm->batches, farm->nbatches, t->all->cap_batches);
	*batch = (struct batch){ .id = text_of(cell), .crop = crop, .bed = NONE,
		                 .colour = t->values[BENCH_COLOUR].ref, .cut_on = DAY_NONE,
		                 .hung_on = DAY_NONE, .boxed_on = DAY_NONE, .cut = NAN, .hung = NAN,
		                 .boxed = NAN, .minutes = NAN, .logged = true, .line = t->csv->line };
	return (uint32_t)farm->nbatches - 1;
}

static void take_batch(struct table_reader *t, struct log_entry *e)
{
	if (!given(&t->values[BENCH_BATCH]) || t->all->failed[TABLE_BATCHES])
		return;
	if (e->item.kind != KIND_CROP)
		cell_error(t, BENCH_BATCH, "Only stems of a crop are a batch, not %s.", cell_quote(t, BENCH_WHAT));
	else if (!ids_find(&t->all->ids[TABLE_BATCHES], t->l->arena, text_of(&t->values[BENCH_BATCH]), &e->batch))
		e->batch = open_batch(t, e->item.index);
	else
		is_of_batch(t, BENCH_BATCH, e);
}

struct heard { /* of a batch, from the log */
	double cut, hung, boxed, minutes;
	day cut_on, hung_on, boxed_on;
	bool named;
};

static void add_heard(double *sum, double stems)
{
	if (!isnan(stems))
		*sum = isnan(*sum) ? stems : *sum + stems;
}

static void hear(struct heard *h, const struct log_entry *e)
{
	h->named = true;
	if (e->event == EVENT_CUT) {
		add_heard(&h->cut, e->count);
		h->cut_on = h->cut_on == DAY_NONE || e->on < h->cut_on ? e->on : h->cut_on;
	} else if (e->event == EVENT_HUNG) {
		add_heard(&h->hung, e->count);
		h->hung_on = h->hung_on == DAY_NONE || e->on < h->hung_on ? e->on : h->hung_on;
	} else if (e->event == EVENT_BOXED) {
		add_heard(&h->boxed, e->count);
		h->boxed_on = h->boxed_on == DAY_NONE || e->on > h->boxed_on ? e->on : h->boxed_on;
	}
	if (e->event == EVENT_HUNG || e->event == EVENT_BOXED)
		add_heard(&h->minutes, e->minutes);
}

/* What batches.csv says stands. */
static void fill_batch(struct batch *b, const struct heard *h)
{
	bool cut = isnan(b->cut), hung = isnan(b->hung), boxed = isnan(b->boxed);
	b->cut = cut ? h->cut : b->cut;
	b->hung = hung ? h->hung : b->hung;
	b->boxed = boxed ? h->boxed : b->boxed;
	b->minutes = isnan(b->minutes) ? h->minutes : b->minutes;
	b->cut_on = cut && b->cut_on == DAY_NONE ? h->cut_on : b->cut_on;
	b->hung_on = hung && b->hung_on == DAY_NONE ? h->hung_on : b->hung_on;
	b->boxed_on = boxed && b->boxed_on == DAY_NONE ? h->boxed_on : b->boxed_on;
}

/* Batches that only struck entries name never were. */
static void drop_unheard(struct farm *farm, const struct heard *heard, uint32_t *now)
{
	uint32_t kept = 0;
	for (uint32_t i = 0; i < farm->nbatches; i++) {
		now[i] = NONE;
		if (farm->batches[i].logged && !heard[i].named)
			continue;
		now[i] = kept;
		farm->batches[kept++] = farm->batches[i];
	}
	farm->nbatches = kept;
	for (size_t i = 0; i < farm->nlog; i++) {
		if (farm->log[i].batch != NONE)
			farm->log[i].batch = now[farm->log[i].batch];
	}
}

static void hear_of_batches(struct table_reader *t)
{
	struct farm *farm = t->l->farm;
	const bool *struck = log_struck(farm, t->l->arena);
	struct heard *heard = ARENA_ARRAY(t->l->arena, farm->nbatches + 1, struct heard);
	for (size_t i = 0; i < farm->nbatches; i++)
		heard[i] = (struct heard){ NAN, NAN, NAN, NAN, DAY_NONE, DAY_NONE, DAY_NONE, false };
	for (size_t i = 0; i < farm->nlog; i++) {
		if (!struck[i] && farm->log[i].batch != NONE)
			hear(&heard[farm->log[i].batch], &farm->log[i]);
	}
	for (size_t i = 0; i < farm->nbatches; i++)
		fill_batch(&farm->batches[i], &heard[i]);
	drop_unheard(farm, heard, ARENA_ARRAY(t->l->arena, farm->nbatches + 1, uint32_t));
}

/* A weighing belongs to the batch in `box`; false: there is none, leave it out. */
static bool take_weighing(struct table_reader *t, struct log_entry *e)
{
	const struct value *v = t->values;
	struct farm *farm = t->l->farm;
	const struct unit *unit = given(&v[BENCH_UNIT]) ? unit_find(text_of(&v[BENCH_UNIT])) : NULL;
	if (given(&v[BENCH_UNIT]) && (!unit || unit->dim != DIM_WEIGHT)) {
		cell_error(t, BENCH_UNIT, "%s is no unit of weight.", cell_quote(t, BENCH_UNIT));
		return false;
	}
	if (unit)
		e->count = e->count * (double)unit->factor.num / (double)unit->factor.den;
	if (t->all->failed[TABLE_BATCHES])
		return false;
	if (!ids_find(&t->all->ids[TABLE_BATCHES], t->l->arena, text_of(&v[BENCH_BOX]), &e->batch)) {
		cell_warn(t, BENCH_BOX, "batches.csv has no batch %s: the weighing is not used.",
		          cell_quote(t, BENCH_BOX));
		struct str near = diag_nearest(text_of(&v[BENCH_BOX]), next_batch, farm);
		if (near.n)
			diag_hint(t->l->diag, "did you mean %s?", diag_quote(t->l->diag, near));
		else
			diag_hint(t->l->diag, "a batch may begin in the log, too: `thrave note hung 260 Statice --batch ST-4`");
		return false;
	}
	is_of_batch(t, BENCH_BOX, e);
	e->item = (struct item){ KIND_CROP, farm->batches[e->batch].crop };
	return true;
}

/* Strikes an entry further up; its item becomes this one's. */
static bool take_strike(struct table_reader *t, struct log_entry *e)
{
	uint32_t row;
	if (!ids_find(&t->all->ids[TABLE_BENCH], t->l->arena, e->strikes, &row)) {
		cell_error(t, BENCH_STRIKES, "No entry %s stands before this line.",
		           cell_quote(t, BENCH_STRIKES));
		return false;
	}
	e->strikes = t->bench->rows[row].entry.id;
	e->item = t->bench->rows[row].entry.item;
	return e->item.index != NONE;
}

/* Whether the entry goes into the log: all do that are wholly understood. */
static bool complete(struct table_reader *t, struct log_entry *e)
{
	const struct value *v = t->values;
	bool gone = false;
	check_item(t, e);
	check_columns(t, e->event);
	if (t->bad)
		return false;
	if (e->event == EVENT_STRUCK)
		return take_strike(t, e);
	if (e->event == EVENT_WEIGHED)
		return take_weighing(t, e);
	if (given(&v[BENCH_BOX]))
		e->box = box_of_line(t, e->event, &e->item, &gone);
	if (given(&v[BENCH_DRAWN]))
		read_drawn(t, e);
	if (e->item.index == NONE) {
		if (!gone && !t->bad && !t->all->failed[TABLE_STOCK])
			cell_error(t, BENCH_WHAT, "The cell is empty, and no box says what it was.");
		return false;
	}
	take_count(t, e);
	take_batch(t, e);
	return !t->bad;
}

static bool same_number(double a, double b)
{
	return a == b || (isnan(a) && isnan(b));
}

static bool same_entry(const struct entry_row *x, const struct entry_row *y)
{
	const struct log_entry *a = &x->entry, *b = &y->entry;
	if (a->on != b->on || a->event != b->event || a->item.kind != b->item.kind ||
	    a->item.index != b->item.index || !same_number(a->count, b->count) ||
	    !same_number(a->minutes, b->minutes) || !same_number(a->spoiled, b->spoiled) ||
	    a->ndrawn != b->ndrawn || !same_number(a->drawn_gone, b->drawn_gone) || a->box != b->box ||
	    a->batch != b->batch || a->cause != b->cause || a->outlet != b->outlet ||
	    !same_number(a->price, b->price) || !str_eq(a->strikes, b->strikes) ||
	    !str_eq(x->note, y->note) || x->colour != y->colour || !same_number(x->length, y->length))
		return false;
	for (size_t i = 0; i < a->ndrawn; i++) {
		if (a->drawn[i].box != b->drawn[i].box || !same_number(a->drawn[i].stems, b->drawn[i].stems))
			return false;
	}
	return true;
}

/* Writing the same line again is harmless, so that a retry is. */
static bool repeated(struct table_reader *t, const struct entry_row *row)
{
	struct ids *ids = &t->all->ids[TABLE_BENCH];
	uint32_t old;
	if (!ids_find(ids, t->l->arena, row->entry.id, &old))
		return false;
	struct span first = csv_span(t->csv, &ids->keys[old]);
	if (same_entry(row, &t->bench->rows[old])) {
		diag_add(t->l->diag, DIAG_NOTE, cell_span(t, BENCH_ID),
		         "The entry %s stands twice and counts once.", cell_quote(t, BENCH_ID));
		diag_also(t->l->diag, first, "the same entry");
	} else {
		cell_error(t, BENCH_ID, "The entry %s stands twice, but does not say the same.",
		           cell_quote(t, BENCH_ID));
		diag_also(t->l->diag, first, "the other one");
	}
	return true;
}

/* ---- the table ---- */

void bench_begin(struct table_reader *t, size_t lines)
{
	t->bench = mem_alloc(1, sizeof *t->bench);
	t->bench->cap = lines + 1;
	t->bench->rows = mem_alloc(t->bench->cap, sizeof *t->bench->rows);
	t->bench->cap_log = lines + 1;
	t->l->farm->log = ARENA_ARRAY(t->l->arena, lines + 1, struct log_entry);
}

void bench_row(struct table_reader *t)
{
	const struct value *v = t->values;
	struct farm *farm = t->l->farm;
	uint32_t what = v[BENCH_WHAT].ref, old;
	struct entry_row row = { .note = text_of(&v[BENCH_NOTE]),
		                 .colour = v[BENCH_COLOUR].ref,
		                 .length = v[BENCH_LENGTH].number };
	row.entry = (struct log_entry){
		.id = text_of(&v[BENCH_ID]),
		.on = v[BENCH_ON].date,
		.event = v[BENCH_EVENT].ref == NONE ? EVENT_COUNT : (enum event)v[BENCH_EVENT].ref,
		.item = what == NONE ? (struct item){ KIND_CROP, NONE } : ITEM_OF(what),
		.count = v[BENCH_COUNT].number,
		.minutes = v[BENCH_MINUTES].number,
		.spoiled = given(&v[BENCH_SPOILED]) ? v[BENCH_SPOILED].number : 0,
		.spoiled_said = given(&v[BENCH_SPOILED]),
		.box = NONE,
		.batch = NONE,
		.cause = v[BENCH_CAUSE].ref,
		.outlet = v[BENCH_OUTLET].ref,
		.price = v[BENCH_PRICE].number,
		.strikes = text_of(&v[BENCH_STRIKES]),
		.line = t->csv->line,
	};
	bool keep = !t->bad && complete(t, &row.entry);
	if (!t->bad && repeated(t, &row))
		return;
	ids_add(&t->all->ids[TABLE_BENCH], t->l->arena, v[BENCH_ID].cell, v[BENCH_ID].ref, &old);
	struct bench *bench = t->bench;
	if (bench->n == bench->cap) {
		bench->cap *= 2;
		bench->rows = mem_grow(bench->rows, bench->cap, sizeof *bench->rows);
	}
	bench->rows[bench->n++] = row;
	note_id(t, row.entry.id);
	if (keep)
		*ARENA_PUSH(t->l->arena, farm->log, farm->nlog, bench->cap_log) = row.entry;
}

static void say_uncounted(struct table_reader *t)
{
	const struct bench *bench = t->bench;
	struct diag *diag = t->l->diag;
	size_t more = bench->uncounted - 1;
	const char *box = diag_quote(diag, bench->uncounted_box);
	if (more)
		diag_error(diag, bench->uncounted_at,
		           "There is no stock.csv, so the box %s is not known, nor are those of %zu %s more.", box,
		           more, more == 1 ? "entry" : "entries");
	else
		diag_error(diag, bench->uncounted_at, "There is no stock.csv, so the box %s is not known.", box);
	diag_hint(diag, "the table of the boxes must lie in the folder under this name, in small letters and as CSV");
}

void bench_end(struct table_reader *t)
{
	struct bench *bench = t->bench;
	note_form(t);
	hear_of_batches(t);
	if (bench->uncounted)
		say_uncounted(t);
	if (bench->gone) {
		diag_add(t->l->diag, bench->gone_late ? DIAG_WARNING : DIAG_NOTE, bench->gone_at,
		         "The log names boxes that stock.csv no longer has: %s%s.",
		         diag_quote(t->l->diag, bench->gone_box), bench->gone > 1 ? " and more" : "");
		diag_hint(t->l->diag, "what it says of them is not used");
	}
	mem_free(bench->rows);
	mem_free(bench);
	t->bench = NULL;
}
