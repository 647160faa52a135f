/* page.c - what stands on the page: its sections, from the commands' own tables. */
#include "report/page/page.h"

#include <math.h>

#include "base/largest.h"
#include "reckon/caution.h"
#include "reckon/hang.h"
#include "reckon/measured.h"
#include "reckon/plan.h"
#include "reckon/sway.h"
#include "report/page/frame.h"
#include "report/page/html.h"
#include "report/page/svg.h"

enum { CARDS_OPEN = 60 }; /* more: folded */

struct writer {
	const struct page_view *v;
	const struct farm *farm;
	struct arena *a;
	struct buf *out;
	struct remarks remarks; /* of all sections, each once */
};

/* ---- reports ---- */

static void begin(struct writer *w, struct report *r, const char *command)
{
	report_init(r, w->a, command, w->farm, w->v->view->now->on);
}

/* What --suppose laid over the farm: the figures below are not today's. */
static void changes(struct writer *w)
{
	const struct report *r = w->v->report;
	for (size_t i = 0; i < r->nchanges; i++) {
		struct str text = report_change_text(r, &r->changes[i]);
		html_line(w->out, "p", "class=\"supposed\"",
			  report_printf(w->a, "Supposed %.*s", STR_ARG(text)));
	}
}

static void keep_remarks(struct writer *w, const struct report *r)
{
	for (size_t i = 0; i < r->nremarks; i++) {
		if (r->remarks[i].kind == REMARK_CAUTION)
			remark_caution(&w->remarks, r->remarks[i].text, r->remarks[i].source);
		else
			remark(&w->remarks, r->remarks[i].kind, "%s", r->remarks[i].text);
	}
}

static void sentences(struct writer *w, const struct report *r)
{
	for (size_t i = 0; i < r->nsentences; i++)
		html_line(w->out, "p", "", str_of(r->sentences[i]));
}

static void verdicts(struct writer *w, const struct report *r)
{
	for (size_t i = 0; i < r->nverdicts; i++)
		html_line(w->out, "p", "", str_of(r->verdicts[i]));
}

/* Tables of that definition; all for NULL. */
static void tables(struct writer *w, const struct report *r, const struct table_def *def)
{
	for (size_t i = 0; i < r->ntables; i++) {
		if (!def || r->tables[i]->def == def)
			html_table(w->out, r->tables[i]);
	}
}

static void whole(struct writer *w, struct report *r)
{
	report_finish(r);
	keep_remarks(w, r);
	sentences(w, r);
	tables(w, r, NULL);
	verdicts(w, r);
}

static struct str piece_name(const struct writer *w, size_t i)
{
	return w->farm->pieces[i].head.name;
}

/* The script shows it, and a button that opens and folds all that it finds, where cards are folded. */
static void finder(struct writer *w, const char *id, const char *label, bool folds)
{
	buf_printf(w->out,
		   "<div class=\"find\" hidden><label for=\"find-%s\">%s</label><input "
		   "id=\"find-%s\" type=\"search\" autocomplete=\"off\"> <output "
		   "for=\"find-%s\"></output>%s</div>\n",
		   id, label, id, id, folds ? " <button type=\"button\">Open all of these</button>" : "");
}

static bool folds_cards(const struct writer *w)
{
	return w->farm->npieces > CARDS_OPEN;
}

/* ---- summary ---- */

static void fact(struct writer *w, const char *what, struct str figure, struct str more)
{
	buf_text(w->out, "<div>");
	html_line(w->out, "dt", "", str_of(what));
	buf_text(w->out, "<dd>");
	html_text(w->out, figure);
	if (more.n)
		html_line(w->out, "small", "", more);
	buf_text(w->out, "</dd></div>\n");
}

static struct str money(struct writer *w, double v)
{
	const struct business *b = &w->farm->business;
	return report_printf(w->a, "%.*f %.*s", b->digits, v, STR_ARG(b->currency));
}

static struct str line_name(struct writer *w, const struct price_line *line)
{
	return report_printf(w->a, "%.*s, %.*s", STR_ARG(piece_name(w, line->piece)),
			     STR_ARG(w->farm->outlets[line->outlet].head.name));
}

