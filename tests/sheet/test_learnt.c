/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What a log has taught: factors on what the sheet says, and how well they are known. */
#include "sheet_support.h"

static const double EXACT = 1e-12;

static const char PLAIN[] = "engine:\n"
                            "  cylinders: 4\n"
                            "  displacement: 2 L\n"
                            "  target_power: 210 kW\n"
                            "  power_at: crank\n"
                            "  aspiration: turbo\n"
                            "supply:\n"
                            "  lift_pump: 255 L/h\n"
                            "  port_injection: {injector: 600 cc/min}\n"
                            "  direct_injection: {injector: 15 cc/s, high_pressure_pump: 0.9 cc}\n";

static void learnt_factors_multiply_what_the_sheet_says(void **state) {
    (void)state;
    char text[4096];
    snprintf(text, sizeof text, "%s%s", PLAIN,
             "learnt: {bsfc: 104.3 % ± 1.5 %, port-injector: 97 %, direct-injector: 98 %, "
             "lift-pump: 93 % ± 2 %, high-pressure-pump: 96 %, line-loss: 110 %}\n");
    fr_sheet *plain = open_sheet(PLAIN);
    fr_sheet *learnt = open_sheet(text);
    const fr_build *a = fr_sheet_build(plain), *b = fr_sheet_build(learnt);
    assert_close(b->engine.bsfc_kg_j.y[0], 1.043 * a->engine.bsfc_kg_j.y[0], EXACT);
    assert_close(b->engine.bsfc_kg_j.scale, 1.0, EXACT);
    assert_close(b->port.flow_kg_s, 0.97 * a->port.flow_kg_s, EXACT);
    assert_close(b->direct.flow_kg_s, 0.98 * a->direct.flow_kg_s, EXACT);
    assert_close(b->pumps.kinds[0].flow_factor, 0.93, EXACT);
    assert_close(b->direct.fill.y[0], 0.96 * 0.95, EXACT);
    assert_close(b->feed.loss_factor, 1.10, EXACT);
    /* a ± in points of a factor becomes a share of it */
    assert_close(find_input(learnt, "bsfc")->half_width, 0.015 / 1.043, EXACT);
    assert_close(find_input(learnt, "lift-pump")->half_width, 0.02 / 0.93, EXACT);
    assert_false(find_input(learnt, "bsfc")->assumed);
    assert_true(find_input(learnt, "port-injector")->assumed);
    /* without a ± the line's factor says nothing of how well the filters are known */
    assert_non_null(find_input(learnt, "filter-drop"));
    fr_sheet_close(learnt);
    fr_sheet_close(plain);
}

static void a_learnt_line_loss_speaks_for_the_filters_too(void **state) {
    (void)state;
    char text[4096];
    snprintf(text, sizeof text, "%s%s", PLAIN,
             "learnt: {line-loss: 110 % ± 11 %}\n");
    fr_sheet *learnt = open_sheet(text);
    assert_close(find_input(learnt, "line-loss")->half_width, 0.11 / 1.10, EXACT);
    assert_null(find_input(learnt, "filter-drop"));
    fr_sheet_close(learnt);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(learnt_factors_multiply_what_the_sheet_says),
        cmocka_unit_test(a_learnt_line_loss_speaks_for_the_filters_too),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
