/* tables_cells.c - one cell of a table to a value.
 *
 * A table of a hundred thousand boxes names the same few crops, colours and days
 * over and over: names are looked up once and then found by their bytes, plain
 * numbers and dates take a short path; what that path does not know goes through
 * the strict parsers of base/number.h. */
#include "farm/tables_in.h"

#include "base/buf.h"
#include "base/unit.h"
#include "farm/measure.h"

/* ---- saying what is wrong ---- */

const struct csv_cell no_cell = { .off = 0 };

struct span cell_span(const struct table_reader *t, size_t column)
{
	const struct csv_reader *csv = t->csv;
	const struct csv_cell *cell = t->values[column].cell;
	if (cell != &no_cell)
		return csv_span(csv, cell);
	const struct csv_cell *last = &csv->cells[csv->nheader - 1];
	return (struct span){ csv->source, csv->off, last->off + last->len - csv->off };
}

const char *cell_quote(const struct table_reader *t, size_t column)
{
	return diag_quote(t->l->diag, text_of(&t->values[column]));
}

static void cell_add(struct table_reader *t, enum diag_level level, size_t column,
                     const char *fmt, va_list ap) __attribute__((format(printf, 4, 0)));
static void cell_add(struct table_reader *t, enum diag_level level, size_t column,
                     const char *fmt, va_list ap)
{
	struct buf b;
	buf_init(&b, 4096);
	buf_vprintf(&b, fmt, ap);
	diag_add(t->l->diag, level, cell_span(t, column), "%.*s", STR_ARG(buf_slice(&b)));
	buf_release(&b);
	diag_column(t->l->diag, str_of(t->table->columns[column].name));
}

void cell_error(struct table_reader *t, size_t column, const char *fmt, ...)
{
	va_list ap;
	va_start(ap, fmt);
	cell_add(t, DIAG_ERROR, column, fmt, ap);
	va_end(ap);
	t->bad = true;
}

void cell_warn(struct table_reader *t, size_t column, const char *fmt, ...)
{
	va_list ap;
	va_start(ap, fmt);
	cell_add(t, DIAG_WARNING, column, fmt, ap);
	va_end(ap);
}

/* ---- finding again ---- */

static uint32_t mix(uint64_t a, uint64_t b)
{
	uint64_t h = a ^ b * UINT64_C(0x9e3779b97f4a7c15);
	h ^= h >> 32; /* a product carries upwards only */
	return (uint32_t)(h * UINT64_C(0xff51afd7ed558ccd) >> 32);
}

/* First and last bytes of the text with its length: they are all of a text of up to
 * 14 bytes. */
static void ends_of(struct str s, uint64_t *first, uint64_t *last)
{
	uint32_t a = 0, b = 0;
	*last = 0;
	if (s.n >= 8) {
		memcpy(first, s.p, 8);
		memcpy(last, s.p + s.n - 8, 8);
		/* Bytes of a short text that stand in both make room for the length. */
		if (s.n < 15)
			*last >>= 16;
		*last += (uint64_t)s.n << 48;
	} else if (s.n >= 4) {
		memcpy(&a, s.p, 4);
		memcpy(&b, s.p + s.n - 4, 4);
		*first = (uint64_t)b << 32 | a;
		*last = (uint64_t)s.n << 48;
	} else {
		memcpy(&a, s.p, s.n);
		*first = a;
		*last = (uint64_t)s.n << 48;
	}
}

/* The slot of the text under that number; *known says that it holds its value.  A
 * few texts that meet in one place get neighbouring slots. */
static struct memo_slot *memo_slot(struct memo *m, struct str text, uint32_t under, bool *known)
{
	enum { WAYS = 4 };
	uint64_t first, last;
	ends_of(text, &first, &last);
	uint32_t hash = mix(first, last + under), way = 0;
	struct memo_slot *slot = &m->slots[hash % (MEMO_SLOTS / WAYS) * WAYS];
	*known = true;
	for (; way < WAYS && slot[way].text.n; way++) {
		if (slot[way].first == first && slot[way].last == last && slot[way].under == under &&
		    (text.n < 15 || str_eq(slot[way].text, text)))
			return &slot[way];
	}
	*known = false;
	slot += way < WAYS ? way : (hash >> 16) % WAYS;
	slot->first = first;
	slot->last = last;
	slot->text = text;
	slot->under = under;
	return slot;
}

