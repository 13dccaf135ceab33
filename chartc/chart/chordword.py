"""Why a word is no chord, and what to write instead."""

from __future__ import annotations

import re

from chartc.theory.chord import quality, read_chord
from chartc.theory.key import Key

_ROOT = re.compile(r"[A-G][b#♭♯]{0,2}")
TIMES = re.compile(r"[x×][0-9]+|[0-9]+[x×]")
"""How often a row is played, as some write it behind the row."""

EXAMPLES = "a chord is a capital letter and what is built on it (G, Am, D7, F#m7b5, C/G), or a degree (1, 6m, b7, V7)"


def _is_chord(word: str) -> bool:
    return 0 < len(word) <= 24 and read_chord(word, Key(0)) is not None


def not_a_chord(word: str) -> tuple[str, str]:
    """What is wrong with a chord word that cannot be read, and the help: both for a diagnostic."""
    shown = word if len(word) <= 24 else word[:24] + "..."
    if len(word) > 24:
        return f'"{shown}" is too long for a chord', EXAMPLES
    if re.sub(r"[^a-z]", "", word.lower()) in ("nc", "nochord"):
        return f'"{shown}" is no chord', "where there is no chord, write NC"
    if not word.strip(":") or TIMES.fullmatch(word):
        return f'"{shown}" is no chord', "a repeat is written in words, on lines of their own: repeat, end repeat"
    if set(word) <= {"%"}:
        return f'"{shown}" is no chord', "write % once in each measure that is the one before once more"
    if set(word) <= set(".-–—_~"):
        return f'"{shown}" is no chord', "to hold the chord before it one beat more, write /"
    if word.startswith(("H", "h")):
        return f'"{shown}" begins with H, which is no note name here', "write B for the note below C, and Bb for B flat"
    pieces = [p for p in re.split(r"[-–—,./]+", word) if p]
    if len(pieces) > 1 and all(_is_chord(p) for p in pieces) and not _is_chord(word):
        return f'"{shown}" is no chord', f"put spaces between chords: {' '.join(pieces)}"
    if word[0] in "abcdefg":
        better = word[0].upper() + word[1:]
        help = f"write {better}" if _is_chord(better) else EXAMPLES
        return f'"{shown}" is no chord: a root is a capital letter', help
    head, slash, bass = word.partition("/")
    if slash and _is_chord(head):
        return f'"{shown}" is no chord: "{bass}" is no bass note', _better_bass(head, bass)
    root = _ROOT.match(head)
    if root:
        suffix = head[root.end() :]
        if quality(suffix) is None:
            known = "m, 7, m7, maj7, 6, 9, sus4, dim, aug, add9, m7b5 and the like"
            return f'"{shown}" is no chord: "{suffix}" after {root[0]} is not known', f"write {root[0]} with nothing after it, or with {known}"  # fmt: skip
    return f'"{shown}" is no chord', EXAMPLES


def _better_bass(head: str, bass: str) -> str:
    better = f"{head}/{bass[:1].upper()}{bass[1:]}"
    if _is_chord(better):
        return f"write {better}"
    if bass[:1] in ("H", "h"):
        return f"H is no note name here: write {head}/B for the note below C, and {head}/Bb for B flat"
    if _ROOT.match(head):
        return f"the bass after / is a note name, for example {head}/{'A' if head[0] == 'D' else 'D'}"
    return f"the bass after / is a note name or a degree, for example {head}/{'2' if '5' in head else '5'}"


def certainly(word: str) -> str:
    """What a word that is no chord can only have meant, empty where there is doubt. A small letter alone is in doubt: some
    write minor chords so."""
    if not 0 < len(word) <= 24:
        return ""
    if re.sub(r"[^a-z]", "", word.lower()) in ("nc", "nochord"):
        return "NC"
    pieces = [p for p in re.split(r"[-–—,]", word) if p]
    if len(pieces) > 1 and all(_is_chord(p) for p in pieces):
        return " ".join(pieces)
    better = word[0].upper() + word[1:]
    return better if re.match(r"[a-g][b#♭♯]?m", word) and _is_chord(better) else ""
