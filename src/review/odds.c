/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "review/odds.h"

#include <gsl/gsl_cdf.h>
#include <gsl/gsl_linalg.h>
#include <gsl/gsl_qrng.h>
#include <gsl/gsl_rng.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "chance/block.h"

static const double CUT = 3.0;      /* standard deviations, as everywhere (docs/model.md) */
static const double CUT_SHARE = 0.01;
static const unsigned long SEED = 20011; /* any: results repeat */
enum {
    SOBOL_MAX = 40,     /* GSL's sequence ends there; the rest is drawn plainly */
    TRIES_PER_DRAW = 20,
    PER_REPLICATE = FR_ODDS_DRAWS / FR_ODDS_REPLICATES
};

/* ---- draws ---- */

/* Lower triangle of the inputs' covariance. */
static bool triangle(const fr_fit *fit, size_t inputs, gsl_matrix *root) {
    for (size_t i = 0; i < inputs; i++)
        for (size_t j = 0; j < inputs; j++)
            gsl_matrix_set(root, i, j,
                           0.5 * (fit->covariance[i * fit->count + j] +
                                  fit->covariance[j * fit->count + i]));
    return gsl_linalg_cholesky_decomp1(root) == GSL_SUCCESS;
}

static bool crosses(const fr_bound *bound, const fr_fit *fit, const double *draw, size_t inputs) {
    double gap = bound->gap;
    for (size_t i = 0; i < inputs; i++)
        gap += bound->gradient[i] * (draw[i] - fit->deviations[i]);
    /* Where the best values themselves lie a little across, they must not lose half their room. */
    return bound->any && gap > fmax(0.0, bound->gap);
}

/* One point of the unit cube, shifted, as a draw. */
static void draw_one(const double *point, const double *shift, const gsl_matrix *root,
                     const fr_fit *fit, size_t inputs, double *draw) {
    double normal[FR_REVIEW_INPUTS_MAX];
    for (size_t i = 0; i < inputs; i++) {
        double u = point[i] + shift[i];
        u -= floor(u);
        const double z = gsl_cdf_ugaussian_Pinv(fmin(fmax(u, 1e-12), 1.0 - 1e-12));
        normal[i] = z > CUT ? CUT : z < -CUT ? -CUT : z;
    }
    for (size_t i = 0; i < inputs; i++) {
        draw[i] = fit->deviations[i];
        for (size_t j = 0; j <= i; j++)
            draw[i] += gsl_matrix_get(root, i, j) * normal[j];
    }
}

/* PER_REPLICATE draws within the bounds; returns how many points it took. */
static size_t replicate(const fr_fit *fit, const fr_bounds *bounds, const gsl_matrix *root,
                        gsl_rng *random, fr_posterior *posterior) {
    const size_t inputs = posterior->input_count;
    const size_t dimensions = inputs < SOBOL_MAX ? inputs : SOBOL_MAX;
    double shift[FR_REVIEW_INPUTS_MAX];
    double point[FR_REVIEW_INPUTS_MAX] = {0};
    gsl_qrng *sequence = gsl_qrng_alloc(gsl_qrng_sobol, (unsigned)dimensions);
    size_t tried = 0;
    if (sequence == NULL)
        return 0;
    for (size_t i = 0; i < inputs; i++)
        shift[i] = gsl_rng_uniform(random);
    for (size_t made = 0; made < PER_REPLICATE && tried < TRIES_PER_DRAW * PER_REPLICATE; tried++) {
        double *draw = posterior->draws + posterior->count * inputs;
        gsl_qrng_get(sequence, point);
        for (size_t i = dimensions; i < inputs; i++)
            point[i] = gsl_rng_uniform(random);
        draw_one(point, shift, root, fit, inputs, draw);
        if (crosses(&bounds->lift, fit, draw, inputs) || crosses(&bounds->high, fit, draw, inputs))
            continue;
        posterior->count++;
        made++;
    }
    gsl_qrng_free(sequence);
    return tried;
}

