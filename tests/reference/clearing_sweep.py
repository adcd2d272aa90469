#!/usr/bin/env python3
"""The smallest clearance of a vehicle driven up a deck, by a sweep with `shapely`.

Reads one JSON document on standard input and prints one on standard output. SI throughout.

Input:  {"drives": [{"outline": [[x, z], ...], "front": [x, radius, raise], "rear": [x, radius, raise],
                     "tilt": angle, "tail": [length, angle] or null, "tail_first": BOOLEAN}, ...]}
Output: {"drives": [{"clearance": c, "touches": BOOLEAN, "at": travel}, ...]}

Seen from the side, x along the travel from the foot of the first slope, z up. A wheel's centre runs on
the boundary of the ground grown by the wheel's radius and what raises it (`buffer`). For places of the
leading centre in small steps the trailing centre is where that boundary is a wheelbase behind, the body
is turned to fit both, and the distance between body and ground is shapely's. About the best places the
steps are made a hundred times finer, twice. Where the body is in the ground only that is told.
"""

import json
import math
import sys

import numpy as np
import shapely
from shapely import Polygon

# Corners that a quarter of a wheel is drawn with; they lie a micrometre inside the arc.
QUARTER = 400
STEP = 0.01
FAR = 60.0


def surface(drive):
    """Return level ground, tail and deck as a line from left to right."""
    points = [np.array([-FAR, 0.0]), np.array([0.0, 0.0])]
    slopes = [drive["tail"]] if drive["tail"] else []
    for length, angle in [*slopes, (FAR, drive["tilt"])]:
        points.append(points[-1] + length * np.array([math.cos(angle), math.sin(angle)]))
    return np.array(points)


def locus(line, solid, radius):
    """Return the path of a wheel's centre from left to right, as an array of places."""
    ring = np.array(solid.buffer(radius, quad_segs=QUARTER).exterior.coords)
    # Between the ends of the line, where the grown ground has corners of its own.
    inner = ring[(ring[:, 1] > radius / 2) & (np.abs(ring[:, 0]) < 0.8 * FAR)]
    along = (line[-1] - line[-2]) / FAR
    end = line[-2] + 0.9 * FAR * along + radius * np.array([-along[1], along[0]])
    return np.vstack([[-FAR, radius], inner[np.argsort(inner[:, 0])], end])


def behind(path, place, distance):
    """Return where the path is this far behind a place on or near it."""
    apart = np.hypot(path[:, 0] - place[0], path[:, 1] - place[1])
    near = np.flatnonzero((path[:, 0] < place[0]) & (apart > distance))[-1]
    a, b = path[near], path[near + 1]
    # |a + t (b - a) - place| = distance
    step, arm = b - a, a - place
    p, q, r = step @ step, step @ arm, arm @ arm - distance**2
    t = (-q - math.sqrt(max(q * q - p * r, 0.0))) / p
    return a + t * step


class Drive:
    def __init__(self, drive):
        line = surface(drive)
        self.solid = Polygon([*line, (line[-1][0], -FAR), (-FAR, -FAR)])
        shapely.prepare(self.solid)
        turn = 1.0 if drive["tail_first"] else -1.0
        self.body = np.array(drive["outline"]) * [turn, 1.0]
        lead, trail = (drive["rear"], drive["front"]) if drive["tail_first"] else (drive["front"], drive["rear"])
        self.lead, self.trail = (np.array([turn * axle[0], axle[1]]) for axle in (lead, trail))
        self.lead_path = locus(line, self.solid, lead[1] + lead[2])
        self.trail_path = locus(line, self.solid, trail[1] + trail[2])
        along = np.hypot(*np.diff(self.lead_path, axis=0).T)
        self.travel = np.concatenate([[0.0], np.cumsum(along)])
        over_foot = np.interp(0.0, self.lead_path[:, 0], self.travel)
        self.travel -= over_foot
        self.length = np.ptp(self.body[:, 0])

    def outline_at(self, travel):
        lead = np.array([np.interp(travel, self.travel, self.lead_path[:, i]) for i in (0, 1)])
        between = self.lead - self.trail
        trail = behind(self.trail_path, lead, float(np.hypot(*between)))
        now = lead - trail
        angle = math.atan2(now[1], now[0]) - math.atan2(between[1], between[0])
        sine, cosine = math.sin(angle), math.cos(angle)
        rotated = (self.body - self.trail) @ np.array([[cosine, sine], [-sine, cosine]])
        return rotated + trail

    def clearances(self, travels):
        bodies = shapely.polygons(np.array([self.outline_at(travel) for travel in travels]))
        apart = shapely.distance(self.solid, bodies)
        return np.where(shapely.intersects(self.solid, bodies), -1.0, apart)

    def smallest(self, tail):
        travels = np.arange(-self.length - 1.0, 2.5 * self.length + tail + 1.0, STEP)
        found = self.clearances(travels)
        step = STEP
        for _ in range(2):
            best = travels[np.argsort(found)[:3]]
            travels = np.concatenate([np.linspace(t - step, t + step, 201) for t in best])
            found = self.clearances(travels)
            step /= 100
        at = int(np.argmin(found))
        return float(found[at]), float(travels[at])


def solve(drive):
    clearance, at = Drive(drive).smallest(drive["tail"][0] if drive["tail"] else 0.0)
    return {"clearance": max(clearance, 0.0), "touches": clearance <= 0.0, "at": at}


def main():
    drives = json.load(sys.stdin)["drives"]
    json.dump({"drives": [solve(drive) for drive in drives]}, sys.stdout, allow_nan=False)
    print()


if __name__ == "__main__":
    main()
