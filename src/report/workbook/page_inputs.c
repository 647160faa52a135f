/* page_inputs.c - every figure that the farm gives, each in a cell with a name.
 *
 * Other pages ask for a figure by its place in the model (fig_ref) and get the name
 * of its cell; so this page is written last, when it is known which cells anything
 * rests on.  Only those are marked as inputs. */
#include <math.h>

#include "base/buf.h"
#include "report/workbook/pages.h"

enum {
	COL_OF,
	COL_FIGURE,
	COL_VALUE,
	COL_UNIT,
	COL_WRITTEN,
	COL_MOVES,
	COL_NAME,
	COL_WHERE,
	COL_MEANING
};
enum {
	SLUG_MOST = 1000,
	/* A name longer than these is cut in its middle; room is left for a number. */
	SLUG_HEAD = 60,
	SLUG_TAIL = 50
};

static const struct book_column columns[] = {
	{ "of", "Of", "", SHAPE_TEXT, 24, ORIGIN_VALUE, NULL },
	{ "figure", "Figure", "", SHAPE_TEXT, 24, ORIGIN_VALUE,
	  "What it is called with --suppose, behind the name to its left." },
	{ "value", "Value", "", SHAPE_FREE, 13, ORIGIN_INPUT,
	  "Change the yellow cells and the sheets follow at once, but for Reach, Best mix, Pull list, Sowing calendar "
	  "and Drying line, and for how many stems the Planting plan and the Targets ask: those say when they are stale. "
	  "The farm's own files stay as they are." },
	{ "unit", "Unit", "", SHAPE_LABEL, 17, ORIGIN_VALUE, NULL },
	{ "written", "When written", "", SHAPE_FREE, 13, ORIGIN_VALUE,
	  "The value when this workbook was written: type it in again to go back." },
	{ "moves", "What rests on it", "", SHAPE_LABEL, 18, ORIGIN_VALUE,
	  "formulas: they follow. reach, mix (and the pull list), plan (and the sowing calendar, growing costs, "
	  "targets and the drying line): found before, do not follow, and say that they are stale. nothing: no sheet of this workbook "
	  "uses it." },
	{ "name", "Name of the cell", "", SHAPE_TEXT, 34, ORIGIN_VALUE,
	  "Formulas call the cell by this name, and you can too." },
	{ "where", "Stands in", "", SHAPE_TEXT, 26, ORIGIN_VALUE,
	  "File and line of the farm's folder." },
	{ "meaning", "Meaning", "", SHAPE_TEXT, 60, ORIGIN_VALUE, NULL },
};
const struct book_table inputs_table = { "Inputs",
					 "Every figure that the farm gives. Change a yellow cell "
					 "and costs, prices, margins and earnings "
					 "follow.",
					 columns, sizeof columns / sizeof columns[0] };

/* ---- what the solved sheets rest on, by kind of figure ---- */

/* The choice of the mix: what sells, what that costs, stems and hours that there are. */
static struct input_kind kind_anew(const struct figure_kind *kind)
{
	static const char *const kinds[] = {
		"wage",		 "wage.burden",	   "bench",	    "crop.carries",  "supply.cost",
		"part.task",	 "part.batch",	   "piece.task",    "piece.batch",   "piece.packing",
		"piece.carton",	 "piece.weight",   "piece.tax",	    "offer.price",   "offer.likely",
		"offer.upto",	 "outlet.fee",	   "outlet.fixed",  "outlet.order",  "outlet.sending",
		"outlet.charges", "outlet.spoils", "outlet.tax",    "stall.money",   "stall.hours",
		"stall.days",	 "stall.km",	   "stall.rate",
	};
	/* The mix rests on these, whether a formula does or not. */
	static const char *const own[] = { "bench", "crop.carries", "offer.upto", "offer.likely",
					   "stall.days" };
	static const char *const planned[] = {
		"loss.field", "loss.drying", "loss.storage", "loss.bench", "loss.weight", "crop.keeps",
		"crop.reserve", "crop.bought", "hang.bundle", "hang.line", "lie.stems", "dry.days", "box.stems",
		"work.cut", "work.strip", "work.bundle", "work.hang", "work.box", "spend.bundle", "spend.box",
		"sow.germination", "sow.seeds", "plant.live", "cut.days", "cut.stems", "cut.low", "cut.high",
		"stand.years", "stand.money", "target.count", "target.sure", "outlet.spoils",
	};
	struct input_kind out = { .kind = kind };
	for (size_t i = 0; i < sizeof kinds / sizeof kinds[0]; i++)
		out.mix = out.mix || strcmp(kinds[i], kind->id) == 0;
	for (size_t i = 0; i < sizeof own / sizeof own[0]; i++)
		out.mix_alone = out.mix_alone || strcmp(own[i], kind->id) == 0;
	for (size_t i = 0; i < sizeof planned / sizeof planned[0]; i++)
		out.plan = out.plan || strcmp(planned[i], kind->id) == 0;
	return out;
}

