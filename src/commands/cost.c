/* cost.c - what a stem, a part and a piece cost. */
#include "commands/commands.h"
#include "commands/session.h"
#include "reckon/stemcost.h"

/* With --of crops, of these alone. */
static void say_minutes(struct session *s)
{
	const struct choice *c = &s->view.choice;
	bool *crops = ARENA_ARRAY(&s->arena, s->farm->ncrops + 1, bool), any = false;
	for (size_t i = 0; i < c->nitems; i++) {
		if (c->items[i].kind != KIND_CROP)
			continue;
		crops[c->items[i].index] = any = true;
	}
	if (any || !c->nitems)
		stemcosts_say_minutes(s->farm, any ? crops : NULL, &s->arena, &s->now.remarks);
}

int command_cost(const struct request *req)
{
	struct session s;
	int status = session_open(&s, req, RECKON_COSTS);
	if (!status)
		status = session_takes(&s);
	if (!status)
		say_minutes(&s);
	if (!status)
		of_cost(&s.report, &s.view);
	return session_close(&s, status);
}
