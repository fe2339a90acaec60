/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The fit: factors recovered, intervals that cover, censored pumps, outliers; and against scipy's
 * least_squares on the same residuals. */
#include "review/cases.h"

#include "support.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/wait.h>
#include <unistd.h>

static const double HALF_95 = 1.96;
static const char PYTHON[] = "/usr/bin/python3"; /* Debian's; python3-scipy */

/* Deviations of all parameters, those of factors as wanted, others 0. */
static void set_factor(const fr_parameters *parameters, fr_factor factor, double value,
                       double *deviations) {
    const size_t i = parameters->factor_input[factor];
    deviations[i] = (value - 1.0) / parameters->inputs[i].half_width * HALF_95;
}

static void assert_found(const case_learnt *learnt, const fr_parameters *parameters,
                         fr_factor factor, double value, double told_within) {
    const double found = case_found(learnt, parameters, factor);
    const double sigma = case_sigma(learnt, parameters, factor);
    const double factor_found = fr_parameter_factor(parameters, factor, found);
    const double half =
        HALF_95 * sigma * parameters->inputs[parameters->factor_input[factor]].half_width / HALF_95;
    print_message("%s: true %.4f, found %.4f ± %.4f\n", fr_factor_name(factor), value, factor_found,
                  half);
    assert_true(fabs(factor_found - value) <= half);
    assert_true(half <= told_within);
}

static void factors_of_a_port_injected_car_are_recovered(void **unused) {
    (void)unused;
    fr_sheet *sheet = case_open(CASE_PORT_SHEET);
    fr_build truth;
    synthetic pull = synthetic_pull(fr_sheet_build(sheet), 0.3);
    const fr_parameters parameters = case_parameters(sheet, pull.channels);
    double deviations[FR_REVIEW_PARAMETERS_MAX] = {0};
    set_factor(&parameters, FR_FACTOR_BSFC, 1.062, deviations);
    set_factor(&parameters, FR_FACTOR_PORT_INJECTOR, 0.963, deviations);
    case_true_pull(sheet, &parameters, deviations, 0.3, &truth, &pull);
    fr_used_pull used;
    case_used_pull(&pull, &used);
    case_learnt learnt;
    case_learn(sheet, &parameters, &used, 1, &learnt);
    assert_found(&learnt, &parameters, FR_FACTOR_BSFC, 1.062, 0.04);
    assert_found(&learnt, &parameters, FR_FACTOR_PORT_INJECTOR, 0.963, 0.03);
    case_forget(&learnt);
    fr_sheet_close(sheet);
}

/* On E60 its high-pressure pump does not hold the command: then it is told to a few per cent. */
static void a_high_pressure_pump_that_gives_way_is_told(void **unused) {
    (void)unused;
    fr_sheet *sheet = case_open(CASE_DIRECT_SHEET);
    fr_build truth;
    synthetic pull = synthetic_pull(fr_sheet_build(sheet), 0.6);
    const fr_parameters parameters = case_parameters(sheet, pull.channels);
    double deviations[FR_REVIEW_PARAMETERS_MAX] = {0};
    set_factor(&parameters, FR_FACTOR_HIGH_PRESSURE_PUMP, 0.957, deviations);
    set_factor(&parameters, FR_FACTOR_BSFC, 1.021, deviations);
    case_true_pull(sheet, &parameters, deviations, 0.6, &truth, &pull);
    fr_used_pull used;
    case_used_pull(&pull, &used);
    case_learnt learnt;
    case_learn(sheet, &parameters, &used, 1, &learnt);
    assert_false(learnt.bounds.high_all_held);
    assert_found(&learnt, &parameters, FR_FACTOR_HIGH_PRESSURE_PUMP, 0.957, 0.035);
    assert_found(&learnt, &parameters, FR_FACTOR_BSFC, 1.021, 0.04);
    case_forget(&learnt);
    fr_sheet_close(sheet);
}

/* On E10 it holds: nothing but a lower bound is told, whatever the pump is worth. */
static void a_pump_that_held_is_censored_not_measured(void **unused) {
    (void)unused;
    fr_sheet *sheet = case_open(CASE_DIRECT_SHEET);
    const double strengths[] = {0.98, 1.04};
    for (size_t i = 0; i < 2; i++) {
        fr_build truth;
        synthetic pull = synthetic_pull(fr_sheet_build(sheet), 0.1);
        const fr_parameters parameters = case_parameters(sheet, pull.channels);
        double deviations[FR_REVIEW_PARAMETERS_MAX] = {0};
        set_factor(&parameters, FR_FACTOR_HIGH_PRESSURE_PUMP, strengths[i], deviations);
        case_true_pull(sheet, &parameters, deviations, 0.1, &truth, &pull);
        fr_used_pull used;
        case_used_pull(&pull, &used);
        case_learnt learnt;
        case_learn(sheet, &parameters, &used, 1, &learnt);
        assert_true(learnt.bounds.high_all_held && learnt.bounds.of[FR_BOUND_HIGH_HELD].any);
        assert_within(case_sigma(&learnt, &parameters, FR_FACTOR_HIGH_PRESSURE_PUMP), 1.0, 0.02);
        assert_within(case_found(&learnt, &parameters, FR_FACTOR_HIGH_PRESSURE_PUMP), 0.0, 0.05);
        assert_true(learnt.bounds.of[FR_BOUND_HIGH_HELD].offset < 0.0);
        case_forget(&learnt);
    }
    fr_sheet_close(sheet);
}

