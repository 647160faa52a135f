/* options.h - the command line: one table of commands, one of options, from which
 * parsing, help and docs/output.md's test come.
 *
 *     thrave COMMAND [FOLDER] [options anywhere]     `--` ends the options
 *
 * `beside` alone takes a second folder.
 */
#ifndef COMMANDS_OPTIONS_H
#define COMMANDS_OPTIONS_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "base/buf.h"
#include "base/date.h"

/* Exit statuses; what each means stands in exit_meaning(). */
enum exit_status {
	EXIT_DONE = 0,
	EXIT_NO = 1,
	EXIT_USAGE = 2,
	EXIT_INPUT = 3,
	EXIT_SYSTEM = 4,
	EXIT_STOPPED = 5
};
const char *exit_meaning(int status); /* NULL for others */

struct request { /* a command line, understood; texts borrowed from argv */
	const struct command *command;
	const char *folder;
	const char *other; /* the second folder of `beside` */
	const char *topic; /* help COMMAND */
	/* note: what happened (enum event), the words behind it, cells as they were given */
	unsigned event;
	const char **words, **drawn;
	size_t nwords, ndrawn;
	const char *minutes, *spoiled, *box, *colour, *length, *cause, *outlet, *price, *say,
	    *id;
	bool try_only, sure;
	day on, from, and_on;
	const char **suppose, **of;
	size_t nsuppose, nof;
	const char **batches;
	size_t nbatches;
	const char *output, *table;
	int64_t count; /* --for; 0 when not given */
	const char **without, **leave;
	size_t nwithout, nleave;
	double hours, within, paid; /* h, a fraction, money per h; NaN when not given */
	int64_t nodes, seconds, rows; /* 0 when not given */
	bool mix, next, fit, own_labour, no_keep_value, stall_hours, to_the_end, worth;
	bool csv, json, quiet, no_buying, no_stock, with_past, figures, help, version;
	bool all;     /* beside: what is the same too */
	bool assumed; /* losses by the lines alone */
};

struct command {
	const char *name;
	const char *takes;   /* "[FOLDER]" */
	const char *meaning; /* one line */
	const char *more;    /* a paragraph for its own help */
	int (*run)(const struct request *);
	unsigned bit; /* in option.commands */
	unsigned of;  /* kinds of things that its --of takes, as bits 1 << kind; 0: no --of */
};
const struct command *command_at(size_t i); /* NULL past the end */

struct option {
	const char *name;  /* "--on" */
	const char *value; /* "DATE"; NULL: none */
	const char *meaning;
	unsigned commands; /* which take it */
	bool many;         /* may be given more than once */
};
const struct option *option_at(size_t i);

/* 0, or EXIT_USAGE with what is wrong in err (the form of a diagnostic).  Arrays
 * in req are freed by request_release(). */
int request_parse(struct request *req, int argc, char **argv, struct buf *err);
void request_release(struct request *req);
/* The error that the word is no `what` ("command"), with the nearest of the candidates
 * or `else_hint`; EXIT_USAGE. */
int request_unknown(struct buf *err, struct str word, const char *what,
		    struct str (*next)(void *, size_t), const char *else_hint);
/* note: the folder and the event among the words, and whether the options go with it. */
int note_settle(struct request *req, struct buf *err);
/* Lines of what can be noted, for help; NULL past the end. */
const char *note_form_at(size_t i);

/* "crop, part or piece": the kinds in `of`. */
void kinds_text(struct buf *out, unsigned kinds);

void help_program(struct buf *out);
void help_command(struct buf *out, const struct command *c);

#endif
