/* values.c - numbers, measures, dates and names in a statement. */
#include "base/buf.h"
#include "farm/lexer.h"
#include "farm/measure.h"

/* ---- numbers ---- */

/* "1,200" or "1,234,567": more likely a thousands mark than a decimal comma. */
static bool looks_like_thousands(struct str s)
{
	size_t digits = 0;
	bool comma = false;
	for (size_t i = 0; i < s.n; i++) {
		if (s.p[i] == ',') {
			if (digits == 0 || digits > 3 || (comma && digits != 3) || s.p[0] == '0')
				return false;
			comma = true;
			digits = 0;
		} else if (s.p[i] >= '0' && s.p[i] <= '9') {
			digits++;
		} else {
			return false;
		}
	}
	return comma && digits == 3;
}

/* The text with every comma made `with`, or dropped when that is 0. */
static struct str commas_to(struct cursor *c, struct str s, char with)
{
	char *p = arena_copy(c->l->arena, s.p, s.n);
	size_t n = 0;
	for (size_t i = 0; i < s.n; i++) {
		if (s.p[i] != ',')
			p[n++] = s.p[i];
		else if (with)
			p[n++] = with;
	}
	return (struct str){ p, n };
}

static int decimal_comma(struct cursor *c, struct str s)
{
	while (s.n && (s.p[s.n - 1] == ',' || s.p[s.n - 1] == ';'))
		s.n--;
	cur_error(c, s, "%s holds a comma; the decimal sign of the notation is a point.",
		  QUOTE(c, s));
	if (looks_like_thousands(s)) {
		diag_hint(c->l->diag, "write %s for the thousands, or %s",
			  QUOTE(c, commas_to(c, s, 0)), QUOTE(c, commas_to(c, s, '.')));
		return -1;
	}
	struct str point = commas_to(c, s, '.');
	struct rat r;
	size_t used;
	if (number_quantity(point, &r, &used) == NUMBER_OK && (used == s.n || point.p[used] == '%'))
		diag_hint(c->l->diag, "write %s", QUOTE(c, point));
	else
		diag_hint(c->l->diag, "put a blank behind a comma that separates two things");
	return -1;
}

/* A fraction as one sign, behind digits at most, as the notation writes it. */
static const char *vulgar(struct str s, size_t *at)
{
	static const char *const signs[] = { "\xc2\xbd", "1/2", "\xc2\xbc", "1/4", "\xc2\xbe", "3/4" };
	size_t n = 0;
	while (n < s.n && s.p[n] >= '0' && s.p[n] <= '9')
		n++;
	*at = n;
	for (size_t k = 0; n + 1 < s.n && k < sizeof signs / sizeof *signs; k += 2) {
		if (memcmp(s.p + n, signs[k], 2) == 0)
			return signs[k + 1];
	}
	return NULL;
}

static bool hint_fraction(struct cursor *c, struct str s)
{
	size_t at;
	const char *fraction = vulgar(s, &at);
	if (!fraction)
		return false;
	struct str rest = { s.p + at + 2, s.n - at - 2 };
	diag_hint(c->l->diag, "write `%.*s%s%s%s%.*s`", (int)at, s.p, at ? " " : "", fraction,
		  rest.n ? " " : "", STR_ARG(rest));
	return true;
}

/* Bytes of the sign between two sides at the start of s; 0: none. */
static size_t times_sign(struct str s)
{
	if (s.n && (s.p[0] == 'x' || s.p[0] == 'X'))
		return 1;
	return str_starts(s, "\xc3\x97") ? 2 : 0;
}

