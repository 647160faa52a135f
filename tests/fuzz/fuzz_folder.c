/* fuzz_folder.c - any bytes as the tables of one folder, which speak of each other:
 * stock, beds, batches, bench and orders, with a line `===` between them.  Where the
 * farm loads it is reckoned, reach, pull lists, best mix and drying line included. */
#include <stdint.h>
#include <unistd.h>

#include "base/buf.h"
#include "farm/farm.h"
#include "reckon/pull.h"
#include "reckon/reckon.h"
#include "report/of.h"

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

enum { MESSAGES_MOST = 1 << 20, TABLES = 5 };

static const char text[] =
    "farm Reed End\n  wage 16 per h\n  line 1 m\n  boxes 2\n"
    "crop Statice\n  bunch 10 stem\n  sprig 1/3 stem\n  costs 0.2 per stem\n"
    "  loses 5% field, 10% drying, 1% storage per month, 3% bench\n  keeps 14 months\n"
    "  colours blue, white\n  works cut 400, strip 250, bundle 300 stem per h; box 60 s per bundle\n"
    "  hangs 10 stem per bundle, 9 cm per bundle, 14 days\n"
    "crop Barley\n  costs 0.05 per stem\n"
    "supply Wire\n  costs 5 per 50 m\n"
    "part Tuft\n  needs 5 stem Barley\n  takes 40 s tying\n"
    "piece Wreath\n  needs 12 stem Statice, colour blue or white, from 20 cm\n"
    "  needs 2 Tuft\n    or 10 stem Barley\n  takes 30 min\n  sells stall at 40\n"
    "outlet stall\n  fee 2%\n  aim margin 40%\n";

static void put(const char *folder, const char *name, struct str content)
{
	char file[128];
	snprintf(file, sizeof file, "%s/%s", folder, name);
	unlink(file);
	if (!content.n)
		return;
	/* Not file_write(): waiting for the disk would be most of a run. */
	FILE *f = fopen(file, "wb");
	if (!f || fwrite(content.p, 1, content.n, f) != content.n || fclose(f) != 0)
		abort();
}

/* For the orders, then for three of the piece. */
static void pull(const struct farm *farm, const struct stock *stock, struct arena *a,
		 struct diag *d)
{
	struct pull_options few = { .nodes = 200 };
	struct making three = { 0, 3, DAY_NONE };
	struct pull list;
	for (size_t n = 0; n < 2; n++)
		if (pull_reckon(&list, farm, stock, &three, n, &few, a, NULL, d) == 0 &&
		    (list.state == PULL_MET) != (list.nshorts == 0 && list.state != PULL_STOPPED))
			abort();
}

static char path[64];

static void remove_folder(void)
{
	static const char *const all[] = { "farm.txt", "stock.csv", "beds.csv", "batches.csv", "bench.csv",
		                           "orders.csv" };
	for (size_t i = 0; i < sizeof all / sizeof *all; i++)
		put(path, all[i], STR_NONE);
	rmdir(path);
}

/* The folder is made once and removed at the end. */
static const char *make_folder(void)
{
	if (!*path) {
		snprintf(path, sizeof path, "/tmp/thrave-fuzz-XXXXXX");
		if (!mkdtemp(path))
			abort();
		put(path, "farm.txt", STR(text));
		atexit(remove_folder);
	}
	return path;
}

static struct str take_section(struct str *rest)
{
	static const char between[] = "\n===\n";
	const size_t n = sizeof between - 1;
	for (size_t i = 0; i + n <= rest->n; i++) {
		if (memcmp(rest->p + i, between, n) == 0) {
			struct str section = { rest->p, i + 1 };
			*rest = (struct str){ rest->p + i + n, rest->n - i - n };
			return section;
		}
	}
	struct str section = *rest;
	*rest = STR_NONE;
	return section;
}

