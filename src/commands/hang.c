/* hang.c - the drying line, the boxes and the hours, week by week. */
#include "commands/commands.h"
#include "commands/planned.h"
#include "commands/session.h"

static void reckon_season(struct hang *out, struct reckoning *r, double hours)
{
	struct hang_lots lots;
	struct hang_options options = { .hours = hours };
	hang_batches(&lots, r->farm, r->on, r->arena, &r->remarks);
	hang_reckon(out, r->farm, r->farm->has_stock ? &r->stock : NULL, &lots, &options, r->arena,
		    &r->remarks);
}

/* Boxes of today are not counted: how many of them will be empty by then nobody knows. */
static int reckon_next(struct hang *out, struct reckoning *r, double hours, struct diag *diag)
{
	struct plan plan;
	struct hang_lots lots;
	struct hang_options options = { .hours = hours };
	double full = 0;
	if (planned(&plan, r, diag))
		return EXIT_INPUT;
	hang_plan(&lots, r->farm, &plan, r->arena, &r->remarks);
	hang_reckon(out, r->farm, NULL, &lots, &options, r->arena, &r->remarks);
	for (size_t i = 0; i < r->farm->nboxes; i++)
		full += r->farm->boxes[i].item.kind == KIND_CROP && r->stock.boxes[i].count > 0;
	if (full > 0)
		remark(&r->remarks, REMARK_ASSUMED,
		       "Boxes that still hold stems of today's shed by then come on top: today %.0f do.",
		       full);
	return EXIT_DONE;
}

static int reckon_either(struct hang *out, struct reckoning *r, const struct request *req,
			 struct diag *diag)
{
	if (req->next)
		return reckon_next(out, r, req->hours, diag);
	reckon_season(out, r, req->hours);
	return EXIT_DONE;
}

/* What is over can still be changed. */
static bool still_over(const struct hang *h, day on)
{
	for (size_t i = 0; i < h->npeaks; i++) {
		if (h->peaks[i].to >= on)
			return true;
	}
	return false;
}

int command_hang(const struct request *req)
{
	struct session s;
	struct hang now, today;
	int status = session_open(&s, req, RECKON_STOCK);
	if (!status)
		status = session_takes(&s);
	if (status)
		return session_close(&s, status);
	/* Of the stock only the boxes count here; what else was remarked on it is for `stock`. */
	remarks_init(&s.now.remarks, &s.arena);
	status = reckon_either(&now, &s.now, req, &s.diag);
	if (!status && s.view.today)
		status = reckon_either(&today, &s.today, req, &s.before_diag);
	if (status) {
		s.opened = false;
		return session_close(&s, status);
	}
	session_cautions(&s, 1u << CAUTION_HANGING | 1u << CAUTION_PLANTS);
	struct hang_view view = { &now, s.view.today ? &today : NULL, req->next };
	of_hang(&s.report, &s.view, &view);
	return session_close(&s, still_over(&now, s.report.on) ? EXIT_NO : EXIT_DONE);
}
