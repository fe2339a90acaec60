/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The one table of commands and their options. Parsing, --help, the man page and the completion
 * are made from it. To take a command out, delete its row. */
#include <stdint.h>

#include "cli/command.h"

/* clang-format off */

#define END {NULL, 0, false, FR_VALUE_NONE, NULL, NULL}

/* Options that several commands share. */
#define FORMAT(words) \
    {"format", 0, false, FR_VALUE_WORD, words, "how to write the answer (default text)"}
#define UNITS \
    {"units", 0, false, FR_VALUE_WORD, "metric|us", "units of the text (default: what the sheet says, else metric)"}
#define BLEND \
    {"blend", 'b', true, FR_VALUE_BLEND, "B", "look at this blend in place of the sheet's, such as E85 or E62.5"}
#define SET \
    {"set", 's', true, FR_VALUE_TEXT, "PATH=VALUE", "take VALUE for the field PATH, written as it would stand in the sheet: --set 'engine.target_power=320 kW'"}
#define PARTS \
    {"parts", 'p', true, FR_VALUE_FOLDER, "DIR", "a folder with parts of your own; one of the same name hides a shipped one"}

const fr_command fr_commands[] = {
    {
        .name = "check",
        .summary = "check whether a build's fuel supply carries its target",
        .arguments = "SHEET...",
        .argument_kind = FR_ARGUMENT_FILE,
        .least_arguments = 1,
        .most_arguments = SIZE_MAX,
        .about =
            "Reads a build sheet and tells, for each blend and over the whole pull, how full every "
            "stage of the fuel supply is, what runs out first, at what power, and the least change "
            "that mends it.\n"
            "SHEET '-' is standard input. Several sheets are checked one after another; the exit "
            "code is that of the worst, and JSON is one object a line.",
        .options = (const fr_option[]){
            FORMAT("text|json|csv"),
            UNITS,
            BLEND,
            {"detail", 'd', false, FR_VALUE_NONE, NULL, "add the table over engine speed, and the line to write for each assumed value"},
            SET,
            PARTS,
            END},
        .examples = (const fr_example[]){
            {"fuelreach check examples/tern-return.yaml", "the report on one build"},
            {"fuelreach check tern.yaml --blend E60 --set 'engine.target_power=320 kW'", "the same build, another blend and more power"},
            {"fuelreach check *.yaml --format json", "one object a sheet, for programs"},
            {NULL, NULL}},
        .run = fr_command_check,
    },
    {
        .name = "fuel",
        .summary = "show the properties of gasoline-ethanol blends",
        .arguments = "[BLEND...]",
        .argument_kind = FR_ARGUMENT_TEXT,
        .least_arguments = 0,
        .most_arguments = FR_BLENDS_MAX,
        .about =
            "Density, stoichiometric ratio, heating value, viscosity, bulk modulus and vapour "
            "pressure of the blends named; without a name E0, E10, E30, E50, E70, E85 and E100. "
            "A blend's name is its ethanol content by volume at 15 degC.",
        .options = (const fr_option[]){
            {"temperature", 't', false, FR_VALUE_TEXT, "T", "temperature of the fuel (default 20 degC)"},
            {"pressure", 0, false, FR_VALUE_TEXT, "P", "absolute pressure at which to give density (default 1 atm)"},
            FORMAT("text|json"),
            UNITS,
            END},
        .examples = (const fr_example[]){
            {"fuelreach fuel E10 E85 --temperature '45 C'", "two blends as they are in a warm rail"},
            {"fuelreach fuel E85 --pressure '200 bar'", "E85 in the rail of a direct-injected engine"},
            {NULL, NULL}},
        .run = fr_command_fuel,
    },
    {
        .name = "draft",
        .summary = "write a starter sheet, every line explained",
        .arguments = "[FILE]",
        .argument_kind = FR_ARGUMENT_FILE,
        .least_arguments = 0,
        .most_arguments = 1,
        .about =
            "Writes a build sheet that 'check' takes as it is. Change what you know; leave the rest "
            "to the defaults. Without FILE it goes to standard output; a file that is there already "
            "is never overwritten.",
        .options = (const fr_option[]){END},
        .examples = (const fr_example[]){
            {"fuelreach draft mycar.yaml", "a sheet to begin with"},
            {NULL, NULL}},
        .run = fr_command_draft,
    },
    {
        .name = "parts",
        .summary = "list the parts, or show one with its computed figures",
        .arguments = "[KIND|NAME]",
        .argument_kind = FR_ARGUMENT_TEXT,
        .least_arguments = 0,
        .most_arguments = 1,
        .about =
            "Without an argument lists all parts; with a kind, those of that kind; with a name, "
            "that part and what it does: a pump's flow and current at several pressures and "
            "voltages, an injector's flow at other pressures on E0 and E85, a filter's drop, a "
            "wire's resistance.\n"
            "The shipped parts are invented, typical of their class. A part of your own is a file "
            "of the same form in a folder given with --parts.",
        .options = (const fr_option[]){
            PARTS,
            FORMAT("text|json"),
            END},
        .examples = (const fr_example[]){
            {"fuelreach parts lift-pump", "all lift pumps"},
            {"fuelreach parts lift-340", "one pump and what it delivers"},
            {NULL, NULL}},
        .run = fr_command_parts,
    },
    {.name = NULL},
};
