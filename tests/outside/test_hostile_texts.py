"""Texts that mean something to a terminal, to a PDF reader or to a YAML library: to this program they are texts, or mistakes."""

from __future__ import annotations

import time
import unicodedata
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pypdfium2
import pytest

from tests.cli.running import Command, chart, files_below

Write = Callable[..., Path]

STEERING = {
    "colour": "\x1b[31mPail",
    "window's title": "\x1b]0;Pail\x07",
    "cursor": "\x1b[2J\x1b[HPail",
    "one-byte introducer": "\x9b31mPail",
    "backspaces": "Pail\x08\x08\x08\x08Pole",
    "right to left": "Pail \u202etac\u202c",
}
"""What a terminal obeys: the control functions of ECMA-48 (C0, C1 and sequences), and the marks of Unicode Annex 9."""

BRACKETS = (
    "Pail (and Pole)",
    "Pail ) Pole (",
    "Pail \\) Tj ET endstream",
    "Pail \\n \\053 \\",
    ">> /JavaScript <</S /URI>> <41>",
    "%%EOF % trailer",
    "Pail & <b>Pole</b> &#27;",
    "Ž (é\\) \N{MUSIC SHARP SIGN}",
)
"""What means something in a PDF: brackets, backslashes, line ends, delimiters (ISO 32000-1, 7.2.2 and 7.3.4)."""


@pytest.fixture
def run(capsys: pytest.CaptureFixture[str]) -> Command:
    """The command."""
    return Command(capsys)


@pytest.fixture
def write(tmp_path: Path) -> Write:
    """Writes a text below the test's folder."""

    def put(name: str, text: str) -> Path:
        path = tmp_path / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(text.encode())
        return path

    return put


def quiet(text: str) -> bool:
    """Whether there is nothing in the text that a terminal obeys but ends of lines."""
    return not any(unicodedata.category(c) in ("Cc", "Cf") for c in text.replace("\n", ""))


@pytest.mark.parametrize("name", STEERING)
@pytest.mark.parametrize(
    "line", ["title    Pail by the Door", "section verse", "| G | C", "tempo    quarter", "meter    4/4"]
)
def test_a_chart_cannot_steer_the_terminal(name: str, line: str, run: Command, write: Write) -> None:
    """Protects who reads the findings: steering characters in a chart are a mistake, and are not passed on, neither in words nor as data."""
    first, _, rest = line.partition(" ")
    path = write("pail.chartc", chart().replace(line, f"{first} {rest}{STEERING[name]}"))
    for more in ([], ["--format", "json"]):
        ran = run("check", path, *more)
        assert ran.code == 1
        assert "character" in ran.err + ran.out
        assert quiet(ran.err), ran.err
        if more:
            assert "\x1b" not in ran.out and "\x07" not in ran.out
    for command in ("tidy", "why", "plan"):
        ran = run(command, path)
        assert ran.code == 1
        assert quiet(ran.err) and quiet(ran.out)


@pytest.mark.parametrize("name", STEERING)
def test_settings_cannot_steer_the_terminal(name: str, run: Command, write: Write, tmp_path: Path) -> None:
    """Protects who builds with a stranger's files: YAML can spell any character in double quotes, and none of them reaches the terminal from
    a player's name, a list's title, a singer's name or a lick's."""
    spelled = "".join(c if c.isascii() and c.isprintable() else f"\\u{ord(c):04x}" for c in STEERING[name])
    pail = write("pail.chartc", chart())
    files = {
        "wend.yaml": f'player: "{spelled}"\n"{spelled}": 3\ninstrument: "{spelled}"\nlicks: "{spelled}.yaml"\n',
        "barn.yaml": f'set-list: "{spelled}"\nsingers: "{spelled}"\nsongs:\n  - chart: "{spelled}.chartc"\n    key: "{spelled}"\n',
        "licks.yaml": f'licks:\n  - name: "{spelled}"\n    role: "{spelled}"\n    chord: "{spelled}"\n',
        "mine.yaml": "player: Wend\nlicks: licks.yaml\n",
    }
    paths = {file: write(file, text) for file, text in files.items()}
    for said in (
        run("check", pail, "--player", paths["wend.yaml"]),
        run("check", pail, "--player", paths["mine.yaml"]),
        run("build", paths["barn.yaml"], "--out", tmp_path / "out"),
        run("build", pail, "--out", tmp_path / "out", "--keys", STEERING[name]),
    ):
        assert said.code in (1, 2)
        assert said.err and quiet(said.err), said.err
        assert quiet(said.out)


