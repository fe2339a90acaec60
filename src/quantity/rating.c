/* SPDX-License-Identifier: GPL-3.0-or-later */
/* "1000 cc/min at 3 bar": how the trade rates an injector or a pump in one breath. */
#include <string.h>

#include "quantity/units.h"

static const double cubic_centimetre_m3 = 1e-6;
static const double minute_s = 60.0;

/* Where the word "at", or "@", parts flow from pressure; null when nothing does. */
static char *find_at(char *text, size_t *size) {
    for (char *c = text; *c != '\0'; c++) {
        bool word = c > text && fr_blank_char(c[-1]) && (c[0] == 'a' || c[0] == 'A') &&
                    (c[1] == 't' || c[1] == 'T') && fr_blank_char(c[2]);
        if (*c == '@' || word) {
            *size = word ? 2 : 1;
            return c;
        }
    }
    return NULL;
}

/* Only a bare cc, never a litre or a cubic inch, is short for "a minute". */
static bool is_bare_cc(const char *text) {
    fr_kind kind;
    double factor = 0.0;
    double offset;
    const char *unit = fr_quantity_unit_at(text);
    char spelled[FR_PLAIN_MAX + 1];
    if (unit == NULL) {
        return false;
    }
    size_t length = strcspn(unit, " \t+");
    memcpy(spelled, unit, length);
    spelled[length] = '\0';
    return fr_unit_find(spelled, FR_KINDS(FR_KIND_VOLUME), &kind, &factor, &offset) &&
           factor == cubic_centimetre_m3;
}

static void read_flow(const char *text, bool at_given, fr_rating *rating) {
    fr_kinds flows = FR_KINDS(FR_KIND_MASS_FLOW) | FR_KINDS(FR_KIND_VOLUME_FLOW);
    fr_quantity *flow = &rating->flow;
    rating->flow_fault = fr_quantity_parse(text, flows, flow);
    if (rating->flow_fault == FR_QUANTITY_WRONG_KIND && at_given && is_bare_cc(text)) {
        rating->flow_fault = fr_quantity_parse(text, FR_KINDS(FR_KIND_VOLUME), flow);
        flow->kind = FR_KIND_VOLUME_FLOW;
        flow->value /= minute_s;
        flow->tolerance /= flow->tolerance_relative ? 1.0 : minute_s;
    }
}

bool fr_rating_parse(const char *text, fr_rating *rating) {
    fr_plain plain;
    size_t size = 0;
    fr_plain_make(text, &plain);
    char *at = find_at(plain.text, &size);
    *rating = (fr_rating){.at_given = at != NULL};
    if (at != NULL) {
        *at = '\0';
        rating->at_fault = fr_quantity_parse(at + size, FR_KINDS(FR_KIND_PRESSURE), &rating->at);
    }
    read_flow(plain.text, rating->at_given, rating);
    if (plain.cut) {
        rating->flow_fault = FR_QUANTITY_TRAILING;
    }
    return rating->flow_fault == FR_QUANTITY_FINE && rating->at_fault == FR_QUANTITY_FINE;
}
