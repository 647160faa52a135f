/* of_beside.c - two farms, or one on two days, side by side. */
#include <math.h>

#include "farm/measure.h"
#include "farm/pair.h"
#include "report/of.h"

/* "first: P, second: Q" of one figure, and the second less the first. */
#define TRIO(key, word, after, type, bits, unit, what)                                             \
	{ key "_first", word "\nfirst" after, type, bits, unit, what " on the first side" },       \
	    { key "_second", "\nsecond" after, type, bits, unit, what " on the second side" },     \
	{                                                                                          \
		key "_difference", "differ-\nence", type, bits, unit,                              \
		    "second less first; empty: not both known, or in different currencies"         \
	}
#define NAMES(key)                                                                                 \
	{ "label", key, TYPE_TEXT, COL_PEOPLE, "", "" },                                           \
	    { key, key, TYPE_TEXT, COL_MACHINE, "text", "its name on the first side; empty: not there" }, \
	{                                                                                          \
		key "_second", "", TYPE_TEXT, COL_MACHINE, "text",                                 \
		    "its name on the second side; empty: not there"                                \
	}
#define DEF(name, title, columns)                                                                  \
	{                                                                                          \
		"beside", name, title, columns, sizeof columns / sizeof columns[0], false          \
	}

static const struct column price_columns[] = {
	{ "piece", "", TYPE_TEXT, COL_MACHINE, "text", "its name on the first side; empty: not there" },
	{ "piece_second", "", TYPE_TEXT, COL_MACHINE, "text",
	  "its name on the second side; empty: not there" },
	NAMES("outlet"),
	TRIO("price", "price", "", TYPE_MONEY, 0, "money",
	     "what the customer pays: asked, else the price point,"),
	TRIO("margin", "margin", ", %", TYPE_PERCENT, 0, "fraction",
	     "left over the price before tax"),
	{ "asked_first", "", TYPE_FLAG, COL_MACHINE, "true or false",
	  "price_first is asked; false: the price point, or none" },
	{ "asked_second", "", TYPE_FLAG, COL_MACHINE, "true or false",
	  "price_second is asked; false: the price point, or none" },
};
const struct table_def BESIDE_PRICES = DEF("prices", "Prices, and what is left", price_columns);

static const struct column cost_columns[] = {
	NAMES("made"),
	{ "kind", "", TYPE_TEXT, COL_MACHINE, "text", "piece or part" },
	TRIO("cost", "cost", "", TYPE_MONEY, 0, "money", "making one, of a part one unit,"),
	TRIO("on_hand", "on hand", "", TYPE_NUMBER, 0, "see unit", "made ahead"),
	{ "unit", "unit", TYPE_TEXT, 0, "text", "unit of on_hand" },
};
const struct table_def BESIDE_COSTS = DEF("costs", "What pieces and parts cost", cost_columns);

static const struct column reach_columns[] = {
	NAMES("piece"),
	TRIO("can_make", "can make", "", TYPE_COUNT, 0, "each",
	     "made alone, besides open orders and finished ones,"),
	TRIO("free", "finished", "", TYPE_NUMBER, 0, "each", "on hand and not promised"),
	{ "state_first", "", TYPE_TEXT, COL_MACHINE, "text",
	  "found, endless, orders short or stopped" },
	{ "state_second", "", TYPE_TEXT, COL_MACHINE, "text",
	  "found, endless, orders short or stopped" },
};
const struct table_def BESIDE_REACH = DEF("reach", "How many of each, made alone", reach_columns);

static const struct column crop_columns[] = {
	NAMES("crop"),
	TRIO("cost", "stem", "", TYPE_MONEY, COL_FINE, "money per stem", "one usable stem"),
	TRIO("good", "good", "", TYPE_COUNT, 0, "stems",
	     "whole stems in the shed still good, before the bench share,"),
};
const struct table_def BESIDE_CROPS =
    DEF("crops", "What a usable stem costs, and good stems", crop_columns);

