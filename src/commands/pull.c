/* pull.c - the pull list, for the open orders or for a number of a piece. */
#include "commands/commands.h"
#include "commands/session.h"

static int list(struct session *s)
{
	static const int status[] = { EXIT_DONE, EXIT_NO, EXIT_STOPPED };
	const struct choice *c = &s->view.choice;
	uint32_t *only = ARENA_ARRAY(&s->arena, c->nitems + 1, uint32_t);
	for (size_t i = 0; i < c->nitems; i++)
		only[i] = c->items[i].index;
	struct pull_options options = { .only = only,
					.nonly = c->nitems,
					.no_buying = s->req->no_buying };
	struct making making = { only[0], s->req->count, DAY_NONE };
	struct pull pull;
	if (pull_reckon(&pull, s->farm, &s->now.stock, &making, s->req->count > 0, &options,
			&s->arena, &s->now.remarks, &s->diag))
		return EXIT_INPUT;
	of_pull(&s->report, &s->view, &pull);
	return status[pull.state];
}

int command_pull(const struct request *req)
{
	struct session s;
	int status = session_open(&s, req, RECKON_STOCK);
	if (!status)
		status = session_takes(&s);
	if (!status) {
		session_cautions(&s, 1u << CAUTION_SUPPLY | 1u << CAUTION_PIECES);
		status = list(&s);
	}
	return session_close(&s, status);
}
