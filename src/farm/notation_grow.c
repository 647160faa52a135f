/* notation_grow.c - statements of the `crop` block about sowing, planting and cutting. */
#include "farm/notation.h"

/* ---- when ---- */

/* `week` or `day`, one or many; days of it, 0 when neither. */
static int days_in(struct str word)
{
	if (str_is(word, "week") || str_is(word, "weeks"))
		return 7;
	return str_is(word, "day") || str_is(word, "days") ? 1 : 0;
}

static bool when_follows(const struct cursor *c)
{
	struct str word = cur_peek(c);
	return str_is(word, "on") || days_in(cur_peek_behind(c)) > 0;
}

static int read_duration(struct cursor *c, struct fig *days, enum sense sense)
{
	struct rat unit;
	if (cur_fig(c, days, sense) < 0)
		return -1;
	int n = days_in(cur_peek(c));
	if (cur_want(c, "week*|day*") < 0)
		return -1;
	rat_make(&unit, n ? n : 7, 1);
	return cur_scale(c, days, unit, RAT_ONE);
}

/* `2027-07-01`, right or wrong, and no number of weeks. */
static bool date_follows(const struct cursor *c)
{
	struct str word = cur_peek(c);
	return word.n > 1 && memchr(word.p + 1, '-', word.n - 1) != NULL;
}

int read_when(struct cursor *c, struct when *when, bool frost)
{
	if (cur_take(c, "on") || (!frost && date_follows(c))) {
		when->anchor = ANCHOR_DATE;
		return cur_date(c, &when->date);
	}
	if (read_duration(c, &when->days, NOT_NEGATIVE) < 0)
		return -1;
	if (!frost) {
		when->anchor = ANCHOR_PLANTING;
		return cur_want_all(c, "after planting");
	}
	bool before = cur_take(c, "before");
	if (!before && cur_want(c, "before|after") < 0)
		return -1;
	bool last = cur_take(c, "last");
	if (!last && cur_want(c, "last|first") < 0)
		return -1;
	when->anchor = last ? ANCHOR_LAST_FROST : ANCHOR_FIRST_FROST;
	struct rat minus;
	rat_make(&minus, -1, 1);
	if (before && cur_scale(c, &when->days, minus, RAT_ONE) < 0)
		return -1;
	return cur_want(c, "frost");
}

/* ---- sows ---- */

enum {
	SOW_WHEN = 1,
	SOW_DIRECT = 2,
	SOW_GERMINATES = 4,
	SOW_CELLS = 8,
	SOW_SEEDS = 16,
	SOW_PRICE = 32
};

static int read_germinates(struct cursor *c, struct sowing *s)
{
	return cur_percent_upto(c, &s->germinates, "no more than 100% can come up.");
}

static int read_seed_price(struct cursor *c, struct sowing *s)
{
	if (cur_money(c, &s->seed_price) < 0 || cur_want(c, "per") < 0 ||
	    cur_whole(c, &s->seed_count, POSITIVE) < 0)
		return -1;
	return cur_want(c, "seed*");
}

static int sow_clause(struct cursor *c, struct sowing *s, unsigned *seen)
{
	struct str at = cur_peek(c), unit = cur_peek_behind(c);
	if (when_follows(c))
		return cur_once(c, seen, SOW_WHEN, at) < 0 ? -1 : read_when(c, &s->when, true);
	if (cur_take(c, "direct")) {
		s->direct = true;
		return cur_once(c, seen, SOW_DIRECT, at);
	}
	if (cur_take(c, "germinates"))
		return cur_once(c, seen, SOW_GERMINATES, at) < 0 ? -1 : read_germinates(c, s);
	if (str_is(unit, "per"))
		return cur_once(c, seen, SOW_PRICE, at) < 0 ? -1 : read_seed_price(c, s);
	if (str_is(unit, "cells") || str_is(unit, "cell")) {
		if (cur_once(c, seen, SOW_CELLS, at) < 0 || cur_whole(c, &s->cells, POSITIVE) < 0)
			return -1;
		cur_take(c, "cell*");
		return cur_want_all(c, "per tray");
	}
	if (str_is(unit, "seeds") || str_is(unit, "seed")) {
		if (cur_once(c, seen, SOW_SEEDS, at) < 0 ||
		    cur_fig(c, &s->seeds_per_cell, POSITIVE) < 0)
			return -1;
		cur_take(c, "seed*");
		return cur_want_all(c, "per cell");
	}
	if (unit.n == 0)
		return cur_expected(c, "direct|germinates|on");
	struct rat q;
	if (cur_quantity(c, &q, &at, ANY_SIGN) < 0)
		return -1;
	return cur_expected(c, "weeks|days|cells|seeds|per");
}

