/* safe.c - what text and names may be in a workbook: rules of the file's format and
 * of spreadsheets, without the library. */
#include <ctype.h>

#include "base/buf.h"
#include "report/workbook/sheet.h"

enum {
	SHEET_NAME_MOST = 31,
	TEXT_MOST = 32767, /* UTF-16 units in a cell */
	NAME_MOST = 127 /* what the library takes; spreadsheets take 255 */
};
static const char cut_mark[] = " [...]";

/* ---- text ---- */

static bool is_hex(char c)
{
	return isdigit((unsigned char)c) || (c >= 'A' && c <= 'F') || (c >= 'a' && c <= 'f');
}

/* _x0041_ in a cell is read as the character of that code: its first _ has to be
 * written as _x005F_ for the text to come back as it was. */
bool cell_escape_at(struct str s, size_t at)
{
	if (s.n < at + 7 || s.p[at] != '_' || s.p[at + 1] != 'x' || s.p[at + 6] != '_')
		return false;
	for (size_t i = at + 2; i < at + 6; i++) {
		if (!is_hex(s.p[i]))
			return false;
	}
	return true;
}

bool cell_text_plain(struct str text)
{
	if (text.n > TEXT_MOST)
		return false;
	for (size_t i = 0; i < text.n; i++) {
		unsigned char c = (unsigned char)text.p[i];
		if (c < 0x20 || c >= 0x7f || (c == '_' && cell_escape_at(text, i)))
			return false;
	}
	return true;
}

const char *cell_text(struct arena *a, struct str text)
{
	if (cell_text_plain(text))
		return arena_copy(a, text.p, text.n);
	struct buf b;
	buf_init(&b, 8 * TEXT_MOST);
	size_t units = 0, most = TEXT_MOST, used;
	for (size_t at = 0; at < text.n; at += used) {
		int32_t code;
		used = str_next(text, at, &code);
		size_t before = b.len, wide = code >= 0x10000 ? 2 : 1;
		if (code == '\n' || code == '\t') {
			buf_char(&b, (char)code);
		} else if (code == '\r' && at + 1 < text.n && text.p[at + 1] == '\n') {
			continue;
		} else if (cell_escape_at(text, at)) {
			buf_text(&b, "_x005F_");
		} else if (code < 0x20 || (code >= 0x7f && code < 0xa0) || code == 0xfffe ||
			   code == 0xffff) {
			/* -1 is a byte that is no UTF-8; the two last are no XML characters */
			unsigned byte = code < 0 ? (unsigned char)text.p[at] : (unsigned)code;
			buf_printf(&b, byte > 0xff ? "\\u%04x" : "\\x%02x", byte);
			wide = b.len - before;
		} else {
			buf_add(&b, text.p + at, used);
		}
		units += wide;
		size_t rest = text.n - at - used;
		/* Is there room for the mark too, should the rest not fit? */
		if (units + (rest ? sizeof cut_mark - 1 : 0) > most && units + rest > most) {
			b.len = before;
			b.data[before] = '\0';
			buf_text(&b, cut_mark);
			break;
		}
	}
	const char *out = arena_copy(a, b.data, b.len);
	buf_release(&b);
	return out;
}

/* ---- names ---- */

static char small(char c)
{
	return c >= 'A' && c <= 'Z' ? (char)(c - 'A' + 'a') : c;
}

bool cell_same_name(const char *a, const char *b)
{
	while (*a && small(*a) == small(*b))
		a++, b++;
	return *a == *b;
}

bool book_sheet_name_ok(const char *name)
{
	struct str s = str_of(name);
	if (!s.n || str_utf8_bad(s) < s.n || str_chars(s, s.n) > SHEET_NAME_MOST)
		return false;
	for (size_t i = 0; i < s.n; i++) {
		if ((unsigned char)s.p[i] < 0x20 || strchr("[]:*?/\\", s.p[i]))
			return false;
	}
	return s.p[0] != '\'' && s.p[s.n - 1] != '\'' && !cell_same_name(name, "history");
}

/* A1, XFD9, R2C3, R, c7: what a spreadsheet reads as an address. */
static bool looks_like_address(const char *name)
{
	size_t letters = 0, n = strlen(name);
	while (isalpha((unsigned char)name[letters]))
		letters++;
	size_t digits = strspn(name + letters, "0123456789");
	if (letters && letters <= 3 && digits && letters + digits == n)
		return true;
	const char *p = name;
	if (small(*p) == 'r')
		p += 1 + strspn(p + 1, "0123456789");
	if (small(*p) == 'c')
		p += 1 + strspn(p + 1, "0123456789");
	return p > name && !*p;
}

bool book_name_ok(const char *name)
{
	size_t n = strlen(name);
	if (!n || n > NAME_MOST || (!isalpha((unsigned char)name[0]) && name[0] != '_'))
		return false;
	for (size_t i = 0; i < n; i++) {
		unsigned char c = (unsigned char)name[i];
		if (c >= 0x80 || (!isalnum(c) && c != '_' && c != '.') ||
		    cell_escape_at(str_of(name), i))
			return false;
	}
	return !looks_like_address(name) && !cell_same_name(name, "true") &&
	       !cell_same_name(name, "false");
}