/* ---- numbers ---- */

/* Digits with at most one decimal sign, short enough to be exact: what nearly all
 * cells hold.  *sign is set to the sign that was there. */
static bool plain_number(struct str s, double *out, char *sign)
{
	static const double ten[] = { 1,   1e1, 1e2,  1e3,  1e4,  1e5,  1e6, 1e7,
		                      1e8, 1e9, 1e10, 1e11, 1e12, 1e13, 1e14 };
	if (s.n == 0 || s.n > 15)
		return false;
	int64_t value = 0;
	size_t point = s.n;
	for (size_t i = 0; i < s.n; i++) {
		char c = s.p[i];
		if (c >= '0' && c <= '9') {
			value = value * 10 + (c - '0');
		} else if ((c == '.' || c == ',') && point == s.n && i + 1 < s.n) {
			point = i;
			*sign = c;
		} else {
			return false;
		}
	}
	*out = point == s.n ? (double)value : (double)value / ten[s.n - 1 - point];
	return true;
}

/* A table keeps to one decimal sign; `,` needs another delimiter. */
static bool sign_fits(struct table_reader *t, size_t column, struct str text, char sign)
{
	struct diag *diag = t->l->diag;
	if (sign == ',' && t->csv->delimiter == ',') {
		cell_error(t, column, "%s has a comma in it.", diag_quote(diag, text));
		diag_hint(diag, "write thousands without a sign and decimals with a point; a decimal comma is read only where `;` or a tab "
		                "stands between the cells");
		return false;
	}
	if (t->decimal && t->decimal != sign) {
		cell_error(t, column, "%s has another decimal sign than the cells before it.",
		           diag_quote(diag, text));
		diag_also(diag, t->decimal_at, "this one came first");
		return false;
	}
	if (!t->decimal) {
		t->decimal = sign;
		t->decimal_at = cell_span(t, column);
	}
	return true;
}

void cell_thousands(struct table_reader *t, size_t column, struct str text, double value)
{
	const char *sign = memchr(text.p, '.', text.n);
	if (!sign || text.p + text.n - sign != 4 || value < 1 || t->thousands_warned)
		return;
	t->thousands_warned = true;
	struct buf b;
	buf_init(&b, 64);
	number_print_short(&b, value, 3);
	cell_warn(t, column, "%s is read as %s.", diag_quote(t->l->diag, text), b.data);
	diag_hint(t->l->diag, "write thousands without a sign between them");
	buf_release(&b);
}

/* The unit of the column in words; another column's name is none. */
static const char *unit_words(const struct csv_column *c)
{
	return strchr(c->unit, '`') ? "" : c->unit;
}

/* The number without the sign at its start or end; false when there is none such. */
static bool without_sign(struct str text, const char *const *signs, struct str *number, struct rat *r)
{
	for (; *signs; signs++) {
		size_t n = strlen(*signs);
		if (text.n <= n)
			continue;
		if (str_starts(text, *signs))
			*number = str_trim((struct str){ text.p + n, text.n - n });
		else if (memcmp(text.p + text.n - n, *signs, n) == 0)
			*number = str_trim((struct str){ text.p, text.n - n });
		else
			continue;
		if (number_decimal_all(*number, '.', r) == NUMBER_OK)
			return true;
	}
	return false;
}

/* `$20` and `7c` in a column of money: the number that is meant. */
static bool hint_money(struct table_reader *t, size_t column, struct str text)
{
	static const char *const coins[] = { "$", "\xe2\x82\xac", "\xc2\xa3", "\xc2\xa5", NULL };
	static const char *const cents[] = { "c", "ct", "\xc2\xa2", NULL };
	struct str number;
	struct rat r, hundred;
	if (!str_starts(str_of(t->table->columns[column].unit), "money"))
		return false;
	if (without_sign(text, coins, &number, &r)) {
		diag_hint(t->l->diag, "write `%.*s`: the farm block says the currency", STR_ARG(number));
		return true;
	}
	rat_make(&hundred, 100, 1);
	if (!without_sign(text, cents, &number, &r) || !rat_div(&r, r, hundred))
		return false;
	struct buf b;
	buf_init(&b, 64);
	number_print_short(&b, rat_double(r), 6);
	diag_hint(t->l->diag, "write `%s` where cents are meant", b.data);
	buf_release(&b);
	return true;
}

