/* of_cost.c - what a stem, a part and a piece cost, and what goes in. */
#include <math.h>

#include "base/number.h"
#include "farm/measure.h"
#include "report/of.h"

static const struct column piece_columns[] = {
	{ "piece", "piece", TYPE_TEXT, 0, "text", "name of the piece" },
	{ "stems", "stems", TYPE_MONEY, COL_PART, "money", "dried stems, those in its parts too" },
	{ "supplies", "supplies", TYPE_MONEY, COL_PART, "money",
	  "supplies, those in its parts too" },
	{ "labour", "labour", TYPE_MONEY, COL_PART, "money",
	  "bench time at the wage with what the employer adds" },
	{ "overhead", "overhead", TYPE_MONEY, COL_PART, "money",
	  "bench time at the overhead of an hour" },
	{ "total", "total", TYPE_MONEY, COL_SUM, "money", "cost of making one" },
	{ "total_today", "today", TYPE_MONEY, COL_SUPPOSED, "money", "total without --suppose" },
	{ "minutes", "minutes", TYPE_TENTH, 0, "min", "bench time of one, settings-up shared out" },
	{ "setting_up", "setting up", TYPE_TENTH, COL_MACHINE, "min", "of these: settings-up" },
	{ "run", "run", TYPE_COUNT, COL_MACHINE, "each",
	  "run length that settings-up are shared over" },
	{ "complete", "complete", TYPE_FLAG, COL_MACHINE, "true or false",
	  "every material has a price" },
	{ "missing", "note", TYPE_TEXT, COL_PEOPLE | COL_MAYBE, "text", "" },
};
const struct table_def COST_PIECES = { "cost",
				       "pieces",
				       "What a piece costs",
				       piece_columns,
				       sizeof piece_columns / sizeof piece_columns[0],
				       false };

static const struct column part_columns[] = {
	{ "part", "part", TYPE_TEXT, 0, "text", "name of the part" },
	{ "unit", "unit", TYPE_TEXT, 0, "text",
	  "what one of it is: all money is for one such unit" },
	{ "stems", "stems", TYPE_MONEY, COL_PART, "money", "dried stems" },
	{ "supplies", "supplies", TYPE_MONEY, COL_PART, "money", "supplies" },
	{ "labour", "labour", TYPE_MONEY, COL_PART, "money",
	  "bench time at the wage with what the employer adds" },
	{ "overhead", "overhead", TYPE_MONEY, COL_PART, "money",
	  "bench time at the overhead of an hour" },
	{ "total", "total", TYPE_MONEY, COL_SUM, "money", "cost of one unit" },
	{ "total_today", "today", TYPE_MONEY, COL_SUPPOSED, "money", "total without --suppose" },
	{ "minutes", "minutes", TYPE_TENTH, 0, "min", "bench time of one unit" },
	{ "complete", "complete", TYPE_FLAG, COL_MACHINE, "true or false",
	  "every material has a price" },
	{ "missing", "note", TYPE_TEXT, COL_PEOPLE | COL_MAYBE, "text", "" },
};
const struct table_def COST_PARTS = { "cost",
				      "parts",
				      "Made-ahead parts, each",
				      part_columns,
				      sizeof part_columns / sizeof part_columns[0],
				      false };

static const struct column stem_columns[] = {
	{ "crop", "crop", TYPE_TEXT, 0, "text", "name of the crop" },
	{ "per_boxed", "boxed\nstem", TYPE_MONEY, COL_FINE, "money per stem", "one stem as boxed" },
	{ "per_usable", "usable\nstem", TYPE_MONEY, COL_FINE, "money per stem",
	  "one stem that reaches a piece: storage and bench losses borne" },
	{ "per_usable_today", "today", TYPE_MONEY, COL_FINE | COL_SUPPOSED, "money per stem",
	  "per_usable without --suppose" },
	{ "kept", "kept\n%", TYPE_PERCENT, 0, "fraction", "boxed stems that reach a piece" },
	{ "from", "from", TYPE_TEXT, 0, "text", "box, bed, crop line, or mixed" },
	{ "basis", "basis", TYPE_TEXT, 0, "text",
	  "measured (counted beds, paid prices) or assumed" },
	{ "lost", "lost\nbeyond\nnormal", TYPE_COUNT, COL_MAYBE, "stems",
	  "boxed short of what the loses line lets expect; negative: more than that; empty: no "
	  "bed of it was counted" },
	{ "lost_money", "their\nmoney", TYPE_MONEY, COL_MAYBE, "money",
	  "lost at the boxed stem's cost; in no other figure" },
};
const struct table_def COST_STEMS = { "cost",
				      "stems",
				      "What a dried stem costs",
				      stem_columns,
				      sizeof stem_columns / sizeof stem_columns[0],
				      false };

