"""The bounded memory of the choice."""

from __future__ import annotations

from chartc.slots.recent import Recent


def test_what_was_used_last_stays() -> None:
    """Protects memory and speed: no more is kept than allowed, and what is asked for often is not what goes."""
    kept: Recent[str, int] = Recent(2)
    assert [kept.put("a", 1), kept.put("b", 2), kept.get("a"), kept.put("c", 3)] == [1, 2, 1, 3]
    assert (kept.get("a"), kept.get("b"), kept.get("c")) == (1, None, 3)
