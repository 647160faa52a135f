/* plan_bound.c - the whole-number program of plan_bound.h. */
#include "reckon/plan_bound.h"

#include <math.h>

#include "reckon/calendar.h"
#include "reckon/hang.h"
#include "reckon/loss.h"
#include "reckon/plan_bound_in.h"

enum { NODES = 400, NODES_WAYS = 40, FEW_ROWS = 12 }; /* rows: of more the last one hardly counts */
#define GAP    1e-3             /* of its own search */
#define SLACK  1e-6             /* of a limit */

struct plan_bound *plan_bound_open(const struct plan_bound_of *of, struct arena *a, struct diag *diag)
{
	struct plan_bound *b = ARENA_NEW(a, struct plan_bound);
	b->of = of;
	b->a = a;
	return bound_gather(b, diag) ? NULL : b;
}

/* ---- columns ---- */

int *bound_columns(struct arena *a, size_t n)
{
	int *c = ARENA_ARRAY(a, n + 1, int);
	for (size_t i = 0; i < n; i++)
		c[i] = -1;
	return c;
}

static bool within(const struct bound_ask *ask, const struct bound_ask *length)
{
	if (!length)
		return true;
	return ask->from >= length->from && (!(length->to > 0) || (ask->to > 0 && ask->to <= length->to));
}

double bound_asked_of(const struct plan_bound *b, size_t pool, size_t route, size_t dates,
                      const struct bound_ask *length)
{
	const struct bound_pool *p = &b->pools[pool];
	double each = 0;
	for (size_t i = 0; i < p->nasks; i++) {
		const struct bound_ask *ask = &p->asks[i];
		if (ask->route == route && !ask->late && dates && ask->by <= p->dates[dates - 1] &&
		    within(ask, length))
			each += ask->each;
	}
	return each;
}

bool bound_asks(const struct plan_bound *b, size_t pool, size_t line)
{
	const struct bound_pool *p = &b->pools[pool];
	for (size_t i = 0; i < p->nasks; i++) {
		if (p->asks[i].line == line && !p->asks[i].late && p->asks[i].each > 0)
			return true;
	}
	return false;
}

/* Pieces on the shelf: what the orders leave of them goes to any target of theirs. */
static void add_finished(struct program *q, size_t line, int *rows)
{
	struct plan_bound *b = q->b;
	uint32_t piece = b->of->all->lines[line].wish.piece;
	double finished = fmin(b->lines[line].finished, q->most[line]);
	q->low[line] = fmax(0, q->least[line] - finished);
	if (!(finished > 0))
		return;
	if (line >= b->of->n) {
		q->high[line] = q->low[line];
		q->pieces[line] = solve_column(&q->m, q->low[line], q->low[line], 0, false);
		return;
	}
	if (rows[piece] < 0)
		rows[piece] = solve_row(&q->m, -SOLVE_INF, b->lines[line].finished);
	int shelf = solve_column(&q->m, 0, finished, 0, false), row = solve_row(&q->m, 0, SOLVE_INF);
	q->pieces[line] = solve_column(&q->m, 0, q->most[line], 0, false);
	solve_entry(&q->m, rows[piece], shelf, 1);
	solve_entry(&q->m, row, q->pieces[line], 1);
	solve_entry(&q->m, row, shelf, 1);
	solve_entry(&q->m, row, q->made[line], -1);
}

/* The pieces of a need's ways are those of all of it. */
static void add_routes(struct program *q)
{
	struct plan_bound *b = q->b;
	int *rows = bound_columns(q->a, b->nroutes); /* per need: fewer than routes */
	for (size_t r = b->nlines; r < b->nroutes; r++) {
		const struct bound_route *at = &b->routes[r];
		q->high[r] = q->high[at->line];
		q->pieces[r] = solve_column(&q->m, 0, q->high[r], 0, false);
		q->more[r] = bound_columns(q->a, b->lines[at->line].pools + 1);
		if (rows[at->need] < 0) {
			rows[at->need] = solve_row(&q->m, 0, 0);
			solve_entry(&q->m, rows[at->need], q->pieces[at->parent], -1);
		}
		solve_entry(&q->m, rows[at->need], q->pieces[r], 1);
	}
}

