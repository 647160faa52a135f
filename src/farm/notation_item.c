/* notation_item.c - statements of the `supply`, `part` and `piece` blocks. */
#include "base/buf.h"
#include "farm/notation.h"

#include "farm/measure.h"

/* ---- supply ---- */

int supply_costs(struct reader *r, struct cursor *c)
{
	struct supply *s = r_supply(r);
	struct rat count = RAT_ONE;
	struct str at, rest;
	s->unit = STR("?"); /* until the line is read whole: see resolve.c */
	if (cur_money(c, &s->cost) < 0 || cur_want(c, "per") < 0)
		return -1;
	rest = cur_rest(c);
	if (rest.n &&
	    ((rest.p[0] >= '0' && rest.p[0] <= '9') || rest.p[0] == '.' || rest.p[0] == '-') &&
	    cur_quantity(c, &count, &at, POSITIVE) < 0)
		return -1;
	struct str unit;
	if (cur_count_word(c, &unit, &at) < 0 || cur_scale(c, &s->cost, RAT_ONE, count) < 0)
		return -1;
	s->unit = unit;
	return 0;
}

int supply_pack(struct reader *r, struct cursor *c)
{
	return read_count(r, c, &r_supply(r)->pack, POSITIVE);
}

/* Without a price the pack says what the supply is counted in. */
void supply_end(struct reader *r)
{
	struct supply *s = r_supply(r);
	const struct notation *n = r->n;
	for (size_t i = n->nunits; !s->unit.n && s->pack.given && i-- > 0;) {
		const struct pending_unit *u = &n->units[i];
		if (u->item.kind == KIND_SUPPLY && u->item.index == r->item.index)
			s->unit = u->word;
	}
	if (!s->unit.n)
		s->unit = STR("each");
}

/* ---- needs ---- */

int part_makes(struct reader *r, struct cursor *c)
{
	struct str at;
	struct part *p = r_part(r);
	p->unit = STR("?");
	if (cur_quantity(c, &p->makes, &at, POSITIVE) < 0)
		return -1;
	return cur_count_word(c, &p->unit, &at);
}

struct colour_list {
	struct str *names;
	size_t n, cap;
};

/* One colour, up to the end of the clause or the word `or`. */
static int read_colour(struct cursor *c, struct colour_list *list)
{
	struct str s = cur_rest(c);
	size_t end = 0;
	for (struct cursor ahead = *c; !cur_clause_end(&ahead) && !cur_take(&ahead, "or");) {
		struct str word = cur_peek(&ahead);
		end = (size_t)(word.p - s.p) + word.n;
		ahead.at = (size_t)(word.p - ahead.text.p) + word.n;
	}
	s.n = end;
	if (s.n == 0)
		return cur_missing(c, "a colour");
	if (list->n >= COLOURS_MOST)
		return too_many(c, COLOURS_MOST, "colours in one line");
	c->at = (size_t)(s.p - c->text.p) + s.n;
	*ARENA_PUSH(c->l->arena, list->names, list->n, list->cap) = s;
	return cur_check_name(c, s, "a colour");
}

static int read_colours(struct cursor *c, struct colour_list *list)
{
	do {
		if (read_colour(c, list) < 0)
			return -1;
	} while (cur_take(c, "or"));
	return 0;
}

/* After `one colour of`, does the next clause name one more colour? */
static bool colour_follows(const struct cursor *c)
{
	struct cursor ahead = *c;
	if (!cur_take(&ahead, ",") && !cur_take(&ahead, ";"))
		return false;
	return !cur_take(&ahead, "from") && !cur_take(&ahead, "colour") &&
	       !cur_take(&ahead, "one colour") && !cur_end(&ahead);
}

enum { NEED_COLOUR = 1, NEED_LENGTH = 2 };

static int need_lengths(struct cursor *c, struct need_option *o)
{
	struct fig from, to = { .v = 0 };
	if (cur_measure(c, DIM_LENGTH, &from, NOT_NEGATIVE) < 0)
		return -1;
	if (cur_take(c, "to") && cur_measure(c, DIM_LENGTH, &to, POSITIVE) < 0)
		return -1;
	if (to.given && rat_cmp(to.q, from.q) < 0)
		return diag_error(c->l->diag, to.at,
				  "The longest length, %s, is below the shortest.",
				  quote_span(c->l->diag, to.at));
	o->from = from.v;
	o->to = to.v;
	return 0;
}

