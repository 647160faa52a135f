/* of_plant_why.c - how a crop's numbers come about, one factor a line. */
#include <math.h>

#include "base/number.h"
#include "reckon/plan_season.h"
#include "report/of.h"

static const struct column why_columns[] = {
	{ "crop", "crop", TYPE_TEXT, COL_MACHINE, "text", "name of the crop" },
	{ "step", "step", TYPE_TEXT, 0, "text", "what is done; with --suppose in the supposed plan, today's is told without it" },
	{ "by", "", TYPE_TEXT, COL_PEOPLE, "", "" },
	{ "sign", "sign", TYPE_TEXT, COL_MACHINE, "text",
	  "+, -, x or / in front of the factor; empty: none" },
	{ "factor", "factor", TYPE_NUMBER, COL_MACHINE, "see step", "what the sum so far is changed by" },
	{ "gives", "gives", TYPE_NUMBER, 0, "see step", "the sum so far" },
	{ "day", "day", TYPE_DATE, COL_MAYBE, "date", "a day that follows" },
};
const struct table_def PLANT_WHY = {
	"plant", "why", "How that comes about (with --why)", why_columns,
	sizeof why_columns / sizeof why_columns[0], false
};

struct chain {
	struct table *t;
	struct report *r;
	const struct farm *farm;
	const struct plan *plan;
	uint32_t crop;
	double now; /* the sum so far */
};

static const char *number(struct chain *c, double v, int most)
{
	return of_number(c->r, v, most).p;
}

static void line(struct chain *c, struct str step)
{
	table_row(c->t);
	put_text(c->t, "crop", c->farm->crops[c->crop].head.name);
	put_text(c->t, "step", step);
}

static void set(struct chain *c, struct str step, double v)
{
	line(c, step);
	c->now = v;
	put_number(c->t, "gives", v);
}

/* A factor that is a share shows as a per cent. */
static void by(struct chain *c, struct str step, const char *sign, double factor, bool share, double gives)
{
	line(c, step);
	c->now = gives;
	put_text(c->t, "by",
		 share ? report_printf(c->r->arena, "%s %s%%", sign, number(c, factor * 100, 1))
		       : report_printf(c->r->arena, "%s %s", sign,
				       number(c, factor, *sign == '+' || *sign == '-' ? 1 : 3)));
	put_word(c->t, "sign", sign);
	put_number(c->t, "factor", factor);
	put_number(c->t, "gives", gives);
}

static void kept(struct chain *c, struct str step, double share)
{
	if (share < 1)
		by(c, step, "/", share, true, share > 0 ? c->now / share : 0);
}

static void dated(struct chain *c, struct str step, day d)
{
	if (d == DAY_NONE)
		return;
	line(c, step);
	put_day(c->t, "day", d);
}

/* ---- stems ---- */

static void use_line(struct chain *c, const struct plan_use *u)
{
	const struct plan_line *l = &c->plan->lines[u->line];
	char date[11];
	date_print(l->wish.by, date);
	struct str piece = c->farm->pieces[l->wish.piece].head.name;
	struct str step = report_printf(c->r->arena, "%s %.*s by %s", number(c, l->make, 1),
					STR_ARG(piece), date);
	by(c, step, "+", u->stems - u->odd, false, c->now + u->stems - u->odd);
	if (u->odd > 0)
		by(c, STR("  odd ones, where all of a piece are of one colour"), "+", u->odd, false,
		   c->now + u->odd);
	if (u->stock > 0)
		by(c, STR("  less what the shed gives by then"), "-", u->stock, false,
		   c->now - u->stock);
	if (u->hanging > 0)
		by(c, STR("  less what still hangs"), "-", u->hanging, false, c->now - u->hanging);
}

static void certainty(struct chain *c, const struct plan_pool *p)
{
	const struct cutting *k = &c->farm->crops[c->crop].cutting;
	struct str usual = STR_NONE;
	if (isnan(p->chance_wanted)) {
		set(c, STR("as sure as an even year: nothing more was asked"), (double)p->cut);
		return;
	}
	if (k->low.given)
		usual = report_printf(c->r->arena, ", at %s to %s a plant", number(c, k->low.v, 2),
				      number(c, k->high.v, 2));
	int decimals = 1; /* never a hundred: nothing is that sure */
	for (double half = 0.05; decimals < 6 && (1 - p->chance_wanted) * 100 <= half; half /= 10)
		decimals++;
	struct str step =
	    report_printf(c->r->arena, "to be %s%% sure%.*s", number(c, p->chance_wanted * 100, decimals),
			  STR_ARG(usual));
	by(c, step, "x", p->plain_need > 0 ? (double)p->cut / (double)p->plain_need : NAN, false, (double)p->cut);
}

