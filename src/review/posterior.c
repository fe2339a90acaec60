/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <gsl/gsl_cdf.h>
#include <gsl/gsl_linalg.h>
#include <gsl/gsl_qrng.h>
#include <gsl/gsl_rng.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "review/odds.h"

static const double CUT = 3.0; /* standard deviations, as everywhere (docs/model.md) */
static const double CUT_SHARE = 0.01;
static const double HALF_95 = 1.96;
static const unsigned long SEED = 20011; /* any: results repeat */
enum {
    SOBOL_MAX = 40, /* GSL's sequence ends there; the rest is drawn plainly */
    TRIES_PER_DRAW = 20,
    PER_REPLICATE = FR_ODDS_DRAWS / FR_ODDS_REPLICATES
};

/* A bound as standard normals u see it: offset + along . u <= 0. */
typedef struct plane {
    bool any;
    double offset, length;
    double along[FR_REVIEW_PARAMETERS_MAX];
} plane;

/* Room and fixed things of all draws. */
typedef struct sampler {
    const fr_fit *fit;
    gsl_matrix *root; /* lower triangle of the covariance */
    gsl_rng *random;
    plane planes[FR_BOUND_COUNT];
} sampler;

/* ---- bounds seen from standard normals ---- */

static plane make_plane(const sampler *draw, const fr_bound *bound) {
    plane made = {.any = bound->any, .offset = bound->offset};
    for (size_t j = 0; j < draw->fit->count; j++) {
        for (size_t i = j; i < draw->fit->count; i++)
            made.along[j] += gsl_matrix_get(draw->root, i, j) * bound->gradient[i];
        made.length += made.along[j] * made.along[j];
    }
    made.length = sqrt(made.length);
    made.any = made.any && made.length > 0.0;
    return made;
}

/* Chance that a bound leaves of the normal distribution. */
static double left_by(const plane *bound) {
    return bound->any ? gsl_cdf_ugaussian_P(-bound->offset / bound->length) : 1.0;
}

static double dot(const double *a, const double *b, size_t count) {
    double sum = 0.0;
    for (size_t i = 0; i < count; i++)
        sum += a[i] * b[i];
    return sum;
}

/* Narrows [low, high] for the way t along `axis` (of unit length) from `u`, whose own part along
 * it is taken out. */
static void narrow(const plane *bound, const double *axis, const double *u, size_t count,
                   double *low, double *high) {
    if (!bound->any)
        return;
    const double slope = dot(bound->along, axis, count);
    const double limit = -(bound->offset + dot(bound->along, u, count)) / slope;
    if (slope > 0.0)
        *high = fmin(*high, limit);
    else if (slope < 0.0)
        *low = fmax(*low, limit);
}

/* Brings u within the bounds of one pump, along the first that there is: the normal distribution
 * of that one direction is cut and drawn by its own quantile, all others stay. False: no room. */
static bool confine(const plane *first, const plane *second, size_t count, double *u) {
    const plane *lead = first->any ? first : second;
    double axis[FR_REVIEW_PARAMETERS_MAX];
    double low = -INFINITY;
    double high = INFINITY;
    if (!lead->any)
        return true;
    for (size_t i = 0; i < count; i++)
        axis[i] = lead->along[i] / lead->length;
    const double own = dot(u, axis, count);
    for (size_t i = 0; i < count; i++)
        u[i] -= own * axis[i];
    narrow(first, axis, u, count, &low, &high);
    const double held_low = low;
    const double held_high = high;
    narrow(second, axis, u, count, &low, &high);
    if (!(low < high)) { /* they contradict each other by noise: a pump that held is believed */
        low = held_low;
        high = held_high;
    }
    const double from = gsl_cdf_ugaussian_P(low);
    const double to = gsl_cdf_ugaussian_P(high);
    const double way =
        gsl_cdf_ugaussian_Pinv(from + (to - from) * gsl_cdf_ugaussian_P(own));
    if (!(low < high) || !isfinite(way))
        return false;
    for (size_t i = 0; i < count; i++)
        u[i] += way * axis[i];
    return true;
}

/* ---- draws ---- */

static double standard_normal(double point, double shift) {
    static const double EDGE = 1e-12;
    double u = point + shift;
    u -= floor(u);
    const double z = gsl_cdf_ugaussian_Pinv(fmin(fmax(u, EDGE), 1.0 - EDGE));
    return z > CUT ? CUT : z < -CUT ? -CUT : z;
}

static bool draw_one(const sampler *draw, const double *point, const double *shift, double *out) {
    const size_t count = draw->fit->count;
    double u[FR_REVIEW_PARAMETERS_MAX] = {0};
    for (size_t i = 0; i < count; i++)
        u[i] = standard_normal(point[i], shift[i]);
    static const plane NONE = {0};
    if (!confine(&draw->planes[FR_BOUND_HIGH_HELD], &draw->planes[FR_BOUND_HIGH_GONE], count, u) ||
        !confine(&draw->planes[FR_BOUND_LIFT_HELD], &NONE, count, u))
        return false;
    for (size_t i = 0; i < count; i++) {
        out[i] = draw->fit->deviations[i];
        for (size_t j = 0; j <= i; j++)
            out[i] += gsl_matrix_get(draw->root, i, j) * u[j];
    }
    return true;
}

