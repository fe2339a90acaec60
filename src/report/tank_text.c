/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>
#include <stdlib.h>

#include "report/format.h"
#include "report/prose.h"
#include "report/tank_document.h"
#include "report/words.h"

static const double PERCENT = 1e2;
static const double FINE_BELOW = 10.0; /* litres or gallons shown to a hundredth up to here */
static const double MINUTE_S = 60.0;
static const double MILE_M = 1609.344;

/* ---- small pieces ---- */

static const char *volume_unit(fr_units units) {
    return units == FR_US ? "gal" : "L";
}

static double volume_shown(fr_units units, double volume_m3) {
    return fr_in_unit(volume_m3, volume_unit(units));
}

static void add_volume(fr_words *words, fr_units units, double volume_m3) {
    const double shown = volume_shown(units, volume_m3);
    fr_words_add(words, "%.*f %s", fabs(shown) < FINE_BELOW ? 2 : 1, shown, volume_unit(units));
}

static void blend_word(double ethanol, char name[FR_BLEND_NAME_MAX]) {
    if (isnan(ethanol))
        snprintf(name, FR_BLEND_NAME_MAX, "-");
    else
        snprintf(name, FR_BLEND_NAME_MAX, "E%.4g", fr_round_to(ethanol * PERCENT, 1, FR_NEAREST));
}

static void add_blend(fr_words *words, double ethanol) {
    char name[FR_BLEND_NAME_MAX];
    blend_word(ethanol, name);
    fr_words_add(words, "%s", name);
}

static void add_time(fr_words *words, double seconds) {
    if (seconds < 2.0 * MINUTE_S)
        fr_words_add(words, "%.*f s", seconds < FINE_BELOW ? 1 : 0, seconds);
    else
        fr_words_add(words, "%.0f min", ceil(seconds / MINUTE_S));
}

static void add_distance(fr_words *words, fr_units units, double metres) {
    if (units == FR_US)
        fr_words_add(words, "%.1f miles", metres / MILE_M);
    else
        fr_words_add(words, "%.1f km", metres / 1e3);
}

/* ---- the table of steps ---- */

static void write_volume_cell(FILE *out, fr_units units, double volume_m3) {
    fr_words words;
    fr_words_clear(&words);
    if (volume_m3 > 0.0)
        add_volume(&words, units, volume_m3);
    fprintf(out, "%11s", words.length > 0 ? words.text : "-");
}

static void write_steps(FILE *out, const fr_tank_result *result, fr_units units) {
    double drained = 0.0;
    size_t reached = 0;
    fputs("      Drain       Pour   of         Then holds   Blend   A sensor may show\n", out);
    for (size_t i = 0; i < result->step_count; i++) {
        const fr_tank_step *step = &result->steps[i];
        drained += isnan(step->target) ? 0.0 : step->drained_m3;
        reached += isnan(step->target) ? 0 : 1;
        char poured[FR_BLEND_NAME_MAX];
        char blend[FR_BLEND_NAME_MAX];
        blend_word(step->added_ethanol, poured);
        blend_word(step->ethanol, blend);
        write_volume_cell(out, units, step->drained_m3);
        write_volume_cell(out, units, step->added_m3);
        fprintf(out, "   %-8s", poured);
        write_volume_cell(out, units, step->volume_m3);
        fprintf(out, "   %-6s", blend);
        if (isnan(step->ethanol))
            fputs("        -\n", out);
        else
            fprintf(out, "     %3.0f to %.0f %%\n", step->sensor_low * PERCENT,
                    step->sensor_high * PERCENT);
    }
    if (drained > 0.0 && reached > 1)
        fputs("  Draining once, before the first filling, takes the least fuel in all.\n", out);
}

/* ---- what was asked and is not to be had ---- */

