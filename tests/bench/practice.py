"""How long drills take beside their printing, and whether play-along and notation come back whole.

`python -m tests.bench.practice [KEYS]` prints both; KEYS is how many of the twelve keys are tried (default: all).
"""

from __future__ import annotations

import sys
from statistics import median
from time import perf_counter

from chartc.export.midi import midi
from chartc.export.musicxml import musicxml
from chartc.export.plan import plan
from chartc.practice.drill import Wish, all_joins
from chartc.practice.score import for_print
from chartc.press import pdf
from chartc.sheet import a4, backup_pages
from chartc.theory.key import all_keys
from tests.export.read_back import (
    played_by_plan,
    printed_by_plan,
    score,
    struck,
    struck_by_music21,
    symbols,
    tracks,
    written,
)
from tests.export.songs import EXAMPLES, example
from tests.practice.materials import library_material

ROUNDS = 9


def drilling() -> None:
    """Planning a drill over 30 licks (900 joins), as a ratio to printing it."""
    material = library_material(30)
    planning, printing, pages = [], [], 0
    for _ in range(ROUNDS):
        start = perf_counter()
        drill = all_joins(material, Wish())
        assert drill is not None
        middle = perf_counter()
        sheets = backup_pages(for_print(drill.part), a4)
        pdf(sheets, drill.part.song.title, "")
        end = perf_counter()
        planning.append(middle - start)
        printing.append(end - middle)
        pages = len(sheets)
    assert drill is not None
    print(f"30 licks: {drill.joins} joins, {len(drill.left_out)} left out, {pages} pages")
    ratio = median(planning) / median(printing)
    print(f"planning {1000 * median(planning):.0f} ms, printing {1000 * median(printing):.0f} ms, ratio {ratio:.2f}")


def coming_back(count: int) -> int:
    """Every example in so many keys through MIDI and MusicXML and back; the number of files with a difference."""
    played = printed = harmonies = wrong = files = 0
    for path in EXAMPLES:
        mode = example(path.stem)[0].song.key.mode
        keys = tuple(k.plain.split()[0] for k in all_keys(mode)[:count])
        for part in example(path.stem, keys):
            files += 1
            said = plan([part])
            expected = played_by_plan(said)
            data = midi(part, count_in=False)
            same = struck(tracks(data)["banjo"]) == expected == struck_by_music21(data, "banjo")
            read = score(musicxml(part))
            same = same and written(read) == printed_by_plan(said)
            chords = []
            start = 0
            for section in part.song.sections:
                for m in section.measures:
                    chords += [
                        (start + s.at, None if s.chord is None else s.chord.root_class)
                        for s in m.stretches
                        if not m.pickup
                    ]
                    start += m.ticks
            same = same and [(at, root) for at, root, _ in symbols(read)] == chords
            played += len(expected)
            printed += len(printed_by_plan(said))
            harmonies += len(chords)
            if not same:
                wrong += 1
                print(f"{path.stem} in {part.song.key.label} differs")
    print(
        f"{files} plans: {played} notes as played through MIDI, {printed} as printed and {harmonies} chords through MusicXML"
    )
    print(f"{wrong} with a difference in pitch, onset or root")
    return wrong


if __name__ == "__main__":
    drilling()
    sys.exit(coming_back(int(sys.argv[1]) if len(sys.argv) > 1 else 12) > 0)
