#!/usr/bin/env python3
"""What tie-downs hold, written from the published formulas; uncertainties by `uncertainties`.

Reads one JSON document on standard input and prints one on standard output. Nothing is shared with
the program. SI throughout: kg, m, N, rad. Frame of the truck: x to its rear, y right, z up.

    performance   49 CFR 393.102(a)(1), (a)(2) and (b); Quebec C-24.2 r.30 s.3: read
    direct        0.8 G <= 0.75 mu G + n LC (X + 0.75 mu Z) / L and its like for rearward and sideways,
                  GDV Ladungssicherungshandbuch 4.1.6 (DIN EN 12195-1:2011): read. The American sets
                  know no friction: mu = 0. That 0.75 mu Z counts at most as X is no part of the standard
                  but a cautious bound, without a source.
    top-over      n = (c - mu cz) m g / (k mu sin(alpha) F_T) with k = 2 / fs, fs 1.25 forward and 1.1
                  otherwise: from memory, in agreement with the insurers' 1.6 and 1.8, which were read;
                  k = 1.5 of the edition of 2004, read
    tipping       c h <= cz b, with c 0.6 sideways for what is not stable by itself: arithmetic and read
    sum           49 CFR 393.106(d); NSC Standard 10; FMCSA Driver's Handbook, ch. 2: read second-hand
    sharing       no source: the vehicle shifts without turning, legs are as stiff as they are strong

Input:  {"layouts": [{"inputs": {NAME: [value, u]}, "legs": NUMBER}, ...],
         "tops":    [{"inputs": {"mass", "friction", "angle", "tension", "height", "distance"}}, ...],
         "sums":    [{"mass": M, "tie_downs": [[LIMIT, PATH], ...]}, ...],
         "searches": [{"candidates": [...], "needs": [...], "counts": [...], "available": [...]}, ...]}
        A layout's inputs are mass, friction and for leg I from 0: "IfX" "IfY" "IfZ" (its place on the
        vehicle), "ItX" "ItY" "ItZ" (its anchor) and "Il" (its limit).
Output: {"layouts": [{KEY: QUANTITY}], "tops": [{KEY: QUANTITY}], "sums": [{RULES: number}],
         "searches": [{"straps": N or null, "margin": number or null}]}
        QUANTITY as in `uncertainties_mass.py`.

A search is solved by looking at every set of candidates.
"""

import itertools
import json
import math
import sys

from uncertainties import nominal_value, std_dev, ufloat, umath

# Standard acceleration of free fall, m/s^2 (3rd CGPM, 1901).
G = 9.80665

# Factor of the weight by direction; None where the set asks for nothing.
SETS = {
    "US, working load limit": {"forward": 0.435, "rearward": 0.5, "left": 0.25, "right": 0.25, "up": 0.2},
    "US, breaking strength": {"forward": 0.8, "rearward": 0.5, "left": 0.5, "right": 0.5, "up": 0.2},
    "Quebec": {"forward": 0.8, "rearward": 0.5, "left": 0.5, "right": 0.5, "up": 0.2},
    "EN 12195-1": {"forward": 0.8, "rearward": 0.5, "left": 0.5, "right": 0.5, "up": None},
}
# Where the vehicle would go.
WAYS = {"forward": (0, -1), "rearward": (0, 1), "left": (1, -1), "right": (1, 1), "up": (2, 1)}
# Of the working load limit: vehicle's anchor to the load's, round it to the same side, to the other.
COUNTED = {
    "us": {"direct": 0.5, "same side": 0.5, "other side": 1.0},
    "canada": {"direct": 0.5, "same side": 1.0, "other side": 1.0},
    "handbook": {"direct": 1.0, "same side": 1.0, "other side": 1.0},
}


def variables(inputs):
    return {name: ufloat(value, u) for name, (value, u) in inputs.items()}


def legs_of(named, count):
    legs = []
    for i in range(count):
        way = [named[f"{i}t{axis}"] - named[f"{i}f{axis}"] for axis in "XYZ"]
        legs.append((way, umath.sqrt(sum(part**2 for part in way)), named[f"{i}l"]))
    return legs