/* `8kg`, `12x`: digits that run into a word. */
static int junk_number(struct cursor *c, struct str s)
{
	while (s.n && (s.p[s.n - 1] == ',' || s.p[s.n - 1] == ';'))
		s.n--;
	cur_error(c, s, "%s is no number.", QUOTE(c, s));
	if (hint_fraction(c, s))
		return -1;
	size_t n = 0;
	while (n < s.n && ((s.p[n] >= '0' && s.p[n] <= '9') || s.p[n] == '.'))
		n++;
	struct str number = { s.p, n }, word = { s.p + n, s.n - n };
	struct rat r;
	if (word.n && number_quantity_all(number, &r) == NUMBER_OK &&
	    (unit_find(word) || str_is(measure_word(c->l->arena, word), "stem") ||
	     str_is(word, "x")))
		diag_hint(c->l->diag, "put a blank between them: `%.*s %.*s`", STR_ARG(number),
			  STR_ARG(word));
	else if (word.n > 1 && times_sign(word))
		diag_hint(c->l->diag, "a size has three sides and a unit behind a blank: `42 x 42 x 14 cm`");
	else if (s.n && s.p[s.n - 1] == '.')
		diag_hint(c->l->diag, "a number ends in a digit");
	else
		cur_hint_example(c);
	return -1;
}

static int bad_number(struct cursor *c, enum number_fault fault, struct str s)
{
	switch (fault) {
	case NUMBER_DECIMAL_COMMA:
		return decimal_comma(c, s);
	case NUMBER_TOO_LONG:
		cur_error(c, s, "%s has more digits than are counted exactly.", QUOTE(c, s));
		diag_hint(c->l->diag, "15 digits are the most");
		return -1;
	case NUMBER_ZERO_DIV:
		return cur_error(c, s, "%s divides by zero.", QUOTE(c, s));
	case NUMBER_JUNK:
		return junk_number(c, s);
	case NUMBER_OK:
	case NUMBER_NONE:
		break;
	}
	struct str word = cur_peek(c);
	size_t at;
	if (!vulgar(word, &at))
		return cur_missing(c, "a number");
	cur_error(c, word, "A number should stand here, not %s.", QUOTE(c, word));
	hint_fraction(c, word);
	return -1;
}

static int check_sense(struct cursor *c, struct rat r, struct str at, enum sense sense)
{
	if (sense != ANY_SIGN && rat_sign(r) < 0)
		return cur_error(c, at, "%s is below zero, which makes no sense here.",
				 QUOTE(c, at));
	if (sense == POSITIVE && rat_sign(r) == 0)
		return cur_error(c, at, "%s makes no sense here: it must be more than zero.",
				 QUOTE(c, at));
	return 0;
}

int cur_quantity(struct cursor *c, struct rat *out, struct str *at, enum sense sense)
{
	struct str s = cur_rest(c);
	size_t used;
	enum number_fault fault = number_quantity(s, out, &used);
	s.n = used;
	if (fault != NUMBER_OK)
		return bad_number(c, fault, s);
	*at = s;
	c->at = (size_t)(s.p - c->text.p) + used;
	return check_sense(c, *out, s, sense);
}

void fig_set(struct fig *f, struct rat q, struct span at)
{
	*f = (struct fig){ .v = rat_double(q), .q = q, .at = at, .given = true };
}

const char *quote_span(struct diag *d, struct span at)
{
	if (!at.file)
		return "this";
	const struct source *s = &d->sources[at.file - 1];
	return diag_quote(d, (struct str){ s->text.p + at.off, at.len });
}

int too_large(struct diag *d, struct span at)
{
	return diag_error(d, at, "%s makes a number that is too large to be counted exactly.",
			  quote_span(d, at));
}

int cur_scale(struct cursor *c, struct fig *f, struct rat times, struct rat by)
{
	struct rat q;
	if (!rat_div(&q, times, by) || !rat_mul(&q, f->q, q))
		return too_large(c->l->diag, f->at);
	f->q = q;
	f->v = rat_double(q);
	return 0;
}

int cur_fig(struct cursor *c, struct fig *out, enum sense sense)
{
	struct rat q;
	struct str at;
	if (cur_quantity(c, &q, &at, sense) < 0)
		return -1;
	fig_set(out, q, cur_span(c, at));
	return 0;
}

int cur_whole(struct cursor *c, struct fig *out, enum sense sense)
{
	struct rat q;
	struct str at;
	if (cur_quantity(c, &q, &at, sense) < 0)
		return -1;
	if (q.den != 1)
		return cur_error(c, at, "%s should be a whole number.", QUOTE(c, at));
	fig_set(out, q, cur_span(c, at));
	return 0;
}

int cur_money(struct cursor *c, struct fig *out)
{
	return cur_fig(c, out, NOT_NEGATIVE);
}

