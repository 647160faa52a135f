/* unit.c - the table of measures.
 *
 * NIST Special Publication 811 (2008), Appendix B: inch 2.54 cm, foot 0.3048 m,
 * yard 0.9144 m, pound 453.59237 g, ounce 1/16 pound, all exact.  The month is
 * a twelfth of 365.25 days. */
#include "base/unit.h"

static const struct unit units[] = {
	{ "mm", "millimetre millimetres millimeter millimeters", DIM_LENGTH, { 1, 1 } },
	{ "cm", "centimetre centimetres centimeter centimeters", DIM_LENGTH, { 10, 1 } },
	{ "m", "metre metres meter meters", DIM_LENGTH, { 1000, 1 } },
	{ "km", "kilometre kilometres kilometer kilometers", DIM_LENGTH, { 1000000, 1 } },
	{ "in", "inch inches", DIM_LENGTH, { 127, 5 } },
	{ "ft", "foot feet", DIM_LENGTH, { 1524, 5 } },
	{ "yd", "yard yards", DIM_LENGTH, { 4572, 5 } },
	{ "m2", "m\xc2\xb2 sqm", DIM_AREA, { 1000000, 1 } },
	{ "ft2", "ft\xc2\xb2 sqft", DIM_AREA, { 2322576, 25 } },
	{ "g", "gram grams gramme grammes", DIM_WEIGHT, { 1, 1 } },
	{ "kg", "kilogram kilograms kilogramme kilogrammes kilo kilos", DIM_WEIGHT, { 1000, 1 } },
	{ "oz", "ounce ounces", DIM_WEIGHT, { 45359237, 1600000 } },
	{ "lb", "lbs pound pounds", DIM_WEIGHT, { 45359237, 100000 } },
	{ "s", "sec second seconds", DIM_TIME, { 1, 1 } },
	{ "min", "minute minutes", DIM_TIME, { 60, 1 } },
	{ "h", "hr hour hours", DIM_TIME, { 3600, 1 } },
	{ "day", "days", DIM_TIME, { 86400, 1 } },
	{ "week", "weeks", DIM_TIME, { 604800, 1 } },
	{ "month", "months", DIM_TIME, { 2629800, 1 } },
};

enum { UNITS = sizeof units / sizeof units[0] };

static char lower(char c)
{
	return c >= 'A' && c <= 'Z' ? (char)(c - 'A' + 'a') : c;
}

/* Is the name one of these words?  Every word of a needs line comes here, so the
 * list is walked once, without calls. */
static bool among(struct str name, const char *words)
{
	for (const char *p = words; *p; p += *p == ' ') {
		size_t i = 0;
		while (i < name.n && lower(name.p[i]) == lower(p[i]) && p[i])
			i++;
		if (i == name.n && (p[i] == ' ' || p[i] == '\0'))
			return true;
		while (*p && *p != ' ')
			p++;
	}
	return false;
}

static bool goes_by(const struct unit *u, struct str name)
{
	return among(name, u->name) || among(name, u->others);
}

/* No two spellings differ by case alone (the tests see to that). */
const struct unit *unit_find(struct str name)
{
	for (size_t i = 0; i < UNITS; i++) {
		if (name.n && goes_by(&units[i], name))
			return &units[i];
	}
	return NULL;
}

const struct unit *unit_at(size_t i)
{
	return i < UNITS ? &units[i] : NULL;
}

const char *dimension_name(enum dimension d)
{
	switch (d) {
	case DIM_LENGTH:
		return "length";
	case DIM_AREA:
		return "area";
	case DIM_WEIGHT:
		return "weight";
	case DIM_TIME:
		return "time";
	case DIM_COUNT:
		return "count";
	}
	return "measure";
}
