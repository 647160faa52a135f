/* test_csv.c - the record reader: RFC 4180, csv-spectrum, and what can go wrong. */
#include "help.h"

#include <csv.h>
#include <jansson.h>

#include "base/buf.h"
#include "base/diag.h"
#include "farm/csv.h"

struct fixture {
	struct arena arena;
	struct diag diag;
	struct csv_reader *r;
};

static void open_text(struct fixture *f, const char *text, size_t n)
{
	arena_init(&f->arena);
	diag_init(&f->diag, &f->arena);
	uint32_t source = diag_source(&f->diag, STR("t.csv"), (struct str){ text, n });
	f->r = csv_reader_open(&f->diag, &f->arena, source, SIZE_MAX);
}

static void shut(struct fixture *f)
{
	csv_reader_close(f->r);
	arena_release(&f->arena);
}

static void show_cells(struct buf *b, const struct csv_cell *cells, size_t n)
{
	for (size_t i = 0; i < n; i++) {
		buf_char(b, '[');
		buf_str(b, cells[i].text);
		buf_char(b, ']');
	}
	buf_char(b, '\n');
}

/* Header and records as [cell][cell] lines, then the diagnostics. */
static void check(const char *file, int line, const char *text, size_t n, const char *want)
{
	struct fixture f;
	struct buf b;
	buf_init(&b, 1 << 20);
	open_text(&f, text, n);
	if (f.r->nheader)
		show_cells(&b, f.r->header, f.r->nheader);
	while (csv_reader_next(f.r))
		show_cells(&b, f.r->cells, f.r->nheader);
	assert_int_equal(f.r->failed, f.diag.errors > 0);
	diag_print(&f.diag, &b);
	help_text(buf_slice(&b), want, file, line);
	buf_release(&b);
	shut(&f);
}
#define reads(text, want) check(__FILE__, __LINE__, (text), sizeof(text) - 1, (want))

/* ---- Y. Shafranovich, "Common Format and MIME Type for Comma-Separated Values
 * (CSV) Files", RFC 4180 (2005), section 2.  The rules' wording is from memory. ---- */

static void rule_1_each_record_on_its_line(void **state)
{
	(void)state;
	reads("h,i,j\r\naaa,bbb,ccc\r\nzzz,yyy,xxx\r\n", "[h][i][j]\n[aaa][bbb][ccc]\n[zzz][yyy][xxx]\n");
}

static void rule_2_last_line_break_optional(void **state)
{
	(void)state;
	reads("h,i,j\r\naaa,bbb,ccc\r\nzzz,yyy,xxx", "[h][i][j]\n[aaa][bbb][ccc]\n[zzz][yyy][xxx]\n");
	reads("h,i,j", "[h][i][j]\n");
}

/* A header is optional there; a table of a farm always has one. */
static void rule_3_header_like_a_record(void **state)
{
	(void)state;
	reads("field_name,\"field,name\"\r\naaa,bbb\r\n", "[field_name][field,name]\n[aaa][bbb]\n");
}

/* "Spaces are considered part of a field": here only inside quotes, since people
 * who type tables put blanks behind commas. */
static void rule_4_commas_and_equal_counts(void **state)
{
	(void)state;
	reads("h,i,j\naaa,,ccc\n", "[h][i][j]\n[aaa][][ccc]\n");
	reads("h,i,j\naaa,bbb,\n", "[h][i][j]\n[aaa][bbb][]\n");
	reads("h,i\n \" a \" , b c \t\n", "[h][i]\n[ a ][b c]\n");
	reads("h,i\naaa,bbb,\n", "[h][i]\n"
	                         "t.csv:2:9: error: The row has 3 cells, the header 2: `` is one too many.\n"
	                         "  aaa,bbb,\n"
	                         "          ^\n"
	                         "  hint: a cell that holds a comma is put in quotes\n");
}

