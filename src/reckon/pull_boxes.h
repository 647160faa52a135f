/* pull_boxes.h - inside src/reckon only: stems that are wanted, out of classes and then
 * out of boxes. */
#ifndef RECKON_PULL_BOXES_H
#define RECKON_PULL_BOXES_H

#include "reckon/reach_program.h"

struct draw { /* stems of one box */
	uint32_t box;
	int64_t stems;
};
struct demand { /* whole stems for one way of a need of a maker */
	size_t variant;         /* of the program */
	uint32_t colour;        /* of `one colour of`; else NONE */
	uint32_t bucket;
	int64_t stems, got;
	bool kept;              /* for orders outside the list: they go without last of all */
	int64_t *by_class;      /* per class of the room */
	struct draw *draws;
	size_t ndraws;
};
struct demands {
	struct demand *items;
	size_t n;
};
/* Demands of all makings in the program (`got` of its variants), in their order. */
void pull_demands(struct demands *out, struct program *p, struct arena *a);
struct keep_values { /* money that stems left over are worth */
	const double *of_class; /* per class of the stock: of a stem */
	const double *most;     /* per crop: of all that are used, at most */
};
/* Gives them stems class by class; `few`: stems of the crop that have to be missing, those
 * that are kept last; worth: NULL, no matter. */
void pull_classes(struct demands *d, struct program *p, const double *few,
		  const struct keep_values *worth, struct arena *a);
/* And box by box. */
void pull_boxes(struct demands *d, struct program *p, struct arena *a);

#endif
