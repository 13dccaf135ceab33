"""The progress file: what the player marks is heeded, and never lost."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from chartc.cli import main
from chartc.export.midi import midi
from chartc.practice.progress import NOTHING, WORDS, Progress, added, read_progress, with_progress
from chartc.slots.choose import fill
from chartc.text.source import Source
from tests.export.songs import CROOKED, EXAMPLES, chart, example, player


def marks(text: str, licks: tuple[str, ...] | None = None) -> Progress:
    """The marks of a file without any finding."""
    progress, found = read_progress(Source("marks", text), licks)
    assert not found
    return progress


def test_marks_are_read() -> None:
    """Protects the form of the file: words, commas, joins, comments, and any number of spaces."""
    progress = marks(
        "; mine\nknown  a-b ,  c ; both\n\nlearning d\nresting e\nclean a-b into c, c  into  d\nunclean d into d\n"
    )
    assert progress.marked("known") == ("a-b", "c")
    assert progress.marked("known", "learning", "resting") == ("a-b", "c", "d", "e")
    assert {join: word for join, (word, _) in progress.joins.items()} == {
        ("a-b", "c"): "clean", ("c", "d"): "clean", ("d", "d"): "unclean",
    }  # fmt: skip


def test_a_later_line_overrules_an_earlier_one() -> None:
    """Protects the history: the file is a diary, and its last word counts; what is forgotten has no mark."""
    progress = marks("learning a, b\nknown a\nclean a into b\nunclean a into b\nforget b, a into b\n")
    assert progress.marked("known") == ("a",)
    assert progress.marked("learning") == ()
    assert progress.joins == {}


@pytest.mark.parametrize(
    ("line", "code", "column"),
    [
        ("knwon a", "progress-word", 1),
        ("  known", "progress-empty", 3),
        ("clean a", "progress-entry", 7),
        ("clean a in b", "progress-entry", 7),
        ("known a into b", "progress-entry", 7),
        ("known a, b c", "progress-entry", 10),
        ("forget a b", "progress-entry", 8),
    ],
)
def test_mistakes_are_pointed_at(line: str, code: str, column: int) -> None:
    """Protects the player who writes by hand: every mistake has its line and column, what to write instead, and spoils nothing else."""
    progress, found = read_progress(Source("marks", f"known x\n{line}\nknown y\n"))
    assert [(d.code, d.span and (d.span.line, d.span.column)) for d in found] == [(code, (2, column))]
    assert found[0].help
    assert progress.marked("known")[0] == "x"
    assert "y" in progress.marked("known")


def test_a_name_that_no_lick_has_is_a_warning_and_kept() -> None:
    """Protects marks of licks from another file: they are not thrown away, but the player hears of a slip."""
    progress, found = read_progress(Source("marks", "known ferry-plonk"), ("ferry-plank",))
    assert [(d.code, d.severity) for d in found] == [("progress-lick", "warning")]
    assert "ferry-plank" in found[0].message
    assert progress.marked("known") == ("ferry-plonk",)


NAME = st.from_regex(r"[a-z][a-z0-9]{0,3}(-[a-z0-9]{1,3})?", fullmatch=True)
LINES = st.lists(
    st.one_of(
        st.tuples(st.sampled_from(["known", "learning", "resting", "forget"]), st.lists(NAME, min_size=1, max_size=3)),
        st.tuples(
            st.sampled_from(["clean", "unclean"]),
            st.lists(st.tuples(NAME, NAME).map(" into ".join), min_size=1, max_size=3),
        ),
    ),
    max_size=6,
)


@given(st.text(st.characters(codec="utf-8"), max_size=80), LINES)
def test_what_stands_in_the_file_stays(before: str, lines: list[tuple[str, list[str]]]) -> None:
    """Protects the diary, whatever stands in it: a command only adds lines at the end."""
    assert added(before, lines).startswith(before)


@given(LINES, LINES)
def test_what_is_added_is_read_back(old: list[tuple[str, list[str]]], new: list[tuple[str, list[str]]]) -> None:
    """Protects the form: lines written by the command are read without a finding, and mean what lines by hand mean."""
    text = added(added("", old), new)
    by_hand = "".join(f"{word} {', '.join(entries)}\n" for word, entries in [*old, *new])
    first, second = marks(text), marks(by_hand)
    assert {k: v for k, (v, _) in first.licks.items()} == {k: v for k, (v, _) in second.licks.items()}
    assert {k: v for k, (v, _) in first.joins.items()} == {k: v for k, (v, _) in second.joins.items()}


def test_marks_weigh_joins() -> None:
    """Protects the drills: an unclean join is worth more than a plain one, a clean one less, never less than nothing."""
    progress = marks("unclean a into b\nclean b into a\nlearning c\n")
    plain = NOTHING.weigh("a", "b", 20)
    assert progress.weigh("b", "a", 20) == 0 < plain < progress.weigh("a", "c", 20) < progress.weigh("a", "b", 20)


def test_known_and_resting_licks_steer_the_choice() -> None:
    """Protects the feed into the sheets: only known or learnt licks beside the few new ones that the rulebook allows, and none that rest."""
    song = chart(CROOKED)[0].song
    usual = {
        s.lick
        for section in chart(CROOKED)[0].slots
        for m in section
        for s in m
        if s.role not in ("roll", "vamp", "rest")
    }
    assert len(usual) > 2
    rested = with_progress(player().means, marks(f"resting {', '.join(sorted(usual))}"))
    part, _ = fill(song, rested)
    assert part is not None
    assert not usual & {s.lick for section in part.slots for m in section for s in m}
    known = sorted(usual)[0]
    means = with_progress(player().means, marks(f"known {known}"))
    part, _ = fill(song, means)
    assert part is not None
    played = {s.lick for section in part.slots for m in section for s in m if s.role not in ("roll", "vamp", "rest")}
    assert len(played - {known}) <= means.rulebook.new_most
    assert with_progress(player().means, NOTHING).rulebook == player().means.rulebook


def test_the_command_makes_adds_and_tells(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Protects the file on disk: made where there is none, added to, never changed, and the state is told."""
    file = tmp_path / "mine.txt"
    assert main(["progress", str(file)]) == 2
    assert not file.exists()
    names = [x.name for x in player().means.library.licks[:3]]
    assert (
        main(["progress", str(file), "--learning", f"{names[0]}, {names[1]}", "--clean", f"{names[0]} into {names[1]}"])
        == 0
    )
    mine = file.read_text() + "; a good day"
    file.write_text(mine)
    assert main(["progress", str(file), "--known", names[0]]) == 0
    assert file.read_text() == f"{mine}\nknown     {names[0]}\n"
    capsys.readouterr()
    assert main(["progress", str(file)]) == 0
    told = capsys.readouterr().out.splitlines()
    assert told == [
        f"known     {names[0]}",
        f"learning  {names[1]}",
        "resting   -",
        f"clean     {names[0]} into {names[1]}",
        "unclean   -",
    ]


