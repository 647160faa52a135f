/* tables_stock.c - boxes counted and pieces ordered. */
#include "farm/tables_in.h"

/* Boxes that the bench log opens find room without a copy of all of them. */
enum { BOXES_SPARE = 256 };

void stock_begin(struct table_reader *t, size_t lines)
{
	t->all->cap_boxes = lines + BOXES_SPARE;
	t->l->farm->boxes = ARENA_ARRAY(t->l->arena, t->all->cap_boxes, struct box);
}

/* Count and price in base units of the item. */
static void take_amounts(struct table_reader *t, struct box *box)
{
	const struct value *v = t->values;
	struct rat factor;
	if (!cell_unit(t, STOCK_UNIT, box->item, &factor))
		return;
	if (factor.num != 1 || factor.den != 1) {
		double num = (double)factor.num, den = (double)factor.den;
		box->count = box->count * num / den;
		box->price = box->price * den / num;
	}
	if (box->item.kind == KIND_PIECE && box->count != floor(box->count))
		cell_error(t, STOCK_COUNT, "%s is no whole number of pieces.", cell_quote(t, STOCK_COUNT));
	if (box->item.kind == KIND_CROP && factor.num == 1 && factor.den == 1)
		cell_thousands(t, STOCK_COUNT, text_of(&v[STOCK_COUNT]), box->count);
	if (box->item.kind == KIND_CROP && given(&v[STOCK_COLOUR]))
		cell_colour_of(t, STOCK_COLOUR, box->item.index);
}

static void take_days(struct table_reader *t, struct box *box)
{
	const struct value *v = t->values;
	box->boxed = v[STOCK_BOXED].date;
	box->counted = given(&v[STOCK_COUNTED]) ? v[STOCK_COUNTED].date : box->boxed;
	if (given(&v[STOCK_BOXED]) && given(&v[STOCK_COUNTED]))
		cells_in_order(t, STOCK_BOXED, STOCK_COUNTED);
	if (box->counted == DAY_NONE && box->item.kind == KIND_CROP) {
		cell_error(t, STOCK_COUNTED, "When the box of %s was counted is not said.",
		           cell_quote(t, STOCK_WHAT));
		diag_hint(t->l->diag, "fill column `counted`; or `boxed`, when it was not counted since");
	}
	if (box->counted == DAY_NONE)
		return;
	if (box->counted > t->all->last_count)
		t->all->last_count = box->counted;
	if (t->all->first_count == DAY_NONE || box->counted < t->all->first_count)
		t->all->first_count = box->counted;
}

/* A wrong record is added all the same: what refers to it finds it. */
void stock_row(struct table_reader *t)
{
	const struct value *v = t->values;
	struct farm *farm = t->l->farm;
	uint32_t item = v[STOCK_WHAT].ref;
	struct box *box = ARENA_PUSH(t->l->arena, farm->boxes, farm->nboxes, t->all->cap_boxes);
	*box = (struct box){
		.id = text_of(&v[STOCK_BOX]),
		.item = item == NONE ? (struct item){ KIND_CROP, NONE } : ITEM_OF(item),
		.colour = v[STOCK_COLOUR].ref,
		.line = t->csv->line,
		.count = v[STOCK_COUNT].number,
		.price = v[STOCK_PRICE].number,
		.length = given(&v[STOCK_LENGTH]) ? v[STOCK_LENGTH].number : 0,
		.place = v[STOCK_PLACE].ref,
	};
	row_id(t, STOCK_BOX);
	if (t->bad)
		return;
	take_amounts(t, box);
	take_days(t, box);
}

/* ---- orders ---- */

void orders_begin(struct table_reader *t, size_t lines)
{
	t->l->farm->orders = ARENA_ARRAY(t->l->arena, lines + 1, struct order);
}

void orders_row(struct table_reader *t)
{
	const struct value *v = t->values;
	struct farm *farm = t->l->farm;
	farm->orders[farm->norders++] = (struct order){
		.id = text_of(&v[ORDERS_ORDER]),
		.piece = v[ORDERS_PIECE].ref,
		.outlet = v[ORDERS_OUTLET].ref,
		.count = v[ORDERS_COUNT].number,
		.due = v[ORDERS_DUE].date,
		.price = v[ORDERS_PRICE].number,
		.sent = v[ORDERS_SENT].date,
		.line = t->csv->line,
	};
	row_id(t, ORDERS_ORDER);
}
