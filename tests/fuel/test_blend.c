/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "support.h"

#include "fuelreach/blend.h"

static const double atmosphere_pa = 101325.0;

static fr_blend blend_of(double ethanol) {
    const fr_gasoline gasoline = fr_gasoline_default();
    return fr_blend_make(&gasoline, ethanol);
}

static void methane_and_hydrogen_have_their_known_stoichiometric_ratios(void **state) {
    (void)state;
    /* By hand: CH4 16.043 g needs 2 O2 = 63.996 g; H2 2.016 g needs 15.999 g. */
    assert_close(fr_stoich_from_composition(1, 4, 0), 63.996 / 16.043 / 0.2314, 1e-12);
    assert_close(fr_stoich_from_composition(0, 2, 0), 15.999 / 2.016 / 0.2314, 1e-12);
}

static void an_oxygen_rich_fuel_needs_no_air(void **state) {
    (void)state;
    assert_within(fr_stoich_from_composition(1, 0, 2), 0.0, 1e-15); /* CO2 */
}

static void default_gasoline_and_ethanol_stand_at_the_ends(void **state) {
    (void)state;
    const fr_blend e0 = blend_of(0.0);
    const fr_blend e100 = blend_of(1.0);
    assert_within(e0.stoich, 14.60323, 5e-6);
    /* 95.994 g of oxygen to 46.069 g of fuel, by hand. */
    assert_within(e100.stoich, 95.994 / 46.069 / 0.2314, 1e-12);
    assert_within(e100.stoich, 9.0047, 1e-4);
    assert_true(e0.mass_fraction == 0.0 && e0.mole_fraction == 0.0);
    assert_true(e100.mass_fraction == 1.0 && e100.mole_fraction == 1.0);
    assert_close(e0.heating_value_j_kg, 43.0e6, 1e-15);
    assert_close(e100.heating_value_j_kg, 26.8e6, 1e-15);
}

static void ethanol_beyond_the_ends_is_cut(void **state) {
    (void)state;
    assert_true(blend_of(-0.03).ethanol == 0.0);
    assert_true(blend_of(1.02).ethanol == 1.0);
    assert_true(blend_of((double)NAN).ethanol == 0.0);
}

static void a_given_gasoline_is_kept(void **state) {
    (void)state;
    const fr_gasoline gasoline = {737.0, 57.0e3, 14.41, 42.3e6};
    const fr_blend e0 = fr_blend_make(&gasoline, 0.0);
    assert_close(e0.stoich, 14.41, 1e-15);
    assert_close(e0.heating_value_j_kg, 42.3e6, 1e-15);
    assert_close(fr_blend_density(&e0, 15.0), 737.0, 1e-15);
    assert_close(fr_blend_vapour_pressure(&e0, 310.93 - 273.15), 57.0e3, 1e-12);
}

static void fractions_of_e37_agree_with_a_hand_count(void **state) {
    (void)state;
    /* One litre: 0.37 l of ethanol weighs 293.6653 g, 0.63 l of gasoline 469.35 g. */
    const double ethanol_g = 293.6653, gasoline_g = 469.35;
    const double ethanol_mol = ethanol_g / 46.069, gasoline_mol = gasoline_g / 101.2;
    const fr_blend e37 = blend_of(0.37);
    assert_close(e37.mass_fraction, ethanol_g / (ethanol_g + gasoline_g), 1e-12);
    assert_close(e37.mole_fraction, ethanol_mol / (ethanol_mol + gasoline_mol), 1e-12);
    assert_close(fr_blend_density(&e37, 15.0), ethanol_g + gasoline_g, 1e-12);
    assert_close(e37.heating_value_j_kg,
                 (26.8e6 * ethanol_g + 43.0e6 * gasoline_g) / (ethanol_g + gasoline_g), 1e-12);
}

static void gasoline_density_falls_as_the_petroleum_tables_say(void **state) {
    (void)state;
    /* By hand at 40 degC: a = 346.4228/745^2 + 0.4388/745 = 1.2131504e-3,
     * 745 exp(-0.03032876 (1 + 0.8 * 0.03032876)) = 722.2126. */
    const fr_blend e0 = blend_of(0.0);
    assert_within(fr_blend_density(&e0, 40.0), 722.2126, 2e-4);
}

static void pressure_of_one_atmosphere_changes_nothing(void **state) {
    (void)state;
    const fr_blend e73 = blend_of(0.73);
    assert_close(fr_compression_ratio(atmosphere_pa, 9.7e8), 1.0, 1e-15);
    assert_close(fr_blend_density_at_pressure(&e73, 33.0, atmosphere_pa),
                 fr_blend_density(&e73, 33.0), 1e-15);
}

static void bulk_modulus_is_the_slope_of_density_over_pressure(void **state) {
    (void)state;
    const fr_blend e41 = blend_of(0.41);
    const double step_pa = 2.0e5, t = 47.0;
    const double slope = (fr_blend_density_at_pressure(&e41, t, atmosphere_pa + step_pa) -
                          fr_blend_density_at_pressure(&e41, t, atmosphere_pa - step_pa)) /
                         (2.0 * step_pa);
    assert_close(fr_blend_density(&e41, t) / slope, fr_blend_bulk_modulus(&e41, t), 1e-5);
}

