/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Which blends a chart shows, and what they are called in it. */
#include "report/chart_inside.h"
#include "report/format.h"

/* Up to FR_CHART_BLENDS_SHOWN blends, spread over the list, the weakest always among them. */
size_t fr_chart_shown_blends(const fr_check_result *result, size_t shown[FR_CHART_BLENDS_SHOWN]) {
    const size_t all = result->blend_count;
    const size_t count = all < FR_CHART_BLENDS_SHOWN ? all : FR_CHART_BLENDS_SHOWN;
    const size_t weakest = fr_weakest_blend(result);
    bool has_weakest = false;
    for (size_t i = 0; i < count; i++) {
        shown[i] = count == 1 ? 0 : i * (all - 1) / (count - 1);
        has_weakest = has_weakest || shown[i] == weakest;
    }
    if (!has_weakest) {
        size_t nearest = 0;
        for (size_t i = 1; i < count; i++) {
            const size_t gap = shown[i] > weakest ? shown[i] - weakest : weakest - shown[i];
            const size_t best =
                shown[nearest] > weakest ? shown[nearest] - weakest : weakest - shown[nearest];
            nearest = gap < best ? i : nearest;
        }
        shown[nearest] = weakest;
    }
    return count;
}

void fr_chart_blend_name(double ethanol, const char *before, const char *behind, char *name,
                         size_t size) {
    char blend[FR_BLEND_NAME_MAX];
    fr_blend_name(ethanol, blend);
    snprintf(name, size, "%s%s%s", before, blend, behind);
}
