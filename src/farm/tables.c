/* tables.c - the CSV tables of a folder into the model. */
#include "farm/tables_in.h"

#include "base/buf.h"
#include "base/file.h"

static const struct handler {
	void (*begin)(struct table_reader *t, size_t lines);
	void (*row)(struct table_reader *t);
	void (*end)(struct table_reader *t);
} handlers[TABLE_COUNT] = {
	[TABLE_STOCK] = { stock_begin, stock_row, NULL },
	[TABLE_BEDS] = { beds_begin, beds_row, NULL },
	[TABLE_BATCHES] = { batches_begin, batches_row, NULL },
	[TABLE_ORDERS] = { orders_begin, orders_row, NULL },
	[TABLE_BENCH] = { bench_begin, bench_row, bench_end },
};

/* ---- the header line ---- */

static void header_error(struct table_reader *t, const struct csv_cell *cell, const char *fmt, ...)
    __attribute__((format(printf, 3, 4)));
static void header_error(struct table_reader *t, const struct csv_cell *cell, const char *fmt, ...)
{
	struct buf b;
	va_list ap;
	va_start(ap, fmt);
	buf_init(&b, 1024);
	buf_vprintf(&b, fmt, ap);
	va_end(ap);
	diag_error(t->l->diag, csv_span(t->csv, cell), "%s", b.data);
	buf_release(&b);
	t->bad = true;
}

/* Header cells that name no column, as candidates for one that is missing, and the
 * columns that the table lacks, as candidates for such a cell. */
enum { STRANGERS_MOST = 64 };
struct names_list {
	struct str names[STRANGERS_MOST];
	uint32_t cells[STRANGERS_MOST];
	size_t n;
};

static struct str next_name(void *context, size_t i)
{
	const struct names_list *list = context;
	return i < list->n ? list->names[i] : STR_NONE;
}

struct header {
	bool is_column[COLUMNS_MOST];
	struct names_list strangers, lacking;
};

static void add_stranger(struct table_reader *t, struct header *h, uint32_t cell)
{
	struct str name = t->csv->header[cell].text;
	struct names_list *list = &h->strangers;
	if (name.n == 0 || list->n == STRANGERS_MOST)
		return;
	list->cells[list->n] = cell;
	list->names[list->n++] = str_fold(t->l->arena, name);
}

static void map_columns(struct table_reader *t, struct header *h)
{
	uint32_t first[COLUMNS_MOST];
	for (uint32_t i = 0; i < t->csv->nheader; i++) {
		const struct csv_cell *cell = &t->csv->header[i];
		size_t column = csv_column_of(t->table, cell->text);
		if (column == t->table->n) {
			add_stranger(t, h, i);
			continue;
		}
		if (h->is_column[column]) {
			header_error(t, cell, "The column %s stands twice.",
			             diag_quote(t->l->diag, cell->text));
			diag_also(t->l->diag, csv_span(t->csv, &t->csv->header[first[column]]),
			          "here already");
			continue;
		}
		h->is_column[column] = true;
		first[column] = i;
		t->present[t->npresent].column = (uint32_t)column;
		t->present[t->npresent++].cell = i;
	}
	for (size_t i = 0; i < t->table->n; i++) {
		if (!h->is_column[i])
			h->lacking.names[h->lacking.n++] = str_of(t->table->columns[i].name);
	}
}

/* Names that people give to the columns. */
static const struct {
	const char *name, *column;
} other_names[] = {
	{ "quantity", "count" }, { "qty", "count" },     { "amount", "count" },  { "stems", "count" },
	{ "number", "count" },   { "pieces", "count" },  { "how many", "count" }, { "item", "what" },
	{ "crop", "what" },      { "flower", "what" },   { "material", "what" }, { "name", "what" },
	{ "variety", "what" },   { "product", "piece" }, { "item", "piece" },    { "design", "piece" },
	{ "flower", "crop" },    { "variety", "crop" },  { "stems", "cut" },     { "stems cut", "cut" },
	{ "no", "order" },       { "number", "order" },  { "date", "on" },       { "day", "on" },
	{ "action", "event" },   { "what happened", "event" },
};

