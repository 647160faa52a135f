/* notation_new.c - new blocks, with every figure at its default. */
#include "farm/notation.h"

void figs_clear(struct fig *const *figs, size_t n)
{
	for (size_t i = 0; i < n; i++)
		*figs[i] = (struct fig){ .v = 0, .q = RAT_ZERO };
}

void business_init(struct business *b)
{
	*b = (struct business){ .digits = 2,
				.bench_until = DAY_NONE,
				.last_frost = DAY_NONE,
				.first_frost = DAY_NONE };
	FIGS_CLEAR(&b->wage, &b->wage_burden, &b->overhead, &b->overhead_hours, &b->growing,
		   &b->bench_hours, &b->line, &b->racks, &b->beds, &b->boxes);
}

static void crop_init(struct crop *c)
{
	FIGS_CLEAR(&c->cost, &c->bought, &c->loss_weight, &c->keeps, &c->carries, &c->reserve,
		   &c->fresh_price, &c->hung_price, &c->dried_price, &c->bundle, &c->bundle_line,
		   &c->per_area, &c->drying_days, &c->per_box, &c->spend_bundle, &c->spend_box,
		   &c->cutting.from.days, &c->cutting.over, &c->cutting.per_plant, &c->cutting.low,
		   &c->cutting.high, &c->standing.metres, &c->standing.bears,
		   &c->standing.establishment);
	for (int i = 0; i < STAGE_COUNT; i++)
		FIGS_CLEAR(&c->loss[i]);
	for (int i = 0; i < WORK_COUNT; i++)
		FIGS_CLEAR(&c->works[i].seconds);
	c->cutting.from.date = DAY_NONE;
	c->standing.planted = DAY_NONE;
}

static void outlet_init(struct outlet *o)
{
	FIGS_CLEAR(&o->fee, &o->fee_fixed, &o->per_order, &o->volume_divisor, &o->charges,
		   &o->spoils, &o->tax, &o->margin, &o->markup, &o->ratio_stems, &o->ratio_supplies,
		   &o->ratio_labour, &o->stall, &o->stall_hours, &o->stall_days, &o->travel_km,
		   &o->travel_rate);
	o->per_order.v = 1;
	o->per_order.q = RAT_ONE;
}

/* Room for one more in a list of the farm, with the new item's address. */
#define ADD(list, count, cap) ARENA_PUSH(r->l->arena, farm->list, farm->count, n->cap)

static struct head *new_crop(struct reader *r, struct farm *farm, struct notation *n)
{
	struct crop *c = ADD(crops, ncrops, cap_crops);
	crop_init(c);
	r->item.index = (uint32_t)farm->ncrops - 1;
	return &c->head;
}

static struct head *new_supply(struct reader *r, struct farm *farm, struct notation *n)
{
	struct supply *s = ADD(supplies, nsupplies, cap_supplies);
	FIGS_CLEAR(&s->cost, &s->pack);
	r->item.index = (uint32_t)farm->nsupplies - 1;
	return &s->head;
}

static struct head *new_part(struct reader *r, struct farm *farm, struct notation *n)
{
	struct part *p = ADD(parts, nparts, cap_parts);
	p->makes = RAT_ONE;
	p->unit = STR("each");
	r->item.index = (uint32_t)farm->nparts - 1;
	return &p->head;
}

static struct head *new_piece(struct reader *r, struct farm *farm, struct notation *n)
{
	struct piece *p = ADD(pieces, npieces, cap_pieces);
	FIGS_CLEAR(&p->weight, &p->packing, &p->carton, &p->tax);
	r->item.index = (uint32_t)farm->npieces - 1;
	return &p->head;
}

static struct head *new_outlet(struct reader *r, struct farm *farm, struct notation *n)
{
	struct outlet *o = ADD(outlets, noutlets, cap_outlets);
	outlet_init(o);
	r->item.index = (uint32_t)farm->noutlets - 1;
	return &o->head;
}

struct head *block_new(struct reader *r, enum kind kind)
{
	struct farm *farm = r->farm;
	struct notation *n = r->n;
	r->item.kind = kind;
	switch (kind) {
	case KIND_CROP:
		return new_crop(r, farm, n);
	case KIND_SUPPLY:
		return new_supply(r, farm, n);
	case KIND_PART:
		return new_part(r, farm, n);
	case KIND_PIECE:
		return new_piece(r, farm, n);
	case KIND_OUTLET:
		return new_outlet(r, farm, n);
	case KIND_TARGET:
		return ARENA_NEW(r->l->arena, struct head);
	case KIND_FARM:
	case KIND_COUNT:
		break;
	}
	farm->has_business = true;
	return &farm->business.head;
}