static void rule_5_quotes_optional(void **state)
{
	(void)state;
	reads("h,i,j\r\n\"aaa\",\"bbb\",\"ccc\"\r\nzzz,yyy,xxx", "[h][i][j]\n[aaa][bbb][ccc]\n[zzz][yyy][xxx]\n");
	reads("h,i\nx,a\"b\n", "[h][i]\n"
	                       "t.csv:2:4: error: column \"i\": A quote stands inside the cell `a\"b`.\n"
	                       "  x,a\"b\n"
	                       "     ^\n"
	                       "  hint: put the whole cell in quotes and write the quote twice\n");
}

static void rule_6_line_breaks_quotes_commas_in_quotes(void **state)
{
	(void)state;
	reads("h,i,j\r\n\"aaa\",\"b \r\nbb\",\"c,c\"\r\nzzz,yyy,xxx",
	      "[h][i][j]\n[aaa][b \r\nbb][c,c]\n[zzz][yyy][xxx]\n");
	reads("h,i\n\"a\rb\",c\n", "[h][i]\n[a\rb][c]\n");
}

static void rule_7_quote_doubled(void **state)
{
	(void)state;
	reads("h,i,j\n\"aaa\",\"b\"\"bb\",\"ccc\"\n", "[h][i][j]\n[aaa][b\"bb][ccc]\n");
	reads("h,i\n\"\"\"\",\"\"\n", "[h][i]\n[\"][]\n");
	reads("h,i\n\"a\"b,c\n", "[h][i]\n"
	                        "t.csv:2:4: error: column \"h\": `b` follows the quote that closes the cell.\n"
	                        "  \"a\"b,c\n"
	                        "     ^\n"
	                        "  hint: a quote inside a quoted cell is written twice\n");
}

/* ---- csv-spectrum 2.0.0 (max ogden, BSD-2-Clause): tests/data/csv-spectrum ---- */

static void compare_with_json(const char *name)
{
	char path[128];
	snprintf(path, sizeof path, "tests/data/csv-spectrum/%s.csv", name);
	char *csv = help_read(path);
	assert_non_null(csv);
	snprintf(path, sizeof path, "tests/data/csv-spectrum/%s.json", name);
	json_t *json = json_load_file(path, 0, NULL);
	assert_true(json_is_array(json));

	struct fixture f;
	open_text(&f, csv, strlen(csv));
	size_t rows = 0;
	while (csv_reader_next(f.r)) {
		const json_t *row = json_array_get(json, rows++);
		assert_int_equal(json_object_size(row), f.r->nheader);
		for (size_t i = 0; i < f.r->nheader; i++) {
			char key[32];
			snprintf(key, sizeof key, "%.*s", STR_ARG(f.r->header[i].text));
			assert_text(f.r->cells[i].text, json_string_value(json_object_get(row, key)));
		}
	}
	assert_int_equal(rows, json_array_size(json));
	assert_false(f.r->failed);
	shut(&f);
	json_decref(json);
	free(csv);
}

static void csv_spectrum(void **state)
{
	static const char *const names[] = { "comma_in_quotes", "empty",        "empty_crlf",
		                             "escaped_quotes",  "json",         "newlines",
		                             "newlines_crlf",   "quotes_and_newlines",
		                             "simple",          "simple_crlf",  "utf8" };
	(void)state;
	for (size_t i = 0; i < COUNT(names); i++)
		compare_with_json(names[i]);
}

/* ---- what spreadsheets and people do ---- */

static void byte_order_mark(void **state)
{
	(void)state;
	reads("\xef\xbb\xbf" "box,count\nB1,2\n", "[box][count]\n[B1][2]\n");
	reads("\xef\xbb\xbf\"box\",count\r\nB1,2", "[box][count]\n[B1][2]\n");
	reads("\xff\xfe" "b\0o\0x\0", "t.csv:1:1: error: The table is in UTF-16.\n"
	                              "  \\xff\\xfeb\\x00o\\x00x\\x00\n"
	                              "  ^\n"
	                              "  hint: save it as CSV with the character set UTF-8\n");
}