static const struct column supply_columns[] = {
	NAMES("supply"),
	TRIO("price", "price", "", TYPE_MONEY, COL_FINE, "money per unit", "what one unit costs"),
	TRIO("on_hand", "on hand", "", TYPE_NUMBER, 0, "see unit", "in the shed"),
	{ "unit", "unit", TYPE_TEXT, 0, "text",
	  "unit of the figures; where the sides have two, both, and no difference is taken" },
};
const struct table_def BESIDE_SUPPLIES = DEF("supplies", "Supplies", supply_columns);

static const struct column side_columns[] = {
	{ "side", "side", TYPE_TEXT, 0, "text", "first or second" },
	{ "farm", "farm", TYPE_TEXT, 0, "text", "name of the farm; empty: not said" },
	{ "folder", "folder", TYPE_TEXT, 0, "text", "the folder" },
	{ "on", "on", TYPE_DATE, 0, "date", "the day" },
	{ "currency", "currency", TYPE_TEXT, 0, "text", "currency; empty: not said" },
};
const struct table_def BESIDE_SIDES =
    DEF("sides", "What stands beside what (with --table, --csv, --json)", side_columns);

#define PERCENT_STEP 0.001
enum { FINE = 2 }; /* decimals of what a stem costs beyond those of money */

struct abreast {
	struct report *r;
	const struct beside_view *v;
	const struct farm *first, *second;
	bool one_money; /* the same currency on both sides */
	size_t both;    /* things that stand on both sides */
	size_t same;
	size_t slight;  /* differ by less than people are shown */
	struct str sames; /* "prices 3, crops 2": tables and lines of them */
};
/* One figure on both sides; NaN: not known there. */
struct twice {
	double first, second;
	bool comparable;
	double step; /* one in the last decimal that people are shown; 0: all are */
};

/* Equal but for dust of the last bits. */
static bool equal(double a, double b)
{
	if (a == b || (isnan(a) && isnan(b)))
		return true;
	return fabs(a - b) <= 1e-12 * fmax(fabs(a), fabs(b));
}

static bool alike(const struct twice *x, size_t n)
{
	for (size_t i = 0; i < n; i++) {
		bool known = !isnan(x[i].first) || !isnan(x[i].second);
		if (x[i].comparable ? !equal(x[i].first, x[i].second) : known)
			return false;
	}
	return true;
}

/* Nothing that differs would be seen: "0.00" in every difference. */
static bool slight(const struct twice *x, size_t n)
{
	for (size_t i = 0; i < n; i++) {
		if (!alike(&x[i], 1) && !(x[i].comparable && fabs(x[i].second - x[i].first) < x[i].step / 2))
			return false;
	}
	return true;
}

static double money_step(const struct abreast *w, int more)
{
	return pow(10, -(w->r->digits + more));
}

/* Whether the row is shown; counts what is the same. */
static bool wanted(struct abreast *w, size_t *same, struct pair p, const struct twice *x, size_t n)
{
	bool both = p.first != NONE && p.second != NONE;
	w->both += both;
	if (!both)
		return true;
	if (alike(x, n)) {
		++*same;
		return w->v->all;
	}
	if (w->v->details || !slight(x, n)) /* machines get every difference */
		return true;
	w->slight++;
	return w->v->all;
}

static void add_same(struct abreast *w, size_t n, const char *table)
{
	if (!n)
		return;
	w->same += n;
	w->sames = report_printf(w->r->arena, "%.*s%s%s %zu", STR_ARG(w->sames),
				 w->sames.n ? ", " : "", table, n);
}

static void put_side(struct table *t, const char *key, double v, const char *none)
{
	put_number(t, key, v);
	if (isnan(v))
		put_instead(t, key, none);
}

static void put_twice(struct table *t, const char *key, struct pair p, struct twice x)
{
	struct arena *a = t->report->arena;
	const char *first = report_printf(a, "%s_first", key).p;
	const char *second = report_printf(a, "%s_second", key).p;
	put_side(t, first, x.first, p.first == NONE ? "" : "-");
	put_side(t, second, x.second, p.second == NONE ? "" : "-");
	if (x.comparable && isfinite(x.first) && isfinite(x.second))
		put_number(t, report_printf(a, "%s_difference", key).p,
			   equal(x.first, x.second) ? 0 : x.second - x.first);
}

