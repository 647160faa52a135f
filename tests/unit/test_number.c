/* Exact quantities, parsing, rounding, printing. */
#include "base/number.h"

#include <math.h>

#include "base/buf.h"
#include "help.h"

static struct rat rat(int64_t num, int64_t den)
{
	struct rat r = { 0, 0 };
	assert_true(rat_make(&r, num, den));
	return r;
}

static void assert_rat(struct rat r, int64_t num, int64_t den)
{
	if (r.num != num || r.den != den)
		print_error("got %lld/%lld, want %lld/%lld\n", (long long)r.num, (long long)r.den,
		            (long long)num, (long long)den);
	assert_true(r.num == num && r.den == den);
}

/* ---- the comparison that the other tests lean on ---- */

static void near_tells_apart(void **state)
{
	(void)state;
	assert_true(help_is_near(1.0, 1.0 + 1e-13, 1e-12, 0));
	assert_false(help_is_near(1.0, 1.0 + 1e-11, 1e-12, 0));
	assert_true(help_is_near(0.0, 1e-13, 0, 1e-12));
	assert_false(help_is_near(0.0, 1e-11, 1e-12, 1e-12));
	assert_false(help_is_near((double)NAN, (double)NAN, 1, 1));
	assert_false(help_is_near((double)INFINITY, 1e300, 1, 1));
	assert_true(help_is_near((double)INFINITY, (double)INFINITY, 0, 0));
	/* What a comparison of floats would let pass. */
	assert_false(help_is_near(16.25, 16.2500001, 1e-12, 1e-12));
}

/* ---- rationals ---- */

static void rat_lowest_terms(void **state)
{
	(void)state;
	assert_rat(rat(6, 4), 3, 2);
	assert_rat(rat(6, -4), -3, 2);
	assert_rat(rat(-6, -4), 3, 2);
	assert_rat(rat(0, -7), 0, 1);
	assert_rat(rat(INT64_MIN, 1), INT64_MIN, 1);
	assert_rat(rat(INT64_MIN, INT64_MIN), 1, 1);
	assert_rat(rat(INT64_MAX, INT64_MAX), 1, 1);
	struct rat r = { 5, 7 };
	assert_false(rat_make(&r, INT64_MIN, -1)); /* 2^63 does not fit */
	assert_false(rat_make(&r, 1, INT64_MIN));
	assert_false(rat_make(&r, 1, 0));
	assert_rat(r, 5, 7); /* untouched */
}

static void rat_arithmetic(void **state)
{
	(void)state;
	struct rat r;
	/* One stem gives three sprigs: 24 sprigs are 8 stems, 25 a third more. */
	assert_true(rat_mul(&r, rat(1, 3), rat(24, 1)));
	assert_rat(r, 8, 1);
	assert_true(rat_mul(&r, rat(1, 3), rat(25, 1)));
	assert_rat(r, 25, 3);
	struct rat sum = RAT_ZERO;
	for (int i = 0; i < 1000; i++)
		assert_true(rat_add(&sum, sum, rat(1, 10)));
	assert_rat(sum, 100, 1);
	assert_true(rat_sub(&r, rat(1, 2), rat(2, 3)));
	assert_rat(r, -1, 6);
	assert_true(rat_div(&r, rat(1, 2), rat(-2, 3)));
	assert_rat(r, -3, 4);
	assert_false(rat_div(&r, rat(1, 2), RAT_ZERO));
	assert_rat(r, -3, 4);
	assert_true(rat_sub(&r, rat(3, 1), rat(5, 1)));
	assert_rat(r, -2, 1);
}

