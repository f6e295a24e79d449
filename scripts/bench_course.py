"""A country extract: one course among 200,000 nodes of other things, as PBF, XML and packed XML.

``python scripts/bench_course.py [--quick]``. Each form is read in a process of its own, so that its peak
of memory is its own. Target: under 10 s and 1 GB.
"""

from __future__ import annotations

import argparse
import gzip
import subprocess
import sys
import tempfile
from pathlib import Path
from typing import Any

import numpy as np

ROOT = Path(__file__).resolve().parents[1]
NODES = 200_000
_READ = """
import resource, sys, time
start = time.perf_counter()
from strategy.course import read_course
course = read_course(sys.argv[1])
took = time.perf_counter() - start
peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / (1e6 if sys.platform == "darwin" else 1e3)
print(len(course.holes), took, peak)
"""


def write_extract(path: Path, nodes: int = NODES, seed: int = 1) -> int:
    """Write an invented country round the demo course; gives the number of ways.

    Houses, roads, woods and farmland on 2 x 2 degrees, some of them right beside the course; nodes first,
    as extracts are sorted.
    """
    import osmium
    from osmium.osm import mutable

    sys.path.insert(0, str(ROOT))
    from strategy.course.readers.source import read_table
    from strategy.demofiles import demo

    file = demo().course / "course.geojson"
    course = read_table(str(file), file.read_bytes())
    rng = np.random.default_rng(seed)
    path.unlink(missing_ok=True)
    places: list[tuple[int, tuple[float, float], dict[str, str]]] = []
    ways: list[tuple[list[int], dict[str, str]]] = []
    count = 0

    def put(points: Any, tags: dict[str, str]) -> None:
        nonlocal count
        corners = [tuple(map(float, p[:2])) for p in points]
        closed = len(corners) > 2 and corners[0] == corners[-1]
        ids = []
        for corner in corners[:-1] if closed else corners:
            count += 1
            ids.append(count)
            places.append((count, corner, {}))
        ways.append((ids + ids[:1] if closed else ids, tags))

    for feature in course.features:
        shape = feature.geometry
        if shape.geom_type == "Point":
            count += 1
            places.append((count, shape.coords[0], dict(feature.tags)))
        elif shape.geom_type == "LineString":
            put(shape.coords, dict(feature.tags))
        else:
            for part in getattr(shape, "geoms", [shape]):
                put(part.exterior.coords, dict(feature.tags))
    middle = np.array(course.features[0].geometry.coords[0][:2])
    kinds = ({"building": "yes"}, {"highway": "residential"}, {"natural": "wood"}, {"landuse": "farmland"})
    while count < nodes:
        tags = kinds[int(rng.integers(len(kinds)))]
        # One in fifty stands within a few kilometres of the course.
        spread = 0.02 if rng.random() < 0.02 else 1.0
        at = middle + rng.uniform(-spread, spread, 2)
        size = 2e-4 if "building" in tags else 3e-3
        turn = np.sort(rng.uniform(0.0, 2.0 * np.pi, int(rng.integers(4, 14))))
        ring = at + size * np.column_stack((np.cos(turn), np.sin(turn)))
        put(ring if "highway" in tags else np.vstack((ring, ring[:1])), tags)
    with osmium.SimpleWriter(str(path)) as writer:
        for number, place, tags in places:
            writer.add_node(mutable.Node(id=number, location=place, tags=tags))
        for number, (ids, tags) in enumerate(ways, start=1):
            writer.add_way(mutable.Way(id=number, nodes=ids, tags=tags))
    return len(ways)


def bench_course(quick: bool = False) -> dict[str, float | str]:
    """Seconds and megabytes to read the course out of an extract, by form."""
    found: dict[str, float | str] = {}
    nodes = NODES // 10 if quick else NODES
    with tempfile.TemporaryDirectory() as folder:
        pbf, xml, packed = (Path(folder) / f"country.{form}" for form in ("osm.pbf", "osm", "osm.gz"))
        ways = write_extract(pbf, nodes)
        if not quick:
            write_extract(xml, nodes)
            packed.write_bytes(gzip.compress(xml.read_bytes(), 1))
        for path in (pbf,) if quick else (pbf, xml, packed):
            run = subprocess.run(
                [sys.executable, "-c", _READ, str(path)], cwd=ROOT, check=True, capture_output=True, text=True
            )
            holes, took, peak = run.stdout.split()
            size = path.stat().st_size / 1e6
            name = f"{path.name.partition('.')[2]}, {size:.1f} MB, {nodes:,} nodes, {ways:,} ways"
            found[f"{name}: {holes} holes read in"] = f"{float(took):.2f} s, peak {float(peak):.0f} MB"
    return found


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--quick", action="store_true", help="a tenth of the nodes, PBF only")
    for name, value in bench_course(parser.parse_args().quick).items():
        print(f"{name} {value}")


if __name__ == "__main__":
    main()
