/* book.c - the workbook. */
#include "commands/commands.h"

#include <math.h>

#include "commands/best.h"
#include "commands/matters.h"
#include "commands/planned.h"
#include "report/workbook/book.h"

/* The best mix as `mix` finds it when nothing more is said, and its pull list; the planting plan; the drying line. */
static int solve(struct session *s, struct book_solved *out)
{
	struct mix_options options;
	struct mix_view view = { 0 };
	struct pull *pull = ARENA_NEW(&s->arena, struct pull);
	int status = best_options(s, &options);
	s->view.today = NULL; /* the book is of what is supposed */
	if (!status)
		status = best_mix(s, &view, &options);
	if (status)
		return status;
	struct hang *hang = ARENA_NEW(&s->arena, struct hang), *next = ARENA_NEW(&s->arena, struct hang);
	struct plan *plan = ARENA_NEW(&s->arena, struct plan);
	season_now(hang, &s->now, (double)NAN);
	if (planned(plan, &s->now, NULL, NULL, &s->diag))
		return EXIT_INPUT;
	season_by_plan(next, &s->now, plan, (double)NAN);
	*out = (struct book_solved){ view.now, pull, hang, next, plan, what_matters(s, view.now) };
	return pull_mix(pull, s->farm, &s->now.stock, view.now, &options, &s->arena, &s->diag)
		   ? EXIT_INPUT
		   : 0;
}

/* Before all else that needs attention: the book shows nothing of today beside. */
static void say_supposed(struct session *s)
{
	const struct remarks others = s->now.remarks;
	if (!s->report.nchanges)
		return;
	remarks_init(&s->now.remarks, &s->arena);
	for (size_t i = 0; i < s->report.nchanges; i++)
		remark(&s->now.remarks, REMARK_DOUBT, "Supposed %s. This workbook is of that, not of the farm as it stands.",
		       report_change_text(&s->report, &s->report.changes[i]).p);
	for (size_t i = 0; i < others.n; i++) {
		if (others.items[i].kind == REMARK_CAUTION)
			remark_caution(&s->now.remarks, others.items[i].text, others.items[i].source);
		else
			remark(&s->now.remarks, others.items[i].kind, "%s", others.items[i].text);
	}
}

int command_book(const struct request *req)
{
	struct session s;
	struct book_solved solved = { 0 };
	const char *path = req->output ? req->output : "thrave.xlsx";
	int status = session_open(&s, req, RECKON_ALL);
	if (!status) {
		say_supposed(&s);
		status = solve(&s, &solved);
	}
	if (!status)
		status = book_write(&s.now, &solved, path, &s.diag) ? EXIT_SYSTEM : session_stands(req, "workbook", path);
	s.opened = false; /* the workbook is the report */
	/* The book is written whole, but says as `reach` and `mix` do that a search was stopped. */
	if (status == EXIT_DONE)
		status = best_stopped(&s, solved.mix);
	return session_close(&s, status);
}