static int need_clause(struct cursor *c, struct need_option *o, struct colour_list *colours,
		       unsigned *seen)
{
	struct str at = cur_peek(c);
	if (cur_take(c, "from"))
		return cur_once(c, seen, NEED_LENGTH, at) < 0 ? -1 : need_lengths(c, o);
	if (cur_take(c, "colour"))
		return cur_once(c, seen, NEED_COLOUR, at) < 0 ? -1 : read_colours(c, colours);
	if (!cur_take(c, "one"))
		return cur_expected(c, "colour|one|from");
	o->one_colour = true;
	if (cur_once(c, seen, NEED_COLOUR, at) < 0 || cur_want_all(c, "colour of") < 0 ||
	    read_colours(c, colours) < 0)
		return -1;
	while (colour_follows(c)) {
		cur_next_clause(c);
		if (read_colours(c, colours) < 0)
			return -1;
	}
	return 0;
}

/* Reads one way to meet a need into the block's scratch lists. */
static int read_option(struct reader *r, struct cursor *c, struct pending_need *p)
{
	struct notation *n = r->n;
	struct need_option o = { .word = STR("each") };
	struct colour_list colours = { NULL, 0, 0 };
	struct str at;
	unsigned seen = 0;
	if (cur_quantity(c, &o.written, &at, POSITIVE) < 0 ||
	    cur_name(c, "a unit or a name", &p->text) < 0)
		return -1;
	at.n = (size_t)(p->text.p - at.p) + p->text.n;
	o.at = cur_span(c, at);
	o.count = o.written;
	int more = cur_next_clause(c);
	for (; more > 0; more = cur_next_clause(c)) {
		if (need_clause(c, &o, &colours, &seen) < 0)
			return -1;
	}
	if (more < 0)
		return -1;
	o.colours = colours.n ? ARENA_ARRAY(r->l->arena, colours.n, uint32_t) : NULL;
	o.ncolours = colours.n;
	for (size_t i = 0; i < colours.n; i++)
		o.colours[i] = loader_colour(r->l, colours.names[i]);
	p->colours = colours.names;
	p->ncolours = colours.n;
	*ARENA_PUSH(r->l->arena, n->options, n->noptions, n->cap_options) = o;
	return 0;
}

static void pend_need(struct reader *r, struct pending_need *p)
{
	struct notation *n = r->n;
	p->maker = r->item;
	p->file = r->file;
	p->need = (uint32_t)n->nstarts - 1;
	p->option = (uint32_t)(n->noptions - 1) - n->first_option[p->need];
	*ARENA_PUSH(r->l->arena, n->needs, n->nneeds, n->cap_needs) = *p;
}

int read_needs(struct reader *r, struct cursor *c)
{
	struct notation *n = r->n;
	struct pending_need p;
	r->need_open = false;
	if (n->nstarts >= NEEDS_MOST)
		return too_many(c, NEEDS_MOST, "`needs` lines");
	if (read_option(r, c, &p) < 0)
		return -1;
	*ARENA_PUSH(r->l->arena, n->first_option, n->nstarts, n->cap_starts) =
	    (uint32_t)n->noptions - 1;
	pend_need(r, &p);
	r->need_open = true;
	return 0;
}

int read_or(struct reader *r, struct cursor *c)
{
	struct notation *n = r->n;
	struct pending_need p;
	bool behind = r->before && (r->before->read == read_needs || r->before->read == read_or);
	if (!behind) {
		cur_error(c, ((struct str){ c->text.p, c->at }),
			  "`or` stands right below the `needs` line to which it is another way.");
		return -1;
	}
	if (r->need_open && n->noptions - n->first_option[n->nstarts - 1] >= OPTIONS_MOST)
		return too_many(c, OPTIONS_MOST, "ways to meet one need");
	if (read_option(r, c, &p) < 0)
		return -1;
	if (r->need_open)
		pend_need(r, &p);
	else
		n->noptions--; /* the need itself could not be read */
	return 0;
}

/* ---- work at the bench ---- */

/* `setting up for each batch of 6`: without its comma that would be a label, and the
 * time be taken for every piece. */
