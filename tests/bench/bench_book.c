/* bench_book.c - writing the workbook, against bare libxlsxwriter calls that write the same
 * cells, in one run: the demo, and a farm of 300 pieces, sold in three places, and 5,000
 * boxes, made up anew from a seed.
 *
 * Loading, reckoning and solving are not measured.  Each farm's workbook is written once
 * with every call to the library written down (the linker's --wrap): sheets, names, formats,
 * texts, numbers, formulas, notes, limits, heights and widths.  The bare run makes just these
 * calls from one array.  It has no filters, page set-up and red numbers, no texts or formulas
 * to put together, nothing to read back: what it is short of counts against us.  Charts
 * are in neither.
 *
 * Time is processor time; memory is what a process holds at its peak beyond what it held
 * before.
 *
 *     make bench        prints the numbers; fails past the limits below */
#include <malloc.h>
#include <math.h>
#include <sys/resource.h>
#include <sys/stat.h>
#include <sys/wait.h>
#include <time.h>
#include <unistd.h>

#include <xlsxwriter.h>

#include "base/buf.h"
#include "base/file.h"
#include "commands/planned.h"
#include "report/workbook/book.h"

enum { PIECES = 300, BOXES = 5000, CROPS = 60, SUPPLIES = 40, PATH_MOST = 4096,
       TURNS_MOST = 31, MOVES = 12 };
#define RATIO_MOST 1.25
#define MIB        1048576.0
#define SEED       UINT64_C(20261125)

/* ---- a large farm ---- */

static uint32_t draw(uint64_t *state, uint32_t n)
{
	*state ^= *state << 13;
	*state ^= *state >> 7;
	*state ^= *state << 17;
	return (uint32_t)(*state >> 33) % n;
}

static void write_terms(struct buf *b)
{
	buf_text(b, "farm Bench\n  currency EUR\n  wage 16.50 per h, plus 21%\n"
		    "  overhead 3900 per year over 850 h at the bench\n"
		    "outlet market\n  stall 45 per day, 9 h, 6 days\n  fee 1.7%\n"
		    "  tax 19% in the price\n  aim margin 20%\n  prices end in .00 or .50\n"
		    "outlet online\n  fee 6.5%, plus 0.45 per order\n  orders 1.4 pieces each\n"
		    "  sends 7.20 up to 2 kg, 9.80 up to 5 kg, volume divisor 5000; charges 6.90 "
		    "per order\n"
		    "  spoils 3%\n  tax 19% in the price\n  aim margin 25%\n  prices end in .95\n"
		    "outlet shop\n  tax 19% on top\n  aim markup 35%\n");
}

static void write_texts(struct buf *b)
{
	static const char *const colours[] = { "rust", "gold", "white", "blue" };
	uint64_t s = SEED;
	write_terms(b);
	for (uint32_t i = 0; i < CROPS; i++)
		buf_printf(b,
			   "crop Crop %u\n  costs 0.%u per stem boxed\n  keeps 14 months\n"
			   "  loses 8%% field, 10%% drying, 1%% storage per month, 4%% bench\n",
			   i, 10 + draw(&s, 80));
	for (uint32_t i = 0; i < SUPPLIES; i++)
		buf_printf(b, "supply Supply %u\n  costs %u.5 per each\n", i, draw(&s, 4));
	for (uint32_t i = 0; i < PIECES; i++) {
		buf_printf(b, "piece Piece %u\n", i);
		for (int k = 0; k < 6; k++)
			buf_printf(b, "  needs %u stem Crop %u, colour %s\n", 2 + draw(&s, 18),
				   draw(&s, CROPS), colours[draw(&s, 4)]);
		for (int k = 0; k < 3; k++)
			buf_printf(b, "  needs 1 each Supply %u\n", draw(&s, SUPPLIES));
		buf_printf(
		    b,
		    "  takes %u min wiring\n  takes 20 min setting up, for each batch of up to 6\n"
		    "  packs 42 x 42 x 14 cm, 0.8 kg, 6 min, carton 1.35\n"
		    "  sells market at %u, likely 14, up to 20\n  sells online at %u.95\n  sells "
		    "shop at %u\n",
		    5 + draw(&s, 35), 20 + draw(&s, 70), 30 + draw(&s, 80), 20 + draw(&s, 70));
	}
}

