/* tables_ids.c - rows by their ids. */
#include "farm/tables_in.h"

/* ---- hashing ---- */

#define EACH_BYTE UINT64_C(0x0101010101010101)

/* Whether all bytes of the word are printing ASCII other than the blank. */
static bool printing(uint64_t word)
{
	const uint64_t high = 0x80 * EACH_BYTE;
	/* 0x21..0x7e: adding 0x5f carries no smaller byte, 1 no 0x7f into the high bit. */
	return !(word & high) && ((word + 0x5f * EACH_BYTE) & high) == high &&
	       !((word + EACH_BYTE) & high);
}

/* The word at p with zeros after n bytes; *filled has `!` there. */
static uint64_t load(const char *p, size_t n, uint64_t *filled)
{
	uint64_t word = 0;
	memcpy(&word, p, n < 8 ? n : 8);
	*filled = n < 8 ? word | ('!' * EACH_BYTE) << (8 * n) : word;
	return word;
}

static uint64_t step(uint64_t h, uint64_t word)
{
	h ^= word;
	h = (h ^ h >> 32) * UINT64_C(0x9e3779b97f4a7c15); /* a product carries upwards only */
	return h ^ h >> 32;
}

/* Ids that fold alike hash alike: plain text by its bytes with the bit of small
 * letters set, all other text by its fold. */
static bool hash_plain(struct str s, uint64_t *hash)
{
	uint64_t h = s.n, filled;
	for (size_t i = 0; i < s.n; i += 8) {
		uint64_t word = load(s.p + i, s.n - i, &filled);
		if (!printing(filled))
			return false;
		h = step(h, word | 0x20 * EACH_BYTE);
	}
	*hash = h;
	return true;
}

uint32_t ids_hash(struct str id, struct arena *a)
{
	uint64_t h;
	if (!hash_plain(id, &h)) {
		struct str fold = str_fold(a, id);
		uint64_t filled;
		h = fold.n;
		for (size_t i = 0; i < fold.n; i += 8)
			h = step(h, load(fold.p + i, fold.n - i, &filled) | 0x20 * EACH_BYTE);
	}
	return (uint32_t)(h ^ h >> 29);
}

static bool same_id(struct str x, struct str y, struct arena *a)
{
	return str_eq(x, y) || str_eq(str_fold(a, x), str_fold(a, y));
}

/* ---- the table ---- */

static void make_slots(struct ids *ids, size_t rows)
{
	ids->nslots = 64;
	while (ids->nslots * 4 < rows * 5)
		ids->nslots *= 2;
	ids->row_bits = 1;
	while (((size_t)1 << ids->row_bits) <= ids->nslots) /* holds row + 1 of every row */
		ids->row_bits++;
	ids->slots = mem_alloc(ids->nslots, sizeof *ids->slots);
}

void ids_init(struct ids *ids, size_t rows)
{
	*ids = (struct ids){ .cap = rows + 8 };
	ids->keys = mem_alloc(ids->cap, sizeof *ids->keys);
	make_slots(ids, ids->cap);
}

void ids_release(struct ids *ids)
{
	mem_free(ids->keys);
	mem_free(ids->slots);
	*ids = (struct ids){ .keys = NULL };
}

static uint32_t row_mask(const struct ids *ids)
{
	return ((uint32_t)1 << ids->row_bits) - 1;
}

/* Where the id stands or would stand. */
static uint32_t *find_slot(const struct ids *ids, struct arena *a, struct str id, uint32_t hash)
{
	uint32_t rows = row_mask(ids), tag = hash & ~rows;
	size_t mask = ids->nslots - 1, at = hash & mask;
	for (;; at = (at + 1) & mask) {
		uint32_t *slot = &ids->slots[at];
		if (!*slot ||
		    ((*slot & ~rows) == tag && same_id(ids->keys[(*slot & rows) - 1].text, id, a)))
			return slot;
	}
}

/* Twice the room; the first row of an id keeps its place. */
static void grow(struct ids *ids, struct arena *a)
{
	mem_free(ids->slots);
	ids->cap *= 2;
	ids->keys = mem_grow(ids->keys, ids->cap, sizeof *ids->keys);
	make_slots(ids, ids->cap);
	for (size_t i = 0; i < ids->n; i++) {
		struct str id = ids->keys[i].text;
		uint32_t hash = id.n ? ids_hash(id, a) : 0;
		uint32_t *slot = id.n ? find_slot(ids, a, id, hash) : NULL;
		if (slot && !*slot)
			*slot = (hash & ~row_mask(ids)) | ((uint32_t)i + 1);
	}
}

bool ids_add(struct ids *ids, struct arena *a, const struct csv_cell *id, uint32_t hash, uint32_t *old)
{
	if (ids->n == ids->cap)
		grow(ids, a);
	ids->keys[ids->n++] = *id;
	if (id->text.n == 0)
		return false;
	uint32_t *slot = find_slot(ids, a, id->text, hash);
	if (*slot) {
		*old = (*slot & row_mask(ids)) - 1;
		return true;
	}
	*slot = (hash & ~row_mask(ids)) | (uint32_t)ids->n;
	return false;
}

bool ids_find(const struct ids *ids, struct arena *a, struct str id, uint32_t *row)
{
	if (!ids->nslots || id.n == 0)
		return false;
	const uint32_t *slot = find_slot(ids, a, id, ids_hash(id, a));
	if (*slot)
		*row = (*slot & row_mask(ids)) - 1;
	return *slot != 0;
}

void row_id(struct table_reader *t, size_t column)
{
	struct ids *ids = &t->all->ids[t->id];
	const struct value *v = &t->values[column];
	uint32_t old;
	if (!ids_add(ids, t->l->arena, v->cell, v->ref, &old))
		return;
	cell_error(t, column, "The %s %s stands in two rows.", t->table->row, cell_quote(t, column));
	diag_also(t->l->diag, csv_span(t->csv, &ids->keys[old]), "the other row");
	struct str id = text_of(v);
	if (t->id == TABLE_ORDERS)
		diag_hint(t->l->diag, "two pieces on one order are two rows: `%.*sa` and `%.*sb`",
		          (int)str_fit(id, 40), id.p, (int)str_fit(id, 40), id.p);
}