static void delimiter_of_the_header(void **state)
{
	(void)state;
	reads("a;b\n1,5;2\n", "[a][b]\n[1,5][2]\n");
	reads("a\tb\tc\n1,5\t\t 2 3 \n", "[a][b][c]\n[1,5][][2 3]\n");
	reads("\"a,b,c\";d\n1;2\n", "[a,b,c][d]\n[1][2]\n");
	reads("\n\n  \na;\"b\nc,d,e\"\n1;2\n", "[a][b\nc,d,e]\n[1][2]\n");
	reads("count\n7\n", "[count]\n[7]\n");
}

static void blank_lines_are_no_records(void **state)
{
	(void)state;
	reads("a,b\n\n1,2\n\r\n   \n,\n \"\" , \n3,4\n,,,\n\n", "[a][b]\n[1][2]\n[3][4]\n");
	reads("a\tb\n\t\n1\t2\n\t\t\t\n", "[a][b]\n[1][2]\n");
}

static void lines_are_counted(void **state)
{
	static const char text[] = "a,b\n\n\"x\ny\",2\n3,\"\n\"\n5,6\n";
	static const uint32_t lines[] = { 3, 5, 7 };
	struct fixture f;
	(void)state;
	open_text(&f, text, sizeof text - 1);
	for (size_t i = 0; i < COUNT(lines); i++) {
		assert_true(csv_reader_next(f.r));
		assert_int_equal(f.r->line, lines[i]);
		assert_int_equal(diag_place(&f.diag, csv_span(f.r, &f.r->cells[0])).line, lines[i]);
	}
	assert_false(csv_reader_next(f.r));
	assert_false(csv_reader_next(f.r));
	shut(&f);
}

static void places_of_cells(void **state)
{
	static const char text[] = "a,b,c\n  x , \"y\"\"z\" ,\n";
	struct fixture f;
	(void)state;
	open_text(&f, text, sizeof text - 1);
	assert_true(csv_reader_next(f.r));
	assert_int_equal(f.r->cells[0].off, 8);
	assert_int_equal(f.r->cells[0].len, 1);
	assert_int_equal(f.r->cells[1].off, 12);
	assert_int_equal(f.r->cells[1].len, 6);
	assert_text(f.r->cells[1].text, "y\"z");
	assert_int_equal(f.r->cells[2].off, 20);
	assert_int_equal(f.r->cells[2].len, 0);
	shut(&f);
}

static void hundred_thousand_cells(void **state)
{
	enum { CELLS = 100000 };
	struct buf b;
	struct fixture f;
	(void)state;
	buf_init(&b, 4 << 20);
	for (int row = 0; row < 2; row++) {
		for (int i = 0; i < CELLS; i++)
			buf_printf(&b, "%s%d", i ? "," : "", i + row);
		buf_char(&b, '\n');
	}
	open_text(&f, b.data, b.len);
	assert_int_equal(f.r->nheader, CELLS);
	assert_true(csv_reader_next(f.r));
	assert_text(f.r->cells[CELLS - 1].text, "100000");
	assert_false(csv_reader_next(f.r));
	assert_false(f.r->failed);
	shut(&f);
	buf_release(&b);
}

static void long_cell(void **state)
{
	enum { LONG = 3000000 };
	struct fixture f;
	(void)state;
	char *text = malloc(LONG + 16);
	assert_non_null(text);
	memcpy(text, "a\n\"", 3);
	memset(text + 3, 'x', LONG);
	memcpy(text + 3 + LONG, "\"", 1);
	open_text(&f, text, LONG + 4);
	assert_true(csv_reader_next(f.r));
	assert_int_equal(f.r->cells[0].text.n, LONG);
	shut(&f);
	free(text);
}

