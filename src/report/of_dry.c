/* of_dry.c - which hanging batches are dry, weighing by weighing. */
#include <math.h>

#include "report/of.h"

static const struct column hanging_columns[] = {
	{ "batch", "batch", TYPE_TEXT, 0, "text", "its name in batches.csv" },
	{ "crop", "crop", TYPE_TEXT, 0, "text", "name of the crop" },
	{ "colour", "colour", TYPE_TEXT, COL_MAYBE, "text", "colour; empty: not said" },
	{ "hung_on", "hung", TYPE_DATE, COL_MACHINE, "date", "day of hanging; empty: not said" },
	{ "weighings", "weighings", TYPE_COUNT, COL_MACHINE, "weighings", "days with a weighing" },
	{ "weighed_on", "last\nweighed", TYPE_DATE, 0, "date", "day of the last weighing" },
	{ "first", "first", TYPE_NUMBER, COL_MACHINE, "g", "first weight, without the tare" },
	{ "last", "last", TYPE_NUMBER, COL_MACHINE, "g", "last weight, without the tare" },
	{ "lost", "lost\n%", TYPE_PERCENT, 0, "fraction",
	  "water lost since the first weighing, of the first weight: moisture, wet basis" },
	{ "lost_dry_basis", "dry basis", TYPE_PERCENT, COL_MACHINE, "fraction",
	  "the same water, of the last weight: moisture, dry basis" },
	{ "change", "last\nstep %", TYPE_PERCENT, 0, "fraction",
	  "lost between the last two weighings, of the first weight; below 0 is a gain" },
	{ "to_go", "to\ngo %", TYPE_PERCENT, 0, "fraction",
	  "of its water still to go, cautiously by the curve; 1 where no curve fits" },
	{ "rate", "rate", TYPE_NUMBER, COL_MACHINE, "per day",
	  "k of the curve: first weight falls to the rest with e^(-k days); empty: none fits" },
	{ "rest", "rest", TYPE_NUMBER, COL_MACHINE, "g", "where the curve ends; empty: none fits" },
	{ "expected", "dry by", TYPE_DATE, 0, "date",
	  "first day with 2% of the water to go or less; empty: cannot be said" },
	{ "verdict", "verdict", TYPE_TEXT, COL_MACHINE, "text", "dry, leave hanging or weigh again" },
	{ "reason", "reason", TYPE_TEXT, COL_MACHINE, "text", "why" },
};
const struct table_def DRY_HANGING = { "dry",
				       "hanging",
				       "Hanging, and weighed",
				       hanging_columns,
				       sizeof hanging_columns / sizeof hanging_columns[0],
				       false };

static const struct column boxed_columns[] = {
	{ "batch", "batch", TYPE_TEXT, 0, "text", "its name in batches.csv" },
	{ "crop", "crop", TYPE_TEXT, 0, "text", "name of the crop" },
	{ "colour", "colour", TYPE_TEXT, COL_MAYBE, "text", "colour; empty: not said" },
	{ "weighed_on", "last\nweighed", TYPE_DATE, 0, "date", "day of the last weighing" },
	{ "boxed_on", "boxed", TYPE_DATE, 0, "date", "day of boxing; empty: not said" },
	{ "lost", "lost\n%", TYPE_PERCENT, 0, "fraction",
	  "water lost since the first weighing, of the first weight" },
	{ "change", "last\nstep %", TYPE_PERCENT, 0, "fraction",
	  "lost between the last two weighings, of the first weight" },
	{ "to_go", "to\ngo %", TYPE_PERCENT, 0, "fraction",
	  "of its water still to go at the last weighing, cautiously by the curve" },
	{ "expected", "dry by", TYPE_DATE, COL_MACHINE, "date", "by the curve; empty: cannot be said" },
	{ "said", "was\ndry", TYPE_TEXT, COL_PEOPLE, "text", "" },
	{ "verdict", "verdict", TYPE_TEXT, COL_MACHINE, "text",
	  "dry, leave hanging or weigh again, at the last weighing" },
	{ "look", "look", TYPE_FLAG, COL_MACHINE, "true or false", "its box deserves a look" },
	{ "boxes", "box", TYPE_TEXT, COL_MAYBE, "text", "boxes of stock.csv that hold it" },
};
const struct table_def DRY_BOXED = { "dry",
				     "boxed",
				     "Boxed batches",
				     boxed_columns,
				     sizeof boxed_columns / sizeof boxed_columns[0],
				     false };

