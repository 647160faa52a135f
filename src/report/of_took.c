/* of_took.c - what making really took, against the recipe. */
#include <math.h>

#include "base/buf.h"
#include "base/number.h"
#include "reckon/bench.h"
#include "reckon/cost.h"
#include "report/of.h"

#define MADE_COLUMNS                                                                                \
	{ "made", "made", TYPE_NUMBER, 0, "base units", "as the log says" },                        \
	{ "entries", "entries", TYPE_COUNT, COL_MACHINE, "entries", "`made` lines of the log" },    \
	{ "timed", "timed", TYPE_COUNT, COL_MACHINE, "entries",                                     \
	  "of these with minutes, where the recipe says a time too" },                              \
	{ "minutes", "took,\nmin", TYPE_COUNT, 0, "min", "of the timed entries" },                  \
	{ "recipe_minutes", "recipe,\nmin", TYPE_COUNT, 0, "min", "that the recipe says for them" },      \
	{ "over", "over\n%", TYPE_PERCENT, 0, "fraction", "minutes beyond the recipe, of the recipe's" }, \
	{ "longer", "took\nlonger", TYPE_MONEY, COL_PART, "money",                                  \
	  "minutes beyond the recipe, at the full wage: efficiency variance of labour" },           \
	{ "paid_more", "paid\nmore", TYPE_MONEY, COL_PART | COL_MAYBE, "money",                     \
	  "hours of the timed entries x (paid - full wage): rate variance of labour" },             \
	{ "more_stems", "more\nstems", TYPE_MONEY, COL_PART, "money",                               \
	  "stems beyond the recipe and the normal bench loss, at what a stem costs: usage variance" }, \
	{ "dearer_stems", "dearer\nstems", TYPE_MONEY, COL_PART | COL_MAYBE, "money",               \
	  "stems from bought-in boxes x (price on the box - what a stem costs): price variance" },  \
	{ "beyond", "in\nall", TYPE_MONEY, COL_SUM, "money", "the four together" },                 \
	{ "beyond_today", "today", TYPE_MONEY, COL_SUPPOSED, "money", "beyond without --suppose" }

static const struct column piece_columns[] = {
	{ "name", "made at the bench", TYPE_TEXT, 0, "text", "name of the part or piece" },
	{ "kind", "kind", TYPE_TEXT, COL_MACHINE, "text", "part or piece" },
	MADE_COLUMNS,
};
const struct table_def TOOK_PIECES = { "took",
				       "pieces",
				       "Against the recipe",
				       piece_columns,
				       sizeof piece_columns / sizeof piece_columns[0],
				       false };

static const struct column month_columns[] = {
	{ "name", "name", TYPE_TEXT, COL_MACHINE, "text", "name of the part or piece" },
	{ "kind", "kind", TYPE_TEXT, COL_MACHINE, "text", "part or piece" },
	{ "month", "month", TYPE_TEXT, 0, "month", "as YYYY-MM" },
	MADE_COLUMNS,
};
const struct table_def TOOK_MONTHS = { "took",
				       "months",
				       "Month by month",
				       month_columns,
				       sizeof month_columns / sizeof month_columns[0],
				       false };

static const struct column stem_columns[] = {
	{ "name", "name", TYPE_TEXT, COL_MACHINE, "text", "name of the part or piece" },
	{ "crop", "crop", TYPE_TEXT, 0, "text", "name of the crop" },
	{ "drawn", "drawn", TYPE_COUNT, 0, "stems", "from the boxes, spoiled ones among them" },
	{ "recipe", "recipe", TYPE_COUNT, 0, "stems",
	  "that the recipe says, the normal bench loss on top" },
	{ "over", "over\n%", TYPE_PERCENT, 0, "fraction", "drawn beyond the recipe, of the recipe's" },
	{ "each", "a stem", TYPE_MONEY, COL_FINE, "money per stem",
	  "what a stem costs: the crop's line, else its bed; empty: not known" },
	{ "more_stems", "more\nstems", TYPE_MONEY, 0, "money", "usage variance" },
	{ "other_blend", "other\nblend", TYPE_MONEY, COL_PART | COL_MAYBE, "money",
	  "of more_stems: from another blend of crops than the recipe's: mix variance" },
	{ "more_in_all", "more\nin all", TYPE_MONEY, COL_PART | COL_MAYBE, "money",
	  "of more_stems: from more of the recipe's own blend: yield variance" },
	{ "dearer_stems", "dearer\nstems", TYPE_MONEY, COL_MAYBE, "money", "price variance" },
};
const struct table_def TOOK_STEMS = { "took",
				      "stems",
				      "Stems against the recipe (with --of)",
				      stem_columns,
				      sizeof stem_columns / sizeof stem_columns[0],
				      false };

