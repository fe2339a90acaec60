# SPDX-License-Identifier: GPL-3.0-or-later
"""Holds the schemas against sheets and parts: schema_check.py SHEET_SCHEMA PART_SCHEMA, in the
project's folder. Prints what does not fit; exit 0 when all does, 77 when a module is missing."""
import glob
import json
import sys

try:
    import yaml
    from jsonschema import Draft202012Validator as Validator
except ImportError as missing:
    print("skipped:", missing)
    sys.exit(77)

# What no schema can tell: two spellings of one key, names of parts, what a file is made of, where
# a pull begins (any other curve over speed may begin at rest).
BEYOND_A_SCHEMA = {"key-twice", "speed-twice", "part-of-another-kind", "stock-part",
                   "unknown-part", "utf-16", "power-curve-no-speed"}

# A change that the reader refuses, at a path of a good sheet; the schema must refuse it too.
REFUSED = [
    ("engine.bosst", "1 bar"), ("engine.cylinders", 0), ("engine.cylinders", 2.5),
    ("engine.cylinders", "four"), ("engine.displacement", 2.0), ("engine.displacement", "2 kg"),
    ("engine.displacement", "-2 L"), ("engine.displacement", "31 L"),
    ("engine.target_power", {"E10": "200"}), ("engine.target_power", {"10": "200 kW"}),
    ("engine.power_at", "hubs"), ("engine.aspiration", "turbocharged"),
    ("engine.drivetrain_loss", "51 %"), ("engine.drivetrain_loss", 0.15),
    ("engine.power_curve", {"3000": "90 kW"}), ("engine.power_curve", {}),
    ("engine.bsfc", "1501 g/kWh"), ("engine.bsfc", "0 g/kWh"), ("engine.lambda", 2.1),
    ("engine.lambda", "0.8 bar"), ("engine.bsfc_blend", "E101"), ("engine.bsfc_blend", 85),
    ("engine.boost", "11 bar"), ("site.supply_voltage", "13.5"), ("site.supply_voltage", "61 V"),
    ("site.feed_temperature", "151 °C"), ("site", "warm"), ("fuel.blends", [93]),
    ("fuel.blends", []), ("fuel.gasoline", {"density": "745 g"}),
    ("supply.lift_pump", {"condition": "90 %"}), ("supply.lift_pump", "340 kW"),
    ("supply.lift_pump", {"size": "255 L/h", "wear": "10 %"}), ("supply.filters", "filter-10"),
    ("supply.filters", ["10 micron"]), ("supply.lines", [{"bore": "-8 AN"}]),
    ("supply.lines", [{"bore": "0 mm"}]), ("supply.regulation", "returnless"),
    ("supply.feed_pressure", "-3 bar"), ("supply.feed_pressure", "21 bar"),
    ("supply.feed_pressure", "291 psi"),
    ("supply.pump_circuit.wiring", "50 V"), ("supply.pump_circuit.fuse", 20),
    ("supply.port_injection.injector", {"flow": "730"}),
    ("supply.port_injection.injector", {"at": "3 bar"}),
    ("supply.port_injection.injector", "4 x 1000cc"), ("supply.port_injection.count", -4),
    ("supply.direct_injection", {"injector": "14 cc/s"}),
    ("supply.direct_injection.window", "721 deg"), ("supply.direct_injection.window", {"2000 rpm": "800 deg"}),
    ("supply.direct_share", "all"), ("limits.port-injector", "101 %"),
    ("limits.port_injector", "85 %"), ("limits.port-injector", 0.9),
    ("learnt.bsfc", "104.3"), ("sizing.fitting.lift-pump", "$120"), ("sizing.keep", ["pump"]),
    ("log.feed_pressure", {"unit": "psi"}), ("log.rpm", "Speed"), ("units", "furlongs"),
    ("fuelreach", 2), ("colour", "red"), ("engine.bsfc", "99 g/kWh"), ("engine.boost", "-2 bar"),
    ("engine.idle_speed", "199.5 rpm"), ("supply.strainer_loss", "1.2 bar"),
    ("site.feed_temperature", "-51 °C"), ("supply.lift_pump.pumps", [{"count": 2}]),
]
# Ways of writing that the reader takes.
TAKEN = [
    ("engine.displacement", "350 ci"), ("engine.displacement", "1 998 cc".replace(" ", "")),
    ("engine.target_power", {"e85": "300 hp ± 2 %"}), ("engine.bsfc", "0.55 lb/hp-hr"),
    ("engine.power_curve", {"2000 RPM": "41 %", "6000rpm": "100%"}), ("engine.lambda", "0.82 ± 2 %"),
    ("engine.boost", "AUTO"), ("site.feed_temperature", "45 C"), ("site.feed_temperature", "45 ºC"),
    ("site.feed_temperature", "-10 °C"), ("site.air_pressure", "29.92 inHg"), ("units", "US"),
    ("supply.lift_pump", "255 LPH at 43.5 PSI"), ("supply.lift_pump", "factory"),
    ("supply.lift_pump", {"part": "factory", "of_factory": "130 %"}),
    ("supply.pump_circuit.wiring", "55 mΩ".replace("Ω", "Ω")), ("supply.pump_circuit.wiring", "0.055 ohm"),
    ("supply.pump_circuit.wiring", {"wire": "10 ga", "run": "14 ft"}),
    ("supply.lines", [{"bore": "3/8 in", "length": "14 ft", "roughness": "1.5 µm"}, "hose-8"]),
    ("supply.port_injection.injector", "1200cc @ 3 bar"),
    ("supply.port_injection.injector", "40 lb/h at 4 bar"),
    ("supply.port_injection.injector", {"flow": "77 pph", "dead_time": {"12 V": "1.1ms", "14V": "0.9 ms"}}),
    ("supply.direct_share", {"2000 rpm": "90 %"}), ("supply.lines", []), ("site", None),
    ("limits.port-injector", "100 %"), ("engine.bsfc", "100 g/kWh"), ("engine.bsfc", "1e2 g/kWh"),
    ("engine.idle_speed", "200.0 rpm"), ("engine.boost", "-0.5 bar"), ("engine.boost", "−0.5 bar"), ("supply.feed_pressure", "20.0 bar"),
    ("supply.direct_injection.window", "720 deg"), ("log.time", "Time"), ("learnt.bsfc", "104.3 % +/- 1.5 %"),
]
GOOD = """
engine: {cylinders: 4, displacement: 1.9 L, target_power: 163 kW, power_at: crank}
site: {feed_temperature: 44 °C}
fuel: {blends: [E10, E85]}
supply:
  lift_pump: 255 L/h
  pump_circuit: {fuse: 20 A}
  port_injection: {injector: {flow: 730 cc/min}}
  direct_injection: {injector: 15 cc/s, high_pressure_pump: 0.9 cc}
limits: {vapour: 90 %}
learnt: {bsfc: 101 %}
sizing: {fitting: {line: 30}}
log: {time: Time}
"""