/* The best hour, and prices that leave less than nothing. */
static void price_facts(struct writer *w)
{
	const struct prices *p = &w->v->view->now->prices;
	const struct price_line *best = NULL;
	struct said losing = { 0 };
	for (size_t i = 0; i < p->n; i++) {
		const struct price_line *line = &p->lines[i];
		if (!line->asked)
			continue;
		if (line->at.profit < 0)
			said_add(&losing, w->a, line_name(w, line));
		if (isfinite(line->at.per_hour) &&
		    (!best || line->at.per_hour > best->at.per_hour))
			best = line;
	}
	if (best)
		fact(w, "Best hour at the bench", money(w, best->at.per_hour), line_name(w, best));
	fact(w, "Prices that lose money", report_printf(w->a, "%zu", losing.n),
	     losing.n ? str_of(said_text(&losing)) : STR("none of those asked today"));
}

static void stop_fact(struct writer *w)
{
	const struct reach *reach = &w->v->view->now->reach;
	uint32_t *times = ARENA_ARRAY(w->a, w->farm->ncrops + 1, uint32_t);
	size_t most = w->farm->ncrops;
	for (size_t i = 0; i < w->farm->npieces; i++) {
		for (size_t k = 0; k < reach->pieces[i].nstops; k++) {
			struct item item = reach->pieces[i].stops[k];
			if (item.kind == KIND_CROP)
				times[item.index]++;
		}
	}
	for (size_t i = 0; i < w->farm->ncrops; i++) {
		if (times[i] && (most == w->farm->ncrops || times[i] > times[most]))
			most = i;
	}
	if (most < w->farm->ncrops)
		fact(w, "Runs out first, most often", w->farm->crops[most].head.name,
		     report_printf(w->a, "stops %u of %zu pieces", times[most], w->farm->npieces));
}

static void mix_fact(struct writer *w)
{
	const struct mix *m = w->v->mix ? w->v->mix->now : NULL;
	if (!m || m->state == MIX_NOTHING)
		return;
	int64_t pieces = 0;
	for (size_t i = 0; i < m->nlines; i++)
		pieces += m->lines[i].count;
	fact(w, "The best mix earns", money(w, m->value),
	     report_printf(w->a, "%lld pieces besides orders, %.1f h at the bench", (long long)pieces,
			   m->hours));
}

static void stock_fact(struct writer *w)
{
	const struct stock *s = &w->v->view->now->stock;
	double stems = 0;
	size_t crops = 0;
	for (size_t i = 0; i < w->farm->ncrops; i++) {
		stems += s->crop_worth[i];
		crops += s->crop_worth[i] > 0;
	}
	fact(w, "Good stems in the shed", report_printf(w->a, "%.0f", stems),
	     report_printf(w->a, "of %zu crops, before what is lost at the bench; %zu open orders", crops, s->open_orders));
}

static void summary(struct writer *w)
{
	changes(w);
	buf_text(w->out, "<dl class=\"facts\">\n");
	mix_fact(w);
	price_facts(w);
	stop_fact(w);
	stock_fact(w);
	buf_text(w->out, "</dl>\n");
}

/* ---- prices and cost ---- */

static const char *currency(struct writer *w)
{
	struct str c = w->farm->business.currency;
	return c.n ? arena_copy(w->a, c.p, c.n) : "money";
}

static void chart_costs(struct writer *w)
{
	const struct farm *f = w->farm;
	struct svg_bars c = { .id = "chart-costs",
			      .title = "What one of each piece costs to make",
			      .unit = currency(w),
			      .decimals = f->business.digits,
			      .stacked = true,
			      .series = { "stems", "supplies", "labour", "overhead" },
			      .nseries = 4,
			      .n = f->npieces };
	c.bars = ARENA_ARRAY(w->a, f->npieces + 1, struct svg_bar);
	for (size_t i = 0; i < f->npieces; i++) {
		const struct make_cost *m = &w->v->view->now->costs.pieces[i];
		c.bars[i] = (struct svg_bar){ piece_name(w, i),
					      { m->stems, m->supplies, m->labour, m->overhead } };
	}
	svg_bars_largest(&c, w->a, BARS_MOST, "dearest");
	svg_bars(w->out, &c);
}