static struct str name_of(const struct farm *f, enum kind kind, uint32_t i)
{
	return i == NONE ? STR_NONE : pair_head(f, kind, i)->name;
}

/* "Statice", "Statice = Limonium", "Statice (first only)". */
static struct str label(const struct abreast *w, enum kind kind, struct pair p)
{
	struct str a = name_of(w->first, kind, p.first), b = name_of(w->second, kind, p.second);
	if (p.second == NONE)
		return report_printf(w->r->arena, "%.*s (first only)", STR_ARG(a));
	if (p.first == NONE)
		return report_printf(w->r->arena, "%.*s (second only)", STR_ARG(b));
	return str_eq(a, b) ? a
			    : report_printf(w->r->arena, "%.*s = %.*s", STR_ARG(a), STR_ARG(b));
}

static void put_names(struct table *t, const struct abreast *w, const char *key, enum kind kind,
		      struct pair p)
{
	put_text(t, key, name_of(w->first, kind, p.first));
	put_text(t, report_printf(w->r->arena, "%s_second", key).p,
		 name_of(w->second, kind, p.second));
}

static struct table *row(struct table *t, const struct abreast *w, const char *key, enum kind kind,
			 struct pair p)
{
	table_row(t);
	put_text(t, "label", label(w, kind, p));
	put_names(t, w, key, kind, p);
	return t;
}

/* ---- prices ---- */

static const struct price_line *line_of(const struct prices *p, uint32_t piece, uint32_t outlet)
{
	for (size_t i = 0; i < p->n; i++) {
		if (p->lines[i].piece == piece && p->lines[i].outlet == outlet)
			return &p->lines[i];
	}
	return NULL;
}

static bool priced(const struct price_line *l)
{
	return l && (l->asked || (l->aim.has_aim && !l->aim.collide));
}

/* The piece at the outlet on both sides, where at least one side has it. */
static void price_row(struct table *t, struct abreast *w, size_t *same, struct pair piece,
		      struct pair outlet, bool *headed)
{
	const struct price_line *a =
	    piece.first == NONE || outlet.first == NONE
		? NULL
		: line_of(&w->v->first->prices, piece.first, outlet.first);
	const struct price_line *b =
	    piece.second == NONE || outlet.second == NONE
		? NULL
		: line_of(&w->v->second->prices, piece.second, outlet.second);
	struct pair here = { a ? outlet.first : NONE, b ? outlet.second : NONE };
	struct twice x[] = {
		{ priced(a) ? a->at.paid : NAN, priced(b) ? b->at.paid : NAN, w->one_money,
		  money_step(w, 0) },
		{ priced(a) ? a->at.margin : NAN, priced(b) ? b->at.margin : NAN, true, PERCENT_STEP },
	};
	if ((!a && !b) || !wanted(w, same, here, x, 2))
		return;
	if (!*headed)
		table_group(t, label(w, KIND_PIECE, piece));
	*headed = true;
	row(t, w, "outlet", KIND_OUTLET, here);
	if (piece.first == NONE || piece.second == NONE) /* said above it already */
		put_text(t, "label", a ? w->first->outlets[here.first].head.name
				       : w->second->outlets[here.second].head.name);
	put_names(t, w, "piece", KIND_PIECE, piece);
	table_indent(t, 2);
	put_twice(t, "price", here, x[0]);
	put_twice(t, "margin", here, x[1]);
	put_flag(t, "asked_first", a && a->asked);
	put_flag(t, "asked_second", b && b->asked);
}

static void prices(struct abreast *w, const struct pair *pieces, size_t npieces)
{
	size_t noutlets, same = 0;
	struct pair *outlets =
	    farm_pairs(w->first, w->second, KIND_OUTLET, w->r->arena, &noutlets);
	struct table *t = report_table(w->r, &BESIDE_PRICES);
	for (size_t i = 0; i < npieces; i++) {
		bool headed = false;
		for (size_t k = 0; k < noutlets; k++)
			price_row(t, w, &same, pieces[i], outlets[k], &headed);
	}
	if (t->nrows)
		report_verdict(w->r, "Prices are what the customer pays: the asked price, else the "
				     "price point. Margins differ in points.");
	add_same(w, same, "prices");
}

/* ---- costs and reach ---- */

