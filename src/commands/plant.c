/* plant.c - next season's plantings, counted backward from what is to be sold. */
#include <math.h>

#include "commands/commands.h"
#include "commands/planned.h"
#include "commands/session.h"
#include "reckon/plan_fit.h"
#include "reckon/sense.h"

#define MM_PER_M   1000.0
#define MM2_PER_M2 1e6

/* fit NULL: the farm's targets. */
static int reckon_plan(struct plan *out, struct reckoning *r, const struct request *req,
		       const struct plan_fit *fit, struct diag *diag)
{
	/* --fit says with which ways it weighed its plan; where it asks what is wanted, the cheapest. */
	struct plan_options options = { .ignore_stock = req->no_stock,
					.other_ways = fit ? fit->other_ways : !req->fit };
	if (fit) {
		options.wishes = fit->wishes;
		options.nwishes = fit->n;
		options.has_wishes = true;
		options.ways = fit->ways;
	}
	/* The shed has remarks of its own, which `stock` says. */
	remarks_init(&r->remarks, r->arena);
	rates_say(&r->rates, r->farm, (1u << STAGE_COUNT) - 1, r->arena, &r->remarks);
	return planned(out, r, &options, &r->remarks, diag);
}

/* What one more of a limit brings, between which amounts: another search.  Where all that is
 * asked stays within the limit, nothing. */
static void worth(struct session *s, const struct reckoning *money, const struct fit_view *v,
		  const struct plan_fit_options *o, double *limit, double wanted, double one, double *least,
		  double *most)
{
	struct plan_fit more;
	struct plan_fit_options wider = *o;
	double was = *limit;
	*least = *most = (double)NAN;
	if (isnan(was) || v->fit->state != PLAN_FIT_FOUND)
		return;
	*least = *most = 0;
	if (wanted <= was)
		return;
	*limit += one;
	wider.limits = v->limits;
	*limit = was;
	wider.known = v->fit->wishes;
	wider.known_ways = v->fit->ways;
	if (plan_fit(&more, s->farm, &s->now.stock, &money->costs, &money->prices, &wider, &s->arena, &s->diag) ||
	    more.state == PLAN_FIT_STOPPED) {
		*least = *most = (double)NAN;
		return;
	}
	*least = fmax(0, more.earns - v->fit->bound);
	*most = more.bound - v->fit->earns;
}

static void worths(struct session *s, const struct reckoning *money, struct fit_view *v,
		   const struct plan_fit_options *o)
{
	struct plan_room *l = &v->limits, *least = &v->least, *most = &v->most;
	const struct plan_room *w = &v->fit->wanted;
	worth(s, money, v, o, &l->metres, w->metres, MM_PER_M, &least->metres, &most->metres);
	worth(s, money, v, o, &l->line, w->line, MM_PER_M, &least->line, &most->line);
	worth(s, money, v, o, &l->racks, w->racks, MM2_PER_M2, &least->racks, &most->racks);
	worth(s, money, v, o, &l->boxes, w->boxes, 1, &least->boxes, &most->boxes);
	worth(s, money, v, o, &l->hours, w->hours, 1, &least->hours, &most->hours);
}

/* The plan that fits in place of the whole one. */
static int fit_plan(struct session *s, struct plan *out, struct plan_fit *fit, struct fit_view *view)
{
	const struct request *req = s->req;
	struct plan_fit_options o = { .limits = plan_limits(s->farm, req->hours),
				      .ignore_stock = req->no_stock,
				      .looks = (size_t)req->nodes,
				      .gap = isnan(req->within) ? PLAN_FIT_GAP : req->within };
	struct reckoning *money = ARENA_NEW(&s->arena, struct reckoning);
	unsigned what = RECKON_PRICES | (s->now.rates.assumed ? RECKON_ASSUMED : 0);
	if (req->to_the_end)
		o.gap = 0;
	if (sense_prices(s->farm, &s->diag) ||
	    reckon(money, s->farm, s->report.on, what, req->with_past, NULL, &s->arena, &s->diag) ||
	    plan_fit(fit, s->farm, &s->now.stock, &money->costs, &money->prices, &o, &s->arena, &s->diag))
		return EXIT_INPUT;
	*view = (struct fit_view){ .fit = fit, .limits = o.limits };
	worths(s, money, view, &o);
	if (fit->state == PLAN_FIT_NONE || (fit->state == PLAN_FIT_ALL && !fit->other_ways))
		return EXIT_DONE;
	return reckon_plan(out, &s->now, req, fit, &s->diag) ? EXIT_INPUT : EXIT_DONE;
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
