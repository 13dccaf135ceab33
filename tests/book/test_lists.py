"""Set lists, songbooks and singers as written: every mistake at its place, all in one run."""

from __future__ import annotations

from pathlib import Path

import pytest

from chartc.book.lists import BookList, read_list
from chartc.book.singers import VOICES, read_singers
from chartc.cli import main
from chartc.text.diagnostic import Diagnostic, in_order
from chartc.text.source import Source
from tests.book.charts import SET_LIST, SINGERS, band


def read(path: Path, text: str) -> tuple[BookList | None, tuple[Diagnostic, ...]]:
    """A list that stands at a path."""
    return read_list(Source("list.yaml", text), path, lambda name: Path(name).read_bytes())


def test_everything_is_read(tmp_path: Path) -> None:
    """Protects every entry: nothing that the bandleader writes is lost on the way."""
    path = band(tmp_path)
    book, found = read(path, SET_LIST)
    assert book is not None and not found
    first, second = book.sets
    one, two = first.songs
    assert (book.kind, book.title, book.date, book.place) == (
        "set-list",
        "At the Weir",
        "Saturday 1 May 2027",
        "the Weir",
    )
    assert (first.name, second.name) == ("First set", "Second set")
    assert (one.singers, one.kickoff, one.ending, one.notes) == (("Ada Moss",), "fiddle", "dead stop", "softly")
    assert one.sung[0].comfortable.words == "C4 to B4"
    assert two.key is not None and (two.key.text, two.seconds) == ("A", 210)
    assert [leaf.text for leaf in second.songs[0].more_keys] == ["D"]
    assert Path(second.songs[1].path) == tmp_path / "one.chartc"
    assert second.songs[0].sung[0].part == "baritone" and set(VOICES) >= {"tenor", "baritone", "lead"}


WRONG = """\
set-list: Wrong
date: 1 May 2027
singers: singers.yaml
encore: yes
players: [nobody.yaml]
sets:
  - name: First
    songs:
      - song: missing.chartc
      - song: one.chartc
        sings: Ada Mos
        key: H
        time: "3"
        kickoff: [a, b]
      - [one.chartc]
      - sings: Ada Moss
  - name: Second
"""


def test_all_mistakes_in_one_run(tmp_path: Path) -> None:
    """Protects the bandleader's evening: ten mistakes are ten messages, each at its line and column, none twice."""
    band(tmp_path)
    book, found = read(tmp_path / "evening.yaml", WRONG)
    assert book is not None and not book.sound
    places = sorted((d.place[1], d.place[2], d.code) for d in found)
    assert places == [
        (2, 7, "book-date"),
        (4, 1, "yaml-unknown"),
        (5, 11, "file-unreadable"),
        (9, 15, "file-unreadable"),
        (11, 16, "singer-unknown"),
        (12, 14, "book-key"),
        (13, 16, "book-time"),
        (14, 18, "yaml-kind"),
        (15, 9, "yaml-kind"),
        (16, 9, "yaml-missing"),
        (17, 5, "yaml-kind"),
    ]
    assert 'there is "Ada Moss"' in next(d.message for d in found if d.code == "singer-unknown")
    assert all(d.help or d.code in ("yaml-kind",) for d in found)


@pytest.mark.parametrize(
    ("text", "code"),
    [
        ("player: Ann\n", "book-kind"),
        ("- set-list\n", "book-kind"),
        ("set-list: A\nset-list: B\nsets: []\n", "yaml-duplicate"),
        ("set-list: A\nsets: &all []\nplayers: *all\n", "yaml-alias"),
        ("set-list: A\n", "yaml-missing"),
        ("songbook: A\n", "yaml-missing"),
        ("songbook: A\ncharts: nowhere/*.chartc\n", "book-empty"),
        ("songbook: A\ncharts: .\nkeys: [G, H]\n", "book-key"),
        ("songbook: A\ncharts: .\norder: random\n", "yaml-word"),
        ("set-list: [a\n", "yaml-syntax"),
    ],
)
def test_files_that_are_no_lists(tmp_path: Path, text: str, code: str, capsys: pytest.CaptureFixture[str]) -> None:
    """Protects against guessing: what is no list is refused with its code, exit 1, and nothing is written."""
    band(tmp_path)
    path = tmp_path / "bad.yaml"
    path.write_text(text, encoding="utf-8")
    assert main(["build", str(path), "--out", str(tmp_path / "out")]) == 1
    err = capsys.readouterr().err
    assert f"[{code}]" in err and "bad.yaml:" in err and "Traceback" not in err
    assert not list((tmp_path / "out").glob("*.pdf"))


UNPRINTABLE = """\
set-list: Night at the Weir 中
place: "Hall \\u6c34"
singers: singers.yaml
sets:
  - name: First 火
    songs:
      - song: one.chartc
        sings: [Ada 木, Jory Pell]
        kickoff: 金
        ending: Žluťoučký kůň, B♭
        notes: >
          softly 中
          and then 土
      - song: one.chartc
        sings: Ada 木
"""