static const struct column weighing_columns[] = {
	{ "batch", "batch", TYPE_TEXT, COL_MACHINE, "text", "its name in batches.csv" },
	{ "on", "weighed", TYPE_DATE, 0, "date", "day" },
	{ "scale", "on the\nscale g", TYPE_NUMBER, 0, "g", "weight with the tare" },
	{ "net", "net g", TYPE_NUMBER, 0, "g", "without the tare" },
	{ "lost", "lost\n%", TYPE_PERCENT, 0, "fraction",
	  "water lost since the first weighing, of the first weight" },
	{ "change", "step\n%", TYPE_PERCENT, 0, "fraction",
	  "lost since the weighing before, of the first weight" },
	{ "by_curve", "by its\ncurve g", TYPE_TENTH, 0, "g",
	  "net weight by the curve; empty: none fits, or a late start before it" },
	{ "bar", "net weight", TYPE_TEXT, COL_PEOPLE, "text", "" },
};
const struct table_def DRY_WEIGHINGS = { "dry",
					 "weighings",
					 "Weighings (with --of or --batch)",
					 weighing_columns,
					 sizeof weighing_columns / sizeof weighing_columns[0],
					 false };

enum { BAR = 24 };

static bool named(const struct view *v, const struct dry_view *d)
{
	return v->choice.nitems || d->nbatches;
}

bool dry_wants(const struct view *v, const struct dry_view *d, uint32_t batch)
{
	for (size_t i = 0; i < d->nbatches; i++) {
		if (d->batches[i] == batch)
			return true;
	}
	return !named(v, d) ||
	       choice_names(&v->choice, KIND_CROP, v->now->farm->batches[batch].crop);
}

static const char *verdict_word(enum drying_verdict verdict)
{
	static const char *const words[] = { "weigh again", "leave hanging", "dry" };
	return words[verdict];
}

static const char *reason_word(enum drying_reason reason)
{
	static const char *const words[] = { "dry by its weight", "fewer than three weighings",
					     "still losing weight", "took up water",
					     "hardly lighter than at first",
					     "steady, but water still to go by its curve" };
	return words[reason];
}

/* Above the rows of one reason. */
static const char *reason_heading(enum drying_reason reason)
{
	static const char *const heads[] = {
		"Dry by its weight: snap a stem, feel the neck of the head, then box it",
		"Weigh again: fewer than three weighings say nothing",
		"Leave it hanging: still losing weight",
		"Leave it hanging: it has taken up water, as in damp air",
		"Leave it hanging: hardly lighter than at first; weighed late, or damp air",
		"Leave it hanging: steady now, but by its curve with water still to go",
	};
	return heads[reason];
}

static void put_batch(struct table *t, const struct farm *f, uint32_t batch)
{
	const struct batch *b = &f->batches[batch];
	put_text(t, "batch", b->id);
	put_text(t, "crop", f->crops[b->crop].head.name);
	if (b->colour != NONE)
		put_text(t, "colour", f->colours[b->colour]);
}

static void put_drying(struct table *t, const struct weighed_batch *w)
{
	const struct drying *d = &w->drying;
	put_day(t, "weighed_on", w->list[w->n - 1].on);
	put_number(t, "lost", d->lost);
	put_number(t, "change", d->change);
	put_number(t, "to_go", d->to_go);
	if (!d->fitted && w->n >= DRYING_WEIGHINGS)
		put_instead(t, "to_go", "?");
	put_day(t, "expected", d->expected);
	put_word(t, "verdict", verdict_word(d->verdict));
}

/* ---- hanging ---- */