static void viscosity_of_a_blend_is_the_geometric_mean(void **state) {
    (void)state;
    const fr_blend e0 = blend_of(0.0), e50 = blend_of(0.5), e100 = blend_of(1.0);
    assert_close(fr_blend_viscosity(&e0, 20.0), 0.50e-3, 1e-12);
    assert_close(fr_blend_viscosity(&e100, 25.0), 1.074e-3, 1e-12);
    assert_close(fr_blend_viscosity(&e50, 31.0),
                 sqrt(fr_blend_viscosity(&e0, 31.0) * fr_blend_viscosity(&e100, 31.0)), 1e-12);
}

static void vapour_pressure_peaks_in_the_low_blends(void **state) {
    (void)state;
    int peak_percent = 0;
    double peak_pa = 0.0;
    for (int percent = 0; percent <= 100; percent++) {
        const fr_blend blend = blend_of(percent / 100.0);
        const double pressure_pa = fr_blend_vapour_pressure(&blend, 37.8);
        if (pressure_pa > peak_pa) {
            peak_pa = pressure_pa;
            peak_percent = percent;
        }
    }
    assert_in_range(peak_percent, 5, 20);
}

static void margules_activities_obey_gibbs_and_duhem(void **state) {
    (void)state;
    /* x_e d ln g_e + x_g d ln g_g = 0. The activities are read back from pressures over two
     * gasolines that differ in DVPE alone: p = a_e p_e + a_g p_g is linear in DVPE. */
    const double t = 310.93 - 273.15, step = 1e-4;
    double ln_e[2], ln_g[2], mole[2];
    for (int side = 0; side < 2; side++) {
        fr_gasoline gasoline = fr_gasoline_default();
        gasoline.vapour_pressure_pa = 0.0;
        fr_blend blend = fr_blend_make(&gasoline, 0.3 + (side ? step : -step));
        const fr_blend neat = blend_of(1.0);
        const double ethanol_part = fr_blend_vapour_pressure(&blend, t);
        blend.gasoline.vapour_pressure_pa = 1.0;
        const double gasoline_part = fr_blend_vapour_pressure(&blend, t) - ethanol_part;
        mole[side] = blend.mole_fraction;
        ln_e[side] = log(ethanol_part / fr_blend_vapour_pressure(&neat, t) / blend.mole_fraction);
        ln_g[side] = log(gasoline_part / (1.0 - blend.mole_fraction));
    }
    const double x = (mole[0] + mole[1]) / 2.0;
    const double sum = x * (ln_e[1] - ln_e[0]) + (1.0 - x) * (ln_g[1] - ln_g[0]);
    assert_within(sum / (mole[1] - mole[0]), 0.0, 1e-5);
}

static void every_property_runs_smoothly_over_all_blends(void **state) {
    (void)state;
    for (int percent = 0; percent < 100; percent++) {
        const fr_blend low = blend_of(percent / 100.0), high = blend_of((percent + 1) / 100.0);
        assert_true(high.stoich < low.stoich);
        assert_true(high.heating_value_j_kg < low.heating_value_j_kg);
        assert_true(fr_blend_density(&high, 45.0) > fr_blend_density(&low, 45.0));
        assert_true(fr_blend_viscosity(&high, 45.0) > fr_blend_viscosity(&low, 45.0));
        assert_true(fr_blend_density(&low, 46.0) < fr_blend_density(&low, 45.0));
        assert_true(fr_blend_vapour_pressure(&low, 46.0) > fr_blend_vapour_pressure(&low, 45.0));
        assert_true(fr_blend_bulk_modulus(&low, 46.0) < fr_blend_bulk_modulus(&low, 45.0));
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(methane_and_hydrogen_have_their_known_stoichiometric_ratios),
        cmocka_unit_test(an_oxygen_rich_fuel_needs_no_air),
        cmocka_unit_test(default_gasoline_and_ethanol_stand_at_the_ends),
        cmocka_unit_test(ethanol_beyond_the_ends_is_cut),
        cmocka_unit_test(a_given_gasoline_is_kept),
        cmocka_unit_test(fractions_of_e37_agree_with_a_hand_count),
        cmocka_unit_test(gasoline_density_falls_as_the_petroleum_tables_say),
        cmocka_unit_test(pressure_of_one_atmosphere_changes_nothing),
        cmocka_unit_test(bulk_modulus_is_the_slope_of_density_over_pressure),
        cmocka_unit_test(viscosity_of_a_blend_is_the_geometric_mean),
        cmocka_unit_test(vapour_pressure_peaks_in_the_low_blends),
        cmocka_unit_test(margules_activities_obey_gibbs_and_duhem),
        cmocka_unit_test(every_property_runs_smoothly_over_all_blends),
    };
    return cmocka_run_group_tests_name("blend", tests, NULL, NULL);
}
