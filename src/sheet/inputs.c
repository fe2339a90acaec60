/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Tolerances: what the model says where the sheet gives none, and what moves together. All
 * defaults are common practice without a source (docs/model.md). */
#include "sheet/inputs.h"

#include <stdint.h>
#include <stdio.h>
#include <string.h>

#define AT(member) offsetof(fr_build, member)

/* Most targets that a row below names. */
enum { ROW_TARGETS = 5 };

typedef struct row {
    const char *name;
    const char *label;
    const char *advice;
    fr_input_kind kind;
    double half_width; /* 0: only when written */
    bool bad_is_high;
    size_t scale[ROW_TARGETS]; /* what a scale moves; ends with 0 */
    size_t shift[ROW_TARGETS]; /* what a shift moves */
} row;

/* Offset 0 (engine.cylinders) is never a target, so it ends a list. */
static const row rows[FR_IN_COUNT] = {
    [FR_IN_TARGET] = {"target",
                      "target power",
                      "agree on the figure and on where it is measured",
                      FR_INPUT_SCALE,
                      0.0,
                      true,
                      {AT(engine.target_power_w.scale)},
                      {AT(engine.target_power_w.shift)}},
    [FR_IN_BSFC] = {"bsfc",
                    "BSFC",
                    "measure fuel flow on the dyno",
                    FR_INPUT_SCALE,
                    0.05,
                    true,
                    {AT(engine.bsfc_kg_j.scale)},
                    {AT(engine.bsfc_kg_j.shift)}},
    [FR_IN_LAMBDA] = {"lambda",
                      "lambda",
                      "log a wideband sensor through a pull",
                      FR_INPUT_SCALE,
                      0.02,
                      false,
                      {AT(engine.lambda.scale)},
                      {AT(engine.lambda.shift)}},
    [FR_IN_ETHANOL] = {"ethanol-content",
                       "ethanol content",
                       "test the fuel, or log the content sensor",
                       FR_INPUT_SHIFT,
                       0.03,
                       true,
                       {0},
                       {AT(ethanol_shift)}},
    [FR_IN_GASOLINE_DENSITY] = {"gasoline-density",
                                "density of the gasoline",
                                "weigh a litre at a known temperature",
                                FR_INPUT_SCALE,
                                0.015,
                                false,
                                {AT(gasoline.density_15_kg_m3)},
                                {AT(gasoline.density_15_kg_m3)}},
    [FR_IN_GASOLINE_VAPOUR_PRESSURE] = {"gasoline-vapour-pressure",
                                        "vapour pressure of the gasoline",
                                        "ask the seller for the season's DVPE",
                                        FR_INPUT_SHIFT,
                                        12e3,
                                        true,
                                        {AT(gasoline.vapour_pressure_pa)},
                                        {AT(gasoline.vapour_pressure_pa)}},
    [FR_IN_LIFT_PUMP] = {"lift-pump",
                         "lift pump's flow",
                         "measure its flow at the working pressure and voltage",
                         FR_INPUT_SCALE,
                         0.08,
                         false,
                         {0},
                         {0}},
    [FR_IN_SUPPLY_VOLTAGE] = {"supply-voltage",
                              "supply voltage",
                              "log battery voltage through a pull",
                              FR_INPUT_SHIFT,
                              0.4,
                              false,
                              {AT(site.supply_voltage_v)},
                              {AT(site.supply_voltage_v)}},
    [FR_IN_WIRING] = {"wiring",
                      "resistance of the pump's wiring",
                      "measure the voltage lost between battery and pump, pump running",
                      FR_INPUT_SCALE,
                      0.30,
                      true,
                      {AT(pumps.wiring_ohm), AT(pumps.shared_wiring_ohm)},
                      {AT(pumps.wiring_ohm)}},
    [FR_IN_FILTER_DROP] = {"filter-drop",
                           "pressure lost in the filters",
                           "measure pressure before and behind the filter",
                           FR_INPUT_SCALE,
                           0.50,
                           true,
                           {0},
                           {0}},
    [FR_IN_LINE_LOSS] = {"line-loss",
                         "pressure lost between tank and rail",
                         "log pressure at the tank and at the rail",
                         FR_INPUT_SCALE,
                         0.0,
                         true,
                         {AT(feed.loss_factor)},
                         {AT(feed.loss_factor)}},
    [FR_IN_FEED_TEMPERATURE] = {"feed-temperature",
                                "fuel temperature",
                                "log fuel temperature at the engine",
                                FR_INPUT_SHIFT,
                                8.0,
                                true,
                                {0},
                                {AT(site.feed_temperature_c)}},
    [FR_IN_MANIFOLD_PRESSURE] = {"manifold-pressure",
                                 "manifold pressure",
                                 "log manifold pressure through a pull",
                                 FR_INPUT_SHIFT,
                                 7e3,
                                 true,
                                 {0},
                                 {AT(engine.manifold_shift_pa)}},
    [FR_IN_PORT_INJECTOR] = {"port-injector",
                             "port injectors' flow",
                             "have the injectors flow-tested as a set",
                             FR_INPUT_SCALE,
                             0.04,
                             false,
                             {AT(port.flow_kg_s)},
                             {AT(port.flow_kg_s)}},
    [FR_IN_DEAD_TIME] = {"dead-time",
                         "dead time",
                         "have the dead times measured",
                         FR_INPUT_SHIFT,
                         0.10e-3,
                         true,
                         {AT(port.dead_time_s.scale)},
                         {AT(port.dead_time_s.shift)}},
    [FR_IN_DIRECT_INJECTOR] = {"direct-injector",
                               "direct injectors' flow",
                               "have the injectors flow-tested as a set",
                               FR_INPUT_SCALE,
                               0.04,
                               false,
                               {AT(direct.flow_kg_s)},
                               {AT(direct.flow_kg_s)}},
    [FR_IN_HIGH_PRESSURE_PUMP] = {"high-pressure-pump",
                                  "high-pressure pump's filling",
                                  "log commanded and held rail pressure through a pull",
                                  FR_INPUT_SCALE,
                                  0.05,
                                  false,
                                  {AT(direct.fill.scale)},
                                  {AT(direct.fill.shift)}},
    [FR_IN_WINDOW] = {"window",
                      "injection window",
                      "read start and end of injection from the calibration",
                      FR_INPUT_SHIFT,
                      10.0,
                      false,
                      {AT(direct.window_deg.scale)},
                      {AT(direct.window_deg.shift)}},
};

