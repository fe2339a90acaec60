# SPDX-License-Identifier: GPL-3.0-or-later
"""The chances of a direct-injected build with an electronic-returnless feed, written in vectorised
numpy as a user of it would: whole arrays, bisection where something must be solved. Reads the build
as JSON on standard input; prints seconds a point and the chance of short of each blend.

It does less than the program: no power that holds, no sensitivities."""
import json
import sys
import time

import numpy as np

BISECTIONS = 40


def bisect(over, low, high):
    """Root of a falling function, element by element."""
    for _ in range(BISECTIONS):
        middle = 0.5 * (low + high)
        above = over(middle) > 0.0
        low, high = np.where(above, middle, low), np.where(above, high, middle)
    return 0.5 * (low + high)


def line(curve, x):
    """Piecewise linear, extended at both ends."""
    xs, ys = np.array(curve[0]), np.array(curve[1])
    i = np.clip(np.searchsorted(xs, x) - 1, 0, len(xs) - 2)
    return ys[i] + (ys[i + 1] - ys[i]) / (xs[i + 1] - xs[i]) * (x - xs[i])


def pump(b, rise, supply, ohm, factor):
    """Flow of a pump with two curves behind its wiring."""
    low, high = b["pump"]

    def place(voltage):
        return (voltage - low["voltage"]) / (high["voltage"] - low["voltage"])

    def value(kind, voltage):
        t = place(voltage)
        between = (1 - t) * line(low[kind], rise) + t * line(high[kind], rise)
        result = between
        for curve, outside in ((low, voltage < low["voltage"]), (high, voltage > high["voltage"])):
            s = np.maximum(voltage, 1e-3) / curve["voltage"]
            scaled = (s if kind == "flow" else s * s) * line(curve[kind], rise / (s * s))
            result = np.where(outside, scaled, result)
        return np.maximum(result, 0.0)

    left = bisect(lambda v: supply - v - ohm * value("current", v), 0.0 * supply, supply)
    return factor * value("flow", left)


def friction(reynolds, roughness):
    a = (2.457 * np.log(1.0 / ((7.0 / reynolds) ** 0.9 + 0.27 * roughness))) ** 16
    c = (37530.0 / reynolds) ** 16
    return 8.0 * ((8.0 / reynolds) ** 12 + (a + c) ** -1.5) ** (1.0 / 12.0)


def loss(b, flow, density, viscosity):
    total = 0.0
    for bore, length, roughness, fittings in b["lines"]:
        speed = flow / (np.pi / 4 * bore * bore)
        f = friction(np.maximum(density * speed * bore / viscosity, 1e-3), roughness / bore)
        total = total + (f * length / bore + fittings) * density * speed * speed / 2
    for drop, rated in b["filters"]:
        total = total + drop * (flow / rated) ** 2
    return total


def densities(b, mass, t):
    d = t - 15.0
    rho15 = b["rho15"]
    ethanol = 793.69 - 0.843 * d - 0.00085 * d * d
    a = (346.4228 / rho15 + 0.4388) / rho15
    gasoline = rho15 * np.exp(-a * d * (1 + 0.8 * a * d))
    return 1.0 / (mass / ethanol + (1 - mass) / gasoline)