bool cur_at_percent(const struct cursor *c)
{
	struct rat q;
	size_t used;
	struct str s = cur_rest(c);
	if (number_quantity(s, &q, &used) != NUMBER_OK)
		return false;
	while (used < s.n && (s.p[used] == ' ' || s.p[used] == '\t'))
		used++;
	return used < s.n && s.p[used] == '%';
}

static int percent(struct cursor *c, struct fig *out, struct str *at, enum sense sense)
{
	struct rat q, hundred;
	if (cur_quantity(c, &q, at, sense) < 0)
		return -1;
	struct str sign = cur_rest(c);
	if (sign.n == 0 || sign.p[0] != '%') {
		cur_error(c, *at, "%s needs a per cent sign.", QUOTE(c, *at));
		diag_hint(c->l->diag, "write `%.*s%%`", STR_ARG(*at));
		return -1;
	}
	c->at = (size_t)(sign.p - c->text.p) + 1;
	at->n = (size_t)(sign.p - at->p) + 1;
	fig_set(out, q, cur_span(c, *at));
	rat_make(&hundred, 100, 1);
	return cur_scale(c, out, RAT_ONE, hundred);
}

int cur_percent(struct cursor *c, struct fig *out, enum sense sense)
{
	struct str at;
	return percent(c, out, &at, sense);
}

int cur_percent_below(struct cursor *c, struct fig *out, const char *why)
{
	struct str at;
	if (percent(c, out, &at, NOT_NEGATIVE) < 0)
		return -1;
	if (rat_cmp(out->q, RAT_ONE) >= 0)
		return cur_error(c, at, "%s is too much: %s", QUOTE(c, at), why);
	return 0;
}

int cur_percent_upto(struct cursor *c, struct fig *out, const char *why)
{
	struct str at;
	if (percent(c, out, &at, POSITIVE) < 0)
		return -1;
	if (rat_cmp(out->q, RAT_ONE) > 0)
		return cur_error(c, at, "%s is too much: %s", QUOTE(c, at), why);
	return 0;
}

/* ---- measures ---- */

struct units {
	enum dimension dim;
	size_t next;
};

static struct str next_unit(void *ctx, size_t i)
{
	struct units *k = ctx;
	const struct unit *u;
	(void)i;
	while ((u = unit_at(k->next++)) != NULL) {
		if (u->dim == k->dim)
			return str_of(u->name);
	}
	return STR_NONE;
}

static void hint_units(struct cursor *c, enum dimension dim)
{
	static const char *const names[] = {
		[DIM_LENGTH] = "mm, cm, m, km, in, ft, yd",
		[DIM_AREA] = "m2, ft2",
		[DIM_WEIGHT] = "g, kg, oz, lb",
		[DIM_TIME] = "s, min, h",
		[DIM_COUNT] = "stem, head, sprig, bunch, each",
	};
	diag_hint(c->l->diag, "units of %s: %s", dimension_name(dim), names[dim]);
}

static const char *noun(enum dimension dim)
{
	static const char *const nouns[] = {
		[DIM_LENGTH] = "a unit of length", [DIM_AREA] = "a unit of area",
		[DIM_WEIGHT] = "a unit of weight", [DIM_TIME] = "a unit of time",
		[DIM_COUNT] = "a counting word",
	};
	return nouns[dim];
}

int cur_unit(struct cursor *c, enum dimension dim, const struct unit **out)
{
	struct str word = cur_peek(c);
	const struct unit *u = unit_find(word);
	if (u && u->dim == dim) {
		c->at = (size_t)(word.p - c->text.p) + word.n;
		*out = u;
		return 0;
	}
	if (word.n == 0)
		cur_error(c, word, "The line ends where %s should stand.", noun(dim));
	else if (u)
		cur_error(c, word, "%s is %s; %s should stand here.", QUOTE(c, word), noun(u->dim),
			  noun(dim));
	else
		cur_error(c, word, "%s is not %s.", QUOTE(c, word), noun(dim));
	struct units k = { dim, 0 };
	struct str near = !u && word.n > 2 ? diag_nearest(word, next_unit, &k) : STR_NONE;
	if (near.n)
		diag_hint(c->l->diag, "did you mean `%.*s`?", STR_ARG(near));
	else
		hint_units(c, dim);
	return -1;
}

