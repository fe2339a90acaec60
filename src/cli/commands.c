/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The one table of commands and their options. Parsing, --help, the man page and the completion
 * are made from it. To take a command out, delete its row. */
#include <stdint.h>

#include "cli/command.h"

/* clang-format off */

/* A page in a browser shows no help of the command line. */
#ifdef FR_FOR_BROWSERS
#define HELP_ONLY(...) NULL
#else
#define HELP_ONLY(...) __VA_ARGS__
#endif

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
        .about = HELP_ONLY(
            "Reads a build sheet and tells, for each blend and over the whole pull, how full every "
            "stage of the fuel supply is, what runs out first, at what power, and the least change "
            "that mends it.\n"
            "SHEET '-' is standard input. Several sheets are checked one after another; the exit "
            "code is that of the worst, and JSON is one object a line."),
        .options = (const fr_option[]){
            FORMAT("text|json|csv"),
            UNITS,
            BLEND,
            {"detail", 'd', false, FR_VALUE_NONE, NULL, "add the table over engine speed, and the line to write for each assumed value"},
            SET,
            PARTS,
            END},
        .examples = HELP_ONLY((const fr_example[]){
            {"fuelreach check examples/tern-direct.yaml", "the report on one build"},
            {"fuelreach check tern.yaml --blend E60 --set 'engine.target_power=320 kW'", "the same build, another blend and more power"},
            {"fuelreach check *.yaml --format json", "one object a sheet, for programs"},
            {NULL, NULL}}),
        .run = fr_command_check,
    },
    {
        .name = "fuel",
        .summary = "show the properties of gasoline-ethanol blends",
        .arguments = "[BLEND...]",
        .argument_kind = FR_ARGUMENT_TEXT,
        .least_arguments = 0,
        .most_arguments = FR_BLENDS_MAX,
        .about = HELP_ONLY(
            "Density, stoichiometric ratio, heating value, viscosity, bulk modulus and vapour "
            "pressure of the blends named; without a name E0, E10, E30, E50, E70, E85 and E100. "
            "A blend's name is its ethanol content by volume at 15 degC."),
        .options = (const fr_option[]){
            {"temperature", 't', false, FR_VALUE_TEXT, "T", "temperature of the fuel (default 20 degC)"},
            {"pressure", 0, false, FR_VALUE_TEXT, "P", "absolute pressure to which the fuel is squeezed from 1 atm, no heat lost (default 1 atm)"},
            FORMAT("text|json"),
            UNITS,
            END},
        .examples = HELP_ONLY((const fr_example[]){
            {"fuelreach fuel E10 E85 --temperature '45 C'", "two blends as they are in a warm rail"},
            {"fuelreach fuel E85 --pressure '200 bar'", "E85 in the rail of a direct-injected engine"},
            {NULL, NULL}}),
        .run = fr_command_fuel,
    },
#ifndef FR_FOR_BROWSERS /* it has a form to begin with */
    {
        .name = "draft",
        .summary = "write a starter sheet, every line explained",
        .arguments = "[FILE]",
        .argument_kind = FR_ARGUMENT_FILE,
        .least_arguments = 0,
        .most_arguments = 1,
        .about = HELP_ONLY(
            "Writes a build sheet that 'check' takes as it is. Change what you know; leave the rest "
            "to the defaults. Without FILE it goes to standard output; a file that is there already "
            "is never overwritten."),
        .options = (const fr_option[]){END},
        .examples = HELP_ONLY((const fr_example[]){
            {"fuelreach draft mycar.yaml", "a sheet to begin with"},
            {NULL, NULL}}),
        .run = fr_command_draft,
    },
