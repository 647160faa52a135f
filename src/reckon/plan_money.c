/* plan_money.c - what the plan costs, and what the targets bring, at the prices of today.
 *
 * A planned bed is reckoned like one on record (bed_reckon): seed, growing hours, land,
 * cutting, drying.  Growing hours for a metre of bed are those on record. */
#include <math.h>

#include "reckon/loss.h"
#include "reckon/plan_in.h"
#include "reckon/rates.h"

enum { TRIAL_STEMS = 1000 };    /* of which the cost of one stem is taken */

static double hours_per_metre(const struct farm *f, uint32_t crop)
{
	double hours = 0, metres = 0, all_hours = 0, all_metres = 0;
	for (size_t i = 0; i < f->nbeds; i++) {
		const struct bed *b = &f->beds[i];
		if (!(b->metres > 0))
			continue;
		all_hours += b->hours;
		all_metres += b->metres;
		hours += b->crop == crop ? b->hours : 0;
		metres += b->crop == crop ? b->metres : 0;
	}
	if (metres > 0)
		return hours / metres;
	return all_metres > 0 ? all_hours / all_metres : 0;
}

/* A bed of the plan in the place of those on record. */
static void trial_bed(struct bed_cost *out, const struct plan_work *w, uint32_t crop, double stems,
		      double metres, double seed, double wage)
{
	const struct crop *c = &w->farm->crops[crop];
	/* Reckoned with the rates in use, where a bed on record is held to the `loses` line. */
	struct crop used = *c;
	for (enum stage i = 0; i < STAGE_COUNT; i++)
		used.loss[i].v = rates_at(w->stock->rates, crop, i);
	struct bed bed = { .crop = 0, .colour = NONE, .metres = metres, .money = seed, .cut = stems,
			   .planted = DAY_NONE, .cut_hours = NAN, .dry_hours = NAN, .boxed = NAN };
	struct farm planned = *w->farm;
	bed.hours = metres * hours_per_metre(w->farm, crop);
	if (w->out->crops[crop].source == PLAN_STANDING) {
		bed.establishment = c->standing.establishment.v;
		bed.bears = c->standing.bears.v;
	}
	planned.crops = &used;
	planned.ncrops = 1;
	planned.beds = &bed;
	planned.nbeds = 1;
	planned.nbatches = 0;
	bed_reckon(out, &planned, 0, wage);
}

static double seed_price(const struct sowing *s)
{
	return s->seed_price.given && s->seed_count.v > 0 ? s->seed_price.v / s->seed_count.v : NAN;
}

/* Seed and metres of so many stems, sown evenly, without whole trays and packets. */
static void trial_sowings(const struct plan_work *w, uint32_t crop, double *seed, double *metres)
{
	const struct crop *c = &w->farm->crops[crop];
	const struct plan_source_of *src = &w->crops[crop];
	*seed = *metres = 0;
	for (size_t i = 0; i < src->nsowings; i++) {
		const struct plan_sowing *s = &src->sowings[i];
		double plants = TRIAL_STEMS / (double)src->nsowings /
				fmax(src->yield.usual * src->live, 1e-9);
		if (s->plants != NONE && c->plantings[s->plants].rows.v > 0)
			*metres += plants / c->plantings[s->plants].rows.v *
				   c->plantings[s->plants].apart.v;
		if (s->sows == NONE || isnan(seed_price(&c->sowings[s->sows])))
			continue;
		const struct sowing *l = &c->sowings[s->sows];
		double seeds = l->seeds_per_cell.given ? l->seeds_per_cell.v : 1;
		double gives = l->germinates.given ? cell_gives(l->germinates.v, seeds) : 1;
		*seed += plants / fmax(gives, 1e-9) * seeds * seed_price(l);
	}
}

double plan_unit_cost(const struct plan_work *w, uint32_t crop)
{
	const struct crop *c = &w->farm->crops[crop];
	double bench = 1 - rates_at(w->stock->rates, crop, STAGE_BENCH), seed, metres;
	struct bed_cost bed;
	switch (w->out->crops[crop].source) {
	case PLAN_BOUGHT:
		return c->bought.v / bench;
	case PLAN_SOWN:
		if (!(w->crops[crop].yield.usual > 0))
			break;
		trial_sowings(w, crop, &seed, &metres);
		trial_bed(&bed, w, crop, TRIAL_STEMS, metres / 1000, seed, w->wage);
		return bed.per_boxed / bench;
	case PLAN_STANDING: /* it stands anyway: only the work and the boxes count */
		trial_bed(&bed, w, crop, TRIAL_STEMS, 0, 0, w->wage);
		return (bed.cutting + bed.dry_labour + bed.dry_money) / bed.normal_boxed / bench;
	case PLAN_GATHERED:
	case PLAN_NOT_NEEDED:
	case PLAN_STOCK:
		break;
	}
	return c->cost.given ? c->cost.v / bench : NAN;
}

/* ---- crops ---- */

