/* load.c - a folder becomes a farm. */
#include "base/file.h"
#include "farm/figures.h"
#include "farm/notation.h"

enum { FILES_MOST = 10 * 1000, FAILED = -2 };

static int system_error(struct loader *l, const struct file_error *err)
{
	diag_error(l->diag, SPAN_NONE, "%s", err->text);
	return FAILED;
}

/* Reads one text and takes its blocks in. */
static int read_text(struct loader *l, const char *folder, struct str name)
{
	struct file_error err;
	struct str text;
	const char *relative = arena_copy(l->arena, name.p, name.n);
	if (file_read(l->arena, file_join(l->arena, folder, relative), &text, &err) < 0)
		return system_error(l, &err);
	if (str_starts(text, "\xef\xbb\xbf")) { /* or the first column would be the second */
		text.p += 3;
		text.n -= 3;
	}
	return notation_read(l, diag_source(l->diag, name, text));
}

static int read_texts(struct loader *l, const char *folder)
{
	struct file_error err;
	struct str *names;
	size_t n;
	if (file_list(l->arena, folder, ".txt", &names, &n, &err) < 0)
		return system_error(l, &err);
	if (n > FILES_MOST)
		return diag_error(l->diag, SPAN_NONE, "This folder holds more than %d texts.",
				  FILES_MOST);
	int bad = 0;
	for (size_t i = 0; i < n && bad != FAILED; i++) {
		int one = read_text(l, folder, names[i]);
		bad = one < bad ? one : bad;
	}
	if (bad == 0 && notation_of(l)->nblocks == 0) {
		diag_error(l->diag, SPAN_NONE, "No farm is written down in the folder %s.",
			   diag_quote(l->diag, str_of(folder)));
		diag_hint(l->diag, "`thrave start` makes a new folder to begin with");
		return -1;
	}
	return bad;
}

static int suppose(struct loader *l, const struct load_options *options)
{
	int bad = 0;
	for (size_t i = 0; options && i < options->nsuppose; i++) {
		if (figures_suppose(l->farm, options->suppose[i], l->diag) < 0)
			bad = -1;
	}
	return bad;
}

int farm_load(struct farm **out, struct arena *arena, const char *folder,
	      const struct load_options *options, struct diag *diag)
{
	struct loader l;
	struct farm *farm = ARENA_NEW(arena, struct farm);
	farm->arena = arena;
	farm->folder = (struct str){ arena_copy(arena, folder, strlen(folder)), strlen(folder) };
	loader_init(&l, farm, arena, diag);
	l.log_line = options ? options->log_line : STR_NONE;
	l.log_text = options ? options->log_text : STR_NONE;
	*out = farm;

	int bad = read_texts(&l, folder);
	if (bad == FAILED)
		return FAILED;
	/* Names are looked up even when lines are wrong, so that one run shows both. */
	bad = notation_resolve(&l) < 0 ? -1 : bad;
	if (bad)
		return -1;
	l.hints = 0;
	bad = tables_read(&l, folder);
	if (bad)
		return bad;
	if (suppose(&l, options) < 0 || farm_check(&l) < 0)
		return -1;
	return 0;
}
