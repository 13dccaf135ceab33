"""A bounded memory: what was used last is the last to be forgotten."""

from __future__ import annotations

from collections.abc import Hashable
from typing import Generic, TypeVar

K = TypeVar("K", bound=Hashable)
V = TypeVar("V")


class Recent(Generic[K, V]):
    """Values by keys, at most so many. A cache of a function cannot serve here: what is kept is found by less than it is made from."""

    def __init__(self, most: int) -> None:
        self._most = most
        self._kept: dict[K, V] = {}

    def get(self, key: K) -> V | None:
        """The value of a key, None where it is not known or was forgotten."""
        found = self._kept.pop(key, None)
        if found is not None:
            self._kept[key] = found
        return found

    def put(self, key: K, value: V) -> V:
        """Keeps a value, and gives it back."""
        self._kept[key] = value
        if len(self._kept) > self._most:
            del self._kept[next(iter(self._kept))]
        return value
