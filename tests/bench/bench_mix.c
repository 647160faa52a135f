/* bench_mix.c - the best mix of generated farms of 12, 40, 200 and 600 pieces.
 *
 * Seeds are committed, five of them for 200 pieces; times are processor time, medians of as
 * many runs as are said.  The farm of 40 pieces is also written down plain (plain_mix.py) and
 * given to glpsol with the same gap in the same run.  `aimed` is what issue 3 hopes for;
 * the other limits are what is reached with some room, and those fail.  A farm has four to nine
 * needs a piece, a quarter of them with another way; colours and lengths; parts, supplies
 * on hand and bought, bench hours, two shops and a market.
 *
 *     make bench                                     prints, fails past the limits below
 *     build/release/bench/bench_mix - PIECES         only that size
 *     build/release/bench/bench_mix FOLDER [PIECES]  writes the farms there instead
 */
#include <inttypes.h>
#include <math.h>
#include <sys/stat.h>
#include <time.h>
#include <unistd.h>

#include "base/buf.h"
#include "base/file.h"
#include "farm/farm.h"
#include "reckon/mix.h"

enum { RUNS_MOST = 5, SEEDS_MOST = 5, COLOURS = 6 };
static const char *const colours[COLOURS] = { "blue", "white", "rust", "gold", "rose", "violet" };

struct size {
	int pieces, crops, parts, supplies, boxes, hours;
	int runs;
	double gap, gap_most, seconds_most; /* asked for; more than these fail */
	double gap_aimed, seconds_aimed;
	uint64_t seeds[SEEDS_MOST]; /* 0: no more */
};
static const struct size sizes[] = {
	{ 12, 8, 2, 6, 50, 60, 5, 0.001, 0.001, 1, 0.001, 1, { 20261101 } },
	{ 40, 14, 5, 12, 150, 200, 5, 0.001, 0.001, 10, 0.001, 10, { 20261102 } },
	{ 200, 30, 12, 30, 500, 900, 5, 0.005, 0.005, 4, 0.005, 1,
	  { 20261103, 20261113, 20261123, 20261133, 20261143 } },
	{ 600, 60, 25, 60, 1500, 2700, 3, 0.005, 0.005, 20, 0.005, 20, { 20261104 } },
};
/* glpsol on the plain program of this size: our time over its is at most so much. */
enum { PLAIN_PIECES = 40 };
#define PLAIN_RATIO_MOST 0.5
#define PLAIN_SECONDS 60

static uint32_t draw(uint64_t *s, int n)
{
	*s ^= *s << 13;
	*s ^= *s >> 7;
	*s ^= *s << 17;
	return (uint32_t)(*s >> 33) % (uint32_t)n;
}

/* ---- writing a farm ---- */

static void write_crop_need(struct buf *b, uint64_t *s, const struct size *z, const char *word)
{
	uint32_t crop = draw(s, z->crops);
	buf_printf(b, "  %s %u stem Crop %u", word, 2 + draw(s, 19), crop);
	uint32_t k = draw(s, 10);
	if (k < 4)
		buf_printf(b, ", colour %s", colours[draw(s, COLOURS)]);
	else if (k < 6)
		buf_printf(b, ", colour %s or %s", colours[draw(s, 3)], colours[3 + draw(s, 3)]);
	if (draw(s, 10) < 3)
		buf_printf(b, ", from %u cm", draw(s, 2) ? 25u : 35u);
	buf_text(b, "\n");
}

static void write_needs(struct buf *b, uint64_t *s, const struct size *z, bool piece)
{
	uint32_t n = piece ? 4 + draw(s, 6) : 1 + draw(s, 2);
	for (uint32_t i = 0; i < n; i++) {
		uint32_t k = piece ? draw(s, 10) : 0;
		if (k < 6)
			write_crop_need(b, s, z, "needs");
		else if (k < 8)
			buf_printf(b, "  needs %u each Supply %u\n", 1 + draw(s, 3),
				   draw(s, z->supplies));
		else
			buf_printf(b, "  needs %u each Part %u\n", 1 + draw(s, 4),
				   draw(s, z->parts));
		if (k < 6 && draw(s, 4) == 0)
			write_crop_need(b, s, z, "   or");
	}
}

