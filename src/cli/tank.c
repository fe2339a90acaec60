/* SPDX-License-Identifier: GPL-3.0-or-later */
/* fuelreach tank: options are orders, carried out as they stand on the command line. */
#include <ctype.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>
#include <strings.h>

#include "cli/command.h"
#include "report/tank_document.h"

static const double DEFAULT_BORE_M = 8e-3;        /* as the build sheet's default line */
static const double DEFAULT_TEMPERATURE_C = 15.0; /* the temperature that blends are named at */
static const double MILE_M = 1609.344;
static const double KM_100 = 1e5;
static const double LITRE = 1e-3;

enum { TEXT_MAX = 256, RUNS_SHORT = 1, BAD_INPUT = 2 };

/* What is being put together from the options. */
typedef struct tank_order_book {
    const fr_invocation *invocation;
    fr_tank_ask ask;
    bool has_size;
    bool has_holds;
    bool has_with;                 /* a --with was given */
    fr_tank_blend with;            /* the last one */
    bool open[FR_TANK_ORDERS_MAX]; /* a target that still takes the next --with */
    bool bare[FR_TANK_ORDERS_MAX]; /* a target that has no fuel yet */
    bool pump;                     /* a content with two ends is among them */
    const char *once[8];           /* options seen that may stand once */
    size_t once_count;
} tank_order_book;

typedef bool (*tank_reader)(tank_order_book *book, const char *name, const char *text);

static bool refuse(const tank_order_book *book, const char *name, const char *text,
                   const char *hint) {
    fr_usage_error(book->invocation, "--%s: '%s' is not understood; write it as '%s'", name, text,
                   hint);
    return false;
}

/* ---- pieces ---- */

static bool read_blend(tank_order_book *book, const char *name, const char *text,
                       fr_tank_blend *blend) {
    double ethanol;
    text += strspn(text, " ");
    if (strcasecmp(text, "E85-pump") == 0) {
        *blend = fr_tank_pump_e85();
        book->pump = true;
        return true;
    }
    if (!fr_blend_parse(text, &ethanol))
        return refuse(book, name, text, "E77, or E85-pump for what is sold as E85");
    *blend = (fr_tank_blend){ethanol, ethanol};
    return true;
}

static bool read_volume(const tank_order_book *book, const char *name, const char *text,
                        double *volume_m3) {
    fr_quantity quantity;
    if (!fr_option_quantity(book->invocation, name, text, FR_KINDS(FR_KIND_VOLUME), &quantity))
        return false;
    if (quantity.value < 0.0)
        return refuse(book, name, text, "12 L");
    *volume_m3 = quantity.value;
    return true;
}

/* "12 L@E8" */
static bool read_portion(tank_order_book *book, const char *name, const char *text,
                         double *volume_m3, fr_tank_blend *blend) {
    char volume[TEXT_MAX];
    const char *at = strchr(text, '@');
    if (at == NULL || (size_t)(at - text) >= sizeof volume)
        return refuse(book, name, text, "12 L@E8");
    memcpy(volume, text, (size_t)(at - text));
    volume[at - text] = '\0';
    return read_volume(book, name, volume, volume_m3) && read_blend(book, name, at + 1, blend);
}

static fr_tank_order *new_order(tank_order_book *book, fr_tank_act act) {
    if (book->ask.order_count == FR_TANK_ORDERS_MAX) {
        fr_usage_error(book->invocation, "more than %d orders in one call", FR_TANK_ORDERS_MAX);
        return NULL;
    }
    fr_tank_order *order = &book->ask.orders[book->ask.order_count++];
    *order = (fr_tank_order){.act = act};
    return order;
}

/* ---- one reader an option ---- */

static bool read_size(tank_order_book *book, const char *name, const char *text) {
    book->has_size = true;
    return read_volume(book, name, text, &book->ask.size_m3);
}

static bool read_holds(tank_order_book *book, const char *name, const char *text) {
    book->has_holds = true;
    return read_portion(book, name, text, &book->ask.holds_m3, &book->ask.holds);
}

static bool read_add(tank_order_book *book, const char *name, const char *text) {
    fr_tank_order *order = new_order(book, FR_TANK_ADD);
    return order != NULL && read_portion(book, name, text, &order->volume_m3, &order->blend);
}

static bool read_drain(tank_order_book *book, const char *name, const char *text) {
    fr_tank_order *order = new_order(book, FR_TANK_DRAIN);
    return order != NULL && read_volume(book, name, text, &order->volume_m3);
}

static bool read_targets(tank_order_book *book, const char *name, const char *text) {
    fr_tank_order *order = new_order(book, FR_TANK_TARGETS);
    if (order == NULL)
        return false;
    book->open[book->ask.order_count - 1] = true;
    book->bare[book->ask.order_count - 1] = !book->has_with;
    order->blend = book->with;
    while (*text != '\0') {
        char blend[TEXT_MAX];
        const size_t length = strcspn(text, ",");
        snprintf(blend, sizeof blend, "%.*s", (int)length, text + strspn(text, " "));
        blend[strcspn(blend, ",")] = '\0';
        if (order->target_count == FR_TANK_TARGETS_MAX ||
            !fr_blend_parse(blend, &order->targets[order->target_count++]))
            return refuse(book, name, text, "E30,E50,E62");
        text += length + (text[length] == ',');
    }
    return order->target_count > 0 || refuse(book, name, text, "E30,E50,E62");
}