/* Figures come by kind: the last one is likely. */
static uint32_t kind_at(struct pages *p, const struct figure_kind *kind)
{
	size_t i = p->nkinds;
	while (i > 0 && p->kinds[i - 1].kind != kind)
		i--;
	if (i)
		return (uint32_t)i - 1;
	*ARENA_PUSH(p->arena, p->kinds, p->nkinds, p->cap_kinds) = kind_anew(kind);
	return (uint32_t)p->nkinds - 1;
}

/* ---- layout: rows and names ---- */

/* in_ and the path in small ASCII letters, digits and single _. */
static const char *slug(struct pages *p, struct str path)
{
	struct buf b;
	buf_init(&b, SLUG_MOST);
	buf_text(&b, "in_");
	for (size_t i = 0; i < path.n; i++) {
		char c = path.p[i];
		if (c >= 'A' && c <= 'Z')
			c = (char)(c - 'A' + 'a');
		if ((c >= 'a' && c <= 'z') || (c >= '0' && c <= '9'))
			buf_char(&b, c);
		else if (b.data[b.len - 1] != '_')
			buf_char(&b, '_');
	}
	while (b.len > 3 && b.data[b.len - 1] == '_')
		b.data[--b.len] = '\0';
	if (b.len > SLUG_HEAD + SLUG_TAIL + 1) { /* both ends tell most: name and figure */
		b.data[SLUG_HEAD] = '_';
		memmove(b.data + SLUG_HEAD + 1, b.data + b.len - SLUG_TAIL, SLUG_TAIL + 1);
		b.len = SLUG_HEAD + 1 + SLUG_TAIL;
	}
	for (size_t i = 0; i < b.len; i++) {
		if (b.data[i] == '_' && cell_escape_at(buf_slice(&b), i))
			b.data[i] = '.';
	}
	const char *name = arena_copy(p->arena, b.data, b.len);
	buf_release(&b);
	return name;
}

static int by_subject(const void *x, const void *y)
{
	const struct input *a = x, *b = y;
	const struct item *s = &a->figure->subject, *t = &b->figure->subject;
	enum kind k = a->figure->kind->subject, l = b->figure->kind->subject;
	if (k != l)
		return k < l ? -1 : 1;
	if (k != KIND_FARM && s->index != t->index)
		return s->index < t->index ? -1 : 1;
	return (a->figure > b->figure) - (a->figure < b->figure);
}

/* Where the fig's address is, or a free slot. */
static uint32_t *slot_of(struct pages *p, const struct fig *fig)
{
	uintptr_t key = (uintptr_t)fig;
	uint64_t h = str_hash((struct str){ (const char *)&key, sizeof key });
	size_t i = (size_t)h & (p->cap_slots - 1);
	while (p->input_slots[i] != NONE && p->inputs_list[p->input_slots[i]].figure->fig != fig)
		i = (i + 1) & (p->cap_slots - 1);
	return &p->input_slots[i];
}

