/* report.c - filling a report, and the rounding of shown sums. */
#include "report/report.h"

#include <math.h>

#include "base/number.h"

enum { SENTENCE_MOST = 1 << 16, FIT_MOST = 256 };

void report_init(struct report *r, struct arena *a, const char *command, const struct farm *farm,
		 day on)
{
	*r = (struct report){ .arena = a, .command = command, .on = on, .digits = 2 };
	if (!farm)
		return;
	r->farm = farm->business.head.name;
	r->folder = farm->folder;
	r->currency = farm->business.currency;
	r->digits = farm->business.digits;
	r->supposing = farm->nsupposed > 0;
}

struct table *report_table(struct report *r, const struct table_def *def)
{
	struct table *t = ARENA_NEW(r->arena, struct table);
	*t = (struct table){ .def = def, .report = r, .title = str_of(def->title) };
	*ARENA_PUSH(r->arena, r->tables, r->ntables, r->cap_tables) = t;
	return t;
}

/* ---- sentences ---- */

static struct str format(struct arena *a, const char *fmt, va_list ap)
    __attribute__((format(printf, 2, 0)));
static struct str format(struct arena *a, const char *fmt, va_list ap)
{
	struct buf b;
	buf_init(&b, SENTENCE_MOST);
	if (buf_vprintf(&b, fmt, ap))
		buf_text(&b, "(too long)");
	struct str s = { arena_copy(a, b.data, b.len), b.len };
	buf_release(&b);
	return s;
}

struct str report_printf(struct arena *a, const char *fmt, ...)
{
	va_list ap;
	va_start(ap, fmt);
	struct str s = format(a, fmt, ap);
	va_end(ap);
	return s;
}

struct str report_change_text(const struct report *r, const struct report_change *c)
{
	struct buf b;
	buf_init(&b, SENTENCE_MOST);
	buf_str(&b, c->path);
	buf_text(&b, ": ");
	report_number(&b, c->supposed, c->digits);
	buf_printf(&b, "%s%s, today ", *c->unit ? " " : "", c->unit);
	if (c->today == c->today)
		report_number(&b, c->today, c->digits);
	else
		buf_text(&b, "not given");
	struct str s = { arena_copy(r->arena, b.data, b.len), b.len };
	buf_release(&b);
	return s;
}

void report_sentence(struct report *r, const char *fmt, ...)
{
	va_list ap;
	va_start(ap, fmt);
	struct str s = format(r->arena, fmt, ap);
	va_end(ap);
	*ARENA_PUSH(r->arena, r->sentences, r->nsentences, r->cap_sentences) = s.p;
}

void report_verdict(struct report *r, const char *fmt, ...)
{
	va_list ap;
	va_start(ap, fmt);
	struct str s = format(r->arena, fmt, ap);
	va_end(ap);
	*ARENA_PUSH(r->arena, r->verdicts, r->nverdicts, r->cap_verdicts) = s.p;
}

void report_remarks(struct report *r, const struct remarks *remarks)
{
	for (size_t i = 0; i < remarks->n; i++)
		*ARENA_PUSH(r->arena, r->remarks, r->nremarks, r->cap_remarks) = remarks->items[i];
}

/* ---- rows ---- */

static struct row *add_row(struct table *t, enum row_kind kind)
{
	struct row *row = ARENA_PUSH(t->report->arena, t->rows, t->nrows, t->cap_rows);
	*row = (struct row){ .kind = kind };
	row->cells = ARENA_ARRAY(t->report->arena, t->def->ncolumns, struct cell);
	return row;
}

void table_row(struct table *t)
{
	add_row(t, ROW_PLAIN);
}

void table_group(struct table *t, struct str text)
{
	add_row(t, ROW_GROUP)->text = text;
}

void table_head(struct table *t)
{
	add_row(t, ROW_HEAD);
}

void table_total(struct table *t)
{
	add_row(t, ROW_TOTAL);
}

void table_row_machine(struct table *t)
{
	t->rows[t->nrows - 1].machine = true;
}

const struct table *table_for_people(const struct table *t)
{
	size_t n = 0;
	for (size_t i = 0; i < t->nrows; i++)
		n += !t->rows[i].machine;
	if (n == t->nrows)
		return t;
	struct table *out = ARENA_NEW(t->report->arena, struct table);
	*out = *t;
	out->rows = ARENA_ARRAY(t->report->arena, n + 1, struct row);
	out->nrows = 0;
	for (size_t i = 0; i < t->nrows; i++) {
		if (!t->rows[i].machine)
			out->rows[out->nrows++] = t->rows[i];
	}
	return out;
}

