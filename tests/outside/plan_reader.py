"""A reader of plans that knows nothing but the plan's published form: it imports nothing of the program that it checks.

What a hand can do is stated here once more, on its own: a single finger does not strike again within 150 ms (single-finger tapping,
5 to 7 a second: Fujii et al. 2009, Neuroscience Letters 459:69-73; tapping, not picks). Everything about strings and frets follows from the
instrument that the plan itself gives.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from typing import Any

STRIKE_MS = 150
HAND = ("hammer-on", "pull-off", "slide")
HOWS = (None, *HAND, "choke", "damped")
CARRYING = ("roll", "vamp", "rest")
MOST_IN_A_ROW = 2

SONG_KEYS = {"schema", "title", "written_key", "tempo", "division", "instrument", "keys"}
INSTRUMENT_KEYS = {"name", "scale_mm", "frets", "strings"}
KEY_KEYS = {"key", "way", "fifth_string", "sections", "order"}
SECTION_KEYS = {"id", "label", "measures"}
MEASURE_KEYS = {"number", "meter", "ticks", "pickup", "chords", "slots"}
SLOT_KEYS = {"at", "ticks", "chord", "lick", "role", "part", "position", "notes", "rests"}
NOTE_KEYS = {"at", "ticks", "string", "fret", "pitch", "pick", "finger", "how"}

_LETTERS = {"C": 0, "D": 2, "E": 4, "F": 5, "G": 7, "A": 9, "B": 11}
_ROOT = re.compile(r"([A-G])([b#♭♯]*)")

Json = dict[str, Any]


@dataclass(frozen=True)
class Fault:
    """One thing that is wrong, and where."""

    kind: str
    where: str
    what: str


@dataclass(frozen=True)
class _Spot:
    """A slot as played: where it is printed, when it begins (ticks from the song's first), and the slot itself."""

    passage: int
    section: str
    index: int
    start: int
    slot: Json


def root_and_rest(symbol: str) -> tuple[int, str, int | None]:
    """A chord symbol's root (pitch class), what stands after it, and its bass note (pitch class) if it has one."""
    body, _, bass = symbol.partition("/")
    letter = _ROOT.match(body)
    if letter is None:
        raise ValueError(f"no root in {symbol!r}")
    low = _ROOT.fullmatch(bass)
    return _class(letter), body[letter.end() :], _class(low) if low else None


def _class(found: re.Match[str]) -> int:
    signs = found[2]
    return (_LETTERS[found[1]] + sum(1 if s in "#♯" else -1 for s in signs)) % 12


def faults(plan: Json) -> list[Fault]:
    """Everything that is wrong in a plan."""
    wrong = list(_form(plan))
    if wrong:
        return wrong
    return [fault for n in range(len(plan["keys"])) for fault in _key(plan, n)]


def _form(plan: Json) -> Iterator[Fault]:
    def keys(where: str, found: Json, wanted: set[str]) -> Iterator[Fault]:
        if set(found) != wanted:
            yield Fault("form", where, f"entries {sorted(set(found) ^ wanted)}")

    yield from keys("plan", plan, SONG_KEYS)
    if plan.get("schema") != 1:
        yield Fault("form", "plan", "schema")
    if not isinstance(plan.get("division"), int) or plan["division"] <= 0:
        yield Fault("division", "plan", f"{plan.get('division')!r}")
    if not isinstance(plan.get("tempo"), int | float) or plan["tempo"] <= 0:
        yield Fault("tempo", "plan", f"{plan.get('tempo')!r}")
    yield from keys("instrument", plan.get("instrument", {}), INSTRUMENT_KEYS)
    for key in plan.get("keys", []):
        yield from keys(key.get("key", "?"), key, KEY_KEYS)
        for section in key.get("sections", []):
            yield from keys(section.get("id", "?"), section, SECTION_KEYS)
            for measure in section.get("measures", []):
                yield from keys(f"{section['id']} {measure.get('number')}", measure, MEASURE_KEYS)
                for slot in measure.get("slots", []):
                    yield from keys(f"{section['id']} {measure.get('number')}", slot, SLOT_KEYS)
                    for note in slot.get("notes", []):
                        yield from keys(f"{section['id']} {measure.get('number')}", note, NOTE_KEYS)


def _key(plan: Json, n: int) -> Iterator[Fault]:
    key = plan["keys"][n]
    name = key["key"]
    ids = [s["id"] for s in key["sections"]]
    if len(set(ids)) != len(ids):
        yield Fault("order", name, "two sections have one id")
    fifth, strings = key["fifth_string"], plan["instrument"]["strings"]
    short = [n for n, s in enumerate(strings, 1) if s["nut_fret"]]
    for string in short:
        tuned, nut = strings[string - 1]["open"], strings[string - 1]["nut_fret"]
        if fifth["fret"] and (fifth["fret"] <= nut or fifth["pitch"] != tuned + fifth["fret"] - nut):
            yield Fault("spike", name, f"the short string's spike: {fifth}")
    for section in key["sections"]:
        wanted = 1
        for measure in section["measures"]:
            where = f"{name} {section['id']} {measure['number']}"
            if measure["number"] != (0 if measure["pickup"] else wanted):
                yield Fault("number", where, f"expected {wanted}")
            wanted += not measure["pickup"]
            yield from _measure(plan, measure, where)
            for slot in measure["slots"]:
                yield from _slot(slot, where)
                for note in slot["notes"]:
                    yield from _note(plan, fifth, note, where)
    yield from _interval(plan["keys"][0], key)
    yield from _order(key)
    path = list(_path(key))
    yield from _strokes(plan, path, name)
    yield from _strings(path, name)
    yield from _repetition(path, name)
    yield from _halves(path, name)


# --- what is printed -----------------------------------------------------------------------------------------------------


def _tiles(spans: list[tuple[int, int]], start: int, ticks: int) -> bool:
    end = start
    for at, length in spans:
        if at != end or length <= 0:
            return False
        end = at + length
    return end == start + ticks


def _measure(plan: Json, measure: Json, where: str) -> Iterator[Fault]:
    count, unit = (int(x) for x in measure["meter"].split("/"))
    if Fraction(measure["ticks"]) != Fraction(4 * plan["division"] * count, unit):
        yield Fault("ticks", where, f"{measure['ticks']} ticks in {measure['meter']}")
    chords = [(c["at"], c["ticks"]) for c in measure["chords"]]
    if not _tiles(chords, 0, measure["ticks"]):
        yield Fault("chords", where, f"the chords do not fill the measure: {chords}")
    if measure["pickup"]:
        if measure["slots"]:
            yield Fault("slots", where, "a pickup has slots")
        return
    left = list(measure["slots"])
    for chord in measure["chords"]:
        end = chord["at"] + chord["ticks"]
        inside = [s for s in left if chord["at"] <= s["at"] < end]
        left = [s for s in left if s not in inside]
        if chord["symbol"] is None:
            if inside:
                yield Fault("slots", where, "a slot where there is no chord")
        elif not _tiles([(s["at"], s["ticks"]) for s in inside], chord["at"], chord["ticks"]):
            yield Fault("slots", where, f"the slots do not fill {chord['symbol']} at {chord['at']}")
        elif any(s["chord"] != chord["symbol"] for s in inside):
            yield Fault("slots", where, "a slot has another chord than its measure")
    if left:
        yield Fault("slots", where, "a slot outside its measure")


def _slot(slot: Json, where: str) -> Iterator[Fault]:
    where = f"{where} {slot['lick']}"
    at_once: dict[int, set[int]] = {}
    for note in slot["notes"]:
        at_once.setdefault(note["at"], set()).add(note["ticks"])
    if any(len(lengths) > 1 for lengths in at_once.values()):
        yield Fault("onsets", where, "notes struck at once last differently")
    spans = sorted(
        [(at, min(lengths)) for at, lengths in at_once.items()] + [(r["at"], r["ticks"]) for r in slot["rests"]]
    )
    if not _tiles(spans, slot["at"], slot["ticks"]):
        yield Fault("onsets", where, f"onsets and rests do not fill the slot: {spans}")
    if [n["at"] for n in slot["notes"]] != sorted(n["at"] for n in slot["notes"]):
        yield Fault("onsets", where, "notes are not in the order of time")
    fretted = [n for n in slot["notes"] if n["finger"]]
    if (slot["position"] is None) != (not fretted):
        yield Fault("position", where, f"position {slot['position']}")
    by_onset: dict[tuple[int, str], set[int]] = {}
    picks: dict[tuple[int, str], int] = {}
    taken: dict[tuple[int, int], int] = {}
    for note in slot["notes"]:
        if note["finger"]:
            by_onset.setdefault((note["at"], note["finger"]), set()).add(note["fret"])
        if note["pick"]:
            picks[note["at"], note["pick"]] = picks.get((note["at"], note["pick"]), 0) + 1
        taken[note["at"], note["string"]] = taken.get((note["at"], note["string"]), 0) + 1
    for (at, finger), frets in by_onset.items():
        if len(frets) > 1:
            yield Fault("finger", where, f"finger {finger} on frets {sorted(frets)} at {at}")
    if any(count > 1 for count in picks.values()):
        yield Fault("pick", where, "one pick finger strikes two strings at once")
    if any(count > 1 for count in taken.values()):
        yield Fault("string", where, "one string sounds twice at once")


def _note(plan: Json, fifth: Json, note: Json, where: str) -> Iterator[Fault]:
    where = f"{where} at {note['at']}"
    strings = plan["instrument"]["strings"]
    if not 1 <= note["string"] <= len(strings):
        yield Fault("string", where, f"string {note['string']}")
        return
    tuned, nut = strings[note["string"] - 1]["open"], strings[note["string"] - 1]["nut_fret"]
    fret = note["fret"]
    if not 0 <= fret <= plan["instrument"]["frets"]:
        yield Fault("neck", where, f"fret {fret}")
    if nut and 0 < fret <= max(nut, fifth["fret"]):
        yield Fault("neck", where, f"fret {fret} of the short string")
    pitch = (fifth["pitch"] if not fret else tuned + fret - nut) if nut else tuned + fret
    if note["pitch"] != pitch:
        yield Fault("pitch", where, f"{note['pitch']} where string {note['string']} fret {fret} is {pitch}")
    if (note["finger"] is not None) != (fret > 0) or note["finger"] not in (None, "i", "m", "r", "p", "t"):
        yield Fault("finger", where, f"finger {note['finger']} on fret {fret}")
    if note["finger"] == "t" and not nut:
        yield Fault("finger", where, "the thumb frets a long string")
    if note["how"] not in HOWS:
        yield Fault("how", where, f"{note['how']}")
    if (note["pick"] is None) != (note["how"] in HAND) or note["pick"] not in (None, "T", "I", "M"):
        yield Fault("pick", where, f"pick {note['pick']} with {note['how']}")


def _interval(first: Json, key: Json) -> Iterator[Fault]:
    by = (root_and_rest(key["key"])[0] - root_and_rest(first["key"])[0]) % 12
    if [len(s["measures"]) for s in key["sections"]] != [len(s["measures"]) for s in first["sections"]]:
        yield Fault("interval", key["key"], "not the measures of the first key")
        return
    for one, other in zip(first["sections"], key["sections"], strict=True):
        for m, n in zip(one["measures"], other["measures"], strict=True):
            where = f"{key['key']} {other['id']} {n['number']}"
            if len(m["chords"]) != len(n["chords"]):
                yield Fault("interval", where, "not the chords of the first key")
                continue
            for a, b in zip(m["chords"], n["chords"], strict=True):
                if (a["symbol"] is None) != (b["symbol"] is None):
                    yield Fault("interval", where, f"{a['symbol']} and {b['symbol']}")
                elif a["symbol"] is not None:
                    root, kind, bass = root_and_rest(a["symbol"])
                    moved = (root + by) % 12, kind, None if bass is None else (bass + by) % 12
                    if root_and_rest(b["symbol"]) != moved:
                        yield Fault("interval", where, f"{b['symbol']} for {a['symbol']}")


# --- what is played ------------------------------------------------------------------------------------------------------


def _order(key: Json) -> Iterator[Fault]:
    sections = {s["id"]: s for s in key["sections"]}
    if not key["order"]:
        yield Fault("order", key["key"], "nothing is played")
    for n, entry in enumerate(key["order"]):
        section = sections.get(entry["section"])
        if section is None:
            yield Fault("order", key["key"], f"there is no section {entry['section']}")
            continue
        for k, index in enumerate(entry["measures"]):
            if not 0 <= index < len(section["measures"]):
                yield Fault("order", key["key"], f"{entry['section']} has no measure {index}")
            elif section["measures"][index]["pickup"] and (n or k):
                yield Fault("order", key["key"], "a pickup is played inside the song")


def _path(key: Json) -> Iterator[_Spot]:
    sections = {s["id"]: s for s in key["sections"]}
    now = 0
    for n, entry in enumerate(key["order"]):
        measures = sections[entry["section"]]["measures"] if entry["section"] in sections else []
        for index in entry["measures"]:
            if 0 <= index < len(measures):
                for slot in measures[index]["slots"]:
                    yield _Spot(n, entry["section"], index, now, slot)
                now += measures[index]["ticks"]


def _strokes(plan: Json, path: list[_Spot], name: str) -> Iterator[Fault]:
    ms = Fraction(60_000) / Fraction(plan["tempo"]).limit_denominator(10_000) / plan["division"]
    last: dict[str, int] = {}
    for spot in path:
        for note in spot.slot["notes"]:
            at = spot.start + note["at"]
            pick = note["pick"]
            if pick in last and last[pick] != at and (at - last[pick]) * ms < STRIKE_MS:
                gap = float((at - last[pick]) * ms)
                yield Fault(
                    "stroke",
                    f"{name} {spot.section} {spot.index} {spot.slot['lick']}",
                    f"{pick} again after {gap:.0f} ms",
                )
            if pick:
                last[pick] = at


def _strings(path: list[_Spot], name: str) -> Iterator[Fault]:
    """A hammer-on goes up from what the string last played, a pull-off down, a slide from one fret to another."""
    last: dict[int, int] = {}
    for spot in path:
        for note in spot.slot["notes"]:
            before, fret = last.get(note["string"]), note["fret"]
            fits = {
                "hammer-on": before is not None and fret > before,
                "pull-off": before is not None and fret < before,
                "slide": bool(before) and fret > 0 and fret != before,
            }
            if not fits.get(note["how"], True):
                yield Fault(
                    "how",
                    f"{name} {spot.section} {spot.index} {spot.slot['lick']}",
                    f"{note['how']} from {before} to {fret}",
                )
            last[note["string"]] = fret


def _repetition(path: list[_Spot], name: str) -> Iterator[Fault]:
    run, lick = 0, ""
    for spot in path:
        if spot.slot["part"] == [2, 2]:
            continue
        run = run + 1 if spot.slot["lick"] == lick else 1
        lick = spot.slot["lick"]
        if run > MOST_IN_A_ROW and spot.slot["role"] not in CARRYING:
            yield Fault("repetition", f"{name} {spot.section} {spot.index}", f"{lick} {run} times in a row")


def _halves(path: list[_Spot], name: str) -> Iterator[Fault]:
    for before, spot in zip([None, *path], [*path, None], strict=True):
        opened = before is not None and before.slot["part"] == [1, 2]
        closes = spot is not None and spot.slot["part"] == [2, 2]
        where = f"{name} {(spot or before).section}" if spot or before else name  # type: ignore[union-attr]
        if spot is not None and spot.slot["part"] not in ([1, 1], [1, 2], [2, 2]):
            yield Fault("halves", where, f"part {spot.slot['part']}")
        if opened != closes:
            yield Fault("halves", where, "half of a two-measure lick stands alone")
        elif before is not None and spot is not None and opened:
            if before.slot["lick"] != spot.slot["lick"]:
                yield Fault("halves", where, "two halves of different licks")
            if before.passage != spot.passage or spot.index != before.index + 1:
                yield Fault("halves", where, "a two-measure lick crosses a section, a repeat or an ending")
