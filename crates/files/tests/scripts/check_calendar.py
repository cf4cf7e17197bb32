#!/usr/bin/env python3
"""Holds a calendar file that Gangday wrote against the closures that it wrote, by other libraries.

`pip install icalendar`, then

    gangday closures PROGRAMME PLAN --calendar works.ics > closures.geojson
    python3 check_calendar.py works.ics closures.geojson

Every closure must be there once, from and until the same local times in Europe/London; every
deadline of its notice likewise; nothing else; and no two entries may share a UID.
"""

import datetime
import json
import sys
import zoneinfo

import icalendar

LONDON = zoneinfo.ZoneInfo("Europe/London")


def local(moment: datetime.datetime) -> str:
    return moment.astimezone(LONDON).replace(tzinfo=None).isoformat()


def entries(path: str) -> list:
    with open(path, "rb") as file:
        calendar = icalendar.Calendar.from_ical(file.read())
    events = calendar.walk("VEVENT")
    faults = [event.errors for event in [calendar, *events] if event.errors]
    assert not faults, faults
    assert len({str(event["UID"]) for event in events}) == len(events), "a UID comes twice"
    assert all("DTSTAMP" in event for event in events)
    return events


def found(events: list) -> list:
    rows = []
    for event in events:
        what = str(event["UID"]).split("@")[0]
        until = local(event["DTEND"].dt) if "DTEND" in event else None
        rows.append((what, local(event["DTSTART"].dt), until))
    return sorted(rows, key=str)


def expected(path: str) -> list:
    rows = []
    with open(path, encoding="utf-8") as file:
        features = json.load(file)["features"]
    for feature in features:
        closure = feature["properties"]
        job = closure["job"]
        rows.append((f"closure-{job}", closure["start"], closure["end"]))
        for step in closure["notice"]["steps"]:
            rows.append((f"deadline-{step['step']}-{job}", step["by"], None))
    return sorted(rows, key=str)


def main() -> None:
    calendar, closures = sys.argv[1:]
    have, want = found(entries(calendar)), expected(closures)
    missing = [row for row in want if row not in have]
    other = [row for row in have if row not in want]
    assert not missing and not other, f"missing {missing}, not expected {other}"
    print(f"{len(have)} entries agree")


if __name__ == "__main__":
    main()
