/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Shipped injectors and high-pressure pumps, held against what their class can do. */
#include "components/shelf.h"

static void a_port_injector_is_named_by_its_flow_at_3_bar(void **state) {
    const fr_part *part;
    size_t at = 0;
    (void)state;
    while ((part = next_part(FR_PART_PORT_INJECTOR, &at)) != NULL) {
        const fr_port *port = &part->as.port_injector;
        if (port->rated_in_lb_h) {
            assert_close(fr_in_unit(port->flow_kg_s, "lb/h"), number_in(part->name), 1e-9);
            assert_close(fr_in_unit(port->test_pressure_pa, "psi"), 43.5, 1e-9);
        } else {
            double flow = port->flow_kg_s / port->test_density_kg_m3;
            assert_close(fr_in_unit(flow, "cc/min"), number_in(part->name), 1e-9);
            assert_close(port->test_pressure_pa, 3e5, 1e-9);
        }
    }
}

static void a_port_injector_opens_later_on_less_voltage(void **state) {
    const fr_part *part;
    size_t at = 0;
    (void)state;
    while ((part = next_part(FR_PART_PORT_INJECTOR, &at)) != NULL) {
        const fr_curve *dead_time = &part->as.port_injector.dead_time_s;
        check_part(part, dead_time->count >= 5, "dead time at five voltages");
        for (size_t i = 1; i < dead_time->count; i++) {
            check_part(part, dead_time->y[i] < dead_time->y[i - 1], "dead time falls with voltage");
            if (i > 1) {
                check_part(part,
                           dead_time->y[i - 1] - dead_time->y[i] <
                               dead_time->y[i - 2] - dead_time->y[i - 1],
                           "ever less");
            }
        }
        check_part(part, fr_curve_at(dead_time, 14.0) >= 0.6e-3, "0.6 ms or more at 14 V");
        check_part(part, fr_curve_at(dead_time, 14.0) <= 1.3e-3, "1.3 ms or less at 14 V");
        check_part(part, part->as.port_injector.max_duty >= 0.92 - 1e-9,
                   "closes within 8 % of a cycle");
        check_part(part, part->as.port_injector.max_duty <= 0.95 + 1e-9,
                   "needs 5 % of a cycle to close");
        check_part(part, part->as.port_injector.minimum_open_s >= 0.3e-3, "least open time");
    }
}

static void a_direct_injector_is_named_by_its_flow_at_100_bar(void **state) {
    const fr_part *part;
    size_t at = 0;
    (void)state;
    while ((part = next_part(FR_PART_DIRECT_INJECTOR, &at)) != NULL) {
        const fr_direct *direct = &part->as.direct_injector;
        double flow = direct->flow_kg_s / direct->test_density_kg_m3;
        assert_close(fr_in_unit(flow, "cc/s"), number_in(part->name), 1e-9);
        assert_close(direct->test_pressure_pa, 100e5, 1e-9);
        check_part(part, direct->opening_delay_s > 0.2e-3 && direct->opening_delay_s < 0.4e-3,
                   "opens in 0.2 to 0.4 ms");
        check_part(part, direct->injector_max_pa >= 200e5 && direct->injector_max_pa <= 350e5,
                   "200 to 350 bar");
    }
}

/* ---- high-pressure pumps ---- */

static void a_high_pressure_pump_is_named_by_its_displacement(void **state) {
    const fr_part *part;
    size_t at = 0;
    (void)state;
    while ((part = next_part(FR_PART_HIGH_PRESSURE_PUMP, &at)) != NULL) {
        double displacement = fr_in_unit(part->as.high_pressure_pump.displacement_m3, "cc");
        assert_within(displacement * 100.0, number_in(part->name), 1.0);
    }
}

static void a_high_pressure_pump_fills_worse_the_faster_it_turns(void **state) {
    const fr_part *part;
    size_t at = 0;
    (void)state;
    while ((part = next_part(FR_PART_HIGH_PRESSURE_PUMP, &at)) != NULL) {
        const fr_direct *pump = &part->as.high_pressure_pump;
        for (size_t i = 1; i < pump->fill.count; i++) {
            check_part(part, pump->fill.y[i] <= pump->fill.y[i - 1], "fill falls with speed");
        }
        check_part(part, fr_curve_greatest(&pump->fill) <= 0.97, "never quite full");
        check_part(part, fr_curve_least(&pump->fill) >= 0.78, "fills by four fifths or so");
        check_part(part, pump->dead_volume_ratio >= 0.4 && pump->dead_volume_ratio <= 0.8,
                   "dead volume of 40 to 80 % of the swept");
        check_part(part, pump->leakage_m3_s >= 0.5e-6 && pump->leakage_m3_s <= 2e-6,
                   "leakage of 0.5 to 2 cc/s");
        check_part(part, pump->minimum_inlet_gauge_pa >= 2.5e5, "a least inlet pressure");
        check_part(part, pump->pump_max_pa >= 200e5 && pump->pump_max_pa <= 250e5,
                   "200 to 250 bar");
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_port_injector_is_named_by_its_flow_at_3_bar),
        cmocka_unit_test(a_port_injector_opens_later_on_less_voltage),
        cmocka_unit_test(a_direct_injector_is_named_by_its_flow_at_100_bar),
        cmocka_unit_test(a_high_pressure_pump_is_named_by_its_displacement),
        cmocka_unit_test(a_high_pressure_pump_fills_worse_the_faster_it_turns),
    };
    return cmocka_run_group_tests(tests, shelf_open, shelf_close);
}