static void name_inputs(struct pages *p)
{
	/* The figures come by kind, which makes equal names rare: count from 2 on. */
	for (size_t i = 0; i < p->ninputs; i++) {
		const char *name = slug(p, p->inputs_list[i].figure->path), *free_name = name;
		for (int n = 2; book_name_taken(p->book, free_name); n++)
			free_name = text_of(p, "%s_%d", name, n);
		if (free_name != name)
			free_name = arena_copy(p->arena, free_name, strlen(free_name));
		p->inputs_list[i].name = free_name;
		book_name(p->book, free_name, p->inputs.s, p->inputs_list[i].row, COL_VALUE);
	}
}

/* What a stem or a supply costs: without it nothing is known, which is not 0. */
static bool is_cost(const struct pages *p, const struct figure *f)
{
	if (f->kind->subject == KIND_SUPPLY)
		return true;
	return f->kind->subject == KIND_CROP && f->fig == &p->farm->crops[f->subject.index].cost;
}

/* A crop's cost that no line says: of use only where nothing else tells it. */
static bool of_no_use(const struct pages *p, const struct figure *f)
{
	return f->kind->subject == KIND_CROP && is_cost(p, f) && !f->fig->given &&
	       p->r->stems.crops[f->subject.index].grown_source != COST_NONE;
}

void inputs_lay_out(struct pages *p)
{
	struct figure *all;
	size_t n;
	/* The list hands out places in the model for suppositions; here they are only read. */
	figures_list((struct farm *)(uintptr_t)p->farm, p->arena, &all, &n);
	p->inputs_list = ARENA_ARRAY(p->arena, n, struct input);
	for (size_t i = 0; i < n; i++) {
		if (of_no_use(p, &all[i]))
			continue;
		p->inputs_list[p->ninputs].kind = kind_at(p, all[i].kind);
		p->inputs_list[p->ninputs++].figure = &all[i];
	}
	if (p->ninputs)
		qsort(p->inputs_list, p->ninputs, sizeof *p->inputs_list, by_subject);
	for (p->cap_slots = 64; p->cap_slots < 2 * p->ninputs;)
		p->cap_slots *= 2;
	p->input_slots = ARENA_ARRAY(p->arena, p->cap_slots, uint32_t);
	for (size_t i = 0; i < p->cap_slots; i++)
		p->input_slots[i] = NONE;

	uint32_t row = ROW_FIRST;
	p->date_row = row++;
	p->wage_row = row++;
	p->overhead_row = row++;
	p->changed_row = row++;
	for (size_t i = 0; i < p->ninputs; i++) {
		p->inputs_list[i].row = row++;
		*slot_of(p, p->inputs_list[i].figure->fig) = (uint32_t)i;
	}
	book_name(p->book, NAME_DATE, p->inputs.s, p->date_row, COL_VALUE);
	book_name(p->book, NAME_WAGE, p->inputs.s, p->wage_row, COL_VALUE);
	book_name(p->book, NAME_OVERHEAD, p->inputs.s, p->overhead_row, COL_VALUE);
	name_inputs(p);
}

/* ---- what formulas call it ---- */

/* A percentage is a fraction in both. */
double figure_scale(const struct figure_kind *kind)
{
	return kind->unit == FU_PERCENT ? 1 : figure_shown(kind, 1);
}

/* From box to use a loss stands as it is in use, which records may have moved. */
static bool moved_by_records(const struct pages *p, const struct figure *f, double *rate)
{
	static const enum stage stages[] = { STAGE_STORAGE, STAGE_BENCH };
	for (int i = 0; i < 2 && f->kind->subject == KIND_CROP; i++) {
		uint32_t crop = f->subject.index;
		if (f->fig == &p->farm->crops[crop].loss[stages[i]] &&
		    rates_moved(p->r->stock.rates, p->farm, crop, stages[i])) {
			*rate = rates_at(p->r->stock.rates, crop, stages[i]);
			return true;
		}
	}
	return false;
}

double fig_value(struct pages *p, const struct fig *fig)
{
	uint32_t i = *slot_of(p, fig);
	double v = fig->v;
	if (i != NONE)
		moved_by_records(p, p->inputs_list[i].figure, &v);
	return v;
}