static void rat_overflow(void **state)
{
	(void)state;
	struct rat r = { 1, 2 }, big = rat(INT64_MAX, 1), small = rat(1, INT64_MAX);
	assert_false(rat_add(&r, big, RAT_ONE));
	assert_false(rat_sub(&r, rat(INT64_MIN, 1), RAT_ONE));
	assert_false(rat_mul(&r, big, big));
	assert_false(rat_mul(&r, small, small));
	assert_false(rat_div(&r, big, small));
	assert_false(rat_add(&r, small, rat(1, INT64_MAX - 1)));
	assert_rat(r, 1, 2);
	/* Steps past 64 bits are fine when the result fits. */
	assert_true(rat_mul(&r, big, small));
	assert_rat(r, 1, 1);
	assert_true(rat_add(&r, rat(INT64_MIN, 3), rat(INT64_MAX, 3)));
	assert_rat(r, -1, 3);
}

static void rat_order(void **state)
{
	(void)state;
	assert_int_equal(rat_cmp(rat(1, 3), rat(2, 6)), 0);
	assert_int_equal(rat_cmp(rat(1, 3), rat(1, 2)), -1);
	assert_int_equal(rat_cmp(rat(-1, 3), rat(-1, 2)), 1);
	/* As doubles these two are equal. */
	assert_int_equal(rat_cmp(rat(INT64_MAX, INT64_MAX - 1), rat(INT64_MAX - 1, INT64_MAX - 2)), -1);
	assert_int_equal(rat_cmp(rat(INT64_MIN, 1), rat(INT64_MAX, 1)), -1);
	assert_int_equal(rat_sign(rat(-1, 9)), -1);
	assert_int_equal(rat_sign(RAT_ZERO), 0);
	assert_int_equal(rat_sign(rat(1, 9)), 1);
}

static void rat_whole(void **state)
{
	(void)state;
	static const struct {
		int64_t num, den, floor, ceil;
	} rows[] = {
		{ 7, 2, 3, 4 },   { -7, 2, -4, -3 }, { 8, 2, 4, 4 },
		{ -8, 2, -4, -4 }, { 0, 5, 0, 0 },    { 1, INT64_MAX, 0, 1 },
		{ -1, INT64_MAX, -1, 0 }, { INT64_MIN, 1, INT64_MIN, INT64_MIN },
		{ INT64_MAX, 2, INT64_MAX / 2, INT64_MAX / 2 + 1 },
	};
	for (size_t i = 0; i < COUNT(rows); i++) {
		assert_true(rat_floor(rat(rows[i].num, rows[i].den)) == rows[i].floor);
		assert_true(rat_ceil(rat(rows[i].num, rows[i].den)) == rows[i].ceil);
	}
	assert_true(rat_double(rat(1, 3)) == 1.0 / 3.0);
	assert_true(rat_double(rat(-679, 10)) == -67.9);
}

/* a + b - b = a, a * b / b = a, and floor <= a <= ceil, over a spread of values. */
static void rat_laws(void **state)
{
	(void)state;
	for (int64_t i = -40; i <= 40; i++) {
		for (int64_t j = 1; j <= 60; j++) {
			struct rat a = rat(i, j), b = rat(j - 30 ? j - 30 : 1, 7), r;
			assert_true(rat_add(&r, a, b) && rat_sub(&r, r, b));
			assert_int_equal(rat_cmp(r, a), 0);
			assert_true(rat_mul(&r, a, b) && rat_div(&r, r, b));
			assert_int_equal(rat_cmp(r, a), 0);
			assert_true(rat_cmp(rat(rat_floor(a), 1), a) <= 0);
			assert_true(rat_cmp(rat(rat_ceil(a), 1), a) >= 0);
			assert_true(rat_ceil(a) - rat_floor(a) == (i % j != 0));
		}
	}
}

/* ---- parsing ---- */

