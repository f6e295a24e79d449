"""Where a number or an outline comes from. Every number that is quoted states its origin."""

from __future__ import annotations

from enum import StrEnum


class Origin(StrEnum):
    """Where a number or an outline comes from, in order of trust: the first is the best."""

    SURVEYED = "surveyed"
    PACED = "paced"
    TRACED = "traced"
    PUBLISHED = "published"
    ASSUMED = "assumed"
