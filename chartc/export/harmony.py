"""Chords in the words of MusicXML 4.0: a kind and the degrees in which the chord differs from it."""

from __future__ import annotations

from chartc.theory.chord import Quality

# our degrees of the kinds of the standard (MusicXML 4.0, kind-value); the thirteenths there have an eleventh, which players leave out
KINDS: tuple[tuple[str, str], ...] = (
    ("major", "1 3 5"), ("minor", "1 b3 5"), ("augmented", "1 3 #5"), ("diminished", "1 b3 b5"), ("dominant", "1 3 5 b7"),
    ("major-seventh", "1 3 5 7"), ("minor-seventh", "1 b3 5 b7"), ("diminished-seventh", "1 b3 b5 bb7"),
    ("half-diminished", "1 b3 b5 b7"), ("major-minor", "1 b3 5 7"), ("major-sixth", "1 3 5 6"), ("minor-sixth", "1 b3 5 6"),
    ("dominant-ninth", "1 3 5 b7 9"), ("major-ninth", "1 3 5 7 9"), ("minor-ninth", "1 b3 5 b7 9"),
    ("dominant-11th", "1 3 5 b7 9 11"), ("minor-11th", "1 b3 5 b7 9 11"), ("dominant-13th", "1 3 5 b7 9 13"),
    ("major-13th", "1 3 5 7 9 13"), ("minor-13th", "1 b3 5 b7 9 13"), ("suspended-second", "1 2 5"),
    ("suspended-fourth", "1 4 5"), ("power", "1 5"),
)  # fmt: skip

_SIGN = {"bb": -2, "b": -1, "#": 1, "": 0}

Degree = tuple[int, int, str]
"""Number, semitones, and add, alter or subtract."""


def kind(quality: Quality) -> tuple[str, tuple[Degree, ...]]:
    """The kind nearest to a quality, and what is added, altered or taken away."""
    best: tuple[tuple[int, int], str, tuple[Degree, ...]] | None = None
    for n, (name, words) in enumerate(KINDS):
        degrees = _difference(quality.degrees, tuple(words.split()))
        # taking away is last: readers do it least well
        rank = (len(degrees) + 3 * sum(d[2] == "subtract" for d in degrees), n)
        if best is None or rank < best[0]:
            best = (rank, name, degrees)
    assert best is not None
    return best[1], best[2]


def _difference(wanted: tuple[str, ...], have: tuple[str, ...]) -> tuple[Degree, ...]:
    def number(degree: str) -> int:
        return int(degree.lstrip("b#"))

    out: list[Degree] = []
    missing = [d for d in wanted if d not in have]
    extra = [d for d in have if d not in wanted]
    for degree in missing:
        sign = _SIGN[degree[: len(degree) - len(str(number(degree)))]]
        # an added seventh is counted from the minor one (MusicXML 4.0, degree-alter)
        semitones = sign + 1 if number(degree) == 7 else sign
        replaced = next((d for d in extra if number(d) == number(degree)), None)
        if replaced is not None:
            extra.remove(replaced)
            was = _SIGN[replaced[: len(replaced) - len(str(number(replaced)))]]
            out.append((number(degree), sign - was, "alter"))
        else:
            out.append((number(degree), semitones, "add"))
    out += [(number(degree), 0, "subtract") for degree in extra]
    return tuple(out)
