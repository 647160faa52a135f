/* notation_outlet.c - statements of the `outlet` and `target` blocks. */
#include "farm/notation.h"

/* ---- outlet ---- */

int read_tax(struct cursor *c, struct fig *tax, bool *on_top)
{
	if (cur_percent_below(c, tax, "a tax stays below 100%.") < 0)
		return -1;
	*on_top = cur_take(c, "on");
	if (*on_top)
		return cur_want(c, "top");
	if (!cur_take(c, "in"))
		return cur_expected(c, "in|on");
	return cur_want_all(c, "the price");
}

int outlet_fee(struct reader *r, struct cursor *c)
{
	struct outlet *o = r_outlet(r);
	if (str_is(cur_peek_behind(c), "per")) { /* money alone: no share was forgotten */
		struct str money = cur_peek(c);
		cur_error(c, money, "The share of the fee is missing before %s.", QUOTE(c, money));
		diag_hint(c->l->diag, "write `fee 0%%, plus %.*s`", STR_ARG(str_trim(cur_rest(c))));
		return -1;
	}
	if (cur_percent_below(c, &o->fee, "a fee stays below 100%.") < 0)
		return -1;
	if (cur_take(c, "of")) {
		if (cur_want(c, "net") < 0)
			return -1;
		o->fee_of_net = true;
	}
	int more = cur_next_clause(c);
	if (more <= 0)
		return more;
	if (cur_want(c, "plus") < 0 || cur_money(c, &o->fee_fixed) < 0)
		return -1;
	return cur_want_all(c, "per order");
}

int outlet_orders(struct reader *r, struct cursor *c)
{
	struct fig *f = &r_outlet(r)->per_order;
	if (cur_fig(c, f, POSITIVE) < 0)
		return -1;
	if (check_per_order(c->l->diag, f) < 0)
		return -1;
	return cur_want(c, "piece*") < 0 ? -1 : cur_want(c, "each");
}

enum { SEND_DIVISOR = 1, SEND_CHARGES = 2 };

static int read_tariff(struct reader *r, struct cursor *c)
{
	struct outlet *o = r_outlet(r);
	struct tariff t;
	if (o->ntariffs >= TARIFFS_MOST)
		return too_many(c, TARIFFS_MOST, "weights in one line");
	if (cur_money(c, &t.money) < 0 || cur_want_all(c, "up to") < 0 ||
	    cur_measure(c, DIM_WEIGHT, &t.upto, POSITIVE) < 0)
		return -1;
	if (o->ntariffs && check_tariff(c->l->diag, &o->tariffs[o->ntariffs - 1], &t) < 0)
		return -1;
	*ARENA_PUSH(r->l->arena, o->tariffs, o->ntariffs, r->cap_a) = t;
	return 0;
}

int outlet_sends(struct reader *r, struct cursor *c)
{
	struct outlet *o = r_outlet(r);
	unsigned seen = 0;
	int more = 1;
	for (; more > 0; more = cur_next_clause(c)) {
		struct str at = cur_peek(c);
		int bad;
		if (cur_take(c, "volume"))
			bad = cur_once(c, &seen, SEND_DIVISOR, at) < 0 ||
			      cur_want(c, "divisor") < 0 ||
			      cur_fig(c, &o->volume_divisor, POSITIVE) < 0;
		else if (cur_take(c, "charges"))
			bad = cur_once(c, &seen, SEND_CHARGES, at) < 0 ||
			      cur_money(c, &o->charges) < 0 || cur_want_all(c, "per order") < 0;
		else if (at.n && at.p[0] >= 'A')
			bad = cur_expected(c, "volume|charges") < 0;
		else
			bad = read_tariff(r, c) < 0;
		if (bad)
			return -1;
	}
	return more;
}

int outlet_spoils(struct reader *r, struct cursor *c)
{
	return cur_percent_below(c, &r_outlet(r)->spoils, "what spoils stays below 100%.");
}

int outlet_tax(struct reader *r, struct cursor *c)
{
	struct outlet *o = r_outlet(r);
	return read_tax(c, &o->tax, &o->tax_on_top);
}

/* ---- aims ---- */

static bool take_times(struct cursor *c)
{
	return cur_take(c, "x") || cur_take(c, "\xc3\x97");
}

static int read_times(struct cursor *c, struct fig *f)
{
	return take_times(c) ? cur_fig(c, f, NOT_NEGATIVE) : cur_expected(c, "x");
}

