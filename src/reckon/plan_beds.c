/* plan_beds.c - from stems to plants, cells, trays, packets and metres of each sowing. */
#include <math.h>
#include <stdlib.h>

#include "reckon/loss.h"
#include "reckon/plan_in.h"
#include "stat/stat.h"

/* ---- one sowing ---- */

static double per_plant(const struct plan_source_of *src, const struct crop *c,
			const struct plan_sowing *s)
{
	const struct fig *live = s->plants != NONE ? &c->plantings[s->plants].live : NULL;
	return src->yield.usual * (live && live->given ? live->v : 1);
}

/* The risk of seed that does not come up: a tenth of the smallest that a pool of the crop
 * may bear, shared by its sowings; NaN when nobody asks to be sure. */
static double tray_chance(const struct plan_work *w, uint32_t crop, size_t sowings)
{
	double least = NAN;
	for (size_t i = 0; i < w->out->npools; i++) {
		if (w->out->pools[i].crop != crop)
			continue;
		for (size_t k = 0; k < w->demands[i].n; k++)
			least = fmin(least, 1 - w->demands[i].items[k].chance);
	}
	return 1 - least / (1 - PLAN_TRAY_RISK) * PLAN_TRAY_RISK / fmax(1, (double)sowings);
}

static double gives_of(const struct sowing *s)
{
	double seeds = s->seeds_per_cell.given ? s->seeds_per_cell.v : 1;
	return s->germinates.given ? cell_gives(s->germinates.v, s->direct ? 1 : seeds) : 1;
}

static void sow(const struct plan_work *w, struct plan_sowing *out, const struct sowing *s,
		double chance)
{
	double gives = gives_of(s), seeds = s->seeds_per_cell.given && !s->direct
						? s->seeds_per_cell.v
						: 1;
	if (isnan(chance) || w->options->rates_sure)
		out->cells = gives > 0 ? loss_cover((double)out->plants_out / gives) : -1;
	else
		out->cells = cells_to_sow(out->plants_out, gives, chance);
	out->cells = out->cells < 0 ? 0 : out->cells;
	if (!s->direct && s->cells.given)
		out->trays = whole_units(out->cells, s->cells.v);
	out->seeds = loss_cover((double)out->cells * seeds);
}

/* P(enough plants come up). */
static double came_up(const struct plan_sowing *out, const struct sowing *s)
{
	if (out->plants_out <= 0 || out->cells <= 0)
		return 1;
	double cells = (double)out->cells;
	return stat_binomial_upto(cells - (double)out->plants_out, cells, 1 - gives_of(s));
}

double cells_even_share(int64_t plants, double gives)
{
	int64_t cells = gives > 0 && gives < 1 ? loss_cover((double)plants / gives) : 0;
	if (plants <= 0 || cells <= 0)
		return 1;
	/* E(plants - K) where fewer come up, K binomial: K P(K) of n is n g P(K - 1) of n - 1. */
	double n = (double)cells, few = (double)plants;
	double missing = few * stat_binomial_upto(few - 1, n, gives) -
			 n * gives * (few >= 2 ? stat_binomial_upto(few - 2, n - 1, gives) : 0);
	return 1 - missing / few;
}

bool plan_asks_sure(const struct plan_work *w, uint32_t crop)
{
	return !isnan(tray_chance(w, crop, 1));
}

struct plan_even plan_even(const struct plan_work *w, uint32_t crop, double stems, size_t sowings)
{
	const struct plan_source_of *src = &w->crops[crop];
	const struct crop *c = &w->farm->crops[crop];
	struct plan_even out = { 1, 1 };
	for (size_t i = 0; i < src->nsowings && !w->options->rates_sure; i++) {
		const struct plan_sowing *s = &src->sowings[i];
		double each = per_plant(src, c, s);
		if (s->sows == NONE || !(each > 0) || !sowings)
			continue;
		double gives = gives_of(&c->sowings[s->sows]);
		struct plan_sowing one = { .plants_out = loss_cover(stems / (double)sowings / each) };
		one.cells = gives > 0 ? loss_cover((double)one.plants_out / gives) : 0;
		out.share = cells_even_share(one.plants_out, gives);
		out.all = pow(came_up(&one, &c->sowings[s->sows]), (double)sowings);
		break;
	}
	return out;
}

