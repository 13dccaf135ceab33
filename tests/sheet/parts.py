"""Parts made by hand for the sheet's tests: invented songs, filled with rolls and a few lick-like slots by a fixed rule."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace

from chartc.chart.song import Ending, Measure, Passage, Repeat, Section, Song, Stretch, VoiceStretch
from chartc.neck.instrument import FifthString
from chartc.neck.instruments import five_string_banjo
from chartc.slots.part import FilledSlot, Note, Part
from chartc.text.source import Source, Span
from chartc.theory.chord import Chord, read_chord
from chartc.theory.key import Key, parse_key
from chartc.theory.meter import Meter, Tempo

FIVE_STRING_BANJO = five_string_banjo()

SPAN = Span(Source("made by hand", ""), 1, 1, 1)
G = Key(1)
FOUR = Meter(4, 4)

ROLLS = {
    "alternating": ((3, "T"), (2, "I"), (5, "T"), (1, "M"), (4, "T"), (2, "I"), (5, "T"), (1, "M")),
    "forward": ((2, "I"), (1, "M"), (5, "T"), (2, "I"), (1, "M"), (5, "T"), (2, "I"), (1, "M")),
    "backward": ((1, "M"), (2, "I"), (5, "T"), (1, "M"), (2, "I"), (5, "T"), (1, "M"), (2, "I")),
}
FINGERS = {0: None, 1: "i", 2: "m", 3: "r", 4: "p"}
SHAPES = {"C": {4: 2, 2: 1, 1: 2}, "D": {3: 2, 2: 3, 1: 4}, "D7": {3: 2, 2: 1}, "F": {4: 3, 3: 2, 2: 1, 1: 3}}


def chord(word: str, key: Key = G) -> Chord | None:
    """The chord of a word; None for N.C."""
    return None if word == "N.C." else read_chord(word, key)


def measure(
    words: str,
    number: int = 1,
    meter: Meter = FOUR,
    ticks: int | None = None,
    line: int = 0,
    voice: str = "",
    cue: str = "",
    again: bool = False,
    key: Key = G,
) -> Measure:
    """A measure of evenly spread chords; neighbours alike are one stretch."""
    ticks = ticks or meter.ticks
    names = words.split()
    step = ticks // len(names)
    stretches: list[Stretch] = []
    for n, word in enumerate(names):
        end = ticks if n == len(names) - 1 else (n + 1) * step
        found = chord(word, key)
        assert found is not None or word == "N.C.", word
        if stretches and stretches[-1].chord == found:
            stretches[-1] = replace(stretches[-1], ticks=end - stretches[-1].at)
        else:
            stretches.append(Stretch(n * step, end - n * step, found, SPAN))
    states = voice.split()
    voices = tuple(
        VoiceStretch(n * ticks // len(states), ticks // len(states), s)  # type: ignore[arg-type]
        for n, s in enumerate(states)
    )
    return Measure(
        meter,
        ticks,
        number,
        tuple(stretches),
        (None,) * len(stretches),
        SPAN,
        pickup=number == 0,
        again=again,
        crooked=meter != FOUR,
        voice=voices,
        words=cue,
        line=line,
    )


def section(
    label: str,
    bars: Sequence[str],
    meter: Meter = FOUR,
    per_line: int = 4,
    pickup: int = 0,
    repeats: tuple[Repeat, ...] = (),
    voice: Sequence[str] = (),
    cues: Sequence[str] = (),
    key: Key = G,
    lead: str = "",
    fills: str = "",
    chop: str = "",
) -> Section:
    """A section of measures given as chord words; `pickup` is a pickup's length in ticks."""
    made = [
        measure(
            bar,
            n + 1,
            meter,
            line=n // per_line,
            voice=voice[n % len(voice)] if voice else "",
            cue=cues[n] if n < len(cues) else "",
            again=n > 0 and bars[n - 1] == bar,
            key=key,
        )
        for n, bar in enumerate(bars)
    ]
    if pickup:
        made.insert(0, measure("N.C.", 0, meter, pickup))
    played = tuple(range(1 if pickup else 0, len(made)))
    kind = label.split()[0].lower()
    return Section(label.replace(" ", "-"), label, kind, tuple(made), played, repeats, SPAN, lead, fills, chop)