void table_indent(struct table *t, unsigned indent)
{
	t->rows[t->nrows - 1].indent = indent;
}

static struct cell *cell_at(struct table *t, const char *key)
{
	for (size_t c = 0; c < t->def->ncolumns; c++) {
		if (strcmp(t->def->columns[c].key, key) == 0)
			return &t->rows[t->nrows - 1].cells[c];
	}
	fprintf(stderr, "thrave: table %s has no column %s\n", t->def->name, key);
	abort();
}

void put_text(struct table *t, const char *key, struct str text)
{
	struct cell *cell = cell_at(t, key);
	cell->kind = text.n ? CELL_TEXT : CELL_EMPTY;
	cell->text = text;
}

void put_word(struct table *t, const char *key, const char *text)
{
	put_text(t, key, str_of(text));
}

void put_number(struct table *t, const char *key, double v)
{
	struct cell *cell = cell_at(t, key);
	cell->kind = isfinite(v) ? CELL_NUMBER : CELL_EMPTY;
	cell->v = isfinite(v) ? v : 0;
}

void put_day(struct table *t, const char *key, day d)
{
	struct cell *cell = cell_at(t, key);
	cell->kind = d == DAY_NONE ? CELL_EMPTY : CELL_DAY;
	cell->d = d;
}

void put_flag(struct table *t, const char *key, bool flag)
{
	struct cell *cell = cell_at(t, key);
	cell->kind = CELL_FLAG;
	cell->flag = flag;
}

void put_instead(struct table *t, const char *key, const char *word)
{
	cell_at(t, key)->text = str_of(word);
}

/* ---- which columns ---- */

/* A cell that tells something: a 0 does not. */
static bool tells(const struct cell *cell)
{
	switch (cell->kind) {
	case CELL_FLAG:
		return cell->flag;
	case CELL_NUMBER:
		return cell->v < 0 || cell->v > 0;
	case CELL_DAY:
		return true;
	default:
		return cell->text.n > 0;
	}
}

static bool column_filled(const struct table *t, size_t c)
{
	for (size_t i = 0; i < t->nrows; i++) {
		if (tells(&t->rows[i].cells[c]))
			return true;
	}
	return false;
}

bool column_machine(const struct table *t, size_t c)
{
	unsigned bits = t->def->columns[c].bits;
	return !(bits & COL_PEOPLE) && (!(bits & COL_SUPPOSED) || t->report->supposing);
}

bool column_shown(const struct table *t, size_t c)
{
	unsigned bits = t->def->columns[c].bits;
	if (bits & COL_MACHINE)
		return false;
	if ((bits & COL_SUPPOSED) && !t->report->supposing)
		return false;
	return !(bits & COL_MAYBE) || column_filled(t, c);
}

const struct table *report_find(const struct report *r, const char *name)
{
	for (size_t i = 0; i < r->ntables; i++) {
		if (!name || strcmp(r->tables[i]->def->name, name) == 0)
			return r->tables[i];
	}
	return NULL;
}

/* ---- shown sums ---- */

static double power_of_ten(int digits)
{
	double p = 1;
	while (digits-- > 0)
		p *= 10;
	return p;
}

/* Whole minor units below x, where x within the guard of money_minor() below a
 * whole number is that number; *rest is what the floor left, in 0..1. */
static int64_t floor_minor(double x, int digits, double *rest)
{
	int64_t near = money_minor(x, digits);
	double minor = x * power_of_ten(digits);
	double off = minor - (double)near;
	if (fabs(off) < 1e-7) {
		*rest = 0;
		return near;
	}
	*rest = off < 0 ? off + 1 : off;
	return off < 0 ? near - 1 : near;
}

static bool parts_meet(const double *parts, size_t n, double total, int digits)
{
	double sum = 0;
	for (size_t i = 0; i < n; i++) {
		if (fabs(parts[i]) > 1e12)
			return false;
		sum += parts[i];
	}
	return fabs(sum - total) * power_of_ten(digits) < 1e-3;
}

/* At most FIT_MOST parts, to so many minor units. */
static bool share_out(const double *parts, size_t n, int64_t left, int digits, int64_t *shown)
{
	double rest[FIT_MOST];
	for (size_t i = 0; i < n; i++) {
		shown[i] = floor_minor(parts[i], digits, &rest[i]);
		left -= shown[i];
	}
	/* What is left goes to the largest remainders, the first of equals first. */
	while (left > 0) {
		size_t best = 0;
		for (size_t i = 1; i < n; i++) {
			if (rest[i] > rest[best])
				best = i;
		}
		if (n == 0 || rest[best] <= 0)
			break;
		shown[best]++;
		rest[best] = -1;
		left--;
	}
	return left == 0;
}

