"""The rulebook: YAML rules that say which licks may fill which slots and at what price, and the weights of the costs."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from functools import cached_property, partial
from importlib import resources

import numpy as np

from chartc.chart.song import SECTION_KINDS
from chartc.licks.lick import FAMILIES, REST, ROLES, Library, Lick
from chartc.slots.candidate import PLACES
from chartc.slots.pool import Mask, Pool
from chartc.slots.slot import JOBS, TEMPOS, VOICES, Context
from chartc.text.diagnostic import Diagnostic, in_order, nearest
from chartc.text.source import Source, Span
from chartc.text.tree import Leaf, Picker, Table, read_tree

WEIGHTS = (
    "voice", "register", "fill", "lead-in", "downbeat", "clash", "return", "region", "contrast", "drive", "cadence", "landing",
    "pattern", "difficulty", "strain",
)  # fmt: skip
TECHNIQUES = ("hammer-on", "pull-off", "slide", "choke", "damped")
MAX_RULES = 500
LEVELS = ("easy", "middle", "full")
"""How difficult a part may be; the rulebook says what that means in the difficulties of licks, 1 to 5."""

_DEGREES = tuple(sign + str(n) for n in range(1, 8) for sign in ("", "b", "#"))
_YES_NO = ("yes", "no")

# what a rule may ask of a slot, with the words it may use; None: whole numbers
_WHEN: dict[str, tuple[str, ...] | None] = {
    "voice": VOICES,
    "job": JOBS,
    "section": SECTION_KINDS,
    "chord": tuple(FAMILIES),
    "degree": _DEGREES,
    "next": _DEGREES,
    "tempo": TEMPOS,
    "steps": None,
    "measure-of-phrase": None,
    "phrase-end": _YES_NO,
    "section-start": _YES_NO,
    "section-end": _YES_NO,
    "change": _YES_NO,
    "meets": _YES_NO,
    "last": _YES_NO,
}

# what a rule may ask of a lick
_OF: dict[str, tuple[str, ...] | None] = {
    "role": (*ROLES, REST),
    "place": tuple(PLACES),
    "technique": TECHNIQUES,
    "lick": (),
    "except": (),
    "own": _YES_NO,
    "difficulty-above": None,
    "attacks-below": None,
    "attacks-above": None,
    "ornaments-above": None,
}

_NAMES = ("lick", "except")
"""Conditions that list licks by name."""
_BOUNDS = ("difficulty-above", "attacks-below", "attacks-above", "ornaments-above")


@dataclass(frozen=True)
class Rule:
    """One rule: where `when` holds of the slot, licks of which `of` holds are forbidden (`price` None) or cost `price`; or they are
    `preferred`, and all others cost it where one of them is allowed. `named` are the licks that it names, at their places."""

    name: str
    about: str
    when: tuple[tuple[str, frozenset[str]], ...]
    of: tuple[tuple[str, frozenset[str]], ...]
    price: int | None
    span: Span
    preferred: bool = False
    named: tuple[Leaf, ...] = ()

    def applies(self, context: Context) -> bool:
        """Whether the rule speaks of a slot."""
        return all(bool(_slot_words(context, key) & words) for key, words in self.when)

    def covers(self, pool: Pool) -> Mask:
        """Of which candidates the rule speaks."""
        out = np.ones(pool.size, dtype=bool)
        for key, words in self.of:
            out &= _lick_holds(pool, key, words)
        return out


def _slot_words(context: Context, key: str) -> frozenset[str]:
    def yes(value: bool) -> frozenset[str]:
        return frozenset({"yes" if value else "no"})

    match key:
        case "voice":
            return frozenset({context.voice})
        case "job":
            return frozenset({context.job})
        case "section":
            return frozenset({context.kind})
        case "chord":
            return frozenset({context.chord.quality.family})
        case "degree":
            return frozenset({_plain(context.degree)})
        case "next":
            return frozenset(_plain(d) for d in context.next_degrees)
        case "tempo":
            return frozenset({context.tempo})
        case "steps":
            return frozenset({str(context.ticks // context.step)})
        case "measure-of-phrase":
            return frozenset({str(context.place)})
        case "phrase-end":
            return yes(context.phrase_end)
        case "section-start":
            return yes(context.section_start)
        case "section-end":
            return yes(context.section_end)
        case "change":
            return yes(context.change)
        case "meets":
            return yes(context.meets)
        case _:
            return yes(context.last)


def _plain(degree: str) -> str:
    return degree.replace("♭", "b").replace("♯", "#")


def _lick_holds(pool: Pool, key: str, words: frozenset[str]) -> Mask:
    match key:
        case "role":
            return pool.role(*sorted(words))
        case "place":
            return pool.place(*words)
        case "technique":
            return pool.technique(words)
        case "lick":
            found: Mask = np.isin(pool.names, list(words))
            return found
        case "except":
            return ~np.isin(pool.names, list(words))
        case "difficulty-above":
            return pool.difficulty > int(min(words))
        case "attacks-below":
            return pool.per_eight < int(min(words))
        case "attacks-above":
            return pool.per_eight > int(min(words))
        case _:
            return pool.ornaments > int(min(words))


@dataclass(frozen=True)
class Rulebook:
    """Weights by name (all of WEIGHTS), and the rules in order.

    `phrase` is the length of a phrase in measures where the chart does not say. `levels` are the greatest difficulties of
    the levels in LEVELS. `known` are the licks the player knows (None: all), at most `new_most` others come into a song;
    `resting` ones are left alone. Both have their places, so that a name that no lick has can be pointed at.
    """

    weights: tuple[tuple[str, int], ...]
    rules: tuple[Rule, ...]
    phrase: int = 4
    levels: tuple[int, ...] = (2, 3, 5)
    known: tuple[Leaf, ...] | None = None
    resting: tuple[Leaf, ...] = ()
    new_most: int = 1

    @cached_property
    def weight(self) -> dict[str, int]:
        """The weights by name."""
        return dict(self.weights)


def own_rules() -> Source:
    """The rulebook that comes with the program."""
    file = resources.files("chartc.slots") / "data" / "house.yaml"
    return Source("house.yaml", file.read_text("utf-8"))


def load_rulebook(sources: Iterable[Source], own_licks: Iterable[str] = ()) -> tuple[Rulebook, tuple[Diagnostic, ...]]:
    """The rules of all files together; a later weight wins, and a file with `replace: yes` drops the rules before it. `own_licks` are
    the names of the player's own licks."""
    names = frozenset(own_licks)
    found: list[Diagnostic] = []
    weights = dict.fromkeys(WEIGHTS, 1)
    rules: list[Rule] = []
    phrase, levels, new_most = 4, list(Rulebook.levels), 1
    known: tuple[Leaf, ...] | None = None
    resting: tuple[Leaf, ...] = ()
    for source in sources:
        tree, errors = read_tree(source)
        found.extend(errors)
        if tree is None:
            continue
        if not isinstance(tree, Table):
            found.append(
                Diagnostic("yaml-kind", "a rulebook is a table", tree.span, "begin it with a line: rulebook: its name")
            )
            continue
        top = Picker(tree, "a rulebook", found)
        top.text("rulebook", required=True)
        if top.flag("replace", False):
            rules.clear()
        node = top.node("weights")
        if isinstance(node, Table):
            own = Picker(node, "the table of weights", found)
            for name in WEIGHTS:
                weights[name] = own.number(name, weights[name], 0, 1000)
            own.done()
        elif node is not None:
            top.error("yaml-kind", '"weights" is a table of names and numbers', node.span)
        phrase = top.number("phrase", phrase, 1, 32)
        node = top.node("levels")
        if isinstance(node, Table):
            own = Picker(node, "the table of levels", found)
            levels = _levels(own, levels)
            own.done()
        elif node is not None:
            top.error("yaml-kind", '"levels" is a table of names and difficulties', node.span)
        known = top.leaves("known") if "known" in tree.entries else known
        resting = top.leaves("resting") or resting
        new_most = top.number("new-at-most", new_most, 0, 1000)
        top.taken |= {"known", "resting"}
        top.tables("rules", lambda table: _rule(table, rules, names, found))
        top.done()
    if len(rules) > MAX_RULES:
        found.append(
            Diagnostic(
                "rule-limit", f"there are {len(rules)} rules; at most {MAX_RULES} are read", rules[MAX_RULES].span
            )
        )
    book = Rulebook(tuple(weights.items()), tuple(rules), phrase, tuple(levels), known, resting, new_most)
    return book, in_order(found)


