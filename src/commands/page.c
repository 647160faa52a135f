/* page.c - the whole answer as one page of HTML. */
#include "commands/commands.h"

#include "base/file.h"
#include "commands/session.h"
#include "commands/watch.h"
#include "report/page/page.h"

enum { LINE_MOST = 1 << 16 };

static int say(const struct request *req, const char *path)
{
	if (req->quiet)
		return EXIT_DONE;
	struct buf line;
	buf_init(&line, LINE_MOST);
	buf_text(&line, "The page stands in ");
	buf_visible(&line, str_of(path), LINE_MOST);
	buf_text(&line, ".\n");
	int status = session_print(&line);
	buf_release(&line);
	return status;
}

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

static const struct mix *mix_of(struct reckoning *k, const struct mix_options *o, struct diag *diag)
{
	struct mix *mix = ARENA_NEW(k->arena, struct mix);
	return mix_reckon(mix, k->farm, &k->stock, &k->costs, &k->prices, o, k->arena, &k->remarks,
			  diag)
		   ? NULL
		   : mix;
}

static bool mixes(struct session *s, struct mix_view *view)
{
	struct mix_options *o = ARENA_NEW(&s->arena, struct mix_options);
	struct watch watch;
	watch_open(&watch, s->req->quiet);
	o->stop = watch_stop();
	view->options = o;
	view->now = mix_of(&s->now, o, &s->diag);
	if (s->view.today)
		view->today = mix_of(&s->today, o, &s->diag);
	watch_close(&watch);
	return view->now && (view->today || !s->view.today);
}

static int fill(struct session *s, struct page_view *v)
{
	struct reckoning *k = &s->now;
	struct mix_view *view = ARENA_NEW(&s->arena, struct mix_view);
	struct pull *pull = ARENA_NEW(&s->arena, struct pull);
	struct pull_options options = { 0 };
	*v = (struct page_view){ .view = &s->view, .mix = view, .pull = pull, .report = &s->report };
	if (!mixes(s, view) || pull_reckon(pull, k->farm, &k->stock, NULL, 0, &options, k->arena,
					   &k->remarks, &s->diag))
		return EXIT_INPUT;
	return 0;
}

static bool unproven(const struct session *s, const struct page_view *v)
{
	for (size_t i = 0; i < s->farm->npieces; i++) {
		if (s->now.reach.pieces[i].state == REACH_STOPPED)
			return true;
	}
	return v->mix->now->state != MIX_PROVEN;
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
		status = say(req, path);
	/* The page is written whole, but says as `mix` does that a search was stopped. */
	if (status == EXIT_DONE && unproven(&s, &v))
		status = EXIT_STOPPED;
	return session_close(&s, status);
}
