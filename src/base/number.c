/* number.c - rationals in 128-bit steps, strict parsing, one rounding rule. */
#include "base/number.h"

#include <float.h>
#include <math.h>

#include "base/buf.h"

__extension__ typedef __int128 wide;
__extension__ typedef unsigned __int128 uwide;

enum { DIGITS_MOST = 15, PLACES_MOST = 18, PRINT_PLACES_MOST = 15 };
#define MINOR_MOST 9e15 /* below 2^53: every whole number is a double */

static uwide magnitude(wide x)
{
	return x < 0 ? -(uwide)x : (uwide)x;
}

static uwide common_divisor(uwide a, uwide b)
{
	while (b > UINT64_MAX) {
		uwide t = a % b;
		a = b;
		b = t;
	}
	if (b == 0)
		return a;
	/* The usual case fits 64 bits, where division is far cheaper. */
	uint64_t x = (uint64_t)b, y = (uint64_t)(a % b);
	while (y) {
		uint64_t t = x % y;
		x = y;
		y = t;
	}
	return x;
}

static bool reduce(struct rat *r, wide num, wide den)
{
	if (den == 0)
		return false;
	bool minus = (num < 0) != (den < 0);
	uwide n = magnitude(num), d = magnitude(den);
	if (d != 1) {
		uwide g = common_divisor(n, d);
		n /= g;
		d /= g;
	}
	if (d > INT64_MAX || n > (uwide)INT64_MAX + (minus ? 1 : 0))
		return false;
	r->num = (int64_t)(minus ? -(wide)n : (wide)n);
	r->den = (int64_t)d;
	return true;
}

bool rat_make(struct rat *r, int64_t num, int64_t den)
{
	return reduce(r, num, den);
}

/* |num| <= 2^63 and den < 2^63, so the sums and products below fit 127 bits. */
bool rat_add(struct rat *r, struct rat a, struct rat b)
{
	if (a.den == 1 && b.den == 1)
		return reduce(r, (wide)a.num + b.num, 1);
	return reduce(r, (wide)a.num * b.den + (wide)b.num * a.den, (wide)a.den * b.den);
}

bool rat_sub(struct rat *r, struct rat a, struct rat b)
{
	if (a.den == 1 && b.den == 1)
		return reduce(r, (wide)a.num - b.num, 1);
	return reduce(r, (wide)a.num * b.den - (wide)b.num * a.den, (wide)a.den * b.den);
}

bool rat_mul(struct rat *r, struct rat a, struct rat b)
{
	return reduce(r, (wide)a.num * b.num, (wide)a.den * b.den);
}

bool rat_div(struct rat *r, struct rat a, struct rat b)
{
	return reduce(r, (wide)a.num * b.den, (wide)a.den * b.num);
}

int rat_cmp(struct rat a, struct rat b)
{
	wide x = (wide)a.num * b.den, y = (wide)b.num * a.den;
	return (x > y) - (x < y);
}

int rat_sign(struct rat a)
{
	return (a.num > 0) - (a.num < 0);
}

int64_t rat_floor(struct rat a)
{
	int64_t q = a.num / a.den;
	return a.num % a.den < 0 ? q - 1 : q;
}

int64_t rat_ceil(struct rat a)
{
	int64_t q = a.num / a.den;
	return a.num % a.den > 0 ? q + 1 : q;
}

double rat_double(struct rat a)
{
	return (double)a.num / (double)a.den;
}

/* ---- parsing ---- */

static bool digit_at(struct str s, size_t i)
{
	return i < s.n && s.p[i] >= '0' && s.p[i] <= '9';
}

static size_t digit_run(struct str s, size_t i)
{
	size_t start = i;
	while (digit_at(s, i))
		i++;
	return i - start;
}

/* What may follow a number without a blank between. */
static bool may_follow(struct str s, size_t i)
{
	return i >= s.n || memchr(" \t\r\n%,;/)", s.p[i], 9) != NULL;
}

/* Takes the rest of the word into *used, so that a message shows all of it. */
static enum number_fault fault_to_blank(enum number_fault f, struct str s, size_t i, size_t *used)
{
	while (i < s.n && !memchr(" \t\r\n", s.p[i], 4))
		i++;
	*used = i;
	return f;
}

static bool read_digits(struct str s, size_t from, size_t n, int64_t *value, int *significant)
{
	for (size_t i = from; i < from + n; i++) {
		if (*value || s.p[i] != '0')
			++*significant;
		if (*significant > DIGITS_MOST)
			return false;
		*value = *value * 10 + (s.p[i] - '0');
	}
	return true;
}

