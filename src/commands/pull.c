/* pull.c - the pull list, for the open orders, for a number of a piece or for the mix. */
#include "commands/best.h"
#include "commands/commands.h"

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
	struct pull pull, today;
	struct remarks aside;
	bool wanted = s->req->count > 0;
	remarks_init(&aside, &s->before);
	if (pull_reckon(&pull, s->farm, &s->now.stock, &making, wanted, &options, &s->arena,
			&s->now.remarks, &s->diag))
		return EXIT_INPUT;
	if (s->view.today && pull_reckon(&today, s->today.farm, &s->today.stock, &making, wanted, &options,
					 &s->before, &aside, &s->before_diag)) {
		s->diag = s->before_diag;
		return EXIT_INPUT;
	}
	of_pull(&s->report, &s->view, &pull, &today, NULL);
	return status[pull.state];
}

/* As `mix` answers, whose list it is. */
static int list_of_mix(struct session *s)
{
	struct mix_options options;
	struct mix_view view = { 0 };
	struct pull pull, today;
	int status = best_options(s, &options);
	if (!status)
		status = best_mix(s, &view, &options);
	if (status)
		return status;
	if (pull_mix(&pull, s->farm, &s->now.stock, view.now, &options, &s->arena, &s->diag))
		return EXIT_INPUT;
	if (view.today && pull_mix(&today, s->today.farm, &s->today.stock, view.today, &options, &s->before,
				   &s->before_diag)) {
		s->diag = s->before_diag;
		return EXIT_INPUT;
	}
	of_pull(&s->report, &s->view, &pull, &today, &view);
	if (best_unproven(view.now))
		return EXIT_STOPPED;
	bool all = pull.state == PULL_MET && !view.now->nshorts && !view.now->nlacks;
	return all && (pull.nruns || pull.nsales) ? EXIT_DONE : EXIT_NO;
}

int command_pull(const struct request *req)
{
	struct session s;
	int status = session_open(&s, req, req->mix ? RECKON_PRICES : RECKON_STOCK);
	if (!status)
		status = session_takes(&s);
	if (!status) {
		session_cautions(&s, 1u << CAUTION_SUPPLY | 1u << CAUTION_PIECES);
		status = req->mix ? list_of_mix(&s) : list(&s);
	}
	return session_close(&s, status);
}
