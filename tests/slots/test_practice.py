"""What good backup does, one point after the other: each weight and each rule of the house, switched on, changes the choice in the
wanted direction. What counts as good: common practice of the trade, no source."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise

import pytest

from chartc.slots.candidate import PLACES
from chartc.slots.part import FilledSlot
from chartc.slots.rulebook import WEIGHTS, Rulebook
from tests.slots.small import flat, house, library, means, part, ruled, song, weighing

# licks over open G, each with its one merit or fault
PLAIN = "{name: plain, role: roll, strings: 3 2 1 2 3 2 1 2, picks: T I M I T I M I}"
OTHER = "{name: other, role: roll, strings: 1 2 3 1 2 3 1 2, picks: M I T M I T M I}"
SLOW = "{name: slow, role: roll, strings: 3 _ 2 _ 1 _ 2 _, picks: T _ I _ M _ I _}"
CHOP = "{name: chop, role: vamp, strings: 4 _ x2+x1 _ 3 _ x2+x1 _, picks: T _ I+M _ T _ I+M _}"
TALK = '{name: talk, role: lick, chord: G, strings: "3 3,3 2 1 3 2 1 2", frets: "0 2,h4 0 0 0 0 0 0", picks: "T I,. M I T I M I"}'
QUIET = "{name: quiet, role: lick, chord: G, strings: 3 _ 2 _ 1 _ 2 _, frets: 0 _ 0 _ 0 _ 0 _, picks: T _ I _ M _ I _}"
ANSWER = '{name: answer, role: fill, chord: G, strings: "3 3,3 2 1 3 2 1 2", frets: "0 2,h4 0 0 0 0 0 0", picks: "T I,. M I T I M I"}'
LATE = "{name: late, role: fill, chord: G, strings: . 2 3 2 1 2 3 2, frets: . 0 0 0 0 0 0 0, picks: . I T I M I T I}"
THIN = "{name: thin, role: fill, chord: G, strings: 3 _ 2 _ 1 _ 2 _, frets: 0 _ 0 _ 0 _ 0 _, picks: T _ I _ M _ I _}"
CHOKE = "{name: choke, role: lead-in, chord: any, to: G, strings: 3 3, frets: 2 c3, picks: T I, fingers: m r}"
WALK = "{name: walk, role: lead-in, chord: any, to: G, strings: 4 4, frets: 2 4, picks: T I, fingers: i r}"
INTO_C = "{name: into-c, role: lead-in, chord: any, to: C, strings: 3 2, frets: 2 0, picks: T I, fingers: m .}"
INTO_D = "{name: into-d, role: lead-in, chord: any, to: D, strings: 4 4, frets: 0 4, picks: T I, fingers: . r}"
KICK = "{name: kick, role: kickoff, chord: G, strings: 3 2 1 2 3 2 1 2, frets: 0 0 0 0 0 0 0 0, picks: T I M I T I M I}"
TURN = (
    "{name: turn, role: turnaround, chord: G, strings: 3 2 1 2 3 2 1 2, frets: 0 0 0 0 0 0 0 0, picks: T I M I T I M I}"
)
CLOSE = (
    "{name: close, role: ending, chord: G, strings: 3 2 1 2 3 2 1 3, frets: 0 0 0 0 0 0 0 0, picks: T I M I T I M T}"
)
ATTIC = "{name: attic, role: lick, chord: G, movable: yes, strings: 2 1 2 1 2 1 2 1, frets: 8 9 8 9 8 9 8 9, picks: I M I M I M I M}"
FLOOR = "{name: floor, role: lick, chord: G, strings: 3 2 1 2 3 2 1 2, frets: 0 0 0 0 0 0 0 0, picks: T I M I T I M I}"


def both(
    rows: str, licks: tuple[str, ...], on: Rulebook, liked: tuple[str, ...], **headers: str
) -> tuple[list[FilledSlot], list[FilledSlot]]:
    """The song filled twice: with a small price on every lick (or place on the neck) that is not liked, and with a rulebook
    beside that price."""
    lib = library("".join(f"\n  - {lick}" for lick in licks))
    key, known = ("place", set(PLACES)) if set(liked) <= set(PLACES) else ("lick", set(lib.by_name))
    others = ", ".join(sorted(known - set(liked)))
    without = ruled(f"rulebook: likings\nrules:\n  - {{rule: others, of: {{{key}: [{others}]}}, price: 2}}\n")
    beside = replace(without, weights=on.weights, rules=without.rules + on.rules)
    of = song(rows, lib, **headers)
    return flat(part(of, means(lib, without))), flat(part(of, means(lib, beside)))


def names(slots: list[FilledSlot]) -> list[str]:
    """The licks' names."""
    return [s.lick for s in slots]


