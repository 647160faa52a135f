/* page.h - one self-contained HTML page: to read on a phone, to print as cards and lists.
 *
 * Everything stands in the file: style, charts (svg.h) and a little script that filters;
 * without scripts nothing is missing.  The page asks no network for anything, and says so
 * to the browser.  All texts of the farm are escaped (html.h).  The tables are those of
 * the commands, built by the same of_*.c: this never reckons.
 */
#ifndef REPORT_PAGE_PAGE_H
#define REPORT_PAGE_PAGE_H

#include "base/buf.h"
#include "report/of.h"

struct page_view { /* what was reckoned; all borrowed */
	const struct view *view;
	const struct mix_view *mix; /* NULL: without a mix */
	const struct pull *pull;    /* of that mix; NULL: without a pull list */
	const struct pull *pull_today; /* without --suppose; NULL: not shown */
	const struct plan *plan;     /* NULL: no targets, no orders that have to be grown for */
	const struct hang *hang, *next; /* the drying line, this season and by the plan; NULL */
	const struct sway *sway;     /* what matters most; NULL: not looked for */
	const struct report *report; /* what --suppose changed */
};
/* 0, or -1 when the page is too large. */
int page_render(const struct page_view *v, struct arena *a, struct buf *out);

#endif
