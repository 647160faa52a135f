/* reach.c - how many of each piece the stock supports. */
#include "commands/commands.h"
#include "commands/session.h"

/* 5 when a search was stopped, 1 when orders lack something or nothing can be made. */
static int answer(const struct session *s)
{
	const struct reach *reach = &s->now.reach;
	bool any = !choice_wants(&s->view.choice, KIND_PIECE);
	for (uint32_t i = 0; i < s->farm->npieces; i++) {
		const struct reach_piece *p = &reach->pieces[i];
		if (!choice_has(&s->view.choice, KIND_PIECE, i))
			continue;
		if (p->state == REACH_STOPPED)
			return EXIT_STOPPED;
		any = any || p->state == REACH_ENDLESS || p->most > 0;
	}
	return any && !(reach->nshorts && reach_touches_shorts(&s->view)) ? EXIT_DONE : EXIT_NO;
}

static int list_of(struct reach_list *out, struct session *s, const struct reckoning *k,
		   struct diag *diag)
{
	struct reach_options options = { .no_buying = s->req->no_buying };
	return reach_list(out, k->farm, &k->stock, s->view.choice.items[0].index, s->req->count,
			  &options, k->arena, diag)
		   ? EXIT_INPUT
		   : 0;
}

static int list(struct session *s)
{
	struct reach_list now, today;
	int status = list_of(&now, s, &s->now, &s->diag);
	if (!status && s->view.today) {
		status = list_of(&today, s, &s->today, &s->before_diag);
		if (status)
			s->diag = s->before_diag;
	}
	if (status)
		return status;
	of_reach_list(&s->report, &s->view, s->view.choice.items[0].index, s->req->count, &now,
		      s->view.today ? &today : NULL);
	return now.possible ? EXIT_DONE : now.least ? EXIT_NO : EXIT_STOPPED;
}

static int takes(struct session *s)
{
	int status = session_takes(s);
	if (status || !s->req->count || s->view.choice.items[0].kind == KIND_PIECE)
		return status;
	struct str name = of_item_name(s->farm, s->view.choice.items[0]);
	return session_usage(s, "`--for` needs a piece, and %s is a %s.",
			     diag_quote(&s->diag, name), kind_name(s->view.choice.items[0].kind));
}

int command_reach(const struct request *req)
{
	struct session s;
	int status = session_open(&s, req, RECKON_REACH);
	if (!status)
		status = takes(&s);
	if (!status) {
		session_cautions(&s, 1u << CAUTION_SUPPLY | 1u << CAUTION_PIECES);
		of_reach(&s.report, &s.view);
		status = req->count ? list(&s) : answer(&s);
	}
	return session_close(&s, status);
}
