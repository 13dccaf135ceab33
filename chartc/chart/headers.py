"""The headers' values: title, language, key, meter, tempo, melody. A value that cannot be read is None, and its error is reported."""

from __future__ import annotations

import re
from dataclasses import dataclass

from chartc.chart import syntax
from chartc.chart.findings import Findings, closest, listed, number, slip
from chartc.chart.group import Blocks
from chartc.chart.language import language_meant, language_tag
from chartc.chart.song import Melody
from chartc.chart.syntax import Line
from chartc.theory import key as keys
from chartc.theory import pitch
from chartc.theory.key import Key, parse_key
from chartc.theory.meter import NOTE_WORDS, Meter, Tempo

LONGEST_TEXT = 200
"""Characters in a title, a credit or a measure's words."""

LOWEST, HIGHEST = 36, 96
"""The melody's notes, as MIDI numbers: two octaves below and three above middle C."""

WIDEST = 36
"""Semitones from a melody's lowest to its highest note: three octaves."""

USUAL_TEMPO = Tempo("quarter", 100)


@dataclass(frozen=True, slots=True)
class Headers:
    """What the headers say; None where a header is missing or cannot be read."""

    title: str
    credit: str
    language: str
    key: Key | None
    meter: Meter | None
    tempo: Tempo
    melody: Melody | None


def headers(blocks: Blocks, found: Findings) -> Headers:
    """The values of the headers; of a header given twice the first counts."""
    values: dict[str, tuple[Line, tuple[syntax.Word, ...]]] = {}
    for keyword, lines in blocks.headers.items():
        first = next((line for line in lines if isinstance(line.node, syntax.Header)), None)
        if first is not None and isinstance(first.node, syntax.Header):
            values[keyword] = first, first.node.words
    key = read_key(*values["key"], found) if "key" in values else None
    meter = read_header_meter(*values["meter"], found) if "meter" in values else None
    tempo = _tempo(*values["tempo"], found) if "tempo" in values else USUAL_TEMPO
    melody = _melody(*values["melody"], found) if "melody" in values else None
    title, credit = (_text(k, *values[k], found) if k in values else "" for k in ("title", "credit"))
    language = _language(*values["language"], found) if "language" in values else ""
    return Headers(title, credit, language, key, meter, tempo, melody)


def _text(keyword: str, line: Line, words: tuple[syntax.Word, ...], found: Findings) -> str:
    check_length(line, words[0], keyword, found)
    return words[0].text


def _language(line: Line, words: tuple[syntax.Word, ...], found: Findings) -> str:
    """The tag of the language's line; empty where it is none."""
    (word,) = words
    tag = language_tag(word.text)
    if tag is None:
        code = language_meant(word.text)
        help = (
            f"write it like this: language  {code}"
            if code
            else "a language is its code of ISO 639, for example: cs Czech, ga Irish, pl Polish"
        )
        fix = [(line.span(word), code)] if code else []
        found.add("language-value", f'"{word.text[:40]}" is no code of a language', line.span(word), help, fix=fix)
    return tag or ""


def check_length(line: Line, word: syntax.Word, what: str, found: Findings, longest: int = LONGEST_TEXT) -> None:
    """Reports a text that no sheet has room for."""
    if len(word.text) > longest:
        message = f"the text of this {what} has {len(word.text)} characters; {longest} is the most"
        found.add("text-long", message, line.span(word), "shorten it")


def read_key(line: Line, words: tuple[syntax.Word, ...], found: Findings) -> Key | None:
    """The key of the key's line."""
    text = " ".join(w.text for w in words)
    span = line.span(words[0]).to(line.span(words[-1]))
    key = parse_key(text)
    if key is None:
        example = "a key is a capital letter and perhaps a mode: G, Bb, F# minor, Am, D mixolydian, E dorian"
        better = _better_key(text)
        help = f"write it like this: key  {better}" if better else example
        # a small letter alone is in doubt: some write minor keys so
        sure = better and (text[0].isupper() or re.search(r"[A-Za-z]{2}|m$", text))
        fix = [(span, better)] if sure else []
        # where the line begins with a key, what follows it is wrong
        place = line.span(words[1]).to(span) if len(words) > 1 and parse_key(words[0].text) else span
        found.add("key-value", f'"{text[:40]}" is no key', place, help, fix=fix)
        return None
    if abs(key.signature) > 7:
        usual = keys.usual(pitch.pitch_class(key.tonic), key.mode)
        message = f"{key.label} has no key signature: it would need {abs(key.signature)} accidentals"
        found.add("key-value", message, span, f"write the same key as {usual.plain}")
        return None
    return key