static void write_pieces(struct buf *b, uint64_t *s, const struct size *z)
{
	for (int i = 0; i < z->parts; i++) {
		buf_printf(b, "part Part %d\n", i);
		write_needs(b, s, z, false);
		buf_printf(b, "  takes %u s tying\n", 30 + draw(s, 60));
	}
	for (int i = 0; i < z->pieces; i++) {
		uint32_t price = 24 + draw(s, 70);
		buf_printf(b, "piece Piece %d\n", i);
		write_needs(b, s, z, true);
		buf_printf(b, "  takes %u min making\n", 8 + draw(s, 40));
		if (draw(s, 4) == 0)
			buf_printf(b, "  takes %u min setting up, for each batch of up to %u\n",
				   5 + draw(s, 20), 3 + draw(s, 6));
		buf_printf(b, "  packs 30 x 30 x 10 cm, 0.6 kg, %u min, carton 0.%u\n",
			   2 + draw(s, 5), 40 + draw(s, 60));
		uint32_t likely = 2 + draw(s, 10);
		buf_printf(b, "  sells shop at %u, likely %u, up to %u\n", price, likely,
			   likely + draw(s, 6));
		if (draw(s, 2))
			buf_printf(b, "  sells online at %u, up to %u\n", price + 6 + draw(s, 10),
				   2 + draw(s, 8));
		if (draw(s, 3) == 0)
			buf_printf(b, "  sells market at %u, likely %u, up to %u\n", price,
				   1 + draw(s, 5), 6 + draw(s, 5));
	}
}

static void write_texts(struct buf *b, uint64_t *s, const struct size *z)
{
	buf_printf(b,
		   "farm Bench\n  currency EUR\n  wage 14 per h\n  bench %d h until 2026-12-12\n",
		   z->hours);
	for (int i = 0; i < z->crops; i++)
		buf_printf(b,
			   "crop Crop %d\n  bunch 10 stem\n  costs 0.2 per stem\n"
			   "  loses 1%% storage per month, %u%% bench\n",
			   i, draw(s, 6));
	for (int i = 0; i < z->supplies; i++)
		buf_printf(b, "supply Supply %d\n  costs %u.%02u per each\n", i, draw(s, 3),
			   10 + draw(s, 89));
	buf_text(
	    b,
	    "outlet shop\n  fee 20%\n  tax 19% in the price\n"
	    "outlet online\n  fee 6.5%, plus 0.45 per order\n  tax 19% in the price\n  spoils 3%\n"
	    "outlet market\n  stall 45 per day, 8 h, 4 days\n  tax 19% in the price\n");
	write_pieces(b, s, z);
}

static void write_stock(struct buf *b, uint64_t *s, const struct size *z)
{
	buf_text(b, "box,what,count,unit,colour,length,boxed,counted\n");
	for (int i = 0; i < z->boxes; i++)
		buf_printf(b, "B%05d,Crop %u,%u,stem,%s,%u,2026-%02u-10,2026-11-20\n", i,
			   i < z->crops ? (uint32_t)i : draw(s, z->crops), 40 + draw(s, 160),
			   colours[draw(s, COLOURS)], 20 + 10 * draw(s, 3), 6 + draw(s, 4));
	for (int i = 0; i < z->supplies; i += 2)
		buf_printf(b, "S%05d,Supply %d,%u,each,,,,2026-11-20\n", i, i, draw(s, 120));
	for (int i = 0; i < z->parts; i += 2)
		buf_printf(b, "P%05d,Part %d,%u,each,,,,2026-11-20\n", i, i, draw(s, 40));
}

static int write_farm(const char *folder, const struct size *z, uint64_t seed)
{
	struct file_error err;
	struct arena a;
	struct buf texts, boxes;
	uint64_t s = seed;
	arena_init(&a);
	buf_init(&texts, 16 << 20);
	buf_init(&boxes, 16 << 20);
	write_texts(&texts, &s, z);
	write_stock(&boxes, &s, z);
	int bad = file_write(file_join(&a, folder, "farm.txt"), buf_slice(&texts), &err) ||
		  file_write(file_join(&a, folder, "stock.csv"), buf_slice(&boxes), &err);
	if (bad)
		fprintf(stderr, "%s\n", err.text);
	buf_release(&texts);
	buf_release(&boxes);
	arena_release(&a);
	return bad;
}

/* ---- measuring ---- */

struct measured {
	double seconds, value, gap;
	long nodes;
	size_t lines, classes;
	enum mix_state state;
};

static double cpu(void)
{
	struct timespec t;
	clock_gettime(CLOCK_PROCESS_CPUTIME_ID, &t);
	return (double)t.tv_sec + 1e-9 * (double)t.tv_nsec;
}

static void fail(struct diag *diag)
{
	struct buf b;
	buf_init(&b, 1 << 16);
	diag_print(diag, &b);
	fputs(b.data, stderr);
	exit(1);
}

static struct measured measure(const char *folder, const struct size *z)
{
	struct arena a;
	struct diag diag;
	struct farm *farm;
	struct stock stock;
	struct stemcosts stems;
	struct costs costs;
	struct prices prices;
	struct remarks remarks;
	struct mix mix;
	day on;
	arena_init(&a);
	diag_init(&diag, &a);
	remarks_init(&remarks, &a);
	if (farm_load(&farm, &a, folder, NULL, &diag) || !date_parse(STR("2026-11-25"), &on))
		fail(&diag);
	stock_take(&stock, farm, on, false, NULL, &a, &remarks);
	stemcosts_reckon(&stems, farm, &stock, &a, &remarks);
	costs_reckon(&costs, farm, &stems, &a, &remarks);
	prices_reckon(&prices, farm, &costs, &a, &remarks);
	/* Up to 200 pieces no clock: a busy machine must not cut it short. */
	struct mix_options o = { .gap = z->gap,
				 .seconds = z->pieces > 200 ? (int)(z->seconds_most * 1.5) + 1 : 0 };
	double start = cpu();
	if (mix_reckon(&mix, farm, &stock, &costs, &prices, &o, &a, &remarks, &diag))
		fail(&diag);
	struct measured m = { cpu() - start, mix.value,      mix.gap,  mix.nodes,
			      mix.nlines,    stock.nclasses, mix.state };
	arena_release(&a);
	return m;
}