static int read_labour(struct cursor *c, struct outlet *o)
{
	if (cur_percent(c, &o->ratio_labour, NOT_NEGATIVE) < 0)
		return -1;
	bool of = cur_take(c, "of");
	if (!of && cur_want(c, "of|on") < 0)
		return -1;
	o->labour_rule = of ? LABOUR_OF_PRICE : LABOUR_ON_TOP;
	if (cur_want(c, of ? "price" : "top") < 0)
		return -1;
	return check_labour(c->l->diag, o);
}

enum { RATIO_FLOWERS = 1, RATIO_SUPPLIES = 2, RATIO_LABOUR = 4 };

static int read_ratio(struct cursor *c, struct outlet *o)
{
	unsigned seen = 0;
	int more = 1;
	for (; more > 0; more = cur_next_clause(c)) {
		struct str at = cur_peek(c);
		int bad;
		if (cur_take(c, "flowers"))
			bad = cur_once(c, &seen, RATIO_FLOWERS, at) < 0 ||
			      read_times(c, &o->ratio_stems) < 0;
		else if (cur_take(c, "supplies"))
			bad = cur_once(c, &seen, RATIO_SUPPLIES, at) < 0 ||
			      read_times(c, &o->ratio_supplies) < 0;
		else if (cur_take(c, "labour"))
			bad = cur_once(c, &seen, RATIO_LABOUR, at) < 0 || read_labour(c, o) < 0;
		else
			bad = cur_expected(c, "flowers|supplies|labour") < 0;
		if (bad)
			return -1;
	}
	if (more < 0)
		return -1;
	if ((seen & 3) == 3)
		return 0;
	cur_error(c, cur_rest(c), "This aim needs both `flowers x` and `supplies x`.");
	diag_hint(c->l->diag,
		  "for example: `aim flowers x 3.5, supplies x 2, labour 25%% of price`");
	return -1;
}

int outlet_aim(struct reader *r, struct cursor *c)
{
	struct outlet *o = r_outlet(r);
	if (cur_take(c, "margin")) {
		o->aim = AIM_MARGIN;
		if (cur_percent_below(c, &o->margin, "a margin is a share of the price.") == 0)
			return 0;
		if (o->margin.given && o->margin.v >= 1)
			diag_hint(c->l->diag,
				  "for a share on top of the cost write `aim markup 120%%`");
		return -1;
	}
	if (cur_take(c, "markup")) {
		o->aim = AIM_MARKUP;
		return cur_percent(c, &o->markup, NOT_NEGATIVE);
	}
	struct cursor ahead = *c;
	if (!cur_take(&ahead, "flowers") && !cur_take(&ahead, "supplies") &&
	    !cur_take(&ahead, "labour"))
		return cur_expected(c, "margin|markup|flowers");
	o->aim = AIM_RATIO;
	return read_ratio(c, o);
}

/* ---- price points and stall ---- */

int outlet_prices(struct reader *r, struct cursor *c)
{
	struct notation *n = r->n;
	size_t count = 0;
	if (cur_want_all(c, "end in") < 0)
		return -1;
	do {
		struct pending_ending e = { .outlet = r->item.index };
		struct str at;
		if (++count > ENDINGS_MOST)
			return too_many(c, ENDINGS_MOST, "price endings");
		if (cur_quantity(c, &e.q, &at, NOT_NEGATIVE) < 0)
			return -1;
		if (rat_cmp(e.q, (struct rat){ ENDING_MOST, 1 }) > 0)
			return cur_error(c, at, "%s is too much for the end of a price.",
					 QUOTE(c, at));
		e.at = cur_span(c, at);
		*ARENA_PUSH(r->l->arena, n->endings, n->nendings, n->cap_endings) = e;
	} while (cur_take(c, "or"));
	int more = cur_next_clause(c);
	if (more <= 0)
		return more;
	r_outlet(r)->nearest = true;
	return cur_want(c, "nearest");
}

enum { STALL_HOURS = 1, STALL_DAYS = 2, STALL_TRAVEL = 4 };

