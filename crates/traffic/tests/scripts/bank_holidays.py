#!/usr/bin/env python3
"""Makes tests/data/bank-holidays.json from the list that a Python package carries.

Run it where the package is: `pip install govuk-bank-holidays==0.19`, then
`python3 bank_holidays.py > ../data/bank-holidays.json`. Only the dates are kept.
"""

import importlib.metadata
import importlib.util
import json
import pathlib

PACKAGE = "govuk_bank_holidays"
YEARS = range(2012, 2029)


def carried() -> dict:
    folder = pathlib.Path(importlib.util.find_spec(PACKAGE).origin).parent
    return json.loads((folder / "bank-holidays.json").read_text(encoding="utf-8"))


def dates(division: dict) -> list[str]:
    days = sorted({event["date"] for event in division["events"]})
    return [day for day in days if int(day[:4]) in YEARS]


def main() -> None:
    version = importlib.metadata.version("govuk-bank-holidays")
    kept = {
        "source": f"GOV.UK bank holidays, as carried by the Python package govuk-bank-holidays {version}",
        "licence": "Contains public sector information licensed under the Open Government Licence v3.0",
    }
    kept |= {name: dates(division) for name, division in carried().items()}
    print(json.dumps(kept, indent=1))


if __name__ == "__main__":
    main()
