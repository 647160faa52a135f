/* page_calendar.c - one row a sowing, one narrow column a week: what to do when. */
#include "report/workbook/pages.h"

enum { CAL_CROP, CAL_SOWING, CAL_WEEKS };
enum {
	WEEKS_MOST = 106, /* two seasons; more is no calendar */
	ROWS_A_PAGE = 60, /* on one sheet of paper, if they are to be read */
	WEEKS_A_PAGE = 53,
	DAYS = 7
};
#define WEEK_WIDTH 4.2

static const struct book_column calendar_columns[] = {
	[CAL_CROP] = { "crop", "Crop", "", SHAPE_TEXT, 20, ORIGIN_VALUE, NULL },
	[CAL_SOWING] = { "sowing", "Sowing", "", SHAPE_LABEL, 9, ORIGIN_VALUE,
			 "Its number among the crop's sowings, as the farm's file has them; stands: nothing "
			 "is sown." },
	[CAL_WEEKS] = { "weeks", "Weeks", "", SHAPE_TEXT, WEEK_WIDTH, ORIGIN_VALUE,
			"From here on one column a week (ISO 8601), year and month above their first. S: sow. P: plant "
			"out. C: cut. They begin with the first week from the workbook's date on in which there is something to do. "
			"Days are on the sheet Planting plan." },
};
const struct book_table calendar_table = {
	"Sowing calendar",
	"S: sow. P: plant out. C: cut. Pale: in trays, then in the bed. By the planting plan.",
	calendar_columns, sizeof calendar_columns / sizeof calendar_columns[0]
};

static day monday_of(day d)
{
	return d == DAY_NONE ? DAY_NONE : d - (date_week(d).weekday - 1);
}

/* What stands has been planted years ago: only its cut counts. */
static day begins(const struct plan_crop *c, const struct plan_sowing *s)
{
	if (c->source == PLAN_STANDING)
		return s->first_cut;
	if (s->sow != DAY_NONE)
		return s->sow;
	return s->plant != DAY_NONE ? s->plant : s->first_cut;
}

static bool listed(const struct plan_crop *c, const struct plan_sowing *s)
{
	return c->cut > 0 && (s->planned || c->source == PLAN_STANDING) && begins(c, s) != DAY_NONE;
}

struct span_of_days {
	day first, last; /* Mondays; DAY_NONE */
};

/* The first Monday of a week, from one on, in which there is something to do; DAY_NONE. */
static day next_work(const struct pages *p, day from)
{
	day next = DAY_NONE;
	for (uint32_t i = 0; i < p->farm->ncrops; i++) {
		const struct plan_crop *c = &p->solved->plan->crops[i];
		for (size_t k = 0; k < c->nsowings; k++) {
			const struct plan_sowing *s = &c->sowings[k];
			bool stands = c->source == PLAN_STANDING;
			day work[] = { stands ? DAY_NONE : s->sow, stands ? DAY_NONE : s->plant, s->first_cut };
			if (!listed(c, s))
				continue;
			if (s->first_cut != DAY_NONE && s->first_cut < from && s->last_cut >= from)
				return from;
			for (size_t d = 0; d < 3; d++) {
				if (work[d] != DAY_NONE && work[d] >= from && (next == DAY_NONE || work[d] < next))
					next = work[d];
			}
		}
	}
	return monday_of(next);
}

static struct span_of_days season(const struct pages *p)
{
	struct span_of_days all = { DAY_NONE, DAY_NONE };
	for (uint32_t i = 0; i < p->farm->ncrops; i++) {
		const struct plan_crop *c = &p->solved->plan->crops[i];
		for (size_t k = 0; k < c->nsowings; k++) {
			const struct plan_sowing *s = &c->sowings[k];
			if (!listed(c, s))
				continue;
			day first = monday_of(begins(c, s)), last = first;
			day ends[] = { s->plant, s->last_cut };
			for (size_t e = 0; e < 2; e++)
				last = ends[e] != DAY_NONE && ends[e] > last ? monday_of(ends[e]) : last;
			if (all.first == DAY_NONE || first < all.first)
				all.first = first;
			if (all.last == DAY_NONE || last > all.last)
				all.last = last;
		}
	}
	return all;
}

static void heads(struct pages *p, struct span_of_days all)
{
	static const char *const months[] = { "Jan", "Feb", "Mar", "Apr", "May", "Jun",
					      "Jul", "Aug", "Sep", "Oct", "Nov", "Dec" };
	struct sheet *s = p->calendar.s;
	struct civil before = { 0, 0, 0 };
	uint32_t col = CAL_WEEKS;
	for (day d = all.first; d <= all.last; d += DAYS, col++) {
		struct civil c = date_civil(d);
		bool turns = c.month != before.month || c.year != before.year;
		sheet_width(s, col, WEEK_WIDTH);
		sheet_text(s, ROW_HEAD, col, LOOK(HEAD, TEXT),
			   str_of(text_of(p, "%s\n%s\n%d", c.year != before.year ? text_of(p, "%d", c.year) : "",
					  turns ? months[c.month - 1] : "", date_week(d).week)));
		before = c;
	}
	sheet_height(s, ROW_HEAD, 47);
}

