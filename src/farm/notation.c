/* notation.c - from the text of a file to blocks and statements. */
#include "farm/notation.h"

#include "base/buf.h"
#include "farm/measure.h"

/* ---- messages that more than one reader needs ---- */

int too_many(struct cursor *c, size_t most, const char *what)
{
	return cur_error(c, cur_rest(c), "This block has more than %zu %s.", most, what);
}

static struct cursor cursor_on(struct reader *r, struct str text, const struct statement *s)
{
	return (struct cursor){ .l = r->l, .file = r->file, .text = text, .statement = s };
}

/* ---- characters ---- */

static bool check_characters(struct cursor *c, struct str text, bool free_text)
{
	int32_t code;
	size_t at = line_bad_char(text, free_text, &code);
	if (at == text.n)
		return true;
	struct str s = { text.p + at, 1 };
	if (code == '\r') {
		cur_error(c, s, "A carriage return stands inside this line.");
		diag_hint(c->l->diag, "save the file with ordinary line ends");
	} else if (code < 0xa0 || code >= 0xfffe) {
		cur_error(c, s, "A control character (U+%04X) stands here.", (unsigned)code);
		diag_hint(c->l->diag, "delete it");
	} else {
		cur_error(c, s, "A character that cannot be seen (U+%04X) stands here.",
			  (unsigned)code);
		diag_hint(c->l->diag, "delete it, and type an ordinary blank if one is meant");
	}
	return false;
}

/* Lengths and characters of a line; false when it is to be left out. */
static bool check_line(struct cursor *c, const struct line *line, bool free_text)
{
	if (line->length > LINE_MOST && !free_text) {
		struct str s = { line->text.p, 1 };
		cur_error(c, s, "This line is longer than %d bytes.", LINE_MOST);
		return false;
	}
	return check_characters(c, line->text, free_text);
}

/* ---- headers ---- */

/* Enters a name of the block; a name that is taken is an error that shows both. */
static void enter_name(struct reader *r, struct cursor *c, struct str name, struct str fold)
{
	bool outlet = r->item.kind == KIND_OUTLET;
	struct names *t = outlet ? &r->l->outlets : &r->l->items;
	uint32_t mine = outlet ? r->item.index : ITEM_VALUE(r->item.kind, r->item.index), old;
	if (!names_put(t, fold, mine, &old))
		return;
	if (old == mine) {
		diag_warn(r->l->diag, cur_span(c, name), "%s is a name of this %s already.",
			  QUOTE(c, name), kind_name(r->item.kind));
		return;
	}
	struct item item = outlet ? (struct item){ KIND_OUTLET, old } : ITEM_OF(old);
	const struct head *other = farm_head(r->farm, item);
	cur_error(c, name, "The name %s is taken by %s %s.", QUOTE(c, name),
		  item.kind == r->item.kind ? "another" : "a", kind_name(item.kind));
	if (item.kind == r->item.kind)
		diag_hint(r->l->diag,
			  "put the lines of both into one block, or give one another name");
	diag_also(r->l->diag, other->at, "first defined here");
}

static int read_header_name(struct cursor *c, enum kind kind, struct str *name)
{
	static const char *const nouns[] = { "a farm",  "a crop",    "a supply", "a part",
					     "a piece", "an outlet", "a target" };
	*name = str_trim(cur_rest(c));
	if (name->n == 0) {
		cur_error(c, *name, "The line ends where the name of %s should stand.",
			  nouns[kind]);
		return -1;
	}
	return cur_check_name(c, *name, nouns[kind]);
}

static size_t count_of(const struct farm *farm, enum kind kind)
{
	const size_t counts[] = { 0,
				  farm->ncrops,
				  farm->nsupplies,
				  farm->nparts,
				  farm->npieces,
				  farm->noutlets,
				  farm->ntargets };
	return counts[kind];
}

/* Opens the block; r->skip is set when its lines cannot be read. */
static void open_block(struct reader *r, enum kind kind, struct cursor *c)
{
	struct str name;
	r->kind = kind;
	r->skip = true;
	r->before = NULL;
	memset(r->seen, 0, sizeof r->seen);
	r->cap_also = r->cap_also_folds = r->cap_notes = r->cap_cautions = r->cap_measures = 0;
	r->cap_a = r->cap_b = r->cap_c = 0;
	if (read_header_name(c, kind, &name) < 0)
		return;
	if (kind == KIND_FARM && r->farm->has_business) {
		cur_error(c, name, "A farm folder has one `farm` block; this is another one.");
		diag_also(r->l->diag, r->farm->business.head.at, "the first one is here");
		return;
	}
	if (count_of(r->farm, kind) >= KIND_MOST) {
		cur_error(c, name, "There are more than %d blocks of this kind.", KIND_MOST);
		return;
	}
	r->head = block_new(r, kind);
	r->skip = false;
	r->n->nblocks++;
	r->head->name = name;
	r->head->fold = str_fold(r->l->arena, name);
	r->head->at = cur_span(c, name);
	r->target = (struct pending_name){ name, r->head->at };
	if (kind != KIND_FARM && kind != KIND_TARGET)
		enter_name(r, c, name, r->head->fold);
}

