"""`chartc licks`: the list on standard output, and books as files."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path

import pypdfium2

from chartc.licks.library import load_library, own_sources
from tests.cli.running import Command, files_below

Write = Callable[..., Path]

LIBRARY, _ = load_library(own_sources())

PLAYER = "player: Wren Talley\nlicks: [own.yaml]\npaper: letter\n"
OWN = """\
licks:
  - name: wren-step
    role: ending
    about: mine, from the low fifth
    chord: G
    difficulty: 1
    strings: 4  4  3  _
    frets:   0  2  0  _
    picks:   I  T  I  _
"""


def test_the_list(run: Command) -> None:
    """Without options: every lick on a line, nothing on standard error."""
    ran = run("licks")
    assert (ran.code, ran.err) == (0, "")
    for lick in LIBRARY.licks:
        assert f"\n  {lick.name} " in ran.out


def test_the_list_of_a_role(run: Command) -> None:
    """One role or several; a word that is none is refused with the words that are."""
    ran = run("licks", "--role", "kickoff, ending")
    assert "push-off" in ran.out
    assert "forward-reverse" not in ran.out
    ran = run("licks", "--role", "kickof")
    assert ran.code == 2
    assert "kickoff" in ran.err


def test_the_list_as_data(run: Command) -> None:
    """One array, an object a lick."""
    ran = run("licks", "--format", "json", "--role", "vamp")
    data = json.loads(ran.out)
    assert [x["name"] for x in data] == [x.name for x in LIBRARY.licks if x.role == "vamp"]
    assert set(data[0]) == {"name", "kind", "role", "chords", "change", "lengths", "meters", "difficulty", "about"}


def test_books(run: Command, tmp_path: Path) -> None:
    """A file for each key, G where none is said; named like other files, each key once; nothing is listed beside them."""
    ran = run("licks", "--out", tmp_path / "a", "--role", "ending")
    assert (ran.code, ran.out, ran.err) == (0, "", "")
    assert files_below(tmp_path / "a") == {"licks-G.pdf"}
    run("licks", "--out", tmp_path / "b", "--role", "ending", "--keys", "Bb, C# minor, Bb, D mixolydian")
    assert files_below(tmp_path / "b") == {
        "licks-B-flat.pdf", "licks-C-sharp-minor.pdf", "licks-D-mixolydian.pdf",
    }  # fmt: skip
    run("licks", "--out", tmp_path / "c", "--role", "kickoff", "--keys", "all")
    assert len(files_below(tmp_path / "c")) == 12


def test_books_and_a_list(run: Command, tmp_path: Path) -> None:
    """With a format the list, or the names of the files, are printed beside the books."""
    ran = run("licks", "--out", tmp_path, "--role", "ending", "--format", "text")
    assert "boat-shed" in ran.out
    ran = run("licks", "--out", tmp_path, "--role", "ending", "--format", "json")
    assert json.loads(ran.out) == {"files": [str(tmp_path / "licks-G.pdf")], "diagnostics": []}


def test_a_players_licks_and_paper(run: Command, write: Write, tmp_path: Path) -> None:
    """A player's own licks are listed and printed with ours, on the player's paper unless another is said."""
    write("own.yaml", OWN)
    player = write("player.yaml", PLAYER)
    assert "wren-step" in run("licks", "--player", player).out
    assert run("licks", "--player", player, "--role", "ending", "--out", tmp_path / "out").code == 0
    document = pypdfium2.PdfDocument(tmp_path / "out" / "licks-G.pdf")
    assert document[0].get_size() == (612.0, 792.0)
    words = "".join(page.get_textpage().get_text_range() for page in document)
    assert "wren-step" in words
    assert "Wren Talley" in words
    run("licks", "--player", player, "--role", "ending", "--out", tmp_path / "out", "--paper", "a4")
    assert round(pypdfium2.PdfDocument(tmp_path / "out" / "licks-G.pdf")[0].get_width()) == 595


BANJO = """\
instrument:
  name: 中 banjo
  scale-mm: 670
  frets: 22
  short: {string: 5, fret: 5}
  tunings: {open G: G4 D3 G3 B3 D4}
"""


def test_what_the_type_lacks(run: Command, write: Write, tmp_path: Path) -> None:
    """A character that would be a hole in the book is an error at its place: in the player's name, in that of an instrument, and in
    what a lick of the book is about; the list on the terminal has them all, and a book without that lick is no worse for it."""
    write("own.yaml", OWN.replace("mine, from", "mine ☃ from"))
    player = write("player.yaml", PLAYER.replace("Wren", "水") + BANJO)
    ran = run("licks", "--player", player, "--out", tmp_path / "out")
    assert ran.code == 1
    for place in ("player.yaml:1:9: ", "player.yaml:5:9: ", "own.yaml:4:17: "):
        assert f"{place}error: the sheet's type has no sign" in ran.err
    assert ran.err.count("[character-missing]") == 3
    assert not files_below(tmp_path / "out")
    ran = run("licks", "--player", player)
    assert ran.code == 0 and "mine ☃ from" in ran.out
    write("player.yaml", PLAYER)
    assert run("licks", "--player", player, "--out", tmp_path / "out", "--role", "ending").code == 1
    assert run("licks", "--player", player, "--out", tmp_path / "out", "--role", "kickoff").code == 0


def test_what_cannot_be(run: Command, write: Write, tmp_path: Path) -> None:
    """Keys without a place for the book, a key that is none, a player's file with errors, a folder that cannot be made: each is said."""
    ran = run("licks", "--keys", "G")
    assert ran.code == 2
    assert "--out" in ran.err
    assert run("licks", "--out", tmp_path, "--keys", "H").code == 2
    bad = write("bad.yaml", "player: X\nlicks: [nowhere.yaml]\n")
    ran = run("licks", "--player", bad)
    assert ran.code == 1
    assert "nowhere.yaml" in ran.err
    file = write("file", "in the way")
    ran = run("licks", "--out", file / "below", "--role", "ending")
    assert ran.code == 2
    assert "file" in ran.err


def test_an_instrument_without_licks(run: Command, write: Write, tmp_path: Path) -> None:
    """No lick of a role for this instrument: it is said, and no empty file is written."""
    player = write("player.yaml", "player: X\ninstrument: guitar\n")
    ran = run("licks", "--player", player, "--role", "fill", "--out", tmp_path / "out")
    assert ran.code == 2
    assert "no lick" in ran.err
    assert not (tmp_path / "out").exists()
