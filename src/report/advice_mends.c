/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The changes that mend a stage, each as a thing that one can buy, set or measure. */
#include <math.h>

#include "report/advice.h"
#include "report/document_words.h"
#include "report/format.h"
#include "report/stage_words.h"

/* n-Heptane at 20 degC (Span & Wagner 2003): the fluid in which injectors are rated. */
static const double HEPTANE_KG_M3 = 683.8;

typedef struct mend_view {
    const fr_check_document *document;
    const fr_point *point; /* where the stage is worst; null when said for all of them together */
    fr_units units;
} mend_view;

typedef double convert_function(const fr_build *build, double value);
typedef void suffix_function(fr_words *words, const mend_view *at);

/* A rating as volume of n-heptane from the static mass flow of the injector's own test fluid:
 * flow through a hole goes with the root of density. */
static double as_heptane(double kg_s, double test_density) {
    return kg_s / sqrt(test_density * HEPTANE_KG_M3);
}

static double port_rating(const fr_build *build, double kg_s) {
    return as_heptane(kg_s, build->port.test_density_kg_m3);
}

static double direct_rating(const fr_build *build, double kg_s) {
    return as_heptane(kg_s, build->direct.test_density_kg_m3);
}

static void pump_conditions(fr_words *words, const mend_view *at) {
    fr_words_add(words, " at ");
    fr_show(words, FR_MEASURE_PRESSURE, at->units, at->point->pump_rise_pa, FR_UP);
    fr_words_add(words, " and ");
    fr_show(words, FR_MEASURE_VOLTAGE, at->units, at->point->pump_voltage_v, FR_DOWN);
}

static void port_test(fr_words *words, const mend_view *at) {
    fr_words_add(words, " at ");
    fr_show(words, FR_MEASURE_PRESSURE, at->units, at->document->build->port.test_pressure_pa,
            FR_NEAREST);
}

static void direct_test(fr_words *words, const mend_view *at) {
    fr_words_add(words, " at ");
    fr_show(words, FR_MEASURE_RAIL_PRESSURE, at->units,
            at->document->build->direct.test_pressure_pa, FR_NEAREST);
}

static void a_cam_turn(fr_words *words, const mend_view *at) {
    fr_words_add(words, " a cam turn");
    if (at->document->build->direct.pump_count > 1)
        fr_words_add(words, " each");
}

static void inside(fr_words *words, const mend_view *at) {
    (void)at;
    fr_words_add(words, " inside");
}

static void other_lines(fr_words *words, const mend_view *at) {
    if (at->document->build->feed.line_count > 1)
        fr_words_add(words, " at its first part and the others wider in proportion");
}

static void at_its_highest(fr_words *words, const mend_view *at) {
    if (at->document->build->direct.rail_command_pa.count > 1)
        fr_words_add(words, " at its highest, the rest in proportion");
}

static void at_a_cost(fr_words *words, const mend_view *at) {
    (void)at;
    fr_words_add(words, ", which asks more of the lift pump");
}

static void with_wire(fr_words *words, const mend_view *at) {
    (void)at;
    fr_words_add(words, ", with wire that carries it");
}

/* A row a lever: what stands before the figure, in what it is shown, and what stands behind it and
 * behind what the build has now. */
static const struct {
    const char *thing;
    const char *things; /* with several lift pumps; null: the same */
    fr_measure measure;
    convert_function *convert;
    suffix_function *condition;
    suffix_function *remark;
} lever_words[FR_LEVER_COUNT] = {
    [FR_LEVER_LIFT_FLOW] = {.thing = "a pump that gives ",
                            .things = "pumps that give ",
                            .measure = FR_MEASURE_PUMP_FLOW,
                            .condition = pump_conditions},
    [FR_LEVER_WIRING] = {.thing = "wiring of at most ",
                         .things = "wiring to each pump of at most ",
                         .measure = FR_MEASURE_RESISTANCE},
    [FR_LEVER_FUSE] = {.thing = "a fuse of at least ",
                       .things = "fuses of at least ",
                       .measure = FR_MEASURE_CURRENT,
                       .remark = with_wire},
    [FR_LEVER_TANK_TEMPERATURE] = {.thing = "a tank no warmer than ",
                                   .measure = FR_MEASURE_TEMPERATURE},
    [FR_LEVER_LINE_BORE] = {.thing = "a feed line of ",
                            .measure = FR_MEASURE_BORE,
                            .condition = inside,
                            .remark = other_lines},
    [FR_LEVER_FEED_PRESSURE] = {.thing = "a feed pressure of ",
                                .measure = FR_MEASURE_PRESSURE,
                                .remark = at_a_cost},
    [FR_LEVER_PORT_FLOW] = {.thing = "port injectors of ",
                            .measure = FR_MEASURE_PORT_FLOW,
                            .convert = port_rating,
                            .condition = port_test},
    [FR_LEVER_DIRECT_FLOW] = {.thing = "direct injectors of ",
                              .measure = FR_MEASURE_DIRECT_FLOW,
                              .convert = direct_rating,
                              .condition = direct_test},
    [FR_LEVER_RAIL_COMMAND] = {.thing = "a rail pressure command of ",
                               .measure = FR_MEASURE_RAIL_PRESSURE,
                               .condition = at_its_highest},
    [FR_LEVER_HP_DISPLACEMENT] = {.thing = "a high-pressure pump of ",
                                  .measure = FR_MEASURE_CAM_VOLUME,
                                  .condition = a_cam_turn},
    [FR_LEVER_DIRECT_SHARE] = {.thing = "a direct share of at most ",
                               .measure = FR_MEASURE_PERCENT},
};