@pytest.mark.parametrize("title", BRACKETS)
def test_titles_in_a_pdf(title: str, run: Command, write: Write, tmp_path: Path) -> None:
    """Protects the sheet: a title of brackets and backslashes is that title in the text, in the document's properties and in its outline, and
    nothing of it is obeyed."""
    written = title.replace(";", ";;")
    text = chart().replace("Pail by the Door", written).replace("meter ", f"credit {written}\nmeter ")
    ran = run("build", write("pail.chartc", text), "--out", tmp_path / "out", "--sheet", "backup, cues")
    assert (ran.code, ran.err) == (0, "")
    for kind in ("backup", "cues"):
        path = tmp_path / "out" / f"pail-G-{kind}.pdf"
        document: Any = pypdfium2.PdfDocument(path)
        assert document.get_metadata_dict()["Title"].startswith(title)
        assert document.get_metadata_dict()["Author"] == title
        printed = document[0].get_textpage().get_text_range()
        assert title.replace(" ", "") in "".join(printed.split())
        outline = [b.get_title() for b in document.get_toc()]
        assert outline[0].startswith(title)
        assert b"/JavaScript" not in path.read_bytes().replace(b"/JavaScript <<", b"")


def test_line_ends_in_the_title_of_a_set_list(run: Command, write: Write, tmp_path: Path) -> None:
    """Protects a book's properties: line ends and brackets in a title, which YAML can spell, neither end the PDF's text nor the book."""
    write("pail.chartc", chart())
    listed = write("barn.yaml", 'set-list: "Barn (one\\r\\n) \\\\ two"\nsongs: [pail.chartc]\n')
    ran = run("build", listed, "--out", tmp_path / "out")
    assert ran.code in (0, 1)
    books = list((tmp_path / "out").glob("*.pdf"))
    assert bool(books) == (ran.code == 0)
    for path in books:
        document: Any = pypdfium2.PdfDocument(path)
        assert "Barn (one" in document.get_metadata_dict()["Title"]
        assert ") \\ two" in document.get_metadata_dict()["Title"]


TAGS = (
    "!!python/object/apply:os.mkdir [{place}]",
    "!!python/object/new:os.mkdir [{place}]",
    "!!python/name:os.mkdir",
    "!!python/module:antigravity",
    "!!python/object/apply:subprocess.run [[mkdir, {place}]]",
    "!<tag:yaml.org,2002:python/object/apply:os.mkdir> [{place}]",
    "&a [*a]",
    "!!binary aGk=",
)


@pytest.mark.parametrize("tag", TAGS)
def test_yaml_builds_nothing(tag: str, run: Command, write: Write, tmp_path: Path) -> None:
    """Protects the machine: in every kind of YAML file a tag is a mistake with its place, and nothing is made or called."""
    value = tag.format(place=tmp_path / "made")
    pail = write("pail.chartc", chart())
    write("singers.yaml", f"singers:\n  - name: {value}\n")
    write("licks.yaml", f"licks:\n  - name: {value}\n")
    write("rules.yaml", f"rules: {value}\n")
    runs = {
        "barn.yaml": run(
            "build", write("barn.yaml", f"set-list: {value}\nsongs: [pail.chartc]\n"), "--out", tmp_path / "o"
        ),
        "book.yaml": run("build", write("book.yaml", f"songbook: A\ncharts: {value}\n"), "--out", tmp_path / "o"),
        "a.yaml": run("check", pail, "--player", write("a.yaml", f"player: {value}\n")),
        "licks.yaml": run("check", pail, "--player", write("b.yaml", "player: W\nlicks: licks.yaml\n")),
        "rules.yaml": run("check", pail, "--player", write("c.yaml", "player: W\nrules: rules.yaml\n")),
        "singers.yaml": run("keys", pail, "--singers", tmp_path / "singers.yaml"),
    }
    for name, ran in runs.items():
        assert ran.code == 1, (name, ran)
        assert f"{name}:" in ran.err
        assert "[yaml-tag]" in ran.err or "[yaml-alias]" in ran.err, (name, ran.err)
    assert not (tmp_path / "made").exists()
    assert not (tmp_path / "o").exists() or not files_below(tmp_path / "o")


