/* of_stock.c - what the shed holds. */
#include <math.h>

#include "base/number.h"
#include "farm/measure.h"
#include "report/of.h"

static const struct column stem_columns[] = {
	{ "label", "crop and class", TYPE_TEXT, COL_PEOPLE, "text", "" },
	{ "crop", "crop", TYPE_TEXT, COL_MACHINE, "text", "name of the crop" },
	{ "colour", "colour", TYPE_TEXT, COL_MACHINE, "text", "colour; empty: not said" },
	{ "length", "length", TYPE_NUMBER, COL_MACHINE, "cm",
	  "length of the stems; empty: not said" },
	{ "boxed", "boxed", TYPE_TEXT, COL_MAYBE, "month", "month of boxing as YYYY-MM" },
	{ "boxes", "boxes", TYPE_COUNT, 0, "boxes", "boxes with stems of the class" },
	{ "counted", "counted\nstems", TYPE_COUNT, 0, "stems",
	  "stems by the books: counted, then moved by the bench log" },
	{ "good", "good\nstems", TYPE_COUNT, 0, "stems",
	  "whole stems still good on the day, before the bench share" },
	{ "good_today", "today", TYPE_COUNT, COL_SUPPOSED, "stems", "good without --suppose" },
	{ "past", "past\nkeeping", TYPE_COUNT, COL_MAYBE, "stems",
	  "whole stems past keeping, not counted as good" },
};
const struct table_def STOCK_STEMS = { "stock",
				       "stems",
				       "Stems in the shed",
				       stem_columns,
				       sizeof stem_columns / sizeof stem_columns[0],
				       false };

static const struct column box_columns[] = {
	{ "box", "box", TYPE_TEXT, 0, "text", "its mark, or its row in stock.csv" },
	{ "what", "what", TYPE_TEXT, COL_MACHINE, "text", "crop, supply, part or piece" },
	{ "colour", "colour", TYPE_TEXT, COL_MAYBE, "text", "colour; empty: not said" },
	{ "length", "cm", TYPE_NUMBER, COL_MAYBE, "cm", "length of the stems; empty: not said" },
	{ "boxed", "boxed", TYPE_DATE, COL_MAYBE, "date", "day of boxing" },
	{ "counted_on", "counted on", TYPE_DATE, COL_MAYBE, "date", "end of the day of the count" },
	{ "counted", "counted", TYPE_NUMBER, 0, "see unit", "count in stock.csv" },
	{ "now", "now", TYPE_NUMBER, 0, "see unit",
	  "by the books: the count, moved by the bench log" },
	{ "worth", "good", TYPE_TENTH, 0, "see unit", "of these still good on the day" },
	{ "unit", "unit", TYPE_TEXT, COL_MACHINE, "text", "unit of counted, now and worth" },
	{ "past", "past", TYPE_FLAG, COL_MAYBE, "true or false", "past keeping" },
	{ "place", "place", TYPE_TEXT, COL_MAYBE, "text", "where it stands" },
};
const struct table_def STOCK_BOXES = { "stock",
				       "boxes",
				       "Boxes (with --of)",
				       box_columns,
				       sizeof box_columns / sizeof box_columns[0],
				       false };

static const struct column supply_columns[] = {
	{ "supply", "supply", TYPE_TEXT, 0, "text", "name of the supply" },
	{ "on_hand", "on hand", TYPE_NUMBER, 0, "see unit", "in the shed; empty: never counted" },
	{ "unit", "unit", TYPE_TEXT, 0, "text", "unit of on_hand" },
};
const struct table_def STOCK_SUPPLIES = { "stock",
					  "supplies",
					  "Supplies",
					  supply_columns,
					  sizeof supply_columns / sizeof supply_columns[0],
					  false };

static const struct column made_columns[] = {
	{ "name", "made ahead", TYPE_TEXT, 0, "text", "name of the part or piece" },
	{ "kind", "kind", TYPE_TEXT, 0, "text", "part or piece" },
	{ "on_hand", "on hand", TYPE_NUMBER, 0, "see unit", "in the shed" },
	{ "unit", "unit", TYPE_TEXT, 0, "text", "unit of on_hand" },
	{ "promised", "promised", TYPE_COUNT, COL_MAYBE, "each", "pieces in open orders" },
};
const struct table_def STOCK_MADE = { "stock",
				      "made",
				      "Made-ahead parts and finished pieces",
				      made_columns,
				      sizeof made_columns / sizeof made_columns[0],
				      false };

