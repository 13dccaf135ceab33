"""What must hold for any song that is filled from the program's own library: in time, in tune, within the hands' reach."""

from __future__ import annotations

from functools import cache
from itertools import pairwise

import pytest
from hypothesis import event, given, settings
from hypothesis import strategies as st

from chartc.licks.library import load_library, own_sources
from chartc.licks.lick import CARRYING, Library
from chartc.neck.hand import Limits
from chartc.slots.choose import fill
from chartc.slots.part import FilledSlot, Note, Part
from chartc.text.diagnostic import has_errors, show
from tests.slots.small import Heard, as_played, house, means, notes_as_played, song

KEYS = (
    "C", "Db", "D", "Eb", "E", "F", "F#", "G", "Ab", "A", "Bb", "B", "A minor", "E minor", "C# minor", "D dorian", "A mixolydian",
)  # fmt: skip
METERS = ("4/4", "4/4", "2/2", "2/4", "3/4", "6/8", "9/8", "12/8", "5/4", "7/8", "3/2")
CHORDS = ("1", "1", "4", "5", "57", "6m", "2m", "b7", "27", "1/5", "5sus4", "7dim", "4maj7", "1+", "NC")
TEMPOS = ("quarter = 60", "quarter = 112", "half = 88", "half = 112", "half = 140", "eighth = 300")
LEADS = (
    "",
    "lead voice, fills banjo",
    "lead voice, fills fiddle",
    "lead fiddle, chop mandolin",
    "lead fiddle",
    "lead banjo",
)


@cache
def own() -> Library:
    """The library that comes with the program."""
    return load_library(own_sources())[0]


@st.composite
def rows(draw: st.DrawFn, halves: bool) -> tuple[str, int]:
    """One to four measures with rows beneath; and their number."""
    cells = []
    for _ in range(draw(st.integers(1, 4))):
        words = draw(st.lists(st.sampled_from(CHORDS), min_size=1, max_size=2 if halves else 1))
        cells.append(" ".join(words))
    if draw(st.integers(0, 7)) == 0:
        cells[-1] = f"in {draw(st.sampled_from(('2/4', '3/4', '5/4')))}: {cells[-1].split()[0]}"
    text = "| " + " | ".join(cells) + " |\n"
    if draw(st.booleans()):
        text += "voice | " + " | ".join(draw(st.sampled_from(("sung", "held", "silent", ""))) for _ in cells) + " |\n"
    if draw(st.integers(0, 3)) == 0:
        asked = [draw(st.sampled_from(("roll", "vamp", "high", "fill", "lead-in", "", ""))) for _ in cells]
        text += "ask | " + " | ".join("" if "NC" in c else a for a, c in zip(asked, cells, strict=True)) + " |\n"
    return text, len(cells)


@st.composite
def charts(draw: st.DrawFn) -> tuple[str, dict[str, str]]:
    """The sections of a chart, and its headers."""
    meter = draw(st.sampled_from(METERS))
    halves = int(meter.split("/")[0]) % 2 == 0
    names = draw(st.lists(st.sampled_from(("verse", "chorus", "break", "tag")), min_size=1, max_size=3, unique=True))
    form = names + draw(st.lists(st.sampled_from(names), max_size=3))
    text = ""
    for name in names:
        body, count = draw(rows(halves))
        if draw(st.integers(0, 3)) == 0:
            first, more = draw(rows(halves))
            second, most = draw(rows(halves))
            body = f"repeat\n{body}ending 1\n{first}ending 2\n{second}end repeat\n"
            count = 2 * count + more + most
        text += f"section {name}, {count} measures\n{draw(st.sampled_from(LEADS))}\n{body}"
    headers = {
        "key": draw(st.sampled_from(KEYS)),
        "meter": meter,
        "tempo": draw(st.sampled_from(TEMPOS)),
        "form": ", ".join(form),
        "melody": draw(st.sampled_from(("", "D4 to B4"))),
    }
    return text, headers


def check_time(part: Part) -> None:
    """Slots tile the chords of every measure; onsets and rests tile every slot, and each note lasts to the next."""
    for section, filled in zip(part.song.sections, part.slots, strict=True):
        for measure, slots in zip(section.measures, filled, strict=True):
            wanted = [] if measure.pickup else [(s.at, s.ticks, s.chord) for s in measure.stretches if s.chord]
            assert [(s.at, s.ticks, s.chord) for s in slots] == wanted
            for slot in slots:
                check_slot(slot)


def check_slot(slot: FilledSlot) -> None:
    """Nothing is left unfilled or filled twice, at any moment of the slot."""
    now = slot.at
    onsets = sorted({(n.at, n.ticks) for n in slot.notes} | set(slot.rests))
    for at, ticks in onsets:
        assert at == now and ticks > 0, (slot.lick, slot.notes, slot.rests)
        now += ticks
    assert now == slot.at + slot.ticks
    for at in {n.at for n in slot.notes}:
        together = [n for n in slot.notes if n.at == at]
        assert len({n.string for n in together}) == len(together)


