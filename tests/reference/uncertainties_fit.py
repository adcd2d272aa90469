#!/usr/bin/env python3
"""Figures of carrying, towing and winching by the PyPI package `uncertainties`, as an oracle.

Reads one JSON document on standard input and prints one on standard output. Nothing is shared with
the program: forces and moments are balanced again (moments about the *rear* axle where the program
takes them about the front one, a bridle's joint by its two force balances), so that a slip in one
place does not repeat in the other. `numpy` only solves for the ends of a window.

Input
-----
{"cases": [{"kind": KIND, "inputs": {NAME: [value, standard uncertainty], ...}, ...}, ...]}

SI throughout. KIND with its inputs and what else it takes:

    carrier   truck: wheelbase front_empty rear_empty front_rating rear_rating gross_rating share;
              deck: edge length overhang capacity; vehicle in its own frame: mass centre axle nose
              tail; another vehicle on the deck, behind the first: other_mass other_centre other_edge.
              "tail_first": BOOLEAN, "placement": NUMBER
    wrecker   truck: wheelbase front_empty rear_empty rear_rating gross_rating share reach;
              towed: mass centre axle height rise; dollies: own. "rear": whether the rear end is
              lifted, "tyres": NUMBER
    winch     front rear (axle loads) roll drag (coefficients) slope; bridle: spread leg off_centre
              elevation; block: efficiency between; drum: rated drum line. "layer": NUMBER

Output
------
{"results": [{"values": {KEY: QUANTITY}, "numbers": {KEY: number}}, ...]}, QUANTITY as in
`uncertainties_mass.py`: {"value", "u", "amounts": {NAME: sensitivity times u, signed}}.
"""

import json
import math
import sys

import numpy as np
from uncertainties import covariance_matrix, nominal_value, std_dev, ufloat, umath

# Standard acceleration of free fall, m/s^2 (3rd CGPM, 1901).
G = 9.80665


class Named(dict):
    """Inputs by name as attributes."""

    __getattr__ = dict.__getitem__


def carrier(case, given):
    """Return every rating as margin at the placement, the axle loads, and the ends of both windows."""
    if case["tail_first"]:
        arm, first, last = given.tail - given.centre, given.tail - given.axle, given.tail
    else:
        arm, first, last = given.centre - given.nose, -given.nose, given.axle - given.nose
    length = given.tail - given.nose
    gross = given.front_empty + given.rear_empty + given.mass + given.other_mass

    def loads(place):
        # Moments about the rear axle: a load ahead of it presses on the front axle.
        ahead = given.wheelbase - given.edge
        to_front = given.mass * (ahead - place - arm) + given.other_mass * (ahead - given.other_centre)
        front = given.front_empty + to_front / given.wheelbase
        return front, gross - front

    def margins(place):
        front, rear = loads(place)
        return {
            "front axle rating": given.front_rating - front,
            "rear axle rating": given.rear_rating - rear,
            "share of load kept for steering": front - given.share * given.front_empty,
            "front axle on the road": front,
            "gross rating": given.gross_rating - gross,
            "deck capacity": given.capacity - given.mass - given.other_mass,
            "front edge of the deck": place + 0 * front,
            "tyres nearest the cab on the deck": place + first,
            "tyres nearest the tail on the deck": given.length - place - last,
            "allowed overhang behind the deck": given.overhang - (place + length - given.length),
            "room beside other vehicle 1": given.other_edge - place - length,
        }

    front, rear = loads(case["placement"])
    values = {"front": front, "rear": rear}
    values |= {f"margin/{name}": m for name, m in margins(case["placement"]).items()}
    at_zero, at_one = margins(0.0), margins(1.0)
    lines = {name: (at_zero[name], at_one[name] - at_zero[name]) for name in at_zero}
    more, numbers = windows(lines)
    return values | more, numbers


def windows(lines):
    """Return the ends of the window as quantities, and those of the sure window as numbers."""
    ends = {-1: [], 1: []}
    for start, slope in lines.values():
        if abs(nominal_value(slope)) > 1e-12:
            ends[1 if nominal_value(slope) < 0 else -1].append(-start / slope)
    shut = any(
        nominal_value(start) < 0 and abs(nominal_value(slope)) <= 1e-12 for start, slope in lines.values()
    )
    first = max(ends[-1], key=nominal_value)
    last = min(ends[1], key=nominal_value)
    if shut or nominal_value(first) > nominal_value(last):
        return {}, {}
    values = {"window/first": first, "window/last": last}
    sure = sure_ends(lines, nominal_value(first), nominal_value(last))
    return values, {} if sure is None else {"sure/first": sure[0], "sure/last": sure[1]}


