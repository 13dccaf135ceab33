"""Chords: root, quality and bass on the line of fifths; read from a chord word, written by letter or by degree."""

from __future__ import annotations

import re
from functools import cache
from typing import NamedTuple

from chartc.theory import pitch
from chartc.theory.key import Key

# Degrees above a root as steps on the line of fifths: a major third is four fifths up, a minor third three down, and so on.
STEPS: dict[str, int] = {
    "1": 0, "b9": -5, "9": 2, "2": 2, "#9": 9, "b3": -3, "3": 4, "4": -1, "11": -1, "#4": 6, "#11": 6, "b5": -6, "5": 1,
    "#5": 8, "b6": -4, "b13": -4, "6": 3, "13": 3, "bb7": -9, "b7": -2, "7": 5,
}  # fmt: skip

_BASE: dict[str, str] = {
    "": "1 3 5", "m": "1 b3 5", "5": "1 5", "6": "1 3 5 6", "m6": "1 b3 5 6", "69": "1 3 5 6 9", "m69": "1 b3 5 6 9",
    "7": "1 3 5 b7", "maj7": "1 3 5 7", "m7": "1 b3 5 b7", "mmaj7": "1 b3 5 7", "9": "1 3 5 b7 9", "maj9": "1 3 5 7 9",
    "m9": "1 b3 5 b7 9", "mmaj9": "1 b3 5 7 9", "11": "1 3 5 b7 9 11", "m11": "1 b3 5 b7 9 11", "13": "1 3 5 b7 9 13",
    "maj13": "1 3 5 7 9 13", "m13": "1 b3 5 b7 9 13", "sus2": "1 2 5", "sus4": "1 4 5", "7sus4": "1 4 5 b7",
    "9sus4": "1 4 5 b7 9", "13sus4": "1 4 5 b7 9 13", "7sus2": "1 2 5 b7", "dim": "1 b3 b5", "dim7": "1 b3 b5 bb7",
    "m7b5": "1 b3 b5 b7", "aug": "1 3 #5", "add9": "1 3 5 9", "madd9": "1 b3 5 9", "add11": "1 3 5 11",
}  # fmt: skip

# Other ways in which charts write a quality, or the part of it after a minor sign.
_ALIASES: dict[str, str] = {
    "sus": "sus4", "4": "sus4", "2": "sus2", "7sus": "7sus4", "9sus": "9sus4", "13sus": "13sus4", "6/9": "69",
    "6(9)": "69", "6add9": "69", "dom7": "7", "add2": "add9", "add4": "add11", "no3": "5", "+5": "aug",
}  # fmt: skip

_BRACKETS = re.compile(r"\(([^()\d][^()]*)\)")
_MINOR = re.compile(r"[Mm]inor|[Mm]in|MIN|[Mm]i|m(?!a(?:j|\d|$))|-")
_MAJOR = re.compile(r"(?:[Mm]ajor|[Mm]aj|MAJ|[Mm]a|M)(?=$|\d|add|sus|[b#])")
_DELTA = re.compile(r"[Δ△]7?(?!\d)|[Δ△](?=\d)")
_DIMINISHED = re.compile(r"(?:[Dd]im|diminished|[°ºo])(7?)")
_HALF = re.compile(r"(?:hdim|[øØ])7?")
_AUGMENTED = re.compile(r"augmented|[Aa]ug|\+(?!5)")
_RAISED_AT_END = re.compile(r"(?<=[79])(?:\+|aug)$")
_SIGNED = re.compile(r"(?<=[1345789])([-+])(?=5|9|11|13)")
_ALTERATIONS = re.compile(r"(?:[b#](?:5|9|11|13),?)*[b#](?:5|9|11|13)")
_ALTERED_BASES = ("", "m", "7", "maj7", "m7", "9", "maj9", "m9", "11", "13", "maj13", "7sus4", "6", "mmaj7")


class Quality(NamedTuple):
    """What is built on a root: the suffix as written, and the degrees that sound."""

    suffix: str
    degrees: tuple[str, ...]

    @property
    def classes(self) -> tuple[int, ...]:
        """Semitones above the root, 0 to 11, in the order of the degrees."""
        return _classes(self.degrees)

    @property
    def family(self) -> str:
        """major, minor, seventh, diminished, half-diminished, augmented, suspended or power: what licks ask for."""
        return _family(self.degrees)


