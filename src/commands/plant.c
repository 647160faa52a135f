/* plant.c - next season's plantings, counted backward from what is to be sold. */
#include <math.h>

#include "commands/commands.h"
#include "commands/planned.h"
#include "commands/session.h"
#include "reckon/plan_fit.h"
#include "reckon/sense.h"

#define MM_PER_M 1000.0

/* fit NULL: the farm's targets. */
static int reckon_plan(struct plan *out, struct reckoning *r, const struct request *req,
		       const struct plan_fit *fit, struct diag *diag)
{
	struct plan_options options = { .ignore_stock = req->no_stock };
	if (fit) {
		options.wishes = fit->wishes;
		options.nwishes = fit->n;
		options.has_wishes = true;
	}
	/* The shed has remarks of its own, which `stock` says. */
	remarks_init(&r->remarks, r->arena);
	rates_say(&r->rates, r->farm, (1u << STAGE_COUNT) - 1, r->arena, &r->remarks);
	return planned(out, r, &options, &r->remarks, diag);
}

/* What more room brings, when both searches went to the end; NaN otherwise. */
static double worth(struct session *s, const struct reckoning *money, const struct plan_fit *fit,
		    const struct plan_fit_options *o)
{
	struct plan_fit more;
	if (fit->state != PLAN_FIT_FOUND ||
	    plan_fit(&more, s->farm, &s->now.stock, &money->costs, &money->prices, o, &s->arena, &s->diag))
		return (double)NAN;
	return more.state == PLAN_FIT_FOUND || more.state == PLAN_FIT_ALL ? more.earns - fit->earns
									  : (double)NAN;
}

/* The plan that fits in place of the whole one. */
static int fit_plan(struct session *s, struct plan *out, struct plan_fit *fit, struct fit_view *view)
{
	struct plan_fit_options o = { .limits = plan_limits(s->farm, s->req->hours),
				      .ignore_stock = s->req->no_stock,
				      .looks = (size_t)s->req->nodes };
	struct plan_fit_options more = o;
	struct reckoning *money = ARENA_NEW(&s->arena, struct reckoning);
	unsigned what = RECKON_PRICES | (s->now.rates.assumed ? RECKON_ASSUMED : 0);
	if (sense_prices(s->farm, &s->diag) ||
	    reckon(money, s->farm, s->report.on, what, s->req->with_past, NULL, &s->arena, &s->diag) ||
	    plan_fit(fit, s->farm, &s->now.stock, &money->costs, &money->prices, &o, &s->arena, &s->diag))
		return EXIT_INPUT;
	*view = (struct fit_view){ fit, o.limits, (double)NAN, (double)NAN };
	if (fit->state != PLAN_FIT_FOUND && fit->state != PLAN_FIT_STOPPED)
		return EXIT_DONE;
	if (reckon_plan(out, &s->now, s->req, fit, &s->diag))
		return EXIT_INPUT;
	more.limits.metres += MM_PER_M; /* NaN stays no limit */
	view->bed_metre = isnan(o.limits.metres) ? (double)NAN : worth(s, money, fit, &more);
	more = o;
	more.limits.line += MM_PER_M;
	view->line_metre = isnan(o.limits.line) ? (double)NAN : worth(s, money, fit, &more);
	return EXIT_DONE;
}

static int answer(const struct plan *plan, const struct request *req, const struct plan_fit *fit)
{
	if (req->fit && fit->state == PLAN_FIT_STOPPED)
		return EXIT_STOPPED;
	if (req->fit && fit->state != PLAN_FIT_ALL)
		return EXIT_NO;
	return plan->possible ? EXIT_DONE : EXIT_NO;
}

int command_plant(const struct request *req)
{
	struct session s;
	struct plan now, today;
	struct plan_fit fit;
	struct fit_view fits;
	int status = session_open(&s, req, RECKON_STOCK);
	if (!status)
		status = session_takes(&s);
	if (status)
		return session_close(&s, status);
	if (reckon_plan(&now, &s.now, req, NULL, &s.diag) < 0 ||
	    (s.view.today && reckon_plan(&today, &s.today, req, NULL, &s.before_diag) < 0))
		return session_close(&s, EXIT_INPUT);
	if (req->fit)
		status = fit_plan(&s, &now, &fit, &fits);
	if (status) {
		s.opened = false;
		return session_close(&s, status);
	}
	session_cautions(&s, 1u << CAUTION_PLANTS);
	struct plan_view view = { &now, s.view.today ? &today : NULL };
	of_plant(&s.report, &s.view, &view);
	if (req->fit)
		of_plant_fit(&s.report, &s.view, &fits);
	return session_close(&s, answer(&now, req, &fit));
}
