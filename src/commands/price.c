/* price.c - what to ask at each outlet. */
#include "commands/commands.h"
#include "commands/session.h"

int command_price(const struct request *req)
{
	struct session s;
	int status = session_open(&s, req, RECKON_PRICES);
	if (!status)
		status = session_takes(&s);
	if (!status) {
		session_cautions(&s, 1u << CAUTION_MONEY | 1u << CAUTION_SENDING);
		of_price(&s.report, &s.view);
	}
	return session_close(&s, status);
}
