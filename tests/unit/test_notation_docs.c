/* test_notation_docs.c - docs/notation.md and the table of statements say the same:
 * every statement has its section with the syntax line, the meaning and the example
 * of the table, no section speaks of anything else, and every example in the page is
 * read without a message. */
#include "help_texts.h"

#include "base/buf.h"
#include "farm/statements.h"

static const char path[] = "docs/notation.md";

enum fence { FENCE_NONE, FENCE_FARM, FENCE_COMMON, FENCE_SYNTAX, FENCE_GRAMMAR, FENCE_OTHER };

struct page {
	char *text;
	struct str rest;
	size_t line;
	struct buf common;
	struct buf block; /* the fence that is being read */
	struct buf grammar;
	enum fence fence;
	size_t examples;
	/* the section of a statement */
	unsigned kinds;
	struct str word;
	struct buf syntax, prose, shown;
	unsigned seen[STATEMENTS_MOST];
};

static bool next_line(struct page *p, struct str *line)
{
	if (p->rest.n == 0)
		return false;
	const char *end = memchr(p->rest.p, '\n', p->rest.n);
	*line = (struct str){ p->rest.p, end ? (size_t)(end - p->rest.p) : p->rest.n };
	size_t taken = line->n + (end ? 1 : 0);
	p->rest.p += taken;
	p->rest.n -= taken;
	p->line++;
	return true;
}

static struct str behind(struct str s, size_t n)
{
	return (struct str){ s.p + n, s.n - n };
}

/* The words of a page have one blank between them, however its lines are filled. */
static void add_words(struct buf *b, struct str line)
{
	line = str_trim(line);
	if (line.n && b->len)
		buf_char(b, ' ');
	buf_str(b, line);
}

/* ---- sections ---- */

/* Kinds that a heading names in backquotes; 0 when it heads no statements. */
static unsigned kinds_of(struct str title)
{
	unsigned kinds = 0;
	if (str_is(title, "In every block"))
		return (1u << KIND_COUNT) - 1;
	if (!str_starts(title, "In `"))
		return 0;
	for (enum kind k = KIND_FARM; k < KIND_COUNT; k++) {
		char quoted[32];
		snprintf(quoted, sizeof quoted, "`%s`", kind_name(k));
		for (size_t i = 0; i < title.n; i++) {
			if (str_starts(behind(title, i), quoted))
				kinds |= 1u << k;
		}
	}
	return kinds;
}

static const struct statement *statement_of(const struct page *p)
{
	const struct statement *s;
	const unsigned every = (1u << KIND_COUNT) - 1;
	for (size_t i = 0; (s = statement_at(i)) != NULL; i++) {
		/* `also` stands in every block but one, and the page says so. */
		bool nearly_all = p->kinds == every && s->kinds == (every & ~(1u << KIND_TARGET));
		if (str_is(p->word, s->word) && (s->kinds == p->kinds || nearly_all))
			return s;
	}
	return NULL;
}

/* The example among the lines that the section shows. */
static bool shows(const struct buf *shown, const char *example)
{
	char line[400];
	int n = snprintf(line, sizeof line, "\n%s\n", example);
	assert_true(n > 0 && (size_t)n < sizeof line);
	return strstr(shown->data, line) != NULL;
}

static void close_section(struct page *p)
{
	if (p->word.n == 0)
		return;
	const struct statement *s = statement_of(p);
	if (!s)
		fail_msg("%s:%zu: `%.*s` is not in the table", path, p->line, STR_ARG(p->word));
	p->seen[statement_index(s)]++;
	assert_string_equal(p->syntax.data, s->syntax);
	if (strncmp(p->prose.data, s->meaning, strlen(s->meaning)) != 0)
		fail_msg("`%s` should begin with: %s\nbut does with: %s", s->word, s->meaning,
			 p->prose.data);
	if (!shows(&p->shown, s->example))
		fail_msg("`%s` does not show: %s", s->word, s->example);
}

static void read_heading(struct page *p, struct str line)
{
	close_section(p);
	p->word = STR_NONE;
	buf_clear(&p->syntax);
	buf_clear(&p->prose);
	buf_clear(&p->shown);
	if (str_starts(line, "#### `"))
		p->word = (struct str){ line.p + 6, line.n - 7 };
	else if (str_starts(line, "### "))
		p->kinds = kinds_of(behind(line, 4));
}

