/* frame.h - inside src/report/page only: the page around its sections. */
#ifndef REPORT_PAGE_FRAME_H
#define REPORT_PAGE_FRAME_H

#include "base/buf.h"
#include "base/date.h"
#include "base/str.h"

struct frame_link {
	const char *id, *title;
};
/* Up to the first section: head, style, title, links to the sections. */
void frame_open(struct buf *out, struct str farm, day on, const struct frame_link *links, size_t n);
/* From the last section: the script, the end. */
void frame_close(struct buf *out);

#endif
