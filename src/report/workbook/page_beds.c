/* page_beds.c - what a bed cost, what its dried stems bear of that, and what a
 * usable stem of each crop costs in the end. */
#include <math.h>

#include "report/workbook/pages.h"

static const struct book_column bed_columns[] = {
	[BEDS_BED] = { "bed", "Bed", "", SHAPE_TEXT, 9, ORIGIN_VALUE, NULL },
	[BEDS_CROP] = { "crop", "Crop", "", SHAPE_TEXT, 24, ORIGIN_VALUE, NULL },
	[BEDS_METRES] = { "metres", "Bed", "m", SHAPE_FREE, 8, ORIGIN_VALUE, NULL },
	[BEDS_CUT] = { "cut", "Stems cut", "", SHAPE_FREE, 9, ORIGIN_VALUE, NULL },
	[BEDS_MONEY] = { "money", "Spent on it", "$", SHAPE_MONEY, 10, ORIGIN_VALUE,
			 "Seed, plugs, feed, netting: beds.csv." },
	[BEDS_HOURS] = { "hours", "Growing hours", "h", SHAPE_FREE, 9, ORIGIN_VALUE, NULL },
	[BEDS_LABOUR] = { "labour", "Growing labour", "$", SHAPE_MONEY, 10, ORIGIN_LIVE,
			  "Growing hours x full wage." },
	[BEDS_LAND] = { "land", "Share of the field", "$", SHAPE_MONEY, 10, ORIGIN_LIVE,
			"Growing per metre x metres of bed." },
	[BEDS_CUT_HOURS] = { "cut_hours", "Cutting hours", "h", SHAPE_FREE, 9, ORIGIN_VALUE,
			     "As written down. Empty: cutting is reckoned from the crop's works." },
	[BEDS_CUTTING] = { "cutting", "Cutting", "$", SHAPE_MONEY, 10, ORIGIN_LIVE,
			   "Cutting hours x full wage; without hours, stems cut x the time of one "
			   "x full wage." },
	[BEDS_PLANTING] = { "planting", "Establish- ment, once", "$", SHAPE_MONEY, 10, ORIGIN_VALUE,
			    "Of a standing crop." },
	[BEDS_BEARS] = { "bears", "Bears for", "years", SHAPE_FREE, 8, ORIGIN_VALUE, NULL },
	[BEDS_ESTABLISHMENT] = { "establishment", "Establish- ment, a year", "$", SHAPE_MONEY, 10,
				 ORIGIN_LIVE, "Establishment / years that the bed bears." },
	[BEDS_JOINT] = { "joint", "Cost of the bed", "$", SHAPE_MONEY, 11, ORIGIN_LIVE,
			 "Spent + growing labour + field + cutting + establishment a year. Fresh "
			 "and dried stems share it: "
			 "sheet Dried share." },
};
const struct book_table beds_table = {
	"Beds", "What each bed cost up to the cut, whatever its stems were sold as.", bed_columns,
	sizeof bed_columns / sizeof bed_columns[0]
};

