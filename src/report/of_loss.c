/* of_loss.c - what the records say of losses, how sure that is, what is reckoned with. */
#include <math.h>

#include "base/buf.h"
#include "reckon/measured.h"
#include "report/of.h"

static const struct column rate_columns[] = {
	{ "label", "stage", TYPE_TEXT, COL_PEOPLE, "text", "" },
	{ "crop", "crop", TYPE_TEXT, COL_MACHINE, "text",
	  "name of the crop; empty: the bench over all crops" },
	{ "stage", "stage", TYPE_TEXT, COL_MACHINE, "text", "field, drying, storage or bench" },
	{ "batches", "bat-\nches", TYPE_COUNT, 0, "batches",
	  "batches, boxes between two counts (storage) or lines of the bench log (bench)" },
	{ "stems", "stems", TYPE_COUNT, 0, "stems", "stems that went in" },
	{ "lost", "lost", TYPE_COUNT, COL_MACHINE, "stems", "of these lost" },
	{ "alike", "alike", TYPE_NUMBER, 0, "fraction",
	  "how alike stems of a batch fare: 0 each for itself, 1 all or none" },
	{ "alike_from", "from", TYPE_TEXT, COL_MACHINE, "text",
	  "own: from these batches; farm: from all crops; assumed: nothing to tell it from" },
	{ "worth", "worth\nstems", TYPE_COUNT, 0, "stems",
	  "separate stems that would tell as much: stems over the design effect" },
	{ "assumed", "line\nsays", TYPE_PERCENT, 0, "fraction",
	  "by the loses line; storage: a month; empty: it says nothing" },
	{ "measured", "found", TYPE_PERCENT, 0, "fraction", "lost of what went in; storage: a month" },
	{ "sure", "80% sure\nbetween", TYPE_TEXT, COL_PEOPLE, "text", "" },
	{ "surer", "95% sure\nbetween", TYPE_TEXT, COL_PEOPLE, "text", "" },
	{ "low", "low", TYPE_PERCENT, COL_MACHINE, "fraction", "two-sided 80% interval, its low end" },
	{ "high", "high", TYPE_PERCENT, COL_MACHINE, "fraction", "and its high end" },
	{ "lowest", "low", TYPE_PERCENT, COL_MACHINE, "fraction", "two-sided 95% interval, its low end" },
	{ "highest", "high", TYPE_PERCENT, COL_MACHINE, "fraction", "and its high end" },
	{ "in_use", "in\nuse", TYPE_PERCENT, 0, "fraction", "what is reckoned with" },
	{ "in_use_today", "to-\nday", TYPE_PERCENT, COL_SUPPOSED, "fraction", "in_use without --suppose" },
	{ "in_use_low", "low", TYPE_PERCENT, COL_MACHINE, "fraction",
	  "two-sided 80% interval of records and line together, its low end" },
	{ "in_use_high", "high", TYPE_PERCENT, COL_MACHINE, "fraction", "and its high end" },
	{ "judged", "judged", TYPE_TEXT, COL_MACHINE, "text",
	  "of the loses line: fits, doubtful (outside 80%), off (outside 95%) or too few batches; "
	  "empty: there is none" },
	{ "rough", "rough", TYPE_FLAG, COL_MACHINE, "true or false",
	  "few batches with rare or very uneven losses: the intervals are likely too wide" },
};
const struct table_def LOSS_RATES = { "loss",
				      "rates",
				      "Losses found, in %",
				      rate_columns,
				      sizeof rate_columns / sizeof rate_columns[0],
				      false };

