/* of.h - builders: from result structs to reports.  They never reckon.
 *
 * All take a view: what was reckoned now (that is, as supposed), and as the farm
 * stands today when something is supposed; which things were asked for by --of. */
#ifndef REPORT_OF_H
#define REPORT_OF_H

#include "farm/figures.h"
#include "farm/farm.h"
#include "reckon/dates.h"
#include "reckon/hang.h"
#include "reckon/mix.h"
#include "reckon/plan.h"
#include "reckon/plan_fit.h"
#include "reckon/pull.h"
#include "reckon/reckon.h"
#include "reckon/sense.h"
#include "reckon/sway.h"
#include "reckon/weighed.h"
#include "report/ics.h"
#include "report/report.h"

struct choice { /* --of; nothing in it: everything */
	struct item *items;
	uint32_t *outlets;
	size_t nitems, noutlets;
};

struct view {
	const struct reckoning *now;
	const struct reckoning *today; /* NULL: nothing is supposed; else the same things in
					* the same order */
	struct choice choice;
};

/* today: what is found without --suppose; NULL: nothing is supposed. */
void of_check(struct report *r, const struct view *v, const struct findings *findings,
	      const struct findings *today, const struct diag *diag);
void of_figures(struct report *r, const struct farm *farm, const struct figure *figures, size_t n);
void of_stock(struct report *r, const struct view *v);
void of_cost(struct report *r, const struct view *v);
void of_price(struct report *r, const struct view *v);
void of_reach(struct report *r, const struct view *v);
const char *reach_state_name(enum reach_state s); /* "found" */
/* Some of the chosen pieces, or any when none is, must share with open orders that
 * cannot all be made. */
bool reach_touches_shorts(const struct view *v);
/* today: NULL when nothing is supposed. */
void of_reach_list(struct report *r, const struct view *v, uint32_t piece, int64_t count,
		   const struct reach_list *list, const struct reach_list *today);

/* Losses by the records; loss_to_mould(): mould is among the causes shown. */
void of_loss(struct report *r, const struct view *v);
bool loss_to_mould(const struct view *v);

struct mix_view {
	const struct mix *now, *today; /* today NULL: nothing is supposed */
	const struct mix_worths *worths; /* NULL: not asked for */
	bool worth_stopped;              /* Ctrl-C came while they were looked for */
	const struct mix_options *options;
};
void of_mix(struct report *r, const struct view *v, const struct mix_view *m);
/* How sure it is that no mix earns more; `which` stands before it ("Today's mix: "). */
void of_mix_proof(struct report *r, const struct mix *m, const char *which);
/* What was asked for, a sentence each. */
void of_mix_options(struct report *r, const struct farm *f, const struct mix_options *o);

/* today: the list without --suppose; NULL: not shown beside.  m: the mix that it is the list of;
 * NULL: for orders or a number. */
void of_pull(struct report *r, const struct view *v, const struct pull *pull, const struct pull *today,
	     const struct mix_view *m);

struct took_view {
	bool details; /* all tables: for machines, --table and --of */
	day from;     /* DAY_NONE: from the first line */
	double paid;  /* per h, burden included; NaN: the farm's wage */
};
void of_took(struct report *r, const struct view *v, const struct took_view *t);

struct dry_view {
	const struct weighed *weighed;
	const uint32_t *batches; /* of --batch */
	size_t nbatches;
};
void of_dry(struct report *r, const struct view *v, const struct dry_view *d);
/* A batch that --of or --batch asks for; all of them when nothing is asked for. */
bool dry_wants(const struct view *v, const struct dry_view *d, uint32_t batch);

struct hang_view {
	const struct hang *now, *today; /* today NULL: nothing is supposed */
	bool next;                      /* the next season, from the plan */
};
void of_hang(struct report *r, const struct view *v, const struct hang_view *h);

struct dates_of { /* a farm's, with the plan of dates_gather() */
	const struct farm *farm;
	const struct plan *plan;
	const struct dates *dates;
};
/* One event for each date, into room for now->dates->n.  today: without --suppose; NULL:
 * nothing is supposed.  Else each event says so, what it is today, and is another one than
 * today's to a calendar; returns how many are not today's. */
size_t of_dates(struct ics_event *out, const struct dates_of *now, const struct dates_of *today,
		const struct report *r);
const char *dated_word(enum dated_kind kind); /* "Order" */
struct plan_view {
	const struct plan *now, *today; /* today NULL: nothing is supposed */
};
void of_plant(struct report *r, const struct view *v, const struct plan_view *p);
struct fit_view {
	const struct plan_fit *fit;
	struct plan_room limits;
	struct plan_room least, most;     /* money that one more of each brings; NaN: not known */
};
/* Behind of_plant(), of the plan that fits. */
void of_plant_fit(struct report *r, const struct view *v, const struct fit_view *f);
/* How the chosen crops' numbers come about. */
void of_plant_why(struct report *r, const struct view *v, const struct plan *p);

