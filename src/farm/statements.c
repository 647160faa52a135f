/* statements.c - the table of statements. */
#include "farm/statements.h"

#include "farm/notation.h"

#define ON(kind) (1u << KIND_##kind)
#define ANY (ON(FARM) | ON(CROP) | ON(SUPPLY) | ON(PART) | ON(PIECE) | ON(OUTLET) | ON(TARGET))
#define COUNTED (ON(CROP) | ON(SUPPLY) | ON(PART))
#define MAKER (ON(PART) | ON(PIECE))

static const struct statement table[] = {
	/* ---- every block ---- */
	{ ANY & ~ON(TARGET), "also", true, "also NAME, NAME...",
	  "Further names for the same thing, so that every spelling you use is understood.",
	  "also straw flower, everlasting daisy", read_also },
	{ ANY, "note", true, "note TEXT", "A remark for yourself, kept with the block.",
	  "note seed from the north field, second year", read_note },
	{ ANY, "caution", true, "caution TEXT",
	  "A warning that is shown wherever the thing is worked with.",
	  "caution wear gloves, the sap irritates the skin", read_caution },

	/* ---- how a material is counted ---- */
	{ COUNTED, "stem", false, "stem QTY UNIT", "What one stem is, by weight or by another word.",
	  "stem 12 g", read_measure },
	{ COUNTED, "head", false, "head QTY UNIT", "What one flower head is.", "head 1/2 stem",
	  read_measure },
	{ COUNTED, "sprig", false, "sprig QTY UNIT",
	  "What one sprig is; a third of a stem means that one stem gives three.", "sprig 1/3 stem",
	  read_measure },
	{ COUNTED, "bunch", false, "bunch QTY UNIT", "What one bunch is.", "bunch 10 stem",
	  read_measure },
	{ COUNTED, "each", false, "each QTY UNIT", "What one of a thing is, where it is counted otherwise.",
	  "each 8 g", read_measure },
	{ COUNTED, "calls", true, "calls QTY UNIT a WORD",
	  "Your own counting word for so much of this material.", "calls 25 each a handful",
	  read_calls },

	/* ---- farm ---- */
	{ ON(FARM), "currency", false, "currency CODE",
	  "The currency of all amounts, by its three capitals of ISO 4217.", "currency EUR",
	  farm_currency },
	{ ON(FARM), "wage", false, "wage MONEY per h [, plus PERCENT]",
	  "What an hour of work is paid, and what the employer pays on top of it.",
	  "wage 16.50 per h, plus 21%", farm_wage },
	{ ON(FARM), "overhead", false, "overhead MONEY per year over NUMBER h [at the bench]",
	  "The workshop's yearly cost and the hours at the bench that carry it.",
	  "overhead 3900 per year over 850 h at the bench", farm_overhead },
	{ ON(FARM), "growing", false, "growing MONEY per LENGTHUNIT [of bed]",
	  "The field's share of the year's cost for a length of bed: land, water, tools.",
	  "growing 2.40 per m of bed", farm_growing },
	{ ON(FARM), "bench", false, "bench TIME [until DATE]",
	  "The hours that there are for making, and the day by which they must be used.",
	  "bench 120 h until 2026-12-12", farm_bench },
	{ ON(FARM), "frost", false, "frost last DATE [, first DATE]",
	  "The last frost of spring and the first of autumn that you plan by.",
	  "frost last 2027-04-24, first 2027-10-18", farm_frost },
	{ ON(FARM), "line", false, "line LENGTH", "The drying line that there is, all rooms together.",
	  "line 84 m", farm_line },
	{ ON(FARM), "racks", false, "racks AREA", "The area of drying racks.", "racks 6 m2", farm_racks },
	{ ON(FARM), "beds", false, "beds LENGTH", "The length of bed that there is to plant.",
	  "beds 46 m", farm_beds },
	{ ON(FARM), "boxes", false, "boxes NUMBER [of NUMBER x NUMBER x NUMBER LENGTHUNIT]",
	  "How many storage boxes there are, and their size.", "boxes 60 of 80 x 40 x 20 cm",
	  farm_boxes },
	{ ON(FARM), "share", false, "share by stems|fresh price|dried price",
	  "How the cost of a bed is shared between stems sold fresh and stems hung to dry.",
	  "share by stems", farm_share },

	/* ---- crop ---- */
	{ ON(CROP), "costs", false, "costs MONEY per UNIT [boxed]",
	  "What a stem costs by the time it is boxed; used where no bed record and no box price says "
	  "better.",
	  "costs 0.24 per stem boxed", crop_costs },
	{ ON(CROP), "buys", false, "buys at MONEY per UNIT",
	  "What the crop costs where it is bought in instead of grown.", "buys at 0.42 per stem",
	  crop_buys },
	{ ON(CROP), "loses", false,
	  "loses PERCENT field|drying|storage per month|bench, ... [, weighs NUMBER stem]",
	  "What is lost at each step: from cut to hung, from hung to boxed, for a month in the box, "
	  "and at the bench.",
	  "loses 8% field, 10% drying, 1% storage per month, 4% bench", crop_loses },
	{ ON(CROP), "keeps", false, "keeps NUMBER months [from boxing]",
	  "How long a box is good.", "keeps 14 months from boxing", crop_keeps },
	{ ON(CROP), "carries", false, "carries MONEY per UNIT [into next season]",
	  "What a stem that is left over is worth to you for next season.",
	  "carries 0.08 per stem into next season", crop_carries },
	{ ON(CROP), "reserve", false, "reserve QTY UNIT",
	  "What is to stay in the shed and not be used this season.", "reserve 40 stem", crop_reserve },
	{ ON(CROP), "worth", false, "worth MONEY per UNIT fresh|to hang|dried, ...",
	  "What a stem sells for: fresh, at the point where it is hung, and dried.",
	  "worth 0.45 per stem fresh, 0.60 per stem dried", crop_worth },
	{ ON(CROP), "hangs", false,
	  "hangs QTY UNIT per bundle [, LENGTH [of line] per bundle] [, NUMBER days]",
	  "How it is hung: stems in a bundle, line that a bundle takes, days until it is dry.",
	  "hangs 10 stem per bundle, 9 cm of line per bundle, 14 days", crop_hangs },
	{ ON(CROP), "lies", false, "lies QTY UNIT per AREAUNIT [of rack] [, NUMBER days]",
	  "How it dries lying on racks, where it is not hung.", "lies 250 stem per m2 of rack, 9 days",
	  crop_lies },
	{ ON(CROP), "boxes", false, "boxes QTY UNIT per box", "How much goes into one storage box.",
	  "boxes 250 stem per box", crop_boxes },
	{ ON(CROP), "works", false,
	  "works cut|strip|bundle|hang|box RATE, ...; RATE is NUMBER stem|bundle|box per h, or TIME per "
	  "stem|bundle|box",
	  "How fast the work goes; an activity with a number alone shares the next rate by the hour, or the "
	  "one before.",
	  "works cut 400, strip 250, bundle 300 stem per h; box 60 s per bundle", crop_works },
	{ ON(CROP), "spends", false, "spends MONEY per bundle|box, ...",
	  "What a bundle costs in band and a box in card.", "spends 0.02 per bundle, 1.10 per box",
	  crop_spends },
	{ ON(CROP), "sows", true,
	  "sows WHEN [, direct] [, germinates PERCENT] [, NUMBER cells per tray] [, NUMBER seeds per "
	  "cell] [, MONEY per NUMBER seeds]",
	  "When and how it is sown; one line for each succession.",
	  "sows 7 weeks before last frost, germinates 78%, 128 cells per tray, 4.95 per 250 seeds",
	  crop_sows },
	{ ON(CROP), "plants", true,
	  "plants WHEN [, LENGTH apart] [, NUMBER rows] [, bed LENGTH wide] [, PERCENT live]",
	  "When and how it is planted out; one line for each succession.",
	  "plants 1 week after last frost, 25 cm apart, 4 rows, bed 1.2 m wide, 92% live",
	  crop_plants },
	{ ON(CROP), "cuts", false,
	  "cuts from NUMBER weeks|days after planting | on DATE [, over NUMBER weeks|days] [, NUMBER "
	  "stem per plant] [, usually NUMBER to NUMBER]",
	  "When cutting starts, how long it goes on, and what a plant gives; four years of five lie in "
	  "the usual range.",
	  "cuts from 10 weeks after planting, over 9 weeks, 14 stem per plant, usually 10 to 18",
	  crop_cuts },
	{ ON(CROP), "stands", false,
	  "stands LENGTH [of bed] [, planted DATE] [, bears NUMBER years] [, MONEY to plant]",
	  "A perennial that is in the ground already.",
	  "stands 12 m of bed, planted 2024-05-04, bears 6 years, 180 to plant", crop_stands },
	{ ON(CROP), "colours", false, "colours COLOUR [PERCENT], ...",
	  "The colours that there are, and the share of each in what is planted.",
	  "colours rust 40%, gold 35%, white 25%", crop_colours },

	/* ---- supply ---- */
	{ ON(SUPPLY), "costs", false, "costs MONEY per [NUMBER] UNIT",
	  "What it costs; the unit is the one that the supply is counted in.", "costs 12.90 per 50 m",
	  supply_costs },
	{ ON(SUPPLY), "pack", false, "pack QTY UNIT",
	  "How much is in a pack, where it is sold in whole packs.", "pack 25 each", supply_pack },

	/* ---- part and piece ---- */
	{ ON(PART), "makes", false, "makes QTY UNIT", "What one making gives; 1 each when not said.",
	  "makes 1 each", part_makes },
	{ MAKER, "needs", true,
	  "needs QTY [UNIT] NAME [, colour COLOUR or COLOUR...] [, one colour of COLOUR, COLOUR...] [, "
	  "from LENGTH [to LENGTH]]",
	  "What goes in, for one making; the length is what the stem must have at least and at most.",
	  "needs 24 stem Strawflower, colour rust or gold, from 20 cm", read_needs },
	{ MAKER, "or", true,
	  "or QTY [UNIT] NAME [, colour COLOUR or COLOUR...] [, one colour of COLOUR, COLOUR...] [, "
	  "from LENGTH [to LENGTH]]",
	  "Another way to meet the need in the line above, with its own quantity.",
	  "or 20 stem Sea lavender, from 20 cm", read_or },
	{ MAKER, "takes", true, "takes TIME [LABEL] [, for each batch of up to NUMBER]",
	  "Time at the bench, for one making or for a batch of them.",
	  "takes 20 min setting up, for each batch of up to 6", read_takes },
	{ ON(PIECE), "packs", false,
	  "packs [NUMBER x NUMBER x NUMBER LENGTHUNIT] [, WEIGHT] [, TIME] [, carton MONEY]",
	  "The piece packed for sending: size, weight, time to pack it, price of the carton.",
	  "packs 42 x 42 x 14 cm, 0.8 kg, 6 min, carton 1.35", piece_packs },
	{ ON(PIECE), "sells", true, "sells OUTLET [at MONEY] [, likely NUMBER] [, up to NUMBER]",
	  "Where it sells, what the customer pays, how many sell surely and how many at most.",
	  "sells market at 68, likely 14, up to 20", piece_sells },
	{ ON(PIECE), "tax", false, "tax PERCENT in the price|on top",
	  "The tax on this piece, where it is not the outlet's.", "tax 7% in the price", piece_tax },

	/* ---- outlet ---- */
	{ ON(OUTLET), "fee", false, "fee PERCENT [of net] [, plus MONEY per order]",
	  "What the outlet keeps of what the customer pays (`of net`: of the price before tax).",
	  "fee 6.5%, plus 0.45 per order", outlet_fee },
	{ ON(OUTLET), "orders", false, "orders NUMBER pieces each",
	  "How many pieces go into one order on average.", "orders 1.4 pieces each", outlet_orders },
	{ ON(OUTLET), "sends", false,
	  "sends MONEY up to WEIGHT, ... [, volume divisor NUMBER] [; charges MONEY per order]",
	  "What sending costs by weight, and what the customer pays for it.",
	  "sends 7.20 up to 2 kg, 9.80 up to 5 kg, volume divisor 5000; charges 6.90 per order",
	  outlet_sends },
	{ ON(OUTLET), "spoils", false, "spoils PERCENT",
	  "The share of pieces that break on the way or come back.", "spoils 3%", outlet_spoils },
	{ ON(OUTLET), "tax", false, "tax PERCENT in the price|on top",
	  "The tax on what is sold here, and whether the tag holds it.", "tax 19% in the price",
	  outlet_tax },
	{ ON(OUTLET), "aim", false,
	  "aim margin PERCENT | markup PERCENT | flowers x NUMBER, supplies x NUMBER [, labour PERCENT "
	  "of price|on top]",
	  "The rule by which a price is worked out.", "aim margin 55%", outlet_aim },
	{ ON(OUTLET), "prices", false, "prices end in NUMBER [or NUMBER...] [, nearest]",
	  "What a price tag may end in; it goes up to the next such price.",
	  "prices end in .00 or .50, nearest",
	  outlet_prices },
	{ ON(OUTLET), "stall", false,
	  "stall MONEY per day [, NUMBER h] [, NUMBER days] [, travel NUMBER km at MONEY]",
	  "A stall's money for a day, its hours, how many days there are, and the way there.",
	  "stall 45 per day, 9 h, 6 days, travel 38 km at 0.30", outlet_stall },

	/* ---- target ---- */
	{ ON(TARGET), "sell", true, "sell NUMBER by DATE [at OUTLET] [, PERCENT sure]",
	  "How many you want to have sold by when, where, and how sure that should be.",
	  "sell 40 by 2027-11-20 at market, 80% sure", target_sell },
};

