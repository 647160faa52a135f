/* text.h - what the text renderer shares with other plain texts (help). */
#ifndef REPORT_TEXT_H
#define REPORT_TEXT_H

#include "base/str.h"

/* Cuts the next line of at most `width` columns off *rest, at a blank if one is
 * there; a single character that is wider goes alone. */
struct str text_wrap(struct str *rest, size_t width);

#endif
