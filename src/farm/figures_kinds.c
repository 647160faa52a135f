/* figures_kinds.c - the one table of figures. */
#include "farm/figures_in.h"

#include "base/unit.h"

#define MONEY_MOST 1e9 /* an hour or a stem may cost tens of thousands in some currencies */
#define STEMS_MOST 1e8
#define SHARE_MOST 0.999 /* of rates that stay below 100% */
#define KM 1e6           /* mm */
#define SPAN_MOST (100 * KM)

#define FARM(field) IN_BUSINESS, offsetof(struct business, field)
#define CROP(field) IN_CROP, offsetof(struct crop, field)
#define SOWING(field) IN_SOWING, offsetof(struct sowing, field)
#define PLANTING(field) IN_PLANTING, offsetof(struct planting, field)
#define SUPPLY(field) IN_SUPPLY, offsetof(struct supply, field)
#define PIECE(field) IN_PIECE, offsetof(struct piece, field)
#define OFFER(field) IN_OFFER, offsetof(struct offer, field)
#define OUTLET(field) IN_OUTLET, offsetof(struct outlet, field)
#define TARGET(field) IN_TARGET, offsetof(struct target, field)
#define PART_TASK(field) IN_PART_TASK, offsetof(struct task, field)
#define PIECE_TASK(field) IN_PIECE_TASK, offsetof(struct task, field)
#define TARIFF(field) IN_TARIFF, offsetof(struct tariff, field)
#define ANEW true, 0
#define GIVEN false, 0