static const struct column next_columns[] = {
	{ "name", "the next run", TYPE_TEXT, 0, "text", "name of the part or piece" },
	{ "runs", "runs\nso far", TYPE_COUNT, 0, "runs", "`made` lines with minutes" },
	{ "count", "of", TYPE_NUMBER, 0, "base units", "in the next run: as in the middle one so far" },
	{ "minutes", "takes,\nmin", TYPE_TENTH, 0, "min", "expected for the run, parts at hand ready made" },
	{ "low", "from", TYPE_TENTH, 0, "min", "80% interval of that run; empty: too few runs" },
	{ "high", "to", TYPE_TENTH, 0, "min", "80% interval of that run; empty: too few runs" },
	{ "recipe", "recipe,\nmin", TYPE_TENTH, 0, "min", "what the recipe says for such a run" },
	{ "basis", "goes by", TYPE_TEXT, 0, "text",
	  "own curve, farm's curve (how work gets quicker on the whole farm) or mean" },
};
const struct table_def TOOK_NEXT = { "took",
				     "next",
				     "What the next run will take, its parts ready made",
				     next_columns,
				     sizeof next_columns / sizeof next_columns[0],
				     false };

static const struct column curve_columns[] = {
	{ "name", "name", TYPE_TEXT, COL_MACHINE, "text", "name of the part or piece" },
	{ "model", "model", TYPE_TEXT, 0, "text",
	  "unit (Crawford): the n-th takes first x n^b; cumulative average (Wright): the first n take "
	  "first x n^b each" },
	{ "runs", "runs", TYPE_COUNT, COL_MACHINE, "runs", "`made` lines with minutes" },
	{ "rate", "doubling\nbrings to %", TYPE_PERCENT, 0, "fraction",
	  "2^b: what doubling the count brings the time (of the n-th, or on average) to" },
	{ "rate_low", "from", TYPE_PERCENT, 0, "fraction", "80% interval; empty: too few runs" },
	{ "rate_high", "to", TYPE_PERCENT, 0, "fraction", "80% interval; empty: too few runs" },
	{ "first", "first\none", TYPE_TENTH, 0, "min", "minutes of the first making, set-ups shared" },
	{ "second", "second\none", TYPE_TENTH, 0, "min", "minutes of the second making alone" },
	{ "next", "next\nrun", TYPE_TENTH, 0, "min", "minutes of the next run by this curve" },
	{ "sure", "sure", TYPE_TEXT, 0, "text",
	  "yes: three runs or more, and quicker at 80%; else no. Forecasts use the unit model" },
};
const struct table_def TOOK_CURVES = { "took",
				       "curves",
				       "How work gets quicker (with --of)",
				       curve_columns,
				       sizeof curve_columns / sizeof curve_columns[0],
				       false };

static const struct column line_columns[] = {
	{ "name", "clearly off", TYPE_TEXT, 0, "text", "name of the part or piece" },
	{ "log", "the log says", TYPE_TEXT, COL_PEOPLE, "text", "" },
	{ "log_minutes", "log", TYPE_NUMBER, COL_MACHINE, "min",
	  "for one base unit, by the next run where a curve is sure, else by the mean" },
	{ "said", "the recipe", TYPE_TEXT, COL_PEOPLE, "text", "" },
	{ "recipe_minutes", "recipe", TYPE_NUMBER, COL_MACHINE, "min", "for one base unit" },
	{ "line", "line for the recipe", TYPE_TEXT, 0, "text",
	  "to put in place of the line with the same words; empty: no one line can bear it" },
};
const struct table_def TOOK_LINES = { "took",
				      "lines",
				      "Recipes that the log says otherwise",
				      line_columns,
				      sizeof line_columns / sizeof line_columns[0],
				      false };

