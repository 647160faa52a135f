/* str.c - slices and Unicode.  The only file that knows utf8proc.
 *
 * Nearly all names and cells are plain ASCII, so every function that looks at
 * characters walks ASCII bytes itself and asks utf8proc for the rest only. */
#include "base/str.h"

#include <utf8proc.h>

#include "base/mem.h"

struct str str_of(const char *s)
{
	return s ? (struct str){ s, strlen(s) } : STR_NONE;
}

bool str_eq(struct str a, struct str b)
{
	return a.n == b.n && (a.n == 0 || memcmp(a.p, b.p, a.n) == 0);
}

bool str_is(struct str a, const char *b)
{
	return str_eq(a, str_of(b));
}

int str_cmp(struct str a, struct str b)
{
	size_t n = a.n < b.n ? a.n : b.n;
	int c = n ? memcmp(a.p, b.p, n) : 0;
	if (c)
		return c < 0 ? -1 : 1;
	return (a.n > b.n) - (a.n < b.n);
}

bool str_starts(struct str a, const char *prefix)
{
	size_t n = strlen(prefix);
	return a.n >= n && (n == 0 || memcmp(a.p, prefix, n) == 0);
}

static bool is_blank(char c)
{
	return c == ' ' || c == '\t';
}

struct str str_trim(struct str s)
{
	while (s.n && is_blank(s.p[0])) {
		s.p++;
		s.n--;
	}
	while (s.n && is_blank(s.p[s.n - 1]))
		s.n--;
	return s;
}

/* FNV-1a, 64 bits. */
uint64_t str_hash(struct str s)
{
	uint64_t h = UINT64_C(14695981039346656037);
	for (size_t i = 0; i < s.n; i++)
		h = (h ^ (unsigned char)s.p[i]) * UINT64_C(1099511628211);
	return h;
}

/* Length of the run of ASCII bytes from i on. */
static size_t ascii_run(struct str s, size_t i)
{
	size_t start = i;
	uint64_t word;
	while (s.n - i >= sizeof word) {
		memcpy(&word, s.p + i, sizeof word);
		if (word & UINT64_C(0x8080808080808080))
			break;
		i += sizeof word;
	}
	while (i < s.n && !(s.p[i] & 0x80))
		i++;
	return i - start;
}

size_t str_next(struct str s, size_t at, int32_t *code)
{
	if (at >= s.n)
		return 0;
	unsigned char c = (unsigned char)s.p[at];
	if (c < 0x80) {
		*code = c;
		return 1;
	}
	size_t left = s.n - at;
	utf8proc_int32_t got;
	utf8proc_ssize_t n = utf8proc_iterate((const utf8proc_uint8_t *)s.p + at,
	                                      left < 4 ? (utf8proc_ssize_t)left : 4, &got);
	if (n <= 0) {
		*code = -1;
		return 1;
	}
	*code = got;
	return (size_t)n;
}

size_t str_utf8_bad(struct str s)
{
	size_t i = 0;
	for (;;) {
		i += ascii_run(s, i);
		if (i >= s.n)
			return s.n;
		int32_t code;
		size_t n = str_next(s, i, &code);
		if (code < 0)
			return i;
		i += n;
	}
}

static size_t code_width(int32_t code)
{
	if (code < 0)
		return 1; /* a terminal shows a replacement mark */
	if (code < 0x80)
		return code >= 0x20 && code != 0x7f;
	int w = utf8proc_charwidth(code);
	return w > 0 ? (size_t)w : 0;
}

size_t str_width(struct str s)
{
	size_t width = 0, i = 0, n;
	int32_t code;
	do {
		for (; i < s.n && s.p[i] >= ' ' && s.p[i] <= '~'; i++)
			width++;
		n = str_next(s, i, &code);
		width += n ? code_width(code) : 0;
		i += n;
	} while (n);
	return width;
}

size_t str_fit(struct str s, size_t width)
{
	size_t used = 0, i = 0, n;
	int32_t code;
	for (; (n = str_next(s, i, &code)) > 0; i += n) {
		used += code_width(code);
		if (used > width)
			break;
	}
	return i;
}

size_t str_chars(struct str s, size_t n)
{
	size_t count = 0;
	if (n > s.n)
		n = s.n;
	for (size_t i = 0; i < n; i++)
		count += ((unsigned char)s.p[i] & 0xc0) != 0x80;
	return count;
}

