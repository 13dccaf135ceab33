"""The file that the pages stand in: its objects, its strings, its outline."""

from __future__ import annotations

import re
import zlib
from pathlib import Path
from typing import Any

import pypdfium2
import pytest
from hypothesis import given
from hypothesis import strategies as st

from chartc.press import Leaf, Link, bind, draw
from chartc.press.bind import SHORT
from chartc.press.objects import TOGETHER, Objects, text
from chartc.press.outline import Item, write_outline
from chartc.sheet import a4, backup_pages
from chartc.sheet.marks import Entry, Page
from tests.press.reading import inside, objects
from tests.sheet.parts import ordinary


def test_a_reader_finds_every_object() -> None:
    """Protects opening the file: at every place in its table stands the object of that number, none is missing, and wherever one is
    named there is one; what a reader asks for is of the kind it expects."""
    leaves = [Leaf(draw(page), links=(Link((10, 10, 90, 20), 0, "back"),)) for page in backup_pages(ordinary(), a4)]
    # so many that they do not go into one stream
    data = bind(leaves * 20, "x")
    things = objects(data)
    assert len(things) > 2 * TOGETHER
    named = {int(m) for thing in things.values() for m in re.findall(rb"(\d+) 0 R", thing.partition(b"stream\n")[0])}
    assert named <= things.keys()
    assert len([t for t in things.values() if b"/Type /Page /" in t]) == len(leaves) * 20
    table = things[max(things)]
    root, info = re.search(rb"/Root (\d+) 0 R /Info (\d+) 0 R", table).groups()  # type: ignore[union-attr]
    assert b"/Type /Catalog" in things[int(root)]
    assert b"/Title (x)" in things[int(info)]


def test_few_objects_stand_alone() -> None:
    """Protects small files: what is no stream is packed with others, and what must stand alone (ISO 32000-1, 7.5.7) does."""
    data = bind([Leaf(draw(page)) for page in backup_pages(ordinary(), a4)], "x")
    alone = re.findall(rb"\n\d+ 0 obj\n(.*?)\n", data)
    assert alone
    assert all(b"/Length " in thing for thing in alone)


def test_a_song_is_squeezed_and_a_book_is_not() -> None:
    """Protects both small sheets and quick books: the pages of a short document take fewer bytes, and are the same; those of a long
    one go into it as they were drawn."""
    leaf = Leaf(draw(backup_pages(ordinary(), a4)[0]))
    long, short = bind([leaf] * (SHORT + 1), "x"), bind([leaf] * SHORT, "x")
    assert long.count(leaf.drawn.content) == SHORT + 1
    assert leaf.drawn.content not in short
    assert len(long) - len(short) > len(leaf.drawn.content) + 100 * SHORT
    drawn = zlib.decompress(leaf.drawn.content)
    assert [inside(t) for t in objects(short).values() if b"stream\n" in t].count(drawn) == SHORT


def test_an_object_that_was_promised_must_be_written() -> None:
    """Protects against a file in which a reference leads nowhere."""
    file = Objects()
    root = file.add(b"<< >>")
    file.numbers()
    with pytest.raises(AssertionError, match="not written"):
        file.end(root, root)


@given(st.text(st.characters(codec="utf-8"), max_size=30))
def test_words_are_read_back(words: str) -> None:
    """Protects titles and outlines: brackets, backslashes, line ends and every alphabet come back from a reader as they went in.
    Form of the strings: ISO 32000-1, 7.3.4 and 7.9.2."""
    written = text(words)
    if written.startswith(b"<"):
        assert bytes.fromhex(written[1:-1].decode()).decode("utf-16") == words
    else:
        body = re.sub(rb"\\(\d{3}|.)", lambda m: bytes([int(m[1], 8)]) if len(m[1]) == 3 else m[1], written[1:-1])
        assert body.decode("ascii") == words
        assert not re.search(rb"(?<!\\)[()]", re.sub(rb"\\\\", b"", written[1:-1]))


def test_a_title_comes_back_from_a_reader() -> None:
    """Protects the same by a second program."""
    for words in ("Šumava (slow) \\ 2", "plain (not slow", "a\\", "\N{MUSICAL SYMBOL G CLEF} high"):
        document: Any = pypdfium2.PdfDocument(bind([Leaf(draw(Page(a4, (), "1")))], words, words))
        assert document.get_metadata_dict()["Title"] == words
        assert document.get_metadata_dict()["Author"] == words


