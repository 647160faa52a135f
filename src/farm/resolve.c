/* resolve.c - what could not be known line by line: names across files, counting
 * words, colours, price endings, and the order of parts. */
#include "base/buf.h"
#include "farm/measure.h"
#include "farm/notation.h"

static struct span span_in(const struct loader *l, uint32_t file, struct str s)
{
	const struct source *source = &l->diag->sources[file - 1];
	return (struct span){ file, (uint32_t)(s.p - source->text.p), (uint32_t)s.n };
}

static const char *quote_name(struct loader *l, struct item item)
{
	return diag_quote(l->diag, farm_head(l->farm, item)->name);
}

/* ---- counting words ---- */

/* A definition that could not be read has been complained about already, and so
 * has a unit of "?" (a `costs` or `makes` line that broke off). */
static bool broken(const struct loader *l, struct item item)
{
	const struct head *h = farm_head(l->farm, item);
	for (size_t i = 0; i < h->nmeasures; i++) {
		if (h->measures[i].q.num == 0)
			return true;
	}
	return str_is(measure_base(l->farm, item), "?");
}

static void print_rat(struct buf *b, struct rat r)
{
	if (1000 % r.den == 0 || r.den > 100)
		number_print_short(b, rat_double(r), 6);
	else
		buf_printf(b, "%lld/%lld", (long long)r.num, (long long)r.den);
}

/* The definition m follows from others already; `as` is what it follows as. */
static void report_twice(struct loader *l, const struct head *h, size_t at, struct rat as)
{
	const struct measure *m = &h->measures[at];
	struct buf b;
	buf_init(&b, 400);
	print_rat(&b, as);
	if (str_eq(m->word, m->unit)) {
		diag_error(l->diag, m->at, "%s cannot be said in itself.",
			   diag_quote(l->diag, m->word));
	} else if (rat_cmp(as, m->q) == 0) {
		diag_error(l->diag, m->at, "%s is said twice.", diag_quote(l->diag, m->word));
	} else {
		diag_error(l->diag, m->at, "By the lines above one %s is %s %.*s already.",
			   diag_quote(l->diag, m->word), b.data, STR_ARG(m->unit));
	}
	buf_release(&b);
	for (size_t i = 0; i < at; i++) {
		if (str_eq(h->measures[i].word, m->word)) {
			diag_also(l->diag, h->measures[i].at, "first said here");
			return;
		}
	}
	if (!str_eq(m->word, m->unit))
		diag_hint(l->diag, "leave one of the lines out");
}

static void check_measures(struct loader *l, struct item item)
{
	const struct head *h = farm_head(l->farm, item);
	struct rat as;
	for (size_t i = 0; i < h->nmeasures; i++) {
		const struct measure *m = &h->measures[i];
		if (m->q.num && measure_between(h->measures, i, m->word, m->unit, &as))
			report_twice(l, h, i, as);
	}
}

static void check_all_measures(struct loader *l)
{
	const struct farm *f = l->farm;
	const size_t counts[] = { f->ncrops, f->nsupplies, f->nparts };
	for (enum kind k = KIND_CROP; k <= KIND_PART; k++) {
		for (uint32_t i = 0; i < counts[k - KIND_CROP]; i++)
			check_measures(l, (struct item){ k, i });
	}
}

struct word_list {
	const struct head *head;
	size_t next;
};

static struct str next_word(void *ctx, size_t i)
{
	static const char *const usual[] = { "stem", "head", "sprig", "bunch", "each" };
	struct word_list *w = ctx;
	(void)i;
	size_t n = w->next++;
	if (n < w->head->nmeasures)
		return w->head->measures[n].word;
	n -= w->head->nmeasures;
	return n < sizeof usual / sizeof *usual ? str_of(usual[n]) : STR_NONE;
}

static bool usual_word(struct str word)
{
	struct head none = { .nmeasures = 0 };
	struct word_list w = { &none, 0 };
	for (struct str s; (s = next_word(&w, 0)).n > 0;) {
		if (str_eq(s, word))
			return true;
	}
	return false;
}

