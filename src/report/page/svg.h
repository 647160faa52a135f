/* svg.h - inside src/report/page only: charts as inline SVG, which need no script.
 *
 * A chart has a title and a sentence for those who cannot see it; series are told apart
 * by their order and their legend too, never by colour alone, and the figures stand in a
 * table beside it.
 */
#ifndef REPORT_PAGE_SVG_H
#define REPORT_PAGE_SVG_H

#include "report/report.h"

enum { SVG_SERIES_MOST = 4 };

struct svg_bar {
	struct str label;
	double v[SVG_SERIES_MOST]; /* NaN: none */
};
struct svg_bars {
	const char *id;    /* of the element, unique in the page */
	const char *title; /* "What one of each piece costs to make" */
	const char *unit;  /* "EUR", "stems" */
	int decimals;
	bool stacked; /* the series one behind the other; else one below the other */
	const char *series[SVG_SERIES_MOST];
	size_t nseries;
	struct svg_bar *bars;
	size_t n;
};
/* Lying bars, each under its label.  Nothing without bars. */
void svg_bars(struct buf *out, const struct svg_bars *c);
/* The `most` largest, the largest first, where there are more: by the sum of stacked series,
 * else by the first one.  Then the title ends in "the 24 `word` of 300". */
void svg_bars_largest(struct svg_bars *c, struct arena *a, size_t most, const char *word);

struct svg_range {
	struct str label;
	double low95, high95, low80, high80; /* NaN: not known */
	double dot, mark;                    /* measured, assumed; NaN */
};
struct svg_ranges {
	const char *id, *title, *unit;
	double scale; /* shown = value x scale */
	const char *wide, *narrow, *dot, *mark; /* legend */
	struct svg_range *ranges;
	size_t n;
};
void svg_ranges(struct buf *out, const struct svg_ranges *c);
/* Likewise, by what the dots say. */
void svg_ranges_largest(struct svg_ranges *c, struct arena *a, size_t most, const char *word);

struct svg_column {
	struct str label; /* below it; empty: none */
	double v[SVG_SERIES_MOST];
};
struct svg_columns { /* standing, stacked, over time */
	const char *id, *title, *unit;
	const char *series[SVG_SERIES_MOST];
	size_t nseries;
	double limit; /* a line across; NaN none */
	const char *limit_name;
	struct svg_column *columns;
	size_t n;
};
void svg_columns(struct buf *out, const struct svg_columns *c);

struct svg_span { /* from..to of the axis; from == to is a mark */
	double from, to;
	int kind; /* into kinds */
};
struct svg_lane {
	struct str label;
	struct svg_span *spans;
	size_t n;
};
struct svg_lanes { /* a calendar: a lane for each crop */
	const char *id, *title;
	const char *kinds[SVG_SERIES_MOST];
	size_t nkinds;
	double first, last; /* of the axis */
	struct svg_column *ticks; /* v[0] on the axis, with its label */
	size_t nticks;
	struct svg_lane *lanes;
	size_t n;
};
void svg_lanes(struct buf *out, const struct svg_lanes *c);

#endif