/* With all changes fitted the pump works elsewhere on its curve: a share says what it needs. */
static void show_more_flow(fr_words *words, const fr_build *build, const fr_mend *mend) {
    static const double many_times = 3;
    const char *pump = fr_lift_pump_count(build) > 1 ? "lift pumps" : "lift pump";
    if (mend->factor > many_times)
        fr_words_add(words, "%.1f times the flow from the %s", fr_round_to(mend->factor, 1, FR_UP),
                     pump);
    else
        fr_words_add(words, "%.0f %% more flow from the %s",
                     fr_round_to(100.0 * (mend->factor - 1.0), 0, FR_UP), pump);
}

/* A figure as people buy it; `now`: what the build has. */
static double figure_of(const mend_view *at, const fr_mend *mend, bool now) {
    convert_function *convert = lever_words[mend->lever].convert;
    const double value = now ? mend->has : mend->needs;
    return convert == NULL ? value : convert(at->document->build, value);
}

static void show_needed(fr_words *words, const mend_view *at, const fr_mend *mend) {
    const fr_build *build = at->document->build;
    const char *things = lever_words[mend->lever].things;
    bool many = things != NULL && fr_lift_pump_count(build) > 1;
    const double needs = figure_of(at, mend, false);
    /* Away from what the build has: a figure that is bought must not fall short of what is needed.
     */
    fr_rounding rounding = needs < figure_of(at, mend, true) ? FR_DOWN : FR_UP;
    fr_words_add(words, "%s", many ? things : lever_words[mend->lever].thing);
    fr_show(words, lever_words[mend->lever].measure, at->units, needs, rounding);
    if (lever_words[mend->lever].condition != NULL)
        lever_words[mend->lever].condition(words, at);
}

static void show_remark(fr_words *words, const mend_view *at, const fr_mend *mend) {
    if (lever_words[mend->lever].remark != NULL)
        lever_words[mend->lever].remark(words, at);
}

static fr_rounding now_rounding(const fr_mend *mend) {
    return mend->lever == FR_LEVER_LIFT_FLOW ? FR_DOWN : FR_NEAREST;
}

static void show_mend(fr_words *words, const mend_view *at, const fr_mend *mend) {
    const double has = figure_of(at, mend, true);
    if (mend->lever == FR_LEVER_LIFT_FLOW && at->point == NULL) {
        show_more_flow(words, at->document->build, mend);
        return;
    }
    show_needed(words, at, mend);
    if (isfinite(has)) {
        fr_words_add(words, " (now ");
        fr_show_bare(words, lever_words[mend->lever].measure, at->units, has, now_rounding(mend));
        fr_words_add(words, ")");
    }
    show_remark(words, at, mend);
}

static bool mends(const fr_mend *mend) {
    return mend->lever != FR_LEVER_NONE && isfinite(mend->needs);
}

static size_t count_mends(const fr_mend *list, size_t count) {
    size_t found = 0;
    for (size_t i = 0; i < count; i++)
        found += mends(&list[i]);
    return found;
}

static void show_list(fr_words *words, const mend_view *at, const fr_mend *list, size_t count,
                      const char *between, const char *last) {
    size_t found = count_mends(list, count);
    for (size_t i = 0, shown = 0; i < count; i++) {
        if (!mends(&list[i]))
            continue;
        fr_words_add(words, "%s", shown == 0 ? "" : shown + 1 == found ? last : between);
        show_mend(words, at, &list[i]);
        shown++;
    }
}

/* A mend of another stage that brings at least as much of the same thing. */
static bool covered_by(const fr_mended_stage *other, const fr_mend *mend) {
    for (size_t i = 0; i < other->mend_count; i++)
        if (other->mends[i].lever == mend->lever && other->mends[i].factor >= mend->factor)
            return true;
    return false;
}

/* What is wrong with the injection pressure is mostly wrong with the pump or the injectors, and
 * what mends them mends it. */
static size_t parts_that_mend(const fr_check_document *document, const fr_mended_stage *mended,
                              const char *subjects[2]) {
    static const fr_stage parts[] = {FR_STAGE_DIRECT_INJECTOR, FR_STAGE_HIGH_PRESSURE_PUMP};
    size_t count = 0;
    bool covered = count_mends(mended->mends, mended->mend_count) == 0;
    if (mended->stage != FR_STAGE_DIRECT_PRESSURE || !document->mends->together_clear)
        return 0;
    for (size_t i = 0; i < 2; i++) {
        const fr_mended_stage *part = fr_mends_of(document, parts[i]);
        if (part == NULL || count_mends(part->mends, part->mend_count) == 0)
            continue;
        covered = covered || covered_by(part, &mended->mends[0]);
        subjects[count++] = fr_stage_words_of(parts[i], document->build)->subject;
    }
    return covered ? count : 0;
}

