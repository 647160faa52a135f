/* note_slip.c - entries that look like a slip of the hand: a zero too many, a day that
 * cannot be.  `--sure` passes them over. */
#include "commands/note_in.h"

#include <math.h>

/* Our own choice, no source: a slip of a zero is ten times, a bargain hardly ever a fifth, and
 * a tally is rarely out by half. */
#define STEMS_FACTOR 1.5
#define PRICE_FACTOR 5.0
enum { SENTENCE_MOST = 4096 };

static int doubtful(struct noting *n)
{
	diag_hint(&n->s.diag, "where it is so all the same, add `--sure`");
	return EXIT_NO;
}

/* ---- stems and days of a batch ---- */

static int too_many(struct noting *n, const struct batch *b, double out, const char *word, double in,
		    const char *from)
{
	if (!(in >= 0) || !(out > in * STEMS_FACTOR))
		return 0;
	diag_error(&n->s.diag, SPAN_NONE, "Of the batch %s %.0f stems are %s, so %.0f cannot be %s.",
		   diag_quote(&n->s.diag, b->id), in, from, out, word);
	return doubtful(n);
}

static int too_early(struct noting *n, const struct batch *b, const char *word, day before, const char *what)
{
	char on[11], then[11];
	if (before == DAY_NONE || n->on >= before)
		return 0;
	date_print(n->on, on);
	date_print(before, then);
	diag_error(&n->s.diag, SPAN_NONE, "The batch %s was %s on %s, so it cannot be %s on %s.",
		   diag_quote(&n->s.diag, b->id), what, then, word, on);
	return doubtful(n);
}

static int check_batch(struct noting *n, const struct log_entry *e)
{
	int status = 0;
	if (e->batch == NONE || !(e->count > 0))
		return 0;
	const struct batch *b = &n->farm->batches[e->batch];
	if (e->event == EVENT_HUNG) {
		status = too_early(n, b, "hung", b->cut_on, "cut");
		return status ? status : too_many(n, b, fmax(b->hung, e->count), "hung", b->cut, "cut");
	}
	if (e->event != EVENT_BOXED)
		return 0;
	bool hung = !isnan(b->hung);
	status = too_early(n, b, "boxed", b->hung_on, "hung");
	if (!status)
		status = too_early(n, b, "boxed", b->cut_on, "cut");
	return status ? status
		      : too_many(n, b, fmax(b->boxed, e->count), "boxed", hung ? b->hung : b->cut,
				 hung ? "hung" : "cut");
}

/* ---- the price ---- */

struct known { /* what the piece is asked or was paid for */
	double low, high;
};

static void know(struct known *k, double price)
{
	if (!(price > 0))
		return;
	k->low = fmin(k->low, price);
	k->high = fmax(k->high, price);
}

/* NaN low: nothing is. */
static struct known known_prices(const struct noting *n, const struct log_entry *e)
{
	const struct farm *farm = n->s.farm;
	const struct piece *piece = &farm->pieces[e->item.index];
	const bool *struck = log_struck(farm, farm->arena);
	struct known k = { (double)NAN, (double)NAN };
	for (size_t i = 0; i < piece->noffers; i++)
		know(&k, piece->offers[i].price.given ? piece->offers[i].price.v : (double)NAN);
	for (size_t i = 0; i < farm->norders; i++) {
		if (farm->orders[i].piece == e->item.index)
			know(&k, farm->orders[i].price);
	}
	for (size_t i = 0; i < farm->nlog; i++) {
		const struct log_entry *old = &farm->log[i];
		if (old->event == EVENT_SOLD && !struck[i] && same_item(old->item, e->item))
			know(&k, old->price);
	}
	return k;
}

static void put_money(struct buf *b, const struct farm *farm, double money)
{
	number_print(b, money, farm->business.digits);
	if (farm->business.currency.n)
		buf_printf(b, " %.*s", STR_ARG(farm->business.currency));
}

static int check_price(struct noting *n, const struct log_entry *e)
{
	const struct farm *farm = n->s.farm;
	if (e->event != EVENT_SOLD || e->item.kind != KIND_PIECE || !(e->price > 0))
		return 0;
	struct known k = known_prices(n, e);
	bool dear = e->price > k.high * PRICE_FACTOR, cheap = e->price * PRICE_FACTOR < k.low;
	if (!dear && !cheap)
		return 0;
	struct buf is, was;
	buf_init(&is, SENTENCE_MOST);
	buf_init(&was, SENTENCE_MOST);
	put_money(&is, farm, e->price);
	put_money(&was, farm, dear ? k.high : k.low);
	diag_error(&n->s.diag, SPAN_NONE, "%s for one %.*s: the %s that is asked, or was paid, is %s.", is.data,
		   STR_ARG(farm_head(farm, e->item)->name), dear ? "most" : "least", was.data);
	buf_release(&was);
	buf_release(&is);
	return doubtful(n);
}

int note_slips(struct noting *n)
{
	if (!n->entry || n->req->sure)
		return 0;
	int status = check_batch(n, n->entry);
	return status ? status : check_price(n, n->entry);
}
