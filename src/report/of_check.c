/* of_check.c - what `check` read and found, and the list of figures. */
#include <math.h>

#include "report/of.h"

static const struct column read_columns[] = {
	{ "what", "what", TYPE_TEXT, 0, "text", "kind of block, table or file" },
	{ "count", "count", TYPE_COUNT, 0, "count", "how many were read; empty: no such table" },
	{ "from", "from", TYPE_TEXT, 0, "text",
	  "table that they stand in; empty: blocks in any text" },
};
const struct table_def CHECK_READ = { "check",
				      "read",
				      "What was read",
				      read_columns,
				      sizeof read_columns / sizeof read_columns[0],
				      false };

static const struct column finding_columns[] = {
	{ "level", "", TYPE_TEXT, 0, "text", "problem or note" },
	{ "about", "about", TYPE_TEXT, 0, "text", "name of the block or the line meant" },
	{ "text", "what", TYPE_TEXT, 0, "text", "what makes no sense, or is worth a look" },
	{ "today", "today", TYPE_TEXT, COL_SUPPOSED, "text",
	  "without --suppose: the same; not so: it is only with it; gone: it would be no more" },
};
const struct table_def CHECK_FINDINGS = { "check",
					  "findings",
					  "What to look at",
					  finding_columns,
					  sizeof finding_columns / sizeof finding_columns[0],
					  false };

static const struct column figure_columns[] = {
	{ "path", "figure", TYPE_TEXT, 0, "text", "what --suppose calls it" },
	{ "id", "id", TYPE_TEXT, COL_MACHINE, "text", "kind of figure" },
	{ "value", "value", TYPE_NUMBER, COL_FINE, "see unit", "the figure; empty: not given" },
	{ "value_today", "today", TYPE_NUMBER, COL_FINE | COL_SUPPOSED, "see unit",
	  "value without --suppose; empty: not given" },
	{ "unit", "unit", TYPE_TEXT, 0, "text", "unit of value, low and high" },
	{ "low", "from", TYPE_NUMBER, 0, "see unit", "smallest value that is taken" },
	{ "high", "to", TYPE_NUMBER, 0, "see unit", "largest value that is taken; empty: no end" },
	{ "given", "given", TYPE_FLAG, COL_MACHINE, "true or false", "the farm's files say it" },
	{ "meaning", "meaning", TYPE_TEXT, COL_MACHINE, "text", "one sentence" },
};
const struct table_def CHECK_FIGURES = { "check",
					 "figures",
					 "Figures that can be supposed",
					 figure_columns,
					 sizeof figure_columns / sizeof figure_columns[0],
					 false };

static void count(struct table *t, const char *what, size_t n, const char *from)
{
	table_row(t);
	put_word(t, "what", what);
	put_number(t, "count", (double)n);
	put_word(t, "from", from);
}

static void count_table(struct table *t, const char *what, size_t n, bool there, const char *file)
{
	count(t, what, n, file);
	if (there)
		return;
	put_number(t, "count", NAN);
	put_instead(t, "count", "none yet");
}

static size_t notes_of(const struct diag *diag)
{
	size_t n = 0;
	for (size_t i = 0; i < diag->nitems; i++)
		n += diag->items[i].level == DIAG_NOTE;
	return n;
}

/* Texts without a block: each has a note of its own, which has no place. */
static size_t skipped(const struct diag *diag)
{
	size_t n = 0;
	for (size_t i = 0; i < diag->nitems; i++)
		n += diag->items[i].level == DIAG_NOTE && !diag->items[i].at.file;
	return n;
}

static void what_was_read(struct report *r, const struct farm *f, const struct diag *diag)
{
	struct table *t = report_table(r, &CHECK_READ);
	count(t, "crops", f->ncrops, "");
	count(t, "supplies", f->nsupplies, "");
	count(t, "parts", f->nparts, "");
	count(t, "pieces", f->npieces, "");
	count(t, "outlets", f->noutlets, "");
	count(t, "targets", f->ntargets, "");
	count_table(t, "boxes and goods", f->nboxes, f->has_stock, "stock.csv");
	count_table(t, "beds", f->nbeds, f->has_beds, "beds.csv");
	bool logged = f->nbatches && !f->has_batches;
	count_table(t, "batches", f->nbatches, f->has_batches || logged, logged ? "bench.csv" : "batches.csv");
	count_table(t, "orders", f->norders, f->has_orders, "orders.csv");
	count_table(t, "bench entries", f->nlog, f->has_log, "bench.csv");
	count(t, "files read", diag->nsources - skipped(diag), "");
	count(t, "files skipped", skipped(diag), "");
}

