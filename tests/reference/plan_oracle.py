#!/usr/bin/env python3
"""The best ways through procedures, by `networkx` over state graphs that are written out.

Reads one JSON document on standard input and prints one on standard output. Nothing is shared with
the program but its data: what a step does is written here a second time, from the meaning of the
fields. Times are whole milliseconds.

Input:  {"data": built-in conditions, general acts, rules, goals and facts, as the program tells them,
         "problems": [{"profile": the document, "variant": ID or null, "left_out": [PROCEDURE, ...],
                       "load_up": seconds or null, "fetch_key": seconds or null, "whole": BOOLEAN,
                       "starts": [[CONDITION, ...], ...], "goals": [GOAL, ...],
                       "ways": [[[[[KIND, ID], ...] a goal, ...] a start, ...] an answer, ...]}, ...]}
Output: {"problems": [{"nodes", "edges", "cells": [[CELL a goal, ...] a start, ...],
                       "carried_out": as the ways, whether each can be done and reaches its goal,
                       "met": {WHAT: how often}}, ...]}
        The cells are null where a whole graph would be too large.
        CELL: null where no way exists, or {"facts": [all, those that something is over],
        "quick": [time, danger, warning, caution], "careful": [danger, warning, caution, time]}, the cost
        of the quickest and of the most careful way.
        WHAT: one of `MET`, what was met while the graph was written out.

A state: what holds, what is doubtful, the debts, and what is left of every time. An edge: a fact, a
general act or a whole procedure.

A step, in this order: what it requires and excludes, and the rules judged before it; its time, and where
anything ran out the same once more; its effects, what these depend on, bring and let go; the rules judged
after it. A rule that must always be kept is broken by the step, or fact, after which it is newly broken.
No goal is reached where such a rule is broken.

With "whole", the graph is everything that can be reached, and a plain breadth-first search says what
that is. Without, the graph holds the states in the order of their cost, as far as they are needed, and
does not go on from one that another already replaces: the same conditions, no debt more, as much time
left of everything, at no higher cost. That nothing better is lost by it is tested on every problem that
is also solved whole. There is no way where there is none even if nothing ran out and every fact were
free, which a breadth-first search over conditions alone decides.
"""

import collections
import heapq
import itertools
import json
import math
import multiprocessing
import sys

import networkx as nx

UNITS = {"s": 1.0, "min": 60.0, "h": 3600.0, "d": 86400.0}
# Larger than every sum that is packed below it: 11 days in milliseconds, and more hazards than any way has.
TIME = 10**9
COUNT = 10**4
# A graph with more states is given up: too large to be looked at as a whole.
MOST_STATES = 12_000
SIGNALS = ("danger", "warning", "caution")
# What is counted, so that whoever asks can see that the problems are not too tame to tell anything.
MET = ("ran out", "refused when it ran out", "rule after", "rule always", "broken before", "brought", "fact refused")


def milliseconds(seconds):
    return max(0, math.floor(seconds * 1000 + 0.5))


def span(sourced):
    """Return the shortest, the stated and the longest time, in milliseconds."""
    if sourced is None:
        return 0, 0, 0
    time, more = (
        quantity[0] * UNITS[quantity[1]] if quantity else 0.0
        for quantity in (sourced["value"], sourced.get("plus_minus"))
    )
    return milliseconds(time - more), milliseconds(time), milliseconds(time + more)


class Names:
    """Gives each id one bit."""

    def __init__(self):
        self.bits = {}

    def bit(self, name):
        return self.bits.setdefault(name, 1 << len(self.bits))

    def mask(self, names):
        return sum({self.bit(name) for name in names or ()})


def each(mask):
    while mask:
        bit = mask & -mask
        yield bit
        mask ^= bit