static const struct column cause_columns[] = {
	{ "label", "stage", TYPE_TEXT, COL_PEOPLE, "text", "" },
	{ "crop", "crop", TYPE_TEXT, COL_MACHINE, "text",
	  "name of the crop; empty: the bench over all crops" },
	{ "stage", "stage", TYPE_TEXT, COL_MACHINE, "text", "field, drying, storage or bench" },
	{ "order", "stems lost, most first", TYPE_TEXT, COL_PEOPLE, "text", "" },
	{ "mould", "mould", TYPE_COUNT, COL_MACHINE, "stems", "lost to mould" },
	{ "shatter", "shatter", TYPE_COUNT, COL_MACHINE, "stems", "heads or petals fell" },
	{ "colour", "colour", TYPE_COUNT, COL_MACHINE, "stems", "faded or browned" },
	{ "breakage", "breakage", TYPE_COUNT, COL_MACHINE, "stems", "broke" },
	{ "pest", "pest", TYPE_COUNT, COL_MACHINE, "stems", "to mice, moths or beetles" },
	{ "other", "other", TYPE_COUNT, COL_MACHINE, "stems", "to anything else" },
	{ "not_said", "not said", TYPE_COUNT, COL_MACHINE, "stems", "lost without a cause given" },
};
const struct table_def LOSS_CAUSES = { "loss",
				       "causes",
				       "Causes",
				       cause_columns,
				       sizeof cause_columns / sizeof cause_columns[0],
				       false };

static const struct column season_columns[] = {
	{ "label", "stage", TYPE_TEXT, COL_PEOPLE, "text", "" },
	{ "crop", "crop", TYPE_TEXT, COL_MACHINE, "text",
	  "name of the crop; empty: the bench over all crops" },
	{ "stage", "stage", TYPE_TEXT, COL_MACHINE, "text", "field, drying, storage or bench" },
	{ "season_before", "season", TYPE_TEXT, 0, "year", "the season before; the year it begins in" },
	{ "batches_before", "bat-\nches", TYPE_COUNT, COL_MACHINE, "batches", "counted then" },
	{ "before", "found", TYPE_PERCENT, 0, "fraction", "lost then; storage: a month" },
	{ "season", "season", TYPE_TEXT, 0, "year", "the latest season with records" },
	{ "batches", "bat-\nches", TYPE_COUNT, COL_MACHINE, "batches", "counted in it" },
	{ "now", "found", TYPE_PERCENT, 0, "fraction", "lost in it; storage: a month" },
	{ "change", "change", TYPE_PERCENT, 0, "fraction", "now less before" },
	{ "sure", "80% sure\nbetween", TYPE_TEXT, COL_PEOPLE, "text", "" },
	{ "low", "low", TYPE_PERCENT, COL_MACHINE, "fraction",
	  "two-sided 80% interval of the change, its low end" },
	{ "high", "high", TYPE_PERCENT, COL_MACHINE, "fraction", "and its high end" },
	{ "lowest", "low", TYPE_PERCENT, COL_MACHINE, "fraction",
	  "two-sided 95% interval of the change, its low end" },
	{ "highest", "high", TYPE_PERCENT, COL_MACHINE, "fraction", "and its high end" },
	{ "trend", "which is", TYPE_TEXT, 0, "text", "worse, better or not sure, at 80%" },
};
const struct table_def LOSS_SEASONS = { "loss",
					"seasons",
					"Against the season before, in %",
					season_columns,
					sizeof season_columns / sizeof season_columns[0],
					false };

static const struct column use_columns[] = {
	{ "crop", "crop", TYPE_TEXT, 0, "text", "name of the crop" },
	{ "field", "field", TYPE_PERCENT, 0, "fraction", "from cut to hung" },
	{ "drying", "drying", TYPE_PERCENT, 0, "fraction", "from hung to boxed" },
	{ "storage", "box, a\nmonth", TYPE_PERCENT, 0, "fraction", "in the box in a month" },
	{ "bench", "bench", TYPE_PERCENT, 0, "fraction", "at the bench" },
	{ "from", "from records", TYPE_TEXT, COL_PEOPLE, "text", "" },
	{ "field_from", "from", TYPE_TEXT, COL_MACHINE, "text",
	  "line, supposed, records and line, records; empty: nothing known, 0" },
	{ "drying_from", "from", TYPE_TEXT, COL_MACHINE, "text", "likewise" },
	{ "storage_from", "from", TYPE_TEXT, COL_MACHINE, "text", "likewise" },
	{ "bench_from", "from", TYPE_TEXT, COL_MACHINE, "text", "likewise" },
};
const struct table_def LOSS_IN_USE = { "loss",
				       "used",
				       "Reckoned with, in %",
				       use_columns,
				       sizeof use_columns / sizeof use_columns[0],
				       false };

