/* stemcost.c - a bed's money, shared, carried by the stems that last. */
#include "reckon/stemcost.h"

#include <math.h>

#include "base/buf.h"
#include "reckon/cost.h"
#include "reckon/loss.h"

enum { SENTENCE_MOST = 1 << 16 };

const char *cost_source_name(enum cost_source s)
{
	switch (s) {
	case COST_BOX:
		return "box";
	case COST_BED:
		return "bed";
	case COST_LINE:
		return "crop line";
	case COST_MIXED:
		return "mixed";
	case COST_NONE:
		break;
	}
	return "none";
}

double share_of_joint(double value_first, double value_second)
{
	double first = fmax(value_first, 0), second = fmax(value_second, 0);
	if (!(first + second > 0))
		return NAN;
	return second / (first + second);
}

/* ---- one bed ---- */

static double per_or_0(double count, double size)
{
	return size > 0 ? count / size : 0;
}

double work_seconds(const struct crop *crop, enum work w, double stems, double bundles, double boxes)
{
	const struct rate *rate = &crop->works[w];
	switch (rate->per) {
	case PER_STEM:
		return rate->seconds.v * stems;
	case PER_BUNDLE:
		return rate->seconds.v * bundles;
	case PER_BOX:
		return rate->seconds.v * boxes;
	case PER_NOTHING:
		break;
	}
	return 0;
}

/* Money per stem that is hung; a farm without such a price takes the fresh one. */
static double hung_price(const struct crop *crop)
{
	return crop->hung_price.given ? crop->hung_price.v : crop->fresh_price.v;
}

static double joint_share(struct bed_cost *out, const struct crop *crop, enum share_rule rule)
{
	double share = NAN;
	if (out->fresh <= 0)
		return out->to_hang > 0 ? 1 : 0;
	if (out->to_hang <= 0)
		return 0;
	if (rule == SHARE_BY_FRESH_PRICE && crop->fresh_price.given)
		share = share_of_joint(out->fresh * crop->fresh_price.v,
		                       out->to_hang * hung_price(crop));
	if (rule == SHARE_BY_DRIED_PRICE && crop->fresh_price.given && crop->dried_price.given)
		share = share_of_joint(out->fresh * crop->fresh_price.v,
		                       out->normal_boxed * crop->dried_price.v - out->dry_labour -
		                           out->dry_money);
	if (isnan(share)) {
		out->by_stems = rule != SHARE_BY_STEMS;
		share = share_of_joint(out->fresh, out->to_hang);
	}
	return share;
}

static double kept_to_hang(const struct bed *b)
{
	return fmax(b->cut - b->fresh, 0);
}

struct bed_batches { /* their sums; NaN where it is not said of each, or there are none */
	double boxed, minutes;
};

/* Known only where the batches, their cut counted, account for all stems kept to hang. */
static struct bed_batches sum_batches(const struct farm *farm, uint32_t bed)
{
	struct bed_batches sum = { 0 };
	double cut = 0;
	bool any = false;
	for (size_t i = 0; i < farm->nbatches; i++) {
		const struct batch *b = &farm->batches[i];
		if (b->bed != bed)
			continue;
		any = true;
		sum.boxed += b->boxed;
		sum.minutes += b->minutes;
		cut += b->cut; /* NaN: not counted, taken as enough */
	}
	if (!any || cut < kept_to_hang(&farm->beds[bed]) - 0.5)
		return (struct bed_batches){ NAN, NAN };
	return sum;
}

static void reckon_joint(struct bed_cost *out, const struct farm *farm, const struct bed *bed,
                         const struct crop *crop, double wage)
{
	double hours = bed->cut_hours;
	if (isnan(hours))
		hours = work_seconds(crop, WORK_CUT, bed->cut, per_or_0(bed->cut, crop->bundle.v),
		                     per_or_0(bed->cut, crop->per_box.v)) /
		        SECONDS_PER_HOUR;
	out->money = bed->money;
	out->growing_labour = bed->hours * wage;
	out->land = farm->business.growing.v * bed->metres;
	out->cutting = hours * wage;
	out->establishment = bed->establishment / fmax(bed->bears, 1);
	out->joint = out->money + out->growing_labour + out->land + out->cutting + out->establishment;
}