/* `1 h 10 min wiring`: what stands behind the first time is a second one. */
static int second_time(struct cursor *c, const struct fig *first)
{
	struct cursor ahead = *c;
	struct str word = cur_peek(&ahead), number = word, unit;
	while (number.n && !(number.p[number.n - 1] >= '0' && number.p[number.n - 1] <= '9'))
		number.n--;
	unit = (struct str){ word.p + number.n, word.n - number.n };
	if (unit.n == 0)
		unit = cur_peek_behind(&ahead);
	const struct unit *u = unit_find(unit);
	struct rat q;
	if (!u || u->dim != DIM_TIME || number_quantity_all(number, &q) != NUMBER_OK)
		return 0;
	cur_error(c, word, "A second time stands behind the first.");
	double minutes = (first->v + rat_double(q) * rat_double(u->factor)) / 60;
	struct buf b;
	buf_init(&b, 64);
	number_print_short(&b, minutes, 6);
	diag_hint(c->l->diag, "say it in one unit: `%s min`", b.data);
	buf_release(&b);
	return -1;
}

int cur_measure(struct cursor *c, enum dimension dim, struct fig *out, enum sense sense)
{
	struct rat q;
	struct str at;
	const struct unit *u;
	if (cur_quantity(c, &q, &at, sense) < 0 || cur_unit(c, dim, &u) < 0)
		return -1;
	fig_set(out, q, cur_span(c, at));
	if (cur_scale(c, out, u->factor, RAT_ONE) < 0)
		return -1;
	return dim == DIM_TIME ? second_time(c, out) : 0;
}

struct str cur_peek_behind(const struct cursor *c)
{
	struct cursor ahead = *c;
	struct str s = cur_rest(c);
	struct rat q;
	size_t used;
	if (number_quantity(s, &q, &used) != NUMBER_OK)
		return STR_NONE;
	ahead.at = (size_t)(s.p - c->text.p) + used;
	return cur_peek(&ahead);
}

/* The next side of a size that is written without blanks, with its sign behind. */
static bool tight_side(struct str *rest, struct str *side, bool last)
{
	size_t n = 0;
	while (n < rest->n && ((rest->p[n] >= '0' && rest->p[n] <= '9') || rest->p[n] == '.'))
		n++;
	*side = (struct str){ rest->p, n };
	*rest = (struct str){ rest->p + n, rest->n - n };
	size_t sign = times_sign(*rest);
	rest->p += sign;
	rest->n -= sign;
	return n > 0 && (last ? sign == 0 && rest->n == 0 : sign > 0);
}

bool cur_at_size(const struct cursor *c)
{
	struct str rest = cur_peek(c), side;
	return tight_side(&rest, &side, false) && tight_side(&rest, &side, false) &&
	       tight_side(&rest, &side, true);
}

/* `50x20x15` */
static int tight_size(struct cursor *c, struct fig side[3])
{
	struct str rest = cur_peek(c), s;
	size_t end = (size_t)(rest.p - c->text.p) + rest.n;
	for (int i = 0; i < 3; i++) {
		tight_side(&rest, &s, i == 2);
		struct cursor one = { c->l, c->file, { c->text.p, (size_t)(s.p - c->text.p) + s.n },
				      (size_t)(s.p - c->text.p), c->statement };
		if (cur_fig(&one, &side[i], POSITIVE) < 0)
			return -1;
	}
	c->at = end;
	return 0;
}

static int loose_size(struct cursor *c, struct fig side[3])
{
	for (int i = 0; i < 3; i++) {
		if (i > 0 && !cur_take(c, "x") && !cur_take(c, "\xc3\x97"))
			return cur_expected(c, "x");
		if (cur_fig(c, &side[i], POSITIVE) < 0)
			return -1;
	}
	return 0;
}

