/* notation_crop.c - statements of the `crop` block about stems and drying. */
#include "farm/notation.h"

/* ---- counting words wait until the whole block is read ---- */

static int pend(struct reader *r, struct cursor *c, struct fig *fig, bool per)
{
	struct notation *n = r->n;
	struct pending_unit u = { .item = r->item, .per = per };
	struct str at;
	if (cur_count_word(c, &u.word, &at) < 0)
		return -1;
	u.at = cur_span(c, at);
	const char *base =
	    r->kind == KIND_CROP ? (const char *)r_crop(r) : (const char *)r_supply(r);
	u.offset = (size_t)((const char *)fig - base);
	*ARENA_PUSH(r->l->arena, n->units, n->nunits, n->cap_units) = u;
	return 0;
}

int read_count(struct reader *r, struct cursor *c, struct fig *fig, enum sense sense)
{
	return cur_fig(c, fig, sense) < 0 ? -1 : pend(r, c, fig, false);
}

int read_per_count(struct reader *r, struct cursor *c, struct fig *fig)
{
	if (cur_want(c, "per") < 0)
		return -1;
	return pend(r, c, fig, true);
}

/* ---- what it costs and brings ---- */

int crop_costs(struct reader *r, struct cursor *c)
{
	struct fig *f = &r_crop(r)->cost;
	if (cur_money(c, f) < 0 || read_per_count(r, c, f) < 0)
		return -1;
	cur_take(c, "boxed");
	return 0;
}

int crop_buys(struct reader *r, struct cursor *c)
{
	struct fig *f = &r_crop(r)->bought;
	if (cur_want(c, "at") < 0 || cur_money(c, f) < 0)
		return -1;
	return read_per_count(r, c, f);
}

int crop_carries(struct reader *r, struct cursor *c)
{
	struct fig *f = &r_crop(r)->carries;
	if (cur_money(c, f) < 0 || read_per_count(r, c, f) < 0)
		return -1;
	return cur_take(c, "into") ? cur_want_all(c, "next season") : 0;
}

int crop_reserve(struct reader *r, struct cursor *c)
{
	return read_count(r, c, &r_crop(r)->reserve, NOT_NEGATIVE);
}

int crop_worth(struct reader *r, struct cursor *c)
{
	struct crop *crop = r_crop(r);
	unsigned seen = 0;
	int more = 1;
	for (; more > 0; more = cur_next_clause(c)) {
		struct fig price;
		if (cur_money(c, &price) < 0 || cur_want(c, "per") < 0)
			return -1;
		/* Which price it is stands behind the counting word. */
		struct cursor ahead = *c;
		struct str unit, at;
		if (cur_count_word(&ahead, &unit, &at) < 0)
			return -1;
		struct str word = cur_peek(&ahead);
		struct fig *const prices[] = { &crop->fresh_price, &crop->hung_price,
					       &crop->dried_price };
		unsigned k = cur_take(&ahead, "fresh") ? 0 : cur_take(&ahead, "to hang") ? 1 : 2;
		if (k == 2 && !cur_take(&ahead, "dried"))
			return cur_expected(&ahead, "fresh|to hang|dried");
		if (cur_once(c, &seen, 1u << k, word) < 0)
			return -1;
		*prices[k] = price;
		if (pend(r, c, prices[k], true) < 0)
			return -1;
		c->at = ahead.at;
	}
	return more;
}

/* ---- losses ---- */

int crop_loses(struct reader *r, struct cursor *c)
{
	static const char *const stages[] = { "field", "drying", "storage", "bench" };
	struct crop *crop = r_crop(r);
	unsigned seen = 0;
	int more = 1;
	for (; more > 0; more = cur_next_clause(c)) {
		struct str at = cur_peek(c);
		if (cur_take(c, "weighs")) {
			if (cur_once(c, &seen, 1u << STAGE_COUNT, at) < 0 ||
			    cur_fig(c, &crop->loss_weight, POSITIVE) < 0 ||
			    cur_want(c, "stem*") < 0)
				return -1;
			continue;
		}
		struct fig share;
		if (cur_percent_below(c, &share, "a loss stays below 100%.") < 0)
			return -1;
		at = cur_peek(c);
		unsigned s = 0;
		while (s < STAGE_COUNT && !cur_take(c, stages[s]))
			s++;
		if (s == STAGE_COUNT)
			return cur_expected(c, "field|drying|storage|bench");
		if (s == STAGE_STORAGE && cur_want_all(c, "per month") < 0)
			return -1;
		if (cur_once(c, &seen, 1u << s, at) < 0)
			return -1;
		crop->loss[s] = share;
	}
	return more;
}

