/* planned.c - see planned.h. */
#include "commands/planned.h"

#include "reckon/sense.h"

int planned(struct plan *out, const struct reckoning *r, struct diag *diag)
{
	struct diag unpriced;
	struct remarks aside;
	struct reckoning *money = ARENA_NEW(r->arena, struct reckoning);
	diag_init(&unpriced, r->arena);
	remarks_init(&aside, r->arena);
	bool priced = sense_prices(r->farm, &unpriced) == 0 &&
		      reckon(money, r->farm, r->on, RECKON_PRICES, r->stock.with_past, NULL, r->arena,
			     &unpriced) == 0;
	return plan_reckon(out, r->farm, &r->stock, priced ? &money->costs : NULL,
			   priced ? &money->prices : NULL, NULL, r->arena, &aside, diag);
}