@cache
def _classes(degrees: tuple[str, ...]) -> tuple[int, ...]:
    return tuple(STEPS[d] * 7 % 12 for d in degrees)


@cache
def _family(degrees: tuple[str, ...]) -> str:
    has = set(degrees)
    if "b3" in has:
        if "b5" in has:
            return "half-diminished" if "b7" in has else "diminished"
        return "minor"
    if "3" in has:
        if "#5" in has:
            return "augmented"
        return "seventh" if "b7" in has else "major"
    return "suspended" if has & {"2", "4"} else "power"


def _usual(suffix: str) -> str:
    """The suffix with every sign and abbreviation in the one spelling of the tables."""
    text = pitch.plain(suffix)
    text = _ALIASES.get(text) or _BRACKETS.sub(r"\1", text)
    if match := _DIMINISHED.fullmatch(text):
        return "dim" + match[1]
    if _HALF.fullmatch(text):
        return "m7b5"
    lead = raised = ""
    if match := _MINOR.match(text):
        lead, text = "m", text[match.end() :]
    if match := _AUGMENTED.match(text):
        raised, text = "#5", text[match.end() :]
    if match := _DELTA.match(text):
        text = "maj" + ("" if text[match.end() :][:1].isdigit() else "7") + text[match.end() :]
    elif match := _MAJOR.match(text):
        rest = text[match.end() :]
        # a major triad and its sixth need no word; only the seventh and what is piled on it do
        text = "maj" + rest if lead or rest[:1] in ("7", "9", "1") else rest
    text = _RAISED_AT_END.sub("#5", text)
    text = _SIGNED.sub(lambda m: "b" if m[1] == "-" else "#", text)
    return lead + _ALIASES.get(text, text) + raised


@cache
def quality(suffix: str) -> Quality | None:
    """The quality of a suffix as charts write it (`m7`, `-7`, `°`, `7#9`, `7(b9)`, `maj7#5`), None where it is not known.

    However it was written, one quality has one suffix, and that suffix read again is the same quality."""
    text = _usual(suffix)
    if text in _BASE:
        return Quality(text, tuple(_BASE[text].split()))
    first = re.search(r"[b#]", text)
    if first is None:
        return None
    base, rest = text[: first.start()], text[first.start() :]
    if base not in _ALTERED_BASES or not _ALTERATIONS.fullmatch(rest):
        return None
    altered = sorted(re.findall(r"([b#])(\d+)", rest), key=lambda a: (int(a[1]), a[0] == "#"))
    degrees = _BASE[base].split()
    for sign, number in altered:
        degree = sign + number
        if degree not in STEPS or degree in degrees:
            return None
        if number == "5":
            if "5" not in degrees:
                return None
            degrees[degrees.index("5")] = degree
        else:
            degrees = [d for d in degrees if d != number] + [degree]
    name = base + "".join(a + b for a, b in altered)
    name = {"#5": "aug", "mb5": "dim"}.get(name, name)
    if name in _BASE:
        return Quality(name, tuple(_BASE[name].split()))
    # next to the root's letter a bare sign would be read as the root's own: C(b5) is not Cb5
    return Quality(name if base else f"({name})", tuple(degrees))


def all_suffixes() -> tuple[str, ...]:
    """Every unaltered suffix in its usual form, with the common altered ones."""
    return (
        *_BASE,
        "7b5",
        "7#5",
        "7b9",
        "7#9",
        "9b5",
        "9#5",
        "maj7#5",
        "7b5b9",
        "7#5#9",
        "7#11",
        "maj7#11",
        "7b13",
    )