static void close_block(struct reader *r)
{
	bool open = !r->skip && r->kind != KIND_COUNT;
	if (open && r->kind == KIND_CROP)
		crop_end(r);
	else if (open && r->kind == KIND_SUPPLY)
		supply_end(r);
	else if (open && (r->kind == KIND_PART || r->kind == KIND_PIECE))
		maker_end(r);
	else if (open && r->kind == KIND_OUTLET)
		outlet_end(r);
	else if (open && r->kind == KIND_TARGET)
		target_end(r);
	r->kind = KIND_COUNT;
	r->skip = true;
}

/* A first word that opens no block.  Goes on as if the nearest kind stood there,
 * so that one slip does not make every mention of the name an error too. */
static void wrong_header(struct reader *r, struct str word, struct cursor *c)
{
	struct diag *diag = r->l->diag;
	struct str fold = str_fold(r->l->arena, word);
	enum kind near = kind_nearest(fold);
	cur_error(c, word, "%s is no kind of block.", QUOTE(c, word));
	close_block(r);
	if (near == KIND_COUNT) {
		diag_hint(diag, "kinds are farm, crop, supply, part, piece, outlet and target");
		return;
	}
	diag_hint(diag, "did you mean `%s`?", kind_name(near));
	open_block(r, near, c);
}

static void read_statement(struct reader *r, struct line *line);

/* A statement of the open block that somebody forgot to indent. */
static bool not_indented(struct reader *r, struct str word, struct cursor *c)
{
	if (r->kind == KIND_COUNT || !statement_find(r->kind, word))
		return false;
	cur_error(c, word, "%s stands in the first column, where blocks begin.", QUOTE(c, word));
	diag_hint(r->l->diag, "put blanks before it: the lines of a block are indented");
	return true;
}

static void read_header(struct reader *r, struct line *line)
{
	struct str word = line_word(line->text);
	struct cursor c = cursor_on(r, line->text, NULL);
	enum kind kind = kind_of(word, false);
	c.at = word.n;
	if (!check_line(&c, line, false)) {
		close_block(r);
		return;
	}
	if (kind == KIND_COUNT) {
		if (not_indented(r, word, &c))
			read_statement(r, line);
		else
			wrong_header(r, word, &c);
		return;
	}
	close_block(r);
	open_block(r, kind, &c);
}

/* ---- statements ---- */

static enum kind kind_with(struct str word)
{
	enum kind k = KIND_FARM;
	while (k < KIND_COUNT && !statement_find(k, word))
		k++;
	return k;
}

/* `60 stem`: what a definition of a counting word looks like. */
static bool quantity_follows(const struct cursor *c)
{
	struct str unit = measure_word(c->l->arena, cur_peek_behind(c));
	return unit_find(unit) || statement_find(KIND_CROP, unit);
}

const char *article(struct str word)
{
	return word.n && memchr("aeiouAEIOU", word.p[0], 10) ? "an" : "a";
}

static void hint_words(struct reader *r)
{
	struct buf b;
	buf_init(&b, 1000);
	const struct statement *s;
	for (size_t i = 0; (s = statement_at(i)) != NULL; i++) {
		if (s->kinds & 1u << r->kind)
			buf_printf(&b, "%s%s", b.len ? ", " : "", s->word);
	}
	diag_hint(r->l->diag, "words of this block: %s", b.data);
	buf_release(&b);
}