SUNG, HELD, SILENT = "| G |\nvoice | sung |", "| G |\nvoice | held |", "| G |\nvoice | silent |"
TWO_LINES = "| G | G | G | G |\nvoice | sung | sung | sung | silent |\n"
ROLLING = TWO_LINES + "ask | roll | roll | roll | |\n"
ODD = "{name: odd, role: lick, chord: G, tensions: [6], strings: 1 2 3 1 3 2 1 2, frets: 2 0 0 0 0 0 0 0, picks: M I T M T I M I}"
NO_THIRD = (
    "{name: no-third, role: lick, chord: G, strings: 3 1 3 1 3 1 3 1, frets: 0 0 0 0 0 0 0 0, picks: T M T M T M T M}"
)
RUB = "{name: rub, role: lick, chord: G, strings: 3 1 2 _ 3 1 3 1, frets: 0 0 1 _ 0 0 0 0, picks: T M I _ T M T M}"
GRAZE = "{name: graze, role: lick, chord: G, strings: 3 1 3 2 3 1 3 1, frets: 0 0 0 1 0 0 0 0, picks: T M T I T M T M}"
HOLE = "{name: hole, role: lick, chord: G, strings: 3 2 1 2 3 2 . ., frets: 0 0 0 0 0 0 . ., picks: T I M I T I . .}"
BARE = "{name: bare, role: lick, chord: D7, strings: 1 4 1 4 1 4 1 4, frets: 0 0 0 0 0 0 0 0, picks: M T M T M T M T}"
NAMED = "{name: named, role: lick, chord: D7, strings: 1 2 3 1 2 3 1 2, frets: 0 1 2 0 1 2 0 1, picks: M I T M I T M I}"
SIXTH = "{name: sixth, role: lick, chord: D7, tensions: [6], strings: 1 2 3 1 2 3 1 2, frets: 0 0 2 0 0 2 0 1, picks: M I T M I T M I}"
ON_FIFTH = (
    "{name: on-fifth, role: lick, chord: G, strings: 3 2 1 2 3 2 3 1, frets: 0 0 0 0 0 0 0 0, picks: T I M I T I T M}"
)
ON_ROOT = (
    "{name: on-root, role: lick, chord: G, strings: 3 2 1 2 3 2 1 3, frets: 0 0 0 0 0 0 0 0, picks: T I M I T I M T}"
)
WALTZ = "{name: waltz, role: roll, meter: 3/4, strings: 3 2 1 2 1 2, picks: T I M I M I}"
HARD = "{name: hard, role: lick, chord: G, difficulty: 5, strings: 3 2 1 2 3 2 1 2, frets: 0 0 0 0 0 0 0 0, picks: T I M I T I M I}"
FAST = {"tempo": "half = 96"}