static struct str unit_of(const struct abreast *w, enum kind kind, struct pair p, bool *one)
{
	struct str a = STR_NONE, b = STR_NONE;
	if (p.first != NONE)
		a = measure_base(w->first, (struct item){ kind, p.first });
	if (p.second != NONE)
		b = measure_base(w->second, (struct item){ kind, p.second });
	*one = !a.n || !b.n || str_eq(a, b);
	return *one ? (a.n ? a : b)
		    : report_printf(w->r->arena, "%.*s, %.*s", STR_ARG(a), STR_ARG(b));
}

static double made_cost(const struct reckoning *k, enum kind kind, uint32_t i)
{
	if (i == NONE)
		return NAN;
	return kind == KIND_PART ? k->costs.parts[i].total : k->costs.pieces[i].total;
}

static double made_on_hand(const struct reckoning *k, enum kind kind, uint32_t i)
{
	if (i == NONE)
		return NAN;
	return kind == KIND_PART ? k->stock.parts[i] : k->stock.pieces[i];
}

static void cost_rows(struct table *t, struct abreast *w, enum kind kind, const struct pair *p,
		      size_t n, size_t *same)
{
	const struct reckoning *a = w->v->first, *b = w->v->second;
	for (size_t i = 0; i < n; i++) {
		bool one;
		struct str unit = unit_of(w, kind, p[i], &one);
		struct twice x[] = {
			{ made_cost(a, kind, p[i].first), made_cost(b, kind, p[i].second),
			  w->one_money && one, money_step(w, 0) },
			{ made_on_hand(a, kind, p[i].first), made_on_hand(b, kind, p[i].second),
			  one, 0 },
		};
		if (!wanted(w, same, p[i], x, 2))
			continue;
		row(t, w, "made", kind, p[i]);
		put_word(t, "kind", kind_name(kind));
		put_twice(t, "cost", p[i], x[0]);
		put_twice(t, "on_hand", p[i], x[1]);
		put_text(t, "unit", unit);
	}
}

static void costs(struct abreast *w, const struct pair *pieces, size_t npieces)
{
	size_t same = 0, nparts;
	struct pair *parts = farm_pairs(w->first, w->second, KIND_PART, w->r->arena, &nparts);
	struct table *t = report_table(w->r, &BESIDE_COSTS);
	cost_rows(t, w, KIND_PIECE, pieces, npieces, &same);
	cost_rows(t, w, KIND_PART, parts, nparts, &same);
	add_same(w, same, "costs");
}

static double most(const struct reckoning *k, uint32_t i)
{
	if (i == NONE)
		return NAN;
	const struct reach_piece *p = &k->reach.pieces[i];
	return p->state == REACH_ENDLESS ? (double)INFINITY : (double)p->most;
}

static void put_state(struct table *t, const char *can, const char *state,
		      const struct reckoning *k, uint32_t i)
{
	if (i == NONE)
		return;
	const struct reach_piece *p = &k->reach.pieces[i];
	put_word(t, state, reach_state_name(p->state));
	if (p->state == REACH_ENDLESS)
		put_instead(t, can, "no limit");
	if (p->state == REACH_STOPPED)
		put_instead(t, can,
			    report_printf(t->report->arena, "%lld+", (long long)p->most).p);
}

static void reach(struct abreast *w, const struct pair *p, size_t n)
{
	const struct reckoning *a = w->v->first, *b = w->v->second;
	size_t same = 0;
	struct table *t = report_table(w->r, &BESIDE_REACH);
	for (size_t i = 0; i < n; i++) {
		struct twice x[] = {
			{ most(a, p[i].first), most(b, p[i].second), true, 0 },
			{ p[i].first == NONE ? NAN : a->reach.pieces[p[i].first].finished,
			  p[i].second == NONE ? NAN : b->reach.pieces[p[i].second].finished, true, 0 },
		};
		if (!wanted(w, &same, p[i], x, 2))
			continue;
		row(t, w, "piece", KIND_PIECE, p[i]);
		put_twice(t, "can_make", p[i], x[0]);
		put_state(t, "can_make_first", "state_first", a, p[i].first);
		put_state(t, "can_make_second", "state_second", b, p[i].second);
		put_twice(t, "free", p[i], x[1]);
	}
	if (t->nrows)
		report_verdict(w->r, "Can make: besides open orders and finished pieces. Finished: "
				     "on hand and not promised.");
	add_same(w, same, "reach");
}