const char *fig_ref(struct pages *p, const struct fig *fig)
{
	uint32_t i = *slot_of(p, fig);
	if (i == NONE)
		return number_ref(p, fig->v);
	struct input *in = &p->inputs_list[i];
	double scale = figure_scale(in->figure->kind);
	in->live = true;
	if (scale >= 1 && scale <= 1)
		return in->name;
	if (scale < 1) /* the factors are whole numbers: 60, 1000, ... */
		return text_of(p, "(%s*%s)", in->name, number_ref(p, round(1 / scale)));
	return text_of(p, "(%s/%s)", in->name, number_ref(p, round(scale)));
}

bool fig_is_input(struct pages *p, const struct fig *fig)
{
	return *slot_of(p, fig) != NONE;
}

const char *fig_written_ref(struct pages *p, const struct fig *fig)
{
	return AT(p->inputs, p->inputs_list[*slot_of(p, fig)].row, COL_WRITTEN);
}

/* The cell, but while it stands as it was written what it stands for. */
static const char *loss_ref(struct pages *p, uint32_t crop, enum stage stage, double means)
{
	const struct fig *fig = &p->farm->crops[crop].loss[stage];
	if (!fig_is_input(p, fig))
		return number_ref(p, means);
	if (fabs(means - fig_value(p, fig)) <= 0)
		return fig_ref(p, fig);
	return text_of(p, "IF(%s=%s,%s,%s)", fig_ref(p, fig), fig_written_ref(p, fig), number_ref(p, means),
		       fig_ref(p, fig));
}

const char *loss_line_ref(struct pages *p, uint32_t crop, enum stage stage)
{
	return loss_ref(p, crop, stage, p->farm->crops[crop].loss[stage].v);
}

const char *loss_used_ref(struct pages *p, uint32_t crop, enum stage stage)
{
	return loss_ref(p, crop, stage, rates_at(p->r->stock.rates, crop, stage));
}

void fig_solved(struct pages *p, const struct fig *fig)
{
	uint32_t i = *slot_of(p, fig);
	if (i != NONE)
		p->inputs_list[i].solved = true;
}

/* ---- what the solved sheets rest on ---- */

static bool of_mix(struct pages *p, const struct input *in)
{
	if (!p->solved || in->solved)
		return p->solved != NULL;
	const struct input_kind *kind = &p->kinds[in->kind];
	/* An aimed price rests on all costs. */
	return kind->mix_alone || ((kind->mix || p->unasked) && in->live);
}

/* The crop is in the planting plan, or hangs. */
static bool is_planned(const struct pages *p, uint32_t crop)
{
	const struct hang *hang = p->solved->hang;
	for (size_t i = 0; hang && i < hang->nlots; i++) {
		if (hang->lots[i].crop == crop)
			return true;
	}
	return p->solved->plan && (p->solved->plan->crops[crop].stems > 0 || p->solved->plan->crops[crop].cut > 0);
}

/* The planting plan, its calendar and the drying line were reckoned from it beforehand. */
static bool of_plan(struct pages *p, const struct input *in)
{
	const struct figure *f = in->figure;
	if (!p->solved || !p->kinds[in->kind].plan)
		return false;
	if (f->kind->subject == KIND_CROP)
		return is_planned(p, f->subject.index);
	return p->solved->plan && p->solved->plan->nlines;
}

static const char *moves_name(unsigned moves)
{
	static const char *const names[INPUT_MOVES] = {
		"nothing", "reach", "mix", "reach, mix", "plan", "reach, plan", "mix, plan", "reach, mix, plan",
		"formulas", "formulas, reach", "formulas, mix", "formulas, reach, mix", "formulas, plan",
		"formulas, reach, plan", "formulas, mix, plan", "formulas, reach, mix, plan",
	};
	return names[moves];
}

static const char *moves_words(struct pages *p, const struct input *in)
{
	return moves_name((in->live ? INPUT_FORMULAS : 0u) | (in->solved ? INPUT_REACH : 0u) |
			  (of_mix(p, in) ? INPUT_MIX : 0u) | (of_plan(p, in) ? INPUT_PLAN : 0u));
}

/* ---- the page ---- */