static const struct book_column dry_columns[] = {
	[DRY_BED] = { "bed", "Bed", "", SHAPE_TEXT, 9, ORIGIN_VALUE, NULL },
	[DRY_CROP] = { "crop", "Crop", "", SHAPE_TEXT, 24, ORIGIN_VALUE, NULL },
	[DRY_FRESH] = { "fresh", "Sold fresh", "stems", SHAPE_FREE, 8, ORIGIN_VALUE, NULL },
	[DRY_TO_HANG] = { "to_hang", "Kept to hang", "stems", SHAPE_FREE, 8, ORIGIN_LIVE,
			  "Stems cut - sold fresh." },
	[DRY_HUNG] = { "hung", "Hung", "stems", SHAPE_ONE, 9, ORIGIN_LIVE,
		       "Kept to hang x (1 - loss in the field)." },
	[DRY_NORMAL] = { "normal", "Boxed when all is normal", "stems", SHAPE_ONE, 10, ORIGIN_LIVE,
			 "Hung x (1 - loss in drying)." },
	[DRY_SHARE] = { "share", "Share of the bed", "", SHAPE_PERCENT, 8, ORIGIN_LIVE,
			"What the stems kept to hang bear of the bed's cost: by stems, by fresh "
			"price or by dried price, as "
			"the farm says under `share`." },
	[DRY_BORNE] = { "borne", "Borne of the bed", "$", SHAPE_MONEY, 10, ORIGIN_LIVE,
			"Share x cost of the bed." },
	[DRY_HOURS] = { "hours", "Drying hours", "h", SHAPE_FREE, 8, ORIGIN_VALUE,
			"Stripping to boxing, as written down. Empty: reckoned from the crop's "
			"works." },
	[DRY_LABOUR] = { "labour", "Drying labour", "$", SHAPE_MONEY, 10, ORIGIN_LIVE,
			 "Drying hours x full wage; without hours, the times of stripping, "
			 "bundling, hanging and boxing x full wage." },
	[DRY_MONEY] = { "money", "Bands and boxes", "$", SHAPE_MONEY, 9, ORIGIN_LIVE, NULL },
	[DRY_COST] = { "cost", "Cost of the dried stems", "$", SHAPE_MONEY, 10, ORIGIN_LIVE,
		       "Borne of the bed + drying labour + bands and boxes." },
	[DRY_PER_BOXED] = { "per_boxed", "Per boxed stem", "$", SHAPE_FINE, 9, ORIGIN_LIVE,
			    "Cost of the dried stems / stems boxed when all is normal: normal loss "
			    "raises it, a bad batch does not." },
	[DRY_COUNTED] = { "counted", "Boxed as counted", "stems", SHAPE_FREE, 9, ORIGIN_VALUE,
			  NULL },
	[DRY_LOST] = { "lost", "Lost beyond the normal", "stems", SHAPE_ONE, 9, ORIGIN_LIVE,
		       "Boxed when all is normal - boxed as counted; less than 0 is a gain." },
	[DRY_LOST_MONEY] = { "lost_money", "Lost beyond the normal", "$", SHAPE_MONEY, 9,
			     ORIGIN_LIVE, "These stems x per boxed stem." },
	[DRY_FRESH_MONEY] = { "fresh_money", "Borne by fresh stems", "$", SHAPE_MONEY, 10,
			      ORIGIN_LIVE, "(1 - share) x cost of the bed." },
};
const struct book_table drying_table = {
	"Dried share",
	"What the dried stems of each bed bear of its cost, and what one boxed stem comes to.",
	dry_columns, sizeof dry_columns / sizeof dry_columns[0]
};

