/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "chance/points.h"

#include <stdlib.h>

#include <gsl/gsl_qrng.h>

struct fr_points {
    gsl_qrng *sobol;
    size_t dimensions, sobol_dimensions;
    size_t given; /* points so far */
};

static const uint64_t GOLDEN = UINT64_C(0x9E3779B97F4A7C15); /* 2^64 over the golden ratio */

uint64_t fr_random_next(uint64_t *state) {
    uint64_t z = (*state += GOLDEN);
    z = (z ^ (z >> 30)) * UINT64_C(0xBF58476D1CE4E5B9);
    z = (z ^ (z >> 27)) * UINT64_C(0x94D049BB133111EB);
    return z ^ (z >> 31);
}

double fr_random_even(uint64_t *state) {
    return (double)(fr_random_next(state) >> 11) * 0x1.0p-53;
}

fr_points *fr_points_open(size_t dimensions) {
    fr_points *points = calloc(1, sizeof *points);
    if (points == NULL) {
        return NULL;
    }
    points->dimensions = dimensions;
    points->sobol_dimensions =
        dimensions < FR_SOBOL_DIMENSIONS_MAX ? dimensions : FR_SOBOL_DIMENSIONS_MAX;
    if (points->sobol_dimensions > 0) {
        points->sobol = gsl_qrng_alloc(gsl_qrng_sobol, (unsigned)points->sobol_dimensions);
        if (points->sobol == NULL) {
            free(points);
            return NULL;
        }
    }
    return points;
}

void fr_points_close(fr_points *points) {
    if (points != NULL) {
        if (points->sobol != NULL) {
            gsl_qrng_free(points->sobol);
        }
        free(points);
    }
}

void fr_points_restart(fr_points *points) {
    if (points->sobol != NULL) {
        gsl_qrng_init(points->sobol);
    }
    points->given = 0;
}

void fr_points_next(fr_points *points, size_t count, double *base) {
    for (size_t i = 0; i < count; i++) {
        double *point = base + i * points->dimensions;
        for (size_t d = 0; d < points->dimensions; d++) {
            point[d] = 0.0; /* the first point; and what the shift draws by itself */
        }
        if (points->given > 0 && points->sobol != NULL) {
            gsl_qrng_get(points->sobol, point);
        }
        points->given++;
    }
}

static uint64_t seed_of(uint64_t seed, uint64_t a, uint64_t b) {
    uint64_t state = seed;
    state = fr_random_next(&state) ^ (a * GOLDEN);
    state = fr_random_next(&state) ^ (b * GOLDEN);
    return fr_random_next(&state);
}

void fr_points_shift(uint64_t seed, size_t shift, size_t dimensions, double *amounts) {
    uint64_t state = seed_of(seed, shift + 1, 0);
    for (size_t d = 0; d < dimensions; d++) {
        amounts[d] = fr_random_even(&state);
    }
}

FR_CLONES void fr_lane_deviates(const double *even, double *z) {
    const double BELOW_CUT = 0.0013498980316300946; /* normal probability below -3 */
    FR_EACH_LANE(l) {
        const double p = BELOW_CUT + even[l] * (1.0 - 2.0 * BELOW_CUT);
        const double q = p - 0.5;
        const double r = 0.180625 - q * q;
        const double middle =
            q *
            (((((((2.5090809287301226727e3 * r + 3.3430575583588128105e4) * r +
                  6.7265770927008700853e4) * r + 4.5921953931549871457e4) * r +
                1.3731693765509461125e4) * r + 1.9715909503065514427e3) * r +
              1.3314166789178437745e2) * r + 3.3871328727963666080e0) /
            (((((((5.2264952788528545610e3 * r + 2.8729085735721942674e4) * r +
                  3.9307895800092710610e4) * r + 2.1213794301586595867e4) * r +
                5.3941960214247511077e3) * r + 6.8718700749205790830e2) * r +
              4.2313330701600911252e1) * r + 1.0);
        const double outer = q < 0.0 ? p : 1.0 - p;
        const double t = sqrt(-fr_lane_log(outer)) - 1.6;
        const double tail =
            (((((((7.74545014278341407640e-4 * t + 2.27238449892691845833e-2) * t +
                  2.41780725177450611770e-1) * t + 1.27045825245236838258e0) * t +
                3.64784832476320460504e0) * t + 5.76949722146069140550e0) * t +
              4.63033784615654529590e0) * t + 1.42343711074968357734e0) /
            (((((((1.05075007164441684324e-9 * t + 5.47593808499534494600e-4) * t +
                  1.51986665636165717e-2) * t + 1.48103976427480074590e-1) * t +
                6.89767334985100004550e-1) * t + 1.67638483018380384940e0) * t +
              2.05319162663775882187e0) * t + 1.0);
        const double signed_tail = q < 0.0 ? -tail : tail;
        const double deviate = r >= 0.0 ? middle : signed_tail;
        z[l] = fr_lesser(fr_greater(deviate, -3.0), 3.0);
    }
}

void fr_points_deviate(const double *base, size_t count, size_t dimensions, const double *amounts,
                       uint64_t seed, size_t shift, size_t first, fr_row *z) {
    fr_row even;
    for (size_t d = 0; d < dimensions; d++) {
        for (size_t l = 0; l < FR_LANES; l++) {
            const size_t i = l < count ? l : count - 1;
            double u = fr_shifted(base[i * dimensions + d], amounts[d]);
            if (d >= FR_SOBOL_DIMENSIONS_MAX) {
                uint64_t state = seed_of(seed, shift + 1, (first + i + 1) * 256 + d);
                u = fr_random_even(&state);
            }
            even[l] = u;
        }
        fr_lane_deviates(even, z[d]);
    }
}