static void hanging_row(struct table *t, const struct farm *f, const struct weighed_batch *w)
{
	const struct drying *d = &w->drying;
	table_row(t);
	table_indent(t, 2);
	put_batch(t, f, w->batch);
	put_day(t, "hung_on", f->batches[w->batch].hung_on);
	put_number(t, "weighings", (double)w->n);
	put_number(t, "first", d->start);
	put_number(t, "last", d->last);
	put_drying(t, w);
	put_number(t, "lost_dry_basis", d->start / d->last - 1);
	put_number(t, "rate", d->fitted ? d->k : (double)NAN);
	put_number(t, "rest", d->fitted ? d->rest : (double)NAN);
	if (d->verdict == DRYING_READY)
		put_instead(t, "expected", "now");
	else if (d->expected == DAY_NONE)
		put_instead(t, "expected", "?");
	else if (d->expected <= t->report->on)
		put_instead(t, "expected", "weigh now");
	put_word(t, "reason", reason_word(d->reason));
}

static void hanging(struct report *r, const struct view *v, const struct dry_view *d)
{
	static const enum drying_reason order[] = { DRYING_BY_ALL,  DRYING_BY_CURVE,   DRYING_BY_LOSS,
						    DRYING_BY_GAIN, DRYING_BY_NO_DROP, DRYING_BY_COUNT };
	struct table *t = report_table(r, &DRY_HANGING);
	t->empty = !v->now->farm->nbatches ? "There are no batches: what hangs, and what it weighs day by day, "
					     "stands in batches.csv, or is noted with `thrave note ... --batch`."
		   : named(v, d)           ? "Nothing of it hangs that was weighed."
					   : "Nothing hangs that was weighed.";
	for (size_t k = 0; k < sizeof order / sizeof order[0]; k++) {
		bool first = true;
		for (size_t i = 0; i < d->weighed->n; i++) {
			const struct weighed_batch *w = &d->weighed->items[i];
			if (w->boxed || w->drying.reason != order[k] || !dry_wants(v, d, w->batch))
				continue;
			if (first)
				table_group(t, str_of(reason_heading(order[k])));
			first = false;
			hanging_row(t, v->now->farm, w);
		}
	}
}

/* ---- boxed ---- */

static struct str box_names(struct report *r, const struct farm *f, const struct weighed_batch *w)
{
	struct str text = STR_NONE;
	for (size_t i = 0; i < w->nboxes; i++) {
		const struct box *box = &f->boxes[w->boxes[i]];
		struct str id = box->id.n ? box->id
					  : report_printf(r->arena, "stock.csv line %u",
							  (unsigned)box->line);
		text = report_printf(r->arena, "%.*s%s%.*s", STR_ARG(text), i ? ", " : "",
				     STR_ARG(id));
	}
	return text;
}

static void boxed(struct report *r, const struct view *v, const struct dry_view *d)
{
	struct table *t = report_table(r, &DRY_BOXED);
	static const char *const said[] = { "?", "not yet", "dry" };
	size_t look = 0;
	t->title = named(v, d) ? STR("Boxed already") : STR("Boxed before the scales said dry");
	for (size_t i = 0; i < d->weighed->n; i++) {
		const struct weighed_batch *w = &d->weighed->items[i];
		if (!w->boxed || !dry_wants(v, d, w->batch) || (!w->look && !named(v, d)))
			continue;
		table_row(t);
		put_batch(t, v->now->farm, w->batch);
		put_day(t, "boxed_on", v->now->farm->batches[w->batch].boxed_on);
		put_drying(t, w);
		put_word(t, "said", said[w->drying.verdict]);
		put_flag(t, "look", w->look);
		put_text(t, "boxes", box_names(r, v->now->farm, w));
		look += w->look;
	}
	if (look)
		report_verdict(r, "%s: open %s once and snap a stem. If it bends, hang it again. A count "
				  "of the box a week after boxing ends this reminder.",
			       look == 1 ? "Boxed before it looked dry" : "Boxed before they looked dry",
			       look == 1 ? "that box" : "those boxes");
}

/* ---- weighing by weighing ---- */

