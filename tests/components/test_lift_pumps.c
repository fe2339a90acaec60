/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Shipped lift pumps, held against what such a pump can do. */
#include "components/shelf.h"

/* Hydraulic work over electric work of a lift pump, at any point of its curve (common practice,
 * no source). */
static const double efficiency_least = 0.15;
static const double efficiency_most = 0.45;

static void check_curve(const fr_part *part, const fr_pump_curve *curve) {
    const fr_pump_line *flow = &curve->flow_m3_s;
    const fr_pump_line *current = &curve->current_a;
    check_part(part, flow->count == current->count && flow->count >= 3,
               "flow and current at the same three pressures or more");
    for (size_t i = 0; i < flow->count; i++) {
        double work = flow->rise_pa[i] * flow->y[i] / (curve->voltage_v * current->y[i]);
        check_part(part, flow->rise_pa[i] == current->rise_pa[i], "flow and current side by side");
        if (work < efficiency_least || work > efficiency_most) {
            fail_msg("%s: %.1f %% of %.0f V is pumping at %.1f bar", part->name, work * 100.0,
                     curve->voltage_v, flow->rise_pa[i] / 1e5);
        }
        if (i > 0) {
            check_part(part, flow->y[i] < flow->y[i - 1], "flow falls with pressure");
            check_part(part, current->y[i] > current->y[i - 1], "current rises with pressure");
        }
    }
}

static void flow_falls_and_current_rises_and_the_work_is_believable(void **state) {
    const fr_part *part;
    size_t at = 0;
    (void)state;
    while ((part = next_part(FR_PART_LIFT_PUMP, &at)) != NULL) {
        const fr_pump *pump = &part->as.lift_pump;
        check_part(part, pump->curve_count >= 1, "a curve");
        for (size_t i = 0; i < pump->curve_count; i++) {
            check_curve(part, &pump->curves[i]);
        }
    }
}

/* A pump falls off faster near its dead head: no segment is flatter than the one before. */
static void flow_falls_ever_faster(void **state) {
    const fr_part *part;
    size_t at = 0;
    (void)state;
    while ((part = next_part(FR_PART_LIFT_PUMP, &at)) != NULL) {
        const fr_pump *pump = &part->as.lift_pump;
        for (size_t c = 0; c < pump->curve_count; c++) {
            const fr_pump_line *flow = &pump->curves[c].flow_m3_s;
            for (size_t i = 2; i < flow->count; i++) {
                double before = flow->y[i - 2] - flow->y[i - 1];
                double here = flow->y[i - 1] - flow->y[i];
                /* figures are rounded to 1 L/h */
                check_part(part, here > before - 2.01e-3 / 3600.0,
                           "no flattening towards dead head");
            }
        }
    }
}

/* Flow goes with voltage to a power of at least 1 (positive displacement) and at most 3.5 (a
 * turbine near its dead head); common practice, no source. */
static void less_voltage_gives_less_flow(void **state) {
    const fr_part *part;
    size_t at = 0;
    size_t with_two = 0;
    (void)state;
    while ((part = next_part(FR_PART_LIFT_PUMP, &at)) != NULL) {
        const fr_pump *pump = &part->as.lift_pump;
        for (size_t c = 1; c < pump->curve_count; c++) {
            const fr_pump_curve *low = &pump->curves[c - 1];
            const fr_pump_curve *high = &pump->curves[c];
            double ratio = log(high->voltage_v / low->voltage_v);
            with_two++;
            for (size_t i = 0; i < low->flow_m3_s.count; i++) {
                double power = log(high->flow_m3_s.y[i] / low->flow_m3_s.y[i]) / ratio;
                check_part(part, low->flow_m3_s.rise_pa[i] == high->flow_m3_s.rise_pa[i],
                           "the same pressures at both voltages");
                check_part(part, power >= 1.0 && power <= 3.5, "a believable power of voltage");
                check_part(part, low->current_a.y[i] <= high->current_a.y[i],
                           "current does not rise as voltage falls");
            }
        }
    }
    assert_true(with_two >= 6);
}

static void a_relief_valve_opens_beyond_the_curve(void **state) {
    const fr_part *part;
    size_t at = 0;
    (void)state;
    while ((part = next_part(FR_PART_LIFT_PUMP, &at)) != NULL) {
        const fr_pump *pump = &part->as.lift_pump;
        for (size_t c = 0; c < pump->curve_count; c++) {
            const fr_pump_line *flow = &pump->curves[c].flow_m3_s;
            check_part(part, pump->relief_pa > flow->rise_pa[flow->count - 1],
                       "relief above the last point");
        }
    }
}

/* Flow at a pressure that is a point of the curve of the highest voltage. */
static double flow_at(const fr_part *part, double rise_pa) {
    const fr_pump *pump = &part->as.lift_pump;
    const fr_pump_line *flow = &pump->curves[pump->curve_count - 1].flow_m3_s;
    for (size_t i = 0; i < flow->count; i++) {
        if (fabs(flow->rise_pa[i] - rise_pa) < 1.0) {
            return flow->y[i];
        }
    }
    fail_msg("%s has no point at %.0f Pa", part->name, rise_pa);
    return 0.0;
}

static void a_lift_pump_is_named_by_its_flow(void **state) {
    const fr_part *part;
    size_t at = 0;
    (void)state;
    while ((part = next_part(FR_PART_LIFT_PUMP, &at)) != NULL) {
        bool ahead_of_direct = strstr(part->name, "-direct") != NULL;
        double flow = flow_at(part, ahead_of_direct ? 5e5 : 3e5);
        assert_close(fr_in_unit(flow, "L/h"), number_in(part->name), 1e-9);
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(flow_falls_and_current_rises_and_the_work_is_believable),
        cmocka_unit_test(flow_falls_ever_faster),
        cmocka_unit_test(less_voltage_gives_less_flow),
        cmocka_unit_test(a_relief_valve_opens_beyond_the_curve),
        cmocka_unit_test(a_lift_pump_is_named_by_its_flow),
    };
    return cmocka_run_group_tests(tests, shelf_open, shelf_close);
}