static const struct book_column stem_columns[] = {
	[STEMS_CROP] = { "crop", "Crop", "", SHAPE_TEXT, 24, ORIGIN_VALUE, NULL },
	[STEMS_SOURCE] = { "source", "Rests on", "", SHAPE_TEXT, 10, ORIGIN_VALUE,
			   "box: the price paid. bed: the bed's record. crop line: what the crop's "
			   "own line says." },
	[STEMS_GROWN] = { "grown", "Grown or said: per boxed stem", "$", SHAPE_FINE, 11,
			  ORIGIN_LIVE,
			  "Dried cost of all its beds / stems boxed when all is normal; without "
			  "beds, the crop's line." },
	[STEMS_BOXED] = { "boxed", "As boxed", "stems", SHAPE_ONE, 10, ORIGIN_LIVE,
			  "Stems once boxed that the good boxes of today are left of: sheet "
			  "Boxes." },
	[STEMS_MONEY] = { "money", "Their cost", "$", SHAPE_MONEY, 10, ORIGIN_LIVE,
			  "Cost in the good boxes." },
	[STEMS_USABLE] = { "usable", "Usable in pieces", "stems", SHAPE_ONE, 10, ORIGIN_LIVE,
			   "Good stems on the date x (1 - loss at the bench)." },
	[STEMS_PER_BOXED] = { "per_boxed", "Per boxed stem", "$", SHAPE_FINE, 10, ORIGIN_LIVE,
			      "Their cost / as boxed; without boxes, as grown." },
	[STEMS_PER_USABLE] = { "per_usable", "Per usable stem", "$", SHAPE_FINE, 10, ORIGIN_LIVE,
			       "Their cost / usable in pieces; without boxes, as grown / (1 - loss "
			       "at the bench). Costs of pieces use this." },
	[STEMS_LEFT] = { "left", "Usable of boxed", "", SHAPE_PERCENT, 9, ORIGIN_LIVE,
			 "Usable in pieces / as boxed." },
	[STEMS_LOST] = { "lost", "Lost beyond the normal", "stems", SHAPE_ONE, 9, ORIGIN_LIVE,
			 "Of all its beds: not in the cost of a stem. Empty where no stems boxed "
			 "were counted." },
	[STEMS_LOST_MONEY] = { "lost_money", "Lost beyond the normal", "$", SHAPE_MONEY, 10,
			       ORIGIN_LIVE, NULL },
	[STEMS_FIELD] = { "field", "Loss in the field", "", SHAPE_PERCENT, 8, ORIGIN_LIVE, NULL },
	[STEMS_DRYING] = { "drying", "Loss in drying", "", SHAPE_PERCENT, 8, ORIGIN_LIVE, NULL },
	[STEMS_STORAGE] = { "storage", "Loss in store, a month", "", SHAPE_PERCENT, 9, ORIGIN_LIVE,
			    NULL },
	[STEMS_BENCH] = { "bench", "Loss at the bench", "", SHAPE_PERCENT, 8, ORIGIN_LIVE, NULL },
};
const struct book_table stems_table = {
	"Stem costs", "What one dried stem of each crop costs, in the box and usable in a piece.",
	stem_columns, sizeof stem_columns / sizeof stem_columns[0]
};

/* ---- layout ---- */

struct key {
	uint32_t crop, index;
};

static int by_crop(const void *x, const void *y)
{
	const struct key *a = x, *b = y;
	if (a->crop != b->crop)
		return a->crop < b->crop ? -1 : 1;
	return (a->index > b->index) - (a->index < b->index);
}

void beds_lay_out(struct pages *p)
{
	size_t n = p->farm->nbeds;
	struct key *keys = ARENA_ARRAY(p->arena, n, struct key);
	p->bed_order = ARENA_ARRAY(p->arena, n, uint32_t);
	p->bed_row = ARENA_ARRAY(p->arena, n, uint32_t);
	p->crop_beds = ARENA_ARRAY(p->arena, p->farm->ncrops, struct rows);
	for (uint32_t i = 0; i < n; i++)
		keys[i] = (struct key){ p->farm->beds[i].crop, i };
	if (n)
		qsort(keys, n, sizeof *keys, by_crop);
	for (size_t c = 0; c < p->farm->ncrops; c++)
		p->crop_beds[c] = (struct rows){ 1, 0 };
	for (uint32_t k = 0; k < n; k++) {
		struct rows *rows = &p->crop_beds[keys[k].crop];
		p->bed_order[k] = keys[k].index;
		p->bed_row[keys[k].index] = ROW_FIRST + k;
		if (rows->last < rows->first)
			rows->first = ROW_FIRST + k;
		rows->last = ROW_FIRST + k;
	}
}

/* ---- works ---- */

/* Stems per bundle or box turn stems into bundles or boxes; without that, none. */
static const char *per_size(struct pages *p, const char *stems, const struct fig *size)
{
	return size->v > 0 ? text_of(p, "%s/%s", stems, fig_ref(p, size)) : "0";
}

