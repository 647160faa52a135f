/* plan.h - next season's plantings, counted backward from what is to be sold.
 *
 *   lines      targets and open orders: so many of a piece by a day
 *   -> needs   through parts, less finished pieces and parts; of several ways to meet a
 *              need the one whose stems cost least to grow
 *   -> pools   stems of one crop that can stand for each other: those asked for in the same
 *              colours.  Less what the shed and the drying line give by each day
 *   -> stems   to cut, by the loss chain and the certainty wanted (plan_sure.h)
 *   -> plants, cells, trays, packets, metres, days (plan_season.h), money
 *
 * Dates.  Frost-bound days are civil-day arithmetic.  Where the first frost of autumn
 * comes before the last of spring (the south), the season's first frost is a year later.
 * A cut is even over its days from `first_cut` to `last_cut`, both cut; a stem cut on day
 * d is boxed on d + drying days.  Weeks are ISO 8601 weeks, given by their Monday.
 *
 * Sowings.  The i-th `sows` goes with the i-th `plants`; where one kind has fewer lines
 * its last one serves, at the same distance in days.  Sowings share a crop's stems evenly,
 * but for stems that only the earlier ones have boxed in time.  A sowing whose day is over
 * is planned only for what later ones cannot give by their day.
 *
 * Certainty.  A line that is to be c sure, over k pools that have to be grown for it, asks
 * 1 - (1-c)/k of each.  Lines that do not say how sure are met by the plain number: every
 * rate as it stands.  In a bad year the surest line is served first, of equally sure ones
 * the earliest.
 *
 * Everything is in the arena.  Money in full precision; NaN: not known.
 */
#ifndef RECKON_PLAN_H
#define RECKON_PLAN_H

#include "farm/farm.h"
#include "reckon/cost.h"
#include "reckon/price.h"
#include "reckon/remark.h"
#include "reckon/stock.h"

/* ---- what is asked for ---- */

struct plan_wish {              /* so many of a piece to be sold by a day */
	uint32_t piece, outlet; /* outlet NONE: not said */
	double count;           /* 0 or more; need not be whole */
	day by;
	double sure;            /* chance, below 1; NaN: not said */
};
struct plan_way {               /* so many pieces of a line, made in one way */
	int64_t pieces;
	const uint32_t *choices; /* the option of each need with several, counted from the piece down:
	                          * a need, then those of its options' parts, then the next need */
};
struct plan_line_ways {         /* what is left of the line is made in the last way */
	const struct plan_way *ways;
	size_t n;
};
struct plan_options {           /* zeroed: the farm's targets, everything counted */
	const struct plan_wish *wishes; /* instead of the farm's targets ... */
	size_t nwishes;
	bool has_wishes;        /* ... when this is set */
	bool ignore_orders;
	bool ignore_stock;      /* shed, drying line, finished pieces and parts count for nothing */
	bool other_ways;        /* where what stands comes short and a need has another way, that one */
	const struct plan_line_ways *ways; /* per line, instead of the cheapest; n 0: that */
	bool rates_sure;        /* losses, yield and live share are taken as certain */
};

/* ---- the answer ---- */

struct plan_line {              /* a target's `sell`, or an open order */
	struct plan_wish wish;
	uint32_t order;         /* into farm->orders; NONE: a target */
	double make;            /* pieces to have ready: count / (1 - spoils), whole */
	double finished;        /* of which on the shelf */
	size_t pools;           /* that have to be grown for it: k */
	double chance;          /* that all its stems are there: product over its pools, which
	                         * errs on the low side; 1 when nothing has to be grown */
	double plain_chance;    /* with the plain numbers */
	double lacking;         /* usable stems that cannot be there by its day */
	uint32_t price_line;    /* into prices->lines: what its money follows; NONE: no price */
	double revenue;         /* net of tax; NaN without a price */
	double contribution;    /* revenue less fees, sending, carton, supplies and paid labour;
	                         * stems and overhead not taken off; NaN without a price */
};

struct plan_use {               /* stems that a line takes from a pool */
	uint32_t line, pool;
	double stems;           /* in pieces, usable; with `odd` */
	double odd;             /* of which over, where all stems of a piece are of one colour:
	                         * (colours - 1) x (stems of a piece - 1) */
	double stock, hanging;  /* of which from boxes, from the drying line */
	double grow;            /* the rest: to be grown or bought */
};

enum plan_source {              /* where a crop's stems come from */
	PLAN_NOT_NEEDED,
	PLAN_STOCK,             /* what there is suffices */
	PLAN_SOWN,              /* or planted, without `sows` */
	PLAN_STANDING,          /* a perennial that is there: nothing is planted */
	PLAN_BOUGHT,
	PLAN_GATHERED           /* neither planted nor bought: stems to cut, and no more known */
};