static const struct column order_columns[] = {
	{ "order", "order", TYPE_TEXT, 0, "text", "its mark in orders.csv" },
	{ "piece", "piece", TYPE_TEXT, 0, "text", "name of the piece" },
	{ "count", "count", TYPE_COUNT, 0, "each", "pieces promised" },
	{ "outlet", "outlet", TYPE_TEXT, COL_MAYBE, "text", "name of the outlet; empty: not said" },
	{ "due", "due", TYPE_DATE, 0, "date", "empty: as soon as possible" },
	{ "late", "late", TYPE_FLAG, COL_MAYBE, "true or false",
	  "due before the day of the report" },
	{ "price", "a piece", TYPE_MONEY, COL_MAYBE, "money",
	  "what the customer pays for one; empty: the asked price" },
};
const struct table_def STOCK_ORDERS = { "stock",
					"orders",
					"Open orders",
					order_columns,
					sizeof order_columns / sizeof order_columns[0],
					false };

/* ---- stems ---- */

struct class_sum {
	double boxes, counted, usable, today, past;
};

static bool usable(const struct stock *s, const struct stock_class *c)
{
	return !c->past || s->with_past;
}

/* Boxes of each class. */
static size_t *count_boxes(const struct stock *s, struct arena *a)
{
	size_t *n = ARENA_ARRAY(a, s->nclasses + 1, size_t);
	for (size_t i = 0; i < s->nboxes; i++) {
		if (s->boxes[i].class_ != NONE)
			n[s->boxes[i].class_]++;
	}
	return n;
}

/* The same stems as the farm stands today; a figure may move them past keeping. */
static double usable_today(const struct view *v, const struct stock_class *c)
{
	double stems = 0;
	const struct stock *s = v->today ? &v->today->stock : NULL;
	for (size_t i = 0; s && i < s->nclasses; i++) {
		const struct stock_class *o = &s->classes[i];
		if (o->crop == c->crop && o->colour == c->colour && o->length == c->length &&
		    o->month == c->month && usable(s, o))
			stems += (double)o->whole;
	}
	return stems;
}

static struct class_sum class_numbers(const struct view *v, const size_t *boxes, size_t cls)
{
	const struct stock *s = &v->now->stock;
	const struct stock_class *c = &s->classes[cls];
	bool good = usable(s, c);
	return (struct class_sum){ (double)boxes[cls], (double)c->counted_stems,
				   good ? (double)c->whole : 0, usable_today(v, c),
				   good ? 0 : (double)c->whole };
}

static void put_numbers(struct table *t, struct class_sum n)
{
	put_number(t, "boxes", n.boxes);
	put_number(t, "counted", n.counted);
	put_number(t, "good", n.usable);
	put_number(t, "good_today", n.today);
	put_number(t, "past", n.past);
	if (n.past <= 0)
		put_instead(t, "past", "-");
}

/* "blue, 40 cm"; "any" when neither is said. */
static struct str class_label(struct report *r, const struct farm *f, const struct stock_class *c)
{
	struct str colour = c->colour != NONE ? f->colours[c->colour] : STR_NONE;
	if (c->length <= 0)
		return colour.n ? colour : STR("no colour said");
	const char *between = colour.n ? ", " : "";
	return report_printf(r->arena, "%.*s%s%.*s", STR_ARG(colour), between,
			     STR_ARG(of_length(r, c->length)));
}

static void class_row(struct table *t, const struct view *v, const size_t *boxes, size_t cls,
		      bool alone)
{
	const struct farm *f = v->now->farm;
	const struct stock_class *c = &v->now->stock.classes[cls];
	struct str crop = f->crops[c->crop].head.name, label = class_label(t->report, f, c);
	table_row(t);
	if (alone && c->colour == NONE && c->length <= 0)
		label = crop;
	else if (alone)
		label =
		    report_printf(t->report->arena, "%.*s, %.*s", STR_ARG(crop), STR_ARG(label));
	else
		table_indent(t, 2);
	put_text(t, "label", label);
	put_text(t, "crop", crop);
	if (c->colour != NONE)
		put_text(t, "colour", f->colours[c->colour]);
	put_number(t, "length", of_cm(c->length));
	put_text(t, "boxed", of_month(t->report, c->month));
	put_numbers(t, class_numbers(v, boxes, cls));
}