def test_a_wrong_mark_writes_nothing(tmp_path: Path) -> None:
    """Protects the file from what cannot be read back: nothing is written when one of the marks is wrong."""
    file = tmp_path / "mine.txt"
    assert main(["progress", str(file), "--known", "forward", "--clean", "forward"]) == 1
    assert not file.exists()


def test_a_broken_file_is_told_and_left_alone(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Protects what the player wrote: a file with mistakes is still added to, byte for byte the same before; one that is no text is not."""
    file = tmp_path / "mine.txt"
    file.write_bytes(b"knwon x\r\nknown forward")
    assert main(["progress", str(file), "--known", "backward"]) == 1
    assert file.read_bytes() == b"knwon x\r\nknown forward\nknown     backward\n"
    assert "progress-word" in capsys.readouterr().err
    file.write_bytes(b"\x00\xff\x00")
    assert main(["progress", str(file), "--known", "backward"]) == 1
    assert file.read_bytes() == b"\x00\xff\x00"


def test_the_words_are_the_commands_options() -> None:
    """Protects the two from drifting apart: each word of the file is an option of the command."""
    from chartc.commands.progress import WORDS as OPTIONS

    assert tuple(OPTIONS) == WORDS


def test_a_build_heeds_the_marks_and_their_changes(tmp_path: Path) -> None:
    """Protects the sheets: a build with --progress differs once a lick that it uses rests, and is made anew when the file changes."""
    path = str(next(p for p in EXAMPLES if p.stem == "pole-and-paddle"))
    (part,) = example("pole-and-paddle")
    used = sorted(
        {s.lick for section in part.slots for m in section for s in m if s.role not in ("roll", "vamp", "rest")}
    )
    file = tmp_path / "mine.txt"
    file.write_text("; nothing yet\n")
    args = ["build", path, "--progress", str(file), "--midi", "--out", str(tmp_path / "out")]
    sheet = tmp_path / "out" / f"pole-and-paddle-{part.song.key.file_word}-backup.mid"
    assert main(args) == 0
    before = sheet.read_bytes()
    assert before == midi(part)
    file.write_text(f"resting {', '.join(used)}\n")
    assert main(args) == 0
    assert sheet.read_bytes() != before