/* Stands behind the targets that it serves; those that follow take it too, until the next. */
static bool read_with(tank_order_book *book, const char *name, const char *text) {
    if (!read_blend(book, name, text, &book->with))
        return false;
    book->has_with = true;
    for (size_t i = 0; i < book->ask.order_count; i++)
        if (book->open[i]) {
            book->ask.orders[i].blend = book->with;
            book->open[i] = book->bare[i] = false;
        }
    return true;
}

static bool read_line(tank_order_book *book, const char *name, const char *text) {
    book->ask.line.asked = true;
    return read_volume(book, name, text, &book->ask.line.volume_m3);
}

static bool read_bore(tank_order_book *book, const char *name, const char *text) {
    fr_quantity quantity;
    if (!fr_option_quantity(book->invocation, name, text, FR_KINDS(FR_KIND_LENGTH), &quantity))
        return false;
    book->ask.line.bore_m = quantity.value;
    return quantity.value > 0.0 || refuse(book, name, text, "8 mm");
}

/* "10 L/100km" or "25 mpg": fuel over distance. */
static bool read_consumption(const char *text, double *burn_m3_per_m) {
    char unit[TEXT_MAX];
    char *end;
    size_t length = 0;
    const double number = strtod(text, &end);
    if (end == text || !(number > 0.0) || !isfinite(number))
        return false;
    for (; *end != '\0' && length + 1 < sizeof unit; end++)
        if (*end != ' ')
            unit[length++] = (char)tolower((unsigned char)*end);
    unit[length] = '\0';
    if (strcmp(unit, "l/100km") == 0)
        *burn_m3_per_m = number * LITRE / KM_100;
    else if (strcmp(unit, "mpg") == 0) /* US miles a US gallon */
        *burn_m3_per_m = 1.0 / (fr_in_unit(1.0, "gal") * number * MILE_M);
    else
        return false;
    return true;
}

static bool read_flow(const tank_order_book *book, const char *name, const char *text,
                      double *flow_m3_s) {
    fr_quantity quantity;
    if (!fr_option_quantity(book->invocation, name, text, FR_KINDS(FR_KIND_VOLUME_FLOW), &quantity))
        return false;
    *flow_m3_s = quantity.value;
    return quantity.value > 0.0 || refuse(book, name, text, "9 L/h");
}

static bool read_burn(tank_order_book *book, const char *name, const char *text) {
    return read_consumption(text, &book->ask.line.burn_m3_per_m) ||
           read_flow(book, name, text, &book->ask.line.burn_m3_s);
}

static bool read_return(tank_order_book *book, const char *name, const char *text) {
    return read_flow(book, name, text, &book->ask.line.return_m3_s);
}

/* "45 %", "45" or "E45". */
static bool read_reading(tank_order_book *book, const char *name, const char *text) {
    fr_quantity quantity;
    double ethanol;
    book->ask.has_reading = true;
    book->ask.reading_after = book->ask.order_count;
    if (fr_blend_parse(text, &ethanol)) {
        book->ask.reading = ethanol;
        return true;
    }
    if (!fr_option_quantity(book->invocation, name, text, FR_KINDS(FR_KIND_FRACTION), &quantity))
        return false;
    book->ask.reading = quantity.value;
    return (quantity.value >= 0.0 && quantity.value <= 1.0) || refuse(book, name, text, "45 %");
}

static bool read_temperature(tank_order_book *book, const char *name, const char *text) {
    static const double COLDEST_C = -60.0; /* beyond, neither fuel nor model is to be trusted */
    static const double HOTTEST_C = 80.0;
    fr_quantity quantity;
    if (!fr_option_quantity(book->invocation, name, text, FR_KINDS(FR_KIND_TEMPERATURE), &quantity))
        return false;
    book->ask.temperature_c = quantity.value;
    return (quantity.value >= COLDEST_C && quantity.value <= HOTTEST_C) ||
           refuse(book, name, text, "25 °C");
}

typedef struct tank_word {
    const char *name;
    bool once;
    tank_reader read;
} tank_word;

static const tank_word WORDS[] = {
    {"size", true, read_size},
    {"holds", true, read_holds},
    {"add", false, read_add},
    {"drain", false, read_drain},
    {"target", false, read_targets},
    {"steps", false, read_targets},
    {"with", false, read_with},
    {"line", true, read_line},
    {"bore", true, read_bore},
    {"burn", false, read_burn},
    {"return", true, read_return},
    {"reading", true, read_reading},
    {"temperature", true, read_temperature},
};

/* ---- the whole of it ---- */