static const struct figure_row rows[] = {
	/* ---- the farm ---- */
	{ { "wage", KIND_FARM, "wage", FU_MONEY, 0, MONEY_MOST, "per h", "What an hour of work is paid." },
	  FARM(wage), ANEW },
	{ { "wage.burden", KIND_FARM, "wage burden", FU_PERCENT, 0, 5, "of the wage",
	    "Employer's cost on top of the wage." },
	  FARM(wage_burden), ANEW },
	{ { "overhead", KIND_FARM, "overhead", FU_MONEY, 0, MONEY_MOST, "per year",
	    "What the workshop costs in a year." },
	  FARM(overhead), ANEW },
	{ { "overhead.hours", KIND_FARM, "overhead hours", FU_HOURS, 1, 100000, "per year",
	    "Hours at the bench over which the overhead is spread." },
	  FARM(overhead_hours), ANEW },
	{ { "growing", KIND_FARM, "growing", FU_MONEY, 0, MONEY_MOST, "per m of bed",
	    "What a metre of bed costs in a season: land, water, tools." },
	  FARM(growing), ANEW },
	{ { "bench", KIND_FARM, "bench hours", FU_HOURS, 0, 100000, "",
	    "Hours that there are at the bench." },
	  FARM(bench_hours), ANEW },
	{ { "line", KIND_FARM, "line", FU_LENGTH_M, 0, SPAN_MOST, "", "Drying line in all rooms." },
	  FARM(line), GIVEN },
	{ { "racks", KIND_FARM, "racks", FU_AREA_M2, 0, 1e12, "", "Area of the drying racks." },
	  FARM(racks), GIVEN },
	{ { "beds", KIND_FARM, "beds", FU_LENGTH_M, 0, SPAN_MOST, "", "Length of all beds." },
	  FARM(beds), GIVEN },
	{ { "boxes", KIND_FARM, "boxes", FU_NUMBER, 0, 1e6, "", "Boxes that there are." },
	  FARM(boxes), GIVEN },

	/* ---- crops ---- */
	{ { "crop.cost", KIND_CROP, "cost", FU_MONEY, 0, MONEY_MOST, "per stem boxed",
	    "Cost of a stem where no bed record and no box price says better." },
	  CROP(cost), ANEW },
	{ { "crop.bought", KIND_CROP, "buying price", FU_MONEY, 0, MONEY_MOST, "per stem",
	    "What a stem costs that is bought in." },
	  CROP(bought), GIVEN },
	{ { "loss.field", KIND_CROP, "field loss", FU_PERCENT, 0, SHARE_MOST, "",
	    "Share of the stems cut that is graded out before hanging." },
	  CROP(loss[STAGE_FIELD]), ANEW },
	{ { "loss.drying", KIND_CROP, "drying loss", FU_PERCENT, 0, SHARE_MOST, "",
	    "Share of the stems hung that does not come into a box." },
	  CROP(loss[STAGE_DRYING]), ANEW },
	{ { "loss.storage", KIND_CROP, "storage loss", FU_PERCENT, 0, SHARE_MOST, "per month",
	    "Share of the stems in a box that is lost in a month." },
	  CROP(loss[STAGE_STORAGE]), ANEW },
	{ { "loss.bench", KIND_CROP, "bench loss", FU_PERCENT, 0, SHARE_MOST, "",
	    "Share of the stems taken to the bench that ends in no piece." },
	  CROP(loss[STAGE_BENCH]), ANEW },
	{ { "loss.weight", KIND_CROP, "loss weight", FU_NUMBER, 0, STEMS_MOST, "stems",
	    "Stems that the loss figures of the text weigh against what was measured." },
	  CROP(loss_weight), GIVEN },
	{ { "crop.keeps", KIND_CROP, "keeping time", FU_MONTHS, 0.1, 600, "from boxing",
	    "How long a box can be used." },
	  CROP(keeps), GIVEN },
	{ { "crop.carries", KIND_CROP, "keep value", FU_MONEY, 0, MONEY_MOST, "per stem",
	    "What a stem left over is worth next season." },
	  CROP(carries), GIVEN },
	{ { "crop.reserve", KIND_CROP, "reserve", FU_NUMBER, 0, STEMS_MOST, "stems",
	    "Stems that are kept back this season." },
	  CROP(reserve), GIVEN },
	{ { "worth.fresh", KIND_CROP, "fresh price", FU_MONEY, 0, MONEY_MOST, "per stem",
	    "What a fresh stem sells for." },
	  CROP(fresh_price), GIVEN },
	{ { "worth.hung", KIND_CROP, "price to hang", FU_MONEY, 0, MONEY_MOST, "per stem",
	    "What a stem sells for where it would be hung." },
	  CROP(hung_price), GIVEN },
	{ { "worth.dried", KIND_CROP, "dried price", FU_MONEY, 0, MONEY_MOST, "per stem",
	    "What a dried stem sells for." },
	  CROP(dried_price), GIVEN },
	{ { "hang.bundle", KIND_CROP, "stems per bundle", FU_NUMBER, 1, 10000, "",
	    "Stems in a bundle that hangs." },
	  CROP(bundle), GIVEN },
	{ { "hang.line", KIND_CROP, "line per bundle", FU_LENGTH_M, 1, 1e5, "",
	    "Drying line that a bundle takes." },
	  CROP(bundle_line), GIVEN },
	{ { "lie.stems", KIND_CROP, "stems per m2", FU_NUMBER, 1e-6, 1, "of rack",
	    "Stems that lie on a square metre of rack." },
	  CROP(per_area), false, 1e6 },
	{ { "dry.days", KIND_CROP, "drying days", FU_DAYS, 0.1, 400, "", "Days until it is dry." },
	  CROP(drying_days), GIVEN },
	{ { "box.stems", KIND_CROP, "stems per box", FU_NUMBER, 1, 1e6, "", "Stems that fill a box." },
	  CROP(per_box), GIVEN },
	{ { "work.cut", KIND_CROP, "cutting time", FU_SECONDS, 0, 86400, "each",
	    "Time to cut one stem, bundle or box, as the `works` line counts." },
	  CROP(works[WORK_CUT].seconds), GIVEN },
	{ { "work.strip", KIND_CROP, "stripping time", FU_SECONDS, 0, 86400, "each",
	    "Time to strip one stem, bundle or box, as the `works` line counts." },
	  CROP(works[WORK_STRIP].seconds), GIVEN },
	{ { "work.bundle", KIND_CROP, "bundling time", FU_SECONDS, 0, 86400, "each",
	    "Time to bundle one stem, bundle or box, as the `works` line counts." },
	  CROP(works[WORK_BUNDLE].seconds), GIVEN },
	{ { "work.hang", KIND_CROP, "hanging time", FU_SECONDS, 0, 86400, "each",
	    "Time to hang one stem, bundle or box, as the `works` line counts." },
	  CROP(works[WORK_HANG].seconds), GIVEN },
	{ { "work.box", KIND_CROP, "boxing time", FU_SECONDS, 0, 86400, "each",
	    "Time to box one stem, bundle or box, as the `works` line counts." },
	  CROP(works[WORK_BOX].seconds), GIVEN },
	{ { "spend.bundle", KIND_CROP, "bundle money", FU_MONEY, 0, MONEY_MOST, "per bundle",
	    "Money spent on a bundle: the band." },
	  CROP(spend_bundle), GIVEN },
	{ { "spend.box", KIND_CROP, "box money", FU_MONEY, 0, MONEY_MOST, "per box",
	    "Money spent on a box." },
	  CROP(spend_box), GIVEN },
	{ { "sow.germination", KIND_CROP, "germination", FU_PERCENT, 0.001, 1, "",
	    "Share of the seeds that come up." },
	  SOWING(germinates), GIVEN },
	{ { "sow.cells", KIND_CROP, "cells per tray", FU_NUMBER, 1, 10000, "", "Cells of a tray." },
	  SOWING(cells), GIVEN },
	{ { "sow.seeds", KIND_CROP, "seeds per cell", FU_NUMBER, 1, 1000, "", "Seeds in a cell." },
	  SOWING(seeds_per_cell), GIVEN },
	{ { "seed.price", KIND_CROP, "seed price", FU_MONEY, 0, MONEY_MOST, "per packet",
	    "What a packet of seed costs." },
	  SOWING(seed_price), GIVEN },
	{ { "seed.count", KIND_CROP, "seeds per packet", FU_NUMBER, 1, 1e7, "", "Seeds in a packet." },
	  SOWING(seed_count), GIVEN },
	{ { "plant.apart", KIND_CROP, "spacing", FU_LENGTH_M, 1, 1e4, "in the row",
	    "From plant to plant in the row." },
	  PLANTING(apart), GIVEN },
	{ { "plant.rows", KIND_CROP, "rows", FU_NUMBER, 1, 1000, "", "Rows in a bed." },
	  PLANTING(rows), GIVEN },
	{ { "plant.width", KIND_CROP, "bed width", FU_LENGTH_M, 1, 1e5, "", "Width of the bed." },
	  PLANTING(bed_width), GIVEN },
	{ { "plant.live", KIND_CROP, "live share", FU_PERCENT, 0.001, 1, "",
	    "Share of the plants set that lives." },
	  PLANTING(live), GIVEN },
	{ { "cut.days", KIND_CROP, "cutting days", FU_DAYS, 1, 1000, "", "Days over which it is cut." },
	  CROP(cutting.over), GIVEN },
	{ { "cut.stems", KIND_CROP, "stems per plant", FU_NUMBER, 0, 10000, "",
	    "Stems cut from a plant." },
	  CROP(cutting.per_plant), GIVEN },
	{ { "cut.low", KIND_CROP, "fewest stems per plant", FU_NUMBER, 0, 10000, "",
	    "Low end of what a plant usually gives." },
	  CROP(cutting.low), GIVEN },
	{ { "cut.high", KIND_CROP, "most stems per plant", FU_NUMBER, 0, 10000, "",
	    "High end of what a plant usually gives." },
	  CROP(cutting.high), GIVEN },
	{ { "stand.length", KIND_CROP, "standing bed", FU_LENGTH_M, 0, SPAN_MOST, "",
	    "Bed of a perennial that stands already." },
	  CROP(standing.metres), GIVEN },
	{ { "stand.years", KIND_CROP, "bearing years", FU_NUMBER, 1, 100, "years",
	    "Years over which planting a perennial is spread." },
	  CROP(standing.bears), GIVEN },
	{ { "stand.money", KIND_CROP, "planting money", FU_MONEY, 0, MONEY_MOST, "once",
	    "What planting a perennial cost." },
	  CROP(standing.establishment), GIVEN },

	/* ---- supplies and parts ---- */
	{ { "supply.cost", KIND_SUPPLY, "cost", FU_MONEY, 0, MONEY_MOST, "per unit",
	    "What one unit of the supply costs." },
	  SUPPLY(cost), ANEW },
	{ { "supply.pack", KIND_SUPPLY, "pack", FU_NUMBER, 0.001, 1e6, "units",
	    "Units in a pack that is sold whole." },
	  SUPPLY(pack), GIVEN },
	{ { "part.task", KIND_PART, "LABEL", FU_MINUTES, 0, 360000, "each",
	    "Time that a `takes` line says, by its label; `work` without one." },
	  PART_TASK(seconds), GIVEN },
	{ { "part.batch", KIND_PART, "LABEL batch", FU_NUMBER, 1, 1e6, "",
	    "Largest batch that a `takes` line counts once." },
	  PART_TASK(batch), GIVEN },

	/* ---- pieces ---- */
	{ { "piece.task", KIND_PIECE, "LABEL", FU_MINUTES, 0, 360000, "each",
	    "Time that a `takes` line says, by its label; `work` without one." },
	  PIECE_TASK(seconds), GIVEN },
	{ { "piece.batch", KIND_PIECE, "LABEL batch", FU_NUMBER, 1, 1e6, "",
	    "Largest batch that a `takes` line counts once." },
	  PIECE_TASK(batch), GIVEN },
	{ { "piece.packing", KIND_PIECE, "packing", FU_MINUTES, 0, 360000, "each",
	    "Time to pack the piece." },
	  PIECE(packing), GIVEN },
	{ { "piece.carton", KIND_PIECE, "carton", FU_MONEY, 0, MONEY_MOST, "each",
	    "What the carton and its filling cost." },
	  PIECE(carton), GIVEN },
	{ { "piece.weight", KIND_PIECE, "weight", FU_GRAMS, 0, 1e6, "packed",
	    "Weight of the packed piece." },
	  PIECE(weight), GIVEN },
	{ { "piece.tax", KIND_PIECE, "tax", FU_PERCENT, 0, SHARE_MOST, "",
	    "Tax of this piece, in place of the outlet's." },
	  PIECE(tax), GIVEN },
	{ { "offer.price", KIND_PIECE, "OUTLET price", FU_MONEY, 0, MONEY_MOST, "each",
	    "What the customer pays there." },
	  OFFER(price), ANEW },
	{ { "offer.likely", KIND_PIECE, "OUTLET likely", FU_NUMBER, 0, 1e6, "a season",
	    "Pieces that surely sell there." },
	  OFFER(likely), GIVEN },
	{ { "offer.upto", KIND_PIECE, "OUTLET up to", FU_NUMBER, 0, 1e6, "a season",
	    "Pieces that could sell there at most." },
	  OFFER(upto), GIVEN },
	{ { "target.count", KIND_PIECE, "target", FU_NUMBER, 0, 1e6, "pieces",
	    "Pieces to sell by the day of the target, where there is one target." },
	  TARGET(count), GIVEN },
	{ { "target.sure", KIND_PIECE, "target certainty", FU_PERCENT, 0.001, SHARE_MOST, "",
	    "How sure the target should be." },
	  TARGET(sure), GIVEN },

	/* ---- outlets ---- */
	{ { "outlet.fee", KIND_OUTLET, "fee", FU_PERCENT, 0, SHARE_MOST, "",
	    "Fee of what the customer pays, or of the net price." },
	  OUTLET(fee), ANEW },
	{ { "outlet.fixed", KIND_OUTLET, "fixed fee", FU_MONEY, 0, MONEY_MOST, "per order",
	    "Fee for each order." },
	  OUTLET(fee_fixed), ANEW },
	{ { "outlet.order", KIND_OUTLET, "pieces per order", FU_NUMBER, 0.01, 10000, "",
	    "Pieces in an order." },
	  OUTLET(per_order), GIVEN },
	{ { "outlet.sending", KIND_OUTLET, "sending up to WEIGHT", FU_MONEY, 0, MONEY_MOST, "per parcel",
	    "What sending a parcel of up to that weight costs." },
	  TARIFF(money), GIVEN },
	{ { "outlet.charges", KIND_OUTLET, "sending charged", FU_MONEY, 0, MONEY_MOST, "per order",
	    "What the customer pays for sending." },
	  OUTLET(charges), GIVEN },
	{ { "outlet.spoils", KIND_OUTLET, "spoiled share", FU_PERCENT, 0, SHARE_MOST, "",
	    "Share broken on the way or brought back." },
	  OUTLET(spoils), ANEW },
	{ { "outlet.tax", KIND_OUTLET, "tax", FU_PERCENT, 0, SHARE_MOST, "", "Tax on the price." },
	  OUTLET(tax), GIVEN },
	{ { "aim.margin", KIND_OUTLET, "aim margin", FU_PERCENT, 0, SHARE_MOST, "",
	    "Share of the net price that is to be left." },
	  OUTLET(margin), GIVEN },
	{ { "aim.markup", KIND_OUTLET, "aim markup", FU_PERCENT, 0, 100, "on the cost",
	    "What is put on top of the cost." },
	  OUTLET(markup), GIVEN },
	{ { "aim.flowers", KIND_OUTLET, "flowers ratio", FU_NUMBER, 0, 1000, "times",
	    "By what the cost of the flowers is multiplied." },
	  OUTLET(ratio_stems), GIVEN },
	{ { "aim.supplies", KIND_OUTLET, "supplies ratio", FU_NUMBER, 0, 1000, "times",
	    "By what the cost of the supplies is multiplied." },
	  OUTLET(ratio_supplies), GIVEN },
	{ { "aim.labour", KIND_OUTLET, "labour share", FU_PERCENT, 0, SHARE_MOST, "",
	    "Labour's share in a price by ratio." },
	  OUTLET(ratio_labour), GIVEN },
	{ { "stall.money", KIND_OUTLET, "stall money", FU_MONEY, 0, MONEY_MOST, "per day",
	    "What a day of the stall costs." },
	  OUTLET(stall), GIVEN },
	{ { "stall.hours", KIND_OUTLET, "stall hours", FU_HOURS, 0, 24, "per day",
	    "Hours of a day at the stall." },
	  OUTLET(stall_hours), GIVEN },
	{ { "stall.days", KIND_OUTLET, "stall days", FU_NUMBER, 0, 366, "days",
	    "Days of the stall in a season." },
	  OUTLET(stall_days), GIVEN },
	{ { "stall.km", KIND_OUTLET, "travel", FU_NUMBER, 0, 100000, "km",
	    "Way to the stall and back." },
	  OUTLET(travel_km), GIVEN },
	{ { "stall.rate", KIND_OUTLET, "travel rate", FU_MONEY, 0, MONEY_MOST, "per km",
	    "What a kilometre costs." },
	  OUTLET(travel_rate), GIVEN },
};