static const struct column overhead_columns[] = {
	{ "overhead", "overhead\na year", TYPE_MONEY, 0, "money", "as the farm gives it" },
	{ "rate", "an hour", TYPE_MONEY, 0, "money per h", "overhead / bench hours meant for it" },
	{ "hours", "hours\nin the log", TYPE_TENTH, 0, "h", "of all entries with minutes" },
	{ "taken", "covered", TYPE_MONEY, COL_PART, "money", "an hour's overhead x hours in the log" },
	{ "left", "still to\ncover", TYPE_MONEY, COL_PART, "money",
	  "the rest of the year's overhead; below 0: covered and more" },
};
const struct table_def TOOK_OVERHEAD = { "took",
					 "overhead",
					 "Overhead",
					 overhead_columns,
					 sizeof overhead_columns / sizeof overhead_columns[0],
					 false };

/* ---- against the recipe ---- */

static bool wanted(const struct view *v, struct item item)
{
	return choice_has(&v->choice, item.kind, item.index);
}

static double beyond(const struct made *m)
{
	return m->efficiency + m->rate + m->usage + m->price;
}

static void put_making(struct table *t, const struct made *m, const struct made *today)
{
	double some = m->timed ? 1 : (double)NAN, stems = m->nuses ? 1 : (double)NAN;
	put_number(t, "made", m->count);
	put_number(t, "entries", (double)m->lines);
	put_number(t, "timed", (double)m->timed);
	put_number(t, "minutes", some * m->minutes);
	put_number(t, "recipe_minutes", some * m->recipe_minutes);
	put_number(t, "over", m->minutes / m->recipe_minutes - 1);
	put_number(t, "longer", some * m->efficiency);
	put_number(t, "paid_more", some * m->rate);
	put_number(t, "more_stems", stems * m->usage);
	put_number(t, "dearer_stems", stems * m->price);
	bool any = m->timed || m->nuses;
	put_number(t, "beyond", any ? beyond(m) : (double)NAN);
	put_number(t, "beyond_today", any && today ? beyond(today) : (double)NAN);
}

static struct made sum_of(const struct view *v, const struct made *list, size_t n)
{
	struct made sum = { 0 };
	for (size_t i = 0; i < n; i++) {
		const struct made *m = &list[i];
		if (!wanted(v, m->item))
			continue;
		sum.minutes += m->minutes;
		sum.recipe_minutes += m->recipe_minutes;
		sum.rate += m->rate;
		sum.efficiency += m->efficiency;
		sum.usage += m->usage;
		sum.price += m->price;
		sum.timed += m->timed;
		sum.nuses += m->nuses;
		sum.lines++;
	}
	return sum;
}

static void pieces(struct report *r, const struct view *v)
{
	const struct variances *all = &v->now->took;
	const struct made *today = v->today ? v->today->took.items : NULL;
	struct table *t = report_table(r, &TOOK_PIECES);
	t->empty = v->now->farm->has_log
		       ? "Nothing of it was made in that time, by the `made` lines of bench.csv."
		       : "There is no bench log yet: what is made, and the minutes, stand in bench.csv. "
					 "`thrave note made` writes it.";
	for (size_t i = 0; i < all->nitems; i++) {
		if (!wanted(v, all->items[i].item))
			continue;
		table_row(t);
		put_text(t, "name", of_item_name(v->now->farm, all->items[i].item));
		put_word(t, "kind", kind_name(all->items[i].item.kind));
		put_making(t, &all->items[i], today ? &today[i] : NULL);
	}
	struct made sum = sum_of(v, all->items, all->nitems), before = { 0 };
	if (sum.lines < 2)
		return;
	if (today)
		before = sum_of(v, today, all->nitems);
	table_total(t);
	put_word(t, "name", "total");
	put_making(t, &sum, today ? &before : NULL);
	put_number(t, "made", (double)NAN);
}