static void number_error(struct table_reader *t, size_t column, struct str text,
                         enum number_fault fault)
{
	const char *quoted = diag_quote(t->l->diag, text);
	const char *unit = unit_words(&t->table->columns[column]);
	if (fault == NUMBER_TOO_LONG) {
		cell_error(t, column, "%s has more than 15 digits.", quoted);
	} else {
		cell_error(t, column, "%s is no number.", quoted);
		struct rat r;
		size_t used;
		if (!hint_money(t, column, text) &&
		    number_decimal(text, '.', &r, &used) == NUMBER_OK && used < text.n)
			diag_hint(t->l->diag, "write the number alone%s%s", *unit ? ", in " : "", unit);
	}
}

static bool parse_number(struct table_reader *t, size_t column, struct str text, double *out)
{
	char sign = 0;
	if (!plain_number(text, out, &sign)) {
		struct rat r;
		char decimal = memchr(text.p, ',', text.n) ? ',' : '.';
		enum number_fault fault = number_decimal_all(text, decimal, &r);
		if (fault != NUMBER_OK) {
			number_error(t, column, text, fault);
			return false;
		}
		*out = rat_double(r);
		sign = memchr(text.p, decimal, text.n) ? decimal : 0;
	}
	if (!sign)
		return true;
	if (!sign_fits(t, column, text, sign))
		return false;
	/* `1.250` was meant as 1250 where commas are decimal, and of stems anywhere. */
	if (t->csv->delimiter != ',' || strcmp(t->table->columns[column].unit, "stems") == 0)
		cell_thousands(t, column, text, *out);
	return true;
}

static void range_error(struct table_reader *t, size_t column, struct str text, double value)
{
	const struct csv_column *c = &t->table->columns[column];
	const char *unit = unit_words(c);
	struct buf b;
	if (value < 0 && c->low >= 0) {
		cell_error(t, column, "%s is below zero.", diag_quote(t->l->diag, text));
		return;
	}
	buf_init(&b, 128);
	number_print_short(&b, c->low, 3);
	buf_text(&b, " to ");
	number_print_short(&b, c->high, 3);
	cell_error(t, column, "%s is out of range: %s%s%s.", diag_quote(t->l->diag, text), b.data,
	           *unit ? " " : "", unit);
	buf_release(&b);
}

bool cell_number(struct table_reader *t, size_t column, struct str text, double *out)
{
	const struct csv_column *c = &t->table->columns[column];
	double value;
	if (!parse_number(t, column, text, &value))
		return false;
	if (value < c->low || value > c->high) {
		range_error(t, column, text, value);
		return false;
	}
	*out = value;
	return true;
}

static void read_whole(struct table_reader *t, size_t column, struct value *v)
{
	if (cell_number(t, column, text_of(v), &v->number) && v->number != floor(v->number))
		cell_error(t, column, "%s is no whole number.", cell_quote(t, column));
}

/* `40` in cm, or `40 cm`, `16 in`; mm. */
static void read_length(struct table_reader *t, size_t column, struct value *v)
{
	const struct csv_column *c = &t->table->columns[column];
	const double mm = 10;
	struct str number = text_of(v);
	while (number.n && ((number.p[number.n - 1] | 0x20) >= 'a' && (number.p[number.n - 1] | 0x20) <= 'z'))
		number.n--;
	struct str word = { text_of(v).p + number.n, text_of(v).n - number.n };
	const struct unit *unit = word.n ? unit_find(word) : NULL;
	if (word.n && (!unit || unit->dim != DIM_LENGTH)) {
		cell_error(t, column, "%s is no length.", cell_quote(t, column));
		diag_hint(t->l->diag, "write a number of cm, or a length like `40 cm` or `16 in`");
		return;
	}
	double value;
	if (!parse_number(t, column, str_trim(number), &value))
		return;
	v->number = unit ? value * (double)unit->factor.num / (double)unit->factor.den : value * mm;
	if (v->number < c->low * mm || v->number > c->high * mm)
		range_error(t, column, text_of(v), v->number / mm);
}