static mend_view view_of(const fr_check_document *document, const fr_mended_stage *mended,
                         fr_units units) {
    const fr_blend_result *blend = &document->result->blends[mended->blend];
    const fr_stage_result *stage = fr_stage_on(blend, mended->stage);
    return (mend_view){document, stage == NULL ? NULL : fr_worst_point(blend, stage), units};
}

size_t fr_advice_needs(const fr_check_document *document, const fr_mended_stage *mended,
                       fr_units units, size_t index, fr_words *needs, fr_words *has) {
    const mend_view at = view_of(document, mended, units);
    const char *parts[2];
    const size_t count = parts_that_mend(document, mended, parts) > 0
                             ? 0
                             : count_mends(mended->mends, mended->mend_count);
    for (size_t i = 0, found = 0; count > 0 && i < mended->mend_count; i++) {
        const fr_mend *mend = &mended->mends[i];
        if (!mends(mend) || found++ != index)
            continue;
        const double now = figure_of(&at, mend, true);
        show_needed(needs, &at, mend);
        show_remark(needs, &at, mend);
        if (isfinite(now))
            fr_show(has, lever_words[mend->lever].measure, units, now, now_rounding(mend));
    }
    return count;
}

void fr_advice_mends(fr_words *words, const fr_check_document *document,
                     const fr_mended_stage *mended, fr_units units) {
    const mend_view at = view_of(document, mended, units);
    const char *parts[2];
    size_t part_count = parts_that_mend(document, mended, parts);
    if (part_count > 0) {
        fr_words_add(words, "Mended by what mends %s%s%s.", parts[0], part_count > 1 ? " and " : "",
                     part_count > 1 ? parts[1] : "");
        return;
    }
    if (count_mends(mended->mends, mended->mend_count) == 0) {
        fr_words_add(words, "No single change mends it.");
        return;
    }
    fr_words_add(words, "Needs ");
    show_list(words, &at, mended->mends, mended->mend_count, ", or ", ", or ");
    fr_words_add(words, ".");
}

/* How many stages name mends of their own; 0 unless the changes together are just the first mends
 * of those, each to the same figure. */
static size_t told_before(const fr_check_document *document) {
    static const double same = 1e-3;
    const fr_mends *all = document->mends;
    size_t found = 0, own = 0;
    for (size_t s = 0; s < all->stage_count; s++) {
        const fr_mended_stage *mended = &all->stages[s];
        const char *parts[2];
        if (parts_that_mend(document, mended, parts) > 0)
            continue;
        own++;
        for (size_t i = 0; mended->mend_count > 0 && i < all->together_count; i++)
            found += mended->mends[0].lever == all->together[i].lever &&
                     fabs(mended->mends[0].factor / all->together[i].factor - 1) < same;
    }
    return found == own && own == all->together_count ? own : 0;
}

/* How the changes are called that make every blend clear: "Both together make". */
static void open_together(fr_words *words, size_t count, size_t told) {
    if (told == 1)
        fr_words_add(words, "That makes");
    else if (told == 2)
        fr_words_add(words, "Both together make");
    else if (count == 1)
        fr_words_add(words, "One change makes");
    else {
        size_t start = words->length;
        fr_words_count(words, count);
        fr_words_capital(words, start);
        fr_words_add(words, " changes together make");
    }
}

/* No part mends the fuel's own temperature: changes together leave that stage as it is. */
static bool inlet_is_not_clear(const fr_check_result *result) {
    for (size_t i = 0; i < result->blend_count; i++) {
        const fr_stage_result *inlet = fr_stage_on(&result->blends[i], FR_STAGE_PUMP_INLET);
        if (inlet != NULL && inlet->verdict != FR_CLEAR)
            return true;
    }
    return false;
}

void fr_advice_together(fr_words *words, const fr_check_document *document, fr_units units) {
    const fr_mends *all = document->mends;
    const mend_view at = {document, NULL, units};
    size_t count = all == NULL ? 0 : count_mends(all->together, all->together_count);
    if (count == 0)
        return;
    if (!all->together_clear) {
        fr_words_add(words, "No such changes together make every blend clear at ");
        fr_show_asked(words, document, units);
        fr_words_add(words, ".");
        return;
    }
    size_t told = told_before(document);
    open_together(words, count, told);
    fr_words_add(words, " every blend clear at ");
    fr_show_asked(words, document, units);
    if (inlet_is_not_clear(document->result))
        fr_words_add(words, ", the fuel at the pump's inlet aside");
    if (count > 1 && all->alone_clears == 0)
        fr_words_add(words, "; one alone does not");
    if (told == 0 || told > 2) {
        fr_words_add(words, ": ");
        show_list(words, &at, all->together, all->together_count, "; ", "; and ");
    }
    fr_words_add(words, ".");
}
