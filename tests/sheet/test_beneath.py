"""Words beneath chords, where each begins and how they break."""

from __future__ import annotations

from chartc.sheet.beneath import Cue, least, placed
from chartc.type.faces import width

SIZE = 10.0


def test_a_place_and_a_name_share_a_line_where_they_can() -> None:
    """Protects room: "at 7 tin-cup" is one line; in less room the name stands beneath its place, and both begin at the chord."""
    cue = Cue(0, "at 7", "tin-cup")
    wide = placed([cue], [(20.0, 120.0)], SIZE)
    assert [(w.text, w.line, w.face) for w in wide] == [("at 7", 0, "bold"), ("tin-cup", 0, "regular")]
    assert wide[1].x > 20 + width("at 7", "bold", SIZE)
    narrow = placed([cue], [(20.0, 20.0 + least(cue, SIZE))], SIZE)
    assert [(w.text, w.line, w.x) for w in narrow] == [("at 7", 0, 20.0), ("tin-cup", 1, 20.0)]


def test_stairs_where_chords_are_too_close() -> None:
    """Protects a measure of many chords: each one's words have lines of their own and still begin at their chord."""
    cues = [Cue(0, "at 7", "half-steps-middle"), Cue(480, "at 9", "hay-barge")]
    found = placed(cues, [(5.0, 30.0), (35.0, 160.0)], SIZE)
    assert [(w.text, w.line) for w in found if w.face == "bold"] == [("at 7", 0), ("at 9", 1)]
    assert [w.text for w in found if w.face == "regular"] == ["half-steps-middle", "hay-barge"]
    assert [w.x for w in found if w.face == "bold"] == [5.0, 35.0]
    assert all(w.x + width(w.text, w.face, SIZE) <= 160.1 for w in found)
    close = placed(cues, [(5.0, 30.0), (125.0, 160.0)], SIZE)
    assert [w.x for w in close] == [5.0, 5.0 + width("at 7", "bold", SIZE) + 2.8, 125.0, 125.0, 125.0]
    assert [w.text for w in close][-2:] == ["hay-", "barge"]


def test_hyphens_are_the_last_resort() -> None:
    """Protects names: at spaces first, at hyphens only where a word is wider than the room, and never inside of a place."""
    room = width("half-steps-", "regular", SIZE) + 4
    (a, b, c) = placed([Cue(0, "at 11", "half-steps-middle")], [(0.0, room)], SIZE)
    assert (a.text, b.text, c.text) == ("at 11", "half-steps-", "middle")
    spaced = placed([Cue(0, "", "over the low-bridge")], [(0.0, width("low-bridge", "regular", SIZE))], SIZE)
    assert "low-bridge" in [w.text for w in spaced]
