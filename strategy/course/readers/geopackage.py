"""Reader for GeoPackage (OGC 12-128), whatever its layers are called and however its columns lie.

Attribute columns are tags, one a column; a column like `other_tags` (`"par"=>"4","ref"=>"7"`) or a JSON
object is taken apart. Where nothing is tagged, the name of the layer or a column such as `type` says
what is drawn ("Bunkers", "tee boxes"), and that is reported as assumed. Where neither says it, the user is
asked: nothing is guessed from size or shape. What the user says of a layer counts for all in it that has no
golf tag.
"""

from __future__ import annotations

import json
import math
import re
import tempfile
from collections.abc import Iterator, Mapping, Sequence
from pathlib import Path
from typing import Any, Final

import numpy as np
import shapely

from strategy.course.frame import M_PER_DEG
from strategy.course.model import Feature, FeatureTable, Finding, FindingKind
from strategy.course.readers.crs import ToLonLat
from strategy.course.readers.geojson import OSM_CREDIT, OSM_ID
from strategy.errors import CourseError
from strategy.tomlfile import nearest

ID_COLUMN: Final = "feature_id"
PLACE_COLUMN: Final = "feature_place"
TAGS_COLUMN: Final = "other_tags"

_BAGS: Final = (TAGS_COLUMN, "tags", "all_tags", "hstore")
_IDS: Final = {
    ID_COLUMN,
    PLACE_COLUMN,
    "fid",
    "ogc_fid",
    "osm_id",
    "osm_way_id",
    "full_id",
    "osm_type",
    "@id",
}
_DULL: Final = {"z_order", "way_area"}
_KEYS: Final = {
    "golf",
    "ref",
    "par",
    "name",
    "dist",
    "handicap",
    "tee",
    "natural",
    "leisure",
    "height",
    "width",
}
_KIND_COLUMNS: Final = ("type", "class", "kind", "feature", "surface", "category", "landuse", "layer")
# Tags that say what a feature is, or that it is at least something known.
_SPEAKING: Final = {"golf", "natural", "leisure", "waterway"}
# Other tags by which a layer is seen to be of OpenStreetMap: what has none of them is no riddle.
_TAGGED: Final = {"amenity", "barrier", "boundary", "building", "highway", "landuse", "man_made", "power"}
_CHOICE: Final = (
    "hole, green, tee, fairway, first cut, rough, bunker, penalty area, water, ditch, out of bounds, tree, "
    "wood, or nothing"
)
_HSTORE: Final = re.compile(r'"((?:[^"\\]|\\.)*)"\s*=>\s*(?:"((?:[^"\\]|\\.)*)"|NULL)')
_LETTER: Final = {"n": "node", "w": "way", "r": "relation"}

# What people call their layers: common practice, no standard.
_MEANING: Final = {
    "hole": {"golf": "hole"},
    "line of play": {"golf": "hole"},
    "playing line": {"golf": "hole"},
    "centreline": {"golf": "hole"},
    "centerline": {"golf": "hole"},
    "centre line": {"golf": "hole"},
    "center line": {"golf": "hole"},
    "green": {"golf": "green"},
    "tee": {"golf": "tee"},
    "tee box": {"golf": "tee"},
    "teeing ground": {"golf": "tee"},
    "fairway": {"golf": "fairway"},
    "first cut": {"golf": "first_cut"},
    "semi rough": {"golf": "first_cut"},
    "rough": {"golf": "rough"},
    "bunker": {"golf": "bunker"},
    "sand": {"golf": "bunker"},
    "penalty area": {"golf": "penalty_area"},
    "water hazard": {"golf": "water_hazard"},
    "lateral water hazard": {"golf": "lateral_water_hazard"},
    "water": {"natural": "water"},
    "pond": {"natural": "water"},
    "lake": {"natural": "water"},
    "ditch": {"waterway": "ditch"},
    "stream": {"waterway": "stream"},
    "burn": {"waterway": "stream"},
    "out of bounds": {"golf": "out_of_bounds"},
    "tree": {"natural": "tree"},
    "wood": {"natural": "wood"},
    "woodland": {"natural": "wood"},
    "forest": {"natural": "wood"},
}