static int batch_in_label(struct cursor *c, struct str label)
{
	for (size_t i = 0; i < label.n;) {
		struct str word = line_word((struct str){ label.p + i, label.n - i });
		struct cursor rest = *c;
		rest.at = (size_t)(label.p - c->text.p) + i;
		if (cur_take(&rest, "for each batch") || cur_take(&rest, "each batch") ||
		    cur_take(&rest, "per batch") || cur_take(&rest, "a batch")) {
			cur_error(c, word, "A label holds no %s; that is a clause of its own.",
				  QUOTE(c, word));
			diag_hint(c->l->diag,
				  "put a comma before it: `takes 20 min setting up, for each batch "
				  "of up to 6`");
			return -1;
		}
		for (i += word.n; i < label.n && (label.p[i] == ' ' || label.p[i] == '\t');)
			i++;
	}
	return 0;
}

int read_takes(struct reader *r, struct cursor *c)
{
	struct notation *n = r->n;
	struct task t = { .at = cur_span(c, (struct str){ c->text.p, c->at }) };
	FIGS_CLEAR(&t.batch);
	if (n->ntasks >= TASKS_MOST)
		return too_many(c, TASKS_MOST, "`takes` lines");
	if (cur_measure(c, DIM_TIME, &t.seconds, NOT_NEGATIVE) < 0)
		return -1;
	if (!cur_clause_end(c) &&
	    (cur_name(c, "a label", &t.label) < 0 || batch_in_label(c, t.label) < 0))
		return -1;
	int more = cur_next_clause(c);
	if (more > 0) {
		struct str word = cur_peek(c);
		if (t.label.n == 0 && !cur_take(c, "for")) { /* `12 min, wrapping` */
			cur_error(c, word, "`for` should stand here, not %s.", QUOTE(c, word));
			diag_hint(c->l->diag, "a label stands right behind the time, without a comma");
			return -1;
		}
		if ((t.label.n && cur_want(c, "for") < 0) ||
		    cur_want_all(c, "each batch of up to") < 0 ||
		    cur_whole(c, &t.batch, POSITIVE) < 0)
			return -1;
	}
	if (more < 0)
		return -1;
	*ARENA_PUSH(r->l->arena, n->tasks, n->ntasks, n->cap_tasks) = t;
	return 0;
}

/* ---- piece ---- */

enum { PACK_SIZE = 1, PACK_WEIGHT = 2, PACK_TIME = 4, PACK_CARTON = 8 };

static int pack_clause(struct cursor *c, struct piece *p, unsigned *seen)
{
	struct str at = cur_peek(c), behind = cur_peek_behind(c);
	const struct unit *u = unit_find(behind);
	if (cur_take(c, "carton"))
		return cur_once(c, seen, PACK_CARTON, at) < 0 ? -1 : cur_money(c, &p->carton);
	if (str_is(behind, "x") || str_is(behind, "X") || str_is(behind, "\xc3\x97") ||
	    cur_at_size(c))
		return cur_once(c, seen, PACK_SIZE, at) < 0 ? -1 : cur_size(c, p->size);
	if (u && u->dim == DIM_WEIGHT)
		return cur_once(c, seen, PACK_WEIGHT, at) < 0
			   ? -1
			   : cur_measure(c, DIM_WEIGHT, &p->weight, POSITIVE);
	if (u && u->dim == DIM_TIME)
		return cur_once(c, seen, PACK_TIME, at) < 0
			   ? -1
			   : cur_measure(c, DIM_TIME, &p->packing, NOT_NEGATIVE);
	if (behind.n == 0 && !(at.n && at.p[0] >= '0' && at.p[0] <= '9'))
		return cur_expected(c, "carton");
	struct rat q;
	if (cur_quantity(c, &q, &at, POSITIVE) < 0)
		return -1;
	return cur_expected(c, "x|kg|g|min");
}

int piece_packs(struct reader *r, struct cursor *c)
{
	unsigned seen = 0;
	int more = 1;
	for (; more > 0; more = cur_next_clause(c)) {
		if (pack_clause(c, r_piece(r), &seen) < 0)
			return -1;
	}
	return more;
}

/* `market at 68`: an outlet's name may hold the word `at`, so the last one before a
 * number is the price's. Offset of its end, 0 when there is none. */
static size_t price_behind_at(const struct cursor *c, struct str *name)
{
	struct cursor ahead = *c;
	struct str s = cur_rest(c);
	size_t end = 0, before = 0;
	while (!cur_clause_end(&ahead)) {
		struct str word = cur_peek(&ahead);
		size_t start = (size_t)(word.p - s.p);
		ahead.at = (size_t)(word.p - ahead.text.p) + word.n;
		struct str next = cur_rest(&ahead);
		bool number = next.n && ((next.p[0] >= '0' && next.p[0] <= '9') ||
					 next.p[0] == '.' || next.p[0] == '-' ||
					 cur_at_currency(&ahead));
		if (before && str_is(word, "at") && number) {
			name->p = s.p;
			name->n = before;
			end = ahead.at;
		}
		before = start + word.n;
	}
	return end;
}