/* Seconds of a work, as a formula: + what it adds; "" for nothing. */
static const char *work(struct pages *p, const struct crop *crop, enum work w, const char *stems,
			const char *for_bundles, const char *for_boxes)
{
	const struct rate *rate = &crop->works[w];
	switch (rate->per) {
	case PER_STEM:
		return text_of(p, "+%s*%s", fig_ref(p, &rate->seconds), stems);
	case PER_BUNDLE:
		return text_of(p, "+%s*%s", fig_ref(p, &rate->seconds),
			       per_size(p, for_bundles, &crop->bundle));
	case PER_BOX:
		return text_of(p, "+%s*%s", fig_ref(p, &rate->seconds),
			       per_size(p, for_boxes, &crop->per_box));
	case PER_NOTHING:
		break;
	}
	return "";
}

const char *cutting_seconds(struct pages *p, const struct crop *crop, const char *cut)
{
	return work(p, crop, WORK_CUT, cut, cut, cut);
}

const char *drying_seconds(struct pages *p, const struct crop *crop, const char *hang, const char *hung,
			   const char *boxed)
{
	return text_of(p, "%s%s%s%s", work(p, crop, WORK_STRIP, hang, hang, boxed),
		       work(p, crop, WORK_BUNDLE, hung, hung, boxed), work(p, crop, WORK_HANG, hung, hung, boxed),
		       work(p, crop, WORK_BOX, boxed, hung, boxed));
}

const char *drying_spends(struct pages *p, const struct crop *crop, const char *hung, const char *boxed)
{
	if (!fig_is_input(p, &crop->spend_bundle) && !fig_is_input(p, &crop->spend_box))
		return NULL;
	return text_of(p, "%s*%s+%s*%s", per_size(p, hung, &crop->bundle), fig_ref(p, &crop->spend_bundle),
		       per_size(p, boxed, &crop->per_box), fig_ref(p, &crop->spend_box));
}

/* Hours in a cell x wage; without hours, the works' seconds. */
static void labour(const struct page *g, uint32_t row, uint32_t col, double value,
		   const char *hours_cell, const char *seconds)
{
	if (hours_cell)
		page_live(g, row, col, value, "%s*" NAME_WAGE, hours_cell);
	else if (*seconds)
		page_live(g, row, col, value, "(%s)/3600*" NAME_WAGE, seconds + 1);
	else
		page_number(g, row, col, value);
}

/* ---- beds ---- */

static void bed_row(struct pages *p, uint32_t row, uint32_t i)
{
	const struct page *g = &p->beds;
	const struct bed *bed = &p->farm->beds[i];
	const struct crop *crop = &p->farm->crops[bed->crop];
	const struct bed_cost *cost = &p->r->stems.beds[i];
	const char *cut = HERE(*g, row, BEDS_CUT);
	page_text(g, row, BEDS_BED, bed->id);
	page_text(g, row, BEDS_CROP, crop->head.name);
	page_number(g, row, BEDS_METRES, bed->metres);
	page_number(g, row, BEDS_CUT, bed->cut);
	page_number(g, row, BEDS_MONEY, bed->money);
	page_number(g, row, BEDS_HOURS, bed->hours);
	page_live(g, row, BEDS_LABOUR, cost->growing_labour, "%s*" NAME_WAGE,
		  HERE(*g, row, BEDS_HOURS));
	page_live(g, row, BEDS_LAND, cost->land, "%s*%s", fig_ref(p, &p->farm->business.growing),
		  HERE(*g, row, BEDS_METRES));
	page_number(g, row, BEDS_CUT_HOURS, bed->cut_hours);
	labour(g, row, BEDS_CUTTING, cost->cutting,
	       isnan(bed->cut_hours) ? NULL : HERE(*g, row, BEDS_CUT_HOURS),
	       cutting_seconds(p, crop, cut));
	if (bed->establishment > 0) {
		page_number(g, row, BEDS_PLANTING, bed->establishment);
		page_number(g, row, BEDS_BEARS, bed->bears);
		page_live(g, row, BEDS_ESTABLISHMENT, cost->establishment, "%s/MAX(%s,1)",
			  HERE(*g, row, BEDS_PLANTING), HERE(*g, row, BEDS_BEARS));
	}
	page_live(g, row, BEDS_JOINT, cost->joint, "%s+%s+%s+%s+%s", HERE(*g, row, BEDS_MONEY),
		  HERE(*g, row, BEDS_LABOUR), HERE(*g, row, BEDS_LAND), HERE(*g, row, BEDS_CUTTING),
		  HERE(*g, row, BEDS_ESTABLISHMENT));
}

