/* mix.h - which pieces to make, and for which outlet: the mix that earns most.
 *
 * Whole pieces for each `sells` line, so that the open orders are met at their own
 * days and
 *     contribution = what sells, before tax, and sending charged
 *                    - fees - sending - carton - supplies to buy - paid labour
 *                    - setting up - stall days - keep value of the stems used
 * is as large as can be.  Stems in the shed, supplies and made-ahead parts on hand are
 * paid for and cost nothing here; `carries` is what a stem still good next season is
 * worth then.  Overhead is there anyway.
 *
 * Stems and parts.  The rules are those of reach.h: whole stems per class, day, maker,
 * need and option; pieces for outlets are made on the stock's own day, orders on their
 * days; finished pieces go to orders first and are then sold before others are made.
 *
 * Outlets.  Of a piece with `likely a, up to b` the first a sell surely and the k-th
 * with the chance (b - k + 1)/(b - a + 1), which is that of any whole number from a to
 * b being asked for with equal chance.  With `likely` or `up to` alone so many sell
 * surely; with neither, any number.  `spoils` is of what is brought there; fees,
 * packing, carton and sending are of what sells and arrives, packing time is planned
 * for all of it.
 *
 * A stall is gone to on Y of its N days, each with its money and hours.  On Y days the
 * season's curve is met in small: each step of it is Y/N as wide.
 *
 * Work.  A maker's run of one day needs ceil(n/k) settings `for each batch of up to k`.
 * The bench hours limit all that is due by their day; orders due later are free of
 * them.  Hours at a stall count in money (when labour is paid), and in the bench hours
 * only with `stall_in_hours`.
 *
 * Exactness.  Money is reckoned in thousand-millionths, times in thousandths of a
 * second, each rounded once; from there on everything is whole numbers, and what is
 * returned has been added up and held against every limit anew, without the solver.
 * `bound` is the solver's: no mix brings more.
 */
#ifndef RECKON_MIX_H
#define RECKON_MIX_H

#include <signal.h>

#include "farm/farm.h"
#include "reckon/cost.h"
#include "reckon/price.h"
#include "reckon/remark.h"
#include "reckon/stock.h"

#define MIX_GAP 0.001 /* proven when the bound is within this of the answer */
enum { MIX_NODES = 6000 };

struct mix_reserve { /* stems of a crop to be left alone, as the crop's `reserve` */
	uint32_t crop;
	double stems;
};
struct mix_progress {
	double best, bound; /* money; NaN not known yet */
	long nodes;
};
struct mix_options {     /* zeroed: the usual ones */
	bool own_labour; /* nobody is paid for hours: they only run out */
	bool no_buying;  /* only supplies in the shed */
	bool ignore_orders;
	bool without_carries; /* stems left over are worth nothing */
	bool stall_in_hours;  /* hours at stalls come out of the bench hours */
	bool has_hours;       /* hours instead of the farm's `bench` */
	double hours;         /* h */
	const struct mix_reserve *reserves;
	size_t nreserves;
	const uint32_t *excluded; /* pieces not to be made for outlets; orders stay */
	size_t nexcluded;
	double gap;      /* relative; 0: MIX_GAP */
	bool to_the_end; /* gap 0, and equal mixes told apart (docs/reckoning.md, Ties) */
	bool by_hand;    /* no tree search: first answer and the relaxation's bound */
	long nodes;      /* 0: MIX_NODES */
	int seconds;     /* 0: none; runs that meet it may not repeat */
	const volatile sig_atomic_t *stop;
	void (*progress)(void *context, const struct mix_progress *p);
	void *context;
};

