/* loss.c - losses that the records show, how sure they are, and what is reckoned with. */
#include "commands/commands.h"
#include "commands/session.h"

static void mould_caution(struct session *s)
{
	const struct caution *c;
	for (size_t i = 0; (c = caution_at(i)) != NULL; i++) {
		if (strcmp(c->about, "Mouldy dust") == 0)
			remark_caution(&s->now.remarks, c->text, c->source);
	}
}

int command_loss(const struct request *req)
{
	struct session s;
	int status = session_open(&s, req, RECKON_STOCK | (req->csv || req->json ? RECKON_SURE : 0));
	if (!status)
		status = session_takes(&s);
	if (!status) {
		/* What was said of the stock is not about the rates. */
		s.now.remarks = s.now.rates.said;
		if (loss_to_mould(&s.view))
			mould_caution(&s);
		of_loss(&s.report, &s.view);
	}
	return session_close(&s, status);
}