/* The share by two values; both 0 or less: by stems. */
static const char *share_by(struct pages *p, const char *fresh_value, const char *hung_value,
			    const char *by_stems)
{
	return text_of(p, "IF(MAX(%s,0)+MAX(%s,0)>0,MAX(%s,0)/(MAX(%s,0)+MAX(%s,0)),%s)",
		       fresh_value, hung_value, hung_value, fresh_value, hung_value, by_stems);
}

static const char *share_formula(struct pages *p, const struct crop *crop, uint32_t row)
{
	const struct page *g = &p->drying;
	const char *fresh = HERE(*g, row, DRY_FRESH), *hang = HERE(*g, row, DRY_TO_HANG);
	const char *by = text_of(p, "%s/(%s+%s)", hang, fresh, hang);
	if (p->farm->business.share == SHARE_BY_FRESH_PRICE && crop->fresh_price.given) {
		const struct fig *hung =
		    crop->hung_price.given ? &crop->hung_price : &crop->fresh_price;
		by = share_by(p, text_of(p, "%s*%s", fresh, fig_ref(p, &crop->fresh_price)),
			      text_of(p, "%s*%s", hang, fig_ref(p, hung)), by);
	} else if (p->farm->business.share == SHARE_BY_DRIED_PRICE && crop->fresh_price.given &&
		   crop->dried_price.given) {
		by = share_by(p, text_of(p, "%s*%s", fresh, fig_ref(p, &crop->fresh_price)),
			      text_of(p, "(%s*%s-%s-%s)", HERE(*g, row, DRY_NORMAL),
				      fig_ref(p, &crop->dried_price), HERE(*g, row, DRY_LABOUR),
				      HERE(*g, row, DRY_MONEY)),
			      by);
	}
	return text_of(p, "IF(%s<=0,IF(%s>0,1,0),IF(%s<=0,0,%s))", fresh, hang, hang, by);
}

static void drying_labour(struct pages *p, uint32_t row, const struct bed *bed,
			  const struct crop *crop, const struct bed_cost *cost)
{
	const struct page *g = &p->drying;
	const char *hang = HERE(*g, row, DRY_TO_HANG), *hung = HERE(*g, row, DRY_HUNG);
	const char *boxed = HERE(*g, row, DRY_NORMAL);
	page_number(g, row, DRY_HOURS, bed->dry_hours);
	const char *seconds = drying_seconds(p, crop, hang, hung, boxed), *spends = drying_spends(p, crop, hung, boxed);
	labour(g, row, DRY_LABOUR, cost->dry_labour,
	       isnan(bed->dry_hours) ? NULL : HERE(*g, row, DRY_HOURS), seconds);
	if (spends)
		page_live(g, row, DRY_MONEY, cost->dry_money, "%s", spends);
	else
		page_number(g, row, DRY_MONEY, cost->dry_money);
}

static void drying_result(struct pages *p, uint32_t row, const struct bed_cost *cost)
{
	const struct page *g = &p->drying;
	const char *normal = HERE(*g, row, DRY_NORMAL), *per = HERE(*g, row, DRY_PER_BOXED);
	page_live(g, row, DRY_COST, cost->dried, "%s+%s+%s", HERE(*g, row, DRY_BORNE),
		  HERE(*g, row, DRY_LABOUR), HERE(*g, row, DRY_MONEY));
	page_live_or(g, row, DRY_PER_BOXED, cost->per_boxed, "none", "IF(%s>0,%s/%s,\"none\")",
		     normal, HERE(*g, row, DRY_COST), normal);
	if (isnan(cost->boxed))
		return;
	page_number(g, row, DRY_COUNTED, cost->boxed);
	page_live(g, row, DRY_LOST, cost->abnormal_stems, "IF(ISNUMBER(%s),%s-%s,0)", per, normal,
		  HERE(*g, row, DRY_COUNTED));
	page_live(g, row, DRY_LOST_MONEY, cost->abnormal_money, "%s*N(%s)", HERE(*g, row, DRY_LOST),
		  per);
}

