/* help_reach.c - see help_reach.h. */
#include "help_reach.h"

void reached_reckon(struct reached *r)
{
	build_done(&r->b);
	stock_take(&r->stock, &r->b.farm, build_day(TODAY), r->with_past, NULL, &r->b.arena,
		   &r->b.remarks);
	assert_int_equal(reach_reckon(&r->reach, &r->b.farm, &r->stock, &r->options, &r->b.arena,
				      &r->b.remarks, &r->b.diag),
			 0);
}

struct box *reached_stems(struct reached *r, const struct crop *c, double count)
{
	return build_box(&r->b, "box", build_crop_item(&r->b, c), count, "2026-09-10", TODAY);
}

struct need_option *reached_need(struct reached *r, struct piece *p, const struct crop *c,
				 int64_t num, int64_t den)
{
	return build_piece_need(&r->b, p, build_crop_item(&r->b, c), num, den);
}

const struct reach_piece *reached_piece(const struct reached *r, size_t i)
{
	return &r->reach.pieces[i];
}
