/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Text into HTML and SVG: whatever stands in a sheet or a log stays text. */
#ifndef FR_REPORT_HTML_H
#define FR_REPORT_HTML_H

#include <stdio.h>

/* Escapes & < > " ', replaces what is not UTF-8 and what is a control character (tab and line end
 * aside, which stay), and wraps nothing. Good inside elements and inside double-quoted values. */
void fr_html_text(FILE *out, const char *text);

#endif
