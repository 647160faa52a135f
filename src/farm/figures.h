/* figures.h - the one table of figures: every number that can be supposed, shown
 * as a workbook input, or ranked by how much it matters.
 *
 * A figure's path is what the grower writes: `wage`, `Statice drying loss`,
 * `online fee`, `Tideline wreath market price`, `Willow ring 35 cm cost`,
 * `Tideline wreath wiring`.  farm-wide figures have no subject.
 */
#ifndef FARM_FIGURES_H
#define FARM_FIGURES_H

#include "farm/farm.h"

enum figure_unit { FU_MONEY, FU_PERCENT, FU_NUMBER, FU_LENGTH_M, FU_AREA_M2, FU_HOURS, FU_MINUTES,
	           FU_SECONDS, FU_DAYS, FU_MONTHS, FU_GRAMS };

/* A row of the table: a kind of figure. */
struct figure_kind {
	const char *id;         /* "loss.drying": stable, for JSON and defined names */
	enum kind subject;      /* KIND_FARM: no subject in the path */
	const char *words;      /* "drying loss" */
	enum figure_unit unit;
	double low, high;       /* inclusive range, in the model's unit */
	const char *per;        /* "per h": shown behind the unit; "" */
	const char *meaning;    /* one plain sentence */
};
const struct figure_kind *figure_kind_at(size_t i); /* NULL past the end */

/* A figure of this farm. */
struct figure {
	const struct figure_kind *kind;
	struct item subject;    /* index of crop, supply, part, piece or outlet (KIND_OUTLET too) */
	struct str path;        /* "Statice drying loss" */
	struct fig *fig;        /* into the model */
};

/* Lists all figures of the farm that are given (or that a supposition may give),
 * in the order of the table, then of the farm. */
void figures_list(struct farm *farm, struct arena *arena, struct figure **out, size_t *n);

/* Adds an error for every figure of the farm outside the range of its kind. */
void figures_check(struct farm *farm, struct diag *diag);

struct supposed {               /* one --suppose, as laid over the model */
	struct str path;
	const struct figure_kind *kind;
	double before, after;   /* model units; before NaN when it was not given */
};

/* Value of a figure as people write it: 0.25 of FU_PERCENT is 25. */
double figure_shown(const struct figure_kind *kind, double v);
const char *figure_unit_name(enum figure_unit unit); /* "%", "money", "min" */

/* `PATH = VALUE`.  Adds errors (spans in a source named "--suppose") with the
 * nearest known path as a hint.  Used by farm_load. */
int figures_suppose(struct farm *farm, const char *text, struct diag *diag);

#endif