static void write_boxes(struct buf *b)
{
	static const char *const colours[] = { "rust", "gold", "white", "blue" };
	uint64_t s = SEED;
	buf_text(b, "box,what,count,unit,colour,length,boxed,counted,place\n");
	for (uint32_t i = 0; i < BOXES; i++)
		buf_printf(b, "B%u,Crop %u,%u,stem,%s,%u,2026-%02u-%02u,2026-10-%02u,loft\n", i,
			   draw(&s, CROPS), 10 + draw(&s, 240), colours[draw(&s, 4)],
			   25 + 5 * draw(&s, 6), 6 + draw(&s, 4), 1 + draw(&s, 28),
			   1 + draw(&s, 30));
}

/* ---- the library's calls, written down ---- */

enum call_kind { CALL_TEXT, CALL_NUMBER, CALL_BLANK, CALL_FORMULA, CALL_FORMULA_TEXT, CALL_NOTE,
		 CALL_WIDTH, CALL_HEIGHT, CALL_LIMIT, CALL_NAME, CALL_SHEET };
struct call {
	enum call_kind kind;
	size_t sheet, format; /* format 0: none */
	lxw_row_t row;
	lxw_col_t col;
	double number;
	const char *text, *value;
	const void *options;
};
struct record {
	struct arena *arena; /* NULL: calls go through as they are */
	struct call *calls;
	size_t ncalls, cap;
	lxw_worksheet **sheets;
	size_t nsheets, cap_sheets;
	lxw_format **formats;
	lxw_format *looks; /* as they were when the book was finished */
	size_t nformats, cap_formats;
	const char *folder;
};
/* Wrapped calls have no argument of ours. */
static struct record record;

static const char *kept(const char *text)
{
	return text ? arena_copy(record.arena, text, strlen(text)) : NULL;
}

static struct call *note_call(enum call_kind kind, const lxw_worksheet *ws, lxw_format *format)
{
	struct record *r = &record;
	struct call *c = ARENA_PUSH(r->arena, r->calls, r->ncalls, r->cap);
	*c = (struct call){ .kind = kind };
	/* The sheets are asked for in turn: the last ones first are soon found. */
	for (size_t i = 0; ws && i < r->nsheets; i++) {
		if (r->sheets[i] == ws)
			c->sheet = i;
	}
	for (size_t i = 0; format && i < r->nformats; i++) {
		if (r->formats[i] == format)
			c->format = i + 1;
	}
	return c;
}

static void note_cell(enum call_kind kind, const lxw_worksheet *ws, lxw_row_t row, lxw_col_t col,
		      lxw_format *format, double number, const char *text, const char *value)
{
	if (!record.arena)
		return;
	struct call *c = note_call(kind, ws, format);
	c->row = row;
	c->col = col;
	c->number = number;
	c->text = kept(text);
	c->value = kept(value);
}

/* clang-format off */
#define WRAP(type, name, parameters, arguments, noting) \
	type __real_##name parameters;                  \
	type __wrap_##name parameters;                  \
	type __wrap_##name parameters                   \
	{                                               \
		noting;                                 \
		return __real_##name arguments;         \
	}
WRAP(lxw_error, worksheet_write_string,
     (lxw_worksheet *ws, lxw_row_t row, lxw_col_t col, const char *text, lxw_format *f),
     (ws, row, col, text, f), note_cell(CALL_TEXT, ws, row, col, f, 0, text, NULL))
WRAP(lxw_error, worksheet_write_number,
     (lxw_worksheet *ws, lxw_row_t row, lxw_col_t col, double x, lxw_format *f),
     (ws, row, col, x, f), note_cell(CALL_NUMBER, ws, row, col, f, x, NULL, NULL))