static bool has_decimals(double x, double most)
{
	return fabs(x * most - round(x * most)) > 1e-6;
}

/* As many decimals as the value needs. */
enum shape figure_shape(const struct pages *p, const struct figure_kind *kind, double v)
{
	enum figure_unit unit = kind->unit;
	if (unit == FU_PERCENT)
		return has_decimals(v, 1000) ? SHAPE_PERCENT_FINE : SHAPE_PERCENT;
	if (unit == FU_MONEY && !has_decimals(v, pow(10, p->farm->business.digits)))
		return SHAPE_MONEY;
	return has_decimals(v, 1e4) ? SHAPE_FOUR : SHAPE_FREE;
}

/* "EUR per h", "%", "min". */
const char *figure_unit(struct pages *p, const struct figure_kind *kind)
{
	const char *unit = kind->unit == FU_MONEY
			       ? text_of(p, "%.*s", STR_ARG(p->farm->business.currency))
			       : figure_unit_name(kind->unit);
	if (!kind->per || !*kind->per)
		return unit;
	return *unit ? text_of(p, "%s %s", unit, kind->per) : kind->per;
}

static const char *place_words(struct pages *p, struct span at)
{
	if (!at.file || !p->diag || at.file > p->diag->nsources)
		return "";
	struct place place = diag_place(p->diag, at);
	return text_of(p, "%.*s:%zu", STR_ARG(p->diag->sources[at.file - 1].name), place.line);
}

/* Without the marks that set off words of the notation. */
static const char *plain(struct pages *p, const char *text)
{
	if (!strchr(text, '`'))
		return text;
	char *out = arena_copy(p->texts, text, strlen(text)), *to = out;
	for (; *text; text++) {
		if (*text != '`')
			*to++ = *text;
	}
	*to = '\0';
	return out;
}

/* "--suppose, today 16.5" */
static const char *supposed_words(struct pages *p, const struct figure *f)
{
	double before = NAN;
	struct buf b;
	for (size_t i = 0; i < p->farm->nsupposed; i++) {
		if (str_eq(p->farm->supposed[i].path, f->path) && isnan(before))
			before = p->farm->supposed[i].before;
	}
	if (isnan(before))
		return "--suppose";
	buf_init(&b, 80);
	buf_text(&b, "--suppose, today ");
	number_print_short(&b, figure_shown(f->kind, before), 6);
	const char *text = arena_copy(p->texts, b.data, b.len);
	buf_release(&b);
	return text;
}

/* "This takes numbers from 0 to 95 (per cent)." */
static const char *limit_words(struct pages *p, const struct figure_kind *kind, double low, double high)
{
	struct buf b;
	double by = kind->unit == FU_PERCENT ? 100 : 1;
	buf_init(&b, 200);
	buf_text(&b, "This takes ");
	if (isfinite(low) && isfinite(high)) {
		buf_text(&b, "numbers from ");
		number_print_short(&b, low * by, 6);
		buf_text(&b, " to ");
		number_print_short(&b, high * by, 6);
	} else if (isfinite(low)) {
		buf_text(&b, "numbers of at least ");
		number_print_short(&b, low * by, 6);
	} else {
		buf_text(&b, "numbers");
	}
	buf_printf(&b, "%s.", kind->unit == FU_PERCENT ? " (per cent)" : "");
	const char *words = arena_copy(p->arena, b.data, b.len);
	buf_release(&b);
	return words;
}

static void limits(struct pages *p, const struct input *in, double scale)
{
	const struct figure_kind *kind = in->figure->kind;
	double low = kind->low * scale, high = kind->high * scale;
	struct input_kind *one = &p->kinds[in->kind];
	if (!one->limits)
		one->limits = limit_words(p, kind, low, high);
	sheet_limit(p->inputs.s, in->row, COL_VALUE, low, high, "Out of range", one->limits);
}