struct plan_pool {
	uint32_t crop;
	const uint32_t *colours; /* asked for, rising; none: any */
	size_t ncolours;
	double stems, stock, hanging; /* sums over its uses */
	/* The demand that decides the number (one day, one certainty, one length): */
	day by;
	double chance_wanted;   /* of this pool alone; NaN: the plain number */
	int64_t need;           /* whole usable stems on that day: the n of "n usable of so many cut" */
	double in_time;         /* share of the cut that is boxed by then, 0..1 */
	double from, to;        /* mm, a length asked for; 0 */
	double fits;            /* share of stems of that length, by the records; 1 */
	double kept[STAGE_COUNT]; /* shares kept: field, drying, in the box until then, bench */
	double months;          /* in the box, as the mean that gives kept[STAGE_STORAGE] */
	/* Stems to cut in a season of usual yield (bought: stems to buy): */
	int64_t cut, plain;     /* with the certainty; with every rate as it stands */
	int64_t plain_need;     /* the plain number of the deciding demand alone */
	int64_t plain_for;      /* whole usable stems that ask for `plain`, */
	day plain_by;           /* and their day */
	double chance, plain_chance; /* that the need is met; the least of its demands */
	bool out_of_reach;      /* no number has the wanted chance: some years bring nothing */
	double lacking;         /* usable stems that no sowing can have boxed by their day, or of
	                         * a length that no record shows */
};

struct plan_week {
	day monday;
	double stems;           /* cut in that ISO week */
};

struct plan_sowing {            /* one sowing of a crop, or what stands */
	uint32_t sows, plants;  /* into crop->sowings, crop->plantings; NONE */
	bool planned;           /* stems are asked of it */
	bool past;              /* its first day is over */
	day sow;                /* DAY_NONE: not known, not sown */
	day plant;              /* out; direct: as sown */
	day first_cut, last_cut; /* inclusive; DAY_NONE: not known */
	day first_boxed, last_boxed;
	int64_t stems;          /* to cut in a season of usual yield */
	int64_t plants_out;     /* 0: not known (no stems per plant) */
	int64_t cells;          /* to sow, with the certainty; direct: spots, 0 not sown */
	int64_t trays;          /* whole, the last one filled as far as is needed; 0: direct, or
	                         * cells per tray not said */
	int64_t seeds;          /* for these cells */
	double metres;          /* mm of bed */
	struct plan_week *weeks; /* with a cut, rising; their stems add up to `stems` */
	size_t nweeks;
};

struct plan_colour {            /* what to plant in which colour */
	uint32_t colour;        /* NONE: any */
	double exact;           /* stems before rounding up */
	int64_t stems, plants, seeds, packets; /* each rounded up by itself */
};

struct plan_money {
	double seed;            /* whole packets */
	double land;            /* `growing` of the metres */
	double growing_hours, cutting_hours, drying_hours;
	double labour;          /* these hours at the burdened wage */
	double spends;          /* bands and boxes */
	double establishment;   /* a standing bed's yearly share */
	double bought;          /* stems bought in */
	double total;
	double boxed;           /* stems that are boxed in a season of usual yield */
	double per_boxed, per_usable; /* total / stems; NaN */
	bool seed_known;        /* every sowing says its seed price, or nothing is sown */
};

struct plan_crop {
	enum plan_source source;
	double stems, stock, hanging, lacking; /* usable, over its pools */
	int64_t cut, plain;     /* stems, over its pools */
	double chance, plain_chance; /* product over its pools, and that enough seed comes up:
	                         * errs on the low side */
	double came_up;         /* chance that every sowing gives its plants, where somebody asks to be sure; 1 */
	struct plan_sowing *sowings; /* by file order; standing: one; bought, gathered: none */
	size_t nsowings;
	struct plan_week *weeks; /* over its sowings */
	size_t nweeks;
	int64_t plants_out, cells, trays, seeds, packets;
	double metres;          /* mm of bed to plant; standing: that stands */
	int64_t bears;          /* standing: stems that it gives in a season of usual yield; -1 */
	double short_stems;     /* standing: of `cut`, more than it gives */
	struct plan_colour *colours;
	size_t ncolours;
	struct plan_money money;
};

struct plan {
	day on;
	day last_frost, first_frost; /* of the season; DAY_NONE */
	struct plan_line *lines; /* targets in file order, then orders */
	struct plan_pool *pools; /* by crop */
	struct plan_use *uses;   /* by line, then pool */
	size_t nlines, npools, nuses;
	struct plan_crop *crops; /* per farm->crops */
	struct plan_money money; /* of all */
	double metres, metres_most; /* mm; most 0: not said */
	double chance, plain_chance; /* that every line is met: product over all pools */
	double revenue, contribution; /* of the targets, and of orders that have to be grown for,
	                         * where they have a price; contribution less money.total */
	double lacking_revenue; /* of that revenue, of lines whose stems cannot all be there */
	size_t unpriced;        /* of these lines: without a price */
	size_t early_orders;    /* with ignore_stock: due before anything planted could be there, left out */
	bool priced;            /* costs and prices were there */
	bool possible;          /* nothing is lacking, no standing bed short, and there is bed enough */
};

/* 0; -1 with an error in diag (counts too large).  costs and prices may be NULL: no
 * lines' money then, and ways are chosen by the growing cost of stems alone. */
int plan_reckon(struct plan *out, const struct farm *farm, const struct stock *stock,
                const struct costs *costs, const struct prices *prices,
                const struct plan_options *options, struct arena *a, struct remarks *r,
                struct diag *diag);

/* Something has to be grown for it, or cannot be there; not so: an order that what is there meets. */
bool plan_line_grows(const struct plan_line *l);
const char *plan_source_name(enum plan_source s); /* "sown", "standing", ... */

#endif