static void add_lines(struct program *q)
{
	struct plan_bound *b = q->b;
	int *shelf = bound_columns(q->a, b->of->farm->npieces);
	for (size_t i = 0; i < b->nlines; i++) {
		const struct bound_line *l = &b->lines[i];
		bool target = i < b->of->n;
		double lo = target ? (double)q->lo[i] : l->most, hi = target ? (double)q->hi[i] : l->most;
		q->least[i] = (double)loss_cover(lo * l->each);
		q->most[i] = (double)loss_cover(hi * l->each);
		q->x[i] = q->made[i] = solve_column(&q->m, lo, hi, l->brings, target);
		if (l->each > 1) {
			q->made[i] = solve_column(&q->m, q->least[i], q->most[i], 0, true);
			int row = solve_row(&q->m, -SLACK, SOLVE_INF);
			solve_entry(&q->m, row, q->made[i], 1);
			solve_entry(&q->m, row, q->x[i], -l->each);
		}
		q->pieces[i] = q->made[i];
		q->high[i] = q->most[i];
		q->more[i] = bound_columns(q->a, l->pools + 1);
		q->is[i] = bound_columns(q->a, l->pools + 1);
		q->grown[i] = bound_columns(q->a, b->npools);
		q->own[i] = bound_columns(q->a, b->npools);
		add_finished(q, i, shelf);
	}
	add_routes(q);
}

/* What it costs: no less than for the lowest counts, than stems and metres do. */
static void add_cost(struct program *q, uint32_t crop)
{
	const struct plan_bound *b = q->b;
	const struct bound_crop *c = &b->crops[crop];
	q->metres[crop] = solve_column(&q->m, q->at->metres[crop], SOLVE_INF, 0, false);
	q->cost[crop] = solve_column(&q->m, q->at->cost[crop], SOLVE_INF, -1, false);
	int cost = q->money[crop] = solve_row(&q->m, q->at->cut[crop] > 0 ? c->fixed : 0, SOLVE_INF);
	solve_entry(&q->m, cost, q->cost[crop], 1);
	solve_entry(&q->m, cost, q->crop[crop], -c->a_stem);
	solve_entry(&q->m, cost, q->metres[crop], -c->a_metre);
	int metres = solve_row(&q->m, 0, SOLVE_INF);
	solve_entry(&q->m, metres, q->metres[crop], 1);
	int stems = c->nsowings ? solve_row(&q->m, 0, 0) : -1;
	if (stems >= 0)
		solve_entry(&q->m, stems, q->crop[crop], 1);
	for (size_t i = c->sowings; i < c->sowings + c->nsowings; i++) {
		q->sowing[i] = solve_column(&q->m, 0, SOLVE_INF, 0, false);
		solve_entry(&q->m, stems, q->sowing[i], -1);
		if (!(b->sowings[i].metres > 0))
			continue;
		bool few = b->of->all->crops[crop].metres <= FEW_ROWS * b->sowings[i].apart;
		int rows = solve_column(&q->m, 0, SOLVE_INF, 0, few), row = solve_row(&q->m, -SLACK, SOLVE_INF);
		solve_entry(&q->m, row, rows, 1);
		solve_entry(&q->m, row, q->sowing[i], -b->sowings[i].metres / b->sowings[i].apart);
		solve_entry(&q->m, metres, rows, -b->sowings[i].apart);
	}
	if (c->fixed > 0 && isfinite(c->bears) && q->at->cut[crop] <= 0) {
		int is = solve_column(&q->m, 0, 1, 0, true);
		solve_entry(&q->m, cost, is, -c->fixed);
		int row = solve_row(&q->m, -SOLVE_INF, 0);
		solve_entry(&q->m, row, q->crop[crop], 1);
		solve_entry(&q->m, row, is, -c->bears);
	}
}