static void chart_prices(struct writer *w)
{
	const struct farm *f = w->farm;
	const struct prices *p = &w->v->view->now->prices;
	struct svg_bars c = { .id = "chart-prices",
			      .title = "Price before tax against the cost of making",
			      .unit = currency(w),
			      .decimals = f->business.digits,
			      .series = { "cost of one", "lowest price", "highest price" },
			      .nseries = 3,
			      .n = f->npieces };
	c.bars = ARENA_ARRAY(w->a, f->npieces + 1, struct svg_bar);
	for (size_t i = 0; i < f->npieces; i++)
		c.bars[i] = (struct svg_bar){
			piece_name(w, i), { w->v->view->now->costs.pieces[i].total, NAN, NAN }
		};
	for (size_t i = 0; i < p->n; i++) {
		double *v = c.bars[p->lines[i].piece].v, net = p->lines[i].at.net;
		v[1] = net < v[1] || isnan(v[1]) ? net : v[1];
		v[2] = net > v[2] || isnan(v[2]) ? net : v[2];
	}
	svg_bars_largest(&c, w->a, BARS_MOST, "dearest to make");
	svg_bars(w->out, &c);
}

static void price_list(struct writer *w)
{
	struct report r;
	begin(w, &r, "price");
	of_price(&r, w->v->view);
	chart_prices(w);
	finder(w, "prices", "Find a piece or an outlet", false);
	whole(w, &r);
}

static void card(struct writer *w, size_t piece)
{
	struct report cost, price;
	struct item item = { KIND_PIECE, (uint32_t)piece };
	struct view one = *w->v->view;
	one.choice = (struct choice){ .items = &item, .nitems = 1 };
	begin(w, &cost, "cost");
	begin(w, &price, "price");
	of_cost(&cost, &one);
	of_price(&price, &one);
	report_finish(&cost);
	report_finish(&price);
	keep_remarks(w, &cost);
	keep_remarks(w, &price);
	bool folds = folds_cards(w);
	buf_text(w->out, folds ? "<details class=\"card\"><summary>\n" : "<article class=\"card\">\n");
	html_line(w->out, "h3", "", piece_name(w, piece));
	if (folds) {
		html_line(w->out, "span", "", money(w, w->v->view->now->costs.pieces[piece].total));
		buf_text(w->out, "</summary>");
	}
	buf_text(w->out, "<div class=\"both\">\n");
	tables(w, &cost, &COST_NEEDS);
	tables(w, &price, &PRICE_BUILDUP);
	buf_printf(w->out, "</div></%s>\n", folds ? "details" : "article");
}

static void cards(struct writer *w)
{
	chart_costs(w);
	finder(w, "cards", "Find a piece or what goes in it", folds_cards(w));
	if (folds_cards(w))
		html_line(w->out, "p", "", STR("Open the cards that you want to read; only open ones are printed."));
	buf_text(w->out, "<div class=\"cards\">\n");
	for (size_t i = 0; i < w->farm->npieces; i++)
		card(w, i);
	buf_text(w->out, "</div>\n");
}

static void stem_costs(struct writer *w)
{
	struct report r;
	struct view all = *w->v->view;
	begin(w, &r, "cost");
	of_cost(&r, &all);
	report_finish(&r);
	keep_remarks(w, &r);
	sentences(w, &r);
	tables(w, &r, &COST_STEMS);
	tables(w, &r, &COST_PARTS);
}

/* ---- shed, reach, mix, pull ---- */

static void shed(struct writer *w)
{
	struct report r;
	begin(w, &r, "stock");
	of_stock(&r, w->v->view);
	finder(w, "shed", "Find a crop, a box or a place", false);
	whole(w, &r);
}

static void reaches(struct writer *w)
{
	struct report r;
	begin(w, &r, "reach");
	of_reach(&r, w->v->view);
	whole(w, &r);
}