/* A pump that the sheet says is too weak, and that held: it must be at least as strong as that. */
static void a_pump_that_held_against_its_sheet_is_raised(void **unused) {
    (void)unused;
    fr_sheet *sheet = case_open(CASE_DIRECT_SHEET);
    fr_build truth;
    synthetic pull = synthetic_pull(fr_sheet_build(sheet), 0.7);
    const fr_parameters parameters = case_parameters(sheet, pull.channels);
    double deviations[FR_REVIEW_PARAMETERS_MAX] = {0};
    set_factor(&parameters, FR_FACTOR_HIGH_PRESSURE_PUMP, 1.11, deviations);
    case_true_pull(sheet, &parameters, deviations, 0.7, &truth, &pull);
    fr_used_pull used;
    case_used_pull(&pull, &used);
    case_learnt learnt;
    case_learn(sheet, &parameters, &used, 1, &learnt);
    assert_true(learnt.bounds.high_all_held);
    const double found = fr_parameter_factor(
        &parameters, FR_FACTOR_HIGH_PRESSURE_PUMP,
        case_found(&learnt, &parameters, FR_FACTOR_HIGH_PRESSURE_PUMP));
    assert_true(found > 1.02);
    const fr_bound *bound = &learnt.bounds.of[FR_BOUND_HIGH_HELD];
    assert_true(bound->offset > 0.0 && learnt.posterior.cut);
    for (size_t i = 0; i < learnt.posterior.count; i++) {
        const double *draw = learnt.posterior.draws + i * learnt.posterior.parameters;
        double beyond = bound->offset;
        for (size_t j = 0; j < learnt.posterior.parameters; j++)
            beyond += bound->gradient[j] * (draw[j] - learnt.fitted[j]);
        assert_true(beyond <= 1e-9);
    }
    case_forget(&learnt);
    fr_sheet_close(sheet);
}

static void wrong_rows_and_drops_hardly_move_it(void **unused) {
    (void)unused;
    fr_sheet *sheet = case_open(CASE_PORT_SHEET);
    double found[2];
    for (size_t i = 0; i < 2; i++) {
        fr_build truth;
        synthetic pull = synthetic_pull(fr_sheet_build(sheet), 0.5);
        const fr_parameters parameters = case_parameters(sheet, pull.channels);
        double deviations[FR_REVIEW_PARAMETERS_MAX] = {0};
        set_factor(&parameters, FR_FACTOR_BSFC, 1.07, deviations);
        case_true_pull(sheet, &parameters, deviations, 0.5, &truth, &pull);
        pull.wrong_share = i == 0 ? 0.0 : 0.06;
        pull.channels[FR_CHANNEL_ENGINE_SPEED] = true;
        fr_used_pull used;
        case_used_pull(&pull, &used);
        case_learnt learnt;
        case_learn(sheet, &parameters, &used, 1, &learnt);
        found[i] = fr_parameter_factor(&parameters, FR_FACTOR_BSFC,
                                       case_found(&learnt, &parameters, FR_FACTOR_BSFC));
        case_forget(&learnt);
    }
    assert_within(found[1], found[0], 0.006);
    fr_sheet_close(sheet);
}

/* ---- coverage ---- */

typedef struct coverage {
    size_t told[FR_FACTOR_COUNT];
    size_t covered[FR_FACTOR_COUNT];
} coverage;

