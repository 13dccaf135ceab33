"""Rulebooks: what they say, and every way in which they can be wrong, each with its place."""

from __future__ import annotations

import pytest

from chartc.slots.problem import build_problem
from chartc.slots.rulebook import MAX_RULES, WEIGHTS, Rulebook, against, load_rulebook, own_rules
from chartc.slots.slot import Context, cut
from chartc.text.diagnostic import Diagnostic, show
from chartc.text.source import Source
from tests.slots.small import CHOP, ROLLS, SAYINGS, library, means, part, ruled, song

LIBRARY = library(ROLLS, CHOP, SAYINGS)


def load(*texts: str) -> tuple[Rulebook, tuple[Diagnostic, ...]]:
    """The rulebook of such files, and what is wrong with them."""
    return load_rulebook([Source(f"{n}.yaml", text) for n, text in enumerate(texts)])


def test_the_house_holds() -> None:
    """Protects the program's own rulebook: nothing in it is wrong, every weight is given, and every rule can speak of some lick."""
    book, found = load_rulebook([own_rules()])
    assert not found, show(found)
    assert tuple(book.weight) == WEIGHTS and len(book.rules) > 5
    assert all(rule.about for rule in book.rules)
    assert own_rules().text.count("- rule:") == len(book.rules)


RULE = "rulebook: mine\nrules:\n  - rule: one\n"