static bool among(const struct findings *all, const struct finding *f)
{
	for (size_t i = 0; i < all->n; i++) {
		if (all->items[i].level == f->level && str_eq(all->items[i].about, f->about) &&
		    strcmp(all->items[i].text, f->text) == 0)
			return true;
	}
	return false;
}

static void finding_row(struct table *t, const struct finding *f, const char *today)
{
	table_row(t);
	put_word(t, "level", f->level == FINDING_PROBLEM ? "problem" : "note");
	put_text(t, "about", f->about);
	put_word(t, "text", f->text);
	if (today)
		put_word(t, "today", today);
}

/* What is found; then what only today is. */
static void what_to_look_at(struct report *r, const struct findings *now, const struct findings *today)
{
	struct table *t = report_table(r, &CHECK_FINDINGS);
	for (size_t i = 0; i < now->n; i++)
		finding_row(t, &now->items[i],
			    !today			     ? NULL
			    : among(today, &now->items[i]) ? "the same"
							     : "not so");
	for (size_t i = 0; today && i < today->n; i++) {
		if (!among(now, &today->items[i]))
			finding_row(t, &today->items[i], "gone");
	}
}

void of_check(struct report *r, const struct view *v, const struct findings *findings,
	      const struct findings *today, const struct diag *diag)
{
	of_title(r, "check");
	what_was_read(r, v->now->farm, diag);
	what_to_look_at(r, findings, today);
	size_t problems = 0, notes = 0;
	for (size_t i = 0; i < findings->n; i++)
		*(findings->items[i].level == FINDING_PROBLEM ? &problems : &notes) += 1;
	report_verdict(r, "%zu problem%s, %zu warning%s, %zu note%s.", problems,
		       problems == 1 ? "" : "s", diag->warnings, diag->warnings == 1 ? "" : "s",
		       notes + notes_of(diag), notes + notes_of(diag) == 1 ? "" : "s");
	report_remarks(r, &v->now->remarks);
}

/* As people write it; from the exact share where there is one, so that 1.7% is 1.7. */
static double figure_value(const struct figure *f)
{
	struct rat percent;
	if (f->kind->unit == FU_PERCENT && rat_double(f->fig->q) == f->fig->v &&
	    rat_mul(&percent, f->fig->q, (struct rat){ 100, 1 }))
		return rat_double(percent);
	return figure_shown(f->kind, f->fig->v);
}

static void put_value(struct table *t, const char *key, const struct figure *f)
{
	if (f->fig->given)
		put_number(t, key, figure_value(f));
	else
		put_instead(t, key, "not given");
}

/* NULL: it is as it was. */
static const struct supposed *supposed_of(const struct farm *farm, const struct figure *f)
{
	for (size_t i = 0; i < farm->nsupposed; i++) {
		if (str_eq(farm->supposed[i].path, f->path))
			return &farm->supposed[i];
	}
	return NULL;
}

static void put_today(struct table *t, const struct farm *farm, const struct figure *f)
{
	const struct supposed *s = supposed_of(farm, f);
	if (!s)
		put_value(t, "value_today", f);
	else if (isnan(s->before))
		put_instead(t, "value_today", "not given");
	else
		put_number(t, "value_today", figure_shown(f->kind, s->before));
}

void of_figures(struct report *r, const struct farm *farm, const struct figure *figures, size_t n)
{
	of_title(r, "figures");
	struct table *t = report_table(r, &CHECK_FIGURES);
	t->empty = "Nothing in this folder can be supposed.";
	for (size_t i = 0; i < n; i++) {
		const struct figure *f = &figures[i];
		table_row(t);
		put_word(t, "id", f->kind->id);
		put_text(t, "path", f->path);
		put_word(t, "unit", of_figure_unit(r, farm, f->kind, f->path));
		put_value(t, "value", f);
		if (farm->nsupposed)
			put_today(t, farm, f);
		put_number(t, "low", figure_shown(f->kind, f->kind->low));
		if (f->kind->high < 1e15)
			put_number(t, "high", figure_shown(f->kind, f->kind->high));
		put_flag(t, "given", f->fig->given);
		put_word(t, "meaning", f->kind->meaning);
	}
}