static const struct parse_row {
	const char *text;
	enum number_fault fault;
	int64_t num, den;
	size_t used;
} decimal_rows[] = {
	{ "24", NUMBER_OK, 24, 1, 2 },
	{ "2.5", NUMBER_OK, 5, 2, 3 },
	{ ".95", NUMBER_OK, 19, 20, 3 },
	{ "-.95", NUMBER_OK, -19, 20, 4 },
	{ "+3", NUMBER_OK, 3, 1, 2 },
	{ "-0", NUMBER_OK, 0, 1, 2 },
	{ "007", NUMBER_OK, 7, 1, 3 },
	{ "2.50", NUMBER_OK, 5, 2, 4 },
	{ "2.5000000000000000000000", NUMBER_OK, 5, 2, 24 }, /* zeros at the end say nothing */
	{ "67.95 each", NUMBER_OK, 1359, 20, 5 },
	{ "8%", NUMBER_OK, 8, 1, 1 },
	{ "16.50, plus", NUMBER_OK, 33, 2, 5 },
	{ "5;6", NUMBER_OK, 5, 1, 1 },
	{ "1/2", NUMBER_OK, 1, 1, 1 }, /* the fraction is the quantity's matter */
	{ "999999999999999", NUMBER_OK, 999999999999999, 1, 15 },
	{ "0.000000000000000123", NUMBER_OK, 123, 1000000000000000000, 20 },
	{ "1234567890123456", NUMBER_TOO_LONG, 0, 0, 16 },
	{ "1.234567890123456", NUMBER_TOO_LONG, 0, 0, 17 },
	{ "0.0000000000000000001", NUMBER_TOO_LONG, 0, 0, 21 }, /* 10^19 does not fit */
	{ "99999999999999999999999999", NUMBER_TOO_LONG, 0, 0, 26 },
	{ "", NUMBER_NONE, 0, 0, 0 },
	{ "-", NUMBER_NONE, 0, 0, 0 },
	{ ".", NUMBER_NONE, 0, 0, 0 },
	{ " 1", NUMBER_NONE, 0, 0, 0 },
	{ "x", NUMBER_NONE, 0, 0, 0 },
	{ "nan", NUMBER_NONE, 0, 0, 0 },
	{ "inf", NUMBER_NONE, 0, 0, 0 },
	{ "--1", NUMBER_NONE, 0, 0, 0 },
	{ "2,5", NUMBER_DECIMAL_COMMA, 0, 0, 3 },
	{ ",5 m", NUMBER_DECIMAL_COMMA, 0, 0, 2 },
	{ "1,000.50", NUMBER_DECIMAL_COMMA, 0, 0, 8 },
	{ "1.", NUMBER_JUNK, 0, 0, 2 },
	{ "1. 5", NUMBER_JUNK, 0, 0, 2 },
	{ "1.2.3 m", NUMBER_JUNK, 0, 0, 5 },
	{ "12x", NUMBER_JUNK, 0, 0, 3 },
	{ "1e5", NUMBER_JUNK, 0, 0, 3 },
	{ "0x1F", NUMBER_JUNK, 0, 0, 4 },
	{ "10-18", NUMBER_JUNK, 0, 0, 5 },
	{ "1'000", NUMBER_JUNK, 0, 0, 5 },
	{ "2\xc2\xbd", NUMBER_JUNK, 0, 0, 3 },   /* 2 and a half sign */
	{ "5\xe2\x82\xac", NUMBER_JUNK, 0, 0, 4 }, /* 5 and a euro sign */
};

static void check_rows(const struct parse_row *rows, size_t n,
                       enum number_fault (*parse)(struct str, struct rat *, size_t *))
{
	for (size_t i = 0; i < n; i++) {
		struct rat r = { 77, 13 };
		size_t used = 99;
		enum number_fault f = parse(str_of(rows[i].text), &r, &used);
		if (f != rows[i].fault || used != rows[i].used)
			print_error("\"%s\": fault %d used %zu\n", rows[i].text, (int)f, used);
		assert_int_equal(f, rows[i].fault);
		assert_int_equal(used, rows[i].used);
		if (f == NUMBER_OK)
			assert_rat(r, rows[i].num, rows[i].den);
		else
			assert_rat(r, 77, 13);
	}
}

static enum number_fault with_point(struct str s, struct rat *out, size_t *used)
{
	return number_decimal(s, '.', out, used);
}