# the file, the code, and the text that is marked in the line that is named
BAD: list[tuple[str, str, int, str]] = [
    ("", "file-empty", 1, ""),
    ("- a\n", "yaml-kind", 1, "- a"),
    ("rules: []\n", "yaml-missing", 1, "rules: []"),
    ("rulebook: [a]\n", "yaml-kind", 1, "[a]"),
    ("rulebook: a\nrule: b\n", "yaml-unknown", 2, "rule"),
    ("rulebook: a\nreplace: perhaps\n", "yaml-word", 2, "perhaps"),
    ("rulebook: a\nweights: 3\n", "yaml-kind", 2, "3"),
    ("rulebook: a\nweights: {loudness: 3}\n", "yaml-unknown", 2, "loudness"),
    ("rulebook: a\nweights: {voice: much}\n", "yaml-number", 2, "much"),
    ("rulebook: a\nweights: {voice: 1001}\n", "yaml-number", 2, "1001"),
    ("rulebook: a\nweights: {voice: -1}\n", "yaml-number", 2, "-1"),
    ("rulebook: a\nphrase: 0\n", "yaml-number", 2, "0"),
    ("rulebook: a\nphrase: 33\n", "yaml-number", 2, "33"),
    ("rulebook: a\nlevels: [1, 2, 3]\n", "yaml-kind", 2, "[1, 2, 3]"),
    ("rulebook: a\nlevels: {easy: 6}\n", "yaml-number", 2, "6"),
    ("rulebook: a\nlevels: {simple: 1}\n", "yaml-unknown", 2, "simple"),
    ("rulebook: a\nlevels: {easy: 3, middle: 2}\n", "rule-levels", 2, "2"),
    ("rulebook: a\nlevels: {easy: 4}\n", "rule-levels", 2, "4"),
    ("rulebook: a\nlevels:\n  middle: 4\n  full: 1\n", "rule-levels", 4, "1"),
    ("rulebook: a\nnew-at-most: some\n", "yaml-number", 2, "some"),
    ("rulebook: a\nknown: {a: b}\n", "yaml-kind", 2, "{a: b}"),
    ("rulebook: a\nrules: no\n", "yaml-kind", 2, "no"),
    ("rulebook: a\nrules:\n  - no chokes\n", "yaml-kind", 3, "no chokes"),
    ("rulebook: a\nrules:\n  - price: 3\n", "yaml-missing", 3, "price: 3"),
    (RULE, "rule-action", 3, "rule: one"),
    (RULE + "    never: no\n", "rule-action", 3, "rule: one"),
    (RULE + "    never: yes\n    price: 3\n", "rule-action", 3, "rule: one"),
    (RULE + "    never: perhaps\n    price: 3\n", "yaml-word", 4, "perhaps"),
    (RULE + "    prefer: 3\n    price: 3\n", "rule-action", 3, "rule: one"),
    (RULE + "    prefer: 3\n    never: yes\n", "rule-action", 3, "rule: one"),
    (RULE + "    prefer: much\n", "yaml-number", 4, "much"),
    (RULE + "    price: 3\n    of: {own: perhaps}\n", "yaml-word", 5, "perhaps"),
    (RULE + "    price: 3\n    of: {except: []}\n", "rule-condition", 5, "except"),
    (RULE + "    price: 10001\n", "yaml-number", 4, "10001"),
    (RULE + "    price: 2.5\n", "yaml-number", 4, "2.5"),
    (RULE + "    price: 3\n    because: so\n", "yaml-unknown", 5, "because"),
    (RULE + "    price: 3\n    when: sung\n", "yaml-kind", 5, "sung"),
    (RULE + "    price: 3\n    when: {singer: sung}\n", "yaml-unknown", 5, "singer"),
    (RULE + "    price: 3\n    when: {voice: loud}\n", "yaml-word", 5, "loud"),
    (RULE + "    price: 3\n    when: {voice: [sung, loud]}\n", "yaml-word", 5, "loud"),
    (RULE + "    price: 3\n    when:\n      voice: {a: b}\n", "yaml-kind", 6, "{a: b}"),
    (RULE + "    price: 3\n    when: {voice: []}\n", "rule-condition", 5, "voice"),
    (RULE + "    price: 3\n    when: {job: solo}\n", "yaml-word", 5, "solo"),
    (RULE + "    price: 3\n    when: {section: refrain}\n", "yaml-word", 5, "refrain"),
    (RULE + "    price: 3\n    when: {chord: happy}\n", "yaml-word", 5, "happy"),
    (RULE + "    price: 3\n    when: {degree: '8'}\n", "yaml-word", 5, "8"),
    (RULE + "    price: 3\n    when: {next: five}\n", "yaml-word", 5, "five"),
    (RULE + "    price: 3\n    when: {tempo: brisk}\n", "yaml-word", 5, "brisk"),
    (RULE + "    price: 3\n    when: {steps: eight}\n", "yaml-number", 5, "eight"),
    (RULE + "    price: 3\n    when: {last: true}\n", "yaml-word", 5, "true"),
    (RULE + "    price: 3\n    of: choke\n", "yaml-kind", 5, "choke"),
    (RULE + "    price: 3\n    of: {role: solo}\n", "yaml-word", 5, "solo"),
    (RULE + "    price: 3\n    of: {place: top}\n", "yaml-word", 5, "top"),
    (RULE + "    price: 3\n    of: {technique: bend}\n", "yaml-word", 5, "bend"),
    (RULE + "    price: 3\n    of: {voice: sung}\n", "yaml-unknown", 5, "voice"),
    (RULE + "    price: 3\n    of: {attacks-below: few}\n", "yaml-number", 5, "few"),
    (RULE + "    price: 3\n    of: {attacks-below: []}\n", "rule-condition", 5, "attacks-below"),
    (RULE + "    price: 3\n    of: {attacks-above: [9, 10]}\n", "rule-condition", 5, "attacks-above"),
]  # fmt: skip


@pytest.mark.parametrize(("text", "code", "line", "marked"), BAD)
def test_each_error_has_its_place(text: str, code: str, line: int, marked: str) -> None:
    """Protects the player who writes rules: each mistake is one finding, at its line, with the words that are wrong marked, and
    nothing of a wrong rule is used."""
    book, found = load(text)
    assert [d.code for d in found] == [code], show(found)
    assert found[0].severity == "error" and found[0].place[:2] == ("0.yaml", line)
    assert (found[0].span.text.strip() if found[0].span else "") == marked
    assert not book.rules


def test_all_errors_in_one_run() -> None:
    """Protects the player's patience: three mistakes in two files are three findings, in order, and the good rule is kept."""
    first = (
        "rulebook: a\nweights: {voice: x}\nrules:\n  - {rule: one, price: 5}\n  - {rule: two, prize: 5, never: yes}\n"
    )
    book, found = load(first, "rulebook: b\nrules:\n  - {rule: three, when: {voice: x}, never: yes}\n")
    assert [(d.place[0], d.place[1], d.code) for d in found] == [
        ("0.yaml", 2, "yaml-number"),
        ("0.yaml", 5, "yaml-unknown"),
        ("1.yaml", 3, "yaml-word"),
    ]
    assert [rule.name for rule in book.rules] == ["one"]


