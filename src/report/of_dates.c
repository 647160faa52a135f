/* of_dates.c - dates as events of a calendar: in words, and marks that stay the same. */
#include <math.h>

#include "base/number.h"
#include "report/of.h"

enum { WORDS_MOST = 1 << 16 };

static const char *const categories[DATED_KINDS] = {
	[DATED_FROST] = "Frost",
	[DATED_SOW] = "Sowing",
	[DATED_PLANT] = "Planting",
	[DATED_CUT_FIRST] = "First cut",
	[DATED_CUT_LAST] = "Last cut",
	[DATED_DRY_LAST] = "Last dry",
	[DATED_BOX] = "Boxing",
	[DATED_ORDER] = "Order",
	[DATED_TARGET] = "Target",
};

const char *dated_word(enum dated_kind kind)
{
	return categories[kind];
}

struct wording {
	const struct farm *farm;
	const struct plan *plan;
	struct arena *arena;
};

static struct str keep(struct wording *w, struct buf *b)
{
	struct str s = { arena_copy(w->arena, b->data, b->len), b->len };
	buf_release(b);
	return s;
}

/* "3 Wreath at market". */
static void add_pieces(struct wording *w, struct buf *b, double count, uint32_t piece, uint32_t outlet)
{
	number_print_short(b, count, 2);
	buf_char(b, ' ');
	buf_str(b, w->farm->pieces[piece].head.name);
	if (outlet != NONE) {
		buf_text(b, " at ");
		buf_str(b, w->farm->outlets[outlet].head.name);
	}
}

static const struct plan_sowing *sowing_of(const struct wording *w, const struct dated *d)
{
	return &w->plan->crops[d->index].sowings[d->nth];
}

static bool of_plan(enum dated_kind kind)
{
	return kind >= DATED_SOW && kind <= DATED_DRY_LAST;
}

/* "3 trays, 380 cells", or "400 seeds where they grow". */
static void add_seed(struct buf *b, const struct plan_sowing *s, const struct crop *c)
{
	bool direct = s->sows != NONE && c->sowings[s->sows].direct;
	if (s->trays > 0)
		buf_printf(b, ": %lld %s, %lld cells", (long long)s->trays, s->trays == 1 ? "tray" : "trays",
			   (long long)s->cells);
	else if (s->seeds > 0)
		buf_printf(b, ": %lld seeds%s", (long long)s->seeds, direct ? " where they grow" : "");
}

static void add_sowing(struct wording *w, struct buf *b, const struct dated *d)
{
	static const char *const verbs[DATED_KINDS] = { [DATED_SOW] = "Sow",
							[DATED_PLANT] = "Plant out",
							[DATED_CUT_FIRST] = "First cut of",
							[DATED_CUT_LAST] = "Last cut of",
							[DATED_DRY_LAST] = "Last to be dry:" };
	const struct crop *c = &w->farm->crops[d->index];
	const struct plan_sowing *s = sowing_of(w, d);
	buf_printf(b, "%s %.*s", verbs[d->kind], STR_ARG(c->head.name));
	if (w->plan->crops[d->index].nsowings > 1)
		buf_printf(b, " (sowing %zu)", d->nth + 1);
	if (d->kind == DATED_SOW)
		add_seed(b, s, c);
	if (d->kind != DATED_PLANT || s->plants_out <= 0)
		return;
	buf_printf(b, ": %lld %s", (long long)s->plants_out, s->plants_out == 1 ? "plant" : "plants");
	if (s->metres > 0) {
		buf_text(b, ", ");
		number_print_short(b, s->metres / 1000, 2);
		buf_text(b, " m of bed");
	}
}

static struct str summary(struct wording *w, const struct dated *d)
{
	struct buf b;
	buf_init(&b, WORDS_MOST);
	if (of_plan(d->kind)) {
		add_sowing(w, &b, d);
	} else if (d->kind == DATED_FROST) {
		buf_printf(&b, "%s frost to plan by", d->index ? "First" : "Last");
	} else if (d->kind == DATED_BOX) {
		const struct batch *batch = &w->farm->batches[d->index];
		buf_printf(&b, "Box %.*s, batch %.*s, if it is dry",
			   STR_ARG(w->farm->crops[batch->crop].head.name), STR_ARG(batch->id));
	} else if (d->kind == DATED_ORDER) {
		const struct order *o = &w->farm->orders[d->index];
		buf_printf(&b, "Order %.*s due: ", STR_ARG(o->id));
		add_pieces(w, &b, d->count, o->piece, o->outlet);
	} else {
		const struct target *t = &w->farm->targets[d->index];
		buf_text(&b, "Target: ");
		add_pieces(w, &b, d->count, t->piece, t->outlet);
	}
	return keep(w, &b);
}

static void add_notes(struct buf *b, const struct head *head)
{
	for (size_t i = 0; i < head->nnotes; i++) {
		buf_text(b, b->len ? "\n" : "");
		buf_str(b, head->notes[i]);
	}
}

static struct str description(struct wording *w, const struct dated *d)
{
	struct buf b;
	buf_init(&b, WORDS_MOST);
	if (d->kind == DATED_BOX) {
		const struct batch *batch = &w->farm->batches[d->index];
		char hung[11];
		date_print(batch->hung_on != DAY_NONE ? batch->hung_on : batch->cut_on, hung);
		buf_printf(&b, "Hung on %s; about ", hung);
		number_print(&b, d->count, 0);
		buf_text(&b, " stems are expected. Weigh a bundle and snap a stem first: one damp bundle "
			     "spoils the box.");
	} else if (d->kind == DATED_TARGET) {
		add_notes(&b, w->farm->targets[d->index].head);
	} else if (d->kind == DATED_CUT_FIRST) {
		char last[11];
		date_print(sowing_of(w, d)->last_cut, last);
		buf_printf(&b, "%.0f stems to cut until %s, by the plan.", d->count, last);
	}
	return keep(w, &b);
}

