"""Where a number or an outline comes from; everything that is drawn or quoted carries it."""

from __future__ import annotations

from enum import StrEnum


class Origin(StrEnum):
    """Where a number or an outline comes from, best first."""

    SURVEYED = "surveyed"
    PACED = "paced"
    TRACED = "traced"
    PUBLISHED = "published"
    ASSUMED = "assumed"