def check_note(part: Part, note: Note) -> None:
    """A note lies on the instrument, sounds what string and fret say, and has the fingers that it needs."""
    string = part.instrument.strings[note.string - 1]
    if note.fret == 0 and string.nut_fret:
        assert note.pitch == part.fifth.pitch
    else:
        # a banjo's fifth string begins at its fifth fret (any text of the trade, from memory)
        assert note.pitch == string.open + (note.fret - string.nut_fret if note.fret else 0)
    assert 0 <= note.fret <= part.instrument.frets and (note.fret == 0 or note.fret > string.nut_fret)
    assert (note.finger is None) == (note.fret == 0)
    assert (note.pick is None) == (note.how in ("hammer-on", "pull-off", "slide"))
    assert note.pick in ("T", "I", "M", None) and note.finger in ("i", "m", "r", "p", "t", None)


def check_strokes(part: Part) -> None:
    """No pick finger strikes twice within 150 ms (single-finger tapping, 5 to 7 a second: Fujii et al. 2009, Neurosci. Lett.
    459:69-73), at no place of the song as played."""
    ms = part.song.tempo.milliseconds(1)
    last: dict[str, int] = {}
    for at, note in notes_as_played(part):
        if note.pick is None:
            continue
        before = last.get(note.pick)
        if before is not None and before != at:
            assert (at - before) * ms >= 150, (at, note)
        last[note.pick] = at


def check_licks(part: Part) -> None:
    """No lick but rolls and vamps twice in a row, and the halves of a long lick in their order, as played."""
    heard = as_played(part)
    for before, after in pairwise(heard):
        a, b = before.slot, after.slot
        opened = a.part == (1, 2)
        assert opened == (b.part == (2, 2))
        if opened:
            assert a.lick == b.lick and after.at == before.at + a.ticks
        elif a.role not in CARRYING and not (asked(part, before) and asked(part, after)):
            assert a.lick != b.lick, (a.lick, before.measure, after.measure)
    assert not heard or (heard[0].slot.part != (2, 2) and heard[-1].slot.part != (1, 2))


def asked(part: Part, heard: Heard) -> bool:
    """Whether the chart asks for something in a slot."""
    section, m = heard.measure
    measure = part.song.sections[section].measures[m]
    return any(r for r, s in zip(measure.requests, measure.stretches, strict=True) if s.at == heard.slot.at)


def check_stretch(part: Part, limits: Limits) -> None:
    """What is held at one moment lies within the widest stretch."""
    mm = part.instrument.fret_mm
    for heard in as_played(part):
        for at in {n.at for n in heard.slot.notes}:
            held = [mm[n.fret] for n in heard.slot.notes if n.at == at and n.fret]
            assert not held or max(held) - min(held) <= limits.most_mm


@settings(max_examples=60)
@given(charts())
def test_any_song_can_be_played(chart: tuple[str, dict[str, str]]) -> None:
    """Protects everything that is printed: whatever the song, its key, meter and tempo, the part is in time and in tune, two
    hands can play it on every way through the form, and silence is never without a warning."""
    text, headers = chart
    of = song(text, own(), **headers)
    part, found = fill(of, means(own()))
    event(f"{headers['meter']} {'filled' if part else 'refused'}")
    if part is None:
        # only requests can leave no way for the hands
        assert "ask |" in text and {d.code for d in found if d.severity == "error"} == {"join-unplayable"}, show(found)
        return
    assert not has_errors(found)
    check_time(part)
    for _, note in notes_as_played(part):
        check_note(part, note)
    check_strokes(part)
    check_licks(part)
    check_stretch(part, Limits())
    silent = sum(s.role == "rest" for section in part.slots for measure in section for s in measure)
    warned = [d for d in found if d.code == "slot-silent"]
    assert len(warned) <= silent and (len(warned) > 0) == (silent > 0)
    assert {d.code for d in found} <= {"slot-silent", "request-unmet"}


@pytest.mark.parametrize(
    ("meter", "keys"), [("4/4", KEYS[:12]), ("2/4", KEYS[:12:5]), ("3/4", KEYS[:12:3]), ("6/8", KEYS[1:12:4])]
)
def test_the_usual_meters_are_never_silent(meter: str, keys: tuple[str, ...]) -> None:
    """Protects the common song: in each of the usual meters the own library fills every measure over the usual chords, at a
    usual tempo, in every key in common time."""
    for key in keys:
        rows = "| 1 | 4 | 5 | 57 |\n| 6m | 2m | b7 | 1 |"
        part, found = fill(song(rows, own(), key=key, meter=meter, tempo="quarter = 104"), means(own(), house()))
        assert part is not None and not found, (meter, key, show(found))
