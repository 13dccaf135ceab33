"""What stands over measures that are played again: the brackets of endings, and how often."""

from __future__ import annotations

from chartc.chart.song import Section


def brackets(section: Section, first: int, count: int) -> list[tuple[int, int, str, bool, bool]]:
    """Endings within a row of `count` measures from `first`: first and last measure (in the row), words, whether it begins and ends
    here."""
    out = []
    for repeat in section.repeats:
        for ending in repeat.endings:
            a, b = max(ending.first, first), min(ending.last, first + count - 1)
            if a <= b:
                words = ", ".join(map(str, ending.times)) + "."
                out.append((a - first, b - first, words, a == ending.first, b == ending.last))
    return out


def times(section: Section, index: int) -> str:
    """How often a passage is played, where it ends with this measure and has no endings; else nothing."""
    for repeat in section.repeats:
        if repeat.last == index and repeat.times > 2 and not repeat.endings:
            return f"{repeat.times} times"
    return ""


def in_ending(section: Section, index: int) -> bool:
    """Whether a measure stands in an ending."""
    return any(e.first <= index <= e.last for r in section.repeats for e in r.endings)


def repeat_ends(section: Section, index: int) -> bool:
    """Whether the players turn back after this measure, at least once."""
    for r in section.repeats:
        if r.endings:
            if any(e.last == index and max(e.times) < r.times for e in r.endings):
                return True
        elif r.last == index:
            return True
    return False