static const struct column need_columns[] = {
	{ "label", "what", TYPE_TEXT, COL_PEOPLE, "text", "" },
	{ "of", "of", TYPE_TEXT, COL_MACHINE, "text", "name of the piece or part it goes in" },
	{ "what", "what", TYPE_TEXT, COL_MACHINE, "text",
	  "crop, supply, part, or label of the work" },
	{ "kind", "kind", TYPE_TEXT, COL_MACHINE, "text", "crop, supply, part, work or overhead" },
	{ "colours", "colours", TYPE_TEXT, COL_MACHINE, "text",
	  "colours that it may have; empty: any" },
	{ "count", "count", TYPE_NUMBER, 0, "see unit", "for one making" },
	{ "unit", "unit", TYPE_TEXT, 0, "text", "unit of count" },
	{ "each", "each", TYPE_MONEY, COL_FINE, "money per unit", "money of one unit" },
	{ "money", "money", TYPE_MONEY, 0, "money", "count times each" },
	{ "from", "where from", TYPE_TEXT, COL_MAYBE, "text",
	  "for a crop: what its cost rests on" },
};
const struct table_def COST_NEEDS = { "cost",
				      "needs",
				      "What goes in (with --of a piece or part)",
				      need_columns,
				      sizeof need_columns / sizeof need_columns[0],
				      false };

static const struct column bed_columns[] = {
	{ "bed", "", TYPE_TEXT, 0, "text", "its mark in beds.csv" },
	{ "crop", "crop", TYPE_TEXT, COL_MACHINE, "text", "name of the crop" },
	{ "spent", "spent on the bed", TYPE_MONEY, COL_PART, "money",
	  "seed, plugs, feed, netting" },
	{ "growing", "growing hours at the wage", TYPE_MONEY, COL_PART, "money",
	  "growing hours at the wage" },
	{ "land", "its metres of bed", TYPE_MONEY, COL_PART | COL_MAYBE, "money",
	  "the field's share" },
	{ "cutting", "cutting", TYPE_MONEY, COL_PART, "money", "cutting hours at the wage" },
	{ "establishment", "this year's share of planting", TYPE_MONEY, COL_PART | COL_MAYBE,
	  "money", "establishment over the bearing years" },
	{ "joint", "together", TYPE_MONEY, COL_SUM | COL_RULE, "money",
	  "joint cost, fresh and dried" },
	{ "fresh", "stems sold fresh", TYPE_COUNT, 0, "stems", "stems sold fresh" },
	{ "hung", "stems left to hang", TYPE_COUNT, 0, "stems", "stems cut less stems sold fresh" },
	{ "share", "share of the hung stems, %", TYPE_PERCENT, 0, "fraction",
	  "of the joint cost that the hung stems bear" },
	{ "dried_joint", "borne by the hung stems", TYPE_MONEY, COL_PART | COL_RULE, "money",
	  "share times joint" },
	{ "dry_labour", "stripping to boxing", TYPE_MONEY, COL_PART, "money",
	  "drying work at the wage" },
	{ "dry_money", "bands and boxes", TYPE_MONEY, COL_PART | COL_MAYBE, "money",
	  "bands and boxes" },
	{ "dried", "dried stems in all", TYPE_MONEY, COL_SUM | COL_RULE, "money",
	  "cost of the dried stems" },
	{ "normal_boxed", "stems boxed at normal loss", TYPE_COUNT, 0, "stems",
	  "stems that the loses line lets expect in the box" },
	{ "per_boxed", "a boxed stem", TYPE_MONEY, COL_FINE, "money per stem",
	  "dried over normal_boxed" },
	{ "boxed", "stems boxed as counted", TYPE_COUNT, COL_RULE, "stems", "empty: not counted" },
	{ "lost", "lost beyond normal", TYPE_COUNT, 0, "stems", "normal_boxed less boxed" },
	{ "lost_money", "their money", TYPE_MONEY, 0, "money",
	  "lost at per_boxed; in no other figure" },
};
const struct table_def COST_BEDS = { "cost",
				     "beds",
				     "Bed by bed (with --of a crop)",
				     bed_columns,
				     sizeof bed_columns / sizeof bed_columns[0],
				     true };

