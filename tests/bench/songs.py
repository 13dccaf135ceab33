"""Songs as a book has them, each of its own: what the benches of sheets and books fill and print."""

from __future__ import annotations

import random

_PHRASES = (
    "G G C G", "G D7 G G", "C G D7 G", "Em C G D", "G Em Am D7", "G B7 C Cm", "G G7 C D7", "Am D7 G Em", "C C G G", "G A7 D D7",
)  # fmt: skip


def song(seed: int) -> str:
    """A chart of its own: kickoff, verse and chorus of sixteen measures, tag; about two pages of tablature."""
    rng = random.Random(seed)

    def phrase() -> str:
        chords = rng.choice(_PHRASES).split()
        if rng.random() < 0.3:
            chords[rng.randrange(4)] += " " + rng.choice(("C", "D7", "Em", "G"))
        return "| " + " | ".join(chords) + " |"

    def section(name: str, rows: int) -> str:
        return "\n".join(
            [f"section {name}, {4 * rows} measures", "  lead voice, fills banjo", *(phrase() for _ in range(rows))]
        )

    words = rng.sample(("Weir", "Alder", "Barge", "Moss", "Lock", "Heron", "Gate", "Ridge", "Ferry", "Kiln"), 3)
    parts = [section("kickoff", 1), section("verse", 4), section("chorus", 4), section("tag", 1)]
    head = [
        f"title {' '.join(words)} {seed}", "key G", "meter 4/4", f"tempo quarter = {rng.randrange(84, 190)}", "melody D4 to D5",
        "form kickoff, verse, chorus, verse, chorus, tag",
    ]  # fmt: skip
    return "\n".join(head) + "\n\n" + "\n\n".join(parts) + "\n"