/* One true car and its sensors out of what the sheet leaves open; one pull; is the truth inside? */
static void one_run(const fr_sheet *sheet, double ethanol, uint64_t seed, coverage *seen) {
    fr_build truth;
    synthetic pull = synthetic_pull(fr_sheet_build(sheet), ethanol);
    const fr_parameters parameters = case_parameters(sheet, pull.channels);
    double deviations[FR_REVIEW_PARAMETERS_MAX] = {0};
    uint64_t random = seed * 0x9E3779B97F4A7C15u + 77;
    for (size_t i = 0; i < fr_parameter_count(&parameters); i++)
        deviations[i] = fmax(-3.0, fmin(3.0, synthetic_normal(&random)));
    case_true_pull(sheet, &parameters, deviations, ethanol, &truth, &pull);
    pull.seed = seed;
    pull.wrong_share = 0.005;
    fr_used_pull used;
    case_used_pull(&pull, &used);
    case_learnt learnt;
    case_learn(sheet, &parameters, &used, 1, &learnt);
    for (int factor = 0; factor < FR_FACTOR_COUNT; factor++) {
        const size_t i = parameters.factor_input[factor];
        if (i == SIZE_MAX || case_sigma(&learnt, &parameters, (fr_factor)factor) >= 0.75)
            continue;
        double low;
        double high;
        assert_true(fr_posterior_interval(&learnt.posterior, &learnt.fit, i, &low, &high));
        seen->told[factor]++;
        seen->covered[factor] += deviations[i] >= low && deviations[i] <= high;
    }
    case_forget(&learnt);
}

static void intervals_of_95_percent_cover_93_to_97(void **unused) {
    (void)unused;
    enum { RUNS = 400, FEW = 8 };
    const size_t runs = support_cases(RUNS, FEW);
    const struct {
        const char *sheet;
        double ethanol;
        fr_factor factors[3];
        size_t count;
    } cases[] = {
        {CASE_PORT_SHEET, 0.3, {FR_FACTOR_BSFC, FR_FACTOR_PORT_INJECTOR}, 2},
        {CASE_DIRECT_SHEET, 0.6, {FR_FACTOR_BSFC, FR_FACTOR_DIRECT_INJECTOR,
                                  FR_FACTOR_HIGH_PRESSURE_PUMP}, 3},
    };
    for (size_t c = 0; c < sizeof cases / sizeof *cases; c++) {
        coverage seen = {{0}, {0}};
        fr_sheet *sheet = case_open(cases[c].sheet);
        for (uint64_t seed = 1; seed <= runs; seed++)
            one_run(sheet, cases[c].ethanol, seed, &seen);
        for (size_t i = 0; i < cases[c].count; i++) {
            const fr_factor factor = cases[c].factors[i];
            const double share = (double)seen.covered[factor] / (double)seen.told[factor];
            print_message("%s: told in %zu runs, covered in %.2f %%\n", fr_factor_name(factor),
                          seen.told[factor], 100.0 * share);
            if (runs < RUNS)
                continue; /* too few to judge a share by */
            assert_true(seen.told[factor] > RUNS / 4);
            assert_true(share >= 0.93 && share <= 0.97);
        }
        fr_sheet_close(sheet);
    }
}

/* ---- against scipy ---- */

/* It asks us for residuals, so both minimise the very same function: Huber's rho on the data, a
 * square on the priors. */
static const char REFERENCE[] =
    "import sys\n"
    "import numpy as np\n"
    "from scipy.optimize import least_squares\n"
    "data, count, scale, huber = sys.stdin.readline().split()\n"
    "data, count, scale, huber = int(data), int(count), float(scale), float(huber)\n"
    "def residuals(x):\n"
    "    print(' '.join('%.17g' % v for v in x), flush=True)\n"
    "    r = np.array([float(v) for v in sys.stdin.readline().split()]) / scale\n"
    "    return np.concatenate([r, x])\n"
    "def rho(z):\n"
    "    out = np.empty((3, z.size))\n"
    "    out[0], out[1], out[2] = z, 1.0, 0.0\n"
    "    far = np.arange(z.size) < data\n"
    "    far &= z > huber**2\n"
    "    s = np.sqrt(z[far])\n"
    "    out[0, far] = 2*huber*s - huber**2\n"
    "    out[1, far] = huber/s\n"
    "    out[2, far] = -huber/(2*s**3)\n"
    "    return out\n"
    "fit = least_squares(residuals, np.zeros(count), loss=rho, diff_step=1e-4, xtol=1e-12,\n"
    "                    ftol=1e-12, gtol=1e-10, x_scale=1.0)\n"
    "print('done %.17g ' % fit.cost + ' '.join('%.17g' % v for v in fit.x), flush=True)\n";

static bool scipy_is_there(void) {
    char command[128];
    snprintf(command, sizeof command, "%s -c 'import scipy.optimize' 2>/dev/null", PYTHON);
    return system(command) == 0;
}

/* Starts the reference with a pipe each way. */
static pid_t start_reference(FILE **to, FILE **from) {
    int down[2];
    int up[2];
    assert_int_equal(pipe(down), 0);
    assert_int_equal(pipe(up), 0);
    const pid_t child = fork();
    assert_true(child >= 0);
    if (child == 0) {
        dup2(down[0], STDIN_FILENO);
        dup2(up[1], STDOUT_FILENO);
        close(down[0]);
        close(down[1]);
        close(up[0]);
        close(up[1]);
        execl(PYTHON, PYTHON, "-c", REFERENCE, (char *)NULL);
        _exit(127);
    }
    close(down[0]);
    close(up[1]);
    *to = fdopen(down[1], "w");
    *from = fdopen(up[0], "r");
    return child;
}

