/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A chart as SVG by hand: small, text stays text, and every line differs from the others in colour,
 * in dash and by a mark of its own, so that no reader depends on colour. */
#include <math.h>
#include <string.h>

#include "report/chart.h"
#include "report/chart_axes.h"
#include "report/html.h"
#include "report/utf8.h"

/* Units of the drawing; text of 15 is still readable on a phone of 360 px. */
enum {
    WIDTH = 520,
    LEFT = 54,
    RIGHT = 14,
    TOP = 34,
    X_LABELS = 50,
    LEGEND_LINE = 21,
    LEGEND_LEFT = 20,
    LEGEND_COLUMNS = 2,
    NAME_COLUMNS = 25,
    STYLES = 10
};

static const double PLOT_WIDTH = WIDTH - LEFT - RIGHT;

/* Okabe and Ito's palette (2008), safe for colour-blind readers, darkened where needed to stand out
 * on white; on a dark page lightened. */
static const struct {
    const char *light;
    const char *dark;
    const char *dash; /* "" is a whole line */
} STYLE[STYLES] = {
    {"#0072b2", "#56b4e9", ""},        {"#b34a00", "#ff9d5c", "9 4"},
    {"#00795a", "#3fcf9f", "3 3"},     {"#a03a78", "#e79cc8", "12 4 3 4"},
    {"#6b5d00", "#e6d84a", "6 3 2 3"}, {"#2c5aa0", "#9ec1ff", "14 5"},
    {"#8a3b3b", "#f2a3a3", "2 4"},     {"#1f6f78", "#7fd6df", "9 3 3 3 3 3"},
    {"#5a4a9c", "#b9adf2", "5 2"},     {"#4d4d4d", "#bdbdbd", "1 3"},
};

static void write_colours(FILE *out, bool dark) {
    fprintf(out, "svg{--ink:%s;--faint:%s;--paper:%s}", dark ? "#e8e8e8" : "#1b1b1b",
            dark ? "#565656" : "#c9c9c9", dark ? "#161616" : "#ffffff");
    for (int i = 0; i < STYLES; i++) {
        fprintf(out, "svg .s%d{--c:%s}", i, dark ? STYLE[i].dark : STYLE[i].light);
    }
}

void fr_chart_write_css(FILE *out) {
    write_colours(out, false);
    fputs("svg text{font:15px system-ui,sans-serif;fill:var(--ink)}"
          "svg .name{font-size:14px}"
          "svg .grid{stroke:var(--faint);stroke-width:1}"
          "svg .axis{stroke:var(--ink);stroke-width:1.2}"
          "svg .line{fill:none;stroke:var(--c);stroke-width:2.4;stroke-linejoin:round}"
          "svg .demand{stroke-width:4;stroke-dasharray:none!important}svg "
          ".level{stroke-width:2;stroke-dasharray:7 4!important}"
          "svg .area{fill:var(--c);fill-opacity:.14;stroke:none}"
          "svg .mark{fill:var(--paper);stroke:var(--c);stroke-width:2}"
          "svg .bar{fill:var(--c)}",
          out);
    for (int i = 0; i < STYLES; i++) {
        if (*STYLE[i].dash != '\0') {
            fprintf(out, "svg .s%d{stroke-dasharray:%s}", i, STYLE[i].dash);
        }
    }
    fputs("svg .area,svg .mark,svg .bar{stroke-dasharray:none}"
          "@media (prefers-color-scheme:dark){",
          out);
    write_colours(out, true);
    fputs("}@media print{", out);
    write_colours(out, false);
    fputs("}", out);
}

/* ---- places ---- */

typedef struct plot {
    FILE *out;
    const fr_chart *chart;
    fr_axis x, y;
    double height; /* of the plot */
} plot;

static double px(const plot *at, double x) {
    return LEFT + PLOT_WIDTH * (x - at->x.from) / (at->x.to - at->x.from);
}