class Rule:
    """What must never be: everything in `holding` and nothing in `unless`."""

    def __init__(self, names, rule):
        self.acts = set(rule.get("acts") or ())
        self.brings = names.mask(rule.get("brings_about"))
        self.ends = names.mask(rule.get("ends"))
        self.spared = rule.get("before_any_but")
        self.holding = names.mask(rule.get("while_holding"))
        self.unless = names.mask(rule.get("unless_any"))
        self.after = bool(rule.get("after"))
        self.always = not self.after and not self.acts and not self.brings and self.spared is None

    def comes_before(self, act, purpose, gives):
        if self.spared is not None:
            return purpose not in self.spared
        return not self.after and (act in self.acts or bool(self.brings & gives))

    def comes_after(self, act, ends):
        return self.after and (act in self.acts or bool(self.ends & ends))

    def broken(self, held, doubtful):
        # What may hold counts as holding; only what does hold makes safe.
        return not self.holding & ~(held | doubtful) and not self.unless & held


class Step:
    def __init__(self, world, step, act, purpose, times):
        holds = {world.names.bit(h["condition"]): span(h["time"])[0] for h in step.get("holds", [])}
        self.requires = world.names.mask(step.get("requires"))
        self.excludes = world.names.mask(step.get("requires_not"))
        self.gives = world.names.mask(step.get("establishes")) | sum(holds)
        self.ends = world.names.mask(step.get("clears"))
        for bit in each(self.gives):
            self.ends |= world.natures[bit].ends & ~self.gives
        self.opens = world.debts.mask(step.get("opens"))
        self.settles = world.debts.mask(step.get("settles"))
        _, self.time, self.longest = times
        lasts = {bit: holds.get(bit, world.natures[bit].lasts) for bit in each(self.gives)}
        self.timers = [(bit, time) for bit, time in lasts.items() if time is not None]
        self.before = [rule for rule in world.rules if rule.comes_before(act, purpose, self.gives)]
        self.after = [rule for rule in world.rules if rule.comes_after(act, self.ends)]


class Nature:
    """What a condition depends on, ends and brings, how long it lasts, and what it lapses to."""

    def __init__(self, names, condition):
        self.needs = names.mask(condition.get("depends_on"))
        self.ends = names.mask(condition.get("ends"))
        self.brings = names.mask(condition.get("brings"))
        # Neutral that runs out may be park by now: what a condition ends may be back when it is over.
        self.lapses = names.mask(condition.get("lapses_to")) | self.ends
        lasts = condition.get("holds_for")
        self.lasts = span(lasts)[0] if lasts else None


class Action:
    def __init__(self, name, steps, starts=0, never=0, hazards=(0, 0, 0)):
        self.name = name
        self.steps, self.starts, self.never, self.hazards = steps, starts, never, hazards
        self.time = sum(step.time for step in steps)

    def owed(self, debts):
        for step in self.steps:
            debts = debts & ~step.settles | step.opens
        return debts


