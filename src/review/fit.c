/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "review/fit.h"

#include <gsl/gsl_blas.h>
#include <gsl/gsl_multifit_nlinear.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "review/nodes.h"

static const double HUBER = 1.345;         /* 95 % efficient on clean normal data (Huber 1964) */
static const double MAD_TO_SIGMA = 1.4826; /* of a normal distribution */
static const double STEP = 1e-3;           /* of a standard deviation, for the Jacobian */
static const double SETTLED = 1e-4;        /* standard deviations that a round still moved */
static const double TOLERANCE = 1e-6;
static const double PROBE = 2.0; /* standard deviations: what moves nothing so far off is left out */
enum { ROUNDS_MAX = 40, ITERATIONS_MAX = 20, SCALE_ROUNDS = 3 };

double fr_fit_huber(void) {
    return HUBER;
}

/* What GSL hands back to us. Rows: the data, then a prior each. */
typedef struct context {
    const fr_problem *problem;
    fr_fit *fit;
    double *row; /* room for data_count */
    bool active[FR_REVIEW_PARAMETERS_MAX];
} context;

static bool differs(const double *a, const double *b, size_t count) {
    for (size_t i = 0; i < count; i++)
        if (a[i] != b[i])
            return true;
    return false;
}

/* Which parameters move any residual; the others stay at their priors, and cost no evaluation. */
static void find_active(context *at, const double *base) {
    double moved[FR_REVIEW_PARAMETERS_MAX] = {0};
    for (size_t j = 0; j < at->fit->count; j++) {
        at->active[j] = false;
        for (double side = -PROBE; side <= PROBE && !at->active[j]; side += 2.0 * PROBE) {
            moved[j] = side;
            fr_problem_residuals(at->problem, moved, at->row);
            at->active[j] = differs(at->row, base, at->problem->data_count);
        }
        moved[j] = 0.0;
    }
}

static int weighted_residuals(const gsl_vector *x, void *params, gsl_vector *f) {
    const context *at = params;
    const size_t data = at->problem->data_count;
    fr_problem_residuals(at->problem, x->data, at->row);
    for (size_t i = 0; i < data; i++)
        gsl_vector_set(f, i, sqrt(at->fit->weights[i]) * at->row[i] / at->fit->scale);
    for (size_t j = 0; j < at->fit->count; j++)
        gsl_vector_set(f, data + j, gsl_vector_get(x, j));
    return GSL_SUCCESS;
}

static int weighted_jacobian(const gsl_vector *x, void *params, gsl_matrix *jacobian) {
    const context *at = params;
    const size_t data = at->problem->data_count;
    double moved[FR_REVIEW_PARAMETERS_MAX];
    double *base = malloc((data > 0 ? data : 1) * sizeof *base);
    if (base == NULL)
        return GSL_ENOMEM;
    memcpy(moved, x->data, at->fit->count * sizeof *moved);
    fr_problem_residuals(at->problem, moved, base);
    gsl_matrix_set_zero(jacobian);
    for (size_t j = 0; j < at->fit->count; j++) {
        gsl_matrix_set(jacobian, data + j, j, 1.0);
        if (!at->active[j])
            continue;
        moved[j] = gsl_vector_get(x, j) + STEP;
        fr_problem_residuals(at->problem, moved, at->row);
        moved[j] = gsl_vector_get(x, j);
        for (size_t i = 0; i < data; i++)
            gsl_matrix_set(jacobian, i, j,
                           sqrt(at->fit->weights[i]) * (at->row[i] - base[i]) /
                               (STEP * at->fit->scale));
    }
    free(base);
    return GSL_SUCCESS;
}

/* ---- one round: least squares with the weights as they are ---- */

static bool solve(gsl_multifit_nlinear_workspace *space, gsl_multifit_nlinear_fdf *fdf,
                  fr_fit *fit, double *moved_by) {
    const gsl_vector_view start = gsl_vector_view_array(fit->deviations, fit->count);
    int info;
    if (gsl_multifit_nlinear_init(&start.vector, fdf, space) != GSL_SUCCESS)
        return false;
    const int status = gsl_multifit_nlinear_driver(ITERATIONS_MAX, TOLERANCE, TOLERANCE, 0.0, NULL,
                                                   NULL, &info, space);
    /* No progress is as good as done: the step is at the size of the arithmetic. */
    if (status != GSL_SUCCESS && status != GSL_ENOPROG && status != GSL_EMAXITER)
        return false;
    const gsl_vector *found = gsl_multifit_nlinear_position(space);
    *moved_by = 0.0;
    for (size_t j = 0; j < fit->count; j++) {
        *moved_by = fmax(*moved_by, fabs(gsl_vector_get(found, j) - fit->deviations[j]));
        fit->deviations[j] = gsl_vector_get(found, j);
    }
    return true;
}

static void reweigh(const fr_problem *problem, fr_fit *fit) {
    fr_problem_residuals(problem, fit->deviations, fit->residuals);
    fit->outliers = 0;
    for (size_t i = 0; i < problem->data_count; i++) {
        fit->residuals[i] /= fit->scale;
        const double off = fabs(fit->residuals[i]);
        fit->weights[i] = off <= HUBER ? 1.0 : HUBER / off;
        fit->outliers += fit->weights[i] < 0.5;
    }
}