/* Share of the pool's stems that are of the colour, or of any; 0. */
static double share_of(const struct bound_pool *p, uint32_t crop, uint32_t colour)
{
	if (p->crop != crop)
		return 0;
	if (p->ncolours == 0)
		return colour == NONE;
	for (size_t i = 0; i < p->ncolours; i++) {
		if (p->colours[i] == colour)
			return p->shares[i];
	}
	return 0;
}

/* Whole packets of each colour. */
static void add_packets(struct program *q, uint32_t crop)
{
	const struct plan_bound *b = q->b;
	const struct bound_crop *c = &b->crops[crop];
	if (!(c->packet > 0) || !(c->packets > 0))
		return;
	for (uint32_t i = 0; i <= b->of->farm->ncolours; i++) {
		uint32_t colour = i < b->of->farm->ncolours ? i : NONE;
		int row = -1;
		for (size_t p = 0; p < b->npools; p++) {
			double share = share_of(&b->pools[p], crop, colour);
			if (!(share > 0))
				continue;
			if (row < 0) {
				int whole = solve_column(&q->m, 0, SOLVE_INF, 0, true);
				row = solve_row(&q->m, -SLACK, SOLVE_INF);
				solve_entry(&q->m, row, whole, 1);
				solve_entry(&q->m, q->money[crop], whole, -c->packet);
			}
			solve_entry(&q->m, row, q->pool[p], -share * c->packets * (1 - SLACK));
		}
	}
}

/* Nothing gives a line more than it takes. */
static void add_wanted(struct program *q, size_t line, size_t pool)
{
	const struct plan_bound *b = q->b;
	const struct bound_pool *p = &b->pools[pool];
	int row = solve_row(&q->m, -SOLVE_INF, SLACK);
	solve_entry(&q->m, row, q->own[line][pool], 1);
	for (size_t i = 0; i <= b->lines[line].nroutes; i++) {
		uint32_t r = bound_route_of(b, line, i);
		double each = 0;
		for (size_t k = 0; k < p->nasks; k++)
			each += p->asks[k].route == r ? p->asks[k].each : 0;
		solve_entry(&q->m, row, q->pieces[r], -each);
	}
}

static void add_crops(struct program *q)
{
	const struct plan_bound *b = q->b;
	for (uint32_t c = 0; c < b->of->farm->ncrops; c++) {
		const struct bound_crop *crop = &b->crops[c];
		q->crop[c] = -1;
		if (!crop->asked)
			continue;
		double most = isfinite(crop->bears) ? crop->bears : SOLVE_INF;
		q->crop[c] = solve_column(&q->m, fmin((double)q->at->cut[c], most), most, 0, false);
		add_cost(q, c);
		int stems = solve_row(&q->m, 0, 0), shed = solve_row(&q->m, -SOLVE_INF, crop->shed * (1 + SLACK));
		solve_entry(&q->m, stems, q->crop[c], 1);
		for (size_t p = 0; p < b->npools; p++) {
			if (b->pools[p].crop != c)
				continue;
			q->pool[p] = solve_column(&q->m, 0, SOLVE_INF, 0, false);
			solve_entry(&q->m, stems, q->pool[p], -1);
			for (size_t i = 0; i < b->pools[p].nasks; i++) {
				uint32_t l = b->pools[p].asks[i].line;
				if (q->own[l][p] >= 0 || b->lines[l].fixed)
					continue;
				q->own[l][p] = solve_column(&q->m, 0, q->given[l][p] * (1 + SLACK), 0, false);
				solve_entry(&q->m, shed, q->own[l][p], 1);
				add_wanted(q, l, p);
			}
		}
		add_packets(q, c);
	}
}

/* ---- what pools owe ---- */

static bool as_sure(double chance, double level)
{
	return isnan(level) || chance >= level - 1e-12;
}

