"""What matching decided for one hole, and the findings that are collected while the hole is built."""

from __future__ import annotations

from dataclasses import dataclass, field

import shapely

from strategy.course.model import Feature, Finding, FindingKind


@dataclass(frozen=True, slots=True, kw_only=True)
class HoleMatch:
    """One line of play with its green and its tees.

    Attributes
    ----------
    label : str
        Label of the hole.
    feature : Feature
        The line of play as read.
    line : LineString
        The line as drawn, in the direction of play. [m]
    is_reversed : bool
        Whether it was drawn from the green to the tee.
    green : int or None
        Index of its green in `ClassifiedFeatures.greens`; None when no green is near its end.
    green_shared : bool
        Whether another line of play ends in the same green.
    nearer_green : str
        Label of the hole whose green is nearer to the end of the line; "" when its own green is the nearest.
    tees : tuple of int
        Indices of its tees in `ClassifiedFeatures.tees`.
    """

    label: str
    feature: Feature
    line: shapely.LineString
    is_reversed: bool
    green: int | None
    green_shared: bool
    nearer_green: str
    tees: tuple[int, ...]


@dataclass(slots=True)
class HoleFindings:
    """Collects the findings on one hole."""

    label: str
    findings: list[Finding] = field(default_factory=list)

    def add(self, kind: FindingKind, text: str, feature: str | None = None) -> None:
        """Add a finding; `feature` is the identifier of the feature that it is about."""
        self.findings.append(Finding(kind=kind, text=text, hole=self.label, feature=feature))