def test_an_outline_counts_what_it_shows() -> None:
    """Protects the outline: an open line counts all lines that are shown below it, a closed one those that would be, as a negative
    number; lines of one depth know their neighbours. Source of the rule: ISO 32000-1, 12.3.3, table 153."""
    file = Objects()
    items = [
        Item("set one", 0, b"[9]", True),
        Item("song", 1, b"[9]", False),
        Item("verse", 2, b"[9]", False),
        Item("chorus", 2, b"[9]", False),
        Item("song again", 1, b"[9]", False),
        Item("set two", 0, b"[9]", False),
        Item("last song", 1, b"[9]", True),
        Item("tag", 2, b"[9]", False),
    ]
    root = write_outline(file, items)
    data = b"\n".join(objects(file.end(root, root)).values())
    said = {
        m[1].decode(): {k.decode(): int(v) for k, v in re.findall(rb"/(\w+) (-?\d+)", m[2])}
        for m in re.finditer(rb"/Title \((.*?)\)(.*?) >>", data)
    }
    assert {name: entry["Count"] for name, entry in said.items() if "Count" in entry} == {
        "set one": 2, "song": -2, "set two": -2, "last song": 1,
    }  # fmt: skip
    whole = re.search(rb"/Type /Outlines /First (\d+) 0 R /Last (\d+) 0 R /Count (\d+)", data)
    assert whole is not None
    assert [int(n) for n in whole.groups()] == [root + 1, root + 6, 4]
    assert said["song"] | {"Dest": 0} == {"Parent": root + 1, "Next": root + 5, "First": root + 3, "Last": root + 4,
                                          "Count": -2, "Dest": 0}  # fmt: skip
    assert said["song again"]["Prev"] == root + 2
    assert "Next" not in said["song again"]


def test_an_outline_never_leaps_down() -> None:
    """Protects the outline of a page whose first entry is a deep one: it is drawn up to where it can stand, as a reader shows."""
    page = Page(a4, (), "1", (Entry("deep", 3, 50.0), Entry("deeper", 3, 60.0), Entry("top", 0, 70.0)))
    document: Any = pypdfium2.PdfDocument(bind([Leaf(draw(page))], "x"))
    assert [(b.level, b.get_title()) for b in document.get_toc()] == [(0, "deep"), (1, "deeper"), (0, "top")]


def test_links_lead_forwards_and_back(tmp_path: Path) -> None:
    """Protects links to pages that are written later than the link, and to pages of another height: the reader comes to the top."""
    tall = Page(a4, (), "1")
    flat = Page(type(a4)(**{**{f: getattr(a4, f) for f in a4.__dataclass_fields__}, "height": 300.0}), (), "2")
    leaves = [
        Leaf(draw(tall), links=(Link((10, 20, 110, 40), 1, "on"),)),
        Leaf(draw(flat), links=(Link((0, 0, 9, 9), 0, ""),)),
    ]
    data = bind(leaves, "x")
    document: Any = pypdfium2.PdfDocument(data)
    assert [document[n].get_size()[1] for n in range(2)] == [pytest.approx(a4.height, abs=0.01), 300.0]
    raw: Any = pypdfium2.raw
    for number, (to, top, box) in enumerate(
        [(1, 300.0, (10, a4.height - 40, 110, a4.height - 20)), (0, a4.height, (0, 291, 9, 300))]
    ):
        place, link, rect = raw.c_int(0), raw.FPDF_LINK(), raw.FS_RECTF()
        assert raw.FPDFLink_Enumerate(document[number], place, link)
        found = raw.FPDFLink_GetDest(document, link)
        assert raw.FPDFDest_GetDestPageIndex(document, found) == to
        has = [raw.c_int(0) for _ in range(3)]
        at = [raw.c_float(0) for _ in range(3)]
        assert raw.FPDFDest_GetLocationInPage(found, *has, *at)
        assert at[1].value == pytest.approx(top, abs=0.01)
        assert raw.FPDFLink_GetAnnotRect(link, rect)
        assert (rect.left, rect.bottom, rect.right, rect.top) == pytest.approx(box, abs=0.01)