static double sure_of_line(const struct plan_line *l)
{
	return isnan(l->wish.sure) ? 0 : l->wish.sure;
}

/* Owed by the deciding day to lines that are to be at least so sure. */
static double owed_by(const struct chain *c, uint32_t pool, double sure)
{
	double sum = 0;
	for (size_t i = 0; i < c->plan->nuses; i++) {
		const struct plan_use *u = &c->plan->uses[i];
		const struct plan_line *l = &c->plan->lines[u->line];
		if (u->pool == pool && l->wish.by <= c->plan->pools[pool].by && sure_of_line(l) >= sure)
			sum += u->grow;
	}
	return sum;
}

/* Why the deciding number is less than the sum above it: the surest lines come first, and what is owed
 * before that day counts as it would have shrunk by then. */
static void say_less(struct chain *c, uint32_t pool)
{
	const struct plan_pool *p = &c->plan->pools[pool];
	double all = owed_by(c, pool, 0), counted = all;
	for (size_t i = 0; i < c->plan->nuses; i++) {
		const struct plan_use *u = &c->plan->uses[i];
		if (u->pool != pool)
			continue;
		double sum = owed_by(c, pool, sure_of_line(&c->plan->lines[u->line]));
		if (sum < counted && sum > (double)p->need - 1)
			counted = sum;
	}
	if (all - counted > 0.5)
		line(c, STR("  the surest first: the others take what is over"));
	if (counted - (double)p->need > 0.5)
		line(c, STR("  what is owed earlier: as shrunk by then"));
}

static bool several_days(const struct plan *plan, uint32_t pool)
{
	day first = DAY_NONE;
	for (size_t i = 0; i < plan->nuses; i++) {
		const struct plan_use *u = &plan->uses[i];
		if (u->pool != pool || !(u->grow > 0))
			continue;
		if (first != DAY_NONE && plan->lines[u->line].wish.by != first)
			return true;
		first = plan->lines[u->line].wish.by;
	}
	return false;
}

static void chain_of_pool(struct chain *c, uint32_t pool)
{
	const struct plan_pool *p = &c->plan->pools[pool];
	char date[11];
	size_t there = 0;
	struct str name = c->farm->crops[p->crop].head.name;
	struct str of = of_colours(c->r, c->farm, p->colours, p->ncolours, false);
	table_group(c->t, of.n ? report_printf(c->r->arena, "%.*s, %.*s", STR_ARG(name), STR_ARG(of)) : name);
	c->now = 0;
	for (size_t i = 0; i < c->plan->nuses; i++) {
		const struct plan_use *u = &c->plan->uses[i];
		if (u->pool == pool && u->grow > 0)
			use_line(c, u);
		else if (u->pool == pool)
			there++;
	}
	if (there)
		line(c, report_printf(c->r->arena, "%zu more: what there is will do", there));
	if (p->cut <= 0)
		return;
	date_print(p->by, date);
	set(c, report_printf(c->r->arena, "the day that decides: usable on %s", date), (double)p->need);
	if (several_days(c->plan, pool))
		line(c, STR("  (what other days take is not shown)"));
	say_less(c, pool);
	kept(c, STR("kept at the bench"), p->kept[STAGE_BENCH]);
	kept(c, report_printf(c->r->arena, "kept in the box, %s months", number(c, p->months, 1)),
	     p->kept[STAGE_STORAGE]);
	kept(c, STR("kept in drying"), p->kept[STAGE_DRYING]);
	kept(c, STR("kept in the field"), p->kept[STAGE_FIELD]);
	kept(c, STR("boxed by then, of the whole cut"), p->in_time);
	kept(c, STR("long enough, by what was hung so far"), p->fits);
	set(c, STR("for that day, every rate as it stands"), (double)p->plain_need);
	if (p->plain != p->plain_need) {
		date_print(p->plain_by, date);
		line(c, report_printf(c->r->arena, "  (the plain number, %.0f: %.0f on %s)", (double)p->plain,
				      (double)p->plain_for, date));
	}
	certainty(c, p);
}

/* ---- one sowing ---- */

static struct str when_text(struct chain *c, const struct when *w, const char *what)
{
	const char *frost = w->anchor == ANCHOR_FIRST_FROST ? "first frost" : "last frost";
	double n = fabs(w->days.v);
	bool weeks = n >= 7 && fmod(n, 7) == 0;
	if (w->anchor != ANCHOR_LAST_FROST && w->anchor != ANCHOR_FIRST_FROST)
		return str_of(what);
	return report_printf(c->r->arena, "%s: %s %s%s %s the %s", what, number(c, weeks ? n / 7 : n, 1),
			     weeks ? "week" : "day", (weeks ? n / 7 : n) == 1 ? "" : "s",
			     w->days.v < 0 ? "before" : "after", frost);
}

