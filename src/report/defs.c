/* defs.c - every table of every command, in the order of docs/output.md. */
#include "report/of.h"

const struct table_def *report_def_at(size_t i)
{
	static const struct table_def *const defs[] = {
		&CHECK_READ,     &CHECK_FINDINGS, &CHECK_FIGURES, &STOCK_STEMS,  &STOCK_BOXES,
		&STOCK_SUPPLIES, &STOCK_MADE,     &STOCK_ORDERS,  &LOSS_RATES,     &LOSS_CAUSES,
		&LOSS_SEASONS,   &LOSS_LOTS,      &LOSS_IN_USE,   &COST_PIECES,  &COST_PARTS,
		&COST_STEMS,     &COST_NEEDS,     &COST_BEDS,     &PRICE_PRICES, &PRICE_BUILDUP,
		&REACH_PIECES,   &REACH_USES,     &REACH_SHORTS,  &REACH_LIST,
		&BESIDE_PRICES,  &BESIDE_COSTS,   &BESIDE_REACH, &BESIDE_CROPS,  &BESIDE_SUPPLIES,
		&BESIDE_SIDES,
		&MIX_PIECES,     &MIX_TOTALS,     &MIX_MAKINGS,   &MIX_WAYS,     &MIX_SUPPLIES,
		&MIX_STALLS,     &MIX_LIMITS,     &MIX_LEFT,      &MIX_SECOND,   &MIX_SHORTS,
		&MIX_LACKS,      &MIX_WORTH,      &PULL_LINES,    &PULL_BOXES,   &PULL_SUPPLIES,
		&PULL_ORDERS,    &PULL_OUTLETS,   &PULL_MAKE,     &PULL_SHORTS,
		&DRY_HANGING,    &DRY_BOXED,
		&DRY_WEIGHINGS,  &HANG_WEEKS,     &HANG_CHART,    &HANG_PEAKS,   &HANG_LOTS,
		&TOOK_PIECES,    &TOOK_MONTHS,    &TOOK_STEMS,     &TOOK_NEXT,    &TOOK_CURVES,
		&TOOK_LINES,     &TOOK_OVERHEAD,  &PLANT_CROPS,   &PLANT_DAYS,   &PLANT_TARGETS,
		&PLANT_MONEY,    &PLANT_TOTALS,   &PLANT_COLOURS, &PLANT_WEEKS,  &PLANT_WHY,
		&PLANT_FIT,      &PLANT_ROOM,
		&SWAY_SEASON,    &SWAY_MARGINS,
	};
	return i < sizeof defs / sizeof defs[0] ? defs[i] : NULL;
}
