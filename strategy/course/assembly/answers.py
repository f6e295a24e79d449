"""Applies the caddie's answers to questions about the course, from [answers] in course.toml.

The caddie answers most questions by a correction: a tag or an outline in course.geojson, which a later import
keeps, or a key in course.toml. When everything is right as it is, the caddie writes an answer. The question
then becomes an assumption with the answer beside it, and is not asked again.
"""

from __future__ import annotations

import dataclasses
from collections.abc import Mapping, Sequence
from typing import Final

from strategy.course.model import Course, Finding, FindingKind

HOW: Final = "in the outlines, or under [answers] in course.toml"
_SHORTEST_KEY: Final = (
    10  # an answer that names the first words of a question has at least so many characters
)


def with_answers(course: Course, answers: Mapping[str, str]) -> Course:
    """Turn the questions that have an answer into assumptions.

    Parameters
    ----------
    course : Course
        The course with all its findings.
    answers : mapping of str to str
        Answers by what the question is about: a feature, a hole ("hole 16"), or the first words of the
        question.
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
            text = f'course.toml: answers: there is no question for the answer "{key}"'
            findings = (*findings, Finding(kind=FindingKind.ASSUMED, text=text))
    return dataclasses.replace(course, holes=holes, findings=findings)


def _answered(
    findings: Sequence[Finding], answers: Mapping[str, str], label: str, used: set[str]
) -> tuple[Finding, ...]:
    """The findings with their answers; keys of answers that apply are added to `used`."""
    result = []
    for finding in findings:
        key = _key(finding, answers, label) if finding.kind is FindingKind.QUESTION else None
        if key is None:
            result.append(finding)
            continue
        used.add(key)
        full_stop = "" if finding.text.endswith("?") else "."
        text = f"{finding.text}{full_stop} You: {answers[key]}"
        result.append(dataclasses.replace(finding, kind=FindingKind.ASSUMED, text=text))
    return tuple(result)


def _key(finding: Finding, answers: Mapping[str, str], label: str) -> str | None:
    """The key of the answer to a question: the most exact of the keys that fit; None when none fits."""
    if finding.feature in answers:
        return finding.feature
    by_first_words = [key for key in answers if len(key) >= _SHORTEST_KEY and finding.text.startswith(key)]
    if by_first_words:
        return max(by_first_words, key=len)
    return f"hole {label}" if label and f"hole {label}" in answers else None
