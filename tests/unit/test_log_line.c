/* A line for bench.csv, in the form of the file at hand.  The expected lines are RFC 4180
 * (section 2: quotes round a cell with a delimiter or a quote, a quote doubled). */
#include "farm/log_line.h"

#include "help.h"

enum { MOST = 4096 };

static const uint32_t few[] = { BENCH_ID, BENCH_WHAT, BENCH_COLUMNS, BENCH_COUNT, BENCH_NOTE, BENCH_END };

static struct log_form form_with(char delimiter, char decimal, bool crlf, bool open_end)
{
	return (struct log_form){ .delimiter = delimiter,
				  .decimal = decimal,
				  .crlf = crlf,
				  .open_end = open_end,
				  .columns = few,
				  .ncolumns = COUNT(few),
				  .last = 9 };
}

static void check_line(struct log_form form, const char *note, const char *want)
{
	struct str cells[BENCH_COLUMNS] = { [BENCH_ID] = STR("10"), [BENCH_WHAT] = STR("Statice"),
		                            [BENCH_COUNT] = STR("4"), [BENCH_NOTE] = str_of(note) };
	struct buf b;
	buf_init(&b, MOST);
	assert_int_equal(log_line_write(&b, &form, cells), BENCH_COLUMNS);
	assert_text(buf_slice(&b), want);
	buf_release(&b);
}

static void in_the_form_of_the_file(void **state)
{
	(void)state;
	check_line(form_with(',', '.', false, false), NULL, "10,Statice,,4,,.\n");
	check_line(form_with(',', '.', true, false), "wet", "10,Statice,,4,wet,.\r\n");
	check_line(form_with(';', ',', true, true), "a,b", "\r\n10;Statice;;4;a,b;.\r\n");
	check_line(form_with('\t', '.', false, true), "a,b", "\n10\tStatice\t\t4\ta,b\t.\n");
}

static void cells_in_quotes(void **state)
{
	(void)state;
	check_line(form_with(',', '.', false, false), "a,b", "10,Statice,,4,\"a,b\",.\n");
	check_line(form_with(',', '.', false, false), "12\" ring", "10,Statice,,4,\"12\"\" ring\",.\n");
	check_line(form_with(';', '.', false, false), "a;b", "10;Statice;;4;\"a;b\";.\n");
	check_line(form_with(',', '.', false, false), " kept", "10,Statice,,4,\" kept\",.\n");
}

static void a_column_that_the_file_lacks(void **state)
{
	struct log_form form = form_with(',', '.', false, false);
	struct str cells[BENCH_COLUMNS] = { [BENCH_ID] = STR("10"), [BENCH_MINUTES] = STR("5") };
	struct buf b;
	(void)state;
	buf_init(&b, MOST);
	assert_int_equal(log_line_write(&b, &form, cells), BENCH_MINUTES);
	cells[BENCH_MINUTES] = STR_NONE;
	form.ncolumns = COUNT(few) - 1; /* without the end mark */
	assert_int_equal(log_line_write(&b, &form, cells), BENCH_END);
	assert_int_equal(b.len, 0);
	buf_release(&b);
}

static void check_wide(const char *log, char delimiter, const char *want)
{
	struct log_form form = form_with(delimiter, '.', false, false);
	struct arena a;
	struct buf b;
	arena_init(&a);
	buf_init(&b, MOST);
	bool done = log_line_widen(&b, &form, str_of(log), 1u << BENCH_MINUTES | 1u << BENCH_BATCH, &a);
	assert_int_equal(done, want != NULL);
	assert_text(buf_slice(&b), want ? want : "");
	assert_int_equal(form.ncolumns, COUNT(few) + (want ? 2 : 0));
	if (want) {
		assert_int_equal(form.columns[COUNT(few) - 1], BENCH_MINUTES);
		assert_int_equal(form.columns[COUNT(few)], BENCH_BATCH);
		assert_int_equal(form.columns[COUNT(few) + 1], BENCH_END);
	}
	buf_release(&b);
	arena_release(&a);
}

