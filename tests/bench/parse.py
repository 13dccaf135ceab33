"""How long reading takes: characters a second over files that are all different, against a bare tokenizer. Run it by hand:

    python -m tests.bench.parse [COUNT]

The bare tokenizer is one regular expression that knows no grammar: it takes each line into words, bar lines and remarks and keeps a
place for each, which is the least that any reader with places must do. Both read the same texts; no file is read twice, and lines that were
read before are forgotten by the reader ahead of each file, so that nothing but the files' own repetitions is remembered. Prints the ratio,
and the time for files of growing size, up to 1 MB, a character: it must not grow.
"""

from __future__ import annotations

import gc
import random
import re
import sys
import time
from collections.abc import Callable, Iterable

from chartc.chart import Vocabulary, read_chart
from chartc.chart.findings import Findings
from chartc.chart.parse import parse
from chartc.text.source import Source, Span
from tests.bench import invented
from tests.bench.choice import forget

GOAL = 12.0
KNOWN = Vocabulary(frozenset({"roll", "fill", "vamp"}), frozenset({"old-gate"}))
TOKEN = re.compile(r";.*|\||,|:|=|/|[^\s|;,:=/]+")


def tokens(source: Source) -> list[Span]:
    """The place of every word and sign."""
    out = []
    for number, line in enumerate(source.lines, 1):
        for match in TOKEN.finditer(line):
            out.append(Span(source, number, match.start() + 1, match.end() + 1))
    return out


def timed(work: Callable[[Source], object], sources: Iterable[Source], before: Callable[[], None]) -> float:
    """Seconds of the processor for all sources; `before` is done ahead of each and not counted."""
    took = 0.0
    for source in sources:
        before()
        start = time.process_time()
        work(source)
        took += time.process_time() - start
    return took


def read(source: Source) -> None:
    """Reads a chart that must be right."""
    song, found = read_chart(source, KNOWN)
    assert song is not None, found


def of_size(chance: random.Random, size: int) -> str:
    """A text of many different charts' sections, about so many characters: as one chart it has mistakes (headers below, names twice),
    which a reader must survive at the same speed."""
    out = ""
    while len(out) < size:
        out += invented.chart(chance, 8)
    return out[:size]


def main(count: int) -> None:
    """Prints the table."""
    chance = random.Random(1)
    read(Source("warm.chartc", invented.chart(chance, 3)))
    texts = list(dict.fromkeys(invented.chart(chance, chance.randint(3, 8)) for _ in range(count)))
    size = sum(map(len, texts))
    gc.collect()
    bare = timed(tokens, [Source("x", t) for t in texts], lambda: None)
    lines = timed(lambda s: parse(s, Findings()), [Source("x", t) for t in texts], forget)
    cold = timed(read, [Source("x", t) for t in texts], forget)
    print(f"{len(texts)} different files, {size // len(texts)} characters each, times of the processor")
    print(f"bare tokenizer                {size / bare / 1e6:7.2f} million characters a second")
    print(f"the lines alone, likewise     {size / lines / 1e6:7.2f} million, ratio {lines / bare:.1f}")
    print(f"reading, each file by itself  {size / cold / 1e6:7.2f} million, ratio {cold / bare:.1f} (goal {GOAL:g})")
    texts = [invented.chart(chance, 5) for _ in range(count)]
    size = sum(map(len, texts))
    bare = timed(tokens, [Source("x", t) for t in texts], lambda: None)
    warm = timed(read, [Source("x", t) for t in texts], lambda: None)
    print(f"reading, one after another    {size / warm / 1e6:7.2f} million, ratio {warm / bare:.1f} (goal {GOAL:g})")
    for big in (16_000, 63_000, 250_000, 1_000_000):
        forget()
        source = Source("big", one_chart(chance, big))
        took = timed(lambda s: read_chart(s, KNOWN), [source], forget)
        print(
            f"a chart of {len(source.text):>9} characters  {took * 1e6 / len(source.text):6.2f} microseconds a character"
        )
        source = Source("big", of_size(chance, big))
        took = timed(lambda s: read_chart(s, KNOWN), [source], forget)
        print(f"many mistakes, {big:>9}         {took * 1e6 / big:6.2f} microseconds a character")


def one_chart(chance: random.Random, size: int) -> str:
    """One chart that is right, of about so many characters: long words beneath its rows make up the size."""
    head, sections = "title Long\nkey G\nmeter 4/4\ntempo quarter = 100\n", []
    most = min(180, max(1, size // 2000))
    for n in range(most):
        rows: list[str] = []
        measures = 0
        while sum(map(len, rows)) < size // most:
            row = [chance.choice(invented.CHORDS[:18]) for _ in range(4)]
            rows.append("| " + " | ".join(row) + f" |   ; {invented.words(chance)}")
            rows.append("words | " + " | ".join(invented.words(chance, 10) for _ in row) + " |")
            measures += 4
        sections.append(f"section verse {n}, {measures} measures\n" + "\n".join(rows) + "\n")
    return head + "\n".join(sections)


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 400)