static enum number_fault with_comma(struct str s, struct rat *out, size_t *used)
{
	return number_decimal(s, ',', out, used);
}

static void parse_decimal(void **state)
{
	(void)state;
	check_rows(decimal_rows, COUNT(decimal_rows), with_point);
	static const struct parse_row rows[] = {
		{ "2,5", NUMBER_OK, 5, 2, 3 },
		{ ",5", NUMBER_OK, 1, 2, 2 },
		{ "-1,25", NUMBER_OK, -5, 4, 5 },
		{ "7", NUMBER_OK, 7, 1, 1 },
		{ "2.5", NUMBER_JUNK, 0, 0, 3 },
		{ "1.000,50", NUMBER_JUNK, 0, 0, 8 },
		{ "1,", NUMBER_JUNK, 0, 0, 2 },
		{ "1,2,3", NUMBER_JUNK, 0, 0, 5 },
	};
	check_rows(rows, COUNT(rows), with_comma);
}

static void parse_quantity(void **state)
{
	(void)state;
	static const struct parse_row rows[] = {
		{ "24 stem", NUMBER_OK, 24, 1, 2 },
		{ "2.5 m", NUMBER_OK, 5, 2, 3 },
		{ "1/2", NUMBER_OK, 1, 2, 3 },
		{ "1/3 stem", NUMBER_OK, 1, 3, 3 },
		{ "6/4", NUMBER_OK, 3, 2, 3 },
		{ "2 1/2", NUMBER_OK, 5, 2, 5 },
		{ "2   1/2 m", NUMBER_OK, 5, 2, 7 },
		{ "-2 1/2", NUMBER_OK, -5, 2, 6 },
		{ "2 12 each", NUMBER_OK, 2, 1, 1 }, /* no fraction: the next word is not ours */
		{ "2 1 / 2", NUMBER_OK, 2, 1, 1 },
		{ "2.5 1/2", NUMBER_OK, 5, 2, 3 },
		{ "24\t1/2", NUMBER_OK, 24, 1, 2 },
		{ "1/0", NUMBER_ZERO_DIV, 0, 0, 3 },
		{ "2 1/0", NUMBER_ZERO_DIV, 0, 0, 5 },
		{ "2 3/2", NUMBER_JUNK, 0, 0, 5 },
		{ "2 2/2", NUMBER_JUNK, 0, 0, 5 },
		{ "2.5/3", NUMBER_JUNK, 0, 0, 5 },
		{ "1/2.5", NUMBER_JUNK, 0, 0, 5 },
		{ "1/x", NUMBER_JUNK, 0, 0, 3 },
		{ "1/", NUMBER_JUNK, 0, 0, 2 },
		{ "1/-2", NUMBER_JUNK, 0, 0, 4 },
		{ "1/2/3", NUMBER_JUNK, 0, 0, 5 },
		{ "1/2x", NUMBER_JUNK, 0, 0, 4 },
		{ "1/1234567890123456", NUMBER_TOO_LONG, 0, 0, 18 },
		{ "2,5", NUMBER_DECIMAL_COMMA, 0, 0, 3 },
		{ "stem", NUMBER_NONE, 0, 0, 0 },
	};
	check_rows(rows, COUNT(rows), number_quantity);
}

static void parse_all(void **state)
{
	(void)state;
	struct rat r = { 77, 13 };
	assert_int_equal(number_decimal_all(STR("2.5 "), '.', &r), NUMBER_JUNK);
	assert_int_equal(number_decimal_all(STR("2.5%"), '.', &r), NUMBER_JUNK);
	assert_int_equal(number_decimal_all(STR("1/2"), '.', &r), NUMBER_JUNK);
	assert_int_equal(number_decimal_all(STR(""), '.', &r), NUMBER_NONE);
	assert_int_equal(number_decimal_all((struct str){ "1\0", 2 }, '.', &r), NUMBER_JUNK);
	assert_int_equal(number_quantity_all(STR("2 1/2 m"), &r), NUMBER_JUNK);
	assert_rat(r, 77, 13);
	assert_int_equal(number_decimal_all(STR("2,50"), ',', &r), NUMBER_OK);
	assert_rat(r, 5, 2);
	assert_int_equal(number_quantity_all(STR("2 1/2"), &r), NUMBER_OK);
	assert_rat(r, 5, 2);
}

