/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Power over blends from the same air. One naturally aspirated, direct-injected engine made about
 * 5.5 % more at E32, 9 % at E62 and 10.5 % at E72 than at E8 (common practice, no source): the
 * model must take that as the same air, and not doubt it. */
#include "review/cases.h"

#include "support.h"

static const char NATURAL_SHEET[] =
    "name: Test roadster\n"
    "engine:\n"
    "  cylinders: 4\n"
    "  displacement: 2.0 L\n"
    "  target_power: {E8: 130 kW, E32: 137.15 kW, E62: 141.7 kW, E72: 143.65 kW}\n"
    "  power_at: crank\n"
    "  power_curve: {2500 rpm: 48 kW, 4500 rpm: 96 kW, 6000 rpm: 122 kW, 7000 rpm: 130 kW}\n"
    "  bsfc: 298 g/kWh\n"
    "  bsfc_blend: E8\n"
    "  lambda: 0.88\n"
    "  same_air_gain: {E8: 0 %, E32: 5.5 %, E62: 9 %, E72: 10.5 %}\n"
    "fuel: {blends: [E8, E32, E62, E72]}\n"
    "supply:\n"
    "  lift_pump: {size: 255 L/h}\n"
    "  regulation: electronic-returnless\n"
    "  direct_injection:\n"
    "    injector: {flow: 20 cc/s}\n"
    "    high_pressure_pump: {displacement: 0.9 cc}\n";

static void measured_gains_are_taken_as_the_same_air(void **unused) {
    (void)unused;
    fr_sheet *sheet = case_open(NATURAL_SHEET);
    const fr_build *build = fr_sheet_build(sheet);
    fr_check *check = fr_check_open();
    double air[8];
    double fuel[8];
    for (size_t i = 0; i < build->blend_count; i++) {
        const fr_blend_result *blend = fr_check_blend(check, build, build->blends[i]);
        const fr_point *last = &blend->points[blend->point_count - 1];
        air[i] = last->air_kg_s;
        fuel[i] = last->fuel_kg_s;
        assert_false(blend->doubtful);
        assert_true(last->volumetric_efficiency > 0.75 && last->volumetric_efficiency < 1.1);
    }
    for (size_t i = 1; i < build->blend_count; i++) {
        assert_close(air[i], air[0], 1e-9);
        assert_true(fuel[i] > fuel[i - 1]);
    }
    fr_check_close(check);
    fr_sheet_close(sheet);
}

/* On a boosted engine so much from the same air is a slip for more boost; on this one it is not. */
static void they_raise_no_caution_on_a_natural_engine(void **unused) {
    (void)unused;
    fr_sheet *sheet = case_open(NATURAL_SHEET);
    fr_build boosted = *fr_sheet_build(sheet);
    fr_check *check = fr_check_open();
    fr_check *scratch = fr_check_open();
    fr_caution cautions[FR_CAUTIONS_MAX];
    size_t natural_says = 0;
    size_t boosted_says = 0;
    const fr_check_result *result = fr_check_run(check, fr_sheet_build(sheet));
    size_t count = fr_cautions(fr_sheet_build(sheet), result, scratch, cautions);
    for (size_t i = 0; i < count; i++)
        natural_says += cautions[i].code == FR_CAUTION_SAME_AIR_GAIN;
    boosted.engine.aspiration = FR_TURBO;
    result = fr_check_run(check, &boosted);
    count = fr_cautions(&boosted, result, scratch, cautions);
    for (size_t i = 0; i < count; i++)
        boosted_says += cautions[i].code == FR_CAUTION_SAME_AIR_GAIN;
    assert_int_equal(natural_says, 0);
    assert_true(boosted_says > 0);
    fr_check_close(scratch);
    fr_check_close(check);
    fr_sheet_close(sheet);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(measured_gains_are_taken_as_the_same_air),
        cmocka_unit_test(they_raise_no_caution_on_a_natural_engine),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