/* The column that counts a route's pieces for that certainty; -1 none. */
static int counted(const struct program *q, uint32_t crop, size_t route, double level)
{
	size_t line = q->b->routes[route].line;
	const struct bound_line *l = &q->b->lines[line];
	size_t known = q->known[line];
	if (isnan(level) || as_sure(bound_chance(q->b, crop, l->sure, known), level))
		return q->pieces[route];
	for (size_t k = known + 1; k <= l->pools; k++) {
		if (as_sure(bound_chance(q->b, crop, l->sure, k), level))
			return q->more[route][k];
	}
	return -1;
}

struct owed {                   /* by one day, for one certainty, of one length or of any */
	uint32_t pool;
	size_t date;
	double level;
	const struct bound_ask *length;
	uint32_t turn;          /* for that line, and all that are served before it; NONE: for all that
	                         * are to be so sure themselves */
	int is;                 /* only when this column is 1: else what `under` asks for; -1 */
	double under;           /* chance */
	double least, most;     /* usable stems asked for */
};

static double rank_of(const struct plan_bound *b, size_t line)
{
	return isnan(b->lines[line].sure) ? -1 : b->lines[line].sure;
}

/* In a bad year the surest line is served first, of equally sure ones the earliest. */
static bool served_by(const struct plan_bound *b, size_t line, size_t turn)
{
	double x = rank_of(b, line), y = rank_of(b, turn);
	return x > y || (!(x < y) && b->of->all->lines[line].wish.by <= b->of->all->lines[turn].wish.by);
}

static double owes(const struct program *q, const struct owed *o, uint32_t route, int *column)
{
	double each = bound_asked_of(q->b, o->pool, route, o->date + 1, o->length);
	*column = -1;
	if (each > 0 && o->turn == NONE)
		*column = counted(q, q->b->pools[o->pool].crop, route, o->level);
	else if (each > 0 && served_by(q->b, q->b->routes[route].line, o->turn))
		*column = q->pieces[route];
	return *column < 0 ? 0 : each;
}

static void add_up(const struct program *q, struct owed *o)
{
	for (uint32_t r = 0; r < q->b->nroutes; r++) {
		int x;
		double each = owes(q, o, r, &x);
		o->least += x == q->pieces[r] ? each * q->low[r] : 0;
		o->most += each * q->high[r];
	}
}

/* What is owed, times so much, in that row. */
static void enter_owed(struct program *q, const struct owed *o, int row, double times)
{
	struct plan_bound *b = q->b;
	for (size_t l = 0; l < b->nlines; l++) {
		bool some = false;
		for (size_t i = 0; i <= b->lines[l].nroutes; i++) {
			int x;
			double each = owes(q, o, bound_route_of(b, l, i), &x);
			if (each > 0)
				solve_entry(&q->m, row, x, times * each);
			some = some || each > 0;
		}
		if (some && q->own[l][o->pool] >= 0)
			solve_entry(&q->m, row, q->own[l][o->pool], -times);
	}
}

/* A column of yes or no says whether the row holds: if not, it is as low as the other chance's line. */
static void enter_is(struct program *q, const struct owed *o, int row, double slope, double base, const double *ends)
{
	double low_slope, low_base, more = 0;
	struct bound_curve *c = bound_curve(q->b, o->pool, o->date, o->under, 1, true);
	bound_chord(q->b, c, ends[0], ends[1], true, &low_slope, &low_base);
	for (int i = 0; i < 2; i++)
		more = fmax(more, base - low_base + (slope - low_slope) * ends[i]);
	solve_entry(&q->m, row, o->is, -more);
	q->m.rows[row].lo -= more;
}

/* What a stem that is in time for the row's day is on the last one; a turn is as sure as on its own day, the others
 * as on the first, since they may be of any. */
static double fade_of(const struct plan_bound *b, const struct owed *o)
{
	const struct bound_pool *p = &b->pools[o->pool];
	return p->fade[o->date] * (o->turn == NONE ? p->kept[o->date] / p->kept[0] : 1);
}