static bool in_week(day d, day monday)
{
	return d != DAY_NONE && d >= monday && d < monday + DAYS;
}

/* The latest thing of the week gives the colour; letters tell all of it. */
static void week_cell(struct pages *p, uint32_t row, uint32_t col, day monday, const struct plan_crop *c,
		      const struct plan_sowing *s)
{
	bool stands = c->source == PLAN_STANDING;
	bool sown = !stands && in_week(s->sow, monday);
	bool out = !stands && in_week(s->plant, monday) && s->plant != s->sow;
	bool cut = s->first_cut != DAY_NONE && s->first_cut < monday + DAYS && s->last_cut >= monday;
	bool past_sowing = !stands && s->sow != DAY_NONE && s->sow < monday;
	bool past_planting = !stands && s->plant != DAY_NONE && s->plant < monday;
	bool before_cut = s->first_cut != DAY_NONE && monday < s->first_cut;
	enum style style = cut ? STYLE_CUT : out ? STYLE_OUT : sown ? STYLE_SOW : STYLE_PLAIN;
	if (style == STYLE_PLAIN && past_planting && before_cut)
		style = STYLE_GROW;
	else if (style == STYLE_PLAIN && past_sowing && !past_planting && s->plant != DAY_NONE)
		style = STYLE_RAISE;
	if (style != STYLE_PLAIN)
		sheet_text(p->calendar.s, row, col, LOOK_OF(style, SHAPE_TEXT),
			   str_of(text_of(p, "%s%s%s", sown ? "S" : "", out ? "P" : "", cut ? "C" : "")));
}

static uint32_t crop_rows(struct pages *p, uint32_t row, uint32_t crop, struct span_of_days all)
{
	const struct page *g = &p->calendar;
	const struct plan_crop *c = &p->solved->plan->crops[crop];
	for (size_t k = 0; k < c->nsowings; k++) {
		const struct plan_sowing *s = &c->sowings[k];
		uint32_t col = CAL_WEEKS;
		if (!listed(c, s))
			continue;
		page_text(g, row, CAL_CROP, p->farm->crops[crop].head.name);
		if (c->source == PLAN_STANDING)
			page_words(g, row, CAL_SOWING, "stands");
		else
			page_number(g, row, CAL_SOWING, (double)k + 1);
		for (day d = all.first; d <= all.last; d += DAYS)
			week_cell(p, row, col++, d, c, s);
		sheet_height(g->s, row++, 17);
	}
	return row;
}

void calendar_page(struct pages *p)
{
	const struct page *g = &p->calendar;
	struct span_of_days all = { DAY_NONE, DAY_NONE };
	uint32_t row = ROW_FIRST;
	bool shortened = false;
	if (p->solved && p->solved->plan)
		all = season(p);
	/* What is over is over: room for what is to be done. */
	day next = all.first == DAY_NONE ? DAY_NONE : next_work(p, monday_of(p->r->on));
	if (next != DAY_NONE && next > all.first)
		all.first = next;
	if (all.first != DAY_NONE && all.last - all.first >= WEEKS_MOST * DAYS) {
		all.last = all.first + (WEEKS_MOST - 1) * DAYS;
		shortened = true;
	}
	if (all.first != DAY_NONE) {
		page_stale(p, g, INPUT_PLAN);
		heads(p, all);
		for (uint32_t i = 0; i < p->farm->ncrops; i++)
			row = crop_rows(p, row, i, all);
	}
	page_end(g, ROW_FIRST, CAL_WEEKS); /* no filter: its arrows would hide the weeks */
	if (row == ROW_FIRST)
		page_nothing(g, "Nothing is to be sown, planted or cut: the targets ask for nothing that is grown, or "
				"its days are not said.");
	if (row > ROW_FIRST) {
		unsigned weeks = (unsigned)((all.last - all.first) / DAYS) + 1;
		sheet_pages_wide(g->s, (weeks + WEEKS_A_PAGE - 1) / WEEKS_A_PAGE, CAL_WEEKS,
				 row - ROW_FIRST <= ROWS_A_PAGE);
	}
	if (shortened)
		sheet_text(g->s, row + 1, 0, LOOK(SAYS, TEXT),
			   STR("What is later than two years is left off here: its days are on the sheet Planting "
			       "plan."));
}
