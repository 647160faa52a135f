/* html.h - inside src/report/page only: escaped text, and a report's table as HTML.
 *
 * Everything of the farm goes through html_text(): it is data, never markup.  Controls
 * and marks that hide or reorder text come out as on the terminal (buf_visible).
 */
#ifndef REPORT_PAGE_HTML_H
#define REPORT_PAGE_HTML_H

#include "report/report.h"

void html_text(struct buf *out, struct str s); /* fit for content and quoted attributes */
/* Tag with text in it; `tag` and `attributes` are ours ("" for none). */
void html_line(struct buf *out, const char *tag, const char *attributes, struct str s);
/* caption: also a heading for screen readers.  Nothing for a table without rows and
 * without an `empty` sentence. */
void html_table(struct buf *out, const struct table *t);

#endif