def _levels(own: Picker, usual: list[int]) -> list[int]:
    """The difficulties of the levels; one that allows less than the level before it is an error at its place."""
    levels = [own.number(name, least, 1, 5) for name, least in zip(LEVELS, usual, strict=True)]
    for n in range(1, len(LEVELS)):
        name, before = LEVELS[n], LEVELS[n - 1]
        written = own.table.entries.get(name) or own.table.entries.get(before)
        if levels[n] < levels[n - 1] and written is not None:
            own.error("rule-levels", f"the level {name} allows difficulty {levels[n]}, the level {before} {levels[n - 1]}", written.span,
                      f"write levels that rise, such as: levels: {{{', '.join(f'{a}: {b}' for a, b in zip(LEVELS, Rulebook.levels, strict=True))}}}")  # fmt: skip
    return levels


def against(book: Rulebook, library: Library) -> tuple[Diagnostic, ...]:
    """What a rulebook says that a library does not have: an unknown lick is an error, a rule that can never speak of any lick a
    warning."""
    found: list[Diagnostic] = []
    names = library.by_name
    for leaf in (*(book.known or ()), *book.resting):
        if leaf.text not in names:
            found.append(
                Diagnostic("rule-lick", f'there is no lick "{leaf.text}"{nearest(leaf.text, names)}', leaf.span)
            )
    for rule in book.rules:
        unknown = [leaf for leaf in rule.named if leaf.text not in names]
        for leaf in unknown:
            help = "chartc licks lists all names"
            found.append(
                Diagnostic("rule-lick", f'there is no lick "{leaf.text}"{nearest(leaf.text, names)}', leaf.span, help)
            )
        if not unknown and not any(_may_cover(rule, lick) for lick in library.licks):
            none = ("lick", frozenset()) in rule.of
            message = f'the rule "{rule.name}" can never apply: no lick is like that'
            help = "the player's file names no licks of its own" if none else "look at its conditions under of:"
            found.append(Diagnostic("rule-idle", message, rule.span, help, "warning"))
    return in_order(found)


