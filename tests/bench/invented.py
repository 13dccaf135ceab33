"""Chart texts drawn by lot, for measuring and for damaging: every one follows the rules."""

from __future__ import annotations

import random

KEYS = ("G", "Am", "D mixolydian", "E dorian", "Bb", "F♯ minor", "C", "A", "Eb", "B minor")
CHORDS = (
    "G", "C", "D", "D7", "Am", "Em", "F", "A7", "Bm", "F#m7b5", "C/G", "1", "4", "5", "6m", "b7", "57", "V7", "vi",
    "Bbmaj7", "E♭", "NC",
)  # fmt: skip
SYLLABLES = (
    "wil",
    "low",
    "bar",
    "ge",
    "ket",
    "tle",
    "pad",
    "dle",
    "rid",
    "ge",
    "fer",
    "ry",
    "mos",
    "sy",
    "gate",
    "stone",
)
METERS = {"4/4": (1, 2, 4), "3/4": (1, 3), "2/4": (1, 2), "2/2": (1, 2, 4), "6/8": (1, 2, 6)}
JOBS = ("lead voice, fills banjo, chop mandolin", "lead banjo, chop mandolin", "lead fiddle, chop banjo", "lead voice")


def words(chance: random.Random, most: int = 4) -> str:
    """A few invented words."""
    return " ".join("".join(chance.choices(SYLLABLES, k=chance.randint(1, 3))) for _ in range(chance.randint(1, most)))


def _cell(chance: random.Random, sizes: tuple[int, ...]) -> str:
    size = chance.choice(sizes)
    first = chance.choice(CHORDS)
    return " ".join([first, *(chance.choice((*CHORDS, "/", "/", "/")) for _ in range(size - 1))])


def _rows(chance: random.Random, sizes: tuple[int, ...], out: list[str]) -> int:
    total = 0
    for _ in range(chance.randint(1, 4)):
        row = [_cell(chance, sizes) for _ in range(chance.randint(2, 6))]
        if chance.random() < 0.2:
            row[-1] = "%"
        out.append("| " + " | ".join(row) + " |" + chance.choice(("", "", f"   ; {words(chance)}")))
        if chance.random() < 0.4:
            out.append("voice | " + " | ".join(chance.choice(("sung", "held", "silent", "")) for _ in row) + " |")
        if chance.random() < 0.4:
            free = [bool({"%", "NC"} & set(c.split())) for c in row]
            asked = ["" if f else chance.choice(("roll", "fill", "low", "roll high", "fret 5", "")) for f in free]
            out.append("ask | " + " | ".join(asked) + " |")
        if chance.random() < 0.4:
            out.append("words | " + " | ".join(words(chance) for _ in row) + " |")
        total += len(row)
    return total


def chart(chance: random.Random, sections: int) -> str:
    """A whole chart with so many sections."""
    meter, sizes = chance.choice(list(METERS.items()))
    head = [
        f"title    {words(chance)}",
        f"credit   {words(chance)}",
        f"key      {chance.choice(KEYS)}",
        f"meter    {meter}",
    ]
    head.append(f"tempo    quarter = {chance.randint(70, 180)}")
    if chance.random() < 0.5:
        head.append("melody   D4 to B4")
    names = [f"{chance.choice(('verse', 'chorus', 'break', 'tag'))} {n}" for n in range(1, sections + 1)]
    out: list[str] = []
    for name in names:
        out.append("")
        begin = len(out)
        played = 0
        if chance.random() < 0.3:
            out.append("| pickup 1/4: |")
        for _ in range(chance.randint(1, 3)):
            if chance.random() < 0.6:
                played += _rows(chance, sizes, out)
                continue
            times = chance.randint(2, 3)
            out.append("repeat" if times == 2 else f"repeat {times} times")
            played += times * _rows(chance, sizes, out)
            if chance.random() < 0.5:
                for n in range(1, times + 1):
                    out.append(f"ending {n}")
                    played += _rows(chance, sizes, out)
            out.append("end repeat")
        out[begin:begin] = [f"section {name}, {played} measures", f"  {chance.choice(JOBS)}"]
    order = [*names, *chance.choices(names, k=min(len(names), 4))]
    form = [f"form     {', '.join(order[n : n + 10])}" for n in range(0, len(order), 10)]
    return "\n".join([*head, *form, *out]) + "\n"
