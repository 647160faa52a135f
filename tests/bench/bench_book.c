/* bench_book.c - a workbook of 300 pieces, sold in three places, and 5,000 boxes.
 *
 * The farm is made up anew from a seed; loading and reckoning are not measured, nor
 * is the solver's part, which the workbook only copies.
 *
 *     make bench        prints the numbers; fails past the limits below */
#include <sys/resource.h>
#include <sys/stat.h>
#include <time.h>
#include <unistd.h>

#include "base/buf.h"
#include "base/file.h"
#include "report/workbook/book.h"

enum { PIECES = 300, BOXES = 5000, CROPS = 60, SUPPLIES = 40, RUNS = 3, MEGABYTES_MOST = 150 };
#define SECONDS_MOST 3.0
#define SEED         UINT64_C(20261125)

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

static void die(struct diag *diag)
{
	struct buf b;
	buf_init(&b, 1 << 16);
	diag_print(diag, &b);
	fputs(b.data, stderr);
	exit(1);
}

/* Seconds of processor time for one workbook. */
static double write_one(const char *folder, const char *path)
{
	struct arena a;
	struct diag diag;
	struct farm *farm;
	arena_init(&a);
	diag_init(&diag, &a);
	if (farm_load(&farm, &a, folder, NULL, &diag) || farm->npieces != PIECES ||
	    farm->nboxes != BOXES)
		die(&diag);
	struct reckoning r = { .farm = farm, .on = date_from_civil(2026, 11, 25), .arena = &a };
	remarks_init(&r.remarks, &a);
	stock_take(&r.stock, farm, r.on, false, NULL, &a, &r.remarks);
	stemcosts_reckon(&r.stems, farm, &r.stock, &a, &r.remarks);
	costs_reckon(&r.costs, farm, &r.stems, &a, &r.remarks);
	prices_reckon(&r.prices, farm, &r.costs, &a, &r.remarks);
	r.reach.pieces = ARENA_ARRAY(&a, farm->npieces, struct reach_piece);
	clock_t start = clock();
	if (book_write(&r, NULL, path, &diag) < 0)
		die(&diag);
	double took = (double)(clock() - start) / CLOCKS_PER_SEC;
	arena_release(&a);
	return took;
}

static int by_size(const void *x, const void *y)
{
	double a = *(const double *)x, b = *(const double *)y;
	return (a > b) - (a < b);
}

int main(void)
{
	char folder[] = "/tmp/thrave-bench-XXXXXX";
	struct arena names;
	struct file_error err;
	struct buf texts, boxes;
	struct stat st;
	struct rusage used;
	double times[RUNS];

	arena_init(&names);
	buf_init(&texts, 1 << 20);
	buf_init(&boxes, 1 << 20);
	write_texts(&texts);
	write_boxes(&boxes);
	if (!mkdtemp(folder))
		return 4;
	const char *text = file_join(&names, folder, "farm.txt");
	const char *csv = file_join(&names, folder, "stock.csv");
	const char *book = file_join(&names, folder, "farm.xlsx");
	if (file_write(text, buf_slice(&texts), &err) || file_write(csv, buf_slice(&boxes), &err)) {
		fprintf(stderr, "%s\n", err.text);
		return 4;
	}
	for (int i = 0; i < RUNS; i++)
		times[i] = write_one(folder, book);
	if (stat(book, &st))
		return 4;
	unlink(text);
	unlink(csv);
	unlink(book);
	rmdir(folder);
	getrusage(RUSAGE_SELF, &used);

	qsort(times, RUNS, sizeof *times, by_size);
	long megabytes = used.ru_maxrss / 1024;
	printf("workbook of %d pieces and %d boxes: %.2f s (at most %.1f), %ld MiB of memory (at "
	       "most %d), "
	       "%.1f MiB of file\n",
	       PIECES, BOXES, times[RUNS / 2], SECONDS_MOST, megabytes, MEGABYTES_MOST,
	       (double)st.st_size / 1048576);
	buf_release(&texts);
	buf_release(&boxes);
	arena_release(&names);
	return times[RUNS / 2] < SECONDS_MOST && megabytes < MEGABYTES_MOST ? 0 : 1;
}
