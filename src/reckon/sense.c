/* sense.c - checks of sense across the farm. */
#include "reckon/sense.h"

#include "base/buf.h"
#include "farm/measure.h"
#include "reckon/bench.h"
#include "reckon/stemcost.h"
#include "reckon/stock.h"

enum { SENTENCE_MOST = 8192, NOTED_EARLY_DAYS = 7 };

struct used { /* what any part, piece, target or order speaks of */
	bool *crops, *supplies, *parts, *outlets;
};

static void found(struct findings *f, enum finding_level level, struct str about, const char *fmt,
		  ...) __attribute__((format(printf, 4, 5)));
static void found(struct findings *f, enum finding_level level, struct str about, const char *fmt,
		  ...)
{
	struct buf b;
	va_list ap;
	buf_init(&b, SENTENCE_MOST);
	va_start(ap, fmt);
	if (buf_vprintf(&b, fmt, ap))
		buf_text(&b, "(too long to say)");
	va_end(ap);
	struct finding *item = ARENA_PUSH(f->arena, f->items, f->n, f->cap);
	*item = (struct finding){ level, about, arena_copy(f->arena, b.data, b.len) };
	buf_release(&b);
}

static struct str line_of(struct findings *f, const char *file, uint32_t line)
{
	struct buf b;
	buf_init(&b, SENTENCE_MOST);
	buf_printf(&b, "%s line %u", file, (unsigned)line);
	struct str s = { arena_copy(f->arena, b.data, b.len), b.len };
	buf_release(&b);
	return s;
}

/* ---- what is used ---- */

static void mark_needs(struct used *u, const struct need *needs, size_t n)
{
	for (size_t i = 0; i < n; i++) {
		for (size_t k = 0; k < needs[i].noptions; k++) {
			struct item item = needs[i].options[k].item;
			if (item.kind == KIND_CROP)
				u->crops[item.index] = true;
			else if (item.kind == KIND_SUPPLY)
				u->supplies[item.index] = true;
			else if (item.kind == KIND_PART)
				u->parts[item.index] = true;
		}
	}
}

static void mark(struct used *u, const struct farm *farm, struct arena *a)
{
	u->crops = ARENA_ARRAY(a, farm->ncrops + 1, bool);
	u->supplies = ARENA_ARRAY(a, farm->nsupplies + 1, bool);
	u->parts = ARENA_ARRAY(a, farm->nparts + 1, bool);
	u->outlets = ARENA_ARRAY(a, farm->noutlets + 1, bool);
	for (size_t i = 0; i < farm->nparts; i++)
		mark_needs(u, farm->parts[i].needs, farm->parts[i].nneeds);
	for (size_t i = 0; i < farm->npieces; i++) {
		const struct piece *p = &farm->pieces[i];
		mark_needs(u, p->needs, p->nneeds);
		for (size_t k = 0; k < p->noffers; k++)
			u->outlets[p->offers[k].outlet] = true;
	}
}

/* ---- the checks ---- */

static bool offers_at(const struct piece *p, uint32_t outlet)
{
	for (size_t i = 0; i < p->noffers; i++) {
		if (p->offers[i].outlet == outlet)
			return true;
	}
	return false;
}

static void check_pieces(struct findings *f, const struct farm *farm)
{
	for (size_t i = 0; i < farm->npieces; i++) {
		const struct piece *p = &farm->pieces[i];
		if (!p->noffers && farm->noutlets)
			found(f, FINDING_PROBLEM, p->head.name,
			      "It is sold nowhere: a line such as `sells %.*s at 20` is missing.",
			      STR_ARG(farm->outlets[0].head.name));
		if (!p->nneeds)
			found(f, FINDING_PROBLEM, p->head.name,
			      "Nothing goes in it: no `needs` line.");
		if (!p->ntasks)
			found(f, FINDING_NOTE, p->head.name,
			      "No `takes` line: its own work counts as 0 minutes.");
	}
}

/* `sprig 3 stem` where one stem gives three: every recipe would take nine times too
 * much. */
static void check_sprigs(struct findings *f, const struct farm *farm)
{
	for (size_t i = 0; i < farm->ncrops; i++) {
		const struct head *head = &farm->crops[i].head;
		for (size_t k = 0; k < head->nmeasures; k++) {
			const struct measure *m = &head->measures[k];
			bool part = str_is(m->word, "sprig") || str_is(m->word, "head");
			if (!part || !str_is(m->unit, "stem") || rat_cmp(m->q, RAT_ONE) <= 0)
				continue;
			char n[32];
			snprintf(n, sizeof n, "%.6g", rat_double(m->q));
			found(f, FINDING_PROBLEM, head->name,
			      "One %.*s is %s stems here; where one stem gives %s, write "
			      "`%.*s 1/%s stem`.",
			      STR_ARG(m->word), n, n, STR_ARG(m->word), n);
		}
	}
}

