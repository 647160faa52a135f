/* plan_season.h - days, rows, cells and packets of a sowing.  Pure pieces of plan.h.
 *
 * Rows.  A row of length L with plants `apart` holds
 *     floor(L / apart)        each plant has its own space, half of it at either end: beds
 *                             that go on, and what is planned here
 *     floor(L / apart) + 1    a plant at both ends (the fence-post rule)
 * so P plants in R rows take ceil(P / R) x apart of bed.  An area of A holds A / (apart x
 * rows apart) plants, cut off (never a plant more than there is room for) or rounded to the
 * nearest; printed tables follow either.
 *
 * Cells.  A cell of k seeds that germinate with g gives a plant with 1 - (1-g)^k.  Sown is
 * the smallest number of cells that gives the plants with the wanted chance (stat_how_many),
 * and then whole trays.
 */
#ifndef RECKON_PLAN_SEASON_H
#define RECKON_PLAN_SEASON_H

#include "farm/farm.h"
#include "reckon/plan.h"

/* ---- rooms ---- */

enum row_ends { ROW_SPACED, ROW_FENCE_POST };
enum plants_rounding { PLANTS_CUT_OFF, PLANTS_NEAREST };
int64_t plants_in_row(double row, double apart, enum row_ends ends);
int64_t plants_on(double area, double apart, double rows_apart, enum plants_rounding rounding);
double bed_length(int64_t plants, double rows, double apart);

/* ---- seed ---- */

double cell_gives(double germinates, double seeds_per_cell);
/* -1: no number of cells does. */
int64_t cells_to_sow(int64_t plants, double gives, double chance);
/* Of so many plants the mean share that is there when the plain number of cells is sown, plants / gives
 * rounded up: more than enough come up in one year, too few in another.  1 where all come up. */
double cells_even_share(int64_t plants, double gives);
int64_t whole_units(int64_t count, double in_one); /* trays, packets: rounded up; 0 unless in_one > 0 */

/* ---- days ---- */

struct season {
	day last_frost, first_frost;
	bool shifted;           /* the first frost was put a year on */
};
struct season season_frosts(const struct business *b);
/* The day; DAY_NONE when it hangs on a frost or planting that is not said. */
day season_day(const struct when *w, const struct season *s, day planting);
/* All days and weeks of the i-th sowing; stems, plants and beds stay 0.  `on`: a standing
 * crop's fixed cut is moved by whole years to the first that ends on or after it. */
size_t season_sowings_count(const struct crop *c);
void season_sowing(struct plan_sowing *out, const struct crop *c, size_t i, const struct season *s,
                   day on);
enum { SEASON_DRYING_DAYS = 14 }; /* where the crop says none: one to two weeks, R. C. Smith,
                                   * North Dakota State University, H-1037, 1992 */
int season_drying_days(const struct crop *c);
day season_dried(const struct crop *c, day cut); /* boxed on */
/* Share of the cut that is boxed by the day; 0 without days. */
double season_in_time(const struct plan_sowing *s, day by);
/* Mean of (1-storage)^months(boxed -> by) over the stems boxed by then; NaN when none is. */
double season_kept(const struct plan_sowing *s, double storage, day by);
/* `stems` spread over the cut's days, by ISO week. */
void season_weeks(struct plan_sowing *s, double stems, struct arena *a);

#endif