bool report_fit(const double *parts, size_t n, double total, int digits, int64_t *shown)
{
	if (n <= FIT_MOST && parts_meet(parts, n, total, digits))
		return share_out(parts, n, money_minor(total, digits), digits, shown);
	for (size_t i = 0; i < n; i++)
		shown[i] = money_minor(parts[i], digits);
	return false;
}

int report_decimals(const struct report *r, const struct column *c)
{
	switch (c->type) {
	case TYPE_MONEY:
		return r->digits + ((c->bits & COL_FINE) ? 2 : 0);
	case TYPE_PERCENT:
	case TYPE_TENTH:
		return 1;
	case TYPE_NUMBER:
		return (c->bits & COL_FINE) ? 6 : 2;
	default:
		return 0;
	}
}

/* Fits the cells (numbers all) to the sum cell; the last `own` of them keep their rounding
 * where the others can make up for it. */
static void fit_cells(struct report *r, struct cell **cells, size_t n, size_t own, struct cell *sum,
		      int digits)
{
	double *parts = ARENA_ARRAY(r->arena, n + 1, double);
	int64_t *shown = ARENA_ARRAY(r->arena, n + 1, int64_t), left = money_minor(sum->v, digits);
	for (size_t i = 0; i < n; i++)
		parts[i] = cells[i]->v;
	for (size_t i = n - own; i < n; i++)
		left -= shown[i] = money_minor(parts[i], digits);
	if ((!own || n > FIT_MOST || !parts_meet(parts, n, sum->v, digits) ||
	     !share_out(parts, n - own, left, digits, shown)) &&
	    !report_fit(parts, n, sum->v, digits, shown))
		return;
	for (size_t i = 0; i < n; i++) {
		cells[i]->fitted = true;
		cells[i]->shown = (double)shown[i] / power_of_ten(digits);
	}
	r->fitted = true;
}

static void fit_row(struct table *t, struct row *row)
{
	struct report *r = t->report;
	struct cell **parts = ARENA_ARRAY(r->arena, t->def->ncolumns + 1, struct cell *);
	struct cell *own = NULL;
	size_t n = 0;
	for (size_t c = 0; c < t->def->ncolumns; c++) {
		const struct column *col = &t->def->columns[c];
		bool part = (col->bits & COL_PART) && row->cells[c].kind == CELL_NUMBER;
		if (part && (col->bits & COL_OWN))
			own = &row->cells[c];
		else if (part)
			parts[n++] = &row->cells[c];
		if (!(col->bits & COL_SUM))
			continue;
		if (own)
			parts[n++] = own;
		if (n && row->cells[c].kind == CELL_NUMBER)
			fit_cells(r, parts, n, own != NULL, &row->cells[c], report_decimals(r, col));
		own = NULL;
		n = 0;
	}
}

/* The money of the plain rows above a total row, column by column. */
static void fit_total(struct table *t, size_t total)
{
	struct report *r = t->report;
	size_t first = total;
	while (first && t->rows[first - 1].kind == ROW_PLAIN)
		first--;
	struct cell **parts = ARENA_ARRAY(r->arena, total - first + 1, struct cell *);
	for (size_t c = 0; c < t->def->ncolumns; c++) {
		const struct column *col = &t->def->columns[c];
		if (col->type != TYPE_MONEY || t->rows[total].cells[c].kind != CELL_NUMBER)
			continue;
		size_t n = 0;
		for (size_t i = first; i < total; i++) {
			if (t->rows[i].cells[c].kind == CELL_NUMBER)
				parts[n++] = &t->rows[i].cells[c];
		}
		if (n)
			fit_cells(r, parts, n, 0, &t->rows[total].cells[c], report_decimals(r, col));
	}
}

void report_finish(struct report *r)
{
	for (size_t k = 0; k < r->ntables; k++) {
		struct table *t = r->tables[k];
		for (size_t i = 0; i < t->nrows; i++) {
			if (t->rows[i].kind == ROW_TOTAL)
				fit_total(t, i);
			else if (t->rows[i].kind != ROW_GROUP)
				fit_row(t, &t->rows[i]);
		}
	}
}
