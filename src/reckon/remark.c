/* remark.c - sentences for the foot of a report, each kept once. */
#include "reckon/remark.h"

#include <stdarg.h>

#include "base/buf.h"

enum { SENTENCE_MOST = 1 << 20, NAMES_MOST = 6 };

void remarks_init(struct remarks *r, struct arena *a)
{
	*r = (struct remarks){ .arena = a };
}

static void add_once(struct remarks *r, enum remark_kind kind, const char *text, const char *source)
{
	for (size_t i = 0; i < r->n; i++) {
		if (r->items[i].kind == kind && strcmp(r->items[i].text, text) == 0)
			return;
	}
	struct remark *item = ARENA_PUSH(r->arena, r->items, r->n, r->cap);
	item->kind = kind;
	item->text = arena_copy(r->arena, text, strlen(text));
	item->source = source ? arena_copy(r->arena, source, strlen(source)) : NULL;
}

void remark(struct remarks *r, enum remark_kind kind, const char *fmt, ...)
{
	struct buf text;
	va_list ap;
	buf_init(&text, SENTENCE_MOST);
	va_start(ap, fmt);
	buf_vprintf(&text, fmt, ap);
	va_end(ap);
	add_once(r, kind, text.data, NULL);
	buf_release(&text);
}

void remark_caution(struct remarks *r, const char *text, const char *source)
{
	add_once(r, REMARK_CAUTION, text, source);
}

/* The slot of a name: its own, or the empty one where it belongs. */
static uint32_t *slot_of(const struct said *l, struct str name)
{
	size_t i = str_hash(name) % l->nslots;
	while (l->slots[i] && !str_eq(l->names[l->slots[i] - 1], name))
		i = (i + 1) % l->nslots;
	return &l->slots[i];
}

static void make_room(struct said *l)
{
	if (2 * l->n < l->nslots)
		return;
	l->nslots = l->nslots ? 4 * l->nslots : 16;
	l->slots = ARENA_ARRAY(l->arena, l->nslots, uint32_t);
	for (size_t i = 0; i < l->n; i++)
		*slot_of(l, l->names[i]) = (uint32_t)i + 1;
}

void said_add(struct said *l, struct arena *a, struct str name)
{
	l->arena = a;
	make_room(l);
	uint32_t *slot = slot_of(l, name);
	if (*slot)
		return;
	*ARENA_PUSH(a, l->names, l->n, l->cap) = name;
	*slot = (uint32_t)l->n;
}

const char *said_text(const struct said *l)
{
	struct buf b;
	size_t shown = l->n > NAMES_MOST ? NAMES_MOST - 1 : l->n;
	if (l->n == 0)
		return "";
	buf_init(&b, SENTENCE_MOST);
	for (size_t i = 0; i < shown; i++) {
		struct str name = { l->names[i].p, str_fit(l->names[i], 60) };
		if (i)
			buf_text(&b, i + 1 == l->n ? " and " : ", ");
		buf_str(&b, name);
	}
	if (shown < l->n)
		buf_printf(&b, " and %zu more", l->n - shown);
	char *text = arena_copy(l->arena, b.data, b.len);
	buf_release(&b);
	return text;
}
