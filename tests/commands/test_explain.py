"""`chartc explain`: every code of the program is explained, and its examples are what they say."""

from __future__ import annotations

import ast
import re
from pathlib import Path

import pytest

import chartc
from chartc.book.lists import read_list
from chartc.book.singers import read_singers
from chartc.chart.codes import CODES as CHART
from chartc.cli import main
from chartc.codes import EXPLAINED
from chartc.codes.books import BOOKS
from chartc.codes.files import FILES
from chartc.codes.licks import LICKS
from chartc.codes.practice import PRACTICE
from chartc.codes.settings import CHOICE, SETTINGS
from chartc.licks.library import load_library
from chartc.player import load_player
from chartc.practice.progress import read_progress
from chartc.slots.rulebook import load_rulebook
from chartc.text.diagnostic import Diagnostic
from chartc.text.source import Source
from tests.chart.charts import read

REPORTING = {"Diagnostic", "Mistake", "error", "add", "bad", "_error"}
"""The functions whose first argument is a code."""


def used() -> dict[str, str]:
    """Each code that stands in the program, with a file in which it does."""
    out = {}
    for path in sorted(Path(chartc.__file__).parent.rglob("*.py")):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if not isinstance(node, ast.Call) or not node.args or len(node.args) + len(node.keywords) < 2:
                continue
            name = node.func.id if isinstance(node.func, ast.Name) else getattr(node.func, "attr", "")
            first = node.args[0]
            for value in [first.body, first.orelse] if isinstance(first, ast.IfExp) else [first]:
                if name in REPORTING and isinstance(value, ast.Constant) and isinstance(value.value, str):
                    out[value.value] = str(path)
    return {code: where for code, where in out.items() if re.fullmatch(r"[a-z]+(-[a-z]+)*", code)}


def test_every_code_is_explained_and_every_explained_code_is_used() -> None:
    """Protects the player who asks: no message has a code without an explanation, and none is explained that never comes."""
    known = used()
    assert {code: where for code, where in known.items() if code not in EXPLAINED} == {}
    assert set(EXPLAINED) - set(known) == set()


def test_no_code_is_explained_in_two_places() -> None:
    """Protects the registry: the parts that it is made of do not overlap, so that none hides another."""
    assert sum(map(len, (BOOKS, CHART, FILES, LICKS, SETTINGS, CHOICE, PRACTICE))) == len(EXPLAINED)


HEAD = {"title": "title A", "key": "key G", "meter": "meter 4/4", "tempo": "tempo quarter = 112"}


def found(example: str, tmp_path: Path, bare: bool = True) -> list[Diagnostic]:
    """What is found in an example: a lick file, a rulebook, a player's file, or a chart. A piece of a chart has no title; it gets
    the headers that it lacks, and if it is `bare` a section."""
    source = Source("example", example)
    first = example.split(":")[0].split(" ")[0]
    if first == "licks":
        return list(load_library([source])[1])
    if first == "rulebook":
        return list(load_rulebook([source])[1])
    if first == "singers":
        return list(read_singers(source, tmp_path)[1])
    if first in ("set-list", "songbook", "set"):
        (tmp_path / "ferry.chartc").write_text("a chart", encoding="utf-8")
        return list(read_list(source, tmp_path / "list.yaml", lambda name: Path(name).read_bytes())[1])
    if first == "player":
        path = tmp_path / "player.yaml"
        path.write_text(example, encoding="utf-8")
        return list(load_player(path, ("backup", "chords"), ("a4", "letter"))[1])
    if example.startswith("; progress"):
        return list(read_progress(source, ("ferry-plank", "lock-gate"))[1])
    words = {line.split(" ")[0] for line in example.split("\n")}
    if "title" not in words and first != ";":
        example = "\n".join([*(line for word, line in HEAD.items() if word not in words), example])
        if "section" not in words and bare:
            example += "\nsection verse, 1 measure\n| G |"
    return list(read(example)[1])


WITH_EXAMPLES = [code for code, e in EXPLAINED.items() if e.wrong]


@pytest.mark.parametrize("code", WITH_EXAMPLES)
def test_the_examples_are_what_they_say(code: str, tmp_path: Path) -> None:
    """Protects the reader of an explanation: the wrong example has the mistake, the right one has none at all."""
    explanation = EXPLAINED[code]
    codes = {d.code for d in found(explanation.wrong, tmp_path, code != "section-missing")}
    assert code in codes, codes
    good = found(explanation.right, tmp_path)
    assert not good, [(d.code, d.message) for d in good]


def test_most_codes_have_examples() -> None:
    """Protects against explanations without examples: only mistakes that are not of writing may lack them."""
    without = set(EXPLAINED) - set(WITH_EXAMPLES)
    assert {c for c in without if c not in CHOICE} <= {
        "file-binary", "file-empty", "file-encoding", "file-size", "yaml-limit", "lick-limit", "lick-limits", "rule-limit", "rule-idle", "rule-lick",
        "text-long", "singer-unknown", "song-range", "limit-form", "limit-line", "limit-measures", "limit-sections",
    }  # fmt: skip


def test_a_code_is_explained(capsys: pytest.CaptureFixture[str]) -> None:
    """Protects the command: it says meaning and examples, takes the code as it is shown in a message, and returns 0."""
    assert main(["explain", "[measure-beats]"]) == 0
    said = capsys.readouterr().out
    assert said.startswith("measure-beats\n\nOne word fills its measure;")
    assert "wrong:\n\n    section verse, 1 measure\n    | G C D |\n\nright:\n" in said
    assert max(map(len, said.split("\n"))) <= 80


def test_what_does_not_show_is_shown_as_its_number(capsys: pytest.CaptureFixture[str]) -> None:
    """Protects the terminal, and the reader of the one example whose mistake cannot be seen."""
    assert main(["explain", "character"]) == 0
    assert "form ver<U+200B>se" in capsys.readouterr().out


def test_all_codes_are_listed(capsys: pytest.CaptureFixture[str]) -> None:
    """Protects the list: each code has its line."""
    assert main(["explain"]) == 0
    assert [line.split()[0] for line in capsys.readouterr().out.splitlines()] == list(EXPLAINED)


def test_an_unknown_code_is_answered_with_the_nearest(capsys: pytest.CaptureFixture[str]) -> None:
    """Protects the player who mistypes: exit 2, the nearest code, nothing on standard output."""
    assert main(["explain", "measure-beat"]) == 2
    out, err = capsys.readouterr()
    assert out == "" and '"measure-beats"' in err
