/* lexer.c - lines and words of the notation, and what is said when they are wrong. */
#include "farm/lexer.h"

#include "base/buf.h"
#include "farm/measure.h"

static bool is_blank(char c)
{
	return c == ' ' || c == '\t';
}

/* ---- lines ---- */

/* Length of the line without its comment: `#` before a blank, `#` as the line's
 * first character, or a lone `#` at its end (an empty comment). */
static size_t without_comment(struct str s)
{
	for (const char *p = s.p; (p = memchr(p, '#', s.n - (size_t)(p - s.p))) != NULL; p++) {
		size_t i = (size_t)(p - s.p);
		bool last = i + 1 == s.n;
		if (i == 0 || (!last && is_blank(p[1])) || (last && is_blank(p[-1])))
			return i;
	}
	return s.n;
}

bool line_next(struct lines *lines, struct line *out)
{
	if (lines->at >= lines->text.n)
		return false;
	struct str s = { lines->text.p + lines->at, lines->text.n - lines->at };
	const char *end = memchr(s.p, '\n', s.n);
	if (end)
		s.n = (size_t)(end - s.p);
	lines->at += s.n + 1;
	if (s.n && s.p[s.n - 1] == '\r')
		s.n--;
	out->length = s.n;
	out->indented = s.n && is_blank(s.p[0]);
	s = str_trim(s);
	s.n = s.n ? without_comment(s) : 0;
	out->text = str_trim(s);
	return true;
}

struct str line_word(struct str text)
{
	size_t n = 0;
	while (n < text.n && !is_blank(text.p[n]))
		n++;
	return (struct str){ text.p, n };
}

static bool is_control(int32_t c)
{
	return (c < 0x20 && c != '\t') || (c >= 0x7f && c < 0xa0) || c == 0xfffe || c == 0xffff;
}

static bool looks_blank(int32_t c)
{
	return c == 0xa0 || c == 0x1680 || (c >= 0x2000 && c <= 0x200a) || c == 0x202f ||
	       c == 0x205f || c == 0x3000;
}

static bool is_hidden(int32_t c)
{
	return c == 0xad || c == 0x200b || c == 0x200e || c == 0x200f ||
	       (c >= 0x2028 && c <= 0x202e) || (c >= 0x2060 && c <= 0x206f) || c == 0xfeff;
}

size_t line_bad_char(struct str text, bool free_text, int32_t *code)
{
	for (size_t i = 0, n; i < text.n; i += n) {
		unsigned char c = (unsigned char)text.p[i];
		n = 1;
		if (c >= 0x20 && c < 0x7f)
			continue;
		n = str_next(text, i, code);
		if (is_control(*code) || (!free_text && (looks_blank(*code) || is_hidden(*code))))
			return i;
	}
	return text.n;
}

/* ---- cursor ---- */

struct span cur_span(const struct cursor *c, struct str s)
{
	const struct source *source = &c->l->diag->sources[c->file - 1];
	return (struct span){ c->file, (uint32_t)(s.p - source->text.p), (uint32_t)s.n };
}

static bool is_separator(char ch)
{
	return ch == ',' || ch == ';';
}

static size_t skip_blanks(const struct cursor *c)
{
	size_t at = c->at;
	while (at < c->text.n && is_blank(c->text.p[at]))
		at++;
	return at;
}

static struct str word_from(struct str s, size_t at)
{
	size_t end = at;
	while (end < s.n && !is_blank(s.p[end]) && !is_separator(s.p[end]))
		end++;
	if (end == at && end < s.n && is_separator(s.p[end]))
		end++;
	return (struct str){ s.p + at, end - at };
}

struct str cur_rest(const struct cursor *c)
{
	size_t at = skip_blanks(c);
	return (struct str){ c->text.p + at, c->text.n - at };
}

struct str cur_peek(const struct cursor *c)
{
	return word_from(c->text, skip_blanks(c));
}

bool cur_end(const struct cursor *c)
{
	return skip_blanks(c) == c->text.n;
}

bool cur_clause_end(const struct cursor *c)
{
	size_t at = skip_blanks(c);
	return at == c->text.n || is_separator(c->text.p[at]);
}

static char lower(char ch)
{
	return ch >= 'A' && ch <= 'Z' ? (char)(ch - 'A' + 'a') : ch;
}

