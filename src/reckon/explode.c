/* explode.c - pieces first, then parts level by level, so that each part's gross is
 * complete before its stock is netted and its own needs arise. */
#include "reckon/explode.h"

struct working {
	struct exploded *out;
	const struct farm *farm;
	const struct explode_ways *ways;
	struct diag *diag;
};

static uint32_t way_of(const struct working *w, struct item maker, size_t need)
{
	if (!w->ways)
		return 0;
	return (maker.kind == KIND_PIECE ? w->ways->pieces : w->ways->parts)[maker.index][need];
}

static int too_large(struct working *w, const struct head *maker)
{
	return diag_error(w->diag, maker->at, "The counts needed for %s are too large to reckon.",
	                  diag_quote(w->diag, maker->name));
}

/* Adds what `makings` of a maker need. */
static int add_needs(struct working *w, struct item maker, const struct head *head,
                     const struct need *needs, size_t nneeds, struct rat makings)
{
	for (size_t i = 0; i < nneeds; i++) {
		struct rat count, *sum;
		if (needs[i].noptions == 0)
			continue;
		uint32_t way = way_of(w, maker, i);
		const struct need_option *o = &needs[i].options[way];
		if (!rat_mul(&count, makings, o->count))
			return too_large(w, head);
		if (o->item.kind == KIND_PART)
			sum = &w->out->parts[o->item.index].gross;
		else if (o->item.kind == KIND_SUPPLY)
			sum = &w->out->supplies[o->item.index];
		else
			sum = &w->out->crops[o->item.index];
		if (!rat_add(sum, *sum, count))
			return too_large(w, head);
		if (o->item.kind == KIND_PART)
			continue;
		w->out->needs[w->out->nneeds++] = (struct exploded_need){ .maker = maker,
			                                                  .need = (uint32_t)i,
			                                                  .option = way,
			                                                  .makings = makings,
			                                                  .count = count };
	}
	return 0;
}

/* Stock first, whole makings for the rest. */
static int net_part(struct working *w, uint32_t index, const struct rat *part_stock)
{
	const struct part *part = &w->farm->parts[index];
	struct exploded_part *p = &w->out->parts[index];
	struct rat makings, makes = part->makes.num > 0 ? part->makes : RAT_ONE;
	if (part_stock && rat_sign(part_stock[index]) > 0)
		p->from_stock = rat_cmp(part_stock[index], p->gross) < 0 ? part_stock[index] : p->gross;
	if (!rat_sub(&p->net, p->gross, p->from_stock) || !rat_div(&makings, p->net, makes))
		return too_large(w, &part->head);
	p->makings = rat_ceil(makings);
	if (p->makings == 0)
		return 0;
	return add_needs(w, (struct item){ KIND_PART, index }, &part->head, part->needs, part->nneeds,
	                 (struct rat){ p->makings, 1 });
}

static void prepare(struct exploded *out, const struct farm *farm, struct arena *a)
{
	size_t most = 0;
	for (size_t i = 0; i < farm->npieces; i++)
		most += farm->pieces[i].nneeds;
	for (size_t i = 0; i < farm->nparts; i++)
		most += farm->parts[i].nneeds;
	out->needs = ARENA_ARRAY(a, most, struct exploded_need);
	out->nneeds = 0;
	out->parts = ARENA_ARRAY(a, farm->nparts, struct exploded_part);
	out->supplies = ARENA_ARRAY(a, farm->nsupplies, struct rat);
	out->crops = ARENA_ARRAY(a, farm->ncrops, struct rat);
	for (size_t i = 0; i < farm->nparts; i++)
		out->parts[i] = (struct exploded_part){ RAT_ZERO, RAT_ZERO, RAT_ZERO, 0 };
	for (size_t i = 0; i < farm->nsupplies; i++)
		out->supplies[i] = RAT_ZERO;
	for (size_t i = 0; i < farm->ncrops; i++)
		out->crops[i] = RAT_ZERO;
}

int explode(struct exploded *out, const struct farm *farm, const struct run *runs, size_t nruns,
            const struct rat *part_stock, struct arena *a, struct diag *diag)
{
	return explode_by(out, farm, runs, nruns, part_stock, NULL, a, diag);
}

int explode_by(struct exploded *out, const struct farm *farm, const struct run *runs, size_t nruns,
               const struct rat *part_stock, const struct explode_ways *ways, struct arena *a,
               struct diag *diag)
{
	struct working w = { out, farm, ways, diag };
	struct rat *counts = ARENA_ARRAY(a, farm->npieces, struct rat);
	prepare(out, farm, a);
	for (size_t i = 0; i < farm->npieces; i++)
		counts[i] = RAT_ZERO;
	for (size_t i = 0; i < nruns; i++) {
		struct rat *sum = &counts[runs[i].piece];
		if (!rat_add(sum, *sum, runs[i].count))
			return too_large(&w, &farm->pieces[runs[i].piece].head);
	}
	for (size_t i = 0; i < farm->npieces; i++) {
		const struct piece *p = &farm->pieces[i];
		if (rat_sign(counts[i]) > 0 &&
		    add_needs(&w, (struct item){ KIND_PIECE, (uint32_t)i }, &p->head, p->needs,
		              p->nneeds, counts[i]) < 0)
			return -1;
	}
	for (size_t i = 0; i < farm->nparts; i++) {
		if (net_part(&w, farm->part_order[i], part_stock) < 0)
			return -1;
	}
	return 0;
}
