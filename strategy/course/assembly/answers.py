"""What the caddie answers to the questions of `check`, under [answers] in course.toml.

Most questions are answered by mending what they ask about: a tag or an outline in course.geojson (import
keeps it), a key of course.toml. Where all is right as it stands, an answer says so: the question is then told
as assumed, with the answer beside it, and is not asked again.
"""

from __future__ import annotations

import dataclasses
from collections.abc import Mapping, Sequence
from typing import Final

from strategy.course.model import Course, Finding, FindingKind

HOW: Final = "in the outlines, or under [answers] in course.toml"
# A question is known by its first words when these are at least so many characters.
_LEAST: Final = 10


def with_answers(course: Course, answers: Mapping[str, str]) -> Course:
    """A course whose answered questions are asked no more.

    Parameters
    ----------
    course : Course
        With all its findings.
    answers : mapping of str to str
        By what is asked about: a feature, a hole ("hole 16"), or the first words of the question.
    """
    if not answers:
        return course
    used: set[str] = set()
    holes = tuple(
        dataclasses.replace(hole, findings=_answered(hole.findings, answers, hole.label, used))
        for hole in course.holes
    )
    findings = _answered(course.findings, answers, "", used)
    for key in answers:
        if key not in used:
            text = f'course.toml: answers: nothing is asked that "{key}" would answer'
            findings = (*findings, Finding(kind=FindingKind.ASSUMED, text=text))
    return dataclasses.replace(course, holes=holes, findings=findings)


def _answered(
    findings: Sequence[Finding], answers: Mapping[str, str], label: str, used: set[str]
) -> tuple[Finding, ...]:
    result = []
    for finding in findings:
        key = _key(finding, answers, label) if finding.kind is FindingKind.QUESTION else None
        if key is None:
            result.append(finding)
            continue
        used.add(key)
        end = "" if finding.text.endswith("?") else "."
        text = f"{finding.text}{end} You: {answers[key]}"
        result.append(dataclasses.replace(finding, kind=FindingKind.ASSUMED, text=text))
    return tuple(result)


def _key(finding: Finding, answers: Mapping[str, str], label: str) -> str | None:
    """The answer to a question: the most exact of those that fit."""
    if finding.feature in answers:
        return finding.feature
    begun = [key for key in answers if len(key) >= _LEAST and finding.text.startswith(key)]
    if begun:
        return max(begun, key=len)
    return f"hole {label}" if label and f"hole {label}" in answers else None