enum { ROWS = sizeof table / sizeof table[0] };
_Static_assert((int)ROWS < (int)STATEMENTS_MOST, "room for what a block has seen");

const struct statement *statement_at(size_t i)
{
	return i < ROWS ? &table[i] : NULL;
}

size_t statement_index(const struct statement *s)
{
	return (size_t)(s - table);
}

static char lower(char c)
{
	return c >= 'A' && c <= 'Z' ? (char)(c - 'A' + 'a') : c;
}

static bool same(struct str word, const char *want, bool exact)
{
	size_t i = 0;
	for (; i < word.n && want[i]; i++) {
		if ((exact ? word.p[i] : lower(word.p[i])) != want[i])
			return false;
	}
	return i == word.n && want[i] == '\0';
}

const struct statement *statement_find(enum kind kind, struct str word)
{
	for (size_t i = 0; i < ROWS; i++) {
		if (table[i].kinds & 1u << kind && same(word, table[i].word, false))
			return &table[i];
	}
	return NULL;
}

struct words {
	unsigned kinds;
	size_t next;
};

static struct str next_word(void *ctx, size_t i)
{
	struct words *w = ctx;
	(void)i;
	while (w->next < ROWS) {
		const struct statement *s = &table[w->next++];
		if (s->kinds & w->kinds)
			return str_of(s->word);
	}
	return STR_NONE;
}

struct str statement_nearest(enum kind kind, struct str word)
{
	struct words w = { 1u << kind, 0 };
	return diag_nearest(word, next_word, &w);
}

enum kind kind_of(struct str word, bool exact)
{
	enum kind k = KIND_FARM;
	while (k < KIND_COUNT && !same(word, kind_name(k), exact))
		k++;
	return k;
}

static struct str next_kind(void *ctx, size_t i)
{
	(void)ctx;
	return i < KIND_COUNT ? str_of(kind_name((enum kind)i)) : STR_NONE;
}

enum kind kind_nearest(struct str word)
{
	struct str near = diag_nearest(word, next_kind, NULL);
	return near.n ? kind_of(near, true) : KIND_COUNT;
}