enum { SELL_LIKELY = 1, SELL_UPTO = 2 };

static int sell_clause(struct cursor *c, struct offer *o, unsigned *seen)
{
	struct str at = cur_peek(c);
	if (cur_take(c, "likely"))
		return cur_once(c, seen, SELL_LIKELY, at) < 0
			   ? -1
			   : cur_whole(c, &o->likely, NOT_NEGATIVE);
	if (cur_take(c, "up")) {
		if (cur_once(c, seen, SELL_UPTO, at) < 0 || cur_want(c, "to") < 0)
			return -1;
		return cur_whole(c, &o->upto, NOT_NEGATIVE);
	}
	return cur_expected(c, "likely|up");
}

static int read_offer(struct cursor *c, struct offer *o, struct str *name)
{
	size_t at = price_behind_at(c, name);
	unsigned seen = 0;
	if (at) {
		c->at = at;
		if (cur_check_name(c, *name, "an outlet") < 0 ||
		    cur_fig(c, &o->price, POSITIVE) < 0)
			return -1;
	} else if (cur_name(c, "the name of an outlet", name) < 0) {
		return -1;
	}
	int more = cur_next_clause(c);
	for (; more > 0; more = cur_next_clause(c)) {
		if (sell_clause(c, o, &seen) < 0)
			return -1;
	}
	return more;
}

int piece_sells(struct reader *r, struct cursor *c)
{
	struct notation *n = r->n;
	struct offer o = { .outlet = (uint32_t)n->nnames };
	struct str name;
	FIGS_CLEAR(&o.price, &o.likely, &o.upto);
	if (n->noffers >= OFFERS_MOST)
		return too_many(c, OFFERS_MOST, "`sells` lines");
	if (read_offer(c, &o, &name) < 0)
		return -1;
	o.at = cur_span(c, name);
	if (o.likely.given && o.upto.given && rat_cmp(o.upto.q, o.likely.q) < 0)
		return upto_below_likely(c->l->diag, o.upto.at);
	*ARENA_PUSH(r->l->arena, n->names, n->nnames, n->cap_names) =
	    (struct pending_name){ name, o.at };
	*ARENA_PUSH(r->l->arena, n->offers, n->noffers, n->cap_offers) = o;
	return 0;
}

int piece_tax(struct reader *r, struct cursor *c)
{
	struct piece *p = r_piece(r);
	return read_tax(c, &p->tax, &p->tax_on_top);
}

/* ---- the end of the block ---- */

static void *exact_copy(struct arena *a, const void *list, size_t n, size_t size)
{
	void *copy = n ? arena_alloc(a, n, size) : NULL;
	if (n)
		memcpy(copy, list, n * size);
	return copy;
}

void maker_end(struct reader *r)
{
	struct arena *a = r->l->arena;
	struct notation *n = r->n;
	struct need_option *options = exact_copy(a, n->options, n->noptions, sizeof *options);
	struct need *needs = n->nstarts ? ARENA_ARRAY(a, n->nstarts, struct need) : NULL;
	for (size_t i = 0; i < n->nstarts; i++) {
		size_t end = i + 1 < n->nstarts ? n->first_option[i + 1] : n->noptions;
		needs[i].options = options + n->first_option[i];
		needs[i].noptions = end - n->first_option[i];
	}
	struct task *tasks = exact_copy(a, n->tasks, n->ntasks, sizeof *tasks);
	if (r->kind == KIND_PART) {
		struct part *p = r_part(r);
		p->needs = needs;
		p->nneeds = n->nstarts;
		p->tasks = tasks;
		p->ntasks = n->ntasks;
	} else {
		struct piece *p = r_piece(r);
		p->needs = needs;
		p->nneeds = n->nstarts;
		p->tasks = tasks;
		p->ntasks = n->ntasks;
		p->offers = exact_copy(a, n->offers, n->noffers, sizeof *p->offers);
		p->noffers = n->noffers;
	}
	n->noptions = n->nstarts = n->ntasks = n->noffers = 0;
	r->need_open = false;
}