static void seed_lines(struct chain *c, const struct plan_sowing *s)
{
	const struct crop *crop = &c->farm->crops[c->crop];
	if (s->sows == NONE || s->cells <= 0)
		return;
	const struct sowing *w = &crop->sowings[s->sows];
	double seeds = w->seeds_per_cell.given ? w->seeds_per_cell.v : 1;
	double gives = w->germinates.given ? cell_gives(w->germinates.v, seeds) : 1;
	by(c,
	   report_printf(c->r->arena, "%s that come up, and some to be sure",
			 w->direct ? "seeds" : "cells"),
	   "/", gives, true, (double)s->cells);
	if (s->trays > 0)
		by(c, STR("cells in a tray, whole trays"), "/", w->cells.v, false, (double)s->trays);
	if (seeds != 1)
		by(c, STR("seeds: so many a cell"), "x", seeds, false, (double)s->seeds);
}

static void chain_of_sowing(struct chain *c, const struct plan_sowing *s, bool stands, int64_t bears)
{
	const struct crop *crop = &c->farm->crops[c->crop];
	const struct planting *p = s->plants != NONE ? &crop->plantings[s->plants] : NULL;
	c->now = (double)s->stems;
	if (stands) {
		if (bears >= 0)
			set(c, STR("stems that it gives in a usual season"), (double)bears);
		dated(c, STR("first cut"), s->first_cut);
		dated(c, STR("last cut"), s->last_cut);
		return;
	}
	set(c, STR("stems to cut"), (double)s->stems);
	if (s->plants_out > 0) {
		if (crop->cutting.per_plant.given)
			by(c, STR("stems a plant"), "/", crop->cutting.per_plant.v, false,
			   c->now / crop->cutting.per_plant.v);
		if (p && p->live.given && p->live.v < 1)
			kept(c, STR("plants that live"), p->live.v);
		set(c, STR("plants, whole"), (double)s->plants_out);
		seed_lines(c, s);
	}
	if (s->metres > 0) {
		c->now = (double)s->plants_out;
		by(c, STR("plants, in so many rows"), "/", p->rows.given ? p->rows.v : 1, false,
		   s->metres / p->apart.v);
		by(c, STR("metres of bed: so far apart in the row"), "x", p->apart.v / 1000, false,
		   s->metres / 1000);
	}
	if (s->sows != NONE && s->sow != DAY_NONE)
		dated(c, when_text(c, &crop->sowings[s->sows].when, "sow"), s->sow);
	dated(c, p ? when_text(c, &p->when, "plant out") : STR("plant out"), s->plant);
	dated(c, STR("first cut"), s->first_cut);
	dated(c, STR("last cut"), s->last_cut);
	dated(c, STR("last boxed, when dry"), s->last_boxed);
}

static void packet_lines(struct chain *c, const struct plan_crop *k)
{
	if (k->packets <= 0)
		return;
	set(c, STR("seeds, over all sowings"), (double)k->seeds);
	set(c, STR("packets, whole ones of each colour"), (double)k->packets);
}

void of_plant_why(struct report *r, const struct view *v, const struct plan *p)
{
	struct chain c = { .r = r, .farm = v->now->farm, .plan = p };
	c.t = report_table(r, &PLANT_WHY);
	c.t->title = STR("How that comes about");
	for (uint32_t i = 0; i < v->now->farm->ncrops; i++) {
		const struct plan_crop *k = &p->crops[i];
		size_t planned = 0, n = 0;
		if (!choice_names(&v->choice, KIND_CROP, i))
			continue;
		c.crop = i;
		for (uint32_t q = 0; q < p->npools; q++) {
			if (p->pools[q].crop == i)
				chain_of_pool(&c, q);
		}
		for (size_t q = 0; q < k->nsowings; q++)
			planned += k->sowings[q].planned;
		for (size_t q = 0; q < k->nsowings; q++) {
			if (!k->sowings[q].planned || k->cut <= 0)
				continue;
			n++;
			table_group(c.t, k->source == PLAN_STANDING ? STR("what stands")
					 : planned > 1 ? report_printf(r->arena, "sowing %zu of %zu", n, planned)
						       : STR("the sowing"));
			chain_of_sowing(&c, &k->sowings[q], k->source == PLAN_STANDING, k->bears);
		}
		packet_lines(&c, k);
	}
}