int crop_keeps(struct reader *r, struct cursor *c)
{
	if (cur_fig(c, &r_crop(r)->keeps, POSITIVE) < 0 || cur_want(c, "month*") < 0)
		return -1;
	return cur_take(c, "from") ? cur_want(c, "boxing") : 0;
}

/* ---- drying and boxing ---- */

enum { SAYS_COUNT = 1, SAYS_LINE = 2, SAYS_DAYS = 4 };

static int read_days(struct cursor *c, struct fig *days)
{
	if (cur_fig(c, days, POSITIVE) < 0)
		return -1;
	return cur_want(c, "day*");
}

static bool days_follow(const struct cursor *c)
{
	struct str unit = cur_peek_behind(c);
	return str_is(unit, "days") || str_is(unit, "day");
}

static bool length_follows(const struct cursor *c)
{
	const struct unit *u = unit_find(cur_peek_behind(c));
	return u && u->dim == DIM_LENGTH;
}

int crop_hangs(struct reader *r, struct cursor *c)
{
	struct crop *crop = r_crop(r);
	unsigned seen = 0;
	int more = 1;
	for (; more > 0; more = cur_next_clause(c)) {
		struct str at = cur_peek(c);
		int bad;
		if (days_follow(c)) {
			bad = cur_once(c, &seen, SAYS_DAYS, at) < 0 ||
			      read_days(c, &crop->drying_days) < 0;
		} else if (length_follows(c)) {
			bad = cur_once(c, &seen, SAYS_LINE, at) < 0 ||
			      cur_measure(c, DIM_LENGTH, &crop->bundle_line, POSITIVE) < 0 ||
			      (cur_take(c, "of") && cur_want(c, "line") < 0) ||
			      cur_want_all(c, "per bundle") < 0;
		} else {
			bad = cur_once(c, &seen, SAYS_COUNT, at) < 0 ||
			      read_count(r, c, &crop->bundle, POSITIVE) < 0 ||
			      cur_want_all(c, "per bundle") < 0;
		}
		if (bad)
			return -1;
	}
	return more;
}

int crop_lies(struct reader *r, struct cursor *c)
{
	struct crop *crop = r_crop(r);
	const struct unit *area;
	unsigned seen = 0;
	int more = 1;
	for (; more > 0; more = cur_next_clause(c)) {
		struct str at = cur_peek(c);
		if (days_follow(c)) {
			if (cur_once(c, &seen, SAYS_DAYS, at) < 0 ||
			    read_days(c, &crop->drying_days) < 0)
				return -1;
			continue;
		}
		if (cur_once(c, &seen, SAYS_COUNT, at) < 0 ||
		    read_count(r, c, &crop->per_area, POSITIVE) < 0 || cur_want(c, "per") < 0 ||
		    cur_unit(c, DIM_AREA, &area) < 0 ||
		    cur_scale(c, &crop->per_area, RAT_ONE, area->factor) < 0)
			return -1;
		if (cur_take(c, "of") && cur_want(c, "rack*") < 0)
			return -1;
	}
	return more;
}

int crop_boxes(struct reader *r, struct cursor *c)
{
	if (read_count(r, c, &r_crop(r)->per_box, POSITIVE) < 0)
		return -1;
	return cur_want_all(c, "per box");
}

int crop_spends(struct reader *r, struct cursor *c)
{
	struct crop *crop = r_crop(r);
	unsigned seen = 0;
	int more = 1;
	for (; more > 0; more = cur_next_clause(c)) {
		struct fig money;
		if (cur_money(c, &money) < 0 || cur_want(c, "per") < 0)
			return -1;
		struct str at = cur_peek(c);
		bool bundle = cur_take(c, "bundle");
		if (!bundle && cur_want(c, "bundle|box") < 0)
			return -1;
		if (cur_once(c, &seen, bundle ? 1 : 2, at) < 0)
			return -1;
		*(bundle ? &crop->spend_bundle : &crop->spend_box) = money;
	}
	return more;
}