/* ---- dates ---- */

/* A slip in the year moves a count out of every report: said, and still read. */
static void warn_of_year(struct table_reader *t, size_t column)
{
	const struct csv_column *c = &t->table->columns[column];
	int ahead = (int)c->high;
	if (t->values[column].date < t->first_day[column])
		cell_warn(t, column, "%s lies before the year %d.", cell_quote(t, column), (int)c->low);
	else
		cell_warn(t, column, "%s lies more than %d year%s from today.", cell_quote(t, column),
		          ahead, ahead == 1 ? "" : "s");
	diag_hint(t->l->diag, "is the year right?");
}

/* Digits at p[*i], up to `most` of them; -1 when there is none. */
static int take_digits(struct str s, size_t *i, size_t most)
{
	int value = 0;
	size_t start = *i;
	while (*i < s.n && *i < start + most && s.p[*i] >= '0' && s.p[*i] <= '9')
		value = value * 10 + (s.p[(*i)++] - '0');
	return *i > start ? value : -1;
}

/* The day that was meant, where the order of its parts leaves no doubt: year first,
 * points between day, month and year, or a day that can be no month.  DAY_NONE
 * otherwise. */
static day guess_date(struct str s)
{
	int part[3];
	size_t i = 0;
	char sign = 0;
	for (int k = 0; k < 3; k++) {
		if (k > 0 && (i >= s.n || !strchr("./-", s.p[i]) || (sign && s.p[i] != sign)))
			return DAY_NONE;
		if (k > 0)
			sign = s.p[i++];
		part[k] = take_digits(s, &i, 4);
	}
	if (i != s.n || part[0] < 0 || part[1] < 0 || part[2] < 0)
		return DAY_NONE;
	if (part[0] > 31)
		return date_from_civil(part[0], part[1], part[2]);
	if (sign == '.' || (part[0] > 12 && part[1] <= 12))
		return date_from_civil(part[2], part[1], part[0]);
	return part[1] > 12 ? date_from_civil(part[2], part[0], part[1]) : DAY_NONE;
}

static void date_error(struct table_reader *t, size_t column, struct str text)
{
	char iso[11];
	day meant = guess_date(text);
	date_print(meant, iso);
	cell_error(t, column, "%s is no date.", diag_quote(t->l->diag, text));
	if (meant != DAY_NONE)
		diag_hint(t->l->diag, "write `%s`", iso);
	else
		diag_hint(t->l->diag, "a date is year, month, day, from 1900 to 2199: 2026-11-12");
}

static void read_date(struct table_reader *t, size_t column, struct value *v)
{
	if (!date_parse(text_of(v), &v->date)) {
		v->date = DAY_NONE;
		date_error(t, column, text_of(v));
	} else if (v->date < t->first_day[column] || v->date > t->last_day[column]) {
		warn_of_year(t, column);
	}
}

void cells_in_order(struct table_reader *t, size_t earlier, size_t later)
{
	const struct value *a = &t->values[earlier], *b = &t->values[later];
	if (!given(a) || !given(b) || a->date <= b->date)
		return;
	cell_error(t, later, "%s lies before column \"%s\", %s.", cell_quote(t, later),
	           t->table->columns[earlier].name, cell_quote(t, earlier));
}

/* ---- names ---- */