static void reckon_drying(struct bed_cost *out, const struct bed *bed, const struct crop *crop,
                          double wage)
{
	double bundles = per_or_0(out->hung, crop->bundle.v);
	double boxes = per_or_0(out->normal_boxed, crop->per_box.v);
	double hours = bed->dry_hours;
	if (isnan(hours))
		hours = (work_seconds(crop, WORK_STRIP, out->to_hang,
		                      per_or_0(out->to_hang, crop->bundle.v), boxes) +
		         work_seconds(crop, WORK_BUNDLE, out->hung, bundles, boxes) +
		         work_seconds(crop, WORK_HANG, out->hung, bundles, boxes) +
		         work_seconds(crop, WORK_BOX, out->normal_boxed, bundles, boxes)) /
		        SECONDS_PER_HOUR;
	out->dry_labour = hours * wage;
	out->dry_money = bundles * crop->spend_bundle.v + boxes * crop->spend_box.v;
}

void bed_reckon(struct bed_cost *out, const struct farm *farm, uint32_t bed, double burdened_wage)
{
	const struct bed *b = &farm->beds[bed];
	const struct crop *crop = &farm->crops[b->crop];
	*out = (struct bed_cost){ .bed = bed, .fresh = b->fresh };
	out->to_hang = kept_to_hang(b);
	out->hung = out->to_hang * (1 - crop->loss[STAGE_FIELD].v);
	out->normal_boxed = out->hung * (1 - crop->loss[STAGE_DRYING].v);
	out->boxed = isnan(b->boxed) ? sum_batches(farm, bed).boxed : b->boxed;
	reckon_joint(out, farm, b, crop, burdened_wage);
	reckon_drying(out, b, crop, burdened_wage);
	out->share = joint_share(out, crop, farm->business.share);
	out->fresh_share = (1 - out->share) * out->joint;
	out->dried = out->share * out->joint + out->dry_labour + out->dry_money;
	out->per_boxed = out->normal_boxed > 0 ? out->dried / out->normal_boxed : NAN;
	if (!isnan(out->boxed) && !isnan(out->per_boxed)) {
		out->abnormal_stems = out->normal_boxed - out->boxed;
		out->abnormal_money = out->abnormal_stems * out->per_boxed;
	}
}

/* ---- one crop ---- */

static void add_beds(struct stem_cost *out, const struct farm *farm, const struct stemcosts *all,
                     uint32_t crop, struct arena *a)
{
	size_t n = 0;
	double dried = 0, boxed = 0;
	for (size_t i = 0; i < farm->nbeds; i++)
		n += farm->beds[i].crop == crop;
	out->beds = ARENA_ARRAY(a, n, size_t);
	for (size_t i = 0; i < farm->nbeds; i++) {
		const struct bed_cost *bed = &all->beds[i];
		if (farm->beds[i].crop != crop)
			continue;
		out->beds[out->nbeds++] = i;
		if (isnan(bed->per_boxed))
			continue; /* nothing hung yet, or all sold fresh */
		dried += bed->dried;
		boxed += bed->normal_boxed;
		out->abnormal_stems += bed->abnormal_stems;
		out->abnormal_money += bed->abnormal_money;
	}
	if (boxed > 0) {
		out->grown = dried / boxed;
		out->grown_source = COST_BED;
	}
}

static void reckon_grown(struct stem_cost *out, const struct farm *farm,
                         const struct stemcosts *all, uint32_t crop, struct arena *a)
{
	const struct crop *c = &farm->crops[crop];
	out->grown = NAN;
	out->grown_source = COST_NONE;
	add_beds(out, farm, all, crop, a);
	if (out->grown_source == COST_BED || !(c->cost.given || c->bought.given))
		return;
	out->grown = c->cost.given ? c->cost.v : c->bought.v;
	out->grown_source = COST_LINE;
}

