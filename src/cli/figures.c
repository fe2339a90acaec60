/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "cli/figures.h"

#include <math.h>

#include "fuelreach/blend.h"
#include "fuelreach/check.h"
#include "fuelreach/quantity.h"
#include "supply/high_pressure.h"

/* The conditions of the lists: typical, so that parts compare. */
#define FIGURE_TEMPERATURE_C 20.0    /* injectors, lines */
#define FIGURE_HP_TEMPERATURE_C 50.0 /* a high-pressure pump sits on the engine */
#define FIGURE_HP_FEED_PA 6.0e5      /* absolute: 5 bar gauge */
#define FIGURE_LINE_M 4.5            /* tank to engine, where the part gives no length */
#define DVPE_TEMPERATURE_C 37.8      /* vapour pressure is measured there */
#define DENSITY_TEMPERATURE_C 15.0
#define LOADED_FILTER 3.0 /* a filter due for change has some three times its drop: practice */

static const double bar_pa = 1e5;
static const double hour_s = 3600.0;

static fr_blend blend_of(double ethanol) {
    fr_gasoline gasoline = fr_gasoline_default();
    return fr_blend_make(&gasoline, ethanol);
}

static const fr_figure_column pump_columns[] = {
    {"pressure_bar", "Pressure", "bar", 0}, {"flow_12_v_l_h", "12 V", "L/h", 0},
    {"current_12_v_a", "12 V", "A", 1},     {"flow_13_5_v_l_h", "13.5 V", "L/h", 0},
    {"current_13_5_v_a", "13.5 V", "A", 1},
};

static void lift_pump(const fr_part *part, fr_figures *figures) {
    static const double pressures_bar[] = {3, 4, 5, 6};

    for (size_t row = 0; row < sizeof pressures_bar / sizeof pressures_bar[0]; row++) {
        double rise_pa = pressures_bar[row] * bar_pa;
        fr_pump_state low = fr_pump_at_voltage(&part->as.lift_pump, rise_pa, 12.0);
        fr_pump_state usual = fr_pump_at_voltage(&part->as.lift_pump, rise_pa, 13.5);
        double *values = figures->values[figures->row_count++];
        values[0] = pressures_bar[row];
        values[1] = fr_in_unit(low.flow_m3_s, "L/h");
        values[2] = low.current_a;
        values[3] = fr_in_unit(usual.flow_m3_s, "L/h");
        values[4] = usual.current_a;
    }
}

/* Flow of one injector held open, on E0 and E85, at rising pressure differences. */
static void injector(const fr_port *rating, const double *drops_bar, size_t count,
                     const char *volume_unit, fr_figures *figures) {
    static const double fuels[] = {0.0, 0.85};

    for (size_t row = 0; row < count; row++) {
        double *values = figures->values[figures->row_count++];
        values[0] = drops_bar[row];
        for (size_t fuel = 0; fuel < 2; fuel++) {
            fr_blend blend = blend_of(fuels[fuel]);
            double density = fr_blend_density(&blend, FIGURE_TEMPERATURE_C);
            double kg_s =
                fr_injector_static(rating->flow_kg_s, rating->test_pressure_pa,
                                   rating->test_density_kg_m3, drops_bar[row] * bar_pa, density);
            values[1 + 2 * fuel] = fr_in_unit(kg_s / density, volume_unit);
            values[2 + 2 * fuel] = fr_in_unit(kg_s, "g/s");
        }
    }
}

static const fr_figure_column port_columns[] = {
    {"drop_bar", "Drop", "bar", 1},    {"flow_e0_cc_min", "E0", "cc/min", 0},
    {"flow_e0_g_s", "E0", "g/s", 2},   {"flow_e85_cc_min", "E85", "cc/min", 0},
    {"flow_e85_g_s", "E85", "g/s", 2},
};

static void port_injector(const fr_part *part, fr_figures *figures) {
    static const double drops_bar[] = {2.5, 3, 3.5, 4, 5, 6};
    injector(&part->as.port_injector, drops_bar, sizeof drops_bar / sizeof drops_bar[0], "cc/min",
             figures);
}

static const fr_figure_column direct_columns[] = {
    {"drop_bar", "Drop", "bar", 0},    {"flow_e0_cc_s", "E0", "cc/s", 1},
    {"flow_e0_g_s", "E0", "g/s", 2},   {"flow_e85_cc_s", "E85", "cc/s", 1},
    {"flow_e85_g_s", "E85", "g/s", 2},
};