static double py(const plot *at, double y) {
    const double shown = y > at->y.to ? at->y.to : y < at->y.from ? at->y.from : y;
    return TOP + at->height * (1.0 - (shown - at->y.from) / (at->y.to - at->y.from));
}

/* What has no value, or lies beyond the picture, leaves a gap: a line along the edge would lie. */
static bool drawn(const plot *at, double y) {
    return isfinite(y) && y <= at->y.to * (1.0 + 1e-9);
}

static bool any_drawn(const plot *at, const fr_series *series) {
    for (size_t i = 0; i < series->count; i++) {
        if (drawn(at, series->y[i])) {
            return true;
        }
    }
    return false;
}

static bool any_finite(const fr_series *series) {
    for (size_t i = 0; i < series->count; i++) {
        if (isfinite(series->y[i])) {
            return true;
        }
    }
    return false;
}

/* ---- axes ---- */

static void write_y_axis(const plot *at) {
    fputs("<text x=\"2\" y=\"17\">", at->out);
    fr_html_text(at->out, at->chart->y_label);
    fputs("</text>\n", at->out);
    const int steps = (int)lround((at->y.to - at->y.from) / at->y.step);
    for (int i = 0; i <= steps; i++) {
        const double value = at->y.from + i * at->y.step;
        const double y = py(at, value);
        fprintf(at->out, "<path class=\"grid\" d=\"M%d %.1fH%d\"/>", LEFT, y, WIDTH - RIGHT);
        fprintf(at->out, "<text x=\"%d\" y=\"%.1f\" text-anchor=\"end\">%.*f</text>\n", LEFT - 7,
                y + 5.0, at->y.decimals, value);
    }
}

static void write_x_axis(const plot *at) {
    const double base = TOP + at->height;
    const double first = ceil(at->x.from / at->x.step - 1e-9) * at->x.step;
    fprintf(at->out, "<path class=\"axis\" d=\"M%d %.1fH%d\"/>", LEFT, base, WIDTH - RIGHT);
    const int ticks = (int)floor((at->x.to - first) / at->x.step + 1e-9);
    for (int i = 0; i <= ticks; i++) {
        const double value = first + i * at->x.step + 0.0; /* + 0: no "-0" */
        const double x = px(at, value);
        /* a label at the very end stays inside the picture */
        const char *anchor = x > WIDTH - RIGHT - 18 ? "end" : "middle";
        fprintf(at->out, "<path class=\"axis\" d=\"M%.1f %.1fv5\"/>", x, base);
        fprintf(at->out, "<text x=\"%.1f\" y=\"%.1f\" text-anchor=\"%s\">%.*f</text>\n",
                x > WIDTH - RIGHT - 18 ? WIDTH - 2.0 : x, base + 23.0, anchor, at->x.decimals,
                value);
    }
    fprintf(at->out, "<text x=\"%.1f\" y=\"%.1f\" text-anchor=\"middle\">", LEFT + PLOT_WIDTH / 2.0,
            base + 43.0);
    fr_html_text(at->out, at->chart->x_label);
    fputs("</text>\n", at->out);
}

/* ---- series ---- */

/* The point where the line from i - 1 to i crosses the upper edge. */
static void write_crossing(const plot *at, const fr_series *series, size_t i, char pen) {
    const double y0 = series->y[i - 1], y1 = series->y[i];
    const double t = (at->y.to - y0) / (y1 - y0);
    const double x = series->x[i - 1] + t * (series->x[i] - series->x[i - 1]);
    fprintf(at->out, "%c%.1f %.1f", pen, px(at, x), py(at, at->y.to));
}

/* A line that leaves the picture goes up to its edge, and comes back from there. */
static void write_path(const plot *at, const fr_series *series) {
    bool pen_down = false;
    for (size_t i = 0; i < series->count; i++) {
        const bool inside = drawn(at, series->y[i]);
        const bool follows = i > 0 && isfinite(series->y[i]) && isfinite(series->y[i - 1]);
        if (inside != pen_down && follows) {
            write_crossing(at, series, i, pen_down ? 'L' : 'M');
        }
        if (inside) {
            fprintf(at->out, "%c%.1f %.1f", pen_down || follows ? 'L' : 'M', px(at, series->x[i]),
                    py(at, series->y[i]));
        }
        pen_down = inside;
    }
}

