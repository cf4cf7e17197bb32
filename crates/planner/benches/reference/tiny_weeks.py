"""Holds the search's tiny weeks against proven optima, by OR-Tools CP-SAT (Apache-2.0, from PyPI).

    cargo run --release -p gangday-planner --example tiny_weeks -- 50 8 2 20000 > tiny.jsonl
    python3 -m venv venv && venv/bin/pip install ortools
    venv/bin/python tiny_weeks.py tiny.jsonl [SECONDS_A_WEEK]

A plan is a set of jobs for each gang-day. What a set costs at least is bounded by hand (the shortest way
round its places, its work, its closures at their shortest); the cheapest partition by those bounds is found
by going through all; a set in it that is only bounded is then given to CP-SAT, which finds its exact cost or
that it is too dear for any plan cheaper than ours, and so on, until the cheapest partition is made of exact
sets, which is the optimum, or no cheaper than ours, which then is. The model shares nothing with the search
but the week.
"""

import json
import sys
import time

from ortools.sat.python import cp_model

NEVER = 10**12


def shortest(travel):
    """Travel by way of anywhere: rounding up to minutes can make a detour look shorter."""
    n = len(travel)
    best = [list(row) for row in travel]
    for via in range(n):
        for a in range(n):
            for b in range(n):
                best[a][b] = min(best[a][b], best[a][via] + best[via][b])
    return best


