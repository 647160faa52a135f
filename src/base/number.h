/* number.h - exact quantities, strict number parsing, rounding, printing.
 *
 * Quantities that are counted or pooled are exact rationals (struct rat), so
 * that 1/3 stem times 24 is 8 stems.  Everything is locale-free.  All checked
 * operations return false on overflow and leave the result untouched.
 */
#ifndef BASE_NUMBER_H
#define BASE_NUMBER_H

#include <stdbool.h>
#include <stdint.h>

#include "base/str.h"

struct buf;

/* num/den in lowest terms, den > 0. */
struct rat {
	int64_t num, den;
};
#define RAT_ZERO ((struct rat){ 0, 1 })
#define RAT_ONE ((struct rat){ 1, 1 })

bool rat_make(struct rat *r, int64_t num, int64_t den); /* den != 0 */
bool rat_add(struct rat *r, struct rat a, struct rat b);
bool rat_sub(struct rat *r, struct rat a, struct rat b);
bool rat_mul(struct rat *r, struct rat a, struct rat b);
bool rat_div(struct rat *r, struct rat a, struct rat b); /* false too when b is 0 */
int rat_cmp(struct rat a, struct rat b);                 /* exact, never overflows */
int rat_sign(struct rat a);
int64_t rat_floor(struct rat a);
int64_t rat_ceil(struct rat a);
double rat_double(struct rat a); /* correctly rounded when |num|, den < 2^53 */

/* What a number parser made of the text at s. */
enum number_fault {
	NUMBER_OK,
	NUMBER_NONE,          /* no digit where a number should start */
	NUMBER_DECIMAL_COMMA, /* 2,5 where the decimal sign is a point */
	NUMBER_TOO_LONG,      /* more than 15 significant digits, or out of range */
	NUMBER_ZERO_DIV,      /* 1/0 */
	NUMBER_JUNK           /* number runs into other characters: 12x, 1.2.3, 1e5 */
};

/* A decimal number at the start of s: optional sign, digits, optional point
 * and digits (`.95` and `12` are numbers, `1.` is not, no exponent, no hex).
 * decimal is '.' or ','.  A blank, line end or one of % , ; / ) may follow.
 * *used is the length taken; with a fault (other than NUMBER_NONE: 0) it is the
 * length of the offending text and *out is untouched. */
enum number_fault number_decimal(struct str s, char decimal, struct rat *out, size_t *used);
/* A quantity of the notation at the start of s: `24`, `2.5`, `1/2`, `2 1/2`.
 * The fraction behind a whole number is below 1: `2 3/2` is NUMBER_JUNK. */
enum number_fault number_quantity(struct str s, struct rat *out, size_t *used);
/* The same two for a whole token: trailing characters are NUMBER_JUNK. */
enum number_fault number_decimal_all(struct str s, char decimal, struct rat *out);
enum number_fault number_quantity_all(struct str s, struct rat *out);
/* The digits and points that s begins with. */
struct str number_head(struct str s);

/* x in whole minor units (digits = 0..4 decimals), rounded half away from zero.
 * A value within 4 units in the last place of a half counts as the half, so that
 * 1.005 read as text rounds to 1.01 (for |x| above 1e14 minor units the guard is
 * held to an eighth of a unit).  |x| above 9e15 minor units saturates; NaN is 0. */
int64_t money_minor(double x, int digits);
double money_round(double x, int digits); /* the same, back in major units */

/* Digits of x with `decimals` places, half away from zero, `.` as the sign,
 * no grouping; "-0.00" never appears.  Non-finite prints as "?". */
void number_print(struct buf *b, double x, int decimals);
/* Shortest text that reads back as the same double (for --csv and --json). */
void number_print_exact(struct buf *b, double x);
/* As few decimals as show x to `most` places: 2, 2.5, 0.333. */
void number_print_short(struct buf *b, double x, int most);

#endif