/* Names the line that would make the word known. */
static void hint_line(struct loader *l, struct item item, struct str word)
{
	struct str base = measure_base(l->farm, item);
	const struct unit *u = unit_find(word), *in = unit_find(base);
	struct word_list w = { farm_head(l->farm, item), 0 };
	struct str near = u || usual_word(word) ? STR_NONE : diag_nearest(word, next_word, &w);
	const char *kind = kind_name(item.kind);
	if (near.n)
		diag_hint(l->diag, "did you mean `%.*s`?", STR_ARG(near));
	else if (item.kind == KIND_PIECE)
		diag_hint(l->diag, "a piece is counted in each");
	else if (u && in)
		diag_hint(l->diag, "the %s is counted in %.*s: say it in a unit of %s", kind,
			  STR_ARG(base), dimension_name(in->dim));
	else if (u && usual_word(base))
		diag_hint(l->diag, "add a line like `%.*s 12 %s` to the %s", STR_ARG(base), u->name,
			  kind);
	else if (u)
		diag_hint(l->diag, "add a line like `calls 12 %s %s %.*s` to the %s", u->name,
			  article(base), STR_ARG(base), kind);
	else if (usual_word(word)) /* a sprig is a piece of a stem, a bunch is many */
		diag_hint(l->diag, "add a line like `%.*s %s %.*s` to the %s", STR_ARG(word),
			  str_is(word, "sprig") ? "1/3" : "10", STR_ARG(base), kind);
	else
		diag_hint(l->diag, "add a line like `calls 10 %.*s %s %.*s` to the %s",
			  STR_ARG(base), article(word), STR_ARG(word), kind);
}

/* Follows the definitions from a word to the one that leads no further. */
static struct str last_defined(const struct head *h, struct str word)
{
	for (size_t steps = 0; steps < h->nmeasures; steps++) {
		size_t i = 0;
		while (i < h->nmeasures && !str_eq(h->measures[i].word, word))
			i++;
		if (i == h->nmeasures)
			break;
		word = h->measures[i].unit;
	}
	return word;
}

static int no_conversion(struct loader *l, struct item item, struct str word, struct span at)
{
	struct str base = measure_base(l->farm, item);
	struct str open = last_defined(farm_head(l->farm, item), word);
	if (broken(l, item))
		return -1;
	if (str_eq(open, base))
		return diag_error(l->diag, at, "One %s of %s is more than can be counted exactly.",
				  diag_quote(l->diag, word), quote_name(l, item));
	diag_error(l->diag, at, "The %s %s does not say what one %s is, counted in `%.*s`.",
		   kind_name(item.kind), quote_name(l, item), diag_quote(l->diag, word),
		   STR_ARG(base));
	hint_line(l, item, open);
	return -1;
}

static struct fig *pending_fig(struct farm *farm, const struct pending_unit *u)
{
	char *base = u->item.kind == KIND_CROP ? (char *)&farm->crops[u->item.index]
					       : (char *)&farm->supplies[u->item.index];
	return (struct fig *)(void *)(base + u->offset);
}

static void resolve_unit(struct loader *l, const struct pending_unit *u)
{
	struct fig *fig = pending_fig(l->farm, u);
	struct rat factor, q;
	if (!measure_factor(l->farm, u->item, u->word, &factor)) {
		no_conversion(l, u->item, u->word, u->at);
		return;
	}
	if (factor.num == 0) /* a broken definition */
		return;
	if (!(u->per ? rat_div(&q, fig->q, factor) : rat_mul(&q, fig->q, factor))) {
		too_large(l->diag, fig->at);
		return;
	}
	fig->q = q;
	fig->v = rat_double(q);
}

/* ---- needs ---- */

static struct need_option *option_of(struct farm *farm, const struct pending_need *p)
{
	struct need *needs = p->maker.kind == KIND_PART ? farm->parts[p->maker.index].needs
							: farm->pieces[p->maker.index].needs;
	return &needs[p->need].options[p->option];
}