/* Finished ones from the shelf among them. */
static void chart_made(struct writer *w, const struct mix *m)
{
	struct svg_bars c = { .id = "chart-made",
			      .title = "Pieces for the outlets in the best mix",
			      .unit = "pieces",
			      .series = { "pieces" },
			      .nseries = 1,
			      .n = m->nlines };
	c.bars = ARENA_ARRAY(w->a, m->nlines + 1, struct svg_bar);
	for (size_t i = 0; i < m->nlines; i++)
		c.bars[i] = (struct svg_bar){
			report_printf(w->a, "%.*s, %.*s", STR_ARG(piece_name(w, m->lines[i].piece)),
				      STR_ARG(w->farm->outlets[m->lines[i].outlet].head.name)),
			{ (double)m->lines[i].count }
		};
	svg_bars_largest(&c, w->a, BARS_MOST, "largest");
	svg_bars(w->out, &c);
}

static void chart_left(struct writer *w, const struct mix *m)
{
	struct svg_bars c = { .id = "chart-left",
			      .title = "Stems in the best mix, and what is left",
			      .unit = "stems",
			      .stacked = true,
			      .series = { "used", "left" },
			      .nseries = 2,
			      .n = m->nleft };
	c.bars = ARENA_ARRAY(w->a, m->nleft + 1, struct svg_bar);
	for (size_t i = 0; i < m->nleft; i++)
		c.bars[i] = (struct svg_bar){ w->farm->crops[m->left[i].crop].head.name,
					      { (double)m->left[i].used, (double)m->left[i].left } };
	svg_bars_largest(&c, w->a, BARS_MOST, "largest");
	svg_bars(w->out, &c);
}

static void mixes(struct writer *w)
{
	struct report r;
	begin(w, &r, "mix");
	of_mix(&r, w->v->view, w->v->mix);
	chart_made(w, w->v->mix->now);
	whole(w, &r);
	chart_left(w, w->v->mix->now);
}

static void pulls(struct writer *w)
{
	struct report r;
	begin(w, &r, "pull");
	of_pull(&r, w->v->view, w->v->pull, w->v->pull_today, NULL);
	whole(w, &r);
}

/* ---- what matters most ---- */

enum { SWAY_ROWS = 12 };

/* Assumptions alone: prices are set by the grower. */
static void chart_sway(struct writer *w, const struct sway *sway)
{
	struct svg_bars c = { .id = "chart-sway",
			      .title = "How much each assumption moves the season",
			      .unit = currency(w),
			      .decimals = w->farm->business.digits,
			      .series = { "from one end to the other" },
			      .nseries = 1 };
	c.bars = ARENA_ARRAY(w->a, SWAY_ROWS, struct svg_bar);
	for (size_t i = 0; i < sway->nitems && c.n < SWAY_ROWS; i++) {
		if (!sway->items[i].asked && sway->items[i].most > 0)
			c.bars[c.n++] = (struct svg_bar){ sway->items[i].path, { sway->items[i].most } };
	}
	svg_bars(w->out, &c);
}

static void sways(struct writer *w)
{
	struct report r;
	struct sway_view view = { .sway = w->v->sway, .drawn = true, .farm = w->farm, .rows = SWAY_ROWS };
	begin(w, &r, "sway");
	of_sway(&r, w->v->view, &view);
	chart_sway(w, w->v->sway);
	whole(w, &r);
}

/* ---- losses ---- */

static size_t drying_lots(const struct writer *w, size_t crop)
{
	return w->v->view->now->rates.measures->crops[crop].stages[STAGE_DRYING].m.lots;
}