static uint32_t find_item(struct table_reader *t, size_t column, struct str name, unsigned kinds,
                          const char *wanted)
{
	struct item item;
	struct loader *l = t->l;
	if (loader_item(l, name, &item)) {
		if (kinds & 1u << item.kind)
			return ITEM_VALUE(item.kind, item.index);
		cell_error(t, column, "%s is a %s; here stands %s.", diag_quote(l->diag, name),
		           kind_name(item.kind), wanted);
		diag_also(l->diag, farm_head(l->farm, item)->at, "defined here");
		return NONE;
	}
	uint32_t outlet;
	if (names_get(&l->outlets, str_fold(l->arena, name), &outlet)) {
		cell_error(t, column, "%s is an outlet; here stands %s.", diag_quote(l->diag, name), wanted);
		diag_also(l->diag, l->farm->outlets[outlet].head.at, "defined here");
		return NONE;
	}
	cell_error(t, column, "No text of this farm defines %s %s.", wanted, diag_quote(l->diag, name));
	loader_hint_name(l, name, kinds);
	return NONE;
}

enum { LISTED_MOST = 8 };

static void hint_outlets(struct loader *l)
{
	const struct farm *farm = l->farm;
	struct buf b;
	buf_init(&b, 4000);
	for (size_t i = 0; i < farm->noutlets && i < LISTED_MOST; i++)
		buf_printf(&b, "%s%s", i ? ", " : "", diag_quote(l->diag, farm->outlets[i].head.name));
	if (farm->noutlets)
		diag_hint(l->diag, "the farm sells at %s%s", b.data,
		          farm->noutlets > LISTED_MOST ? " and more" : "");
	buf_release(&b);
}

static uint32_t find_outlet(struct table_reader *t, size_t column, struct str name)
{
	uint32_t outlet;
	struct loader *l = t->l;
	if (names_get(&l->outlets, str_fold(l->arena, name), &outlet))
		return outlet;
	cell_error(t, column, "No text of this farm defines an outlet %s.", diag_quote(l->diag, name));
	if (!loader_hint_name(l, name, 1u << KIND_OUTLET))
		hint_outlets(l);
	return NONE;
}

static struct str next_colour(void *context, size_t i)
{
	const struct table_reader *t = context;
	return i < t->all->texts_colours ? t->l->farm->colour_folds[i] : STR_NONE;
}

static uint32_t find_place(struct table_reader *t, struct str name)
{
	struct loader *l = t->l;
	struct farm *farm = l->farm;
	uint32_t word = (uint32_t)farm->nwords;
	if (names_put(&l->words, str_fold(l->arena, name), word, &word))
		return word;
	*ARENA_PUSH(l->arena, farm->words, farm->nwords, l->cap_words) = name;
	return word;
}

static struct str next_event(void *context, size_t i)
{
	(void)context;
	return i < EVENT_COUNT ? str_of(event_name((enum event)i)) : STR_NONE;
}

static struct str next_cause(void *context, size_t i)
{
	(void)context;
	return i < CAUSE_COUNT ? str_of(cause_name((enum cause)i)) : STR_NONE;
}

/* One of a few fixed words. */
static uint32_t find_word(struct table_reader *t, size_t column, struct str name,
                          struct str (*next)(void *, size_t), const char *what)
{
	struct str fold = str_fold(t->l->arena, name), known;
	for (uint32_t i = 0; (known = next(NULL, i)).n; i++) {
		if (str_eq(known, fold))
			return i;
	}
	cell_error(t, column, "%s is no %s.", diag_quote(t->l->diag, name), what);
	known = diag_nearest(fold, next, NULL);
	if (known.n) {
		diag_hint(t->l->diag, "did you mean %s?", diag_quote(t->l->diag, known));
		return NONE;
	}
	struct buf b;
	buf_init(&b, 256);
	for (size_t i = 0; (known = next(NULL, i)).n; i++)
		buf_printf(&b, "%s%.*s", i ? ", " : "", STR_ARG(known));
	diag_hint(t->l->diag, "it is one of these: %s", b.data);
	buf_release(&b);
	return NONE;
}