def held(named, legs, rules, way):
    """Return what is needed, what is held, what friction holds, and each leg's tension over its limit."""
    axis, sign = WAYS[way]
    mu = 0.75 * named["friction"] if rules == "EN 12195-1" else 0.0
    weight = named["mass"] * G
    needed = SETS[rules][way] * weight
    by_friction = mu * weight
    gives, stretch = [], []
    for parts, length, _ in legs:
        # The leg's pull on the vehicle has to point against the way it would go.
        against = -sign * parts[axis] / length
        if nominal_value(against) <= 0:
            gives.append(None)
            stretch.append(None)
            continue
        down = -parts[2] / length
        presses = way != "up" and nominal_value(down) > 0
        pressed = mu * down if presses else 0.0
        # A leg that lies across the way is hardly stretched: what it presses counts no more than it holds.
        if nominal_value(pressed) >= nominal_value(against):
            pressed = against
        gives.append(against + pressed)
        stretch.append(against / length)
    capacity = by_friction + sum(g * leg[2] for g, leg in zip(gives, legs) if g is not None)
    # Legs as stiff as they are strong: tension_i = LC_i * shift * stretch_i; together they hold the rest.
    taut = [(g, s, leg[2]) for g, s, leg in zip(gives, stretch, legs) if g is not None]
    shift = (needed - by_friction) / sum(g * s * limit for g, s, limit in taut) if taut else None
    shares = [None if s is None else shift * s for s in stretch]
    return needed, capacity, by_friction, shares


def layout(case):
    named = variables(case["inputs"])
    legs = legs_of(named, case["legs"])
    values = {}
    for rules, factors in SETS.items():
        for way, factor in factors.items():
            if factor is None:
                continue
            needed, capacity, by_friction, shares = held(named, legs, rules, way)
            key = f"{rules}/{way}"
            values |= {f"{key}/needed": needed, f"{key}/capacity": capacity, f"{key}/friction": by_friction}
            taut = [share for share in shares if share is not None]
            if taut:
                # The one that stretches most is the most used, also where friction leaves nothing to hold.
                values[f"{key}/weakest"] = max(taut, key=lambda share: abs(nominal_value(share)))
    return described(values, named)


def top(case):
    named = variables(case["inputs"])
    values = {}
    for way, needed in (("forward", 0.8), ("rearward", 0.5), ("left", 0.5)):
        short = (needed - named["friction"]) * named["mass"] * G
        each = named["friction"] * umath.sin(named["angle"]) * named["tension"]
        safety = 1.25 if way == "forward" else 1.1
        insurers = 1.6 if way == "forward" else 1.8
        values[f"standard/{way}"] = short * safety / (2 * each)
        values[f"insurers/{way}"] = short / (insurers * each)
        values[f"2004/{way}"] = short / (1.5 * each)
        sideways = 0.1 if way == "left" else 0
        values[f"tips/{way}"] = needed * named["height"] / named["distance"]
        values[f"tips, not stable/{way}"] = (needed + sideways) * named["height"] / named["distance"]
    return described(values, named)


def described(values, named):
    def one(value):
        derivatives = getattr(value, "derivatives", {})
        amounts = {
            name: derivatives[variable] * std_dev(variable)
            for name, variable in named.items()
            if variable in derivatives
        }
        return {"value": nominal_value(value), "u": std_dev(value), "amounts": amounts}

    return {key: one(value) for key, value in values.items()}


def total(case):
    return {
        rules: sum(share[path] * limit for limit, path in case["tie_downs"])
        for rules, share in COUNTED.items()
    }


def search(case):
    """Look at every set; return the fewest straps and the largest margin with so many."""
    best = (math.inf, 0.0)
    for size in range(len(case["candidates"]) + 1):
        for chosen in itertools.combinations(case["candidates"], size):
            straps = sum(one["straps"] for one in chosen)
            if straps > best[0] or not possible(chosen, case["available"]):
                continue
            gives = [sum(one["gives"][i] for one in chosen) for i in range(len(case["needs"]))]
            counts = [sum(one["counts"][i] for one in chosen) for i in range(len(case["counts"]))]
            if any(g < n * (1 - 1e-12) for g, n in zip(gives, case["needs"])):
                continue
            if any(c < n for c, n in zip(counts, case["counts"])):
                continue
            margin = min(g / n for g, n in zip(gives, case["needs"]))
            if straps < best[0] or margin > best[1]:
                best = (straps, margin)
    return {"straps": None, "margin": None} if math.isinf(best[0]) else {"straps": best[0], "margin": best[1]}


def possible(chosen, available):
    places = [place for one in chosen for place in one["places"]]
    taken = [sum(one["straps"] for one in chosen if one["kind"] == kind) for kind in range(len(available))]
    return len(places) == len(set(places)) and all(t <= a for t, a in zip(taken, available))


def main():
    question = json.load(sys.stdin)
    answer = {
        "layouts": [layout(case) for case in question["layouts"]],
        "tops": [top(case) for case in question["tops"]],
        "sums": [total(case) for case in question["sums"]],
        "searches": [search(case) for case in question["searches"]],
    }
    json.dump(answer, sys.stdout, allow_nan=False)
    print()


if __name__ == "__main__":
    main()
