# SPDX-License-Identifier: GPL-3.0-or-later
"""Deviations drawn by OpenTURNS: COUNT rows of DIMENSIONS standard normals cut at three standard
deviations, by its own distribution and random numbers. Exit code 77: OpenTURNS is not there."""
import sys

try:
    import openturns
except ImportError:
    sys.exit(77)

dimensions, count, seed = (int(word) for word in sys.argv[1:4])
openturns.RandomGenerator.SetSeed(seed)
one = openturns.TruncatedNormal(0.0, 1.0, -3.0, 3.0)
sample = openturns.ComposedDistribution([one] * dimensions).getSample(count)
for row in sample:
    print(" ".join("%.17g" % value for value in row))