/* ---- how fast the work goes ---- */

static bool take_per(struct cursor *c, enum per *per)
{
	if (cur_take(c, "stem*"))
		*per = PER_STEM;
	else if (cur_take(c, "bundle*"))
		*per = PER_BUNDLE;
	else if (cur_take(c, "box*"))
		*per = PER_BOX;
	else
		return false;
	return true;
}

/* The words behind the number of a rate: `stem per h`, `s per bundle`. */
struct rate_words {
	enum per per;
	struct rat seconds; /* of the unit of time */
	bool inverse;       /* so many in that time */
};

static int read_rate_words(struct cursor *c, struct rate_words *out)
{
	const struct unit *u;
	out->inverse = take_per(c, &out->per);
	if (!out->inverse) {
		u = unit_find(cur_peek(c));
		if (!u || u->dim != DIM_TIME)
			return cur_expected(c, "stem|bundle|box|s|min|h");
	}
	if (out->inverse && cur_want(c, "per") < 0)
		return -1;
	if (cur_unit(c, DIM_TIME, &u) < 0)
		return -1;
	out->seconds = u->factor;
	if (out->inverse)
		return 0;
	if (cur_want(c, "per") < 0)
		return -1;
	return take_per(c, &out->per) ? 0 : cur_expected(c, "stem|bundle|box");
}

static int set_rate(struct cursor *c, struct rate *rate, const struct rate_words *words)
{
	struct fig *f = &rate->seconds;
	rate->per = words->per;
	if (!words->inverse)
		return cur_scale(c, f, words->seconds, RAT_ONE);
	struct rat q;
	if (!rat_div(&q, words->seconds, f->q))
		return too_large(c->l->diag, f->at);
	fig_set(f, q, f->at);
	return 0;
}

/* Activities with a number alone, until it is known which rate they share. */
struct bare_rates {
	unsigned waiting;   /* bit 1 << activity */
	struct str last, clause; /* the word of the one said last, and `strip 250` */
};

/* Only `250 stem per h` can be meant by `250`: a time without its unit is no rate, and
 * `strip 250, box 1 min per bundle` no 250 minutes. */
static int share_rate(struct cursor *c, struct crop *crop, struct bare_rates *bare,
		      const struct rate_words *behind, const struct rate_words *before)
{
	const struct rate_words *words = behind && behind->inverse ? behind : before;
	if (bare->waiting == 0)
		return 0;
	if (!words || !words->inverse) {
		cur_error(c, bare->last, "%s has a number but no rate behind it.",
			  QUOTE(c, bare->last));
		diag_hint(c->l->diag, "say what the number counts: `%.*s stem per h`",
			  STR_ARG(bare->clause));
		return -1;
	}
	for (unsigned w = 0; w < WORK_COUNT; w++) {
		if (bare->waiting & 1u << w && set_rate(c, &crop->works[w], words) < 0)
			return -1;
	}
	bare->waiting = 0;
	return 0;
}

int crop_works(struct reader *r, struct cursor *c)
{
	static const char *const works[] = { "cut", "strip", "bundle", "hang", "box" };
	struct crop *crop = r_crop(r);
	struct bare_rates bare = { 0, STR_NONE, STR_NONE };
	struct rate_words words, before = { .inverse = false };
	unsigned seen = 0;
	int more = 1;
	for (; more > 0; more = cur_next_clause(c)) {
		struct str at = cur_peek(c);
		unsigned w = 0;
		while (w < WORK_COUNT && !cur_take(c, works[w]))
			w++;
		if (w == WORK_COUNT)
			return cur_expected(c, "cut|strip|bundle|hang|box");
		if (cur_once(c, &seen, 1u << w, at) < 0 ||
		    cur_fig(c, &crop->works[w].seconds, POSITIVE) < 0)
			return -1;
		if (cur_clause_end(c)) {
			bare.waiting |= 1u << w;
			bare.last = at;
			bare.clause = (struct str){ at.p, (size_t)(c->text.p + c->at - at.p) };
			continue;
		}
		if (read_rate_words(c, &words) < 0 || set_rate(c, &crop->works[w], &words) < 0 ||
		    share_rate(c, crop, &bare, &words, &before) < 0)
			return -1;
		before = words;
	}
	return more < 0 ? more : share_rate(c, crop, &bare, NULL, &before);
}