/* ---- against libcsv itself ---- */

/* What libcsv alone makes of a text: records that are not empty, as [cell][cell]
 * lines; those with another number of cells than the first only counted. */
struct oracle {
	struct buf out, row;
	size_t cells, nheader, ragged;
	bool empty;
};

static void oracle_cell(void *field, size_t n, void *context)
{
	struct oracle *o = context;
	buf_char(&o->row, '[');
	buf_add(&o->row, field, n);
	buf_char(&o->row, ']');
	o->cells++;
	o->empty = o->empty && n == 0;
}

static void oracle_row(int c, void *context)
{
	struct oracle *o = context;
	(void)c;
	if (!o->empty && o->nheader == 0)
		o->nheader = o->cells;
	if (!o->empty && o->cells == o->nheader) {
		buf_add(&o->out, o->row.data, o->row.len);
		buf_char(&o->out, '\n');
	} else if (!o->empty) {
		o->ragged++;
	}
	buf_clear(&o->row);
	o->cells = 0;
	o->empty = true;
}

/* True when libcsv finds the whole text well formed. */
static bool ask_libcsv(struct oracle *o, struct str text)
{
	struct csv_parser p;
	assert_int_equal(csv_init(&p, CSV_STRICT | CSV_STRICT_FINI), 0);
	csv_set_delim(&p, (unsigned char)csv_delimiter(text));
	bool good = csv_parse(&p, text.p, text.n, oracle_cell, oracle_row, o) == text.n &&
	            csv_fini(&p, oracle_cell, oracle_row, o) == 0;
	csv_free(&p);
	return good;
}

static void compare_with_libcsv(struct str text)
{
	struct oracle o = { .empty = true };
	struct fixture f;
	struct buf ours;
	buf_init(&o.out, 1 << 16);
	buf_init(&o.row, 1 << 16);
	buf_init(&ours, 1 << 16);
	bool good = ask_libcsv(&o, text);
	open_text(&f, text.p, text.n);
	if (f.r->nheader)
		show_cells(&ours, f.r->header, f.r->nheader);
	while (csv_reader_next(f.r))
		show_cells(&ours, f.r->cells, f.r->nheader);
	assert_text(buf_slice(&ours), o.out.data);
	if (o.nheader) /* else the table is empty, an error of its own */
		assert_int_equal(f.diag.errors, o.ragged + !good);
	shut(&f);
	buf_release(&o.out);
	buf_release(&o.row);
	buf_release(&ours);
}

static uint32_t draw(uint64_t *state, uint32_t n)
{
	*state ^= *state << 13;
	*state ^= *state >> 7;
	*state ^= *state << 17;
	return (uint32_t)(*state >> 33) % n;
}

static void random_texts_read_as_libcsv_does(void **state)
{
	static const char *const bits[] = { "a", "bc", " ", ",", ",", ";", "\t", "\n", "\r\n", "\n",
		                            "\"", "\"x\"", "\"\"", "\"y, \n\"\"z\"" };
	uint64_t seed = UINT64_C(4180);
	char text[256];
	(void)state;
	for (int i = 0; i < 30000; i++) {
		size_t n = 0;
		/* Quotes out of place end most texts early: let some have few of them. */
		uint32_t kinds = (uint32_t)COUNT(bits) - (i % 3 ? 0 : 4);
		for (uint32_t k = draw(&seed, 24); k > 0; k--) {
			const char *bit = bits[draw(&seed, kinds)];
			memcpy(text + n, bit, strlen(bit));
			n += strlen(bit);
		}
		compare_with_libcsv((struct str){ text, n });
	}
}

/* ---- what is wrong ---- */