WRAP(lxw_error, worksheet_write_blank, (lxw_worksheet *ws, lxw_row_t row, lxw_col_t col, lxw_format *f),
     (ws, row, col, f), note_cell(CALL_BLANK, ws, row, col, f, 0, NULL, NULL))
WRAP(lxw_error, worksheet_write_formula_num,
     (lxw_worksheet *ws, lxw_row_t row, lxw_col_t col, const char *text, lxw_format *f, double x),
     (ws, row, col, text, f, x), note_cell(CALL_FORMULA, ws, row, col, f, x, text, NULL))
WRAP(lxw_error, worksheet_write_formula_str,
     (lxw_worksheet *ws, lxw_row_t row, lxw_col_t col, const char *text, lxw_format *f, const char *value),
     (ws, row, col, text, f, value), note_cell(CALL_FORMULA_TEXT, ws, row, col, f, 0, text, value))
WRAP(lxw_error, worksheet_set_column,
     (lxw_worksheet *ws, lxw_col_t from, lxw_col_t to, double width, lxw_format *f),
     (ws, from, to, width, f), note_cell(CALL_WIDTH, ws, 0, from, f, width, NULL, NULL))
WRAP(lxw_error, worksheet_set_row, (lxw_worksheet *ws, lxw_row_t row, double height, lxw_format *f),
     (ws, row, height, f), note_cell(CALL_HEIGHT, ws, row, 0, f, height, NULL, NULL))
WRAP(lxw_error, workbook_define_name, (lxw_workbook *wb, const char *name, const char *formula),
     (wb, name, formula), note_cell(CALL_NAME, NULL, 0, 0, NULL, 0, name, formula))
/* clang-format on */

lxw_error __real_worksheet_write_comment_opt(lxw_worksheet *ws, lxw_row_t row, lxw_col_t col,
					     const char *text, lxw_comment_options *options);
lxw_error __wrap_worksheet_write_comment_opt(lxw_worksheet *ws, lxw_row_t row, lxw_col_t col,
					     const char *text, lxw_comment_options *options);
lxw_error __wrap_worksheet_write_comment_opt(lxw_worksheet *ws, lxw_row_t row, lxw_col_t col,
					     const char *text, lxw_comment_options *options)
{
	if (record.arena) {
		note_cell(CALL_NOTE, ws, row, col, NULL, 0, text, NULL);
		record.calls[record.ncalls - 1].options =
		    arena_copy(record.arena, (const char *)options, sizeof *options);
	}
	return __real_worksheet_write_comment_opt(ws, row, col, text, options);
}

lxw_error __real_worksheet_data_validation_cell(lxw_worksheet *ws, lxw_row_t row, lxw_col_t col,
						lxw_data_validation *v);
lxw_error __wrap_worksheet_data_validation_cell(lxw_worksheet *ws, lxw_row_t row, lxw_col_t col,
						lxw_data_validation *v);
lxw_error __wrap_worksheet_data_validation_cell(lxw_worksheet *ws, lxw_row_t row, lxw_col_t col,
						lxw_data_validation *v)
{
	if (record.arena) {
		lxw_data_validation *own = ARENA_NEW(record.arena, lxw_data_validation);
		*own = *v;
		own->error_title = arena_copy(record.arena, v->error_title, strlen(v->error_title));
		own->error_message = arena_copy(record.arena, v->error_message, strlen(v->error_message));
		note_cell(CALL_LIMIT, ws, row, col, NULL, 0, NULL, NULL);
		record.calls[record.ncalls - 1].options = own;
	}
	return __real_worksheet_data_validation_cell(ws, row, col, v);
}

lxw_worksheet *__real_workbook_add_worksheet(lxw_workbook *wb, const char *name);
lxw_worksheet *__wrap_workbook_add_worksheet(lxw_workbook *wb, const char *name);
lxw_worksheet *__wrap_workbook_add_worksheet(lxw_workbook *wb, const char *name)
{
	lxw_worksheet *ws = __real_workbook_add_worksheet(wb, name);
	if (record.arena) {
		note_cell(CALL_SHEET, NULL, 0, 0, NULL, 0, name, NULL);
		*ARENA_PUSH(record.arena, record.sheets, record.nsheets, record.cap_sheets) = ws;
	}
	return ws;
}