def many_sections(count: int) -> str:
    """A chart with so many sections, each played once."""
    head = chart().split("section")[0]
    return head + "".join(f"section part {n}, 1 measure\n| G |\n" for n in range(count))


LIMITS: dict[str, tuple[str, str]] = {
    "sections": (many_sections(20_000), "limit-sections"),
    "a form that plays on": (chart() + "form " + "verse, " * 900 + "verse\n", ""),
    "a long form": (
        chart().replace("section", ("form " + "verse, " * 900 + "verse\n") * 40 + "section"),
        "limit-form",
    ),
    "repeats in repeats": (
        chart().split("section")[0] + "section verse, 1 measure\n" + "repeat 12 times\n" * 5000,
        "repeat-",
    ),
    "measures": (chart(chords="G | " * 2000 + "G").replace("4 measures", "2001 measures") * 30, ""),
    "borrowed without end": (
        chart().split("section")[0] + "".join(f"section part {n} as part {n + 1}\n" for n in range(5000)),
        "",
    ),
    "endings": (
        chart().split("section")[0]
        + "section verse, 4 measures\nrepeat\n| G |\n"
        + "".join(f"ending {n}\n| G |\n" for n in range(9000))
        + "end repeat\n",
        "ending-",
    ),
}


@pytest.mark.parametrize("name", LIMITS)
def test_limits_of_a_chart(name: str, run: Command, write: Write) -> None:
    """Protects from a chart that is small on the disk and has no end when it is played: it is refused soon, in few words."""
    text, code = LIMITS[name]
    start = time.monotonic()
    ran = run("check", write("pail.chartc", text))
    # generous: a busy machine must not fail it
    assert time.monotonic() - start < 30
    assert ran.code == 1
    assert f"[{code}" in ran.err
    assert len(ran.err) < 60_000


def test_limits_of_keys(run: Command, write: Write, tmp_path: Path) -> None:
    """Protects from keys without end: each is built once however often it is asked for, and a word that is no key is said once."""
    path = write("pail.chartc", chart())
    ran = run("build", path, "--out", tmp_path / "out", "--sheet", "chords", "--keys", ", ".join(["G", "A"] * 5000))
    assert ran.code == 0
    assert files_below(tmp_path / "out") == {"pail-G-chords.pdf", "pail-A-chords.pdf"}
    ran = run("build", path, "--out", tmp_path / "out", "--keys", "H, " * 5000 + "H")
    assert ran.code == 2
    assert len(ran.err) < 20_000


def test_limits_of_licks(run: Command, write: Write) -> None:
    """Protects from a library without end: more licks than are read are refused, with the number that is."""
    pail = write("pail.chartc", chart())
    lick = (
        '  - {name: own-%d, role: ending, about: mine, chord: G, difficulty: 1, strings: "4 4 3 _", frets: "0 2 0 _", '
        'picks: "I T I _"}\n'
    )
    write("licks.yaml", "licks:\n" + "".join(lick % n for n in range(2500)))
    start = time.monotonic()
    ran = run("check", pail, "--player", write("wend.yaml", "player: Wend\nlicks: licks.yaml\n"))
    assert time.monotonic() - start < 30
    assert ran.code == 1
    assert "[lick-limit]" in ran.err
    assert "2000" in ran.err.replace(",", "")
