/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Slots are filled in the order of ORDER, each list from cheap to dear. A branch is left when
 *  - what it costs already, and the least that the open slots can cost, is more than the last of
 *    the best sets found (the cheapest lift pump and the cheapest injectors and high-pressure pump
 *    that could do it at all are found beforehand, all else being ideal); or
 *  - with the most favourable figures in its open slots it still does not hold (sound because the
 *    supply never gets worse with any of them: ideal.c).
 * The injectors are looked at once for every feed that holds: where the regulator sits at the rail
 * and the lift pump is within its end, the rail pressure is the set pressure, whatever the parts
 * before it; with the regulator at the tank it depends on line and filter, and the memory of what
 * held is dropped when either changes. */
#include "sizing/search.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

static const fr_slot ORDER[FR_SLOT_COUNT] = {
    FR_SLOT_LINE,          FR_SLOT_FILTER,          FR_SLOT_LIFT_PUMP,         FR_SLOT_WIRING,
    FR_SLOT_PORT_INJECTOR, FR_SLOT_DIRECT_INJECTOR, FR_SLOT_HIGH_PRESSURE_PUMP};
enum { AFTER_LIFT = 2, AFTER_WIRING = 3, AFTER_PORT = 4, AFTER_LAST = FR_SLOT_COUNT - 1 };

typedef enum fr_known { NOT_KNOWN, HOLDS, FAILS } fr_known;

struct fr_search {
    const fr_size_request *request;
    const fr_options *options;
    const fr_goal *goal;
    fr_check *marks_check;
    fr_check *marks_scratch;
    fr_witness feed_witness, port_witness, last_witness;
    /* the branch */
    fr_size_item items[FR_SLOT_COUNT];
    size_t index[FR_SLOT_COUNT]; /* of each slot's item in its list */
    double least_after[FR_SLOT_COUNT]; /* least that the slots after a depth can cost */
    /* what is known */
    unsigned char *lift_known;  /* a lift pump with all else ideal */
    unsigned char *port_known;  /* a port injector behind a feed that holds */
    unsigned char *last_known;  /* (port, direct, high-pressure pump) behind one */
    size_t port_count, last_count;
    /* the best so far */
    double price_most;
    bool for_reach; /* marks decide nothing */
    size_t wanted, count;
    fr_size_choice *choices;
};

/* ---- memory ---- */

static bool take_memory(fr_search *search) {
    const size_t ports = search->options[FR_SLOT_PORT_INJECTOR].count;
    search->port_count = ports;
    search->last_count = ports * search->options[FR_SLOT_DIRECT_INJECTOR].count *
                         search->options[FR_SLOT_HIGH_PRESSURE_PUMP].count;
    search->lift_known = calloc(search->options[FR_SLOT_LIFT_PUMP].count, 1);
    search->port_known = calloc(search->port_count, 1);
    search->last_known = calloc(search->last_count, 1);
    search->marks_check = fr_check_open();
    search->marks_scratch = fr_check_open();
    return search->lift_known != NULL && search->port_known != NULL &&
           search->last_known != NULL && search->marks_check != NULL &&
           search->marks_scratch != NULL;
}

fr_search *fr_search_open(const fr_size_request *request,
                          const fr_options options[FR_SLOT_COUNT]) {
    fr_search *search = calloc(1, sizeof *search);
    if (search == NULL) {
        return NULL;
    }
    search->request = request;
    search->options = options;
    if (!take_memory(search)) {
        fr_search_close(search);
        return NULL;
    }
    return search;
}

void fr_search_close(fr_search *search) {
    if (search != NULL) {
        free(search->lift_known);
        free(search->port_known);
        free(search->last_known);
        fr_check_close(search->marks_check);
        fr_check_close(search->marks_scratch);
        free(search);
    }
}

double fr_search_looked(const fr_search *search) {
    return search->feed_witness.looked + search->port_witness.looked + search->last_witness.looked;
}

static void forget_injectors(fr_search *search) {
    memset(search->port_known, NOT_KNOWN, search->port_count);
    memset(search->last_known, NOT_KNOWN, search->last_count);
}

/* ---- builds ---- */

void fr_search_fit(const fr_search *search, const fr_size_item items[FR_SLOT_COUNT],
                   fr_build *build) {
    *build = *search->request->build;
    for (int i = 0; i < FR_SLOT_COUNT; i++) {
        fr_size_fit(build, (fr_slot)i, &items[i]);
    }
}

