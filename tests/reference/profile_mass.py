#!/usr/bin/env python3
"""Mass and centre of gravity of whole profiles, computed again from the profile's JSON.

Reads one JSON document on standard input and prints one on standard output. The unit factors and the
formulas are written here again; doubts go through the PyPI package `uncertainties`. Nothing is shared
with the program.

Input:  {"profiles": [PROFILE as JSON, ...]}
Output: {"results": [[RESULT, ...] for each profile]}, one RESULT for each variant, or a single one for
        a profile without variants: {"variant": TEXT or null, "mass": FIGURE, "centre_x": FIGURE,
        "centre_y": FIGURE, "centre_z": FIGURE, "axles": [[AXLE ID, FIGURE of the load, FIGURE of its
        part of the whole], ...]}. FIGURE is [value, half-width of two standard uncertainties] in SI,
        or null where an input is missing.

What the profile's figures mean (JCGM 100:2008 for the doubts):
- a ± is two standard uncertainties;
- a scale that shows steps of d adds d/sqrt(12) to each reading; a tolerance of t adds t/sqrt(3), the
  same error to every reading of one scale. A scale without a name is one scale within one weighing,
  or within all steps of a lift; where wheels are read, each wheel position has a pad of its own;
- weighings are combined with weights 1/u^2; lift steps by their plain mean (ISO 10392:2011, 6.2, read
  in an excerpt); where the results scatter more than their doubts explain, the scatter is the doubt.
"""

import json
import math
import sys

from uncertainties import nominal_value, std_dev, ufloat, umath

POUND, INCH = 0.45359237, 0.0254
FACTORS = {
    "mass": {"kg": 1, "g": 0.001, "t": 1000, "lb": POUND},
    "length": {
        "mm": 0.001, "cm": 0.01, "m": 1, "km": 1000,
        "in": INCH, "ft": 12 * INCH, "yd": 36 * INCH, "mi": 63360 * INCH,
    },
    "angle": {"deg": math.pi / 180, "rad": 1},
}  # fmt: skip


def si(pair, kind):
    return pair[0] * FACTORS[kind][pair[1]]


def uncertain(value, u):
    return ufloat(value, u) if u > 0 else value


def sourced(part, kind):
    """A value with its ±, as one independent input; None where it is not stated."""
    if part is None:
        return None
    half_width = si(part["plus_minus"], kind) if "plus_minus" in part else 0
    return uncertain(si(part["value"], kind), half_width / 2)


class Scale:
    """A scale as one weighing or lift step describes it; `errors` holds those of all scales so far."""

    def __init__(self, scale, session, errors):
        scale = scale or {}
        self.division = si(scale["division"], "mass") if "division" in scale else 0
        self.tolerance = si(scale["tolerance"], "mass") if "tolerance" in scale else 0
        self.whose = scale.get("name", session)
        self.errors = errors

    def read(self, pair, pad=None):
        key = (self.whose, self.tolerance, pad)
        if key not in self.errors:
            self.errors[key] = uncertain(0, self.tolerance / math.sqrt(3))
        return uncertain(si(pair, "mass"), self.division / math.sqrt(12)) + self.errors[key]


def place_of(part):
    place = part.get("place") or {}
    return [si(place[axis], "length") if axis in place else None for axis in "xyz"]


def body_with(mass, centre, changes):
    """Adds masses (negative ones are taken off) to a body whose centre is known as far as it is."""
    whole = mass + sum(m for m, _ in changes)
    moved = []
    for axis, own in enumerate(centre):
        if own is None or any(place[axis] is None for _, place in changes):
            moved.append(None)
        else:
            moved.append((mass * own + sum(m * place[axis] for m, place in changes)) / whole)
    return whole, moved


def combined(values, plain=False):
    """The mean of several results, no surer than their scatter allows."""
    if len(values) < 2:
        return values[0] if values else None
    count = len(values)
    if plain or min(std_dev(v) for v in values) == 0:
        mean = sum(values) / count
        deviations = sum((nominal_value(v) - nominal_value(mean)) ** 2 for v in values)
        least = max(std_dev(mean), math.sqrt(deviations / (count * (count - 1))))
    else:
        weights = [std_dev(v) ** -2 for v in values]
        mean = sum(w * v for w, v in zip(weights, values)) / sum(weights)
        chi_square = sum(
            w * (nominal_value(v) - nominal_value(mean)) ** 2 for w, v in zip(weights, values)
        )
        internal = 1 / math.sqrt(sum(weights))
        least = max(std_dev(mean), internal, internal * math.sqrt(chi_square / (count - 1)))
    missing = math.sqrt(max(0, least**2 - std_dev(mean) ** 2))
    return mean + uncertain(0, missing)