static void months(struct report *r, const struct view *v)
{
	const struct variances *all = &v->now->took;
	struct table *t = report_table(r, &TOOK_MONTHS);
	const struct made *last = NULL;
	for (size_t i = 0; i < all->nmonths; i++) {
		const struct made *m = &all->months[i];
		struct str name = of_item_name(v->now->farm, m->item);
		if (!wanted(v, m->item))
			continue;
		if (!last || !same_item(last->item, m->item))
			table_group(t, name);
		table_row(t);
		table_indent(t, 2);
		put_text(t, "name", name);
		put_word(t, "kind", kind_name(m->item.kind));
		put_text(t, "month", of_month(r, m->year * 12 + m->month - 1));
		put_making(t, m, v->today ? &v->today->took.months[i] : NULL);
		last = m;
	}
}

static void stem_row(struct table *t, const struct view *v, const struct made *m,
		     const struct stem_use *use)
{
	double known = isnan(use->at) ? (double)NAN : 1;
	table_row(t);
	table_indent(t, 2);
	put_text(t, "name", of_item_name(v->now->farm, m->item));
	put_text(t, "crop", v->now->farm->crops[use->crop].head.name);
	put_number(t, "drawn", use->drawn);
	put_number(t, "recipe", use->recipe);
	put_number(t, "over", use->drawn / use->recipe - 1);
	put_number(t, "each", use->at);
	put_number(t, "more_stems", known * use->usage);
	put_number(t, "other_blend", m->mixed ? known * use->mix : (double)NAN);
	put_number(t, "more_in_all", m->mixed ? known * use->yield : (double)NAN);
	put_number(t, "dearer_stems", known * use->price);
}

static void stems(struct report *r, const struct view *v)
{
	const struct variances *all = &v->now->took;
	struct table *t = report_table(r, &TOOK_STEMS);
	t->title = STR("Stems against the recipe");
	for (size_t i = 0; i < all->nitems; i++) {
		const struct made *m = &all->items[i];
		if (!wanted(v, m->item) || !m->nuses)
			continue;
		table_group(t, of_item_name(v->now->farm, m->item));
		for (size_t k = 0; k < m->nuses; k++)
			stem_row(t, v, m, &m->uses[k]);
	}
}

/* ---- what comes next ---- */

static const char *basis_word(enum learned_from from)
{
	static const char *const words[] = { "mean", "own curve", "farm's curve" };
	return words[from];
}

static void next_runs(struct report *r, const struct view *v)
{
	const struct skills *all = &v->now->skills;
	struct table *t = report_table(r, &TOOK_NEXT);
	for (size_t i = 0; i < all->n; i++) {
		const struct skill *s = &all->items[i];
		if (!s->nruns || !wanted(v, s->item))
			continue;
		table_row(t);
		put_text(t, "name", of_item_name(v->now->farm, s->item));
		put_number(t, "runs", (double)s->nruns);
		put_number(t, "count", s->next_count * recipe_of(v->now->farm, s->item).makes);
		put_number(t, "minutes", s->next.time);
		put_number(t, "low", s->next.i80.low);
		put_number(t, "high", s->next.i80.high);
		if (s->nruns < LEARN_RUNS) { /* two runs that happen to agree say little */
			put_instead(t, "low", "?");
			put_instead(t, "high", "?");
		}
		put_number(t, "recipe", s->next_recipe);
		put_word(t, "basis", basis_word(s->next.from));
	}
}

static void curve_row(struct table *t, struct str name, const struct skill *s,
		      const struct curve_fit *fit)
{
	static const char *const models[] = { "unit (Crawford)", "cumulative average (Wright)" };
	const struct curve_says *says = &s->says[fit->curve.model];
	table_row(t);
	table_indent(t, 2);
	put_text(t, "name", name);
	put_word(t, "model", models[fit->curve.model]);
	put_number(t, "runs", (double)fit->runs);
	put_number(t, "rate", fit->curve.rate);
	put_number(t, "rate_low", fit->rate80.low);
	put_number(t, "rate_high", fit->rate80.high);
	put_number(t, "first", says->first);
	put_number(t, "second", says->second);
	put_number(t, "next", says->next);
	put_word(t, "sure", fit->clear ? "yes" : "no");
}

static void curves(struct report *r, const struct view *v)
{
	const struct skills *all = &v->now->skills;
	struct table *t = report_table(r, &TOOK_CURVES);
	t->title = STR("How work gets quicker");
	for (size_t i = 0; i < all->n; i++) {
		const struct skill *s = &all->items[i];
		if (!wanted(v, s->item) || isnan(s->unit.curve.rate))
			continue;
		struct str name = of_item_name(v->now->farm, s->item);
		table_group(t, name);
		curve_row(t, name, s, &s->unit);
		curve_row(t, name, s, &s->average);
	}
}