static bool fit_at_scale(const fr_problem *problem, gsl_multifit_nlinear_workspace *space,
                         gsl_multifit_nlinear_fdf *fdf, fr_fit *fit) {
    for (int round = 0; round < ROUNDS_MAX; round++) {
        double moved_by;
        if (!solve(space, fdf, fit, &moved_by))
            return false;
        reweigh(problem, fit);
        if (moved_by < SETTLED)
            break;
    }
    return true;
}

/* Deviation of the residuals over the noise expected, by their median; censored data that said
 * nothing do not count. */
static double residual_scale(const fr_problem *problem, const fr_fit *fit, double *room) {
    size_t used = 0;
    for (size_t i = 0; i < problem->data_count; i++)
        if (fit->residuals[i] != 0.0)
            room[used++] = fabs(fit->residuals[i]);
    /* The parameters take up some of it: told parameters have small variances left. */
    double taken = 0.0;
    for (size_t j = 0; j < fit->count; j++)
        taken += 1.0 - fmin(1.0, fit->covariance[j * fit->count + j]);
    const double left = (double)used - taken;
    if (left < 1.0)
        return 1.0;
    return MAD_TO_SIGMA * fr_median(room, used) * sqrt((double)used / left);
}

static bool find_covariance(gsl_multifit_nlinear_workspace *space, gsl_multifit_nlinear_fdf *fdf,
                            fr_fit *fit) {
    const gsl_vector_view at = gsl_vector_view_array(fit->deviations, fit->count);
    gsl_matrix_view covariance =
        gsl_matrix_view_array(fit->covariance, fit->count, fit->count);
    return gsl_multifit_nlinear_init(&at.vector, fdf, space) == GSL_SUCCESS &&
           gsl_multifit_nlinear_covar(gsl_multifit_nlinear_jac(space), 0.0, &covariance.matrix) ==
               GSL_SUCCESS;
}

static bool fit_all(const fr_problem *problem, gsl_multifit_nlinear_workspace *space,
                    gsl_multifit_nlinear_fdf *fdf, fr_fit *fit, double *room) {
    for (int round = 0; round < SCALE_ROUNDS; round++) {
        if (!fit_at_scale(problem, space, fdf, fit) || !find_covariance(space, fdf, fit))
            return false;
        const double scale = fmax(1.0, fit->scale * residual_scale(problem, fit, room));
        if (fabs(scale - fit->scale) < 0.02 * fit->scale)
            return true;
        fit->scale = scale;
    }
    return fit_at_scale(problem, space, fdf, fit) && find_covariance(space, fdf, fit);
}

static bool make_room(const fr_problem *problem, fr_fit *fit) {
    const size_t data = problem->data_count > 0 ? problem->data_count : 1;
    memset(fit, 0, sizeof *fit);
    fit->count = fr_parameter_count(problem->parameters);
    fit->scale = 1.0;
    fit->deviations = calloc(fit->count + 1, sizeof *fit->deviations);
    fit->covariance = calloc(fit->count * fit->count + 1, sizeof *fit->covariance);
    fit->weights = malloc(data * sizeof *fit->weights);
    fit->residuals = malloc(data * sizeof *fit->residuals);
    if (fit->deviations == NULL || fit->covariance == NULL || fit->weights == NULL ||
        fit->residuals == NULL)
        return false;
    for (size_t i = 0; i < data; i++)
        fit->weights[i] = 1.0;
    return true;
}

fr_status fr_fit_run(const fr_problem *problem, fr_fit *fit) {
    if (!make_room(problem, fit))
        return FR_NO_MEMORY;
    if (fit->count == 0)
        return FR_OK;
    context at = {problem, fit, malloc((problem->data_count + 1) * sizeof(double)), {false}};
    const gsl_multifit_nlinear_parameters settings = gsl_multifit_nlinear_default_parameters();
    gsl_multifit_nlinear_workspace *space = gsl_multifit_nlinear_alloc(
        gsl_multifit_nlinear_trust, &settings, problem->data_count + fit->count, fit->count);
    gsl_multifit_nlinear_fdf fdf = {.f = weighted_residuals,
                                    .df = weighted_jacobian,
                                    .n = problem->data_count + fit->count,
                                    .p = fit->count,
                                    .params = &at};
    fr_status status = FR_NO_MEMORY;
    if (space != NULL && at.row != NULL) {
        fr_problem_residuals(problem, fit->deviations, fit->residuals);
        find_active(&at, fit->residuals);
        status = fit_all(problem, space, &fdf, fit, at.row) ? FR_OK : FR_FAULT;
    }
    if (space != NULL)
        gsl_multifit_nlinear_free(space);
    free(at.row);
    return status;
}

void fr_fit_close(fr_fit *fit) {
    free(fit->deviations);
    free(fit->covariance);
    free(fit->weights);
    free(fit->residuals);
    memset(fit, 0, sizeof *fit);
}
