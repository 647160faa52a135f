/* mix_share.c - what each line of a mix earns: its sales less its share of what the mix
 * spends, so that lines, open orders and stall days add up to what the mix earns.
 *
 * Each supply to buy is shared by what the pieces made take of it by the ways written first,
 * paid work by their labour at full batches, keep value of a crop's stems by the stems in them.
 * Pieces off the shelf bear nothing.  Our own choice, no source. */
#include <math.h>

#include "reckon/explode.h"
#include "reckon/mix_model.h"

struct sharer { /* pieces made for a line, or for open orders */
	struct mix_line *line; /* NULL: orders */
	uint32_t piece;
	int64_t made;
	struct exploded takes;
	double weight, share;
};
struct sharing {
	struct sharer *all;
	size_t n;
};

static void add(struct sharing *s, struct mix_line *line, uint32_t piece, int64_t made,
		const struct farm *farm, struct arena *a)
{
	struct sharer *k = &s->all[s->n];
	struct run run = { piece, { made, 1 } };
	struct diag aside;
	diag_init(&aside, a);
	*k = (struct sharer){ .line = line, .piece = piece, .made = made };
	if (made > 0 && explode(&k->takes, farm, &run, 1, NULL, a, &aside) < 0)
		k->takes = (struct exploded){ 0 }; /* too large: by the count alone */
	s->n++;
}

/* By the weights; where there are none, by the pieces made. */
static void share_out(struct sharing *s, double money)
{
	double sum = 0;
	for (size_t i = 0; i < s->n; i++)
		sum += s->all[i].weight;
	for (size_t i = 0; i < s->n && !(sum > 0); i++)
		s->all[i].weight = (double)s->all[i].made;
	for (size_t i = 0; i < s->n && !(sum > 0); i++)
		sum += s->all[i].weight;
	for (size_t i = 0; i < s->n && sum > 0; i++)
		s->all[i].share += money * s->all[i].weight / sum;
}

static void share_materials(struct sharing *s, const struct mix *m)
{
	for (size_t b = 0; b < m->nbuys; b++) {
		for (size_t i = 0; i < s->n; i++) {
			const struct rat *r = s->all[i].takes.supplies;
			s->all[i].weight = r ? rat_double(r[m->buys[b].supply]) : 0;
		}
		share_out(s, m->buys[b].money);
	}
	for (size_t l = 0; l < m->nleft; l++) {
		for (size_t i = 0; i < s->n; i++) {
			const struct rat *r = s->all[i].takes.crops;
			s->all[i].weight = r ? rat_double(r[m->left[l].crop]) : 0;
		}
		share_out(s, m->left[l].spent);
	}
}

/* All that is left to share once supplies and stems are known is work. */
static double work_of(const struct mix *m)
{
	double work = m->orders - m->value;
	for (size_t i = 0; i < m->nlines; i++)
		work += m->lines[i].money;
	for (size_t i = 0; i < m->nbuys; i++)
		work -= m->buys[i].money;
	for (size_t i = 0; i < m->nstalls; i++)
		work -= m->stalls[i].money;
	for (size_t i = 0; i < m->nleft; i++)
		work -= m->left[i].spent;
	return fabs(work) < 1e-6 ? 0 : work;
}

void mix_share(struct mix *m, const struct mixing *x)
{
	struct arena scratch;
	struct sharing s = { 0 };
	arena_init(&scratch);
	s.all = ARENA_ARRAY(&scratch, m->nlines + x->p.nmakers + 1, struct sharer);
	for (size_t i = 0; i < m->nlines; i++)
		add(&s, &m->lines[i], m->lines[i].piece, m->lines[i].count - m->lines[i].finished,
		    x->farm, &scratch);
	for (size_t i = 0; i < x->p.nmakers; i++)
		if (x->p.makers[i].item.kind == KIND_PIECE && x->p.makers[i].fixed > 0)
			add(&s, NULL, x->p.makers[i].item.index, x->p.makers[i].fixed, x->farm, &scratch);
	share_materials(&s, m);
	for (size_t i = 0; i < s.n; i++)
		s.all[i].weight = x->costs->pieces[s.all[i].piece].labour * (double)s.all[i].made;
	share_out(&s, work_of(m));
	for (size_t i = 0; i < s.n; i++)
		if (s.all[i].line)
			s.all[i].line->contribution =
			    (s.all[i].line->money - s.all[i].share) / (double)s.all[i].line->count;
	arena_release(&scratch);
}
