/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Sizing: what must be fitted so that every blend of a build is clear at its target, and which
 * parts do it for the least money, proven. */
#ifndef FUELREACH_SIZING_H
#define FUELREACH_SIZING_H

#include <stdbool.h>
#include <stddef.h>

#include "fuelreach/check.h"
#include "fuelreach/sheet.h"

#ifdef __cplusplus
extern "C" {
#endif

/* ---- needs, without any catalogue ---- */

typedef struct fr_size_need {
    double ethanol; /* blend that asks most; NAN: all together */
    fr_stage stage;
    fr_mend mend;   /* lever, needs, has */
    bool alone;     /* this stage solved with the others as they are, else all together */
} fr_size_need;

enum { FR_SIZE_NEEDS_MAX = FR_BLENDS_MAX * (FR_STAGE_COUNT * FR_MENDS_MAX + 1) + FR_LEVER_COUNT };

/* Fills `needs`; returns how many. A direct-only engine that wants direct injection also gets the
 * greatest direct share that port injectors would have to leave it (FR_LEVER_DIRECT_SHARE). `*together_clear`: fitting all of "together" makes it clear. */
size_t fr_size_needs(const fr_build *build, fr_check *scratch,
                     fr_size_need needs[FR_SIZE_NEEDS_MAX], bool *together_clear);

/* ---- choices out of parts ---- */

enum { FR_SIZE_PUMPS_MAX = 3 };

/* One thing that may stand in a slot. */
typedef struct fr_size_item {
    const fr_part *part; /* null: what the sheet has (owned), or nothing where it has none */
    unsigned count;      /* of the part */
    bool series;         /* several pumps */
    double price;        /* parts times count, and the fitting where the slot changes */
} fr_size_item;

/* Things that a choice may raise, so that it ranks after one that does not at the same price. */
typedef struct fr_size_marks {
    bool return_overrun;
    bool beyond_curve;
} fr_size_marks;

/* A whole set, one item a slot. */
typedef struct fr_size_choice {
    fr_size_item items[FR_SLOT_COUNT];
    bool mends[FR_SLOT_COUNT]; /* leaving this item as it was, the set would not hold */
    fr_stage mended[FR_SLOT_COUNT]; /* the stage that would then run out of its limit */
    double price;
    double reach_times;    /* least over blends, of each blend's target; 4 where nothing ends it */
    double clear_to_times; /* likewise */
    double reach_w;        /* as a power where the target is one figure, else of the least target */
    double clear_to_w;
    fr_stage weakest;      /* stage that ends the reach */
    double weakest_ethanol;
    fr_size_marks marks;
} fr_size_choice;

/* A part that is no choice, and why. */
typedef struct fr_size_refused {
    const fr_part *part;
    double open_s;  /* open time at idle */
    double least_s; /* least that idles well */
} fr_size_refused;

/* A stage that no part mends. */
typedef struct fr_size_unmendable {
    fr_stage stage;
    double ethanol;
    double best_use; /* with the most favourable parts everywhere */
} fr_size_unmendable;

/* Decides whether a build will do, in place of "clear on every blend". Must be monotone: never
 * refuses a build whose supply is better in every part than one it accepts. */
typedef bool fr_size_accepts(const fr_build *build, void *context);

typedef struct fr_size_request {
    const fr_build *build;
    const fr_part *parts; /* as fr_shelf_parts gives them */
    size_t part_count;
    const double *prices; /* one a part, in place of the parts' own; NAN: not for sale. May be null */
    double fitting[FR_SLOT_COUNT];
    bool keep[FR_SLOT_COUNT];
    const char *owned[FR_SLOT_COUNT]; /* names of the parts that the sheet has; "" or null: none */
    double owned_wiring_price;        /* of one more set like the sheet's; 0: not known */
    double budget;                    /* INFINITY: none */
    size_t top;                       /* best sets wanted, at least 1 */
    bool front;                       /* the whole front of price against reach */
    bool choices_only;                /* neither compromise nor, where nothing holds, the best */
    fr_size_accepts *accepts;         /* null: clear on every blend, pump-inlet aside */
    void *accepts_context;
    fr_check *scratch;
} fr_size_request;

enum { FR_SIZE_TOP_MAX = 32, FR_SIZE_FRONT_MAX = 64, FR_SIZE_REFUSED_MAX = 64 };

typedef struct fr_size_result {
    bool holds; /* as it is */
    size_t choice_count;
    fr_size_choice choices[FR_SIZE_TOP_MAX]; /* cheapest first */
    size_t front_count;
    fr_size_choice front[FR_SIZE_FRONT_MAX]; /* rising in price and reach */
    bool front_whole;                        /* false: cut at FR_SIZE_FRONT_MAX or the budget */
    bool has_best; /* nothing holds, or there is a budget: the most power that can be had */
    fr_size_choice best;
    bool has_compromise; /* most power for less than the first choice costs */
    fr_size_choice compromise;
    size_t refused_count;
    fr_size_refused refused[FR_SIZE_REFUSED_MAX];
    size_t unmendable_count;
    fr_size_unmendable unmendable[FR_STAGE_COUNT];
    double combinations; /* how many sets there were */
    double evaluated;    /* how many sets, whole or in part, were looked at */
    bool proven;         /* the search ended by itself */
} fr_size_result;

/* FR_NO_MEMORY when memory runs out. Strings belong to the request. */
fr_status fr_size_run(const fr_size_request *request, fr_size_result *result);

/* ---- sets that hold with a chance ---- */

/* What decides that a build is not short with a given chance: a `fr_size_accepts`. The tolerances
 * of the sheet's inputs stand for whatever part is fitted in their place; the same draws judge every
 * build, so that a better part is never refused for bad luck. */
typedef struct fr_size_sure fr_size_sure;

/* `confidence` 0..1. Null when out of memory, or when an input moves something that many draws at
 * once cannot follow (a single point of a curve). Close it after use (null is allowed). */
fr_size_sure *fr_size_sure_open(const fr_build *build, const fr_input *inputs, size_t input_count,
                                double confidence);
void fr_size_sure_close(fr_size_sure *sure);
bool fr_size_sure_accepts(const fr_build *build, void *sure);

/* Puts an item into a slot of a build. */
void fr_size_fit(fr_build *build, fr_slot slot, const fr_size_item *item);

#ifdef __cplusplus
}
#endif
#endif