class Gangday:
    """One gang-day of a week, and what sets of jobs cost in it."""

    def __init__(self, week, day):
        self.week, self.day = week, day
        self.travel, self.tasks = week["travel"], week["tasks"]
        self.way = shortest(self.travel)
        self.allowed = sum(
            1 << t
            for t, task in enumerate(self.tasks)
            if (not task["days"] or task["days"][day["day"]]) and not task["tickets"] & ~day["tickets"]
        )
        self.round = self.rounds()

    def key(self):
        fixed = {name: value for name, value in self.day.items() if name != "day"}
        return json.dumps(fixed, sort_keys=True)

    def rounds(self):
        """For each set, the least travel from the depot to all its places and back (Held and Karp, 1962)."""
        n, depot = len(self.tasks), self.day["depot"]
        place = [task["node"] for task in self.tasks]
        best = {(1 << t, t): self.way[depot][place[t]] for t in range(n)}
        least = [0] + [NEVER] * ((1 << n) - 1)
        for chosen in range(1, 1 << n):
            for last in range(n):
                so_far = best.get((chosen, last))
                if so_far is None:
                    continue
                least[chosen] = min(least[chosen], so_far + self.way[place[last]][depot])
                for t in range(n):
                    if not chosen >> t & 1:
                        further = (chosen | 1 << t, t)
                        best[further] = min(best.get(further, NEVER), so_far + self.way[place[last]][place[t]])
        return least

    def crew(self, end):
        day, week = self.day, self.week
        within = min(end, day["end"]) - day["start"]
        return week["crew_minute"] * within + week["overtime_minute"] * max(0, end - day["end"])

    def set_ups(self, own):
        dear = {}
        for task in own:
            dear.setdefault(task["street"], set()).add(task["set_up"])
        assert all(len(prices) == 1 for prices in dear.values()), "one price for a street's set-up"
        return sum(prices.pop() for prices in dear.values())

    def bound(self, chosen):
        """No way of doing these jobs on this gang-day costs less."""
        if chosen == 0:
            return 0
        if chosen & ~self.allowed:
            return NEVER
        own = [task for t, task in enumerate(self.tasks) if chosen >> t & 1]
        day, depot = self.day, self.day["depot"]
        out = day["start"] + day["load"]
        end = out + self.round[chosen] + sum(work for task in own for work, _ in task["blocks"]) + day["unload"]
        closures = 0
        for task in own:
            chain = sum(work + wait for work, wait in task["blocks"]) - task["blocks"][-1][1]
            there = out + self.way[depot][task["node"]]
            if task["window"]:
                there = max(there, task["window"][0])
                if there + chain > task["window"][1]:
                    return NEVER
            end = max(end, there + chain + self.way[task["node"]][depot] + day["unload"])
            closures += task["closure_hour"] * -(-chain // 60)
        if end > day["latest"]:
            return NEVER
        travel = self.week["travel_minute"] * self.round[chosen]
        return self.crew(end) + travel + closures + self.set_ups(own) + self.week["gang_day"]

    def exact(self, chosen, below, seconds):
        """The least cost of these jobs on this gang-day; NEVER where that is not below `below`; None where time ran out."""
        own = [t for t in range(len(self.tasks)) if chosen >> t & 1]
        tasks, day, week, travel = self.tasks, self.day, self.week, self.travel
        m = cp_model.CpModel()
        nodes = [(t, b) for t in own for b in range(len(tasks[t]["blocks"]))]
        start, cost = {}, []
        for t in own:
            task, depot = tasks[t], day["depot"]
            blocks, chain = task["blocks"], 0
            earliest = day["start"] + day["load"] + self.way[depot][task["node"]]
            latest = day["latest"] - day["unload"] - self.way[task["node"]][depot]
            if task["window"]:
                earliest, latest = max(earliest, task["window"][0]), min(latest, task["window"][1])
            tail = sum(work + wait for work, wait in blocks) - blocks[-1][1]
            for b, (work, wait) in enumerate(blocks):
                if earliest + chain > latest - tail + chain:
                    return NEVER
                start[t, b] = m.new_int_var(earliest + chain, latest - tail + chain, "")
                if b:
                    m.add(start[t, b] >= start[t, b - 1] + blocks[b - 1][0] + blocks[b - 1][1])
                chain += work + wait
            done = start[t, len(blocks) - 1] + blocks[-1][0]
            hours = m.new_int_var(-(-tail // 60), (day["latest"] - day["start"]) // 60 + 1, "")
            m.add(60 * hours >= done - start[t, 0])
            cost.append(task["closure_hour"] * hours)
        end = m.new_int_var(day["start"], day["latest"], "")
        over = m.new_int_var(0, max(0, day["latest"] - day["end"]), "")
        within = m.new_int_var(0, day["end"] - day["start"], "")
        m.add(within + over >= end - day["start"])
        m.add(over >= end - day["end"])
        driven = m.new_int_var(self.round[chosen], day["latest"], "")
        arcs, legs, depot = [], [], day["depot"]
        for i, (t, b) in enumerate(nodes, 1):
            place, work = tasks[t]["node"], tasks[t]["blocks"][b][0]
            if b == 0:
                first = m.new_bool_var("")
                arcs.append((0, i, first))
                legs.append(travel[depot][place] * first)
                m.add(start[t, b] >= day["start"] + day["load"] + travel[depot][place]).only_enforce_if(first)
            if b + 1 == len(tasks[t]["blocks"]):
                last = m.new_bool_var("")
                arcs.append((i, 0, last))
                legs.append(travel[place][depot] * last)
                m.add(end >= start[t, b] + work + travel[place][depot] + day["unload"]).only_enforce_if(last)
            m.add(end >= start[t, b] + work + self.way[place][depot] + day["unload"])
            for j, (u, c) in enumerate(nodes, 1):
                if i == j or (t == u and c != b + 1):
                    continue
                arc, leg = m.new_bool_var(""), travel[place][tasks[u]["node"]]
                arcs.append((i, j, arc))
                legs.append(leg * arc)
                m.add(start[u, c] >= start[t, b] + work + leg).only_enforce_if(arc)
        m.add_circuit(arcs)
        m.add(driven == sum(legs))
        work = sum(tasks[t]["blocks"][b][0] for t, b in nodes)
        m.add(end >= day["start"] + day["load"] + work + driven + day["unload"])
        m.add_no_overlap(m.new_fixed_size_interval_var(start[t, b], tasks[t]["blocks"][b][0], "") for t, b in nodes)
        fixed = self.set_ups([tasks[t] for t in own]) + week["gang_day"]
        cost += [week["crew_minute"] * within, week["overtime_minute"] * over, week["travel_minute"] * driven]
        total = sum(cost) + fixed
        m.add(total >= self.bound(chosen))
        if below < NEVER:
            m.add(total < below)
        m.minimize(total)
        solver = cp_model.CpSolver()
        solver.parameters.max_time_in_seconds = max(0.1, seconds)
        solver.parameters.num_workers = 1
        status = solver.solve(m)
        if status == cp_model.INFEASIBLE:
            return NEVER
        return round(solver.objective_value) if status == cp_model.OPTIMAL else None


def subsets(chosen):
    part = chosen
    while True:
        yield part
        if part == 0:
            return
        part = (part - 1) & chosen


def partition(costs, left_out, everybody):
    """The cheapest way of giving each gang-day a set; what no day takes is left out."""
    best, choices = left_out, []
    for cost in costs:
        possible = [(chosen, price) for chosen, price in enumerate(cost) if price < NEVER]
        further, choice = list(best), [0] * (everybody + 1)
        for chosen, price in possible:
            for rest in subsets(everybody & ~chosen):
                if best[rest] + price < further[rest | chosen]:
                    further[rest | chosen] = best[rest] + price
                    choice[rest | chosen] = chosen
        best = further
        choices.append(choice)
    sets, rest = [], everybody
    for choice in reversed(choices):
        sets.append(choice[rest])
        rest &= ~choice[rest]
    return best[everybody], sets[::-1]


def optimum(week, ours, seconds):
    """The least cost of all plans, and how many sets were solved exactly; None where time ran out."""
    begun = time.monotonic()
    days = [Gangday(week, day) for day in week["days"]]
    everybody = (1 << len(week["tasks"])) - 1
    costs = [[day.bound(chosen) for chosen in range(everybody + 1)] for day in days]
    left_out = [
        sum(task["left_out"] for t, task in enumerate(week["tasks"]) if chosen >> t & 1) for chosen in range(everybody + 1)
    ]
    known, solved = {}, 0
    while True:
        least, sets = partition(costs, left_out, everybody)
        if least >= ours:
            return min(least, ours), solved
        loose = [(d, chosen) for d, chosen in enumerate(sets) if chosen and (days[d].key(), chosen) not in known]
        if not loose:
            return least, solved
        for d, chosen in loose:
            key = days[d].key(), chosen
            if key not in known:
                left = seconds - (time.monotonic() - begun)
                # Only a set this cheap could be part of a plan cheaper than ours; that none is, is soon found.
                below = costs[d][chosen] + ours - least
                found = days[d].exact(chosen, below, left) if left > 0 else None
                solved += 1
                if found is None:
                    return None, solved
                if found < NEVER:
                    known[key] = found
                for other, day in enumerate(days):
                    if day.key() == key[0] and costs[other][chosen] < NEVER:
                        costs[other][chosen] = min(found, below)
                break


def main():
    seconds = float(sys.argv[2]) if len(sys.argv) > 2 else 600
    equal = beaten = unknown = solved = 0
    longest = slowest = 0.0
    with open(sys.argv[1], encoding="utf-8") as lines:
        for line in lines:
            week = json.loads(line)
            longest = max(longest, week["seconds"])
            begun = time.monotonic()
            least, sets = optimum(week, week["ours"], seconds)
            solved += sets
            slowest = max(slowest, time.monotonic() - begun)
            if least is None:
                unknown += 1
                print(f"week {week['seed']}: {week['ours']}, time ran out", flush=True)
            elif least < week["ours"]:
                beaten += 1
                print(f"week {week['seed']}: {week['ours']}, but {least} can be had", flush=True)
            else:
                equal += 1
    print(
        f"{equal} at the proven optimum, {beaten} beaten, {unknown} open; {solved} sets solved exactly, "
        f"{slowest:.0f} s for the slowest proof; the search's longest {longest:.2f} s"
    )


if __name__ == "__main__":
    main()