/* What a date is known by, whatever its day and count become. */
static void add_key(struct wording *w, struct buf *b, const struct dated *d)
{
	const struct farm *f = w->farm;
	buf_str(b, f->business.head.fold);
	buf_printf(b, "\n%s\n", categories[d->kind]);
	if (of_plan(d->kind)) {
		buf_str(b, f->crops[d->index].head.fold);
		buf_printf(b, "\n%zu %d", d->nth, date_civil(d->from).year);
	} else if (d->kind == DATED_FROST) {
		buf_printf(b, "%u %d", (unsigned)d->index, date_civil(d->from).year);
	} else if (d->kind == DATED_BOX) {
		buf_str(b, f->batches[d->index].id);
	} else if (d->kind == DATED_ORDER) {
		buf_str(b, f->orders[d->index].id);
	} else {
		const struct target *t = &f->targets[d->index];
		unsigned nth = 0;
		for (const struct target *o = f->targets; o < t; o++)
			nth += o->piece == t->piece && o->outlet == t->outlet;
		buf_str(b, f->pieces[t->piece].head.fold);
		buf_char(b, '\n');
		if (t->outlet != NONE)
			buf_str(b, f->outlets[t->outlet].head.fold);
		buf_printf(b, "\n%d\n%u", date_civil(t->by).year, nth);
	}
}

static void add_supposed(struct buf *b, const struct report *r)
{
	for (size_t i = 0; i < r->nchanges; i++) {
		buf_text(b, b->len ? "\nSupposed " : "Supposed ");
		buf_str(b, report_change_text(r, &r->changes[i]));
	}
}

/* 128 bits of its key, so that no name of the farm has to be changed for it. */
static struct str uid(struct wording *w, const struct dated *d, const struct report *supposed)
{
	struct buf b;
	uint64_t half[2];
	static const char *const salts[2] = { "thrave date\n", "another half\n" };
	buf_init(&b, WORDS_MOST);
	for (size_t i = 0; i < 2; i++) {
		buf_clear(&b);
		buf_text(&b, salts[i]);
		add_key(w, &b, d);
		if (supposed)
			add_supposed(&b, supposed);
		half[i] = str_hash(buf_slice(&b));
	}
	buf_clear(&b);
	buf_printf(&b, "%016llx%016llx", (unsigned long long)half[0], (unsigned long long)half[1]);
	return keep(w, &b);
}

/* ---- beside today ---- */

struct word_by {
	struct wording *w;
	const struct dated *d;
	struct str uid, summary;
};

static struct word_by *words_of(struct wording *w, const struct dates *dates)
{
	struct word_by *all = ARENA_ARRAY(w->arena, dates->n + 1, struct word_by);
	for (size_t i = 0; i < dates->n; i++)
		all[i] = (struct word_by){ w, &dates->items[i], uid(w, &dates->items[i], NULL),
					   summary(w, &dates->items[i]) };
	return all;
}

static const struct word_by *find_uid(const struct word_by *all, size_t n, struct str uid)
{
	for (size_t i = 0; i < n; i++) {
		if (str_eq(all[i].uid, uid))
			return &all[i];
	}
	return NULL;
}

/* What is supposed, and what the date is today. */
static struct str beside(struct wording *w, const struct report *r, struct str text, bool same,
			 const struct word_by *today)
{
	struct buf b;
	char on[11];
	buf_init(&b, WORDS_MOST);
	buf_str(&b, text);
	add_supposed(&b, r);
	if (same) {
		buf_text(&b, "\nToday: the same.");
	} else if (!today) {
		buf_text(&b, "\nToday: no such date.");
	} else {
		date_print(today->d->from, on);
		buf_printf(&b, "\nToday: %.*s, on %s.", STR_ARG(today->summary), on);
	}
	return keep(w, &b);
}

size_t of_dates(struct ics_event *out, const struct dates_of *now, const struct dates_of *today,
		const struct report *r)
{
	struct wording w = { now->farm, now->plan, r->arena }, was = { 0 };
	const struct word_by *words = words_of(&w, now->dates), *before = NULL;
	size_t other = 0;
	if (today) {
		was = (struct wording){ today->farm, today->plan, r->arena };
		before = words_of(&was, today->dates);
	}
	for (size_t i = 0; i < now->dates->n; i++) {
		const struct dated *d = words[i].d;
		out[i] = (struct ics_event){ .uid = uid(&w, d, today ? r : NULL),
					     .from = d->from,
					     .to = d->to,
					     .summary = words[i].summary,
					     .description = description(&w, d),
					     .category = str_of(categories[d->kind]) };
		if (!today)
			continue;
		const struct word_by *t = find_uid(before, today->dates->n, words[i].uid);
		bool same = t && t->d->from == d->from && t->d->to == d->to &&
			    str_eq(t->summary, words[i].summary);
		other += !same;
		out[i].summary = report_printf(r->arena, "Supposed: %.*s", STR_ARG(words[i].summary));
		out[i].description = beside(&w, r, out[i].description, same, t);
	}
	return other;
}
