/* page_took.c - what making took against the recipe: Took, Bench log, Next runs. */
#include <math.h>

#include "base/buf.h"
#include "reckon/bench.h"
#include "reckon/loss.h"
#include "report/workbook/pages.h"

enum { /* a longer formula than this stands as its value: a sheet takes 8,192 characters */
       FORMULA_MOST = 4000,
       FORMULA_CAP = 1 << 20
};

enum {
	TOOK_WHAT,
	TOOK_KIND,
	TOOK_MONTH,
	TOOK_MADE,
	TOOK_ENTRIES,
	TOOK_UNSAID,
	TOOK_MINUTES,
	TOOK_RECIPE,
	TOOK_OVER,
	TOOK_LONGER,
	TOOK_STEMS,
	TOOK_DEARER
};
enum { LOG_ON, LOG_WHAT, LOG_MADE, LOG_MAKINGS, LOG_MINUTES, LOG_RECIPE, LOG_COUNTED, LOG_AGAINST };
enum {
	NEXT_WHAT,
	NEXT_RUNS,
	NEXT_COUNT,
	NEXT_MINUTES,
	NEXT_LOW,
	NEXT_HIGH,
	NEXT_RECIPE,
	NEXT_BASIS,
	NEXT_LOG,
	NEXT_SAID
};

static const struct book_column took_columns[] = {
	[TOOK_WHAT] = { "what", "Part or piece", "", SHAPE_TEXT, 26, ORIGIN_VALUE, NULL },
	[TOOK_KIND] = { "kind", "Kind", "", SHAPE_TEXT, 8, ORIGIN_VALUE, NULL },
	[TOOK_MONTH] = { "month", "Month", "", SHAPE_TEXT, 10, ORIGIN_VALUE, NULL },
	[TOOK_MADE] = { "made", "Made", "", SHAPE_FREE, 8, ORIGIN_LIVE,
			"Sum over its entries in the month: sheet Bench log." },
	[TOOK_ENTRIES] = { "entries", "Entries", "", SHAPE_WHOLE, 8, ORIGIN_VALUE, NULL },
	[TOOK_UNSAID] = { "unsaid", "without minutes", "", SHAPE_WHOLE, 9, ORIGIN_VALUE,
			  "Entries that say no minutes: they are in no time here." },
	[TOOK_MINUTES] = { "minutes", "Took", "min", SHAPE_ONE, 9, ORIGIN_LIVE,
			   "Minutes of the entries that say them, where the recipe says a time too." },
	[TOOK_RECIPE] = { "recipe", "Recipe", "min", SHAPE_ONE, 9, ORIGIN_LIVE,
			  "What the recipe says for the same entries." },
	[TOOK_OVER] = { "over", "Over", "", SHAPE_PERCENT, 9, ORIGIN_LIVE, "Took / recipe - 1." },
	[TOOK_LONGER] = { "longer", "Took longer", "$", SHAPE_MONEY, 11, ORIGIN_LIVE,
			  "(Took - recipe) / 60 x full wage. Above 0 cost more than the recipe says." },
	[TOOK_STEMS] = { "stems", "More stems", "$", SHAPE_MONEY, 12, ORIGIN_LIVE,
			 "(Stems drawn - the recipe's / (1 - bench loss of the loses line)) x what a stem "
			 "costs: the crop's costs line, else its buying price, else a boxed stem." },
	[TOOK_DEARER] = { "dearer", "Dearer stems", "$", SHAPE_MONEY, 12, ORIGIN_LIVE,
			  "Stems from bought-in boxes x (price on the box - what a stem costs)." },
};
const struct book_table took_table = {
	"Took", "What making really took against the recipe: above 0 cost more, below 0 less.",
	took_columns, sizeof took_columns / sizeof took_columns[0]
};

static const struct book_column log_columns[] = {
	[LOG_ON] = { "on", "Day", "", SHAPE_DATE, 12, ORIGIN_VALUE, NULL },
	[LOG_WHAT] = { "what", "Part or piece", "", SHAPE_TEXT, 26, ORIGIN_VALUE, NULL },
	[LOG_MADE] = { "made", "Made", "", SHAPE_FREE, 8, ORIGIN_VALUE, "As the bench log says." },
	[LOG_MAKINGS] = { "makings", "Makings", "", SHAPE_WHOLE, 9, ORIGIN_LIVE,
			  "Made / what one making gives, rounded up." },
	[LOG_MINUTES] = { "minutes", "Minutes", "min", SHAPE_FREE, 9, ORIGIN_VALUE,
			  "As the bench log says; empty where it does not." },
	[LOG_RECIPE] = { "recipe", "Recipe", "min", SHAPE_ONE, 9, ORIGIN_LIVE,
			 "Makings x what is done for each + batches x setting up; with parts that were made "
			 "on the spot." },
	[LOG_COUNTED] = { "counted", "Counted", "min", SHAPE_ONE, 9, ORIGIN_LIVE,
			  "The minutes, where there are any and the recipe says a time." },
	[LOG_AGAINST] = { "against", "against", "min", SHAPE_ONE, 9, ORIGIN_LIVE,
			  "The recipe's minutes of the same entries." },
};
const struct book_table log_table = { "Bench log", "What was made, entry by entry, and what the recipe says.",
				      log_columns, sizeof log_columns / sizeof log_columns[0] };