static const struct column lot_columns[] = {
	{ "crop", "crop", TYPE_TEXT, COL_MACHINE, "text", "name of the crop" },
	{ "stage", "stage", TYPE_TEXT, COL_MACHINE, "text", "field, drying, storage or bench" },
	{ "what", "batch, box or line", TYPE_TEXT, 0, "text",
	  "name of the batch or box, or the row of the bench log" },
	{ "on", "day", TYPE_DATE, 0, "date", "of cutting, boxing (storage) or making" },
	{ "season", "season", TYPE_TEXT, COL_MACHINE, "year", "the year it begins in; empty: no day" },
	{ "months", "months\nbetween", TYPE_TENTH, COL_MAYBE, "months", "storage: between the counts" },
	{ "stems", "stems", TYPE_COUNT, 0, "stems", "that went in" },
	{ "lost", "lost", TYPE_COUNT, 0, "stems", "of these" },
	{ "rate", "lost\n%", TYPE_PERCENT, 0, "fraction", "of those that went in, over all the time" },
};
const struct table_def LOSS_LOTS = { "loss",
				     "lots",
				     "Batch by batch (with --of)",
				     lot_columns,
				     sizeof lot_columns / sizeof lot_columns[0],
				     false };

static const char *const stage_words[] = { "field", "drying", "storage", "bench" };

/* ---- crops and stages in turn ---- */

struct each {
	struct report *r;
	const struct view *v;
	const struct measures *m;
};

static const struct stage_measured *stage_of(const struct each *e, uint32_t crop, int stage)
{
	return crop == NONE ? &e->m->bench : &e->m->crops[crop].stages[stage];
}

static struct str crop_name(const struct each *e, uint32_t crop)
{
	return crop == NONE ? STR("All crops together") : e->v->now->farm->crops[crop].head.name;
}

/* Rows of all stages of a crop for which `row` has something to say, under its name;
 * crop NONE: the bench over all crops. */
static void crop_rows(const struct each *e, struct table *t, uint32_t crop,
		      bool (*has)(const struct stage_measured *),
		      void (*put)(struct table *, const struct each *, uint32_t, int,
				  const struct stage_measured *))
{
	bool first = true;
	for (int stage = crop == NONE ? STAGE_BENCH : 0; stage < STAGE_COUNT; stage++) {
		const struct stage_measured *s = stage_of(e, crop, stage);
		if (!has(s))
			continue;
		if (first)
			table_group(t, crop_name(e, crop));
		first = false;
		table_row(t);
		table_indent(t, 2);
		put_word(t, "label", stage_words[stage]);
		if (crop != NONE)
			put_text(t, "crop", crop_name(e, crop));
		put_word(t, "stage", stage_words[stage]);
		put(t, e, crop, stage, s);
	}
}

static void all_rows(const struct each *e, struct table *t, bool (*has)(const struct stage_measured *),
		     void (*put)(struct table *, const struct each *, uint32_t, int,
				 const struct stage_measured *))
{
	for (uint32_t crop = 0; crop < e->v->now->farm->ncrops; crop++) {
		if (choice_has(&e->v->choice, KIND_CROP, crop))
			crop_rows(e, t, crop, has, put);
	}
	if (!e->v->choice.nitems)
		crop_rows(e, t, NONE, has, put);
}

/* "4.1-12.3", in per cent; " to " where there may be signs. */
static struct str between(struct report *r, struct interval i, const char *to)
{
	if (isnan(i.low))
		return STR_NONE;
	return report_printf(r->arena, "%.1f%s%.1f", i.low * 100, to, i.high * 100);
}

static void put_interval(struct table *t, const char *low, const char *high, struct interval i)
{
	put_number(t, low, i.low);
	put_number(t, high, i.high);
}

/* ---- rates ---- */

static bool has_lots(const struct stage_measured *s)
{
	return s->m.lots > 0;
}

