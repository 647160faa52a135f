/* bench_plan.c - a year of 200 crops, 500 targets and 40 successive sowings of each crop.
 *
 * The baseline is reading the same farm (farm_load: texts, names, checks) in the same run;
 * five times in turn, the medians of processor time are compared.
 *
 *     make bench        prints the numbers; fails past the limits below */
#include <time.h>
#include <unistd.h>

#include "base/buf.h"
#include "base/file.h"
#include "farm/farm.h"
#include "reckon/plan.h"
#include "reckon/reckon.h"

enum { CROPS = 200, TARGETS = 500, SOWINGS = 40, NEEDS = 4, RUNS = 5 };
#define SECONDS_MOST 1.0
#define SEED UINT64_C(20270424)

static uint32_t draw(uint64_t *state, uint32_t n)
{
	*state ^= *state << 13;
	*state ^= *state >> 7;
	*state ^= *state << 17;
	return (uint32_t)(*state >> 33) % n;
}

static void write_crop(struct buf *b, int i, uint64_t *s)
{
	buf_printf(b,
		   "crop C%d\n  bunch 10 stem\n  loses %u%% field, %u%% drying, 1%% storage per month, %u%% "
		   "bench\n  hangs 10 stem per bundle, 9 cm of line per bundle, %u days\n  works cut 400, "
		   "strip 250 stem per h\n",
		   i, 3 + draw(s, 8), 5 + draw(s, 12), 2 + draw(s, 6), 7 + draw(s, 14));
	for (int k = 0; k < SOWINGS; k++)
		buf_printf(b,
			   "  sows %d days before last frost, germinates 78%%, 128 cells per tray, 4.95 per "
			   "250 seeds\n  plants %d days after last frost, 25 cm apart, 4 rows, 92%% live\n",
			   60 - k, 7 + k);
	buf_printf(b,
		   "  cuts from 9 weeks after planting, over %u weeks, 12 stem per plant, usually 8 to 16\n",
		   4 + draw(s, 8));
	if (i % 2)
		buf_text(b, "  colours rust 40%, gold 35%, white 25%\n");
}

static void write_farm(struct buf *b)
{
	uint64_t s = SEED;
	buf_text(b, "farm Bench\n  currency EUR\n  wage 16 per h\n  growing 2 per m of bed\n"
		    "  frost last 2027-04-24, first 2027-10-18\noutlet market\n");
	for (int i = 0; i < CROPS; i++)
		write_crop(b, i, &s);
	for (int i = 0; i < TARGETS; i++) {
		buf_printf(b, "piece P%d\n", i);
		for (int k = 0; k < NEEDS; k++) {
			uint32_t crop = draw(&s, CROPS);
			buf_printf(b, "  needs %u stem C%u%s\n", 3 + draw(&s, 20), crop,
				   crop % 2 && draw(&s, 2) ? ", colour rust or gold" : "");
		}
		buf_printf(b,
			   "  takes 20 min wiring\n  sells market at 40, up to 50\ntarget P%d\n  sell %u by "
			   "2027-%02u-%02u at market%s\n",
			   i, 5 + draw(&s, 60), 10 + draw(&s, 3), 1 + draw(&s, 28),
			   draw(&s, 3) ? ", 80% sure" : "");
	}
}

static double now(void)
{
	struct timespec t;
	clock_gettime(CLOCK_PROCESS_CPUTIME_ID, &t);
	return (double)t.tv_sec + 1e-9 * (double)t.tv_nsec;
}

static int by_size(const void *x, const void *y)
{
	double a = *(const double *)x, b = *(const double *)y;
	return (a > b) - (a < b);
}

static double median(double *x)
{
	qsort(x, RUNS, sizeof *x, by_size);
	return x[RUNS / 2];
}

static int run(const char *folder, double *load_time, double *plan_time, double *megabytes)
{
	struct arena a;
	struct diag diag;
	struct farm *farm;
	struct reckoning r;
	struct plan plan;
	struct load_options load = { .nsuppose = 0 };
	arena_init(&a);
	diag_init(&diag, &a);
	double start = now();
	if (farm_load(&farm, &a, folder, &load, &diag) < 0)
		return -1;
	*load_time = now() - start;
	if (reckon(&r, farm, date_from_civil(2026, 11, 25), RECKON_PRICES, false, NULL, &a, &diag) < 0)
		return -1;
	size_t before = a.used;
	start = now();
	if (plan_reckon(&plan, farm, &r.stock, &r.costs, &r.prices, NULL, &a, &r.remarks, &diag) < 0)
		return -1;
	*plan_time = now() - start;
	*megabytes = (double)(a.used - before) / 1e6;
	size_t sowings = 0;
	for (size_t i = 0; i < farm->ncrops; i++) {
		for (size_t k = 0; k < plan.crops[i].nsowings; k++)
			sowings += plan.crops[i].sowings[k].planned;
	}
	bool whole = plan.nlines == TARGETS && sowings > CROPS * SOWINGS / 2 && plan.revenue > 0;
	arena_release(&a);
	return whole ? 0 : -1;
}

int main(void)
{
	char folder[] = "/tmp/thrave-bench-XXXXXX", path[64];
	double loads[RUNS], plans[RUNS], megabytes = 0;
	struct buf b;
	int status = 1;
	buf_init(&b, 1 << 24);
	write_farm(&b);
	if (!mkdtemp(folder))
		return 1;
	snprintf(path, sizeof path, "%s/farm.txt", folder);
	FILE *f = fopen(path, "w");
	if (f && fwrite(b.data, 1, b.len, f) == b.len && fclose(f) == 0) {
		status = 0;
		for (int i = 0; i < RUNS && !status; i++)
			status = run(folder, &loads[i], &plans[i], &megabytes) < 0;
	}
	unlink(path);
	rmdir(folder);
	buf_release(&b);
	if (status) {
		fputs("bench_plan: the plan was not made\n", stderr);
		return 1;
	}
	double load = median(loads), plan = median(plans);
	printf("plan: %d crops, %d targets, %d sowings a crop: %.3f s of processor time, %.1f MB; "
	       "reading the farm %.3f s: ratio %.1f\n",
	       CROPS, TARGETS, SOWINGS, plan, megabytes, load, plan / load);
	return plan < SECONDS_MOST ? 0 : 1;
}
