/* bench_stock.c - loading a hundred thousand boxes against libcsv alone.
 *
 * Both read the same file in the same run, five times in turn; the medians are
 * compared.  "Loading" is all of farm_load(): texts, stock.csv, every check.
 * The arena's bytes less the text of the file are what a box takes.
 *
 *     make bench        prints the numbers; fails past the limits below */
#include <csv.h>
#include <time.h>
#include <unistd.h>

#include "base/buf.h"
#include "base/file.h"
#include "farm/farm.h"

enum { BOXES = 100000, RUNS = 5, BYTES_MOST = 200 };
#define RATIO_MOST 2.0
#define SEED UINT64_C(20261125)

static const char *const crops[] = { "Statice",     "Strawflower", "Sea lavender", "Hare's-tail grass",
	                             "Larkspur",    "Yarrow",      "Oats",         "Globe amaranth",
	                             "Love-in-a-mist", "Safflower", "Honesty",     "Poppy heads" };
static const char *const colours[] = { "blue", "white", "rust", "gold", "rose", "violet" };
enum { CROPS = sizeof crops / sizeof *crops, COLOURS = sizeof colours / sizeof *colours };

static uint32_t draw(uint64_t *state, uint32_t n)
{
	*state ^= *state << 13;
	*state ^= *state >> 7;
	*state ^= *state << 17;
	return (uint32_t)(*state >> 33) % n;
}

static void write_texts(struct buf *b)
{
	buf_text(b, "farm Bench\n  currency EUR\n  wage 16 per h\n");
	for (size_t i = 0; i < CROPS; i++)
		buf_printf(b, "crop %s\n  bunch 10 stem\n  costs 0.25 per stem\n"
		              "  colours blue, white, rust, gold, rose, violet\n", crops[i]);
}

static void write_boxes(struct buf *b)
{
	uint64_t s = SEED;
	buf_text(b, "box,what,count,unit,colour,length,boxed,counted,price,place,note\r\n");
	for (int i = 0; i < BOXES; i++) {
		bool bunches = draw(&s, 4) == 0;
		buf_printf(b, "B%06d,%s,%u,%s,%s,%u,2026-%02u-%02u,2026-11-%02u,", i, crops[draw(&s, CROPS)],
		           1 + draw(&s, 400), bunches ? "bunch" : "stem", colours[draw(&s, COLOURS)],
		           20 + draw(&s, 50), 7 + draw(&s, 3), 1 + draw(&s, 28), 1 + draw(&s, 20));
		if (draw(&s, 20) == 0)
			buf_printf(b, "0.%02u", 10 + draw(&s, 80));
		buf_printf(b, ",rack %u,%s\r\n", draw(&s, 40), draw(&s, 50) ? "" : "\"damp, look again\"");
	}
}

static double now(void)
{
	struct timespec t;
	clock_gettime(CLOCK_MONOTONIC, &t);
	return (double)t.tv_sec + 1e-9 * (double)t.tv_nsec;
}

static void count_cell(void *field, size_t n, void *context)
{
	(void)field;
	*(size_t *)context += n;
}

static void count_row(int c, void *context)
{
	(void)c;
	++*(size_t *)context;
}

static double bare_pass(const char *path)
{
	struct arena a;
	struct file_error err;
	struct csv_parser p;
	struct str text;
	size_t sum = 0;
	double start = now();
	arena_init(&a);
	if (file_read(&a, path, &text, &err) || csv_init(&p, CSV_STRICT | CSV_STRICT_FINI) ||
	    csv_parse(&p, text.p, text.n, count_cell, count_row, &sum) != text.n ||
	    csv_fini(&p, count_cell, count_row, &sum) || sum == 0)
		exit(4);
	csv_free(&p);
	arena_release(&a);
	return now() - start;
}

static double load(const char *folder, size_t *bytes)
{
	struct arena a;
	struct diag diag;
	struct farm *farm;
	double start = now();
	arena_init(&a);
	diag_init(&diag, &a);
	int status = farm_load(&farm, &a, folder, NULL, &diag);
	double took = now() - start;
	if (status || farm->nboxes != BOXES || diag.warnings) {
		struct buf b;
		buf_init(&b, 1 << 16);
		diag_print(&diag, &b);
		fputs(b.data, stderr);
		exit(1);
	}
	*bytes = a.used;
	arena_release(&a);
	return took;
}

static int by_size(const void *x, const void *y)
{
	double a = *(const double *)x, b = *(const double *)y;
	return (a > b) - (a < b);
}

static double median(double *times)
{
	qsort(times, RUNS, sizeof *times, by_size);
	return times[RUNS / 2];
}

int main(void)
{
	char folder[] = "/tmp/thrave-bench-XXXXXX";
	struct file_error err;
	struct arena names;
	struct buf texts, boxes;
	double bare[RUNS], loads[RUNS];
	size_t bytes = 0;

	arena_init(&names);
	buf_init(&texts, 1 << 16);
	buf_init(&boxes, 64 << 20);
	write_texts(&texts);
	write_boxes(&boxes);
	if (!mkdtemp(folder))
		return 4;
	const char *text = file_join(&names, folder, "farm.txt"), *csv = file_join(&names, folder, "stock.csv");
	if (file_write(text, buf_slice(&texts), &err) || file_write(csv, buf_slice(&boxes), &err)) {
		fprintf(stderr, "%s\n", err.text);
		return 4;
	}
	for (int i = 0; i < RUNS; i++) {
		bare[i] = bare_pass(csv);
		loads[i] = load(folder, &bytes);
	}
	unlink(text);
	unlink(csv);
	rmdir(folder);

	double ratio = median(loads) / median(bare);
	size_t a_box = (bytes - boxes.len) / BOXES;
	printf("%d boxes, %zu bytes: libcsv alone %.1f ms, loading %.1f ms, ratio %.2f (at most %.1f); "
	       "%zu bytes a box beyond the file (at most %d)\n",
	       BOXES, boxes.len, 1e3 * median(bare), 1e3 * median(loads), ratio, RATIO_MOST, a_box, BYTES_MOST);
	buf_release(&texts);
	buf_release(&boxes);
	arena_release(&names);
	return ratio < RATIO_MOST && a_box < BYTES_MOST ? 0 : 1;
}