static const char *judged_word(const struct stage_measured *s)
{
	static const char *const words[] = { "", "fits", "doubtful", "off" };
	if (s->m.few && !isnan(s->assumed))
		return "too few batches";
	return words[s->judged];
}

static const char *alike_word(enum rho_source source)
{
	static const char *const words[] = { "", "own", "farm", "assumed" };
	return words[source];
}

static void put_rates(struct table *t, const struct each *e, uint32_t crop, int stage,
		      const struct stage_measured *s)
{
	const struct measured *m = &s->m;
	put_number(t, "batches", (double)m->lots);
	put_number(t, "stems", m->stems);
	put_number(t, "lost", m->lost);
	put_number(t, "alike", m->rho);
	put_instead(t, "alike", report_printf(e->r->arena, "%.2f", m->rho).p);
	put_word(t, "alike_from", alike_word(m->source));
	put_number(t, "worth", m->effective);
	put_number(t, "assumed", s->assumed);
	put_number(t, "measured", m->rate);
	put_text(t, "sure", between(e->r, m->i80, "-"));
	put_text(t, "surer", between(e->r, m->i95, "-"));
	put_interval(t, "low", "high", m->i80);
	put_interval(t, "lowest", "highest", m->i95);
	if (crop != NONE)
		put_number(t, "in_use", rates_at(&e->v->now->rates, crop, (enum stage)stage));
	if (crop != NONE && e->v->today)
		put_number(t, "in_use_today", rates_at(&e->v->today->rates, crop, (enum stage)stage));
	if (crop != NONE && e->v->now->rates.crops[crop][stage].source >= RATE_BLEND)
		put_interval(t, "in_use_low", "in_use_high", s->plan.i80);
	put_word(t, "judged", judged_word(s));
	put_flag(t, "rough", m->rough);
}

/* ---- causes ---- */

static bool has_causes(const struct stage_measured *s)
{
	return s->ncauses > 0;
}

static void add_stems(struct buf *b, const char *cause, double stems)
{
	buf_printf(b, "%s%s %.0f", b->len ? ", " : "", cause, stems);
}

static void put_causes(struct table *t, const struct each *e, uint32_t crop, int stage,
		       const struct stage_measured *s)
{
	(void)crop;
	(void)stage;
	enum { TEXT_MOST = 400 };
	struct buf b;
	buf_init(&b, TEXT_MOST);
	for (size_t i = 0; i < s->ncauses; i++) {
		add_stems(&b, cause_name(s->causes[i].cause), s->causes[i].stems);
		put_number(t, cause_name(s->causes[i].cause), s->causes[i].stems);
	}
	if (s->unsaid >= 0.5)
		add_stems(&b, "no cause given", s->unsaid);
	put_number(t, "not_said", s->unsaid);
	put_text(t, "order", report_printf(e->r->arena, "%s", b.data));
	buf_release(&b);
}

/* ---- seasons ---- */

static bool has_two(const struct stage_measured *s)
{
	return s->trend != TREND_NONE;
}

static struct str year(struct report *r, const struct each *e, int y)
{
	if (y < 1)
		return STR_NONE;
	return e->m->across_new_year ? report_printf(r->arena, "%d/%02d", y, (y + 1) % 100)
				     : report_printf(r->arena, "%d", y);
}

static void put_seasons(struct table *t, const struct each *e, uint32_t crop, int stage,
			const struct stage_measured *s)
{
	static const char *const words[] = { "", "not sure", "worse", "better" };
	(void)crop;
	(void)stage;
	put_text(t, "season_before", year(e->r, e, s->before.year));
	put_number(t, "batches_before", (double)s->before.m.lots);
	put_number(t, "before", s->before.m.rate);
	put_text(t, "season", year(e->r, e, s->last.year));
	put_number(t, "batches", (double)s->last.m.lots);
	put_number(t, "now", s->last.m.rate);
	put_number(t, "change", s->last.m.rate - s->before.m.rate);
	put_text(t, "sure", between(e->r, s->change80, " to "));
	put_interval(t, "low", "high", s->change80);
	put_interval(t, "lowest", "highest", s->change95);
	put_word(t, "trend", words[s->trend]);
}

