/* sway.c - which figure matters most. */
#include "commands/commands.h"
#include "commands/session.h"
#include "commands/watch.h"
#include "reckon/sway.h"

enum { ROWS = 12, MOVES = 12 };

/* NULL: not found (said in the diagnostics). */
static struct mix *best_mix(struct session *s, bool *proven)
{
	struct reckoning *k = &s->now;
	struct mix_options o = { 0 };
	struct mix *mix = ARENA_NEW(&s->arena, struct mix);
	struct remarks aside; /* how the mix was found is said by `mix` */
	struct watch watch;
	remarks_init(&aside, &s->arena);
	watch_open(&watch, s->req->quiet);
	o.stop = watch_stop();
	int failed = mix_reckon(mix, k->farm, &k->stock, &k->costs, &k->prices, &o, k->arena, &aside,
				&s->diag);
	watch_close(&watch);
	*proven = failed || mix->state == MIX_PROVEN;
	return failed ? NULL : mix;
}

int command_sway(const struct request *req)
{
	struct session s;
	struct sway sway;
	struct farm *trial;
	bool proven = true;
	int status = session_open(&s, req, RECKON_PRICES | RECKON_SURE);
	if (!status)
		status = session_takes(&s);
	struct mix *mix = status ? NULL : best_mix(&s, &proven);
	if (!status && !mix)
		status = EXIT_INPUT;
	if (!status)
		status = session_again(&s, &trial);
	if (!status) {
		struct sway_view view = {
			.sway = &sway,
			.farm = s.farm,
			.rows = req->rows ? (size_t)req->rows : ROWS,
		};
		sway_reckon(&sway, trial, &s.now, mix, MOVES, &s.arena);
		of_sway(&s.report, &s.view, &view);
		if (!proven)
			report_verdict(&s.report, "The mix behind it is the best found, not proven: "
						  "`thrave mix` says how sure it is.");
		status = !proven ? EXIT_STOPPED : sway.nitems ? EXIT_DONE : EXIT_NO;
	}
	return session_close(&s, status);
}
