/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The capacity check: does every stage of the fuel supply carry the target, on each blend, at
 * every speed of the pull; where not, which stage ends it and at what power.
 *
 * Numbers in, numbers out: no I/O, no strings, and no allocation after fr_check_open.
 * A figure that does not apply, or has no value, is NAN (null in JSON). */
#ifndef FUELREACH_CHECK_H
#define FUELREACH_CHECK_H

#include <stdbool.h>
#include <stddef.h>

#include "fuelreach/build.h"
#include "fuelreach/supply.h"

#ifdef __cplusplus
extern "C" {
#endif

typedef enum fr_verdict { FR_CLEAR, FR_TIGHT, FR_SHORT } fr_verdict;
/* "clear", "tight", "short". */
const char *fr_verdict_name(fr_verdict verdict);

/* One (blend, speed): every figure on the way from target power to the stages' use. */
typedef struct fr_point {
    double speed_rpm;
    /* demand */
    double power_w;              /* where the target is stated (crank or wheels) */
    double crank_power_w;
    double bsfc_kg_j;            /* on this blend, at the crank */
    double fuel_kg_s;
    double fuel_m3_s;            /* at feed temperature */
    double air_kg_s;
    double air_per_power_kg_j;   /* bsfc * stoich * lambda */
    double manifold_abs_pa;
    double volumetric_efficiency;
    bool airflow_doubtful;       /* volumetric efficiency judged and outside 0.6-1.25 */
    bool air_per_power_doubtful; /* outside 3.3-4.6 kg/kWh */
    /* low-pressure side */
    double set_gauge_pa;         /* regulated pressure, gauge */
    double lift_available_m3_s;  /* what the pumps deliver with the rail at set pressure */
    double lift_needed_m3_s;     /* demand + bypass + jet */
    double lift_headroom;        /* 1 - needed/available; NAN when nothing is available */
    double pump_rise_pa;         /* what the pumps work against together, full drive; in series
                                    each takes its part */
    double pump_voltage_v;       /* first pump */
    double pump_current_a;       /* first pump, each */
    double greatest_current_a;   /* over unlike pumps, each */
    double line_flow_m3_s;       /* what the line carries */
    double line_loss_pa;         /* at that flow: lines and filters */
    double feed_gauge_pa;        /* rail (feed) pressure held */
    double feed_abs_pa;
    double vapour_pressure_pa;   /* at the temperature of the vapour stage */
    double inlet_vapour_pressure_pa; /* at tank temperature */
    /* share */
    double direct_share;         /* 0..1; NAN on a port-only build */
    double port_fuel_kg_s;
    double direct_fuel_kg_s;
    /* port injection */
    double port_drop_pa;         /* rail less manifold */
    double port_static_kg_s;     /* each */
    double port_dead_time_s;
    double port_pulse_s;
    double port_duty;
    /* direct injection; pressures absolute */
    double direct_mass_kg;       /* each injection */
    double direct_time_s;        /* usable for flow: window less opening delay */
    double cylinder_abs_pa;
    double direct_required_pa;
    double direct_available_pa;  /* NAN: no pressure passes the fuel */
    double direct_held_pa;
    double direct_margin_pa;     /* available - required */
    double direct_command_pa;    /* commanded, cut at the limit */
    double direct_limit_pa;      /* least of pump and injector maximum */
    double direct_static_kg_s;   /* each, at commanded pressure */
    double direct_angle_deg;     /* needed at commanded pressure */
    double direct_window_deg;
    double hp_fill;
    double hp_inlet_density_kg_m3; /* at feed pressure and inlet temperature */
    double hp_density_kg_m3;       /* at commanded pressure, same temperature */
    double hp_delivery_kg_s;       /* at commanded pressure */
    double hp_headroom;            /* 1 - demand/delivery */
    double hp_short_kg_s;          /* where no pressure passes the fuel: what is lacking */
    /* stages; NAN where the build has not got the stage */
    double use[FR_STAGE_COUNT];             /* capped at 10 for showing */
    double capacity_kg_s[FR_STAGE_COUNT];   /* fuel flow at which use reaches its end; NAN beyond
                                               six times the demand, or under automatic share */
    double clear_capacity_kg_s[FR_STAGE_COUNT]; /* likewise for its limit */
} fr_point;

/* One stage on one blend. */
typedef struct fr_stage_result {
    fr_stage stage;
    fr_verdict verdict;
    double use;             /* at the worst speed */
    double limit;
    double end;
    double worst_rpm;
    size_t worst_point;
    double first_short_rpm; /* NAN: never short (or only tight, see mendable_by_command) */
    double reach_w;         /* NAN: none within four times the target, or no power mends it */
    double clear_to_w;      /* likewise */
    double spare;           /* reach/target - 1; NAN with reach */
    double least_capacity_ratio; /* least capacity/demand over speeds; INFINITY beyond 6 */
    bool no_power_mends;       /* past its end with no fuel drawn (or pump-inlet) */
    bool no_power_clears;      /* past its limit with no fuel drawn (or pump-inlet) */
    bool ruled_by_share;       /* direct stage under automatic share */
    bool mendable_by_command;  /* use above end, yet only tight: the rail command can move */
} fr_stage_result;

/* A use beyond this is shown as this. */
#define FR_USE_SHOWN_MAX 10.0
/* A reach, or clear-to, beyond so many times the target is nobody's question: NAN. */
#define FR_REACH_TIMES_MAX 4.0

/* One blend. */
typedef struct fr_blend_result {
    double ethanol; /* as asked */
    fr_blend blend; /* with its content shift, if any */
    fr_verdict verdict;
    fr_stage weakest; /* the stage that ends its reach */
    bool doubtful;    /* implied airflow or air per power outside its band */
    double target_power_w; /* where the target is stated */
    double lambda;
    double same_air_gain;
    double bsfc_factor;        /* bsfc on this blend over bsfc as given */
    double bsfc_factor_other;  /* the same under the other bsfc_scaling */
    double density_kg_m3;      /* at feed temperature, 1 atm */
    double viscosity_pa_s;     /* at feed temperature */
    double fuel_kg_s;          /* greatest over speeds */
    double fuel_m3_s;
    double reach_w;            /* NAN: no stage ends it within four times the target */
    double clear_to_w;
    bool reach_is_mended_by_no_power; /* reach is null because a stage that counts is past its end at no fuel */
    size_t stage_count;
    fr_stage_result stages[FR_STAGE_COUNT]; /* those the build has, in order of fr_stage */
    size_t point_count;
    const fr_point *points; /* rising in speed; owned by the check */
} fr_blend_result;

/* The highest blend at the target power. */
typedef struct fr_highest_blend {
    double ethanol;         /* 0..1; NAN when E0 is short */
    bool has_limit;
    fr_stage limited_by;    /* valid with has_limit */
    bool whole_range;       /* nothing turns short to E100 */
    double clear_to;        /* NAN when E0 is not clear */
} fr_highest_blend;

typedef struct fr_check_result {
    fr_verdict verdict; /* of the worst blend */
    size_t blend_count;
    fr_blend_result blends[FR_BLENDS_MAX];
    fr_highest_blend highest;
} fr_check_result;

/* Reach over target of a blend; FR_REACH_TIMES_MAX where nothing ends it within that. */
double fr_blend_reach_times(const fr_blend_result *blend);
/* Index of the blend that carries least of its target; 0 where nothing ends any. */
size_t fr_weakest_blend(const fr_check_result *result);

/* A check keeps the memory that results stand in. */
typedef struct fr_check fr_check;

/* Null when out of memory. Close with fr_check_close (null is allowed). */
fr_check *fr_check_open(void);
void fr_check_close(fr_check *check);
/* Checks a build; the result is owned by the check and valid until the next run.
 * Never fails: a "no" is a verdict. */
const fr_check_result *fr_check_run(fr_check *check, const fr_build *build);
/* Only what a comparison needs: verdict and reach of each blend, no capacities of its points, no
 * highest blend (those are NAN). */
const fr_check_result *fr_check_outline(fr_check *check, const fr_build *build);
/* The same with the reach of one blend only, by its index; the other blends' reach is NAN. */
#define FR_EVERY_BLEND ((size_t)-1)
const fr_check_result *fr_check_outline_at(fr_check *check, const fr_build *build,
                                           size_t reach_blend);
/* Result of one blend, any ethanol fraction; points are kept in the check until the next run. */
const fr_blend_result *fr_check_blend(fr_check *check, const fr_build *build, double ethanol);

/* Speeds of the pull: every pull point, each gap cut into equal parts of at most 250 rpm.
 * Fills at most FR_SPEEDS_MAX, returns how many. */
size_t fr_pull_speeds(const fr_build *build, double speeds_rpm[FR_SPEEDS_MAX]);

/* ---- the least change that mends a stage ---- */

/* What a mend changes; figures of `needs` and `has` are in SI of the thing. */
typedef enum fr_lever {
    FR_LEVER_NONE,
    FR_LEVER_LIFT_FLOW,          /* flow factor of all pumps: needs/has as m3/s at the worst point's rise and voltage */
    FR_LEVER_WIRING,             /* ohm, each pump's own part */
    FR_LEVER_FUSE,               /* A */
    FR_LEVER_TANK_TEMPERATURE,   /* degC, at most */
    FR_LEVER_LINE_BORE,          /* m, every line */
    FR_LEVER_FEED_PRESSURE,      /* Pa gauge */
    FR_LEVER_PORT_FLOW,          /* kg/s static each, at the test pressure, of the test fluid */
    FR_LEVER_DIRECT_FLOW,        /* likewise */
    FR_LEVER_RAIL_COMMAND,       /* Pa absolute, at the worst speed; whole curve in proportion */
    FR_LEVER_HP_DISPLACEMENT,    /* m3 a cam revolution, each pump */
    FR_LEVER_DIRECT_SHARE,       /* fraction, greatest direct share */
    FR_LEVER_COUNT
} fr_lever;

/* The sheet's path of what a lever sets ("supply.pump_circuit.wiring"), "" for none. */
const char *fr_lever_path(fr_lever lever);

typedef struct fr_mend {
    fr_stage stage;
    fr_lever lever;
    double needs; /* NAN: this lever alone does not make the stage clear */
    double has;
    double factor; /* needs over has */
} fr_mend;

/* Sets a lever so: has -> has * factor (a temperature or fuse: to `value`). */
void fr_lever_set(fr_build *build, fr_lever lever, double needs, double has);
/* What the build has of it now, in the lever's unit. */
double fr_lever_get(const fr_build *build, fr_lever lever);

enum { FR_MENDS_MAX = 4 };
/* Least changes, one lever at a time, that make `stage` clear on the blend (each alone), most
 * natural first. Returns how many were found. The build is not changed. */
size_t fr_mend_stage(fr_check *check, const fr_build *build, double ethanol, fr_stage stage,
                     fr_mend mends[FR_MENDS_MAX]);
/* Least changes, of all stages together, that make every blend of the build clear at the target.
 * Fills `mends` (one a lever, FR_LEVER_COUNT at most); returns how many; `*clear` says whether
 * they do. `mended`, if not null, gets the build with them all fitted. */
size_t fr_mend_together(fr_check *check, const fr_build *build, fr_mend mends[FR_LEVER_COUNT],
                        bool *clear, fr_build *mended);

/* The mends of every stage that is tight or short, on the blend where it is worst. */
typedef struct fr_mended_stage {
    fr_stage stage;
    size_t blend;       /* index into the result's blends: where its use over limit is worst */
    size_t mend_count;
    fr_mend mends[FR_MENDS_MAX];
} fr_mended_stage;

typedef struct fr_mends {
    size_t stage_count;
    fr_mended_stage stages[FR_STAGE_COUNT];
    size_t together_count;
    fr_mend together[FR_LEVER_COUNT];
    bool together_clear;
    size_t alone_clears; /* index+1 of the stage whose first mend alone makes all clear, 0: none */
} fr_mends;
void fr_mends_find(const fr_build *build, const fr_check_result *result, fr_check *scratch,
                   fr_mends *mends);

/* ---- cautions that carry a figure ---- */

#define FR_CAUTION_TABLE(X)                                                                        \
    X(FR_CAUTION_IMPLIED_AIRFLOW, "implied-airflow")                                               \
    X(FR_CAUTION_AIR_PER_POWER, "air-per-power")                                                   \
    X(FR_CAUTION_BSFC_SCALING, "bsfc-scaling")                                                     \
    X(FR_CAUTION_SAME_AIR_GAIN, "same-air-gain")                                                   \
    X(FR_CAUTION_BEYOND_CURVE, "beyond-curve")                                                     \
    X(FR_CAUTION_IDLE_PULSE, "idle-pulse")                                                         \
    X(FR_CAUTION_RETURN_OVERRUN, "return-overrun")                                                 \
    X(FR_CAUTION_LOADED_FILTER, "loaded-filter")                                                   \
    X(FR_CAUTION_IDLE_PRESSURE, "idle-pressure")                                                   \
    X(FR_CAUTION_PLUNGER_LOAD, "plunger-load")                                                     \
    X(FR_CAUTION_RAIL_DROOP, "rail-droop")                                                         \
    X(FR_CAUTION_COLD_START, "cold-start")                                                         \
    X(FR_CAUTION_RATING_BY_MASS, "rating-by-mass")

typedef enum fr_caution_code {
#define FR_CAUTION_ENUM(name, text) name,
    FR_CAUTION_TABLE(FR_CAUTION_ENUM)
#undef FR_CAUTION_ENUM
    FR_CAUTION_COUNT
} fr_caution_code;

const char *fr_caution_name(fr_caution_code code);

/* One caution: `value` against `bound`, in SI of the thing; `ethanol`, `speed_rpm` where it is
 * worst (NAN where that says nothing); `detail`: a second figure where the code has one:
 *   idle-pulse: value open time s, bound least open time s; detail 0 port, 1 direct
 *   return-overrun: value pressure with all flow going back Pa, bound set pressure at idle Pa;
 *                   detail flow m3/s
 *   loaded-filter: value headroom with three times the drop; detail headroom as is
 *   beyond-curve: value working rise Pa, bound last curve point or 0.9 relief; detail pump kind
 *   rail-droop: value drop Pa, bound 10 % of command Pa */
typedef struct fr_caution {
    fr_caution_code code;
    double value;
    double bound;
    double ethanol;
    double speed_rpm;
    double detail;
} fr_caution;

enum { FR_CAUTIONS_MAX = 24 };
/* Cautions of a checked build. `result` must come from fr_check_run of the same build on another
 * check than `scratch`. Returns how many. */
size_t fr_cautions(const fr_build *build, const fr_check_result *result, fr_check *scratch,
                   fr_caution cautions[FR_CAUTIONS_MAX]);

/* The figures behind two cautions, for whoever chooses parts; true when the caution is due.
 * Open time of a port injector at idle on the lowest blend, against the least that idles well;
 * false where no port injector works at idle. */
bool fr_idle_pulse(const fr_build *build, double *open_s, double *least_s);
/* Pressure that all pump flow going back at idle leaves at the rail, against the set pressure. */
bool fr_return_overrun(const fr_build *build, double ethanol, double *pressure_pa, double *set_pa,
                       double *flow_m3_s);

/* ---- factory parts ---- */

/* What of the build is `factory`, with `of_factory` (1: as built). */
typedef struct fr_factory {
    bool lift_pump, port_injector, direct_injector, high_pressure_pump;
    double lift_pump_scale, port_injector_scale, direct_injector_scale, high_pressure_pump_scale;
} fr_factory;

/* Sizes the factory parts of a build that holds typical parts in their place, so that at
 * engine.factory_power_w (crank, E10) each stage's use is what such cars are built with (0.65 lift
 * pump, 0.75 port duty, 0.80 direct injector, 0.72 high-pressure pump: common practice, no
 * source). Returns false when no size does it. */
bool fr_factory_size(fr_build *build, const fr_factory *factory, fr_check *scratch);

#ifdef __cplusplus
}
#endif
#endif
