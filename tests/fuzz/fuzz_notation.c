/* fuzz_notation.c - any bytes as one text of the notation: read, resolved, checked,
 * and where it is a farm, reckoned; every message printed. */
#include <stdint.h>

#include "base/buf.h"
#include "farm/load.h"
#include "reckon/reckon.h"

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

enum { MESSAGES_MOST = 1 << 20 };

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
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
	struct str text = { arena_copy(&a, (const char *)data, size), size };
	bool good = notation_read(&l, diag_source(&d, STR("farm.txt"), text)) == 0;
	good = notation_resolve(&l) == 0 && good;
	if (good && farm_check(&l) == 0) {
		struct reckoning r;
		reckon(&r, farm, date_from_civil(2026, 11, 10), RECKON_PRICES, false, NULL, &a, &d);
	}
	diag_print(&d, &out);
	buf_release(&out);
	arena_release(&a);
	return 0;
}