static bool is_space(int32_t code)
{
	if (code < 0x80)
		return code == ' ' || (code >= '\t' && code <= '\r');
	if (code == 0x85)
		return true;
	utf8proc_category_t c = utf8proc_category(code);
	return c == UTF8PROC_CATEGORY_ZS || c == UTF8PROC_CATEGORY_ZL || c == UTF8PROC_CATEGORY_ZP;
}

static struct str fold_ascii(struct arena *a, struct str s)
{
	char *out = arena_alloc(a, s.n + 1, 1);
	size_t n = 0;
	bool gap = false;
	for (size_t i = 0; i < s.n; i++) {
		char c = s.p[i];
		if (is_space(c)) {
			gap = n > 0;
			continue;
		}
		if (gap)
			out[n++] = ' ';
		gap = false;
		out[n++] = c >= 'A' && c <= 'Z' ? (char)(c - 'A' + 'a') : c;
	}
	return (struct str){ out, n };
}

/* The apostrophe as word processors set it, and the one that keys give. */
static int32_t plain_apostrophe(int32_t code)
{
	return code == 0x2019 || code == 0x2018 || code == 0x2bc ? '\'' : code;
}

/* Runs of white space to one blank, ends trimmed, apostrophes straight; in place. */
static size_t squeeze(int32_t *codes, size_t n)
{
	size_t kept = 0;
	bool gap = false;
	for (size_t i = 0; i < n; i++) {
		if (is_space(codes[i])) {
			gap = kept > 0;
			continue;
		}
		if (gap)
			codes[kept++] = ' ';
		gap = false;
		codes[kept++] = plain_apostrophe(codes[i]);
	}
	return kept;
}

struct str str_fold(struct arena *a, struct str s)
{
	if (ascii_run(s, 0) == s.n)
		return fold_ascii(a, s);
	if (str_utf8_bad(s) < s.n)
		return (struct str){ arena_copy(a, s.p, s.n), s.n };

	const utf8proc_option_t how = UTF8PROC_STABLE | UTF8PROC_COMPOSE | UTF8PROC_CASEFOLD;
	const utf8proc_uint8_t *text = (const utf8proc_uint8_t *)s.p;
	utf8proc_ssize_t len = (utf8proc_ssize_t)s.n;
	utf8proc_ssize_t need = utf8proc_decompose(text, len, NULL, 0, how);
	if (need < 0)
		return (struct str){ arena_copy(a, s.p, s.n), s.n };
	/* utf8proc_reencode() writes up to 4 bytes for each code, and a NUL. */
	int32_t *codes = mem_alloc((size_t)need + 1, sizeof *codes);
	utf8proc_decompose(text, len, codes, need, how);
	size_t kept = squeeze(codes, (size_t)need);
	utf8proc_ssize_t n = utf8proc_reencode(codes, (utf8proc_ssize_t)kept, how);
	struct str folded = n >= 0 ? (struct str){ arena_copy(a, (const char *)codes, (size_t)n),
	                                           (size_t)n }
	                           : (struct str){ arena_copy(a, s.p, s.n), s.n };
	mem_free(codes);
	return folded;
}

static size_t least(size_t a, size_t b)
{
	return a < b ? a : b;
}

/* Dynamic programme over three rows (optimal string alignment); only the band
 * of `limit` about the diagonal can stay within the limit. */
size_t str_distance(struct str a, struct str b, size_t limit)
{
	if (limit > a.n + b.n)
		limit = a.n + b.n;
	const size_t over = limit + 1;
	if ((a.n > b.n ? a.n - b.n : b.n - a.n) > limit)
		return over;
	size_t width = b.n + 1;
	size_t *rows = mem_alloc(3 * width, sizeof *rows);
	size_t *before = rows, *prev = rows + width, *cur = rows + 2 * width;
	for (size_t j = 0; j <= b.n; j++)
		prev[j] = least(j, over);
	for (size_t i = 1; i <= a.n; i++) {
		size_t lo = i > limit ? i - limit : 1, hi = least(b.n, i + limit);
		for (size_t j = 0; j <= b.n; j++)
			cur[j] = over;
		cur[0] = least(i, over);
		for (size_t j = lo; j <= hi; j++) {
			size_t d = prev[j - 1] + (a.p[i - 1] != b.p[j - 1]);
			d = least(d, least(prev[j], cur[j - 1]) + 1);
			if (i > 1 && j > 1 && a.p[i - 1] == b.p[j - 2] && a.p[i - 2] == b.p[j - 1])
				d = least(d, before[j - 2] + 1);
			cur[j] = least(d, over);
		}
		size_t *spare = before;
		before = prev;
		prev = cur;
		cur = spare;
	}
	size_t distance = prev[b.n];
	mem_free(rows);
	return distance;
}
