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

static int list(struct session *s)
{
	struct reach_options options = { .no_buying = s->req->no_buying };
	struct reach_list out;
	uint32_t piece = s->view.choice.items[0].index;
	if (reach_list(&out, s->farm, &s->now.stock, piece, s->req->count, &options, &s->arena,
		       &s->diag))
		return EXIT_INPUT;
	of_reach_list(&s->report, &s->view, piece, s->req->count, &out);
	return out.possible ? EXIT_DONE : EXIT_NO;
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