#endif
    {
        .name = "parts",
        .summary = "list the parts, or show one with its computed figures",
        .arguments = "[KIND|NAME]",
        .argument_kind = FR_ARGUMENT_TEXT,
        .least_arguments = 0,
        .most_arguments = 1,
        .about = HELP_ONLY(
            "Without an argument lists all parts; with a kind, those of that kind; with a name, "
            "that part and what it does: a pump's flow and current at several pressures and "
            "voltages, an injector's flow at other pressures on E0 and E85, a filter's drop, a "
            "wire's resistance.\n"
            "The shipped parts are invented, typical of their class. A part of your own is a file "
            "of the same form in a folder given with --parts."),
        .options = (const fr_option[]){
            PARTS,
            FORMAT("text|json"),
            END},
        .examples = HELP_ONLY((const fr_example[]){
            {"fuelreach parts lift-pump", "all lift pumps"},
            {"fuelreach parts lift-340", "one pump and what it delivers"},
            {NULL, NULL}}),
        .run = fr_command_parts,
    },
    {
        .name = "promise",
        .summary = "tell how sure it is, and what power can be promised",
        .arguments = "SHEET",
        .argument_kind = FR_ARGUMENT_FILE,
        .least_arguments = 1,
        .most_arguments = 1,
        .about = HELP_ONLY(
            "Draws every figure that is known to a few per cent many times, checks each draw, and "
            "tells for each blend the odds of running short, the power that holds with 90, 95 and "
            "99 %, and what to measure first to be surer.\n"
            "A tolerance is what stands behind '±' in the sheet, or a part's spread; where there is "
            "none, one of common practice is taken and said. The same seed gives the same figures. "
            "The exit code is 1 where a blend is more likely short than not."),
        .options = (const fr_option[]){
            {"draws", 'n', false, FR_VALUE_COUNT, "N", "how many draws (default 65536)"},
            {"confidence", 'c', true, FR_VALUE_TEXT, "C", "tell the power that holds with this confidence too, '97 %'"},
            {"seed", 0, false, FR_VALUE_COUNT, "S", "seed of the draws (default 1)"},
            {"no-defaults", 0, false, FR_VALUE_NONE, NULL, "draw only what has a tolerance in the sheet or its parts"},
            FORMAT("text|json|csv"),
            UNITS,
            BLEND,
            SET,
            PARTS,
            END},
        .examples = HELP_ONLY((const fr_example[]){
            {"fuelreach promise examples/tern-direct.yaml", "what can be promised of one build"},
            {"fuelreach promise tern.yaml --blend E60 --confidence '97 %'", "one blend, one more confidence"},
            {NULL, NULL}}),
        .page = &fr_page_promise,
        .run = fr_command_promise,
    },
    {
        .name = "size",
        .summary = "find what must be fitted, for the least money",
        .arguments = "SHEET",
        .argument_kind = FR_ARGUMENT_FILE,
        .least_arguments = 1,
        .most_arguments = 1,
        .about = HELP_ONLY(
            "Tells what the target needs on every blend of the sheet, whatever the parts; then the "
            "cheapest set of parts that is clear on every blend, the next best, a cheaper compromise "
            "and what it loses. What the sheet has is owned and costs nothing.\n"
            "Parts are those shipped and those of --parts; with --shelf only what lies on that "
            "shelf. The slots are lift-pump, wiring, filter, line, port-injector, direct-injector "
            "and high-pressure-pump."),
        .options = (const fr_option[]){
            FORMAT("text|json"),
            UNITS,
            {"budget", 0, false, FR_VALUE_TEXT, "PRICE", "spend no more than this; tells the most power for the money"},
            {"top", 't', false, FR_VALUE_COUNT, "N", "how many of the best sets to show (default 3)"},
            {"front", 0, false, FR_VALUE_NONE, NULL, "show the whole front of power against price"},
            {"confidence", 0, false, FR_VALUE_TEXT, "C", "look for sets that are not short with this chance, '95 %', in place of clear at the limits"},
            {"keep", 'k', true, FR_VALUE_TEXT, "SLOT", "leave this slot as the sheet has it"},
            {"shelf", 0, true, FR_VALUE_FOLDER, "DIR", "choose only from the parts in this folder"},
            {"prices", 0, false, FR_VALUE_FILE, "FILE.csv", "a list of part name and price, laid over the parts' own prices"},
            SET,
            PARTS,
            END},
        .examples = HELP_ONLY((const fr_example[]){
            {"fuelreach size examples/tern-return-short.yaml", "what to buy for a build that is short of lift pump"},
            {"fuelreach size tern.yaml --budget 600 --keep line", "the most power for 600, the lines left alone"},
            {"fuelreach size tern.yaml --shelf our-shelf --prices prices.csv --front", "from one shelf, with its price list"},
            {NULL, NULL}}),
        .page = &fr_page_size,
        .run = fr_command_size,
    },