def study(b, z, name):
    """1 where a draw is short on the blend."""
    bsfc, lam, content, factor, supply, ohm, warm, injector, fill, window = (
        column[:, None] for column in z.T)
    phi = np.clip(name + 0.03 / 1.96 * content, 0, 1)
    mass = phi * 793.69 / (phi * 793.69 + (1 - phi) * b["rho15"])
    ref = b["bsfc_ethanol"] * 793.69
    ref_mass = ref / (ref + (1 - b["bsfc_ethanol"]) * b["rho15"])
    stoich = mass * b["ethanol_stoich"] + (1 - mass) * b["stoich"]
    ref_stoich = ref_mass * b["ethanol_stoich"] + (1 - ref_mass) * b["stoich"]
    warmer = 8.0 / 1.96 * warm
    lambda_b = np.interp(name, *b["lambda"]) * (1 + 0.02 / 1.96 * lam)
    gain = np.interp(name, *b["gain"])
    rpm = np.array(b["rpm"])[None, :]
    need = (b["target"] * np.array(b["pull"]) * np.array(b["bsfc"]) * (1 + 0.05 / 1.96 * bsfc)
            * ref_stoich * b["bsfc_lambda"] / (stoich * lambda_b)
            * (1 + np.interp(b["bsfc_ethanol"], *b["gain"])) / (1 + gain))
    feed_t, rail_t, inlet_t = (b[k] + warmer for k in ("feed_t", "rail_t", "inlet_t"))
    density = densities(b, mass, feed_t)
    kelvin = feed_t + 273.15
    viscosity = np.exp(phi * np.log(1.074e-3 * np.exp(1683 * (1 / kelvin - 1 / 298.15)))
                       + (1 - phi) * np.log(0.5e-3 * np.exp(1000 * (1 / kelvin - 1 / 293.15))))
    volts = b["supply"] + 0.4 / 1.96 * supply
    wires = b["ohm"] * (1 + 0.3 / 1.96 * ohm)
    flows = b["flow_factor"] * (1 + 0.08 / 1.96 * factor)
    available = bisect(
        lambda q: pump(b, b["set"] + loss(b, np.maximum(q - b["jet"], 1e-9), density, viscosity),
                       volts, wires, flows) - q, 0.0 * volts, 0.0 * volts + 5e-4)
    short = (need / density + b["bypass"] + b["jet"] > available).any(axis=1)
    # direct injection
    cylinder = 1.5 * (b["air"] + np.array(b["boost"])[None, :])
    rail_density = densities(b, mass, rail_t)
    inlet_density = densities(b, mass, inlet_t)
    bulk = 1.0 / (phi / (1059.5e6 * np.exp(-0.0071 * (inlet_t - 20)))
                  + (1 - phi) / (1030e6 * np.exp(-0.0086 * (inlet_t - 20))))
    time = ((np.array(b["window"]) + 10.0 / 1.96 * window) / (6 * rpm)) - b["delay"]
    mass_each = need / (b["injectors"] * rpm / 120)
    static = b["injector"] * (1 + 0.04 / 1.96 * injector)
    required = cylinder + b["test_pressure"] * (mass_each / time / static) ** 2 * (
        b["test_density"] / rail_density)
    swept = b["swept"] * rpm / 60 * b["drive_ratio"]
    full = np.array(b["fill"]) * (1 + 0.05 / 1.96 * fill)
    p_in = b["set"] + b["air"]

    def ratio(p):
        return (1 + 12 * (p - 101325) / bulk) ** (1 / 12)

    def over(p):
        inlet = ratio(p_in)
        return inlet_density * inlet * (
            swept * (full - b["dead_volume"] * (ratio(p) / inlet - 1)) - b["leak"] * (p - p_in)
        ) - need

    least, most = 0.0 * need + p_in, 0.0 * need + b["limit"]
    there = np.where(over(most) >= 0, most, bisect(over, least, most))
    none = over(least) < 0
    return short | (none | (required > there)).any(axis=1)


def main():
    b = json.load(sys.stdin)
    draws = int(sys.argv[1])
    z = np.random.default_rng(5).standard_normal((draws * 2, 10))
    z = z[(np.abs(z) <= 3).all(axis=1)][:draws]
    begun = time.process_time()
    chances = [study(b, z, name).mean() for name in b["blends"]]
    spent = time.process_time() - begun
    points = len(z) * len(b["blends"]) * len(b["rpm"])
    print("%.9g" % (spent / points), " ".join("%.6f" % chance for chance in chances))


if __name__ == "__main__":
    main()