static void direct_injector(const fr_part *part, fr_figures *figures) {
    static const double drops_bar[] = {50, 100, 150, 200, 250, 300, 350};
    const fr_direct *direct = &part->as.direct_injector;
    fr_port rating = {.flow_kg_s = direct->flow_kg_s,
                      .test_pressure_pa = direct->test_pressure_pa,
                      .test_density_kg_m3 = direct->test_density_kg_m3};
    size_t count = 0;

    while (count < sizeof drops_bar / sizeof drops_bar[0] &&
           drops_bar[count] * bar_pa <= direct->injector_max_pa)
        count++;
    injector(&rating, drops_bar, count, "cc/s", figures);
}

static const fr_figure_column high_pressure_columns[] = {
    {"engine_rpm", "Engine", "rpm", 0},
    {"fill_percent", "Fill", "%", 0},
    {"delivery_100_bar_kg_h", "100 bar", "kg/h", 1},
    {"delivery_150_bar_kg_h", "150 bar", "kg/h", 1},
    {"delivery_200_bar_kg_h", "200 bar", "kg/h", 1},
};

static void high_pressure_pump(const fr_part *part, fr_figures *figures) {
    static const double rails_bar[] = {100, 150, 200};
    static const double speeds_rpm[] = {1000, 2000, 3000, 4000, 5000, 6000, 7000};
    const fr_direct *direct = &part->as.high_pressure_pump;
    fr_direct one = *direct;
    fr_blend blend = blend_of(0.10);

    one.pump_count = 1;
    for (size_t row = 0; row < sizeof speeds_rpm / sizeof speeds_rpm[0]; row++) {
        double fill = fr_curve_at(&direct->fill, speeds_rpm[row] * direct->drive_ratio);
        fr_high_pressure pump = fr_high_pressure_at(
            &one, speeds_rpm[row], fill, fr_blend_density(&blend, FIGURE_HP_TEMPERATURE_C),
            fr_blend_bulk_modulus(&blend, FIGURE_HP_TEMPERATURE_C));
        double *values = figures->values[figures->row_count++];
        values[0] = speeds_rpm[row];
        values[1] = fill * 100.0;
        for (size_t rail = 0; rail < sizeof rails_bar / sizeof rails_bar[0]; rail++) {
            double rail_pa = rails_bar[rail] * bar_pa;
            values[2 + rail] =
                rail_pa > direct->pump_max_pa
                    ? (double)NAN
                    : fr_high_pressure_delivery(&pump, rail_pa, FIGURE_HP_FEED_PA) * hour_s;
        }
    }
}

static const double flows_l_h[] = {100, 200, 300, 400, 500};
enum { FLOW_COUNT = sizeof flows_l_h / sizeof flows_l_h[0] };

/* L/h into m3/s. */
static double flow_m3_s(double l_h) {
    return l_h * 1e-3 / hour_s;
}

static const fr_figure_column filter_columns[] = {
    {"flow_l_h", "Flow", "L/h", 0},
    {"drop_clean_bar", "Clean", "bar", 3},
    {"drop_loaded_bar", "Loaded", "bar", 3},
};

static void filter(const fr_part *part, fr_figures *figures) {
    fr_feed feed = {.loss_factor = 1.0, .filter_count = 1, .filters = {part->as.filter}};
    fr_blend blend = blend_of(0.0);

    for (size_t row = 0; row < FLOW_COUNT; row++) {
        double *values = figures->values[figures->row_count++];
        double drop_pa = fr_feed_loss(&feed, flow_m3_s(flows_l_h[row]),
                                      fr_blend_density(&blend, FIGURE_TEMPERATURE_C),
                                      fr_blend_viscosity(&blend, FIGURE_TEMPERATURE_C));
        values[0] = flows_l_h[row];
        values[1] = drop_pa / bar_pa;
        values[2] = LOADED_FILTER * drop_pa / bar_pa;
    }
}

static const fr_figure_column line_columns[] = {
    {"flow_l_h", "Flow", "L/h", 0},
    {"drop_e0_bar", "E0", "bar", 3},
    {"drop_e85_bar", "E85", "bar", 3},
};