static void fill_sowing(const struct plan_work *w, uint32_t crop, struct plan_sowing *s,
			double stems, double chance)
{
	const struct crop *c = &w->farm->crops[crop];
	double each = per_plant(&w->crops[crop], c, s);
	s->stems = loss_cover(stems);
	if (each > 0)
		s->plants_out = loss_cover((double)s->stems / each);
	if (s->plants != NONE) {
		const struct planting *p = &c->plantings[s->plants];
		s->metres = bed_length(s->plants_out, p->rows.given ? p->rows.v : 1, p->apart.v);
	}
	if (s->sows != NONE && s->plants_out > 0)
		sow(w, s, &c->sowings[s->sows], chance);
	season_weeks(s, (double)s->stems, w->a);
}

/* ---- what stands ---- */

/* Plants of whole rows; 0: not known. */
static int64_t standing_plants(const struct plan_work *w, uint32_t crop)
{
	const struct crop *c = &w->farm->crops[crop];
	if (!c->nplantings || !c->plantings[0].apart.given || !(w->crops[crop].yield.usual > 0))
		return 0;
	const struct planting *p = &c->plantings[0];
	return plants_in_row(c->standing.metres.v, p->apart.v, ROW_SPACED) *
	       (int64_t)(p->rows.given ? p->rows.v : 1);
}

static int64_t borne_by(const struct plan_work *w, uint32_t crop, int64_t plants)
{
	const struct plan_source_of *src = &w->crops[crop];
	if (plants <= 0 || !src->nsowings)
		return -1;
	return loss_whole((double)plants * per_plant(src, &w->farm->crops[crop], &src->sowings[0]));
}

int64_t plan_bears(const struct plan_work *w, uint32_t crop)
{
	return borne_by(w, crop, standing_plants(w, crop));
}

static void fill_standing(const struct plan_work *w, uint32_t crop, struct plan_crop *out)
{
	const struct crop *c = &w->farm->crops[crop];
	struct plan_sowing *s = &out->sowings[0];
	s->stems = out->cut;
	s->metres = out->metres = c->standing.metres.v;
	season_weeks(s, (double)s->stems, w->a);
	int64_t plants = standing_plants(w, crop);
	out->bears = borne_by(w, crop, plants);
	if (out->bears < 0)
		return;
	s->plants_out = plants;
	if (out->cut > out->bears)
		out->short_stems = (double)(out->cut - out->bears);
}

/* ---- colours ---- */

static double colour_share(const struct crop *c, uint32_t colour, double unsaid)
{
	for (size_t i = 0; i < c->ncolours; i++) {
		if (c->colours[i].colour == colour)
			return c->colours[i].share.given ? c->colours[i].share.v : unsaid;
	}
	return unsaid;
}

size_t plan_colour_shares(const struct plan_work *w, const struct plan_pool *p, uint32_t *colours,
			  double *shares)
{
	const struct crop *c = &w->farm->crops[p->crop];
	size_t n = p->ncolours ? p->ncolours : c->ncolours, silent = 0;
	double said = 0, sum = 0;
	for (size_t i = 0; i < c->ncolours; i++) {
		said += c->colours[i].share.v;
		silent += !c->colours[i].share.given;
	}
	/* Colours without a share take equal parts of what the others leave. */
	double unsaid = silent ? fmax(0, 1 - said) / (double)silent : 0;
	for (size_t i = 0; i < n; i++) {
		colours[i] = p->ncolours ? p->colours[i] : c->colours[i].colour;
		shares[i] = colour_share(c, colours[i], unsaid);
		sum += shares[i];
	}
	for (size_t i = 0; i < n; i++)
		shares[i] = sum > 0 ? shares[i] / sum : 1 / (double)n;
	return n;
}

