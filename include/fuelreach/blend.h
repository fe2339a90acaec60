/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Properties of gasoline-ethanol blends. `ethanol` is the volume fraction of ethanol at 15 degC,
 * 0..1 (E85 = 0.85). Temperatures in degC, pressures absolute, all else SI. */
#ifndef FUELREACH_BLEND_H
#define FUELREACH_BLEND_H

#ifdef __cplusplus
extern "C" {
#endif

/* The gasoline component. */
typedef struct fr_gasoline {
    double density_15_kg_m3;   /* at 15 degC, 1 atm */
    double vapour_pressure_pa; /* DVPE at 37.8 degC, absolute */
    double stoich;             /* kg of air a kg of fuel */
    double heating_value_j_kg; /* lower */
} fr_gasoline;

/* The default gasoline: 745 kg/m3, 62 kPa, CH1.87, 43.0 MJ/kg. */
fr_gasoline fr_gasoline_default(void);

/* What does not change with temperature or pressure. */
typedef struct fr_blend {
    fr_gasoline gasoline;
    double ethanol;            /* volume fraction */
    double mass_fraction;      /* of ethanol */
    double mole_fraction;      /* of ethanol */
    double stoich;             /* kg air a kg fuel */
    double heating_value_j_kg; /* lower */
} fr_blend;

/* `ethanol` is cut to 0..1. */
fr_blend fr_blend_make(const fr_gasoline *gasoline, double ethanol);

/* Stoichiometric air-fuel ratio of C_c H_h O_o from composition, air 23.14 % oxygen by mass. */
double fr_stoich_from_composition(double carbon, double hydrogen, double oxygen);

/* Density at 1 atm, kg/m3. */
double fr_blend_density(const fr_blend *blend, double temperature_c);
/* Density at an absolute pressure (Murnaghan), kg/m3. */
double fr_blend_density_at_pressure(const fr_blend *blend, double temperature_c,
                                    double pressure_abs_pa);
/* Dynamic viscosity, Pa s. */
double fr_blend_viscosity(const fr_blend *blend, double temperature_c);
/* Isentropic bulk modulus at 1 atm, Pa. */
double fr_blend_bulk_modulus(const fr_blend *blend, double temperature_c);
/* Vapour pressure (bubble point), Pa absolute. */
double fr_blend_vapour_pressure(const fr_blend *blend, double temperature_c);

/* Murnaghan: rho(p)/rho(1 atm) = (1 + 12 (p - 101325)/K)^(1/12). */
double fr_compression_ratio(double pressure_abs_pa, double bulk_modulus_pa);

#ifdef __cplusplus
}
#endif
#endif