/* The least chance that a line which is to be sure asks of the pool; NaN: there is none. */
static double least_sure(const struct program *q, uint32_t pool)
{
	double least = NAN;
	for (size_t l = 0; l < q->b->nlines; l++) {
		if (!isnan(q->b->lines[l].sure) && bound_asks(q->b, pool, l))
			least = fmin(least, bound_chance(q->b, q->b->pools[pool].crop, q->b->lines[l].sure, q->known[l]));
	}
	return least;
}

/* Where all that is grown is for lines that are to be sure, their number may be less than the plain one: a chance
 * of one in three asks for less, and one stem that is lost one time in ten for no second. */
static double lower_for_sure(struct program *q, const struct owed *o, struct bound_curve *plain, double fits,
                             double *bears)
{
	const struct plan_bound *b = q->b;
	double least = least_sure(q, o->pool), bed = b->crops[b->pools[o->pool].crop].bears;
	if (isnan(least))
		return 0;
	struct owed sure = *o;
	sure.level = least;
	sure.least = sure.most = 0;
	add_up(q, &sure);
	struct bound_curve *c = bound_curve(q->b, o->pool, o->date, least, fits, false);
	if (isfinite(bed))
		*bears = bound_most(b, c, (int64_t)bed, false);
	return bound_plain_above(b, plain, c, sure.most / fade_of(q->b, o));
}

/* Stems to cut for what is owed by one day, to all that ask for that certainty or more and,
 * with a length, for none that is outside it. */
static void add_owed(struct program *q, struct owed o, double fits)
{
	struct plan_bound *b = q->b;
	const struct bound_pool *p = &b->pools[o.pool];
	const struct bound_crop *crop = &b->crops[p->crop];
	double slope, base, bears = 0, fade = fade_of(b, &o);
	bool own = o.turn != NONE, whole = own || !(p->kept[o.date] < p->kept[0]);
	o.least = -p->off - crop->shed;
	add_up(q, &o);
	if (!(o.most > 0))
		return;
	struct bound_curve *c = bound_curve(b, o.pool, o.date, o.level, fits, own);
	const double ends[2] = { fmax(o.least, 0) / fade, o.most / fade };
	bound_chord(b, c, ends[0], ends[1], whole, &slope, &base);
	if (isnan(o.level))
		base -= lower_for_sure(q, &o, c, fits, &bears);
	int row = solve_row(&q->m, base - slope / fade * p->off, SOLVE_INF);
	solve_entry(&q->m, row, q->pool[o.pool], 1);
	enter_owed(q, &o, row, -slope / fade);
	if (o.is >= 0)
		enter_is(q, &o, row, slope, base, ends);
	if (o.is >= 0 || !isfinite(crop->bears))
		return;
	/* What the bed bears is enough for so many at most. */
	double most = fmax(bound_most(b, c, (int64_t)crop->bears, whole), bears) * fade + p->off + SLACK;
	enter_owed(q, &o, solve_row(&q->m, -SOLVE_INF, most), 1);
}

/* The last day, and those by which not all of the cut is boxed. */
static void add_level(struct program *q, uint32_t pool, double level)
{
	const struct bound_pool *p = &q->b->pools[pool];
	for (size_t j = 0; j < p->ndates; j++) {
		if (j + 1 < p->ndates && !(p->in_time[j] < 1 - 1e-9))
			continue;
		add_owed(q, (struct owed){ .pool = pool, .date = j, .level = level, .turn = NONE, .is = -1 }, 1);
		for (size_t i = 0; i < p->nasks; i++) {
			const struct bound_ask *ask = &p->asks[i];
			bool again = !(ask->from > 0) && !(ask->to > 0);
			for (size_t k = 0; k < i && !again; k++)
				again = p->asks[k].from == ask->from && p->asks[k].to == ask->to;
			if (!again && !ask->late && ask->fits < 1)
				add_owed(q, (struct owed){ pool, j, level, ask, NONE, -1, 0, 0, 0 }, ask->fits);
		}
	}
}

/* For a line that is known to need some of it grown: as sure as that line, what is owed by its day
 * to it and to those served before it; and surer, where more pools have to be grown for it. */
