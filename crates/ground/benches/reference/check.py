"""Works out by SciPy's Dijkstra what `export_graph` worked out, and compares to the millisecond.

    python3 -m pip install scipy
    python3 check.py graph.json

SciPy counts in doubles; times are whole milliseconds far below 2**53, so its sums are exact.
"""

import json
import sys

import numpy as np
from scipy.sparse import csr_matrix
from scipy.sparse.csgraph import dijkstra

NEVER = 2**32 - 1
PARTS = 1_000_000


class Graph:
    def __init__(self, exported):
        self.runs = exported["runs"]
        self.run = np.array([state[0] for state in exported["states"]])
        self.next = [state[1] for state in exported["states"]]
        self.of_run = {}
        for state, run in enumerate(self.run):
            self.of_run.setdefault(int(run), []).append(state)
        tails = [a for a, ends in enumerate(self.next) for _ in ends]
        self.tail = np.array(tails, dtype=np.int64)
        self.head = np.array([b for ends in self.next for b in ends], dtype=np.int64)
        self.ms_of_run = np.array([run[2] for run in self.runs], dtype=np.float64)
        self.ms = self.ms_of_run[self.run[self.tail]]

    def passed(self, place, run):
        ms = self.runs[run][2]
        along = (ms * place[1] + PARTS // 2) // PARTS
        return along if run % 2 == 0 else ms - along

    def standings(self, place):
        both = (2 * place[0], 2 * place[0] + 1)
        return [(run, self.passed(place, run)) for run in both if self.runs[run][3] != 2]

    def starts(self, place):
        """States a journey begins with. The first state of a run is that of a beginning journey."""
        found = []
        for run, passed in self.standings(place):
            first = self.of_run[run][0]
            found += [(state, self.runs[run][2] - passed) for state in self.next[first]]
        return found

    def ends(self, place):
        return [(s, passed) for run, passed in self.standings(place) for s in self.of_run[run]]

    def times(self, all_starts, keep=None):
        """Times to all states from each list of starts; an extra state stands before each list."""
        count, extra = len(self.run), len(all_starts)
        tail, head, ms = self.tail, self.head, self.ms
        if keep is not None:
            kept = keep[tail] & keep[head]
            tail, head, ms = tail[kept], head[kept], ms[kept]
        # One millisecond is added before the start, since SciPy takes a zero for no edge.
        best = {}
        for number, starts in enumerate(all_starts):
            for state, rest in starts:
                if keep is None or keep[state]:
                    key = (count + number, state)
                    best[key] = min(best.get(key, NEVER), rest + 1)
        tail = np.concatenate([tail, np.array([a for a, _ in best], dtype=np.int64)])
        head = np.concatenate([head, np.array([b for _, b in best], dtype=np.int64)])
        ms = np.concatenate([ms, np.array(list(best.values()), dtype=np.float64)])
        matrix = csr_matrix((ms, (tail, head)), shape=(count + extra, count + extra))
        assert matrix.nnz == len(ms), "two edges between two states"
        return dijkstra(matrix, indices=range(count, count + extra)) - 1

    def nearest(self, times, ends):
        least = min((times[state] + rest for state, rest in ends), default=np.inf)
        return None if np.isinf(least) else int(least)


def direct(graph, start, end):
    if start[0] != end[0]:
        return []
    pairs = zip(graph.standings(start), graph.standings(end))
    return [b - a for (_, a), (_, b) in pairs if b >= a]


def journeys(graph, asked):
    wrong = reached = 0
    for begin in range(0, len(asked), 200):
        batch = asked[begin : begin + 200]
        times = graph.times([graph.starts(one["from"]) for one in batch])
        for one, row in zip(batch, times):
            by_road = graph.nearest(row, graph.ends(one["to"]))
            all_ways = direct(graph, one["from"], one["to"]) + ([] if by_road is None else [by_road])
            least = min(all_ways, default=None)
            look_up = None if one["look_up_ms"] == NEVER else one["look_up_ms"]
            reached += least is not None
            if not (least == one["ms"] == look_up == one["line_ms"]):
                wrong += 1
                print("journey", one, "is", least)
    return wrong, reached


def closures(graph, asked):
    wrong = found = 0
    passage = np.array([run[3] for run in graph.runs])
    link = graph.run // 2
    for one in asked:
        if one["ends"] is None:
            continue
        start, end = one["ends"]
        driven = [r for c in one["closed"] for r in (2 * c, 2 * c + 1) if passage[r] != 2]
        private = all(passage[run] == 1 for run in driven)
        allowed = (passage[graph.run] == 0) | private
        answers = []
        for keep in (allowed & ~np.isin(link, one["closed"]), allowed):
            starts = [
                (graph.of_run[r][0], 0)
                for r, run in enumerate(graph.runs)
                if run[0] == start and run[3] != 2 and keep[graph.of_run[r][0]]
            ]
            ends = [
                (state, run[2])
                for r, run in enumerate(graph.runs)
                if run[1] == end and run[3] != 2
                for state in graph.of_run[r]
            ]
            times = graph.times([starts], keep)[0] if starts else np.full(len(graph.run), np.inf)
            ends = [(state, rest) for state, rest in ends if keep[state]]
            answers.append(graph.nearest(times, ends))
        around, through = answers
        extra = None if around is None else around - through
        found += around is not None
        if around != one["ms"] or extra != one["extra_ms"]:
            wrong += 1
            print("closure", one, "is", around, extra)
    return wrong, found


def main():
    with open(sys.argv[1], encoding="utf-8") as file:
        exported = json.load(file)
    graph = Graph(exported)
    print(f"{len(graph.runs)} runs, {len(graph.run)} states, {len(graph.tail)} edges")
    wrong, reached = journeys(graph, exported["journeys"])
    print(f"{len(exported['journeys'])} journeys, {reached} with a way: {wrong} differ")
    wrong_closures, found = closures(graph, exported["closures"])
    asked = sum(one["ends"] is not None for one in exported["closures"])
    print(f"{asked} closures, {found} with a way round: {wrong_closures} differ")
    sys.exit(1 if wrong or wrong_closures else 0)


if __name__ == "__main__":
    main()
