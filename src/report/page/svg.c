/* svg.c - charts of plain rectangles and lines, 400 units wide: at that size their text
 * is as large as the page's on a phone, and they grow on a wider screen.  A long chart is
 * several pictures, one below the other: on paper a page can end between them. */
#include "report/page/svg.h"

#include <math.h>

#include "base/largest.h"
#include "base/number.h"
#include "report/page/html.h"

enum {
	WIDTH = 400,
	LINE = 17,   /* of text */
	BAR = 12,    /* height of a bar */
	ROOM = 70,   /* right of the longest bar, for its number */
	LABEL = 50,  /* letters of a label; the whole of it is in its title */
	PART = 420   /* height of a picture, its head apart */
};

/* ---- what all charts share ---- */

struct picture { /* a picture of a chart: items from..to */
	size_t from, to;
	double height;
};

/* As many items of that height as fit into a picture, from `from` on. */
static struct picture picture_of(size_t from, size_t n, double head, double each)
{
	size_t most = PART > each ? (size_t)(PART / each) : 1;
	struct picture p = { from, n - from > most ? from + most : n, 0 };
	if (n - p.to == 1) /* not one alone */
		p.to = n;
	p.height = head + (double)(p.to - from) * each;
	return p;
}

static void open_chart(struct buf *out, const char *id, const char *title, const char *unit)
{
	buf_printf(out, "<figure class=\"chart\" id=\"%s\">\n<figcaption>", id);
	html_text(out, str_of(title));
	if (*unit) {
		buf_text(out, " <span class=\"unit\">");
		html_text(out, str_of(unit));
		buf_text(out, "</span>");
	}
	buf_text(out, "</figcaption>\n");
}

/* number: of the picture, from 0; it is told of once, and then goes on. */
static void open_picture(struct buf *out, const char *id, size_t number, const char *title,
			 double height, const char *told)
{
	buf_printf(out,
		   "<svg viewBox=\"0 0 %d %.0f\" role=\"img\" "
		   "aria-labelledby=\"%s-t%zu %s-d%zu\">\n<title id=\"%s-t%zu\">",
		   WIDTH, height, id, number, id, number, id, number);
	html_text(out, str_of(title));
	buf_printf(out, "</title><desc id=\"%s-d%zu\">", id, number);
	html_text(out, str_of(number ? "The chart goes on." : told));
	buf_text(out, "</desc>\n");
}

static void close_picture(struct buf *out)
{
	buf_text(out, "</svg>\n");
}

static void close_chart(struct buf *out)
{
	buf_text(out, "</figure>\n");
}

static void text_at(struct buf *out, double x, double y, const char *anchor, struct str s)
{
	struct str shown = { s.p, str_fit(s, LABEL) };
	buf_printf(out, "<text x=\"%.1f\" y=\"%.1f\"%s%s%s>", x, y, *anchor ? " text-anchor=\"" : "",
		   anchor, *anchor ? "\"" : "");
	if (shown.n < s.n) {
		buf_text(out, "<title>");
		html_text(out, s);
		buf_text(out, "</title>");
	}
	html_text(out, shown);
	buf_printf(out, "%s</text>\n", shown.n < s.n ? "..." : "");
}

static void rect(struct buf *out, const char *class, double x, double y, double w, double h)
{
	buf_printf(out, "<rect class=\"%s\" x=\"%.2f\" y=\"%.2f\" width=\"%.2f\" height=\"%.2f\"/>\n",
		   class, x, y, w > 0 ? w : 0, h > 0 ? h : 0);
}

static void stroke(struct buf *out, const char *class, double x1, double y1, double x2, double y2)
{
	buf_printf(out, "<line class=\"%s\" x1=\"%.2f\" y1=\"%.2f\" x2=\"%.2f\" y2=\"%.2f\"/>\n",
		   class, x1, y1, x2, y2);
}

static const char *shade(size_t k)
{
	static const char *const names[SVG_SERIES_MOST] = { "s0", "s1", "s2", "s3" };
	return names[k];
}

