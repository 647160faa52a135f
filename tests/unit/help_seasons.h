/* help_seasons.h - seasons drawn one by one: what comes of cells sown and plants set out.
 *
 * Nothing of the program is used here.  A season is drawn as docs/reckoning.md says that
 * seasons vary: a yield for the crop, a rate for each step of the season; then seed by
 * cell, plant by plant, and week by week a batch whose stems fare alike, at rates of its own
 * round those of the season.  In a bad year the surest line is served first, of equally
 * sure ones the earliest. */
#ifndef TESTS_HELP_SEASONS_H
#define TESTS_HELP_SEASONS_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

enum { CROPS_MOST = 6, SOWINGS_MOST = 2, LINES_MOST = 2 };
enum step { IN_FIELD, IN_DRYING, IN_BOX, AT_BENCH, STEPS };

struct grown {                  /* a crop as the farm's text has it */
	double loss[STEPS];     /* in the box: per month */
	double weighs, germinates, seeds, live, per_plant, low, high, weeks, drying;
	int sowings;
};
struct wanted {                 /* pieces to be sold by a day, counted from the last frost */
	double day, pieces, sure;
	double count[CROPS_MOST]; /* stems in a piece */
};
struct made_up {
	struct grown crops[CROPS_MOST];
	struct wanted lines[LINES_MOST];
	size_t n, nlines;
};
struct done {                   /* what the grower does with a crop */
	double plants[SOWINGS_MOST], cells[SOWINGS_MOST];
	bool sown;              /* cells come up by chance; else the plants are there */
};

/* Weeks after the last frost, of planting a sowing out. */
int seasons_planted(int sowing);
/* Day of the first boxing; the cut goes on for g->weeks, even over the days. */
double seasons_boxed(const struct grown *g, int sowing);

/* Share of seasons in which a line has all its stems, for each line. */
void seasons_met(double *met, const struct made_up *m, const struct done *crops, size_t seasons,
		 uint64_t *state);

#endif