static void drying_row(struct pages *p, uint32_t row, uint32_t i)
{
	const struct page *g = &p->drying;
	const struct bed *bed = &p->farm->beds[i];
	const struct crop *crop = &p->farm->crops[bed->crop];
	const struct bed_cost *cost = &p->r->stems.beds[i];
	const char *joint = AT(p->beds, row, BEDS_JOINT);
	page_text(g, row, DRY_BED, bed->id);
	page_text(g, row, DRY_CROP, crop->head.name);
	page_number(g, row, DRY_FRESH, bed->fresh);
	page_live(g, row, DRY_TO_HANG, cost->to_hang, "MAX(%s-%s,0)", AT(p->beds, row, BEDS_CUT),
		  HERE(*g, row, DRY_FRESH));
	page_live(g, row, DRY_HUNG, cost->hung, "%s*(1-%s)", HERE(*g, row, DRY_TO_HANG),
		  fig_ref(p, &crop->loss[STAGE_FIELD]));
	page_live(g, row, DRY_NORMAL, cost->normal_boxed, "%s*(1-%s)", HERE(*g, row, DRY_HUNG),
		  fig_ref(p, &crop->loss[STAGE_DRYING]));
	drying_labour(p, row, bed, crop, cost);
	page_live(g, row, DRY_SHARE, cost->share, "%s", share_formula(p, crop, row));
	page_live(g, row, DRY_BORNE, cost->share * cost->joint, "%s*%s", HERE(*g, row, DRY_SHARE),
		  joint);
	page_live(g, row, DRY_FRESH_MONEY, cost->fresh_share, "(1-%s)*%s", HERE(*g, row, DRY_SHARE),
		  joint);
	drying_result(p, row, cost);
}

/* ---- crops ---- */

static void grown(struct pages *p, uint32_t row, uint32_t c)
{
	const struct page *g = &p->stems;
	const struct crop *crop = &p->farm->crops[c];
	const struct stem_cost *cost = &p->r->stems.crops[c];
	struct rows beds = p->crop_beds[c];
	if (cost->grown_source == COST_BED) {
		const char *boxed = cells_far(p->drying.s, beds.first, beds.last, DRY_NORMAL);
		page_live(g, row, STEMS_GROWN, cost->grown, "SUMPRODUCT((%s>0)*%s)/SUM(%s)", boxed,
			  cells_far(p->drying.s, beds.first, beds.last, DRY_COST), boxed);
	} else if (cost->grown_source == COST_LINE) {
		page_live(g, row, STEMS_GROWN, cost->grown, "%s",
			  fig_ref(p, crop->cost.given ? &crop->cost : &crop->bought));
	} else {
		const char *said = fig_ref(p, &crop->cost);
		page_live_text(g, row, STEMS_GROWN, "not known", "IF(ISNUMBER(%s),%s,\"not known\")",
			       said, said);
	}
}