struct sway_view {
	const struct sway *sway;
	bool drawn; /* a chart stands beside it */
	const struct farm *farm;
	size_t rows; /* of the season, at most; each of the two kinds */
};
void of_sway(struct report *r, const struct view *v, const struct sway_view *w);

struct beside_view {
	const struct reckoning *first, *second;
	bool all;     /* what is the same too */
	bool details; /* the table of the sides: for machines and --table */
	bool json;    /* which has a place of its own for what is supposed */
};
/* false: nothing stands on both sides. */
bool of_beside(struct report *r, const struct beside_view *v);

extern const struct table_def CHECK_READ, CHECK_FINDINGS, CHECK_FIGURES;
extern const struct table_def STOCK_STEMS, STOCK_BOXES, STOCK_SUPPLIES, STOCK_MADE, STOCK_ORDERS;
extern const struct table_def COST_PIECES, COST_PARTS, COST_STEMS, COST_NEEDS, COST_BEDS;
extern const struct table_def LOSS_RATES, LOSS_CAUSES, LOSS_SEASONS, LOSS_LOTS, LOSS_IN_USE;
extern const struct table_def PRICE_PRICES, PRICE_BUILDUP;
extern const struct table_def REACH_PIECES, REACH_USES, REACH_SHORTS, REACH_LIST;
extern const struct table_def MIX_PIECES, MIX_TOTALS, MIX_MAKINGS, MIX_WAYS, MIX_SUPPLIES,
    MIX_STALLS, MIX_LIMITS, MIX_LEFT, MIX_SECOND, MIX_SHORTS, MIX_LACKS, MIX_WORTH;
extern const struct table_def SWAY_SEASON, SWAY_MARGINS;
extern const struct table_def PULL_LINES, PULL_BOXES, PULL_SUPPLIES, PULL_ORDERS, PULL_OUTLETS,
    PULL_MAKE, PULL_SHORTS;
extern const struct table_def TOOK_PIECES, TOOK_MONTHS, TOOK_STEMS, TOOK_NEXT, TOOK_CURVES,
    TOOK_LINES, TOOK_OVERHEAD;
extern const struct table_def DRY_HANGING, DRY_BOXED, DRY_WEIGHINGS;
extern const struct table_def BESIDE_PRICES, BESIDE_COSTS, BESIDE_REACH, BESIDE_CROPS, BESIDE_SUPPLIES,
    BESIDE_SIDES;
extern const struct table_def HANG_WEEKS, HANG_CHART, HANG_PEAKS, HANG_LOTS;

extern const struct table_def PLANT_CROPS, PLANT_DAYS, PLANT_MOVED, PLANT_TARGETS, PLANT_MONEY, PLANT_TOTALS,
    PLANT_COLOURS, PLANT_WEEKS, PLANT_WHY, PLANT_FIT, PLANT_ROOM;

/* ---- shared by the builders ---- */
/* Nothing was chosen, or this was. */
bool choice_has(const struct choice *c, enum kind kind, uint32_t index);
bool choice_has_outlet(const struct choice *c, uint32_t outlet);
/* This very thing was chosen (false when nothing was). */
bool choice_names(const struct choice *c, enum kind kind, uint32_t index);
/* Items of this kind were chosen, or nothing at all: its table is wanted. */
bool choice_wants(const struct choice *c, enum kind kind);

struct str of_item_name(const struct farm *farm, struct item item);
/* "rust or gold" for a list of colours; empty for none. */
struct str of_colours(struct report *r, const struct farm *farm, const uint32_t *colours, size_t n,
		      bool one);
/* "2026-09" of year*12 + month-1; empty for -1. */
struct str of_month(struct report *r, int32_t month);
struct str of_money(struct report *r, double v);   /* "12.50 EUR" */
double of_cm(double mm);                           /* NaN for 0: not said */
struct str of_number(struct report *r, double x, int most); /* as few decimals as show it; ends in NUL */
/* A box or an order: its mark, or its row in the table. */
struct str of_row(struct report *r, struct str id, uint32_t line);
struct str of_length(struct report *r, double mm); /* "30.48 cm" */
/* "EUR per h", "%", "EUR per roll": what figure_shown() of that path is counted in. */
const char *of_figure_unit(struct report *r, const struct farm *farm,
			   const struct figure_kind *kind, struct str path);
/* Folds of all names that --of takes, for hints; empty past the end. */
struct str of_name_at(const struct farm *farm, size_t i);
/* "FARM: what on DATE". */
void of_title(struct report *r, const char *what);
/* What was remarked while reckoning, and the own cautions of what was chosen. */
void of_remarks(struct report *r, const struct view *v);

#endif