# point, weight, the song, its licks, the slot that is looked at, what is liked without and what is chosen with the weight, headers
WEIGHED: list[tuple[str, str, str, tuple[str, ...], int, str, str, dict[str, str]]] = [
    ("plain behind the voice", "voice", SUNG, (PLAIN, TALK), 0, "talk", "plain", FAST),
    ("busy in the gaps", "voice", SILENT, (QUIET, TALK), 0, "quiet", "talk", FAST),
    ("an ornament in the gaps", "voice", SILENT, (FLOOR, TALK), 0, "floor", "talk", FAST),
    ("few notes behind a slow voice", "voice", SUNG, (PLAIN, SLOW), 0, "plain", "slow", {"tempo": "quarter = 60"}),
    ("no need of that in a fast song", "drive", SUNG, (PLAIN, SLOW), 0, "slow", "plain", FAST),
    ("phrase ends are answered", "fill", SILENT, (PLAIN, ANSWER), 0, "plain", "answer", FAST),
    ("no answer while the voice sings", "fill", SUNG, (PLAIN, ANSWER), 0, "answer", "plain", FAST),
    ("an answer waits for the held syllable", "fill", HELD, (ANSWER, LATE), 0, "answer", "late", FAST),
    ("a line's last answer is a full one", "fill", ROLLING * 2, (PLAIN, ANSWER, THIN), 7, "thin", "answer", FAST),
    ("a lead-in where the sections meet", "lead-in", "section verse, 1 measure\n| G |\nsection chorus, 1 measure\n| G |\nask | roll |", (PLAIN, WALK), 0,
     "plain", "walk", FAST),
    ("no tail to the same chord", "lead-in", "| G | G |\nask | | roll |", (PLAIN, WALK), 0, "walk", "plain", FAST),
    ("a chord tone where the chord changes", "downbeat", "| D7 | G |\nask | roll | lick |", (PLAIN, ODD, FLOOR), 1, "odd", "floor", FAST),
    ("its third soon after", "downbeat", "| D7 | G |\nask | roll | lick |", (PLAIN, NO_THIRD, FLOOR), 1, "no-third", "floor", FAST),
    ("a note a half step above a chord tone is short", "clash", "| G |", (RUB, GRAZE), 0, "rub", "graze", FAST),
    ("no major third in a minor key", "clash", "| D7 |", (SIXTH, NAMED), 0, "sixth", "named", {"key": "G minor", **FAST}),
    ("a sixth over the 5 chord of a major key", "clash", "| D7 |", (SIXTH, NAMED), 0, "sixth", "sixth", FAST),
    ("a chorus is full", "contrast", "section chorus, 1 measure\n| G |", (PLAIN, SLOW), 0, "slow", "plain", FAST),
    ("chop behind a break", "contrast", "section break, 1 measure\nlead fiddle\n| G |", (PLAIN, CHOP), 0, "plain", "chop", FAST),
    ("rolls are full", "drive", "section break, 1 measure\nlead banjo\n| G |", (SLOW, PLAIN), 0, "slow", "plain", FAST),
    ("no silence across the bar line", "drive", "| G | C |\nask | lick | roll |", (PLAIN, HOLE, FLOOR), 0, "hole", "floor", FAST),
    ("a pattern belongs to its meter", "drive", "| G |", (PLAIN, WALTZ), 0, "plain", "waltz", {"meter": "3/4", **FAST}),
    ("the last 5 chord has its third", "cadence", "| D7 | G |\nask | lick | roll low |", (PLAIN, BARE, NAMED), 0, "bare", "named", FAST),
    ("the end is on the root", "cadence", "| C | G |\nask | roll | lick |", (PLAIN, ON_FIFTH, ON_ROOT), 1, "on-fifth", "on-root", FAST),
    ("a roll goes on", "pattern", "| G | G |\nask | plain | roll |", (PLAIN, OTHER), 1, "other", "plain", FAST),
    ("of two equal licks the easier", "difficulty", "| G |", (HARD, FLOOR), 0, "hard", "floor", FAST),
]  # fmt: skip


@pytest.mark.parametrize(
    ("point", "weight", "rows", "licks", "slot", "off", "on", "headers"), WEIGHED, ids=[w[0] for w in WEIGHED]
)
def test_a_weight_at_work(
    point: str,
    weight: str,
    rows: str,
    licks: tuple[str, ...],
    slot: int,
    off: str,
    on: str,
    headers: dict[str, str],
) -> None:
    """Protects the point of good backup that gives the case its name: without its weight the choice is what is liked a little,
    with it the choice is what a good player would do."""
    before, after = both(rows, licks, weighing(**{weight: 5}), (off,), **headers)
    assert (before[slot].lick, after[slot].lick) == (off, on), point


def test_accents_stay_out_of_the_melody() -> None:
    """Protects the singer's register: while the melody sounds around B3 and D4, the lick whose accents lie there gives way to
    one with accents outside; where none has that, the vamp is forgiven. In a gap any lick will do."""
    inside = (
        "{name: inside, role: lick, chord: G, strings: 2 3 4 1 3 4 2 3, frets: 0 0 0 0 0 0 0 0, picks: I T I M T I M T}"
    )
    outside = "{name: outside, role: lick, chord: G, strings: 3 2 1 4 2 1 3 2, frets: 0 0 0 0 0 0 0 0, picks: T I M T I M T I}"
    melody = {"melody": "G3 to G4", **FAST}
    on = weighing(register=5)
    liked = ("inside",)
    before, after = both(SUNG, (inside, outside), on, liked, **melody)
    assert (names(before), names(after)) == (["inside"], ["outside"])
    before, after = both(SUNG, (inside, CHOP), on, liked, **melody)
    assert (names(before), names(after)) == (["inside"], ["chop"])
    before, after = both(SILENT, (inside, outside), on, liked, **melody)
    assert names(before) == names(after) == ["inside"]