/* BSFC that the sheet leaves out is known half as well (common practice). */
static const double BSFC_ASSUMED = 0.10;

fr_input_id fr_input_find(const char *name) {
    fr_input_id id = (fr_input_id)0;
    while (id < FR_IN_COUNT && (!name || strcmp(rows[id].name, name) != 0))
        id = (fr_input_id)(id + 1);
    return id;
}

fr_written *fr_inputs_written(fr_inputs *inputs, fr_input_id id) {
    return id == FR_IN_LIFT_PUMP ? &inputs->pumps[inputs->pump] : &inputs->written[id];
}

static fr_input *next_input(fr_inputs *inputs, const char *name, const char *label) {
    if (inputs->count == FR_INPUTS_MAX)
        return NULL;
    size_t i = inputs->count++;
    snprintf(inputs->names[i], sizeof inputs->names[i], "%s", name);
    snprintf(inputs->labels[i], sizeof inputs->labels[i], "%s", label);
    fr_input *input = &inputs->list[i];
    memset(input, 0, sizeof *input);
    input->name = inputs->names[i];
    input->label = inputs->labels[i];
    return input;
}

bool fr_inputs_add(fr_inputs *inputs, const char *path, const char *key, fr_input_kind kind,
                   double half_width, bool bad_is_high, const size_t *targets, size_t count) {
    /* Room is kept for the model's own, which come last. */
    if (inputs->count + FR_IN_COUNT + FR_PUMP_KINDS_MAX > FR_INPUTS_MAX ||
        count > FR_INPUT_TARGETS_MAX)
        return false;
    char label[FR_INPUT_NAME_MAX];
    snprintf(label, sizeof label, "%s", key);
    for (char *at = label; *at; at++)
        if (*at == '_')
            *at = ' ';
    fr_input *input = next_input(inputs, path, label);
    input->advice = "measure it";
    input->kind = kind;
    input->half_width = half_width;
    input->bad_is_high = bad_is_high;
    input->target_count = count;
    memcpy(input->targets, targets, count * sizeof *targets);
    return true;
}

static bool build_has_input(fr_input_id id, const fr_build *build) {
    switch (id) {
    case FR_IN_PORT_INJECTOR:
    case FR_IN_DEAD_TIME:
        return build->port.present;
    case FR_IN_DIRECT_INJECTOR:
    case FR_IN_HIGH_PRESSURE_PUMP:
    case FR_IN_WINDOW:
        return build->direct.present;
    case FR_IN_FILTER_DROP:
        return build->feed.filter_count > 0;
    default:
        return true;
    }
}

static void add_target(fr_input *input, size_t offset) {
    if (input->target_count < FR_INPUT_TARGETS_MAX)
        input->targets[input->target_count++] = offset;
}