/* ---- colours ---- */

/* `rust 40%`: where the name ends. */
static struct str colour_name(struct cursor *c)
{
	struct cursor ahead = *c;
	struct str s = cur_rest(c);
	size_t end = 0;
	while (!cur_clause_end(&ahead) && !cur_at_percent(&ahead)) {
		struct str word = cur_peek(&ahead);
		end = (size_t)(word.p - s.p) + word.n;
		ahead.at = (size_t)(word.p - ahead.text.p) + word.n;
	}
	return (struct str){ s.p, end };
}

static int check_shares(struct reader *r, struct cursor *c)
{
	struct crop *crop = r_crop(r);
	struct rat sum = RAT_ZERO;
	size_t given = 0;
	for (size_t i = 0; i < crop->ncolours; i++) {
		const struct fig *share = &crop->colours[i].share;
		given += share->given;
		if (!rat_add(&sum, sum, share->q))
			return 0;
	}
	struct str all = { c->text.p, c->text.n };
	int over = rat_cmp(sum, RAT_ONE);
	if (over > 0)
		return cur_error(c, all, "The shares of the colours come to more than 100%%.");
	if (given == crop->ncolours && over < 0)
		diag_warn(c->l->diag, cur_span(c, all),
			  "The shares of the colours come to less than 100%%.");
	return 0;
}

int crop_colours(struct reader *r, struct cursor *c)
{
	struct crop *crop = r_crop(r);
	int more = 1;
	for (; more > 0; more = cur_next_clause(c)) {
		if (crop->ncolours >= COLOURS_MOST)
			return too_many(c, COLOURS_MOST, "colours");
		struct str name = colour_name(c);
		if (name.n == 0)
			return cur_missing(c, "a colour");
		if (cur_check_name(c, name, "a colour") < 0)
			return -1;
		uint32_t colour = loader_colour(r->l, name);
		for (size_t i = 0; i < crop->ncolours; i++) {
			if (crop->colours[i].colour == colour)
				return cur_error(c, name, "The colour %s is said twice.",
						 QUOTE(c, name));
		}
		c->at = (size_t)(name.p - c->text.p) + name.n;
		struct colour_share *s =
		    ARENA_PUSH(r->l->arena, crop->colours, crop->ncolours, r->cap_a);
		s->colour = colour;
		FIGS_CLEAR(&s->share);
		if (!cur_clause_end(c) &&
		    cur_percent_upto(c, &s->share, "a share is 100%% at most.") < 0)
			return -1;
	}
	return more < 0 ? -1 : check_shares(r, c);
}

/* ---- the end of the block ---- */

static const struct span *seen_at(const struct reader *r, const char *word)
{
	const struct statement *s = statement_find(r->kind, str_of(word));
	return &r->seen[statement_index(s)];
}

void crop_end(struct reader *r)
{
	const struct span *hangs = seen_at(r, "hangs"), *lies = seen_at(r, "lies");
	const struct crop *crop = r_crop(r);
	if (hangs->file && lies->file) {
		diag_error(r->l->diag, lies->off > hangs->off ? *lies : *hangs,
			   "A crop dries either hanging (`hangs`) or lying (`lies`), not both.");
		diag_also(r->l->diag, lies->off > hangs->off ? *hangs : *lies,
			  "the other is said here");
	}
	if (crop->cutting.from.anchor == ANCHOR_PLANTING && crop->nplantings == 0 &&
	    !seen_at(r, "plants")->file) {
		diag_error(r->l->diag, crop->cutting.at,
			   "The cutting counts from planting, but there is no "
			   "`plants` line in this block.");
		diag_hint(r->l->diag, "add a line like `plants 1 week after last frost`");
	}
}
