/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "report/stage_words.h"

#include "report/format.h"

/* A row a stage. Direct injectors and high-pressure pump speak through the injection pressure,
 * which is what ends a reach. */
static const fr_stage_words words_table[FR_STAGE_COUNT] = {
    [FR_STAGE_LIFT_PUMP] = {"Lift pump", "the lift pump", "the lift pump gives too little",
                            "lift pump", false},
    [FR_STAGE_PUMP_CIRCUIT] = {"Pump fuse", "the pump fuse", "the pump fuse is too small",
                               "pump fuse", false},
    [FR_STAGE_PUMP_INLET] = {"Fuel at the pump's inlet", "fuel at the pump's inlet",
                             "the fuel boils at the pump's inlet", "pump inlet", false},
    [FR_STAGE_FEED_PRESSURE] = {"Feed pressure", "the feed pressure",
                                "the feed pressure falls too far", "feed pressure", false},
    [FR_STAGE_VAPOUR] = {"Vapour in the feed", "vapour in the feed",
                         "vapour forms in the feed line", "vapour", false},
    [FR_STAGE_PORT_INJECTOR] = {"Port injectors", "the port injectors",
                                "the port injectors are too small", "port inj.", true},
    [FR_STAGE_DIRECT_INJECTOR] = {"Direct injectors", "the direct injectors",
                                  "the direct injectors are too small", "direct inj.", true},
    [FR_STAGE_HIGH_PRESSURE_PUMP] = {"High-pressure pump", "the high-pressure pump",
                                     "the high-pressure pump is too small", "HP pump", false},
    [FR_STAGE_DIRECT_PRESSURE] = {"Injection pressure", "the injection pressure",
                                  "the injection pressure falls short", "inj. pressure", false},
};

static const fr_stage_words many_lift_pumps = {
    "Lift pumps", "the lift pumps", "the lift pumps give too little", "lift pumps", true};

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
    static const char *const aspirations[] = {
        [FR_NATURAL] = "naturally aspirated", [FR_TURBO] = "turbo", [FR_SUPERCHARGED] = "supercharged"};
    const char *injection = build->port.present && build->direct.present
                                ? "port and direct injection"
                            : build->direct.present ? "direct injection"
                                                    : "port injection";
    fr_show(words, FR_MEASURE_ENGINE_VOLUME, units, build->engine.displacement_m3, FR_NEAREST);
    fr_words_add(words, ", %u cylinder%s, %s, %s%s", build->engine.cylinders,
                 build->engine.cylinders == 1 ? "" : "s", aspirations[build->engine.aspiration],
                 injection, build->feed.regulation == FR_RETURN ? ", return line" : "");
}