def test_ornaments_wait_for_the_gap_inside_a_measure() -> None:
    """Protects the singer within a measure: where the voice stops or begins in the middle, an ornament belongs to the half in
    which nobody sings, and the moment at which the voice begins is the singer's."""
    early = '{name: early, role: lick, chord: G, strings: "3 3,3 2 1 3 2 1 2", frets: "0 2,h4 0 0 0 0 0 0", picks: "T I,. M I T I M I"}'
    turn = '{name: on-time, role: lick, chord: G, strings: "1 2 1 3 3 2 1 2", frets: "0 0 0 2 h4 0 0 0", picks: "M I M T . I M I"}'
    late = '{name: behind, role: lick, chord: G, strings: "3 2 1 2 3 3,3 2 1", frets: "0 0 0 0 0 2,h4 0 0", picks: "T I M I T I,. M I"}'
    on = weighing(voice=5)
    before, after = both("| G |\nvoice | sung silent |", (early, late), on, ("early",), **FAST)
    assert (names(before), names(after)) == (["early"], ["behind"])
    before, after = both("| G |\nvoice | silent sung |", (early, turn), on, ("on-time",), **FAST)
    assert (names(before), names(after)) == (["on-time"], ["early"])


def test_a_tail_answers_where_there_is_no_fill() -> None:
    """Protects the order of answers: an answer is best at the end of any line; without one, a tail is better than a roll that
    goes on, at the end of the greater lines too."""
    licks = (PLAIN, WALK, ANSWER)
    _, after = both(TWO_LINES * 2, licks, weighing(fill=5), ("plain",), **FAST)
    assert (after[3].lick, after[7].lick) == ("answer", "answer")
    before, after = both(TWO_LINES * 4, (PLAIN, WALK), weighing(fill=5), ("plain",), **FAST)
    assert [before[n].lick for n in (3, 7)] == ["plain"] * 2
    assert [after[n].lick for n in (3, 7, 11)] == ["walk"] * 3


def test_a_lead_in_meets_the_note_it_makes_for() -> None:
    """Protects the landing: a tail ends a half step below C, so that the next lick begins on that C and not on another tone
    of the chord."""
    on_c = "{name: on-c, role: roll, strings: 2 1 3 2 1 3 2 1, picks: T M I T M I T M}"
    on_e = "{name: on-e, role: roll, strings: 4 2 1 4 2 1 4 2, picks: T I M T I M T I}"
    rows = "| G | C |\nask | into-c low | low |"
    before, after = both(rows, (on_e, on_c, INTO_C), weighing(landing=5), ("on-e", "into-c"), **FAST)
    assert (before[1].lick, after[1].lick) == ("on-e", "on-c")
    last, first = before[0].notes[-1].pitch, after[1].notes[0].pitch
    assert (last, first) == (59, 60)


def test_a_tail_has_no_major_third_of_a_minor_chord() -> None:
    """Protects minor songs: a tail from the major third down to the root leads into a major chord, and not into the minor one."""
    down = "{name: down, role: lead-in, chord: any, to: C, strings: 1 2, frets: 2 3, picks: M I, fingers: m r}"
    on_c = "{name: on-c, role: roll, strings: 2 1 3 2 1 3 2 1, picks: T M I T M I T M}"
    for chord, wanted in (("C", "down"), ("Cm", "on-c")):
        before, after = both(f"| G | {chord} |", (on_c, down), weighing(landing=5), ("down",), **FAST)
        assert (before[0].lick, after[0].lick) == ("down", wanted), chord


def test_about_half_of_the_changes_have_a_lead_in() -> None:
    """Protects the measure in tails: over many changes of chord some have one and some have none; without the weight the
    liking for tails puts one before every change."""
    rows = "\n".join(["| G | C | G | D |"] * 2 + ["| C | G | D | G |"] * 2 + ["| G | D | C | G |"] * 2)
    licks = (PLAIN, WALK, INTO_C, INTO_D)
    before, after = both(rows, licks, weighing(lead_in=5), ("walk", "into-c", "into-d"), **FAST)
    changes = [n for n in range(len(after) - 1) if after[n].chord != after[n + 1].chord]
    off = sum(before[n].role == "lead-in" for n in changes)
    tails = sum(after[n].role == "lead-in" for n in changes)
    assert off > tails
    assert 0.25 * len(changes) <= tails <= 0.75 * len(changes)