/* "38 min", "2.5 min", "50 s": as a recipe would say it. */
static void put_time(struct buf *b, double seconds)
{
	bool minutes = seconds >= 120 || fmod(seconds, 60) == 0;
	number_print_short(b, minutes ? seconds / 60 : seconds, minutes ? 2 : 0);
	buf_text(b, minutes ? " min" : " s");
}

static struct str time_text(struct report *r, double seconds)
{
	struct buf b;
	buf_init(&b, REPORT_WIDTH);
	put_time(&b, seconds);
	struct str s = { arena_copy(r->arena, b.data, b.len), b.len };
	buf_release(&b);
	return s;
}

/* `takes 41 min wiring`: the statement that would fit the log. */
static struct str line_text(struct report *r, const struct view *v, const struct skill *s)
{
	if (s->hint.task == NONE)
		return STR_NONE;
	struct recipe recipe = recipe_of(v->now->farm, s->item);
	const struct task *task = &recipe.tasks[s->hint.task];
	struct buf b;
	buf_init(&b, 1 << 16);
	buf_text(&b, "takes ");
	put_time(&b, s->hint.seconds);
	if (task->label.n)
		buf_printf(&b, " %.*s", STR_ARG(task->label));
	if (task->batch.given) {
		buf_text(&b, ", for each batch of up to ");
		number_print_short(&b, task->batch.v, 2);
	}
	struct str line = { arena_copy(r->arena, b.data, b.len), b.len };
	buf_release(&b);
	return line;
}

static void lines(struct report *r, const struct view *v)
{
	const struct skills *all = &v->now->skills;
	struct table *t = report_table(r, &TOOK_LINES);
	for (size_t i = 0; i < all->n; i++) {
		const struct skill *s = &all->items[i];
		if (!wanted(v, s->item) || isnan(s->suggests))
			continue;
		table_row(t);
		put_text(t, "name", of_item_name(v->now->farm, s->item));
		put_text(t, "log", time_text(r, s->suggests));
		put_number(t, "log_minutes", s->suggests / 60);
		put_text(t, "said", time_text(r, s->recipe_seconds));
		put_number(t, "recipe_minutes", s->recipe_seconds / 60);
		put_text(t, "line", line_text(r, v, s));
	}
}

static void stem_hints(struct report *r, const struct view *v)
{
	const struct skills *all = &v->now->skills;
	for (size_t i = 0; i < all->n; i++) {
		const struct skill *s = &all->items[i];
		for (size_t k = 0; k < s->nstems && wanted(v, s->item); k++) {
			double over = s->stems[k].off.ratio - 1;
			struct str crop = v->now->farm->crops[s->stems[k].crop].head.name;
			report_verdict(r,
				       "%.*s: %.0f%% %s %.*s, run after run, than its `needs` and the normal "
				       "bench loss say.",
				       STR_ARG(of_item_name(v->now->farm, s->item)), fabs(over) * 100,
				       over > 0 ? "more" : "less", STR_ARG(crop));
		}
	}
}

/* ---- overhead, and what is missing ---- */

enum { YEAR = 366 };

static void overhead(struct report *r, const struct view *v, const struct took_view *view)
{
	const struct variances *all = &v->now->took;
	const struct business *b = &v->now->farm->business;
	day first = view->from != DAY_NONE ? view->from : all->first;
	if (!b->overhead.given || !(all->hours > 0) || v->choice.nitems)
		return;
	if (r->on - first > YEAR) {
		report_verdict(r, "The log goes back more than a year: with --from it is said how much of a "
				  "year's overhead its hours covered.");
		return;
	}
	struct table *t = report_table(r, &TOOK_OVERHEAD);
	table_row(t);
	put_number(t, "overhead", b->overhead.v);
	put_number(t, "rate", all->overhead.rate);
	put_number(t, "hours", all->hours);
	put_number(t, "taken", all->overhead.taken);
	put_number(t, "left", all->overhead.short_by);
}

