#!/usr/bin/env python3
"""Mass and centre of gravity by the PyPI package `uncertainties`, as an oracle.

Reads one JSON document on standard input and prints one on standard output. Nothing but the
package `uncertainties` is used, and nothing is shared with the program: the formulas are written
again from the free bodies (moments about the rear axle, about the left wheels, about the raised
hub), so that a slip in one place does not repeat in the other. Correlations through inputs that
enter several times are the package's business.

Input
-----
{"cases": [CASE, ...]}

CASE is an object; SI throughout (kg, m, rad):

    name        any text, comes back in the result
    inputs      {NAME: [value, standard uncertainty], ...}: independent quantities
    axles       optional list from front to rear, each
                    {"x": REF, "load": REF}                              read as a whole, or
                    {"x": REF, "left": REF, "right": REF, "track": REF}  read by wheel
    lift        optional, needs exactly two axles:
                    {"wheelbase": REF, "radius_front": REF, "radius_rear": REF,
                     "combination": "mean" or "least_squares",
                     "steps": [{"raised": "front" or "rear", "load": REF (on the other axle),
                                "angle": REF  or  "elevation": REF}, ...]}
    items       optional, needs axles: list of
                    {"change": "fitted" or "removed", "mass": REF, "x": REF,
                     "y": REF or null, "z": REF or null}
    track       optional REF, needs lift: the track for the static stability factor
    readings    optional list of REF: several readings of one quantity

REF is the name of an input (the same name is the same quantity wherever it stands), or a plain
number, which counts as exact.

Output
------
{"results": [RESULT, ...]} in the order of the cases. RESULT holds "name" and "values", an object
of QUANTITY by key, each key present only if the case gives what it needs:

    total, x, y                  from axles; y only if all axles were read by wheel
    load/N, share/N              of axle N, counted from 0
    height, above_hubs           from lift
    step/N                       height by lift step N alone
    variant/mass, variant/x, variant/y, variant/z
                                 after the items; y and z only if known for all parts
    variant/front, variant/rear  axle loads then, for two axles
    stability, tip_angle         track / (2 height), and its arctangent
    mean                         inverse-variance weighted mean of the readings
    difference/I/J               reading J less reading I, for I < J

and, with plain numbers instead of quantities, "numbers":

    chi_square, internal_u, external_u    of the readings, the last for two or more
    normalised/I/J                        |difference| / (2 u), for differences with u > 0

QUANTITY is {"value": number, "u": number, "amounts": {NAME: sensitivity times u, signed}}.
"""

import json
import math
import sys

from uncertainties import nominal_value, std_dev, ufloat, umath


def resolver(inputs):
    """Return a function from REF to number, and the named variables; exact ones stay floats."""
    named = {name: ufloat(value, u) if u > 0 else value for name, (value, u) in inputs.items()}

    def number(ref):
        return named[ref] if isinstance(ref, str) else ref

    return number, named


def axle_values(axles, number):
    loads, sides, tracks = [], [], []
    for axle in axles:
        if "load" in axle:
            loads.append(number(axle["load"]))
        else:
            left, right = number(axle["left"]), number(axle["right"])
            loads.append(left + right)
            sides.append((left, right))
            tracks.append(number(axle["track"]))
    places = [number(axle["x"]) for axle in axles]
    total = sum(loads[1:], loads[0])
    # Moments about the last axle, then back to the front.
    ahead_of_last = sum(w * (places[-1] - x) for w, x in zip(loads, places)) / total
    values = {"total": total, "x": places[-1] - ahead_of_last}
    if len(sides) == len(axles):
        # Each axle's load acts at track * right / (left + right) from its left wheel.
        moment = sum(
            (left + right) * (track * right / (left + right) - track / 2)
            for (left, right), track in zip(sides, tracks)
        )
        values["y"] = moment / total
    for index, load in enumerate(loads):
        values[f"load/{index}"] = load
        values[f"share/{index}"] = load / total
    return values


