/* verify.c - reads a ZIP as far as a workbook needs it, trusting nothing. */
#include "report/workbook/verify.h"

#include <stdarg.h>
#include <stdbool.h>
#include <stdint.h>

#include <zlib.h>

#include "base/file.h"
#include "base/mem.h"

enum {
	END_SIZE = 22,   /* end of central directory record, without its comment */
	ENTRY_SIZE = 46, /* a header in the central directory */
	LOCAL_SIZE = 30, /* a header before a member's data */
	COMMENT_MOST = 65535,
	NAME_SHOWN = 60,
	CHUNK = 32768,
	METHOD_STORED = 0,
	METHOD_DEFLATED = 8
};

struct check {
	struct str file;
	char *why;
	size_t room;
};

static int bad(struct check *c, const char *fmt, ...) __attribute__((format(printf, 2, 3)));
static int bad(struct check *c, const char *fmt, ...)
{
	va_list ap;
	va_start(ap, fmt);
	vsnprintf(c->why, c->room, fmt, ap);
	va_end(ap);
	return -1;
}

static uint32_t word(const char *p)
{
	const unsigned char *u = (const unsigned char *)p;
	return (uint32_t)u[0] | (uint32_t)u[1] << 8;
}

static uint32_t dword(const char *p)
{
	return word(p) | word(p + 2) << 16;
}

/* ---- tags ---- */

/* Counts open tags as the bytes go by.  Not a parser: it sees cut and mangled parts, not wrong
 * ones.  A tag ends at the first >, for the library writes &gt; within values. */
struct tags {
	enum { BEFORE, TEXT, OPENED, IN_TAG, IN_END, IN_MARK, AFTER } at;
	char before, last;
	bool quoted;
	long depth;
	bool broken;
};

/* Within one. */
static void tag_bytes(struct tags *t, const char *p, size_t n)
{
	if (!n)
		return;
	t->before = n > 1 ? p[n - 2] : t->last;
	t->last = p[n - 1];
	if (t->at == IN_TAG) {
		t->quoted |= memchr(p, '"', n) != NULL;
		t->broken |= memchr(p, '<', n) != NULL;
	}
}

/* With values it ends behind the last one. */
static bool cut_in_value(const struct tags *t)
{
	char end = t->last == '/' ? t->before : t->last;
	return t->at == IN_TAG && t->quoted && end != '"' && end != ' ';
}

static void tag_closed(struct tags *t)
{
	if (t->at == IN_END)
		t->depth--;
	else if (t->at == IN_TAG && t->last != '/')
		t->depth++;
	if (t->depth < 0 || cut_in_value(t))
		t->broken = true;
	t->quoted = false;
	t->at = t->depth > 0 ? TEXT : t->at == IN_MARK ? BEFORE : AFTER;
}

/* Outside of tags, and what kind of tag begins. */
static void tags_byte(struct tags *t, char c)
{
	if (t->at == OPENED)
		t->at = c == '/' ? IN_END : c == '?' || c == '!' ? IN_MARK : IN_TAG;
	else if (c == '<' && t->at == BEFORE)
		t->at = OPENED;
	else if (!strchr(" \t\r\n", c))
		t->broken = true;
	t->last = c;
}

static void tags_bytes(struct tags *t, const char *p, const char *end)
{
	while (p < end) {
		if (t->at == BEFORE || t->at == OPENED || t->at == AFTER) {
			tags_byte(t, *p++);
			continue;
		}
		const char *stop = memchr(p, t->at == TEXT ? '<' : '>', (size_t)(end - p));
		size_t n = (size_t)((stop ? stop : end) - p);
		if (t->at != TEXT)
			tag_bytes(t, p, n);
		if (!stop)
			return;
		if (t->at == TEXT)
			t->at = OPENED;
		else
			tag_closed(t);
		p = stop + 1;
	}
}

static bool tags_whole(const struct tags *t)
{
	return !t->broken && t->at == AFTER;
}

/* ---- members ---- */

struct member {
	struct str name;
	uint32_t method, crc, packed, size;
	size_t data; /* offset of its bytes */
};

struct reading {
	uLong crc;
	size_t size;
	struct tags tags;
};

static void take(struct reading *r, const unsigned char *p, size_t n)
{
	r->crc = crc32(r->crc, p, (uInt)n);
	r->size += n;
	tags_bytes(&r->tags, (const char *)p, (const char *)p + n);
}