static void empty_table(void **state)
{
	static const char want[] = "t.csv:1:1: error: The table is empty.\n"
	                           "  hint: its first line names the columns; delete the file when "
	                           "there is nothing to count\n";
	(void)state;
	reads("", want);
	reads("\n", want);
	reads("\xef\xbb\xbf", "t.csv:1:1: error: The table is empty.\n"
	                      "  \\ufeff\n"
	                      "  ^\n"
	                      "  hint: its first line names the columns; delete the file when "
	                      "there is nothing to count\n");
}

static void ragged_rows_and_on(void **state)
{
	(void)state;
	reads("a,b,c\n1,2\n3,4,5\n6,7,8,9\n\"x\ny\",2\n10,11,12\n",
	      "[a][b][c]\n[3][4][5]\n[10][11][12]\n"
	      "t.csv:2:1: error: column \"c\": The row `1,2` has 2 cells, the header 3.\n"
	      "  1,2\n"
	      "  ^~~\n"
	      "t.csv:4:7: error: The row has 4 cells, the header 3: `9` is one too many.\n"
	      "  6,7,8,9\n"
	      "        ^\n"
	      "  hint: a cell that holds a comma is put in quotes\n"
	      "t.csv:5:1: error: column \"c\": The row `\"x\\x0ay\",2` has 2 cells, the header 3.\n"
	      "  \"x\n"
	      "  ^~\n");
	reads("a;b\n1\n", "[a][b]\n"
	                  "t.csv:2:1: error: column \"b\": The row `1` has 1 cell, the header 2.\n"
	                  "  1\n"
	                  "  ^\n");
}

static void unclosed_quote(void **state)
{
	(void)state;
	reads("a,b\n1,2\n3,\"four\n5,6\n",
	      "[a][b]\n[1][2]\n"
	      "t.csv:3:3: error: column \"b\": The quote before `four` is never closed.\n"
	      "  3,\"four\n"
	      "    ^\n"
	      "  hint: add a `\"` where the cell ends\n");
	reads("\"a,b\n1,2\n", "t.csv:1:1: error: The quote before `a` is never closed.\n"
	                      "  \"a,b\n"
	                      "  ^\n"
	                      "  hint: add a `\"` where the cell ends\n");
	reads("a\n\"\"\"", "[a]\n"
	                   "t.csv:2:1: error: column \"a\": The quote before `\"\"` is never closed.\n"
	                   "  \"\"\"\n"
	                   "  ^\n"
	                   "  hint: add a `\"` where the cell ends\n");
}

static void quote_left_open_until_the_next(void **state)
{
	(void)state;
	reads("a,b\n\"one,2\n\"three\",4\n",
	      "[a][b]\n"
	      "t.csv:3:2: error: column \"a\": `three\"` follows the quote that closes the cell.\n"
	      "  \"three\",4\n"
	      "   ^~~~~~\n"
	      "  hint: a quote inside a quoted cell is written twice\n"
	      "t.csv:2:1: note: the cell was opened here\n");
}

static void lone_carriage_return(void **state)
{
	(void)state;
	reads("a,b\r1,2\r3,4\r", "t.csv:1:4: error: The line `a,b` ends in a carriage return without a line feed.\n"
	                         "  a,b\\x0d1,2\\x0d3,4\n"
	                         "     ^~~~\n"
	                         "  hint: save the table with line ends CRLF or LF\n");
	reads("a,b\n1,2\r3,4\n", "[a][b]\n"
	                         "t.csv:2:4: error: The line `1,2` ends in a carriage return without a line feed.\n"
	                         "  1,2\\x0d3,4\n"
	                         "     ^~~~\n"
	                         "  hint: save the table with line ends CRLF or LF\n");
	reads("a,b\n\r1,2\n", "[a][b]\n"
	                      "t.csv:2:1: error: The line `` ends in a carriage return without a line feed.\n"
	                      "  \\x0d1,2\n"
	                      "  ^~~~\n"
	                      "  hint: save the table with line ends CRLF or LF\n");
}

