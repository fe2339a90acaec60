/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "support.h"

#include "fuelreach/check.h"

#include "published/checks.h"
#include "published/table.h"
#include "reference/builds.h"
#include "reference/make.h"

static const double g_kwh = 1e-3 / 3.6e6;

/* ---- a bare engine at one speed ---- */

typedef struct textbook_engine {
    double power_w, rpm, bsfc_g_kwh, density_15;
    unsigned cylinders;
} textbook_engine;

/* On E0 at 15 degC, so that the density is the book's. */
static void make_engine(fr_build *build, const textbook_engine *engine) {
    ref_make_direct(build);
    build->engine.aspiration = FR_NATURAL;
    build->engine.boost_gauge_pa = make_constant(0.0);
    build->engine.cylinders = build->direct.count = engine->cylinders;
    build->engine.target_power_w = make_constant(engine->power_w);
    build->engine.pull = make_constant(1.0);
    build->engine.pull.x[0] = engine->rpm;
    build->engine.bsfc_kg_j = make_constant(engine->bsfc_g_kwh * g_kwh);
    build->engine.bsfc_ethanol = 0.0;
    build->engine.lambda = make_constant(0.85);
    build->engine.bsfc_lambda = 0.85;
    build->engine.same_air_gain = make_constant(0.0);
    build->gasoline.density_15_kg_m3 = engine->density_15;
    build->site.feed_temperature_c = 15.0;
}

/* The point that the check finds for it. */
static fr_point point_of(const fr_build *build, double ethanol) {
    fr_check *check = fr_check_open();
    assert_non_null(check);
    const fr_point point = fr_check_blend(check, build, ethanol)->points[0];
    fr_check_close(check);
    return point;
}

static fr_point engine_point(const textbook_engine *engine) {
    static fr_build build;
    make_engine(&build, engine);
    return point_of(&build, 0.0);
}

void fuel_a_cycle_is_what_textbooks_compute(void **state) {
    static const textbook_engine ganesan = {125e3, 3000.0, 200.0, 850.0, 6};
    static const textbook_engine mathur = {89e3, 2500.0, 245.0, 840.0, 6};
    static const textbook_engine by_hand = {200e3, 6000.0, 290.0, 745.0, 4};
    const fr_point first = engine_point(&ganesan), second = engine_point(&mathur);
    const double cc = 1e-6;
    (void)state;
    published_section("Injection");
    published_close("Ganesan, Internal Combustion Engines, example 9.1" AS_QUOTED,
                    "fuel a cycle: 125 kW, 6 cylinders, 3000 rpm, 200 g/kWh", "mg", 46.2963,
                    1e6 * first.direct_mass_kg, 1e-6);
    published_close("Ganesan, Internal Combustion Engines, example 9.1" AS_QUOTED,
                    "the same, as a volume of specific gravity 0.85", "cc", 0.0544662,
                    first.direct_mass_kg * first.fuel_m3_s / first.fuel_kg_s / cc, 1e-6);
    published_within("Mathur and Sharma, example 12.1" AS_QUOTED,
                     "fuel a cycle: 89 kW, 6 cylinders, 2500 rpm, 245 g/kWh, 0.84", "cc", 0.0577,
                     second.direct_mass_kg * second.fuel_m3_s / second.fuel_kg_s / cc, 5e-5);
    published_within("by hand", "fuel a cycle: 200 kW, 4 cylinders, 6000 rpm, 290 g/kWh", "mg",
                     80.56, 1e6 * engine_point(&by_hand).direct_mass_kg, 5e-3);
}

/* ---- orifices ---- */

/* Area of plain holes, m2, that pass a mass rate: the program's law for an injector that was rated
 * elsewhere, with a rating worked from the orifice equation. */
static double holes(double rate_kg_s, double coefficient, double drop_pa, double density) {
    static const double tried_m2 = 1e-6, tested_pa = 100e5, tested_density = 683.8;
    const double rated = coefficient * tried_m2 * sqrt(2.0 * tested_density * tested_pa);
    return tried_m2 * rate_kg_s /
           fr_injector_static(rated, tested_pa, tested_density, drop_pa, density);
}

