/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Cars with one thing wrong: the channel that shows it says what. And what the plan says to watch. */
#include "review/cases.h"

#include "support.h"

#include "review/plan.h"

enum { ROWS_MAX = 2048 };

/* A naturally aspirated car with its regulator at the tank: the line's loss shows at the rail. */
static const char LONG_LINE_SHEET[] =
    "name: Test saloon\n"
    "engine:\n"
    "  cylinders: 6\n"
    "  displacement: 3.2 L\n"
    "  target_power: 200 kW\n"
    "  power_at: crank\n"
    "  power_curve: {2500 rpm: 80 kW, 4000 rpm: 138 kW, 5500 rpm: 180 kW, 6700 rpm: 200 kW}\n"
    "  bsfc: 290 g/kWh\n"
    "fuel: {blends: [E10, E50, E85]}\n"
    "supply:\n"
    "  lift_pump: {size: 255 L/h}\n"
    "  regulation: mechanical-returnless\n"
    "  feed_pressure: 4.0 bar\n"
    "  lines: [{bore: 6.5 mm, length: 5 m, fittings: 6}]\n"
    "  port_injection: {injector: 550 cc/min}\n";

typedef void (*fault)(fr_build *build);

static void nothing(fr_build *build) {
    (void)build;
}
static void thirsty(fr_build *build) {
    build->engine.bsfc_kg_j.scale *= 1.16;
}
static void small_injectors(fr_build *build) {
    build->port.flow_kg_s *= 0.86;
}
static void narrow_line(fr_build *build) {
    build->feed.loss_factor *= 3.5;
}
static void weak_pump(fr_build *build) {
    build->pumps.kinds[0].flow_factor *= 0.40;
}
static void poor_wiring(fr_build *build) {
    build->pumps.wiring_ohm *= 3.0;
}
static void low_voltage(fr_build *build) {
    build->site.supply_voltage_v -= 1.4;
}

/* Reviews one pull of a car with a fault, by rows; the sheet does not know of it. */
static fr_review *review_fault(fr_sheet *sheet, fault wrong, double ethanol,
                               const fr_review_result **result) {
    const fr_review_options options = {.log_blend = NAN, .confidence = 0.95};
    fr_report report = FR_REPORT_EMPTY;
    fr_build truth = *fr_sheet_build(sheet);
    char *text = NULL;
    size_t length = 0;
    fr_log_row *rows = malloc(ROWS_MAX * sizeof *rows);
    assert_non_null(rows);
    wrong(&truth);
    const synthetic pull = synthetic_pull(&truth, ethanol);
    FILE *log = open_memstream(&text, &length);
    synthetic_header(&pull, log);
    synthetic_write(&pull, rows, synthetic_rows(&pull, rows, ROWS_MAX, 1, 0.0), log);
    fclose(log);
    FILE *in = fmemopen(text, length, "r");
    fr_review *review = fr_review_open(sheet, &options);
    assert_non_null(review);
    assert_int_equal(fr_review_add_log(review, "fault.csv", in, &report), FR_OK);
    assert_int_equal(fr_review_finish(review, &report, result), FR_OK);
    fclose(in);
    free(text);
    free(rows);
    fr_report_close(&report);
    return review;
}

static const fr_review_channel *channel_of(const fr_review_result *result, fr_channel channel) {
    for (size_t i = 0; i < result->channel_count; i++)
        if (result->channels[i].channel == channel)
            return &result->channels[i];
    fail_msg("channel %s is not compared", fr_channel_name(channel));
    return NULL;
}