/* One of the model's inputs, without its targets; null when it has no width. */
static fr_input *add_row(fr_inputs *inputs, fr_input_id id, const fr_written *written,
                         double default_half, const char *name, const char *label) {
    double half = written->given ? written->half_width : default_half;
    if (!(half > 0.0))
        return NULL;
    fr_input *input = next_input(inputs, name, label);
    if (!input)
        return NULL;
    input->advice = rows[id].advice;
    input->kind = written->given ? written->kind : rows[id].kind;
    input->half_width = half;
    input->assumed = !written->given;
    input->bad_is_high = rows[id].bad_is_high;
    return input;
}

static void add_pumps(fr_inputs *inputs, const fr_build *build) {
    size_t number = 0;
    for (size_t kind = 0; kind < build->pumps.kind_count; kind++) {
        if (inputs->pump_twin[kind] != kind)
            continue;
        char name[FR_INPUT_NAME_MAX], label[FR_INPUT_NAME_MAX];
        number++;
        if (number == 1) {
            snprintf(name, sizeof name, "%s", rows[FR_IN_LIFT_PUMP].name);
            snprintf(label, sizeof label, "%s", rows[FR_IN_LIFT_PUMP].label);
        } else {
            snprintf(name, sizeof name, "%s-%zu", rows[FR_IN_LIFT_PUMP].name, number);
            snprintf(label, sizeof label, "flow of lift pump %zu", number);
        }
        fr_input *input = add_row(inputs, FR_IN_LIFT_PUMP, &inputs->pumps[kind],
                                  rows[FR_IN_LIFT_PUMP].half_width, name, label);
        for (size_t twin = kind; input && twin < build->pumps.kind_count; twin++)
            if (inputs->pump_twin[twin] == kind)
                add_target(input, AT(pumps.kinds) + twin * sizeof(fr_pump) +
                                      offsetof(fr_pump, flow_factor));
    }
}

static void add_model_input(fr_inputs *inputs, fr_input_id id, const fr_build *build) {
    const row *from = &rows[id];
    double half = from->half_width;
    if (id == FR_IN_BSFC && !inputs->bsfc_given)
        half = BSFC_ASSUMED;
    fr_input *input = add_row(inputs, id, &inputs->written[id], half, from->name, from->label);
    if (!input)
        return;
    const size_t *targets = input->kind == FR_INPUT_SCALE ? from->scale : from->shift;
    for (size_t i = 0; i < ROW_TARGETS && targets[i]; i++)
        add_target(input, targets[i]);
    for (size_t i = 0; id == FR_IN_FILTER_DROP && i < build->feed.filter_count; i++)
        add_target(input, AT(feed.filters) + i * sizeof(fr_filter) + offsetof(fr_filter, drop_pa));
    if (id == FR_IN_FEED_TEMPERATURE) {
        if (!inputs->own_tank)
            add_target(input, AT(site.tank_temperature_c));
        if (!inputs->own_rail)
            add_target(input, AT(site.rail_temperature_c));
        if (!inputs->own_inlet)
            add_target(input, AT(site.hp_inlet_temperature_c));
    }
}

void fr_inputs_finish(fr_inputs *inputs, const fr_build *build) {
    for (fr_input_id id = (fr_input_id)0; id < FR_IN_COUNT; id = (fr_input_id)(id + 1)) {
        if (!build_has_input(id, build))
            continue;
        if (id == FR_IN_LIFT_PUMP)
            add_pumps(inputs, build);
        else
            add_model_input(inputs, id, build);
    }
}

size_t fr_inputs_index(const fr_inputs *inputs, const char *name) {
    for (size_t i = 0; name && i < inputs->count; i++)
        if (strcmp(inputs->names[i], name) == 0)
            return i;
    return SIZE_MAX;
}

void fr_build_move(const fr_build *base, const fr_input *inputs, size_t input_count,
                   const double *deviations, fr_build *moved) {
    /* Half of a 95 % interval of a normal distribution, in standard deviations. */
    static const double HALF_95 = 1.96;
    if (moved != base)
        *moved = *base;
    for (size_t i = 0; i < input_count; i++) {
        double by = inputs[i].half_width * deviations[i] / HALF_95;
        for (size_t t = 0; t < inputs[i].target_count; t++) {
            char *at = (char *)moved + inputs[i].targets[t];
            double value;
            memcpy(&value, at, sizeof value);
            value = inputs[i].kind == FR_INPUT_SCALE ? value * (1.0 + by) : value + by;
            memcpy(at, &value, sizeof value);
        }
    }
}