static struct plan_colour *colour_of(struct plan_work *w, struct plan_crop *out, size_t *cap,
				     uint32_t colour)
{
	for (size_t i = 0; i < out->ncolours; i++) {
		if (out->colours[i].colour == colour)
			return &out->colours[i];
	}
	struct plan_colour *c = ARENA_PUSH(w->a, out->colours, out->ncolours, *cap);
	*c = (struct plan_colour){ .colour = colour };
	return c;
}

static int by_colour(const void *x, const void *y)
{
	const struct plan_colour *a = x, *b = y;
	return (a->colour > b->colour) - (a->colour < b->colour);
}

/* Stems of each colour; plants and seeds in the same measure, whole packets of each. */
static void fill_colours(struct plan_work *w, uint32_t crop, struct plan_crop *out)
{
	const struct crop *c = &w->farm->crops[crop];
	size_t cap = 0, most = c->ncolours + w->farm->ncolours + 1;
	uint32_t *colours = ARENA_ARRAY(w->a, most, uint32_t);
	double *shares = ARENA_ARRAY(w->a, most, double);
	for (size_t i = 0; i < w->out->npools; i++) {
		const struct plan_pool *p = &w->out->pools[i];
		if (p->crop != crop || p->cut <= 0)
			continue;
		size_t n = plan_colour_shares(w, p, colours, shares);
		if (n == 0)
			colour_of(w, out, &cap, NONE)->exact += (double)p->cut;
		for (size_t k = 0; k < n; k++)
			colour_of(w, out, &cap, colours[k])->exact += (double)p->cut * shares[k];
	}
	if (out->ncolours)
		qsort(out->colours, out->ncolours, sizeof *out->colours, by_colour);
	for (size_t i = 0; i < out->ncolours; i++) {
		struct plan_colour *k = &out->colours[i];
		double part = out->cut > 0 ? k->exact / (double)out->cut : 0;
		k->stems = loss_cover(k->exact);
		k->plants = out->source == PLAN_SOWN ? loss_cover(part * (double)out->plants_out) : 0;
		k->seeds = loss_cover(part * (double)out->seeds);
	}
}

/* Seed of one packet size for all sowings is bought for the season; else for each sowing. */
static bool one_packet(const struct plan_crop *out, const struct crop *c, double *size)
{
	*size = 0;
	for (size_t i = 0; i < out->nsowings; i++) {
		const struct plan_sowing *s = &out->sowings[i];
		if (!s->planned || s->sows == NONE)
			continue;
		const struct sowing *line = &c->sowings[s->sows];
		if (*size > 0 && (line->seed_count.v != *size ||
				  line->seed_price.v != c->sowings[out->sowings[0].sows].seed_price.v))
			return false;
		*size = line->seed_count.v;
	}
	return true;
}

static void fill_packets(struct plan_crop *out, const struct crop *c)
{
	double size;
	if (one_packet(out, c, &size)) {
		for (size_t k = 0; k < out->ncolours; k++) {
			out->colours[k].packets = whole_units(out->colours[k].seeds, size);
			out->packets += out->colours[k].packets;
		}
		return;
	}
	for (size_t i = 0; i < out->nsowings; i++) {
		const struct plan_sowing *s = &out->sowings[i];
		double count = s->sows == NONE ? 0 : c->sowings[s->sows].seed_count.v;
		for (size_t k = 0; s->planned && k < out->ncolours; k++) {
			double part = (double)out->colours[k].seeds / fmax(1, (double)out->seeds);
			int64_t packets = whole_units(loss_cover(part * (double)s->seeds), count);
			out->colours[k].packets += packets;
			out->packets += packets;
		}
	}
}

/* ---- a crop ---- */

static int by_monday(const void *x, const void *y)
{
	const struct plan_week *a = x, *b = y;
	return (a->monday > b->monday) - (a->monday < b->monday);
}

