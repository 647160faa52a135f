/* plan_season.c - civil days, whole rows, whole trays. */
#include "reckon/plan_season.h"

#include <math.h>

#include "reckon/loss.h"
#include "stat/stat.h"

/* ---- rooms ---- */

int64_t plants_in_row(double row, double apart, enum row_ends ends)
{
	if (!(apart > 0) || !(row >= 0))
		return 0;
	return loss_whole(row / apart) + (ends == ROW_FENCE_POST);
}

int64_t plants_on(double area, double apart, double rows_apart, enum plants_rounding rounding)
{
	if (!(apart > 0) || !(rows_apart > 0))
		return 0;
	double room = area / (apart * rows_apart);
	return loss_whole(rounding == PLANTS_NEAREST ? room + 0.5 : room);
}

double bed_length(int64_t plants, double rows, double apart)
{
	if (plants <= 0 || !(apart > 0))
		return 0;
	return (double)loss_cover((double)plants / fmax(rows, 1)) * apart;
}

/* ---- seed ---- */

double cell_gives(double germinates, double seeds_per_cell)
{
	return 1 - pow(1 - germinates, seeds_per_cell);
}

int64_t cells_to_sow(int64_t plants, double gives, double chance)
{
	double n = plants > 0 ? stat_how_many((double)plants, gives, chance) : 0;
	return isfinite(n) ? (int64_t)n : -1;
}

int64_t whole_units(int64_t count, double in_one)
{
	if (!(in_one > 0) || count <= 0)
		return 0;
	return loss_cover((double)count / in_one);
}

/* ---- days ---- */

struct season season_frosts(const struct business *b)
{
	struct season s = { b->last_frost, b->first_frost, false };
	if (s.last_frost == DAY_NONE || s.first_frost == DAY_NONE)
		return s;
	for (int years = 1; s.first_frost != DAY_NONE && s.first_frost <= s.last_frost; years++) {
		s.first_frost = date_add_months(b->first_frost, 12 * years);
		s.shifted = true;
	}
	return s;
}

static day plus(day d, double days)
{
	return d == DAY_NONE ? DAY_NONE : d + (day)lround(days);
}

day season_day(const struct when *w, const struct season *s, day planting)
{
	switch (w->anchor) {
	case ANCHOR_DATE:
		return w->date;
	case ANCHOR_LAST_FROST:
		return plus(s->last_frost, w->days.v);
	case ANCHOR_FIRST_FROST:
		return plus(s->first_frost, w->days.v);
	case ANCHOR_PLANTING:
		return plus(planting, w->days.v);
	case ANCHOR_NONE:
		break;
	}
	return DAY_NONE;
}

size_t season_sowings_count(const struct crop *c)
{
	if (c->standing.metres.given || c->standing.planted != DAY_NONE)
		return 1;
	return c->nsowings > c->nplantings ? c->nsowings : c->nplantings;
}

int season_drying_days(const struct crop *c)
{
	return c->drying_days.given ? (int)fmax(ceil(c->drying_days.v - 1e-9), 1) : SEASON_DRYING_DAYS;
}

day season_dried(const struct crop *c, day cut)
{
	return cut == DAY_NONE ? DAY_NONE : cut + season_drying_days(c);
}

/* What stands is cut every year: the fixed day is moved on until the cut is not over. */
static void next_year(struct plan_sowing *s, const struct crop *c, day on)
{
	day first = s->first_cut, length = s->last_cut - s->first_cut;
	for (int years = 1; s->last_cut != DAY_NONE && s->last_cut < on && years < 200; years++) {
		s->first_cut = date_add_months(first, 12 * years);
		if (s->first_cut == DAY_NONE)
			return;
		s->last_cut = s->first_cut + length;
	}
	s->first_boxed = season_dried(c, s->first_cut);
	s->last_boxed = season_dried(c, s->last_cut);
}

/* A line that serves for a later one keeps its distance to its partner. */
static day shifted(day base, day base_other, day other)
{
	if (base == DAY_NONE || base_other == DAY_NONE || other == DAY_NONE)
		return DAY_NONE;
	return base + (other - base_other);
}

