/* verify.h - is a workbook that was just written whole?
 *
 * The workbook library can return success and leave a cut file behind when a disk
 * or a folder for temporaries is full.  So the finished file is read back: the
 * ZIP's central directory (PKWARE APPNOTE 6.3, sections 4.3.7, 4.3.12, 4.3.16),
 * every member inflated, its length and CRC-32 compared, and every XML part's tags
 * counted: they close in the end, and nothing but blanks follows.  One part at a time is
 * held unpacked.
 */
#ifndef REPORT_WORKBOOK_VERIFY_H
#define REPORT_WORKBOOK_VERIFY_H

#include "base/str.h"

/* 0; or -1 and a sentence in why (no newline, cut to `room`). */
int verify_book(struct str file, char *why, size_t room);
int verify_file(const char *path, char *why, size_t room);

#endif