/* NaN: a price that is not known is an empty cell. */
static void value_cells(const struct page *g, uint32_t row, bool used, enum shape shape, double v)
{
	int look = LOOK_OF(used ? STYLE_INPUT : STYLE_FAINT, shape);
	if (isnan(v)) {
		sheet_blank(g->s, row, COL_VALUE, look);
		return;
	}
	sheet_number(g->s, row, COL_VALUE, look, v);
	sheet_number(g->s, row, COL_WRITTEN, LOOK_OF(STYLE_FAINT, shape), v);
}

static const char *where_words(struct pages *p, const struct figure *f, bool unknown)
{
	double rate;
	if (moved_by_records(p, f, &rate) && !f->fig->given)
		return "your records";
	if (moved_by_records(p, f, &rate))
		return text_of(p, "your records, and %s: %.10g%%", place_words(p, f->fig->at),
			       f->fig->v * 100);
	if (f->fig->supposed)
		return supposed_words(p, f);
	if (f->fig->given)
		return place_words(p, f->fig->at);
	return unknown ? "not said: not known"
		       : text_of(p, "not said: %s", number_ref(p, f->fig->v));
}

static void input_row(struct pages *p, const struct input *in, bool starts)
{
	const struct page *g = &p->inputs;
	const struct figure *f = in->figure;
	struct page first = *g;
	first.style = starts ? STYLE_STRONG : STYLE_FAINT;
	double scale = figure_scale(f->kind), v = fig_value(p, f->fig) * scale;
	bool used = in->live || in->solved || of_mix(p, in) || of_plan(p, in);
	bool unknown = !f->fig->given && is_cost(p, f);
	enum shape shape = figure_shape(p, f->kind, v);
	struct str of = f->kind->subject == KIND_FARM ? p->farm->business.head.name : STR_NONE;
	if (f->kind->subject == KIND_OUTLET)
		of = p->farm->outlets[f->subject.index].head.name;
	else if (f->kind->subject != KIND_FARM)
		of = item_name(p->farm, f->subject);
	page_text(&first, in->row, COL_OF, of);
	/* The path less its subject: a task or a price has words of its own. */
	struct str words = f->path;
	if (f->kind->subject != KIND_FARM && words.n > of.n + 1 && !memcmp(words.p, of.p, of.n))
		words = (struct str){ words.p + of.n + 1, words.n - of.n - 1 };
	page_text(g, in->row, COL_FIGURE, words);
	value_cells(g, in->row, used, shape, unknown ? NAN : v);
	page_words(g, in->row, COL_UNIT, figure_unit(p, f->kind));
	page_words(g, in->row, COL_MOVES, moves_words(p, in));
	page_words(g, in->row, COL_NAME, in->name);
	page_words(g, in->row, COL_WHERE, where_words(p, f, unknown));
	page_words(g, in->row, COL_MEANING, plain(p, f->kind->meaning));
	if (used)
		limits(p, in, scale);
}

static void top_row(struct pages *p, uint32_t row, const char *figure, const char *unit,
		    const char *name, const char *meaning)
{
	const struct page *g = &p->inputs;
	struct page first = *g;
	first.style = row == p->date_row ? STYLE_STRONG : STYLE_FAINT;
	page_text(&first, row, COL_OF, p->farm->business.head.name);
	page_words(g, row, COL_FIGURE, figure);
	page_words(g, row, COL_UNIT, unit);
	page_words(g, row, COL_NAME, name);
	page_words(g, row, COL_MEANING, meaning);
}