def _better_key(text: str) -> str:
    """The key that a misspelled one was probably meant to be, as a chart writes it; empty where nobody can tell."""
    match = re.fullmatch(r"([A-Ga-g])[ -]?([b#♭♯]|flat|sharp)?[ -]*([A-Za-z]*)", text)
    if not match:
        return ""
    letter, sign, mode = match.groups()
    mode = mode if mode in ("", "m") else closest(mode, keys.MODES)
    if match[3] and not mode:
        return ""
    key = parse_key(letter.upper() + {"flat": "b", "sharp": "#"}.get(sign, sign or "") + " " * (len(mode) > 1) + mode)
    return key.plain if key else ""


def read_meter(count: syntax.Word, unit: syntax.Word) -> Meter | None:
    """The meter of two numbers: 1 to 24 beats, of halves, quarters, eighths or sixteenths; else None."""
    beats, note = number(count.text, 1, 24), number(unit.text, 2, 16)
    return Meter(beats, note) if beats is not None and note in (2, 4, 8, 16) else None


def read_header_meter(line: Line, words: tuple[syntax.Word, ...], found: Findings) -> Meter | None:
    """The meter of the meter's line."""
    meter = read_meter(*words)
    if meter is None:
        bad_meter(line, words[0], words[1], found)
    return meter


def bad_meter(line: Line, count: syntax.Word, unit: syntax.Word, found: Findings) -> None:
    """Reports a meter that is none."""
    found.add(
        "meter-value",
        f"{count.text[:10]}/{unit.text[:10]} is no meter that a chart can have",
        line.span(count).to(line.span(unit)),
        "a meter is 1 to 24 over 2, 4, 8 or 16, for example 4/4, 2/2, 3/4, 6/8",
    )


def _tempo(line: Line, words: tuple[syntax.Word, ...], found: Findings) -> Tempo:
    note, count = words
    if note.text not in NOTE_WORDS:
        better = closest(note.text, NOTE_WORDS)
        after = f'; there is "{better}", with a similar name' if better else ""
        help = f"the note is one of: {listed(NOTE_WORDS)}"
        meant = slip(note.text, NOTE_WORDS)
        fix = [(line.span(note), meant)] if meant else []
        found.add("tempo-value", f'"{note.text[:40]}" is no note length{after}', line.span(note), help, fix=fix)
    speed = number(count.text, 20, 400)
    if speed is None:
        help = "a tempo is 20 to 400 notes a minute, for example: tempo  quarter = 112"
        found.add("tempo-value", f"{count.text[:10]} notes a minute is no tempo", line.span(count), help)
    return Tempo(note.text, speed) if speed is not None and note.text in NOTE_WORDS else USUAL_TEMPO


def _melody(line: Line, words: tuple[syntax.Word, ...], found: Findings) -> Melody | None:
    notes: list[int] = []
    for word in words:
        try:
            note = pitch.midi(word.text)
        except ValueError:
            help = "a note is a capital letter and the number of its octave, for example D4; C4 is middle C"
            found.add("melody-value", f'"{word.text[:20]}" is no note', line.span(word), help)
            continue
        if not LOWEST <= note <= HIGHEST:
            help = f"notes from {pitch.note_name(LOWEST)} to {pitch.note_name(HIGHEST)} can be sung; C4 is middle C"
            found.add("melody-value", f"{word.text} lies outside the range of voices", line.span(word), help)
            continue
        notes.append(note)
    if len(notes) < 2:
        return None
    low, high = notes
    span = line.span(words[0]).to(line.span(words[1]))
    if low > high:
        help = f"write the lower note first: melody  {words[1].text} to {words[0].text}"
        fix = [(line.span(words[0]), words[1].text), (line.span(words[1]), words[0].text)]
        found.add("melody-value", f"{words[0].text} lies above {words[1].text}", span, help, fix=fix)
        return None
    if high - low > WIDEST:
        help = "give the lowest and the highest note that is sung"
        found.add("melody-value", "the melody is wider than three octaves", span, help)
        return None
    return Melody(low, high)