/* ---- rounding ---- */

/* NIST Special Publication 811 (2008), Appendix B.7.1 (second hand).  Its last
 * example, 6.974 950 5 to 6.974 950, rounds an exact half to the even digit;
 * money here rounds halves away from zero (ISO 80000-1:2009 Annex B, rule B,
 * from memory), so we get 6.974 951. */
static void round_nist(void **state)
{
	(void)state;
	static const struct {
		double x;
		int decimals;
		const char *text;
	} rows[] = {
		{ 6.9749515, 2, "6.97" },     { 6.9749515, 3, "6.975" },   { 6.9749515, 4, "6.9750" },
		{ 6.9749515, 6, "6.974952" }, { 6.9749505, 6, "6.974951" },
	};
	for (size_t i = 0; i < COUNT(rows); i++) {
		struct buf b;
		buf_init(&b, 100);
		number_print(&b, rows[i].x, rows[i].decimals);
		assert_text(buf_slice(&b), rows[i].text);
		buf_release(&b);
	}
}

/* Hartnell College, Chemistry 22, rules of rounding.  21.45 goes to the even
 * 21.4 there; ours, half away from zero, gives 21.5. */
static void round_classroom(void **state)
{
	(void)state;
	assert_near(money_round(56.748, 1), 56.7);
	assert_near(money_round(2.146, 2), 2.15);
	assert_near(money_round(21.4501, 1), 21.5);
	assert_near(money_round(21.350, 1), 21.4);
	assert_near(money_round(21.45, 1), 21.5);
}

static void round_published(void **state)
{
	(void)state;
	static const struct {
		double x;
		int64_t minor;
	} rows[] = {
		/* Craig Chase, "Pricing for Profit", Iowa State University Extension, Ag
		 * Decision Maker C1-55, June 2008, "Margins and Mark-ups". */
		{ 2.00 * 1.50, 300 },
		{ 2.00 / (1 - 0.35), 308 },
		{ 3.00 * (1 - 0.30), 210 },
		/* Cornell Small Farms Program, "Pricing strategies": 7000 / 950.  The page
		 * prints 7.38; 7.3684 rounds to 7.37. */
		{ 7000.0 / 950, 737 },
		/* OpenStax, Contemporary Mathematics (2023), sec. 6.2, sales tax. */
		{ 34.88 * 0.0825, 288 },
		{ 428.99 * 0.0825, 3539 },
		{ 499 * 0.0881, 4396 },
		{ 36.56 / 1.0575, 3457 },
		{ 97.17 / 1.0425, 9321 },
		{ 467.64 / 1.0825, 43200 },
		/* HMRC internal manual VATREC12030: below half a penny down, half a
		 * penny and above up. */
		{ 0.0049, 0 },
		{ 0.005, 1 },
		{ 0.0051, 1 },
	};
	for (size_t i = 0; i < COUNT(rows); i++)
		assert_true(money_minor(rows[i].x, 2) == rows[i].minor);
}

