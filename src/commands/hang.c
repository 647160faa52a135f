/* hang.c - the drying line, the boxes and the hours, week by week. */
#include "commands/commands.h"
#include "commands/planned.h"
#include "commands/session.h"

/* Where a count is not known yet. */
static void say_losses(const struct hang *h, struct reckoning *r, bool next)
{
	bool forward = next;
	for (size_t i = 0; i < h->nlots; i++)
		forward = forward || h->lots[i].waiting;
	if (forward)
		rates_say(&r->rates, r->farm, 1u << STAGE_FIELD | 1u << STAGE_DRYING, r->arena, &r->remarks);
}

static int reckon_either(struct hang *out, struct reckoning *r, const struct request *req,
			 struct diag *diag)
{
	if (req->next && season_planned(out, r, req->hours, diag))
		return EXIT_INPUT;
	if (!req->next)
		season_now(out, r, req->hours);
	say_losses(out, r, req->next);
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