static void unknown_statement(struct reader *r, struct str word, struct cursor *c)
{
	struct diag *diag = r->l->diag;
	struct str near = statement_nearest(r->kind, str_fold(r->l->arena, word));
	enum kind other = kind_with(word);
	cur_error(c, word, "%s is no word of %s `%s` block.", QUOTE(c, word),
		  r->kind == KIND_OUTLET ? "an" : "a", kind_name(r->kind));
	bool elsewhere = other != KIND_COUNT && statement_find(other, word)->kinds == 1u << other;
	if (elsewhere && near.n)
		diag_hint(diag, "it stands in a `%s` block; or did you mean `%.*s`?", kind_name(other),
			  STR_ARG(near));
	else if (near.n)
		diag_hint(diag, "did you mean `%.*s`?", STR_ARG(near));
	else if (elsewhere)
		diag_hint(diag, "it stands in a `%s` block", kind_name(other));
	else if (kind_of(word, false) != KIND_COUNT)
		diag_hint(diag,
			  "a block begins in the first column: take the blanks before it away");
	else if (statement_find(r->kind, STR("calls")) && quantity_follows(c))
		diag_hint(diag, "for a counting word of your own write `calls 25 stem %s %.*s`",
			  article(word), (int)str_fit(word, 40), word.p);
	else
		hint_words(r);
}

static void read_statement(struct reader *r, struct line *line)
{
	struct str word = line_word(line->text);
	struct cursor c = cursor_on(r, line->text, NULL);
	if (r->kind == KIND_COUNT) {
		if (!r->skip) {
			cur_error(&c, word, "%s belongs to no block.", QUOTE(&c, word));
			diag_hint(r->l->diag,
				  "a block begins in the first column, for example `crop Statice`");
			r->skip = true;
		}
		return;
	}
	if (r->skip)
		return;
	const struct statement *s = statement_find(r->kind, word);
	bool free_text = s && (s->read == read_note || s->read == read_caution);
	if (!check_line(&c, line, free_text))
		return;
	c.at = word.n;
	if (!s) {
		unknown_statement(r, word, &c);
		return;
	}
	c.statement = s;
	struct span *seen = &r->seen[statement_index(s)];
	if (seen->file && !s->many) {
		cur_error(&c, word, "%s stands twice in this block.", QUOTE(&c, word));
		diag_also(r->l->diag, *seen, "first said here");
		return;
	}
	*seen = cur_span(&c, word);
	if (s->read(r, &c) == 0 && !cur_end(&c))
		cur_too_much(&c);
	r->before = s;
}

/* ---- statements of every block ---- */

int read_also(struct reader *r, struct cursor *c)
{
	int more = 1;
	for (; more > 0; more = cur_next_clause(c)) {
		struct head *h = r->head;
		struct str name;
		if (h->nalso >= ALSO_MOST)
			return too_many(c, ALSO_MOST, "further names");
		if (cur_name(c, "a name", &name) < 0)
			return -1;
		struct str fold = str_fold(r->l->arena, name);
		size_t n = h->nalso;
		*ARENA_PUSH(r->l->arena, h->also_folds, n, r->cap_also_folds) = fold;
		*ARENA_PUSH(r->l->arena, h->also, h->nalso, r->cap_also) = name;
		if (r->kind != KIND_FARM)
			enter_name(r, c, name, fold);
	}
	return more;
}

static int read_text(struct reader *r, struct cursor *c, struct str **list, size_t *n, size_t *cap)
{
	struct str text = cur_rest(c);
	if (text.n == 0)
		return cur_missing(c, "a text");
	size_t fit = str_chars(text, text.n);
	if (fit > TEXT_MOST)
		return cur_error(c, text, "This text is longer than %d characters.", TEXT_MOST);
	if (*n >= NOTES_MOST)
		return too_many(c, NOTES_MOST, "lines of this word");
	*ARENA_PUSH(r->l->arena, *list, *n, *cap) = text;
	c->at = c->text.n;
	return 0;
}

int read_note(struct reader *r, struct cursor *c)
{
	return read_text(r, c, &r->head->notes, &r->head->nnotes, &r->cap_notes);
}

int read_caution(struct reader *r, struct cursor *c)
{
	return read_text(r, c, &r->head->cautions, &r->head->ncautions, &r->cap_cautions);
}

/* A definition that cannot be used stays with q 0, so that whoever needs the word
 * does not complain about it once more. */
static int add_measure(struct reader *r, struct cursor *c, struct measure m)
{
	struct head *h = r->head;
	if (h->nmeasures >= MEASURES_MOST)
		return too_many(c, MEASURES_MOST, "counting words");
	*ARENA_PUSH(r->l->arena, h->measures, h->nmeasures, r->cap_measures) = m;
	return 0;
}

int read_measure(struct reader *r, struct cursor *c)
{
	struct str at;
	struct measure m = { .word = str_of(c->statement->word), .q = RAT_ZERO };
	m.at = cur_span(c, (struct str){ c->text.p, c->at });
	int bad = cur_quantity(c, &m.q, &at, POSITIVE) < 0 || cur_count_word(c, &m.unit, &at) < 0;
	if (bad)
		m.q = RAT_ZERO;
	return add_measure(r, c, m) < 0 || bad ? -1 : 0;
}

