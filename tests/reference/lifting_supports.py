#!/usr/bin/env python3
"""Loads on the supports of a lifted vehicle by `scipy`, distances in plan by `shapely`.

Reads one JSON document on standard input and prints one on standard output. SI throughout.

Input:  {"lifts": [{"mass": M, "centre": [x, y], "supports": [[x, y], ...]}, ...],
         "pads": [{"centre": [x, y], "diameter": D, "region": [[x, y], ...]}, ...]}
Output: {"lifts": [{"low": [...], "high": [...], "equal": [...], "margin": m}, ...],
         "pads": [{"distance": d, "nearest": [x, y]}, ...]}

low and high solve the linear programme "least and most F_i under sum F = M, sum F x = M x_C,
sum F y = M y_C, F >= 0"; both are null where no F >= 0 keeps the balances. equal is the F >= 0
with the least sum of squares, found by trying every set of supports that press: within one set the
least-norm solution is the pseudo-inverse's. margin is the smallest distance of the centre inside
the lines of the convex hull's edges, negative outside. A pad's distance is negative by how far its
rim reaches into the region.
"""

import itertools
import json
import sys

import numpy as np
from scipy.optimize import linprog
from shapely import MultiPoint, Point, Polygon
from shapely.geometry.polygon import orient
from shapely.ops import nearest_points

# How far below zero a load may come out of the pseudo-inverse and still count as none, beside the mass.
ROUNDING = 1e-9


def balances(lift):
    x, y = np.array(lift["supports"]).T
    left = np.array([np.ones_like(x), x, y])
    return left, lift["mass"] * np.array([1.0, *lift["centre"]])


def bound(left, right, index, sign):
    cost = np.zeros(left.shape[1])
    cost[index] = sign
    found = linprog(cost, A_eq=left, b_eq=right, bounds=(0, None), method="highs")
    return sign * found.fun if found.success else None


def equal_shares(left, right, mass):
    """Return the non-negative solution with the least sum of squares, or None."""
    count = left.shape[1]
    best = None
    for size in range(1, count + 1):
        for chosen in itertools.combinations(range(count), size):
            part = left[:, chosen]
            loads = np.linalg.pinv(part) @ right
            if np.abs(part @ loads - right).max() > ROUNDING * mass or loads.min() < -ROUNDING * mass:
                continue
            if best is None or loads @ loads < best @ best - ROUNDING * mass**2:
                best = np.zeros(count)
                best[list(chosen)] = loads
    return None if best is None else best.tolist()


def margin(lift):
    hull = MultiPoint(lift["supports"]).convex_hull
    centre = Point(lift["centre"])
    if hull.covers(centre):
        return hull.exterior.distance(centre)
    # Counter-clockwise, the inside lies on the left of every edge.
    corners = np.array(orient(hull).exterior.coords)
    edges = np.diff(corners, axis=0)
    arms = np.array(lift["centre"]) - corners[:-1]
    crossed = edges[:, 0] * arms[:, 1] - edges[:, 1] * arms[:, 0]
    return float((crossed / np.hypot(*edges.T)).min())


def solve_lift(lift):
    left, right = balances(lift)
    supports = range(left.shape[1])
    return {
        "low": [bound(left, right, i, 1) for i in supports],
        "high": [bound(left, right, i, -1) for i in supports],
        "equal": equal_shares(left, right, lift["mass"]),
        "margin": margin(lift),
    }


def solve_pad(pad):
    region, middle = Polygon(pad["region"]), Point(pad["centre"])
    boundary = region.exterior
    depth = boundary.distance(middle)
    distance = -depth if region.contains(middle) else depth
    nearest, _ = nearest_points(boundary, middle)
    return {"distance": distance - pad["diameter"] / 2, "nearest": [nearest.x, nearest.y]}


def main():
    question = json.load(sys.stdin)
    answer = {
        "lifts": [solve_lift(lift) for lift in question["lifts"]],
        "pads": [solve_pad(pad) for pad in question["pads"]],
    }
    json.dump(answer, sys.stdout, allow_nan=False)
    print()


if __name__ == "__main__":
    main()