static void chart_losses(struct writer *w)
{
	const struct farm *f = w->farm;
	struct svg_ranges c = { .id = "chart-losses",
				.title = "Lost in drying, by your records",
				.unit = "%",
				.scale = 100,
				.dot = "measured",
				.mark = "assumed",
				.narrow = "80% sure",
				.wide = "95% sure" };
	c.ranges = ARENA_ARRAY(w->a, f->ncrops + 1, struct svg_range);
	for (size_t i = 0; i < f->ncrops; i++) {
		const struct stage_measured *m =
		    &w->v->view->now->rates.measures->crops[i].stages[STAGE_DRYING];
		if (drying_lots(w, i))
			c.ranges[c.n++] =
			    (struct svg_range){ f->crops[i].head.name, m->m.i95.low,  m->m.i95.high,
						m->m.i80.low,	       m->m.i80.high, m->m.rate,
						m->assumed };
	}
	svg_ranges_largest(&c, w->a, BARS_MOST, "highest");
	svg_ranges(w->out, &c);
}

static void losses(struct writer *w)
{
	struct report r;
	begin(w, &r, "loss");
	of_loss(&r, w->v->view);
	chart_losses(w);
	whole(w, &r);
}

/* ---- next season ---- */

enum { LANE_SOW, LANE_PLANT, LANE_CUT, LANES, SPANS = 3 };

static void span(struct svg_lane *lane, int kind, day from, day to)
{
	if (from != DAY_NONE)
		lane->spans[lane->n++] = (struct svg_span){ from, to == DAY_NONE ? from : to + 1, kind };
}

static void lane_of(struct writer *w, struct svg_lane *lane, const struct plan_crop *crop)
{
	lane->spans = ARENA_ARRAY(w->a, SPANS * crop->nsowings + 1, struct svg_span);
	for (size_t i = 0; i < crop->nsowings; i++) {
		const struct plan_sowing *s = &crop->sowings[i];
		if (!s->planned)
			continue;
		if (crop->source != PLAN_STANDING)
			span(lane, LANE_SOW, s->sow, s->sow);
		if (s->plant != s->sow && crop->source != PLAN_STANDING)
			span(lane, LANE_PLANT, s->plant, s->plant);
		span(lane, LANE_CUT, s->first_cut, s->last_cut);
	}
}

static void lanes_axis(struct writer *w, struct svg_lanes *c)
{
	enum { MONTHS_MOST = 40, YEAR = 366 };
	static const char *const names[] = { "Jan", "Feb", "Mar", "Apr", "May", "Jun",
					     "Jul", "Aug", "Sep", "Oct", "Nov", "Dec" };
	c->first = INFINITY;
	c->last = -INFINITY;
	for (size_t i = 0; i < c->n; i++) {
		for (size_t k = 0; k < c->lanes[i].n; k++) {
			c->first = fmin(c->first, c->lanes[i].spans[k].from);
			c->last = fmax(c->last, c->lanes[i].spans[k].to);
		}
	}
	c->ticks = ARENA_ARRAY(w->a, MONTHS_MOST, struct svg_column);
	for (day d = (day)c->first; isfinite(c->first) && d < c->last && c->nticks < MONTHS_MOST; d++) {
		struct civil date = date_civil(d);
		if (date.mday == 1 && (c->last - c->first < YEAR || date.month % 2))
			c->ticks[c->nticks++] =
			    (struct svg_column){ str_of(names[date.month - 1]), { (double)d } };
	}
}

static void chart_calendar(struct writer *w)
{
	const struct plan *p = w->v->plan;
	struct svg_lanes c = { .id = "chart-calendar",
			       .title = "When to sow, plant out and cut",
			       .kinds = { "sow", "plant out", "cut" },
			       .nkinds = LANES };
	c.lanes = ARENA_ARRAY(w->a, w->farm->ncrops + 1, struct svg_lane);
	for (size_t i = 0; i < w->farm->ncrops; i++) {
		struct svg_lane *lane = &c.lanes[c.n];
		*lane = (struct svg_lane){ .label = w->farm->crops[i].head.name };
		lane_of(w, lane, &p->crops[i]);
		c.n += lane->n > 0;
	}
	lanes_axis(w, &c);
	svg_lanes(w->out, &c);
}

static void plantings(struct writer *w)
{
	struct report r;
	struct plan_view view = { w->v->plan, NULL };
	begin(w, &r, "plant");
	of_plant(&r, w->v->view, &view);
	chart_calendar(w);
	whole(w, &r);
}

/* ---- the drying line ---- */