/* First word and the rest of "bunch Statice"; rest empty for a single word. */
static struct str split(struct str text, struct str *rest)
{
	struct str word = line_word(text);
	*rest = str_trim((struct str){ text.p + word.n, text.n - word.n });
	return word;
}

/* `Strawflower colour rust`: a known name, then a clause's word with no comma before
 * it.  Says so; false when it is not that. */
static bool hint_comma(struct loader *l, struct str text, const char *const *words, size_t nwords,
		       unsigned kinds)
{
	for (size_t i = 1; i < text.n; i++) {
		struct str rest = { text.p + i, text.n - i }, word = line_word(rest);
		struct str name = str_trim((struct str){ text.p, i });
		struct item item;
		uint32_t outlet;
		if (text.p[i - 1] != ' ' && text.p[i - 1] != '\t')
			continue;
		for (size_t k = 0; k < nwords; k++) {
			if (!str_is(word, words[k]))
				continue;
			bool known = kinds & 1u << KIND_OUTLET
					 ? names_get(&l->outlets, str_fold(l->arena, name), &outlet)
					 : loader_item(l, name, &item);
			if (known) {
				diag_hint(l->diag, "put a comma before `%s`", words[k]);
				return true;
			}
		}
	}
	return false;
}

/* A text that could not be read may define it: that one mistake is enough said. */
static bool may_stand_elsewhere(struct loader *l)
{
	struct notation *n = notation_of(l);
	n->unknown += n->unread > 0;
	return n->unread > 0;
}

enum { NEEDED = 1 << KIND_CROP | 1 << KIND_SUPPLY | 1 << KIND_PART };

static int unknown_name(struct loader *l, const struct pending_need *p, struct str name)
{
	struct str unit = measure_word(l->arena, line_word(p->text));
	bool stems = name.p != p->text.p && usual_word(unit) && !str_is(unit, "each");
	if (may_stand_elsewhere(l))
		return -1;
	diag_error(l->diag, span_in(l, p->file, name), "There is no crop, supply or part %s.",
		   diag_quote(l->diag, name));
	static const char *const words[] = { "colour", "one", "from" };
	if (!hint_comma(l, name, words, 3, NEEDED) && !loader_hint_name(l, name, NEEDED))
		diag_hint(l->diag, "everything that is needed has a block of its own: `%s %.*s`",
			  stems ? "crop" : "supply", (int)str_fit(name, 40), name.p);
	return -1;
}

/* Splits "UNIT NAME" by what is known: a unit or a word of the material that the
 * rest names is the unit; else all of it is a name, counted in each; else the rest
 * is a name and the word is one that it should define. */
static int find_item(struct loader *l, struct pending_need *p, struct need_option *o,
		     struct str *name)
{
	struct str rest, word = split(p->text, &rest);
	struct str unit = measure_word(l->arena, word);
	struct item whole;
	bool is_rest = rest.n && loader_item(l, rest, &o->item);
	bool is_whole = loader_item(l, p->text, &whole);
	struct rat factor;
	o->word = unit;
	*name = rest;
	if (is_rest && (unit_find(unit) || measure_factor(l->farm, o->item, unit, &factor)))
		return 0;
	if (is_whole) {
		o->item = whole;
		o->word = STR("each");
		*name = p->text;
		return 0;
	}
	if (is_rest)
		return 0;
	bool has_unit = rest.n && (unit_find(unit) || usual_word(unit));
	return unknown_name(l, p, has_unit ? rest : p->text);
}

/* `needs 12 Statice`: which word is meant is not guessed. */
static int crop_without_unit(struct loader *l, const struct pending_need *p,
			     const struct need_option *o, struct str name)
{
	struct buf b;
	if (broken(l, o->item))
		return -1;
	buf_init(&b, 100);
	print_rat(&b, o->written);
	diag_error(l->diag, span_in(l, p->file, name),
		   "%s is a crop: say whether stems, sprigs or bunches are meant.",
		   diag_quote(l->diag, name));
	diag_hint(l->diag, "write `%s stem %.*s`", b.data, STR_ARG(name));
	buf_release(&b);
	return -1;
}