/* A header cell that seems to mean the column: a slip of the pen, or another name. */
static struct str meant_by(struct names_list *strangers, const char *column)
{
	struct str near = diag_nearest(str_of(column), next_name, strangers);
	for (size_t i = 0; !near.n && i < sizeof other_names / sizeof *other_names; i++) {
		for (size_t k = 0; k < strangers->n; k++) {
			if (strcmp(other_names[i].column, column) == 0 &&
			    str_is(strangers->names[k], other_names[i].name))
				near = strangers->names[k];
		}
	}
	return near;
}

static struct str as_written(const struct table_reader *t, const struct names_list *strangers,
                             struct str fold)
{
	for (size_t k = 0; k < strangers->n; k++) {
		if (str_eq(strangers->names[k], fold))
			return t->csv->header[strangers->cells[k]].text;
	}
	return fold;
}

static void report_missing(struct table_reader *t, struct header *h)
{
	for (size_t i = 0; i < t->table->n; i++) {
		const struct csv_column *c = &t->table->columns[i];
		if (!c->required || h->is_column[i])
			continue;
		header_error(t, &t->csv->header[0], "The column `%s` is missing.", c->name);
		struct str near = meant_by(&h->strangers, c->name);
		if (near.n)
			diag_hint(t->l->diag, "is it the one called %s?",
			          diag_quote(t->l->diag, as_written(t, &h->strangers, near)));
	}
}

/* Columns of the grower's own stay in the file; a near miss is a likely slip. */
static void report_strangers(struct table_reader *t, struct header *h)
{
	struct diag *diag = t->l->diag;
	for (size_t i = 0; i < h->strangers.n; i++) {
		const struct csv_cell *cell = &t->csv->header[h->strangers.cells[i]];
		struct str near = diag_nearest(h->strangers.names[i], next_name, &h->lacking);
		diag_add(diag, near.n ? DIAG_WARNING : DIAG_NOTE, csv_span(t->csv, cell),
		         "The column %s is not read.", diag_quote(diag, cell->text));
		if (near.n)
			diag_hint(diag, "did you mean column `%.*s`?", STR_ARG(near));
	}
}

static void report_no_header(struct table_reader *t)
{
	struct buf b;
	buf_init(&b, 1024);
	for (size_t i = 0; i < t->table->n; i++)
		buf_printf(&b, "%s%s", i ? ", " : "", t->table->columns[i].name);
	header_error(t, &t->csv->header[0], "The first line names no column of %s.", t->table->file);
	if (str_starts(str_fold(t->l->arena, t->csv->header[0].text), "sep=")) {
		diag_hint(t->l->diag, "delete this line: the sign between the cells is found without it");
		buf_release(&b);
		return;
	}
	diag_hint(t->l->diag, "it must name the columns: %s", b.data);
	buf_release(&b);
}

/* Finds the columns; false when the table cannot be read with this header. */
static bool read_header(struct table_reader *t)
{
	struct header h = { .is_column = { false } };
	map_columns(t, &h);
	if (t->npresent == 0) {
		report_no_header(t);
		return false;
	}
	report_missing(t, &h);
	report_strangers(t, &h);
	if (t->id == TABLE_BENCH && h.is_column[BENCH_END] &&
	    t->present[t->npresent - 1].column != BENCH_END)
		header_error(t, &t->csv->header[0], "The column `end` must be the last one.");
	return !t->bad;
}

/* Cells under no name: empty ones are what a spreadsheet leaves behind. */
static void check_nameless(struct table_reader *t)
{
	for (size_t i = 0; i < t->csv->nheader; i++) {
		const struct csv_cell *cell = &t->csv->cells[i];
		if (t->csv->header[i].text.n || cell->text.n == 0)
			continue;
		diag_error(t->l->diag, csv_span(t->csv, cell), "%s stands in a column without a name.",
		           diag_quote(t->l->diag, cell->text));
		t->bad = true;
		return;
	}
}

