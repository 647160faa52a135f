/* lexer.h - inside src/farm: lines, words and values of the notation.
 *
 * A line is cut from the text without its comment; a cursor then walks one
 * statement.  Every reader below either takes what it wants and returns 0, or adds
 * one diagnostic with its place and returns -1; the statement is then given up.
 *
 *     cuts from 10 weeks after planting, over 9 weeks
 *     ^word     ^clause                ^next clause
 */
#ifndef FARM_LEXER_H
#define FARM_LEXER_H

#include "base/unit.h"
#include "farm/load.h"
#include "farm/statements.h"

enum {
	LINE_MOST = 64 * 1024,  /* bytes of a line, note and caution apart */
	TEXT_MOST = 100 * 1000, /* characters of a note or caution */
	NAME_MOST = 200         /* characters of a name */
};

/* ---- lines ---- */
struct line {
	struct str text;   /* without comment, blanks off both ends; empty: nothing there */
	size_t length;     /* bytes of the line as it stands */
	bool indented;
};
struct lines {
	struct str text;
	size_t at;
};
/* The next line, empty ones and comments included; false at the end. */
bool line_next(struct lines *lines, struct line *out);
/* The first word of a line. */
struct str line_word(struct str text);
/* Offset of the first character that must not stand in a text: a control, or a
 * character that cannot be seen or looks like a blank (free text may hold the
 * latter two).  text.n when there is none. */
size_t line_bad_char(struct str text, bool free_text, int32_t *code);

/* ---- cursor ---- */
struct cursor {
	struct loader *l;
	uint32_t file;                     /* index + 1 in diag->sources */
	struct str text;                   /* the statement without its first word */
	size_t at;
	const struct statement *statement; /* for the example in hints; may be NULL */
};
#define QUOTE(c, s) diag_quote((c)->l->diag, (s))
/* The source text of a span, quoted. */
const char *quote_span(struct diag *d, struct span at);
/* The error that exact arithmetic ends at this number. */
int too_large(struct diag *d, struct span at);
#define cur_error(c, s, ...) diag_error((c)->l->diag, cur_span((c), (s)), __VA_ARGS__)

struct span cur_span(const struct cursor *c, struct str s);
struct str cur_rest(const struct cursor *c);
/* The next word, or the comma or semicolon that stands there; empty at the end. */
struct str cur_peek(const struct cursor *c);
bool cur_end(const struct cursor *c);
bool cur_clause_end(const struct cursor *c); /* end, comma or semicolon */
/* Takes the word if it stands there.  `week*` takes the plural too, and
 * `per order` takes both words or none. */
bool cur_take(struct cursor *c, const char *words);
/* One of the single words, or an error: "before|after". */
int cur_want(struct cursor *c, const char *choices);
/* These words one after the other, or an error at the first that is missing. */
int cur_want_all(struct cursor *c, const char *words);
/* The error that none of the choices stands here. */
int cur_expected(struct cursor *c, const char *choices);
/* The error that something else stands here; `what` is a noun: "a number". */
int cur_missing(struct cursor *c, const char *what);
/* At the end of a clause: 1 and past the separator when another one follows, 0 at
 * the end of the line, -1 with an error. */
int cur_next_clause(struct cursor *c);
/* The error that what stands here is too much. */
int cur_too_much(struct cursor *c);
/* Adds the statement's example as a hint. */
void cur_hint_example(struct cursor *c);
/* An amount with its sign or code before it stands here: `$85`. */
bool cur_at_currency(const struct cursor *c);
/* Notes that a clause was given: an error when it was before. */
int cur_once(struct cursor *c, unsigned *seen, unsigned bit, struct str at);

/* ---- values ---- */
enum sense { ANY_SIGN, NOT_NEGATIVE, POSITIVE };

/* A quantity; *at is its text. */
int cur_quantity(struct cursor *c, struct rat *out, struct str *at, enum sense sense);
int cur_fig(struct cursor *c, struct fig *out, enum sense sense);
int cur_whole(struct cursor *c, struct fig *out, enum sense sense);
int cur_money(struct cursor *c, struct fig *out);
/* Per cent as a fraction; below: 100% and more are errors that say `why`. */
int cur_percent(struct cursor *c, struct fig *out, enum sense sense);
int cur_percent_below(struct cursor *c, struct fig *out, const char *why);
int cur_percent_upto(struct cursor *c, struct fig *out, const char *why); /* 100% is fine */
bool cur_at_percent(const struct cursor *c); /* a number with its % stands here */
/* Quantity and unit, in the dimension's base unit; of times, one and not two. */
int cur_measure(struct cursor *c, enum dimension dim, struct fig *out, enum sense sense);
int cur_unit(struct cursor *c, enum dimension dim, const struct unit **out);
/* The unit behind the number that stands here, without taking anything. */
struct str cur_peek_behind(const struct cursor *c);
/* L x W x H UNIT in mm, also without blanks: LxWxH UNIT. */
int cur_size(struct cursor *c, double size[3]);
bool cur_at_size(const struct cursor *c); /* a size without blanks stands here */
int cur_date(struct cursor *c, day *out);
/* A name up to the end of the clause; `what` is a noun with its article. */
int cur_name(struct cursor *c, const char *what, struct str *out);
int cur_check_name(struct cursor *c, struct str name, const char *what);
/* A counting word or unit; *out is in the form of measure_word(). */
int cur_count_word(struct cursor *c, struct str *out, struct str *at);

/* Sense that is looked at twice: where a line is read, and once suppositions are
 * laid over the figures (check.c). */
int upto_below_likely(struct diag *d, struct span at);
int check_tariff(struct diag *d, const struct tariff *last, const struct tariff *t);
int check_per_order(struct diag *d, const struct fig *per_order);
int check_labour(struct diag *d, const struct outlet *o);

/* Fills the figure from q. */
void fig_set(struct fig *f, struct rat q, struct span at);
/* Multiplies and divides a figure's exact value; -1 with an error on overflow. */
int cur_scale(struct cursor *c, struct fig *f, struct rat times, struct rat by);

#endif