static void add_weeks(struct plan_work *w, struct plan_crop *out)
{
	size_t n = 0;
	for (size_t i = 0; i < out->nsowings; i++)
		n += out->sowings[i].nweeks;
	struct plan_week *all = ARENA_ARRAY(w->a, n + 1, struct plan_week);
	n = 0;
	for (size_t i = 0; i < out->nsowings; i++) {
		for (size_t k = 0; k < out->sowings[i].nweeks; k++)
			all[n++] = out->sowings[i].weeks[k];
	}
	if (n)
		qsort(all, n, sizeof *all, by_monday);
	out->weeks = all;
	for (size_t i = 0; i < n; i++) {
		if (out->nweeks && all[out->nweeks - 1].monday == all[i].monday)
			all[out->nweeks - 1].stems += all[i].stems;
		else
			all[out->nweeks++] = all[i];
	}
}

static void sum_pools(struct plan_work *w)
{
	for (size_t i = 0; i < w->out->npools; i++) {
		const struct plan_pool *p = &w->out->pools[i];
		struct plan_crop *c = &w->out->crops[p->crop];
		c->stems += p->stems;
		c->stock += p->stock;
		c->hanging += p->hanging;
		c->lacking += p->lacking;
		c->cut += p->cut;
		c->plain += p->plain;
	}
}

static void fill_sowings(struct plan_work *w, uint32_t crop, struct plan_crop *out)
{
	const struct plan_source_of *src = &w->crops[crop];
	size_t planned = 0;
	for (size_t i = 0; i < out->nsowings; i++)
		planned += out->sowings[i].planned;
	double chance = tray_chance(w, crop, planned);
	for (size_t i = 0; i < out->nsowings; i++) {
		struct plan_sowing *s = &out->sowings[i];
		if (!s->planned)
			continue;
		fill_sowing(w, crop, s, src->stems[i], chance);
		if (s->sows != NONE && !isnan(chance))
			out->came_up *= came_up(s, &w->farm->crops[crop].sowings[s->sows]);
		out->plants_out += s->plants_out;
		out->cells += s->cells;
		out->trays += s->trays;
		out->seeds += s->seeds;
		out->metres += s->metres;
	}
}

/* Seed that does not come up lowers the chance of all that the crop goes into (where nobody asks to be sure
 * plan_stems has counted it). */
static void lower_chances(struct plan_work *w)
{
	struct plan *out = w->out;
	out->chance = out->plain_chance = 1;
	for (size_t i = 0; i < out->npools; i++) {
		struct plan_crop *c = &out->crops[out->pools[i].crop];
		c->chance *= out->pools[i].chance;
		c->plain_chance *= out->pools[i].plain_chance;
	}
	for (size_t i = 0; i < w->farm->ncrops; i++) {
		out->crops[i].chance *= out->crops[i].came_up;
		out->chance *= out->crops[i].chance;
		out->plain_chance *= out->crops[i].plain_chance;
	}
	for (size_t i = 0; i < out->nuses; i++) {
		const struct plan_use *u = &out->uses[i];
		if (u->grow > PLAN_CRUMB)
			out->lines[u->line].chance *= out->crops[out->pools[u->pool].crop].came_up;
	}
}

void plan_beds(struct plan_work *w)
{
	struct plan *out = w->out;
	sum_pools(w);
	for (uint32_t i = 0; i < w->farm->ncrops; i++) {
		struct plan_crop *c = &out->crops[i];
		c->chance = c->plain_chance = c->came_up = 1;
		c->sowings = w->crops[i].sowings;
		c->nsowings = w->crops[i].nsowings;
		if (c->cut <= 0) {
			if (c->stems > 0 && !(c->lacking > 0))
				c->source = PLAN_STOCK;
			else if (!(c->stems > 0))
				c->source = PLAN_NOT_NEEDED;
			continue;
		}
		if (c->source == PLAN_STANDING)
			fill_standing(w, i, c);
		else
			fill_sowings(w, i, c);
		fill_colours(w, i, c);
		if (c->source == PLAN_SOWN)
			fill_packets(c, &w->farm->crops[i]);
		add_weeks(w, c);
		if (c->source == PLAN_SOWN)
			out->metres += c->metres;
	}
	/* What stands has its room, wanted or not. */
	for (size_t i = 0; i < w->farm->ncrops; i++)
		out->metres += w->farm->crops[i].standing.metres.v;
	lower_chances(w);
}
