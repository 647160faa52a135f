/* cost.c - what a stem, a part and a piece cost. */
#include "commands/commands.h"
#include "commands/session.h"

int command_cost(const struct request *req)
{
	struct session s;
	int status = session_open(&s, req, RECKON_COSTS);
	if (!status)
		status = session_takes(&s);
	if (!status)
		of_cost(&s.report, &s.view);
	return session_close(&s, status);
}
