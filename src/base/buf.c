/* buf.c - the capped byte buffer. */
#include "base/buf.h"

#include "base/mem.h"

enum { FIRST_ROOM = 64 };

void buf_init(struct buf *b, size_t max)
{
	if (max > SIZE_MAX / 4)
		max = SIZE_MAX / 4;
	b->max = max;
	b->cap = max < FIRST_ROOM ? max + 1 : FIRST_ROOM;
	b->data = mem_alloc(b->cap, 1);
	b->len = 0;
	b->full = false;
}

void buf_release(struct buf *b)
{
	mem_free(b->data);
	*b = (struct buf){ 0 };
}

void buf_clear(struct buf *b)
{
	b->len = 0;
	b->data[0] = '\0';
	b->full = false;
}

/* Room for n more bytes and the NUL; -1 when that passes the most. */
static int make_room(struct buf *b, size_t n)
{
	if (n > b->max - b->len) {
		b->full = true;
		return -1;
	}
	size_t need = b->len + n + 1;
	if (need <= b->cap)
		return 0;
	size_t cap = b->cap * 2;
	if (cap < need)
		cap = need;
	if (cap > b->max + 1)
		cap = b->max + 1;
	b->data = mem_grow(b->data, cap, 1);
	b->cap = cap;
	return 0;
}

int buf_add(struct buf *b, const char *p, size_t n)
{
	if (make_room(b, n))
		return -1;
	if (n)
		memcpy(b->data + b->len, p, n);
	b->len += n;
	b->data[b->len] = '\0';
	return 0;
}

int buf_char(struct buf *b, char c)
{
	return buf_add(b, &c, 1);
}

int buf_text(struct buf *b, const char *s)
{
	return buf_add(b, s, strlen(s));
}

int buf_str(struct buf *b, struct str s)
{
	return buf_add(b, s.p, s.n);
}

int buf_fill(struct buf *b, char c, size_t n)
{
	if (make_room(b, n))
		return -1;
	memset(b->data + b->len, c, n);
	b->len += n;
	b->data[b->len] = '\0';
	return 0;
}

/* By the C library. */
__attribute__((format(printf, 2, 0))) static int add_format(struct buf *b, const char *fmt, va_list ap)
{
	va_list again;
	va_copy(again, ap);
	size_t room = b->cap - b->len;
	int n = vsnprintf(b->data + b->len, room, fmt, ap);
	int rc = -1;
	if (n < 0) {
		b->full = true; /* a conversion failed: same as text that did not fit */
	} else if ((size_t)n < room) {
		b->len += (size_t)n;
		rc = 0;
	} else if (make_room(b, (size_t)n) == 0) {
		vsnprintf(b->data + b->len, (size_t)n + 1, fmt, again);
		b->len += (size_t)n;
		rc = 0;
	}
	va_end(again);
	b->data[b->len] = '\0';
	return rc;
}

static int add_whole(struct buf *b, bool negative, uintmax_t x)
{
	char text[32];
	size_t at = sizeof text;
	do
		text[--at] = (char)('0' + x % 10);
	while (x /= 10);
	if (negative)
		text[--at] = '-';
	return buf_add(b, text + at, sizeof text - at);
}

/* One conversion by hand: strings, characters and plain whole numbers.  Its length in the format; 0 when
 * it is another one. */
static size_t add_plain(struct buf *b, const char *mark, va_list *ap, int *rc)
{
	if (mark[1] == 's') {
		const char *text = va_arg(*ap, const char *);
		*rc = buf_text(b, text ? text : "(null)");
		return 2;
	}
	if (mark[1] == '.' && mark[2] == '*' && mark[3] == 's') {
		int most = va_arg(*ap, int);
		const char *text = va_arg(*ap, const char *);
		*rc = buf_add(b, text, !text ? 0 : most < 0 ? strlen(text) : strnlen(text, (size_t)most));
		return 4;
	}
	if (mark[1] == 'd') {
		int x = va_arg(*ap, int);
		*rc = add_whole(b, x < 0, x < 0 ? -(uintmax_t)x : (uintmax_t)x);
		return 2;
	}
	if (mark[1] == 'u') {
		*rc = add_whole(b, false, va_arg(*ap, unsigned));
		return 2;
	}
	if (mark[1] == 'z' && mark[2] == 'u') {
		*rc = add_whole(b, false, va_arg(*ap, size_t));
		return 3;
	}
	if (mark[1] == 'c' || mark[1] == '%') {
		*rc = buf_char(b, mark[1] == '%' ? '%' : (char)va_arg(*ap, int));
		return 2;
	}
	return 0;
}

/* What formulas and tables are full of is done by hand, for the library takes several times as long.
 * At the first other conversion it takes what is left, arguments and all. */
int buf_vprintf(struct buf *b, const char *fmt, va_list ap)
{
	size_t before = b->len;
	int rc = 0;
	va_list rest;
	va_copy(rest, ap);
	while (*fmt && !rc) {
		size_t n = 0;
		while (fmt[n] && fmt[n] != '%')
			n++;
		if (n)
			rc = buf_add(b, fmt, n);
		else if (!(n = add_plain(b, fmt, &rest, &rc))) {
			rc = add_format(b, fmt, rest);
			break;
		}
		fmt += n;
	}
	va_end(rest);
	if (rc)
		b->len = before;
	b->data[b->len] = '\0';
	return rc;
}

int buf_printf(struct buf *b, const char *fmt, ...)
{
	va_list ap;
	va_start(ap, fmt);
	int rc = buf_vprintf(b, fmt, ap);
	va_end(ap);
	return rc;
}

static bool hides(int32_t c)
{
	return c < 0x20 || (c >= 0x7f && c < 0xa0) || (c >= 0x200b && c <= 0x200f) ||
	       (c >= 0x2028 && c <= 0x202e) || (c >= 0x2060 && c <= 0x206f) || c == 0xfeff;
}

int buf_visible(struct buf *b, struct str s, size_t most)
{
	int32_t code;
	size_t count = 0;
	int rc = 0;
	for (size_t i = 0, n; (n = str_next(s, i, &code)) > 0 && rc == 0; i += n) {
		if (count++ == most)
			return buf_text(b, "...");
		if (code < 0)
			rc = buf_printf(b, "\\x%02x", (unsigned)(unsigned char)s.p[i]);
		else if (hides(code))
			rc = buf_printf(b, code < 0x100 ? "\\x%02x" : "\\u%04x", (unsigned)code);
		else
			rc = buf_add(b, s.p + i, n);
	}
	return rc;
}

struct str buf_slice(const struct buf *b)
{
	return (struct str){ b->data, b->len };
}