/* The branch down to a depth, the most favourable figures in what is still open. */
static void fit_branch(const fr_search *search, int depth, fr_build *build) {
    bool open[FR_SLOT_COUNT];
    *build = *search->request->build;
    for (int d = 0; d < FR_SLOT_COUNT; d++) {
        open[ORDER[d]] = d > depth;
        if (d <= depth) {
            fr_size_fit(build, ORDER[d], &search->items[ORDER[d]]);
        }
    }
    fr_options_ideal(search->options, open, build);
}

static bool stages_hold(const fr_search *search, const fr_build *build, fr_stage_set stages,
                        fr_witness *witness) {
    return fr_stages_hold(search->request->scratch, build, search->goal, stages, witness);
}

/* ---- what each depth asks ---- */

/* Whether the branch's lift pump holds with this wiring and all else ideal. */
static bool lift_holds_with(fr_search *search, const fr_size_item *wiring) {
    bool open[FR_SLOT_COUNT];
    fr_build build = *search->request->build;
    for (int i = 0; i < FR_SLOT_COUNT; i++) {
        open[i] = i != FR_SLOT_LIFT_PUMP && i != FR_SLOT_WIRING;
    }
    fr_size_fit(&build, FR_SLOT_LIFT_PUMP, &search->items[FR_SLOT_LIFT_PUMP]);
    fr_size_fit(&build, FR_SLOT_WIRING, wiring);
    fr_options_ideal(search->options, open, &build);
    return stages_hold(search, &build, fr_stages_of_feed(), &search->feed_witness);
}

/* A lift pump that holds with no wiring, line and filter ideal, never does. */
static bool lift_may_hold(fr_search *search) {
    unsigned char *known = &search->lift_known[search->index[FR_SLOT_LIFT_PUMP]];
    const fr_options *wirings = &search->options[FR_SLOT_WIRING];
    for (size_t i = wirings->count; i-- > 0 && *known == NOT_KNOWN;) { /* dear wire is thick */
        *known = lift_holds_with(search, &wirings->items[i]) ? HOLDS : NOT_KNOWN;
    }
    *known = *known == HOLDS ? HOLDS : FAILS;
    return *known == HOLDS;
}

static bool feed_holds(fr_search *search) {
    fr_build build;
    fit_branch(search, AFTER_WIRING, &build);
    return stages_hold(search, &build, fr_stages_of_feed(), &search->feed_witness);
}

static bool port_may_hold(fr_search *search) {
    const bool shared = search->request->build->direct.present;
    unsigned char *known = &search->port_known[search->index[FR_SLOT_PORT_INJECTOR]];
    if (shared || search->goal->accepts != NULL) {
        return true; /* decided with the direct injectors */
    }
    if (*known == NOT_KNOWN) {
        fr_build build;
        fit_branch(search, AFTER_PORT, &build);
        *known = stages_hold(search, &build, 1u << FR_STAGE_PORT_INJECTOR, &search->port_witness)
                     ? HOLDS
                     : FAILS;
    }
    return *known == HOLDS;
}

static bool all_holds(fr_search *search) {
    const size_t place = (search->index[FR_SLOT_PORT_INJECTOR] *
                              search->options[FR_SLOT_DIRECT_INJECTOR].count +
                          search->index[FR_SLOT_DIRECT_INJECTOR]) *
                             search->options[FR_SLOT_HIGH_PRESSURE_PUMP].count +
                         search->index[FR_SLOT_HIGH_PRESSURE_PUMP];
    unsigned char *known = &search->last_known[place];
    const bool remembers = search->goal->accepts == NULL;
    if (!remembers || *known == NOT_KNOWN) {
        fr_build build;
        fr_search_fit(search, search->items, &build);
        *known =
            stages_hold(search, &build, fr_stages_of_parts(), &search->last_witness) ? HOLDS : FAILS;
    }
    return *known == HOLDS;
}

static bool may_hold(fr_search *search, int depth) {
    switch (depth) {
    case AFTER_LIFT:
        return lift_may_hold(search);
    case AFTER_WIRING:
        return feed_holds(search);
    case AFTER_PORT:
        return port_may_hold(search);
    case AFTER_LAST:
        return all_holds(search);
    default:
        return true;
    }
}

/* ---- the least that open slots can cost ---- */