/* `needs 2.5 Wire` where wire goes by the metre: the unit was left out. */
static void without_unit(struct loader *l, const struct pending_need *p,
			 const struct need_option *o, struct str name)
{
	struct str base = measure_base(l->farm, o->item);
	struct buf b;
	if (broken(l, o->item))
		return;
	buf_init(&b, 100);
	print_rat(&b, o->written);
	diag_error(l->diag, span_in(l, p->file, name),
		   "The %s %s is counted in `%.*s`, and no unit stands before it.",
		   kind_name(o->item.kind), quote_name(l, o->item), STR_ARG(base));
	diag_hint(l->diag, "write `%s %.*s %.*s`", b.data, STR_ARG(base), STR_ARG(name));
	buf_release(&b);
}

struct colour_names {
	const struct farm *farm;
	const struct crop *crop;
};

static struct str next_colour(void *ctx, size_t i)
{
	const struct colour_names *k = ctx;
	return i < k->crop->ncolours ? k->farm->colour_folds[k->crop->colours[i].colour] : STR_NONE;
}

/* The colour as it was first written, from its fold. */
static struct str colour_as_written(const struct farm *farm, struct str fold)
{
	for (size_t i = 0; i < farm->ncolours; i++) {
		if (str_eq(farm->colour_folds[i], fold))
			return farm->colours[i];
	}
	return fold;
}

static bool crop_has_colour(const struct crop *crop, uint32_t colour)
{
	for (size_t i = 0; i < crop->ncolours; i++) {
		if (crop->colours[i].colour == colour)
			return true;
	}
	return crop->ncolours == 0;
}

static void check_colours(struct loader *l, const struct pending_need *p,
			  const struct need_option *o)
{
	const struct crop *crop = &l->farm->crops[o->item.index];
	for (size_t i = 0; i < p->ncolours; i++) {
		struct str name = p->colours[i];
		if (crop_has_colour(crop, o->colours[i]))
			continue;
		struct colour_names k = { l->farm, crop };
		struct str near = diag_nearest(str_fold(l->arena, name), next_colour, &k);
		diag_error(l->diag, span_in(l, p->file, name),
			   "%s has no colour %s in its `colours` line.", quote_name(l, o->item),
			   diag_quote(l->diag, name));
		if (near.n)
			diag_hint(l->diag, "did you mean %s?",
				  diag_quote(l->diag, colour_as_written(l->farm, near)));
	}
	for (size_t i = 1; i < o->ncolours; i++) {
		for (size_t j = 0; j < i; j++) {
			if (o->colours[i] == o->colours[j])
				diag_error(l->diag, span_in(l, p->file, p->colours[i]),
					   "The colour %s is said twice.",
					   diag_quote(l->diag, p->colours[i]));
		}
	}
}

static void check_kind(struct loader *l, const struct pending_need *p, const struct need_option *o,
		       struct str name)
{
	struct span at = span_in(l, p->file, name);
	if (o->item.kind == KIND_PIECE) {
		diag_error(l->diag, at,
			   "%s is a piece; only crops, supplies and parts go into others.",
			   diag_quote(l->diag, name));
		diag_hint(l->diag, "make it a `part` where it is built in");
	} else if (o->item.kind != KIND_CROP && o->ncolours) {
		diag_error(l->diag, span_in(l, p->file, p->colours[0]),
			   "Only a crop has colours, and %s is a %s.", diag_quote(l->diag, name),
			   kind_name(o->item.kind));
	} else if (o->item.kind != KIND_CROP && (o->from > 0 || o->to > 0)) {
		diag_error(l->diag, at, "Only a crop's stems are chosen by length, and %s is a %s.",
			   diag_quote(l->diag, name), kind_name(o->item.kind));
	} else if (o->item.kind == KIND_CROP) {
		check_colours(l, p, o);
	}
}