wrong = 0


def say(*words):
    global wrong
    wrong += 1
    print(*words)


def first_error(validator, document):
    for error in validator.iter_errors(document):
        return "/".join(map(str, error.absolute_path)) + ": " + error.message[:160]
    return None


def load(path):
    with open(path, "rb") as file:
        return yaml.safe_load(file)


def changed(path, value):
    sheet = yaml.safe_load(GOOD)
    keys = path.split(".")
    place = sheet
    for key in keys[:-1]:
        if not isinstance(place.get(key), dict):
            place[key] = {}
        place = place[key]
    place[keys[-1]] = value
    return sheet


def golden_refused():
    """Sheets of the golden errors that YAML itself can read and the reader refuses."""
    for path in sorted(glob.glob("tests/golden/errors/*.yaml")):
        name = path.split("/")[-1][:-len(".yaml")]
        with open(path[:-len(".yaml")] + ".txt", encoding="utf-8") as file:
            said = [line for line in file if line.startswith(name)]
        if name in BEYOND_A_SCHEMA or all(": caution: " in line for line in said):
            continue
        try:
            yield name, load(path)
        except (yaml.YAMLError, UnicodeDecodeError, ValueError):
            continue


sheet_schema, part_schema = (json.load(open(path, encoding="utf-8")) for path in sys.argv[1:3])
Validator.check_schema(sheet_schema)
Validator.check_schema(part_schema)
sheets, parts = Validator(sheet_schema), Validator(part_schema)
count = 0
for path in sorted(glob.glob("examples/*.yaml")):
    error = first_error(sheets, load(path))
    if error:
        say(path, "is refused:", error)
    count += 1
for path in sorted(glob.glob("components/*/*.yaml")):
    error = first_error(parts, load(path))
    if error:
        say(path, "is refused:", error)
    count += 1
for path, value in REFUSED:
    if sheets.is_valid(changed(path, value)):
        say("taken:", path, value)
    count += 1
for path, value in TAKEN:
    error = first_error(sheets, changed(path, value))
    if error:
        say("refused:", path, value, error)
    count += 1
for name, document in golden_refused():
    if sheets.is_valid(document):
        say("taken: tests/golden/errors/" + name)
    count += 1
print(count, "documents,", wrong, "wrong")
sys.exit(1 if wrong else 0)
