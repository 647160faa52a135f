/* check.c - what was read, and what makes no sense. */
#include "commands/commands.h"
#include "commands/session.h"

/* What is checked and listed is what the files say, not the losses in use. */
static void today_as_written(struct session *s)
{
	for (size_t i = 0; i < s->report.nchanges; i++) {
		const struct supposed *was = &s->farm->supposed[i];
		s->report.changes[i].today = figure_shown(was->kind, was->before);
	}
}

static int figures(struct session *s)
{
	struct figure *list;
	size_t n;
	figures_list(s->farm, &s->arena, &list, &n);
	of_figures(&s->report, s->farm, list, n);
	return EXIT_DONE;
}

static int check(struct session *s)
{
	struct findings findings, today;
	sense_check(&findings, s->farm, s->report.on, &s->arena);
	if (s->view.today)
		sense_check(&today, s->today.farm, s->report.on, &s->before);
	reckon_cautions(&s->now.remarks, s->farm);
	of_check(&s->report, &s->view, &findings, s->view.today ? &today : NULL, &s->diag);
	return findings.n && findings.items[0].level == FINDING_PROBLEM ? EXIT_NO : EXIT_DONE;
}

int command_check(const struct request *req)
{
	struct session s;
	int status = session_open(&s, req, RECKON_STOCK);
	bool wanted = req->figures || (req->table && strcmp(req->table, CHECK_FIGURES.name) == 0);
	if (!status)
		today_as_written(&s);
	if (!status)
		status = wanted ? figures(&s) : check(&s);
	return session_close(&s, status);
}