static void pooled(struct pages *p, uint32_t row, uint32_t c)
{
	const struct page *g = &p->stems;
	const struct stem_cost *cost = &p->r->stems.crops[c];
	const char *bench = fig_ref(p, &p->farm->crops[c].loss[STAGE_BENCH]);
	struct rows boxes = p->crop_boxes[c];
	if (boxes.last < boxes.first) {
		page_number(g, row, STEMS_BOXED, 0);
		page_number(g, row, STEMS_MONEY, 0);
		page_number(g, row, STEMS_USABLE, 0);
	} else {
		const struct sheet *s = p->boxes.s;
		page_live(g, row, STEMS_BOXED, cost->boxed_stems, "SUM(%s)",
			  cells_far(s, boxes.first, boxes.last, BOX_AS_BOXED));
		page_live(g, row, STEMS_MONEY,
			  cost->boxed_stems > 0 ? cost->boxed_stems * cost->per_boxed : 0,
			  "SUM(%s)", cells_far(s, boxes.first, boxes.last, BOX_COST));
		page_live(g, row, STEMS_USABLE,
			  cost->boxed_stems > 0 ? cost->boxed_stems * cost->survival : 0,
			  "SUMPRODUCT((%s>0)*%s)*(1-%s)",
			  cells_far(s, boxes.first, boxes.last, BOX_AS_BOXED),
			  cells_far(s, boxes.first, boxes.last, BOX_USABLE), bench);
	}
	const char *boxed = HERE(*g, row, STEMS_BOXED), *money = HERE(*g, row, STEMS_MONEY);
	const char *usable = HERE(*g, row, STEMS_USABLE), *said = HERE(*g, row, STEMS_GROWN);
	page_live_or(g, row, STEMS_PER_BOXED, cost->per_boxed, "not known", "IF(%s>0,%s/%s,%s)",
		     usable, money, boxed, said);
	page_live_or(g, row, STEMS_PER_USABLE, cost->per_usable, "not known",
		     "IF(%s>0,%s/%s,IF(ISNUMBER(%s),%s/(1-%s),\"not known\"))", usable, money,
		     usable, said, said, bench);
	page_live(g, row, STEMS_LEFT, cost->survival, "IF(%s>0,%s/%s,1-%s)", usable, usable, boxed,
		  bench);
}

/* Whether anything is known of losses beyond the normal ones. */
static bool boxed_counted(const struct pages *p, const struct stem_cost *cost)
{
	for (size_t i = 0; i < cost->nbeds; i++) {
		if (!isnan(p->r->stems.beds[cost->beds[i]].boxed))
			return true;
	}
	return false;
}

static void crop_row(struct pages *p, uint32_t c)
{
	const struct page *g = &p->stems;
	const struct crop *crop = &p->farm->crops[c];
	const struct stem_cost *cost = &p->r->stems.crops[c];
	struct rows beds = p->crop_beds[c];
	uint32_t row = ROW_FIRST + c;
	page_text(g, row, STEMS_CROP, crop->head.name);
	page_words(g, row, STEMS_SOURCE,
		   cost->source == COST_NONE ? "not known" : cost_source_name(cost->source));
	grown(p, row, c);
	pooled(p, row, c);
	if (boxed_counted(p, cost)) {
		const char *per = cells_far(p->drying.s, beds.first, beds.last, DRY_LOST);
		page_live(g, row, STEMS_LOST, cost->abnormal_stems, "SUM(%s)", per);
		page_live(g, row, STEMS_LOST_MONEY, cost->abnormal_money, "SUM(%s)",
			  cells_far(p->drying.s, beds.first, beds.last, DRY_LOST_MONEY));
	}
	for (uint32_t i = 0; i < STAGE_COUNT; i++)
		page_figure(p, g, row, STEMS_FIELD + i, &crop->loss[i]);
}

void beds_pages(struct pages *p)
{
	uint32_t n = (uint32_t)p->farm->nbeds, ncrops = (uint32_t)p->farm->ncrops;
	for (uint32_t k = 0; k < n; k++) {
		bed_row(p, ROW_FIRST + k, p->bed_order[k]);
		drying_row(p, ROW_FIRST + k, p->bed_order[k]);
	}
	if (!n) {
		page_nothing(&p->beds, "No beds have been recorded (beds.csv).");
		page_nothing(&p->drying, "No beds have been recorded (beds.csv).");
	}
	page_end(&p->beds, ROW_FIRST + n, 2);
	page_end(&p->drying, ROW_FIRST + n, 2);
	for (uint32_t c = 0; c < ncrops; c++)
		crop_row(p, c);
	if (!ncrops)
		page_nothing(&p->stems, "No crops have been named.");
	page_end(&p->stems, ROW_FIRST + ncrops, 1);
}
