/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A build: engine, site, fuel and fuel supply as plain numbers in SI. Everything that a person may
 * leave out has been filled in. It owns no memory, holds no strings, and may be copied freely. */
#ifndef FUELREACH_BUILD_H
#define FUELREACH_BUILD_H

#include <stdbool.h>
#include <stddef.h>

#include "fuelreach/blend.h"
#include "fuelreach/curve.h"

#ifdef __cplusplus
extern "C" {
#endif

enum {
    FR_BLENDS_MAX = 32,
    FR_PUMP_KINDS_MAX = 4,
    FR_PUMP_CURVES_MAX = 4,
    FR_PUMP_POINTS_MAX = 16,
    FR_LINES_MAX = 8,
    FR_FILTERS_MAX = 6,
    FR_SPEEDS_MAX = 192
};

/* The stages, in the order in which fuel and report pass them. The table of src/capacity says
 * what each is. */
typedef enum fr_stage {
    FR_STAGE_LIFT_PUMP,
    FR_STAGE_PUMP_CIRCUIT,
    FR_STAGE_PUMP_INLET,
    FR_STAGE_FEED_PRESSURE,
    FR_STAGE_VAPOUR,
    FR_STAGE_PORT_INJECTOR,
    FR_STAGE_DIRECT_INJECTOR,
    FR_STAGE_HIGH_PRESSURE_PUMP,
    FR_STAGE_DIRECT_PRESSURE,
    FR_STAGE_COUNT
} fr_stage;

/* ---- engine ---- */

typedef enum fr_aspiration { FR_NATURAL, FR_TURBO, FR_SUPERCHARGED } fr_aspiration;
typedef enum fr_bsfc_scaling { FR_SCALE_AIR, FR_SCALE_ENERGY } fr_bsfc_scaling;
/* How the manifold pressure is known. */
typedef enum fr_boost_source {
    FR_BOOST_CURVE,     /* given over speed (or natural) */
    FR_BOOST_SINGLE,    /* one figure: plausibility judged at the speed of most power only */
    FR_BOOST_WORKED_OUT /* from the air that the fuel needs; plausibility not judged */
} fr_boost_source;

typedef struct fr_engine {
    unsigned cylinders;
    double displacement_m3;
    fr_curve target_power_w; /* over ethanol fraction; where power_at says */
    bool at_wheels;
    double drivetrain_loss;      /* fraction, used only at_wheels */
    double factory_power_w;      /* at the crank; 0: not given */
    fr_aspiration aspiration;
    fr_curve pull;               /* shape over rpm; already cut at the rev limit */
    bool pull_is_torque;         /* shape of torque, else of power */
    fr_curve bsfc_kg_j;          /* over rpm, on bsfc_ethanol at bsfc_lambda */
    double bsfc_ethanol;
    double bsfc_lambda;
    fr_bsfc_scaling bsfc_scaling;
    fr_curve lambda;             /* over ethanol fraction */
    fr_curve same_air_gain;      /* over ethanol fraction, fraction */
    fr_boost_source boost_source;
    fr_curve boost_gauge_pa;     /* over rpm, at the target */
    double manifold_shift_pa;    /* 0 unless perturbed: added to the manifold pressure */
    double charge_temperature_c;
    double idle_speed_rpm;
} fr_engine;

/* ---- site ---- */

typedef struct fr_site {
    double air_pressure_pa; /* absolute */
    double tank_temperature_c;
    bool tank_temperature_given;
    double feed_temperature_c;
    double rail_temperature_c;     /* direct injection */
    double hp_inlet_temperature_c; /* at the high-pressure pump's inlet */
    double supply_voltage_v;
} fr_site;

/* ---- lift pumps and their circuit ---- */

typedef enum fr_pump_type { FR_PUMP_TURBINE, FR_PUMP_GEROTOR, FR_PUMP_ROLLER } fr_pump_type;

/* y over gauge pressure rise, extended at both ends by the slope of the end segment. */
typedef struct fr_pump_line {
    size_t count; /* at least 1; one point: a constant */
    double rise_pa[FR_PUMP_POINTS_MAX];
    double y[FR_PUMP_POINTS_MAX];
} fr_pump_line;

typedef struct fr_pump_curve {
    double voltage_v;
    fr_pump_line flow_m3_s;
    fr_pump_line current_a;
} fr_pump_curve;

typedef struct fr_pump {
    fr_pump_type type;
    unsigned count;     /* pumps of this kind, 1.. */
    double flow_factor; /* condition, spread and learnt factor together */
    double relief_pa;   /* gauge rise; 0: none */
    size_t curve_count; /* rising in voltage */
    fr_pump_curve curves[FR_PUMP_CURVES_MAX];
} fr_pump;

typedef struct fr_pumps {
    bool series; /* else parallel */
    size_t kind_count;
    fr_pump kinds[FR_PUMP_KINDS_MAX];
    double wiring_ohm;        /* each pump's own */
    double shared_wiring_ohm; /* carries all pumps */
    double fuse_a;            /* per pump; 0: not given, stage not judged */
} fr_pumps;

/* ---- tank to rail ---- */

typedef struct fr_line {
    double bore_m;
    double length_m;
    double roughness_m;
    double fittings; /* sum of loss coefficients K */
} fr_line;

typedef struct fr_filter {
    double drop_pa;
    double rated_flow_m3_s;
} fr_filter;

typedef enum fr_regulation {
    FR_RETURN,
    FR_MECHANICAL_RETURNLESS,
    FR_ELECTRONIC_RETURNLESS
} fr_regulation;

typedef struct fr_feed {
    fr_regulation regulation;
    bool manifold_referenced;
    double pressure_gauge_pa; /* set pressure over its reference */
    double minimum_bypass_m3_s;
    double jet_pump_m3_s;
    double strainer_loss_pa;
    double loss_factor; /* 1 unless perturbed or learnt: on Loss(Q) as a whole */
    size_t filter_count;
    fr_filter filters[FR_FILTERS_MAX];
    size_t line_count;
    fr_line lines[FR_LINES_MAX];
    fr_line return_line; /* only with FR_RETURN */
} fr_feed;

/* ---- injection ---- */

typedef struct fr_port {
    bool present;
    unsigned count; /* injectors */
    double flow_kg_s;          /* static, each, at the test pressure, of the test fluid */
    double test_pressure_pa;   /* difference */
    double test_density_kg_m3;
    fr_curve dead_time_s;      /* over voltage, flat outside */
    double dead_time_s_per_pa; /* a pascal over the test pressure */
    double max_duty;
    double minimum_open_s;
    bool rated_in_lb_h;        /* for the caution rating-by-mass */
} fr_port;

typedef struct fr_direct {
    bool present;
    unsigned count; /* injectors */
    double flow_kg_s; /* static, each, at the test pressure, of the test fluid */
    double test_pressure_pa;
    double test_density_kg_m3;
    double opening_delay_s;
    double injector_max_pa;      /* absolute */
    fr_curve rail_command_pa;    /* absolute, over rpm */
    fr_curve window_deg;         /* over rpm */
    double rail_volume_m3;       /* 0: unknown */
    /* high-pressure pump */
    unsigned pump_count;
    double displacement_m3;      /* per cam revolution, each pump */
    double plunger_area_m2;      /* 0: unknown */
    unsigned lobes;              /* 0: unknown */
    double drive_ratio;          /* pump over crank speed */
    fr_curve fill;               /* fraction over pump speed, rpm */
    double dead_volume_ratio;    /* dead over swept volume */
    double leakage_m3_s;
    double leakage_at_pa;
    double pump_max_pa;          /* absolute */
    double minimum_inlet_gauge_pa;
    bool rated_in_lb_h;
} fr_direct;

typedef enum fr_share { FR_SHARE_PORT_ONLY, FR_SHARE_DIRECT_ONLY, FR_SHARE_CURVE, FR_SHARE_AUTO } fr_share;

/* ---- the whole ---- */

typedef struct fr_build {
    fr_engine engine;
    fr_site site;
    fr_gasoline gasoline;
    size_t blend_count;
    double blends[FR_BLENDS_MAX]; /* ethanol fractions, as asked */
    double ethanol_shift;         /* 0 unless perturbed: added to the content, not to its name */
    fr_pumps pumps;
    fr_feed feed;
    fr_port port;
    fr_direct direct;
    fr_share share;
    fr_curve direct_share;        /* over rpm, only FR_SHARE_CURVE */
    double limits[FR_STAGE_COUNT];
} fr_build;

/* True when the build has the stage; a pump circuit without a fuse is not judged and so not had. */
bool fr_build_has(const fr_build *build, fr_stage stage);
/* Use beyond which a stage is short: 1, or the injector's maximum duty. */
double fr_build_end(const fr_build *build, fr_stage stage);
/* Limit in force: the build's own, never above the end. */
double fr_build_limit(const fr_build *build, fr_stage stage);
/* Default limit of a stage (common practice, no source). */
double fr_stage_default_limit(fr_stage stage);
/* "lift-pump", the name in sheets and results. */
const char *fr_stage_name(fr_stage stage);
/* The stage of a name, FR_STAGE_COUNT when there is none. */
fr_stage fr_stage_find(const char *name);
bool fr_build_boosted(const fr_build *build);

#ifdef __cplusplus
}
#endif
#endif