int read_calls(struct reader *r, struct cursor *c)
{
	struct str at;
	struct measure m;
	if (cur_quantity(c, &m.q, &at, POSITIVE) < 0 || cur_count_word(c, &m.unit, &at) < 0)
		return -1;
	if (!cur_take(c, "an") && cur_want(c, "a") < 0)
		return -1;
	if (cur_count_word(c, &m.word, &at) < 0)
		return -1;
	m.at = cur_span(c, at);
	if (unit_find(m.word))
		return cur_error(c, at, "%s is a measure and cannot be a counting word.",
				 QUOTE(c, at));
	if (at.n > NAME_MOST)
		return cur_error(c, at, "%s is too long for a word.", QUOTE(c, at));
	return add_measure(r, c, m);
}

/* ---- files ---- */

/* A line whose first word is a slip of a kind word (or spelled with a capital), with
 * an indented statement below it, is no prose. */
static bool slip_of_header(struct arena *a, struct str word, struct lines below)
{
	struct line line;
	if (kind_nearest(str_fold(a, word)) == KIND_COUNT)
		return false;
	while (line_next(&below, &line)) {
		if (line.text.n)
			return line.indented && kind_with(line_word(line.text)) != KIND_COUNT;
	}
	return false;
}

static bool has_blocks(struct arena *a, struct str text)
{
	struct lines lines = { text, 0 };
	struct line line;
	while (line_next(&lines, &line)) {
		struct str word = line_word(line.text);
		if (word.n == 0 || line.indented)
			continue;
		if (kind_of(word, true) != KIND_COUNT || slip_of_header(a, word, lines))
			return true;
	}
	return false;
}

/* Text that cannot be read at all. */
static int check_text(struct loader *l, uint32_t file, struct str text)
{
	const char *start = l->diag->sources[file - 1].text.p;
	const char *nul = text.n ? memchr(text.p, '\0', text.n) : NULL;
	if (str_starts(text, "\xff\xfe") || str_starts(text, "\xfe\xff")) {
		diag_error(l->diag, ((struct span){ file, 0, 0 }), "This file is saved as UTF-16.");
		diag_hint(l->diag, "save it as UTF-8");
		return -1;
	}
	if (!has_blocks(l->arena, text)) {
		diag_add(l->diag, DIAG_NOTE, SPAN_NONE,
			 "%s was left out: no line of it begins a block.",
			 diag_quote(l->diag, l->diag->sources[file - 1].name));
		return 1;
	}
	if (nul) {
		struct span at = { file, (uint32_t)(nul - start), 1 };
		return diag_error(l->diag, at, "A NUL byte stands here: this file is no text.");
	}
	size_t bad = str_utf8_bad(text);
	if (bad < text.n) {
		struct span at = { file, (uint32_t)(text.p + bad - start), 1 };
		diag_error(l->diag, at, "The byte %s is no UTF-8.",
			   diag_quote(l->diag, (struct str){ text.p + bad, 1 }));
		diag_hint(l->diag, "save the file as UTF-8");
		return -1;
	}
	return 0;
}

struct notation *notation_of(struct loader *l)
{
	if (!l->notation) {
		l->notation = ARENA_NEW(l->arena, struct notation);
		business_init(&l->farm->business);
	}
	return l->notation;
}

int notation_read(struct loader *l, uint32_t source)
{
	struct notation *n = notation_of(l);
	struct str text = l->diag->sources[source - 1].text;
	size_t errors = l->diag->errors;
	if (str_starts(text, "\xef\xbb\xbf")) {
		text.p += 3;
		text.n -= 3;
	}
	int unfit = check_text(l, source, text);
	if (unfit < 0 && n->unread++ == 0)
		n->unread_file = l->diag->sources[source - 1].name;
	if (unfit)
		return unfit < 0 ? -1 : 0;
	struct reader r = { .l = l, .n = n, .farm = l->farm, .file = source, .kind = KIND_COUNT };
	struct lines lines = { text, 0 };
	struct line line;
	while (line_next(&lines, &line)) {
		if (line.text.n == 0)
			continue;
		if (line.indented)
			read_statement(&r, &line);
		else
			read_header(&r, &line);
		if (l->diag->errors - errors > ERRORS_MOST) {
			struct cursor c = cursor_on(&r, line.text, NULL);
			cur_error(&c, line.text,
				  "After %d errors the rest of this file was not read.",
				  ERRORS_MOST);
			break;
		}
	}
	close_block(&r);
	return l->diag->errors > errors ? -1 : 0;
}