static const struct book_column next_columns[] = {
	[NEXT_WHAT] = { "what", "Part or piece", "", SHAPE_TEXT, 26, ORIGIN_VALUE, NULL },
	[NEXT_RUNS] = { "runs", "Runs so far", "", SHAPE_WHOLE, 9, ORIGIN_VALUE,
			"Entries of the bench log with minutes." },
	[NEXT_COUNT] = { "count", "Next run of", "", SHAPE_FREE, 9, ORIGIN_VALUE, "As the middle run so far." },
	[NEXT_MINUTES] = { "minutes", "Will take", "min", SHAPE_ONE, 10, ORIGIN_VALUE,
			   "Its parts ready made. As the program found it: it does not follow the inputs." },
	[NEXT_LOW] = { "low", "from", "min", SHAPE_ONE, 9, ORIGIN_VALUE,
		       "Four runs in five lie between from and to; empty under three runs." },
	[NEXT_HIGH] = { "high", "to", "min", SHAPE_ONE, 9, ORIGIN_VALUE, NULL },
	[NEXT_RECIPE] = { "recipe", "Recipe", "min", SHAPE_ONE, 9, ORIGIN_VALUE, "For such a run." },
	[NEXT_BASIS] = { "basis", "Goes by", "", SHAPE_LABEL, 14, ORIGIN_VALUE,
			 "own curve: how this work got quicker. farm's curve: how all work did. mean: what "
			 "runs took on average." },
	[NEXT_LOG] = { "log", "The log says", "min each", SHAPE_TWO, 10, ORIGIN_VALUE,
		       "Only where the log is clearly off the recipe: thrave took has the line to write." },
	[NEXT_SAID] = { "said", "the recipe", "min each", SHAPE_TWO, 10, ORIGIN_VALUE, NULL },
};
const struct book_table next_table = { "Next runs",
				       "What the next run of each will take, by how the work went so far.",
				       next_columns, sizeof next_columns / sizeof next_columns[0] };

/* ---- the recipe's minutes, as a formula ---- */

struct writing {
	struct pages *p;
	const struct log_entry *e;
	struct buf b;
};

/* Seconds of so many makings, whole ones: ` + n x task + batches x task ...`. */
static void add_tasks(struct writing *w, const struct recipe *recipe, const char *makings)
{
	for (size_t i = 0; i < recipe->ntasks; i++) {
		const struct task *task = &recipe->tasks[i];
		const char *times = makings;
		if (task->batch.given)
			times = text_of(w->p, "-INT(-%s/MAX(1,INT(%s)))", makings,
					fig_ref(w->p, &task->batch));
		buf_printf(&w->b, "+(%s)*%s", times, fig_ref(w->p, &task->seconds));
	}
}

/* As bench_recipe_seconds() goes: parts made on the spot with their makers.  `raw` are makings
 * that may be broken, `whole` the whole ones that cover them. */
static void add_maker(struct writing *w, struct item maker, const char *raw, const char *whole, int depth)
{
	struct recipe recipe = recipe_of(w->p->farm, maker);
	if (w->b.len > FORMULA_MOST)
		return;
	add_tasks(w, &recipe, whole);
	for (size_t i = 0; i < recipe.nneeds && depth < PART_LEVELS_MOST; i++) {
		const struct need_option *o = recipe.needs[i].noptions ? recipe.needs[i].options : NULL;
		if (!o || o->item.kind != KIND_PART || !bench_on_the_spot(w->p->farm, w->e, o->item))
			continue;
		double each = rat_double(o->count) / recipe_of(w->p->farm, o->item).makes;
		const char *parts = text_of(w->p, "%s*%s", raw, number_ref(w->p, each));
		add_maker(w, o->item, parts, text_of(w->p, "(-INT(-(%s-" WHOLE_GUARD ")))", parts), depth + 1);
	}
}

