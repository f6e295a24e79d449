"""Reader for GeoPackage files (OGC 12-128) with any names of layers and columns.

Each attribute column is read as one tag. A column such as `other_tags` packs several tags in one text, either
as hstore (`"par"=>"4","ref"=>"7"`) or as a JSON object; these are unpacked.

Features without a tag that says what they are get it from a column such as `type`, or from the name of
their layer ("Bunkers", "tee boxes"). This is reported as assumed. Where neither helps, the user is asked.
Nothing is guessed from size or shape. What the user states about a layer holds for every feature in it that
has no golf tag.
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

_PACKED_TAGS: Final = ("other_tags", "tags", "all_tags", "hstore")  # columns that hold several tags
_IDENTIFIERS: Final = {"fid", "ogc_fid", "osm_id", "osm_way_id", "full_id", "osm_type", "@id"}
_RENDERING: Final = {"z_order", "way_area"}  # columns that map-drawing programs add
# Tags whose column may be written in capitals ("PAR").
_FOLDED_KEYS: Final = {
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
# A feature with one of these tags says itself what it is.
_DECIDING_KEYS: Final = {"golf", "natural", "leisure", "waterway"}
# A feature with one of these is from OpenStreetMap and has nothing to do with golf: nobody is asked about it.
_OTHER_OSM_KEYS: Final = {
    "amenity",
    "barrier",
    "boundary",
    "building",
    "highway",
    "landuse",
    "man_made",
    "power",
}
_CHOICE: Final = (
    "hole, green, tee, fairway, first cut, rough, bunker, penalty area, water, ditch, out of bounds, tree, "
    "wood, or nothing"
)
_HSTORE: Final = re.compile(r'"((?:[^"\\]|\\.)*)"\s*=>\s*(?:"((?:[^"\\]|\\.)*)"|NULL)')
_OSM_TYPES: Final = {"n": "node", "w": "way", "r": "relation"}

# Tags for the words that people name their layers by. Common practice, not a standard.
_TAGS_FOR_WORD: Final = {
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


# The user's word for a layer that is not to be used.
_NOTHING: Final = "nothing"


def read_geopackage(
    file: str, raw: bytes, crs: str = "", layers: Mapping[str, str] | None = None
) -> FeatureTable:
    """Read the features of all layers of a GeoPackage, in the order of the layers.

    Parameters
    ----------
    file : str
        The file as the user named it, for messages.
    raw : bytes
        Its content.
    crs : str
        Coordinate system of layers that state none; "" when the user gave none.
    layers : mapping of str to str, optional
        What each layer holds, as the user states it: a word such as "bunker", or "nothing".

    Raises
    ------
    CourseError
        If the file is damaged or has no features, if a layer states no coordinate system and `crs` is empty,
        if no layer says what it holds, or if `layers` names a layer that does not exist.
    """
    from pyogrio.errors import DataLayerError, DataSourceError

    # A copy in a folder of its own, because SQLite may write journal files beside a file that it opens.
    with tempfile.TemporaryDirectory(prefix="course-") as folder:
        copy = Path(folder) / "course.gpkg"
        copy.write_bytes(raw)
        try:
            return _Layers(file, crs, dict(layers or {})).read(copy)
        except (DataSourceError, DataLayerError) as error:
            reason = str(error).split(";")[0].replace(str(copy), Path(file).name)
            raise CourseError(
                file, "", f"is damaged or no GeoPackage ({reason})", "Save it from the GIS again"
            ) from None


class _Layers:
    """Reads the layers of one GeoPackage and collects features and findings.

    Attributes
    ----------
    stated : dict of str to str
        What the user states of each layer, as a key of `_TAGS_FOR_WORD` or `_NOTHING`.
    unlabelled : dict of str to str
        Layers that do not say what they hold, each with a description of its shapes.
    """

    def __init__(self, file: str, crs: str, stated: dict[str, str]) -> None:
        self.file, self.crs = file, crs
        self.stated = {layer: self.parse_word(layer, text) for layer, text in stated.items()}
        self.unlabelled: dict[str, str] = {}
        self.features: list[Feature] = []
        self.findings: list[Finding] = []
        self.identifiers: set[str] = set()

    def read(self, copy: Path) -> FeatureTable:
        import pyogrio

        layers = pyogrio.list_layers(copy)
        names = [str(layer) for layer, _ in layers]
        for layer in self.stated:
            if layer not in names:
                close = nearest(layer, names)
                mend = f'Did you mean "{close}"?' if close else f"Its layers are {', '.join(names) or 'none'}"
                raise CourseError(self.file, f"layer {layer}", "there is no such layer", mend)
        credit = ""
        for layer, kind in layers:
            if kind is None:
                self.add_finding(FindingKind.IGNORED, f"layer {layer}: a table without geometry")
                continue
            metadata = pyogrio.read_info(copy, layer=layer).get("dataset_metadata") or {}
            credit = credit or metadata.get("attribution", "").strip()
            self.read_layer(copy, str(layer))
        if not self.features:
            raise CourseError(
                self.file,
                "",
                f"nothing is drawn in its layers ({', '.join(names) or 'none'})",
                "Draw the course, or give another",
            )
        self.ask_about_unlabelled()
        if not credit and any(OSM_ID.fullmatch(feature.fid) for feature in self.features):
            credit = OSM_CREDIT
        return FeatureTable(
            file=self.file, features=tuple(self.features), credit=credit, findings=tuple(self.findings)
        )

    def parse_word(self, layer: str, text: str) -> str:
        """Turn what the user states of a layer into a key of `_TAGS_FOR_WORD` or `_NOTHING`."""
        if word := _known_word(text):
            return word
        close = nearest(text, [*_TAGS_FOR_WORD, _NOTHING])
        mend = f'Did you mean "{close}"?' if close else f"Write {_CHOICE}"
        raise CourseError(self.file, f"layer {layer}", f"is said to hold {text!r}, which is not known", mend)

    def ask_about_unlabelled(self) -> None:
        """Ask about each layer that does not say what it holds; refuse the file when no layer says it."""
        if not self.unlabelled:
            return
        if not any(feature.tags.keys() & _DECIDING_KEYS for feature in self.features):
            listed = "; ".join(f"{layer} ({shapes})" for layer, shapes in self.unlabelled.items())
            first = next(iter(self.unlabelled))
            raise CourseError(
                self.file,
                "",
                f"its layers do not say what they hold: {listed}",
                f'Say it for each: --layer "{first}=green", or "{first}" = "green" under [layers] in '
                f"course.toml. They hold {_CHOICE}",
            )
        for layer, shapes in self.unlabelled.items():
            how = f'--layer "{layer}=bunker", or "{layer}" = "bunker" under [layers] in course.toml'
            text = f"layer {layer}: {shapes} that do not say what they are, and are not used. Say it: {how}"
            self.add_finding(FindingKind.QUESTION, f"{text} ({_CHOICE})")

    def add_finding(self, kind: FindingKind, text: str, fid: str | None = None) -> None:
        self.findings.append(Finding(kind=kind, text=text, feature=fid))

    def read_layer(self, copy: Path, layer: str) -> None:
        import pyogrio.raw

        meta, fids, blobs, columns = pyogrio.raw.read(
            copy, layer=layer, return_fids=True, datetime_as_string=True
        )
        names = [str(name) for name in meta["fields"]]
        shapes = shapely.from_wkb(blobs)
        to_lonlat = self.transformation(layer, meta.get("crs"))
        labelled: dict[str, int] = {}  # features that got their tags from a word, by word
        unlabelled: list[shapely.Geometry] = []
        stated = self.stated.get(layer, "")
        for number, shape in enumerate(shapes):
            values = {name: column[number] for name, column in zip(names, columns, strict=True)}
            fid = self.unique_identifier(values, layer, fids[number])
            if shape is None or shape.is_empty:
                self.add_finding(FindingKind.IGNORED, f"{fid}: has no geometry", fid)
                continue
            tags = dict(_tags(values))
            lonlat = to_lonlat(fid, shape)
            if stated and stated != _NOTHING and "golf" not in tags:
                tags |= _TAGS_FOR_WORD[stated]
            elif not stated and not _DECIDING_KEYS & set(tags):
                word = _labelling_word(tags, layer, shape.geom_type)
                if word:
                    tags |= _TAGS_FOR_WORD[word]
                    labelled[word] = labelled.get(word, 0) + 1
                elif not (_OTHER_OSM_KEYS & set(tags) or OSM_ID.fullmatch(fid)):
                    unlabelled.append(lonlat)
            self.features.append(Feature(fid=fid, tags=tags, geometry=lonlat))
        if unlabelled and len(unlabelled) == len(shapes):
            self.unlabelled[layer] = _describe_shapes(unlabelled)
        for word, count in labelled.items():
            ((key, value),) = _TAGS_FOR_WORD[word].items()
            features = f"{count} feature{'s' if count > 1 else ''}"
            self.add_finding(
                FindingKind.ASSUMED,
                f"layer {layer}: {features} called {word!r} without tags: {key}={value} is taken",
            )

    def transformation(self, layer: str, stated: str | None) -> ToLonLat:
        """The transformation from the coordinate system of a layer."""
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

    def unique_identifier(self, values: Mapping[str, Any], layer: str, number: object) -> str:
        """The identifier of a row; a number is added when an earlier row has the same one."""
        identifier = _identifier(values, layer) or f"{layer}/{number}"
        unique, count = identifier, 2
        while unique in self.identifiers:
            unique, count = f"{identifier} ({count})", count + 1
        self.identifiers.add(unique)
        return unique


def _known_word(text: str) -> str:
    """Find the word of `_TAGS_FOR_WORD`, or `_NOTHING`, that a text means; "" when it means none of them."""
    words = re.sub(r"[^a-z]+", " ", text.lower()).strip()
    known = {*_TAGS_FOR_WORD, _NOTHING}
    return next((w for w in (words, words.removesuffix("s"), words.removesuffix("es")) if w in known), "")


def _describe_shapes(shapes: Sequence[shapely.Geometry]) -> str:
    """Say how many shapes there are, of what kind and how large; they are in longitude and latitude."""
    kinds = {kind.removeprefix("Multi") for kind in (shape.geom_type for shape in shapes)}
    word = {"Polygon": "area", "LineString": "line", "Point": "point"}.get(next(iter(kinds)), "shape")
    count = f"{len(shapes)} {word if len(kinds) == 1 else 'shape'}{'s' if len(shapes) > 1 else ''}"
    east_west = math.cos(math.radians(float(shapely.get_coordinates(shapes[0])[0, 1])))
    in_metres = shapely.transform(
        shapely.force_2d(np.array(shapes, dtype=object)), lambda p: p * M_PER_DEG * [east_west, 1.0]
    )
    if kinds == {"Polygon"}:
        return f"{count} of about {float(np.median(shapely.area(in_metres))):.0f} m²"
    if kinds == {"LineString"}:
        return f"{count} of about {float(np.median(shapely.length(in_metres))):.0f} m"
    return count


def _identifier(values: Mapping[str, Any], layer: str) -> str:
    """The identifier that the columns of a row give, as "way/1" where it is OpenStreetMap's; "" for none."""
    if given := _text(values.get("@id")):
        return given
    full = _text(values.get("full_id"))
    if re.fullmatch(r"[nwr]-?\d+", full):
        return f"{_OSM_TYPES[full[0]]}/{full[1:]}"
    if way := _text(values.get("osm_way_id")):
        return f"way/{way}"
    if number := _text(values.get("osm_id")):
        kind = _text(values.get("osm_type")).lower()
        if kind not in ("node", "way", "relation"):
            # The layers that GDAL's OpenStreetMap driver writes.
            kind = {"points": "node", "multipolygons": "relation"}.get(layer, "way")
        return f"{kind}/{number}"
    return _text(values.get("id"))