/* ---- pieces and parts ---- */

static void put_make_cost(struct table *t, const struct make_cost *c, const struct make_cost *today)
{
	put_number(t, "stems", c->stems);
	put_number(t, "supplies", c->supplies);
	put_number(t, "labour", c->labour);
	put_number(t, "overhead", c->overhead);
	put_number(t, "total", c->total);
	if (today)
		put_number(t, "total_today", today->total);
	put_number(t, "minutes", c->seconds / 60);
	put_flag(t, "complete", c->complete);
	if (!c->complete)
		put_word(t, "missing", "too low");
}

static void pieces(struct report *r, const struct view *v)
{
	const struct farm *f = v->now->farm;
	struct table *t = report_table(r, &COST_PIECES);
	t->empty = "The farm has no pieces yet.";
	for (uint32_t i = 0; i < f->npieces; i++) {
		const struct make_cost *c = &v->now->costs.pieces[i];
		if (!choice_has(&v->choice, KIND_PIECE, i))
			continue;
		table_row(t);
		put_text(t, "piece", f->pieces[i].head.name);
		put_make_cost(t, c, v->today ? &v->today->costs.pieces[i] : NULL);
		put_number(t, "setting_up", c->setup_seconds / 60);
		put_number(t, "run", (double)c->run);
	}
}

static void parts(struct report *r, const struct view *v)
{
	const struct farm *f = v->now->farm;
	struct table *t = report_table(r, &COST_PARTS);
	for (uint32_t i = 0; i < f->nparts; i++) {
		if (!choice_has(&v->choice, KIND_PART, i))
			continue;
		table_row(t);
		put_text(t, "part", f->parts[i].head.name);
		put_text(t, "unit", f->parts[i].unit);
		put_make_cost(t, &v->now->costs.parts[i],
			      v->today ? &v->today->costs.parts[i] : NULL);
	}
}

/* ---- stems ---- */

/* People see a gain in words, not as a loss of minus 20. */
static void put_lost(struct table *t, double stems, double money)
{
	put_number(t, "lost", stems);
	put_number(t, "lost_money", money);
	if (money_minor(stems, 0) < 0)
		put_instead(
		    t, "lost",
		    report_printf(t->report->arena, "%lld less", (long long)-money_minor(stems, 0))
			.p);
}

/* What was lost beyond normal is known of beds whose boxed stems were counted. */
static bool counted(const struct stemcosts *all, const struct stem_cost *c)
{
	for (size_t i = 0; i < c->nbeds; i++) {
		if (!isnan(all->beds[c->beds[i]].boxed))
			return true;
	}
	return false;
}

static void stem_row(struct table *t, const struct view *v, uint32_t crop)
{
	const struct stem_cost *c = &v->now->stems.crops[crop];
	table_row(t);
	put_text(t, "crop", v->now->farm->crops[crop].head.name);
	put_number(t, "per_boxed", c->per_boxed);
	put_number(t, "per_usable", c->per_usable);
	if (v->today)
		put_number(t, "per_usable_today", v->today->stems.crops[crop].per_usable);
	if (c->source == COST_NONE) {
		put_word(t, "from", "no cost known");
		return;
	}
	put_number(t, "kept", c->survival);
	put_word(t, "from", cost_source_name(c->source));
	put_word(t, "basis", c->measured ? "measured" : "assumed");
	if (counted(&v->now->stems, c))
		put_lost(t, c->abnormal_stems, c->abnormal_money);
}

static void stems(struct report *r, const struct view *v)
{
	struct table *t = report_table(r, &COST_STEMS);
	for (uint32_t i = 0; i < v->now->farm->ncrops; i++) {
		if (choice_has(&v->choice, KIND_CROP, i))
			stem_row(t, v, i);
	}
}