/* Swatch and name, one line each; y of the first.  Where they end. */
static double legend(struct buf *out, const char *const *names, size_t n, double y)
{
	double x = 0;
	for (size_t k = 0; k < n; k++) {
		double wide = 24 + 7.1 * (double)str_width(str_of(names[k]));
		if (x > 0 && x + wide > WIDTH) {
			x = 0;
			y += LINE;
		}
		rect(out, shade(k), x, y - 9, 10, 10);
		text_at(out, x + 14, y, "", str_of(names[k]));
		x += wide;
	}
	return y + LINE;
}

static struct str number_text(struct arena *a, double v, int decimals)
{
	enum { MOST = 1024 };
	struct buf b;
	buf_init(&b, MOST);
	number_print(&b, v, decimals);
	struct str s = { arena_copy(a, b.data, b.len), b.len };
	buf_release(&b);
	return s;
}

static double more_of(double a, double b)
{
	return b > a ? b : a;
}

static double filled(double v)
{
	return isfinite(v) && v > 0 ? v : 0;
}

/* ---- lying bars ---- */

static double bars_most(const struct svg_bars *c)
{
	double most = 0;
	for (size_t i = 0; i < c->n; i++) {
		double sum = 0;
		for (size_t k = 0; k < c->nseries; k++) {
			sum += filled(c->bars[i].v[k]);
			if (!c->stacked)
				most = more_of(most, filled(c->bars[i].v[k]));
		}
		if (c->stacked)
			most = more_of(most, sum);
	}
	return most > 0 ? most : 1;
}

static double draw_bar(struct buf *out, struct arena *a, const struct svg_bars *c, size_t i,
		       double per, double y)
{
	double x = 0, sum = 0;
	for (size_t k = 0; k < c->nseries; k++) {
		double v = c->bars[i].v[k];
		if (!isfinite(v))
			continue;
		rect(out, shade(k), x, y, filled(v) * per, BAR);
		sum += v;
		if (c->stacked) {
			x += filled(v) * per;
			continue;
		}
		text_at(out, filled(v) * per + 4, y + 10.5, "", number_text(a, v, c->decimals));
		y += BAR + 1;
	}
	if (!c->stacked)
		return y;
	text_at(out, x + 4, y + 10.5, "", number_text(a, sum, c->decimals));
	return y + BAR;
}

static double bar_size(const struct svg_bar *b, size_t nseries)
{
	double sum = 0;
	for (size_t k = 0; k < nseries; k++)
		sum += filled(b->v[k]);
	return sum;
}

static const char *largest_title(struct arena *a, const char *title, size_t most, const char *word,
				 size_t n)
{
	return report_printf(a, "%s: the %zu %s of %zu", title, most, word, n).p;
}

void svg_bars_largest(struct svg_bars *c, struct arena *a, size_t most, const char *word)
{
	if (c->n <= most)
		return;
	double *size = ARENA_ARRAY(a, c->n, double);
	for (size_t i = 0; i < c->n; i++)
		size[i] = bar_size(&c->bars[i], c->stacked ? c->nseries : 1);
	c->title = largest_title(a, c->title, most, word, c->n);
	c->bars = largest_of(a, c->bars, sizeof *c->bars, size, c->n, most);
	c->n = most;
}

void svg_bars(struct buf *out, const struct svg_bars *c)
{
	if (!c->n)
		return;
	struct arena a;
	arena_init(&a);
	double per = (WIDTH - ROOM) / bars_most(c);
	double each = LINE + (c->stacked ? BAR : (double)c->nseries * (BAR + 1)) + 7;
	struct str told =
	    report_printf(&a, "%zu bars in %s; the figures stand in the table.", c->n, c->unit);
	open_chart(out, c->id, c->title, c->unit);
	size_t number = 0;
	for (struct picture p = { 0 }; p.to < c->n; number++) {
		p = picture_of(p.to, c->n, number ? 0 : 2 * LINE, each);
		open_picture(out, c->id, number, c->title, p.height, told.p);
		double y = number ? 0 : legend(out, c->series, c->nseries, LINE - 5);
		for (size_t i = p.from; i < p.to; i++) {
			text_at(out, 0, y + 10, "", c->bars[i].label);
			y = draw_bar(out, &a, c, i, per, y + LINE - 1) + 7;
		}
		close_picture(out);
	}
	close_chart(out);
	arena_release(&a);
}

