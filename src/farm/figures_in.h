/* figures_in.h - inside src/farm/figures*.c only: the table of figures with the
 * places of their numbers in the model. */
#ifndef FARM_FIGURES_IN_H
#define FARM_FIGURES_IN_H

#include "farm/figures.h"

/* Where the number of a kind stands; `offset` is into that struct. */
enum holder {
	IN_BUSINESS,
	IN_CROP,
	IN_SOWING,   /* of a crop with one sowing */
	IN_PLANTING, /* of a crop with one planting */
	IN_SUPPLY,
	IN_PART_TASK,
	IN_PIECE,
	IN_PIECE_TASK,
	IN_OFFER,
	IN_OUTLET,
	IN_TARIFF,
	IN_TARGET    /* of a piece with one target */
};

struct figure_row {
	struct figure_kind kind;
	enum holder holder;
	size_t offset;
	bool anew;    /* may be supposed where the farm says nothing */
	double shown; /* shown value of 1 in the model; 0: by the unit */
};

/* Parallel to figure_kind_at(). */
const struct figure_row *figure_row_at(size_t i);

#endif