static double seconds(double degrees, double rpm) {
    return degrees / (6.0 * rpm);
}

void the_orifice_law_sizes_what_textbooks_size(void **state) {
    static const textbook_engine gupta = {250e3, 1500.0, 300.0, 850.0, 6};
    const double density = 1000.0 * 141.5 / (131.5 + 30.0); /* 30 degrees API */
    const textbook_engine ganesan = {25e3, 2500.0, 300.0, density, 1};
    const double pi = acos(-1.0), mm2 = 1e-6;
    (void)state;
    published_section("Injection");
    published_close(
        "Gupta, example 10.1" AS_QUOTED,
        "holes: 250 kW, 6 cylinders, 1500 rpm, 300 g/kWh, 15°, 340 bar, Cd 0.65", "mm²", 1.0665,
        holes(engine_point(&gupta).direct_mass_kg / seconds(15.0, 1500.0), 0.65, 340e5, 850.0) /
            mm2,
        5e-5);
    const double rate = engine_point(&ganesan).direct_mass_kg / seconds(25.0, 2500.0);
    const double area = holes(rate, 0.875, 110e5, density);
    published_close("Ganesan, example 9.2" AS_QUOTED, "jet: 110 bar, 30° API, Cv 0.875: velocity",
                    "m/s", 138.652, rate / (density * area), 1e-5);
    published_within("Ganesan, example 9.2" AS_QUOTED,
                     "hole: 25 kW, 1 cylinder, 2500 rpm, 300 g/kWh, 25°, the same jet", "mm",
                     0.7930, 1e3 * sqrt(4.0 * area / pi), 5e-5);
}

/* The law's one constant is taken from all four, as the geometric mean. */
void a_measured_injector_follows_the_square_root(void **state) {
    static const double measured[][2] = {
        {40.8, 10.34}, {71.0, 13.61}, {100.8, 16.40}, {151.0, 20.20}};
    static const double at_pa = 100e5, density = 700.0;
    double rated = 1.0;
    (void)state;
    published_section("Injection");
    for (size_t i = 0; i < 4; i++) {
        const double at = measured[i][1] / sqrt(measured[i][0] * 1e5 / at_pa);
        rated *= pow(at, 0.25);
    }
    for (size_t i = 0; i < 4; i++) {
        char what[120];
        snprintf(what, sizeof what, "one direct injector, the square root through all four: %g bar",
                 measured[i][0]);
        published_close(
            "engine laboratory of MIT, open code" AS_QUOTED, what, "mg/ms", measured[i][1],
            fr_injector_static(rated, at_pa, density, measured[i][0] * 1e5, density), 1e-2);
    }
}

/* Flow each injector needs at the duty allowed; then as its rating on n-heptane at 3 bar. */
void injectors_worked_by_hand_come_out_the_same(void **state) {
    static fr_build build;
    static const textbook_engine engine = {250e3, 6000.0, 470.0, 745.0, 6};
    static const double duty = 0.85, heptane = 683.8, at_pa = 3e5, e85 = 0.85;
    const fr_gasoline gasoline = fr_gasoline_default();
    const fr_blend blend = fr_blend_make(&gasoline, e85);
    (void)state;
    published_section("Injection");
    make_engine(&build, &engine);
    build.engine.bsfc_ethanol = e85;
    build.gasoline = gasoline;
    const fr_point point = point_of(&build, e85);
    const double needed = point.direct_mass_kg * engine.rpm / 120.0 / duty;
    published_close("by hand", "injector: 250 kW, E85 at 470 g/kWh, 6 at 85 % duty", "g/s", 6.3998,
                    1e3 * needed, 1e-5);
    const double rated_1 =
        fr_injector_static(1.0, at_pa, heptane, at_pa, fr_blend_density(&blend, 20.0));
    published_close("by hand", "the same as a rating on n-heptane at 3 bar", "cc/min", 525.0,
                    needed / rated_1 / heptane * 60e6, 1e-3);
}
