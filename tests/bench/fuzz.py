"""Damaged charts, a great many of them, read in this process: nothing may be raised, hang, or point outside the file. Run it by hand:

    python -m tests.bench.fuzz [COUNT [SEED]]

Valid charts (those of the reference, and others drawn by lot) are damaged by a few careless or mean edits, a few hundred bytes to
2 KB each, and read with the words of the whole library. For every input:

- nothing is raised, and it takes less than five seconds of the processor (a timer breaks off what takes longer);
- there is a song exactly where there is no error;
- every place that is reported, the edits of a fix included, lies in the file;
- a song in another key and back again is the song.

Prints a line every so often and a table at the end, and a repr of each input that failed. The same seed gives the same inputs.
Ends with 1 where anything failed.
"""

from __future__ import annotations

import random
import re
import signal
import sys
import time
import traceback
from collections import Counter
from types import FrameType

from chartc.book.compile import vocabulary
from chartc.chart import Vocabulary, read_chart
from chartc.chart.song import Song, in_key
from chartc.player import load_player
from chartc.text.diagnostic import Diagnostic, has_errors, show
from chartc.text.grammar import grammar
from chartc.text.source import Source
from chartc.theory.key import Key
from tests.bench import invented

MOST_SECONDS = 5.0
SHORTEST, LONGEST = 200, 2000
POOL = 400
"""Charts that are damaged at one time; a new pool is drawn after every so many inputs."""
REFRESH = 20_000

PIECES = (
    "|", ";", ";;", "/", "%", ",", ":", "=", " ", "\n", "\r", "\r\n", "\t", "as", "in 2/4:", "pickup 1/4:", "repeat",
    "repeat 3 times", "end repeat", "ending 1", "ending 1 and 2", "section verse, 4 measures", "form verse", "voice |", "ask |",
    "words |", "key G", "key Am", "meter 3/4", "title", "melody C4 to C5", "tempo half = 60", "lead banjo", "NC", "N.C.", "G", "H",
    "Bb", "V7", "fret 5", "0", "9", "99999999999999999999", "-1", "²", "٣", "\x00", "\x1b[31m", "\u200b", "\u200f", "\ufeff", "é",
    "e\u0301", "♭", "♯", "🪕", "\U000e0041", "\u2028", "\x85", "\x0b", "\ud800", "ß", "İ", "ﬃ", "(", ")", "[", "]", "{", "}", "\\",
    '"', "'", "<", ">", "&", "$", "#", "bars", "x4",
)  # fmt: skip


class HangError(BaseException):
    """Reading took longer than it may; no handler of ordinary exceptions catches it."""


def _broken_off(signum: int, frame: FrameType | None) -> None:
    raise HangError


def valid(chance: random.Random, examples: list[str]) -> str:
    """A chart that follows the rules, no longer than the longest."""
    if chance.random() < 0.4:
        return chance.choice(examples)
    while True:
        text = invented.chart(chance, chance.randint(1, 2))
        if SHORTEST <= len(text) <= LONGEST:
            return text


def any_character(chance: random.Random) -> str:
    """A character of Unicode: mostly of the first planes, where the odd ones are."""
    return chr(chance.choice((chance.randrange(0x100), chance.randrange(0x3000), chance.randrange(0x110000))))


def damaged(chance: random.Random, text: str, other: str) -> str:
    """The text after up to eight edits; `other` is a second chart, of which lines are taken."""
    for _ in range(chance.choice((1, 1, 1, 2, 2, 3, 4, 8))):
        edit = chance.randrange(12)
        at = chance.randrange(len(text) + 1)
        end = min(len(text), at + chance.choice((1, 1, 1, 2, 5, 40)))
        if edit == 0:
            text = text[:at] + text[end:]
        elif edit == 1:
            text = text[:at] + chance.choice(PIECES) + text[at:]
        elif edit == 2:
            text = text[:at] + any_character(chance) + text[end:]
        elif edit == 3:
            text = text[:end] + text[at:end] * chance.choice((1, 1, 2, 30)) + text[end:]
        elif edit == 4:
            text = text[:at] + text[at:end][::-1] + text[end:]
        elif edit == 5:
            text = text[:at] + chance.choice(PIECES) + text[end:]
        else:
            lines = text.split("\n")
            n, m = chance.randrange(len(lines)), chance.randrange(len(lines))
            if edit == 6:
                lines[n], lines[m] = lines[m], lines[n]
            elif edit == 7:
                del lines[n]
            elif edit == 8:
                lines.insert(m, lines[n])
            elif edit == 9:
                lines[n : n + 2] = [chance.choice((" ", "", " | ")).join(lines[n : n + 2])]
            elif edit == 10:
                lines.insert(m, chance.choice(other.split("\n")))
            else:
                cut = chance.randrange(len(lines[n]) + 1)
                lines[n : n + 1] = [lines[n][:cut], lines[n][cut:]]
            text = "\n".join(lines)
    return text[: 2 * LONGEST]