static void nul_and_bad_utf8(void **state)
{
	(void)state;
	reads("a,b\n1,x\0y\n", "[a][b]\n"
	                       "t.csv:2:4: error: column \"b\": A NUL byte stands in the cell `x\\x00y`.\n"
	                       "  1,x\\x00y\n"
	                       "     ^~~~\n"
	                       "  hint: the file is damaged, or it is no text: save the table as CSV again\n");
	reads("a,b\n\"two\nlines\",\"caf\xe9\"\n",
	      "[a][b]\n"
	      "t.csv:3:12: error: column \"b\": The cell `caf\\xe9` is not in UTF-8.\n"
	      "  lines\",\"caf\\xe9\"\n"
	      "             ^~~~\n"
	      "  hint: save the table as CSV with the character set UTF-8\n");
	reads("a\xff,b\n", "[a\xff][b]\n"
	                   "t.csv:1:2: error: column \"a\\xff\": The cell `a\\xff` is not in UTF-8.\n"
	                   "  a\\xff,b\n"
	                   "   ^~~~\n"
	                   "  hint: save the table as CSV with the character set UTF-8\n");
}

static void errors_have_an_end(void **state)
{
	struct buf b;
	struct fixture f;
	size_t rows = 0;
	(void)state;
	buf_init(&b, 1 << 20);
	buf_text(&b, "a,b\n");
	for (int i = 0; i < 5000; i++)
		buf_text(&b, i % 2 ? "1,2\n" : "1,2,3\n");
	open_text(&f, b.data, b.len);
	while (csv_reader_next(f.r))
		rows++;
	assert_int_equal(rows, CSV_ERRORS_MOST - 1);
	assert_int_equal(f.diag.errors, CSV_ERRORS_MOST);
	assert_int_equal(f.diag.nitems, CSV_ERRORS_MOST + 1);
	assert_text(f.diag.items[CSV_ERRORS_MOST].text,
	            "The rest of the table is not read: 100 errors are enough.");
	assert_false(csv_reader_next(f.r));
	shut(&f);
	buf_release(&b);
}

static void counting(void **state)
{
	(void)state;
	assert_int_equal(csv_line_count(STR("")), 0);
	assert_int_equal(csv_line_count(STR("a")), 1);
	assert_int_equal(csv_line_count(STR("a\n")), 1);
	assert_int_equal(csv_line_count(STR("a\n\nb")), 3);
	assert_int_equal(csv_cell_count(STR(""), ','), 1);
	assert_int_equal(csv_cell_count(STR("a,\"b,\"\"c\",d;"), ','), 3);
}

int main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(rule_1_each_record_on_its_line),
		cmocka_unit_test(rule_2_last_line_break_optional),
		cmocka_unit_test(rule_3_header_like_a_record),
		cmocka_unit_test(rule_4_commas_and_equal_counts),
		cmocka_unit_test(rule_5_quotes_optional),
		cmocka_unit_test(rule_6_line_breaks_quotes_commas_in_quotes),
		cmocka_unit_test(rule_7_quote_doubled),
		cmocka_unit_test(csv_spectrum),
		cmocka_unit_test(byte_order_mark),
		cmocka_unit_test(delimiter_of_the_header),
		cmocka_unit_test(blank_lines_are_no_records),
		cmocka_unit_test(lines_are_counted),
		cmocka_unit_test(places_of_cells),
		cmocka_unit_test(hundred_thousand_cells),
		cmocka_unit_test(long_cell),
		cmocka_unit_test(random_texts_read_as_libcsv_does),
		cmocka_unit_test(empty_table),
		cmocka_unit_test(ragged_rows_and_on),
		cmocka_unit_test(unclosed_quote),
		cmocka_unit_test(quote_left_open_until_the_next),
		cmocka_unit_test(lone_carriage_return),
		cmocka_unit_test(nul_and_bad_utf8),
		cmocka_unit_test(errors_have_an_end),
		cmocka_unit_test(counting),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
