/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Shipped filters, lines, wiring and gasolines, held against what their class can be. */
#include "components/shelf.h"

static void a_filter_costs_little_pressure(void **state) {
    const fr_part *part;
    size_t at = 0;
    (void)state;
    while ((part = next_part(FR_PART_FILTER, &at)) != NULL) {
        const fr_filter *filter = &part->as.filter;
        double flow = 200e-3 / 3600.0 / filter->rated_flow_m3_s;
        check_part(part, filter->drop_pa * flow * flow <= 0.45e5, "below 0.45 bar at 200 L/h");
        check_part(part, filter->drop_pa * flow * flow >= 0.003e5, "above 3 mbar at 200 L/h");
    }
}

/* Within a family of lines the larger number has the larger bore, and a tube's bore is its
 * outside less two walls of 0.5 to 1.2 mm. */
static void a_line_named_larger_is_wider(void **state) {
    static const char *const families[][3] = {
        {"hose-4", "hose-6", "hose-8"},
        {"hose-6", "hose-8", "hose-10"},
        {"tube-8mm", "tube-10mm", "tube-12mm"},
        {"tube-5-16in", "tube-3-8in", "tube-1-2in"},
    };
    (void)state;
    for (size_t i = 0; i < sizeof families / sizeof families[0]; i++) {
        double first = find_part(families[i][0])->as.line.bore_m;
        double second = find_part(families[i][1])->as.line.bore_m;
        double third = find_part(families[i][2])->as.line.bore_m;
        assert_true(first < second && second < third);
    }
    for (int outside = 8; outside <= 12; outside += 2) {
        char name[32];
        double wall;
        snprintf(name, sizeof name, "tube-%dmm", outside);
        wall = (outside * 1e-3 - find_part(name)->as.line.bore_m) / 2.0;
        assert_true(wall >= 0.5e-3 && wall <= 1.2e-3);
    }
    assert_true(find_part("hose-8-ptfe")->as.line.bore_m < find_part("hose-8")->as.line.bore_m);
}

/* Fuses protect wires: the copper of each pair bears at most 10 A of fuse a mm2
 * (common practice for short runs in a car, no source), and thicker wire has less resistance. */
static void a_fuse_suits_its_wire(void **state) {
    static const struct {
        const char *name;
        double area_mm2;
    } wires[] = {
        {"wire-14awg", 2.08}, {"wire-2-5mm2", 2.5}, {"wire-12awg", 3.31}, {"wire-4mm2", 4.0},
        {"wire-10awg", 5.26}, {"wire-6mm2", 6.0},   {"wire-8awg", 8.37},
    };
    double before = INFINITY;
    (void)state;
    for (size_t i = 0; i < sizeof wires / sizeof wires[0]; i++) {
        const fr_part *part = find_part(wires[i].name);
        double fuse = part->as.wiring.fuse_a;
        check_part(part, fuse >= 15.0 && fuse / wires[i].area_mm2 <= 10.0, "a fuse for this wire");
        check_part(part, part->as.wiring.ohm < before, "thicker wire, less resistance");
        check_part(part, part->as.wiring.ohm > 0.015 && part->as.wiring.ohm < 0.11,
                   "better than a standard circuit");
        before = part->as.wiring.ohm;
    }
}

static void a_gasoline_is_one(void **state) {
    const fr_part *part;
    size_t at = 0;
    (void)state;
    while ((part = next_part(FR_PART_GASOLINE, &at)) != NULL) {
        const fr_gasoline *gasoline = &part->as.gasoline;
        check_part(part, gasoline->density_15_kg_m3 >= 715 && gasoline->density_15_kg_m3 <= 775,
                   "715 to 775 kg/m3");
        check_part(part,
                   gasoline->vapour_pressure_pa >= 45e3 && gasoline->vapour_pressure_pa <= 100e3,
                   "45 to 100 kPa");
        check_part(part, gasoline->stoich > 14.3 && gasoline->stoich < 15.0, "stoich near 14.6");
        check_part(part,
                   gasoline->heating_value_j_kg > 42e6 && gasoline->heating_value_j_kg < 44.5e6,
                   "heat near 43 MJ/kg");
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_filter_costs_little_pressure),
        cmocka_unit_test(a_line_named_larger_is_wider),
        cmocka_unit_test(a_fuse_suits_its_wire),
        cmocka_unit_test(a_gasoline_is_one),
    };
    return cmocka_run_group_tests(tests, shelf_open, shelf_close);
}
