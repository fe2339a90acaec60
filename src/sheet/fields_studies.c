/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The field table: limits, learnt factors, sizing, log and the top of the sheet. */
#include "sheet/fields.h"

/* A row a field, kept compact. */
/* clang-format off */

#define K(kind) FR_KINDS(FR_KIND_##kind)
#define COUNT(rows) (sizeof(rows) / sizeof((rows)[0]))

#define LIMIT(name, default_, help_, synonyms_)                                                  \
    {.key = name, .shape = FR_SHAPE_QUANTITY, .kinds = K(FRACTION), .unit = "%", .least = 1,     \
     .most = 100, .usual_least = 40, .usual_most = 100,                                          \
     .slip = "the share that may be used, not the reserve?", .default_text = default_,           \
     .why = "common practice", .help = help_, .synonyms = synonyms_}

/* In order of fr_stage. */
static const fr_field limits_fields[] = {
    LIMIT("lift-pump", "85 %", "Of what the lift pumps deliver.", "lift_pump pump fuel_pump"),
    LIMIT("pump-circuit", "80 %", "Of the fuse's rating.", "pump_circuit fuse wiring"),
    LIMIT("pump-inlet", "85 %", "Vapour pressure over pressure at the pump's inlet.",
          "pump_inlet inlet"),
    LIMIT("feed-pressure", "90 %", "Of the sag allowed.", "feed_pressure pressure"),
    LIMIT("vapour", "90 %", "Vapour pressure and 1 bar over feed pressure.",
          "vapor vapour_pressure vapor_lock"),
    LIMIT("port-injector", "85 %", "Duty of the port injectors.",
          "port_injector port_injectors injector injectors duty duty_cycle"),
    LIMIT("direct-injector", "95 %", "Of the injection window.",
          "direct_injector direct_injectors window"),
    LIMIT("high-pressure-pump", "90 %", "Of the high-pressure pump's delivery.",
          "high_pressure_pump hpfp hp_pump"),
    LIMIT("direct-pressure", "90 %", "Required over available rail pressure.",
          "direct_pressure rail_pressure rail"),
};

#define FACTOR(name, input_, help_, bad_)                                                        \
    {.key = name, .shape = FR_SHAPE_QUANTITY, .kinds = K(FRACTION), .unit = "%", .least = 10,    \
     .most = 1000, .usual_least = 60, .usual_most = 160,                                         \
     .slip = "100 % is as the sheet says", .example = "100 % ± 2 %", .input = input_,            \
     .bad = bad_, .help = help_}

static const fr_field learnt_fields[] = {
    FACTOR("bsfc", "bsfc", "BSFC over what the sheet says.", 1),
    FACTOR("port-injector", "port-injector", "Port injectors' flow over what the sheet says.", -1),
    FACTOR("direct-injector", "direct-injector",
           "Direct injectors' flow over what the sheet says.", -1),
    FACTOR("lift-pump", "lift-pump", "Lift pumps' flow over what the sheet says.", -1),
    FACTOR("high-pressure-pump", "high-pressure-pump",
           "High-pressure pump's filling over what the sheet says.", -1),
    FACTOR("line-loss", "line-loss", "Loss from tank to rail over what the sheet says.", 1),
};

static const fr_field sizing_fields[] = {
    {.key = "currency", .shape = FR_SHAPE_TEXT, .example = "EUR",
     .help = "Name of the currency that prices are in.", .synonyms = "money"},
    {.key = "fitting", .shape = FR_SHAPE_SECTION, .section = FR_SECTION_FITTING,
     .example = "{lift-pump: 120, port-injector: 650}",
     .help = "Cost of changing a slot at all, beside the parts.",
     .synonyms = "labour labor fitting_cost install"},
    {.key = "keep", .shape = FR_SHAPE_SLOTS, .example = "[lift-pump]",
     .help = "Slots that stay as they are.", .synonyms = "fixed pinned"},
};

#define FITTING(name)                                                                            \
    {.key = name, .shape = FR_SHAPE_NUMBER, .kinds = K(NUMBER), .least = 0, .most = 1e9,         \
     .example = "120", .help = "Cost of changing it, a bare number."}
/* In order of fr_slot. */
static const fr_field fitting_fields[] = {
    FITTING("lift-pump"),     FITTING("wiring"),          FITTING("filter"),
    FITTING("line"),          FITTING("port-injector"),   FITTING("direct-injector"),
    FITTING("high-pressure-pump"),
};

#define CHANNEL(id, name, kinds_, unit_)                                                         \
    {.key = name, .shape = FR_SHAPE_CHANNEL, .section = FR_SECTION_CHANNEL, .kinds = kinds_,     \
     .example = "\"Name of its column\"", .help = "Column of the log that holds it."},
static const fr_field log_fields[] = {
    FR_CHANNEL_TABLE(CHANNEL)
    {.key = "blend", .shape = FR_SHAPE_BLEND, .example = "E30",
     .help = "Blend of the whole log, where it has no ethanol column.",
     .synonyms = "fuel ethanol_content"},
};

static const fr_field channel_fields[] = {
    {.key = "column", .shape = FR_SHAPE_TEXT, .example = "\"Fuel pressure\"", .needed = true,
     .help = "Name of the column, as in the log's first line.",
     .synonyms = "name header title"},
    {.key = "unit", .shape = FR_SHAPE_TEXT, .example = "psi",
     .help = "Unit of the column where the log does not say it.", .synonyms = "units"},
    {.key = "reference", .shape = FR_SHAPE_WORD, .words = &fr_log_reference_words,
     .default_rule = "feed_pressure gauge, other pressures absolute", .example = "gauge",
     .help = "What a pressure is counted from.", .synonyms = "ref"},
};