int cur_size(struct cursor *c, double size[3])
{
	struct fig side[3];
	const struct unit *u;
	if ((cur_at_size(c) ? tight_size(c, side) : loose_size(c, side)) < 0 ||
	    cur_unit(c, DIM_LENGTH, &u) < 0)
		return -1;
	for (int i = 0; i < 3; i++) {
		if (cur_scale(c, &side[i], u->factor, RAT_ONE) < 0)
			return -1;
		size[i] = side[i].v;
	}
	return 0;
}

/* ---- dates ---- */

static bool shaped_like_date(struct str s)
{
	if (s.n != 10 || s.p[4] != '-' || s.p[7] != '-')
		return false;
	for (size_t i = 0; i < 10; i++) {
		if (i != 4 && i != 7 && (s.p[i] < '0' || s.p[i] > '9'))
			return false;
	}
	return true;
}

int cur_date(struct cursor *c, day *out)
{
	struct str s = cur_peek(c);
	if (date_parse(s, out)) {
		c->at = (size_t)(s.p - c->text.p) + s.n;
		return 0;
	}
	if (s.n == 0 || s.p[0] == ',' || s.p[0] == ';')
		return cur_missing(c, "a date");
	if (!shaped_like_date(s)) {
		cur_error(c, s, "%s is no date.", QUOTE(c, s));
		diag_hint(c->l->diag, "dates are year-month-day, like `2026-12-12`");
		return -1;
	}
	cur_error(c, s, "There is no day %s in the calendar.", QUOTE(c, s));
	if (str_cmp(s, STR("1900-01-01")) < 0 || str_cmp(s, STR("2200-01-01")) >= 0)
		diag_hint(c->l->diag, "years run from 1900 to 2199");
	return -1;
}

/* ---- names ---- */

/* A name that begins with a fraction would read as part of the number before it. */
static bool begins_with_fraction(struct str s)
{
	size_t i = 0;
	while (i < s.n && s.p[i] >= '0' && s.p[i] <= '9')
		i++;
	return i > 0 && i + 1 < s.n && s.p[i] == '/' && s.p[i + 1] >= '0' && s.p[i + 1] <= '9';
}

int cur_check_name(struct cursor *c, struct str name, const char *what)
{
	for (size_t i = 0; i < name.n; i++) {
		if (name.p[i] != ',' && name.p[i] != ';')
			continue;
		struct str mark = { name.p + i, 1 };
		cur_error(c, mark,
			  "%s cannot be the name of %s: a name holds no comma and no semicolon.",
			  QUOTE(c, name), what);
		return -1;
	}
	if (str_chars(name, name.n) > NAME_MOST)
		return cur_error(c, name, "%s is too long for a name: %d characters are the most.",
				 QUOTE(c, name), NAME_MOST);
	if (begins_with_fraction(name)) {
		cur_error(c, name, "%s begins with a fraction, which would be read as a quantity.",
			  QUOTE(c, name));
		diag_hint(c->l->diag, "begin the name with a word");
		return -1;
	}
	return 0;
}

int cur_name(struct cursor *c, const char *what, struct str *out)
{
	struct str s = cur_rest(c);
	size_t n = 0;
	while (n < s.n && s.p[n] != ',' && s.p[n] != ';')
		n++;
	s.n = n;
	s = str_trim(s);
	if (s.n == 0)
		return cur_missing(c, what);
	c->at = (size_t)(s.p - c->text.p) + s.n;
	*out = s;
	return cur_check_name(c, s, what);
}

/* `250 per box`: the word of the notation comes too early. */
static bool is_small_word(struct str word)
{
	static const char *const small[] = { "per", "of", "or", "a", "an", "to", "at", "x" };
	for (size_t i = 0; i < sizeof small / sizeof *small; i++) {
		if (str_is(word, small[i]))
			return true;
	}
	return false;
}

int cur_count_word(struct cursor *c, struct str *out, struct str *at)
{
	struct str word = cur_peek(c);
	unsigned char first = word.n ? (unsigned char)word.p[0] : 0;
	bool letter =
	    (first >= 'a' && first <= 'z') || (first >= 'A' && first <= 'Z') || first >= 0x80;
	if (!letter || is_small_word(word))
		return cur_missing(c, "a counting word or a unit");
	c->at = (size_t)(word.p - c->text.p) + word.n;
	*at = word;
	*out = measure_word(c->l->arena, word);
	return 0;
}