/* "Harvest sheaf in 2026-10 (1 of 2)" for months where some lines have no minutes. */
static void without_minutes(struct report *r, const struct view *v)
{
	const struct variances *all = &v->now->took;
	struct said none = { 0 };
	for (size_t i = 0; i < all->nmonths; i++) {
		const struct made *m = &all->months[i];
		if (!wanted(v, m->item) || !m->unsaid)
			continue;
		struct str name = of_item_name(v->now->farm, m->item);
		said_add(&none, r->arena,
			 report_printf(r->arena, "%.*s in %04d-%02d (%zu of %zu)", STR_ARG(name), m->year,
				       m->month, m->unsaid, m->lines));
	}
	if (none.n)
		report_verdict(r, "Entries without minutes, and not in the times above: %s.",
			       said_text(&none));
}

static void without_recipe(struct report *r, const struct view *v)
{
	const struct variances *all = &v->now->took;
	struct said time = { 0 }, price = { 0 };
	for (size_t i = 0; i < all->nitems; i++) {
		const struct made *m = &all->items[i];
		if (!wanted(v, m->item))
			continue;
		if (m->lines > m->timed + m->unsaid)
			said_add(&time, r->arena, of_item_name(v->now->farm, m->item));
		for (size_t k = 0; k < m->nuses; k++) {
			if (isnan(m->uses[k].at))
				said_add(&price, r->arena,
					 v->now->farm->crops[m->uses[k].crop].head.name);
		}
	}
	if (time.n)
		report_verdict(r, "The recipe says no time to compare with: %s.", said_text(&time));
	if (price.n)
		report_verdict(r, "No cost of a stem is known, so that more of it costs nothing here: %s.",
			       said_text(&price));
	if (all->left_out)
		report_verdict(r, "%zu %s stems from boxes that are gone and could be of any crop: left out of "
				  "the stems above.",
			       all->left_out, all->left_out == 1 ? "entry draws" : "entries draw");
}

/* Parts and pieces that are not in the log at all. */
static void not_made(struct report *r, const struct view *v)
{
	const struct farm *f = v->now->farm;
	struct said none = { 0 };
	for (size_t i = 0; i < f->nparts + f->npieces; i++) {
		struct item item = i < f->nparts ? (struct item){ KIND_PART, (uint32_t)i }
						 : (struct item){ KIND_PIECE, (uint32_t)(i - f->nparts) };
		bool found = !wanted(v, item);
		for (size_t k = 0; !found && k < v->now->took.nitems; k++)
			found = same_item(v->now->took.items[k].item, item);
		if (!found)
			said_add(&none, r->arena, of_item_name(f, item));
	}
	if (none.n && v->now->took.nitems && !v->choice.nitems)
		report_verdict(r, "Not made in that time, by the log: %s.", said_text(&none));
}

static void say_wage(struct buf *b, const struct report *r, const struct business *farm, double paid)
{
	if (!(farm->wage.v > 0) && isnan(paid))
		return;
	buf_text(b, " An hour: ");
	number_print(b, burdened_wage(farm), r->digits);
	if (!isnan(paid)) {
		buf_text(b, "; paid: ");
		number_print(b, paid, r->digits);
	}
	buf_printf(b, "%s.", farm->wage_burden.v > 0 ? ", the employer's share included" : "");
}

static void say_terms(struct report *r, const struct view *v, const struct took_view *view)
{
	char from[11];
	struct buf b;
	buf_init(&b, 1 << 16);
	buf_text(&b, "Above 0 cost more than the recipe says, below 0 less.");
	say_wage(&b, r, &v->now->farm->business, view->paid);
	if (view->from != DAY_NONE) {
		date_print(view->from, from);
		buf_printf(&b, " From %s on.", from);
	}
	report_sentence(r, "%s", b.data);
	buf_release(&b);
}

void of_took(struct report *r, const struct view *v, const struct took_view *view)
{
	of_title(r, "what making took");
	say_terms(r, v, view);
	pieces(r, v);
	if (view->details) {
		months(r, v);
		stems(r, v);
	}
	next_runs(r, v);
	if (view->details)
		curves(r, v);
	lines(r, v);
	overhead(r, v, view);
	stem_hints(r, v);
	without_minutes(r, v);
	without_recipe(r, v);
	not_made(r, v);
	of_remarks(r, v);
}