def lift_values(lift, front, rear, number):
    wheelbase = number(lift["wheelbase"])
    total = front + rear
    to_rear = wheelbase * front / total
    to_front = wheelbase * rear / total
    hub = (
        number(lift["radius_front"]) * to_rear + number(lift["radius_rear"]) * to_front
    ) / wheelbase
    singles, weights = [], []
    for step in lift["steps"]:
        load = number(step["load"])
        if "angle" in step:
            angle = number(step["angle"])
            sine, cosine = umath.sin(angle), umath.cos(angle)
        else:
            sine = number(step["elevation"]) / wheelbase
            cosine = umath.sqrt(1 - sine**2)
        arm = to_rear if step["raised"] == "rear" else to_front
        # Moments about the raised hub: load * L * cos = W * (arm * cos + c * sin).
        above = (load * wheelbase * cosine - total * arm * cosine) / (total * sine)
        singles.append((above, sine / cosine))
        weights.append(std_dev(load) ** -2 if std_dev(load) > 0 else None)
    if lift["combination"] == "mean":
        above_hubs = sum(above for above, _ in singles) / len(singles)
    else:
        # Least squares through the origin of y = above * t against t, weights as exact numbers.
        if None in weights:
            weights = [1.0] * len(weights)
        above_hubs = sum(w * t * (c * t) for w, (c, t) in zip(weights, singles)) / sum(
            w * t**2 for w, (_, t) in zip(weights, singles)
        )
    values = {"above_hubs": above_hubs, "height": hub + above_hubs}
    for index, (above, _) in enumerate(singles):
        values[f"step/{index}"] = hub + above
    return values


def variant_values(known, items, number):
    mass = known["total"]
    moments = {
        axis: mass * known[key] if key in known else None
        for axis, key in (("x", "x"), ("y", "y"), ("z", "height"))
    }
    for item in items:
        signed = number(item["mass"]) * (1 if item["change"] == "fitted" else -1)
        mass = mass + signed
        for axis in moments:
            place = item[axis]
            if place is None or moments[axis] is None:
                moments[axis] = None
            else:
                moments[axis] = moments[axis] + signed * number(place)
    values = {"variant/mass": mass}
    for axis, moment in moments.items():
        if moment is not None:
            values[f"variant/{axis}"] = moment / mass
    return values


def reading_values(readings):
    values, numbers = {}, {}
    weights = [std_dev(reading) ** -2 for reading in readings]
    mean = sum(w * x for w, x in zip(weights, readings)) / sum(weights)
    values["mean"] = mean
    numbers["internal_u"] = 1 / math.sqrt(sum(weights))
    numbers["chi_square"] = sum(
        w * (nominal_value(x) - nominal_value(mean)) ** 2 for w, x in zip(weights, readings)
    )
    if len(readings) > 1:
        birge = math.sqrt(numbers["chi_square"] / (len(readings) - 1))
        numbers["external_u"] = numbers["internal_u"] * birge
    for j, later in enumerate(readings):
        for i, earlier in enumerate(readings[:j]):
            difference = later - earlier
            values[f"difference/{i}/{j}"] = difference
            if std_dev(difference) > 0:
                ratio = abs(nominal_value(difference)) / (2 * std_dev(difference))
                numbers[f"normalised/{i}/{j}"] = ratio
    return values, numbers


def solve(case):
    number, named = resolver(case.get("inputs", {}))
    values, numbers = {}, {}
    if "axles" in case:
        values |= axle_values(case["axles"], number)
    if "lift" in case:
        values |= lift_values(case["lift"], values["load/0"], values["load/1"], number)
    if "items" in case:
        values |= variant_values(values, case["items"], number)
        if len(case["axles"]) == 2:
            first, last = (number(axle["x"]) for axle in case["axles"])
            rear = values["variant/mass"] * (values["variant/x"] - first) / (last - first)
            values["variant/rear"] = rear
            values["variant/front"] = values["variant/mass"] - rear
    if "track" in case:
        stability = number(case["track"]) / values["height"] / 2
        values["stability"] = stability
        values["tip_angle"] = umath.atan(stability)
    if "readings" in case:
        more, numbers = reading_values([number(ref) for ref in case["readings"]])
        values |= more
    return {
        "name": case.get("name"),
        "values": {key: described(value, named) for key, value in values.items()},
        "numbers": numbers,
    }


def described(value, named):
    derivatives = getattr(value, "derivatives", {})
    amounts = {
        name: derivatives[variable] * std_dev(variable)
        for name, variable in named.items()
        if variable in derivatives
    }
    return {"value": nominal_value(value), "u": std_dev(value), "amounts": amounts}


def main():
    cases = json.load(sys.stdin)["cases"]
    json.dump({"results": [solve(case) for case in cases]}, sys.stdout, allow_nan=False)
    print()


if __name__ == "__main__":
    main()
