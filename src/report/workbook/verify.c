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
	DEFLATE_MOST = 1032, /* no byte inflates to more: zlib.net, "Technical Details" */
	METHOD_STORED = 0,
	METHOD_DEFLATED = 8
};

struct check {
	struct str file;
	char *why;
	size_t room;
	char *bytes; /* of one part, unpacked */
	size_t cap;
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

static const char *blanks_over(const char *p, const char *end)
{
	while (p < end && (*p == ' ' || *p == '\t' || *p == '\r' || *p == '\n'))
		p++;
	return p;
}

/* Of a tag that opens, without its brackets: with values it ends behind the last one. */
static bool tag_whole(const char *tag, const char *stop)
{
	char last = stop - tag > 1 && stop[-1] == '/' ? stop[-2] : stop[-1];
	return last == '"' || last == ' ' || !memchr(tag, '"', (size_t)(stop - tag));
}

static bool is_mark(const char *tag)
{
	return *tag == '?' || *tag == '!';
}

/* Over what stands before the first tag: blanks, <?xml ...?> */
static const char *marks_over(const char *p, const char *end)
{
	p = blanks_over(p, end);
	while (end - p > 1 && *p == '<' && is_mark(p + 1)) {
		const char *stop = memchr(p, '>', (size_t)(end - p));
		p = stop ? blanks_over(stop + 1, end) : end;
	}
	return p;
}

/* Counts open tags.  Not a parser: it sees cut and mangled parts, not wrong ones.  The library writes
 * &lt; and &gt; within values and texts, so that from one < to the next there is one >. */
static bool tags_close(const char *p, const char *end)
{
	long depth = 0;
	const char *next;
	for (p = marks_over(p, end); p < end && *p == '<'; p = next) {
		const char *tag = p + 1;
		next = memchr(tag, '<', (size_t)(end - tag));
		next = next ? next : end;
		const char *stop = memchr(tag, '>', (size_t)(next - tag));
		if (!stop || stop == tag)
			return false;
		if (is_mark(tag))
			continue;
		if (*tag == '/')
			depth--;
		else if (tag_whole(tag, stop))
			depth += stop[-1] != '/';
		else
			return false;
		if (depth <= 0)
			return depth == 0 && blanks_over(stop + 1, end) == end;
	}
	return false;
}

/* ---- members ---- */

struct member {
	struct str name;
	uint32_t method, crc, packed, size;
	size_t data; /* offset of its bytes */
};

/* Its bytes, in c->room; NULL where they cannot be had.  Inflates up to the announced size and not a
 * byte further. */
static const char *unpack(struct check *c, const struct member *m)
{
	const char *packed = c->file.p + m->data;
	if (m->method == METHOD_STORED && m->packed == m->size)
		return packed;
	if (m->method != METHOD_DEFLATED || m->size == UINT32_MAX || m->size / DEFLATE_MOST > m->packed)
		return NULL;
	if (m->size >= c->cap) {
		c->cap = (size_t)m->size + 1;
		c->bytes = mem_grow(c->bytes, c->cap, 1);
	}
	z_stream z = { .next_in = (Bytef *)(uintptr_t)packed, .avail_in = m->packed,
		       .next_out = (Bytef *)c->bytes, .avail_out = m->size + 1 };
	if (inflateInit2(&z, -MAX_WBITS) != Z_OK)
		return NULL;
	bool whole = inflate(&z, Z_FINISH) == Z_STREAM_END && z.avail_in == 0 && z.avail_out == 1;
	inflateEnd(&z);
	return whole ? c->bytes : NULL;
}

static bool ends_in(struct str s, const char *ending)
{
	size_t n = strlen(ending);
	return s.n >= n && !memcmp(s.p + s.n - n, ending, n);
}

static int check_member(struct check *c, const struct member *m)
{
	int shown = (int)(m->name.n < NAME_SHOWN ? m->name.n : NAME_SHOWN);
	const char *p = unpack(c, m);
	if (!p)
		return bad(c, "its part %.*s cannot be unpacked", shown, m->name.p);
	if ((uint32_t)crc32(crc32(0, NULL, 0), (const Bytef *)p, m->size) != m->crc)
		return bad(c, "its part %.*s is damaged", shown, m->name.p);
	bool xml =
	    ends_in(m->name, ".xml") || ends_in(m->name, ".rels") || ends_in(m->name, ".vml");
	if (xml && !tags_close(p, p + m->size))
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

static int check_parts(struct check *c)
{
	size_t end = find_end(c->file);
	if (end == c->file.n)
		return bad(c, "it has no list of its parts");
	const char *p = c->file.p + end;
	size_t count = word(p + 10), size = dword(p + 12), at = dword(p + 16);
	if (at > end || end - at != size)
		return bad(c, "its list of parts is not where it should be");
	bool types = false, book = false;
	for (size_t i = 0; i < count; i++) {
		struct member m = { 0 };
		if (next_member(c, &at, end, &m) || check_member(c, &m))
			return -1;
		types |= str_is(m.name, "[Content_Types].xml");
		book |= str_is(m.name, "xl/workbook.xml");
	}
	if (at != end)
		return bad(c, "its list of parts has a wrong length");
	if (!types || !book)
		return bad(c, "it lacks a part that every workbook has");
	return 0;
}

int verify_book(struct str file, char *why, size_t room)
{
	struct check c = { .file = file, .why = why, .room = room };
	int rc = check_parts(&c);
	mem_free(c.bytes);
	return rc;
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