/* What everybody who uses a loaded farm relies on. */
static void check(const struct farm *farm)
{
	for (size_t i = 0; i < farm->nboxes; i++) {
		const struct box *b = &farm->boxes[i];
		if (b->item.index == NONE || !(b->count >= 0))
			abort();
	}
	for (size_t i = 0; i < farm->nbatches; i++) {
		const struct batch *b = &farm->batches[i];
		if (b->crop >= farm->ncrops || b->boxed > b->hung || (b->bed != NONE && b->bed >= farm->nbeds))
			abort();
	}
	for (size_t i = 0; i < farm->nlog; i++) {
		const struct log_entry *e = &farm->log[i];
		if (e->item.index == NONE || e->on == DAY_NONE || (e->box != NONE && e->box >= farm->nboxes))
			abort();
		for (size_t k = 0; k < e->ndrawn; k++) {
			if (e->drawn[k].box >= farm->nboxes || !(e->drawn[k].stems >= 0))
				abort();
		}
	}
}

/* The best mix, what more would bring, and both in words. */
static void show_mix(struct reckoning *r, struct arena *a, struct diag *d)
{
	struct mix_options o = { .nodes = 20, .seconds = 1, .gap = 0.05 };
	struct mix mix;
	struct mix_worths worths;
	struct view v = { .now = r };
	struct mix_view m = { .now = &mix, .worths = &worths, .options = &o };
	struct text_style style = { 0 };
	struct report report;
	struct buf out;
	if (r->farm->npieces > 8 || r->farm->ncrops > 8) /* slow, and no news */
		return;
	if (mix_reckon(&mix, r->farm, &r->stock, &r->costs, &r->prices, &o, a, &r->remarks, d) ||
	    mix_worth(&worths, &mix, r->farm, &r->stock, &r->costs, &r->prices, &o, a, d))
		return;
	report_init(&report, a, "mix", r->farm, r->on);
	of_mix(&report, &v, &m);
	report_finish(&report);
	buf_init(&out, REPORT_SIZE_MOST);
	if (report_text(&report, &style, NULL, &out) || report_json(&report, NULL, &out))
		abort();
	buf_release(&out);
}

/* The drying line; what is over has to be more than there is. */
static void hang(struct reckoning *r, struct arena *a)
{
	struct hang_lots lots;
	struct hang_options o = { .hours = 10 };
	struct hang h;
	hang_batches(&lots, r->farm, &r->rates, r->on, a, &r->remarks);
	hang_reckon(&h, r->farm, &r->stock, &lots, &o, a, &r->remarks);
	for (size_t i = 0; i < h.npeaks; i++) {
		if (!(h.peaks[i].most > h.peaks[i].limit) || h.peaks[i].ngives == 0)
			abort();
	}
	for (size_t i = 0; i < h.nweeks; i++) {
		if (!(h.weeks[i].line >= 0) || !(h.weeks[i].hours >= 0) || !(h.weeks[i].used >= 0))
			abort();
	}
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
	static const char *const names[TABLES] = { "stock.csv", "beds.csv", "batches.csv", "bench.csv",
		                                   "orders.csv" };
	const char *folder = make_folder();
	struct str rest = { (const char *)data, size };
	struct arena a;
	struct diag d;
	struct farm *farm;
	struct buf out;
	for (size_t i = 0; i < TABLES; i++)
		put(folder, names[i], take_section(&rest));
	arena_init(&a);
	diag_init(&d, &a);
	buf_init(&out, MESSAGES_MOST);
	int status = farm_load(&farm, &a, folder, NULL, &d);
	if ((status < 0) != (d.errors > 0))
		abort();
	if (status == 0) {
		struct reckoning r;
		struct reach_options few = { .nodes = 200 };
		check(farm);
		if (reckon(&r, farm, date_from_civil(2026, 11, 10), RECKON_ALL, false, &few, &a,
			   &d) == 0) {
			pull(farm, &r.stock, &a, &d);
			show_mix(&r, &a, &d);
			hang(&r, &a);
		}
	}
	diag_print(&d, &out);
	buf_release(&out);
	arena_release(&a);
	return 0;
}
