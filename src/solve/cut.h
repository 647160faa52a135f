/* cut.h - inside src/solve only: Gomory's mixed-integer cuts from rows of the simplex table,
 * without the solver, which works them out column by column, too slowly for large mixes.
 *
 * Of a split column that is to be whole, its row of the table says how it hangs on what
 * stands at a limit.  Counted from those limits that is  x + sum a t = b,  t >= 0, and with
 * f0 the part of b behind the point every whole answer keeps
 *
 *     sum g(a) t >= 1     g(a) = f / f0 or (1 - f) / (1 - f0), the lesser, f of a likewise,
 *                         where t is whole; else a / f0 or -a / (1 - f0), above 0
 *
 * (Cornuejols, "Valid inequalities for mixed integer linear programs", Math. Program. 112,
 * 2008, from memory).  A row of whole columns with whole coefficients and limit is whole. */
#ifndef SOLVE_CUT_H
#define SOLVE_CUT_H

#include "solve/solve_in.h"

enum standing { STANDS_WITHIN, STANDS_LOW, STANDS_HIGH, STANDS_HELD, STANDS_FREE };
struct stand { /* of a row or a column at a linear optimum; within: basic */
	enum standing at;
	double lo, hi;
};
struct cut {          /* sum of value x column >= least */
	size_t first; /* into cols and values of the found */
	int n;
	double least, depth, norm; /* depth: how far the optimum is on the wrong side */
};
struct entries { /* of rows that lie one behind the other; grows */
	int *cols;
	double *values;
	size_t n, cap;
};
struct cuts {
	const struct solve *m;
	struct entries rows; /* of the program, then of the cuts that have become part of it */
	size_t *starts, nrows, cap_rows;
	bool *whole;             /* per row */
	struct stand *row, *col; /* to be filled in by the caller, before each round */
	double *x;               /* likewise; per column */
	struct entries entries;  /* of the found */
	struct cut *found;       /* of this round; cuts_most */
	size_t nfound;
	double *table, *sum; /* per column, all 0 between calls */
	bool *met;           /* likewise */
	int *touched;
};

enum { CUTS_ROUND = 120 };

/* r: entries sorted.  `most` cuts may become part of the program. */
void cuts_open(struct cuts *c, const struct run *r, size_t most);
void cuts_close(struct cuts *c);
/* Whether a split column is worth a cut: whole, and far enough from it. */
bool cuts_wanted(const struct cuts *c, size_t col);
/* A cut from the column's row: rho is its row of the basis' inverse, per row.  Kept among
 * the found when it cuts deep enough and its numbers can be trusted. */
void cuts_find(struct cuts *c, size_t col, const double *rho);
/* Leaves of the found the deepest that are not much alike. */
void cuts_choose(struct cuts *c);
/* The found become rows; those rows that are marked (from the program's own on) go. */
void cuts_add(struct cuts *c);
void cuts_drop(struct cuts *c, const bool *gone);

#endif
