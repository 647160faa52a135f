/* stock.c - what the shed holds. */
#include "commands/commands.h"
#include "commands/session.h"

int command_stock(const struct request *req)
{
	struct session s;
	int status = session_open(&s, req, RECKON_STOCK);
	if (!status)
		status = session_takes(&s);
	if (!status)
		of_stock(&s.report, &s.view);
	return session_close(&s, status);
}
