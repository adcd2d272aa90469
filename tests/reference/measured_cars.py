#!/usr/bin/env python3
"""The cars of the PyPI package `commonroad-vehicle-models`, as its own models hold them.

Reads nothing that matters on standard input and prints one JSON document on standard output.

Output: {"cars": [{"number": N, "sprung": {"mass", "x", "z"} or null, "front": {"mass"}, "rear": {"mass"},
                   "wheelbase": L, "ahead": a, "mass": m or null, "loads": [front, rear] or null}, ...]}

kg and m. The parameter sets are those of Althoff and Wuersching, "CommonRoad: Vehicle Models" (2020), from the
American transport department's vehicle dynamics data. In the multi-body model the mass m is the sprung mass m_s,
whose centre lies a behind the front axle and b ahead of the rear one, and the unsprung masses m_uf and m_ur at the
axles. The loads are not taken from a formula here: they come from how far the model's tyres give under the car when
it stands (`init_mb`), times their stiffness. The fourth set is a truck with a trailer and holds places only.
"""

import importlib
import json
import sys

from vehiclemodels.init_mb import init_mb

# The acceleration of free fall that the package computes with.
G = 9.81
# Places of the unsprung masses in the state of the multi-body model, counted from zero.
FRONT_HEIGHT, REAR_HEIGHT = 16, 21


def car(number):
    module = importlib.import_module(f"vehiclemodels.parameters_vehicle{number}")
    p = getattr(module, f"parameters_vehicle{number}")()
    told = {"number": number, "wheelbase": p.a + p.b, "ahead": p.a, "mass": p.m}
    if p.m is None:
        return told | {"sprung": None, "front": None, "rear": None, "loads": None}
    state = init_mb([0.0] * 7, p)
    loads = [2 * p.K_zt * state[place] / G for place in (FRONT_HEIGHT, REAR_HEIGHT)]
    return told | {
        "sprung": {"mass": p.m_s, "x": p.a, "z": p.h_s},
        "front": {"mass": p.m_uf},
        "rear": {"mass": p.m_ur},
        "loads": loads,
    }


def main():
    json.load(sys.stdin)
    json.dump({"cars": [car(number) for number in range(1, 5)]}, sys.stdout, allow_nan=False)
    print()


if __name__ == "__main__":
    main()