/* ---- what goes in ---- */

struct maker { /* a piece or a part, for its card */
	struct str name;
	const struct need *needs;
	const struct task *tasks;
	size_t ntasks;
	const struct make_cost *cost;
};

static struct str need_label(struct report *r, const struct farm *f, const struct need_option *o)
{
	struct str name = of_item_name(f, o->item);
	struct str colours = of_colours(r, f, o->colours, o->ncolours, o->one_colour);
	struct str label =
	    colours.n ? report_printf(r->arena, "%.*s, %.*s", STR_ARG(name), STR_ARG(colours))
		      : name;
	if (o->from > 0)
		label = report_printf(r->arena, "%.*s, from %.*s", STR_ARG(label),
				      STR_ARG(of_length(r, o->from)));
	if (o->to > 0)
		label = report_printf(r->arena, "%.*s to %.*s", STR_ARG(label),
				      STR_ARG(of_length(r, o->to)));
	return label;
}

static void need_row(struct table *t, const struct farm *f, const struct maker *m, size_t i)
{
	const struct cost_line *line = &m->cost->lines[i];
	const struct need_option *o = &m->needs[line->need].options[line->option];
	table_row(t);
	put_text(t, "label", need_label(t->report, f, o));
	put_text(t, "of", m->name);
	put_text(t, "what", of_item_name(f, line->item));
	put_word(t, "kind", kind_name(line->item.kind));
	put_text(t, "colours", of_colours(t->report, f, o->colours, o->ncolours, o->one_colour));
	put_number(t, "count", line->count);
	put_text(t, "unit", measure_base(f, line->item));
	bool part = line->item.kind == KIND_PART;
	put_number(t, "each", line->known || part ? line->each : NAN);
	put_number(t, "money", line->known || part ? line->money : NAN);
	if (!line->known && !part)
		put_instead(t, "each", "not known");
	if (line->item.kind == KIND_CROP && line->known)
		put_word(t, "from", cost_source_name(line->source));
	else if (part)
		put_word(t, "from", line->known ? "made ahead" : "too low");
}

static void work_row(struct table *t, const struct maker *m, const struct task *task, double wage)
{
	struct report *r = t->report;
	double seconds = task->seconds.v;
	struct str label = task->label.n ? task->label : STR("work");
	table_row(t);
	put_text(t, "what", label);
	if (task->batch.given && task->batch.v > 0) {
		label =
		    report_printf(r->arena, "%.*s, shared by %.0f", STR_ARG(label), task->batch.v);
		seconds /= task->batch.v;
	}
	put_text(t, "label", label);
	put_text(t, "of", m->name);
	put_word(t, "kind", "work");
	put_number(t, "count", seconds / 60);
	put_word(t, "unit", "min");
	put_number(t, "each", wage / 60);
	put_number(t, "money", seconds / SECONDS_PER_HOUR * wage);
}

static void overhead_row(struct table *t, const struct maker *m, double seconds, double rate)
{
	if (rate <= 0 || seconds <= 0)
		return;
	table_row(t);
	put_word(t, "label", "overhead");
	put_text(t, "of", m->name);
	put_word(t, "what", "overhead");
	put_word(t, "kind", "overhead");
	put_number(t, "count", seconds / 60);
	put_word(t, "unit", "min");
	put_number(t, "each", rate / 60);
	put_number(t, "money", seconds / SECONDS_PER_HOUR * rate);
}

static void needs_card(struct report *r, const struct view *v, const struct maker *m,
		       struct str unit)
{
	const struct costs *costs = &v->now->costs;
	struct table *t = report_table(r, &COST_NEEDS);
	t->title = unit.n
		       ? report_printf(r->arena, "What goes in: %.*s, one making", STR_ARG(m->name))
		       : report_printf(r->arena, "What goes in: %.*s", STR_ARG(m->name));
	for (size_t i = 0; i < m->cost->nlines; i++)
		need_row(t, v->now->farm, m, i);
	for (size_t i = 0; i < m->ntasks; i++)
		work_row(t, m, &m->tasks[i], costs->wage);
	double setup;
	overhead_row(t, m, labour_unit_seconds(m->tasks, m->ntasks, &setup), costs->overhead_rate);
	table_total(t);
	put_word(t, "label", "total");
	put_number(t, "money", m->cost->total * m->cost->makes);
	if (unit.n && m->cost->makes != 1) {
		table_head(t);
		put_word(t, "label", "for one unit of it");
		put_number(t, "count", 1);
		put_text(t, "unit", unit);
		put_number(t, "each", m->cost->total);
	}
}