static void recipe_cell(struct pages *p, uint32_t row, const struct log_entry *e, const char *raw)
{
	const struct page *g = &p->log;
	double minutes = bench_recipe_seconds(p->farm, e) / MINUTE;
	struct writing w = { p, e, { 0 } };
	buf_init(&w.b, FORMULA_CAP);
	buf_text(&w.b, "(0");
	add_maker(&w, e->item, raw, HERE(*g, row, LOG_MAKINGS), 0);
	buf_text(&w.b, ")/60");
	if (w.b.len <= FORMULA_MOST)
		page_live(g, row, LOG_RECIPE, minutes, "%s", w.b.data);
	else
		page_number(g, row, LOG_RECIPE, minutes);
	buf_release(&w.b);
}

static void log_row(struct pages *p, uint32_t row, const struct log_entry *e)
{
	const struct page *g = &p->log;
	double makes = recipe_of(p->farm, e->item).makes, recipe = bench_recipe_seconds(p->farm, e) / MINUTE;
	bool counted = !isnan(e->minutes) && recipe > 0;
	const char *made = HERE(*g, row, LOG_MADE), *minutes = HERE(*g, row, LOG_MINUTES);
	const char *raw = makes > 1 || makes < 1 ? text_of(p, "%s/%s", made, number_ref(p, makes)) : made;
	const char *against = HERE(*g, row, LOG_RECIPE);
	page_date(g, row, LOG_ON, e->on);
	page_text(g, row, LOG_WHAT, item_name(p->farm, e->item));
	page_number(g, row, LOG_MADE, e->count);
	page_live(g, row, LOG_MAKINGS, (double)loss_cover(bench_makings(p->farm, e)),
		  "-INT(-(%s-" WHOLE_GUARD "))", raw);
	page_number(g, row, LOG_MINUTES, e->minutes);
	recipe_cell(p, row, e, raw);
	page_live(g, row, LOG_COUNTED, counted ? e->minutes : 0, "IF(AND(ISNUMBER(%s),%s>0),%s,0)", minutes,
		  against, minutes);
	page_live(g, row, LOG_AGAINST, counted ? recipe : 0, "IF(AND(ISNUMBER(%s),%s>0),%s,0)", minutes, against,
		  against);
}

/* ---- by part or piece and month ---- */

/* What a stem of it should cost, as variances_reckon() takes it; nothing known is 0. */
static const char *stem_price(struct pages *p, uint32_t crop)
{
	const struct crop *c = &p->farm->crops[crop];
	if (c->cost.given)
		return fig_ref(p, &c->cost);
	if (c->bought.given)
		return fig_ref(p, &c->bought);
	return text_of(p, "N(%s)", AT(p->stems, ROW_FIRST + crop, STEMS_PER_BOXED));
}

static void money_or_value(const struct page *g, uint32_t row, uint32_t col, double value, const struct buf *b)
{
	if (b->len && b->len <= FORMULA_MOST)
		page_live(g, row, col, value, "%s", b->data);
	else
		page_number(g, row, col, value);
}

/* Summed over its crops, term by term. */
static void stem_cells(struct pages *p, uint32_t row, const struct made *m)
{
	const struct page *g = &p->took;
	struct buf more, dearer;
	buf_init(&more, FORMULA_CAP);
	buf_init(&dearer, FORMULA_CAP);
	for (size_t i = 0; i < m->nuses; i++) {
		const struct stem_use *u = &m->uses[i];
		double kept = 1 - p->farm->crops[u->crop].loss[STAGE_BENCH].v;
		const char *price = stem_price(p, u->crop);
		buf_printf(&more, "+(%s-%s/(1-%s))*%s", number_ref(p, u->drawn), number_ref(p, u->recipe * kept),
			   loss_line_ref(p, u->crop, STAGE_BENCH), price);
		if (u->bought > 0)
			buf_printf(&dearer, "+%s-%s*%s", number_ref(p, u->paid), number_ref(p, u->bought),
				   price);
	}
	money_or_value(g, row, TOOK_STEMS, m->usage, &more);
	money_or_value(g, row, TOOK_DEARER, m->price, &dearer);
	buf_release(&more);
	buf_release(&dearer);
}

