/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "support.h"

#include "fuelreach/supply.h"

#include "published/checks.h"
#include "published/table.h"

/* ---- friction ---- */

/* Colebrook and White, solved by repeating it. */
static double colebrook(double re, double rough) {
    double root = 7.0; /* 1/sqrt(f) */
    for (int i = 0; i < 100; i++) {
        root = -2.0 * log10(rough / 3.7 + 2.51 * root / re);
    }
    return 1.0 / (root * root);
}

static const double roughnesses[] = {0.0, 1e-5, 1e-4, 2e-4, 1e-3, 2e-3, 5e-3};
enum { ROUGHNESSES = sizeof roughnesses / sizeof roughnesses[0] };

typedef struct farthest {
    double re, rough, theirs, ours, off;
} farthest;

static void keep_farthest(farthest *worst, double re, double rough, double theirs) {
    const double ours = fr_friction_factor(re, rough);
    const double difference = fabs(ours / theirs - 1.0);
    if (difference >= worst->off) {
        *worst = (farthest){re, rough, theirs, ours, difference};
    }
}

static void tell_farthest(const char *source, const char *of, const farthest *worst,
                          double allowed) {
    char what[160];
    snprintf(what, sizeof what, "friction factor, the farthest of %s: Re %.0f, e/D %g", of,
             worst->re, worst->rough);
    published_close(source, what, "", worst->theirs, worst->ours, allowed);
}

/* Between Re 2000 and 4000 nothing is certain, and nothing is checked. */
void friction_is_laminar_below_and_colebrook_above(void **state) {
    static const double table[][4] = {{1e4, 1e-4, 0.03103721, 0.03117816},
                                      {2e4, 2e-3, 0.02978835, 0.03011642},
                                      {1e5, 1e-4, 0.01851387, 0.01846262}};
    farthest laminar = {0}, turbulent = {0}, rough = {0};
    char what[80];
    (void)state;
    published_section("Lines");
    for (size_t i = 0; i < 3; i++) {
        snprintf(what, sizeof what, "friction factor at Re %.0f, e/D %g", table[i][0], table[i][1]);
        published_close("Churchill 1977" AS_QUOTED, what, "", table[i][3],
                        fr_friction_factor(table[i][0], table[i][1]), 1e-6);
        published_close("Colebrook" AS_QUOTED, what, "", table[i][2],
                        fr_friction_factor(table[i][0], table[i][1]), 1.2e-2);
        assert_close(colebrook(table[i][0], table[i][1]), table[i][2], 1e-6);
    }
    published_close("Hagen and Poiseuille, 64/Re; Crane TP-410 example 7.9" AS_QUOTED,
                    "friction factor at Re 1675.617", "", 0.0381949,
                    fr_friction_factor(1675.617, 2e-4), 2e-5);
    for (int i = 0; i <= 40; i++) {
        const double below = 1000.0 + 1000.0 * i / 40.0;
        const double above = 4000.0 * pow(1e7 / 4000.0, i / 40.0);
        for (size_t k = 0; k < ROUGHNESSES; k++) {
            keep_farthest(&laminar, below, roughnesses[k], 64.0 / below);
            keep_farthest(above < 1e4 ? &rough : &turbulent, above, roughnesses[k],
                          colebrook(above, roughnesses[k]));
        }
    }
    tell_farthest("Hagen and Poiseuille, 64/Re", "287 in Re 1000 to 2000", &laminar, 5e-3);
    tell_farthest("Colebrook, solved here", "84 in Re 4000 to 10000", &rough, 3.5e-2);
    tell_farthest("Colebrook, solved here", "203 in Re 10000 to 10 million", &turbulent, 2.5e-2);
}