lxw_format *__real_workbook_add_format(lxw_workbook *wb);
lxw_format *__wrap_workbook_add_format(lxw_workbook *wb);
lxw_format *__wrap_workbook_add_format(lxw_workbook *wb)
{
	lxw_format *f = __real_workbook_add_format(wb);
	if (record.arena)
		*ARENA_PUSH(record.arena, record.formats, record.nformats, record.cap_formats) = f;
	return f;
}

lxw_error __real_workbook_close(lxw_workbook *wb);
lxw_error __wrap_workbook_close(lxw_workbook *wb);
lxw_error __wrap_workbook_close(lxw_workbook *wb)
{
	if (record.arena) {
		record.looks = ARENA_ARRAY(record.arena, record.nformats + 1, lxw_format);
		for (size_t i = 0; i < record.nformats; i++)
			record.looks[i] = *record.formats[i];
		record.arena = NULL; /* that was all */
	}
	return __real_workbook_close(wb);
}

/* Charts are no cells: both runs are without them. */
void __wrap_sheet_chart(struct sheet *s, uint32_t row, uint32_t col, const struct chart *c);
void __wrap_sheet_chart(struct sheet *s, uint32_t row, uint32_t col, const struct chart *c)
{
	(void)s, (void)row, (void)col, (void)c;
}

/* ---- the bare run ---- */

/* A format with all that was set, in its own place of the new book. */
static lxw_format *same_look(lxw_workbook *wb, const lxw_format *look)
{
	lxw_format *f = workbook_add_format(wb), own = *f;
	*f = *look;
	f->file = own.file;
	f->xf_format_indices = own.xf_format_indices;
	f->dxf_format_indices = own.dxf_format_indices;
	f->num_xf_formats = own.num_xf_formats;
	f->num_dxf_formats = own.num_dxf_formats;
	f->list_pointers = own.list_pointers;
	return f;
}

static lxw_error make_call(lxw_workbook *wb, lxw_worksheet **sheets, lxw_format **formats,
			   const struct call *c, size_t *nsheets)
{
	lxw_worksheet *ws = sheets[c->sheet];
	lxw_format *f = c->format ? formats[c->format - 1] : NULL;
	lxw_comment_options box;
	lxw_data_validation limit;
	switch (c->kind) {
	case CALL_TEXT:
		return worksheet_write_string(ws, c->row, c->col, c->text, f);
	case CALL_NUMBER:
		return worksheet_write_number(ws, c->row, c->col, c->number, f);
	case CALL_BLANK:
		return worksheet_write_blank(ws, c->row, c->col, f);
	case CALL_FORMULA:
		return worksheet_write_formula_num(ws, c->row, c->col, c->text, f, c->number);
	case CALL_FORMULA_TEXT:
		return worksheet_write_formula_str(ws, c->row, c->col, c->text, f, c->value);
	case CALL_NOTE:
		memcpy(&box, c->options, sizeof box);
		return worksheet_write_comment_opt(ws, c->row, c->col, c->text, &box);
	case CALL_WIDTH:
		return worksheet_set_column(ws, c->col, c->col, c->number, f);
	case CALL_HEIGHT:
		return worksheet_set_row(ws, c->row, c->number, f);
	case CALL_LIMIT:
		memcpy(&limit, c->options, sizeof limit);
		return worksheet_data_validation_cell(ws, c->row, c->col, &limit);
	case CALL_NAME:
		return workbook_define_name(wb, c->text, c->value);
	case CALL_SHEET:
		sheets[*nsheets] = workbook_add_worksheet(wb, c->text);
		return sheets[(*nsheets)++] ? LXW_NO_ERROR : LXW_ERROR_MEMORY_MALLOC_FAILED;
	}
	return LXW_NO_ERROR;
}