/* Slower than this a stem is no work that anybody does: a rate was read wrong. */
#define STEM_SECONDS_MOST 600.0
/* A bed may be dearer than its crop's line says, but hardly by as much as this. */
#define BED_OVER_LINE_MOST 10.0

/* Stems that one of what the rate counts holds; 0 when that is not said. */
static double stems_in(const struct crop *crop, enum per per)
{
	switch (per) {
	case PER_STEM:
		return 1;
	case PER_BUNDLE:
		return crop->bundle.v;
	case PER_BOX:
		return crop->per_box.v;
	case PER_NOTHING:
		break;
	}
	return 0;
}

static void check_works(struct findings *f, const struct farm *farm)
{
	static const char *const doing[] = { "Cutting", "Stripping", "Bundling", "Hanging", "Boxing" };
	for (size_t i = 0; i < farm->ncrops; i++) {
		const struct crop *crop = &farm->crops[i];
		for (int w = 0; w < WORK_COUNT; w++) {
			const struct rate *rate = &crop->works[w];
			double stems = stems_in(crop, rate->per);
			if (!(stems > 0) || rate->seconds.v <= STEM_SECONDS_MOST * stems)
				continue;
			found(f, FINDING_PROBLEM, crop->head.name,
			      "%s a stem takes %.4g minutes by the `works` line; write `250 stem per h` "
			      "where 250 an hour are meant.",
			      doing[w], rate->seconds.v / stems / 60);
		}
	}
}

static void check_beds(struct findings *f, const struct farm *farm)
{
	const struct business *b = &farm->business;
	double wage = b->wage.v * (1 + b->wage_burden.v);
	for (uint32_t i = 0; i < farm->nbeds; i++) {
		const struct crop *crop = &farm->crops[farm->beds[i].crop];
		struct bed_cost cost;
		bed_reckon(&cost, farm, i, wage);
		if (!crop->cost.given || !(crop->cost.v > 0) ||
		    !(cost.per_boxed > BED_OVER_LINE_MOST * crop->cost.v))
			continue;
		found(f, FINDING_PROBLEM, line_of(f, "beds.csv", farm->beds[i].line),
		      "By this bed a stem of %.*s costs %.4g, by its `costs` line %.4g: money, hours, stems "
		      "cut or the `works` line cannot be right.",
		      STR_ARG(crop->head.name), cost.per_boxed, crop->cost.v);
	}
}

static void check_prices(struct findings *f, const struct farm *farm, const struct used *u)
{
	for (size_t i = 0; i < farm->nsupplies; i++) {
		const struct supply *s = &farm->supplies[i];
		if (u->supplies[i] && !s->cost.given)
			found(f, FINDING_NOTE, s->head.name,
			      "It has no price: `cost` and `price` stop at it.");
		if (!u->supplies[i])
			found(f, FINDING_NOTE, s->head.name,
			      "No part and no piece needs this supply.");
	}
}

static void check_unused(struct findings *f, const struct farm *farm, const struct used *u)
{
	for (size_t i = 0; i < farm->ncrops; i++) {
		if (!u->crops[i])
			found(f, FINDING_NOTE, farm->crops[i].head.name,
			      "No part and no piece needs this crop.");
	}
	for (size_t i = 0; i < farm->nparts; i++) {
		if (!u->parts[i])
			found(f, FINDING_NOTE, farm->parts[i].head.name,
			      "No piece needs this part.");
	}
	for (size_t i = 0; i < farm->noutlets; i++) {
		if (!u->outlets[i])
			found(f, FINDING_NOTE, farm->outlets[i].head.name, "Nothing is sold here.");
	}
}

static void check_days(struct findings *f, const struct farm *farm, day on)
{
	char date[11];
	for (size_t i = 0; i < farm->norders; i++) {
		const struct order *o = &farm->orders[i];
		if (!stock_order_open(o, on))
			continue;
		date_print(o->due, date);
		if (o->due != DAY_NONE && o->due < on)
			found(f, FINDING_NOTE, line_of(f, "orders.csv", o->line),
			      "Open, and was due on %s.", date);
		if (o->outlet != NONE && !offers_at(&farm->pieces[o->piece], o->outlet))
			found(f, FINDING_NOTE, line_of(f, "orders.csv", o->line),
			      "%.*s has no `sells %.*s` line.",
			      STR_ARG(farm->pieces[o->piece].head.name),
			      STR_ARG(farm->outlets[o->outlet].head.name));
	}
	if (farm->business.bench_until != DAY_NONE && farm->business.bench_until < on) {
		date_print(farm->business.bench_until, date);
		found(f, FINDING_NOTE, farm->business.head.name, "The bench hours ended on %s.",
		      date);
	}
}

