"""The proof of a lick: what must hold before it may be used. Each finding points at the column that is wrong."""

from __future__ import annotations

from dataclasses import dataclass, replace

from chartc.licks.lick import Lick, family_quality
from chartc.licks.notation import ROWS, STEP, RawNote, inside
from chartc.neck.fingers import assigned
from chartc.neck.follow import grip
from chartc.neck.hand import Limits
from chartc.neck.instrument import Instrument
from chartc.text.diagnostic import Diagnostic
from chartc.text.source import Span
from chartc.text.tree import Leaf
from chartc.theory import pitch
from chartc.theory.chord import STEPS

SLOW_MS = 300 / STEP
"""Milliseconds a tick at which a lick must at least be playable: eighth notes at quarter = 100."""

TENSIONS = {name: step * 7 % 12 for name, step in STEPS.items()}
"""Names of tensions with their semitones above the root."""

# lengths in steps that fill a half, one or two measures; a lead-in is a tail
_LENGTHS = {False: (2, 4, 6, 8, 12, 16), True: (3, 6, 12)}


@dataclass(frozen=True, slots=True)
class Played:
    """A note that the hand model can follow."""

    at: int
    string: int
    fret: int
    finger: str | None
    pick: str | None
    how: str | None


FINGERED_MS = 200 / STEP
"""Milliseconds a tick for which fingers are chosen: eighth notes at quarter = 150."""


def assign_fingers(notes: tuple[RawNote, ...], instrument: Instrument, limits: Limits) -> tuple[RawNote, ...]:
    """Gives every fretted note without a finger one by the model of the hand; what is stated stays."""
    if all(n.finger for n in notes if n.fret):
        return notes
    # a fret that is not on the neck is told by the proof
    played = [Played(n.at, n.string, min(n.fret or 0, instrument.frets), n.finger, n.pick, n.how) for n in notes]
    fingers = assigned(played, instrument, limits, FINGERED_MS)
    return tuple(replace(n, finger=finger) for n, finger in zip(notes, fingers, strict=True))


def prove(lick: Lick, rows: dict[str, Leaf], instrument: Instrument, limits: Limits) -> list[Diagnostic]:
    """Everything that is wrong with a lick on an instrument; nothing where it is proven."""
    found: list[Diagnostic] = []
    strings = rows["strings"]

    def place(note: RawNote, row: str = "strings") -> Span:
        row = row if row in rows else "strings"
        return inside(rows[row], note.columns[ROWS.index(row)])

    def bad(code: str, message: str, note: RawNote, help: str = "", row: str = "strings") -> None:
        found.append(Diagnostic(code, f"{lick.name}: {message}", place(note, row), help))

    if not lick.notes:
        found.append(Diagnostic("lick-empty", f"{lick.name}: there is no note in it", strings.span,
                                "a chart asks for silence by the word rest"))  # fmt: skip
        return found
    _length(lick, strings, found)
    sounding: dict[int, RawNote] = {}
    together: list[RawNote] = []
    for note in lick.notes:
        # notes come in the order of their onsets
        beside = [other for other in together if other.at == note.at]
        together = [*beside, note]
        if note.string > len(instrument.strings):
            bad("lick-string", f"there is no string {note.string} on this instrument", note,
                f"strings are numbered 1 to {len(instrument.strings)}")  # fmt: skip
            continue
        if any(other.string == note.string for other in beside):
            bad(
                "lick-string", f"string {note.string} is struck twice at once", note, "join each string once in a pinch"
            )
        if note.pick and any(other.pick == note.pick for other in beside):
            bad(
                "lick-pick",
                f"{note.pick} strikes two strings at once",
                note,
                "give each string of a pinch a finger of its own",
                "picks",
            )
        _note(lick, note, sounding.get(note.string), instrument, bad)
        if any(o.finger and o.finger == note.finger and o.fret != note.fret for o in beside):
            bad(
                "lick-finger",
                f"{note.finger} is on two frets at once",
                note,
                "a finger may lie across strings at one fret only",
                "fingers",
            )
        sounding[note.string] = note
    if found:
        return found
    if not lick.pattern:
        _tones(lick, instrument, bad)
        _landing(lick, instrument, bad)
        problem = out_of_hand(lick, instrument, limits)
        if problem:
            found.append(Diagnostic("lick-hand", f"{lick.name}: {problem}, even slowly", strings.span,
                                    "change the fingers, or give the hand an open note's time to move"))  # fmt: skip
    return found


def out_of_hand(lick: Lick, instrument: Instrument, limits: Limits) -> str:
    """Why no hand of these limits can play a lick even slowly, in words; empty where it can."""
    played = [Played(n.at, n.string, n.fret or 0, n.finger, n.pick, n.how) for n in lick.notes]
    return grip(played, instrument, limits).problem_at(SLOW_MS) or ""


def _length(lick: Lick, strings: Leaf, found: list[Diagnostic]) -> None:
    if lick.role == "lead-in":
        if not 2 <= lick.steps <= 4:
            found.append(Diagnostic("lick-length", f"{lick.name}: a lead-in has 2 to 4 steps, this one has {lick.steps}", strings.span,
                                    "write only the tail; a roll is played before it"))  # fmt: skip
    elif not lick.pattern and lick.steps not in _LENGTHS[lick.compound]:
        known = ", ".join(str(n) for n in _LENGTHS[lick.compound])
        found.append(Diagnostic("lick-length", f"{lick.name}: {lick.steps} steps do not fill a half, one or two measures", strings.span,
                                f"lengths that do: {known} steps"))  # fmt: skip