static void took_row(struct pages *p, uint32_t row, const struct made *m)
{
	const struct page *g = &p->took;
	uint32_t first = ROW_FIRST + (uint32_t)m->first, last = first + (uint32_t)m->lines - 1;
	const char *took = HERE(*g, row, TOOK_MINUTES), *recipe = HERE(*g, row, TOOK_RECIPE);
	page_text(g, row, TOOK_WHAT, item_name(p->farm, m->item));
	page_words(g, row, TOOK_KIND, kind_name(m->item.kind));
	page_words(g, row, TOOK_MONTH, text_of(p, "%04d-%02d", m->year, m->month));
	page_live(g, row, TOOK_MADE, m->count, "SUM(%s)", cells_far(p->log.s, first, last, LOG_MADE));
	page_number(g, row, TOOK_ENTRIES, (double)m->lines);
	page_number(g, row, TOOK_UNSAID, m->unsaid ? (double)m->unsaid : (double)NAN);
	page_live(g, row, TOOK_MINUTES, m->minutes, "SUM(%s)", cells_far(p->log.s, first, last, LOG_COUNTED));
	page_live(g, row, TOOK_RECIPE, m->recipe_minutes, "SUM(%s)",
		  cells_far(p->log.s, first, last, LOG_AGAINST));
	page_live_or(g, row, TOOK_OVER, m->recipe_minutes > 0 ? m->minutes / m->recipe_minutes - 1 : (double)NAN,
		     "", "IF(%s>0,%s/%s-1,\"\")", recipe, took, recipe);
	page_live(g, row, TOOK_LONGER, m->efficiency, "(%s-%s)/60*" NAME_WAGE, took, recipe);
	stem_cells(p, row, m);
}

static void took_sums(struct pages *p, uint32_t row)
{
	struct page g = p->took;
	double sums[TOOK_DEARER + 1] = { 0 };
	for (size_t i = 0; i < p->r->took.nmonths; i++) {
		const struct made *m = &p->r->took.months[i];
		sums[TOOK_MINUTES] += m->minutes;
		sums[TOOK_RECIPE] += m->recipe_minutes;
		sums[TOOK_LONGER] += m->efficiency;
		sums[TOOK_STEMS] += m->usage;
		sums[TOOK_DEARER] += m->price;
	}
	g.style = STYLE_TOTAL;
	for (uint32_t c = 0; c < g.table->ncolumns; c++)
		page_blank(&g, row, c);
	page_words(&g, row, TOOK_WHAT, "Together");
	for (uint32_t c = TOOK_MINUTES; c <= TOOK_DEARER; c++) {
		if (c != TOOK_OVER)
			page_live(&g, row, c, sums[c], "SUM(%s)", cells_down(g.s, ROW_FIRST, row - 1, c));
	}
}

/* ---- next runs ---- */

static void next_row(struct pages *p, uint32_t row, const struct skill *s)
{
	static const char *const basis[] = { "mean", "own curve", "farm's curve" };
	const struct page *g = &p->next;
	bool few = s->nruns < LEARN_RUNS, off = !isnan(s->suggests);
	page_text(g, row, NEXT_WHAT, item_name(p->farm, s->item));
	page_number(g, row, NEXT_RUNS, (double)s->nruns);
	page_number(g, row, NEXT_COUNT, s->next_count * recipe_of(p->farm, s->item).makes);
	page_number(g, row, NEXT_MINUTES, s->next.time);
	page_number(g, row, NEXT_LOW, few ? (double)NAN : s->next.i80.low);
	page_number(g, row, NEXT_HIGH, few ? (double)NAN : s->next.i80.high);
	page_number(g, row, NEXT_RECIPE, s->next_recipe);
	page_words(g, row, NEXT_BASIS, basis[s->next.from]);
	page_number(g, row, NEXT_LOG, s->suggests / MINUTE);
	page_number(g, row, NEXT_SAID, off ? s->recipe_seconds / MINUTE : (double)NAN);
}

static void next_page(struct pages *p)
{
	uint32_t row = ROW_FIRST;
	for (size_t i = 0; i < p->r->skills.n; i++) {
		if (p->r->skills.items[i].nruns)
			next_row(p, row++, &p->r->skills.items[i]);
	}
	if (row == ROW_FIRST)
		page_nothing(&p->next, "The bench log has no minutes.");
	page_end(&p->next, row, 1);
}

void took_pages(struct pages *p)
{
	const struct variances *took = &p->r->took;
	uint32_t lines = ROW_FIRST + (uint32_t)took->nlines, months = ROW_FIRST + (uint32_t)took->nmonths;
	for (size_t i = 0; i < took->nlines; i++)
		log_row(p, ROW_FIRST + (uint32_t)i, took->lines[i]);
	for (size_t i = 0; i < took->nmonths; i++)
		took_row(p, ROW_FIRST + (uint32_t)i, &took->months[i]);
	if (took->nmonths)
		took_sums(p, months);
	if (!took->nlines) {
		page_nothing(&p->log, "Nothing was made, by the bench log.");
		page_nothing(&p->took, "Nothing was made, by the bench log.");
	}
	page_end(&p->log, lines, 2);
	page_end(&p->took, months, 1);
	next_page(p);
}
