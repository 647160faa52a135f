/* names.c - the table of names, and finding things by name. */
#include "farm/load.h"

enum { SLOTS_FIRST = 64, HINTS_MOST = 300 };

void names_init(struct names *t, struct arena *a)
{
	*t = (struct names){ .arena = a };
}

/* Slot of the fold, or the free one where it belongs. */
static size_t slot_of(const struct names *t, struct str fold)
{
	size_t mask = t->nslots - 1;
	size_t at = (size_t)str_hash(fold) & mask;
	while (t->slots[at] && !str_eq(t->keys[t->slots[at] - 1], fold))
		at = (at + 1) & mask;
	return at;
}

static void grow_slots(struct names *t)
{
	t->nslots = t->nslots ? t->nslots * 2 : SLOTS_FIRST;
	t->slots = ARENA_ARRAY(t->arena, t->nslots, uint32_t);
	for (size_t i = 0; i < t->n; i++)
		t->slots[slot_of(t, t->keys[i])] = (uint32_t)i + 1;
}

bool names_put(struct names *t, struct str fold, uint32_t value, uint32_t *old)
{
	if (t->n * 3 >= t->nslots * 2)
		grow_slots(t);
	size_t at = slot_of(t, fold);
	if (t->slots[at]) {
		if (old)
			*old = t->values[t->slots[at] - 1];
		return true;
	}
	if (t->n == t->cap) {
		size_t cap = t->cap;
		t->keys = arena_grow(t->arena, t->keys, t->n, t->n + 1, &cap, sizeof *t->keys);
		t->values =
		    arena_grow(t->arena, t->values, t->n, t->n + 1, &t->cap, sizeof *t->values);
	}
	t->keys[t->n] = fold;
	t->values[t->n] = value;
	t->slots[at] = (uint32_t)++t->n;
	return false;
}

bool names_get(const struct names *t, struct str fold, uint32_t *value)
{
	if (t->nslots == 0)
		return false;
	uint32_t entry = t->slots[slot_of(t, fold)];
	if (entry)
		*value = t->values[entry - 1];
	return entry != 0;
}

/* ---- the loader's names ---- */

void loader_init(struct loader *l, struct farm *farm, struct arena *a, struct diag *diag)
{
	*l = (struct loader){ .farm = farm, .arena = a, .diag = diag };
	names_init(&l->items, a);
	names_init(&l->outlets, a);
	names_init(&l->colours, a);
	names_init(&l->words, a);
}

uint32_t loader_colour(struct loader *l, struct str name)
{
	struct farm *farm = l->farm;
	struct str fold = str_fold(l->arena, name);
	uint32_t colour = (uint32_t)farm->ncolours;
	if (names_put(&l->colours, fold, colour, &colour))
		return colour;
	size_t n = farm->ncolours, cap = l->cap_colours;
	farm->colours = arena_grow(l->arena, farm->colours, n, n + 1, &cap, sizeof *farm->colours);
	farm->colour_folds = arena_grow(l->arena, farm->colour_folds, n, n + 1, &l->cap_colours,
					sizeof *farm->colour_folds);
	farm->colours[n] = name;
	farm->colour_folds[n] = fold;
	farm->ncolours++;
	return colour;
}

bool loader_item(const struct loader *l, struct str name, struct item *out)
{
	uint32_t value;
	if (!names_get(&l->items, str_fold(l->arena, name), &value))
		return false;
	*out = ITEM_OF(value);
	return true;
}

/* Walks the names of the wanted kinds for diag_nearest(). */
struct known {
	const struct loader *l;
	unsigned kinds;
	size_t next;
};

static struct str next_known(void *ctx, size_t i)
{
	struct known *k = ctx;
	const struct loader *l = k->l;
	(void)i; /* asked for in order, once each */
	while (k->next < l->items.n + l->outlets.n) {
		size_t at = k->next++;
		if (at >= l->items.n) {
			if (k->kinds & 1u << KIND_OUTLET)
				return l->outlets.keys[at - l->items.n];
		} else if (k->kinds & 1u << ITEM_OF(l->items.values[at]).kind) {
			return l->items.keys[at];
		}
	}
	return STR_NONE;
}

/* The spelling in the farm's texts of a fold. */
static struct str as_written(const struct head *head, struct str fold)
{
	for (size_t i = 0; i < head->nalso; i++) {
		if (str_eq(head->also_folds[i], fold))
			return head->also[i];
	}
	return head->name;
}

bool loader_hint_name(struct loader *l, struct str name, unsigned kinds)
{
	if (l->hints++ > HINTS_MOST)
		return true;
	struct known known = { l, kinds, 0 };
	struct str fold = diag_nearest(str_fold(l->arena, name), next_known, &known);
	uint32_t value;
	if (fold.n == 0)
		return false;
	const struct head *head;
	if (kinds & 1u << KIND_OUTLET && names_get(&l->outlets, fold, &value))
		head = &l->farm->outlets[value].head;
	else if (names_get(&l->items, fold, &value))
		head = farm_head(l->farm, ITEM_OF(value));
	else
		return false;
	diag_hint(l->diag, "did you mean %s?", diag_quote(l->diag, as_written(head, fold)));
	return true;
}

/* ---- the model ---- */

const char *kind_name(enum kind k)
{
	static const char *const name[] = { "farm",  "crop",   "supply", "part",
					    "piece", "outlet", "target" };
	return k < KIND_COUNT ? name[k] : "block";
}

const struct head *farm_head(const struct farm *farm, struct item item)
{
	switch (item.kind) {
	case KIND_CROP:
		return &farm->crops[item.index].head;
	case KIND_SUPPLY:
		return &farm->supplies[item.index].head;
	case KIND_PART:
		return &farm->parts[item.index].head;
	case KIND_PIECE:
		return &farm->pieces[item.index].head;
	case KIND_OUTLET:
		return &farm->outlets[item.index].head;
	case KIND_TARGET:
		return farm->targets[item.index].head;
	case KIND_FARM:
	case KIND_COUNT:
		break;
	}
	return &farm->business.head;
}

static bool goes_by(const struct head *head, struct str fold)
{
	if (str_eq(head->fold, fold))
		return true;
	for (size_t i = 0; i < head->nalso; i++) {
		if (str_eq(head->also_folds[i], fold))
			return true;
	}
	return false;
}

bool farm_find(const struct farm *farm, struct str name, struct item *out)
{
	const size_t counts[] = { farm->ncrops, farm->nsupplies, farm->nparts, farm->npieces };
	struct str fold = str_fold(farm->arena, name);
	for (enum kind k = KIND_CROP; k <= KIND_PIECE; k++) {
		for (uint32_t i = 0; i < counts[k - KIND_CROP]; i++) {
			struct item item = { k, i };
			if (goes_by(farm_head(farm, item), fold)) {
				*out = item;
				return true;
			}
		}
	}
	return false;
}

uint32_t farm_find_outlet(const struct farm *farm, struct str name)
{
	struct str fold = str_fold(farm->arena, name);
	for (uint32_t i = 0; i < farm->noutlets; i++) {
		if (goes_by(&farm->outlets[i].head, fold))
			return i;
	}
	return NONE;
}