static void line(const fr_part *part, fr_figures *figures) {
    fr_feed feed = {.loss_factor = 1.0, .line_count = 1, .lines = {part->as.line}};
    fr_blend fuels[] = {blend_of(0.0), blend_of(0.85)};

    if (!(feed.lines[0].length_m > 0.0))
        feed.lines[0].length_m = FIGURE_LINE_M;
    for (size_t row = 0; row < FLOW_COUNT; row++) {
        double *values = figures->values[figures->row_count++];
        values[0] = flows_l_h[row];
        for (size_t fuel = 0; fuel < 2; fuel++)
            values[1 + fuel] =
                fr_feed_loss(&feed, flow_m3_s(flows_l_h[row]),
                             fr_blend_density(&fuels[fuel], FIGURE_TEMPERATURE_C),
                             fr_blend_viscosity(&fuels[fuel], FIGURE_TEMPERATURE_C)) /
                bar_pa;
    }
}

static const fr_figure_column wiring_columns[] = {
    {"current_a", "Current", "A", 0},
    {"drop_v", "Lost", "V", 2},
    {"pump_voltage_v", "At pump", "V", 2},
};

static void wiring(const fr_part *part, fr_figures *figures) {
    static const double currents_a[] = {5, 10, 15, 20, 25, 30};
    static const double supply_v = 13.5;

    for (size_t row = 0; row < sizeof currents_a / sizeof currents_a[0]; row++) {
        double drop_v = currents_a[row] * part->as.wiring.ohm;
        if (part->as.wiring.fuse_a > 0.0 && currents_a[row] > part->as.wiring.fuse_a)
            break;
        double *values = figures->values[figures->row_count++];
        values[0] = currents_a[row];
        values[1] = drop_v;
        values[2] = supply_v - drop_v;
    }
}

static const fr_figure_column gasoline_columns[] = {
    {"ethanol_percent", "Ethanol", "% vol", 0},     {"density_15_kg_m3", "Density", "kg/m3", 1},
    {"vapour_pressure_kpa", "Vapour", "kPa", 1},    {"stoich", "Stoich", "air:fuel", 2},
    {"heating_value_mj_kg", "Heating", "MJ/kg", 2},
};

static void gasoline(const fr_part *part, fr_figures *figures) {
    static const double contents[] = {0.0, 0.10, 0.30, 0.50, 0.70, 0.85};

    for (size_t row = 0; row < sizeof contents / sizeof contents[0]; row++) {
        fr_blend blend = fr_blend_make(&part->as.gasoline, contents[row]);
        double *values = figures->values[figures->row_count++];
        values[0] = contents[row] * 100.0;
        values[1] = fr_blend_density(&blend, DENSITY_TEMPERATURE_C);
        values[2] = fr_blend_vapour_pressure(&blend, DVPE_TEMPERATURE_C) / 1e3;
        values[3] = blend.stoich;
        values[4] = blend.heating_value_j_kg / 1e6;
    }
}

#define COLUMNS(name) (name), sizeof(name) / sizeof((name)[0])

/* One row a kind of part. */
static const struct {
    const char *title;
    const fr_figure_column *columns;
    size_t column_count;
    void (*fill)(const fr_part *part, fr_figures *figures);
} kinds[FR_PART_KIND_COUNT] = {
    [FR_PART_LIFT_PUMP] = {"one pump, voltage at its terminals, gauge pressure",
                           COLUMNS(pump_columns), lift_pump},
    [FR_PART_PORT_INJECTOR] = {"one injector held open, fuel at 20 °C", COLUMNS(port_columns),
                               port_injector},
    [FR_PART_DIRECT_INJECTOR] = {"one injector held open, fuel at 20 °C", COLUMNS(direct_columns),
                                 direct_injector},
    [FR_PART_HIGH_PRESSURE_PUMP] = {"one pump on E10 at 50 °C, fed at 5 bar gauge; rail pressure "
                                    "absolute",
                                    COLUMNS(high_pressure_columns), high_pressure_pump},
    [FR_PART_FILTER] = {"pressure drop, new and with three times the drop", COLUMNS(filter_columns),
                        filter},
    [FR_PART_LINE] = {"pressure drop over 4.5 m without fittings, fuel at 20 °C",
                      COLUMNS(line_columns), line},
    [FR_PART_WIRING] = {"one pump's wiring on a supply of 13.5 V", COLUMNS(wiring_columns), wiring},
    [FR_PART_GASOLINE] = {"as a component of blends; density at 15 °C, vapour pressure at 37.8 °C",
                          COLUMNS(gasoline_columns), gasoline},
};

void fr_part_figures(const fr_part *part, fr_figures *figures) {
    *figures = (fr_figures){.title = kinds[part->kind].title,
                            .columns = kinds[part->kind].columns,
                            .column_count = kinds[part->kind].column_count};
    kinds[part->kind].fill(part, figures);
}
