"""Reader for Overpass JSON in both forms: `out geom` (with coordinates) and `out body` (with separate nodes).

`strategy.course.readers.elements` turns ways and relations into lines and areas.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from strategy.course.model import FeatureTable, Finding, FindingKind
from strategy.course.readers.elements import Elements
from strategy.course.readers.geojson import OSM_CREDIT
from strategy.errors import CourseError


def read_overpass(file: str, document: Mapping[str, Any]) -> FeatureTable:
    """Read the features of an Overpass answer, in file order.

    Parameters
    ----------
    file : str
        Path of the file as the user wrote it, for messages.
    document : mapping
        The parsed JSON.

    Returns
    -------
    FeatureTable
        Identifiers are "way/1", "node/1", "relation/1". Elements without tags give geometry to others only.

    Raises
    ------
    CourseError
        If there are no elements, or a coordinate is not valid.
    """
    rows = document.get("elements")
    if not isinstance(rows, Sequence) or isinstance(rows, str):
        raise CourseError(file, "elements", f"is {rows!r}, not a list", "Save the Overpass answer as JSON")
    remark = document.get("remark")
    if not rows:
        remarked = f"; Overpass remarked {remark!r}" if remark else ""
        wrong = f"the answer is empty{remarked}"
        raise CourseError(file, "elements", wrong, "Ask Overpass again for the course")
    elements = Elements(file)
    if remark:
        text = f"Overpass remarked {remark!r}: the extract may be incomplete"
        elements.findings.append(Finding(kind=FindingKind.MISSING, text=text))
    for number, row in enumerate(rows, start=1):
        elements.add(number, row)
    features = tuple(elements.features())
    credit = OSM_CREDIT if document.get("osm3s") else ""
    return FeatureTable(file=file, features=features, credit=credit, findings=tuple(elements.findings))
