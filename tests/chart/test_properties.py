"""Any chart that follows the rules means what was put into it, and no text whatever makes the reading fail."""

from __future__ import annotations

from dataclasses import dataclass, field

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from chartc.chart import read_chart
from chartc.chart.song import Measure
from chartc.text.diagnostic import has_errors, show
from chartc.text.edit import mend
from chartc.text.source import Source
from chartc.theory.meter import Meter
from tests.chart.charts import VOCABULARY, read, song
from tests.chart.test_mistakes import CASES
from tests.chart.test_reference import EXAMPLES

CHORDS = ("G", "Am", "D7", "F#m7b5", "C/G", "1", "6m", "b7", "V7", "Bbmaj7", "NC")
METERS = ("4/4", "3/4", "2/4", "2/2", "6/8", "9/8", "12/8", "5/4", "7/8", "3/2")


def fitting(meter: str) -> list[int]:
    """The numbers of words that a measure takes, by the rule as a player would say it."""
    count, unit = (int(n) for n in meter.split("/"))
    compound = unit == 8 and count in (6, 9, 12)
    beats = count // 3 if compound else count
    sizes = {1, beats}
    if beats % 2 == 0:
        sizes.add(2)
    if compound:
        sizes.add(count)
    if unit == 2:
        sizes.add(2 * count)
    return sorted(sizes)


@dataclass
class Written:
    """A chart's text, and for each section what it must mean: printed measures, and how many are played once through."""

    lines: list[str] = field(default_factory=list)
    printed: list[int] = field(default_factory=list)
    played: list[int] = field(default_factory=list)


@st.composite
def cells(draw: st.DrawFn, meter: str) -> str:
    """A measure's words."""
    prefix = ""
    if draw(st.integers(0, 9)) == 0:
        meter = draw(st.sampled_from(METERS))
        prefix = f"in {meter}: "
    size = draw(st.sampled_from(fitting(meter)))
    words = [draw(st.sampled_from(CHORDS))]
    words += [draw(st.sampled_from((*CHORDS, "/", "/"))) for _ in range(size - 1)]
    return prefix + " ".join(words)


@st.composite
def rows(draw: st.DrawFn, meter: str, out: Written) -> int:
    """Writes one or two rows with rows beneath them; the number of their measures."""
    total = 0
    for _ in range(draw(st.integers(1, 2))):
        row = draw(st.lists(cells(meter), min_size=1, max_size=4))
        if len(row) > 1 and "in " not in "".join(row[-2:]) and draw(st.booleans()):
            row[-1] = "%"
        out.lines.append("|" + "|".join(f" {c} " for c in row) + "|" + draw(st.sampled_from(("", "  ; remark", ";x"))))
        if draw(st.booleans()):
            out.lines.append(
                "voice |" + "|".join(draw(st.sampled_from(("sung", "held", "silent", ""))) for _ in row) + "|"
            )
        if draw(st.booleans()):
            asks = ("roll", "fill high", "ferry roll fret 5", "")
            parts = ["" if set(c.split()) & {"NC", "%"} else draw(st.sampled_from(asks)) for c in row]
            out.lines.append("ask |" + "|".join(parts) + "|")
        total += len(row)
    return total


@st.composite
def charts(draw: st.DrawFn) -> Written:
    """A chart that follows the rules."""
    meter = draw(st.sampled_from(METERS))
    key = draw(st.sampled_from(("G", "Am", "D mixolydian", "E dorian", "Bb", "F♯ minor")))
    out = Written(["title A", f"key {key}", f"meter {meter}", "tempo half = 60"])
    names = draw(
        st.lists(st.sampled_from(("verse", "verse 2", "Chorus", "break", "tag")), min_size=1, max_size=4, unique=True)
    )
    out.lines.append("form " + ", ".join(names))
    for name in names:
        begin = len(out.lines)
        printed = played = 0
        if draw(st.booleans()):
            out.lines.append("| pickup 1/8: |")
            printed += 1
        for _ in range(draw(st.integers(1, 3))):
            if draw(st.booleans()):
                count = draw(rows(meter, out))
                printed, played = printed + count, played + count
                continue
            times = draw(st.integers(2, 4))
            out.lines.append("repeat" if times == 2 else f"repeat {times} times")
            count = draw(rows(meter, out))
            printed, played = printed + count, played + times * count
            if draw(st.booleans()):
                split = draw(st.integers(1, times - 1))
                for numbers in (range(1, split + 1), range(split + 1, times + 1)):
                    out.lines.append("ending " + ", ".join(map(str, numbers)))
                    count = draw(rows(meter, out))
                    printed, played = printed + count, played + len(numbers) * count
            out.lines.append("end repeat")
        out.lines.insert(begin, f"section {name}, {played} measures")
        out.printed.append(printed)
        out.played.append(played)
    return out


def check_measure(measure: Measure) -> None:
    """What must hold for any measure."""
    assert measure.ticks == measure.meter.ticks > 0
    at = 0
    for stretch in measure.stretches:
        assert stretch.at == at and stretch.ticks > 0
        at += stretch.ticks
    assert at == measure.ticks and len(measure.requests) == len(measure.stretches)
    assert all(a.chord != b.chord for a, b in zip(measure.stretches, measure.stretches[1:], strict=False))
    assert not measure.voice or sum(v.ticks for v in measure.voice) == measure.ticks


