/* book.c - the workbook. */
#include "commands/commands.h"

#include "commands/session.h"
#include "report/workbook/book.h"

enum { LINE_MOST = 1 << 16 };

static bool reach_stopped(const struct session *s)
{
	for (size_t i = 0; i < s->farm->npieces; i++) {
		if (s->now.reach.pieces[i].state == REACH_STOPPED)
			return true;
	}
	return false;
}

static int say(const struct request *req, const char *path)
{
	if (req->quiet)
		return EXIT_DONE;
	struct buf line;
	buf_init(&line, LINE_MOST);
	buf_text(&line, "The workbook stands in ");
	buf_visible(&line, str_of(path), LINE_MOST);
	buf_text(&line, ".\n");
	int status = session_print(&line);
	buf_release(&line);
	return status;
}

int command_book(const struct request *req)
{
	struct session s;
	const char *path = req->output ? req->output : "thrave.xlsx";
	int status = session_open(&s, req, RECKON_ALL);
	if (!status) {
		status = book_write(&s.now, path, &s.diag) ? EXIT_SYSTEM : say(req, path);
		s.opened = false; /* the workbook is the report */
	}
	/* The book is written whole, but says as `reach` does that a search was stopped. */
	if (status == EXIT_DONE && reach_stopped(&s))
		status = EXIT_STOPPED;
	return session_close(&s, status);
}