def test_what_the_type_lacks_is_found_in_a_set_list(tmp_path: Path) -> None:
    """Protects against boxes in print: every word of a set list that is printed is looked through, each character is named once in each
    file, at its place; of the singers' file only who sings is looked at, and accents and music signs are no errors."""
    path = band(tmp_path)
    (tmp_path / "singers.yaml").write_text(
        SINGERS.replace("Ada Moss", "Ada 木") + "  - name: Wat 日\n    range: A3 to D5\n", encoding="utf-8"
    )
    book, found = read(path, UNPRINTABLE)
    assert book is not None and not book.sound
    assert [(Path(d.place[0]).name, *d.place[1:], d.message[-8:]) for d in in_order(found)] == [
        ("singers.yaml", 2, 15, "(U+6728)"),
        ("list.yaml", 1, 29, "(U+4E2D)"),
        # written as an escape: the whole word
        ("list.yaml", 2, 9, "(U+6C34)"),
        ("list.yaml", 5, 17, "(U+706B)"),
        ("list.yaml", 8, 21, "(U+6728)"),
        ("list.yaml", 9, 18, "(U+91D1)"),
        ("list.yaml", 13, 20, "(U+571F)"),
    ]
    assert {(d.code, d.help) for d in found} == {("character-missing", "write it with another character")}
    assert in_order(found)[1].span.text == "中"  # type: ignore[union-attr]


def test_a_book_with_what_the_type_lacks_is_not_written(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Protects the same for a songbook's title and for the player's name that stands in the book, whichever way the player is named;
    sheets, on which no player stands, are printed, and a book for another player."""
    band(tmp_path)
    out = tmp_path / "out"
    for name, text in {
        "ann.yaml": "player: Ann 水\n",
        "wat.yaml": "player: Wat\n",
        "title.yaml": "songbook: All 中\ncharts: one.chartc\n",
        "both.yaml": "songbook: All\ncharts: one.chartc\nplayers: [ann.yaml, wat.yaml]\n",
        "book.yaml": "songbook: All\ncharts: one.chartc\n",
    }.items():
        (tmp_path / name).write_text(text, encoding="utf-8")

    def built(name: str, *more: str) -> tuple[int, str]:
        return main(["build", str(tmp_path / name), "--out", str(out), *more]), capsys.readouterr().err

    ann = ("--player", str(tmp_path / "ann.yaml"))
    code, err = built("title.yaml")
    assert code == 1 and "title.yaml:1:15: error: the sheet's type has no sign '中' (U+4E2D)" in err
    code, err = built("book.yaml", *ann)
    assert code == 1 and "ann.yaml:1:13: error: the sheet's type has no sign '水' (U+6C34)" in err
    assert not list(out.glob("*.pdf"))
    code, err = built("both.yaml")
    assert code == 1 and "ann.yaml:1:13: " in err and err.count("error") == 1
    assert [p.name for p in out.glob("*.pdf")] == ["both-wat.pdf"]
    assert built("one.chartc", *ann) == (0, "")


def test_several_keys_in_one_text(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Protects whoever writes keys in a book as on the command line: the message shows them as a list."""
    band(tmp_path)
    path = tmp_path / "bad.yaml"
    path.write_text("songbook: A\ncharts: .\nkeys: G, Bb\n", encoding="utf-8")
    assert main(["build", str(path), "--out", str(tmp_path / "out")]) == 1
    assert "several keys are a list: [G, Bb]" in capsys.readouterr().err


@pytest.mark.parametrize(
    ("entry", "code"),
    [
        ("range: D5 to A3", "singer-range"),
        ("range: A3-D5", "singer-range"),
        ("range: C4 to C9", "singer-range"),
        ("range: A3 to D5\n    comfortable: G3 to D5", "singer-range"),
        ("range: A3 to D5\n    part: descant", "yaml-word"),
        ("range: A3 to D5\n    keys: [G]", "yaml-kind"),
        ("range: A3 to D5\n    keys: {nowhere.chartc: G}", "file-unreadable"),
        ("range: A3 to D5\n    keys: {one.chartc: H}", "book-key"),
        ("comfortable: A3 to D5", "yaml-missing"),
    ],
)
def test_singers_who_cannot_be(tmp_path: Path, entry: str, code: str) -> None:
    """Protects singers from a slip of the pen: it is named at its place, and the other singers are read all the same."""
    band(tmp_path)
    text = f"singers:\n  - name: Ada\n    {entry}\n  - name: Bo\n    range: G2 to E4\n"
    singers, found = read_singers(Source("singers.yaml", text), tmp_path)
    assert [d.code for d in found] == [code]
    assert found[0].span is not None and 2 <= found[0].span.line <= 4
    assert "Bo" in singers


def test_the_tests_own_files_are_right(tmp_path: Path) -> None:
    """Protects these tests: what they take for right is read without a finding."""
    band(tmp_path)
    singers, found = read_singers(Source("singers.yaml", SINGERS), tmp_path)
    assert list(singers) == ["Ada Moss", "Jory Pell"] and not found


def test_a_list_is_checked_with_its_charts(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Protects the afternoon before: `check` finds what is wrong in a list, in its keys and in its charts, and writes nothing."""
    path = band(tmp_path)
    assert main(["check", str(path)]) == 0
    assert capsys.readouterr().err == ""
    chart = tmp_path / "two.chartc"
    chart.write_text(chart.read_text(encoding="utf-8").replace("| D7 |", "|", 1), encoding="utf-8")
    path.write_text(path.read_text(encoding="utf-8").replace("key: A", "key: A minor"), encoding="utf-8")
    other = tmp_path / "other.yaml"
    other.write_text("set-list: Other\nsets:\n  - songs: [{song: one.chartc, key: G minor}]\n", encoding="utf-8")
    assert main(["check", str(path), str(other)]) == 1
    err = capsys.readouterr().err
    assert "two.chartc:" in err and "other.yaml:3:37: error" in err and "[key-mode]" in err
    assert sorted(p.suffix for p in tmp_path.iterdir()) == [".chartc"] * 3 + [".yaml"] * 3