static void worked_out_rows(struct pages *p)
{
	const struct page *g = &p->inputs;
	const struct business *b = &p->farm->business;
	const char *per_hour = text_of(p, "%.*s per h", STR_ARG(b->currency));
	top_row(p, p->date_row, "date", "", NAME_DATE, "The day for which everything is reckoned.");
	sheet_date(g->s, p->date_row, COL_VALUE, LOOK(INPUT, DATE), p->r->on);
	sheet_date(g->s, p->date_row, COL_WRITTEN, LOOK(FAINT, DATE), p->r->on);
	page_words(g, p->date_row, COL_MOVES, p->solved ? "formulas, reach, mix" : "formulas, reach");
	sheet_limit_dates(g->s, p->date_row, COL_VALUE, date_from_civil(1990, 1, 1),
			  date_from_civil(2199, 12, 31), "No date",
			  "This takes a date: 2026-11-25.");

	top_row(p, p->wage_row, "full wage", per_hour, NAME_WAGE,
		"Worked out: the wage with what comes on top of it.");
	page_words(g, p->wage_row, COL_MOVES, "formulas");
	sheet_formula(g->s, p->wage_row, COL_VALUE, LOOK(PLAIN, FOUR), p->r->costs.wage,
		      "%s*(1+%s)", fig_ref(p, &b->wage), fig_ref(p, &b->wage_burden));

	top_row(p, p->overhead_row, "overhead per hour", per_hour, NAME_OVERHEAD,
		"Worked out: the year's overhead for each hour at the bench.");
	page_words(g, p->overhead_row, COL_MOVES, "formulas");
	const char *hours = fig_ref(p, &b->overhead_hours);
	sheet_formula(g->s, p->overhead_row, COL_VALUE, LOOK(PLAIN, FOUR),
		      p->r->costs.overhead_rate, "IF(%s>0,%s/%s,0)", hours,
		      fig_ref(p, &b->overhead), hours);
}

static void changed_row(struct pages *p)
{
	const struct page *g = &p->inputs;
	uint32_t first = p->changed_row + 1, last = p->changed_row + (uint32_t)p->ninputs;
	top_row(p, p->changed_row, "inputs changed", "", "inputs_changed",
		"Worked out: how many values have been changed here.");
	const char *date = text_of(p, "(%s<>%s)", HERE(p->inputs, p->date_row, COL_VALUE),
				   HERE(p->inputs, p->date_row, COL_WRITTEN));
	if (p->ninputs)
		sheet_formula(g->s, p->changed_row, COL_VALUE, LOOK(PLAIN, WHOLE), 0,
			      "SUMPRODUCT((%s<>%s)*1)+%s*1",
			      cells_down(g->s, first, last, COL_VALUE),
			      cells_down(g->s, first, last, COL_WRITTEN), date);
	else
		sheet_formula(g->s, p->changed_row, COL_VALUE, LOOK(PLAIN, WHOLE), 0, "%s*1", date);
	book_name(p->book, "inputs_changed", g->s, p->changed_row, COL_VALUE);
}

const char *inputs_stale(struct pages *p, unsigned solver)
{
	const struct page *g = &p->inputs;
	uint32_t first = p->changed_row + 1, last = p->changed_row + (uint32_t)p->ninputs;
	const char *date = text_of(p, "(%s<>%s)", AT(*g, p->date_row, COL_VALUE),
				   AT(*g, p->date_row, COL_WRITTEN)),
		   *any = "";
	if (!p->ninputs)
		return text_of(p, "%s*1", date);
	const char *column = cells_far(g->s, first, last, COL_MOVES);
	for (unsigned i = 0; i < INPUT_MOVES; i++) {
		if (i & solver)
			any = text_of(p, "%s%s(%s=\"%s\")", any, *any ? "+" : "", column,
				      moves_name(i));
	}
	return text_of(p, "SUMPRODUCT((%s)*(%s<>%s))+%s*1", any,
		       cells_far(g->s, first, last, COL_VALUE),
		       cells_far(g->s, first, last, COL_WRITTEN), date);
}

static bool same_subject(const struct pages *p, size_t i, size_t k)
{
	const struct figure *a = p->inputs_list[i].figure, *b = p->inputs_list[k].figure;
	return a->kind->subject == b->kind->subject &&
	       (a->kind->subject == KIND_FARM || a->subject.index == b->subject.index);
}

void inputs_page(struct pages *p)
{
	worked_out_rows(p);
	changed_row(p);
	for (size_t i = 0; i < p->ninputs; i++)
		input_row(p, &p->inputs_list[i], i > 0 && !same_subject(p, i, i - 1));
	page_end(&p->inputs, p->changed_row + 1 + (uint32_t)p->ninputs, 3);
	/* What is to the right is for the screen: on paper all would be very small. */
	sheet_print_upright(p->inputs.s, p->changed_row + (uint32_t)p->ninputs, COL_MOVES);
}
