/* fuzz_tables.c - any bytes as one of the five tables of a small farm.  The first
 * byte picks the table, the rest is its text; where the farm loads, it is reckoned. */
#include <stdint.h>
#include <unistd.h>

#include "base/buf.h"
#include "base/file.h"
#include "farm/load.h"
#include "farm/tables.h"
#include "reckon/reckon.h"

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

enum { MESSAGES_MOST = 1 << 20 };

static const char texts[] =
    "farm Reed End\n  wage 16 per h\n"
    "crop Statice\n  bunch 10 stem\n  sprig 1/3 stem\n  costs 0.2 per stem\n"
    "  loses 5% field, 10% drying, 1% storage per month, 3% bench\n  keeps 14 months\n"
    "  colours blue, white\n  works cut 400, strip 250, bundle 300 stem per h; box 60 s per bundle\n"
    "  hangs 10 stem per bundle, 9 cm per bundle, 14 days\n"
    "crop Barley\n  costs 0.05 per stem\n"
    "supply Ring\n  costs 2 per each\n  pack 25 each\n"
    "supply Wire\n  costs 5 per 50 m\n"
    "part Tuft\n  needs 5 stem Barley\n  takes 40 s tying\n"
    "piece Wreath\n  needs 12 stem Statice, colour blue or white, from 20 cm\n"
    "  needs 2 Tuft\n    or 10 stem Barley\n  needs 1 each Ring\n  takes 30 min wiring\n  sells stall at 40\n"
    "outlet stall\n  fee 2%\n  aim margin 40%\n";

/* The folder is made once and holds at most one table at a time. */
static const char *folder(void)
{
	static char path[64];
	if (!*path) {
		snprintf(path, sizeof path, "/tmp/thrave-fuzz-XXXXXX");
		if (!mkdtemp(path))
			abort();
	}
	return path;
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
	static const char *const names[] = { "stock.csv", "beds.csv", "batches.csv", "orders.csv", "bench.csv" };
	if (size < 1)
		return 0;
	char path[128];
	snprintf(path, sizeof path, "%s/%s", folder(), names[data[0] % TABLE_COUNT]);
	FILE *f = fopen(path, "wb");
	if (!f || fwrite(data + 1, 1, size - 1, f) != size - 1 || fclose(f) != 0)
		abort();

	struct arena a;
	struct diag d;
	struct loader l;
	struct buf out;
	arena_init(&a);
	diag_init(&d, &a);
	buf_init(&out, MESSAGES_MOST);
	struct farm *farm = ARENA_NEW(&a, struct farm);
	farm->arena = &a;
	loader_init(&l, farm, &a, &d);
	bool good = notation_read(&l, diag_source(&d, STR("farm.txt"), str_of(texts))) == 0 &&
	            notation_resolve(&l) == 0;
	if (!good)
		abort();
	if (tables_read(&l, folder()) == 0 && farm_check(&l) == 0) {
		struct reckoning r;
		reckon(&r, farm, date_from_civil(2026, 11, 10), RECKON_PRICES, false, NULL, &a, &d);
	}
	diag_print(&d, &out);
	buf_release(&out);
	arena_release(&a);
	unlink(path);
	return 0;
}