fr_status fr_posterior_draw(const fr_parameters *parameters, const fr_fit *fit,
                            const fr_bounds *bounds, fr_posterior *posterior) {
    const size_t inputs = parameters->input_count;
    fr_status status = FR_NO_MEMORY;
    memset(posterior, 0, sizeof *posterior);
    posterior->input_count = inputs;
    posterior->draws = calloc(FR_ODDS_DRAWS * inputs + 1, sizeof *posterior->draws);
    gsl_matrix *root = gsl_matrix_alloc(inputs > 0 ? inputs : 1, inputs > 0 ? inputs : 1);
    gsl_rng *random = gsl_rng_alloc(gsl_rng_mt19937);
    if (posterior->draws != NULL && root != NULL && random != NULL && inputs > 0) {
        gsl_rng_set(random, SEED);
        status = triangle(fit, inputs, root) ? FR_OK : FR_FAULT;
        size_t tried = 0;
        for (int i = 0; i < FR_ODDS_REPLICATES && status == FR_OK; i++)
            tried += replicate(fit, bounds, root, random, posterior);
        posterior->cut = (double)posterior->count < (1.0 - CUT_SHARE) * (double)tried;
        if (status == FR_OK && posterior->count == 0)
            status = tried > 0 ? FR_FAULT : FR_NO_MEMORY;
    }
    if (root != NULL)
        gsl_matrix_free(root);
    if (random != NULL)
        gsl_rng_free(random);
    return status;
}

void fr_posterior_close(fr_posterior *posterior) {
    free(posterior->draws);
    memset(posterior, 0, sizeof *posterior);
}

/* ---- odds ---- */

/* Sums over draws, a replicate each, of one blend. */
typedef struct tally {
    double drawn[FR_ODDS_REPLICATES];
    double any[FR_ODDS_REPLICATES];
    double stage[FR_STAGE_COUNT];
} tally;

static void put_draws(const fr_build *build, const fr_parameters *parameters,
                      const fr_posterior *posterior, size_t from, const fr_draw_plan *plan,
                      fr_build *moved, fr_draws *draws) {
    for (size_t lane = 0; lane < FR_LANES; lane++) {
        const size_t index = from + lane < posterior->count ? from + lane : posterior->count - 1;
        fr_build_move(build, parameters->inputs, parameters->input_count,
                      posterior->draws + index * posterior->input_count, moved);
        fr_draws_put(draws, plan, (int)lane, moved);
    }
    fr_draws_complete(draws, plan);
}

static void count_block(const fr_block_result *result, size_t from, size_t count, tally *sums) {
    for (size_t lane = 0; lane < FR_LANES && from + lane < count; lane++) {
        const size_t which = (from + lane) * FR_ODDS_REPLICATES / count;
        sums->drawn[which] += 1.0;
        sums->any[which] += result->any_short[lane];
        for (int stage = 0; stage < FR_STAGE_COUNT; stage++)
            sums->stage[stage] += result->is_short[stage][lane];
    }
}

static void read_tally(const fr_build *build, const tally *sums, size_t count, fr_odds *odds) {
    double mean = 0.0;
    double squares = 0.0;
    for (int i = 0; i < FR_ODDS_REPLICATES; i++) {
        const double part = sums->drawn[i] > 0.0 ? sums->any[i] / sums->drawn[i] : 0.0;
        mean += part / FR_ODDS_REPLICATES;
        squares += part * part / FR_ODDS_REPLICATES;
    }
    odds->holds = 1.0 - mean;
    odds->standard_error =
        sqrt(fmax(0.0, squares - mean * mean) / (FR_ODDS_REPLICATES - 1));
    for (int stage = 0; stage < FR_STAGE_COUNT; stage++)
        odds->is_short[stage] =
            fr_build_has(build, (fr_stage)stage) ? sums->stage[stage] / (double)count : NAN;
}

fr_status fr_odds_find(const fr_build *build, const fr_parameters *parameters,
                       const fr_posterior *posterior, fr_odds *odds, size_t count) {
    fr_block *block = fr_block_open();
    fr_draw_plan *plan = malloc(sizeof *plan);
    fr_build *moved = malloc(sizeof *moved);
    tally *sums = calloc(count + 1, sizeof *sums);
    const bool room = block != NULL && plan != NULL && moved != NULL && sums != NULL;
    if (room) {
        fr_draw_plan_make(build, plan);
        for (size_t from = 0; from < posterior->count; from += FR_LANES) {
            put_draws(build, parameters, posterior, from, plan, moved, fr_block_draws(block));
            for (size_t i = 0; i < count; i++)
                count_block(fr_block_run(block, plan, odds[i].ethanol, FR_WANT_ODDS), from,
                            posterior->count, &sums[i]);
        }
        for (size_t i = 0; i < count; i++)
            read_tally(build, &sums[i], posterior->count, &odds[i]);
    }
    free(sums);
    free(moved);
    free(plan);
    fr_block_close(block);
    return room ? FR_OK : FR_NO_MEMORY;
}