class World:
    """A profile together with what is built in."""

    def __init__(self, data, problem):
        self.names, self.debts = Names(), Names()
        profile = problem["profile"]
        conditions = data["conditions"] + profile.get("conditions", [])
        self.natures = {self.names.bit(c["id"]): Nature(self.names, c) for c in conditions}
        self.needy = [(bit, nature.needs) for bit, nature in self.natures.items() if nature.needs]
        self.bringing = [(bit, nature.brings) for bit, nature in self.natures.items() if nature.brings]
        self.met = collections.Counter()
        self.rules = [Rule(self.names, r) for r in data["rules"] + profile.get("safety_rules", [])]
        self.always = [rule for rule in self.rules if rule.always]
        self.actions = [self.general(act, problem) for act in data["general_acts"]]
        variant = problem["variant"]
        every_variant = set(profile.get("variants", []))
        for procedure in profile["procedures"]:
            variants = set(procedure.get("variants", []))
            fits = not variants or (every_variant <= variants if variant is None else variant in variants)
            if fits and procedure["id"] not in problem["left_out"] and procedure.get("steps"):
                self.actions.append(self.procedure(procedure, profile, problem))
        self.goals = {goal["goal"]: self.asked(goal["asks"]) for goal in data["goals"]}
        self.bring, self.over = self.facts(data, {c["id"] for c in profile.get("conditions", [])})
        self.remembered = {}

    def asked(self, asks):
        every, some, none = (self.names.mask(asks[key]) for key in ("all", "any", "none"))
        return every, some, none, asks["settled"]

    def general(self, act, problem):
        time, more = act["time"], act["plus_minus"]
        if act["id"] == "fetch-key" and problem["fetch_key"] is not None:
            time, more = problem["fetch_key"], 0.0
        times = 0, milliseconds(time), milliseconds(time + more)
        return Action(("general_act", act["id"]), [Step(self, act, act["act"], None, times)])

    def procedure(self, procedure, profile, problem):
        steps, met = [], list(procedure.get("hazards", []))
        for step in procedure["steps"]:
            times = span(step.get("time"))
            if step.get("act") == "winch_up" and problem["load_up"] is not None:
                times = tuple(max(time, milliseconds(problem["load_up"])) for time in times)
            steps.append(Step(self, step, step.get("act"), procedure["purpose"], times))
            met += step.get("hazards", [])
        signals = {h["id"]: h["signal"] for h in profile.get("hazards", [])}
        counts = tuple(sum(signals[h] == signal for h in met) for signal in SIGNALS)
        starts, never = (self.names.mask(procedure.get(key)) for key in ("starts_with", "never_with"))
        return Action(("procedure", procedure["id"]), steps, starts, never, counts)

    def facts(self, data, own_ids):
        """Return what may be brought and what may be over without anybody doing it here.

        Beside the built-in facts these are the author's own conditions that nobody can bring about, or end, and
        that something needs, or something forbids.
        """
        gives = ends = wanted = unwanted = lapses = 0
        for action in self.actions:
            wanted, unwanted = wanted | action.starts, unwanted | action.never
            for step in action.steps:
                gives, ends = gives | step.gives, ends | step.ends
                wanted, unwanted = wanted | step.requires, unwanted | step.excludes
                for bit in each(step.gives):
                    wanted |= self.natures[bit].needs & ~step.gives
        for rule in self.rules:
            wanted, unwanted = wanted | rule.unless, unwanted | rule.holding
        for nature in self.natures.values():
            lapses |= nature.lapses
        own = self.names.mask(own_ids)
        bring = self.names.mask(data["to_bring"]) | own & wanted & ~gives & ~lapses
        over = self.names.mask(data["to_be_over"]) | own & unwanted & ~ends
        # A fact that nothing looks at would only double the graph.
        looked_at = wanted | unwanted
        for _, needs in self.needy:
            looked_at |= needs
        for every, some, none, _ in self.goals.values():
            looked_at |= every | some | none
        looked_at |= sum(bit for bit, brings in self.bringing if brings & looked_at)
        return bring & looked_at, over & looked_at

    def settle(self, held, doubtful, timers):
        """Let what is there bring what it brings, and make doubtful what holds and has lost what it depends on."""
        for bit, brings in self.bringing:
            if (held | doubtful) & bit and brings & ~held:
                self.met["brought"] += 1
                held, doubtful = held | brings, doubtful & ~brings
        while lost := sum(bit for bit, needs in self.needy if held & bit and needs & ~held):
            held, doubtful = held & ~lost, doubtful | lost
            timers = tuple(t for t in timers if not t[0] & lost)
        return held, doubtful, timers

    def broken(self, held, doubtful):
        """Return the numbers of the rules that must always be kept and are not."""
        return {i for i, rule in enumerate(self.always) if rule.broken(held, doubtful)}

    def may_go_on(self, step, held, doubtful, broken):
        """Tell whether a step can be done in these conditions: before it begins, and once more when anything ran out."""
        return not (
            step.requires & ~held
            or step.excludes & (held | doubtful)
            or any(rule.broken(held, doubtful) for rule in step.before)
            or self.broken(held, doubtful) - broken
        )

    def pass_time(self, step, held, doubtful, timers):
        """Return the conditions when the slowest crew is done with a step, and whether anything ran out."""
        lapsed = sum(bit for bit, time in timers if time < step.longest)
        timers = tuple((bit, time - step.longest) for bit, time in timers if time >= step.longest)
        for bit in each(lapsed):
            lapsed |= self.natures[bit].lapses
        held, doubtful = held & ~lapsed, doubtful | lapsed
        return (*self.settle(held, doubtful, timers), bool(lapsed))

    def do(self, step, held, doubtful, timers):
        """Return the conditions after a step, or None where it is refused or goes wrong."""
        broken = self.broken(held, doubtful)
        if not self.may_go_on(step, held, doubtful, broken):
            return None
        held, doubtful, timers, ran_out = self.pass_time(step, held, doubtful, timers)
        if ran_out:
            self.met["ran out"] += 1
            if not self.may_go_on(step, held, doubtful, broken):
                self.met["refused when it ran out"] += 1
                return None
        touched = step.ends | step.gives
        held, doubtful = held & ~step.ends | step.gives, doubtful & ~touched
        timers = tuple(sorted([t for t in timers if not t[0] & touched] + step.timers))
        if any(self.natures[bit].needs & ~held for bit in each(step.gives)):
            return None
        held, doubtful, timers = self.settle(held, doubtful, timers)
        if any(rule.broken(held, doubtful) for rule in step.after):
            self.met["rule after"] += 1
            return None
        now_broken = self.broken(held, doubtful)
        if now_broken - broken:
            self.met["rule always"] += 1
            return None
        self.met["broken before"] += bool(now_broken)
        return held, doubtful, timers

    def after(self, conditions):
        """Return what each action makes of these conditions: [(action, conditions), ...]."""
        known = self.remembered.get(conditions)
        if known is None:
            known = []
            for action in self.actions:
                held, doubtful, _ = conditions
                if action.starts & ~held or action.never & (held | doubtful):
                    continue
                end = conditions
                for step in action.steps:
                    end = self.do(step, *end)
                    if end is None:
                        break
                else:
                    known.append((action, end))
            self.remembered[conditions] = known
        return known

    def assumed(self, conditions, facts=-1):
        """Yield the conditions with one of these facts otherwise, where that can be and breaks no rule."""
        held, doubtful, timers = conditions
        broken = self.broken(held, doubtful)
        for bit in each(self.bring & ~held & facts):
            ends = self.natures[bit].ends
            lasts = self.natures[bit].lasts
            assert lasts is None, "the time of a fact that comes to hold by itself is nowhere said"
            left = tuple(t for t in timers if not t[0] & (ends | bit))
            end = self.settle(held & ~ends | bit, doubtful & ~(ends | bit), left)
            if end[0] & bit and not self.broken(*end[:2]) - broken:
                yield end
            else:
                self.met["fact refused"] += 1
        for bit in each(self.over & (held | doubtful) & facts):
            left = tuple(t for t in timers if not t[0] & bit)
            end = self.settle(held & ~bit, doubtful & ~bit, left)
            if not (end[0] | end[1]) & bit and not self.broken(*end[:2]) - broken:
                yield end
            else:
                self.met["fact refused"] += 1

    def next(self, state, owing):
        """Yield (state, (facts, facts that are over), time, hazards) of everything that can follow a state."""
        conditions, debts = state
        for action, end in self.after(conditions):
            yield (end, action.owed(debts) if owing else debts), (0, 0), action.time, action.hazards
        for end in self.assumed(conditions, self.bring):
            yield (end, debts), (1, 0), 0, (0, 0, 0)
        for end in self.assumed(conditions, self.over):
            yield (end, debts), (1, 1), 0, (0, 0, 0)

    def leads(self, given, way, goal):
        """Tell whether these actions can be done one after the other and reach the goal."""
        # A fact is told without whether it comes or goes; where it is doubtful both can be.
        states = {self.start(given)}
        for kind, name in way:
            if kind == "fact":
                bit = self.names.bit(name)
                states = {(end, debts) for conditions, debts in states for end in self.assumed(conditions, bit)}
            else:
                states = {
                    (end, action.owed(debts))
                    for conditions, debts in states
                    for action, end in self.after(conditions)
                    if action.name == (kind, name)
                }
        return not way or any(self.reached(goal, *conditions[:2], debts) for conditions, debts in states)

    def start(self, given):
        held, doubtful, timers = self.settle(self.names.mask(given), 0, ())
        assert not doubtful, "a start names what its conditions depend on"
        return (held, doubtful, timers), 0

    def reached(self, goal, held, doubtful, debts):
        every, some, none, settled = self.goals[goal]
        there = not (every & ~held or some and not some & held or none & (held | doubtful) or settled and debts)
        return there and not self.broken(held, doubtful)