static bool scaled(struct rat *out, int64_t value, size_t places, bool minus)
{
	int64_t den = 1;
	if (places > PLACES_MOST)
		return false;
	for (size_t i = 0; i < places; i++)
		den *= 10;
	return rat_make(out, minus ? -value : value, den);
}

enum number_fault number_decimal(struct str s, char decimal, struct rat *out, size_t *used)
{
	size_t i = 0;
	*used = 0;
	bool minus = s.n && s.p[0] == '-';
	if (s.n && (s.p[0] == '-' || s.p[0] == '+'))
		i = 1;
	size_t whole = i, nwhole = digit_run(s, i), part = 0, npart = 0;
	i += nwhole;
	if (i < s.n && s.p[i] == decimal && digit_at(s, i + 1)) {
		part = i + 1;
		npart = digit_run(s, part);
		i = part + npart;
	}
	if (decimal == '.' && i < s.n && s.p[i] == ',' && digit_at(s, i + 1))
		return fault_to_blank(NUMBER_DECIMAL_COMMA, s, i, used);
	if (nwhole + npart == 0)
		return NUMBER_NONE;
	if (!may_follow(s, i) || (i < s.n && s.p[i] == decimal))
		return fault_to_blank(NUMBER_JUNK, s, i, used);

	*used = i;
	while (npart && s.p[part + npart - 1] == '0') /* 2.50 says no more than 2.5 */
		npart--;
	int64_t value = 0;
	int significant = 0;
	struct rat r;
	if (!read_digits(s, whole, nwhole, &value, &significant) ||
	    !read_digits(s, part, npart, &value, &significant) || !scaled(&r, value, npart, minus))
		return NUMBER_TOO_LONG;
	*out = r;
	return NUMBER_OK;
}

/* The denominator of a fraction whose `/` stands at `slash`. */
static enum number_fault denominator(struct str s, size_t slash, int64_t *den, size_t *used)
{
	size_t at = slash + 1, n = digit_run(s, at);
	int significant = 0;
	*den = 0;
	if (n == 0 || !may_follow(s, at + n) || (at + n < s.n && s.p[at + n] == '/'))
		return fault_to_blank(NUMBER_JUNK, s, at + n, used);
	*used = at + n;
	if (!read_digits(s, at, n, den, &significant))
		return NUMBER_TOO_LONG;
	return *den ? NUMBER_OK : NUMBER_ZERO_DIV;
}

/* `1/2` at s[at..]: a proper fraction is looked for behind a whole number. */
static bool fraction_at(struct str s, size_t at)
{
	size_t n = digit_run(s, at);
	return n && at + n < s.n && s.p[at + n] == '/' && digit_at(s, at + n + 1);
}

enum number_fault number_quantity(struct str s, struct rat *out, size_t *used)
{
	struct rat head, part;
	size_t n, m;
	enum number_fault f = number_decimal(s, '.', &head, &n);
	*used = n;
	if (f != NUMBER_OK)
		return f;
	bool minus = s.p[0] == '-';
	bool plain = memchr(s.p, '.', n) == NULL;
	int64_t den;
	if (n < s.n && s.p[n] == '/') {
		if (!plain)
			return fault_to_blank(NUMBER_JUNK, s, n, used);
		f = denominator(s, n, &den, used);
		if (f == NUMBER_OK && !rat_make(out, head.num, den))
			f = NUMBER_TOO_LONG;
		return f;
	}
	m = n;
	while (m < s.n && s.p[m] == ' ')
		m++;
	if (m > n && plain && fraction_at(s, m)) {
		struct str rest = { s.p + m, s.n - m };
		struct rat sum;
		f = number_quantity(rest, &part, used);
		*used += m;
		if (f != NUMBER_OK)
			return f;
		if (rat_cmp(part, RAT_ONE) >= 0) /* 2 3/2 is a slip, not a number */
			return NUMBER_JUNK;
		if (!(minus ? rat_sub(&sum, head, part) : rat_add(&sum, head, part)))
			return NUMBER_TOO_LONG;
		*out = sum;
		return NUMBER_OK;
	}
	*out = head;
	return NUMBER_OK;
}

enum number_fault number_decimal_all(struct str s, char decimal, struct rat *out)
{
	size_t used;
	struct rat r;
	enum number_fault f = number_decimal(s, decimal, &r, &used);
	if (f == NUMBER_OK && used < s.n)
		f = NUMBER_JUNK;
	if (f == NUMBER_OK)
		*out = r;
	return f;
}