static void add_turns(struct program *q, uint32_t pool)
{
	const struct plan_bound *b = q->b;
	const struct bound_pool *p = &b->pools[pool];
	for (uint32_t l = 0; l < b->nlines; l++) {
		const struct bound_line *line = &b->lines[l];
		double most = q->given[l][pool];
		double each = bound_asked_of(b, pool, l, p->ndates, NULL);
		size_t date = 0;
		if (isnan(line->sure) || !(each * q->low[l] > most + p->off + PLAN_CRUMB))
			continue;
		while (date + 1 < p->ndates && p->dates[date] < b->of->all->lines[l].wish.by)
			date++;
		double known = bound_chance(b, p->crop, line->sure, q->known[l]);
		add_owed(q, (struct owed){ .pool = pool, .date = date, .level = known, .turn = l, .is = -1 }, 1);
		for (size_t k = q->known[l] + 1; k <= line->pools; k++) {
			double level = bound_chance(b, p->crop, line->sure, k);
			if (q->is[l][k] >= 0)
				add_owed(q, (struct owed){ pool, date, level, NULL, l, q->is[l][k], known, 0, 0 }, 1);
		}
	}
}

/* What cannot be grown in time has to be there for those who ask for it. */
static void add_late(struct program *q, uint32_t pool)
{
	struct plan_bound *b = q->b;
	const struct bound_pool *p = &b->pools[pool];
	int row = -1;
	for (size_t l = 0; l < b->nlines; l++) {
		bool some = false;
		for (size_t i = 0; i <= b->lines[l].nroutes; i++) {
			uint32_t r = bound_route_of(b, l, i);
			double each = 0;
			for (size_t k = 0; k < p->nasks; k++)
				each += p->asks[k].route == r && p->asks[k].late ? p->asks[k].each : 0;
			if (each > 0 && row < 0)
				row = solve_row(&q->m, -SOLVE_INF, p->off + b->beyond + SLACK);
			if (each > 0)
				solve_entry(&q->m, row, q->pieces[r], each);
			some = some || each > 0;
		}
		if (some && q->own[l][pool] >= 0)
			solve_entry(&q->m, row, q->own[l][pool], -1);
	}
}

static void add_pools(struct program *q)
{
	struct plan_bound *b = q->b;
	size_t most = 1;
	for (size_t l = 0; l < b->nlines; l++)
		most += b->lines[l].pools + 1;
	double *levels = ARENA_ARRAY(q->a, most, double);
	for (uint32_t p = 0; p < b->npools; p++) {
		size_t n = 1;
		levels[0] = NAN;
		for (size_t l = 0; l < b->nlines; l++) {
			bool some = !isnan(b->lines[l].sure) && bound_asks(b, p, l);
			for (size_t k = q->known[l]; some && k <= b->lines[l].pools; k++) {
				double level = bound_chance(b, b->pools[p].crop, b->lines[l].sure, k);
				bool again = k > q->known[l] && q->more[l][k] < 0;
				for (size_t i = 1; i < n && !again; i++)
					again = levels[i] == level;
				if (!again)
					levels[n++] = level;
			}
		}
		for (size_t i = 0; i < n; i++)
			add_level(q, p, levels[i]);
		add_turns(q, p);
		add_late(q, p);
	}
}

/* ---- room ---- */

static void add_metres(struct program *q)
{
	const struct plan_bound *b = q->b;
	if (isnan(q->limits->metres))
		return;
	int row = solve_row(&q->m, -SOLVE_INF, fmax(q->limits->metres * (1 + SLACK) - b->standing, 0));
	for (size_t c = 0; c < b->of->farm->ncrops; c++) {
		if (q->crop[c] >= 0)
			solve_entry(&q->m, row, q->metres[c], 1);
	}
}

enum room_of { PLACE_LINE, PLACE_RACKS, PLACE_BOXES, PLACE_HOURS };