int crop_sows(struct reader *r, struct cursor *c)
{
	struct crop *crop = r_crop(r);
	struct sowing s = { .at = cur_span(c, (struct str){ c->text.p, c->at }) };
	FIGS_CLEAR(&s.germinates, &s.cells, &s.seeds_per_cell, &s.seed_price, &s.seed_count,
		   &s.when.days);
	s.when.date = DAY_NONE;
	unsigned seen = 0;
	int more = 1;
	if (crop->nsowings >= SUCCESSIONS_MOST)
		return too_many(c, SUCCESSIONS_MOST, "sowings");
	for (; more > 0; more = cur_next_clause(c)) {
		if (sow_clause(c, &s, &seen) < 0)
			return -1;
	}
	if (more < 0)
		return -1;
	const struct fig *tray = s.cells.given ? &s.cells : &s.seeds_per_cell;
	if (s.direct && s.cells.given)
		return diag_error(c->l->diag, tray->at,
				  "What is sown direct has no tray, so %s has no place here.",
				  quote_span(c->l->diag, tray->at));
	if (s.direct && s.seeds_per_cell.given) {
		diag_error(c->l->diag, tray->at, "What is sown direct is reckoned as one seed a spot.");
		diag_hint(c->l->diag, "for two, say as `germinates` how often one of them comes up (84%% for 60%%), and the packet "
				      "as half as many seeds");
		return -1;
	}
	*ARENA_PUSH(r->l->arena, crop->sowings, crop->nsowings, r->cap_b) = s;
	return 0;
}

/* ---- plants ---- */

enum { PLANT_WHEN = 1, PLANT_APART = 2, PLANT_ROWS = 4, PLANT_WIDE = 8, PLANT_LIVE = 16 };

static int plant_clause(struct cursor *c, struct planting *p, unsigned *seen)
{
	struct str at = cur_peek(c), behind = cur_peek_behind(c);
	const struct unit *u = unit_find(behind);
	if (when_follows(c))
		return cur_once(c, seen, PLANT_WHEN, at) < 0 ? -1 : read_when(c, &p->when, true);
	if (cur_take(c, "bed")) {
		if (cur_once(c, seen, PLANT_WIDE, at) < 0 ||
		    cur_measure(c, DIM_LENGTH, &p->bed_width, POSITIVE) < 0)
			return -1;
		return cur_want(c, "wide");
	}
	if (cur_at_percent(c)) {
		if (cur_once(c, seen, PLANT_LIVE, at) < 0 ||
		    cur_percent_upto(c, &p->live, "no more than 100% can live.") < 0)
			return -1;
		return cur_want(c, "live");
	}
	if (str_is(behind, "rows") || str_is(behind, "row")) {
		if (cur_once(c, seen, PLANT_ROWS, at) < 0 || cur_whole(c, &p->rows, POSITIVE) < 0)
			return -1;
		cur_take(c, "row*");
		return 0;
	}
	if (u && u->dim == DIM_LENGTH) {
		if (cur_once(c, seen, PLANT_APART, at) < 0 ||
		    cur_measure(c, DIM_LENGTH, &p->apart, POSITIVE) < 0)
			return -1;
		return cur_want(c, "apart");
	}
	if (behind.n == 0)
		return cur_expected(c, "bed|on");
	struct rat q;
	if (cur_quantity(c, &q, &at, ANY_SIGN) < 0)
		return -1;
	return cur_expected(c, "weeks|days|rows|cm");
}

int crop_plants(struct reader *r, struct cursor *c)
{
	struct crop *crop = r_crop(r);
	struct planting p = { .at = cur_span(c, (struct str){ c->text.p, c->at }) };
	FIGS_CLEAR(&p.apart, &p.rows, &p.bed_width, &p.live, &p.when.days);
	p.when.date = DAY_NONE;
	unsigned seen = 0;
	int more = 1;
	if (crop->nplantings >= SUCCESSIONS_MOST)
		return too_many(c, SUCCESSIONS_MOST, "plantings");
	for (; more > 0; more = cur_next_clause(c)) {
		if (plant_clause(c, &p, &seen) < 0)
			return -1;
	}
	if (more < 0)
		return -1;
	*ARENA_PUSH(r->l->arena, crop->plantings, crop->nplantings, r->cap_c) = p;
	return 0;
}

