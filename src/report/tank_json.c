/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>

#include "report/json.h"
#include "report/tank_document.h"
#include "report/words.h"

static const double LITRES = 1e3;
static const double PERCENT = 1e2;
static const double KILOMETRES = 1e-3;

static void write_step(fr_json *json, const fr_tank_step *step) {
    fr_json_object(json, NULL);
    fr_json_number(json, "drained_l", step->drained_m3 * LITRES);
    fr_json_number(json, "added_l", step->added_m3 * LITRES);
    fr_json_number(json, "added_ethanol_percent", step->added_ethanol * PERCENT);
    fr_json_number(json, "volume_l", step->volume_m3 * LITRES);
    fr_json_number(json, "ethanol_percent", step->ethanol * PERCENT);
    fr_json_number(json, "sensor_low_percent", step->sensor_low * PERCENT);
    fr_json_number(json, "sensor_high_percent", step->sensor_high * PERCENT);
    fr_json_object_end(json);
}

static void write_line(fr_json *json, const fr_tank_transit *line) {
    fr_json_object(json, "line");
    fr_json_number(json, "volume_l", line->volume_m3 * LITRES);
    fr_json_number(json, "first_change_s", line->first_change_s);
    fr_json_number(json, "settled_s", line->settled_s);
    fr_json_number(json, "fuel_l", line->fuel_m3 * LITRES);
    fr_json_number(json, "burned_l", line->burned_m3 * LITRES);
    fr_json_number(json, "first_change_km", line->first_change_m * KILOMETRES);
    fr_json_number(json, "settled_km", line->settled_m * KILOMETRES);
    fr_json_number(json, "old_ethanol_percent", line->old_ethanol * PERCENT);
    fr_json_number(json, "new_ethanol_percent", line->new_ethanol * PERCENT);
    fr_json_text(json, "flow", line->turbulent ? "turbulent" : "laminar");
    fr_json_object_end(json);
}

static void write_reading(fr_json *json, const fr_tank_ask *ask, const fr_tank_result *result) {
    fr_words words;
    fr_words_clear(&words);
    fr_tank_reading_words(ask, result, &words);
    fr_json_object(json, "reading");
    fr_json_number(json, "percent", ask->reading * PERCENT);
    fr_json_bool(json, "fits", result->finding == FR_TANK_FITS);
    fr_json_text(json, "means", words.text);
    fr_json_text(json, "finding", fr_tank_finding_name(result->finding));
    fr_json_number(json, "expected_ethanol_percent", result->expected_ethanol * PERCENT);
    fr_json_number(json, "implied_added_percent", result->implied_ethanol * PERCENT);
    fr_json_object_end(json);
}

static void write_result(fr_json *json, const fr_tank_ask *ask, const fr_tank_result *result) {
    fr_json_object(json, "start");
    fr_json_number(json, "volume_l", result->start_m3 * LITRES);
    fr_json_number(json, "ethanol_percent", result->start_ethanol * PERCENT);
    fr_json_object_end(json);
    fr_json_list(json, "steps");
    for (size_t i = 0; i < result->step_count; i++)
        write_step(json, &result->steps[i]);
    fr_json_list_end(json);
    fr_json_bool(json, "reachable", result->reachable);
    fr_json_number(json, "nearest_ethanol_percent", result->nearest_ethanol * PERCENT);
    fr_json_number(json, "topped_up_ethanol_percent", result->topped_up_ethanol * PERCENT);
    if (result->line.known)
        write_line(json, &result->line);
    else
        fr_json_text(json, "line", NULL);
    if (result->has_reading)
        write_reading(json, ask, result);
    else
        fr_json_text(json, "reading", NULL);
}

void fr_write_tank_json(FILE *out, const fr_tank_document *document) {
    fr_json json = fr_json_to(out);
    fr_json_object(&json, NULL);
    fr_json_count(&json, "fuelreach", 1);
    write_result(&json, document->ask, document->results[0]);
    if (document->end_count > 1) {
        fr_json_list(&json, "ends");
        for (size_t i = 0; i < document->end_count; i++) {
            fr_json_object(&json, NULL);
            write_result(&json, document->ask, document->results[i]);
            fr_json_object_end(&json);
        }
        fr_json_list_end(&json);
    }
    fr_json_object_end(&json);
    fr_json_line_end(&json);
}
