/* measure.c - from a counting word to the base unit of a material. */
#include "farm/measure.h"

#include "base/unit.h"

/* ---- words ---- */

static bool ends(struct str s, const char *with)
{
	size_t n = strlen(with);
	return s.n > n && memcmp(s.p + s.n - n, with, n) == 0;
}

/* Bytes of the word without its plural ending; *y when a `y` takes its place. */
static size_t singular(struct str s, bool *y)
{
	*y = false;
	if (s.n < 3 || !ends(s, "s") || ends(s, "ss") || ends(s, "us") || ends(s, "is"))
		return s.n;
	if (s.n > 4 && ends(s, "ies")) {
		*y = true;
		return s.n - 3;
	}
	if (ends(s, "ches") || ends(s, "shes") || ends(s, "xes") || ends(s, "sses") ||
	    ends(s, "zes"))
		return s.n - 2;
	return s.n - 1;
}

static bool plain_word(struct str s)
{
	for (size_t i = 0; i < s.n; i++) {
		if (s.p[i] < 'a' || s.p[i] > 'z')
			return false;
	}
	return true;
}

struct str measure_word(struct arena *a, struct str word)
{
	bool y;
	struct str fold = plain_word(word) ? word : str_fold(a, word);
	const struct unit *unit = unit_find(fold);
	if (unit)
		return str_of(unit->name);
	size_t n = singular(fold, &y);
	if (y) {
		char *p = arena_copy(a, fold.p, n + 1);
		p[n] = 'y';
		return (struct str){ p, n + 1 };
	}
	fold.n = n;
	unit = unit_find(fold);
	return unit ? str_of(unit->name) : fold;
}

/* ---- walking the definitions ---- */

/* All units of one dimension are one node, counted in its base; every counting
 * word is a node of its own. */
struct node {
	struct str word; /* empty for a dimension */
	enum dimension dim;
	bool known;
	struct rat value; /* roots in one of it, when known */
};
struct walk {
	struct node nodes[2 * MEASURES_MOST + 2];
	size_t n;
};

/* The node of a word and how much of the node one of the word is. */
static struct node *node_of(struct walk *w, struct str word, struct rat *scale)
{
	const struct unit *unit = unit_find(word);
	enum dimension dim = unit ? unit->dim : DIM_COUNT;
	*scale = unit ? unit->factor : RAT_ONE;
	for (size_t i = 0; i < w->n; i++) {
		struct node *node = &w->nodes[i];
		if (node->dim == dim && (unit || str_eq(node->word, word)))
			return node;
	}
	struct node *node = &w->nodes[w->n++];
	*node = (struct node){ .word = unit ? STR_NONE : word, .dim = dim };
	return node;
}

/* Follows `1 word = q unit` in the direction that tells something new. */
static bool follow(struct walk *w, const struct measure *m)
{
	struct rat sa, sb, r;
	struct node *a = node_of(w, m->word, &sa);
	struct node *b = node_of(w, m->unit, &sb);
	if (a->known == b->known || a == b)
		return false;
	/* sa of a = q * sb of b */
	if (b->known) {
		if (!rat_mul(&r, m->q, sb) || !rat_mul(&r, r, b->value) || !rat_div(&r, r, sa))
			return false;
		*a = (struct node){ a->word, a->dim, true, r };
	} else {
		if (!rat_mul(&r, sa, a->value) || !rat_div(&r, r, m->q) || !rat_div(&r, r, sb))
			return false;
		*b = (struct node){ b->word, b->dim, true, r };
	}
	return true;
}

bool measure_between(const struct measure *defs, size_t n, struct str word, struct str in,
		     struct rat *factor)
{
	struct walk w; /* large: only the first w.n nodes are ever looked at */
	struct rat scale;
	w.n = 0;
	struct node *root = node_of(&w, in, &scale);
	root->known = true;
	if (n > MEASURES_MOST || !rat_div(&root->value, RAT_ONE, scale))
		return false;
	for (bool more = n > 0; more;) {
		more = false;
		for (size_t i = 0; i < n; i++)
			more = follow(&w, &defs[i]) || more;
	}
	const struct node *node = node_of(&w, word, &scale);
	struct rat r;
	if (!node->known || !rat_mul(&r, scale, node->value))
		return false;
	*factor = r;
	return true;
}

/* ---- materials ---- */

struct str measure_base(const struct farm *farm, struct item item)
{
	struct str unit = STR_NONE;
	if (item.kind == KIND_CROP)
		return STR("stem");
	if (item.kind == KIND_SUPPLY)
		unit = farm->supplies[item.index].unit;
	else if (item.kind == KIND_PART)
		unit = farm->parts[item.index].unit;
	return unit.n ? unit : STR("each");
}

bool measure_factor(const struct farm *farm, struct item item, struct str word, struct rat *factor)
{
	struct str base = measure_base(farm, item);
	struct str name = str_eq(word, base) ? word : measure_word(farm->arena, word);
	if (str_eq(name, base)) {
		*factor = RAT_ONE;
		return true;
	}
	const struct head *head = farm_head(farm, item);
	for (size_t i = 0; i < head->nmeasures; i++) { /* nearly always said outright */
		const struct measure *m = &head->measures[i];
		if (str_eq(m->word, name) && str_eq(m->unit, base)) {
			*factor = m->q;
			return true;
		}
	}
	return measure_between(head->measures, head->nmeasures, name, base, factor);
}

struct rat measure_bunch(const struct farm *farm, uint32_t crop)
{
	struct rat bunch;
	struct item item = { KIND_CROP, crop };
	if (!measure_factor(farm, item, STR("bunch"), &bunch))
		rat_make(&bunch, 10, 1); /* common practice, no source */
	return bunch;
}
