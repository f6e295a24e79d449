"""Reader for Overpass JSON, in both forms: `out geom` (coordinates inside) and `out body` (nodes apart).

How ways become lines and areas stands in `elements`.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from strategy.course.model import FeatureTable, Finding, FindingKind
from strategy.course.readers.elements import Elements
from strategy.course.readers.geojson import OSM_CREDIT
from strategy.errors import CourseError


def read_overpass(file: str, document: Mapping[str, Any]) -> FeatureTable:
    """Features of an Overpass answer, in file order.

    Parameters
    ----------
    file : str
        The file as the user named it, for messages.
    document : mapping
        The parsed JSON.

    Returns
    -------
    FeatureTable
        Identifiers are "way/1", "node/1", "relation/1". Elements without tags are only building stones.

    Raises
    ------
    CourseError
        If there are no elements, or a coordinate cannot be one.
    """
    rows = document.get("elements")
    if not isinstance(rows, Sequence) or isinstance(rows, str):
        raise CourseError(file, "elements", f"is {rows!r}, not a list", "Save the Overpass answer as JSON")
    remark = document.get("remark")
    if not rows:
        said = f"; Overpass remarked {remark!r}" if remark else ""
        raise CourseError(file, "elements", f"the answer is empty{said}", "Ask Overpass again for the course")
    stones = Elements(file)
    if remark:
        text = f"Overpass remarked {remark!r}: the extract may be incomplete"
        stones.findings.append(Finding(kind=FindingKind.MISSING, text=text))
    for number, row in enumerate(rows, start=1):
        stones.put(number, row)
    features = tuple(stones.features())
    credit = OSM_CREDIT if document.get("osm3s") else ""
    return FeatureTable(file=file, features=features, credit=credit, findings=tuple(stones.findings))