/* Before the end mark, whatever stands in the cells; every byte of before is still there. */
static void an_older_log_gets_columns(void **state)
{
	(void)state;
	check_wide("id,what,mine,count,note,end\n1,Statice,x,4,,.\n", ',',
	           "id,what,mine,count,note,minutes,batch,end\n1,Statice,x,4,,,,.\n");
	check_wide("id;what;mine;count;note;end\r\n\r\n1;Statice;;4;\"a;\"\"b\"\"\";\".\"\r\n;;;;;\r\n2;;;;;", ';',
	           "id;what;mine;count;note;minutes;batch;end\r\n\r\n1;Statice;;4;\"a;\"\"b\"\"\";;;\".\"\r\n"
	           ";;;;;;;\r\n2;;;;;;;");
	check_wide("\xef\xbb\xbfid,what,mine,count,note,\"end\"\n", ',',
	           "\xef\xbb\xbfid,what,mine,count,note,minutes,batch,\"end\"\n");
	check_wide("id,what,mine,count,note,end\n1,Statice,x,4,\"two\nlines\",.\n", ',', NULL);
	struct str cells[BENCH_COLUMNS] = { [BENCH_ID] = STR("10"), [BENCH_MINUTES] = STR("5"),
		                            [BENCH_BATCH] = STR("S1") };
	struct log_form form = form_with(',', '.', false, false);
	assert_int_equal(log_line_lacks(&form, cells), 1u << BENCH_MINUTES | 1u << BENCH_BATCH);
	form.ncolumns--; /* without the end mark at the end there is no place for them */
	assert_false(log_line_widen(&(struct buf){ 0 }, &form, STR("id\n"), 1u << BENCH_BATCH, NULL));
	form.ncolumns = 0;
	assert_int_equal(log_line_lacks(&form, cells), 0); /* a new log has them all */
}

static void the_first_line_brings_its_header(void **state)
{
	struct log_form none = { .ncolumns = 0 };
	struct str cells[BENCH_COLUMNS] = { [BENCH_ID] = STR("1"), [BENCH_BOX] = STR("a,b") };
	struct buf b;
	(void)state;
	buf_init(&b, MOST);
	assert_int_equal(log_line_write(&b, &none, cells), BENCH_COLUMNS);
	assert_text(buf_slice(&b), "id,on,event,what,count,unit,minutes,spoiled,drawn,box,batch,colour,length,cause,"
	                           "outlet,price,strikes,note,end\n1,,,,,,,,,\"a,b\",,,,,,,,,.\n");
	buf_release(&b);
}

static void check_id(int64_t last, unsigned digits, const char *want)
{
	struct log_form form = { .last = last, .digits = digits };
	struct buf b;
	buf_init(&b, MOST);
	log_line_id(&b, &form);
	assert_text(buf_slice(&b), want);
	buf_release(&b);
}

static void ids_go_on(void **state)
{
	(void)state;
	check_id(0, 0, "1");
	check_id(9, 0, "10");
	check_id(40, 3, "041");
	check_id(999, 3, "1000");
}

static void check_number(int64_t num, int64_t den, char decimal, const char *want)
{
	struct log_form form = form_with(';', decimal, false, false);
	struct buf b;
	struct rat q;
	buf_init(&b, MOST);
	assert_true(rat_make(&q, num, den));
	assert_int_equal(log_line_number(&b, &form, q), want != NULL);
	assert_text(buf_slice(&b), want ? want : "");
	buf_release(&b);
}

static void numbers_are_exact_or_refused(void **state)
{
	(void)state;
	check_number(5, 2, '.', "2.5");
	check_number(5, 2, ',', "2,5");
	check_number(412, 1, ',', "412");
	check_number(1, 1000000, '.', "0.000001");
	check_number(100000000, 1, '.', "100000000");
	check_number(1, 3, '.', NULL);
	check_number(1, 10000000, '.', NULL);
}

int main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(in_the_form_of_the_file),
		cmocka_unit_test(cells_in_quotes),
		cmocka_unit_test(a_column_that_the_file_lacks),
		cmocka_unit_test(an_older_log_gets_columns),
		cmocka_unit_test(the_first_line_brings_its_header),
		cmocka_unit_test(ids_go_on),
		cmocka_unit_test(numbers_are_exact_or_refused),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