#ifndef FR_FOR_BROWSERS /* a page in a browser has no logs */
    {
        .name = "review",
        .summary = "hold logged pulls against the sheet, and clear the next blend",
        .arguments = "SHEET LOG.csv...",
        .argument_kind = FR_ARGUMENT_FILE,
        .least_arguments = 2,
        .most_arguments = SIZE_MAX,
        .about = HELP_ONLY(
            "Finds the pulls in logs, tells where measured and predicted part and what that suggests, "
            "learns the factors that the log tells, and says with what chance each later blend holds, "
            "which step comes next, what to watch in it and at which figure to lift.\n"
            "Logs are CSV with a header; the sheet's log section says which column is what. The exit "
            "code is 1 where the next blend is not clear."),
        .options = (const fr_option[]){
            {"blend", 'b', false, FR_VALUE_BLEND, "B", "what was in the tank, for logs without an ethanol column"},
            {"next", 'n', true, FR_VALUE_BLEND, "B", "a blend to clear, in place of the sheet's later ones"},
            {"confidence", 0, false, FR_VALUE_TEXT, "C", "chance of holding that counts as clear (default 95 %)"},
            {"learn", 0, false, FR_VALUE_FILE, "FILE", "write the factors as a learnt section for the sheet"},
            FORMAT("text|json"),
            UNITS,
            SET,
            PARTS,
            END},
        .examples = HELP_ONLY((const fr_example[]){
            {"fuelreach review tern.yaml e10.csv e30.csv", "two logs together"},
            {"fuelreach review tern.yaml e30.csv --next E50 --learn learnt.yaml", "is E50 clear? And keep what was learnt"},
            {NULL, NULL}}),
        .page = &fr_page_review,
        .run = fr_command_review,
    },
#endif
    {
        .name = "page",
        .summary = "put a build on one page, to open, mail or print",
        .arguments = "SHEET",
        .argument_kind = FR_ARGUMENT_FILE,
        .least_arguments = 1,
        .most_arguments = 1,
        .about = HELP_ONLY(
            "Writes one HTML file that needs no network and no script: verdict, what to do, blends, "
            "figures, what was assumed, cautions, and the sheet itself. On paper it takes two sides."),
        .options = (const fr_option[]){
            {"output", 'o', false, FR_VALUE_FILE, "FILE", "where to write (default: standard output); an old file is replaced whole or not at all"},
            {"log", 'l', true, FR_VALUE_FILE, "LOG.csv", "a logged pull, to show beside the prediction"},
            {"shelf", 0, true, FR_VALUE_FOLDER, "DIR", "choose what to fit only from the parts in this folder"},
            {"prices", 0, false, FR_VALUE_FILE, "FILE.csv", "a list of part name and price, laid over the parts' own prices"},
            {"check-only", 0, false, FR_VALUE_NONE, NULL, "leave out the odds and the choice of parts"},
            UNITS,
            BLEND,
            SET,
            PARTS,
            END},
        .examples = HELP_ONLY((const fr_example[]){
            {"fuelreach page examples/tern-direct.yaml -o tern.html", "the page of one build"},
            {NULL, NULL}}),
        .run = fr_command_page,
    },
#ifndef FR_FOR_BROWSERS /* its report has all of them */
    {
        .name = "chart",
        .summary = "draw one chart of a build, as SVG",
        .arguments = "SHEET",
        .argument_kind = FR_ARGUMENT_FILE,
        .least_arguments = 1,
        .most_arguments = 1,
        .about = HELP_ONLY(
            "Draws what each stage carries over engine speed (capacity), the power that each stage "
            "carries over the blend (reach), the chance that the target holds (odds), how long the "
            "injectors are open (duty), rail pressure (rail), or the lift pump against the way to "
            "the rail (pump)."),
        .options = (const fr_option[]){
            {"kind", 'k', false, FR_VALUE_WORD, "capacity|reach|odds|duty|rail|pump", "which chart (default capacity)"},
            {"output", 'o', false, FR_VALUE_FILE, "FILE.svg", "where to write (default: standard output); an old file is replaced whole or not at all"},
            UNITS,
            BLEND,
            SET,
            PARTS,
            END},
        .examples = HELP_ONLY((const fr_example[]){
            {"fuelreach chart examples/tern-direct.yaml --kind rail -o rail.svg", "rail pressure over engine speed"},
            {NULL, NULL}}),
        .run = fr_command_chart,
    },