struct pool {                   /* good boxes of a crop */
	double boxed, money, usable;
	bool from[COST_MIXED + 1];
	bool costless;          /* a box without any cost was left out */
};

static void add_box(struct pool *p, const struct farm *farm, const struct stock *stock, size_t i,
                    const struct stem_cost *crop_cost)
{
	const struct box *box = &farm->boxes[i];
	const struct stock_box *in = &stock->boxes[i];
	const struct rates *rates = stock->rates;
	uint32_t crop = box->item.index;
	/* Without a day of boxing nothing is known to be lost before the count. */
	day boxed = box->boxed == DAY_NONE ? in->base_on : box->boxed;
	double kept = loss_storage(rates_at(rates, crop, STAGE_STORAGE), date_months(boxed, stock->on));
	bool bought = !isnan(box->price);
	double cost = bought ? box->price : crop_cost->grown;
	if ((in->past && !stock->with_past) || !(in->worth > 0) || !(kept > 0))
		return;
	if (isnan(cost)) {
		p->costless = true;
		return;
	}
	p->boxed += in->worth / kept;
	p->money += in->worth / kept * cost;
	p->usable += in->worth * (1 - rates_at(rates, crop, STAGE_BENCH));
	p->from[bought ? COST_BOX : crop_cost->grown_source] = true;
}

static enum cost_source pool_source(const struct pool *p)
{
	int kinds = p->from[COST_BOX] + p->from[COST_BED] + p->from[COST_LINE];
	if (kinds > 1)
		return COST_MIXED;
	return p->from[COST_BOX] ? COST_BOX : p->from[COST_BED] ? COST_BED : COST_LINE;
}

static void finish_crop(struct stem_cost *out, double kept, const struct pool *p)
{
	out->boxed_stems = p->boxed;
	if (p->boxed > 0 && p->usable > 0) {
		out->per_boxed = p->money / p->boxed;
		out->survival = p->usable / p->boxed;
		out->per_usable = p->money / p->usable;
		out->source = pool_source(p);
		out->measured = !p->from[COST_LINE];
		return;
	}
	out->per_boxed = out->grown;
	out->survival = kept;
	out->per_usable = kept > 0 ? out->grown / kept : NAN;
	out->source = isnan(out->per_usable) ? COST_NONE : out->grown_source;
	out->measured = out->source == COST_BED;
}

/* ---- what is said about it ---- */

static void mark_wanted(bool *wanted, const struct need *needs, size_t n)
{
	for (size_t i = 0; i < n; i++) {
		for (size_t k = 0; k < needs[i].noptions; k++) {
			if (needs[i].options[k].item.kind == KIND_CROP)
				wanted[needs[i].options[k].item.index] = true;
		}
	}
}

static bool *wanted_crops(const struct farm *farm, struct arena *a)
{
	bool *wanted = ARENA_ARRAY(a, farm->ncrops, bool);
	for (size_t i = 0; i < farm->nparts; i++)
		mark_wanted(wanted, farm->parts[i].needs, farm->parts[i].nneeds);
	for (size_t i = 0; i < farm->npieces; i++)
		mark_wanted(wanted, farm->pieces[i].needs, farm->pieces[i].nneeds);
	return wanted;
}

/* From box to use records stand in for a line; what a bed should have given needs the line. */
static bool loss_known(const struct farm *farm, const struct rates *rates, size_t crop, int stage)
{
	if (stage == STAGE_FIELD || stage == STAGE_DRYING)
		return farm->crops[crop].loss[stage].given;
	return rates->crops[crop][stage].source != RATE_NONE;
}

static bool losses_known(const struct farm *farm, const struct rates *rates, size_t crop)
{
	for (int i = 0; i < STAGE_COUNT; i++) {
		if (loss_known(farm, rates, crop, i))
			return true;
	}
	return false;
}

