"""Keys as they are asked for in an option or an entry: `G, A, Bb`."""

from __future__ import annotations

from chartc.theory.key import parse_key

ALL_KEYS = "all"
"""The word that asks for all twelve keys."""


class KeyWordError(ValueError):
    """A key asked for is no key."""


def split_keys(text: str) -> tuple[str, ...]:
    """The keys of an option, `G, A, Bb`. Raises KeyWordError where one is no key."""
    words = tuple(w.strip() for w in text.split(",") if w.strip())
    if not words:
        raise KeyWordError("no key is given; write keys with commas, such as: G, A, Bb")
    for word in words:
        if word.lower() != ALL_KEYS and parse_key(word) is None:
            raise KeyWordError(
                f'"{word}" is not a key; write keys with commas, such as: G, A, Bb, F# minor, or: {ALL_KEYS}'
            )
    return words
