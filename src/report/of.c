/* of.c - what the builders share. */
#include "report/of.h"

#include <math.h>

#include "base/number.h"
#include "farm/measure.h"
#include "reckon/caution.h"

enum { LABEL_MOST = 4096 };

bool choice_has(const struct choice *c, enum kind kind, uint32_t index)
{
	return (!c->nitems && !c->noutlets) || choice_names(c, kind, index);
}

bool choice_names(const struct choice *c, enum kind kind, uint32_t index)
{
	for (size_t i = 0; i < c->nitems; i++) {
		if (c->items[i].kind == kind && c->items[i].index == index)
			return true;
	}
	return false;
}

bool choice_has_outlet(const struct choice *c, uint32_t outlet)
{
	for (size_t i = 0; i < c->noutlets; i++) {
		if (c->outlets[i] == outlet)
			return true;
	}
	return c->noutlets == 0;
}

bool choice_wants(const struct choice *c, enum kind kind)
{
	for (size_t i = 0; i < c->nitems; i++) {
		if (c->items[i].kind == kind)
			return true;
	}
	return !c->nitems && !c->noutlets;
}

struct str of_item_name(const struct farm *farm, struct item item)
{
	const struct head *head = farm_head(farm, item);
	return head ? head->name : STR_NONE;
}

struct str of_colours(struct report *r, const struct farm *farm, const uint32_t *colours, size_t n,
		      bool one)
{
	struct buf b;
	buf_init(&b, LABEL_MOST);
	for (size_t i = 0; i < n; i++) {
		buf_text(&b, i ? one ? ", " : " or " : one ? "one of " : "");
		buf_str(&b, farm->colours[colours[i]]);
	}
	struct str s = { arena_copy(r->arena, b.data, b.len), b.len };
	buf_release(&b);
	return s;
}

struct str of_month(struct report *r, int32_t month)
{
	return month < 0 ? STR_NONE
			 : report_printf(r->arena, "%04d-%02d", month / 12, month % 12 + 1);
}

struct str of_money(struct report *r, double v)
{
	struct buf b;
	buf_init(&b, 100);
	number_print(&b, v, r->digits);
	struct str s = report_printf(r->arena, "%s%s%.*s", b.data, r->currency.n ? " " : "",
				     STR_ARG(r->currency));
	buf_release(&b);
	return s;
}

double of_cm(double mm)
{
	return mm > 0 ? mm / 10 : NAN;
}

struct str of_number(struct report *r, double x, int most)
{
	struct buf b;
	buf_init(&b, LABEL_MOST);
	number_print_short(&b, x, most);
	struct str s = { arena_copy(r->arena, b.data, b.len), b.len };
	buf_release(&b);
	return s;
}

struct str of_length(struct report *r, double mm)
{
	return report_printf(r->arena, "%.*s cm", STR_ARG(of_number(r, mm / 10, 2)));
}

struct str of_row(struct report *r, struct str id, uint32_t line)
{
	return id.n ? id : report_printf(r->arena, "row %u", (unsigned)line);
}

/* Base unit of the supply that `Ribbon cost` is about; empty for other figures. */
static struct str supply_unit(const struct farm *farm, const struct figure_kind *kind,
			      struct str path)
{
	struct item item;
	size_t words = strlen(kind->words) + 1;
	if (kind->subject != KIND_SUPPLY || path.n <= words)
		return STR_NONE;
	if (!farm_find(farm, (struct str){ path.p, path.n - words }, &item) ||
	    item.kind != KIND_SUPPLY)
		return STR_NONE;
	return measure_base(farm, item);
}

const char *of_figure_unit(struct report *r, const struct farm *farm,
			   const struct figure_kind *kind, struct str path)
{
	const struct str currency = farm->business.currency;
	struct str unit =
	    kind->unit == FU_MONEY && currency.n ? currency : str_of(figure_unit_name(kind->unit));
	struct str base = supply_unit(farm, kind, path);
	if (base.n && kind->unit == FU_MONEY)
		return report_printf(r->arena, "%.*s %s%.*s", STR_ARG(unit),
				     str_is(base, "each") ? "" : "per ", STR_ARG(base))
		    .p;
	if (base.n)
		return report_printf(r->arena, "%.*s", STR_ARG(base)).p;
	return report_printf(r->arena, "%.*s%s%s", STR_ARG(unit), *kind->per && unit.n ? " " : "",
			     kind->per)
	    .p;
}

struct str of_name_at(const struct farm *farm, size_t i)
{
	if (i < farm->ncrops)
		return farm->crops[i].head.fold;
	i -= farm->ncrops;
	if (i < farm->nsupplies)
		return farm->supplies[i].head.fold;
	i -= farm->nsupplies;
	if (i < farm->nparts)
		return farm->parts[i].head.fold;
	i -= farm->nparts;
	if (i < farm->npieces)
		return farm->pieces[i].head.fold;
	i -= farm->npieces;
	return i < farm->noutlets ? farm->outlets[i].head.fold : STR_NONE;
}

void of_title(struct report *r, const char *what)
{
	char date[11];
	date_print(r->on, date);
	if (r->farm.n)
		r->title = report_printf(r->arena, "%.*s: %s on %s", STR_ARG(r->farm), what, date);
	else
		r->title =
		    report_printf(r->arena, "%c%s on %s", what[0] - 'a' + 'A', what + 1, date);
}

void of_remarks(struct report *r, const struct view *v)
{
	struct remarks own;
	remarks_init(&own, r->arena);
	for (size_t i = 0; i < v->choice.nitems; i++)
		caution_own(&own, farm_head(v->now->farm, v->choice.items[i]));
	for (size_t i = 0; i < v->choice.noutlets; i++)
		caution_own(&own, &v->now->farm->outlets[v->choice.outlets[i]].head);
	report_remarks(r, &v->now->remarks);
	report_remarks(r, &own);
}