_WAYS = {
    "hammer-on": "a hammer-on goes up",
    "pull-off": "a pull-off goes down",
    "slide": "a slide goes from one fret to another, not from an open string",
}


def _note(lick: Lick, note: RawNote, before: RawNote | None, instrument: Instrument, bad: object) -> None:
    assert callable(bad)
    start = instrument.strings[note.string - 1].nut_fret
    made = note.how in ("hammer-on", "pull-off", "slide")
    if note.pick is None and not made:
        bad("lick-pick", "a note has no pick finger", note, "write T, I or M under it", "picks")
    if note.pick is not None and made:
        bad("lick-pick", f"a {note.how} is not struck", note, "write . under it in the row of picks", "picks")
    if note.fret is None:
        return
    if note.fret > instrument.frets or (note.fret and start and note.fret <= start):
        bad("lick-fret", f"string {note.string} has no fret {note.fret}", note,
            f"its frets are {start + 1} to {instrument.frets}, and 0 is open", "frets")  # fmt: skip
    if not note.fret and note.finger:
        bad(
            "lick-finger",
            f"an open string needs no finger, {note.finger} is written",
            note,
            "write . under it",
            "fingers",
        )
    if note.fret and not note.finger:
        bad("lick-finger", f"fret {note.fret} has no finger", note, "write i, m, r, p or t under it", "fingers")
    if note.finger == "t" and not start:
        bad("lick-finger", "the thumb frets the short string only", note, "write i, m, r or p under it", "fingers")
    if lick.movable and not note.fret and not start:
        bad("lick-movable", f"an open string {note.string} does not move with the chord", note,
            "fret it, or leave out: movable: yes")  # fmt: skip
    if made:
        if before is None or before.fret is None:
            bad("lick-how", f"a {note.how} needs a note before it on string {note.string}", note,
                "strike the string first, or strike this note as well", "frets")  # fmt: skip
        elif (
            (note.how == "hammer-on" and note.fret <= before.fret)
            or (note.how == "pull-off" and note.fret >= before.fret)
            or (note.how == "slide" and (note.fret == before.fret or not before.fret))
        ):
            bad(
                "lick-how",
                f"a {note.how} cannot go from fret {before.fret} to fret {note.fret}",
                note,
                _WAYS[note.how or ""],
                "frets",
            )
    if note.how == "choke" and not 0.25 <= note.amount <= 3:
        bad("lick-how", f"a choke of {note.amount:g} semitones", note, "0.5, 1 or 2 semitones is usual", "frets")
    if note.how == "choke" and not note.fret:
        bad("lick-how", "an open string cannot be choked", note, "fret it, or leave out the c", "frets")


def strong(at: int, compound: bool, ticks: int) -> bool:
    """Whether a time in a lick lies on a strong beat: every half note, in waltz time every measure, in 6/8 every dotted quarter."""
    if compound:
        return at % (3 * STEP) == 0
    return at % (6 * STEP) == 0 if ticks % (6 * STEP) == 0 else at % (4 * STEP) == 0


def _tones(lick: Lick, instrument: Instrument, bad: object) -> None:
    """Strong beats are chord tones or named tensions, over every kind of chord that the lick serves."""
    assert callable(bad)
    if lick.role == "lead-in":
        return
    tones = {family: {*family_quality(family).classes, *lick.tensions} for family in sorted(lick.serves)}
    for note in lick.notes:
        if not strong(note.at, lick.compound, lick.ticks) or note.fret is None:
            continue
        if instrument.strings[note.string - 1].nut_fret and not note.fret:
            continue
        above = (instrument.pitch(note.string, note.fret) - lick.root) % 12
        if wrong := [family for family in tones if above not in tones[family]]:
            # the plain name before the one an octave higher: b3 and not #9
            names = sorted((n for n, s in TENSIONS.items() if s == above), key=lambda n: (int(n.lstrip("b#")), n))
            bad("lick-tone", f"the strong beat at column {note.at // STEP + 1} is {names[0]}, which is no tone of {_listed(wrong)}", note,
                f"play a chord tone there, or name the tension: tensions: [{names[0]}]")  # fmt: skip


def _listed(families: list[str]) -> str:
    """`a major chord`, `a minor or an augmented chord`."""
    return " or ".join(("an " if f[0] == "a" else "a ") + f for f in families) + " chord"


def _landing(lick: Lick, instrument: Instrument, bad: object) -> None:
    """A lead-in's last note lies one or two semitones from the root, a third or the fifth of the chord it leads to."""
    assert callable(bad)
    if lick.role != "lead-in" or lick.target is None:
        return
    note = lick.notes[-1]
    above = (instrument.pitch(note.string, note.fret or 0) - lick.target) % 12
    if not any(1 <= min((above - t) % 12, (t - above) % 12) <= 2 for t in (0, 3, 4, 7)):
        bad("lick-landing", f"the last note does not lead to {pitch.note_name(60 + lick.target)[:-1]}", note,
            "end one or two semitones from the root, third or fifth of that chord")  # fmt: skip
