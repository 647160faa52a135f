/* beside.c - two farm folders, or one on two days, side by side. */
#include "commands/commands.h"
#include "commands/session.h"

int command_beside(const struct request *req)
{
	struct session s;
	int status = session_open_beside(&s, req, RECKON_PRICES | RECKON_REACH);
	if (!status) {
		struct beside_view v = {
			.first = &s.now,
			.second = &s.beside,
			.all = req->all,
			.json = req->json,
			.details = req->csv || req->json || req->table,
		};
		status = of_beside(&s.report, &v) ? EXIT_DONE : EXIT_NO;
	}
	return session_close(&s, status);
}