#endif
    {
        .name = "explain",
        .summary = "show the working of one blend and speed, step by step",
        .arguments = "SHEET",
        .argument_kind = FR_ARGUMENT_FILE,
        .least_arguments = 1,
        .most_arguments = 1,
        .about = HELP_ONLY(
            "Writes the working as an engineer would by hand: each equation with its symbols, the "
            "numbers in it, the result with its unit, the source, and which values were assumed. "
            "Without options: the blend that carries least, at the speed where it is fullest."),
        .options = (const fr_option[]){
            {"speed", 'n', false, FR_VALUE_TEXT, "N", "at this engine speed, '4500 rpm' (the nearest that was checked)"},
            {"stage", 0, false, FR_VALUE_TEXT, "STAGE", "only what leads to this stage, such as lift-pump"},
            BLEND,
            SET,
            PARTS,
            END},
        .examples = HELP_ONLY((const fr_example[]){
            {"fuelreach explain examples/tern-direct.yaml --blend E60 --speed '4500 rpm' --stage direct-pressure", "why the injection pressure is what it is"},
            {NULL, NULL}}),
        .run = fr_command_explain,
    },
    {
        .name = "tank",
        .summary = "plan fillings, and tell what the tank holds and when the engine sees it",
        .arguments = "",
        .argument_kind = FR_ARGUMENT_NONE,
        .least_arguments = 0,
        .most_arguments = 0,
        .about = HELP_ONLY(
            "Carries out the options as orders, in the order given: pour, drain, reach a blend, read "
            "the sensor. Ethanol and gasoline keep their mass; volumes are as measured at "
            "--temperature, blends by volume at 15 degC.\n"
            "A blend is E77, or E85-pump for what is sold as E85: then both ends of 51-83 % "
            "(ASTM D5798) are worked out. --with stands behind the --target or --steps it serves.\n"
            "The exit code is 1 where a target is out of reach or a reading does not fit."),
        .options = (const fr_option[]){
            {"size", 0, false, FR_VALUE_TEXT, "V", "volume of the tank when full, '50 L'; needed"},
            {"holds", 0, false, FR_VALUE_TEXT, "V@B", "what is in it now, '12 L@E8'; needed"},
            {"add", 'a', true, FR_VALUE_TEXT, "V@B", "pour that much of a fuel"},
            {"drain", 0, true, FR_VALUE_TEXT, "V", "draw off that much"},
            {"target", 0, true, FR_VALUE_TEXT, "B", "reach this blend with the fuel of --with, draining only what must go"},
            {"steps", 0, true, FR_VALUE_TEXT, "B,B,...", "reach these blends one after another, the least drained in all"},
            {"with", 0, true, FR_VALUE_TEXT, "B", "the fuel that --target and --steps pour"},
            {"line", 0, false, FR_VALUE_TEXT, "V", "content of the line from tank to engine: tells when the engine sees the new blend"},
            {"burn", 0, true, FR_VALUE_TEXT, "FLOW", "fuel burned meanwhile: '9 L/h', '10 L/100km', '25 mpg'"},
            {"return", 0, false, FR_VALUE_TEXT, "FLOW", "fuel that flows back to the tank meanwhile (default none)"},
            {"bore", 0, false, FR_VALUE_TEXT, "D", "bore of that line (default 8 mm)"},
            {"reading", 0, false, FR_VALUE_TEXT, "B", "what the sensor shows at this point, '45 %': does it fit what was poured?"},
            {"temperature", 't', false, FR_VALUE_TEXT, "T", "at which all volumes are measured (default 15 degC)"},
            FORMAT("text|json"),
            UNITS,
            END},
        .examples = HELP_ONLY((const fr_example[]){
            {"fuelreach tank --size '50 L' --holds '12 L@E8' --add '10 L@E77'", "the blend after a filling"},
            {"fuelreach tank --size '50 L' --holds '45 L@E8' --steps E30,E50,E62 --with E77", "a plan of steps with the least drained"},
            {"fuelreach tank --size '50 L' --holds '12 L@E8' --add '20 L@E85-pump' --line '0.3 L' --burn '9 L/h' --reading '47 %'", "when the engine sees it, and whether the sensor agrees"},
            {NULL, NULL}}),
        .run = fr_command_tank,
    },
    {.name = NULL},
};