/* A work or spending by the bundle or box that has no size. */
static bool size_missing(const struct crop *c)
{
	bool bundle = c->spend_bundle.v > 0, box = c->spend_box.v > 0;
	for (int w = 0; w < WORK_COUNT; w++) {
		bundle |= c->works[w].per == PER_BUNDLE;
		box |= c->works[w].per == PER_BOX;
	}
	return (bundle && !(c->bundle.v > 0)) || (box && !(c->per_box.v > 0));
}

/* "field of A and B; bench of C": lists that are empty are left out. */
static const char *say_each(const struct said *lists, const char *const *what, size_t n,
                            struct arena *a)
{
	struct buf b;
	buf_init(&b, SENTENCE_MOST);
	for (size_t i = 0; i < n; i++) {
		if (lists[i].n)
			buf_printf(&b, "%s%s of %s", b.len ? "; " : "", what[i],
			           said_text(&lists[i]));
	}
	const char *text = arena_copy(a, b.data ? b.data : "", b.len);
	buf_release(&b);
	return text;
}

static bool hangs_any(const struct stemcosts *all, const struct stem_cost *crop)
{
	for (size_t i = 0; i < crop->nbeds; i++) {
		if (all->beds[crop->beds[i]].to_hang > 0)
			return true;
	}
	return false;
}

/* Stages that a `loses` line leaves out, where they touch a cost. */
static void say_losses(const struct stemcosts *all, const struct farm *farm,
                       const struct rates *rates, const bool *wanted, struct arena *a,
                       struct remarks *r)
{
	static const char *const stages[] = { "field", "drying", "storage", "bench" };
	struct said left_out[STAGE_COUNT] = { 0 };
	bool *in_boxes = ARENA_ARRAY(a, farm->ncrops, bool);
	for (size_t i = 0; i < farm->nboxes; i++) {
		if (farm->boxes[i].item.kind == KIND_CROP)
			in_boxes[farm->boxes[i].item.index] = true;
	}
	for (size_t i = 0; i < farm->ncrops; i++) {
		bool hung = hangs_any(all, &all->crops[i]);
		const bool touches[] = { hung, hung, in_boxes[i], true };
		for (int stage = 0; wanted[i] && losses_known(farm, rates, i) && stage < STAGE_COUNT; stage++) {
			if (touches[stage] && !loss_known(farm, rates, i, stage))
				said_add(&left_out[stage], a, farm->crops[i].head.name);
		}
	}
	const char *text = say_each(left_out, stages, STAGE_COUNT, a);
	if (*text)
		remark(r, REMARK_ASSUMED, "Left out of `loses` and counted as 0: %s.", text);
}

static bool work_said(const struct crop *c, enum work w)
{
	return c->works[w].per != PER_NOTHING;
}

/* Work on the stems kept to hang, where neither the bed's hours nor `works` say it.
 * Either of bundling and hanging may stand for both; what lies on racks needs none. */
static void say_works(const struct stemcosts *all, const struct farm *farm, struct arena *a,
                      struct remarks *r)
{
	static const char *const works[] = { "stripping", "bundling and hanging", "boxing" };
	struct said unsaid[3] = { 0 };
	for (size_t i = 0; i < farm->nbeds; i++) {
		const struct crop *c = &farm->crops[farm->beds[i].crop];
		if (!isnan(farm->beds[i].dry_hours) || !(all->beds[i].to_hang > 0))
			continue;
		if (!work_said(c, WORK_STRIP))
			said_add(&unsaid[0], a, c->head.name);
		if (!work_said(c, WORK_BUNDLE) && !work_said(c, WORK_HANG) && !c->per_area.given)
			said_add(&unsaid[1], a, c->head.name);
		if (!work_said(c, WORK_BOX))
			said_add(&unsaid[2], a, c->head.name);
	}
	const char *text = say_each(unsaid, works, 3, a);
	if (*text)
		remark(r, REMARK_ASSUMED, "No time known for work after the cut, counted as 0: %s.",
		       text);
}

