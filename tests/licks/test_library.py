"""Lick files: names, order, replacement, and what is refused before a lick is even looked at."""

from __future__ import annotations

import pytest

from chartc.licks import library as library_module
from chartc.licks.library import load_library, own_sources
from chartc.text.source import Source
from tests.licks.lick_texts import GOOD, ROLL, lick_file, lick_text, load, told


def test_a_name_is_given_once_in_a_file() -> None:
    """The second lick of a name is an error that shows the first one."""
    _, found = load(lick_file(lick_text(GOOD), lick_text(ROLL, name="gate-latch")))
    assert told(found) == [("lick-name", "gate-latch")]
    assert found[0].span is not None
    assert found[0].span.line == 9
    assert [(span.line, span.text) for span, _ in found[0].related] == [(2, "gate-latch")]


def test_a_later_file_replaces_a_lick() -> None:
    """A player's own file may give one of our names another lick; it takes that place and no other lick changes."""
    first = Source("ours.yaml", lick_file(lick_text(GOOD), lick_text(ROLL)))
    second = Source("player.yaml", lick_file(lick_text(GOOD, about="another", picks="I M T M", strings="2 1 3 1")))
    library, found = load_library([first, second])
    assert found == ()
    assert library.by_name["gate-latch"].about == "another"
    assert sorted(library.by_name) == ["gate-latch", "water-wheel"]
    assert len({lick.order for lick in library.licks}) == 2


def test_licks_stay_in_the_order_of_their_files() -> None:
    """The order of the files is the order of the library, so that ties are settled the same way every time."""
    names = ["pole", "rope", "anchor"]
    library, _ = load(lick_file(*(lick_text(GOOD, name=name) for name in names)))
    assert [lick.name for lick in library.licks] == names


@pytest.mark.parametrize(
    ("text", "code"),
    [
        ("", "file-empty"),
        ("licks: [\n", "yaml-syntax"),
        ("- a\n- b\n", "yaml-kind"),
        ("songs: []\n", "yaml-missing"),
        ("licks: forward\n", "yaml-kind"),
        ("licks:\n  - forward\n", "yaml-kind"),
        ("licks:\n  - &a\n    name: x\n", "yaml-alias"),
        ("licks:\n  - name: *a\n", "yaml-alias"),
        ("licks:\n  - !!python/object:os.system\n    name: x\n", "yaml-tag"),
        ("licks:\n  - name: a-b\n    name: a-c\n", "yaml-duplicate"),
        ("licks: []\nmore: 1\n", "yaml-unknown"),
    ],
)
def test_a_file_that_is_no_lick_file(text: str, code: str) -> None:
    """Broken or strange YAML is a finding with its own code, never a traceback, and nothing in it is run."""
    library, found = load(text)
    assert code in [d.code for d in found]
    assert library.licks == ()


def test_there_is_a_limit(monkeypatch: pytest.MonkeyPatch) -> None:
    """A file with more licks than the limit says so with the number."""
    monkeypatch.setattr(library_module, "MAX_LICKS", 2)
    _, found = load(lick_file(*(lick_text(GOOD, name=name) for name in ("pole", "rope", "anchor"))))
    assert [d.code for d in found] == ["lick-limit"]
    assert "3 licks" in found[0].message


def test_numbers_and_words_stay_text() -> None:
    """YAML would read some rows as numbers or as yes and no; here they mean what is written."""
    library, found = load(lick_file(lick_text(ROLL, strings="1", picks="M")))
    assert found == ()
    assert library.licks[0].notes[0].string == 1


def test_our_files_come_in_order_of_name() -> None:
    """The library that comes with the program is the same list on every machine."""
    names = [source.name for source in own_sources()]
    assert names == sorted(names)
    assert names[0] == "10-rolls.yaml"