const struct figure_kind *figure_kind_at(size_t i)
{
	return i < sizeof rows / sizeof rows[0] ? &rows[i].kind : NULL;
}

const struct figure_row *figure_row_at(size_t i)
{
	return i < sizeof rows / sizeof rows[0] ? &rows[i] : NULL;
}

static double own_scale(const struct figure_kind *kind)
{
	for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
		if (&rows[i].kind == kind)
			return rows[i].shown;
	}
	return 0;
}

double figure_shown(const struct figure_kind *kind, double v)
{
	double scale = own_scale(kind);
	if (scale > 0)
		return v * scale;
	switch (kind->unit) {
	case FU_PERCENT:
		return v * 100;
	case FU_LENGTH_M:
		return v / 1000; /* model: mm */
	case FU_AREA_M2:
		return v / 1e6; /* model: mm2 */
	case FU_MINUTES:
		return v / 60; /* model: s */
	case FU_MONEY:
	case FU_NUMBER:
	case FU_HOURS:
	case FU_SECONDS:
	case FU_DAYS:
	case FU_MONTHS:
	case FU_GRAMS:
		break;
	}
	return v;
}

const char *figure_unit_name(enum figure_unit unit)
{
	switch (unit) {
	case FU_MONEY:
		return "money";
	case FU_PERCENT:
		return "%";
	case FU_NUMBER:
		return "";
	case FU_LENGTH_M:
		return "m";
	case FU_AREA_M2:
		return "m2";
	case FU_HOURS:
		return "h";
	case FU_MINUTES:
		return "min";
	case FU_SECONDS:
		return "s";
	case FU_DAYS:
		return "days";
	case FU_MONTHS:
		return "months";
	case FU_GRAMS:
		return "g";
	}
	return "";
}
