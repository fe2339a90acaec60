/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "review/cases.h"

#include "support.h"

#include <gsl/gsl_errno.h>
#include <stdlib.h>
#include <string.h>

#include "review/channels.h"
#include "review/pulls.h"

static const double HALF_95 = 1.96;
enum { ROWS_MAX = 4096 };

const char CASE_PORT_SHEET[] =
    "name: Test coupe\n"
    "engine:\n"
    "  cylinders: 6\n"
    "  displacement: 3.0 L\n"
    "  target_power: 380 kW\n"
    "  power_at: crank\n"
    "  aspiration: turbo\n"
    "  power_curve: {2500 rpm: 125 kW, 3500 rpm: 240 kW, 4500 rpm: 320 kW, 5500 rpm: 362 kW, "
    "6500 rpm: 380 kW, 7000 rpm: 370 kW}\n"
    "  bsfc: {2500 rpm: 335 g/kWh, 7000 rpm: 355 g/kWh}\n"
    "  lambda: {E10: 0.82, E85: 0.80}\n"
    "  boost: {2500 rpm: 0.75 bar, 3500 rpm: 1.35 bar, 4500 rpm: 1.5 bar, 7000 rpm: 1.35 bar}\n"
    "fuel: {blends: [E10, E30, E50, E70, E85]}\n"
    "supply:\n"
    "  lift_pump: {size: 450 L/h}\n"
    "  pump_circuit: {wiring: relay}\n"
    "  regulation: return\n"
    "  feed_pressure: 3.0 bar\n"
    "  port_injection: {injector: 1000 cc/min}\n";

const char CASE_DIRECT_SHEET[] =
    "name: Test hatch\n"
    "engine:\n"
    "  cylinders: 4\n"
    "  displacement: 2.0 L\n"
    "  target_power: 225 kW\n"
    "  power_at: crank\n"
    "  aspiration: turbo\n"
    "  power_curve: {2500 rpm: 110 kW, 3500 rpm: 166 kW, 5000 rpm: 212 kW, 6500 rpm: 225 kW, "
    "7000 rpm: 216 kW}\n"
    "  bsfc: {2500 rpm: 320 g/kWh, 7000 rpm: 340 g/kWh}\n"
    "  lambda: {E10: 0.83, E85: 0.81}\n"
    "  boost: {2500 rpm: 1.15 bar, 3500 rpm: 1.55 bar, 5000 rpm: 1.4 bar, 7000 rpm: 1.1 bar}\n"
    "fuel: {blends: [E10, E30, E60, E85]}\n"
    "supply:\n"
    "  lift_pump: {size: 340 L/h}\n"
    "  pump_circuit: {wiring: relay}\n"
    "  regulation: electronic-returnless\n"
    "  feed_pressure: 6.0 bar\n"
    "  direct_injection:\n"
    "    injector: {flow: 24 cc/s}\n"
    "    high_pressure_pump: {displacement: 0.98 cc}\n"
    "    rail_pressure: {2500 rpm: 170 bar, 4000 rpm: 200 bar}\n"
    "    window: 250 deg\n";

fr_sheet *case_open(const char *text) {
    const fr_sheet_options options = {0};
    fr_report report = FR_REPORT_EMPTY;
    fr_sheet *sheet = NULL;
    gsl_set_error_handler_off();
    const fr_status status =
        fr_sheet_open_text("case.yaml", text, strlen(text), &options, &report, &sheet);
    for (size_t i = 0; i < report.count && status != FR_OK; i++)
        print_error("line %zu: %s\n", report.remarks[i].line, report.remarks[i].message);
    fr_report_close(&report);
    assert_int_equal(status, FR_OK);
    return sheet;
}

fr_parameters case_parameters(const fr_sheet *sheet, const bool channels[FR_CHANNEL_COUNT]) {
    fr_parameters parameters;
    size_t count;
    const fr_input *inputs = fr_sheet_inputs(sheet, &count);
    fr_parameters_make(fr_sheet_build(sheet), inputs, count, channels, &parameters);
    return parameters;
}

