/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The fixed sets of words. The order of each is the order of the enum that it stands for. */
#include "sheet/fields.h"

const fr_words fr_units_words = {
    2,
    {{"metric", "si eu kw mm", "bar, L/h, kW, °C"},
     {"us", "imperial usa american english psi", "psi, gal/h, hp, °F"}},
    NULL,
    NULL};

const fr_words fr_power_at_words = {
    2,
    {{"crank", "crankshaft flywheel engine bhp fwhp", "at the crankshaft"},
     {"wheels", "wheel whp rwhp hub hubs rollers roller dyno chassis",
      "at the wheels, after the drivetrain's loss"}},
    NULL,
    NULL};

const fr_words fr_aspiration_words = {
    3,
    {{"natural", "na n/a atmo atmospheric naturally-aspirated none aspirated", "no charger"},
     {"turbo", "turbocharged twin-turbo biturbo single-turbo turbocharger yes true boosted",
      "one turbocharger or more"},
     {"supercharged", "blower sc s/c supercharger compressor roots kompressor",
      "a charger driven by the engine"}},
    NULL,
    NULL};

const fr_words fr_bsfc_scaling_words = {
    2,
    {{"air", "lambda equal-air", "the same air makes the same power on every blend"},
     {"energy", "heat heating-value lhv", "the same heat makes the same power on every blend"}},
    NULL,
    NULL};

const fr_words fr_boost_words = {
    1, {{"auto", "automatic default", "worked out from the air that the fuel needs"}}, NULL, NULL};

const fr_words fr_regulation_words = {
    3,
    {{"return", "returned return-style rail-return regulator recirculating",
      "a regulator at the rail sends back what the engine leaves"},
     {"mechanical-returnless", "mechanical mech tank-regulator in-tank",
      "a regulator in or at the tank; one line to the rail"},
     {"electronic-returnless", "electronic pwm electronically-regulated demand",
      "pump speed held by a pressure sensor; one line to the rail"}},
    "returnless",
    "'mechanical-returnless' (regulator in the tank) or 'electronic-returnless' (pump speed held "
    "by a pressure sensor)"};

const fr_words fr_reference_words = {2,
                                     {{"atmosphere", "atmospheric none air open",
                                       "set pressure over the air outside, whatever the boost"},
                                      {"manifold", "vacuum boost map boost-referenced",
                                       "set pressure rises and falls with the manifold's"}},
                                     NULL,
                                     NULL};

const fr_words fr_arrangement_words = {2,
                                       {{"parallel", "side-by-side twin dual", "flows add"},
                                        {"series", "inline in-line serial", "pressures add"}},
                                       NULL,
                                       NULL};

const fr_words fr_share_words = {
    1,
    {{"auto", "automatic best default",
      "the most direct injection that its stages carry at each speed"}},
    NULL,
    NULL};

const fr_words fr_wiring_words = {
    2,
    {{"standard", "stock factory oem original default", "as cars are built: 110 mohm"},
     {"relay", "hotwire hot-wire rewire upgraded relayed",
      "a relay by the pump on a thick wire of its own: 45 mohm"}},
    NULL,
    NULL};

const fr_words fr_pump_type_words = {
    3,
    {{"turbine", "regenerative impeller", "flow falls quickly with pressure and voltage"},
     {"gerotor", "gear internal-gear", "moves a fixed volume a turn"},
     {"roller", "roller-cell vane roller-vane", "moves a fixed volume a turn"}},
    NULL,
    NULL};

const fr_words fr_kind_words = {
    FR_PART_KIND_COUNT,
    {{"lift-pump", "pump fuel-pump", "pump that lifts fuel from the tank"},
     {"port-injector", "injector", "injector in the intake port"},
     {"direct-injector", "gdi-injector", "injector into the cylinder"},
     {"high-pressure-pump", "hpfp hp-pump", "pump that feeds the direct-injection rail"},
     {"filter", "fuel-filter", "filter in the feed line"},
     {"line", "hose tube pipe", "hose or tube"},
     {"wiring", "wire cable harness", "the lift pump's supply wire"},
     {"gasoline", "petrol fuel gas", "the gasoline that ethanol is blended with"}},
    NULL,
    NULL};

const fr_words fr_log_reference_words = {
    2,
    {{"gauge", "relative g gage", "over the air outside"}, {"absolute", "abs a", "over vacuum"}},
    NULL,
    NULL};