/* The cheapest lift pump that could do it; false when none could. */
static bool cheapest_lift(fr_search *search, double *price) {
    const fr_options *lifts = &search->options[FR_SLOT_LIFT_PUMP];
    for (size_t i = 0; i < lifts->count; i++) {
        search->items[FR_SLOT_LIFT_PUMP] = lifts->items[i];
        search->index[FR_SLOT_LIFT_PUMP] = i;
        if (lift_may_hold(search)) {
            *price = lifts->items[i].price;
            return true;
        }
    }
    return false;
}

/* Injectors and high-pressure pump behind the best of feeds: pumps that hold any set pressure they
 * can reach. */
static bool injectors_may_hold(fr_search *search) {
    static const double PLENTY = 1e3;
    const bool open[FR_SLOT_COUNT] = {[FR_SLOT_FILTER] = true, [FR_SLOT_LINE] = true};
    static const fr_slot FITTED[] = {FR_SLOT_LIFT_PUMP, FR_SLOT_PORT_INJECTOR,
                                     FR_SLOT_DIRECT_INJECTOR, FR_SLOT_HIGH_PRESSURE_PUMP};
    fr_build build = *search->request->build;
    for (size_t i = 0; i < sizeof FITTED / sizeof *FITTED; i++) {
        fr_size_fit(&build, FITTED[i], &search->items[FITTED[i]]);
    }
    for (size_t i = 0; i < build.pumps.kind_count; i++) {
        build.pumps.kinds[i].flow_factor *= PLENTY;
    }
    build.pumps.fuse_a = 0.0; /* not judged here */
    fr_options_ideal(search->options, open, &build);
    return stages_hold(search, &build, fr_stages_of_parts() & ~(1u << FR_STAGE_LIFT_PUMP),
                       &search->last_witness);
}

static void cheapen(fr_search *search, int depth, double price, double *least) {
    const fr_slot slot = ORDER[depth];
    const fr_options *options = &search->options[slot];
    for (size_t i = 0; i < options->count; i++) {
        const double with = price + options->items[i].price;
        if (with >= *least) {
            return;
        }
        search->items[slot] = options->items[i];
        search->index[slot] = i;
        if (depth < AFTER_LAST) {
            cheapen(search, depth + 1, with, least);
        } else if (injectors_may_hold(search)) {
            *least = with;
        }
    }
}

/* Fills least_after; false when no set can do it. */
static bool find_least(fr_search *search) {
    double lift = 0.0, injectors = INFINITY;
    if (!cheapest_lift(search, &lift)) {
        return false;
    }
    cheapen(search, AFTER_WIRING + 1, 0.0, &injectors);
    if (!isfinite(injectors)) {
        return false;
    }
    search->least_after[AFTER_LAST] = 0.0;
    for (int depth = AFTER_LAST - 1; depth >= 0; depth--) {
        const fr_slot next = ORDER[depth + 1];
        const double first =
            next == FR_SLOT_LIFT_PUMP ? lift : search->options[next].items[0].price;
        search->least_after[depth] = search->least_after[depth + 1] + first;
        if (depth == AFTER_WIRING && injectors > search->least_after[depth]) {
            search->least_after[depth] = injectors;
        }
    }
    return true;
}

/* ---- the best so far ---- */

static bool marked(const fr_size_choice *choice) {
    return choice->marks.return_overrun || choice->marks.beyond_curve;
}

/* Reach counts as equal to seven figures: the solver's last ones decide nothing. */
static double reach_figure(const fr_size_choice *choice) {
    static const double FIGURES = 1e7;
    return round(choice->reach_times * FIGURES);
}

static int compare(const fr_search *search, const fr_size_choice *a, const fr_size_choice *b) {
    const fr_size_request *request = search->request;
    if (a->price != b->price) {
        return a->price < b->price ? -1 : 1;
    }
    if (!search->for_reach && marked(a) != marked(b)) {
        return marked(a) ? 1 : -1;
    }
    if (reach_figure(a) != reach_figure(b)) {
        return reach_figure(a) > reach_figure(b) ? -1 : 1;
    }
    for (int i = 0; i < FR_SLOT_COUNT; i++) {
        const int order = fr_item_compare(request, (fr_slot)i, &a->items[i], &b->items[i]);
        if (order != 0) {
            return order;
        }
    }
    return 0;
}

/* Whether a price is more than what the last of the best costs; sums of the same prices in another
 * order are the same price. */