static void sow_and_plant(struct plan_sowing *out, const struct crop *c, size_t i,
                          const struct season *s)
{
	size_t ns = c->nsowings, np = c->nplantings;
	if (ns)
		out->sows = (uint32_t)(i < ns ? i : ns - 1);
	if (np)
		out->plants = (uint32_t)(i < np ? i : np - 1);
	day sow = ns ? season_day(&c->sowings[out->sows].when, s, DAY_NONE) : DAY_NONE;
	day plant = np ? season_day(&c->plantings[out->plants].when, s, DAY_NONE) : DAY_NONE;
	bool direct = ns && c->sowings[out->sows].direct;
	if (ns && np && i >= np) {
		day last = season_day(&c->sowings[np - 1].when, s, DAY_NONE);
		plant = direct ? sow : shifted(plant, last, sow);
	} else if (ns && np && i >= ns) {
		day last = season_day(&c->plantings[ns - 1].when, s, DAY_NONE);
		sow = direct ? plant : shifted(sow, last, plant);
	} else if (!np) {
		plant = direct ? sow : DAY_NONE;
	}
	out->sow = sow;
	out->plant = plant;
}

void season_sowing(struct plan_sowing *out, const struct crop *c, size_t i, const struct season *s,
                   day on)
{
	bool stands = c->standing.metres.given || c->standing.planted != DAY_NONE;
	*out = (struct plan_sowing){ .sows = NONE, .plants = NONE, .sow = DAY_NONE, .plant = DAY_NONE };
	if (stands && c->nplantings)
		out->plants = 0;
	if (stands)
		out->plant = c->standing.planted;
	else
		sow_and_plant(out, c, i, s);
	out->first_cut = season_day(&c->cutting.from, s, out->plant);
	out->last_cut = out->first_cut;
	if (out->first_cut != DAY_NONE && c->cutting.over.v >= 1)
		out->last_cut = out->first_cut + (day)lround(c->cutting.over.v) - 1;
	if (stands)
		next_year(out, c, on);
	out->first_boxed = season_dried(c, out->first_cut);
	out->last_boxed = season_dried(c, out->last_cut);
	day begins = out->sow != DAY_NONE ? out->sow : out->plant;
	out->past = !stands && begins != DAY_NONE && begins < on;
}

static double cut_days(const struct plan_sowing *s)
{
	return s->last_cut - s->first_cut + 1;
}

double season_in_time(const struct plan_sowing *s, day by)
{
	if (s->first_boxed == DAY_NONE || by < s->first_boxed)
		return 0;
	if (by >= s->last_boxed)
		return 1;
	return (by - s->first_boxed + 1) / cut_days(s);
}

/* The days before `by` on which stems were boxed are a row without gaps, so the mean of
 * r^months is a geometric sum. */
double season_kept(const struct plan_sowing *s, double storage, day by)
{
	if (s->first_boxed == DAY_NONE || by < s->first_boxed)
		return NAN;
	day last = by < s->last_boxed ? by : s->last_boxed;
	double n = last - s->first_boxed + 1, daily = pow(1 - storage, 1 / DAYS_PER_MONTH);
	double from_last = pow(daily, by - last);
	if (!(1 - daily > 1e-12))
		return from_last;
	return from_last * (1 - pow(daily, n)) / (1 - daily) / n;
}

void season_weeks(struct plan_sowing *s, double stems, struct arena *a)
{
	s->nweeks = 0;
	s->weeks = NULL;
	if (s->first_cut == DAY_NONE || !(stems > 0))
		return;
	size_t most = (size_t)(s->last_cut - s->first_cut) / 7 + 2;
	s->weeks = ARENA_ARRAY(a, most, struct plan_week);
	for (day d = s->first_cut; d <= s->last_cut;) {
		day monday = d - (date_week(d).weekday - 1), next = monday + 7;
		day end = next - 1 < s->last_cut ? next - 1 : s->last_cut;
		s->weeks[s->nweeks++] =
		    (struct plan_week){ monday, stems * (end - d + 1) / cut_days(s) };
		d = next;
	}
}