/* ---- ranges ---- */

static void ranges_axis(struct buf *out, struct arena *a, const struct svg_ranges *c, double most,
			double per, double y, double bottom)
{
	double step = pow(10, floor(log10(most * c->scale / 2)));
	while (most * c->scale / step > 6)
		step *= step * 2 < most * c->scale / 3 ? 2.5 : 2;
	for (double v = 0; v <= most * c->scale + 1e-9; v += step) {
		double x = v / c->scale * per;
		stroke(out, "grid", x, y + 4, x, bottom);
		text_at(out, x, y, v > 0 ? "middle" : "", number_text(a, v, step < 1 ? 1 : 0));
	}
}

static double ranges_most(const struct svg_ranges *c)
{
	double most = 0;
	for (size_t i = 0; i < c->n; i++) {
		const struct svg_range *r = &c->ranges[i];
		most = more_of(most, more_of(filled(r->high95), filled(r->high80)));
		most = more_of(most, more_of(filled(r->dot), filled(r->mark)));
	}
	return most > 0 ? most : 1 / c->scale;
}

static void draw_range(struct buf *out, const struct svg_range *r, double per, double y)
{
	if (isfinite(r->low95) && isfinite(r->high95))
		stroke(out, "wide", r->low95 * per, y, r->high95 * per, y);
	if (isfinite(r->low80) && isfinite(r->high80))
		stroke(out, "narrow", r->low80 * per, y, r->high80 * per, y);
	if (isfinite(r->dot))
		buf_printf(out, "<circle class=\"dot\" cx=\"%.2f\" cy=\"%.2f\" r=\"4\"/>\n",
			   r->dot * per, y);
	if (isfinite(r->mark))
		stroke(out, "mark", r->mark * per, y - 7, r->mark * per, y + 7);
}

void svg_ranges_largest(struct svg_ranges *c, struct arena *a, size_t most, const char *word)
{
	if (c->n <= most)
		return;
	double *size = ARENA_ARRAY(a, c->n, double);
	for (size_t i = 0; i < c->n; i++)
		size[i] = filled(c->ranges[i].dot);
	c->title = largest_title(a, c->title, most, word, c->n);
	c->ranges = largest_of(a, c->ranges, sizeof *c->ranges, size, c->n, most);
	c->n = most;
}

static void ranges_legend(struct buf *out, const struct svg_ranges *c)
{
	buf_text(out, "<circle class=\"dot\" cx=\"5\" cy=\"7\" r=\"4\"/>\n");
	text_at(out, 13, 11, "", str_of(c->dot));
	stroke(out, "mark", 93, 1, 93, 13);
	text_at(out, 99, 11, "", str_of(c->mark));
	stroke(out, "narrow", 182, 7, 202, 7);
	text_at(out, 207, 11, "", str_of(c->narrow));
	stroke(out, "wide", 292, 7, 312, 7);
	text_at(out, 317, 11, "", str_of(c->wide));
}

void svg_ranges(struct buf *out, const struct svg_ranges *c)
{
	if (!c->n)
		return;
	struct arena a;
	arena_init(&a);
	double each = LINE + 18, most = ranges_most(c), per = (WIDTH - 40) / most;
	struct str told = report_printf(
	    &a, "For %zu crops: the dot is %s, the upright line %s, the thick line %s, the thin line %s.",
	    c->n, c->dot, c->mark, c->narrow, c->wide);
	open_chart(out, c->id, c->title, c->unit);
	size_t number = 0;
	for (struct picture p = { 0 }; p.to < c->n; number++) {
		double head = number ? LINE : 2 * LINE;
		p = picture_of(p.to, c->n, head + LINE, each);
		open_picture(out, c->id, number, c->title, p.height, told.p);
		if (!number)
			ranges_legend(out, c);
		ranges_axis(out, &a, c, most, per, head - 5, p.height);
		for (size_t i = p.from; i < p.to; i++) {
			double y = head + (double)(i - p.from) * each;
			text_at(out, 0, y + 13, "", c->ranges[i].label);
			draw_range(out, &c->ranges[i], per, y + 24);
		}
		close_picture(out);
	}
	close_chart(out);
	arena_release(&a);
}