static double takes(const struct hang_lot *lot, enum room_of what, day d)
{
	bool hangs = lot->hung <= d && d < lot->boxed;
	switch (what) {
	case PLACE_LINE:
		return hangs ? lot->line : 0;
	case PLACE_RACKS:
		return hangs ? lot->racks : 0;
	case PLACE_BOXES:
		return lot->boxes;
	case PLACE_HOURS:
		return (week_monday(lot->cut) == d ? lot->cut_hours : 0) +
		       (week_monday(lot->hung) == d ? lot->hang_hours : 0) +
		       (week_monday(lot->boxed) == d ? lot->box_hours : 0);
	}
	return 0;
}

static void add_place(struct program *q, enum room_of what, day d, double limit)
{
	const struct plan_bound *b = q->b;
	int row = -1;
	for (size_t i = 0; i < b->nsowings; i++) {
		const struct bound_sowing *s = &b->sowings[i];
		double all = 0;
		for (size_t k = 0; k < s->nlots; k++)
			all += takes(&s->lots[k], what, d);
		if (!(all > 0) || q->crop[s->crop] < 0)
			continue;
		if (row < 0)
			row = solve_row(&q->m, -SOLVE_INF, limit * (1 + SLACK) + SLACK);
		solve_entry(&q->m, row, q->sowing[i], all / s->stems);
	}
}

static bool seen(const day *days, size_t n, day d)
{
	for (size_t i = 0; i < n; i++) {
		if (days[i] == d)
			return true;
	}
	return false;
}

/* Line and racks on each day on which something is hung, hours in each week. */
static void add_places(struct program *q)
{
	const struct plan_bound *b = q->b;
	size_t lots = 0, ndays = 0, nweeks = 0;
	for (size_t i = 0; i < b->nsowings; i++)
		lots += b->sowings[i].nlots;
	day *days = ARENA_ARRAY(q->a, lots + 1, day), *weeks = ARENA_ARRAY(q->a, 3 * lots + 1, day);
	for (size_t i = 0; i < b->nsowings; i++) {
		for (size_t k = 0; k < b->sowings[i].nlots; k++) {
			const struct hang_lot *lot = &b->sowings[i].lots[k];
			day of[] = { week_monday(lot->cut), week_monday(lot->hung), week_monday(lot->boxed) };
			if (!seen(days, ndays, lot->hung))
				days[ndays++] = lot->hung;
			for (size_t j = 0; j < 3; j++) {
				if (!seen(weeks, nweeks, of[j]))
					weeks[nweeks++] = of[j];
			}
		}
	}
	for (size_t i = 0; i < ndays && !isnan(q->limits->line); i++)
		add_place(q, PLACE_LINE, days[i], q->limits->line);
	for (size_t i = 0; i < ndays && !isnan(q->limits->racks); i++)
		add_place(q, PLACE_RACKS, days[i], q->limits->racks);
	for (size_t i = 0; i < nweeks && !isnan(q->limits->hours); i++)
		add_place(q, PLACE_HOURS, weeks[i], q->limits->hours);
	if (!isnan(q->limits->boxes) && ndays)
		add_place(q, PLACE_BOXES, 0, q->limits->boxes);
}

/* ---- the whole ---- */