static void resolve_need(struct loader *l, struct pending_need *p)
{
	struct need_option *o = option_of(l->farm, p);
	struct str name;
	struct rat factor;
	if (find_item(l, p, o, &name) < 0)
		return;
	check_kind(l, p, o, name);
	if (o->item.kind == KIND_PIECE)
		return;
	if (!measure_factor(l->farm, o->item, o->word, &factor)) {
		bool plain = name.p == p->text.p;
		if (plain && o->item.kind == KIND_CROP)
			crop_without_unit(l, p, o, name);
		else if (plain)
			without_unit(l, p, o, name);
		else
			no_conversion(l, o->item, o->word, span_in(l, p->file, line_word(p->text)));
		return;
	}
	if (!rat_mul(&o->count, o->written, factor))
		too_large(l->diag, o->at);
}

/* ---- names ---- */

static uint32_t find_outlet(struct loader *l, uint32_t pending)
{
	const struct pending_name *p = &((struct notation *)l->notation)->names[pending];
	uint32_t outlet;
	if (names_get(&l->outlets, str_fold(l->arena, p->name), &outlet))
		return outlet;
	if (may_stand_elsewhere(l))
		return NONE;
	diag_error(l->diag, p->at, "There is no outlet %s.", diag_quote(l->diag, p->name));
	static const char *const words[] = { "likely", "up" };
	if (!hint_comma(l, p->name, words, 2, 1u << KIND_OUTLET) &&
	    !loader_hint_name(l, p->name, 1u << KIND_OUTLET))
		diag_hint(l->diag, "every place to sell at has a block of its own: `outlet %.*s`",
			  STR_ARG(p->name));
	return NONE;
}

static void resolve_offers(struct loader *l, struct piece *piece)
{
	for (size_t i = 0; i < piece->noffers; i++) {
		struct offer *o = &piece->offers[i];
		o->outlet = find_outlet(l, o->outlet);
		for (size_t j = 0; o->outlet != NONE && j < i; j++) {
			if (piece->offers[j].outlet != o->outlet)
				continue;
			diag_error(l->diag, o->at, "The outlet %s stands twice in this piece.",
				   diag_quote(l->diag, l->farm->outlets[o->outlet].head.name));
			diag_also(l->diag, piece->offers[j].at, "first said here");
			break;
		}
	}
}

static void resolve_target(struct loader *l, struct target *t)
{
	const struct pending_name *p = &((struct notation *)l->notation)->names[t->piece];
	struct item item;
	t->piece = NONE;
	if (t->outlet != NONE)
		t->outlet = find_outlet(l, t->outlet);
	if (!loader_item(l, p->name, &item)) {
		if (may_stand_elsewhere(l))
			return;
		diag_error(l->diag, p->at, "There is no piece %s.", diag_quote(l->diag, p->name));
		loader_hint_name(l, p->name, 1u << KIND_PIECE);
		return;
	}
	if (item.kind != KIND_PIECE) {
		diag_error(l->diag, p->at, "%s is a %s; a target is for a piece.",
			   diag_quote(l->diag, p->name), kind_name(item.kind));
		return;
	}
	t->piece = item.index;
}

/* ---- price endings ---- */

static int by_size(const void *a, const void *b)
{
	int64_t x = *(const int64_t *)a, y = *(const int64_t *)b;
	return (x > y) - (x < y);
}

static void resolve_ending(struct loader *l, const struct pending_ending *e, size_t *cap)
{
	struct outlet *o = &l->farm->outlets[e->outlet];
	int64_t unit = 1;
	struct rat minor, times;
	for (int i = 0; i < l->farm->business.digits; i++)
		unit *= 10;
	rat_make(&times, unit, 1);
	/* A currency without coins ends its prices in whole money: 980. */
	if (unit > 1 && rat_cmp(e->q, RAT_ONE) >= 0) {
		diag_error(l->diag, e->at, "%s is no ending: say what stands behind the point.",
			   quote_span(l->diag, e->at));
		diag_hint(l->diag, "for example: `prices end in .95 or .50`");
		return;
	}
	if (!rat_mul(&minor, e->q, times) || minor.den != 1) {
		diag_error(l->diag, e->at, "%s is finer than the smallest coin of this currency.",
			   quote_span(l->diag, e->at));
		if (unit == 1)
			diag_hint(l->diag, "for example: `prices end in 480 or 980`");
		return;
	}
	for (size_t i = 0; i < o->nendings; i++) {
		if (o->endings[i] == minor.num) {
			diag_error(l->diag, e->at, "The ending %s is said twice.",
				   quote_span(l->diag, e->at));
			return;
		}
	}
	*ARENA_PUSH(l->arena, o->endings, o->nendings, *cap) = minor.num;
	qsort(o->endings, o->nendings, sizeof *o->endings, by_size);
}

