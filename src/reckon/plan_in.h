/* plan_in.h - inside src/reckon only: what the files of plan.h hand on to one another. */
#ifndef RECKON_PLAN_IN_H
#define RECKON_PLAN_IN_H

#include "reckon/explode.h"
#include "reckon/plan.h"
#include "reckon/plan_season.h"
#include "reckon/plan_sure.h"

#define PLAN_CRUMB 1e-9 /* stems: less is nothing */
/* Of the risk that a pool may bear, what is left to seed that does not come up. */
#define PLAN_TRAY_RISK 0.1
#define PLAN_TURNS 12           /* in which what stands is shared out */

struct plan_demand {            /* of a pool: usable stems on a day */
	uint32_t line;
	day by;
	double chance;          /* asked of the pool; NaN: the plain number */
	double stems;           /* to be grown */
	double from, to;        /* mm; 0 */
};
struct plan_demands {
	struct plan_demand *items;
	size_t n, cap;
};
struct plan_loss {              /* a rate of loss: how sure it is, how alike a batch fares */
	double rate, stems, rho; /* sure_of()'s; stems INFINITY: certain */
};
struct plan_source_of {         /* what is known of a crop before any number */
	double unit_cost;       /* of growing one usable stem; NaN: not known */
	struct plan_sowing *sowings;
	double *stems;          /* per sowing, asked of it */
	size_t nsowings;
	struct sure_yield yield;
	double live;            /* share */
	struct plan_loss loss[STAGE_COUNT];
	double batches;         /* that each sowing gives */
	double storage_months;  /* loss[STAGE_STORAGE] is the loss over so many */
	double storage;         /* per month */
	bool trays;             /* seed may fail to come up, and certainty counts it */
};
struct plan_bed {               /* what stands: usable stems for which there is another way */
	double left;            /* that it can still give; INFINITY: as many as are asked */
	double by_choice;       /* that it was asked for */
	double low, high;       /* of `left`: sufficed, did not */
	bool spared;            /* a way that is named takes less of it than the cheapest */
};
struct plan_work {
	struct plan *out;
	const struct farm *farm;
	const struct stock *stock;
	const struct costs *costs;   /* may be NULL */
	const struct prices *prices; /* may be NULL */
	const struct plan_options *options;
	struct arena *a;
	struct remarks *r;
	struct diag *diag;
	struct season season;
	double wage;
	struct plan_source_of *crops; /* per farm->crops */
	struct plan_bed *beds;        /* per farm->crops */
	struct plan_demands *demands; /* per pool */
	size_t ndemand_lists, cap_demand_lists, cap_pools, cap_uses;
};

/* plan.c: everything but the steps. */
void plan_begin(struct plan_work *w, struct plan *out, const struct farm *farm, const struct stock *stock,
                const struct costs *costs, const struct prices *prices,
                const struct plan_options *options, struct arena *a, struct remarks *r,
                struct diag *diag);
/* plan_grow.c: sources, yields, rates, days. */
void plan_sources(struct plan_work *w);
/* plan_ways.c: which way a need is met. */
struct plan_ways;
struct plan_ways *plan_ways_open(struct plan_work *w);
/* What as many pieces take as can be made in one way; *count falls by them.  shut, per
 * crop: what stands of it is used up.  -1: counts too large. */
int plan_ways_take(struct plan_ways *p, struct exploded *e, uint32_t piece, int64_t *count, bool *shut,
                   const struct rat *part_stock, struct arena *scratch);
/* The same with the ways that the options name for the line; *at, from 0, is the next of them. */
int plan_ways_named(struct plan_ways *p, struct exploded *e, uint32_t line, uint32_t piece, int64_t *count,
                    size_t *at, const struct rat *part_stock, struct arena *scratch);
/* Where what stands comes short and there is another way: how much of it the next turn may
 * take.  False: nothing to be gained. */
bool plan_ways_limit(const struct plan_work *w, struct plan_bed *limits, int turn);
/* plan_need.c: lines, parts; uses and pools. */
int plan_needs(struct plan_work *w);
/* Whether line x takes of the shed before line y. */
bool plan_served_first(const struct plan *p, uint32_t x, uint32_t y);
/* Colours of the pool that it takes, rising; none: any.  out: as many as it names. */
size_t plan_colours_of(const struct plan_work *w, const struct need_option *o, uint32_t *out);
/* plan_shed.c: what the shed and the drying line give to uses. */
struct plan_shed;
struct plan_shed *plan_shed_open(struct plan_work *w);
void plan_shed_give(struct plan_shed *shed, struct plan_use *use, const struct need_option *o,
                    day by);
/* Usable stems that could go into the option on that day, untouched; NULL: of the crop, however
 * old they are then. */
double plan_shed_most(const struct plan_shed *shed, uint32_t crop, const struct need_option *o, day by);
struct plan_options_of {        /* what a line takes of a pool, on its day */
	const struct need_option **items;
	size_t n, cap;
	day by;
};
/* What those stems are worth to `then` that could not go into every option of `first`. */
double plan_shed_beside(const struct plan_shed *shed, uint32_t crop, const struct plan_options_of *first,
                        const struct plan_options_of *then);
/* Share of recorded stems of the crop that are of a length; 1 without records. */
double plan_fits(const struct plan_work *w, uint32_t crop, double from, double to);
bool plan_lengths_known(const struct plan_work *w, uint32_t crop);
/* plan_stems.c: how many to cut, per pool. */
void plan_stems(struct plan_work *w);
/* The season, its plants and all losses but that in the box; then that of so many months. */
void plan_sure_base(struct sure *out, const struct plan_work *w, const struct plan_source_of *src, double batches,
                    struct arena *a);
void plan_sure_stored(struct sure *out, const struct plan_source_of *src, double batches, double months,
                      struct arena *a);
/* plan_beds.c: plants, cells, trays, packets, metres, colours. */
void plan_beds(struct plan_work *w);
/* Somebody asks to be sure of the crop: then its cells are sown for that. */
bool plan_asks_sure(const struct plan_work *w, uint32_t crop);
struct plan_even {              /* of plants for which the plain number of cells is sown */
	double share;           /* that is there in the mean: cells_even_share() */
	double all;             /* the chance that all are there */
};
/* Of the plants of so many stems, evenly over so many sowings. */
struct plan_even plan_even(const struct plan_work *w, uint32_t crop, double stems, size_t sowings);
/* Stems that what stands of a crop gives in a usual season; -1: not known. */
int64_t plan_bears(const struct plan_work *w, uint32_t crop);
/* plan_money.c */
double plan_unit_cost(const struct plan_work *w, uint32_t crop);
void plan_moneys(struct plan_work *w);
/* plan_say.c */
void plan_say(struct plan_work *w);

/* Colours of the pool, or all of the crop's; share of each.  0: any colour. */
size_t plan_colour_shares(const struct plan_work *w, const struct plan_pool *p, uint32_t *colours,
                          double *shares);

#endif