/* Per piece, the last day on which the log sold some; DAY_NONE. */
static day *last_sales(const struct farm *farm, day on, struct arena *a)
{
	size_t *lines, n = bench_lines(&lines, farm, on, NULL, a);
	day *last = ARENA_ARRAY(a, farm->npieces + 1, day);
	for (size_t i = 0; i < farm->npieces; i++)
		last[i] = DAY_NONE;
	for (size_t i = 0; i < n; i++) {
		const struct log_entry *e = &farm->log[lines[i]];
		if (e->event == EVENT_SOLD && e->item.kind == KIND_PIECE)
			last[e->item.index] = e->on;
	}
	return last;
}

/* Per piece. */
static const double *shelf_on(const struct farm *farm, day on, struct arena *a)
{
	struct remarks unheard;
	struct stock stock;
	remarks_init(&unheard, a);
	stock_take(&stock, farm, on, true, NULL, a, &unheard);
	return stock.pieces;
}

static bool counted_since(const struct farm *farm, uint32_t piece, day from)
{
	struct item item = { KIND_PIECE, piece };
	for (size_t i = 0; i < farm->nboxes; i++) {
		if (same_item(farm->boxes[i].item, item) && farm->boxes[i].counted >= from)
			return true;
	}
	for (size_t i = 0; i < farm->nlog; i++) {
		const struct log_entry *e = &farm->log[i];
		if (e->event == EVENT_COUNTED && same_item(e->item, item) && e->on >= from)
			return true;
	}
	return false;
}

/* `sent` closes an order; only a line `sold` takes its pieces off the shelf. */
static void check_sent(struct findings *f, const struct farm *farm, day on)
{
	char date[11];
	const day *sold = last_sales(farm, on, f->arena);
	const double *shelf = NULL; /* of today: taken once, where an order asks for it */
	for (size_t i = 0; i < farm->norders; i++) {
		const struct order *o = &farm->orders[i];
		day last = sold[o->piece];
		struct str name = farm->pieces[o->piece].head.name;
		if (o->sent == DAY_NONE || o->sent > on || counted_since(farm, o->piece, o->sent) ||
		    (last != DAY_NONE && last >= o->sent - NOTED_EARLY_DAYS))
			continue;
		if (!shelf)
			shelf = shelf_on(farm, on, f->arena);
		double here = shelf[o->piece];
		if (here < 1 || shelf_on(farm, o->sent, f->arena)[o->piece] < 1)
			continue;
		date_print(o->sent, date);
		found(f, FINDING_NOTE, line_of(f, "orders.csv", o->line),
		      "Sent on %s, but bench.csv has no %.*s sold since, and %.0f count as on the shelf. If they "
		      "are gone: `thrave note sold %.0f %.*s --on %s`.",
		      date, STR_ARG(name), here, o->count, STR_ARG(name), date);
	}
}

static void problems_first(struct findings *f)
{
	struct finding *sorted = ARENA_ARRAY(f->arena, f->n + 1, struct finding);
	size_t n = 0;
	for (int level = FINDING_PROBLEM; level <= FINDING_NOTE; level++) {
		for (size_t i = 0; i < f->n; i++) {
			if ((int)f->items[i].level == level)
				sorted[n++] = f->items[i];
		}
	}
	f->items = sorted;
	f->cap = f->n + 1;
}

void sense_check(struct findings *out, const struct farm *farm, day on, struct arena *a)
{
	struct used used;
	*out = (struct findings){ .arena = a };
	mark(&used, farm, a);
	check_pieces(out, farm);
	check_sprigs(out, farm);
	check_works(out, farm);
	check_beds(out, farm);
	check_prices(out, farm, &used);
	check_unused(out, farm, &used);
	check_days(out, farm, on);
	check_sent(out, farm, on);
	problems_first(out);
}

/* ---- where money is asked ---- */

static int need_prices(const struct farm *farm, const struct need *needs, size_t n,
		       struct diag *diag)
{
	int failed = 0;
	for (size_t i = 0; i < n; i++) {
		const struct need_option *o = &needs[i].options[0];
		if (o->item.kind != KIND_SUPPLY || farm->supplies[o->item.index].cost.given)
			continue;
		const struct supply *s = &farm->supplies[o->item.index];
		failed = diag_error(diag, o->at, "The supply %s has no price.",
				    diag_quote(diag, s->head.name));
		diag_hint(diag, "add a line such as `costs 1.20 per %.*s` under it",
			  STR_ARG(measure_base(farm, o->item)));
		diag_also(diag, s->head.at, "defined here");
	}
	return failed;
}

int sense_prices(const struct farm *farm, struct diag *diag)
{
	int failed = 0;
	for (size_t i = 0; i < farm->nparts; i++)
		failed |= need_prices(farm, farm->parts[i].needs, farm->parts[i].nneeds, diag);
	for (size_t i = 0; i < farm->npieces; i++)
		failed |= need_prices(farm, farm->pieces[i].needs, farm->pieces[i].nneeds, diag);
	return failed;
}
