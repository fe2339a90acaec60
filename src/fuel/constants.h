/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Every figure that the fuel properties stand on, in one table: name, value, unit, source. The
 * table is expanded into constants here and into docs/model.md elsewhere. "Memory" marks a value
 * quoted from memory of the publication named; it has not been seen in print. */
#ifndef FUELREACH_FUEL_CONSTANTS_H
#define FUELREACH_FUEL_CONSTANTS_H

/* clang-format off */
#define FR_FUEL_CONSTANTS(X)                                                                                     \
    X(fr_kelvin_offset,                273.15,      "K",       "definition of the degree Celsius")               \
    X(fr_standard_atmosphere_pa,       101325.0,    "Pa",      "definition")                                     \
    X(fr_reference_temperature_c,      15.0,        "degC",    "ethanol content is a volume fraction at 15 degC") \
    X(fr_mass_carbon_g_mol,            12.011,      "g/mol",   "CIAAW abridged standard atomic weight")          \
    X(fr_mass_hydrogen_g_mol,          1.008,       "g/mol",   "CIAAW abridged standard atomic weight")          \
    X(fr_mass_oxygen_g_mol,            15.999,      "g/mol",   "CIAAW abridged standard atomic weight")          \
    X(fr_air_oxygen_fraction,          0.2314,      "kg/kg",   "dry air")                                        \
    X(fr_gasoline_hydrogen,            1.87,        "per C",   "CH1.87, Heywood (memory)")                       \
    X(fr_gasoline_density_15,          745.0,       "kg/m3",   "within EN 228, 720-775 (memory)")                \
    X(fr_gasoline_dvpe_pa,             62.0e3,      "Pa",      "base gasoline of Andersen et al. 2010")          \
    X(fr_gasoline_heating_j_kg,        43.0e6,      "J/kg",    "common figure for gasoline, lower")              \
    X(fr_gasoline_molar_mass,          101.2,       "g/mol",   "effective, fitted with the vapour pressure")     \
    X(fr_gasoline_expansion_k0,        346.4228,    "kg2/m6/K","API MPMS 11.1, gasolines (memory)")              \
    X(fr_gasoline_expansion_k1,        0.4388,      "kg/m3/K", "API MPMS 11.1, gasolines (memory)")              \
    X(fr_gasoline_expansion_curvature, 0.8,         "1",       "API MPMS 11.1 (memory)")                         \
    X(fr_gasoline_viscosity_pa_s,      0.50e-3,     "Pa s",    "common figure at 20 degC")                       \
    X(fr_gasoline_viscosity_slope_k,   1000.0,      "K",       "common figure")                                  \
    X(fr_gasoline_viscosity_at_k,      293.15,      "K",       "20 degC")                                        \
    X(fr_gasoline_bulk_pa,             1030.0e6,    "Pa",      "common figure at 20 degC, isentropic")           \
    X(fr_gasoline_bulk_slope_per_k,    0.0086,      "1/K",     "common figure")                                  \
    X(fr_gasoline_vapour_slope_k,      2910.0,      "K",       "common slope of ln DVPE over 1/T")               \
    X(fr_gasoline_dvpe_at_k,           310.93,      "K",       "100 degF, where DVPE is measured")               \
    X(fr_ethanol_density_15,           793.69,      "kg/m3",   "Schroeder et al. 2014, fit")                     \
    X(fr_ethanol_density_slope,        0.843,       "kg/m3/K", "Schroeder et al. 2014, fit")                     \
    X(fr_ethanol_density_curvature,    0.00085,     "kg/m3/K2","Schroeder et al. 2014, fit")                     \
    X(fr_ethanol_molar_mass,           46.069,      "g/mol",   "C2H5OH")                                         \
    X(fr_ethanol_heating_j_kg,         26.8e6,      "J/kg",    "common figure for ethanol, lower")               \
    X(fr_ethanol_viscosity_pa_s,       1.074e-3,    "Pa s",    "at 25 degC, fit to CRC Handbook points")         \
    X(fr_ethanol_viscosity_slope_k,    1683.0,      "K",       "fit to CRC Handbook points")                     \
    X(fr_ethanol_viscosity_at_k,       298.15,      "K",       "25 degC")                                        \
    X(fr_ethanol_bulk_pa,              1059.5e6,    "Pa",      "Schroeder et al. 2014 at 20 degC, isentropic")   \
    X(fr_ethanol_bulk_slope_per_k,     0.0071,      "1/K",     "Schroeder et al. 2014, fit")                     \
    X(fr_bulk_at_c,                    20.0,        "degC",    "where the bulk moduli are stated")               \
    X(fr_murnaghan_exponent,           12.0,        "1",       "rise of bulk modulus with pressure, fit to Schroeder et al. 2014") \
    X(fr_ethanol_antoine_a,            5.24677,     "log10 bar", "Ambrose et al. in the NIST WebBook (memory)")  \
    X(fr_ethanol_antoine_b_k,          1598.673,    "K",       "Ambrose et al. in the NIST WebBook (memory)")    \
    X(fr_ethanol_antoine_c_k,          46.424,      "K",       "Ambrose et al. in the NIST WebBook (memory)")    \
    X(fr_margules_ethanol,             2.246,       "1",       "fit to Andersen et al. 2010")                    \
    X(fr_margules_gasoline,            1.783,       "1",       "fit to Andersen et al. 2010")

#define FR_FUEL_CONSTANT(name, value, unit, source) static const double name = (value);
FR_FUEL_CONSTANTS(FR_FUEL_CONSTANT)
#undef FR_FUEL_CONSTANT
/* clang-format on */

#endif
