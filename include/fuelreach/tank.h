/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The tank: what is in it after each filling, how much of which fuel reaches a blend, when the
 * engine sees the new blend, and whether a sensor's reading fits what was poured.
 *
 * All volumes are as measured at one temperature; contents are ethanol volume fractions at
 * 15 degC, as blends are named. Ethanol and gasoline each keep their mass; they do not expand
 * alike, so the two scales differ a little away from 15 degC. The slight growth in volume on
 * mixing (0.2-0.3 % at most, from memory of the excess volumes of ethanol with hydrocarbons) is
 * not counted. */
#ifndef FUELREACH_TANK_H
#define FUELREACH_TANK_H

#include <stdbool.h>
#include <stddef.h>

#include "fuelreach/blend.h"

#ifdef __cplusplus
extern "C" {
#endif

enum { FR_TANK_ORDERS_MAX = 64, FR_TANK_TARGETS_MAX = 32, FR_TANK_STEPS_MAX = 256 };

/* A content that may be known only between two ends ("E85" as sold). Ends are equal else. */
typedef struct fr_tank_blend {
    double low;
    double high;
} fr_tank_blend;

/* What is sold as "E85" holds 51-83 % ethanol (ASTM D5798). */
fr_tank_blend fr_tank_pump_e85(void);
/* Points of ethanol that a content sensor may be off, as a fraction: 0.03 (common practice, no
 * source). */
double fr_tank_sensor_error(void);

typedef enum fr_tank_act {
    FR_TANK_ADD,    /* pour `volume_m3` of `blend` */
    FR_TANK_DRAIN,  /* draw off `volume_m3` */
    FR_TANK_TARGETS /* reach `targets` one after another with `blend`, least fuel drained */
} fr_tank_act;

typedef struct fr_tank_order {
    fr_tank_act act;
    double volume_m3;
    fr_tank_blend blend;
    size_t target_count;
    double targets[FR_TANK_TARGETS_MAX];
} fr_tank_order;

/* The line from tank to engine. */
typedef struct fr_tank_line {
    bool asked;
    double volume_m3;
    double bore_m;        /* tells the flow regime; 8 mm where it is not known */
    double burn_m3_s;     /* fuel burned; 0: only burn_m3_per_m is known */
    double return_m3_s;   /* fuel that goes back to the tank; 0: returnless */
    double burn_m3_per_m; /* fuel burned over distance; 0: not known */
} fr_tank_line;

typedef struct fr_tank_ask {
    fr_gasoline gasoline;
    double temperature_c; /* at which all volumes are measured */
    double size_m3;
    double holds_m3;
    fr_tank_blend holds;
    size_t order_count;
    fr_tank_order orders[FR_TANK_ORDERS_MAX];
    fr_tank_line line;
    bool has_reading;
    double reading;       /* what the sensor shows, fraction */
    size_t reading_after; /* how many orders were done when it was read */
} fr_tank_ask;

/* One drain, one filling, or one drain followed by a filling. */
typedef struct fr_tank_step {
    double drained_m3;
    double added_m3;
    double added_ethanol; /* NAN where nothing was added */
    double volume_m3;     /* afterwards */
    double ethanol;       /* afterwards; NAN in an empty tank */
    double sensor_low;    /* what a sensor may show then */
    double sensor_high;
    double target;        /* what was asked for; NAN: a plain drain or filling */
} fr_tank_step;

/* Why an order could not be carried out. */
typedef enum fr_tank_obstacle {
    FR_TANK_FREE,
    FR_TANK_WRONG_WAY, /* this fuel moves the blend away from the target */
    FR_TANK_TOO_WEAK,  /* the target lies beyond the fuel poured; only an emptied tank reaches that */
    FR_TANK_OVERFLOWS, /* bad input: a filling does not fit; `excess_m3` too much */
    FR_TANK_RUNS_DRY   /* bad input: more drained than there is; `excess_m3` too much */
} fr_tank_obstacle;

/* What the sensor's reading says about the last filling. */
typedef enum fr_tank_finding {
    FR_TANK_FITS,          /* within the sensor's error */
    FR_TANK_NOT_ARRIVED,   /* the blend before the last change is still in the line */
    FR_TANK_PUMP_RANGE,    /* the fuel poured holds something else, still what is sold as "E85" */
    FR_TANK_MISLABELLED,   /* the fuel poured holds something else */
    FR_TANK_WATER_OR_SENSOR, /* more than any fuel poured could give */
    FR_TANK_SENSOR,        /* less than any fuel poured could give */
    FR_TANK_FINDING_COUNT
} fr_tank_finding;

/* When the engine sees the tank's new blend. Times are NAN where burn_m3_s is not known,
 * distances where burn_m3_per_m is not. "First change" is 5 % of the way from the old blend to
 * the new at the engine, "settled" 95 % for good (common practice, no source). */
typedef struct fr_tank_transit {
    bool known;
    bool changes;          /* old and new blend differ by a sensor's error or more */
    double volume_m3;
    double old_ethanol;
    double new_ethanol;    /* at the engine in the end: a return line carries old fuel back */
    bool turbulent;
    double reynolds;       /* NAN: flow not known, taken as laminar, which mixes most */
    double plug_s;         /* content of the line over its flow, no mixing */
    double first_change_s;
    double settled_s;
    double first_change_m;
    double settled_m;
    double fuel_m3;        /* through the line until settled */
    double burned_m3;      /* of it, burned */
} fr_tank_transit;

typedef struct fr_tank_result {
    double start_m3;
    double start_ethanol;
    size_t step_count;
    fr_tank_step steps[FR_TANK_STEPS_MAX];
    bool reachable;                /* every target was reached */
    fr_tank_obstacle obstacle;     /* of the first order that was not done */
    size_t obstacle_order;
    double obstacle_target;        /* the target not reached; NAN: none */
    double nearest_ethanol;        /* nearest content that can be had instead; NAN with reachable */
    double topped_up_ethanol;      /* what filling to the brim without draining gives; likewise */
    double excess_m3;
    fr_tank_transit line;
    bool has_reading;
    fr_tank_finding finding;
    double expected_ethanol;       /* in the tank when it was read */
    double implied_ethanol;        /* content the last fuel poured must have had; NAN: none poured */
} fr_tank_result;

/* Carries out the orders one after another, with the low or the high end of every content.
 * Returns false when an order is impossible as such (overflow, running dry): obstacle says which,
 * steps hold what was done before. An unreachable target is an answer, not a failure; orders
 * after it are not done. */
bool fr_tank_run(const fr_tank_ask *ask, bool high_end, fr_tank_result *result);

/* Both ends, results[0] low and results[1] high. A reading that lies between what the two lead to
 * fits: something between them was poured. False as above. */
bool fr_tank_run_ends(const fr_tank_ask *ask, fr_tank_result results[2]);

/* Least fuel drained for a plan: with one fuel, what it does not add (volume times distance in
 * content from that fuel) falls only by draining, and a litre drained takes most of it away
 * before the first filling. So all that must go goes first, and the last target fills the tank.
 * Volumes and contents on one scale. Returns m3 to drain first, NAN when a target is not reached
 * that way. */
double fr_tank_plan_drain(double size_m3, double holds_m3, double ethanol, double with,
                          const double *targets, size_t count);

/* Share of new blend at the line's end after `theta` line contents have passed: laminar without
 * radial mixing, 1 - 1/(4 theta^2) from theta 1/2 on; turbulent, axial dispersion with Taylor's
 * coefficient 10.1 a u* and the open-vessel solution 1/2 erfc((1-theta)/(2 sqrt(theta/Pe))).
 * Sources (from memory): Taylor, Proc. R. Soc. A 223 (1954) 446; Levenspiel, Chemical Reaction
 * Engineering, chapters on dispersion and laminar flow. `peclet` 0: laminar. */
double fr_tank_line_share(double theta, double peclet);

/* "fits", "not-arrived", ...: stable names. */
const char *fr_tank_finding_name(fr_tank_finding finding);

#ifdef __cplusplus
}
#endif
#endif