/* ---- standing columns over time ---- */

void svg_columns(struct buf *out, const struct svg_columns *c)
{
	enum { HIGH = 130 };
	if (!c->n)
		return;
	struct arena a;
	arena_init(&a);
	double most = filled(c->limit);
	for (size_t i = 0; i < c->n; i++) {
		double sum = 0;
		for (size_t k = 0; k < c->nseries; k++)
			sum += filled(c->columns[i].v[k]);
		most = more_of(most, sum);
	}
	most = most > 0 ? most : 1;
	double per = HIGH / most, step = (double)(WIDTH - 34) / (double)c->n, top = 2 * LINE + 4;
	double floor_y = top + HIGH;
	struct str told =
	    report_printf(&a, "%zu columns in %s; the figures stand in the table.", c->n, c->unit);
	open_chart(out, c->id, c->title, c->unit);
	open_picture(out, c->id, 0, c->title, floor_y + LINE + 4, told.p);
	legend(out, c->series, c->nseries, LINE - 5);
	text_at(out, 30, top + 4, "end", number_text(&a, most, most < 10 ? 1 : 0));
	text_at(out, 30, floor_y, "end", STR("0"));
	stroke(out, "grid", 34, floor_y, WIDTH, floor_y);
	for (size_t i = 0; i < c->n; i++) {
		double y = floor_y, x = 34 + (double)i * step;
		for (size_t k = 0; k < c->nseries; k++) {
			double h = filled(c->columns[i].v[k]) * per;
			rect(out, shade(k), x + step * 0.1, y - h, step * 0.8, h);
			y -= h;
		}
		if (c->columns[i].label.n)
			text_at(out, x + step / 2, floor_y + LINE - 3, "middle", c->columns[i].label);
	}
	if (isfinite(c->limit)) {
		double y = floor_y - c->limit * per;
		stroke(out, "mark", 34, y, WIDTH, y);
		text_at(out, WIDTH, y - 4, "end", str_of(c->limit_name));
	}
	close_picture(out);
	close_chart(out);
	arena_release(&a);
}

/* ---- lanes of a calendar ---- */

static void draw_lane(struct buf *out, const struct svg_lanes *c, size_t i, double per, double y)
{
	text_at(out, 0, y + 11, "", c->lanes[i].label);
	for (size_t k = 0; k < c->lanes[i].n; k++) {
		const struct svg_span *s = &c->lanes[i].spans[k];
		double w = (s->to - s->from) * per;
		rect(out, shade((size_t)s->kind), (s->from - c->first) * per, y + LINE - 1,
		     w < 3 ? 3 : w, BAR - 1);
	}
}

void svg_lanes(struct buf *out, const struct svg_lanes *c)
{
	if (!c->n || c->last <= c->first)
		return;
	struct arena a;
	arena_init(&a);
	double each = LINE + 14, per = WIDTH / (c->last - c->first);
	struct str told = report_printf(&a, "A lane for each of %zu; the days stand in the table.", c->n);
	open_chart(out, c->id, c->title, "");
	size_t number = 0;
	for (struct picture p = { 0 }; p.to < c->n; number++) {
		double head = (number ? LINE : 2 * LINE) + 4;
		p = picture_of(p.to, c->n, head + 4, each);
		open_picture(out, c->id, number, c->title, p.height, told.p);
		if (!number)
			legend(out, c->kinds, c->nkinds, LINE - 5);
		for (size_t i = 0; i < c->nticks; i++) {
			double x = (c->ticks[i].v[0] - c->first) * per;
			stroke(out, "grid", x, head - 8, x, p.height);
			text_at(out, x + 2, head - 6, "", c->ticks[i].label);
		}
		for (size_t i = p.from; i < p.to; i++)
			draw_lane(out, c, i, per, head + (double)(i - p.from) * each);
		close_picture(out);
	}
	close_chart(out);
	arena_release(&a);
}
