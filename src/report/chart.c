/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A chart's figures, and the table that says the same as its picture. */
#include "report/chart.h"

#include <math.h>
#include <string.h>

#include "report/html.h"

fr_series *fr_chart_add(fr_chart *chart, fr_series_kind kind, size_t style, const char *name) {
    if (chart->series_count == FR_CHART_SERIES_MAX) {
        return NULL;
    }
    fr_series *series = &chart->series[chart->series_count++];
    series->kind = kind;
    series->style = style;
    series->count = 0;
    snprintf(series->name, sizeof series->name, "%s", name);
    return series;
}

void fr_series_add(fr_series *series, double x, double y) {
    if (series != NULL && series->count < FR_CHART_POINTS_MAX) {
        series->x[series->count] = x;
        series->y[series->count++] = y;
    }
}

/* ---- the table ---- */

/* Every x of any series, rising. */
static size_t all_x(const fr_chart *chart, double x[FR_CHART_POINTS_MAX]) {
    size_t count = 0;
    for (size_t s = 0; s < chart->series_count; s++) {
        const fr_series *series = &chart->series[s];
        for (size_t i = 0; i < series->count && series->kind != FR_SERIES_LEVEL; i++) {
            size_t at = 0;
            while (at < count && x[at] < series->x[i]) {
                at++;
            }
            if ((at < count && x[at] == series->x[i]) || count == FR_CHART_POINTS_MAX) {
                continue;
            }
            memmove(&x[at + 1], &x[at], (count - at) * sizeof *x);
            x[at] = series->x[i];
            count++;
        }
    }
    return count;
}

static double y_at(const fr_series *series, double x) {
    if (series->kind == FR_SERIES_LEVEL) {
        return series->y[0];
    }
    for (size_t i = 0; i < series->count; i++) {
        if (series->x[i] == x) {
            return series->y[i];
        }
    }
    return NAN;
}

void fr_chart_write_table(FILE *out, const fr_chart *chart) {
    double x[FR_CHART_POINTS_MAX];
    const size_t count = all_x(chart, x);
    fputs("<div class=\"scroll\" tabindex=\"0\" role=\"region\" aria-label=\"", out);
    fr_html_text(out, chart->title);
    fputs(", as a table\"><table><caption>", out);
    fr_html_text(out, chart->title);
    fputs("; ", out);
    fr_html_text(out, chart->y_label);
    fputs("</caption><thead><tr><th scope=\"col\">", out);
    fr_html_text(out, chart->x_label);
    fputs("</th>", out);
    for (size_t s = 0; s < chart->series_count; s++) {
        fputs("<th scope=\"col\">", out);
        fr_html_text(out, chart->series[s].name);
        fputs("</th>", out);
    }
    fputs("</tr></thead><tbody>\n", out);
    for (size_t i = 0; i < count; i++) {
        fprintf(out, "<tr><th scope=\"row\">%.*f</th>", chart->x_decimals, x[i]);
        for (size_t s = 0; s < chart->series_count; s++) {
            const double y = y_at(&chart->series[s], x[i]);
            if (isfinite(y)) {
                fprintf(out, "<td>%.*f</td>", chart->y_decimals, y);
            } else {
                fputs("<td>&ndash;</td>", out);
            }
        }
        fputs("</tr>\n", out);
    }
    fputs("</tbody></table></div>\n", out);
}