void stemcosts_say_minutes(const struct farm *farm, const bool *crops, struct arena *a, struct remarks *r)
{
	struct said beds = { 0 };
	for (uint32_t i = 0; i < farm->nbeds; i++) {
		struct buf b;
		if (!isnan(farm->beds[i].dry_hours) || (crops && !crops[farm->beds[i].crop]))
			continue;
		double minutes = sum_batches(farm, i).minutes;
		if (isnan(minutes))
			continue;
		buf_init(&b, SENTENCE_MOST);
		number_print_short(&b, minutes * 60 / SECONDS_PER_HOUR, 2);
		buf_printf(&b, " for %.*s", STR_ARG(farm->beds[i].id));
		said_add(&beds, a, (struct str){ arena_copy(a, b.data, b.len), b.len });
		buf_release(&b);
	}
	if (beds.n)
		remark(r, REMARK_ASSUMED,
		       "Minutes of batches are not in what a stem costs: that goes by `works` where beds.csv has no "
		       "`dry hours`. To take them, write there: %s.",
		       said_text(&beds));
}

/* ---- supposed, and nothing rests on it ---- */

/* What is believed before a supposed cost or buying price; NULL: it counts. */
static const char *believed_first(const struct stem_cost *cost, const struct crop *c, bool buying)
{
	if (cost->grown_source == COST_BED)
		return "its bed's record comes first";
	if (buying && c->cost.given)
		return "its `costs` line comes first";
	return cost->source == COST_BOX ? "the price paid for its boxes comes first" : NULL;
}

static bool hours_counted(const struct farm *farm, const struct stem_cost *cost, enum work w)
{
	for (size_t i = 0; i < cost->nbeds; i++) {
		const struct bed *bed = &farm->beds[cost->beds[i]];
		if (isnan(w == WORK_CUT ? bed->cut_hours : bed->dry_hours))
			return false;
	}
	return cost->nbeds > 0;
}

static void say_in_vain(const struct stemcosts *all, const struct farm *farm, struct arena *a,
                        struct remarks *r)
{
	struct said works = { 0 };
	for (size_t i = 0; i < farm->ncrops; i++) {
		const struct crop *c = &farm->crops[i];
		const struct stem_cost *cost = &all->crops[i];
		struct said name = { 0 };
		said_add(&name, a, c->head.name);
		for (int buying = 0; buying < 2; buying++) {
			const struct fig *fig = buying ? &c->bought : &c->cost;
			const char *first = believed_first(cost, c, buying);
			if (fig->supposed && first)
				remark(r, REMARK_ASSUMED,
				       "The supposed %s of %s changes nothing: %s.",
				       buying ? "buying price" : "cost", said_text(&name), first);
		}
		for (int w = 0; w < WORK_COUNT; w++) {
			if (c->works[w].seconds.supposed &&
			    hours_counted(farm, cost, (enum work)w))
				said_add(&works, a, c->head.name);
		}
	}
	if (works.n)
		remark(r, REMARK_ASSUMED,
		       "The supposed times of works on %s change nothing: hours counted on the beds "
		       "come first.",
		       said_text(&works));
}

static void say_crops(const struct stemcosts *all, const struct farm *farm,
                      const struct rates *rates, struct arena *a, struct remarks *r)
{
	const bool *wanted = wanted_crops(farm, a);
	struct said lossless = { 0 }, costless = { 0 };
	bool storage = false;
	for (size_t i = 0; i < farm->ncrops; i++) {
		const struct crop *c = &farm->crops[i];
		if (!wanted[i])
			continue;
		storage |= rates_at(rates, (uint32_t)i, STAGE_STORAGE) > 0;
		if (!losses_known(farm, rates, i))
			said_add(&lossless, a, c->head.name);
		if (isnan(all->crops[i].per_usable))
			said_add(&costless, a, c->head.name);
	}
	if (lossless.n)
		remark(r, REMARK_ASSUMED,
		       "No losses known for %s: counted as 0, so the cost is too low.",
		       said_text(&lossless));
	say_losses(all, farm, rates, wanted, a, r);
	if (costless.n)
		remark(r, REMARK_DOUBT, "No cost known for %s: every figure with it is too low.",
		       said_text(&costless));
	if (storage && !farm->has_stock)
		remark(r, REMARK_ASSUMED,
		       "No boxes counted: stems are reckoned as used when boxed, without loss in store.");
}