static void write_obstacle(FILE *out, const fr_tank_result *result) {
    fr_words words;
    fr_words_clear(&words);
    fr_words_add(&words, "NOT REACHED: ");
    add_blend(&words, result->obstacle_target);
    if (result->obstacle == FR_TANK_WRONG_WAY) {
        fr_words_add(&words, ". This fuel moves the tank the other way; the nearest is ");
        add_blend(&words, result->nearest_ethanol);
        fr_words_add(&words, ", as it is now.");
    } else {
        fr_words_add(&words, ". The fuel poured is ");
        add_blend(&words, result->nearest_ethanol);
        fr_words_add(&words, " itself: filling to the brim gives ");
        add_blend(&words, result->topped_up_ethanol);
        fr_words_add(&words, ", topping up again and again comes near ");
        add_blend(&words, result->nearest_ethanol);
        fr_words_add(&words, " and never past it. Only an emptied tank holds that.");
    }
    fputc('\n', out);
    fr_prose(out, 0, 2, words.text);
}

/* ---- the line ---- */

static void add_arrival(fr_words *words, const fr_tank_transit *line, fr_units units) {
    fr_words_add(words, "The engine sees the first change after ");
    if (!isnan(line->first_change_s))
        add_time(words, line->first_change_s);
    else
        add_distance(words, units, line->first_change_m);
    fr_words_add(words, ", and the new blend (95 %% of the change) after ");
    if (!isnan(line->settled_s))
        add_time(words, line->settled_s);
    if (!isnan(line->settled_s) && !isnan(line->settled_m))
        fr_words_add(words, " or ");
    if (!isnan(line->settled_m))
        add_distance(words, units, line->settled_m);
    fr_words_add(words, ", when ");
    add_volume(words, units, line->fuel_m3);
    fr_words_add(words, " have passed the line");
    if (line->burned_m3 < line->fuel_m3) {
        fr_words_add(words, ", ");
        add_volume(words, units, line->burned_m3);
        fr_words_add(words, " of it burned; the rest went back and stirred the tank");
    }
    fr_words_add(words, ".");
}

static void write_line(FILE *out, const fr_tank_ask *ask, const fr_tank_transit *line,
                       fr_units units) {
    fr_words words;
    fr_words_clear(&words);
    add_volume(&words, units, line->volume_m3);
    fr_words_add(&words, " of line, from ");
    add_blend(&words, line->old_ethanol);
    fr_words_add(&words, " to ");
    add_blend(&words, line->new_ethanol);
    fprintf(out, "\n%s\n", words.text);
    fr_words_clear(&words);
    add_arrival(&words, line, units);
    fr_prose(out, 2, 2, words.text);
    fr_words_clear(&words);
    if (line->turbulent)
        fr_words_add(&words, "Model: plug flow with Taylor's axial mixing, turbulent (Re %.0f).",
                     line->reynolds);
    else
        fr_words_add(&words, "Model: laminar flow, no mixing across the line%s; it carries the "
                             "old blend along the wall, so it mixes most.",
                     isnan(line->reynolds) ? " (flow not given)" : "");
    fr_words_add(&words, " Bore %.1f mm.%s", ask->line.bore_m * 1e3,
                 ask->line.return_m3_s > 0.0 ? " Tank well stirred; return line's own content not counted."
                                             : "");
    fr_prose(out, 2, 2, words.text);
}

/* ---- the reading ---- */

static const char *const READING_MEANS[FR_TANK_FINDING_COUNT] = {
    [FR_TANK_FITS] = "It fits what was poured.",
    [FR_TANK_NOT_ARRIVED] = "It is the blend from before the last filling: run the engine until "
                            "the line's content has passed, then read again. Else nothing of the "
                            "kind was poured, or the sensor is stuck.",
    [FR_TANK_PUMP_RANGE] = "That is still sold as E85 (51-83 %, ASTM D5798): the fuel is weaker "
                           "or stronger than its name, not the sensor at fault.",
    [FR_TANK_MISLABELLED] = "The fuel is not what its label says, the volumes are wrong, or the "
                            "sensor is failing: test a sample of the fuel.",
    [FR_TANK_WATER_OR_SENSOR] = "No ethanol content explains so much. Water in the fuel reads high "
                                "by far: draw a sample from the bottom. Else the sensor is failing.",
    [FR_TANK_SENSOR] = "No fuel explains so little: the sensor is failing, or what the tank held "
                       "or its volumes were not as given.",
};

