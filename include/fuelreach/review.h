/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Review of a logged pull: what was measured against what the sheet predicts, the factors that
 * the log tells, and the chance that the next blends hold.
 *
 * Logs are read once, in a stream; memory is bounded by one pull. All figures SI; ethanol as a
 * volume fraction; NAN where a figure does not apply. */
#ifndef FUELREACH_REVIEW_H
#define FUELREACH_REVIEW_H

#include <stdbool.h>
#include <stddef.h>
#include <stdio.h>

#include "fuelreach/build.h"
#include "fuelreach/check.h"
#include "fuelreach/sheet.h"
#include "fuelreach/status.h"

#ifdef __cplusplus
extern "C" {
#endif

/* ---- reading a log ---- */

/* One row, in SI; NAN where a cell is blank, bad or not there. Manifold and rail pressures
 * absolute, feed pressure gauge; fuel flow as fr_log_columns says. */
typedef struct fr_log_row {
    double value[FR_CHANNEL_COUNT];
    size_t line; /* of the file, from 1, as a spreadsheet counts */
    bool has_bad_cell;
} fr_log_row;

/* Which columns of a log were found, and how they were understood. */
typedef struct fr_log_columns {
    bool found[FR_CHANNEL_COUNT];
    bool flow_is_mass; /* fuel flow in kg/s, else m3/s */
} fr_log_columns;

typedef struct fr_log_count {
    size_t rows;      /* read */
    size_t bad_cells; /* that are no number */
    size_t bad_rows;  /* with a bad cell, or of no use for want of engine speed */
} fr_log_count;

/* A log to be read. `name` stands in messages; the air pressure turns gauge into absolute. */
typedef struct fr_log_file {
    const char *name;
    FILE *in;
    const fr_log_section *map;
    double air_pressure_pa;
} fr_log_file;

/* Called with each row; return false to stop reading. */
typedef bool (*fr_log_taker)(void *user, const fr_log_columns *columns, const fr_log_row *row);

/* Reads a CSV log: first line that holds the engine-speed column is the header; commas, semicolons
 * or tabs; quoted fields; decimal points or (where the comma does not part fields, or the field is
 * quoted) commas; a row of units; BOM, CRLF, blank cells. Bad cells are named in `report`, the first
 * few.
 * FR_BAD_INPUT: no engine-speed column, a line over 64 KiB, not text. FR_SYSTEM: a read error. */
fr_status fr_log_read(const fr_log_file *log, fr_log_taker taker, void *user, fr_report *report,
                      fr_log_columns *columns, fr_log_count *count);

/* ---- pulls ---- */

enum { FR_REVIEW_PULLS_MAX = 16, FR_REVIEW_NODES_MAX = 40, FR_REVIEW_NAME_MAX = 64 };

typedef enum fr_pull_fate {
    FR_PULL_USED,
    FR_PULL_ETHANOL_MOVED, /* the line was being refilled: more than 3 points */
    FR_PULL_NO_ETHANOL,    /* neither column nor blend tells what was in the tank */
    FR_PULL_NOT_LOADED,    /* speed rose, but not at full load */
    FR_PULL_OUTSIDE,       /* too little of it lies in the sheet's pull */
    FR_PULL_TOO_MANY       /* more than FR_REVIEW_PULLS_MAX */
} fr_pull_fate;

typedef struct fr_review_pull {
    char log[FR_REVIEW_NAME_MAX]; /* name of the file, cut */
    size_t first_line, last_line; /* of the file */
    size_t rows;                  /* used */
    double first_rpm, last_rpm;
    double ethanol;               /* median */
    double ethanol_moved;         /* greatest less least over the pull */
    bool load_on_trust;           /* nothing in the log tells full load */
    fr_pull_fate fate;
} fr_review_pull;

/* ---- what comes out ---- */

/* A channel: measured less predicted by the sheet as it is. Relative channels as a fraction of
 * what is predicted, the others in SI. */
typedef struct fr_review_channel {
    fr_channel channel;
    bool relative;
    bool fitted;        /* took part in the fit; else only compared */
    size_t nodes;
    double mean_residual;
    double rms_residual;
    double uncertainty; /* of the mean, half of a 95 % interval: sensor and sheet together */
    double learnt_rms;  /* rms left with the learnt factors */
    size_t worst_pull;  /* where the residual is greatest */
    double worst_rpm;
    double worst_residual;
    bool parts;         /* the mean is beyond its uncertainty */
    char suggests[240]; /* what that suggests, "" for nothing */
} fr_review_channel;

/* Measured and predicted side by side, a node of a pull: by the sheet as it is, driven as the log
 * says. SI, pressures as in fr_log_row; NAN where the log or the sheet does not tell. */
typedef struct fr_review_node {
    size_t pull; /* index into the result's pulls */
    double rpm;
    bool flow_is_mass; /* fuel flow in kg/s, else m3/s */
    double measured[FR_CHANNEL_COUNT];
    double predicted[FR_CHANNEL_COUNT];
} fr_review_node;

enum { FR_REVIEW_NODES_ALL = FR_REVIEW_PULLS_MAX * FR_REVIEW_NODES_MAX };

typedef enum fr_factor {
    FR_FACTOR_BSFC,
    FR_FACTOR_PORT_INJECTOR,
    FR_FACTOR_DIRECT_INJECTOR,
    FR_FACTOR_LIFT_PUMP,
    FR_FACTOR_HIGH_PRESSURE_PUMP,
    FR_FACTOR_LINE_LOSS,
    FR_FACTOR_COUNT
} fr_factor;

const char *fr_factor_name(fr_factor factor); /* "bsfc", the key in `learnt:` */

/* What multiplies the sheet (without its own `learnt:`). 95 % interval. */
typedef struct fr_review_factor {
    bool present;        /* the build has the part */
    double value;
    double low, high;
    double prior_value;  /* before the log: the sheet's own learnt factor, else 1 */
    double prior_half;   /* half of its 95 % interval */
    bool told;           /* the log narrows it by a quarter or more */
    bool lower_bound;    /* its pump held its pressure: only `at_least` is told */
    double at_least;
} fr_review_factor;

typedef struct fr_review_next {
    double ethanol;
    double chance_holds;      /* at the sheet's target */
    double chance_se;
    fr_verdict verdict;       /* with the factors at their best values */
    fr_stage weakest;         /* most likely to be short, else fullest */
    bool has_weakest;
    double chance_short[FR_STAGE_COUNT]; /* NAN where the build has not got the stage */
    double distance;          /* in ethanol from the highest blend seen */
} fr_review_next;

typedef struct fr_review_step {
    double ethanol;
    double chance_holds;
    fr_stage stage;        /* what is fullest there */
    fr_channel watch;      /* in that log */
    double speed_rpm;
    double expected;       /* SI; pressures as the channel has them */
    double lift_at;        /* the figure at which to lift */
    bool lift_above;       /* else below */
    bool logged;           /* the log has that channel */
} fr_review_step;

enum { FR_REVIEW_NEXT_MAX = FR_BLENDS_MAX, FR_REVIEW_STEPS_MAX = 8 };

typedef struct fr_review_result {
    size_t rows_read, rows_used, rows_left_out;
    size_t pull_count; /* used and set aside */
    fr_review_pull pulls[2 * FR_REVIEW_PULLS_MAX];
    size_t pulls_used;
    double least_ethanol_seen, most_ethanol_seen;
    bool power_logged, manifold_logged;
    size_t channel_count;
    fr_review_channel channels[FR_CHANNEL_COUNT];
    size_t node_count;
    fr_review_node nodes[FR_REVIEW_NODES_ALL]; /* in order of pulls and speed */
    fr_review_factor factors[FR_FACTOR_COUNT];
    /* With all that was learnt, does the log still part from the model by more than a log should?
     * Then nothing is cleared by it. */
    bool misfits;
    fr_channel misfit_channel; /* the worst such, with misfits */
    double misfit;             /* its learnt_rms */
    double fit_scale;       /* rms of the weighted residuals: 1 where noise alone is left */
    size_t fit_residuals;
    size_t outliers;        /* nodes that the fit gave less than half their weight */
    size_t next_count;
    fr_review_next next[FR_REVIEW_NEXT_MAX];
    double confidence;
    double clear_to_ethanol; /* the highest blend that holds with that confidence; NAN: none */
    bool seen_holds;         /* the blend seen holds with that confidence, with what was learnt */
    size_t step_count;
    fr_review_step steps[FR_REVIEW_STEPS_MAX];
} fr_review_result;

typedef struct fr_review_options {
    double log_blend;    /* of logs without an ethanol column; NAN: the sheet's, else none */
    size_t next_count;   /* blends to clear; 0: those of the sheet above what was seen */
    double next[FR_REVIEW_NEXT_MAX];
    double confidence;   /* 0.95 */
} fr_review_options;

typedef struct fr_review fr_review;

/* `sheet` must outlive the review. Null when out of memory. */
fr_review *fr_review_open(fr_sheet *sheet, const fr_review_options *options);
void fr_review_close(fr_review *review);
/* Reads one log. What is wrong or of note goes to `report`. */
fr_status fr_review_add_log(fr_review *review, const char *name, FILE *in, fr_report *report);
/* Fits and judges. FR_BAD_INPUT when no pull is of use; `report` says why. The result is owned by
 * the review. */
fr_status fr_review_finish(fr_review *review, fr_report *report, const fr_review_result **result);
/* The `learnt:` section, one line and a note; false when it does not fit. */
bool fr_review_write_learnt(const fr_review *review, char *out, size_t size);

#ifdef __cplusplus
}
#endif
#endif
