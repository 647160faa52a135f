/* help_texts.c - see help_texts.h. */
#include "help_texts.h"

#include "base/buf.h"

void texts_start(struct texts *t)
{
	*t = (struct texts){ .bad = 0 };
	arena_init(&t->arena);
	diag_init(&t->diag, &t->arena);
	t->farm.arena = &t->arena;
	loader_init(&t->loader, &t->farm, &t->arena, &t->diag);
}

void texts_add_str(struct texts *t, struct str name, struct str text)
{
	struct str own_name = { arena_copy(&t->arena, name.p, name.n), name.n };
	struct str own_text = { arena_copy(&t->arena, text.p, text.n), text.n };
	if (notation_read(&t->loader, diag_source(&t->diag, own_name, own_text)) < 0)
		t->bad = -1;
}

void texts_add(struct texts *t, const char *name, const char *text)
{
	texts_add_str(t, str_of(name), str_of(text));
}

int texts_done(struct texts *t)
{
	if (notation_resolve(&t->loader) < 0)
		t->bad = -1;
	if (t->bad == 0 && farm_check(&t->loader) < 0)
		t->bad = -1;
	return t->bad;
}

const char *texts_said(struct texts *t)
{
	struct buf b;
	buf_init(&b, 1 << 22);
	diag_print(&t->diag, &b);
	assert_false(b.full);
	const char *copy = arena_copy(&t->arena, b.data, b.len);
	buf_release(&b);
	return copy;
}

void texts_end(struct texts *t)
{
	arena_release(&t->arena);
}

void texts_load(struct texts *t, const char *text)
{
	texts_start(t);
	texts_add(t, "farm.txt", text);
	texts_done(t);
	assert_string_equal(texts_said(t), "");
	assert_int_equal(t->bad, 0);
}
