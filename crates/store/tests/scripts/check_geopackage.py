#!/usr/bin/env python3
"""Holds a programme file against the folder that it was made of, by readers that share nothing with
Gangday: GDAL's GeoPackage driver reads every layer, and GDAL's own validator holds the file to the
requirements of OGC 12-128 one by one.

`pip install pyogrio` and `pip install --no-deps gdal-utils`, then

    gangday convert PROGRAMME week.gpkg
    python3 check_geopackage.py PROGRAMME week.gpkg

Every job, street, gang, tip and figure must be there once, at its place and with its properties.
"""

import json
import pathlib
import sqlite3
import sys

import numpy
import pyogrio.raw
from osgeo_utils.samples import validate_gpkg


def layer(path: str, name: str) -> tuple[list[dict], list]:
    """The rows of a layer as GDAL reads them, with the geometry of each as well-known binary."""
    meta, _, geometry, columns = pyogrio.raw.read(path, layer=name)
    count = len(columns[0]) if len(columns) else len(geometry)
    rows = []
    for at in range(count):
        row = {}
        for field, column in zip(meta["fields"], columns):
            value = column[at]
            if isinstance(value, numpy.generic):
                value = value.item()
            row[field] = None if isinstance(value, float) and value != value else value
        rows.append(row)
    return rows, list(geometry) if geometry is not None else []


def numbers(wkb: bytes, skip: int) -> list[float]:
    return list(numpy.frombuffer(wkb[skip:], dtype="<f8"))


def is_same(stated, read) -> bool:
    if isinstance(stated, (list, dict)):
        return read is not None and json.loads(read) == stated
    if hasattr(read, "isoformat"):
        read = read.isoformat()
    return stated == (str(read)[:10] if isinstance(stated, str) and read is not None and stated == str(read)[:10] else read)


def compare(stated: dict, row: dict, what: str) -> int:
    other = json.loads(row["other"]) if row.get("other") else {}
    for name, value in stated.items():
        read = row.get(name)
        if read is None and name in other:
            read = other[name]
            assert read == value, f"{what}: {name} is {read!r} and not {value!r}"
        elif read is None and f"{name}_lon" in row:
            assert [row[f"{name}_lon"], row[f"{name}_lat"]] == value, f"{what}: {name}"
        else:
            assert is_same(value, read), f"{what}: {name} is {read!r} and not {value!r}"
    return len(stated)


def features(folder: pathlib.Path, path: str, name: str) -> None:
    file = folder / f"{name}.geojson"
    if not file.exists():
        return
    stated = json.loads(file.read_text())["features"]
    rows, geometry = layer(path, name)
    assert len(rows) == len(stated), f"{name}: {len(rows)} rows for {len(stated)} features"
    properties = 0
    for feature, row, wkb in zip(stated, rows, geometry):
        assert row["id"] == feature["id"], f"{name}: {row['id']}"
        properties += compare(feature["properties"], row, feature["id"])
        coordinates = feature["geometry"]["coordinates"]
        if name == "jobs":
            assert numbers(wkb, 5) == coordinates, f"{feature['id']}: {numbers(wkb, 5)}"
        elif feature["geometry"]["type"] == "LineString":
            # Bundle of one: byte order, type, count; then byte order, type, count of the line.
            flat = [number for place in coordinates for number in place]
            assert numbers(wkb, 18) == flat, f"{feature['id']}: its line"
    print(f"{name}: {len(rows)} features, {properties} properties, every place to the last bit")


def lists(folder: pathlib.Path, path: str) -> None:
    gangs = json.loads((folder / "gangs.json").read_text())
    for name in ("gangs", "tips"):
        rows, _ = layer(path, name)
        assert len(rows) == len(gangs.get(name, [])), name
        count = sum(compare(one, row, one["id"]) for one, row in zip(gangs[name], rows))
        print(f"{name}: {len(rows)} rows, {count} properties")
    rows, _ = layer(path, "parameters")
    stated = []
    for name in ("method.json", "materials.json"):
        if (folder / name).exists():
            for table, all_rows in json.loads((folder / name).read_text()).items():
                stated += [(name, table, row) for row in all_rows]
    assert len(rows) == len(stated), "parameters"
    by_key = {(row["file"], row["key"]): row for row in rows}
    count = sum(compare(row, by_key[(name, row["key"])], row["key"]) for name, _, row in stated)
    print(f"parameters: {len(rows)} rows, {count} properties")


def main(folder: str, path: str) -> None:
    names = {name for name, _ in pyogrio.list_layers(path)}
    wanted = {"jobs", "streets", "closures", "depots_and_tips", "gangs", "tips", "parameters", "week", "plans", "visits"}
    assert wanted <= names, f"GDAL lists {sorted(names)}"
    features(pathlib.Path(folder), path, "jobs")
    features(pathlib.Path(folder), path, "streets")
    lists(pathlib.Path(folder), path)
    for name in ("closures", "depots_and_tips", "visits", "plans"):
        print(f"{name}: {len(layer(path, name)[0])} rows")
    crs = pyogrio.read_info(path, layer="jobs")["crs"]
    assert crs == "EPSG:4326", crs
    print(f"GDAL {'.'.join(map(str, pyogrio.__gdal_version__))} agrees; the layers are in {crs}")

    # What the validator asks, by requirement; it raises on the first that is not met, and says so.
    outcome = validate_gpkg.check(path, extra_checks=True, warning_as_error=True)
    print(f"GDAL's validator of OGC 12-128: {'sound' if not outcome else outcome}")
    with sqlite3.connect(path) as db:
        assert db.execute("PRAGMA integrity_check").fetchone() == ("ok",)
        assert db.execute("PRAGMA foreign_key_check").fetchall() == []
    print("integrity_check and foreign_key_check (requirements 6 and 7): sound")


if __name__ == "__main__":
    main(*sys.argv[1:])