@settings(max_examples=150, deadline=None)
@given(charts())
def test_valid_charts(written: Written) -> None:
    """Protects counting: the measures printed and played are those that were written, and time has no holes."""
    got = song("\n".join(written.lines), advice=True)
    assert [len(s.measures) for s in got.sections] == written.printed
    assert [len(s.played) for s in got.sections] == written.played
    for section in got.sections:
        for measure in section.measures:
            check_measure(measure)
        first = 0 if section.pickup else 1
        assert [m.number for m in section.measures] == list(range(first, first + len(section.measures)))
        assert set(section.played) == set(range(1 - first, len(section.measures)))
        assert got.meter == Meter(*map(int, written.lines[2].split()[1].split("/")))
    for index, passage in enumerate(got.order):
        played = got.sections[passage.section].played
        opens = index == 0 and got.sections[passage.section].pickup
        assert passage.measures == ((0, *played) if opens else played)


TEXTS = [*EXAMPLES, *(t for t in CASES.values() if len(t) < 2000)]
PIECES = (
    "|", ";", "/", "%", ",", ":", "=", " ", "\n", "\t", "\r", "as", "in ", "pickup ", "repeat", "end ", "ending ", "section ", "form ",
    "voice |", "ask |", "words |", "G", "H", "9", "0", "\x00", "\u200b", "\ufeff", "é", "\u0301", "♭", "🪕", "(", "\\", '"',
)  # fmt: skip


@st.composite
def damaged(draw: st.DrawFn) -> str:
    """A chart after a few careless edits."""
    text: str = draw(st.sampled_from(TEXTS))
    for _ in range(draw(st.integers(1, 6))):
        at = draw(st.integers(0, len(text)))
        other = draw(st.integers(at, min(len(text), at + 40)))
        edit = draw(st.sampled_from(("insert", "cut", "twice", "line")))
        if edit == "insert":
            text = text[:at] + draw(st.sampled_from(PIECES)) + text[at:]
        elif edit == "cut":
            text = text[:at] + text[other:]
        elif edit == "twice":
            text = text[:other] + text[at:]
        else:
            lines = text.split("\n")
            index = draw(st.integers(0, len(lines) - 1))
            lines.insert(draw(st.integers(0, len(lines))), lines.pop(index))
            text = "\n".join(lines)
    return text


def check_reading(text: str) -> None:
    """What must hold for any text."""
    got, found = read(text)
    assert (got is None) == any(d.severity == "error" for d in found)
    for d in found:
        spans = [s for s in (d.span, *(s for s, _ in d.related)) if s is not None]
        assert spans
        for span in spans:
            assert 1 <= span.line <= max(1, len(span.source.lines))
            length = len(span.source.line(span.line))
            assert 1 <= span.column < span.end <= length + 2 and span.column <= length + 1, (d, length)
    assert show(found).count("error:") == min(50, sum(d.severity == "error" for d in found))


@settings(max_examples=800, deadline=None)
@given(damaged())
def test_damaged_charts(text: str) -> None:
    """Protects against crashes: careless edits raise nothing, and each place that is reported lies in the file."""
    check_reading(text)


@settings(max_examples=100, deadline=None)
@given(st.text(max_size=200))
def test_any_text(text: str) -> None:
    """Protects against crashes: a text that is no chart at all is refused with places."""
    check_reading(text)


def test_a_large_chart_and_a_large_heap_of_nonsense() -> None:
    """Protects long songbooks in one file, and the patience of whoever opens the wrong file."""
    rows = "".join(f"| G | {'C' if n % 2 else 'Am'} | D7 / / G | % |\n" for n in range(1250))
    got = song(f"title A\nkey G\nmeter 4/4\ntempo half = 60\nsection verse, 5000 measures\n{rows}")
    assert len(got.order[0].measures) == 5000
    _, found = read("\n".join(f"nonsense{n} | {n}" for n in range(100_000)))
    assert 500 < len(found) <= 1100


HEAPS = {
    "one line of bar lines": "section verse, 1 measure\n" + "|" * 1_900_000,
    "one line of beats held": "section verse, 1 measure\n| G " + "/ " * 900_000 + "|",
    "many lines of beats held": "section verse, 1 measure\n" + ("| G " + "/ " * 4900 + "|\n") * 60,
    "many words that ask": "section verse, 1 measure\n" + ("| G |\nask | " + "rool high " * 900 + "|\n") * 20,
    "many names in forms": ("form " + "vers, " * 1600 + "\n") * 60 + "section verse, 1 measure\n| G |\n",
    "many repeats": "section verse, 1 measure\n" + "repeat\n" * 100_000,
}


@pytest.mark.parametrize("name", HEAPS)
def test_heaps_of_nonsense_end(name: str) -> None:
    """Protects against files that are made to hang the program: each of these once took minutes or never ended. They are refused,
    mended as far as that goes, and no more is noted than anybody reads."""
    source = Source("test.chartc", "title A\nkey G\nmeter 4/4\ntempo quarter = 112\n" + HEAPS[name])
    done = mend(source, lambda s: read_chart(s, VOCABULARY)[1])
    assert has_errors(done.left) and len(done.left) <= 1000