/* ---- order of the parts ---- */

struct graph {
	struct farm *farm;
	uint32_t *above; /* how many mentions in parts are not done yet */
	uint32_t *queue; /* parts in the order done */
	size_t ndone;
	uint32_t *parent; /* a part not done that needs it */
	bool *done;
};

/* Calls f for every part that the part needs, in any option. */
static void each_child(struct graph *g, uint32_t part,
		       void (*f)(struct graph *, uint32_t part, uint32_t child))
{
	const struct part *p = &g->farm->parts[part];
	for (size_t i = 0; i < p->nneeds; i++) {
		for (size_t j = 0; j < p->needs[i].noptions; j++) {
			struct item item = p->needs[i].options[j].item;
			if (item.kind == KIND_PART)
				f(g, part, item.index);
		}
	}
}

static void count_above(struct graph *g, uint32_t part, uint32_t child)
{
	(void)part;
	g->above[child]++;
}

static void finish(struct graph *g, uint32_t part)
{
	g->done[part] = true;
	g->queue[g->ndone++] = part;
}

static void lower(struct graph *g, uint32_t part, uint32_t child)
{
	uint32_t level = g->farm->parts[part].level + 1;
	if (g->farm->parts[child].level < level)
		g->farm->parts[child].level = level;
	if (--g->above[child] == 0 && !g->done[child])
		finish(g, child);
}

static void note_parent(struct graph *g, uint32_t part, uint32_t child)
{
	if (!g->done[child] && g->parent[child] == NONE)
		g->parent[child] = part;
}

/* Every part that is left has a parent that is left, so going up must meet itself.
 * Returns a part on a cycle. */
static uint32_t find_cycle(struct graph *g)
{
	size_t n = g->farm->nparts;
	uint32_t at = NONE;
	for (uint32_t i = 0; i < n; i++)
		g->parent[i] = NONE;
	for (uint32_t i = 0; i < n; i++) {
		if (!g->done[i])
			each_child(g, i, note_parent);
		if (!g->done[i] && at == NONE)
			at = i;
	}
	for (size_t i = 0; i < n; i++)
		at = g->parent[at];
	return at;
}

/* Where the part says that it needs the child. */
static struct span need_place(const struct farm *farm, uint32_t part, uint32_t child)
{
	const struct part *p = &farm->parts[part];
	for (size_t i = 0; i < p->nneeds; i++) {
		for (size_t j = 0; j < p->needs[i].noptions; j++) {
			const struct need_option *o = &p->needs[i].options[j];
			if (o->item.kind == KIND_PART && o->item.index == child)
				return o->at;
		}
	}
	return p->head.at;
}

enum { CYCLE_SHOWN_MOST = 50, CYCLES_MOST = 20 };

/* Reports the cycle through `at` and takes its parts out. */
static void report_cycle(struct loader *l, struct graph *g, uint32_t at)
{
	struct buf b;
	uint32_t first = at, *ring = ARENA_ARRAY(l->arena, l->farm->nparts, uint32_t);
	size_t n = 0;
	for (uint32_t i = g->parent[at]; i != at; i = g->parent[i])
		first = i < first ? i : first;
	for (uint32_t i = first; n == 0 || i != first; i = g->parent[i])
		ring[n++] = i; /* each is needed by the next */
	buf_init(&b, 4000);
	buf_text(&b, diag_quote(l->diag, l->farm->parts[first].head.name));
	for (size_t i = 0; i < n && i < CYCLE_SHOWN_MOST; i++)
		buf_printf(&b, "%s needs %s", i ? ", which" : "",
			   diag_quote(l->diag, l->farm->parts[ring[n - 1 - i]].head.name));
	diag_error(l->diag, need_place(l->farm, first, ring[n - 1]),
		   "A part cannot need itself: %s%s.", b.data,
		   n > CYCLE_SHOWN_MOST ? ", and so on" : "");
	buf_release(&b);
	for (size_t i = 0; i < n; i++)
		finish(g, ring[i]);
}

