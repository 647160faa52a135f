/* took.c - what making really took. */
#include <math.h>

#include "commands/commands.h"
#include "commands/session.h"

/* Money of stems and hours; supplies without a price do not stand in the way. */
static void take(struct reckoning *k, day from, double paid)
{
	const struct business *b = &k->farm->business;
	double full = paid * (1 + b->wage_burden.v);
	remarks_init(&k->remarks, k->arena); /* the shed as it stands is not spoken of */
	stemcosts_reckon(&k->stems, k->farm, &k->stock, k->arena, &k->remarks);
	remarks_init(&k->remarks, k->arena);
	variances_reckon(&k->took, k->farm, from, k->on, full, &k->stems, k->arena);
	skills_reckon(&k->skills, k->farm, k->on, k->arena);
	if (!b->wage.given)
		remark(&k->remarks, REMARK_ASSUMED, "No wage given: labour is counted as 0.");
	if (!b->overhead.given || !b->overhead_hours.given)
		remark(&k->remarks, REMARK_ASSUMED, "No overhead given: counted as 0.");
}

/* 1 when nothing that was asked for stands in the log. */
static int answer(const struct session *s)
{
	for (size_t i = 0; i < s->now.took.nitems; i++) {
		struct item item = s->now.took.items[i].item;
		if (choice_has(&s->view.choice, item.kind, item.index))
			return EXIT_DONE;
	}
	return EXIT_NO;
}

int command_took(const struct request *req)
{
	struct session s;
	int status = session_open(&s, req, RECKON_STOCK);
	if (!status)
		status = session_takes(&s);
	if (!status && req->from != DAY_NONE && req->from > s.report.on)
		status = session_usage(&s, "`--from` is later than the day of the report.");
	if (!status) {
		struct took_view view = {
			.details = req->csv || req->json || req->table || req->nof > 0,
			.from = req->from,
			.paid = req->paid * (1 + s.farm->business.wage_burden.v),
		};
		take(&s.now, req->from, req->paid);
		if (s.view.today)
			take(&s.today, req->from, req->paid);
		session_cautions(&s, 1u << CAUTION_MONEY);
		of_took(&s.report, &s.view, &view);
		status = answer(&s);
	}
	return session_close(&s, status);
}