static void round_traps(void **state)
{
	(void)state;
	/* 1.005 * 100 is 100.49999999999999 in binary, 8.575 * 100 too falls short. */
	assert_true(money_minor(1.005, 2) == 101);
	assert_true(money_minor(8.575, 2) == 858);
	assert_true(money_minor(2.675, 2) == 268);
	assert_true(money_minor(-1.005, 2) == -101);
	/* A price that stands on a point stays: 67.95 is 6795 and no 6796. */
	assert_true(money_minor(67.95, 2) == 6795);
	assert_true(money_minor(64.10 + 3.85, 2) == 6795);
	assert_true(money_round(67.95, 2) == 67.95);
	/* The guard takes halves only, not what is merely near one. */
	assert_true(money_minor(1.004999999, 2) == 100);
	assert_true(money_minor(1.00499999999999, 2) == 100);
	/* Other minor units. */
	assert_true(money_minor(67.5, 0) == 68);
	assert_true(money_minor(-67.5, 0) == -68);
	assert_true(money_minor(1.0005, 3) == 1001);
	assert_true(money_minor(0.00005, 4) == 1);
	/* The ends. */
	assert_true(money_minor(1e300, 2) == INT64_C(9000000000000000));
	assert_true(money_minor(-(double)INFINITY, 2) == -INT64_C(9000000000000000));
	assert_true(money_minor((double)NAN, 2) == 0);
	assert_true(money_minor(-0.0, 2) == 0);
}

/* Every half cent goes up, every whole cent stays, at sizes where the product by
 * 100 is inexact and where a naive guard would swallow whole units. */
static void round_sweep(void **state)
{
	(void)state;
	static const int64_t from[] = { 0, 12345678, INT64_C(98765432100), INT64_C(1234567890123) };
	for (size_t i = 0; i < COUNT(from); i++) {
		for (int64_t k = from[i]; k < from[i] + 50000; k++) {
			double whole = (double)k / 100, half = (double)(2 * k + 1) / 200;
			if (money_minor(whole, 2) != k || money_minor(half, 2) != k + 1 ||
			    money_minor(-half, 2) != -k - 1)
				fail_msg("%lld", (long long)k);
		}
	}
	static const int64_t large[] = { INT64_C(1) << 47, INT64_C(1) << 49, INT64_C(1) << 51,
		                         INT64_C(8999999999999990) };
	for (size_t i = 0; i < COUNT(large); i++) {
		for (int64_t k = large[i]; k < large[i] + 9; k++)
			assert_true(money_minor((double)k, 0) == k);
	}
}

/* ---- printing ---- */

static void print_fixed(void **state)
{
	(void)state;
	static const struct {
		double x;
		int decimals;
		const char *text;
	} rows[] = {
		{ 0, 2, "0.00" },
		{ -0.0, 2, "0.00" },
		{ -0.004, 2, "0.00" },
		{ -0.005, 2, "-0.01" },
		{ -0.0, 0, "0" },
		{ 67.95, 2, "67.95" },
		{ 1.005, 2, "1.01" },
		{ 0.05, 1, "0.1" },
		{ 9.995, 2, "10.00" },
		{ 99.5, 0, "100" },
		{ 1234567.891, 2, "1234567.89" },
		{ 2.0 / 3, 15, "0.666666666666667" },
		{ 2.0 / 3, 99, "0.666666666666667" }, /* 15 places are the most */
		{ 2.5, -1, "3" },
		{ 1e15, 4, "1000000000000000.0000" },
		{ 562949953421312.125, 2, "562949953421312.13" },
		{ 9007199254740993.0, 1, "9007199254740992.0" },
		{ 90071992547409.984375, 2, "90071992547409.98" },
		{ 1e22, 1, "10000000000000000000000.0" },
		{ (double)INFINITY, 2, "?" },
		{ -(double)INFINITY, 2, "?" },
		{ (double)NAN, 2, "?" },
	};
	for (size_t i = 0; i < COUNT(rows); i++) {
		struct buf b;
		buf_init(&b, 400);
		buf_text(&b, "= -"); /* what stands before must not matter */
		number_print(&b, rows[i].x, rows[i].decimals);
		assert_text(str_of(b.data + 3), rows[i].text);
		buf_release(&b);
	}
}