def song(
    title: str,
    sections: Sequence[Section],
    meter: Meter = FOUR,
    key: str = "G",
    tempo: Tempo | None = None,
    order: Sequence[int] | None = None,
) -> Song:
    """A song of the sections, in the order given."""
    tonic = parse_key(key) or G
    passages = tuple(Passage(n, sections[n].played) for n in (order or range(len(sections))))
    tempo = tempo or Tempo("quarter", 112)
    return Song(title, "written for this project", tonic, tonic, meter, tempo, None, tuple(sections), passages)


Filler = Callable[[Measure, Stretch, int], FilledSlot]


def roll(m: Measure, s: Stretch, n: int, step: int = 240) -> FilledSlot:
    """A roll in eighths (or sixteenths) over one chord, fretting a shape where there is one."""
    name = tuple(ROLLS)[n % 3]
    pattern = ROLLS[name]
    assert s.chord is not None
    shape = SHAPES.get(s.chord.symbol, {})
    notes = []
    for k, at in enumerate(range(s.at, s.at + s.ticks, step)):
        string, pick = pattern[k % len(pattern)]
        notes.append(note(at, min(step, s.at + s.ticks - at), string, shape.get(string, 0), pick))
    position = 1 if shape else None
    return FilledSlot(s.at, s.ticks, s.chord, f"{name} roll", "roll", (1, 1), position, tuple(notes), ())


def note(
    at: int,
    ticks: int,
    string: int,
    fret: int,
    pick: str | None = None,
    how: str | None = None,
    amount: float = 0.0,
    finger: str | None = None,
) -> Note:
    """A note with a plausible finger."""
    if fret and finger is None:
        finger = "t" if string == 5 else FINGERS.get(fret, "imrp"[(string + fret) % 4])
    return Note(at, ticks, string, fret, FIVE_STRING_BANJO.pitch(string, fret), pick, finger, how, amount)


def vamp(m: Measure, s: Stretch, n: int) -> FilledSlot:
    """Bass note and damped pinch, beat by beat, high on the neck."""
    notes: list[Note] = []
    base = 7 + n % 3
    assert s.chord is not None
    for k, at in enumerate(range(s.at, s.at + s.ticks, 480)):
        if k % 2:
            for string, pick, finger in ((3, "T", "m"), (2, "I", "i"), (1, "M", "r")):
                notes.append(note(at, 480, string, base + string % 2, pick, "damped", finger=finger))
        else:
            notes.append(note(at, 480, 4, base + 1, "T", finger="r"))
    return FilledSlot(s.at, s.ticks, s.chord, "closed vamp", "vamp", (1, 1), base, tuple(notes), ())


def fancy(m: Measure, s: Stretch, n: int) -> FilledSlot:
    """A full measure of 4/4 that shows every technique; three kinds in turn."""
    assert s.chord is not None
    if s.ticks != 1920:
        return roll(m, s, n)
    kind = n % 4
    rests: tuple[tuple[int, int], ...] = ()
    if kind == 0:
        notes = [
            note(0, 120, 3, 2, "T"), note(120, 120, 3, 3, None, "hammer-on"), note(240, 240, 2, 0, "I"),
            note(480, 120, 4, 0, "T"), note(600, 120, 4, 2, None, "slide"), note(720, 240, 1, 0, "M"),
            note(960, 240, 2, 1, "I"), note(1200, 240, 2, 0, None, "pull-off"), note(1440, 480, 3, 0, "T"),
            note(1440, 480, 1, 0, "M"), note(1440, 480, 5, 0, "I"),
        ]  # fmt: skip
    elif kind == 1:
        notes = [
            note(0, 480, 2, 10, "I", "choke", 1.0), note(480, 160, 1, 8, "M"), note(640, 160, 2, 10, "I"),
            note(800, 160, 3, 9, "T"), note(960, 360, 1, 12, "M", "choke", 2.0), note(1320, 120, 1, 10, "M"),
            note(1440, 480, 5, 9, "T"),
        ]  # fmt: skip
    elif kind == 2:
        notes = [
            note(0, 960, 1, 22, "M"), note(0, 960, 2, 20, "I"), note(960, 720, 3, 12, "T"),
            note(1680, 80, 2, 13, "I"), note(1760, 80, 1, 12, "M"), note(1840, 80, 5, 0, "T"),
        ]  # fmt: skip
    else:
        notes = [
            note(240, 600, 3, 2, "T"), note(840, 120, 1, 0, "M"), note(1200, 240, 2, 3, "I"),
            note(1440, 320, 2, 0, "I"), note(1760, 160, 1, 2, "M"),
        ]  # fmt: skip
        rests = ((0, 240), (960, 240))
    position = (2, 8, 12, 2)[kind]
    names = ("hammered run", "the high answer over the hill", "long bells", "late start")
    return FilledSlot(s.at, s.ticks, s.chord, names[kind], "fill", (1, 1), position, tuple(notes), rests)