/* ---- crops and supplies ---- */

static double stem_cost(const struct reckoning *k, uint32_t i)
{
	return i == NONE ? NAN : k->stems.crops[i].per_usable;
}

static double usable(const struct reckoning *k, uint32_t crop)
{
	double stems = 0;
	for (size_t i = 0; i < k->stock.nclasses; i++) {
		const struct stock_class *c = &k->stock.classes[i];
		if (c->crop == crop && (!c->past || k->stock.with_past))
			stems += (double)c->whole;
	}
	return crop == NONE ? NAN : stems;
}

static void crops(struct abreast *w)
{
	const struct reckoning *a = w->v->first, *b = w->v->second;
	size_t n, same = 0;
	struct pair *p = farm_pairs(w->first, w->second, KIND_CROP, w->r->arena, &n);
	struct table *t = report_table(w->r, &BESIDE_CROPS);
	for (size_t i = 0; i < n; i++) {
		struct twice x[] = {
			{ stem_cost(a, p[i].first), stem_cost(b, p[i].second), w->one_money,
			  money_step(w, FINE) },
			{ usable(a, p[i].first), usable(b, p[i].second), true, 0 },
		};
		if (!wanted(w, &same, p[i], x, 2))
			continue;
		row(t, w, "crop", KIND_CROP, p[i]);
		put_twice(t, "cost", p[i], x[0]);
		put_twice(t, "good", p[i], x[1]);
	}
	add_same(w, same, "crops");
}

static double supply_price(const struct farm *f, uint32_t i)
{
	return i == NONE || !f->supplies[i].cost.given ? NAN : f->supplies[i].cost.v;
}

static void supplies(struct abreast *w)
{
	const struct stock *a = &w->v->first->stock, *b = &w->v->second->stock;
	size_t n, same = 0;
	struct pair *p = farm_pairs(w->first, w->second, KIND_SUPPLY, w->r->arena, &n);
	struct table *t = report_table(w->r, &BESIDE_SUPPLIES);
	for (size_t i = 0; i < n; i++) {
		bool one;
		struct str unit = unit_of(w, KIND_SUPPLY, p[i], &one);
		struct twice x[] = {
			{ supply_price(w->first, p[i].first), supply_price(w->second, p[i].second),
			  w->one_money && one, money_step(w, FINE) },
			{ p[i].first == NONE ? NAN : a->supplies[p[i].first],
			  p[i].second == NONE ? NAN : b->supplies[p[i].second], one, 0 },
		};
		if (!wanted(w, &same, p[i], x, 2))
			continue;
		row(t, w, "supply", KIND_SUPPLY, p[i]);
		put_twice(t, "price", p[i], x[0]);
		put_twice(t, "on_hand", p[i], x[1]);
		put_text(t, "unit", unit);
	}
	add_same(w, same, "supplies");
}

/* ---- around the tables ---- */

static struct str shown_currency(const struct farm *f)
{
	return f->business.currency.n ? f->business.currency : STR("a currency that is not said");
}

static void say_side(struct abreast *w, const char *side, const struct reckoning *k)
{
	const struct business *b = &k->farm->business;
	char date[11];
	date_print(k->on, date);
	report_sentence(w->r, "%s: %.*s%s%.*s%s on %s, in %.*s.", side, STR_ARG(b->head.name),
			b->head.name.n ? " (" : "", STR_ARG(k->farm->folder),
			b->head.name.n ? ")" : "", date, STR_ARG(shown_currency(k->farm)));
}

