"""Holds the search's tiny weeks against an exact model in OR-Tools CP-SAT (Apache-2.0, from PyPI).

    cargo run --release -p gangday-planner --example tiny_weeks -- 50 8 2 20000 > tiny.jsonl
    python3 -m venv venv && venv/bin/pip install ortools
    venv/bin/python tiny_weeks.py tiny.jsonl

For each week it looks for any plan that costs less than the search's: none is a proof that the search's
is cheapest. The model shares nothing with the search but the week.
"""

import json
import sys

from ortools.sat.python import cp_model


def cheaper(week, limit, seconds):
    """A plan's cost below `limit`; None where it is proven that there is none; "?" where time ran out."""
    m = cp_model.CpModel()
    tasks, days, travel = week["tasks"], week["days"], week["travel"]
    horizon = max(d["latest"] for d in days)
    nodes = [(t, b) for t, task in enumerate(tasks) for b in range(len(task["blocks"]))]
    start = {n: m.new_int_var(0, horizon, f"s{n}") for n in nodes}
    cost = []
    on = {}
    for t, task in enumerate(tasks):
        choices = []
        for d, day in enumerate(days):
            allowed = (not task["days"] or task["days"][day["day"]]) and not task["tickets"] & ~day["tickets"]
            on[t, d] = m.new_bool_var(f"x{t},{d}") if allowed else m.new_constant(0)
            choices.append(on[t, d])
        out = m.new_bool_var(f"out{t}")
        m.add_exactly_one(choices + [out])
        cost.append(task["left_out"] * out)
        last = len(task["blocks"]) - 1
        for b in range(last):
            work, wait = task["blocks"][b]
            m.add(start[t, b + 1] >= start[t, b] + work + wait)
        done = start[t, last] + task["blocks"][last][0]
        if task["window"]:
            m.add(start[t, 0] >= task["window"][0]).only_enforce_if(~out)
            m.add(done <= task["window"][1]).only_enforce_if(~out)
        hours = m.new_int_var(0, horizon // 60 + 1, f"h{t}")
        m.add(60 * hours >= done - start[t, 0]).only_enforce_if(~out)
        cost.append(task["closure_hour"] * hours)
    for d, day in enumerate(days):
        used = m.new_bool_var(f"y{d}")
        end = m.new_int_var(day["start"], day["latest"], f"e{d}")
        over = m.new_int_var(0, day["latest"] - day["end"], f"o{d}")
        m.add(over >= end - day["end"])
        # Within the shift at the crew's rate, past it at the other.
        within = m.new_int_var(0, day["end"] - day["start"], f"w{d}")
        m.add(within + over >= end - day["start"]).only_enforce_if(used)
        cost += [week["crew_minute"] * within, week["overtime_minute"] * over, week["gang_day"] * used]
        arcs = [(0, 0, ~used)]
        depot = day["depot"]
        for i, (t, b) in enumerate(nodes, 1):
            arcs.append((i, i, ~on[t, d]))
            m.add_implication(on[t, d], used)
            place, work = tasks[t]["node"], tasks[t]["blocks"][b][0]
            first, last = m.new_bool_var(""), m.new_bool_var("")
            arcs += [(0, i, first), (i, 0, last)]
            m.add(start[t, b] >= day["start"] + day["load"] + travel[depot][place]).only_enforce_if(first)
            m.add(end >= start[t, b] + work + travel[place][depot] + day["unload"]).only_enforce_if(last)
            cost += [week["travel_minute"] * travel[depot][place] * first, week["travel_minute"] * travel[place][depot] * last]
            for j, (u, c) in enumerate(nodes, 1):
                if i == j or (t == u and c != b + 1):
                    continue
                arc = m.new_bool_var("")
                arcs.append((i, j, arc))
                leg = travel[place][tasks[u]["node"]]
                m.add(start[u, c] >= start[t, b] + work + leg).only_enforce_if(arc)
                cost.append(week["travel_minute"] * leg * arc)
        m.add_circuit(arcs)
        # The gang does one thing at a time: said once more, as intervals.
        m.add_no_overlap(
            m.new_optional_fixed_size_interval_var(start[t, b], tasks[t]["blocks"][b][0], on[t, d], "") for t, b in nodes
        )
        for street in {task["street"] for task in tasks}:
            own = [t for t, task in enumerate(tasks) if task["street"] == street]
            dear = max(tasks[t]["set_up"] for t in own)
            assert all(tasks[t]["set_up"] == dear for t in own), "one price for a street's set-up"
            shared = m.new_bool_var("")
            for t in own:
                m.add_implication(on[t, d], shared)
            cost.append(dear * shared)
    total = sum(cost)
    m.add(total <= limit - 1)
    m.minimize(total)
    solver = cp_model.CpSolver()
    solver.parameters.max_time_in_seconds = seconds
    solver.parameters.num_workers = 2
    status = solver.solve(m)
    if status == cp_model.INFEASIBLE:
        return None
    if status in (cp_model.OPTIMAL, cp_model.FEASIBLE):
        return round(solver.objective_value)
    return "?"


def main():
    proven = cheaper_found = unknown = 0
    longest = 0.0
    with open(sys.argv[1], encoding="utf-8") as lines:
        for line in lines:
            week = json.loads(line)
            longest = max(longest, week["seconds"])
            found = cheaper(week, week["ours"], float(sys.argv[2]) if len(sys.argv) > 2 else 300)
            if found is None:
                proven += 1
            elif found == "?":
                unknown += 1
                print(f"week {week['seed']}: {week['ours']}, neither proven nor beaten", flush=True)
            else:
                cheaper_found += 1
                print(f"week {week['seed']}: {week['ours']}, but {found} can be had", flush=True)
    print(f"{proven} proven cheapest, {cheaper_found} beaten, {unknown} open; the search's longest {longest:.2f} s")


main()
