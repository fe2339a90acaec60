/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>

#include "reference/parts.h"

ref_fuel ref_fuel_of(const fr_gasoline *gasoline, double ethanol) {
    const double phi = fmin(fmax(ethanol, 0.0), 1.0);
    const double ethanol_kg = phi * 793.69;
    const double gasoline_kg = (1.0 - phi) * gasoline->density_15_kg_m3;
    const double w = ethanol_kg / (ethanol_kg + gasoline_kg);
    const double ethanol_mol = w / 46.069, gasoline_mol = (1.0 - w) / 101.2;
    /* C2H5OH + 3 O2 */
    const double ethanol_stoich =
        3.0 * 2.0 * 15.999 / (2.0 * 12.011 + 6.0 * 1.008 + 15.999) / 0.2314;
    return (ref_fuel){
        .ethanol = phi,
        .ethanol_mass = w,
        .ethanol_mole = ethanol_mol / (ethanol_mol + gasoline_mol),
        .stoich = w * ethanol_stoich + (1.0 - w) * gasoline->stoich,
        .heating = w * 26.8e6 + (1.0 - w) * gasoline->heating_value_j_kg,
        .gasoline = *gasoline,
    };
}

double ref_density(const ref_fuel *fuel, double t) {
    const double d = t - 15.0;
    const double rho15 = fuel->gasoline.density_15_kg_m3;
    const double a = 346.4228 / pow(rho15, 2.0) + 0.4388 / rho15;
    const double gasoline = rho15 * exp(-a * d * (1.0 + 0.8 * a * d));
    const double ethanol = 793.69 - 0.843 * d - 0.00085 * d * d;
    return 1.0 / (fuel->ethanol_mass / ethanol + (1.0 - fuel->ethanol_mass) / gasoline);
}

double ref_density_under(const ref_fuel *fuel, double t, double pressure_pa) {
    const double ethanol = 1059.5e6 * exp(-0.0071 * (t - 20.0));
    const double gasoline = 1030e6 * exp(-0.0086 * (t - 20.0));
    const double bulk = 1.0 / (fuel->ethanol / ethanol + (1.0 - fuel->ethanol) / gasoline);
    const double volume = pow(1.0 + 12.0 * (pressure_pa - 101325.0) / bulk, -1.0 / 12.0);
    return ref_density(fuel, t) / volume;
}

double ref_viscosity(const ref_fuel *fuel, double t) {
    const double kelvin = t + 273.15;
    const double ethanol = 1.074e-3 * exp(1683.0 * (1.0 / kelvin - 1.0 / 298.15));
    const double gasoline = 0.50e-3 * exp(1000.0 * (1.0 / kelvin - 1.0 / 293.15));
    return pow(ethanol, fuel->ethanol) * pow(gasoline, 1.0 - fuel->ethanol);
}

double ref_vapour_pressure(const ref_fuel *fuel, double t) {
    const double kelvin = t + 273.15, a = 2.246, b = 1.783;
    const double xe = fuel->ethanol_mole, xg = 1.0 - xe;
    const double ethanol = 1e5 * pow(10.0, 5.24677 - 1598.673 / (kelvin - 46.424));
    const double gasoline =
        fuel->gasoline.vapour_pressure_pa * exp(-2910.0 * (1.0 / kelvin - 1.0 / 310.93));
    const double ln_e = (a + 2.0 * (b - a) * xe) * xg * xg;
    const double ln_g = (b + 2.0 * (a - b) * xg) * xe * xe;
    return xe * exp(ln_e) * ethanol + xg * exp(ln_g) * gasoline;
}