static void write_area(const plot *at, const fr_series *series) {
    const double base = TOP + at->height;
    if (series->count < 2) {
        return;
    }
    fprintf(at->out, "<path class=\"area s%zu\" d=\"M%.1f %.1f", series->style % STYLES,
            px(at, series->x[0]), base);
    for (size_t i = 0; i < series->count; i++) {
        if (isfinite(series->y[i])) {
            fprintf(at->out, "L%.1f %.1f", px(at, series->x[i]), py(at, series->y[i]));
        }
    }
    fprintf(at->out, "L%.1f %.1fZ\"/>\n", px(at, series->x[series->count - 1]), base);
}

/* Marks differ by shape: circle, square, triangle, diamond. */
static void write_mark(FILE *out, size_t style, double x, double y) {
    static const double R = 4.5;
    switch (style % 4) {
    case 0:
        fprintf(out, "<circle class=\"mark s%zu\" cx=\"%.1f\" cy=\"%.1f\" r=\"%.1f\"/>",
                style % STYLES, x, y, R);
        return;
    case 1:
        fprintf(out, "<path class=\"mark s%zu\" d=\"M%.1f %.1fh9v9h-9z\"/>", style % STYLES, x - R,
                y - R);
        return;
    case 2:
        fprintf(out, "<path class=\"mark s%zu\" d=\"M%.1f %.1fl5 9h-10z\"/>", style % STYLES, x,
                y - R - 1.0);
        return;
    default:
        fprintf(out, "<path class=\"mark s%zu\" d=\"M%.1f %.1fl5.5 5.5-5.5 5.5-5.5-5.5z\"/>",
                style % STYLES, x, y - R - 1.0);
    }
}

/* A mark every so often, begun at another place for each series so that they do not hide; points
 * that lie on each other are marked once. */
static void write_marks(const plot *at, const fr_series *series, size_t index) {
    static const double APART = 8.0;
    const bool points = series->kind == FR_SERIES_POINTS;
    const size_t every = points || series->count < 9 ? 1 : series->count / 4;
    const size_t first = every == 1 ? 0 : (index * 2 + 1) % every;
    double last_x = -INFINITY, last_y = -INFINITY;
    for (size_t i = first; i < series->count; i += every) {
        const double x = px(at, series->x[i]), y = py(at, series->y[i]);
        if (drawn(at, series->y[i]) && (!points || hypot(x - last_x, y - last_y) >= APART)) {
            write_mark(at->out, series->style, x, y);
            last_x = x;
            last_y = y;
        }
    }
}

static void write_bars(const plot *at, const fr_series *series) {
    const double width = 0.6 * PLOT_WIDTH / (double)(series->count > 1 ? series->count : 2);
    for (size_t i = 0; i < series->count; i++) {
        if (isfinite(series->y[i])) {
            const double y = py(at, series->y[i]);
            fprintf(at->out,
                    "<rect class=\"bar s%zu\" x=\"%.1f\" y=\"%.1f\" width=\"%.1f\" "
                    "height=\"%.1f\"/>",
                    series->style % STYLES, px(at, series->x[i]) - width / 2.0, y, width,
                    TOP + at->height - y);
        }
    }
}

static void write_series(const plot *at, const fr_series *series, size_t index) {
    const size_t style = series->style % STYLES;
    switch (series->kind) {
    case FR_SERIES_LEVEL:
        if (isfinite(series->y[0])) {
            fprintf(at->out, "<path class=\"line level s%zu\" d=\"M%d %.1fH%d\"/>\n", style, LEFT,
                    py(at, series->y[0]), WIDTH - RIGHT);
        }
        return;
    case FR_SERIES_BARS:
        write_bars(at, series);
        return;
    case FR_SERIES_DEMAND:
        write_area(at, series);
        break;
    case FR_SERIES_LINE:
    case FR_SERIES_POINTS:
        break;
    }
    if (series->kind != FR_SERIES_POINTS) {
        fprintf(at->out, "<path class=\"line%s s%zu\" d=\"",
                series->kind == FR_SERIES_DEMAND ? " demand" : "", style);
        write_path(at, series);
        fputs("\"/>\n", at->out);
    }
    write_marks(at, series, index);
    fputs("\n", at->out);
}