static void crop_rows(struct table *t, const struct view *v, const size_t *boxes, uint32_t crop)
{
	const struct stock *s = &v->now->stock;
	struct class_sum sum = { 0 };
	size_t n = 0;
	for (size_t i = 0; i < s->nclasses; i++) {
		if (s->classes[i].crop != crop)
			continue;
		struct class_sum one = class_numbers(v, boxes, i);
		sum.boxes += one.boxes;
		sum.counted += one.counted;
		sum.usable += one.usable;
		sum.today += one.today;
		sum.past += one.past;
		n++;
	}
	if (n > 1) {
		table_head(t);
		put_text(t, "label", v->now->farm->crops[crop].head.name);
		put_numbers(t, sum);
	}
	for (size_t i = 0; i < s->nclasses; i++) {
		if (s->classes[i].crop == crop)
			class_row(t, v, boxes, i, n == 1);
	}
}

static bool has_stems(const struct stock *s, uint32_t crop)
{
	for (size_t i = 0; i < s->nclasses; i++) {
		if (s->classes[i].crop == crop)
			return true;
	}
	return false;
}

static void stems(struct report *r, const struct view *v)
{
	const struct farm *f = v->now->farm;
	struct table *t = report_table(r, &STOCK_STEMS);
	t->empty = "No stems are counted: stock.csv has none.";
	const size_t *boxes = count_boxes(&v->now->stock, r->arena);
	struct buf missing;
	buf_init(&missing, REPORT_SIZE_MOST);
	for (uint32_t i = 0; i < f->ncrops; i++) {
		if (!choice_has(&v->choice, KIND_CROP, i))
			continue;
		crop_rows(t, v, boxes, i);
		if (!has_stems(&v->now->stock, i))
			buf_printf(&missing, "%s%.*s", missing.len ? ", " : "",
				   STR_ARG(f->crops[i].head.name));
	}
	if (t->nrows && missing.len)
		report_verdict(r, "No stems in the shed: %s.", missing.data);
	buf_release(&missing);
}

/* ---- boxes, supplies, parts and pieces ---- */

static void box_row(struct table *t, const struct view *v, size_t i)
{
	const struct farm *f = v->now->farm;
	const struct box *b = &f->boxes[i];
	const struct stock_box *s = &v->now->stock.boxes[i];
	table_row(t);
	put_text(t, "box",
		 b->id.n ? b->id
			 : report_printf(t->report->arena, "stock.csv line %u", (unsigned)b->line));
	put_text(t, "what", of_item_name(f, b->item));
	if (b->colour != NONE)
		put_text(t, "colour", f->colours[b->colour]);
	put_number(t, "length", of_cm((double)b->length));
	put_day(t, "boxed", b->boxed);
	put_day(t, "counted_on", b->counted);
	put_number(t, "counted", b->count);
	put_number(t, "now", s->count);
	put_number(t, "worth", s->worth);
	put_text(t, "unit", measure_base(f, b->item));
	put_flag(t, "past", s->past);
	if (b->place != NONE)
		put_text(t, "place", f->words[b->place]);
}

static void box_rows(struct table *t, const struct view *v, struct item item)
{
	const struct farm *f = v->now->farm;
	bool first = true;
	for (size_t i = 0; i < f->nboxes; i++) {
		if (f->boxes[i].item.kind != item.kind || f->boxes[i].item.index != item.index)
			continue;
		if (first)
			table_group(t, report_printf(t->report->arena, "%.*s, in %.*s",
						     STR_ARG(of_item_name(f, item)),
						     STR_ARG(measure_base(f, item))));
		first = false;
		box_row(t, v, i);
		table_indent(t, 2);
	}
}

static void boxes(struct report *r, const struct view *v)
{
	if (!v->choice.nitems)
		return;
	struct table *t = report_table(r, &STOCK_BOXES);
	t->title = STR("Boxes");
	t->empty = "There is no box of it.";
	for (size_t k = 0; k < v->choice.nitems; k++)
		box_rows(t, v, v->choice.items[k]);
}

static void supplies(struct report *r, const struct view *v)
{
	const struct farm *f = v->now->farm;
	struct table *t = report_table(r, &STOCK_SUPPLIES);
	for (uint32_t i = 0; i < f->nsupplies; i++) {
		if (!choice_has(&v->choice, KIND_SUPPLY, i))
			continue;
		double n = v->now->stock.supplies[i];
		table_row(t);
		put_text(t, "supply", f->supplies[i].head.name);
		put_number(t, "on_hand", n);
		if (isnan(n))
			put_instead(t, "on_hand", "not counted");
		put_text(t, "unit", measure_base(f, (struct item){ KIND_SUPPLY, i }));
	}
}