static void heading(struct abreast *w)
{
	struct report *r = w->r;
	r->title = report_printf(r->arena, "Side by side: the second against the first");
	say_side(w, "First", w->v->first);
	say_side(w, "Second", w->v->second);
	for (size_t i = 0; i < r->nchanges; i++) {
		struct report_change *c = &r->changes[i];
		struct buf b;
		buf_init(&b, 100);
		report_number(&b, c->supposed, c->digits);
		bool money = w->first->supposed[i].kind->unit == FU_MONEY;
		report_sentence(r, "Supposed on both sides: %.*s %s %s%s.", STR_ARG(c->path), b.data,
				c->unit,
				money && !w->one_money ? ", on the second in its own currency" : "");
		buf_release(&b);
		c->today = NAN; /* each side has its own */
	}
	if (!w->v->json)
		r->nchanges = 0; /* said above */
	if (!w->one_money)
		report_sentence(r, "The currencies differ: money stands side by side, and no "
				   "difference of it is taken.");
	if (!w->one_money)
		r->currency = STR_NONE; /* there is not one */
}

static void side_row(struct table *t, const char *side, const struct reckoning *k)
{
	table_row(t);
	put_word(t, "side", side);
	put_text(t, "farm", k->farm->business.head.name);
	put_text(t, "folder", k->farm->folder);
	put_day(t, "on", k->on);
	put_text(t, "currency", k->farm->business.currency);
}

static bool holds(const struct remarks *list, const char *text)
{
	for (size_t i = 0; i < list->n; i++) {
		if (strcmp(list->items[i].text, text) == 0)
			return true;
	}
	return false;
}

/* What holds for one side only says so. */
static void remarks_of(struct remarks *out, const char *side, const struct remarks *own,
		       const struct remarks *other)
{
	for (size_t i = 0; i < own->n; i++) {
		const struct remark *m = &own->items[i];
		if (m->kind == REMARK_CAUTION)
			remark_caution(out, m->text, m->source);
		else if (holds(other, m->text))
			remark(out, m->kind, "%s", m->text);
		else
			remark(out, m->kind, "%s side: %s", side, m->text);
	}
}

static bool any_rows(const struct report *r)
{
	for (size_t i = 0; i < r->ntables; i++) {
		if (r->tables[i]->nrows)
			return true;
	}
	return false;
}

static void say_same(struct abreast *w)
{
	bool differs = any_rows(w->r);
	if (differs && w->both)
		report_verdict(w->r, "Differences are those of the exact figures, rounded by "
				     "themselves.");
	if (w->slight)
		report_verdict(w->r, "Lines that differ by less than can be shown: %zu.%s", w->slight,
			       w->v->all ? "" : " `--all` shows them.");
	if (!w->both)
		report_verdict(w->r, differs ? "Nothing stands on both sides."
					     : "There is nothing to compare.");
	else if (!w->v->all && !differs && !w->slight)
		report_verdict(w->r, "Nothing differs. Lines that are the same on both sides: %.*s.",
			       STR_ARG(w->sames));
	else if (!w->v->all && w->same)
		report_verdict(w->r, "Lines that are the same on both sides and not shown: %.*s. "
				     "`--all` shows them.",
			       STR_ARG(w->sames));
	else if (w->same)
		report_verdict(w->r, "Lines that are the same on both sides: %.*s.", STR_ARG(w->sames));
}

bool of_beside(struct report *r, const struct beside_view *v)
{
	struct abreast w = { .r = r, .v = v, .first = v->first->farm, .second = v->second->farm,
			     .sames = STR("") };
	w.one_money = str_eq(w.first->business.currency, w.second->business.currency);
	if (w.second->business.digits > r->digits)
		r->digits = w.second->business.digits;
	size_t npieces;
	struct pair *pieces = farm_pairs(w.first, w.second, KIND_PIECE, r->arena, &npieces);
	heading(&w);
	prices(&w, pieces, npieces);
	costs(&w, pieces, npieces);
	reach(&w, pieces, npieces);
	crops(&w);
	supplies(&w);
	say_same(&w);
	if (v->details) {
		struct table *t = report_table(r, &BESIDE_SIDES);
		t->title = STR("What stands beside what");
		side_row(t, "first", v->first);
		side_row(t, "second", v->second);
	}
	struct remarks both;
	remarks_init(&both, r->arena);
	remarks_of(&both, "First", &v->first->remarks, &v->second->remarks);
	remarks_of(&both, "Second", &v->second->remarks, &v->first->remarks);
	report_remarks(r, &both);
	return w.both > 0;
}