static void say_beds(const struct stemcosts *all, const struct farm *farm, struct arena *a,
                     struct remarks *r)
{
	struct said sizes = { 0 }, uncut = { 0 }, by_stems = { 0 };
	bool metres = false;
	for (size_t i = 0; i < farm->nbeds; i++) {
		const struct bed *bed = &farm->beds[i];
		const struct crop *c = &farm->crops[bed->crop];
		metres |= bed->metres > 0;
		if (size_missing(c) && all->beds[i].to_hang > 0)
			said_add(&sizes, a, c->head.name);
		if (bed->cut > 0 && isnan(bed->cut_hours) && c->works[WORK_CUT].per == PER_NOTHING)
			said_add(&uncut, a, c->head.name);
		if (all->beds[i].by_stems)
			said_add(&by_stems, a, c->head.name);
	}
	if (metres && !farm->business.growing.given)
		remark(r, REMARK_ASSUMED,
		       "No cost of growing per metre of bed given: counted as 0.");
	if (uncut.n)
		remark(r, REMARK_ASSUMED, "No time for cutting known for %s: counted as 0.",
		       said_text(&uncut));
	say_works(all, farm, a, r);
	if (sizes.n)
		remark(r, REMARK_DOUBT,
		       "Work or money by the bundle or box is given for %s without saying how many stems "
		       "that is: counted as 0.",
		       said_text(&sizes));
	if (by_stems.n)
		remark(r, REMARK_ASSUMED,
		       "No prices to share the bed by for %s: shared by stems.", said_text(&by_stems));
}

void stemcosts_reckon(struct stemcosts *out, const struct farm *farm, const struct stock *stock,
                      struct arena *a, struct remarks *r)
{
	struct said partly = { 0 };
	struct pool *pools = ARENA_ARRAY(a, farm->ncrops, struct pool);
	*out = (struct stemcosts){ .wage = burdened_wage(&farm->business) };
	out->beds = ARENA_ARRAY(a, farm->nbeds, struct bed_cost);
	out->crops = ARENA_ARRAY(a, farm->ncrops, struct stem_cost);
	for (size_t i = 0; i < farm->nbeds; i++)
		bed_reckon(&out->beds[i], farm, (uint32_t)i, out->wage);
	for (size_t i = 0; i < farm->ncrops; i++)
		reckon_grown(&out->crops[i], farm, out, (uint32_t)i, a);
	for (size_t i = 0; i < farm->nboxes; i++) {
		struct item item = farm->boxes[i].item;
		if (item.kind == KIND_CROP)
			add_box(&pools[item.index], farm, stock, i, &out->crops[item.index]);
	}
	for (size_t i = 0; i < farm->ncrops; i++) {
		finish_crop(&out->crops[i], 1 - rates_at(stock->rates, (uint32_t)i, STAGE_BENCH), &pools[i]);
		if (pools[i].costless && pools[i].boxed > 0)
			said_add(&partly, a, farm->crops[i].head.name);
	}
	if (partly.n)
		remark(r, REMARK_DOUBT,
		       "Some boxes of %s have no price and no other cost is known: reckoned at the "
		       "price of the others.",
		       said_text(&partly));
	say_crops(out, farm, stock->rates, a, r);
	say_beds(out, farm, a, r);
	say_in_vain(out, farm, a, r);
}