# What a user may say of a layer that is to be left alone.
NOTHING: Final = "nothing"


def read_geopackage(
    file: str, raw: bytes, crs: str = "", layers: Mapping[str, str] | None = None
) -> FeatureTable:
    """Features of all layers of a GeoPackage, in the order of the layers.

    Parameters
    ----------
    file : str
        The file as the user named it, for messages.
    raw : bytes
        Its content.
    crs : str
        System of layers that state none; "" when the user gave none.
    layers : mapping of str to str, optional
        What layers hold, as the user says: a word such as "bunker", or "nothing".

    Raises
    ------
    CourseError
        If the file is damaged, a layer states no system and none is given, or nothing is drawn; if no layer
        says what it holds, or the user speaks of a layer that is not there.
    """
    from pyogrio.errors import DataLayerError, DataSourceError

    # A copy beside nothing else: SQLite may write journals next to a file it opens.
    with tempfile.TemporaryDirectory(prefix="course-") as folder:
        copy = Path(folder) / "course.gpkg"
        copy.write_bytes(raw)
        try:
            return _Layers(file, crs, dict(layers or {})).read(copy)
        except (DataSourceError, DataLayerError) as error:
            said = str(error).split(";")[0].replace(str(copy), Path(file).name)
            raise CourseError(
                file, "", f"is damaged or no GeoPackage ({said})", "Save it from the GIS again"
            ) from None