/* What the lambda sensor must show so that the parameter "lambda" mends it. */
static double lambda_off(const fr_parameters *parameters, const double *deviations) {
    for (size_t i = 0; i < parameters->input_count; i++)
        if (strcmp(parameters->inputs[i].name, "lambda") == 0)
            return 1.0 / (1.0 + parameters->inputs[i].half_width * deviations[i] / HALF_95) - 1.0;
    return 0.0;
}

void case_true_pull(const fr_sheet *sheet, const fr_parameters *parameters,
                    const double *deviations, double ethanol, fr_build *truth, synthetic *pull) {
    fr_build_move(fr_sheet_build(sheet), parameters->inputs, parameters->input_count, deviations,
                  truth);
    *pull = synthetic_pull(truth, ethanol);
    pull->off_relative[FR_CHANNEL_LAMBDA] = lambda_off(parameters, deviations);
    for (size_t i = 0; i < parameters->bias_count; i++) {
        const fr_channel channel = parameters->bias[i];
        const fr_channel_worth *worth = fr_channel_worth_of(channel);
        const double off = fr_parameter_bias(parameters, deviations, channel);
        *(worth->relative ? &pull->off_relative[channel] : &pull->off_absolute[channel]) = off;
    }
}

/* A fr_pull_taker: what the finder lets through. */
static void take_pull(void *user, fr_log_row *rows, size_t count) {
    double *room = malloc(count * sizeof *room);
    fr_used_pull *used = user;
    assert_non_null(room);
    used->node_count = fr_nodes_make(rows, count, room, used->nodes);
    free(room);
}

void case_used_pull(const synthetic *pull, fr_used_pull *used) {
    fr_log_row *rows = malloc(ROWS_MAX * sizeof *rows);
    fr_pull_finder finder;
    assert_non_null(rows);
    const size_t count = synthetic_rows(pull, rows, ROWS_MAX, 1, 0.0);
    memset(used, 0, sizeof *used);
    used->ethanol = pull->ethanol;
    memcpy(used->columns.found, pull->channels, sizeof used->columns.found);
    fr_pull_finder_start(&finder, take_pull, used);
    for (size_t i = 0; i < count; i++)
        fr_pull_finder_take(&finder, &rows[i]);
    fr_pull_finder_flush(&finder);
    assert_true(used->node_count > 0);
    fr_pull_finder_close(&finder);
    free(rows);
}

void case_learn(const fr_sheet *sheet, const fr_parameters *parameters, const fr_used_pull *pulls,
                size_t pull_count, case_learnt *learnt) {
    assert_true(
        fr_problem_open(&learnt->problem, fr_sheet_build(sheet), parameters, pulls, pull_count));
    assert_int_equal(fr_fit_run(&learnt->problem, &learnt->fit), FR_OK);
    learnt->bounds = fr_bounds_find(&learnt->problem, &learnt->fit);
    memcpy(learnt->fitted, learnt->fit.deviations, learnt->fit.count * sizeof *learnt->fitted);
    assert_int_equal(fr_posterior_draw(&learnt->bounds, &learnt->fit, &learnt->posterior), FR_OK);
}

void case_forget(case_learnt *learnt) {
    fr_problem_close(&learnt->problem);
    fr_fit_close(&learnt->fit);
    fr_posterior_close(&learnt->posterior);
}

double case_found(const case_learnt *learnt, const fr_parameters *parameters, fr_factor factor) {
    return learnt->fit.deviations[parameters->factor_input[factor]];
}

double case_sigma(const case_learnt *learnt, const fr_parameters *parameters, fr_factor factor) {
    const size_t i = parameters->factor_input[factor];
    return sqrt(learnt->fit.covariance[i * learnt->fit.count + i]);
}
