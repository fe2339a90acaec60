#!/usr/bin/python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""Holds results, one JSON object a line on standard input, against a schema.

validate_results.py SCHEMA.json. Exit status: 0 all are valid, 1 one is not (said), 77 this machine
has no jsonschema."""
import json
import sys

try:
    from jsonschema import Draft202012Validator
except ImportError:
    sys.exit(77)


def no_constant(name):
    raise ValueError(name + " is no JSON number")


with open(sys.argv[1], encoding="utf-8") as file:
    schema = json.load(file)
Draft202012Validator.check_schema(schema)
validator = Draft202012Validator(schema)
wrong = lines = 0
for line in sys.stdin:
    lines += 1
    result = json.loads(line, parse_constant=no_constant)
    for error in validator.iter_errors(result):
        print("line %d, %s: %s" % (lines, error.json_path, error.message[:300]))
        wrong += 1
if lines == 0:
    print("nothing to validate")
sys.exit(1 if wrong or lines == 0 else 0)