class _Layers:
    def __init__(self, file: str, crs: str, said: dict[str, str]) -> None:
        self.file, self.crs = file, crs
        self.said = {layer: self.word(layer, what) for layer, what in said.items()}
        self.silent: dict[str, str] = {}  # layers that do not say what they hold, with what is seen of them
        self.rows: list[tuple[int, Feature]] = []
        self.findings: list[Finding] = []
        self.seen: set[str] = set()

    def read(self, copy: Path) -> FeatureTable:
        import pyogrio

        layers = pyogrio.list_layers(copy)
        there = [str(layer) for layer, _ in layers]
        for layer in self.said:
            if layer not in there:
                close = nearest(layer, there)
                mend = f'Did you mean "{close}"?' if close else f"Its layers are {', '.join(there) or 'none'}"
                raise CourseError(self.file, f"layer {layer}", "there is no such layer", mend)
        credit = ""
        for layer, kind in layers:
            if kind is None:
                self.say(FindingKind.IGNORED, f"layer {layer}: a table without geometry")
                continue
            metadata = pyogrio.read_info(copy, layer=layer).get("dataset_metadata") or {}
            credit = credit or metadata.get("attribution", "").strip()
            self.layer(copy, str(layer))
        if not self.rows:
            names = ", ".join(str(layer) for layer, _ in layers) or "none"
            raise CourseError(
                self.file, "", f"nothing is drawn in its layers ({names})", "Draw the course, or give another"
            )
        self.ask_about_silent()
        features = tuple(feature for _, feature in sorted(self.rows, key=lambda row: row[0]))
        if not credit and any(OSM_ID.fullmatch(feature.fid) for feature in features):
            credit = OSM_CREDIT
        return FeatureTable(file=self.file, features=features, credit=credit, findings=tuple(self.findings))

    def word(self, layer: str, what: str) -> str:
        """What the user says a layer holds, as a key of `_MEANING` or `NOTHING`."""
        found = _known_word(what)
        if found:
            return found
        close = nearest(what, [*_MEANING, NOTHING])
        mend = f'Did you mean "{close}"?' if close else f"Write {_CHOICE}"
        raise CourseError(self.file, f"layer {layer}", f"is said to hold {what!r}, which is not known", mend)

    def ask_about_silent(self) -> None:
        """Nothing is made of a layer that does not say what it holds: it is asked about, or all are."""
        if not self.silent:
            return
        seen = "; ".join(f"{layer} ({what})" for layer, what in self.silent.items())
        if not any(feature.tags.keys() & _SPEAKING for _, feature in self.rows):
            first = next(iter(self.silent))
            raise CourseError(
                self.file,
                "",
                f"its layers do not say what they hold: {seen}",
                f'Say it for each: --layer "{first}=green", or "{first}" = "green" under [layers] in '
                f"course.toml. They hold {_CHOICE}",
            )
        for layer, what in self.silent.items():
            how = f'--layer "{layer}=bunker", or "{layer}" = "bunker" under [layers] in course.toml'
            text = f"layer {layer}: {what} that do not say what they are, and are not used. Say it: {how}"
            self.say(FindingKind.QUESTION, f"{text} ({_CHOICE})")

    def say(self, kind: FindingKind, text: str, fid: str | None = None) -> None:
        self.findings.append(Finding(kind=kind, text=text, feature=fid))

    def layer(self, copy: Path, layer: str) -> None:
        import pyogrio.raw

        meta, fids, blobs, data = pyogrio.raw.read(
            copy, layer=layer, return_fids=True, datetime_as_string=True
        )
        names = [str(name) for name in meta["fields"]]
        shapes = shapely.from_wkb(blobs)
        to_lonlat = self.system(layer, meta.get("crs"))
        ours = ID_COLUMN in names
        meant: dict[str, list[str]] = {}
        silent: list[shapely.Geometry] = []
        said = self.said.get(layer, "")
        for number, shape in enumerate(shapes):
            values = {name: column[number] for name, column in zip(names, data, strict=True)}
            fid = self.identifier(values, layer, fids[number])
            if shape is None or shape.is_empty:
                self.say(FindingKind.IGNORED, f"{fid}: has no geometry", fid)
                continue
            tags = dict(_tags(values, exact=ours))
            place, here = values.get(PLACE_COLUMN), to_lonlat(fid, shape)
            if said and said != NOTHING and "golf" not in tags:
                tags = {**tags, **_MEANING[said]}
            elif not said and not ours and not (_SPEAKING & set(tags)):
                word, given = _meaning(tags, layer, shape.geom_type)
                if given:
                    tags = {**tags, **given}
                    meant.setdefault(word, []).append(fid)
                elif not (_TAGGED & set(tags) or OSM_ID.fullmatch(fid)):
                    silent.append(here)
            order = int(place) if ours and place is not None else len(self.rows)
            self.rows.append((order, Feature(fid=fid, tags=tags, geometry=here)))
        if silent and len(silent) == len(shapes):
            self.silent[layer] = _seen(silent)
        for word, fids_meant in meant.items():
            ((key, value),) = _MEANING[word].items()
            count = f"{len(fids_meant)} feature{'s' if len(fids_meant) > 1 else ''}"
            self.say(
                FindingKind.ASSUMED,
                f"layer {layer}: {count} called {word!r} without tags: {key}={value} is taken",
            )

    def system(self, layer: str, stated: str | None) -> ToLonLat:
        if stated and "undefined" not in stated.lower():
            return ToLonLat(self.file, stated)
        if self.crs:
            return ToLonLat(self.file, self.crs)
        raise CourseError(
            self.file,
            f"layer {layer}",
            "states no coordinate system",
            'Declare it: crs = "EPSG:..." in course.toml, or --crs EPSG:...',
        )

    def identifier(self, values: Mapping[str, Any], layer: str, number: object) -> str:
        fid = _identifier(values, layer) or f"{layer}/{number}"
        twice, count = fid, 2
        while fid in self.seen:
            fid, count = f"{twice} ({count})", count + 1
        self.seen.add(fid)
        return fid


def _known_word(text: str) -> str:
    """A word of `_MEANING` or `NOTHING`, however it is written; "" for another."""
    words = re.sub(r"[^a-z]+", " ", text.lower()).strip()
    known = {*_MEANING, NOTHING}
    return next((w for w in (words, words.removesuffix("s"), words.removesuffix("es")) if w in known), "")


