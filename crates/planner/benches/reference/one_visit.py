"""Holds a week against a general solver that is given each job as one visit, its waits inside.

    gangday pose sample-data/full-week > posed.json
    cargo run --release -p gangday-planner --example one_visit -- posed.json 20
    python3 one_visit.py posed.json 20

The solver is PyVRP (PyPI `pyvrp`, 0.14), an open hybrid genetic search: prizes for jobs, a cost for each gang-day,
second on duty, second of overtime and second of driving, in the same pence as ours. What it can't be told is
left out of both (see one_visit.rs). Seconds are the processor's, from before it looks for neighbours on.

Every kind of gang-day (tickets and day) has two tables of its own: 5,000 jobs take some 10 GB until they are handed over.
"""

import json
import math
import resource
import sys
import time

import numpy as np
from pyvrp import Client, ClientGroup, Depot, Location, PenaltyParams, ProblemData, SolveParams, VehicleType, solve
from pyvrp.IteratedLocalSearch import IteratedLocalSearchCallbacks, IteratedLocalSearchParams

HOUR = 3600
FAR = 10**6


class Spent:
    """Stops once so much of the processor's time is used."""

    def __init__(self, seconds):
        self.until = time.process_time() + seconds

    def __call__(self, best_cost):
        return time.process_time() >= self.until


class FirstPlan(IteratedLocalSearchCallbacks):
    """When the solver has its first plan, in seconds of the processor."""

    def __init__(self):
        self.begun = time.process_time()

    def on_start(self, ils):
        self.took = time.process_time() - self.begun


def span(task):
    return sum(work + wait for work, wait in task["blocks"])


def closure(task):
    return task["closure_hour"] * math.ceil(span(task) / HOUR)


def may(task, tickets, day):
    allowed = not task["days"] or (day < len(task["days"]) and task["days"][day])
    return allowed and task["tickets"] & ~tickets == 0


def windows(task):
    """When the visit may start; a whole day where no hours are stated."""
    stated = task["windows"] or [(0, 24 * HOUR)]
    return [(a, b - span(task)) for a, b in stated if b - span(task) >= a]


def matrices(posed, places, kinds):
    """Travel and duration by kind of gang-day; loading and unloading lie on the ways from and to the depot."""
    travel = posed["travel"].astype(np.int64)
    nodes = [node for node, _ in places]
    base = travel[np.ix_(nodes, nodes)]
    depots = np.array([task is None for _, task in places])
    distances, durations = [], []
    for tickets, day, load, unload in kinds:
        distance, duration = base.copy(), base.copy()
        duration[depots, :] += load
        duration[:, depots] += unload
        for at, (_, task) in enumerate(places):
            if task is not None and not may(task, tickets, day):
                distance[:, at] = duration[:, at] = FAR
                distance[at, :] = duration[at, :] = FAR
        for matrix in (distance, duration):
            np.fill_diagonal(matrix, 0)
        distances.append(distance)
        durations.append(duration)
    return distances, durations


def pose(posed):
    days, tasks, rates = posed["gang_days"], posed["tasks"], posed["rates"]
    depots = sorted({day["depot"] for day in days})
    able = [at for at, task in enumerate(tasks) if windows(task)]
    places = [(node, None) for node in depots] + [(tasks[at]["node"], tasks[at]) for at in able]
    kind_of = lambda day: (day["tickets"], day["day"], day["load"], day["unload"])
    kinds = sorted({kind_of(day) for day in days})
    distances, durations = matrices(posed, places, kinds)
    clients, owners, groups = [], [], []
    for place, at in enumerate(able, len(depots)):
        task, choices = tasks[at], windows(tasks[at])
        group = len(groups) if len(choices) > 1 else None
        if group is not None:
            groups.append(ClientGroup(range(len(clients), len(clients) + len(choices)), required=False))
        for first, last in choices:
            prize = max(task["left_out"] - closure(task), 0) * HOUR
            clients.append(
                Client(place, service_duration=span(task), tw_early=first, tw_late=last, prize=prize, required=False, group=group)
            )
            owners.append(at)
    vehicles = [
        VehicleType(
            start_depot=depots.index(day["depot"]),
            end_depot=depots.index(day["depot"]),
            fixed_cost=rates["gang_day"] * HOUR,
            tw_early=day["start"],
            tw_late=day["latest"],
            start_late=day["start"],
            shift_duration=day["end"] - day["start"],
            max_overtime=day["latest"] - day["end"],
            unit_duration_cost=rates["crew_hour"],
            unit_overtime_cost=rates["overtime_hour"],
            unit_distance_cost=rates["travel_hour"],
            profile=kinds.index(kind_of(day)),
        )
        for day in days
    ]
    data = ProblemData(
        [Location(0, 0) for _ in places],
        clients,
        [Depot(at) for at in range(len(depots))],
        vehicles,
        distances,
        durations,
        groups,
    )
    return data, owners


def driven(posed, day, route):
    """The gang-day by our own count: its end, its driving, and whether every rule told to the solver is kept."""
    at, clock, driving = day["depot"], day["start"] + day["load"], 0
    for task in (posed["tasks"][own] for own in route):
        leg = int(posed["travel"][at, task["node"]])
        at, driving, clock = task["node"], driving + leg, clock + leg
        fits = [max(clock, first) for first, last in windows(task) if max(clock, first) <= last]
        assert fits and may(task, day["tickets"], day["day"]), "a visit that breaks a rule"
        clock = fits[0] + span(task)
    leg = int(posed["travel"][at, day["depot"]])
    end = clock + leg + day["unload"]
    assert end <= day["latest"], "a gang-day that ends too late"
    return end, driving + leg


def told(posed, days):
    rates, done = posed["rates"], set()
    cost = hours = travel = 0
    for day, route in days:
        end, driving = driven(posed, day, route)
        past = max(0, end - day["end"])
        cost += (end - day["start"]) * rates["crew_hour"] + past * rates["overtime_hour"]
        cost += driving * rates["travel_hour"] + rates["gang_day"] * HOUR
        cost += sum(closure(posed["tasks"][at]) for at in route) * HOUR
        hours, travel = hours + end - day["start"], travel + driving
        assert not done & set(route), "a job twice"
        done |= set(route)
    left = sum(task["left_out"] for at, task in enumerate(posed["tasks"]) if at not in done)
    return {
        "who": "PyVRP, one visit",
        "gang_days": len(days),
        "jobs": len(done),
        "gang_hours": hours / HOUR,
        "travel_hours": travel / HOUR,
        "cost": (cost / HOUR + left) / 100,
    }


def main():
    with open(sys.argv[1]) as file:
        posed = json.load(file)
    posed["travel"] = np.array(posed["travel"], dtype=np.int32)
    data, owners = pose(posed)
    # A second too late has to be able to cost more than a job is worth.
    first = FirstPlan()
    params = SolveParams(penalty=PenaltyParams(max_penalty=1e9), ils=IteratedLocalSearchParams(callbacks=first))
    stop = Spent(float(sys.argv[2]))
    result = solve(data, stop=stop, seed=1, collect_stats=False, params=params)
    best = result.best
    assert best.is_feasible(), "no feasible plan was found"
    days = []
    for route in best.routes():
        visits = [owners[step.idx] for step in route.schedule() if step.is_client()]
        days.append((posed["gang_days"][route.vehicle_type()], visits))
    used = {
        "first_plan_s": round(first.took, 1),
        "seconds": round(time.process_time() - first.begun, 1),
        "iterations": result.num_iterations,
        "memory_gb": round(resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024**2, 1),
    }
    print(json.dumps(told(posed, days) | used))


if __name__ == "__main__":
    main()
