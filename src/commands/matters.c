/* matters.c - see matters.h. */
#include "commands/matters.h"

/* Boxes, makers and prices that all trials together go through: some seconds at the most. */
#define WORK_MOST 2e6
enum { MOVES = 12 }; /* kept of each margin */

const struct sway *what_matters(struct session *s, const struct mix *mix)
{
	struct figure *figures;
	struct farm *trial;
	size_t n;
	struct sway *out = ARENA_NEW(&s->arena, struct sway);
	figures_list(s->farm, &s->arena, &figures, &n);
	double each = (double)(s->farm->nboxes + s->farm->nparts + s->farm->npieces + s->now.prices.n);
	if ((double)n * each > WORK_MOST || session_again(s, &trial))
		return NULL;
	sway_reckon(out, trial, &s->now, mix, MOVES, &s->arena);
	return out;
}
