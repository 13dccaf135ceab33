"""The PDF: read back, checked, and the same every time."""

from __future__ import annotations

import re
import shutil
import subprocess
import tempfile
import zlib
from dataclasses import replace
from pathlib import Path
from typing import Any

import pypdfium2
import pytest

from chartc.press import draw, pdf
from chartc.sheet import PAPERS, SHEETS, a4, backup_pages, chord_pages, letter
from chartc.sheet.label import by_letter
from chartc.sheet.marks import Page, Text
from chartc.theory.chord import Chord, all_suffixes, quality
from chartc.type.faces import FACES, shown, widths
from tests.press.reading import objects, without_fonts
from tests.sheet.parts import FIXTURES, ordinary, split


def build(name: str, paper: str = "a4") -> bytes:
    """A fixture's backup sheet as PDF."""
    made = FIXTURES[name]()
    return pdf(backup_pages(made, PAPERS[paper]), made.song.title, made.song.credit)


def text_of(data: bytes) -> str:
    """All text of a document, page by page."""
    document: Any = pypdfium2.PdfDocument(data)
    return "\n".join(page.get_textpage().get_text_range() for page in document)


@pytest.mark.skipif(not shutil.which("qpdf"), reason="qpdf is not on this machine")
@pytest.mark.parametrize("name", FIXTURES)
def test_qpdf_finds_nothing(name: str, tmp_path: Path) -> None:
    """Protects the file's syntax: a strict reader has no error and no warning."""
    path = tmp_path / "sheet.pdf"
    path.write_bytes(build(name))
    done = subprocess.run(["qpdf", "--check", str(path)], capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stdout + done.stderr
    assert "WARNING" not in done.stdout + done.stderr


@pytest.mark.parametrize("name", FIXTURES)
def test_marks_are_read_back_in_order(name: str) -> None:
    """Protects the page's text: chord names, fret numbers and pick fingers come out of the PDF as they went in."""
    pages = backup_pages(FIXTURES[name](), a4)
    document: Any = pypdfium2.PdfDocument(pdf(pages, "x"))
    for page, made in zip(document, pages, strict=True):
        got = re.sub(r"\s", "", page.get_textpage().get_text_range())
        for kind in ("chord", "fret", "title"):
            position = 0
            for m in made.marks:
                if isinstance(m, Text) and m.kind == kind:
                    word = shown(m.text).replace(" ", "").replace("\ufffd", "")
                    if "\ufffd" in shown(m.text):
                        continue  # readers differ in how they give back the replacement character
                    found = got.find(word, position)
                    assert found >= 0, (kind, m.text)
                    position = found + len(word)


def test_numbers_stand_where_layout_put_them() -> None:
    """Protects the turning of the page's y: the boxes that a reader finds are the marks' own."""
    pages = backup_pages(ordinary(), a4)
    document: Any = pypdfium2.PdfDocument(pdf(pages, "x"))
    text = document[0].get_textpage()
    boxes: dict[str, list[tuple[float, float]]] = {}
    for i in range(text.count_chars()):
        left, low, _, _ = text.get_charbox(i, loose=False)
        boxes.setdefault(text.get_text_range(i, 1), []).append((left, low))
    for m in pages[0].marks:
        if isinstance(m, Text) and m.kind == "fret":
            assert any(abs(x - m.x) < 1.2 and abs(low - (a4.height - m.y)) < 0.8 for x, low in boxes[m.text[0]]), m


def test_flats_and_sharps_stay_text() -> None:
    """Protects searching and copying: B♭ comes out as B♭, with the characters of The Unicode Standard (U+266D, U+266F)."""
    text = text_of(build("split"))
    assert "D\u266dmaj7" in text
    assert "\u266dm7\u266d5" in text
    assert "F\u266f" in text_of(pdf([Page(a4, (Text(50, 50, "F♯m", "bold", 20, "chord"),), "1")], "x"))


def test_raised_figures_stay_in_their_word() -> None:
    """Protects searching and copying of superscripts: every chord of every quality on every root, at the sizes of both sheets, comes
    out of the PDF as one word in one line."""
    for size in (14.0, 28.0):
        marks = []
        words = []
        for n, suffix in enumerate(all_suffixes()):
            kind = quality(suffix)
            assert kind is not None
            for k, root in enumerate(range(-6, 7)):
                chord = Chord(root, kind, bass=root - 1 if n % 3 == 0 else None)
                words.append(chord.label)
                marks.append(by_letter(chord).text(20 + k * 160.0, 40 + n * 40.0, size))
        wide = replace(a4, width=2200, height=2400)
        got = text_of(pdf([Page(wide, tuple(marks), "1")], "x")).split()
        assert sorted(got) == sorted(words)


@pytest.mark.skipif(not shutil.which("pdftotext"), reason="pdftotext is not on this machine")
def test_flats_by_another_reader(tmp_path: Path) -> None:
    """Protects the same against a second reader, with the accented letters of a long title."""
    for name, words in (("split", "D♭maj7"), ("long_section", "Žluťoučký kůň a Łódź na řece: Ó Dónaill")):
        path = tmp_path / f"{name}.pdf"
        path.write_bytes(build(name))
        done = subprocess.run(["pdftotext", str(path), "-"], capture_output=True, text=True, check=True)
        assert words in done.stdout.replace("\n", " ")


@pytest.mark.parametrize(
    ("paper", "width", "height"),
    [(a4, 210 * 72 / 25.4, 297 * 72 / 25.4), (letter, 8.5 * 72, 11 * 72)],
)
def test_page_sizes(paper: Any, width: float, height: float) -> None:
    """Protects the paper. Sources: ISO 216 (A4 210 mm x 297 mm), ANSI/ASME Y14.1 (8.5 in x 11 in)."""
    document: Any = pypdfium2.PdfDocument(pdf(backup_pages(ordinary(), paper), "x"))
    for page in document:
        assert page.get_size() == (pytest.approx(width, abs=0.01), pytest.approx(height, abs=0.01))


def test_the_same_bytes_every_time() -> None:
    """Protects reproducible builds and the cache, whatever was built before."""
    first = build("ordinary")
    build("long_section")
    assert build("ordinary") == first


def test_codes_do_not_depend_on_other_pages() -> None:
    """Protects binding: a page's content is the same alone and after pages with other characters."""
    plain = Page(a4, (Text(50, 50, "Ł ♭ é ő", "regular", 12, "x"),), "1")
    other = Page(a4, (Text(50, 50, "Žš ♯ ů ñ", "regular", 12, "x"),), "1")

    def content(data: bytes, index: int) -> bytes:
        streams = [
            zlib.decompress(s) for s in re.findall(rb"stream\r?\n(.*?)endstream", data, re.S) if s[:1] == b"\x78"
        ]
        return [s for s in streams if b"BT" in s][index]

    assert content(pdf([plain], "x"), 0) == content(pdf([other, plain], "x"), 1)


def test_metadata_and_labels() -> None:
    """Protects what a library shows of the file: title, author, language, version 1.7, page labels, outline; fonts all embedded
    and no other font mentioned."""
    made = ordinary()
    data = pdf(backup_pages(made, a4), made.song.title, made.song.credit, language="en")
    assert data.startswith(b"%PDF-1.7")
    document: Any = pypdfium2.PdfDocument(data)
    info = document.get_metadata_dict()
    assert info["Title"] == "Ladder to the Ferry"
    assert info["Author"] == "written for this project"
    assert [document.get_page_label(n) for n in range(len(document))] == ["1", "2", "3"]
    titles = [b.get_title() for b in document.get_toc()]
    assert titles == ["Ladder to the Ferry (G)", "kickoff", "verse", "chorus", "break as verse", "tag"]
    things = b"\n".join(objects(data).values())
    assert b"/Lang (en)" in things
    assert b"Helvetica" not in things
    assert things.count(b"/FontFile2") == things.count(b"/Type /FontDescriptor") > 0


def structure(data: bytes) -> list[tuple[str, str]]:
    """The structure as a second reader gives it: role and text of each piece, pieces of one element joined."""
    with tempfile.NamedTemporaryFile(suffix=".pdf") as file:
        Path(file.name).write_bytes(data)
        done = subprocess.run(["pdfinfo", "-struct-text", file.name], capture_output=True, text=True, check=True)
    out: list[tuple[str, str]] = []
    for line in done.stdout.splitlines():
        if line.startswith("    "):
            role, text = out[-1]
            out[-1] = (role, text + line.strip().strip('"'))
        elif line.startswith("  "):
            out.append((line.split()[0], ""))
    return out


@pytest.mark.skipif(not shutil.which("pdfinfo"), reason="pdfinfo is not on this machine")
@pytest.mark.parametrize("name", FIXTURES)
def test_a_screen_reader_gets_title_sections_and_chords(name: str) -> None:
    """Protects who cannot see the page: the structure has the title first, then key, facts and form, then section by section the
    name and the chords in order, and nothing of the tablature. Form of the structure: ISO 32000-1, 14.7, read by another program."""
    made = FIXTURES[name]()
    pages = backup_pages(made, a4)
    read = structure(pdf(pages, "x"))
    assert read[0][0] == "H1"
    assert (
        "".join(t for r, t in read if r == "H1").split()
        == " ".join(shown(m.text) for m in pages[0].marks if isinstance(m, Text) and m.kind == "title").split()
    )
    sections = [(r, t.strip()) for r, t in read if r == "H2"]
    wanted = [shown(m.text) for p in pages for m in p.marks if isinstance(m, Text) and m.kind == "section"]
    assert [t for _, t in sections] == wanted
    chords = [m.text for p in pages for m in p.marks if isinstance(m, Text) and m.kind == "chord"]
    got = " ".join(t for r, t in read if r == "P").split()
    position = 0
    for chord in chords:
        assert chord in got[position:], chord
        position = got.index(chord, position) + 1
    assert "T" not in got  # a pick finger


def languages(data: bytes) -> list[tuple[str, str, str]]:
    """Role, language as written at the element itself, and text of every element of the first page, read by another library."""
    import ctypes

    from pypdfium2 import raw

    def read(call: Any, *args: Any) -> str:
        size = call(*args, None, 0)
        buffer = ctypes.create_string_buffer(size)
        call(*args, buffer, size)
        return buffer.raw.decode("utf-16-le").rstrip("\0")

    document: Any = pypdfium2.PdfDocument(data)
    page = document[0]
    tree = raw.FPDF_StructTree_GetForPage(page.raw)
    out: list[tuple[str, str, str]] = []

    def walk(element: Any) -> None:
        role = read(raw.FPDF_StructElement_GetType, element)
        out.append((role, read(raw.FPDF_StructElement_GetLang, element), ""))
        for n in range(raw.FPDF_StructElement_CountChildren(element)):
            child = raw.FPDF_StructElement_GetChildAtIndex(element, n)
            if child:
                walk(child)

    for n in range(raw.FPDF_StructTree_CountChildren(tree)):
        walk(raw.FPDF_StructTree_GetChildAtIndex(tree, n))
    raw.FPDF_StructTree_Close(tree)
    return out


@pytest.mark.parametrize("kind", SHEETS)
def test_a_songs_own_words_are_in_its_language(kind: str) -> None:
    """Protects who hears a Czech title: title, credit and words are marked as the chart says (ISO 32000-1, 14.9.2), read by another library;
    the sheet's words, chords and sections are in English, the document's language. Without a language nothing is marked."""
    made = ordinary()
    plain = languages(pdf(SHEETS[kind](made, a4), "x"))
    assert {language for _, language, _ in plain} == {""}
    czech = replace(made, song=replace(made.song, language="cs"))
    data = pdf(SHEETS[kind](czech, a4), "x")
    read = languages(data)
    assert len(read) == len(plain)
    assert read[0] == ("Document", "", "")
    own = [
        m for m in SHEETS[kind](czech, a4)[0].marks if isinstance(m, Text) and m.kind in ("title", "credit", "words")
    ]
    rows = len({(m.kind, m.y) for m in own})
    assert [role for role, language, _ in read if language == "cs"] == ["H1"] + ["P"] * (rows - 1)
    assert {language for _, language, _ in read} == {"", "cs"}
    assert any(language == "" for role, language, _ in read if role == "H2")
    assert re.search(rb"/Lang \(en\)", b"".join(map(bytes, objects(data).values())))


def test_the_second_layer_is_passed_over() -> None:
    """Protects the structure of a book: what is drawn over a page is in no element, so that numbers are not given twice."""
    page = Page(a4, (Text(50, 50, "Title", "bold", 12, "title"),), "1")
    assert draw(page).tags == (("H1", (0,), ""),)
    assert draw(page, artifact=True).tags == ()
    assert b"MCID" not in zlib.decompress(draw(page, artifact=True).content)


def test_sheets_are_joined_by_their_pages() -> None:
    """Protects the book and the file of all keys: pages of several sheets and papers follow one another."""
    pages = (*backup_pages(ordinary(), a4), *chord_pages(split().song, letter))
    document: Any = pypdfium2.PdfDocument(pdf(pages, "both"))
    assert len(document) == len(pages)
    assert document[len(pages) - 1].get_size()[0] == pytest.approx(612)


def test_a_document_needs_a_page() -> None:
    """Protects against an empty file that no reader opens."""
    with pytest.raises(ValueError, match="needs a page"):
        pdf([], "nothing")


def test_odd_text_is_written_safely() -> None:
    """Protects the content stream: brackets, backslashes and line ends in a text stay text."""
    words = r"a (b) \c) ((% ]"
    page = Page(a4, (Text(50, 50, words, "regular", 12, "x"),), "1")
    assert words in text_of(pdf([page], words + "\n\0 \\"))


@pytest.mark.parametrize("kind", SHEETS)
def test_size_without_fonts(kind: str) -> None:
    """Protects small files: a song's sheet of each kind, of three pages at most, is under 20 KB without its fonts' programs."""
    made = ordinary()
    pages = SHEETS[kind](made, a4)
    data = pdf(pages, made.song.title)
    assert len(pages) <= 3
    assert len(data) > 15_000
    assert 1000 < without_fonts(data) < 20_000


def test_only_what_is_used_of_a_face_is_embedded() -> None:
    """Protects small files: dashes, curled quotes and western accents stand in a face's first subset, so that it is the only one; with an
    arrow, which stands in the third, the second is not written; a text of nothing but a space still has its font."""
    page = Page(a4, (Text(50, 50, "“é” – ‘ñ’ — ü…", "regular", 12, "x"),), "1")
    assert re.findall(rb"/(F2\+\d) ", b"\n".join(objects(pdf([page], "x")).values())) == [b"F2+0"]
    page = Page(
        a4, (Text(50, 50, "on", "regular", 12, "x"), Text(50, 70, " \N{RIGHTWARDS ARROW}", "regular", 12, "x")), "1"
    )
    things = b"\n".join(objects(pdf([page], "x")).values())
    assert re.findall(rb"/(F2\+\d) ", things) == [b"F2+0", b"F2+2"]
    alone = Page(a4, (Text(50, 50, "  ", "bold", 12, "x"),), "1")
    assert b"/F3+0 " in b"\n".join(objects(pdf([alone], "x")).values())


def test_every_character_is_read_back() -> None:
    """Protects the maps from codes to text: every character of every face, whichever subset it stands in, comes out as it went in."""
    for face in FACES:
        # readers give ligatures back as letters
        known = [chr(c) for c in sorted(widths(face)) if not chr(c).isspace() and c not in (0xFB01, 0xFB02)]
        characters = [c for c in known if shown(c) == c]
        rows = [characters[k : k + 40] for k in range(0, len(characters), 40)]
        marks = [
            Text(20 + 14 * x, 30 + 20 * y, c, face, 9, "x") for y, row in enumerate(rows) for x, c in enumerate(row)
        ]
        document: Any = pypdfium2.PdfDocument(pdf([Page(a4, tuple(marks), "1")], "x"))
        text = document[0].get_textpage()
        got = {c for c in text.get_text_range() if not c.isspace()}
        assert not set(characters) - got, face
