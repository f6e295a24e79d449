"""A sketch pad: draws a course in metres and writes it in the forms that the readers take."""

from __future__ import annotations

import json
import math
from pathlib import Path

import pytest

from strategy.course.frame import Frame

SHARED = Path(__file__).resolve().parents[3] / "shared"


class Sketch:
    """Features in metres round 2.0° E, 54.5° N (open sea), x east, y north."""

    def __init__(self, frame=None):
        self.frame = frame or Frame(2.0, 54.5)
        self.rows = []

    def lonlat(self, points):
        return [[round(float(v), 10) for v in p] for p in self.frame.to_lonlat(points)]

    def add(self, kind, points, fid=None, **tags):
        fid = fid or f"way/{len(self.rows) + 1}"
        self.rows.append(
            (fid, kind, [tuple(map(float, p)) for p in points], {k: str(v) for k, v in tags.items()})
        )
        return fid

    def line(self, points, fid=None, **tags):
        return self.add("LineString", points, fid, **tags)

    def area(self, points, fid=None, **tags):
        return self.add("Polygon", [*points, points[0]], fid, **tags)

    def node(self, x, y, fid=None, **tags):
        return self.add("Point", [(x, y)], fid or f"node/{len(self.rows) + 1}", **tags)

    def box(self, west, south, east, north, fid=None, **tags):
        return self.area([(west, south), (east, south), (east, north), (west, north)], fid, **tags)

    def disc(self, x, y, radius, fid=None, n=48, **tags):
        turn = [2 * math.pi * k / n for k in range(n)]
        return self.area([(x + radius * math.cos(t), y + radius * math.sin(t)) for t in turn], fid, **tags)

    def hole(self, ref=None, x=0.0, length=350.0, par="4", y=0.0, fid=None, **tags):
        """A straight hole due north from (x, y): line, tee and green."""
        named = {} if ref is None else {"ref": ref}
        if par is not None:
            named["par"] = par
        line = self.line([(x, y), (x, y + length)], fid, golf="hole", **named, **tags)
        self.box(x - 4, y - 4, x + 4, y + 4, golf="tee")
        self.disc(x, y + length, 14, golf="green")
        return line

    def document(self):
        features = []
        for fid, kind, points, tags in self.rows:
            at = self.lonlat(points)
            coordinates = at[0] if kind == "Point" else [at] if kind == "Polygon" else at
            geometry = {"type": kind, "coordinates": coordinates}
            features.append({"type": "Feature", "id": fid, "properties": tags, "geometry": geometry})
        return {"type": "FeatureCollection", "features": features}

    def write(self, path):
        path.write_text(json.dumps(self.document()), encoding="utf-8")
        return path

    def overpass(self, form):
        """`form` is "geom" (coordinates inside the ways) or "body" (nodes apart, after the ways)."""
        elements, nodes, known = [], [], {}
        for fid, kind, points, tags in self.rows:
            number = int(fid.split("/")[1])
            at = self.lonlat(points)
            if kind == "Point":
                elements.append(
                    {"type": "node", "id": number, "lon": at[0][0], "lat": at[0][1], "tags": tags}
                )
                continue
            row = {"type": "way", "id": number, "tags": tags}
            if form == "geom":
                row["geometry"] = [{"lat": lat, "lon": lon} for lon, lat in at]
            else:
                row["nodes"] = []
                for lon, lat in at:
                    if (lon, lat) not in known:
                        known[lon, lat] = 10_000 + len(known)
                        nodes.append({"type": "node", "id": known[lon, lat], "lon": lon, "lat": lat})
                    row["nodes"].append(known[lon, lat])
            elements.append(row)
        return {"version": 0.6, "osm3s": {}, "elements": elements + nodes}


@pytest.fixture
def sketch():
    return Sketch()


@pytest.fixture
def new_sketch():
    return Sketch


@pytest.fixture
def tara():
    """Both forms of the real course beside the repository; its data stay there."""
    folder = SHARED / "courses" / "tara_glen"
    if not folder.is_dir():
        pytest.skip("the real course (../shared/courses) is not beside the repository")
    return folder / "tara_glen_course.geojson", folder / "tara_glen_overpass_geom_subset.json"


@pytest.fixture
def texts():
    """All finding texts of a hole or course as one string."""
    return lambda thing: "\n".join(f"{f.kind.value}: {f.text}" for f in thing.findings)


@pytest.fixture
def paper(tmp_path, sketch):
    """A hole on squared paper; see tests/course/paper.py."""
    from tests.course.paper import Paper, draw

    folder = tmp_path / "paper"
    folder.mkdir()
    return Paper(folder, draw(sketch))