def test_a_near_word_is_named() -> None:
    """Protects against typing mistakes: the word that was meant is named."""
    _, found = load(RULE + "    price: 3\n    when: {voice: snug}\n")
    assert '"sung"' in found[0].message
    _, found = load("rulebook: a\nweights: {vioce: 3}\n")
    assert '"voice"' in found[0].message


def test_later_files() -> None:
    """Protects a player's own file beside the house's: its weights win, the others stay, its rules are added; with `replace`
    the rules before it are dropped, the weights are not."""
    first = "rulebook: a\nweights: {voice: 7, fill: 8}\nphrase: 3\nrules:\n  - {rule: one, price: 5}\n"
    second = "rulebook: b\nweights: {voice: 9}\nrules:\n  - {rule: two, never: yes}\n"
    book, found = load(first, second)
    assert not found
    assert (book.weight["voice"], book.weight["fill"], book.weight["region"], book.phrase) == (9, 8, 1, 3)
    assert [(r.name, r.price) for r in book.rules] == [("one", 5), ("two", None)]
    book, found = load(first, second.replace("rules:", "replace: yes\nrules:"))
    assert not found and [r.name for r in book.rules] == ["two"]
    assert (book.weight["voice"], book.weight["fill"]) == (9, 8)


def test_as_many_rules_as_anybody_needs() -> None:
    """Protects against a file that never ends: beyond the limit is an error at the first rule that is too much."""
    text = "rulebook: a\nrules:\n" + "".join(f"  - {{rule: r{n}, price: 1}}\n" for n in range(MAX_RULES + 1))
    _, found = load(text)
    assert [d.code for d in found] == ["rule-limit"]
    assert found[0].span is not None and found[0].span.text == f"r{MAX_RULES}"
    assert not load(text.rsplit("  - ", 1)[0])[1]


def test_names_that_no_lick_has() -> None:
    """Protects rules that name licks: an unknown name is an error with the nearest one, a rule that no lick can meet a warning."""
    book, _ = load("rulebook: a\nknown: [oar-stroke, oar-stork]\nresting: tide-tabel\nrules:\n  - {rule: one, of: {lick: net-mend}, price: 2}\n"
                   "  - {rule: two, of: {technique: slide}, price: 2}\n  - {rule: three, of: {lick: net-mender}, price: 2}\n"
                   "  - {rule: four, of: {except: net-mend}, prefer: 2}\n  - {rule: five, of: {own: yes}, prefer: 2}\n")  # fmt: skip
    found = against(book, LIBRARY)
    assert [(d.code, d.severity, d.place[1]) for d in found] == [
        ("rule-lick", "error", 2), ("rule-lick", "error", 3), ("rule-lick", "error", 5), ("rule-idle", "warning", 6),
        ("rule-lick", "error", 8), ("rule-idle", "warning", 9),
    ]  # fmt: skip
    assert [d.span.text for d in found if d.span is not None and d.code == "rule-lick"] == [
        "oar-stork", "tide-tabel", "net-mend", "net-mend",
    ]  # fmt: skip
    assert "no licks of its own" in found[-1].help
    assert (
        '"oar-stroke"' in found[0].message and '"tide-table"' in found[1].message and '"net-mender"' in found[2].message
    )


# --- conditions ----------------------------------------------------------------------------------------------------------

CHART = """
form verse, break, tag
section verse, 4 measures
| 1 | 4 | 5 | 57 |
voice | sung | held | silent | sung |
section break, 2 measures
lead fiddle
| 6m | 7dim |
section tag, 2 measures
| 1+ b3 | 1 |
"""


def contexts(**headers: str) -> list[Context]:
    """The contexts of a song that has something of everything."""
    return [s.context for s in cut(song(CHART, None, **headers)).slots]


