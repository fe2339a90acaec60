/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The inputs with a tolerance: those that the model always has, and every ± in the sheet. */
#ifndef FR_SHEET_INPUTS_H
#define FR_SHEET_INPUTS_H

#include "fuelreach/sheet.h"
#include "sheet/fields.h"

enum { FR_INPUTS_MAX = 64, FR_INPUT_NAME_MAX = 96 };

/* The inputs that the model always has, in the order in which they are listed. */
typedef enum fr_input_id {
    FR_IN_TARGET,
    FR_IN_BSFC,
    FR_IN_LAMBDA,
    FR_IN_ETHANOL,
    FR_IN_GASOLINE_DENSITY,
    FR_IN_GASOLINE_VAPOUR_PRESSURE,
    FR_IN_LIFT_PUMP, /* one a kind of pump */
    FR_IN_SUPPLY_VOLTAGE,
    FR_IN_WIRING,
    FR_IN_FILTER_DROP,
    FR_IN_LINE_LOSS, /* only when learnt or a line's spread says so */
    FR_IN_FEED_TEMPERATURE,
    FR_IN_MANIFOLD_PRESSURE,
    FR_IN_PORT_INJECTOR,
    FR_IN_DEAD_TIME,
    FR_IN_DIRECT_INJECTOR,
    FR_IN_HIGH_PRESSURE_PUMP,
    FR_IN_WINDOW,
    FR_IN_COUNT
} fr_input_id;

/* A tolerance as written for one of them. */
typedef struct fr_written {
    bool given;
    fr_input_kind kind;
    double half_width;
} fr_written;

typedef struct fr_inputs {
    fr_written written[FR_IN_COUNT];
    fr_written pumps[FR_PUMP_KINDS_MAX];
    size_t pump;                         /* the kind of lift pump being read */
    size_t pump_twin[FR_PUMP_KINDS_MAX]; /* the first kind that is the same part */
    bool bsfc_given;
    bool own_rail, own_inlet, own_tank; /* temperatures with a tolerance of their own */
    size_t count;
    fr_input list[FR_INPUTS_MAX];
    char names[FR_INPUTS_MAX][FR_INPUT_NAME_MAX];
    char labels[FR_INPUTS_MAX][FR_INPUT_NAME_MAX];
} fr_inputs;

/* The input of a name, FR_IN_COUNT when the model has none of it. */
fr_input_id fr_input_find(const char *name);
/* Where the tolerance of a named input is kept (of the pump being read, for lift-pump). */
fr_written *fr_inputs_written(fr_inputs *inputs, fr_input_id id);
/* Adds an input of the sheet's own: `path` names it. False when there are too many. */
bool fr_inputs_add(fr_inputs *inputs, const char *path, const char *key, fr_input_kind kind,
                   double half_width, bool bad_is_high, const size_t *targets, size_t count);
/* Puts the model's inputs in front of the sheet's own, with written or default tolerances. */
void fr_inputs_finish(fr_inputs *inputs, const fr_build *build);
/* Index in the finished list, SIZE_MAX when there is none. */
size_t fr_inputs_index(const fr_inputs *inputs, const char *name);

#endif