def _may_cover(rule: Rule, lick: Lick) -> bool:
    """Whether a rule may speak of a lick, as far as the lick alone tells."""
    for key, words in rule.of:
        if key == "role" and lick.role not in words and REST not in words:
            return False
        if key == "lick" and lick.name not in words:
            return False
        if key == "except" and lick.name in words:
            return False
        if key == "technique" and not any(n.how in words for n in lick.notes):
            return False
        if key == "difficulty-above" and lick.difficulty <= int(min(words)):
            return False
        if key == "ornaments-above" and lick.ornaments <= int(min(words)):
            return False
    return True


def _rule(table: Table, rules: list[Rule], own: frozenset[str], found: list[Diagnostic]) -> None:
    before = len(found)
    pick = Picker(table, "a rule", found)
    name = pick.leaf("rule", required=True)
    about = pick.text("about")
    when = _conditions(pick, "when", "a slot", _WHEN, found)
    of = tuple(map(partial(_by_name, own), _conditions(pick, "of", "a lick", _OF, found)))
    never = pick.flag("never", False)
    price = pick.number("price", 0, 0, 10_000)
    prefer = pick.number("prefer", 0, 0, 10_000)
    pick.done()
    preferred = "prefer" in table.entries
    if ("price" in table.entries) + preferred + never != 1:
        help = "write one of: never: yes, or price: 20, or prefer: 10"
        pick.error("rule-action", "a rule forbids, prices or prefers", table.span, help)
    if len(found) == before and name is not None:
        amount = None if never else prefer if preferred else price
        node = table.entries.get("of")
        listed = Picker(node, "a lick", found) if isinstance(node, Table) else None
        named = tuple(leaf for key in _NAMES for leaf in listed.leaves(key)) if listed else ()
        rules.append(Rule(name.text, about, when, of, amount, name.span, preferred, named))


def _by_name(own: frozenset[str], condition: tuple[str, frozenset[str]]) -> tuple[str, frozenset[str]]:
    """A condition about one's own licks as one about their names."""
    key, words = condition
    if key != "own":
        return condition
    # all licks where both words stand there
    return ("except", frozenset()) if len(words) > 1 else ("lick" if "yes" in words else "except", own)


def _conditions(
    pick: Picker, key: str, what: str, known: dict[str, tuple[str, ...] | None], found: list[Diagnostic]
) -> tuple[tuple[str, frozenset[str]], ...]:
    node = pick.node(key)
    if node is None:
        return ()
    if not isinstance(node, Table):
        pick.error("yaml-kind", f'"{key}" is a table of conditions', node.span, f"write: {key}: {{...}}")
        return ()
    own = Picker(node, what, found)
    before = len(found)
    out = []
    for name, words in known.items():
        if words is None:
            values = frozenset(str(own.as_number(leaf, 0, 1000, 0)) for leaf in own.leaves(name))
        else:
            values = frozenset(own.words(name, words or None))
        if name in node.entries:
            out.append((name, values))
            if not values and len(found) == before:
                own.error("rule-condition", f'"{name}" lists nothing, so that the rule could never apply',
                          node.keys[name].span, "list at least one word, or leave the condition out")  # fmt: skip
            elif name in _BOUNDS and len(values) > 1:
                own.error(
                    "rule-condition", f'"{name}" wants one number', node.keys[name].span, "write the one that counts"
                )
    own.done()
    return tuple(out)