def test_phrases_that_return_bring_their_lick_back() -> None:
    """Protects the shape A A B A: at the same place of equal phrases stands the same lick, and of other phrases another one
    wherever there is enough to choose from; the last line varies. Without the weight every phrase would take the same one."""
    rolls = tuple(
        f"{{name: roll-{n}, role: roll, strings: {a} {b} {c} {d} {a} {b} {c} {d}, picks: T I M I T I M I}}"
        for n, (a, b, c, d) in enumerate(
            [
                (3, 2, 1, 2),
                (3, 1, 2, 1),
                (4, 2, 1, 2),
                (4, 3, 1, 3),
                (4, 3, 2, 3),
                (4, 1, 2, 1),
                (3, 2, 1, 3),
                (4, 2, 3, 1),
            ]
        )
    )
    lines = ["| G | C | G | D |", "| C | G | D | G |", "| G | C | G | D |", "| D | D | C | C |", "| G | C | G | D |"]
    before, after = both("\n".join(lines), rolls, weighing(**{"return": 2}), ("roll-0",), **FAST)
    assert {s.lick for s in before} == {"roll-0"}
    phrases = [tuple(s.lick for s in after[4 * n : 4 * n + 4]) for n in range(5)]
    assert phrases[0] == phrases[2]
    assert all(len(set(p)) == 1 for p in phrases), "a roll belongs to its whole phrase"
    assert len({phrases[0], phrases[1], phrases[3], phrases[4]}) > 1
    assert phrases[4] != phrases[0]


def test_the_hand_stays_in_its_region() -> None:
    """Protects the place on the neck: beside a measure that is asked for high up the next one stays there, at most three frets
    away at a change of chord, and closer over the same chord; without the weight it falls back to the open position."""
    for rows, most in (("| C | C |\nask | roll high | roll |", 0), ("| C | F |\nask | roll high | roll |", 3)):
        before, after = both(rows, (PLAIN,), weighing(region=5), ("low",), tempo="quarter = 80")
        assert (before[1].position or 0) <= 4
        first, second = after[0].position, after[1].position
        assert first is not None and second is not None and first >= 8
        assert abs(first - second) <= most


def test_the_nearest_closed_shape_and_not_the_same_one_carried_along() -> None:
    """Protects the way in which players change chords up the neck: from G to C, which is five frets by the same shape, the hand
    moves to another shape near by."""
    rows = "| G | C | D |\nask | roll high | roll | roll |"
    _, after = both(rows, (PLAIN,), weighing(region=5), ("high",), tempo="quarter = 80")
    positions = [s.position for s in after]
    assert all(p is not None for p in positions)
    assert all(abs((a or 0) - (b or 0)) <= 3 for a, b in pairwise(positions))
    shapes = [tuple(n.fret - (s.position or 0) for n in s.notes) for s in after]
    assert shapes[0] != shapes[1]


def test_the_verse_lies_low_and_the_chorus_high() -> None:
    """Protects the difference between verse and chorus: the same chord is played low behind a verse, and up the neck in the
    chorus."""
    rows = "section {}, 1 measure\n| G |\nvoice | sung |"
    before, after = both(rows.format("verse"), (PLAIN,), weighing(contrast=5), ("high",), **FAST)
    assert (before[0].position or 0) >= 9 and (after[0].position or 0) <= 4
    before, after = both(rows.format("chorus"), (PLAIN,), weighing(contrast=5), ("low",), **FAST)
    assert (before[0].position or 0) <= 4 and (after[0].position or 0) >= 9


def test_strain_keeps_the_hands_from_hurry() -> None:
    """Protects the hands: between two ways that can be played, a shift that uses up nearly all its time (from fret 5 to fret 8
    within an eighth of 250 ms), or a finger that strikes twice within 156 ms, gives way to the easier one."""
    jump = "{name: jump, role: lick, chord: G, strings: 3 2 1 2 3 2 3 1, frets: 0 0 0 0 0 0 0 5, picks: T I M I T I T M, fingers: . . . . . . . i}"
    on = weighing(strain=8)
    rows = "| G | G |\nask | lick | attic |"
    before, after = both(rows, (ATTIC, jump, FLOOR), on, ("jump", "attic"), tempo="half = 60")
    assert (names(before), names(after)) == (["jump", "attic"], ["floor", "attic"])
    rows = "| G | C |\nask | lick | plain low |"
    before, after = both(rows, (PLAIN, ON_ROOT, FLOOR), on, ("on-root", "plain"), **FAST)
    assert (names(before), names(after)) == (["on-root", "plain"], ["floor", "plain"])