static double seed_money(const struct plan_crop *p, const struct crop *c, bool *known)
{
	double money = 0, of_all = 0;
	size_t sowings = 0;
	*known = true;
	for (size_t i = 0; i < p->nsowings; i++) {
		const struct plan_sowing *s = &p->sowings[i];
		if (!s->planned)
			continue;
		const struct sowing *l = s->sows == NONE ? NULL : &c->sowings[s->sows];
		*known = *known && l && l->seed_price.given;
		of_all += l ? l->seed_price.v : 0;
		sowings++;
	}
	/* Packets of one price, or the mean of several. */
	if (sowings)
		money = (double)p->packets * of_all / (double)sowings;
	return money;
}

static void money_of(struct plan_work *w, uint32_t crop)
{
	const struct crop *c = &w->farm->crops[crop];
	struct plan_crop *p = &w->out->crops[crop];
	struct plan_money *m = &p->money;
	struct bed_cost bed, hours;
	double usable = 0;
	m->seed_known = true;
	for (size_t i = 0; i < w->out->npools; i++) {
		const struct plan_pool *q = &w->out->pools[i];
		double boxed = (double)q->cut * q->kept[STAGE_FIELD] * q->kept[STAGE_DRYING];
		if (q->crop == crop)
			usable += boxed * q->kept[STAGE_STORAGE] * q->kept[STAGE_BENCH];
	}
	if (p->source == PLAN_BOUGHT) {
		m->bought = m->total = (double)p->cut * c->bought.v;
		m->boxed = (double)p->cut;
	} else {
		m->seed = seed_money(p, c, &m->seed_known);
		trial_bed(&bed, w, crop, (double)p->cut, p->metres / 1000, m->seed, w->wage);
		/* At a wage of 1 labour is hours. */
		trial_bed(&hours, w, crop, (double)p->cut, p->metres / 1000, 0, 1);
		m->land = bed.land;
		m->growing_hours = p->metres / 1000 * hours_per_metre(w->farm, crop);
		m->cutting_hours = hours.cutting;
		m->drying_hours = hours.dry_labour;
		m->labour = bed.growing_labour + bed.cutting + bed.dry_labour;
		m->spends = bed.dry_money;
		m->establishment = bed.establishment;
		m->total = bed.dried;
		m->boxed = bed.normal_boxed;
	}
	m->per_boxed = m->boxed > 0 ? m->total / m->boxed : NAN;
	m->per_usable = usable > 0 ? m->total / usable : NAN;
}

static void add_money(struct plan_money *sum, const struct plan_money *m)
{
	sum->seed += m->seed;
	sum->land += m->land;
	sum->growing_hours += m->growing_hours;
	sum->cutting_hours += m->cutting_hours;
	sum->drying_hours += m->drying_hours;
	sum->labour += m->labour;
	sum->spends += m->spends;
	sum->establishment += m->establishment;
	sum->bought += m->bought;
	sum->total += m->total;
	sum->boxed += m->boxed;
	sum->seed_known = sum->seed_known && m->seed_known;
}

/* ---- lines ---- */

/* At the line's own outlet; without one, where the piece is sold first. */
static uint32_t price_line_of(const struct plan_work *w, const struct plan_line *l)
{
	for (uint32_t i = 0; i < w->prices->n; i++) {
		const struct price_line *p = &w->prices->lines[i];
		if (p->piece == l->wish.piece &&
		    (l->wish.outlet == NONE || p->outlet == l->wish.outlet))
			return i;
	}
	return NONE;
}

static void line_money(struct plan_work *w, struct plan_line *l)
{
	struct price_at at;
	uint32_t i = price_line_of(w, l);
	if (i == NONE)
		return;
	const struct price_line *p = &w->prices->lines[i];
	at = p->at;
	if (l->order != NONE && !isnan(w->farm->orders[l->order].price))
		price_judge(&at, &p->in, w->farm->orders[l->order].price);
	if (!isfinite(at.net) || !isfinite(at.contribution))
		return;
	l->price_line = i;
	l->revenue = l->wish.count * at.net;
	l->contribution =
	    l->wish.count * (at.contribution + p->in.stems / fmax(1 - p->in.spoils, 1e-6));
}

void plan_moneys(struct plan_work *w)
{
	struct plan *out = w->out;
	out->money.seed_known = true;
	out->priced = w->prices != NULL;
	for (uint32_t i = 0; i < w->farm->ncrops; i++) {
		if (out->crops[i].cut <= 0)
			continue;
		money_of(w, i);
		add_money(&out->money, &out->crops[i].money);
	}
	out->money.per_boxed = out->money.per_usable = NAN;
	for (size_t i = 0; i < out->nlines; i++) {
		struct plan_line *l = &out->lines[i];
		if (w->prices)
			line_money(w, l);
		if (l->order != NONE && !l->pools)
			continue;
		if (l->price_line == NONE) {
			out->unpriced++;
			continue;
		}
		out->revenue += l->revenue;
		out->lacking_revenue += l->lacking > 0.5 ? l->revenue : 0;
		out->contribution += l->contribution;
	}
	out->contribution -= out->money.total;
}