static int build(struct program *q, struct arena *a, struct diag *diag)
{
	const struct plan_bound *b = q->b;
	q->a = a;
	q->known = ARENA_ARRAY(a, b->nlines + 1, size_t);
	size_t crops = b->of->farm->ncrops;
	q->x = bound_columns(a, b->nlines);
	q->made = bound_columns(a, b->nlines);
	q->pieces = bound_columns(a, b->nroutes);
	q->low = ARENA_ARRAY(a, b->nroutes + 1, double);
	q->high = ARENA_ARRAY(a, b->nroutes + 1, double);
	q->more = ARENA_ARRAY(a, b->nroutes + 1, int *);
	q->own = ARENA_ARRAY(a, b->nlines + 1, int *);
	q->is = ARENA_ARRAY(a, b->nlines + 1, int *);
	q->grown = ARENA_ARRAY(a, b->nlines + 1, int *);
	q->pool = bound_columns(a, b->npools);
	q->crop = bound_columns(a, crops);
	q->cost = bound_columns(a, crops);
	q->money = bound_columns(a, crops);
	q->metres = bound_columns(a, crops);
	q->sowing = bound_columns(a, b->nsowings);
	q->least = ARENA_ARRAY(a, b->nlines + 1, double);
	q->most = ARENA_ARRAY(a, b->nlines + 1, double);
	q->given = ARENA_ARRAY(a, b->nlines + 1, double *);
	for (size_t l = 0; l < b->nlines; l++)
		q->given[l] = ARENA_ARRAY(a, b->npools + 1, double);
	add_lines(q);
	if (bound_given(b, q->lo, q->hi, q->given, diag))
		return -1;
	add_crops(q);
	bound_grown(q);
	add_pools(q);
	add_metres(q);
	add_places(q);
	return 0;
}

static struct plan_line_ways *ways_of(const struct program *q, const double *x, struct arena *a)
{
	double *pieces = ARENA_ARRAY(q->a, q->b->nroutes + 1, double);
	for (size_t r = 0; r < q->b->nroutes; r++)
		pieces[r] = x[q->pieces[r]];
	return bound_ways_named(q->b, pieces, a);
}

static void take_best(struct program *q, const struct solution *s, struct plan_best *best, struct arena *a)
{
	const struct plan_bound *b = q->b;
	bool found = s->outcome == SOLVE_OPTIMAL || s->outcome == SOLVE_LIMIT;
	for (size_t t = 0; t < b->of->n; t++)
		best->counts[t] = found ? (int64_t)floor(s->x[q->x[t]] + SLACK) : q->lo[t];
	for (size_t c = 0; c < b->of->farm->ncrops; c++)
		best->cost[c] = found && q->cost[c] >= 0 ? s->x[q->cost[c]] : 0;
	best->ways = found && b->of->all_ways ? ways_of(q, s->x, a) : NULL;
}

double plan_bound(struct plan_bound *b, const struct plan_room *limits, const int64_t *lo,
                  const int64_t *hi, const struct plan_corner *at_lo, double least, struct plan_best *best,
                  struct arena *a, struct diag *diag)
{
	struct arena scratch;
	struct program q = { .b = b, .limits = limits, .lo = lo, .hi = hi, .at = at_lo };
	struct solve_options options = { .gap = GAP, .nodes = b->of->all_ways ? NODES_WAYS : NODES,
					 .has_known = isfinite(least), .known = least };
	struct solution s;
	double bound = -INFINITY;
	arena_init(&scratch);
	solve_init(&q.m);
	if (build(&q, &scratch, diag)) {
		solve_release(&q.m);
		arena_release(&scratch);
		return NAN;
	}
	solve_run(&q.m, &options, &s);
	if (s.outcome == SOLVE_OPTIMAL || s.outcome == SOLVE_LIMIT)
		bound = s.bound;
	else if (s.outcome != SOLVE_INFEASIBLE)
		bound = s.outcome == SOLVE_NOTHING ? s.proven : INFINITY;
	if (s.outcome == SOLVE_NOTHING && bound > least) { /* its counts in parts, then */
		options.has_known = false;
		solution_release(&s);
		solve_root(&q.m, &options, &(struct solve_way){ 0, 0, 1, 0, 0 }, &s);
	}
	take_best(&q, &s, best, a);
	if (s.outcome != SOLVE_BAD)
		solution_release(&s);
	solve_release(&q.m);
	arena_release(&scratch);
	return bound;
}

double plan_bound_stems(const struct plan_bound *b, size_t target, uint32_t crop)
{
	double stems = 0;
	for (size_t p = 0; p < b->npools; p++) {
		for (size_t i = 0; i < b->pools[p].nasks && b->pools[p].crop == crop; i++)
			stems += b->pools[p].asks[i].line == target ? b->pools[p].asks[i].each : 0;
	}
	return stems;
}