enum mix_state {
	MIX_PROVEN,  /* within the gap asked for */
	MIX_LIMITED, /* a limit or `stop` came first: best found, with its gap */
	MIX_NOTHING  /* not even the orders' own plan was found before a limit */
};
struct mix_line { /* a piece for an outlet; count > 0 */
	uint32_t piece, outlet;
	uint32_t offer;          /* into piece->offers */
	int64_t count, finished; /* pieces; of which taken from the shelf */
	double sold;             /* expected, less what spoils */
	double money;            /* contribution of these lines' sales alone: net - fees - sending
				  * - carton - packing labour, expected */
	double contribution;     /* each: money less its share of supplies bought, paid work and keep
				  * value (mix_share.c): with the open orders' and less the stalls'
				  * money the lines are worth the mix's value */
	double profit;           /* each, full cost (price.h), when it sells surely */
};
struct mix_making { /* a part, or a piece in all, on a day */
	struct item item;
	day on;
	int64_t makings; /* pieces; whole makings of a part */
};
struct mix_way { /* how a need is met */
	struct item maker;
	day on;
	uint32_t need, option;
	uint32_t colour; /* of `one colour of`; else NONE */
	bool choice;     /* there would have been another */
	int64_t makings;
};
struct mix_buy {
	uint32_t supply;
	double used, on_hand, buy; /* base units; on_hand NaN: not counted */
	double money;
};
struct mix_stall {
	uint32_t outlet;
	int64_t days, of; /* gone to, of those there are */
	double money;     /* and hours at the wage when labour is paid */
	double hours;
};
struct mix_left { /* per crop with boxes */
	uint32_t crop;
	int64_t usable, used, left; /* whole stems on the stock's day; used: all days */
	double carried;             /* keep value of what is left */
	double spent;               /* and of what is used */
};
struct mix_binding {      /* one more of it might bring more */
	struct item item; /* crop or supply */
	bool hours;       /* the bench hours; item means nothing */
	uint32_t outlet;  /* demand of item at the outlet; else NONE */
};
struct mix_short_order {
	uint32_t piece;
	day due;
	int64_t count; /* cannot be made */
};
struct mix_lack {         /* with so much more, all orders could be made; least possible */
	struct item item; /* crop or supply */
	double count;     /* stems, base units */
	double hours;     /* > 0: bench hours; item means nothing then */
};
struct mix {
	enum mix_state state;
	double value;  /* contribution of all, orders included */
	double bound;  /* proven: none brings more */
	double gap;    /* (bound - value) / max(|value|, 1 minor unit) */
	double orders; /* of which the orders' sales: net - fees - sending - carton - packing */
	double profit; /* full cost, expected: of the lines and stalls, without orders */
	struct mix_line *lines;
	struct mix_making *makings;
	struct mix_way *ways;
	struct mix_buy *buys; /* supplies that are used */
	struct mix_stall *stalls;
	struct mix_left *left;
	struct mix_binding *binding;
	size_t nlines, nmakings, nways, nbuys, nstalls, nleft, nbinding;
	double hours, hours_most; /* bench and packing, what is finished for orders too; due by
				   * the day; no limit, INFINITY: of all days */
	struct mix_line *second;  /* runner-up: best found mix with another line list ... */
	size_t nsecond;
	double second_value; /* ... NaN when none within 1% was met */
	struct mix_short_order *shorts;
	struct mix_lack *lacks;
	size_t nshorts, nlacks;
	uint32_t *endless; /* pieces that nothing limits: left out */
	size_t nendless;
	long nodes;       /* of the tree; -1 none was searched */
	bool interrupted; /* by `stop` */
};
/* What a stem of the class is worth if it is left over, in money. */
double mix_keep_value(const struct farm *farm, const struct stock *stock, uint32_t class_);

/* 0; -1 with an error in diag (amounts too fine to be pooled).  costs and prices as
 * reckoned for the same farm and stock. */
int mix_reckon(struct mix *out, const struct farm *farm, const struct stock *stock,
	       const struct costs *costs, const struct prices *prices,
	       const struct mix_options *options, struct arena *a, struct remarks *r,
	       struct diag *diag);

/* What one and five more bunches of a crop, or hours, would bring: solved again.  Not
 * while orders are short: n is 0 then. */
struct mix_worth {
	bool hour; /* bench hours; crop means nothing */
	uint32_t crop;
	uint32_t colour; /* the kind meant, of those asked for the one that helps most; */
	double length;   /* mm; NONE and 0: any */
	double bunch;    /* stems; 1 for hours */
	double one_low, one_high, five_low, five_high; /* money; equal when both ends are proven */
	double per_fresh; /* one_low per stem, after what is still lost (field, drying,
			   * bench) and less the work and bands still to come; NaN hours */
	double fresh;     /* the fresh price per stem; NaN not said */
};
struct mix_worths {
	struct mix_worth *items; /* by one_low, falling; crops in file order within */
	size_t n;
};
int mix_worth(struct mix_worths *out, const struct mix *base, const struct farm *farm,
	      const struct stock *stock, const struct costs *costs, const struct prices *prices,
	      const struct mix_options *options, struct arena *a, struct diag *diag);

#endif
