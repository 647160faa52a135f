/* pull.h - the pull list: which stems from which box, for what is to be made.
 *
 * Asked for are makings: so many of a piece, to be made on a day.  Without any they are
 * the open orders, each on its own day, less the finished pieces on hand (earliest due
 * first).  With some, these are made besides the finished ones, and the open orders that
 * share a material keep theirs: planned together, but no part of the list.
 *
 * The rules are those of reach.h: whole stems pooled over one maker, need, option and
 * day, ceil(makings x count / (1-b)); classes of equal stems, colours, lengths, one
 * colour, alternatives in whole makings, parts in stock and what a making leaves over,
 * stems set aside for a later day.  What can be met is met in full; when not everything
 * can, what is missing is as little as can be once the orders outside the list have theirs.  No part is made that is not wanted.
 *
 * Boxes.  Oldest month of boxing first (not said: last), of equally old ones the
 * shortest stems that fit, as far as that leaves enough for everything else; within a
 * class box by box, earliest day of boxing first, then the fuller one.  A class that is
 * spread over boxes gives each its share of the stems by largest remainder (a tie goes
 * to the box that is emptied first), so that no box gives more than its good stems,
 * rounded up to a whole one.
 *
 * For a mix (mix.h) nothing is looked for: its makings, its ways and its stems by their
 * keep value are taken as they are, and box by box as above.
 *
 * Same input, same list: nothing here depends on time or memory.
 */
#ifndef RECKON_PULL_H
#define RECKON_PULL_H

#include "farm/farm.h"
#include "reckon/mix.h"
#include "reckon/remark.h"
#include "reckon/stock.h"

struct making { /* wanted */
	uint32_t piece;
	int64_t count;  /* 1 or more */
	day on;         /* DAY_NONE or past: the stock's day */
};
struct pull_options {
	const uint32_t *only; /* orders: list these pieces alone; NULL: all */
	size_t nonly;
	bool alone;           /* makings: the open orders are left out */
	bool no_buying;
	long nodes;           /* solver's node limit; 0 default */
};
enum pull_state {
	PULL_MET,       /* all of it can be made */
	PULL_SHORT,     /* it cannot: see shorts */
	PULL_STOPPED    /* solver limit: it may be that nothing is short */
};
struct pull_run { /* a piece or part made on a day; of that day, parts first */
	struct item item;
	day on;
	int64_t count;          /* pieces; of a part whole makings, 0: all lies ready */
	int64_t ordered;        /* pieces: of which for open orders */
	struct rat gives;       /* base units: count x makes */
	struct rat wanted;      /* parts: base units that the day takes ... */
	struct rat ready;       /* ... of which on the shelf or left over */
	bool listed;            /* asked for; else it is for orders outside the list */
	size_t first, nlines;   /* into lines */
};
enum pull_kind {
	PULL_STEMS,     /* out of a box */
	PULL_MISSING,   /* stems that no box has */
	PULL_PART,      /* made ahead, or off the shelf */
	PULL_SUPPLY
};
struct pull_line {
	enum pull_kind kind;
	uint32_t run;
	struct item item;
	uint32_t need, option;  /* of the run's maker */
	uint32_t colour;        /* STEMS: of the box; MISSING: one colour asked for; NONE */
	int64_t makings;        /* of the run that are met this way */
	uint32_t box;           /* STEMS: into farm->boxes; else NONE */
	int64_t stems;          /* STEMS, MISSING; whole */
	struct rat amount;      /* PART, SUPPLY: base units */
};
struct pull_box { /* every box that something is taken from, in the order of the boxes' crops */
	uint32_t box;
	double holds;           /* good stems on the stock's day */
	int64_t take;           /* stems for the list, all days */
	int64_t kept;           /* for orders outside the list */
	double left;            /* good stems of the stock's day after both; 0 or more */
};
struct pull_supply {
	uint32_t supply;
	struct rat needed;      /* base units, for the list */
	double on_hand;         /* after orders outside the list; NaN not counted */
	double missing;         /* to buy; 0 when enough or not counted at all */
};
struct pull_order { /* open orders, by day; only without makings */
	uint32_t order;         /* into farm->orders */
	day on;
	int64_t count, finished; /* pieces; of which on hand */
	int64_t cannot;         /* of a mix: of which cannot be made */
};
struct pull_sale { /* of a mix: pieces for an outlet, besides the orders */
	uint32_t piece, outlet;
	int64_t count, finished; /* of which on hand */
};
struct pull_short {
	struct item item;       /* crop or supply */
	double count;           /* stems, base units */
	double orders;          /* stems: of which for orders outside the list */
};
struct pull {
	enum pull_state state;
	bool least;     /* SHORT: proven that no less is missing in all */
	struct pull_run *runs;
	struct pull_line *lines; /* by run, in the order of the recipe */
	struct pull_box *boxes;
	struct pull_supply *supplies;
	struct pull_order *orders;
	struct pull_sale *sales;
	struct pull_short *shorts;
	size_t nruns, nlines, nboxes, nsupplies, norders, nsales, nshorts;
};
/* n 0: the open orders.  0, or -1 with an error in diag (amounts too fine to be
 * pooled).  Everything in `out` lives in `a`. */
int pull_reckon(struct pull *out, const struct farm *farm, const struct stock *stock,
                const struct making *makings, size_t n, const struct pull_options *options,
                struct arena *a, struct remarks *r, struct diag *diag);

/* For a mix as reckoned with these options for this farm and stock; MET unless the mix
 * cannot be drawn as it stands, which would be a fault of the program. */
int pull_mix(struct pull *out, const struct farm *farm, const struct stock *stock,
             const struct mix *mix, const struct mix_options *options, struct arena *a,
             struct diag *diag);

#endif