/* ---- one table ---- */

static bool has_names(enum column_kind kind)
{
	switch (kind) {
	case COLUMN_ITEM:
	case COLUMN_CROP:
	case COLUMN_PIECE:
	case COLUMN_OUTLET:
	case COLUMN_COLOUR:
	case COLUMN_PLACE:
	case COLUMN_EVENT:
	case COLUMN_CAUSE:
		return true;
	default:
		return false;
	}
}

static void prepare(struct table_reader *t)
{
	int year = t->all->today.year ? t->all->today.year : 2199;
	t->units = mem_alloc(1, sizeof *t->units);
	for (size_t i = 0; i < t->table->n; i++) {
		const struct csv_column *c = &t->table->columns[i];
		t->values[i] = (struct value){ .cell = &no_cell, .number = NAN, .date = DAY_NONE, .ref = NONE };
		if (has_names(c->kind))
			t->memos[i] = mem_alloc(1, sizeof *t->memos[i]);
		if (c->kind != COLUMN_DATE)
			continue;
		t->first_day[i] = date_from_civil((int)c->low, 1, 1);
		t->last_day[i] = date_from_civil(year + (int)c->high, t->all->today.month, 28);
		if (t->last_day[i] == DAY_NONE)
			t->last_day[i] = INT32_MAX;
	}
}

static void read_table(struct tables *all, enum table_id id, uint32_t source)
{
	struct loader *l = all->l;
	struct table_reader t = { .all = all, .l = l, .id = id, .table = csv_table_of(id) };
	struct str text = l->diag->sources[source - 1].text;
	size_t errors = l->diag->errors;
	size_t length = id == TABLE_BENCH ? bench_length(all, source) : text.n;
	t.csv = csv_reader_open(l->diag, l->arena, source, length);
	prepare(&t);
	size_t lines = csv_line_count((struct str){ text.p, length });
	/* A row is no shorter than its delimiters: bounds what odd files make us take. */
	if (t.csv->nheader && lines > length / t.csv->nheader + 1)
		lines = length / t.csv->nheader + 1;
	ids_init(&all->ids[id], lines);
	handlers[id].begin(&t, lines);
	if (!t.csv->failed && read_header(&t)) {
		bool nameless = false;
		for (size_t i = 0; i < t.csv->nheader; i++)
			nameless = nameless || t.csv->header[i].text.n == 0;
		while (csv_reader_next(t.csv)) {
			cells_read(&t);
			if (nameless)
				check_nameless(&t);
			handlers[id].row(&t);
		}
	}
	if (handlers[id].end)
		handlers[id].end(&t);
	csv_reader_close(t.csv);
	mem_free(t.units);
	for (size_t i = 0; i < COLUMNS_MOST; i++)
		mem_free(t.memos[i]);
	all->failed[id] = l->diag->errors > errors;
}

/* ---- the folder ---- */

static bool *has_table(struct farm *farm, enum table_id id)
{
	switch (id) {
	case TABLE_STOCK:
		return &farm->has_stock;
	case TABLE_BEDS:
		return &farm->has_beds;
	case TABLE_BATCHES:
		return &farm->has_batches;
	case TABLE_ORDERS:
		return &farm->has_orders;
	case TABLE_BENCH:
	case TABLE_COUNT:
		break;
	}
	return &farm->has_log;
}

static int open_table(struct tables *all, const char *folder, enum table_id id)
{
	struct loader *l = all->l;
	const char *name = csv_table_of(id)->file;
	const char *path = file_join(l->arena, folder, name);
	struct file_error err;
	struct str text;
	bool more = id == TABLE_BENCH && l->log_line.n, there = file_exists(path);
	if (!there && !more)
		return 0;
	text = STR("");
	if (there && file_read(l->arena, path, &text, &err)) {
		diag_error(l->diag, SPAN_NONE, "%s", err.text);
		all->failed[id] = true;
		return -2;
	}
	*has_table(l->farm, id) = true;
	if (more)
		text = bench_with_line(l, l->log_text.n ? l->log_text : text);
	all->source[id] = diag_source(l->diag, str_of(name), text);
	read_table(all, id, all->source[id]);
	return all->failed[id] ? -1 : 0;
}