def sixteenths(m: Measure, s: Stretch, n: int) -> FilledSlot:
    """A roll in sixteenths."""
    return roll(m, s, n, 120)


def part(song: Song, *fillers: Filler) -> Part:
    """The song with every slot filled, the fillers taking turns by measure."""
    fillers = fillers or (roll,)
    slots = []
    count = 0
    for sec in song.sections:
        rows = []
        for m in sec.measures:
            here = []
            for s in m.stretches:
                if s.chord is not None and not m.pickup:
                    here.append(fillers[m.number % len(fillers)](m, s, count))
                    count += 1
            rows.append(tuple(here))
        slots.append(tuple(rows))
    return Part(song, FIVE_STRING_BANJO, FifthString(0, 67, "open G, as tuned"), tuple(slots))


def ordinary() -> Part:
    """A usual song: kickoff, verse, chorus, break, tag in 4/4, with voice and cue words."""
    verse = ["G", "G", "C", "G", "G", "G", "D", "D7", "G", "G", "C", "G", "G", "D", "G", "G"]
    voice = ["sung", "sung", "sung held", "held silent"]
    sections = [
        section("kickoff", ["G", "C", "D", "G"], pickup=480, lead="banjo"),
        section(
            "verse", verse, voice=voice, lead="voice", fills="banjo", chop="mandolin",
            cues=["Down where the ferry waits", "", "", "", "I laid my ladder down"],
        ),
        section("chorus", ["C", "C", "G", "G", "D", "D7", "G", "G C"], voice=voice, lead="voice", fills="fiddle"),
        section("break as verse", verse, lead="banjo", chop="mandolin"),
        section("tag", ["G D", "G"], lead="voice"),
    ]  # fmt: skip
    return part(song("Ladder to the Ferry", sections, order=[0, 1, 2, 1, 2, 3, 2, 4]), roll, roll, fancy, roll)


def techniques() -> Part:
    """Every technique, pinches, triplets, two-digit frets, ties."""
    sections = [
        section("break", ["G", "C", "D7", "G", "Em", "F", "G", "G"], lead="banjo"),
        section("chop", ["G", "C", "D", "G"], lead="fiddle", chop="banjo"),
    ]
    made = song("Four Ways Over", sections)
    filled = part(made, fancy)
    return replace(filled, slots=(filled.slots[0], part(made, vamp).slots[1]))


def waltz() -> Part:
    """3/4 with a pickup."""
    three = Meter(3, 4)
    bars = ["C", "C", "F", "C", "G", "G7", "C", "C"]
    verse = section("verse", bars, three, pickup=480, lead="voice", fills="banjo")
    return part(song("Slow Water", [verse], three, "C"))


def jig() -> Part:
    """6/8 in eighths."""
    six = Meter(6, 8)
    return part(song("Tin Roof Jig", [section("verse", ["D", "G", "A7", "D"] * 2, six)], six, "D"))


def two_four() -> Part:
    """2/4 in sixteenths."""
    two = Meter(2, 4)
    bars = ["A", "A", "D", "A", "A", "E7", "A", "A E7"] * 2
    return part(song("Quick Shoes", [section("verse", bars, two)], two, "A"), sixteenths)