def test_the_hand_is_a_limit_and_not_a_taste() -> None:
    """Protects playing up the neck: where there is time to spare the strain costs nothing, so that even a thousandfold weight
    does not pull the hand back to the open strings."""
    rows = "| G | C | G | D |"
    before, after = both(rows, (PLAIN,), weighing(strain=1000), ("high",), tempo="quarter = 60")
    assert [s.position for s in before] == [s.position for s in after]
    assert all((s.position or 0) >= 8 for s in after)


# --- the rules of the house, one by one ----------------------------------------------------------------------------------

BREAK = "section break, 1 measure\nlead fiddle\n{}| G |"

# rule, song, licks, slot, what is liked without and what is chosen with the rule
RULED: list[tuple[str, str, tuple[str, ...], int, str, str]] = [
    ("no chatter behind the voice", SUNG, (PLAIN, TALK), 0, "talk", "plain"),
    ("no chatter behind the voice", SUNG, (PLAIN, ANSWER), 0, "answer", "plain"),
    ("no choke behind the voice", "| D7 | G |\nvoice | sung | |\nask | | roll |", (PLAIN, CHOKE), 0, "choke", "plain"),
    ("kickoffs kick off", SILENT, (PLAIN, KICK), 0, "kick", "plain"),
    ("kickoffs begin", "section kickoff, 2 measures\nlead banjo\n| G | G |\nask | roll | |", (PLAIN, KICK), 1, "kick", "plain"),
    ("turnarounds close a section", "| G | G |\nask | | roll |", (PLAIN, TURN), 0, "turn", "plain"),
    ("endings end", "| G | G |\nask | | roll |", (PLAIN, CLOSE), 0, "close", "plain"),
    ("another answers", "section verse, 1 measure\nlead voice, fills fiddle\n" + SILENT, (PLAIN, ANSWER), 0, "answer", "plain"),
    ("chop in its turn", BREAK.format(""), (PLAIN, CHOP), 0, "plain", "chop"),
    ("tails wait while the banjo chops", "section break, 2 measures\nlead fiddle\n| D7 | G |", (CHOP, PLAIN, WALK), 0, "walk", "chop"),
    ("roll where another chops", BREAK.format("chop mandolin\n"), (PLAIN, CHOP), 0, "chop", "plain"),
    ("no answers while another talks", BREAK.format(""), (PLAIN, ANSWER), 0, "answer", "plain"),
    ("the last chord is played out", SILENT, (PLAIN, CLOSE), 0, "plain", "close"),
    ("nothing turns round at the end", SILENT, (PLAIN, TURN), 0, "turn", "plain"),
    ("kick it off", "section kickoff, 1 measure\nlead banjo\n| G |", (PLAIN, KICK), 0, "plain", "kick"),
]  # fmt: skip


@pytest.mark.parametrize(("name", "rows", "licks", "slot", "off", "on"), RULED)
def test_a_rule_of_the_house_at_work(
    name: str, rows: str, licks: tuple[str, ...], slot: int, off: str, on: str
) -> None:
    """Protects each rule of the house: alone, with every weight at 0, it turns the choice from what is liked to what the rule
    is for."""
    rule = next(r for r in house().rules if r.name == name)
    book = replace(weighing(), rules=(rule,))
    before, after = both(rows, licks, book, (off,), **FAST)
    assert (before[slot].lick, after[slot].lick) == (off, on)


@pytest.mark.filterwarnings("error")
@pytest.mark.parametrize("weight", WEIGHTS)
def test_any_weight_may_be_nothing(weight: str) -> None:
    """Protects players who switch a cost off: the choice goes on without it, and nothing is printed beside it."""
    book = replace(house(), weights=tuple((w, 0 if w == weight else n) for w, n in house().weights))
    lib = library("".join(f"\n  - {lick}" for lick in (PLAIN, OTHER, ATTIC, FLOOR, ANSWER, WALK, INTO_C)))
    filled = part(song("| G | C | G | D |\n| G | C | D | G |", lib, tempo="half = 120"), means(lib, book))
    assert len(flat(filled)) == 8


def test_no_rule_and_no_weight_without_a_test() -> None:
    """Protects the list above: a rule or a weight that is added to the house needs a case here, and no weight of the house is
    switched off unnoticed."""
    assert {name for name, *_ in RULED} == {rule.name for rule in house().rules}
    shown = {weight for _, weight, *_ in WEIGHED} | {"register", "landing", "return", "region", "strain"}
    assert shown == set(house().weight)
    assert all(house().weight.values())