static bool too_deep(struct loader *l)
{
	const struct farm *farm = l->farm;
	for (size_t i = 0; i < farm->nparts; i++) {
		if (farm->parts[i].level > PART_LEVELS_MOST) {
			diag_error(l->diag, farm->parts[i].head.at,
				   "%s lies %u levels of parts deep; %d are the most.",
				   diag_quote(l->diag, farm->parts[i].head.name),
				   farm->parts[i].level, PART_LEVELS_MOST);
			return true;
		}
	}
	return false;
}

/* Parts by level, in the order of the texts within one. */
static void set_order(struct loader *l)
{
	struct farm *farm = l->farm;
	size_t n = farm->nparts, at = 0;
	uint32_t deepest = 0;
	for (size_t i = 0; i < n; i++)
		deepest = farm->parts[i].level > deepest ? farm->parts[i].level : deepest;
	farm->part_order = ARENA_ARRAY(l->arena, n, uint32_t);
	for (uint32_t level = 1; level <= deepest; level++) {
		for (uint32_t i = 0; i < n; i++) {
			if (farm->parts[i].level == level)
				farm->part_order[at++] = i;
		}
	}
}

/* Low-level codes by topological order: a part is done when all that need it are. */
static void order_parts(struct loader *l)
{
	struct farm *farm = l->farm;
	size_t n = farm->nparts, next = 0, cycles = 0;
	struct graph g = { .farm = farm };
	g.above = ARENA_ARRAY(l->arena, n, uint32_t);
	g.queue = ARENA_ARRAY(l->arena, n, uint32_t);
	g.parent = ARENA_ARRAY(l->arena, n, uint32_t);
	g.done = ARENA_ARRAY(l->arena, n, bool);
	for (uint32_t i = 0; i < n; i++) {
		farm->parts[i].level = 1;
		each_child(&g, i, count_above);
	}
	for (uint32_t i = 0; i < n; i++) {
		if (g.above[i] == 0)
			finish(&g, i);
	}
	while (next < n && cycles <= CYCLES_MOST) {
		for (; next < g.ndone; next++)
			each_child(&g, g.queue[next], lower);
		if (next < n && cycles++ < CYCLES_MOST)
			report_cycle(l, &g, find_cycle(&g));
	}
	if (cycles == 0 && !too_deep(l))
		set_order(l);
}

/* ---- all of it ---- */

int notation_resolve(struct loader *l)
{
	struct notation *n = notation_of(l);
	struct farm *farm = l->farm;
	size_t errors = l->diag->errors, cap = 0;
	l->hints = 0;
	check_all_measures(l);
	for (size_t i = 0; i < n->nunits; i++)
		resolve_unit(l, &n->units[i]);
	for (size_t i = 0; i < n->nneeds; i++)
		resolve_need(l, &n->needs[i]);
	for (size_t i = 0; i < farm->npieces; i++)
		resolve_offers(l, &farm->pieces[i]);
	for (size_t i = 0; i < farm->ntargets; i++)
		resolve_target(l, &farm->targets[i]);
	for (size_t i = 0; i < n->nendings; i++) {
		if (i == 0 || n->endings[i].outlet != n->endings[i - 1].outlet)
			cap = 0;
		resolve_ending(l, &n->endings[i], &cap);
	}
	order_parts(l);
	if (n->unknown)
		diag_add(l->diag, DIAG_NOTE, SPAN_NONE,
			 "%zu %s a name that no other text defines: what stands in %s is not known yet.", n->unknown,
			 n->unknown == 1 ? "line asks for" : "lines ask for", diag_quote(l->diag, n->unread_file));
	return l->diag->errors > errors ? -1 : 0;
}