def _seen(shapes: Sequence[shapely.Geometry]) -> str:
    """What can be seen of shapes in longitude and latitude: how many, of what kind, how large."""
    kinds = {kind.removeprefix("Multi") for kind in (shape.geom_type for shape in shapes)}
    word = {"Polygon": "area", "LineString": "line", "Point": "point"}.get(next(iter(kinds)), "shape")
    count = f"{len(shapes)} {word if len(kinds) == 1 else 'shape'}{'s' if len(shapes) > 1 else ''}"
    narrow = math.cos(math.radians(float(shapely.get_coordinates(shapes[0])[0, 1])))
    flat = shapely.transform(
        shapely.force_2d(np.array(shapes, dtype=object)), lambda p: p * M_PER_DEG * [narrow, 1.0]
    )
    if kinds == {"Polygon"}:
        return f"{count} of about {float(np.median(shapely.area(flat))):.0f} m²"
    if kinds == {"LineString"}:
        return f"{count} of about {float(np.median(shapely.length(flat))):.0f} m"
    return count


def _identifier(values: Mapping[str, Any], layer: str) -> str:
    for key in (ID_COLUMN, "@id"):
        if _text(values.get(key)):
            return _text(values[key])
    full = _text(values.get("full_id"))
    if re.fullmatch(r"[nwr]-?\d+", full):
        return f"{_LETTER[full[0]]}/{full[1:]}"
    if way := _text(values.get("osm_way_id")):
        return f"way/{way}"
    if number := _text(values.get("osm_id")):
        kind = _text(values.get("osm_type")).lower()
        if kind not in ("node", "way", "relation"):
            # The layers that GDAL's OpenStreetMap driver writes.
            kind = {"points": "node", "multipolygons": "relation"}.get(layer, "way")
        return f"{kind}/{number}"
    return _text(values.get("id"))


def _tags(values: Mapping[str, Any], *, exact: bool) -> Iterator[tuple[str, str]]:
    """Columns as tags; `exact` for files written here, whose columns are the keys themselves."""
    present = {key for key, value in values.items() if value is not None}
    for column, value in values.items():
        folded = column.lower()
        if column in _BAGS and (inside := _bag(_text(value))) is not None:
            yield from inside.items()
            continue
        if column in _IDS or folded == "id" or (folded in _DULL and not exact):
            continue
        text = None if value is None else _text(value)
        if text is None or (text == "" and not exact):
            continue
        key = folded if not exact and folded in _KEYS and folded not in present else column
        yield key, text


def _bag(text: str) -> dict[str, str] | None:
    """Tags packed into one column, as hstore or as a JSON object; None when it is neither."""
    text = text.strip()
    if text.startswith("{"):
        try:
            inside = json.loads(text)
        except json.JSONDecodeError:
            return None
        return {str(k): str(v) for k, v in inside.items() if isinstance(v, str | int | float)}
    if text == "":
        return {}
    pairs = _HSTORE.findall(text)
    return {_plain(key): _plain(value) for key, value in pairs} if pairs else None


def _plain(text: str) -> str:
    return re.sub(r"\\(.)", r"\1", text, flags=re.DOTALL)


def _text(value: Any) -> str:
    """A cell as tag text: whole numbers without a point, nothing for nothing."""
    if value is None or (isinstance(value, float | np.floating) and not np.isfinite(value)):
        return ""
    if isinstance(value, bool | np.bool_):
        return "yes" if value else "no"
    if isinstance(value, float | np.floating) and float(value).is_integer():
        return str(int(value))
    return str(value)


def _meaning(tags: Mapping[str, str], layer: str, kind: str) -> tuple[str, Mapping[str, str]]:
    """What an untagged feature is called, by a column or by its layer, and what that means."""
    called: Sequence[str] = [tags[column] for column in _KIND_COLUMNS if column in tags]
    for name in (*called, layer):
        word = _known_word(name)
        if word in _MEANING:
            meant = "wood" if word == "tree" and kind.endswith("Polygon") else word
            return meant, _MEANING[meant]
    return "", {}