class Chord(NamedTuple):
    """A chord: `root` and `bass` on the line of fifths (`bass` None where the root is the bass)."""

    root: int
    quality: Quality
    bass: int | None = None

    @property
    def root_class(self) -> int:
        """The root's pitch class."""
        return pitch.pitch_class(self.root)

    @property
    def tones(self) -> tuple[int, ...]:
        """The sounding tones, spelled, root first; a bass that is no chord tone comes last."""
        tones = tuple(self.root + STEPS[d] for d in self.quality.degrees)
        return tones if self.bass is None or self.bass in tones else (*tones, self.bass)

    @property
    def classes(self) -> frozenset[int]:
        """The chord's pitch classes, the bass note among them."""
        return frozenset(pitch.pitch_class(t) for t in self.tones)

    def moved(self, fifths: int) -> Chord:
        """The chord moved along the line of fifths; exact, so that there and back is the identity."""
        return Chord(self.root + fifths, self.quality, None if self.bass is None else self.bass + fifths)

    @property
    def label(self) -> str:
        """As printed, with ♭ and ♯, simply spelled: `B♭maj7`, `C/G`."""
        bass = "" if self.bass is None else "/" + pitch.name(pitch.simple(self.bass))
        return pitch.name(pitch.simple(self.root)) + pretty(self.quality.suffix) + bass

    @property
    def symbol(self) -> str:
        """As data, with b and #: `Bbmaj7`, `C/G`."""
        return pitch.plain(self.label)


def pretty(suffix: str) -> str:
    """A quality's suffix with ♭ and ♯ for b and #."""
    return re.sub(r"b(?=\d)", "♭", suffix).replace("#", "♯")


_DEGREES = {"I": 1, "II": 2, "III": 3, "IV": 4, "V": 5, "VI": 6, "VII": 7}
_WORD = re.compile(
    r"(?:(?P<letter>[A-G])(?P<sign>[b♭]{1,2}|[#♯]{0,2})|(?P<flat>[b#♭♯]?)(?:(?P<number>[1-7])|(?P<roman>(?:VII|VI|IV|V|III|II|I)|(?:vii|vi|iv|v|iii|ii|i))))"
    r"(?P<suffix>[^/\s|]*?(?:6/9)?)"
    r"(?:/(?:(?P<bass>[A-G](?:[b♭]{1,2}|[#♯]{0,2}))|(?P<bass_degree>[b#♭♯]?[1-7])))?"
)  # fmt: skip


@cache
def read_chord(word: str, key: Key) -> Chord | None:
    """The chord of a word by letter (`F#m7b5/C`) or by degree (`6m`, `b7`, `V7`, `4/1`), None where it is none.

    Degrees follow the scale of the key; a flat means the degree a semitone below the major scale's in every mode, so that
    `b7` is the chord a whole step below the tonic in minor too; a sharp raises the mode's own degree. Lower-case Roman
    numerals are minor where they have a third. `1` to `7` alone are degrees.
    """
    match = _WORD.fullmatch(word)
    if not match:
        return None
    suffix = match["suffix"]
    by_letter = match["letter"] is not None
    if by_letter:
        root = pitch.tone(match["letter"] + match["sign"])
    elif match["number"]:
        root = degree_tone(match["flat"] + match["number"], key)
    else:
        roman = match["roman"]
        root = degree_tone(match["flat"] + str(_DEGREES[roman.upper()]), key)
        written = quality(suffix)
        if roman.islower() and written is not None and "3" in written.degrees:
            suffix = "m" + suffix
    kind = quality(suffix)
    if kind is None:
        return None
    bass: int | None = None
    if match["bass"]:
        bass = pitch.tone(match["bass"])
    elif match["bass_degree"]:
        if by_letter:
            return None
        bass = degree_tone(match["bass_degree"], key)
    return Chord(root, kind, None if bass == root else bass)


def degree_tone(degree: str, key: Key) -> int:
    """The tone of a degree such as `5`, `b7`, `#4` in a key (see `read_chord`)."""
    number = int(degree[-1]) - 1
    sign = pitch.plain(degree[:-1])
    own = key.scale[number]
    if sign == "b":
        return Key(key.tonic).scale[number] - 7
    return own + (7 if sign == "#" else 0)


def degree_label(tone: int, key: Key) -> str:
    """The degree of a tone above the tonic, counted from the major scale: `1`, `♭3`, `♯4`."""
    step = tone - key.tonic
    sign, place = divmod(step + 1, 7)
    number = (4, 1, 5, 2, 6, 3, 7)[place]
    return ("♯" * sign if sign > 0 else "♭" * -sign) + str(number)