def _tags(values: Mapping[str, Any]) -> Iterator[tuple[str, str]]:
    """The columns of a row as tags; empty cells and columns that are no tags are left out."""
    present = {key for key, value in values.items() if value is not None}
    for column, value in values.items():
        folded = column.lower()
        if column in _PACKED_TAGS and (unpacked := _unpack_tags(_text(value))) is not None:
            yield from unpacked.items()
            continue
        if column in _IDENTIFIERS or folded == "id" or folded in _RENDERING:
            continue
        if text := _text(value):
            yield (folded if folded in _FOLDED_KEYS and folded not in present else column), text


def _unpack_tags(text: str) -> dict[str, str] | None:
    """Tags packed in one text, as hstore or as a JSON object; None when it is neither."""
    text = text.strip()
    if text.startswith("{"):
        try:
            document = json.loads(text)
        except json.JSONDecodeError:
            return None
        return {str(k): str(v) for k, v in document.items() if isinstance(v, str | int | float)}
    if text == "":
        return {}
    pairs = _HSTORE.findall(text)
    return {_unescape(key): _unescape(value) for key, value in pairs} if pairs else None


def _unescape(text: str) -> str:
    return re.sub(r"\\(.)", r"\1", text, flags=re.DOTALL)


def _text(value: Any) -> str:
    """A cell as the text of a tag: whole numbers without a point, "" for an empty cell."""
    if value is None or (isinstance(value, float | np.floating) and not np.isfinite(value)):
        return ""
    if isinstance(value, bool | np.bool_):
        return "yes" if value else "no"
    if isinstance(value, float | np.floating) and float(value).is_integer():
        return str(int(value))
    return str(value)


def _labelling_word(tags: Mapping[str, str], layer: str, geometry_type: str) -> str:
    """The key of `_TAGS_FOR_WORD` that a column such as `type`, or else the layer, names; "" for none."""
    named = [tags[column] for column in _KIND_COLUMNS if column in tags]
    for name in (*named, layer):
        word = _known_word(name)
        if word in _TAGS_FOR_WORD:
            return "wood" if word == "tree" and geometry_type.endswith("Polygon") else word
    return ""