/* The word of the notation (n bytes, a `*` at its end lets the plural stand). */
static bool same_word(struct str word, const char *want, size_t n)
{
	bool plural = n && want[n - 1] == '*';
	if (n == 1 && want[0] == 'h') /* the hour goes by its long names everywhere */
		return unit_find(word) == unit_find(STR("h"));
	n -= plural;
	if (word.n < n)
		return false;
	for (size_t i = 0; i < n; i++) {
		if (lower(word.p[i]) != want[i])
			return false;
	}
	if (word.n == n)
		return true;
	struct str tail = { word.p + n, word.n - n };
	return plural && (str_is(tail, "s") || str_is(tail, "es"));
}

static bool take_words(struct cursor *c, const char *words, size_t n)
{
	struct cursor ahead = *c;
	for (size_t i = 0; i < n;) {
		size_t len = 0;
		while (i + len < n && words[i + len] != ' ')
			len++;
		struct str word = cur_peek(&ahead);
		if (word.n == 0 || !same_word(word, words + i, len))
			return false;
		ahead.at = (size_t)(word.p - ahead.text.p) + word.n;
		i += len + 1;
	}
	c->at = ahead.at;
	return true;
}

bool cur_take(struct cursor *c, const char *words)
{
	return take_words(c, words, strlen(words));
}

int cur_want(struct cursor *c, const char *words)
{
	for (const char *p = words; *p;) {
		size_t n = strcspn(p, "|");
		if (take_words(c, p, n))
			return 0;
		p += n + (p[n] == '|');
	}
	return cur_expected(c, words);
}

int cur_want_all(struct cursor *c, const char *words)
{
	for (const char *p = words; *p;) {
		size_t n = strcspn(p, " ");
		if (!take_words(c, p, n)) {
			char word[32];
			snprintf(word, sizeof word, "%.*s", (int)n, p);
			return cur_expected(c, word);
		}
		p += n + (p[n] == ' ');
	}
	return 0;
}

void cur_hint_example(struct cursor *c)
{
	if (c->statement)
		diag_hint(c->l->diag, "for example: `%s`", c->statement->example);
}

/* ---- what should stand here ---- */

/* Writes "`a`, `b` or `c`" for "a|b|c". */
static void print_choices(struct buf *b, const char *choices)
{
	for (const char *p = choices; *p;) {
		size_t n = strcspn(p, "|");
		bool last = p[n] == '\0';
		size_t shown = n && p[n - 1] == '*' ? n - 1 : n;
		if (p != choices)
			buf_text(b, last ? " or " : ", ");
		buf_printf(b, "`%.*s`", (int)shown, p);
		p += n + !last;
	}
}

struct choices {
	struct arena *arena;
	const char *at;
	bool plural; /* of the same choice comes next */
};

/* The first words of the choices one after the other, with their plurals. */
static struct str next_choice(void *ctx, size_t i)
{
	struct choices *k = ctx;
	(void)i;
	size_t n = strcspn(k->at, "|");
	struct str word = { k->at, strcspn(k->at, "|* ") };
	bool more = k->at[word.n] == '*' && !k->plural;
	if (k->plural) {
		const char *ending = word.p[word.n - 1] == 'x' ? "es" : "s";
		size_t len = strlen(ending);
		char *p = arena_alloc(k->arena, word.n + len, 1);
		memcpy(p, word.p, word.n);
		memcpy(p + word.n, ending, len);
		word = (struct str){ p, word.n + len };
	}
	k->plural = more;
	if (!more)
		k->at += n + (k->at[n] == '|');
	return word;
}

/* `EUR`, or a sign like the euro's, where the notation wants plain numbers. */
static bool looks_like_currency(struct str word)
{
	if (word.n == 3 && word.p[0] >= 'A' && word.p[0] <= 'Z' && word.p[1] >= 'A' &&
	    word.p[1] <= 'Z' && word.p[2] >= 'A' && word.p[2] <= 'Z')
		return true;
	return str_starts(word, "$") || str_starts(word, "\xe2\x82\xac") ||
	       str_starts(word, "\xc2\xa3") || str_starts(word, "\xc2\xa5");
}

bool cur_at_currency(const struct cursor *c)
{
	struct cursor behind = *c;
	struct str word = cur_peek(c);
	behind.at = (size_t)(word.p - c->text.p) + word.n;
	struct str next = cur_peek(&behind);
	return looks_like_currency(word) &&
	       (word.p[0] < 'A' || word.p[0] > 'Z' || (next.n && next.p[0] >= '0' && next.p[0] <= '9'));
}