/* ---- cuts ---- */

enum { CUT_FROM = 1, CUT_OVER = 2, CUT_STEMS = 4, CUT_USUALLY = 8 };

static int cut_clause(struct cursor *c, struct cutting *k, unsigned *seen)
{
	struct str at = cur_peek(c);
	if (cur_take(c, "from") || str_is(at, "on"))
		return cur_once(c, seen, CUT_FROM, at) < 0 ? -1 : read_when(c, &k->from, false);
	if (cur_take(c, "over"))
		return cur_once(c, seen, CUT_OVER, at) < 0 ? -1
							   : read_duration(c, &k->over, POSITIVE);
	if (cur_take(c, "usually")) {
		if (cur_once(c, seen, CUT_USUALLY, at) < 0 ||
		    cur_fig(c, &k->low, NOT_NEGATIVE) < 0 || cur_want(c, "to") < 0)
			return -1;
		return cur_fig(c, &k->high, POSITIVE);
	}
	if (cur_peek_behind(c).n == 0)
		return cur_expected(c, "from|on|over|usually");
	if (cur_once(c, seen, CUT_STEMS, at) < 0 || cur_fig(c, &k->per_plant, POSITIVE) < 0 ||
	    cur_want(c, "stem*") < 0)
		return -1;
	return cur_want_all(c, "per plant");
}

int crop_cuts(struct reader *r, struct cursor *c)
{
	struct cutting k = r_crop(r)->cutting;
	k.at = cur_span(c, (struct str){ c->text.p, c->at });
	unsigned seen = 0;
	int more = 1;
	for (; more > 0; more = cur_next_clause(c)) {
		if (cut_clause(c, &k, &seen) < 0)
			return -1;
	}
	if (more < 0)
		return -1;
	struct diag *diag = c->l->diag;
	if (k.low.given && rat_cmp(k.low.q, k.high.q) > 0)
		return diag_error(diag, k.high.at,
				  "The usual range ends at %s, below where it begins.",
				  quote_span(diag, k.high.at));
	if (k.low.given && k.per_plant.given &&
	    (rat_cmp(k.per_plant.q, k.low.q) < 0 || rat_cmp(k.per_plant.q, k.high.q) > 0))
		return diag_error(diag, k.per_plant.at,
				  "%s stems per plant lie outside the usual range of this line.",
				  quote_span(diag, k.per_plant.at));
	r_crop(r)->cutting = k;
	return 0;
}

/* ---- stands ---- */

enum { STAND_LENGTH = 1, STAND_PLANTED = 2, STAND_BEARS = 4, STAND_MONEY = 8 };

static int stand_clause(struct cursor *c, struct standing *s, unsigned *seen)
{
	struct str at = cur_peek(c), behind = cur_peek_behind(c);
	if (cur_take(c, "planted"))
		return cur_once(c, seen, STAND_PLANTED, at) < 0 ? -1 : cur_date(c, &s->planted);
	if (cur_take(c, "bears")) {
		if (cur_once(c, seen, STAND_BEARS, at) < 0 || cur_fig(c, &s->bears, POSITIVE) < 0)
			return -1;
		return cur_want(c, "year*");
	}
	if (str_is(behind, "to")) {
		if (cur_once(c, seen, STAND_MONEY, at) < 0 || cur_money(c, &s->establishment) < 0)
			return -1;
		return cur_want_all(c, "to plant");
	}
	if (behind.n == 0)
		return cur_expected(c, "planted|bears");
	if (cur_once(c, seen, STAND_LENGTH, at) < 0 ||
	    cur_measure(c, DIM_LENGTH, &s->metres, POSITIVE) < 0)
		return -1;
	return cur_take(c, "of") ? cur_want(c, "bed*") : 0;
}

int crop_stands(struct reader *r, struct cursor *c)
{
	struct standing *s = &r_crop(r)->standing;
	unsigned seen = 0;
	int more = 1;
	s->at = cur_span(c, (struct str){ c->text.p, c->at });
	for (; more > 0; more = cur_next_clause(c)) {
		if (stand_clause(c, s, &seen) < 0)
			return -1;
	}
	return more;
}
