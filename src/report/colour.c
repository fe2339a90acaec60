/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "report/colour.h"

/* ECMA-48 "select graphic rendition"; the eight basic colours, which every theme keeps legible. */
static const char *const begins[FR_COLOUR_COUNT] = {[FR_PLAIN] = "",
                                                    [FR_GOOD] = "\033[32m",
                                                    [FR_WARN] = "\033[33m",
                                                    [FR_BAD] = "\033[1;31m",
                                                    [FR_STRONG] = "\033[1m"};

const char *fr_colour_on(bool colours, fr_colour colour) {
    return colours ? begins[colour] : "";
}

const char *fr_colour_off(bool colours, fr_colour colour) {
    return colours && colour != FR_PLAIN ? "\033[0m" : "";
}

fr_colour fr_verdict_colour(fr_verdict verdict) {
    static const fr_colour colours[] = {
        [FR_CLEAR] = FR_GOOD, [FR_TIGHT] = FR_WARN, [FR_SHORT] = FR_BAD};
    return colours[verdict];
}