enum number_fault number_quantity_all(struct str s, struct rat *out)
{
	size_t used;
	struct rat r;
	enum number_fault f = number_quantity(s, &r, &used);
	if (f == NUMBER_OK && used < s.n)
		f = NUMBER_JUNK;
	if (f == NUMBER_OK)
		*out = r;
	return f;
}

struct str number_head(struct str s)
{
	size_t n = 0;
	while (n < s.n && ((s.p[n] >= '0' && s.p[n] <= '9') || s.p[n] == '.'))
		n++;
	return (struct str){ s.p, n };
}

/* ---- rounding ---- */

static double power10(int n)
{
	static const double power[] = { 1e0, 1e1, 1e2,  1e3,  1e4,  1e5,  1e6,  1e7,
		                        1e8, 1e9, 1e10, 1e11, 1e12, 1e13, 1e14, 1e15 };
	return power[n < 0 ? 0 : n > PRINT_PLACES_MOST ? PRINT_PLACES_MOST : n];
}

/* a >= 0, below MINOR_MOST, rounded half up.  The product x * 10^n is off by up
 * to an ulp or two, hence the guard; for very large a it is held to an eighth,
 * or it would swallow whole units. */
static double round_half(double a)
{
	double low = floor(a);
	double guard = 4 * (nextafter(a, INFINITY) - a);
	if (guard > 0.125)
		guard = 0.125;
	return a - low >= 0.5 - guard ? low + 1 : low;
}

int64_t money_minor(double x, int digits)
{
	if (isnan(x))
		return 0;
	double a = fabs(x) * power10(digits);
	int64_t minor = (int64_t)(a < MINOR_MOST ? round_half(a) : MINOR_MOST);
	return x < 0 ? -minor : minor;
}

double money_round(double x, int digits)
{
	return (double)money_minor(x, digits) / power10(digits);
}

/* ---- printing ---- */

/* a >= 0 as whole part and `decimals` digits. */
static void print_parts(struct buf *b, double a, int decimals)
{
	double unit = power10(decimals), whole, part;
	if (a * unit < MINOR_MOST) {
		int64_t minor = (int64_t)round_half(a * unit);
		whole = (double)(minor / (int64_t)unit);
		part = (double)(minor % (int64_t)unit);
	} else { /* a step of the double is about a unit: the part cannot round up to 1 */
		whole = floor(a);
		part = round_half((a - whole) * unit);
	}
	buf_printf(b, "%.0f", whole);
	if (decimals > 0)
		buf_printf(b, ".%0*lld", decimals, (long long)part);
}

void number_print(struct buf *b, double x, int decimals)
{
	if (!isfinite(x)) {
		buf_char(b, '?');
		return;
	}
	decimals = decimals < 0 ? 0 : decimals > PRINT_PLACES_MOST ? PRINT_PLACES_MOST : decimals;
	size_t start = b->len;
	if (x < 0)
		buf_char(b, '-');
	size_t digits = b->len;
	print_parts(b, fabs(x), decimals);
	if (digits > start && strspn(b->data + digits, "0.") == b->len - digits) {
		memmove(b->data + start, b->data + digits, b->len - digits + 1);
		b->len -= digits - start;
	}
}

void number_print_short(struct buf *b, double x, int most)
{
	size_t start = b->len;
	number_print(b, x, most);
	if (!memchr(b->data + start, '.', b->len - start))
		return;
	while (b->data[b->len - 1] == '0')
		b->len--;
	if (b->data[b->len - 1] == '.')
		b->len--;
	b->data[b->len] = '\0';
}

void number_print_exact(struct buf *b, double x)
{
	char text[32];
	if (!isfinite(x)) {
		buf_char(b, '?');
		return;
	}
	if (fabs(x) < 1e15 && x == (double)(int64_t)x) {
		buf_printf(b, "%lld", (long long)x);
		return;
	}
	/* Only subnormals have a short form below 15 digits that %.15g misses. */
	for (int digits = fabs(x) < DBL_MIN ? 1 : 15; digits <= 17; digits++) {
		double back;
		snprintf(text, sizeof text, "%.*g", digits, x);
		/* The text is our own, so the one sscanf is safe; no locale is ever set. */
		if (sscanf(text, "%lf", &back) == 1 && back == x)
			break;
	}
	buf_text(b, text);
}
