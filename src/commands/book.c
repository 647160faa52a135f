/* book.c - the workbook. */
#include "commands/commands.h"

#include "commands/session.h"
#include "report/workbook/book.h"

enum { LINE_MOST = 1 << 16 };

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
	return session_close(&s, status);
}