void fr_tank_reading_words(const fr_tank_ask *ask, const fr_tank_result *result,
                           fr_words *words) {
    fr_words_add(words, "The sensor reads %.4g %%, %.0f %% are expected. ", ask->reading * PERCENT,
                 result->expected_ethanol * PERCENT);
    const bool between = result->finding == FR_TANK_FITS &&
                         fabs(ask->reading - result->expected_ethanol) > fr_tank_sensor_error();
    if (between)
        fr_words_add(words, "It lies between the ends of what is sold as E85. ");
    if (between || result->finding == FR_TANK_PUMP_RANGE ||
        result->finding == FR_TANK_MISLABELLED) {
        const double held = fmin(1.0, fmax(0.0, result->implied_ethanol));
        fr_words_add(words, "Then the fuel poured last held about %.0f %%. ", held * PERCENT);
    }
    fr_words_add(words, "%s", READING_MEANS[result->finding]);
}

static void write_reading(FILE *out, const fr_tank_ask *ask, const fr_tank_result *result) {
    fr_words words;
    fr_words_clear(&words);
    fr_words_add(&words, "%s: ", result->finding == FR_TANK_FITS ? "FITS" : "DOES NOT FIT");
    fr_tank_reading_words(ask, result, &words);
    fputc('\n', out);
    fr_prose(out, 0, 2, words.text);
}

/* ---- the whole ---- */

static void write_end(FILE *out, const fr_tank_document *document, size_t end, fr_units units) {
    const fr_tank_result *result = document->results[end];
    if (document->end_count > 1)
        fprintf(out, "\nWith E%.0f out of the E85 pump\n",
                (end == 0 ? fr_tank_pump_e85().low : fr_tank_pump_e85().high) * PERCENT);
    else
        fputc('\n', out);
    if (result->step_count > 0)
        write_steps(out, result, units);
    if (!result->reachable)
        write_obstacle(out, result);
    if (result->line.known)
        write_line(out, document->ask, &result->line, units);
    if (result->has_reading)
        write_reading(out, document->ask, result);
}

static void write_head(FILE *out, const fr_tank_document *document, fr_units units) {
    const fr_tank_ask *ask = document->ask;
    fr_words words;
    fr_words_clear(&words);
    fr_words_add(&words, "Tank of ");
    add_volume(&words, units, ask->size_m3);
    fr_words_add(&words, ", ");
    add_volume(&words, units, ask->holds_m3);
    fr_words_add(&words, " of ");
    if (ask->holds.high > ask->holds.low)
        fr_words_add(&words, "pump E85");
    else
        add_blend(&words, ask->holds.low);
    fr_words_add(&words, " in it. Volumes at ");
    fr_show(&words, FR_MEASURE_TEMPERATURE, units, ask->temperature_c, FR_NEAREST);
    fr_words_add(&words, ", ethanol by volume at 15 °C.");
    fr_prose(out, 0, 2, words.text);
}

void fr_write_tank_text(FILE *out, const fr_tank_document *document, const fr_text_style *style) {
    write_head(out, document, style->units);
    for (size_t i = 0; i < document->end_count; i++)
        write_end(out, document, i, style->units);
    fputs("\nCautions\n", out);
    fr_prose(out, 2, 4, "Fill and drain in the open, engine off and cold, no flame or spark, into a "
                        "closed can made for fuel; vapour burns and is heavier than air.");
    fr_prose(out, 2, 4, "E85 from a filling pump may hold 51-83 % ethanol (ASTM D5798): test the "
                        "fuel before the engine leans on it.");
}