static int by_seconds(const void *x, const void *y)
{
	const struct measured *a = x, *b = y;
	return (a->seconds > b->seconds) - (a->seconds < b->seconds);
}

/* Seconds of processor time that glpsol takes; what plain_mix.py says is passed on. */
static double plain(const char *folder)
{
	char line[512];
	double seconds = (double)NAN;
	snprintf(line, sizeof line, "python3 tests/bench/plain_mix.py %s 0.001 %d", folder,
		 PLAIN_SECONDS);
	fflush(stdout);
	FILE *f = popen(line, "r");
	while (f && fgets(line, sizeof line, f)) {
		printf("      %s", line);
		if (strncmp(line, "  glpsol: ", 10) == 0)
			seconds = (double)strtol(line + 10, NULL, 10) / 1000;
	}
	if (f)
		pclose(f);
	return seconds;
}

static bool against_plain(const char *folder, double ours)
{
	double theirs = plain(folder);
	if (!(theirs > 0)) {
		printf("      no glpsol to measure against\n");
		return true;
	}
	double ratio = ours / theirs;
	printf("      ours over glpsol's: %.2f (at most %g)\n", ratio, PLAIN_RATIO_MOST);
	return ratio <= PLAIN_RATIO_MOST;
}

static bool report(const struct size *z, uint64_t seed, const struct measured *m)
{
	const struct measured *k = &m[z->runs / 2];
	bool same = true, good = k->gap <= z->gap_most && k->seconds <= z->seconds_most;
	for (int i = 0; i < z->runs; i++)
		same = same && m[i].value == k->value && m[i].gap == k->gap;
	printf("%4d pieces, seed %" PRIu64 ", %zu classes: %.2f s, median of %d (%.2f to %.2f; at "
	       "most %g)\n      earns %.2f, gap %.3f%% (at most %g%%), %ld nodes, %zu lines%s%s\n",
	       z->pieces, seed, k->classes, k->seconds, z->runs, m[0].seconds,
	       m[z->runs - 1].seconds, z->seconds_most, k->value, 100 * k->gap, 100 * z->gap_most,
	       k->nodes, k->lines, same ? "" : ", RUNS DIFFER", good ? "" : ", PAST ITS LIMIT");
	if (k->gap > z->gap_aimed)
		printf("      aimed at a gap of %g%%, not reached\n", 100 * z->gap_aimed);
	if (k->seconds > z->seconds_aimed)
		printf("      aimed at %g s, not reached\n", z->seconds_aimed);
	return good && same;
}

static bool bench(const struct size *z, uint64_t seed)
{
	char folder[] = "/tmp/thrave-bench-XXXXXX";
	struct measured m[RUNS_MOST];
	struct arena a;
	if (!mkdtemp(folder) || write_farm(folder, z, seed))
		exit(4);
	for (int i = 0; i < z->runs; i++)
		m[i] = measure(folder, z);
	qsort(m, (size_t)z->runs, sizeof *m, by_seconds);
	bool good = report(z, seed, m);
	if (z->pieces == PLAIN_PIECES)
		good = against_plain(folder, m[z->runs / 2].seconds) && good;
	arena_init(&a);
	unlink(file_join(&a, folder, "farm.txt"));
	unlink(file_join(&a, folder, "stock.csv"));
	unlink(file_join(&a, folder, "plain.lp"));
	rmdir(folder);
	arena_release(&a);
	fflush(stdout);
	return good;
}

int main(int argc, char **argv)
{
	bool good = true;
	for (size_t i = 0; i < sizeof sizes / sizeof *sizes; i++) {
		const struct size *z = &sizes[i];
		if (argc > 2 && z->pieces != strtol(argv[2], NULL, 10))
			continue;
		for (int k = 0; k < SEEDS_MOST && z->seeds[k]; k++) {
			if (argc > 1 && argv[1][0] != '-') {
				char name[512];
				snprintf(name, sizeof name, k ? "%s/%d-%d" : "%s/%d", argv[1],
					 z->pieces, k + 1);
				mkdir(name, 0777);
				if (write_farm(name, z, z->seeds[k]))
					return 4;
				continue;
			}
			good = bench(z, z->seeds[k]) && good;
		}
	}
	return good ? 0 : 1;
}