def misplaced(d: Diagnostic, source: Source) -> bool:
    """Whether a place of the finding lies outside the source: a line that is not there, or a column behind the line's end. One column
    behind the last character may be marked, for what is missing there; an edit may not go beyond the line."""
    if d.span is None:
        return True
    lines = max(1, len(source.lines))
    for span, most in [(s, 1) for s in (d.span, *(s for s, _ in d.related))] + [(s, 0) for s, _ in d.fix]:
        length = len(source.line(span.line))
        if span.source is not source or not 1 <= span.line <= lines:
            return True
        if not (1 <= span.column <= length + 1 and span.column + most <= span.end <= length + 1 + most):
            return True
    return False


def not_the_same(song: Song, chance: random.Random) -> bool:
    """Whether a song comes back from another key, and from there by a third one, as another song."""
    there, further = (Key(chance.randint(-7, 7), song.key.mode) for _ in range(2))
    back = in_key(in_key(in_key(song, there), further), song.key)
    return back != song or in_key(in_key(song, there), song.key) != song


def verdict(text: str, known: Vocabulary, chance: random.Random) -> tuple[str, bool]:
    """What is wrong with the reading of a text (a word of the table; empty where nothing is), and whether there was a song."""
    source = Source("fuzz.chartc", text)
    song, found = read_chart(source, known)
    if (song is None) != has_errors(found):
        return "contradictory", False
    if any(misplaced(d, source) for d in found):
        return "misplaced", False
    show(found)
    if song is not None and not_the_same(song, chance):
        return "not the same", True
    return "", song is not None


def main(count: int, seed: int) -> int:
    """Prints the table; 1 where anything failed."""
    player, _ = load_player(None, (), ())
    assert player is not None
    known = vocabulary(player)
    examples = [t for t in re.findall(r"```chart\n(.*?)```", grammar("reference.md"), re.DOTALL) if len(t) <= LONGEST]
    signal.signal(signal.SIGPROF, _broken_off)
    chance = random.Random(seed)
    tally: Counter[str] = Counter()
    slowest = 0.0
    size = songs = done = 0
    pool: list[str] = []
    begin = time.perf_counter()

    def table() -> str:
        took = time.perf_counter() - begin
        kinds = ("crashes", "hangs", "misplaced", "contradictory", "not the same")
        return (
            f"seed {seed}: {done} inputs, {done / took:.0f} a second, mean {size / max(1, done):.0f} characters, {songs} songs, slowest "
            f"{slowest * 1000:.0f} ms of the processor; " + ", ".join(f"{kind} {tally[kind]}" for kind in kinds)
        )

    while done < count:
        if done % REFRESH == 0:
            pool = [*examples, *(valid(chance, examples) for _ in range(POOL))]
            print(table(), flush=True)
        text = damaged(chance, chance.choice(pool), chance.choice(pool))
        start = time.process_time()
        signal.setitimer(signal.ITIMER_PROF, MOST_SECONDS)
        trouble = ""
        try:
            wrong, sang = verdict(text, known, chance)
            signal.setitimer(signal.ITIMER_PROF, 0)
        except HangError:
            wrong, sang = "hangs", False
        except Exception:
            signal.setitimer(signal.ITIMER_PROF, 0)
            wrong, sang, trouble = "crashes", False, traceback.format_exc()
        slowest = max(slowest, time.process_time() - start)
        done, size, songs = done + 1, size + len(text), songs + sang
        if wrong:
            tally[wrong] += 1
            if tally[wrong] <= 20:
                print(f"{wrong}: {text!r}\n{trouble}", flush=True)
    print(table())
    return int(bool(tally))


if __name__ == "__main__":
    arguments = [int(a) for a in sys.argv[1:]]
    sys.exit(main(*(arguments + [100_000, 1][len(arguments) :])))