/* ---- in use ---- */

static const char *source_word(enum rate_source source)
{
	static const char *const words[] = { "", "line", "supposed", "records and line", "records" };
	return words[source];
}

static void in_use(const struct each *e)
{
	static const char *const from[] = { "field_from", "drying_from", "storage_from", "bench_from" };
	const struct farm *f = e->v->now->farm;
	const struct rates *rates = &e->v->now->rates;
	struct table *t = report_table(e->r, &LOSS_IN_USE);
	for (uint32_t crop = 0; crop < f->ncrops; crop++) {
		struct str moved = STR_NONE;
		if (!choice_has(&e->v->choice, KIND_CROP, crop))
			continue;
		table_row(t);
		put_text(t, "crop", f->crops[crop].head.name);
		for (int stage = 0; stage < STAGE_COUNT; stage++) {
			const struct rate_used *u = &rates->crops[crop][stage];
			put_number(t, stage_words[stage], u->v);
			if (u->source == RATE_NONE)
				put_instead(t, stage_words[stage], "-");
			put_word(t, from[stage], source_word(u->source));
			if (rates_moved(rates, f, crop, (enum stage)stage))
				moved = report_printf(e->r->arena, "%.*s%s%s", STR_ARG(moved),
						      moved.n ? ", " : "", stage_words[stage]);
		}
		put_text(t, "from", moved);
	}
}

/* ---- batch by batch ---- */

static void lots(const struct each *e)
{
	struct table *t = report_table(e->r, &LOSS_LOTS);
	const struct measured_lot *before = NULL;
	t->title = STR("Batch by batch");
	t->empty = "Nothing of it has been counted.";
	for (size_t i = 0; i < e->m->nlots; i++) {
		const struct measured_lot *l = &e->m->lots[i];
		if (l->crop == NONE || !choice_names(&e->v->choice, KIND_CROP, l->crop))
			continue;
		if (!before || before->crop != l->crop || before->stage != l->stage)
			table_group(t, report_printf(e->r->arena, "%.*s, %s", STR_ARG(crop_name(e, l->crop)),
						     stage_words[l->stage]));
		before = l;
		table_row(t);
		table_indent(t, 2);
		put_text(t, "crop", crop_name(e, l->crop));
		put_word(t, "stage", stage_words[l->stage]);
		put_text(t, "what", l->name);
		put_day(t, "on", l->on);
		put_text(t, "season", year(e->r, e, l->year));
		put_number(t, "months", l->stage == STAGE_STORAGE ? l->months : (double)NAN);
		put_number(t, "stems", l->lot.of);
		put_number(t, "lost", l->lot.lost);
		put_number(t, "rate", l->lot.lost / l->lot.of);
	}
}

/* ---- in words ---- */

static void say_off(const struct each *e, uint32_t crop, int stage, const struct stage_measured *s)
{
	struct str name = e->v->now->farm->crops[crop].head.name;
	if (s->judged != ASSUMED_OFF && s->judged != ASSUMED_DOUBTFUL)
		return;
	bool off = s->judged == ASSUMED_OFF;
	struct interval i = off ? s->m.i95 : s->m.i80;
	report_verdict(e->r, "%s: %.*s, %s%s: assumed %.1f%%, the %s %.1f%% (%s sure: %.1f to %.1f).",
		       off ? "Off" : "Doubtful", STR_ARG(name), stage_words[stage],
		       stage == STAGE_STORAGE ? ", a month" : "", s->assumed * 100,
		       stage == STAGE_BENCH     ? "log says"
		       : stage == STAGE_STORAGE ? "counts say"
						: "batches say",
		       s->m.rate * 100, off ? "95%" : "80%", i.low * 100, i.high * 100);
}

static struct str place(const struct each *e, uint32_t crop, int stage)
{
	return report_printf(e->r->arena, "%.*s (%s)", STR_ARG(e->v->now->farm->crops[crop].head.name),
			     stage_words[stage]);
}