static void chart_line(struct writer *w, const struct hang *h, const char *id)
{
	enum { MM_PER_M = 1000 };
	struct svg_columns c = { .id = id,
				 .title = "Drying line on the fullest day of each week",
				 .unit = "m",
				 .series = { "in use" },
				 .nseries = 1,
				 .limit = h->limit[HANG_LINE] / MM_PER_M,
				 .limit_name = "there is",
				 .n = h->nweeks };
	double most = 0;
	c.columns = ARENA_ARRAY(w->a, h->nweeks + 1, struct svg_column);
	for (size_t i = 0; i < h->nweeks; i++) {
		int week = date_week(h->weeks[i].monday).week;
		c.columns[i] = (struct svg_column){
			week % 4 == 0 ? report_printf(w->a, "W%02d", week) : STR_NONE,
			{ h->weeks[i].line / MM_PER_M }
		};
		most = fmax(most, h->weeks[i].line);
	}
	if (most > 0)
		svg_columns(w->out, &c);
}

static bool fills_boxes(const struct hang *h)
{
	for (size_t i = 0; i < h->nweeks; i++) {
		if (h->weeks[i].used > 0)
			return true;
	}
	return false;
}

static void hang_season(struct writer *w, const struct hang *h, bool next)
{
	struct report r;
	struct hang_view view = { .now = h, .next = next };
	if (!h || !h->nweeks)
		return;
	html_line(w->out, "h3", "", next ? STR("Next season, by the plan") : STR("This season"));
	begin(w, &r, "hang");
	of_hang(&r, w->v->view, &view);
	chart_line(w, h, next ? "chart-line-next" : "chart-line");
	report_finish(&r);
	keep_remarks(w, &r);
	sentences(w, &r);
	if (fills_boxes(h)) /* its head has room for "in use" only */
		html_line(w->out, "p", "", STR("In use, beside the boxes filled: boxes with stems in them at the end of the week."));
	tables(w, &r, &HANG_WEEKS);
	tables(w, &r, &HANG_PEAKS);
	verdicts(w, &r);
}

static void hangs(struct writer *w)
{
	hang_season(w, w->v->hang, false);
	hang_season(w, w->v->next, true);
}

/* ---- what was assumed, and what can hurt ---- */

static void notes(struct writer *w, enum remark_kind kind)
{
	buf_text(w->out, "<ul class=\"notes\">\n");
	for (size_t i = 0; i < w->remarks.n; i++) {
		const struct remark *m = &w->remarks.items[i];
		if (m->kind != kind)
			continue;
		buf_text(w->out, "<li>");
		html_text(w->out, str_of(m->text));
		if (m->source)
			html_line(w->out, "small", "", str_of(m->source));
		buf_text(w->out, "</li>\n");
	}
	buf_text(w->out, "</ul>\n");
}

static bool has_notes(const struct writer *w, enum remark_kind kind)
{
	for (size_t i = 0; i < w->remarks.n; i++) {
		if (w->remarks.items[i].kind == kind)
			return true;
	}
	return false;
}

static void assumed(struct writer *w)
{
	if (has_notes(w, REMARK_DOUBT)) {
		html_line(w->out, "h3", "", STR("In doubt"));
		notes(w, REMARK_DOUBT);
	}
	if (has_notes(w, REMARK_ASSUMED)) {
		html_line(w->out, "h3", "", STR("Assumed"));
		notes(w, REMARK_ASSUMED);
	}
	html_line(w->out, "p", "", STR(ROUNDING_RULE));
}

static void cautions(struct writer *w)
{
	const struct caution *c;
	for (size_t i = 0; (c = caution_at(i)) != NULL; i++) {
		if (caution_applies(c, w->farm))
			remark_caution(&w->remarks, c->text, c->source);
	}
	for (size_t i = 0; i < w->farm->ncrops; i++)
		caution_own(&w->remarks, &w->farm->crops[i].head);
	for (size_t i = 0; i < w->farm->nsupplies; i++)
		caution_own(&w->remarks, &w->farm->supplies[i].head);
	for (size_t i = 0; i < w->farm->nparts; i++)
		caution_own(&w->remarks, &w->farm->parts[i].head);
	for (size_t i = 0; i < w->farm->npieces; i++)
		caution_own(&w->remarks, &w->farm->pieces[i].head);
	for (size_t i = 0; i < w->farm->noutlets; i++)
		caution_own(&w->remarks, &w->farm->outlets[i].head);
	html_line(w->out, "p", "",
		  STR("Local codes, your authorities and licensed practice come first."));
	notes(w, REMARK_CAUTION);
}

