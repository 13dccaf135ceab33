"""Parts at random: songs of any form, meter and key, filled with any notes that a part may have. For proofs over many pages; what
is played makes no musical sense."""

from __future__ import annotations

from dataclasses import replace
from random import Random

from chartc.chart.song import Ending, Measure, Repeat, Section, in_key
from chartc.slots.part import FilledSlot, Note, Part
from chartc.theory.chord import all_suffixes
from chartc.theory.key import all_keys
from chartc.theory.meter import Meter
from tests.sheet.parts import measure, note, part, section, song

METERS = (Meter(4, 4), Meter(4, 4), Meter(2, 2), Meter(3, 4), Meter(2, 4), Meter(6, 8), Meter(5, 4), Meter(9, 8))
ROOTS = ("C", "C#", "Db", "D", "Eb", "E", "F", "F#", "Gb", "G", "Ab", "A", "Bb", "B")
TITLES = (
    "Dusty Ferry", "Žluťoučký kůň", "Ó Dónaill's Way Home Over the Long Water", "B♭",
    "A Title That Goes On for Much Longer Than Anybody Would Ever Say Aloud Between Two Songs on a Stage",
)  # fmt: skip
WHO = ("", "voice", "banjo", "mandolin", "the whole band together", "fiddle")
WORDS = (
    "",
    "",
    "",
    "down by the ferry",
    "and so we went",
    "Donaudampfschifffahrt",
    "I laid my ladder down beside the long water",
)
LICKS = ("tin-cup", "half-steps-middle", "down-from-ninth", "peg", "a name that is longer than others")
ROLES = ("roll", "vamp", "fill", "lead-in", "lick")
TUPLES = (
    (240,),
    (120, 120),
    (480,),
    (160, 160, 160),
    (360, 120),
    (120, 240, 120),
    (960,),
    (720, 240),
    (320, 160),
    (600, 120),
)


def invented(chance: Random) -> Part:
    """A part of one to six sections."""
    meter = chance.choice(METERS)
    sections = [_section(chance, n, meter) for n in range(chance.choice((1, 2, 4, 5, 6)))]
    made = song(chance.choice(TITLES), sections, meter)
    made = in_key(made, chance.choice(all_keys("major")))
    filled = part(made, lambda m, s, n: FilledSlot(s.at, s.ticks, s.chord, "", "roll", (1, 1), None, (), ()))  # type: ignore[arg-type]
    slots = tuple(
        tuple(tuple(_filled(chance, s) for s in measure) for measure in measures) for measures in filled.slots
    )
    remarks = ("verse is printed twice, once before each neighbour",) if chance.random() < 0.1 else ()
    return replace(filled, slots=slots, way=chance.choice((1, 1, 2)), remarks=remarks)


def _section(chance: Random, number: int, meter: Meter) -> Section:
    count = chance.choice((2, 4, 4, 8, 8, 12, 16, 16, 17, 40))
    bars = [_chords(chance, meter) for _ in range(count)]
    voice = chance.choice(((), ("sung",), ("sung", "held", "sung held", "held silent")))
    made = section(
        f"{chance.choice(('verse', 'chorus', 'break', 'tag'))} {number + 1}",
        bars,
        meter,
        per_line=chance.choice((4, 4, 4, 2, 3, 5, 8)),
        pickup=chance.choice((0, 0, 0, 480)),
        repeats=_repeats(chance, count),
        voice=voice,
        cues=[chance.choice(WORDS) for _ in range(count)] if chance.random() < 0.5 else (),
        lead=chance.choice(WHO),
        fills=chance.choice(WHO),
        chop=chance.choice(WHO),
    )
    if chance.random() < 0.2:
        own = list(made.measures)
        k = chance.randrange(1, len(own))
        own[k] = _crooked(own[k])
        made = replace(made, measures=tuple(own))
    return made


def _crooked(m: Measure) -> Measure:
    return measure("G", m.number, Meter(2, 4), line=m.line) if not m.pickup else m


def _repeats(chance: Random, count: int) -> tuple[Repeat, ...]:
    if count < 6 or chance.random() < 0.6:
        return ()
    if chance.random() < 0.5:
        return (Repeat(0, count - 1, chance.choice((2, 3))),)
    return (Repeat(0, count - 1, 2, (Ending((1,), count - 4, count - 3), Ending((2,), count - 2, count - 1))),)


def _chords(chance: Random, meter: Meter) -> str:
    most = max(1, min(4, meter.ticks // 480))
    words = []
    for _ in range(chance.choice((1, 1, 1, 1, 2, 2, most))):
        if chance.random() < 0.03:
            words.append("N.C.")
            continue
        suffix = "" if chance.random() < 0.5 else chance.choice(all_suffixes())
        bass = "/" + chance.choice("CDEFGAB") if chance.random() < 0.15 else ""
        words.append(chance.choice(ROOTS) + suffix + bass)
    return " ".join(words[:most])


def _filled(chance: Random, slot: FilledSlot) -> FilledSlot:
    kind = chance.random()
    base = chance.choice((0, 0, 2, 5, 9, 14, 19))
    notes: list[Note] = []
    rests: list[tuple[int, int]] = []
    at, end = slot.at, slot.at + slot.ticks
    last: dict[int, Note] = {}
    while at < end:
        steps = (240,) if kind < 0.5 else chance.choice(TUPLES)
        for step in steps:
            ticks = min(step, end - at)
            if ticks <= 0:
                break
            if chance.random() < 0.06:
                rests.append((at, ticks))
                last.clear()
            else:
                count = chance.choice((1, 1, 1, 1, 1, 2, 3))
                strings = sorted(chance.sample((1, 2, 3, 4, 5), count))
                for string, pick in zip(strings, chance.sample("TIM", count), strict=True):
                    notes.append(_note(chance, at, ticks, string, base, pick, count, last))
            at += ticks
    fretted = [n.fret for n in notes if n.finger]
    return replace(
        slot,
        lick=chance.choice(LICKS),
        role=chance.choice(ROLES),
        position=min(fretted) if fretted else None,
        notes=tuple(notes),
        rests=tuple(rests),
    )


def _note(
    chance: Random, at: int, ticks: int, string: int, base: int, pick: str, count: int, last: dict[int, Note]
) -> Note:
    fret = 0 if base == 0 and chance.random() < 0.4 else min(22, base + chance.randrange(4))
    if string == 5 and 0 < fret < 6:
        fret = 0
    how = None
    before = last.get(string)
    if count == 1 and before is not None and before.fret != fret and string != 5 and chance.random() < 0.2:
        how = chance.choice(("hammer-on", "slide")) if fret > before.fret else "pull-off"
    elif count == 1 and fret and chance.random() < 0.05:
        how = "choke"
    elif count == 3:
        how = "damped"
    struck = how in (None, "choke", "damped")
    made = note(at, ticks, string, fret, pick if struck else None, how, 1.0 if how == "choke" else 0.0)
    last[string] = made
    return made
