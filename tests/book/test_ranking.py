"""Keys for singers: the ranking against every key and octave tried one by one."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from chartc.book.ranking import Sung, chosen, ranked, trio
from chartc.book.retuning import MOST_EXACT, TUNED, Stand, least, moves, stand, total, work
from chartc.book.singers import VOICES, Range, Singer
from chartc.chart.song import Melody
from chartc.cli import main
from chartc.theory.key import parse_key
from tests.book.charts import band


@st.composite
def singers(draw: st.DrawFn) -> Singer:
    """Any singer, comfortable within the range."""
    low = draw(st.integers(36, 62))
    high = low + draw(st.integers(8, 28))
    inner = draw(st.integers(low, high - 4))
    return Singer(
        "A", Range(low, high), Range(inner, draw(st.integers(inner + 3, high))), draw(st.sampled_from(list(VOICES)))
    )


def judged(moved: int, melody: Melody, sung: list[Sung]) -> tuple[int, int, int]:
    """What is missing, what strains and how far off the middle a melody lies, counted note by note, in another way than the program's."""
    missing = strain = 0
    off = 0.0
    for one in sung:
        low, high = melody.low + moved + one.voice.at_low, melody.high + moved + one.voice.at_high
        sings = range(one.singer.range.low, one.singer.range.high + 1)
        good = range(one.singer.comfortable.low, one.singer.comfortable.high + 1)
        missing += sum(1 for _ in range(low, sings[0])) + sum(1 for _ in range(sings[-1] + 1, high + 1))
        strain += sum(1 for _ in range(low, good[0])) + sum(1 for _ in range(good[-1] + 1, high + 1))
        off += abs((low + high) / 2 - (good[0] + good[-1]) / 2)
    return missing, strain, round(off * 2)


any_song = given(
    st.lists(singers(), min_size=1, max_size=3),
    st.integers(45, 70),
    st.integers(3, 20),
    st.sampled_from(["G", "Bb", "F#", "A minor", "E dorian", "D mixolydian"]),
)
"""Singers, the melody's lowest note and its span, and its key."""


@any_song
def test_the_best_key_is_the_best_of_all(group: list[Singer], low: int, span: int, word: str) -> None:
    """Protects the singer: no key in no octave is better than the first, each of the twelve is there once, and the order is that of comfort."""
    key = parse_key(word)
    assert key is not None
    melody = Melody(low, low + span)
    sung = list(trio(group))
    found = ranked(key, melody, sung)
    assert len({f.key.tonic * 7 % 12 for f in found}) == 12
    every = {moved: judged(moved, melody, sung) for moved in range(-36, 48)}
    best = min(every.values())
    assert (found[0].missing, found[0].strain, found[0].off) == best
    scores = []
    for f in found:
        assert (f.key.tonic * 7 - key.tonic * 7 - f.moved) % 12 == 0
        assert (f.melody.low, f.melody.high) == (low + f.moved, low + span + f.moved)
        assert (f.missing, f.strain, f.off) == every[f.moved]
        assert every[f.moved] == min(every[m] for m in every if (m - f.moved) % 12 == 0)
        scores.append(every[f.moved])
    assert scores == sorted(scores)


def test_the_harmony_sets_the_ceiling() -> None:
    """Protects the tenor: a key that suits the lead alone is not taken where the part above would lie too high."""
    melody, key = Melody(62, 71), parse_key("G")
    assert key is not None
    lead = Singer("Lead", Range(55, 74), Range(59, 71))
    tenor = Singer("Tenor", Range(55, 73), Range(57, 72), "tenor")
    alone = ranked(key, melody, trio([lead]))[0]
    both = ranked(key, melody, trio([lead, tenor]))[0]
    assert alone.melody.high + VOICES["tenor"].at_high > tenor.range.high
    assert both.missing == 0 and both.melody.high + VOICES["tenor"].at_high <= tenor.range.high
    assert both.key != alone.key


@any_song
def test_a_band_takes_the_plain_key_next_to_an_odd_one(group: list[Singer], low: int, span: int, word: str) -> None:
    """Protects the band from six sharps for half a semitone of comfort: nothing strains more than in the best key, the melody lies at most
    a semitone farther off for each singer, and no key that is as near has fewer sharps or flats."""
    key = parse_key(word)
    assert key is not None
    found = ranked(key, Melody(low, low + span), list(trio(group)))
    best, taken = found[0], chosen(found)
    near = [
        f for f in found if (f.missing, f.strain) == (best.missing, best.strain) and f.off - best.off <= 2 * len(group)
    ]
    assert taken in near
    assert abs(taken.key.signature) == min(abs(f.key.signature) for f in near)


def test_g_is_taken_for_f_sharp() -> None:
    """Protects an ordinary evening: the melody lies best in F♯, as comfortably in G."""
    key = parse_key("G")
    assert key is not None
    found = ranked(key, Melody(62, 71), trio([Singer("Lead", Range(55, 76), Range(58, 73))]))
    assert found[0].key.label == "F♯" and chosen(found).key.label == "G"


STANDS = [Stand(0, 0), Stand(0, 7), Stand(0, 9), Stand(0, 10), Stand(1, 0), Stand(2, 0)]