/* Inflates up to the announced size and not a byte further. */
static int inflate_member(const struct check *c, const struct member *m, struct reading *r)
{
	unsigned char out[CHUNK];
	z_stream z = { .next_in = (Bytef *)(uintptr_t)(c->file.p + m->data),
		       .avail_in = m->packed };
	if (inflateInit2(&z, -MAX_WBITS) != Z_OK)
		return -1;
	int state;
	do {
		z.next_out = out;
		z.avail_out = sizeof out;
		state = inflate(&z, Z_NO_FLUSH);
		take(r, out, sizeof out - z.avail_out);
	} while (state == Z_OK && r->size <= m->size);
	bool whole = state == Z_STREAM_END && z.avail_in == 0;
	inflateEnd(&z);
	return whole ? 0 : -1;
}

static bool ends_in(struct str s, const char *ending)
{
	size_t n = strlen(ending);
	return s.n >= n && !memcmp(s.p + s.n - n, ending, n);
}

static int check_member(struct check *c, const struct member *m)
{
	struct reading r = { .crc = crc32(0, NULL, 0) };
	int shown = (int)(m->name.n < NAME_SHOWN ? m->name.n : NAME_SHOWN);
	if (m->method == METHOD_STORED && m->packed == m->size)
		for (size_t at = 0, n; at < m->packed; at += n) {
			n = m->packed - at < CHUNK ? m->packed - at : CHUNK;
			take(&r, (const unsigned char *)c->file.p + m->data + at, n);
		}
	else if (m->method != METHOD_DEFLATED || inflate_member(c, m, &r))
		return bad(c, "its part %.*s cannot be unpacked", shown, m->name.p);
	if (r.size != m->size || (uint32_t)r.crc != m->crc)
		return bad(c, "its part %.*s is damaged", shown, m->name.p);
	bool xml =
	    ends_in(m->name, ".xml") || ends_in(m->name, ".rels") || ends_in(m->name, ".vml");
	if (xml && !tags_whole(&r.tags))
		return bad(c, "its part %.*s is cut short", shown, m->name.p);
	return 0;
}

/* Offset of the end record, searched from the end of the file; file.n when none. */
static size_t find_end(struct str file)
{
	if (file.n < END_SIZE)
		return file.n;
	size_t low = file.n - END_SIZE > COMMENT_MOST ? file.n - END_SIZE - COMMENT_MOST : 0;
	for (size_t at = file.n - END_SIZE + 1; at-- > low;) {
		if (!memcmp(file.p + at, "PK\5\6", 4) &&
		    word(file.p + at + 20) == file.n - at - END_SIZE)
			return at;
	}
	return file.n;
}

/* Reads the header at *at and steps over it. */
static int next_member(struct check *c, size_t *at, size_t end, struct member *m)
{
	const char *p = c->file.p + *at;
	if (end - *at < ENTRY_SIZE || memcmp(p, "PK\1\2", 4))
		return bad(c, "its list of parts is damaged");
	size_t name = word(p + 28), length = ENTRY_SIZE + name + word(p + 30) + word(p + 32);
	size_t local = dword(p + 42);
	if (end - *at < length)
		return bad(c, "its list of parts is cut short");
	*m = (struct member){ .name = { p + ENTRY_SIZE, name },
			      .method = word(p + 10),
			      .crc = dword(p + 16),
			      .packed = dword(p + 20),
			      .size = dword(p + 24) };
	*at += length;
	if (local > end || end - local < LOCAL_SIZE || memcmp(c->file.p + local, "PK\3\4", 4))
		return bad(c, "a part of it is missing");
	m->data = local + LOCAL_SIZE + word(c->file.p + local + 26) + word(c->file.p + local + 28);
	if (m->data > end || end - m->data < m->packed)
		return bad(c, "a part of it is cut short");
	return 0;
}

int verify_book(struct str file, char *why, size_t room)
{
	struct check c = { file, why, room };
	size_t end = find_end(file);
	if (end == file.n)
		return bad(&c, "it has no list of its parts");
	size_t count = word(file.p + end + 10), size = dword(file.p + end + 12);
	size_t at = dword(file.p + end + 16);
	if (at > end || end - at != size)
		return bad(&c, "its list of parts is not where it should be");
	bool types = false, book = false;
	for (size_t i = 0; i < count; i++) {
		struct member m;
		if (next_member(&c, &at, end, &m) || check_member(&c, &m))
			return -1;
		types |= str_is(m.name, "[Content_Types].xml");
		book |= str_is(m.name, "xl/workbook.xml");
	}
	if (at != end)
		return bad(&c, "its list of parts has a wrong length");
	if (!types || !book)
		return bad(&c, "it lacks a part that every workbook has");
	return 0;
}

int verify_file(const char *path, char *why, size_t room)
{
	struct arena a;
	struct str file;
	struct file_error err;
	arena_init(&a);
	int rc = file_read(&a, path, &file, &err);
	if (rc)
		snprintf(why, room, "%s", err.text);
	else
		rc = verify_book(file, why, room);
	arena_release(&a);
	return rc;
}
