"""Set lists and songbooks as documents, read back by a second library and by qpdf."""

from __future__ import annotations

import shutil
import subprocess
from pathlib import Path
from typing import Any

import pypdfium2
import pypdfium2.raw as raw
import pytest

from chartc.book.binding import NOT_FILLED
from chartc.cli import main
from tests.book.charts import SET_LIST, band, chart, texts


def build(path: Path, *more: str) -> Path:
    """Builds a list and gives the folder of outputs."""
    out = path.parent / "out"
    assert main(["build", str(path), "--out", str(out), *more]) == 0
    return out


def links(document: Any) -> list[tuple[int, int]]:
    """Every link: the page that it is on and the page that it leads to, from 0."""
    found = []
    for number in range(len(document)):
        page = document[number]
        place, link = raw.c_int(0), raw.FPDF_LINK()
        while raw.FPDFLink_Enumerate(page, place, link):
            target = raw.FPDFDest_GetDestPageIndex(document, raw.FPDFLink_GetDest(document, link))
            found.append((number, target))
    return found


def outline(document: Any) -> list[tuple[int, str, int]]:
    """The outline: depth, words, page from 0."""
    return [(b.level, b.get_title(), b.get_dest().get_index()) for b in document.get_toc()]


@pytest.fixture(scope="module")
def evening(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The book of a small set list."""
    folder = tmp_path_factory.mktemp("evening")
    return build(band(folder)) / "evening.pdf"


def test_the_set_page_says_what_a_band_must_know(evening: Path) -> None:
    """Protects the evening: order, key, meter, tempo, singer, kickoff, ending, fifth string, notes, times."""
    first = texts(evening)[0]
    for words in (
        "At the Weir", "Saturday 1 May 2027", "the Weir", "First set", "Second set", "Weir Song", "4/4", "quarter = 120", "Ada Moss sings",
        "kickoff: fiddle", "ending: dead stop", "5th string:", "softly", "3:30",
    ):  # fmt: skip
        assert words in first, words
    titles = [first.index(t) for t in ("Weir Song", "Long Barge", "Alder Row")]
    assert titles == sorted(titles)


def test_each_song_is_in_its_key(evening: Path) -> None:
    """Protects the singer: a fixed key wins, the key that a singer insists on comes next, then the one that suits best, then the
    chart's own."""
    pages = "\n".join(texts(evening)[2:])
    # Ada Moss, comfortable from C4 to B4, sings D4 to B4 best a half step lower: as well in G as in F♯
    assert "key G" in pages and "key F♯" not in pages and "key A" in pages
    # Jory Pell insists on E for one.chartc only; three.chartc comes in his best key and in D
    assert "key D" in pages
    assert "key G" in pages


def test_songs_of_two_pages_lie_open(evening: Path) -> None:
    """Protects hands that play: a song of several pages begins on the left, that is on an even page."""
    pages = texts(evening)
    begun = [
        n
        for n, text in enumerate(pages, 1)
        if "Long Barge" in text and "page 1 of" in text and "page 1 of 1" not in text
    ]
    assert begun and all(n % 2 == 0 for n in begun)


def test_pages_follow_at_once_where_they_need_not_face(tmp_path: Path) -> None:
    """Protects paper for one-sided prints: with `facing-pages: no` no page is left empty so that a song begins on the left."""
    (tmp_path / "yes").mkdir()
    (tmp_path / "no").mkdir()
    # a song of one page before one of several: it must wait for a left page, or need not
    listed = "songbook: Loft\ncharts: [one.chartc, two.chartc, three.chartc]\norder: as listed\n"
    counts = []
    for folder, line in (("yes", ""), ("no", "facing-pages: no\n")):
        book = texts(build(band(tmp_path / folder, listed + line)) / "evening.pdf")
        counts.append((len(book), sum(NOT_FILLED in text for text in book)))
    (with_facing, empty), (without, none) = counts
    assert none == 0 < empty
    assert with_facing - without == empty


def test_links_and_outline_lead_to_the_songs(evening: Path) -> None:
    """Protects who leafs on a screen: every link and every outline entry leads to the page on which that song begins."""
    document: Any = pypdfium2.PdfDocument(str(evening))
    pages = texts(evening)
    starts = {n for n, text in enumerate(pages) if "page 1 of" in text}
    found = links(document)
    # set page and contents have four songs each; the index by title four, by key five (one song is in two keys)
    assert len(found) == 4 + 4 + 4 + 5
    assert {target for _, target in found} <= starts
    entries = outline(document)
    assert [words for depth, words, _ in entries if depth == 0] == [
        "At the Weir", "Contents", "First set", "Second set", "Index by title", "Index by key",
    ]  # fmt: skip
    for depth, words, target in entries:
        if depth == 1:
            assert words.split(" (")[0] in pages[target]
            assert "page 1 of" in pages[target]


def test_page_labels_and_numbers_agree(evening: Path) -> None:
    """Protects who looks a page up: the number that is printed, that of the index and that of the reader are one."""
    document: Any = pypdfium2.PdfDocument(str(evening))
    pages = texts(evening)
    for n, text in enumerate(pages, 1):
        assert document.get_page_label(n - 1) == str(n)
        assert str(n) in text.split()
    start = next(n for n, text in enumerate(pages, 1) if "Alder Row" in text and "page 1 of" in text)
    line = next(row for row in pages[1].splitlines() if "Alder Row" in row)
    following = pages[1][pages[1].index(line) :].split()
    assert str(start) in following[:6]


@pytest.mark.skipif(not shutil.which("qpdf"), reason="qpdf is not on this machine")
def test_qpdf_finds_nothing_in_a_book(evening: Path) -> None:
    """Protects the file's syntax: a strict reader has no error and no warning."""
    done = subprocess.run(["qpdf", "--check", str(evening)], capture_output=True, text=True, check=False)
    assert done.returncode == 0 and "WARNING" not in done.stdout + done.stderr, done.stdout + done.stderr


def test_a_songbook_stands_in_order_of_title(tmp_path: Path) -> None:
    """Protects a songbook: all charts that its patterns mean, each once, by title; in every key that is asked for, together."""
    (tmp_path / "songs").mkdir()
    for n, title in enumerate(("Weir", "Alder", "Moss")):
        (tmp_path / "songs" / f"{n}.chartc").write_text(chart(title), encoding="utf-8")
    path = tmp_path / "all.yaml"
    path.write_text("songbook: All of It\nkeys: [G, Bb]\ncharts: [songs, songs/*.chartc]\n", encoding="utf-8")
    pages = texts(build(path) / "all.pdf")
    order = [next(t for t in ("Weir", "Alder", "Moss") if t in text) for text in pages if "page 1 of 1" in text]
    assert order == ["Alder", "Alder", "Moss", "Moss", "Weir", "Weir"]
    assert "3 songs" in pages[0]


def test_a_book_for_each_player(tmp_path: Path) -> None:
    """Protects the band: each player's own sheets, paper and name, in a file of the player's name."""
    path = band(tmp_path, SET_LIST.replace("sets:", "players: [ann.yaml, bo.yaml]\nsets:", 1))
    (tmp_path / "ann.yaml").write_text("player: Ann Reed\n", encoding="utf-8")
    (tmp_path / "bo.yaml").write_text("player: Bo Hythe\nsheet: chords\npaper: letter\n", encoding="utf-8")
    out = build(path)
    assert {p.name for p in out.iterdir() if p.is_file()} == {"evening-ann.pdf", "evening-bo.pdf"}
    ann, bo = texts(out / "evening-ann.pdf"), texts(out / "evening-bo.pdf")
    assert "for Ann Reed" in ann[0] and "for Bo Hythe" in bo[0]
    assert "T I M" in "".join(ann) and "T I M" not in "".join(bo)
    document: Any = pypdfium2.PdfDocument(str(out / "evening-bo.pdf"))
    assert document[0].get_size() == pytest.approx((612, 792))


def test_least_retuning_is_shown_and_only_if_asked(tmp_path: Path) -> None:
    """Protects the bandleader's order: it stays, unless less retuning is asked for; then the page says what that gains."""
    listed = "set-list: Turns\nsets:\n  - songs:\n" + "".join(
        f"      - {{song: {n}.chartc, key: {k}}}\n" for n, k in enumerate("GAGA")
    )
    for n in range(4):
        (tmp_path / f"{n}.chartc").write_text(chart(f"Song {'abcd'[n]}"), encoding="utf-8")
    path = tmp_path / "turns.yaml"
    path.write_text(listed, encoding="utf-8")
    page = texts(build(path) / "turns.pdf")[0]
    assert [c for _, c in sorted((page.index(f"Song {c}"), c) for c in "abcd")] == list("abcd")
    assert "as listed" not in page
    path.write_text(listed.replace("sets:", "order: least retuning\nsets:", 1), encoding="utf-8")
    page = texts(build(path) / "turns.pdf")[0]
    assert [c for _, c in sorted((page.index(f"Song {c}"), c) for c in "abcd")] == list("acbd")
    assert "1 move, 3 as listed" in page


def test_a_bad_chart_does_not_stop_the_book(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Protects an evening from one mistake: the others are bound, the chart is named, the exit is 1."""
    path = band(tmp_path)
    (tmp_path / "two.chartc").write_text(chart("Long Barge").replace("| D7 |", "|"), encoding="utf-8")
    out = tmp_path / "out"
    assert main(["build", str(path), "--out", str(out)]) == 1
    assert "two.chartc:" in capsys.readouterr().err
    assert "Long Barge" not in "".join(texts(out / "evening.pdf"))
    assert "Alder Row" in "".join(texts(out / "evening.pdf"))


def test_large_print_keeps_each_players_paper(tmp_path: Path) -> None:
    """Protects a player whose printer takes Letter: large print and landscape change the print, not the paper."""
    path = band(tmp_path, SET_LIST.replace("sets:", "players: [bo.yaml]\nsets:", 1))
    (tmp_path / "bo.yaml").write_text("player: Bo Hythe\nsheet: chords\npaper: letter\n", encoding="utf-8")
    out = build(path, "--large", "--landscape")
    document: Any = pypdfium2.PdfDocument(str(out / "evening-bo.pdf"))
    assert document[0].get_size() == pytest.approx((792, 612))


def test_songs_to_play_along_with_stand_in_the_books_order(tmp_path: Path) -> None:
    """Protects practice for a set: a play-along file and a notation for each song in its singer's key, sorted as the set is."""
    out = build(band(tmp_path), "--midi", "--musicxml", "--tempos", "60, 100")
    midi = sorted(p.name for p in out.glob("*.mid"))
    assert [name.split("-")[1:4] for name in midi] == [
        ["1", "01", "one"], ["1", "02", "two"], ["2", "01", "three"], ["2", "01", "three"], ["2", "02", "one"],
    ]  # fmt: skip
    assert "evening-1-02-two-A-backup.mid" in midi
    assert sorted(p.stem for p in out.glob("*.musicxml")) == sorted(p.stem for p in out.glob("*.mid"))
    before = {p: p.stat().st_mtime_ns for p in out.glob("*.mid")}
    build(tmp_path / "evening.yaml", "--midi", "--musicxml", "--tempos", "60, 100")
    assert before == {p: p.stat().st_mtime_ns for p in out.glob("*.mid")}


def test_options_that_a_book_does_not_heed_are_said(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Protects against an option that is silently forgotten."""
    build(band(tmp_path), "--ways", "2", "--keys", "G", "--together")
    said = capsys.readouterr().err
    assert all(f"--{option} does nothing here" in said for option in ("ways", "keys", "together"))
