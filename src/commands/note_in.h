/* note_in.h - inside src/commands/note*.c: what one run of `note` has in hand. */
#ifndef COMMANDS_NOTE_IN_H
#define COMMANDS_NOTE_IN_H

#include "base/journal.h"
#include "commands/session.h"
#include "farm/log_line.h"
#include "reckon/bench.h"
#include "reckon/draw.h"

struct noting {
	const struct request *req;
	enum event event;
	struct session s;       /* the farm as it is */
	day on;
	struct rates rates;     /* of loss, as the pull list has them */
	struct item item;       /* index NONE: not said */
	struct rat count;       /* as it was said */
	struct str cells[BENCH_COLUMNS];
	const struct log_entry *old; /* the entry that has the id of --id already; or NULL */
	struct buf line;        /* for bench.csv, line end and all */
	struct str log;         /* bench.csv as it is, where columns have to be added; else empty */
	struct buf wide;        /* its whole lines with these columns */
	unsigned added;         /* which, as bits 1 << enum bench_column */

	/* The farm as it will be: read with the line, which is its last entry. */
	struct arena arena;
	struct diag diag;
	struct farm *farm;
	const struct log_entry *entry;
	bool same;              /* the entry is there already: nothing to write */
	const struct log_entry *struck; /* of a strike; NULL when it moves nothing */
	double books;           /* what they had before a count; NaN: nothing, or it is no count */
};

/* note_line.c: the words and options become cells; what is made draws its stems by the
 * rule of the pull list.  0, or an exit status with the error in s.diag. */
int note_cells(struct noting *n);

/* note_check.c: whether what the entry takes is there.  0, or EXIT_NO with the error. */
int note_amounts(struct noting *n);

/* note_slip.c: whether it looks like a slip of the hand.  0, or EXIT_NO with the error. */
int note_slips(struct noting *n);

/* note_say.c: what was written, what is left, and how to take it back. */
void note_say(struct noting *n, struct buf *out);
/* "4 Tideline wreath": the count with its unit. */
void note_amount(struct buf *out, const struct farm *farm, struct item item, double count);

#endif