static void print_short(void **state)
{
	(void)state;
	static const struct {
		double x;
		int most;
		const char *text;
	} rows[] = {
		{ 2, 3, "2" },          { 2.5, 3, "2.5" },   { 1.0 / 3, 3, "0.333" }, { 100, 0, "100" },
		{ 100, 2, "100" },      { 0, 2, "0" },       { -0.001, 2, "0" },      { -2.50, 2, "-2.5" },
		{ 0.1 + 0.2, 4, "0.3" }, { 1e15, 2, "1000000000000000" }, { (double)NAN, 2, "?" },
	};
	for (size_t i = 0; i < COUNT(rows); i++) {
		struct buf b;
		buf_init(&b, 400);
		buf_text(&b, "1.");
		number_print_short(&b, rows[i].x, rows[i].most);
		assert_text(str_of(b.data + 2), rows[i].text);
		buf_release(&b);
	}
}

/* Fewest significant digits that read back, by trying all. */
static int fewest_digits(double x)
{
	char text[40];
	for (int digits = 1; digits < 17; digits++) {
		double back = 0;
		snprintf(text, sizeof text, "%.*e", digits - 1, x);
		if (sscanf(text, "%lf", &back) == 1 && back == x)
			return digits;
	}
	return 17;
}

static int significant_digits(const char *text)
{
	int n = 0, zeros = 0;
	for (; *text && *text != 'e'; text++) {
		if (*text < '0' || *text > '9' || (n == 0 && *text == '0'))
			continue;
		n++;
		zeros = *text == '0' ? zeros + 1 : 0;
	}
	return n - zeros;
}

static void check_exact(double x)
{
	struct buf b;
	buf_init(&b, 60);
	number_print_exact(&b, x);
	double back = -1;
	int end = 0;
	assert_int_equal(sscanf(b.data, "%lf%n", &back, &end), 1);
	if (back != x || (size_t)end != b.len || (x != 0 && significant_digits(b.data) > fewest_digits(x)))
		fail_msg("%.17g printed as %s", x, b.data);
	buf_release(&b);
}

static void print_exact(void **state)
{
	(void)state;
	static const struct {
		double x;
		const char *text;
	} rows[] = {
		{ 0, "0" },           { -0.0, "0" },     { 24, "24" },
		{ -24, "-24" },       { 67.95, "67.95" }, { 0.1, "0.1" },
		{ 0.1 + 0.2, "0.30000000000000004" },     { 1.0 / 3, "0.3333333333333333" },
		{ 999999999999999, "999999999999999" },   { 1e22, "1e+22" },
		{ 5e-324, "5e-324" }, { (double)NAN, "?" }, { -(double)INFINITY, "?" },
	};
	for (size_t i = 0; i < COUNT(rows); i++) {
		struct buf b;
		buf_init(&b, 60);
		number_print_exact(&b, rows[i].x);
		assert_text(buf_slice(&b), rows[i].text);
		buf_release(&b);
	}
	/* Bit patterns from a linear congruential sequence: all sizes, all tails. */
	uint64_t bits = 12345;
	for (int i = 0; i < 20000; i++) {
		double x;
		bits = bits * UINT64_C(6364136223846793005) + UINT64_C(1442695040888963407);
		memcpy(&x, &bits, sizeof x);
		if (isfinite(x))
			check_exact(x);
		check_exact((double)(bits >> 40) / 100);
		check_exact((double)(bits >> 20) * 1e-9);
	}
}

int main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(near_tells_apart), cmocka_unit_test(rat_lowest_terms),
		cmocka_unit_test(rat_arithmetic),   cmocka_unit_test(rat_overflow),
		cmocka_unit_test(rat_order),        cmocka_unit_test(rat_whole),
		cmocka_unit_test(rat_laws),         cmocka_unit_test(parse_decimal),
		cmocka_unit_test(parse_quantity),   cmocka_unit_test(parse_all),
		cmocka_unit_test(round_nist),       cmocka_unit_test(round_classroom),    cmocka_unit_test(round_published),
		cmocka_unit_test(round_traps),      cmocka_unit_test(round_sweep),
		cmocka_unit_test(print_fixed),      cmocka_unit_test(print_short),
		cmocka_unit_test(print_exact),
	};
	return cmocka_run_group_tests_name("number", tests, NULL, NULL);
}