/* PER_REPLICATE draws with one shift. False when out of memory. */
static bool replicate(const sampler *draw, fr_posterior *posterior) {
    const size_t count = draw->fit->count;
    const size_t dimensions = count < SOBOL_MAX ? count : SOBOL_MAX;
    double shift[FR_REVIEW_PARAMETERS_MAX] = {0};
    double point[FR_REVIEW_PARAMETERS_MAX] = {0};
    gsl_qrng *sequence = gsl_qrng_alloc(gsl_qrng_sobol, (unsigned)dimensions);
    if (sequence == NULL)
        return false;
    for (size_t i = 0; i < count; i++)
        shift[i] = gsl_rng_uniform(draw->random);
    size_t made = 0;
    for (size_t i = 0; made < PER_REPLICATE && i < TRIES_PER_DRAW * PER_REPLICATE; i++) {
        gsl_qrng_get(sequence, point);
        for (size_t j = dimensions; j < count; j++)
            point[j] = gsl_rng_uniform(draw->random);
        if (!draw_one(draw, point, shift, posterior->draws + posterior->count * count))
            continue;
        posterior->count++;
        made++;
    }
    gsl_qrng_free(sequence);
    return true;
}

static bool make_root(const fr_fit *fit, gsl_matrix *root) {
    for (size_t i = 0; i < fit->count; i++)
        for (size_t j = 0; j < fit->count; j++)
            gsl_matrix_set(root, i, j,
                           0.5 * (fit->covariance[i * fit->count + j] +
                                  fit->covariance[j * fit->count + i]));
    return gsl_linalg_cholesky_decomp1(root) == GSL_SUCCESS;
}

/* Mean and covariance of the draws in place of the normal distribution's. */
static void take_moments(const fr_posterior *posterior, fr_fit *fit) {
    const double draws = (double)posterior->count;
    for (size_t j = 0; j < fit->count; j++) {
        fit->deviations[j] = 0.0;
        for (size_t i = 0; i < posterior->count; i++)
            fit->deviations[j] += posterior->draws[i * fit->count + j] / draws;
    }
    memset(fit->covariance, 0, fit->count * fit->count * sizeof *fit->covariance);
    for (size_t i = 0; i < posterior->count; i++) {
        const double *row = posterior->draws + i * fit->count;
        for (size_t j = 0; j < fit->count; j++)
            for (size_t k = 0; k < fit->count; k++)
                fit->covariance[j * fit->count + k] +=
                    (row[j] - fit->deviations[j]) * (row[k] - fit->deviations[k]) / draws;
    }
}

static fr_status sample(sampler *draw, const fr_bounds *bounds, fr_posterior *posterior) {
    if (!make_root(draw->fit, draw->root))
        return FR_FAULT;
    gsl_rng_set(draw->random, SEED);
    for (int id = 0; id < FR_BOUND_COUNT; id++) {
        draw->planes[id] = make_plane(draw, &bounds->of[id]);
        posterior->cut = posterior->cut || left_by(&draw->planes[id]) < 1.0 - CUT_SHARE;
    }
    for (int i = 0; i < FR_ODDS_REPLICATES; i++)
        if (!replicate(draw, posterior))
            return FR_NO_MEMORY;
    return posterior->count > 0 ? FR_OK : FR_FAULT;
}

fr_status fr_posterior_draw(const fr_bounds *bounds, fr_fit *fit, fr_posterior *posterior) {
    fr_status status = FR_NO_MEMORY;
    memset(posterior, 0, sizeof *posterior);
    posterior->parameters = fit->count;
    if (fit->count == 0)
        return FR_FAULT;
    posterior->draws = calloc(FR_ODDS_DRAWS * fit->count, sizeof *posterior->draws);
    sampler draw = {.fit = fit,
                    .root = gsl_matrix_alloc(fit->count, fit->count),
                    .random = gsl_rng_alloc(gsl_rng_mt19937)};
    if (posterior->draws != NULL && draw.root != NULL && draw.random != NULL)
        status = sample(&draw, bounds, posterior);
    if (draw.root != NULL)
        gsl_matrix_free(draw.root);
    if (draw.random != NULL)
        gsl_rng_free(draw.random);
    if (status == FR_OK && posterior->cut)
        take_moments(posterior, fit);
    return status;
}

void fr_posterior_close(fr_posterior *posterior) {
    free(posterior->draws);
    memset(posterior, 0, sizeof *posterior);
}

static int by_value(const void *a, const void *b) {
    const double x = *(const double *)a;
    const double y = *(const double *)b;
    return (x > y) - (x < y);
}

bool fr_posterior_interval(const fr_posterior *posterior, const fr_fit *fit, size_t parameter,
                           double *low, double *high) {
    const double sigma = sqrt(fit->covariance[parameter * fit->count + parameter]);
    *low = fit->deviations[parameter] - HALF_95 * sigma;
    *high = fit->deviations[parameter] + HALF_95 * sigma;
    if (!posterior->cut)
        return true;
    double *values = malloc(posterior->count * sizeof *values);
    if (values == NULL)
        return false;
    for (size_t i = 0; i < posterior->count; i++)
        values[i] = posterior->draws[i * posterior->parameters + parameter];
    qsort(values, posterior->count, sizeof *values, by_value);
    *low = values[(size_t)(0.025 * (double)(posterior->count - 1))];
    *high = values[(size_t)(0.975 * (double)(posterior->count - 1))];
    free(values);
    return true;
}