@given(st.lists(st.sampled_from(STANDS), max_size=6), st.sampled_from(STANDS))
def test_no_order_takes_less_retuning(stands: list[Stand], start: Stand) -> None:
    """Protects the promise "least": every order of the songs is tried."""
    from itertools import permutations

    order = least(stands, start)
    assert sorted(order) == list(range(len(stands)))
    best = min((total([stands[n] for n in p], start) for p in permutations(range(len(stands)))), default=0)
    assert total([stands[n] for n in order], start) == best
    assert len(set(STANDS)) <= MOST_EXACT


def test_songs_of_one_stand_keep_their_order() -> None:
    """Protects the bandleader's list: only as much is moved as is needed."""
    a, b = Stand(0, 0), Stand(0, 7)
    assert least([a, b, a, b, a]) == (0, 2, 4, 1, 3)
    assert least([b, b, a]) == (2, 0, 1)
    assert (moves([b, a, b]), moves([a, b, b]), work(TUNED, Stand(2, 0))) == (3, 1, 3)
    assert (stand(7, 69, 67), stand(0, 67, 67), stand(0, 68, 67)) == (Stand(0, 7), TUNED, Stand(1, 0))


def test_keys_for_programs(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Protects scripts: the form of the JSON, the notes as MIDI numbers, the key that is insisted on."""
    band(tmp_path)
    ran = main(["keys", str(tmp_path / "one.chartc"), "--singers", str(tmp_path / "singers.yaml"), "--format", "json"])
    songs = json.loads(capsys.readouterr().out)["songs"]
    assert ran == 0
    assert [s["singers"] for s in songs] == [["Ada Moss"], ["Jory Pell"]]
    first = songs[0]["keys"][0]
    assert (first["key"], first["melody"], first["fits"], first["strain"]) == ("F#", [61, 70], True, 0)
    assert first["cost"] > 0 and set(first["fifth_string"]) == {"fret", "pitch", "words"}
    assert songs[1]["fixed"] == "E" and songs[0]["fixed"] is None


def test_a_song_that_fits_nobody_says_by_how_much(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Protects the band from a surprise: by how many semitones no key fits, for whom, in words; and a set list warns of it."""
    path = band(tmp_path)
    (tmp_path / "singers.yaml").write_text(
        "singers:\n  - {name: Ada Moss, range: C4 to G4}\n  - {name: Jory Pell, range: G2 to E4}\n", encoding="utf-8"
    )
    assert (
        main(
            ["keys", str(tmp_path / "one.chartc"), "--singers", str(tmp_path / "singers.yaml"), "--singer", "Ada Moss"]
        )
        == 0
    )
    said = capsys.readouterr().out
    assert "no key fits; the nearest:" in said
    # nine semitones of melody, seven of range
    assert "2 semitones too high for Ada Moss" in said
    text = path.read_text(encoding="utf-8").replace("sings: Ada Moss", "sings: [Ada Moss, Jory Pell]")
    path.write_text(text, encoding="utf-8")
    assert main(["build", str(path), "--out", str(tmp_path / "out")]) == 0
    said = capsys.readouterr().err
    # a set list takes no part: the help names the file that does
    assert (
        "[song-range]" in said
        and "another part in the singers file for who sings along (such as part: baritone)" in said
    )


def test_a_fixed_key_wins_and_is_warned_about(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Protects the leader's word: the key stands, and the warning stands at its place in the list, with a key that fits."""
    path = band(tmp_path)
    text = path.read_text(encoding="utf-8").replace(
        "        kickoff: fiddle", "        key: C\n        kickoff: fiddle"
    )
    path.write_text(text, encoding="utf-8")
    assert main(["build", str(path), "--out", str(tmp_path / "out")]) == 0
    line = next(n for n, row in enumerate(text.splitlines(), 1) if row.strip() == "key: C")
    assert f"evening.yaml:{line}:14: warning: C for" in (err := capsys.readouterr().err)
    assert "too high for Ada Moss" in err or "too low for Ada Moss" in err


def test_keys_says_what_it_needs(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Protects who asks for the first time: without singers, or with one who is not in the file, exit 2 and what to write."""
    band(tmp_path)
    one, singers = str(tmp_path / "one.chartc"), str(tmp_path / "singers.yaml")
    for options, words in (
        ([one], "--singers FILE.yaml"),
        ([one, "--singers", singers, "--singer", "Ada Mos"], 'there is "ada moss"'),
        ([one, "--singers", str(tmp_path / "nobody.yaml")], "nobody.yaml"),
        ([str(tmp_path / "nowhere.chartc"), "--singers", singers], "nowhere.chartc"),
    ):
        assert main(["keys", *options]) == 2
        assert words.lower() in capsys.readouterr().err.lower()


def test_a_duet_in_words(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Protects the band at the table: two singers together, their parts, the fixed key marked, and what it costs the banjo."""
    path = band(tmp_path)
    text = path.read_text(encoding="utf-8").replace("sings: Jory Pell", "sings: [Jory Pell, Ada Moss]\n        key: D")
    path.write_text(text, encoding="utf-8")
    assert main(["keys", str(path)]) == 0
    said = capsys.readouterr().out
    assert "Jory Pell, G2 to E4 and Ada Moss (tenor), A3 to D5, comfortable C4 to B4" in said
    assert "D (fixed)" in said and "banjo: costs" in said and "5th string:" in said
