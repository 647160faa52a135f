/* dry.c - which hanging batches are dry. */
#include "base/str.h"
#include "commands/commands.h"
#include "commands/session.h"

static struct str next_batch(void *context, size_t i)
{
	const struct farm *f = context;
	return i < f->nbatches ? f->batches[i].id : STR_NONE;
}

/* The batch of that name; NONE with an error. */
static uint32_t find_batch(struct session *s, const char *text)
{
	struct str name = str_fold(&s->arena, str_of(text));
	for (uint32_t i = 0; i < s->farm->nbatches; i++) {
		if (str_eq(str_fold(&s->arena, s->farm->batches[i].id), name))
			return i;
	}
	session_usage(s, "batches.csv has no batch %s.", diag_quote(&s->diag, str_of(text)));
	struct str near = diag_nearest(str_of(text), next_batch, s->farm);
	if (near.n)
		diag_hint(&s->diag, "did you mean %s?", diag_quote(&s->diag, near));
	return NONE;
}

static int choose_batches(struct session *s, struct dry_view *d)
{
	uint32_t *batches = ARENA_ARRAY(&s->arena, s->req->nbatches + 1, uint32_t);
	for (size_t i = 0; i < s->req->nbatches; i++) {
		batches[i] = find_batch(s, s->req->batches[i]);
		if (batches[i] == NONE)
			return EXIT_USAGE;
	}
	d->batches = batches;
	d->nbatches = s->req->nbatches;
	return 0;
}

/* 1 when none of those asked for is dry by its weight. */
static int answer(const struct session *s, const struct dry_view *d)
{
	for (size_t i = 0; i < d->weighed->n; i++) {
		const struct weighed_batch *w = &d->weighed->items[i];
		bool named = s->view.choice.nitems || d->nbatches;
		if (dry_wants(&s->view, d, w->batch) && (named || !w->boxed) &&
		    w->drying.verdict == DRYING_READY)
			return EXIT_DONE;
	}
	return EXIT_NO;
}

int command_dry(const struct request *req)
{
	struct session s;
	struct weighed weighed;
	struct dry_view view = { .weighed = &weighed };
	int status = session_open(&s, req, RECKON_STOCK);
	if (!status)
		status = session_takes(&s);
	if (!status)
		status = choose_batches(&s, &view);
	if (!status) {
		weighed_reckon(&weighed, s.farm, s.report.on, &s.arena);
		/* What was said of the stock does not touch the scales. */
		remarks_init(&s.now.remarks, &s.arena);
		session_cautions(&s, 1u << CAUTION_BOXING);
		of_dry(&s.report, &s.view, &view);
		status = answer(&s, &view);
	}
	return session_close(&s, status);
}