static bool too_dear(const fr_search *search, double price) {
    static const double ROUNDING = 1e-9;
    const double most = search->count < search->wanted
                            ? search->price_most
                            : search->choices[search->count - 1].price;
    return price > most + ROUNDING * (1.0 + fabs(most));
}

static void put_marks(fr_search *search, const fr_build *build, fr_size_choice *choice) {
    fr_caution cautions[FR_CAUTIONS_MAX];
    const fr_check_result *result = fr_check_run(search->marks_check, build);
    const size_t count = fr_cautions(build, result, search->marks_scratch, cautions);
    choice->marks = (fr_size_marks){false, false};
    for (size_t i = 0; i < count; i++) {
        choice->marks.return_overrun |= cautions[i].code == FR_CAUTION_RETURN_OVERRUN;
        choice->marks.beyond_curve |= cautions[i].code == FR_CAUTION_BEYOND_CURVE;
    }
}

static void put_scale(fr_search *search, const fr_build *build, fr_size_choice *choice) {
    const fr_scale scale = fr_scale_of(search->request->scratch, build);
    const double least_target = fr_curve_least(&build->engine.target_power_w);
    choice->reach_times = scale.reach_times;
    choice->clear_to_times = scale.clear_to_times;
    choice->reach_w = scale.reach_times * least_target;
    choice->clear_to_w = scale.clear_to_times * least_target;
    choice->weakest = scale.weakest;
    choice->weakest_ethanol = scale.weakest_ethanol;
}

static void keep_branch(fr_search *search, double price) {
    fr_build build;
    fr_size_choice choice = {.price = price};
    memcpy(choice.items, search->items, sizeof choice.items);
    fr_search_fit(search, choice.items, &build);
    put_scale(search, &build, &choice);
    put_marks(search, &build, &choice);
    size_t at = search->count;
    while (at > 0 && compare(search, &choice, &search->choices[at - 1]) < 0) {
        at--;
    }
    if (at >= search->wanted) {
        return;
    }
    search->count += search->count < search->wanted ? 1 : 0;
    memmove(&search->choices[at + 1], &search->choices[at],
            (search->count - at - 1) * sizeof choice);
    search->choices[at] = choice;
}

/* ---- branches ---- */

static void branch(fr_search *search, int depth, double price) {
    const fr_slot slot = ORDER[depth];
    const fr_options *options = &search->options[slot];
    for (size_t i = 0; i < options->count; i++) {
        const fr_size_item *item = &options->items[i];
        if (too_dear(search, price + item->price + search->least_after[depth])) {
            return; /* the rest of the list is dearer */
        }
        search->items[slot] = *item;
        search->index[slot] = i;
        if (depth <= 1 && search->request->build->feed.regulation == FR_MECHANICAL_RETURNLESS) {
            forget_injectors(search);
        }
        if (depth < AFTER_LAST) {
            if (may_hold(search, depth)) {
                branch(search, depth + 1, price + item->price);
            }
        } else {
            const double whole = fr_set_price(search->request, search->items);
            if (!too_dear(search, whole) && may_hold(search, depth)) {
                keep_branch(search, whole);
            }
        }
    }
}

size_t fr_search_best(fr_search *search, const fr_goal *goal, double price_most, size_t wanted,
                      fr_size_choice *choices) {
    search->goal = goal;
    search->price_most = price_most;
    search->for_reach = !goal->to_limits && goal->accepts == NULL;
    search->wanted = wanted;
    search->count = 0;
    search->choices = choices;
    memset(search->lift_known, NOT_KNOWN, search->options[FR_SLOT_LIFT_PUMP].count);
    forget_injectors(search);
    if (find_least(search)) {
        branch(search, 0, 0.0);
    }
    return search->count;
}

/* ---- telling what each item is for ---- */

void fr_search_describe(fr_search *search, const fr_goal *goal, fr_size_choice *choice) {
    search->goal = goal;
    for (int i = 0; i < FR_SLOT_COUNT; i++) {
        choice->mends[i] = false;
        if (choice->items[i].part == NULL) {
            continue;
        }
        fr_size_item items[FR_SLOT_COUNT];
        fr_build build;
        fr_witness witness = {0};
        memcpy(items, choice->items, sizeof items);
        items[i] = (fr_size_item){NULL, 0, false, 0.0};
        fr_search_fit(search, items, &build);
        choice->mends[i] = !stages_hold(search, &build, fr_stages_of_parts(), &witness);
        choice->mended[i] = witness.stage;
    }
}
