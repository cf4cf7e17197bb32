"""What another reader finds in the real extracts: pyosmium 4.3.2 (PyPI `osmium`, on libosmium).

Run: python reference.py EXTRACT...   The figures it prints stand in `real.rs`, which asserts them.
Lengths are great-circle on a sphere of 6,371,008.8 m (the mean radius of IUGG), segment by segment,
where both nodes are in the extract. One-way: as the wiki's "Key:oneway" and "Key:junction" say.
"""

import math
import sys
from collections import Counter

import osmium

CLASSES = {
    "motorway": "motorway", "motorway_link": "motorway",
    "trunk": "trunk", "trunk_link": "trunk",
    "primary": "primary", "primary_link": "primary",
    "secondary": "secondary", "secondary_link": "secondary",
    "tertiary": "tertiary", "tertiary_link": "tertiary",
    "unclassified": "minor", "road": "minor",
    "residential": "residential", "living_street": "living_street",
    "service": "service", "busway": "service", "track": "track",
    "footway": "footway", "path": "footway", "steps": "footway", "pedestrian": "footway",
    "bridleway": "footway", "corridor": "footway", "cycleway": "cycleway",
}
OPEN = ("yes", "permissive", "designated", "destination", "customers", "delivery", "private", "permit")
ROADS = ("motorway", "trunk", "primary", "secondary", "tertiary", "minor", "residential", "living_street")


def metres(a, b):
    la, lb = math.radians(a.lat), math.radians(b.lat)
    h = math.sin((lb - la) / 2) ** 2
    h += math.cos(la) * math.cos(lb) * math.sin(math.radians(b.lon - a.lon) / 2) ** 2
    return 2 * 6371008.8 * math.asin(math.sqrt(h))


def closed(kind, tags):
    """Whether no works vehicle may use a road: the most special key counts."""
    if kind in ("footway", "cycleway"):
        return tags.get("highway") in ("steps", "corridor") or tags.get("motor_vehicle", "no") not in OPEN
    stated = next((tags.get(key) for key in ("motor_vehicle", "vehicle", "access") if key in tags), "")
    shut = ("no", "agricultural", "forestry", "agricultural;forestry", "emergency", "military", "psv", "bus")
    return stated in shut or (not stated and tags.get("service") == "emergency_access")


def directions(tags):
    """How many directions are open: 0, 1 or 2."""
    keys = ("oneway:motor_vehicle", "oneway:vehicle", "oneway")
    stated = next((tags.get(key) for key in keys if key in tags), None)
    implied = tags.get("highway") == "motorway" or tags.get("junction") in ("roundabout", "circular")
    if stated == "reversible":
        return 0
    one = stated in ("yes", "true", "1", "-1", "reverse") or (stated is None and implied)
    backwards = stated in ("-1", "reverse")
    open_ways = {"forward": not backwards, "backward": backwards or not one}
    for way in open_ways:
        own = [tags.get(f"{who}:{way}") for who in ("motor_vehicle", "vehicle", "access")]
        if next((value for value in own if value is not None), "") == "no":
            open_ways[way] = False
    return sum(open_ways.values())


def main(path):
    ways = relations = one_way = 0
    count, length, names, bans = Counter(), Counter(), set(), Counter()
    for thing in osmium.FileProcessor(path).with_locations():
        if thing.is_relation():
            relations += 1
            if thing.tags.get("type") == "restriction":
                bans[thing.tags.get("restriction", "none")] += 1
        if not thing.is_way():
            continue
        ways += 1
        tags = thing.tags
        kind = CLASSES.get(tags.get("highway"))
        if kind is None or tags.get("area") == "yes":
            continue
        count[kind] += 1
        there = False
        for a, b in zip(list(thing.nodes), list(thing.nodes)[1:]):
            if a.location.valid() and b.location.valid():
                length[kind] += metres(a, b)
                there = True
        if not closed(kind, tags):
            if there and kind in ROADS and directions(tags) > 0 and tags.get("name", "").strip():
                names.add(tags["name"].strip())
            one_way += directions(tags) == 1
    print(path)
    print("  ways", ways, "relations", relations, "restrictions", sum(bans.values()), dict(bans))
    for kind in sorted(count):
        print(f"  {kind}: {count[kind]} ways, {length[kind]:.1f} m")
    print(f"  open to vehicles: one-way {one_way}, names of roads {len(names)}, {sum(length[k] for k in ROADS):.1f} m")


for path in sys.argv[1:]:
    main(path)
