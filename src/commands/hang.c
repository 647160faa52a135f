/* hang.c - the drying line, the boxes and the hours, week by week. */
#include "commands/commands.h"
#include "commands/session.h"

static void reckon_season(struct hang *out, struct reckoning *r, double hours)
{
	struct hang_lots lots;
	struct hang_options options = { .hours = hours };
	hang_batches(&lots, r->farm, r->on, r->arena, &r->remarks);
	hang_reckon(out, r->farm, r->farm->has_stock ? &r->stock : NULL, &lots, &options, r->arena,
		    &r->remarks);
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
	reckon_season(&now, &s.now, req->hours);
	if (s.view.today)
		reckon_season(&today, &s.today, req->hours);
	session_cautions(&s, 1u << CAUTION_HANGING | 1u << CAUTION_PLANTS);
	struct hang_view view = { &now, s.view.today ? &today : NULL };
	of_hang(&s.report, &s.view, &view);
	return session_close(&s, still_over(&now, s.report.on) ? EXIT_NO : EXIT_DONE);
}
