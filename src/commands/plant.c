/* plant.c - next season's plantings, counted backward from what is to be sold. */
#include "commands/commands.h"
#include "commands/planned.h"
#include "commands/session.h"

static int reckon_plan(struct plan *out, struct reckoning *r, const struct request *req,
		       struct diag *diag)
{
	struct plan_options options = { .ignore_stock = req->no_stock };
	/* The shed has remarks of its own, which `stock` says. */
	remarks_init(&r->remarks, r->arena);
	rates_say(&r->rates, r->farm, (1u << STAGE_COUNT) - 1, r->arena, &r->remarks);
	return planned(out, r, &options, &r->remarks, diag);
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