static void write_bare(const struct record *r, const char *path)
{
	char tmpdir[PATH_MOST];
	snprintf(tmpdir, sizeof tmpdir, "%s", r->folder);
	lxw_workbook_options options = { .tmpdir = tmpdir };
	lxw_workbook *wb = workbook_new_opt(path, &options);
	lxw_worksheet **sheets = calloc(r->nsheets + 1, sizeof *sheets);
	lxw_format **formats = calloc(r->nformats + 1, sizeof *formats);
	size_t nsheets = 0;
	for (size_t i = 0; i < r->nformats; i++)
		formats[i] = same_look(wb, &r->looks[i]);
	for (size_t i = 0; i < r->ncalls; i++) {
		if (make_call(wb, sheets, formats, &r->calls[i], &nsheets))
			exit(3);
	}
	if (workbook_close(wb))
		exit(3);
	free(sheets);
	free(formats);
}

/* ---- a farm, reckoned ---- */

struct subject {
	struct arena arena;
	struct diag diag;
	struct farm *farm;
	struct reckoning now;
	struct book_solved solved;
};

static void die(struct diag *diag)
{
	struct buf b;
	buf_init(&b, 1 << 16);
	diag_print(diag, &b);
	fputs(b.data, stderr);
	exit(1);
}

/* The mix without a search: its rows are what is written, not their proof. */
static void reckon_all(struct subject *s, const char *folder, day on)
{
	struct arena *a = &s->arena;
	arena_init(a);
	struct reckoning *k = &s->now;
	struct reach_options reach = { 0 };
	struct mix_options options = { .by_hand = true };
	struct mix *mix = ARENA_NEW(a, struct mix);
	struct pull *pull = ARENA_NEW(a, struct pull);
	struct hang *hang = ARENA_NEW(a, struct hang), *next = ARENA_NEW(a, struct hang);
	struct plan *plan = ARENA_NEW(a, struct plan);
	diag_init(&s->diag, a);
	if (farm_load(&s->farm, a, folder, NULL, &s->diag) ||
	    reckon(k, s->farm, on, RECKON_ALL, false, &reach, a, &s->diag) ||
	    mix_reckon(mix, s->farm, &k->stock, &k->costs, &k->prices, &options, a, &k->remarks, &s->diag) ||
	    pull_mix(pull, s->farm, &k->stock, mix, &options, a, &s->diag) ||
	    planned(plan, k, NULL, NULL, &s->diag))
		die(&s->diag);
	season_now(hang, k, (double)NAN);
	season_by_plan(next, k, plan, (double)NAN);
	s->solved = (struct book_solved){ mix, pull, hang, next, plan, NULL };
	if (s->farm->npieces == PIECES) /* as the command leaves it to `sway` */
		return;
	struct sway *sway = ARENA_NEW(a, struct sway);
	struct farm *trial;
	if (farm_load(&trial, a, folder, NULL, &s->diag))
		die(&s->diag);
	sway_reckon(sway, trial, k, mix, MOVES, a);
	s->solved.sway = sway;
}

static void write_ours(struct subject *s, const char *path)
{
	if (book_write(&s->now, &s->solved, path, &s->diag))
		die(&s->diag);
}

/* ---- measuring ---- */

static double now(void)
{
	return (double)clock() / CLOCKS_PER_SEC; /* processor time */
}

static double peak(void)
{
	struct rusage used;
	getrusage(RUSAGE_SELF, &used);
	return 1024.0 * (double)used.ru_maxrss;
}

/* Bytes at the peak of one run beyond what was there before: in a process of its own, which
 * starts with its parent's memory as its peak. */
static double memory_of(struct subject *s, const struct record *bare, const char *path)
{
	double bytes = 0;
	int ends[2], status;
	if (pipe(ends))
		exit(4);
	pid_t child = fork();
	if (child < 0)
		exit(4);
	if (child == 0) {
		double before = peak();
		if (bare)
			write_bare(bare, path);
		else
			write_ours(s, path);
		bytes = peak() - before;
		_exit(write(ends[1], &bytes, sizeof bytes) == (ssize_t)sizeof bytes ? 0 : 4);
	}
	bool read_all = read(ends[0], &bytes, sizeof bytes) == (ssize_t)sizeof bytes;
	close(ends[0]);
	close(ends[1]);
	if (waitpid(child, &status, 0) != child || status || !read_all)
		exit(1);
	return bytes;
}