@pytest.mark.parametrize(
    ("when", "slots"),
    [
        ("voice: sung", [0, 3, 6, 7]),
        ("voice: [held, silent]", [1, 2, 8]),
        ("voice: none", [4, 5]),
        ("job: chop", [4, 5]),
        ("job: answer", [0, 1, 2, 3, 6, 7, 8]),
        ("section: tag", [6, 7, 8]),
        ("section: [break, verse]", [0, 1, 2, 3, 4, 5]),
        ("chord: major", [0, 1, 2, 7, 8]),
        ("chord: minor", [4]),
        ("chord: seventh", [3]),
        ("chord: diminished", [5]),
        ("chord: augmented", [6]),
        ("degree: '1'", [0, 6, 8]),
        ("degree: ['4', b3]", [1, 7]),
        ("next: '5'", [1, 2]),
        ("next: '6'", [3]),
        ("tempo: slow", [0, 1, 2, 3, 4, 5, 6, 7, 8]),
        ("tempo: fast", []),
        ("steps: 8", [0, 1, 2, 3, 4, 5, 8]),
        ("steps: [4, 6]", [6, 7]),
        ("measure-of-phrase: 2", [1, 5, 8]),
        ("phrase-end: yes", [3, 5, 8]),
        ("section-start: yes", [0, 4, 6]),
        ("section-end: yes", [3, 5, 8]),
        ("section-end: no", [0, 1, 2, 4, 6, 7]),
        ("change: no", []),
        ("meets: yes", [3, 5]),
        ("last: yes", [8]),
        ("voice: sung, chord: seventh", [3]),
        ("voice: none, section: tag", []),
    ],
)
def test_conditions_of_a_slot(when: str, slots: list[int]) -> None:
    """Protects each condition that a rule may set: of a chart with something of everything it picks out the right slots;
    several conditions must all hold."""
    rule = ruled(f"rulebook: a\nrules:\n  - {{rule: one, when: {{{when}}}, price: 1}}\n").rules[0]
    assert [n for n, x in enumerate(contexts(key="G")) if rule.applies(x)] == slots


def test_degrees_do_not_depend_on_the_key() -> None:
    """Protects rules for all keys at once: a rule about a degree speaks of the same slots in every key."""
    rule = ruled("rulebook: a\nrules:\n  - {rule: one, when: {degree: [b3, '4']}, price: 1}\n").rules[0]
    for key in ("C", "Db", "E", "F#", "Bb", "A"):
        assert [n for n, x in enumerate(contexts(key=key)) if rule.applies(x)] == [1, 7]


OF: list[tuple[str, set[str]]] = [
    ("role: roll", {"oar-stroke", "paddle-wheel"}),
    ("role: [fill, vamp]", {"low-lantern", "shed-door"}),
    ("role: rest", {"rest"}),
    ("lick: [net-mender, oar-stroke]", {"net-mender", "oar-stroke"}),
    ("technique: hammer-on", {"low-lantern"}),
    ("technique: [choke, damped]", {"shed-door"}),
    ("difficulty-above: 2", {"low-lantern"}),
    ("attacks-below: 5", {"shed-door", "rest"}),
    ("attacks-below: 4", {"rest"}),
    ("attacks-above: 8", {"low-lantern"}),
    ("difficulty-above: 4", set()),
    ("ornaments-above: 1", set()),
    ("ornaments-above: 0", {"low-lantern"}),
    ("role: roll, lick: oar-stroke", {"oar-stroke"}),
    ("role: roll, except: oar-stroke", {"paddle-wheel"}),
    ("own: yes", set()),
    ("role: roll, own: no", {"oar-stroke", "paddle-wheel"}),
    ("role: roll, technique: choke", set()),
]


@pytest.mark.parametrize(("of", "names"), OF)
def test_conditions_of_a_lick(of: str, names: set[str]) -> None:
    """Protects each condition on licks: over a measure of G it picks out the right ones."""
    lib = library(ROLLS, CHOP, SAYINGS.replace("{name: low-lantern,", "{name: low-lantern, difficulty: 4,"))
    rule = ruled(f"rulebook: a\nrules:\n  - {{rule: one, of: {{{of}}}, price: 1}}\n").rules[0]
    pool = build_problem(song("| G |", lib), means(lib)).pools[0]
    assert set(pool.names[rule.covers(pool)].tolist()) == names