static void each_fault_is_suggested_where_it_shows(void **unused) {
    (void)unused;
    const struct {
        const char *sheet;
        fault wrong;
        double ethanol;
        fr_channel channel;
        const char *says;
    } cases[] = {
        {CASE_PORT_SHEET, thirsty, 0.3, FR_CHANNEL_FUEL_FLOW, "BSFC is higher"},
        {CASE_PORT_SHEET, small_injectors, 0.3, FR_CHANNEL_PORT_PULSE, "less than their rating"},
        {CASE_PORT_SHEET, poor_wiring, 0.3, FR_CHANNEL_PUMP_VOLTAGE, "electrical"},
        {CASE_PORT_SHEET, low_voltage, 0.3, FR_CHANNEL_SUPPLY_VOLTAGE, "electrical"},
        {CASE_PORT_SHEET, weak_pump, 0.3, FR_CHANNEL_FEED_PRESSURE, "weaker than its sheet"},
        {LONG_LINE_SHEET, narrow_line, 0.1, FR_CHANNEL_FEED_PRESSURE, "square of flow"},
    };
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        const fr_review_result *result;
        fr_sheet *sheet = case_open(cases[i].sheet);
        fr_review *review = review_fault(sheet, cases[i].wrong, cases[i].ethanol, &result);
        const fr_review_channel *channel = channel_of(result, cases[i].channel);
        print_message("case %zu: %s\n", i, channel->suggests);
        assert_true(channel->parts);
        assert_contains(channel->suggests, cases[i].says);
        fr_review_close(review);
        fr_sheet_close(sheet);
    }
}

static void a_car_as_its_sheet_says_suggests_nothing(void **unused) {
    (void)unused;
    const char *const sheets[] = {CASE_PORT_SHEET, CASE_DIRECT_SHEET, LONG_LINE_SHEET};
    for (size_t i = 0; i < 3; i++) {
        const fr_review_result *result;
        fr_sheet *sheet = case_open(sheets[i]);
        fr_review *review = review_fault(sheet, nothing, 0.1, &result);
        for (size_t c = 0; c < result->channel_count; c++)
            if (result->channels[c].parts || result->channels[c].suggests[0] != '\0')
                fail_msg("sheet %zu, %s: %s", i, fr_channel_name(result->channels[c].channel),
                         result->channels[c].suggests);
        assert_true(result->fit_scale < 1.3);
        fr_review_close(review);
        fr_sheet_close(sheet);
    }
}

/* ---- what to watch ---- */

static fr_review_step watch(const char *text, double ethanol, double lift_pump) {
    const bool logged[FR_CHANNEL_COUNT] = {[FR_CHANNEL_PORT_PULSE] = true};
    fr_sheet *sheet = case_open(text);
    fr_build build = *fr_sheet_build(sheet);
    fr_check *check = fr_check_open();
    fr_review_step step = {.ethanol = ethanol};
    build.pumps.kinds[0].flow_factor *= lift_pump;
    fr_plan_watch(&build, fr_check_blend(check, &build, ethanol), logged, &step);
    fr_check_close(check);
    fr_sheet_close(sheet);
    return step;
}

/* At E85 the port injectors are fullest: their pulse at the worst speed, and their limit of 85 % of
 * the cycle there, 102/rpm seconds. */
static void a_port_injected_car_is_watched_by_its_pulse(void **unused) {
    (void)unused;
    const fr_review_step step = watch(CASE_PORT_SHEET, 0.85, 2.0);
    assert_int_equal(step.stage, FR_STAGE_PORT_INJECTOR);
    assert_int_equal(step.watch, FR_CHANNEL_PORT_PULSE);
    assert_true(step.logged && step.lift_above);
    assert_close(step.lift_at, 0.85 * 120.0 / step.speed_rpm, 1e-12);
    assert_true(step.expected > 0.6 * step.lift_at);
}

static void a_high_pressure_pump_is_watched_by_its_rail(void **unused) {
    (void)unused;
    const fr_review_step step = watch(CASE_DIRECT_SHEET, 0.3, 1.0);
    assert_int_equal(step.stage, FR_STAGE_HIGH_PRESSURE_PUMP);
    assert_int_equal(step.watch, FR_CHANNEL_RAIL_PRESSURE);
    assert_false(step.logged || step.lift_above);
    /* commanded 170 to 200 bar between 2500 and 4000 rpm, lift 3 % below it */
    const double command = 1e5 * fmin(200.0, 170.0 + 30.0 * (step.speed_rpm - 2500.0) / 1500.0);
    assert_close(step.lift_at, 0.97 * command, 1e-9);
    assert_close(step.expected, command, 1e-9);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(each_fault_is_suggested_where_it_shows),
        cmocka_unit_test(a_car_as_its_sheet_says_suggests_nothing),
        cmocka_unit_test(a_port_injected_car_is_watched_by_its_pulse),
        cmocka_unit_test(a_high_pressure_pump_is_watched_by_its_rail),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