static int stall_clause(struct cursor *c, struct outlet *o, unsigned *seen)
{
	struct str at = cur_peek(c), behind = cur_peek_behind(c);
	struct rat hour;
	rat_make(&hour, 3600, 1);
	if (cur_take(c, "travel")) {
		struct rat km;
		rat_make(&km, 1000000, 1);
		if (cur_once(c, seen, STALL_TRAVEL, at) < 0 ||
		    cur_measure(c, DIM_LENGTH, &o->travel_km, NOT_NEGATIVE) < 0 ||
		    cur_scale(c, &o->travel_km, RAT_ONE, km) < 0 || cur_want(c, "at") < 0)
			return -1;
		return cur_money(c, &o->travel_rate);
	}
	if (str_is(behind, "days") || str_is(behind, "day")) {
		if (cur_once(c, seen, STALL_DAYS, at) < 0 ||
		    cur_whole(c, &o->stall_days, POSITIVE) < 0)
			return -1;
		cur_take(c, "day*");
		return 0;
	}
	if (behind.n == 0 && !(at.n && at.p[0] >= '0' && at.p[0] <= '9'))
		return cur_expected(c, "travel");
	const struct unit *u = unit_find(behind);
	if (behind.n && (!u || u->dim != DIM_TIME)) {
		cur_error(c, behind, "%s is neither a unit of time nor `days`.", QUOTE(c, behind));
		cur_hint_example(c);
		return -1;
	}
	if (cur_once(c, seen, STALL_HOURS, at) < 0 ||
	    cur_measure(c, DIM_TIME, &o->stall_hours, NOT_NEGATIVE) < 0 ||
	    cur_scale(c, &o->stall_hours, RAT_ONE, hour) < 0)
		return -1;
	if (o->stall_hours.v > 24)
		return diag_error(c->l->diag, o->stall_hours.at,
				  "%s is too long: a day has 24 hours.",
				  quote_span(c->l->diag, o->stall_hours.at));
	return 0;
}

int outlet_stall(struct reader *r, struct cursor *c)
{
	struct outlet *o = r_outlet(r);
	unsigned seen = 0;
	if (cur_money(c, &o->stall) < 0 || cur_want_all(c, "per day") < 0)
		return -1;
	int more = cur_next_clause(c);
	for (; more > 0; more = cur_next_clause(c)) {
		if (stall_clause(c, o, &seen) < 0)
			return -1;
	}
	return more;
}

void outlet_end(struct reader *r)
{
	const struct outlet *o = r_outlet(r);
	if (o->volume_divisor.given && o->ntariffs == 0)
		diag_error(r->l->diag, o->volume_divisor.at,
			   "A volume divisor without any `up to` weight says nothing.");
}

/* ---- target ---- */

enum { TARGET_SURE = 1 };

static int read_sell(struct reader *r, struct cursor *c, struct target *t)
{
	struct notation *n = r->n;
	struct str name;
	if (cur_whole(c, &t->count, POSITIVE) < 0 || cur_want(c, "by") < 0 ||
	    cur_date(c, &t->by) < 0)
		return -1;
	if (cur_take(c, "at")) {
		if (cur_name(c, "the name of an outlet", &name) < 0)
			return -1;
		t->outlet = (uint32_t)n->nnames;
		*ARENA_PUSH(r->l->arena, n->names, n->nnames, n->cap_names) =
		    (struct pending_name){ name, cur_span(c, name) };
	}
	int more = cur_next_clause(c);
	if (more <= 0)
		return more;
	if (cur_percent_below(c, &t->sure, "nothing that grows is 100% sure.") < 0)
		return -1;
	if (t->sure.v <= 0)
		return diag_error(c->l->diag, t->sure.at, "%s sure makes no sense.",
				  quote_span(c->l->diag, t->sure.at));
	return cur_want(c, "sure");
}

int target_sell(struct reader *r, struct cursor *c)
{
	struct farm *farm = r->farm;
	struct notation *n = r->n;
	struct target t = { .head = r->head, .by = DAY_NONE, .outlet = NONE };
	t.at = cur_span(c, (struct str){ c->text.p, c->at });
	FIGS_CLEAR(&t.count, &t.sure);
	if (farm->ntargets >= KIND_MOST)
		return too_many(c, KIND_MOST, "targets");
	if (read_sell(r, c, &t) < 0)
		return -1;
	t.piece = (uint32_t)n->nnames;
	*ARENA_PUSH(r->l->arena, n->names, n->nnames, n->cap_names) = r->target;
	*ARENA_PUSH(r->l->arena, farm->targets, farm->ntargets, n->cap_targets) = t;
	return 0;
}

void target_end(struct reader *r)
{
	const struct statement *sell = statement_find(KIND_TARGET, STR("sell"));
	if (r->seen[statement_index(sell)].file)
		return;
	diag_error(r->l->diag, r->head->at, "This target says nothing to sell.");
	diag_hint(r->l->diag, "for example: `%s`", sell->example);
}
