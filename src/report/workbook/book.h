/* book.h - the farm as a workbook (.xlsx) that goes on reckoning by itself.
 *
 * The sheet of inputs holds every figure that the farm gives; formulas lead from
 * there to stock, stem costs, costs, prices and earnings, and each formula cell
 * carries the value that the program found.  What a solver found (reach) is
 * written as values and says so when an input that it rests on has been changed.
 * docs/workbook.md tells of every sheet and column; book_table() is what it is
 * compared with.
 *
 * The file is written beside its target, read back and checked (verify.h), and
 * only then takes the target's place.  The same reckoning gives the same bytes.
 */
#ifndef REPORT_WORKBOOK_BOOK_H
#define REPORT_WORKBOOK_BOOK_H

#include "base/diag.h"
#include "reckon/hang.h"
#include "reckon/mix.h"
#include "reckon/plan.h"
#include "reckon/pull.h"
#include "reckon/reckon.h"
#include "reckon/sway.h"
#include "report/workbook/sheet.h"

enum origin {               /* where the cells of a column come from */
	      ORIGIN_VALUE, /* given, counted or worded by the program: stands as it is */
	      ORIGIN_INPUT, /* to be changed in the workbook */
	      ORIGIN_LIVE,  /* a formula */
	      ORIGIN_SOLVED /* found by the solver: stands as it is */
};
struct book_column {
	const char *key; /* "per_hour": stable; unique in its sheet */
	const char *head;
	const char *unit; /* under the head; "$" is the farm's currency */
	enum shape shape;
	double width; /* characters */
	enum origin origin;
	const char *note; /* the formula in words; NULL: the head says it all */
};
struct book_table {
	const char *sheet; /* its name */
	const char *says;  /* the sentence below the title */
	const struct book_column *columns;
	size_t ncolumns;
};
const char *origin_name(enum origin o);        /* "value", "input", "live", "solved" */
const struct book_table *book_table(size_t i); /* in the order of the sheets; NULL past the end */

struct book_solved { /* what was reckoned besides */
	const struct mix *mix; /* the best mix and its pull list; NULL: not looked for */
	const struct pull *pull;
	const struct hang *hang, *planned; /* drying line of this season, of the next; may be NULL */
	const struct plan *plan; /* next season's plantings; may be NULL */
	const struct sway *sway; /* what matters most; NULL: not looked for */
};
/* The reckoning must hold everything (RECKON_ALL).  solved: NULL, nothing of it.  diag: the one that the farm was
 * loaded with, whose sources tell where a figure stands.  0; or -1 with one error in
 * diag, always of the system's making (exit status 4): the target is untouched. */
int book_write(const struct reckoning *r, const struct book_solved *solved, const char *path,
	       struct diag *diag);

#endif