static bool seen_before(tank_order_book *book, const char *name) {
    for (size_t i = 0; i < book->once_count; i++)
        if (strcmp(book->once[i], name) == 0)
            return true;
    if (book->once_count < sizeof book->once / sizeof *book->once)
        book->once[book->once_count++] = name;
    return false;
}

static bool read_option(tank_order_book *book, const fr_given *given) {
    for (size_t i = 0; i < sizeof WORDS / sizeof *WORDS; i++) {
        if (strcmp(WORDS[i].name, given->option->name) != 0)
            continue;
        if (WORDS[i].once && seen_before(book, WORDS[i].name)) {
            fr_usage_error(book->invocation, "--%s stands twice; it is taken once", WORDS[i].name);
            return false;
        }
        return WORDS[i].read(book, WORDS[i].name, given->value);
    }
    return true; /* --format, --units */
}

static bool complain(const tank_order_book *book, const char *what) {
    fr_usage_error(book->invocation, "%s", what);
    return false;
}

/* What must stand together, stands together. */
static bool complete(const tank_order_book *book) {
    const fr_tank_line *line = &book->ask.line;
    if (!book->has_size)
        return complain(book, "how big is the tank? Add --size '50 L'");
    if (!(book->ask.size_m3 > 0.0))
        return complain(book, "--size is the tank's volume; it must be more than nothing");
    if (!book->has_holds)
        return complain(book, "what is in the tank now? Add --holds '12 L@E8'");
    for (size_t i = 0; i < book->ask.order_count; i++)
        if (book->bare[i])
            return complain(book, "a target needs the fuel that is poured: add --with E77");
    const bool burns = line->burn_m3_s > 0.0 || line->burn_m3_per_m > 0.0;
    if (line->asked && !(line->volume_m3 > 0.0))
        return complain(book, "--line is the content of the line from tank to engine: '0.3 L'");
    if (line->asked != burns)
        return complain(book, line->asked ? "--line needs --burn '9 L/h' or '10 L/100km'"
                                          : "--burn needs --line '0.3 L', the line's content");
    if (line->return_m3_s > 0.0 && !(line->burn_m3_s > 0.0))
        return complain(book, "--return needs --line and --burn as a flow, '9 L/h'");
    return true;
}

static int say_impossible(const tank_order_book *book, const fr_tank_result *result) {
    const double litres = fr_in_unit(result->excess_m3, "L");
    const bool start = result->obstacle_order == book->ask.order_count;
    if (start)
        return fr_usage_error(book->invocation, "--holds is %.2f L more than --size", litres);
    if (result->obstacle == FR_TANK_OVERFLOWS)
        return fr_usage_error(book->invocation,
                              "order %zu does not fit: the tank overflows by %.2f L",
                              result->obstacle_order + 1, litres);
    return fr_usage_error(book->invocation, "order %zu drains %.2f L more than there is",
                          result->obstacle_order + 1, litres);
}

static bool all_well(const fr_tank_result *result) {
    return result->reachable && (!result->has_reading || result->finding == FR_TANK_FITS);
}

static int answer(const tank_order_book *book, fr_tank_result results[2]) {
    const fr_invocation *invocation = book->invocation;
    const fr_text_style style = {.units = fr_invocation_units(invocation, FR_METRIC),
                                 .colour = invocation->colour_out};
    fr_tank_document document = {.ask = &book->ask, .end_count = book->pump ? 2 : 1};
    const bool possible = book->pump ? fr_tank_run_ends(&book->ask, results)
                                     : fr_tank_run(&book->ask, false, &results[0]);
    if (!possible)
        return say_impossible(book, results[0].excess_m3 > 0.0 ? &results[0] : &results[1]);
    document.results[0] = &results[0];
    document.results[1] = &results[1];
    /* Reached at either end of what is sold is good enough. */
    const bool well = all_well(&results[0]) || (book->pump && all_well(&results[1]));
    if (fr_invocation_is(invocation, "format", "json"))
        fr_write_tank_json(invocation->out, &document);
    else
        fr_write_tank_text(invocation->out, &document, &style);
    return well ? 0 : RUNS_SHORT;
}

int fr_command_tank(fr_invocation *invocation) {
    tank_order_book *book = calloc(1, sizeof *book);
    fr_tank_result *results = calloc(2, sizeof *results);
    int code = BAD_INPUT;
    if (book == NULL || results == NULL) {
        code = fr_system_error(invocation, "%s", fr_status_text(FR_NO_MEMORY));
    } else {
        bool fine = true;
        book->invocation = invocation;
        book->ask.gasoline = fr_gasoline_default();
        book->ask.temperature_c = DEFAULT_TEMPERATURE_C;
        book->ask.line.bore_m = DEFAULT_BORE_M;
        for (size_t i = 0; fine && i < invocation->given_count; i++)
            fine = read_option(book, &invocation->given[i]);
        if (fine && complete(book))
            code = answer(book, results);
    }
    free(book);
    free(results);
    return code;
}