def quick(facts, time, hazards):
    weight = (facts[0] * COUNT + facts[1]) * TIME + time
    for count in hazards:
        weight = weight * COUNT + count
    return weight


def careful(facts, time, hazards):
    weight = facts[0] * COUNT + facts[1]
    for count in hazards:
        weight = weight * COUNT + count
    return weight * TIME + time


MEASURES = {"quick": quick, "careful": careful}


def unpacked(name, weight):
    """Return the facts of a weight, how many of them are over, and its other parts in order."""
    bases = [TIME, COUNT, COUNT, COUNT] if name == "quick" else [COUNT, COUNT, COUNT, TIME]
    parts = []
    for base in reversed(bases):
        parts.insert(0, weight % base)
        weight //= base
    return [weight // COUNT, weight % COUNT], parts


def connect(graph, a, b, cost):
    weights = {name: measure(*cost) for name, measure in MEASURES.items()}
    known = graph.get_edge_data(a, b)
    if known:
        weights = {name: min(weight, known[name]) for name, weight in weights.items()}
    graph.add_edge(a, b, **weights)


def cell(weights):
    if not weights:
        return None
    (facts, in_time), (again, in_hazard) = (unpacked(name, weights[name]) for name in ("quick", "careful"))
    assert facts == again
    return {"facts": facts, "quick": in_time, "careful": in_hazard}


def whole(world, starts):
    """Return the graph of everything that can be reached from any start."""
    graph = nx.DiGraph()
    queue = [world.start(given) for given in starts]
    graph.add_nodes_from(queue)
    for state in queue:
        for after, *cost in world.next(state, True):
            if after not in graph:
                queue.append(after)
            connect(graph, state, after, cost)
        if len(graph) > MOST_STATES:
            return None
    return graph


def solve_whole(world, starts, goals):
    graph = whole(world, starts)
    if graph is None:
        return None, 0, 0
    ends = {goal: [s for s in graph if world.reached(goal, *s[0][:2], s[1])] for goal in goals}
    rows = []
    for given in starts:
        start = world.start(given)
        seen = {start, *(b for _, b in nx.bfs_edges(graph, start))}
        lengths = {name: nx.single_source_dijkstra_path_length(graph, start, weight=name) for name in MEASURES}
        assert all(len(known) == len(seen) for known in lengths.values())
        row = []
        for goal in goals:
            there = [s for s in ends[goal] if s in seen]
            row.append(cell({name: min(known[s] for s in there) for name, known in lengths.items()} if there else {}))
        rows.append(row)
    return rows, len(graph), graph.number_of_edges()


class Free(World):
    """The same world where nothing runs out and every fact is at any time as one needs it: an easier one."""

    def __init__(self, data, problem):
        super().__init__(data, problem)
        self.free = self.bring | self.over
        self.rules = [r for r in self.rules if not (r.holding | r.unless) & self.free]
        self.always = [rule for rule in self.rules if rule.always]
        for action in self.actions:
            action.starts, action.never = action.starts & ~self.free, action.never & ~self.free
            for step in action.steps:
                step.requires, step.excludes = step.requires & ~self.free, step.excludes & ~self.free
                step.timers = []
                step.before, step.after = (
                    [rule for rule in rules if rule in self.rules] for rules in (step.before, step.after)
                )
        for nature in self.natures.values():
            nature.needs &= ~self.free
        self.needy = [(bit, nature.needs) for bit, nature in self.natures.items() if nature.needs]
        assert all(brings & ~self.free == 0 for _, brings in self.bringing), "what is brought may be over at any time"
        self.bringing = []
        self.goals = {name: self.eased_goal(*asks) for name, asks in self.goals.items()}
        self.graph = nx.DiGraph()

    def eased_goal(self, every, some, none, settled):
        return every & ~self.free, 0 if some & self.free else some, none & ~self.free, settled

    def do(self, step, held, doubtful, timers):
        """Do a step, and forget what the facts are."""
        end = super().do(step, held, doubtful, timers)
        return end and self.forgotten(*end)

    def forgotten(self, held, doubtful, timers):
        return held & ~self.free, doubtful & ~self.free, timers

    def reachable(self, given, goals):
        """Return the goals that may be reached: surely none beside them can."""
        first = self.forgotten(*self.start(given)[0])
        queue = [] if first in self.graph else [first]
        self.graph.add_node(first)
        for conditions in queue:
            for _, end in self.after(conditions):
                if end not in self.graph:
                    queue.append(end)
                self.graph.add_edge(conditions, end)
        seen = [first, *(b for _, b in nx.bfs_edges(self.graph, first))]
        return [goal for goal in goals if any(self.reached(goal, *end[:2], 0) for end in seen)]


def replaced(seen, debts, timers):
    """Tell whether a state that cost no more has the same conditions, no debt more and no time less."""
    left = dict(timers)
    return any(
        not theirs & ~debts and all(left.get(bit, math.inf) <= time for bit, time in running)
        for theirs, running in seen
    )


def search(world, start, goals, name, owing):
    """Return the weights of the best ways, each told by networkx over the states that are not replaced."""
    measure, graph, best = MEASURES[name], nx.DiGraph(), {}
    order = itertools.count()
    heap, seen, open_goals = [(0, next(order), start)], {}, set(goals)
    graph.add_node(start)
    ends = set()
    while heap and open_goals:
        weight, _, state = heapq.heappop(heap)
        (held, doubtful, timers), debts = state
        like = seen.setdefault((held, doubtful), [])
        if replaced(like, debts, timers):
            continue
        like.append((debts, timers))
        for goal in [g for g in open_goals if world.reached(g, held, doubtful, debts)]:
            open_goals.remove(goal)
            ends.add(goal)
        for after, *cost in world.next(state, owing):
            if after == state:
                continue
            edge = measure(*cost)
            if best.get(after, math.inf) > weight + edge:
                best[after] = weight + edge
                heapq.heappush(heap, (weight + edge, next(order), after))
            known = graph.get_edge_data(state, after)
            graph.add_edge(state, after, **{name: min(edge, known[name]) if known else edge})
    lengths = nx.single_source_dijkstra_path_length(graph, start, weight=name)
    found = {
        goal: min(length for (end, debts), length in lengths.items() if world.reached(goal, *end[:2], debts))
        for goal in ends
    }
    return found, len(graph), graph.number_of_edges()


def solve_start(world, free, given, goals):
    possible = free.reachable(given, goals)
    weights, nodes, edges = {goal: {} for goal in goals}, 0, 0
    for owing in (False, True):
        some = [g for g in possible if world.goals[g][3] == owing]
        for name in MEASURES if some else ():
            found, more_nodes, more_edges = search(world, world.start(given), some, name, owing)
            nodes, edges = nodes + more_nodes, edges + more_edges
            for goal, weight in found.items():
                weights[goal][name] = weight
    return [cell(weights[goal]) for goal in goals], nodes, edges


def solve(data, problem):
    world = World(data, problem)
    starts, goals = problem["starts"], problem["goals"]
    if problem["whole"]:
        rows, nodes, edges = solve_whole(world, starts, goals)
    else:
        free = Free(data, problem)
        solved = [solve_start(world, free, given, goals) for given in starts]
        rows = [row for row, _, _ in solved]
        nodes, edges = (sum(s[i] for s in solved) for i in (1, 2))
    carried_out = [
        [
            [world.leads(given, way, goal) for way, goal in zip(row, goals, strict=True)]
            for row, given in zip(answer, starts, strict=True)
        ]
        for answer in problem["ways"]
    ]
    met = {what: world.met[what] for what in MET}
    return {"nodes": nodes, "edges": edges, "cells": rows, "carried_out": carried_out, "met": met}


def main():
    question = json.load(sys.stdin)
    work = [(question["data"], problem) for problem in question["problems"]]
    with multiprocessing.Pool() as pool:
        answers = pool.starmap(solve, work, chunksize=1)
    json.dump({"problems": answers}, sys.stdout)
    print()


if __name__ == "__main__":
    main()