static void read_numbers(const char *line, double *numbers, size_t count) {
    char *end;
    for (size_t i = 0; i < count; i++) {
        numbers[i] = strtod(line, &end);
        assert_true(end != line);
        line = end;
    }
}

/* What both minimise, at our own values. */
static double cost_of(const case_learnt *learnt) {
    const double huber = fr_fit_huber();
    double cost = 0.0;
    for (size_t i = 0; i < learnt->problem.data_count; i++) {
        const double r = fabs(learnt->fit.residuals[i]);
        cost += r <= huber ? 0.5 * r * r : huber * r - 0.5 * huber * huber;
    }
    for (size_t i = 0; i < learnt->fit.count; i++)
        cost += 0.5 * learnt->fitted[i] * learnt->fitted[i];
    return cost;
}

static void serve_reference(const case_learnt *learnt, double *found, double *cost) {
    FILE *to;
    FILE *from;
    const size_t data = learnt->problem.data_count;
    const size_t count = learnt->fit.count;
    const pid_t child = start_reference(&to, &from);
    double *residuals = malloc((data + 1) * sizeof *residuals);
    char *line = NULL;
    size_t room = 0;
    assert_non_null(residuals);
    fprintf(to, "%zu %zu %.17g %.17g\n", data, count, learnt->fit.scale, fr_fit_huber());
    fflush(to);
    bool done = false;
    while (!done && getline(&line, &room, from) > 0) {
        double at[FR_REVIEW_PARAMETERS_MAX + 1];
        done = strncmp(line, "done", 4) == 0;
        read_numbers(done ? line + 4 : line, at, done ? count + 1 : count);
        if (done) {
            *cost = at[0];
            memcpy(found, at + 1, count * sizeof *found);
            break;
        }
        fr_problem_residuals(&learnt->problem, at, residuals);
        for (size_t i = 0; i < data; i++)
            fprintf(to, "%.17g ", residuals[i]);
        fputc('\n', to);
        fflush(to);
    }
    free(line);
    free(residuals);
    fclose(to);
    fclose(from);
    int status;
    waitpid(child, &status, 0);
    assert_true(done);
}

static void the_fit_agrees_with_scipy(void **unused) {
    (void)unused;
    if (!scipy_is_there()) {
        print_error("SKIPPED: %s has no scipy; the fit is not held against its reference "
                    "(apt-get install python3-scipy)\n", PYTHON);
        skip();
    }
    const struct {
        const char *sheet;
        double ethanol;
    } cases[] = {{CASE_PORT_SHEET, 0.3}, {CASE_DIRECT_SHEET, 0.6}};
    for (size_t c = 0; c < 2; c++) {
        fr_sheet *sheet = case_open(cases[c].sheet);
        fr_build truth;
        synthetic pull = synthetic_pull(fr_sheet_build(sheet), cases[c].ethanol);
        const fr_parameters parameters = case_parameters(sheet, pull.channels);
        double deviations[FR_REVIEW_PARAMETERS_MAX] = {0};
        set_factor(&parameters, FR_FACTOR_BSFC, 1.043, deviations);
        case_true_pull(sheet, &parameters, deviations, cases[c].ethanol, &truth, &pull);
        pull.wrong_share = 0.03;
        fr_used_pull used;
        case_used_pull(&pull, &used);
        case_learnt learnt;
        case_learn(sheet, &parameters, &used, 1, &learnt);
        double found[FR_REVIEW_PARAMETERS_MAX];
        double cost = NAN;
        serve_reference(&learnt, found, &cost);
        double furthest = 0.0;
        for (size_t i = 0; i < learnt.fit.count; i++)
            furthest = fmax(furthest, fabs(found[i] - learnt.fitted[i]));
        print_message("cost %.9g, scipy %.9g; furthest parameter %.2g standard deviations\n",
                      cost_of(&learnt), cost, furthest);
        assert_close(cost_of(&learnt), cost, 1e-5);
        assert_true(furthest < 5e-3);
        case_forget(&learnt);
        fr_sheet_close(sheet);
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(factors_of_a_port_injected_car_are_recovered),
        cmocka_unit_test(a_high_pressure_pump_that_gives_way_is_told),
        cmocka_unit_test(a_pump_that_held_is_censored_not_measured),
        cmocka_unit_test(a_pump_that_held_against_its_sheet_is_raised),
        cmocka_unit_test(wrong_rows_and_drops_hardly_move_it),
        cmocka_unit_test(intervals_of_95_percent_cover_93_to_97),
        cmocka_unit_test(the_fit_agrees_with_scipy),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