static void hint_currency(struct cursor *c, struct str word)
{
	struct str number = word;
	while (number.n && !(number.p[0] >= '0' && number.p[0] <= '9')) {
		number.p++;
		number.n--;
	}
	if (number.n) {
		diag_hint(c->l->diag,
			  "write `%.*s`: amounts are plain numbers, the currency is said once in the "
			  "farm block",
			  STR_ARG(number));
		return;
	}
	diag_hint(c->l->diag,
		  "leave %s out: amounts are plain numbers, the currency is said once in the farm "
		  "block",
		  QUOTE(c, word));
}

int cur_expected(struct cursor *c, const char *choices)
{
	struct buf b;
	buf_init(&b, 1024);
	print_choices(&b, choices);
	struct str word = cur_peek(c);
	struct choices k = { c->l->arena, choices, false };
	struct str near =
	    word.n ? diag_nearest(str_fold(c->l->arena, word), next_choice, &k) : STR_NONE;
	if (word.n == 0) {
		cur_error(c, word, "The line ends where %s should stand.", b.data);
		cur_hint_example(c);
	} else if (near.n) {
		cur_error(c, word, "%s is no word that can stand here.", QUOTE(c, word));
		diag_hint(c->l->diag, "did you mean `%.*s`?", STR_ARG(near));
	} else {
		cur_error(c, word, "%s should stand here, not %s.", b.data, QUOTE(c, word));
		if (looks_like_currency(word))
			hint_currency(c, word);
		else
			cur_hint_example(c);
	}
	buf_release(&b);
	return -1;
}

int cur_missing(struct cursor *c, const char *what)
{
	struct str word = cur_peek(c);
	if (word.n == 0)
		cur_error(c, word, "The line ends where %s should stand.", what);
	else
		cur_error(c, word, "%c%s should stand here, not %s.", what[0] - 'a' + 'A', what + 1,
			  QUOTE(c, word));
	if (word.n && looks_like_currency(word))
		hint_currency(c, word);
	else
		cur_hint_example(c);
	return -1;
}

int cur_too_much(struct cursor *c)
{
	struct str word = cur_peek(c);
	cur_error(c, word, "%s is too much here.", QUOTE(c, word));
	if (looks_like_currency(word))
		hint_currency(c, word);
	else
		cur_hint_example(c);
	return -1;
}

/* Whether a clause of the statement can begin with the word: it stands in the syntax
 * behind a comma or a bar; a number does where a value may stand there. */
static bool begins_clause(const struct statement *s, struct str word)
{
	bool number = word.p[0] >= '0' && word.p[0] <= '9';
	for (const char *p = s ? s->syntax : ""; (p = strpbrk(p, ",;|")) != NULL;) {
		const char *mark = p++;
		while (*p == ' ' || *p == '[')
			p++;
		size_t n = strcspn(p, " ,;|[]");
		bool value = *p >= 'A' && *p <= 'Z';
		bool more = strncmp(p, "...", 3) == 0;
		if (number && *mark != '|' && (value || more))
			return true;
		if (!number && !value && same_word(word, p, n))
			return true;
	}
	return false;
}

int cur_next_clause(struct cursor *c)
{
	struct str word = cur_peek(c);
	if (word.n == 0)
		return 0;
	if (!is_separator(word.p[0]) && begins_clause(c->statement, word)) {
		cur_error(c, word, "%s is too much here.", QUOTE(c, word));
		diag_hint(c->l->diag, "put a comma before %s", QUOTE(c, word));
		return -1;
	}
	if (!is_separator(word.p[0]))
		return cur_too_much(c);
	c->at = (size_t)(word.p - c->text.p) + 1;
	if (!cur_clause_end(c))
		return 1;
	cur_error(c, word, "Nothing stands behind this %s.",
		  word.p[0] == ',' ? "comma" : "semicolon");
	cur_hint_example(c);
	return -1;
}

int cur_once(struct cursor *c, unsigned *seen, unsigned bit, struct str at)
{
	if (*seen & bit)
		return cur_error(c, at, "%s says something that this line has said already.",
				 QUOTE(c, at));
	*seen |= bit;
	return 0;
}
