/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "web/form.h"

#include <stdlib.h>

#include "sheet/folder.h"
#include "sheet/rewrite.h"

/* A row a question, kept compact. */
/* clang-format off */

const fr_question fr_form[] = {
    {"How big is the engine?", "On the registration paper. cc, L or cubic inches.",
     {{.path = "engine.displacement", .control = FR_CONTROL_QUANTITY, .label = "Displacement",
       .units = "L cc ci", .begins = "2.0 L"},
      {.path = "engine.cylinders", .control = FR_CONTROL_WHOLE, .label = "Cylinders", .begins = "4"}}},
    {"How does it breathe?", "Boost as the gauge shows it, above outside air.",
     {{.path = "engine.aspiration", .control = FR_CONTROL_WORD, .begins = "turbo",
       .choices = {{"natural", "No turbo or supercharger"}, {"turbo", "Turbo"},
                   {"supercharged", "Supercharger"}}},
      {.path = "engine.boost", .control = FR_CONTROL_QUANTITY, .label = "Highest boost",
       .units = "bar psi kPa", .blank = "leave empty: worked out from the power"}}},
    {"What power do you want?", "The figure you want on the fuels of question 5.",
     {{.path = "engine.target_power", .control = FR_CONTROL_QUANTITY, .label = "Power",
       .units = "kW hp PS"}}},
    {"Where is that power measured?", "The same car shows about 15 % less at the wheels.",
     {{.path = "engine.power_at", .control = FR_CONTROL_WORD,
       .choices = {{"wheels", "At the wheels (chassis dyno)"},
                   {"crank", "At the crank (brochure, engine dyno)"}}}}},
    {"Which fuels?",
     "The number is the ethanol content. E85 from a filling pump may hold 51 to 83 %.",
     {{.path = "fuel.blends", .control = FR_CONTROL_BLENDS, .label = "Others",
       .begins = "[E10, E85]",
       .choices = {{"E10", "E10"}, {"E30", "E30"}, {"E50", "E50"}, {"E70", "E70"}, {"E85", "E85"}}}}},
    {"At what speed does it make most power, and where is the limiter?",
     "Read it off a dyno sheet; else leave it.",
     {{.path = "engine.peak_power_at", .control = FR_CONTROL_QUANTITY, .label = "Most power at",
       .units = "rpm"},
      {.path = "engine.rev_limit", .control = FR_CONTROL_QUANTITY, .label = "Limiter",
       .units = "rpm"}}},
    {"Where do the injectors spray?",
     "Straight in: there is a second pump driven by the engine.",
     {{.path = "supply", .control = FR_CONTROL_SECTIONS,
       .choices = {{"10", "Into the intake ports"}, {"01", "Straight into the cylinders"},
                   {"11", "Both"}},
       .sections = {{"supply.port_injection", "{injector: factory}"},
                    {"supply.direct_injection",
                     "{injector: factory, high_pressure_pump: factory}"}}}}},
    {"Which injectors?", "cc/min or lb/h; most are rated at 3 bar (43.5 psi), direct ones at 100 bar.",
     {{.path = "supply.port_injection.injector", .control = FR_CONTROL_PART, .label = "In the ports",
       .units = "cc/min lb/h", .when = "supply.port_injection", .begins = "factory", .rated_at = "3 bar"},
      {.path = "supply.direct_injection.injector", .control = FR_CONTROL_PART,
       .label = "In the cylinders", .units = "cc/s cc/min g/s", .when = "supply.direct_injection",
       .rated_at = "100 bar"}}},
    {"Which pump is in the tank?", "The size is litres an hour, printed on the box.",
     {{.path = "supply.lift_pump", .control = FR_CONTROL_PART, .units = "L/h gal/h",
       .begins = "factory", .most = 3}}},
    {"How is that pump wired?", "Low voltage at the pump takes more flow than most think.",
     {{.path = "supply.pump_circuit.wiring", .control = FR_CONTROL_WORD,
       .choices = {{"standard", "Car's own wiring"}, {"relay", "Own relay and heavy wire"}}}}},
    {"What happens to fuel the engine doesn't use?", "Two pipes at the rail: the first.",
     {{.path = "supply.regulation", .control = FR_CONTROL_WORD,
       .choices = {{"return", "A pipe takes it back to the tank"},
                   {"mechanical-returnless", "Regulator in the tank"},
                   {"electronic-returnless", "Pump speed is controlled"}, {"", "Don't know"}}},
      {.path = "supply.feed_pressure", .control = FR_CONTROL_QUANTITY, .label = "Fuel pressure",
       .units = "bar psi kPa"}}},
    {"The engine-driven pump?", "The tuner knows both.",
     {{.path = "supply.direct_injection.high_pressure_pump", .control = FR_CONTROL_PART,
       .label = "Pump",       .units = "cc", .when = "supply.direct_injection", .of_factory = true},
      {.path = "supply.direct_injection.rail_pressure", .control = FR_CONTROL_QUANTITY,
       .label = "Commanded rail pressure", .units = "bar psi MPa",
       .when = "supply.direct_injection"}}},
    {"What power had the car from the factory?",
     "From the brochure, at the crank. It tells how big the parts are that are as built.",
     {{.path = "engine.factory_power", .control = FR_CONTROL_QUANTITY, .label = "Power as built",
       .units = "kW hp PS", .when = "factory"}}},
};
const size_t fr_form_count = sizeof fr_form / sizeof fr_form[0];

/* clang-format on */

char *fr_form_begin(void) {
    char *text = fr_copy_text("name: My car\n");
    for (size_t i = 0; text && i < fr_form_count; i++) {
        for (size_t k = 0; text && k < FR_ASKS_MAX && fr_form[i].asks[k].path; k++) {
            const fr_ask *ask = &fr_form[i].asks[k];
            char *next;
            if (!ask->begins)
                continue;
            fr_sheet_rewrite(text, ask->path, ask->begins, &next);
            free(text);
            text = next;
        }
    }
    return text;
}
