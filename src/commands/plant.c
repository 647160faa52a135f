/* plant.c - next season's plantings, counted backward from what is to be sold. */
#include "commands/commands.h"
#include "commands/session.h"
#include "reckon/plan.h"
#include "reckon/sense.h"

/* A supply without a price is no reason not to plan: only the money of the targets is left
 * out then. */
static int reckon_prices(struct reckoning *r, const struct request *req, bool *priced,
			 struct diag *diag)
{
	struct diag tried;
	diag_init(&tried, r->arena);
	*priced = sense_prices(r->farm, &tried) == 0;
	unsigned what = RECKON_PRICES | (req->assumed ? RECKON_ASSUMED : 0);
	return *priced ? reckon(r, r->farm, r->on, what, req->with_past, NULL, r->arena, diag)
		       : 0;
}

static int reckon_plan(struct plan *out, struct reckoning *r, const struct request *req,
		       struct diag *diag)
{
	struct plan_options options = { .ignore_stock = req->no_stock };
	bool priced;
	if (reckon_prices(r, req, &priced, diag) < 0)
		return -1;
	/* Stock, costs and prices have remarks of their own, which their commands say. */
	remarks_init(&r->remarks, r->arena);
	return plan_reckon(out, r->farm, &r->stock, priced ? &r->costs : NULL,
			   priced ? &r->prices : NULL, &options, r->arena, &r->remarks, diag);
}

int command_plant(const struct request *req)
{
	struct session s;
	struct plan now, today;
	int status = session_open(&s, req, RECKON_STOCK);
	if (!status)
		status = session_takes(&s);
	if (status)
		return session_close(&s, status);
	if (reckon_plan(&now, &s.now, req, &s.diag) < 0 ||
	    (s.view.today && reckon_plan(&today, &s.today, req, &s.before_diag) < 0))
		return session_close(&s, EXIT_INPUT);
	session_cautions(&s, 1u << CAUTION_PLANTS);
	struct plan_view view = { &now, s.view.today ? &today : NULL };
	of_plant(&s.report, &s.view, &view);
	return session_close(&s, now.possible ? EXIT_DONE : EXIT_NO);
}