class View:
    """The profile as it is for one variant."""

    def __init__(self, profile, variant):
        self.profile, self.variant = profile, variant
        self.scale_errors = {}
        self.differences = {d["axle"]: d for d in (variant or {}).get("axles", [])}
        self.axles = [{**axle, **self.differences.get(axle["id"], {})} for axle in profile["axles"]]
        self.places = [
            0 if index == 0 else sourced(axle["position"], "length")
            for index, axle in enumerate(self.axles)
        ]
        self.tracks = [sourced(axle.get("track"), "length") for axle in self.axles]

    def has(self, variants):
        return not variants or (self.variant is not None and self.variant["id"] in variants)

    def weighings(self):
        own = self.variant["id"] if self.variant else None
        for index, reading in enumerate(self.profile["mass"].get("readings", [])):
            if "variant" in reading and reading["variant"] != own:
                continue
            weighed = self.weigh(reading, f"reading {index}")
            if weighed is not None:
                yield weighed

    def weigh(self, reading, session):
        scale = Scale(reading.get("scale"), session, self.scale_errors)
        entries = {entry["axle"]: entry for entry in reversed(reading["loads"])}
        loads, offsets = [], []
        for axle, track in zip(self.axles, self.tracks):
            entry = entries.get(axle["id"], {})
            if "left" in entry and "right" in entry:
                left = scale.read(entry["left"], (axle["id"], "left"))
                right = scale.read(entry["right"], (axle["id"], "right"))
                loads.append(left + right)
                offsets.append(None if track is None else track * (right - left) / 2)
            elif "total" in entry:
                loads.append(scale.read(entry["total"]))
                offsets.append(None)
            else:
                return None
        whole = sum(loads)
        x = sum(load * place for load, place in zip(loads, self.places)) / whole
        y = None if None in offsets else sum(offsets) / whole
        changes = [
            (-si(thing["mass"], "mass"), place_of(thing)) for thing in reading.get("on_board", [])
        ]
        mass, (x, y, _) = body_with(whole, [x, y, None], changes)
        return {"mass": mass, "x": x, "y": y, "loads": loads, "changed": bool(changes)}

    def height(self, base):
        stated = self.profile["mass"].get("centre_height") or {}
        if stated.get("method") == "declared":
            return sourced(stated.get("declared"), "length")
        if stated.get("method") != "axle_lift" or len(self.axles) != 2:
            return None
        radii = [
            sourced(axle.get("tyre", {}).get("static_loaded_radius"), "length")
            for axle in self.axles
        ]
        if None in radii:
            return None
        level_readings = {}
        heights = [
            self.lift_height(lift, radii, base, level_readings)
            for lift in stated.get("lifts", [])
            if self.has(lift.get("variants", []))
        ]
        return combined([h for h in heights if h is not None], plain=True)

    def lift_height(self, lift, radii, base, level_readings):
        scale = Scale(lift.get("scale"), "lift", self.scale_errors)
        raised_load = scale.read(lift["raised_load"])
        # Steps that repeat one level reading share its error.
        key = json.dumps([lift.get(k) for k in ("raised", "level_load", "total", "scale")])
        if key not in level_readings:
            total = scale.read(lift["total"]) if "total" in lift else None
            level_readings[key] = (scale.read(lift["level_load"]), total)
        level, total = level_readings[key]
        total = base if total is None else total
        wheelbase = self.places[1]
        rear_raised = lift["raised"] != self.axles[0]["id"]
        if "angle" in lift:
            slope = umath.tan(sourced(lift["angle"], "angle"))
        elif "elevation" in lift:
            sine = sourced(lift["elevation"], "length") / wheelbase
            slope = sine / umath.sqrt(1 - sine**2)
        else:
            return None
        front = level if rear_raised else total - level
        # Free body about the raised hub: the load on the other axle rises by W h' tan(angle) / L.
        above = wheelbase * (raised_load - level) / (total * slope)
        return radii[0] * front / total + radii[1] * (total - front) / total + above

    def result(self):
        weighings = list(self.weighings())
        base = combined([w["mass"] for w in weighings])
        x = combined([w["x"] for w in weighings if w["x"] is not None])
        y = combined([w["y"] for w in weighings if w["y"] is not None])
        if base is None:
            declared = (self.variant or {}).get("curb_mass", self.profile["mass"].get("curb_mass"))
            base = sourced(declared, "mass")
        z = self.height(base)
        added = [
            (sourced(item["mass"], "mass"), place_of(item))
            for item in self.profile["mass"].get("items", [])
            if item["state"] == "added" and self.has(item.get("variants", []))
        ]
        mass = base
        if base is not None and added:
            mass, (x, y, z) = body_with(base, [x, y, z], added)
        loads = self.axle_loads(mass, x, weighings, added)
        return {
            "variant": self.variant["id"] if self.variant else None,
            "mass": figure(mass),
            "centre_x": figure(x),
            "centre_y": figure(y),
            "centre_z": figure(z),
            "axles": [
                [axle["id"], figure(load), figure(load / mass)]
                for axle, load in zip(self.axles, loads)
            ],
        }

    def axle_loads(self, mass, x, weighings, added):
        if mass is None or x is None:
            return []
        if len(self.axles) == 2:
            rear = mass * x / self.places[1]
            return [mass - rear, rear]
        if added or any(w["changed"] for w in weighings):
            return []
        return [combined([w["loads"][i] for w in weighings]) for i in range(len(self.axles))]


def figure(value):
    return None if value is None else [nominal_value(value), 2 * std_dev(value)]


def main():
    results = []
    for profile in json.load(sys.stdin)["profiles"]:
        variants = profile.get("variants") or [None]
        results.append([View(profile, variant).result() for variant in variants])
    json.dump({"results": results}, sys.stdout, allow_nan=False)
    print()


if __name__ == "__main__":
    main()