void friction_is_what_another_library_computes(void **state) {
    static const char ask[] =
        "/usr/bin/python3 -c \"from fluids.friction import Churchill_1977 as f\n"
        "print(*['%.17g' % f(Re=1000.0 * 10.0**(i / 10.0), eD=e) for i in range(41)"
        " for e in (0.0, 1e-5, 1e-4, 2e-4, 1e-3, 2e-3, 5e-3)])\" 2>/dev/null";
    static char answer[16384];
    farthest worst = {0};
    (void)state;
    published_section("Lines");
    if (!published_ask(ask, answer, sizeof answer)) {
        published_skip("friction against the fluids library: python3-fluids is not installed");
    }
    char *next = answer;
    double at_a_million = NAN;
    for (int i = 0; i < 41; i++) {
        for (size_t k = 0; k < ROUGHNESSES; k++) {
            const double theirs = strtod(next, &next);
            keep_farthest(&worst, 1000.0 * pow(10.0, i / 10.0), roughnesses[k], theirs);
            at_a_million = i == 30 && k == 2 ? theirs : at_a_million;
        }
    }
    assert_true(worst.off < 1e-9);
    published_close(
        "fluids library (python3-fluids of Debian), run by the test",
        "friction factor by Churchill, 287 in Re 1000 to 10 million; here Re 1 million, "
        "e/D 1e-4",
        "", at_a_million, fr_friction_factor(1e6, 1e-4), 1e-9);
}

/* Crane TP-410, example 7.9: SAE 30 oil at 100 °F, 400 gpm through 300 ft of 5 in schedule 40 pipe,
 * 50 ft up, fittings of 178 times the friction factor of full turbulence, 0.01543941. */
void a_pipe_of_the_handbook_loses_what_it_says(void **state) {
    static const double foot = 0.3048, gallon = 3.785411784e-3, psi = 6894.757293168361;
    static const double gravity = 9.80665, lb_ft3 = 0.45359237 / (0.3048 * 0.3048 * 0.3048);
    const double density = 0.87 * 62.364 * lb_ft3, viscosity = 0.130;
    const double flow = 400.0 * gallon / 60.0;
    const fr_feed feed = {.loss_factor = 1.0,
                          .line_count = 1,
                          .lines = {{.bore_m = 0.1282,
                                     .length_m = 300.0 * foot,
                                     .roughness_m = 0.0018 * 0.0254,
                                     .fittings = 178.0 * 0.01543941}}};
    (void)state;
    published_section("Lines");
    published_close(
        "Crane TP-410, example 7.9" AS_QUOTED "; inputs from the fluids library's solved problems",
        "oil through 300 ft of pipe, an elbow and two valves, 50 ft up", "psi", 26.0640,
        (fr_feed_loss(&feed, flow, density, viscosity) + density * gravity * 50.0 * foot) / psi,
        1e-4);
}

/* ---- wire ---- */

void wire_has_the_resistance_of_the_standard(void **state) {
    static const double mohm_m[][2] = {
        {8, 2.061}, {10, 3.277}, {12, 5.211}, {14, 8.285}, {16, 13.174}};
    static const double inches[][2] = {{-3, 0.4600}, {10, 0.1019}, {18, 0.0403}, {36, 0.0050}};
    static const char *const gauges[] = {"0000", "10", "18", "36"};
    static const double inch = 0.0254, half_metre = 0.5; /* the run counts there and back */
    const double pi = acos(-1.0);
    char what[80];
    (void)state;
    published_section("Wire");
    for (size_t i = 0; i < 4; i++) {
        snprintf(what, sizeof what, "AWG %s, diameter", gauges[i]);
        published_within("ASTM B258" FROM_MEMORY, what, "in", inches[i][1],
                         sqrt(4.0 * fr_awg_area(inches[i][0]) / pi) / inch, 5.1e-5);
    }
    for (size_t i = 0; i < 5; i++) {
        snprintf(what, sizeof what, "AWG %.0f copper at 20 °C", mohm_m[i][0]);
        published_close("ASTM B258" AS_QUOTED, what, "mΩ/m", mohm_m[i][1],
                        1e3 * fr_wire_resistance(fr_awg_area(mohm_m[i][0]), half_metre, 20.0),
                        5e-4);
    }
    published_close("IEC 60028, 0.00393 a kelvin" AS_QUOTED, "copper, 75 over 20 °C", "", 1.21615,
                    fr_wire_resistance(3e-6, 1.7, 75.0) / fr_wire_resistance(3e-6, 1.7, 20.0),
                    1e-9);
    published_close("IEC 60028, 1/58 Ω mm²/m" FROM_MEMORY, "copper of 1 mm² at 20 °C", "mΩ/m",
                    1e3 / 58.0, 1e3 * fr_wire_resistance(1e-6, half_metre, 20.0), 1e-3);
}