@pytest.mark.parametrize(
    ("own", "names"),
    [
        ("yes", {"oar-stroke", "net-mender"}),
        ("no", {"paddle-wheel", "shed-door", "tide-table", "low-lantern", "rest"}),
        ("[yes, no]", {"paddle-wheel", "shed-door", "tide-table", "low-lantern", "rest", "oar-stroke", "net-mender"}),
    ],
)
def test_ones_own_licks(own: str, names: set[str]) -> None:
    """Protects rules about a player's own licks: they speak of those that the player's files have, of all others, or of all."""
    text = f"rulebook: a\nrules:\n  - {{rule: one, of: {{own: {own}}}, price: 1}}\n"
    book, found = load_rulebook([Source("a.yaml", text)], {"oar-stroke", "net-mender"})
    assert not found, show(found)
    pool = build_problem(song("| G |", LIBRARY), means(LIBRARY)).pools[0]
    assert set(pool.names[book.rules[0].covers(pool)].tolist()) == names


LIKED = "rulebook: a\nrules:\n  - {rule: liked, of: {lick: [low-lantern, oar-stroke]}, prefer: 7}\n"


def amounts(text: str) -> dict[str, int]:
    """What the candidates of a measure of G cost by such rules alone, by name; those that are forbidden are left out."""
    problem = build_problem(song("| G |", LIBRARY), means(LIBRARY, ruled(text)))
    domain = problem.domains[0]
    return {c.lick: int(cost) for c, cost in zip(domain.candidates, domain.costs, strict=True) if c.notes}


def test_what_is_preferred_costs_nothing_and_all_others_do() -> None:
    """Protects a player's favourites: rolls, vamps and licks alike cost more than the preferred ones, so that these come more often and
    nothing else comes more often in the place of something else."""
    assert amounts(LIKED) == {
        "low-lantern": 0, "oar-stroke": 0, "paddle-wheel": 7, "shed-door": 7, "net-mender": 7, "tide-table": 7,
    }  # fmt: skip


def test_no_preference_silences_the_banjo() -> None:
    """Protects the music: however strong a preference, or several together, a slot in which another lick can be played is not left
    silent, because silence is no favourite either."""
    rules = LIKED.replace("prefer: 7", "prefer: 10000") + "  - {rule: two, of: {lick: cold-anchor}, prefer: 10000}\n"
    made = part(song("| G | C | G | D |\n| G | C | D | G |", LIBRARY), means(LIBRARY, ruled(rules)))
    assert all(slot.notes for section in made.slots for measure in section for slot in measure)


@pytest.mark.parametrize(
    ("lists", "changes"),
    [("resting: [low-lantern, oar-stroke]\n", {}), ("levels: {easy: 3}\n", {"level": "easy"})],
)
def test_nothing_is_dearer_where_no_favourite_can_be_had(lists: str, changes: dict[str, object]) -> None:
    """Protects the same where the favourites rest, or are too difficult for the level."""
    lib = library(ROLLS, CHOP, SAYINGS.replace("{name: low-lantern,", "{name: low-lantern, difficulty: 4,"))
    liked = LIKED.replace("[low-lantern, oar-stroke]", "[low-lantern]") if changes else LIKED
    book = ruled(liked.replace("rules:", lists + "rules:"))
    domain = build_problem(song("| G |", lib), means(lib, book, **changes)).domains[0]
    assert {int(cost) for c, cost in zip(domain.candidates, domain.costs, strict=True) if c.notes} == {0}


def test_nothing_is_dearer_where_no_favourite_may_stand() -> None:
    """Protects totals that are compared between keys: where rules forbid all that is preferred, the others cost no more; where they
    forbid one, the other one is still preferred."""
    none = "  - {rule: two, of: {role: [fill, roll]}, never: yes}\n"
    assert set(amounts(LIKED + none).values()) == {0}
    one = "  - {rule: two, of: {role: roll}, never: yes}\n"
    assert amounts(LIKED + one) == {"low-lantern": 0, "shed-door": 7, "net-mender": 7, "tide-table": 7}


def test_places_on_the_neck() -> None:
    """Protects rules about the neck: low, middle and high are the index finger's frets 0 to 4, 5 to 7, and 8 upwards."""
    pool = build_problem(song("| C |", LIBRARY), means(LIBRARY)).pools[0]
    for place, low, high in (("low", 0, 4), ("middle", 5, 7), ("high", 8, 24)):
        rule = ruled(f"rulebook: a\nrules:\n  - {{rule: one, of: {{place: {place}}}, price: 1}}\n").rules[0]
        covered = rule.covers(pool).tolist()
        assert any(covered) and not all(covered)
        for c, yes in zip(pool.candidates, covered, strict=True):
            assert yes == (low <= (c.position or 0) <= high)
