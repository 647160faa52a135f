/* page.c - the whole answer as one page of HTML. */
#include "commands/commands.h"

#include <math.h>

#include "base/file.h"
#include "commands/best.h"
#include "commands/matters.h"
#include "commands/planned.h"
#include "report/page/page.h"

static int write_page(struct session *s, const struct page_view *v, const char *path)
{
	struct file_error err;
	struct buf out;
	buf_init(&out, REPORT_SIZE_MOST);
	int status = EXIT_DONE;
	if (page_render(v, &s->arena, &out))
		status = session_failure("The page is too large.");
	else if (file_write(path, buf_slice(&out), &err))
		status = session_failure(err.text);
	buf_release(&out);
	return status;
}

static int fill(struct session *s, struct page_view *v)
{
	struct arena *a = &s->arena;
	struct mix_options *options = ARENA_NEW(a, struct mix_options);
	struct mix_view *mix = ARENA_NEW(a, struct mix_view);
	struct pull *pull = ARENA_NEW(a, struct pull);
	struct plan *plan = ARENA_NEW(a, struct plan);
	struct hang *now = ARENA_NEW(a, struct hang), *next = ARENA_NEW(a, struct hang);
	int status = best_options(s, options);
	if (!status)
		status = best_mix(s, mix, options);
	if (status)
		return status;
	if (pull_mix(pull, s->farm, &s->now.stock, mix->now, options, a, &s->diag) ||
	    planned(plan, &s->now, NULL, &s->now.remarks, &s->diag))
		return EXIT_INPUT;
	struct pull *today = mix->today ? ARENA_NEW(a, struct pull) : NULL;
	if (today && pull_mix(today, s->today.farm, &s->today.stock, mix->today, options, a, &s->diag))
		return EXIT_INPUT;
	season_by_plan(next, &s->now, plan, (double)NAN);
	season_now(now, &s->now, (double)NAN);
	*v = (struct page_view){ &s->view, mix, pull, today, plan, now, next, what_matters(s, mix->now), &s->report };
	return 0;
}

int command_page(const struct request *req)
{
	struct session s;
	struct page_view v = { 0 };
	const char *path = req->output ? req->output : "thrave.html";
	int status = session_open(&s, req, RECKON_ALL);
	if (!status)
		status = fill(&s, &v);
	if (!status) {
		status = write_page(&s, &v, path);
		s.opened = false; /* the page is the report */
	}
	if (!status)
		status = session_stands(req, "page", path);
	/* The page is written whole, but says as `mix` does that a search was stopped. */
	if (status == EXIT_DONE)
		status = best_stopped(&s, v.mix->now);
	return session_close(&s, status);
}
