/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What a blend is made of, and what follows from that alone: mass and mole fractions,
 * stoichiometric ratio, heating value. */
#include "fuelreach/blend.h"

#include "fuel/constants.h"
#include "fuel/mixing.h"

double fr_stoich_from_composition(double carbon, double hydrogen, double oxygen) {
    const double fuel_g = carbon * fr_mass_carbon_g_mol + hydrogen * fr_mass_hydrogen_g_mol +
                          oxygen * fr_mass_oxygen_g_mol;
    /* CcHhOo + (c + h/4 - o/2) O2 -> c CO2 + h/2 H2O */
    const double oxygen_molecules = carbon + hydrogen / 4.0 - oxygen / 2.0;
    const double oxygen_g = oxygen_molecules * 2.0 * fr_mass_oxygen_g_mol;
    return oxygen_g / fuel_g / fr_air_oxygen_fraction;
}

static double ethanol_stoich(void) {
    return fr_stoich_from_composition(2.0, 6.0, 1.0);
}

fr_gasoline fr_gasoline_default(void) {
    return (fr_gasoline){
        .density_15_kg_m3 = fr_gasoline_density_15,
        .vapour_pressure_pa = fr_gasoline_dvpe_pa,
        .stoich = fr_stoich_from_composition(1.0, fr_gasoline_hydrogen, 0.0),
        .heating_value_j_kg = fr_gasoline_heating_j_kg,
    };
}

static double cut_to_one(double fraction) {
    if (!(fraction > 0.0)) {
        return 0.0;
    }
    return fraction < 1.0 ? fraction : 1.0;
}

/* The part of a sum that `first` is, when the whole is volume * weight_first + rest * weight_rest.
 */
static double part_of(double first, double rest) {
    return first / (first + rest);
}

fr_blend fr_blend_make(const fr_gasoline *gasoline, double ethanol) {
    const double volume = cut_to_one(ethanol);
    const double mass =
        part_of(volume * fr_ethanol_density_15, (1.0 - volume) * gasoline->density_15_kg_m3);
    const double mole =
        part_of(mass / fr_ethanol_molar_mass, (1.0 - mass) / fr_gasoline_molar_mass);
    return (fr_blend){
        .gasoline = *gasoline,
        .ethanol = volume,
        .mass_fraction = mass,
        .mole_fraction = mole,
        .stoich = fr_mix(gasoline->stoich, ethanol_stoich(), mass),
        .heating_value_j_kg = fr_mix(gasoline->heating_value_j_kg, fr_ethanol_heating_j_kg, mass),
    };
}
