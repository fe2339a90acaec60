/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "report/stage_words.h"

#include "report/format.h"

/* A row a stage. Direct injectors and high-pressure pump speak through the injection pressure,
 * which is what ends a reach. */
static const fr_stage_words words_table[FR_STAGE_COUNT] = {
    [FR_STAGE_LIFT_PUMP] = {.label = "Lift pump",
                            .subject = "the lift pump",
                            .actor = "the lift pump",
                            .fails = "gives too little",
                            .fail = "give too little",
                            .short_name = "lift pump"},
    [FR_STAGE_PUMP_CIRCUIT] = {.label = "Pump fuse",
                               .subject = "the pump fuse",
                               .actor = "the pump fuse",
                               .fails = "is too small",
                               .fail = "are too small",
                               .short_name = "pump fuse"},
    [FR_STAGE_PUMP_INLET] = {.label = "Fuel at the pump's inlet",
                             .subject = "the fuel at the pump's inlet",
                             .actor = "the fuel at the pump's inlet",
                             .fails = "boils",
                             .fail = "boil",
                             .short_name = "pump inlet"},
    [FR_STAGE_FEED_PRESSURE] = {.label = "Feed pressure",
                                .subject = "the feed pressure",
                                .actor = "the feed pressure",
                                .fails = "falls too far",
                                .fail = "fall too far",
                                .short_name = "feed pressure"},
    [FR_STAGE_VAPOUR] = {.label = "Vapour in the feed",
                         .subject = "vapour in the feed",
                         .actor = "the fuel in the feed",
                         .fails = "may turn to vapour",
                         .fail = "may turn to vapour",
                         .short_name = "vapour"},
    [FR_STAGE_PORT_INJECTOR] = {.label = "Port injectors",
                                .subject = "the port injectors",
                                .actor = "the port injectors",
                                .fails = "are too small",
                                .fail = "are too small",
                                .short_name = "port inj.",
                                .plural = true},
    [FR_STAGE_DIRECT_INJECTOR] = {.label = "Direct injectors",
                                  .subject = "the direct injectors",
                                  .actor = "the direct injectors",
                                  .fails = "are too small",
                                  .fail = "are too small",
                                  .short_name = "direct inj.",
                                  .plural = true},
    [FR_STAGE_HIGH_PRESSURE_PUMP] = {.label = "High-pressure pump",
                                     .subject = "the high-pressure pump",
                                     .actor = "the high-pressure pump",
                                     .fails = "is too small",
                                     .fail = "are too small",
                                     .short_name = "HP pump"},
    [FR_STAGE_DIRECT_PRESSURE] = {.label = "Injection pressure",
                                  .subject = "the injection pressure",
                                  .actor = "the injection pressure",
                                  .fails = "falls short",
                                  .fail = "fall short",
                                  .short_name = "inj. pressure"},
};

static const fr_stage_words many_lift_pumps = {.label = "Lift pumps",
                                               .subject = "the lift pumps",
                                               .actor = "the lift pumps",
                                               .fails = "give too little",
                                               .fail = "give too little",
                                               .short_name = "lift pumps",
                                               .plural = true};

unsigned fr_lift_pump_count(const fr_build *build) {
    unsigned count = 0;
    for (size_t i = 0; i < build->pumps.kind_count; i++)
        count += build->pumps.kinds[i].count;
    return count;
}

const fr_stage_words *fr_stage_words_of(fr_stage stage, const fr_build *build) {
    if (stage == FR_STAGE_LIFT_PUMP && fr_lift_pump_count(build) > 1)
        return &many_lift_pumps;
    return &words_table[stage];
}

void fr_stage_label(fr_words *words, fr_stage stage, const fr_build *build) {
    fr_words_add(words, "%s", fr_stage_words_of(stage, build)->label);
    unsigned count = fr_lift_pump_count(build);
    if (stage == FR_STAGE_LIFT_PUMP && count > 1)
        fr_words_add(words, " (%u)", count);
}

void fr_engine_line(fr_words *words, const fr_build *build, fr_units units) {
    static const char *const aspirations[] = {[FR_NATURAL] = "naturally aspirated",
                                              [FR_TURBO] = "turbo",
                                              [FR_SUPERCHARGED] = "supercharged"};
    const char *injection = build->port.present && build->direct.present
                                ? "port and direct injection"
                            : build->direct.present ? "direct injection"
                                                    : "port injection";
    fr_show(words, FR_MEASURE_ENGINE_VOLUME, units, build->engine.displacement_m3, FR_NEAREST);
    fr_words_add(words, ", %u cylinder%s, %s, %s%s", build->engine.cylinders,
                 build->engine.cylinders == 1 ? "" : "s", aspirations[build->engine.aspiration],
                 injection, build->feed.regulation == FR_RETURN ? ", return line" : "");
}