static double promised(const struct farm *f, uint32_t piece, day on)
{
	double n = 0;
	for (size_t i = 0; i < f->norders; i++) {
		if (f->orders[i].piece == piece && stock_order_open(&f->orders[i], on))
			n += f->orders[i].count;
	}
	return n;
}

static void made_row(struct table *t, const struct farm *f, struct item item, double on_hand)
{
	table_row(t);
	put_text(t, "name", of_item_name(f, item));
	put_word(t, "kind", kind_name(item.kind));
	put_number(t, "on_hand", on_hand);
	put_text(t, "unit", measure_base(f, item));
}

static void made(struct report *r, const struct view *v)
{
	const struct farm *f = v->now->farm;
	const struct stock *s = &v->now->stock;
	struct table *t = report_table(r, &STOCK_MADE);
	for (uint32_t i = 0; i < f->nparts; i++) {
		if (choice_names(&v->choice, KIND_PART, i) ||
		    (choice_has(&v->choice, KIND_PART, i) && s->parts[i] > 0))
			made_row(t, f, (struct item){ KIND_PART, i }, s->parts[i]);
	}
	for (uint32_t i = 0; i < f->npieces; i++) {
		double wanted = promised(f, i, r->on);
		if (!choice_has(&v->choice, KIND_PIECE, i))
			continue;
		if (!choice_names(&v->choice, KIND_PIECE, i) && s->pieces[i] <= 0 && wanted <= 0)
			continue;
		made_row(t, f, (struct item){ KIND_PIECE, i }, s->pieces[i]);
		put_number(t, "promised", wanted);
	}
}

/* ---- orders, the earliest due first ---- */

/* What stands in place of an order's own price: the asked price of its outlet. */
static const char *asked_price(struct report *r, const struct farm *f, const struct order *o)
{
	const struct piece *p = &f->pieces[o->piece];
	bool any = false;
	for (size_t i = 0; i < p->noffers; i++) {
		any = any || p->offers[i].price.given;
		if (p->offers[i].outlet != o->outlet || !p->offers[i].price.given)
			continue;
		struct buf b;
		buf_init(&b, REPORT_WIDTH);
		number_print(&b, p->offers[i].price.v, r->digits);
		struct str asked = report_printf(r->arena, "asked %s", b.data);
		buf_release(&b);
		return asked.p;
	}
	return any && o->outlet == NONE ? "asked" : "no price";
}

static void order_row(struct table *t, const struct farm *f, const struct order *o, day on)
{
	table_row(t);
	put_text(t, "order", o->id);
	put_text(t, "piece", f->pieces[o->piece].head.name);
	put_number(t, "count", o->count);
	if (o->outlet != NONE)
		put_text(t, "outlet", f->outlets[o->outlet].head.name);
	put_day(t, "due", o->due);
	if (o->due == DAY_NONE)
		put_instead(t, "due", "soon");
	put_flag(t, "late", o->due != DAY_NONE && o->due < on);
	put_number(t, "price", o->price);
	if (isnan(o->price))
		put_instead(t, "price", asked_price(t->report, f, o));
}

static void orders(struct report *r, const struct view *v)
{
	const struct farm *f = v->now->farm;
	struct table *t = report_table(r, &STOCK_ORDERS);
	size_t *open = ARENA_ARRAY(r->arena, f->norders + 1, size_t), n = 0;
	for (size_t i = 0; i < f->norders; i++) {
		if (!stock_order_open(&f->orders[i], r->on) ||
		    !choice_has(&v->choice, KIND_PIECE, f->orders[i].piece))
			continue;
		size_t k = n++;
		while (k && f->orders[open[k - 1]].due > f->orders[i].due) {
			open[k] = open[k - 1];
			k--;
		}
		open[k] = i;
	}
	for (size_t i = 0; i < n; i++)
		order_row(t, f, &f->orders[open[i]], r->on);
}

void of_stock(struct report *r, const struct view *v)
{
	of_title(r, "stock");
	if (choice_wants(&v->choice, KIND_CROP))
		stems(r, v);
	boxes(r, v);
	supplies(r, v);
	made(r, v);
	orders(r, v);
	of_remarks(r, v);
}