static struct str next_table(void *context, size_t i)
{
	(void)context;
	return i < TABLE_COUNT ? str_of(csv_table_of((enum table_id)i)->file) : STR_NONE;
}

/* The table whose file name this nearly is; TABLE_COUNT: none. */
static enum table_id table_meant(struct loader *l, struct str name)
{
	struct str near = diag_nearest(str_fold(l->arena, name), next_table, NULL);
	enum table_id id = 0;
	while (id < TABLE_COUNT && !(near.n && str_is(near, csv_table_of(id)->file)))
		id++;
	return id;
}

static void report_csv(struct loader *l, struct str name)
{
	for (enum table_id id = 0; id < TABLE_COUNT; id++) {
		if (str_is(name, csv_table_of(id)->file))
			return;
	}
	enum table_id id = table_meant(l, name);
	bool slip = id < TABLE_COUNT && !*has_table(l->farm, id);
	diag_add(l->diag, slip ? DIAG_WARNING : DIAG_NOTE, SPAN_NONE, "The table %s is not read.",
	         diag_quote(l->diag, name));
	if (slip && str_is(str_fold(l->arena, name), csv_table_of(id)->file))
		diag_hint(l->diag, "its name must be in small letters: `%s`", csv_table_of(id)->file);
	else if (slip)
		diag_hint(l->diag, "did you mean `%s`?", csv_table_of(id)->file);
}

/* `stock.csv.txt` and `stock.xlsx` hold a table that is not where it is looked for. */
static void report_ending(struct loader *l, struct str name, const char *ending)
{
	struct str fold = str_fold(l->arena, name);
	for (enum table_id id = 0; id < TABLE_COUNT; id++) {
		const char *file = csv_table_of(id)->file;
		size_t n = strlen(file), stem = n - strlen(".csv"), more = strlen(ending);
		bool text = strcmp(ending, ".csv.txt") == 0;
		if (fold.n != stem + more || memcmp(fold.p, file, stem) != 0 || *has_table(l->farm, id))
			continue;
		diag_add(l->diag, DIAG_WARNING, SPAN_NONE, "The file %s is not read as a table.",
		         diag_quote(l->diag, name));
		if (text)
			diag_hint(l->diag, "take the `.txt` off its name: `%s`", file);
		else
			diag_hint(l->diag, "save it from the spreadsheet as CSV, as `%s`", file);
	}
}

/* A table under a name that is not read would be missed without a word. */
static int report_others(struct loader *l, const char *folder)
{
	static const char *const endings[] = { ".csv", ".CSV", ".csv.txt", ".xlsx", ".xls", ".ods" };
	struct file_error err;
	for (size_t k = 0; k < sizeof endings / sizeof *endings; k++) {
		struct str *names;
		size_t n;
		if (file_list(l->arena, folder, endings[k], &names, &n, &err))
			return diag_error(l->diag, SPAN_NONE, "%s", err.text), -2;
		for (size_t i = 0; i < n; i++) {
			if (k < 2)
				report_csv(l, names[i]);
			else
				report_ending(l, names[i], endings[k]);
		}
	}
	return 0;
}

int tables_read(struct loader *l, const char *folder)
{
	struct tables all = { .l = l, .first_count = DAY_NONE, .last_count = DAY_NONE, .today = date_civil(date_today()) };
	int worst = 0;
	all.texts_colours = (uint32_t)l->farm->ncolours;
	for (enum table_id id = 0; id < TABLE_COUNT; id++) {
		int status = open_table(&all, folder, id);
		if (status < worst)
			worst = status;
	}
	int status = report_others(l, folder);
	for (enum table_id id = 0; id < TABLE_COUNT; id++)
		ids_release(&all.ids[id]);
	return status < worst ? status : worst;
}
