/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "promise/indices.h"

#include <math.h>

void fr_index_sums_pair(fr_index_sums *sums, size_t count, const double *a, const double *b) {
    for (size_t i = 0; i < count; i++) {
        sums->sum += a[i] + b[i];
        sums->squares += a[i] * a[i] + b[i] * b[i];
    }
    sums->count += 2.0 * (double)count;
}

void fr_index_sums_input(fr_index_sums *sums, size_t input, size_t count, const double *a,
                         const double *b, const double *mixed) {
    double first = 0.0, total = 0.0;
    for (size_t i = 0; i < count; i++) {
        const double change = mixed[i] - a[i];
        first += b[i] * change;
        total += change * change;
    }
    sums->first[input] += first;
    sums->total[input] += total;
}

void fr_index_sums_merge(fr_index_sums *sums, const fr_index_sums *more, size_t inputs) {
    sums->count += more->count;
    sums->sum += more->sum;
    sums->squares += more->squares;
    for (size_t i = 0; i < inputs; i++) {
        sums->first[i] += more->first[i];
        sums->total[i] += more->total[i];
    }
}

void fr_index_of_sums(const fr_index_sums *sums, size_t input, double *first_order, double *total) {
    const double mean = sums->sum / sums->count;
    const double variance = sums->squares / sums->count - mean * mean;
    const double rounding = 1e-12 * sums->squares / sums->count;
    if (!(variance > rounding)) {
        *first_order = *total = NAN;
        return;
    }
    const double draws = sums->count / 2.0;
    const double first = sums->first[input] / draws / variance;
    *first_order = first > 0.0 ? first : 0.0;
    *total = 0.5 * sums->total[input] / draws / variance;
}

/* ---- selection (Hoare, 1961) ---- */

static double middle_of_three(double a, double b, double c) {
    const double low = a < b ? a : b, high = a < b ? b : a;
    return c < low ? low : c > high ? high : c;
}

double fr_select(double *values, size_t count, double probability) {
    size_t goal = (size_t)ceil(probability * (double)count);
    goal = goal > 0 ? goal - 1 : 0;
    size_t left = 0, right = count - 1;
    while (left < right) {
        const double pivot =
            middle_of_three(values[left], values[left + (right - left) / 2], values[right]);
        size_t i = left, j = right;
        for (;; i++, j--) {
            while (values[i] < pivot) {
                i++;
            }
            while (values[j] > pivot) {
                j--;
            }
            if (i >= j) {
                break;
            }
            const double kept = values[i];
            values[i] = values[j];
            values[j] = kept;
        }
        /* Two of the three are not below the pivot, so that j has come down from the right. */
        if (goal <= j) {
            right = j;
        } else {
            left = j + 1;
        }
    }
    return values[left];
}