static int by_size(const void *x, const void *y)
{
	double a = *(const double *)x, b = *(const double *)y;
	return (a > b) - (a < b);
}

static double median(double *x, int n)
{
	qsort(x, (size_t)n, sizeof *x, by_size);
	return x[n / 2];
}

/* Ours and the bare one taking turns: what else the machine does falls on both.  The median of
 * the ratios; in seconds[] the medians of each. */
static double time_of(struct subject *s, const struct record *bare, const char *path, const char *other,
		      int turns, double seconds[2])
{
	double each[2][TURNS_MOST], ratios[TURNS_MOST];
	for (int i = 0; i < turns; i++) {
		double start = now();
		write_ours(s, path);
		double middle = now();
		write_bare(bare, other);
		each[0][i] = middle - start;
		each[1][i] = now() - middle;
		ratios[i] = each[0][i] / each[1][i];
	}
	for (int k = 0; k < 2; k++)
		seconds[k] = median(each[k], turns);
	return median(ratios, turns);
}

static bool compare(struct subject *s, const char *name, const char *folder, int turns)
{
	struct arena calls;
	struct stat st;
	double seconds[2], bytes[2];
	const char *path = file_join(&s->arena, folder, "farm.xlsx"),
		   *other = file_join(&s->arena, folder, "bare.xlsx");
	bytes[0] = memory_of(s, NULL, path); /* before anything has been written */
	arena_init(&calls);
	record = (struct record){ .arena = &calls, .folder = folder };
	write_ours(s, path);
	if (stat(path, &st))
		exit(4);
	malloc_trim(0); /* what was freed must not be there for the bare run to use */
	bytes[1] = memory_of(s, &record, other);
	double time = time_of(s, &record, path, other, turns, seconds), memory = bytes[0] / bytes[1];
	printf("workbook of %s: %zu pieces, %zu boxes, %zu calls, %.1f MiB of file\n"
	       "  time    %.3f s, bare calls %.3f s: %.2f times (at most %.2f)\n"
	       "  memory  %.1f MiB, bare calls %.1f MiB: %.2f times (at most %.2f)\n",
	       name, s->farm->npieces, s->farm->nboxes, record.ncalls, (double)st.st_size / MIB, seconds[0],
	       seconds[1], time, RATIO_MOST, bytes[0] / MIB, bytes[1] / MIB, memory, RATIO_MOST);
	unlink(path);
	unlink(other);
	arena_release(&calls);
	record = (struct record){ 0 };
	return time < RATIO_MOST && memory < RATIO_MOST;
}

int main(void)
{
	char folder[] = "/tmp/thrave-bench-XXXXXX";
	struct arena names;
	struct file_error err;
	struct buf texts, boxes;
	struct subject demo = { 0 }, large = { 0 };

	arena_init(&names);
	buf_init(&texts, 1 << 20);
	buf_init(&boxes, 1 << 20);
	write_texts(&texts);
	write_boxes(&boxes);
	if (!mkdtemp(folder))
		return 4;
	const char *text = file_join(&names, folder, "farm.txt");
	const char *csv = file_join(&names, folder, "stock.csv");
	if (file_write(text, buf_slice(&texts), &err) || file_write(csv, buf_slice(&boxes), &err)) {
		fprintf(stderr, "%s\n", err.text);
		return 4;
	}
	reckon_all(&demo, "recipes-demo", date_from_civil(2026, 11, 14));
	bool well = compare(&demo, "the demo", folder, TURNS_MOST);
	arena_release(&demo.arena);
	reckon_all(&large, folder, date_from_civil(2026, 11, 25));
	well = compare(&large, "a large farm", folder, 7) && well;
	arena_release(&large.arena);
	unlink(text);
	unlink(csv);
	rmdir(folder);
	buf_release(&texts);
	buf_release(&boxes);
	arena_release(&names);
	return well ? 0 : 1;
}
