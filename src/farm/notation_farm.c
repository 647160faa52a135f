/* notation_farm.c - statements of the `farm` block. */
#include "farm/notation.h"

/* Codes of ISO 4217 (from memory), by the decimals of their minor unit; those with
 * 2 are listed so that a slip can be told from a currency. */
static const char digits0[] = "BIF CLP DJF GNF ISK JPY KMF KRW PYG RWF UGX UYI VND VUV XAF XOF XPF";
static const char digits3[] = "BHD IQD JOD KWD LYD OMR TND";
static const char digits4[] = "CLF UYW";
static const char digits2[] =
    "AED AFN ALL AMD ANG AOA ARS AUD AWG AZN BAM BBD BDT BGN BMD BND BOB BRL BSD BTN BWP BYN BZD "
    "CAD CDF CHF CNY COP CRC CUP CVE CZK DKK DOP DZD EGP ERN ETB EUR FJD FKP GBP GEL GHS GIP GMD "
    "GTQ GYD HKD HNL HTG HUF IDR ILS INR IRR JMD KES KGS KHR KPW KYD KZT LAK LBP LKR LRD LSL MAD "
    "MDL MGA MKD MMK MNT MOP MRU MUR MVR MWK MXN MYR MZN NAD NGN NIO NOK NPR NZD PAB PEN PGK PHP "
    "PKR PLN QAR RON RSD RUB SAR SBD SCR SDG SEK SGD SHP SLE SOS SRD SSP STN SVC SYP SZL THB TJS "
    "TMT TOP TRY TTD TWD TZS UAH USD UYU UZS VED VES WST XCD XCG YER ZAR ZMW ZWG";

static bool listed(const char *list, struct str code)
{
	for (const char *p = list; *p; p += p[3] ? 4 : 3) {
		if (memcmp(p, code.p, 3) == 0)
			return true;
	}
	return false;
}

/* Decimals of the currency's minor unit; -1 for a code that is not known. */
static int currency_digits(struct str code)
{
	if (listed(digits2, code))
		return 2;
	if (listed(digits0, code))
		return 0;
	if (listed(digits3, code))
		return 3;
	return listed(digits4, code) ? 4 : -1;
}

int farm_currency(struct reader *r, struct cursor *c)
{
	struct str code = cur_peek(c);
	char capitals[4] = "";
	bool letters = code.n == 3, small = false;
	for (size_t i = 0; letters && i < 3; i++) {
		char ch = code.p[i];
		small = small || (ch >= 'a' && ch <= 'z');
		capitals[i] = ch >= 'a' && ch <= 'z' ? (char)(ch - 'a' + 'A') : ch;
		letters = capitals[i] >= 'A' && capitals[i] <= 'Z';
	}
	if (code.n == 0)
		return cur_missing(c, "the code of a currency");
	if (!letters || small) {
		cur_error(c, code, "%s is no currency's code of three capitals.", QUOTE(c, code));
		if (letters)
			diag_hint(c->l->diag, "write `%s`", capitals);
		else
			diag_hint(c->l->diag,
				  "ISO 4217 has the codes: `EUR`, `USD`, `GBP`, `CHF`, `JPY`");
		return -1;
	}
	c->at += (size_t)(code.p - (c->text.p + c->at)) + code.n;
	int digits = currency_digits(code);
	if (digits < 0)
		diag_warn(c->l->diag, cur_span(c, code),
			  "%s is no currency that is known here, and is taken to have 2 decimals.",
			  QUOTE(c, code));
	r->farm->business.currency = code;
	r->farm->business.digits = digits < 0 ? 2 : digits;
	return 0;
}

int farm_wage(struct reader *r, struct cursor *c)
{
	struct business *b = &r->farm->business;
	if (cur_money(c, &b->wage) < 0 || cur_want_all(c, "per h") < 0)
		return -1;
	int more = cur_next_clause(c);
	if (more <= 0)
		return more;
	if (cur_want(c, "plus") < 0)
		return -1;
	return cur_percent(c, &b->wage_burden, NOT_NEGATIVE);
}

int farm_overhead(struct reader *r, struct cursor *c)
{
	struct business *b = &r->farm->business;
	if (cur_money(c, &b->overhead) < 0 || cur_want_all(c, "per year over") < 0)
		return -1;
	if (cur_fig(c, &b->overhead_hours, POSITIVE) < 0 || cur_want(c, "h") < 0)
		return -1;
	if (cur_take(c, "at"))
		return cur_want_all(c, "the bench");
	return 0;
}

int farm_growing(struct reader *r, struct cursor *c)
{
	struct fig *f = &r->farm->business.growing;
	const struct unit *u;
	struct rat metre;
	if (cur_money(c, f) < 0 || cur_want(c, "per") < 0 || cur_unit(c, DIM_LENGTH, &u) < 0)
		return -1;
	rat_make(&metre, 1000, 1);
	if (cur_scale(c, f, metre, u->factor) < 0)
		return -1;
	return cur_take(c, "of") ? cur_want(c, "bed") : 0;
}

int farm_bench(struct reader *r, struct cursor *c)
{
	struct business *b = &r->farm->business;
	struct rat hour;
	rat_make(&hour, 3600, 1);
	if (cur_measure(c, DIM_TIME, &b->bench_hours, NOT_NEGATIVE) < 0 ||
	    cur_scale(c, &b->bench_hours, RAT_ONE, hour) < 0)
		return -1;
	return cur_take(c, "until") ? cur_date(c, &b->bench_until) : 0;
}

int farm_frost(struct reader *r, struct cursor *c)
{
	unsigned seen = 0;
	int more = 1;
	for (; more > 0; more = cur_next_clause(c)) {
		struct str word = cur_peek(c);
		if (cur_want(c, "last|first") < 0)
			return -1;
		bool last = word.p[0] == 'l' || word.p[0] == 'L';
		struct business *b = &r->farm->business;
		if (cur_once(c, &seen, last ? 1 : 2, word) < 0 ||
		    cur_date(c, last ? &b->last_frost : &b->first_frost) < 0)
			return -1;
	}
	return more;
}

int farm_line(struct reader *r, struct cursor *c)
{
	return cur_measure(c, DIM_LENGTH, &r->farm->business.line, NOT_NEGATIVE);
}

int farm_racks(struct reader *r, struct cursor *c)
{
	return cur_measure(c, DIM_AREA, &r->farm->business.racks, NOT_NEGATIVE);
}

int farm_beds(struct reader *r, struct cursor *c)
{
	return cur_measure(c, DIM_LENGTH, &r->farm->business.beds, NOT_NEGATIVE);
}

int farm_boxes(struct reader *r, struct cursor *c)
{
	struct business *b = &r->farm->business;
	if (cur_whole(c, &b->boxes, NOT_NEGATIVE) < 0)
		return -1;
	return cur_take(c, "of") ? cur_size(c, b->box_size) : 0;
}

int farm_share(struct reader *r, struct cursor *c)
{
	enum share_rule *rule = &r->farm->business.share;
	if (cur_want(c, "by") < 0)
		return -1;
	if (cur_take(c, "stem*")) {
		*rule = SHARE_BY_STEMS;
		return 0;
	}
	bool fresh = cur_take(c, "fresh");
	if (!fresh && !cur_take(c, "dried"))
		return cur_expected(c, "stems|fresh|dried");
	*rule = fresh ? SHARE_BY_FRESH_PRICE : SHARE_BY_DRIED_PRICE;
	return cur_want(c, "price");
}