def sure_ends(lines, low, high):
    """Return the places between which every margin is at least twice its uncertainty, or None."""
    means = np.array([[nominal_value(a), nominal_value(b)] for a, b in lines.values()])
    spreads = [np.array(covariance_matrix([a, b])) for a, b in lines.values()]

    def least(place):
        at = np.array([1.0, place])
        return min(m @ at - 2 * math.sqrt(max(at @ v @ at, 0)) for m, v in zip(means, spreads))

    # Concave, being the least of concave functions: its top by thirds, its zeros by halves.
    left, right = low, high
    for _ in range(300):
        one, two = left + (right - left) / 3, right - (right - left) / 3
        if least(one) < least(two):
            left = one
        else:
            right = two
    top = (left + right) / 2
    if least(top) < 0:
        return None
    return halved(least, top, low), halved(least, top, high)


def halved(function, inside, outside):
    if function(outside) >= 0:
        return outside
    for _ in range(200):
        middle = (inside + outside) / 2
        inside, outside = (middle, outside) if function(middle) >= 0 else (inside, middle)
    return inside


def wrecker(case, given):
    angle = umath.asin(given.rise / given.axle)
    # From the axle that stays down to the centre of gravity.
    arm = given.centre if case["rear"] else given.axle - given.centre
    # In the lifted frame: the centre's level distance from the pivot over that of the lifted axle.
    lifted = (arm * umath.cos(angle) - given.height * umath.sin(angle)) / (given.axle * umath.cos(angle))
    values = {"level": given.mass * arm / given.axle, "lifted": given.mass * lifted}
    level = values["level"]
    values["down"] = given.mass * (1 - lifted)
    behind = given.wheelbase + given.reach
    # Moments about the front axle for the rear one, and about the rear axle for the front one.
    values["front"] = (given.front_empty * given.wheelbase - level * given.reach) / given.wheelbase
    values["rear"] = (given.rear_empty * given.wheelbase + level * behind) / given.wheelbase
    values["steering"] = values["front"] / given.front_empty
    values["most/steering"] = (
        given.front_empty * (1 - given.share) * given.wheelbase / given.reach
    )
    values["most/rear"] = (given.rear_rating - given.rear_empty) * given.wheelbase / behind
    values["most/gross"] = given.gross_rating - (given.front_empty + given.rear_empty)
    values["tyre"] = (values["down"] + given.own) / case["tyres"]
    return values, {}


def winch(case, given):
    weight = (given.front + given.rear) * G
    pressed = G * umath.cos(given.slope)
    resist = pressed * (given.front * given.roll + given.rear * given.drag)
    pull = weight * umath.sin(given.slope) + resist
    degrees = given.slope * 180 / math.pi
    values = {
        "pull": pull,
        "pull by sixtieths": weight * degrees / 60 + G * (given.front * given.roll + given.rear * given.drag),
        "holding": weight * umath.sin(given.slope),
        "holding less rolling": weight * (umath.sin(given.slope) - given.roll * umath.cos(given.slope)),
    }
    values["left"], values["right"] = bridle_legs(pull, given)
    cosine = umath.cos(given.between / 2)
    values["block"] = 2 * pull * cosine
    values["whole loss"] = pull / (2 * cosine) / given.efficiency
    values["load share"] = pull * (1 + (1 - given.efficiency)) / (2 * cosine)
    values["far part"] = pull / (cosine + given.efficiency * cosine)
    # The torque is that of the first layer: pull times the radius of the line's middle.
    torque = given.rated * (given.drum + given.line) / 2
    values["layer"] = torque / (given.drum / 2 + given.line * (case["layer"] - 0.5))
    return values, {}


def bridle_legs(pull, given):
    """Balance the joint: the legs pull it back to their points, the line pulls it on."""
    half = given.spread / 2
    ahead, across = umath.sqrt(given.leg**2 - half**2) / given.leg, half / given.leg
    total = pull * umath.cos(given.off_centre) / ahead
    difference = pull * umath.sin(given.off_centre) / across
    left, right = (total + difference) / 2, (total - difference) / 2
    if nominal_value(left) <= 0:
        return ufloat(0, 0), pull
    if nominal_value(right) <= 0:
        return pull, ufloat(0, 0)
    return left, right


def described(value, named):
    derivatives = getattr(value, "derivatives", {})
    amounts = {
        name: derivatives[variable] * std_dev(variable)
        for name, variable in named.items()
        if variable in derivatives
    }
    return {"value": nominal_value(value), "u": std_dev(value), "amounts": amounts}


def solve(case):
    named = Named({name: ufloat(value, u) for name, (value, u) in case["inputs"].items()})
    values, numbers = {"carrier": carrier, "wrecker": wrecker, "winch": winch}[case["kind"]](case, named)
    return {
        "values": {key: described(value, named) for key, value in values.items()},
        "numbers": numbers,
    }


def main():
    cases = json.load(sys.stdin)["cases"]
    json.dump({"results": [solve(case) for case in cases]}, sys.stdout, allow_nan=False)
    print()


if __name__ == "__main__":
    main()