static void cards(struct report *r, const struct view *v)
{
	const struct farm *f = v->now->farm;
	for (size_t i = 0; i < v->choice.nitems; i++) {
		struct item item = v->choice.items[i];
		if (item.kind == KIND_PIECE) {
			const struct piece *p = &f->pieces[item.index];
			struct maker m = { p->head.name, p->needs, p->tasks, p->ntasks,
					   &v->now->costs.pieces[item.index] };
			needs_card(r, v, &m, STR_NONE);
		} else if (item.kind == KIND_PART) {
			const struct part *p = &f->parts[item.index];
			struct maker m = { p->head.name, p->needs, p->tasks, p->ntasks,
					   &v->now->costs.parts[item.index] };
			needs_card(r, v, &m, p->unit);
		}
	}
}

/* ---- bed by bed ---- */

static void bed_row(struct table *t, const struct farm *f, const struct bed_cost *b)
{
	const struct bed *bed = &f->beds[b->bed];
	table_row(t);
	put_text(t, "bed", bed->id);
	put_text(t, "crop", f->crops[bed->crop].head.name);
	put_number(t, "spent", b->money);
	put_number(t, "growing", b->growing_labour);
	put_number(t, "land", b->land);
	put_number(t, "cutting", b->cutting);
	put_number(t, "establishment", b->establishment);
	put_number(t, "joint", b->joint);
	put_number(t, "fresh", b->fresh);
	put_number(t, "hung", b->to_hang);
	put_number(t, "share", b->share);
	put_number(t, "dried_joint", b->share * b->joint);
	put_number(t, "dry_labour", b->dry_labour);
	put_number(t, "dry_money", b->dry_money);
	put_number(t, "dried", b->dried);
	put_number(t, "normal_boxed", b->normal_boxed);
	put_number(t, "per_boxed", b->per_boxed);
	put_number(t, "boxed", b->boxed);
	if (isnan(b->boxed)) {
		put_instead(t, "boxed", "not counted");
		return;
	}
	put_lost(t, b->abnormal_stems, b->abnormal_money);
}

static void beds(struct report *r, const struct view *v)
{
	static const char *const rules[] = { "by stems", "by what they sell for fresh and to hang",
					     "by what is left of the dried price after drying" };
	const struct farm *f = v->now->farm;
	for (size_t i = 0; i < v->choice.nitems; i++) {
		struct item item = v->choice.items[i];
		if (item.kind != KIND_CROP)
			continue;
		struct str name = f->crops[item.index].head.name;
		const struct stem_cost *c = &v->now->stems.crops[item.index];
		struct table *t = report_table(r, &COST_BEDS);
		t->title = report_printf(r->arena, "%.*s, bed by bed; shared %s", STR_ARG(name),
					 rules[f->business.share]);
		for (size_t k = 0; k < c->nbeds; k++)
			bed_row(t, f, &v->now->stems.beds[c->beds[k]]);
		if (!c->nbeds)
			report_verdict(r, "No bed of %.*s stands in beds.csv.", STR_ARG(name));
	}
}

static void hour_sentence(struct report *r, const struct costs *c)
{
	struct buf b;
	if (c->wage <= 0 && c->overhead_rate <= 0)
		return;
	buf_init(&b, REPORT_WIDTH);
	buf_text(&b, "wage ");
	number_print(&b, c->wage, r->digits);
	buf_text(&b, " with the employer's share, overhead ");
	number_print(&b, c->overhead_rate, r->digits);
	report_sentence(r, "An hour at the bench: %s.", b.data);
	buf_release(&b);
}

void of_cost(struct report *r, const struct view *v)
{
	of_title(r, "cost");
	hour_sentence(r, &v->now->costs);
	if (choice_wants(&v->choice, KIND_PIECE))
		pieces(r, v);
	parts(r, v);
	cards(r, v);
	stems(r, v);
	beds(r, v);
	of_remarks(r, v);
}
