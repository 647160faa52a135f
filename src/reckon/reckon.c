/* reckon.c - the parts in their order: losses, stock, stems, costs, prices, reach. */
#include "reckon/reckon.h"

#include <math.h>

#include "reckon/measured.h"

int reckon(struct reckoning *out, const struct farm *farm, day on, unsigned what, bool with_past,
           const struct reach_options *options, struct arena *a, struct diag *diag)
{
	*out = (struct reckoning){ .farm = farm, .on = on, .arena = a };
	remarks_init(&out->remarks, a);
	rates_reckon(&out->rates, farm, on, what & RECKON_ASSUMED, a);
	if (what & RECKON_SURE)
		measures_be_sure(out->rates.measures, farm, a);
	stock_take(&out->stock, farm, on, with_past, &out->rates, a, &out->remarks);
	rates_say(&out->rates, farm, 1u << STAGE_STORAGE | 1u << STAGE_BENCH, a, &out->remarks);
	if (what & RECKON_PRICES) {
		stemcosts_reckon(&out->stems, farm, &out->stock, a, &out->remarks);
		costs_reckon(&out->costs, farm, &out->stems, a, &out->remarks);
	}
	if ((what & RECKON_PRICES) == RECKON_PRICES)
		prices_reckon(&out->prices, farm, &out->costs, a, &out->remarks);
	if ((what & RECKON_RECORDS) == RECKON_RECORDS) {
		variances_reckon(&out->took, farm, DAY_NONE, on, (double)NAN, &out->stems, a);
		skills_reckon(&out->skills, farm, on, a);
		weighed_reckon(&out->weighed, farm, on, a);
	}
	if (what & RECKON_REACH)
		return reach_reckon(&out->reach, farm, &out->stock, options, a, &out->remarks, diag);
	return 0;
}