static void weighing_rows(struct table *t, const struct farm *f, const struct weighed_batch *w)
{
	const struct batch *b = &f->batches[w->batch];
	const char *colour = b->colour != NONE ? ", " : "";
	struct str shade = b->colour != NONE ? f->colours[b->colour] : STR_NONE;
	table_group(t, report_printf(t->report->arena, "%.*s: %.*s%s%.*s, %s", STR_ARG(b->id),
				     STR_ARG(f->crops[b->crop].head.name), colour, STR_ARG(shade),
				     w->boxed ? "boxed" : verdict_word(w->drying.verdict)));
	for (size_t i = 0; i < w->n; i++) {
		char bar[BAR + 1] = "";
		double net = w->list[i].grams, start = w->drying.start;
		size_t long_as = (size_t)fmin(BAR, fmax(1, round(BAR * net / fmax(start, net))));
		memset(bar, '#', long_as);
		table_row(t);
		table_indent(t, 2);
		put_text(t, "batch", b->id);
		put_day(t, "on", w->list[i].on);
		put_number(t, "scale", net + b->tare);
		put_number(t, "net", net);
		put_number(t, "lost", (start - net) / start);
		put_number(t, "change", i ? (w->list[i - 1].grams - net) / start : (double)NAN);
		put_number(t, "by_curve", drying_at(&w->drying, w->list[i].on));
		put_text(t, "bar", report_printf(t->report->arena, "%s", bar));
	}
}

static void weighings(struct report *r, const struct view *v, const struct dry_view *d)
{
	if (!named(v, d))
		return;
	struct table *t = report_table(r, &DRY_WEIGHINGS);
	t->title = STR("Weighing by weighing");
	for (size_t i = 0; i < d->weighed->n; i++) {
		if (dry_wants(v, d, d->weighed->items[i].batch))
			weighing_rows(t, v->now->farm, &d->weighed->items[i]);
	}
}

/* ---- in words ---- */

static void never_weighed(struct report *r, const struct view *v, const struct dry_view *d)
{
	struct said list = { 0 };
	const struct farm *f = v->now->farm;
	for (size_t i = 0; i < d->weighed->nnever; i++) {
		const struct batch *b = &f->batches[d->weighed->never[i]];
		if (dry_wants(v, d, d->weighed->never[i]))
			said_add(&list, r->arena,
				 report_printf(r->arena, "%.*s (%.*s)", STR_ARG(b->id),
					       STR_ARG(f->crops[b->crop].head.name)));
	}
	if (list.n)
		report_verdict(r, "Hanging, never weighed: %s.", said_text(&list));
}

static void verdicts(struct report *r, const struct view *v, const struct dry_view *d)
{
	struct said dry = { 0 };
	size_t hang = 0;
	for (size_t i = 0; i < d->weighed->n; i++) {
		const struct weighed_batch *w = &d->weighed->items[i];
		if (w->boxed || !dry_wants(v, d, w->batch))
			continue;
		if (w->drying.verdict == DRYING_READY)
			said_add(&dry, r->arena, v->now->farm->batches[w->batch].id);
		else
			hang++;
	}
	if (dry.n)
		report_verdict(r, "Dry by weight: %s. The scales alone cannot see a wet spell: box only "
				  "what snaps.",
			       said_text(&dry));
	else if (hang)
		report_verdict(r, "None is dry by its weight: leave %s hanging, and weigh again at the "
				  "same hour of another day.",
			       hang == 1 ? "it" : "them");
}

void of_dry(struct report *r, const struct view *v, const struct dry_view *d)
{
	of_title(r, "drying");
	report_sentence(r, "lost, last step: of the first weight; dry is a last step of 1%% or less. to "
			   "go: of the water, by the curve of the weighings; dry is 2%% or less.");
	hanging(r, v, d);
	verdicts(r, v, d);
	if (v->today)
		report_verdict(r, "What is supposed changes nothing here: whether a batch is dry is for its "
				  "weighings to say. Today's verdicts are the same.");
	never_weighed(r, v, d);
	boxed(r, v, d);
	weighings(r, v, d);
	of_remarks(r, v);
}