static void say_few(const struct each *e, const struct said *few)
{
	struct str text = STR_NONE;
	for (int stage = 0; stage < STAGE_COUNT; stage++) {
		if (few[stage].n)
			text = report_printf(e->r->arena, "%.*s%s%s of %s", STR_ARG(text),
					     text.n ? "; " : "", stage_words[stage],
					     said_text(&few[stage]));
	}
	if (text.n)
		report_verdict(e->r,
			       "Too few batches, under %d: %s. Their lines are not judged, and how alike "
			       "their stems fare is taken from the farm's other batches, or as %.1f "
			       "without any.",
			       ALIKE_FEW, text.p, ALIKE_STATED);
}

static void verdicts(const struct each *e)
{
	struct said few[STAGE_COUNT] = { 0 }, rough = { 0 };
	for (int kind = ASSUMED_OFF; kind >= ASSUMED_DOUBTFUL; kind--) {
		for (uint32_t crop = 0; crop < e->v->now->farm->ncrops; crop++) {
			for (int stage = 0; stage < STAGE_COUNT; stage++) {
				const struct stage_measured *s = stage_of(e, crop, stage);
				if (!choice_has(&e->v->choice, KIND_CROP, crop))
					continue;
				if ((int)s->judged == kind)
					say_off(e, crop, stage, s);
				if (s->m.lots && s->m.few)
					said_add(&few[stage], e->r->arena,
						 e->v->now->farm->crops[crop].head.name);
				if (s->m.lots && s->m.rough)
					said_add(&rough, e->r->arena, place(e, crop, stage));
			}
		}
	}
	say_few(e, few);
	if (rough.n)
		report_verdict(e->r, "Rough: under %d batches with losses in few of them, or very uneven ones, "
				     "so the limits are likely wider than they need be: %s.",
			       ALIKE_ROUGH, said_text(&rough));
}

static bool anything(const struct each *e)
{
	for (size_t i = 0; i < e->m->nlots; i++) {
		if (e->m->lots[i].crop == NONE ? !e->v->choice.nitems
					       : choice_has(&e->v->choice, KIND_CROP, e->m->lots[i].crop))
			return true;
	}
	return false;
}

static void explain(struct report *r, bool assumed)
{
	report_sentence(r, "field: cut, not hung. drying: hung, not boxed. storage: gone between two counts "
			   "of a box, a month. bench: drawn and spoiled. Each in %% of what went in.");
	report_sentence(r, "80%% sure: with both sides counted, the true rate lies between in four of five "
			   "such cases. in use: %s.",
			assumed ? "the `loses` line alone, as --assumed says"
				: "the records and the `loses` line together");
	report_sentence(r, "alike: how much stems of one batch share their fate, from 0, each for itself, to "
			   "1, all or none. The more alike, the fewer separate stems they are worth.");
}

bool loss_to_mould(const struct view *v)
{
	const struct measures *m = v->now->rates.measures;
	for (uint32_t crop = 0; crop < v->now->farm->ncrops; crop++) {
		for (int stage = 0; stage < STAGE_COUNT; stage++) {
			const struct stage_measured *s = &m->crops[crop].stages[stage];
			for (size_t i = 0; i < s->ncauses; i++) {
				if (s->causes[i].cause == CAUSE_MOULD && choice_has(&v->choice, KIND_CROP, crop))
					return true;
			}
		}
	}
	return false;
}

void of_loss(struct report *r, const struct view *v)
{
	const struct each e = { r, v, v->now->rates.measures };
	bool any = anything(&e);
	of_title(r, "losses");
	if (any)
		explain(r, v->now->rates.assumed);
	struct table *t = report_table(r, &LOSS_RATES);
	t->empty = "Nothing has been counted of it yet: batches.csv, a second count of a box in bench.csv, and "
		   "its `made` lines tell of losses.";
	all_rows(&e, t, has_lots, put_rates);
	all_rows(&e, report_table(r, &LOSS_CAUSES), has_causes, put_causes);
	all_rows(&e, report_table(r, &LOSS_SEASONS), has_two, put_seasons);
	if (v->choice.nitems)
		lots(&e);
	in_use(&e);
	verdicts(&e);
	of_remarks(r, v);
}