static const fr_field top_fields[] = {
    {.key = "fuelreach", .shape = FR_SHAPE_WHOLE, .kinds = K(NUMBER), .least = 1, .most = 1,
     .default_text = "1", .in_draft = true, .help = "Format of the sheet.",
     .synonyms = "version format"},
    {.key = "name", .shape = FR_SHAPE_TEXT, .in_draft = true, .example = "My car, first look",
     .help = "A title for the report.", .synonyms = "title car build vehicle project"},
    {.key = "units", .shape = FR_SHAPE_WORD, .words = &fr_units_words, .default_text = "metric",
     .in_draft = true, .help = "How results are shown. Figures in the sheet may be in any unit.",
     .synonyms = "unit"},
    {.key = "engine", .shape = FR_SHAPE_SECTION, .section = FR_SECTION_ENGINE, .needed = true,
     .in_draft = true, .help = "The engine and what is asked of it.", .synonyms = "motor"},
    {.key = "site", .shape = FR_SHAPE_SECTION, .section = FR_SECTION_SITE,
     .help = "Air, temperatures and supply voltage.",
     .synonyms = "ambient environment conditions weather"},
    {.key = "fuel", .shape = FR_SHAPE_SECTION, .section = FR_SECTION_FUEL,
     .help = "Blends and the gasoline in them.", .synonyms = "fuels"},
    {.key = "supply", .shape = FR_SHAPE_SECTION, .section = FR_SECTION_SUPPLY, .needed = true,
     .in_draft = true, .help = "From the tank to the injectors.",
     .synonyms = "fuel_supply fuel_system fueling fuelling"},
    {.key = "limits", .shape = FR_SHAPE_SECTION, .section = FR_SECTION_LIMITS,
     .example = "{port-injector: 85 %, lift-pump: 85 %}",
     .help = "Use up to which a stage is clear.", .synonyms = "limit margins margin"},
    {.key = "learnt", .shape = FR_SHAPE_SECTION, .section = FR_SECTION_LEARNT,
     .example = "{bsfc: 104.3 % ± 1.5 %}", .help = "Factors learnt from a log (review).",
     .synonyms = "learned factors corrections"},
    {.key = "sizing", .shape = FR_SHAPE_SECTION, .section = FR_SECTION_SIZING,
     .example = "{currency: EUR, fitting: {lift-pump: 120}}", .help = "For 'fuelreach size'.",
     .synonyms = "size budget shop"},
    {.key = "log", .shape = FR_SHAPE_SECTION, .section = FR_SECTION_LOG,
     .example = "{engine_speed: \"Engine speed\", blend: E30}",
     .help = "For 'fuelreach review': which column of a log is what.",
     .synonyms = "logs datalog logging"},
};

const fr_section fr_limits_section = {"limits", "limits", "Use up to which a stage is clear.",
                                      limits_fields, COUNT(limits_fields), false};
const fr_section fr_learnt_section = {"learnt", "learnt",
                                      "Factors learnt from a log; each multiplies what the "
                                      "sheet says, its ± takes the place of the tolerance.",
                                      learnt_fields, COUNT(learnt_fields), false};
const fr_section fr_sizing_section_table = {"sizing", "sizing", "Prices, for 'fuelreach size'.",
                                            sizing_fields, COUNT(sizing_fields), false};
const fr_section fr_fitting_section = {"fitting", "sizing.fitting",
                                       "Cost of changing a slot at all.", fitting_fields,
                                       COUNT(fitting_fields), false};
const fr_section fr_log_section_table = {"log", "log",
                                         "Columns of a log: a column's name, or {column, unit, "
                                         "reference}.",
                                         log_fields, COUNT(log_fields), false};
const fr_section fr_channel_section = {"channel", "channel", "One column of a log.",
                                       channel_fields, COUNT(channel_fields), false};

static const fr_section top_section = {"", "", "The whole sheet.", top_fields, COUNT(top_fields),
                                       false};

const fr_section *fr_section_of(fr_section_id id)
{
    static const fr_section *const table[FR_SECTION_PARTS] = {
        [FR_SECTION_TOP] = &top_section,
        [FR_SECTION_ENGINE] = &fr_engine_section,
        [FR_SECTION_SITE] = &fr_site_section,
        [FR_SECTION_FUEL] = &fr_fuel_section,
        [FR_SECTION_SUPPLY] = &fr_supply_section,
        [FR_SECTION_PUMP_CIRCUIT] = &fr_pump_circuit_section,
        [FR_SECTION_PORT] = &fr_port_section,
        [FR_SECTION_DIRECT] = &fr_direct_section,
        [FR_SECTION_LIMITS] = &fr_limits_section,
        [FR_SECTION_LEARNT] = &fr_learnt_section,
        [FR_SECTION_SIZING] = &fr_sizing_section_table,
        [FR_SECTION_FITTING] = &fr_fitting_section,
        [FR_SECTION_LOG] = &fr_log_section_table,
        [FR_SECTION_CHANNEL] = &fr_channel_section,
        [FR_SECTION_PUMP_CURVE] = &fr_pump_curve_section,
    };
    return id < FR_SECTION_PARTS ? table[id] : &fr_part_sections[id - FR_SECTION_PARTS];
}
