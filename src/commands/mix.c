/* mix.c - the mix of pieces that earns most. */
#include "commands/best.h"
#include "commands/commands.h"

/* 5 when a search was stopped, 1 when orders cannot all be met or nothing is made. */
static int answer(const struct mix_view *m)
{
	if (best_unproven(m->now) || best_unproven(m->today) || m->worth_stopped)
		return EXIT_STOPPED;
	bool any = m->now->nlines || m->now->nmakings;
	return any && !m->now->nshorts && !m->now->nlacks ? EXIT_DONE : EXIT_NO;
}

int command_mix(const struct request *req)
{
	struct session s;
	struct mix_options options;
	struct mix_view view = { 0 };
	int status = session_open(&s, req, RECKON_PRICES);
	if (!status)
		status = best_options(&s, &options);
	if (!status)
		status = best_mix(&s, &view, &options);
	if (!status) {
		session_cautions(&s,
				 1u << CAUTION_SUPPLY | 1u << CAUTION_PIECES | 1u << CAUTION_MONEY);
		of_mix(&s.report, &s.view, &view);
		status = answer(&view);
	}
	return session_close(&s, status);
}