def endings() -> Part:
    """A repeat with endings, a repeat played three times, crooked measures, a measure without chord, 5/4."""
    first = section(
        "verse", ["G", "C", "G", "D", "G", "C"],
        repeats=(Repeat(0, 5, 3, (Ending((1, 2), 2, 3), Ending((3,), 4, 5))),), lead="voice",
    )  # fmt: skip
    second = section("chorus", ["C", "G", "D", "G"], repeats=(Repeat(0, 3, 3),))
    crooked = section("bridge", ["Em", "D", "N.C.", "N.C. D", "G"])
    bars = list(crooked.measures)
    bars[1] = measure("D", 2, Meter(2, 4))
    crooked = replace(crooked, measures=tuple(bars))
    five = section("interlude", ["Am", "D7"], Meter(5, 4))
    return part(song("The Crooked Lane", [first, second, crooked, five]))


def split() -> Part:
    """Measures of four long chords, in five flats."""
    key = parse_key("Db") or G
    bars = ["Dbmaj7 Bbm7 Ebm7 Ab7", "Gbmaj7 Ebm7b5 Ab7sus4 Ab7", "Gbm7b5/C Db", "Db Gb Db Ab7/C"] * 2
    return part(song("Five Flats Down", [section("verse", bars, key=key, voice=["sung"])], key="Db"))


def long_section() -> Part:
    """Forty measures written on one line, and a title that is too long for a line."""
    bars = ["G", "C", "D", "G", "Em"] * 8
    title = (
        "Žluťoučký kůň a Łódź na řece: Ó Dónaill's long, long ballad of the winding road to Ścinawa and back again, "
        "with every verse that anybody ever remembered"
    )
    return part(song(title, [section("the long verse of the winding road", bars, per_line=40, lead="voice")]))


def odd_lines() -> Part:
    """Rows of five, two and one measures, with cue words longer than their measure."""
    made = section("verse", ["G", "C", "D", "G", "C", "G", "G", "Em", "A7", "D"], per_line=5, cues=[
        "an unreasonably long line of words that a player wrote beneath a single measure of this chart", "", "short",
        "Donaudampfschifffahrtsgesellschaftskapitän",
    ], voice=["sung", "held", "silent"])  # fmt: skip
    tag = section("tag", ["G", "D", "G", "C", "G"], per_line=1)
    return part(song("Odd Rows", [made, tag, section("end", ["G"])]), roll, sixteenths)


def crowded() -> Part:
    """The most that a row may be asked to hold: sixteenths in 12/8 high on the neck, eight chords in a measure, headings and
    cue words of every length, unprintable characters."""
    twelve = Meter(12, 8)
    label = "an interlude that goes on and on, named by somebody who never had to fit it on a sheet " * 3
    high = section(label.strip(), ["G", "C"], twelve, lead="the whole band together", fills="fiddle and mandolin")
    eight = section("eight", ["Gmaj7 Em7 Am7 D7sus4 Bm7b5 E7b9 Am7 D7", "G"], Meter(8, 4), cues=["\u2603 snow", ""])
    made = song("Crowded \u2603", [high, eight])

    def busy(m: Measure, s: Stretch, n: int) -> FilledSlot:
        assert s.chord is not None
        notes = []
        for k, at in enumerate(range(s.at, s.at + s.ticks, 120)):
            how = (None, "hammer-on", None, "slide", "choke", "pull-off")[k % 6]
            pick = None if how in ("hammer-on", "slide", "pull-off") else "TIM"[k % 3]
            string = 1 + k // 6 % 4
            notes.append(note(at, 120, string, 18 + (k * 5) % 4, pick, how, 1.0 if how == "choke" else 0.0))
        return FilledSlot(s.at, s.ticks, s.chord, "a very busy measure", "fill", (1, 1), 18, tuple(notes), ())

    filled = part(made, busy)
    return replace(filled, slots=(filled.slots[0], part(made, roll).slots[1]))


def bare() -> Part:
    """A part without a single slot, and a section without measures."""
    return replace(part(song("Bare", [section("verse", ["G", "C"]), section("tag", [])])), slots=((), ()))


FIXTURES: dict[str, Callable[[], Part]] = {
    f.__name__: f
    for f in (
        ordinary, techniques, waltz, jig, two_four, endings, split, long_section, odd_lines, crowded, bare,
    )
}  # fmt: skip