/* ---- legend ---- */

static void write_swatch(const plot *at, const fr_series *series, double x, double y) {
    const size_t style = series->style % STYLES;
    if (series->kind == FR_SERIES_BARS) {
        fprintf(at->out,
                "<rect class=\"bar s%zu\" x=\"%.1f\" y=\"%.1f\" width=\"26\" height=\"10\"/>",
                style, x, y - 9.0);
        return;
    }
    if (series->kind != FR_SERIES_POINTS) {
        fprintf(at->out, "<path class=\"line%s s%zu\" d=\"M%.1f %.1fh28\"/>",
                series->kind == FR_SERIES_DEMAND  ? " demand"
                : series->kind == FR_SERIES_LEVEL ? " level"
                                                  : "",
                style, x, y - 5.0);
    }
    if (series->kind != FR_SERIES_LEVEL) {
        write_mark(at->out, series->style, x + 14.0, y - 5.0);
    }
}

static void write_legend(const plot *at) {
    const double column = (WIDTH - LEGEND_LEFT) / (double)LEGEND_COLUMNS;
    for (size_t i = 0; i < at->chart->series_count; i++) {
        char name[FR_CHART_TEXT_MAX];
        const double x = LEGEND_LEFT + column * (double)(i % LEGEND_COLUMNS);
        const size_t row = i / LEGEND_COLUMNS + 1;
        const double y = TOP + at->height + X_LABELS + LEGEND_LINE * (double)row;
        write_swatch(at, &at->chart->series[i], x, y);
        /* nothing of it in the picture: the eye need not search */
        const char *where = any_drawn(at, &at->chart->series[i]) ? ""
                            : any_finite(&at->chart->series[i])  ? ", above"
                                                                 : ", none";
        fr_text_fit(at->chart->series[i].name, NAME_COLUMNS - strlen(where), name, sizeof name);
        fprintf(at->out, "<text class=\"name\" x=\"%.1f\" y=\"%.1f\">", x + 35.0, y);
        fr_html_text(at->out, name);
        fprintf(at->out, "%s</text>\n", where);
    }
}

void fr_chart_write_svg(FILE *out, const fr_chart *chart, const char *id, bool standalone) {
    const plot at = {out, chart, fr_chart_x_axis(chart), fr_chart_y_axis(chart),
                     chart->plot_height > 0 ? chart->plot_height : FR_CHART_PLOT_USUAL};
    const size_t legend_lines = (chart->series_count + LEGEND_COLUMNS - 1) / LEGEND_COLUMNS;
    const size_t height = TOP + (size_t)at.height + X_LABELS + LEGEND_LINE * legend_lines + 10;
    fprintf(out,
            "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 %d %zu\" role=\"img\" "
            "aria-labelledby=\"%s-t %s-d\">",
            WIDTH, height, id, id);
    fprintf(out, "<title id=\"%s-t\">", id);
    fr_html_text(out, chart->title);
    fprintf(out, "</title><desc id=\"%s-d\">", id);
    fr_html_text(out, chart->desc);
    fputs("</desc>\n", out);
    if (standalone) {
        fputs("<style>", out);
        fr_chart_write_css(out);
        fprintf(out, "</style><rect width=\"%d\" height=\"%zu\" style=\"fill:var(--paper)\"/>\n",
                WIDTH, height);
    }
    write_y_axis(&at);
    write_x_axis(&at);
    for (size_t i = 0; i < chart->series_count; i++) {
        write_series(&at, &chart->series[i], i);
    }
    write_legend(&at);
    fputs("</svg>\n", out);
}
