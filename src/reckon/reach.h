/* reach.h - for each piece alone: the most that the stock supports.
 *
 * The largest whole n such that n of the piece can be made today AND every open
 * order that shares a material with it (directly or through other such orders) be
 * made on its own day, finished pieces first, from the usable classes of stock.h:
 * colour, length (a longer stem serves a shorter need, not the reverse; `to` is kept
 * as it is said; a box that does not say its colour or length serves only needs that
 * do not ask), alternatives in whole pieces, shared parts.  Orders that are overdue or
 * have no day are today's.  A class past keeping on a day is not used on that day.
 *
 * Whole stems.  For one day of use, one maker (piece or part), one need and one
 * option, `m` makings draw ceil(m x count / (1-b)) whole stems: pooled over the run.
 * `one colour of` splits an option by colour, in whole makings.  Stems set aside from
 * a class for a later day shrink: z stems set aside give floor(z x survival(class,
 * day)) on that day, survival from the count, and the z of all days together are at
 * most the stems counted.  So with one day of use that is floor(count x survival).
 * `reserve` stems of a crop are left alone (counted stems, any usable class).  Supplies
 * can be bought, unless `no_buying`; those that nobody counted limit nothing.
 *
 * Parts are made on the day that uses them: on no day more than it takes, rounded up
 * to whole makings.  Parts on hand, and what a making leaves over, serve that day or a
 * later one.
 *
 * The answer is exact: bounds that prove what cannot be, plans that prove what can, and
 * between them the program of solve/, whose plan is checked, row by row, in whole
 * numbers (reach_program.h).
 */
#ifndef RECKON_REACH_H
#define RECKON_REACH_H

#include "farm/farm.h"
#include "reckon/remark.h"
#include "reckon/stock.h"

enum { REACH_STOPS_MOST = 4 };

struct reach_options {
	bool no_buying;         /* only supplies in the shed */
	bool ignore_orders;
	long nodes;             /* solver's node limit; 0 default */
};
enum reach_state {
	REACH_FOUND,
	REACH_ENDLESS,          /* nothing in it is counted: no limit */
	REACH_ORDERS_SHORT,     /* the open orders that share a material with it cannot all be made */
	REACH_STOPPED           /* solver limit: `most` is proven possible, not proven most */
};
struct reach_piece {
	enum reach_state state;
	int64_t most;           /* besides the open orders and the finished ones */
	int64_t upper;          /* proven bound; == most unless STOPPED */
	double finished;        /* on hand and not promised to orders */
	struct item stops[REACH_STOPS_MOST]; /* crops, supplies: with more of that alone, more
	                         * could be made; in the order of the recipe */
	size_t nstops;
	bool together;          /* no single material stops it: the stops are short together */
	double more_by;         /* a bunch (stems; of a supply a pack, else one) of stops[0], boxed
	                         * today, of the colour and length asked for that helps most... */
	int64_t more;           /* ...would allow this many more pieces; -1 not reckoned */
};
struct order_short {            /* when orders cannot all be made */
	struct item item;
	double count;           /* base units short, least possible in all */
};
struct reach {
	struct reach_piece *pieces; /* per farm->pieces */
	struct order_short *shorts;
	size_t nshorts;
};
int reach_reckon(struct reach *out, const struct farm *farm, const struct stock *stock,
                 const struct reach_options *options, struct arena *a, struct remarks *r,
                 struct diag *diag);

/* The list for a stated number of one piece, besides finished ones, with as little
 * missing in all as can be, open orders met; then the ways that are written first.
 * Orders of the same day take the first ways and the whole makings first; what the
 * list shows is the rest. */
struct list_line {
	struct item item;
	struct rat needed;      /* base units, bench allowance included for crops */
	double whole;           /* whole stems, makings or packs that this means */
	double on_hand;         /* usable and fitting any way of the piece, after open orders; NaN
	                         * not counted */
	double missing;         /* to cut, make or buy; 0 when enough.  Stems: what the open orders
	                         * lack as well */
	double packs;           /* supplies: whole packs to buy for `missing`; 0 when sold loose */
	double money;           /* for these packs (loose: for `missing`); NaN no price */
};
struct reach_list {
	bool possible;          /* stems (and supplies, with no_buying) suffice, orders met */
	bool least;             /* proven that no less is missing in all; false: the search met
	                         * its limit first */
	bool found;             /* false: the limit came before any way to make it; n is 0 */
	struct list_line *lines; /* crops, parts, supplies */
	size_t n;
};
int reach_list(struct reach_list *out, const struct farm *farm, const struct stock *stock,
               uint32_t piece, int64_t count, const struct reach_options *options, struct arena *a,
               struct diag *diag);

#endif