static uint32_t find_name(struct table_reader *t, size_t column, struct str name)
{
	const unsigned items = 1u << KIND_CROP | 1u << KIND_SUPPLY | 1u << KIND_PART | 1u << KIND_PIECE;
	uint32_t found;
	switch (t->table->columns[column].kind) {
	case COLUMN_ITEM:
		return find_item(t, column, name, items, "a crop, supply, part or piece");
	case COLUMN_CROP:
		found = find_item(t, column, name, 1u << KIND_CROP, "a crop");
		return found == NONE ? NONE : ITEM_OF(found).index;
	case COLUMN_PIECE:
		found = find_item(t, column, name, 1u << KIND_PIECE, "a piece");
		return found == NONE ? NONE : ITEM_OF(found).index;
	case COLUMN_OUTLET:
		return find_outlet(t, column, name);
	case COLUMN_COLOUR:
		return loader_colour(t->l, name); /* whether it fits: cell_colour_of() */
	case COLUMN_PLACE:
		return find_place(t, name);
	case COLUMN_EVENT:
		return find_word(t, column, name, next_event, "event");
	case COLUMN_CAUSE:
		return find_word(t, column, name, next_cause, "cause");
	default:
		return NONE;
	}
}

static void read_name(struct table_reader *t, size_t column, struct value *v)
{
	bool known;
	struct memo_slot *slot = memo_slot(t->memos[column], text_of(v), 0, &known);
	if (!known || slot->value == NONE) /* an unknown name is an error each time */
		slot->value = find_name(t, column, text_of(v));
	v->ref = slot->value;
}

/* The line that would define the counting word. */
static void hint_unit(struct table_reader *t, struct item item, struct str word)
{
	static const char *const own[] = { "stem", "head", "sprig", "bunch", "each" };
	struct diag *diag = t->l->diag;
	struct str base = measure_base(t->l->farm, item);
	struct str fold = measure_word(t->l->arena, word);
	for (size_t i = 0; i < sizeof own / sizeof *own; i++) {
		if (str_is(fold, own[i])) {
			diag_hint(diag, "add a line to the %s: `%s 10 %.*s`, with your own number",
			          kind_name(item.kind), own[i], STR_ARG(base));
			return;
		}
	}
	const struct unit *u = unit_find(fold), *in = unit_find(base);
	if (u && in)
		diag_hint(diag, "the %s is counted in %.*s: say it in a unit of %s",
		          kind_name(item.kind), STR_ARG(base), dimension_name(in->dim));
	else if (u && item.kind == KIND_CROP)
		diag_hint(diag, "add a line to the crop: `stem 12 %s`, with your own number", u->name);
	if (u)
		return;
	diag_hint(diag, "add a line to the %s: `calls 25 %.*s a WORD` with the word %s and your number",
	          kind_name(item.kind), STR_ARG(base), diag_quote(diag, word));
}

bool cell_unit(struct table_reader *t, size_t column, struct item item, struct rat *factor)
{
	const struct value *v = &t->values[column];
	struct loader *l = t->l;
	bool known;
	*factor = RAT_ONE;
	if (!given(v))
		return true;
	struct rat *memo =
	    &memo_slot(t->units, text_of(v), ITEM_VALUE(item.kind, item.index), &known)->factor;
	if (!known || !memo->den) {
		*memo = (struct rat){ 0, 0 };
		if (!measure_factor(l->farm, item, text_of(v), memo)) {
			cell_error(t, column, "%s is not counted in %s.",
			           diag_quote(l->diag, farm_head(l->farm, item)->name),
			           cell_quote(t, column));
			hint_unit(t, item, text_of(v));
			return false;
		}
	}
	*factor = *memo;
	return true;
}

/* A colour that no text names is kept; one letter off looks like a slip.  Asked once
 * for each colour. */
static void ask_of_colour(struct table_reader *t, size_t column, uint32_t colour)
{
	struct loader *l = t->l;
	struct tables *all = t->all;
	if (colour < all->texts_colours)
		return;
	uint32_t new_one = colour - all->texts_colours;
	while (all->nasked <= new_one)
		*ARENA_PUSH(l->arena, all->asked, all->nasked, all->cap_asked) = false;
	if (all->asked[new_one])
		return;
	all->asked[new_one] = true;
	struct str near = diag_nearest(l->farm->colour_folds[colour], next_colour, t);
	if (near.n == 0)
		return;
	uint32_t meant = 0;
	while (!str_eq(l->farm->colour_folds[meant], near))
		meant++;
	cell_warn(t, column, "No text of this farm names the colour %s.", cell_quote(t, column));
	diag_hint(l->diag, "did you mean %s?", diag_quote(l->diag, l->farm->colours[meant]));
}