/* ---- fences ---- */

static enum fence fence_of(struct str line)
{
	struct str info = behind(line, 3);
	if (str_is(info, "farm"))
		return FENCE_FARM;
	if (str_is(info, "farm common"))
		return FENCE_COMMON;
	if (str_is(info, "syntax"))
		return FENCE_SYNTAX;
	return str_is(info, "ebnf") ? FENCE_GRAMMAR : FENCE_OTHER;
}

static void check_example(struct page *p, bool common)
{
	struct texts t;
	texts_start(&t);
	if (!common)
		texts_add_str(&t, STR("common"), buf_slice(&p->common));
	texts_add_str(&t, STR("example"), buf_slice(&p->block));
	texts_done(&t);
	const char *said = texts_said(&t);
	if (*said)
		print_error("%s: the example above line %zu\n%s", path, p->line, said);
	assert_string_equal(said, "");
	texts_end(&t);
	p->examples++;
}

static void close_fence(struct page *p)
{
	if (p->fence == FENCE_COMMON)
		buf_str(&p->common, buf_slice(&p->block));
	if (p->fence == FENCE_FARM || p->fence == FENCE_COMMON)
		check_example(p, p->fence == FENCE_COMMON);
	p->fence = FENCE_NONE;
	buf_clear(&p->block);
}

/* A line of an example without its indent and comment, for shows(). */
static void add_shown(struct buf *b, struct str line)
{
	line = str_trim(line);
	for (size_t i = 0; i + 1 < line.n; i++) {
		if (line.p[i] == '#' && line.p[i + 1] == ' ')
			line.n = i;
	}
	if (b->len == 0)
		buf_char(b, '\n');
	buf_str(b, str_trim(line));
	buf_char(b, '\n');
}

static void read_fenced(struct page *p, struct str line)
{
	buf_str(&p->block, line);
	buf_char(&p->block, '\n');
	if (p->fence == FENCE_SYNTAX)
		add_words(&p->syntax, line);
	else if (p->fence == FENCE_GRAMMAR)
		add_words(&p->grammar, line);
	else if (p->fence == FENCE_FARM)
		add_shown(&p->shown, line);
}

/* ---- the whole page ---- */

static void start_page(struct page *p)
{
	*p = (struct page){ .line = 0 };
	p->text = help_read(path);
	assert_non_null(p->text);
	p->rest = str_of(p->text);
	struct buf *const bufs[] = { &p->common, &p->block, &p->grammar,
				     &p->syntax, &p->prose, &p->shown };
	for (size_t i = 0; i < COUNT(bufs); i++)
		buf_init(bufs[i], 1 << 20);
}

static void end_page(struct page *p)
{
	struct buf *const bufs[] = { &p->common, &p->block, &p->grammar,
				     &p->syntax, &p->prose, &p->shown };
	for (size_t i = 0; i < COUNT(bufs); i++)
		buf_release(bufs[i]);
	free(p->text);
}

static void read_page(struct page *p)
{
	struct str line;
	while (next_line(p, &line)) {
		bool tick = str_starts(line, "```");
		if (tick && p->fence != FENCE_NONE)
			close_fence(p);
		else if (tick)
			p->fence = fence_of(line);
		else if (p->fence != FENCE_NONE)
			read_fenced(p, line);
		else if (str_starts(line, "#"))
			read_heading(p, line);
		else
			add_words(&p->prose, line);
	}
	close_section(p);
}

static void page_and_table(void **state)
{
	struct page p;
	const struct statement *s;
	(void)state;
	start_page(&p);
	read_page(&p);
	for (size_t i = 0; (s = statement_at(i)) != NULL; i++) {
		char quoted[64];
		snprintf(quoted, sizeof quoted, "\"%s\"", s->word);
		if (p.seen[i] != 1)
			fail_msg("`%s` (%s) has %u sections", s->word, s->syntax, p.seen[i]);
		if (!strstr(p.grammar.data, quoted))
			fail_msg("the grammar does not have %s", quoted);
	}
	assert_true(p.examples > 55);
	end_page(&p);
}

int main(void)
{
	const struct CMUnitTest tests[] = { cmocka_unit_test(page_and_table) };
	return cmocka_run_group_tests(tests, NULL, NULL);
}