/* ---- the page ---- */

static bool has_pieces(const struct page_view *v)
{
	return v->view->now->farm->npieces > 0;
}

static bool has_crops(const struct page_view *v)
{
	return v->view->now->farm->ncrops > 0;
}

static bool has_stock(const struct page_view *v)
{
	return v->view->now->farm->has_stock;
}

static bool has_mix(const struct page_view *v)
{
	return v->mix && v->mix->now->state != MIX_NOTHING;
}

static bool has_sway(const struct page_view *v)
{
	return v->sway && v->sway->nitems;
}

static bool has_losses(const struct page_view *v)
{
	const struct measures *m = v->view->now->rates.measures;
	for (size_t i = 0; m && i < v->view->now->farm->ncrops; i++) {
		for (int s = 0; s < STAGE_COUNT; s++) {
			if (m->crops[i].stages[s].m.lots)
				return true;
		}
	}
	return false;
}

static bool has_plan(const struct page_view *v)
{
	return v->plan && v->plan->nlines > 0;
}

static bool has_hang(const struct page_view *v)
{
	return (v->hang && v->hang->nweeks) || (v->next && v->next->nweeks);
}

static bool has_pull(const struct page_view *v)
{
	return v->pull;
}

static const struct section {
	struct frame_link link;
	bool (*there)(const struct page_view *); /* NULL: always */
	void (*write)(struct writer *);
} sections[] = {
	{ { "summary", "Summary" }, has_pieces, summary },
	{ { "prices", "Price list" }, has_pieces, price_list },
	{ { "cards", "Cost cards" }, has_pieces, cards },
	{ { "stems", "What stems and parts cost" }, has_crops, stem_costs },
	{ { "shed", "In the shed" }, has_stock, shed },
	{ { "reach", "How many of each" }, has_pieces, reaches },
	{ { "mix", "Best mix" }, has_mix, mixes },
	{ { "pull", "Pull list" }, has_pull, pulls },
	{ { "sway", "What matters most" }, has_sway, sways },
	{ { "losses", "Losses" }, has_losses, losses },
	{ { "plant", "Next season's plantings" }, has_plan, plantings },
	{ { "hang", "Drying line" }, has_hang, hangs },
	{ { "assumed", "Assumed" }, NULL, assumed },
	{ { "cautions", "Cautions" }, NULL, cautions },
};
enum { SECTIONS = sizeof sections / sizeof sections[0] };

static bool shown(const struct page_view *v, const struct section *s)
{
	return !s->there || s->there(v);
}

int page_render(const struct page_view *v, struct arena *a, struct buf *out)
{
	struct writer w = { v, v->view->now->farm, a, out, { 0 } };
	struct frame_link links[SECTIONS];
	size_t n = 0;
	remarks_init(&w.remarks, a);
	for (size_t i = 0; i < SECTIONS; i++) {
		if (shown(v, &sections[i]))
			links[n++] = sections[i].link;
	}
	frame_open(out, w.farm->business.head.name, v->view->now->on, links, n);
	for (size_t i = 0; i < SECTIONS; i++) {
		if (!shown(v, &sections[i]))
			continue;
		buf_printf(out, "<section id=\"%s\" aria-labelledby=\"%s-h\">\n<h2 id=\"%s-h\">%s</h2>\n",
			   sections[i].link.id, sections[i].link.id, sections[i].link.id,
			   sections[i].link.title);
		sections[i].write(&w);
		buf_text(out, "</section>\n");
	}
	frame_close(out);
	return out->full ? -1 : 0;
}