bool cell_colour_of(struct table_reader *t, size_t column, uint32_t crop)
{
	const struct crop *c = &t->l->farm->crops[crop];
	const struct value *v = &t->values[column];
	if (!given(v))
		return true;
	if (c->ncolours == 0) {
		ask_of_colour(t, column, v->ref);
		return true;
	}
	struct buf b;
	for (size_t i = 0; i < c->ncolours; i++) {
		if (c->colours[i].colour == v->ref)
			return true;
	}
	cell_error(t, column, "%s is no colour of the crop %s.", cell_quote(t, column),
	           diag_quote(t->l->diag, c->head.name));
	buf_init(&b, 400);
	for (size_t i = 0; i < c->ncolours; i++) {
		buf_text(&b, i ? ", " : "");
		buf_str(&b, t->l->farm->colours[c->colours[i].colour]);
	}
	diag_hint(t->l->diag, "its line says: colours %s", b.data);
	buf_release(&b);
	return false;
}

/* ---- all cells of a record ---- */

static void read_cell(struct table_reader *t, size_t column, struct value *v)
{
	switch (t->table->columns[column].kind) {
	case COLUMN_ITEM:
	case COLUMN_CROP:
	case COLUMN_PIECE:
	case COLUMN_OUTLET:
	case COLUMN_COLOUR:
	case COLUMN_PLACE:
	case COLUMN_EVENT:
	case COLUMN_CAUSE:
		read_name(t, column, v);
		break;
	case COLUMN_NUMBER:
		if (!cell_number(t, column, text_of(v), &v->number))
			v->number = NAN;
		break;
	case COLUMN_WHOLE:
		read_whole(t, column, v);
		break;
	case COLUMN_LENGTH:
		read_length(t, column, v);
		break;
	case COLUMN_DATE:
		read_date(t, column, v);
		break;
	case COLUMN_END:
		if (!str_is(text_of(v), ".")) {
			cell_error(t, column, "%s stands where the end mark `.` should.", cell_quote(t, column));
			diag_hint(t->l->diag, "the last column holds a full stop, which says that the line is "
			                      "whole, or nothing");
		}
		break;
	case COLUMN_ID:
		v->ref = ids_hash(text_of(v), t->l->arena);
		ids_expect(&t->all->ids[t->id], v->ref);
		break;
	case COLUMN_TEXT:
	case COLUMN_UNIT: /* needs the item: cell_unit() */
	case COLUMN_WEIGHINGS:
	case COLUMN_DRAWN:
		break;
	}
}

/* Nothing is said in the cell. */
static void read_nothing(struct table_reader *t, size_t column, struct value *v)
{
	v->number = NAN;
	v->date = DAY_NONE;
	v->ref = NONE;
	if (!t->table->columns[column].required)
		return;
	cell_error(t, column, "The cell is empty.");
}

void cells_read(struct table_reader *t)
{
	t->bad = false;
	if (t->cells != t->csv->cells) { /* they move while the longest row is not known */
		t->cells = t->csv->cells;
		for (size_t i = 0; i < t->npresent; i++)
			t->values[t->present[i].column].cell = &t->cells[t->present[i].cell];
	}
	for (size_t i = 0; i < t->npresent; i++) {
		uint32_t column = t->present[i].column;
		struct value *v = &t->values[column];
		if (given(v))
			read_cell(t, column, v);
		else
			read_nothing(t, column, v);
	}
}

bool cell_part(struct str *rest, struct str *part)
{
	if (!rest->p)
		return false;
	const char *semicolon = memchr(rest->p, ';', rest->n);
	size_t n = semicolon ? (size_t)(semicolon - rest->p) : rest->n;
	*part = str_trim((struct str){ rest->p, n });
	*rest = semicolon ? (struct str){ semicolon + 1, rest->n - n - 1 } : STR_NONE;
	return true;
}
