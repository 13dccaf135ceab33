"""Charts with mistakes: each line says in a comment which findings it must have, and no other line may have any."""

from __future__ import annotations

import pytest

from chartc.chart.codes import CODES
from chartc.text.diagnostic import show
from tests.chart.charts import HEAD, codes, marked, read

ONE = "section verse, 1 measure\n| G |\n"

CASES: dict[str, str] = {
    "chord-unusual": HEAD + "section verse, 6 measures\n| G | C# | D | C#m | Bbm | % | ;! chord-unusual chord-unusual\n",
    "chord-unusual many": HEAD + "section verse, 44 measures\n| " + "C# | G | " * 22 + " ;! chord-unusual\n",
    "phrase-length": HEAD + "section verse, 7 measures\n| G | C |\n| D | D | G | ;! phrase-length\n| C | D |\n",
    "tempo-unlikely": HEAD.replace("quarter = 112", "eighth = 400") + "section verse, 1 measure\n| G |\n",
    "tempo-unlikely note": HEAD.replace("quarter = 112", "dotted half = 50 ;! tempo-unlikely") + ONE,
    "tempo-unlikely slow": HEAD.replace("quarter = 112", "quarter = 30 ;! tempo-unlikely") + ONE,
    "tempo-unlikely fast": HEAD.replace("quarter = 112", "half = 210 ;! tempo-unlikely") + ONE,
    "line-unknown": HEAD + "wibble ;! line-unknown\n" + ONE,
    "line-unknown keyword": "tilte X ;! line-unknown\n" + HEAD.split("\n", 1)[1] + ONE,
    "line-unknown colon": "title: X ;! line-unknown\n" + HEAD.split("\n", 1)[1] + ONE,
    "line-unknown capital": "Title X ;! line-unknown\n" + HEAD.split("\n", 1)[1] + ONE,
    "line-unknown section": HEAD + "form verse, chorus\nchorus, 4 measures ;! line-unknown\n| G | G |\n" + ONE,
    "line-unknown in a section": HEAD + "section verse, 4 measures\n| G |\nrepaet ;! line-unknown\n| C |\nend repeat\n",
    "line-unknown side row": HEAD + "section verse, 1 measure\n| G |\nvoise | sung | ;! line-unknown\n",
    "line-form": HEAD.replace("4/4", "4 4 ;! line-form") + ONE,
    "line-form title": HEAD.replace("title Ladder to the Ferry", "title ;! line-form") + ONE,
    "line-form section": HEAD + "form verse, chorus\nsection chorus ;! line-form\n| G |\n" + ONE,
    "line-form form": HEAD + "form verse,, chorus ;! line-form\n" + ONE,
    "line-form as as": HEAD + "form verse as verse as verse ;! line-form\n" + ONE,
    "line-form repeat": HEAD + "section verse, 9 measures\nrepeat 3 ;! line-form\n| G |\nend repeat\n",
    "line-form end": HEAD + "section verse, 2 measures\nrepeat\n| G |\nend ;! line-form\n",
    "line-form cell": HEAD + "section verse, 9 measures\n| in 2/4 G | C | ;! line-form\nvoice | sung |\n| % | C |\n",
    "character": HEAD.replace("Ferry", "Fer\u200bry ;! character") + ONE,
    "character bidi": HEAD + "form verse\u202e ;! character\n" + ONE,
    "character control": HEAD + "section verse\x07, 2 measures ;! character\n| G |\n",
    "text-long": HEAD.replace("Ferry", "Ferry " * 60 + ";! text-long") + ONE,
    "text-long name": HEAD + f"section {'a' * 61}, 1 measure ;! text-long\n| G |\n",
    "text-long words": HEAD + f"section verse, 1 measure\n| G |\nwords | {'la ' * 80} | ;! text-long\n",
    "header-twice": HEAD + "key A ;! header-twice\n" + ONE,
    "header-late": HEAD + ONE + "credit ours ;! header-late\n",
    "header-late counts": HEAD.replace("key G\n", "") + ONE + "key G ;! header-late\n",
    "header-missing": "tempo quarter = 90 ;! header-missing header-missing header-missing\n" + ONE,
    "tempo-missing": HEAD.replace("tempo quarter = 112\n", "").replace("Ferry", "Ferry ;! tempo-missing") + ONE,
    "section-missing": HEAD.replace("Ferry", "Ferry ;! section-missing"),
    "chart-empty": "; only a remark ;! chart-empty\n\n",
    "key-value": HEAD.replace("key G", "key g ;! key-value") + "section verse, 1 measure\n| 6m |\n",
    "language-value": HEAD.replace("key G", "language Klingon speakers ;! language-value\nkey G") + ONE,
    "language-value country": HEAD.replace("key G", "language cz ;! language-value\nkey G") + ONE,
    "key-value mode": HEAD.replace("key G", "key G lydian ;! key-value") + ONE,
    "key-value signature": HEAD.replace("key G", "key G# ;! key-value") + ONE,
    "meter-value": HEAD.replace("4/4", "4/3 ;! meter-value") + "section verse, 1 measure\n| G D A |\nvoice | sung held silent |\n",
    "meter-value long": HEAD.replace("4/4", "9" * 5000 + "/4 ;! meter-value") + ONE,
    "tempo-value note": HEAD.replace("quarter =", "qaurter =").replace("112", "112 ;! tempo-value") + ONE,
    "tempo-value number": HEAD.replace("112", "500 ;! tempo-value") + ONE,
    "melody-value order": HEAD + "melody B4 to D4 ;! melody-value\n" + ONE,
    "melody-value note": HEAD + "melody 4D to h5 ;! melody-value melody-value\n" + ONE,
    "melody-value range": HEAD + "melody C1 to C4 ;! melody-value\n" + ONE,
    "melody-value wide": HEAD + "melody C2 to D5 ;! melody-value\n" + ONE,
    "section-unknown": HEAD + "form verse, chorus, chorus as bridge ;! section-unknown section-unknown\n" + ONE,
    "section-unknown borrowed": HEAD + ONE + "section break as chorus ;! section-unknown\n",
    "section-unused": HEAD + "form verse\n" + ONE + "section tag, 1 measure ;! section-unused\n| G |\n",
    "section-twice": HEAD + ONE + "section Verse, 1 measure ;! section-twice\n| G |\n",
    "section-name": HEAD + "section as, 1 measure ;! section-name\n| G |\n",
    "section-empty": HEAD + ONE + "section tag, 4 measures ;! section-empty\nlead banjo\n",
    "section-rows": HEAD + ONE + "section break as verse\n| G | ;! section-rows\n",
    "section-borrow": HEAD
    + "form verse, break as verse, tag as break as verse\n".replace(", tag as break as verse", ", tag as loop ;! section-borrow")
    + ONE + "section loop as verse\n",
    "job-twice": HEAD + "section verse, 1 measure\nlead banjo\nlead voice ;! job-twice\n| G |\n",
    "job-comma": HEAD + "section verse, 1 measure\nlead banjo fills fiddle ;! job-comma\n| G |\n",
    "row-outside": HEAD + "| G | ;! row-outside\nvoice | sung |\n" + ONE,
    "row-alone": HEAD + "section verse, 1 measure\nvoice | sung | ;! row-alone\n| G |\n",
    "row-twice": HEAD + "section verse, 1 measure\n| G |\nvoice | sung |\nvoice | held | ;! row-twice\n",
    "row-bar": HEAD + "section verse, 2 measures\n| G | H ;! row-bar chord-unknown\n",
    "row-bar after an open word": HEAD + "section verse, 2 measures\n| G | in ;! row-bar\n",
    "line-form row": HEAD + "section verse, 2 measures\n| ;! line-form\n",
    "row-bar start": HEAD + "section verse, 9 measures\nG | C | ;! row-bar\nvoice | sung | sung |\n",
    "row-cells": HEAD + "section verse, 2 measures\n| G | C |\nvoice | sung | ;! row-cells\nask | | | | ;! row-cells\n",
    "measure-empty": HEAD + "section verse, 2 measures\n| G || ;! measure-empty\n",
    "measure-beats": HEAD + "section verse, 2 measures\n| G D A | G / C / D | ;! measure-beats measure-beats\n",
    "measure-hold": HEAD + "section verse, 2 measures\n| G | / C | ;! measure-hold\n",
    "measure-again": HEAD + "section verse, 2 measures\n| % | G % | ;! measure-again measure-again\n",
    "measure-again in a repeat": HEAD
    + "section verse, 8 measures\n| G |\nrepeat\n| % | G | ;! measure-again\nending 1\n| % |\n"
    + "ending 2\n| % | ;! measure-again\nend repeat\n| % |\n",
    "measure-again after a broken one": HEAD + "section verse, 2 measures\n| X | % | ;! chord-unknown\n",
    "measure-length": HEAD + "section verse, 2 measures\n| in 2/4: G | % | ;! measure-length\n",
    "measure-length pickup": HEAD + "section verse, 1 measure\n| pickup 1/4: D | % | ;! measure-length\n",
    "meter-value cell": HEAD + "section verse, 2 measures\n| in 4/5: G C D | % | ;! meter-value\n",
    "pickup-place": HEAD + "section verse, 2 measures\n| G | pickup 1/4: D | ;! pickup-place\n",
    "pickup-length": HEAD + "section verse, 1 measure\n| pickup 4/4: D | G | ;! pickup-length\n",
    "chord-unknown": HEAD + "section verse, 3 measures\n| g | H7 | Gxyz | ;! chord-unknown chord-unknown chord-unknown\n",
    "measure-count": HEAD + "section verse, 4 measures ;! measure-count\n| G | C |\n",
    "measure-count zero": HEAD + "section verse, 0 measures ;! measure-count\n| G |\n",
    "measure-count repeats": HEAD + "section verse, 1 measure ;! measure-count\nrepeat\n| G |\nend repeat\n",
    "measure-count broken row": HEAD + "section verse, 4 measures\n| G : | in : | ;! line-form\n| G |\n",
    "repeat-open": HEAD + "section verse, 2 measures\nrepeat ;! repeat-open\n| G |\n",
    "repeat-outside": HEAD + "section verse, 1 measure\n| G |\nend repeat ;! repeat-outside\n",
    "repeat-nested": HEAD + "section verse, 4 measures\nrepeat\n| G |\nrepeat ;! repeat-nested\n| C |\nend repeat\nend repeat\n",
    "repeat-empty": HEAD + "section verse, 1 measure\n| G |\nrepeat ;! repeat-empty\nend repeat\n",
    "repeat-empty body": HEAD + "section verse, 2 measures\nrepeat\nending 1 ;! repeat-empty\n| G |\nending 2\n| C |\nend repeat\n",
    "repeat-times": HEAD + "section verse, 1 measure\nrepeat 13 times ;! repeat-times\n| G |\nend repeat\n",
    "ending-outside": HEAD + "section verse, 1 measure\n| G |\nending 1 ;! ending-outside\n",
    "ending-empty": HEAD + "section verse, 4 measures\nrepeat\n| G |\nending 1 ;! ending-empty\nending 2\n| C |\nend repeat\n",
    "ending-numbers twice": HEAD
    + "section verse, 4 measures\nrepeat\n| G |\nending 1\n| C |\nending 1, 2 ;! ending-numbers\n| D |\nend repeat\n",
    "ending-numbers missing": HEAD + "section verse, 4 measures\nrepeat\n| G |\nending 1 ;! ending-numbers\n| C |\nend repeat\n",
    "ending-numbers beyond": HEAD
    + "section verse, 4 measures\nrepeat\n| G |\nending 1, 2\n| C |\nending 3 ;! ending-numbers\n| D |\nend repeat\n",
    "voice-word": HEAD + "section verse, 2 measures\n| G | C |\nvoice | sang | / held | ;! voice-word voice-word\n",
    "voice-beats": HEAD + "section verse, 1 measure\n| G |\nvoice | sung held silent | ;! voice-beats\n",
    "ask-word": HEAD + "section verse, 1 measure\n| G |\nask | rool high | ;! ask-word\n",
    "ask-twice": HEAD + "section verse, 1 measure\n| G |\nask | low roll high | ;! ask-twice\n",
    "ask-fret": HEAD + "section verse, 2 measures\n| G | C |\nask | fret | fret 25 | ;! ask-fret ask-fret\n",
    "ask-parts": HEAD + "section verse, 1 measure\n| G / / D |\nask | roll, fill, vamp | ;! ask-parts\n",
    "ask-nothing": HEAD + "section verse, 1 measure\n| NC |\nask | roll | ;! ask-nothing\n",
    "limit-line": HEAD + "section verse, 2 measures\n| G | " + " " * 10_000 + "C | ;! limit-line\nvoice | sung |\n",
    "limit-form": HEAD
    + "form " + "verse, " * 9 + "verse ;! limit-form\nsection verse, 2400 measures\n"
    + "repeat 12 times\n" + ("| " + "G | " * 20 + "\n") * 10 + "end repeat\n",
    "limit-measures": HEAD
    + "section verse, 6000 measures\n" + ("| " + "G | " * 100 + "\n") * 60
    + "section break as verse ;! limit-measures\n",
    "limit-sections": HEAD
    + "".join(f"section part {n}, 1 measure{' ;! limit-sections' if n == 201 else ''}\n| G |\n" for n in range(1, 204)),
}  # fmt: skip


@pytest.mark.parametrize("name", CASES)
def test_findings(name: str) -> None:
    """Protects each check: it finds its mistake, at its line, and one mistake makes no other line complain."""
    text = CASES[name]
    got, found = read(text)
    assert codes(found) == marked(text), show(found)
    assert (got is None) == any(d.severity == "error" for d in found)


def test_every_code_is_tested_and_explained() -> None:
    """Protects the list of codes: each one that can be found has an explanation and a chart that shows it."""
    shown = {code for text in CASES.values() for _, code in marked(text)}
    assert shown == set(CODES)


@pytest.mark.parametrize("name", CASES)
def test_every_error_says_what_to_write(name: str) -> None:
    """Protects the player: no finding without help, and every related place has words."""
    _, found = read(CASES[name])
    for d in found:
        assert d.help and d.message and d.span is not None
        assert all(words for _, words in d.related)


def _said(text: str) -> list[tuple[str, str]]:
    """The message and the help of each finding."""
    return [(d.message, d.help) for d in read(text)[1]]


def test_no_help_is_a_mistake_itself() -> None:
    """Protects whoever does what a message says: a line with a second mistake is not given as the way to write it."""
    text = HEAD.replace("tempo quarter = 112", "Tempo: 120") + "Verse:\n| G |\n"
    said = _said(text)
    assert ('the keyword "tempo" stands without ":"', "write it like this: tempo  quarter = 112") in said
    assert said[1][1] == "write it like this: section verse, 8 measures"


def test_advice_to_borrow_names_a_section_that_has_measures() -> None:
    """Protects borrowing: nothing false is said of a section that borrows, and no misspelt name is advised or listed."""
    said = _said(
        HEAD + "form verse, break as vers, tag as break\n" + ONE + "section break as vers\nsection tag as break\n"
    )
    assert ('there is no section "vers"; there is "verse", with a similar name', "the sections are: verse") in said
    message, help = next(s for s in said if "of its own" in s[0])
    assert message == '"break as vers" has no measures of its own: it borrows them'
    assert help == "borrow from the section that has the measures: tag as verse"


def test_a_double_bar_line_is_explained() -> None:
    """Protects the habit of a double bar line at the end of a song: the message says what is written instead."""
    (_, help), *_ = _said(HEAD + "section verse, 1 measure\n| G ||\n")
    assert "a bar line is one |" in help


def test_a_chart_has_one_key() -> None:
    """Protects who writes a key for a section that goes up: the help is how such a section is written, not a move that makes another
    mistake; where there is no key yet, the line belongs above."""
    for text, code in ((HEAD + ONE + "key A\n| A |\n", "header-late"), (HEAD + "key A\n" + ONE, "header-twice")):
        (d,) = [d for d in read(text)[1] if d.code == code]
        assert "a chart has one key" in d.help and "chords as they sound" in d.help and "move the line" not in d.help
    (d,) = [d for d in read(HEAD + ONE + "tempo quarter = 90\n")[1] if d.code == "header-late"]
    assert d.help == "a chart has one tempo: take this line out"
    (d,) = [d for d in read(HEAD.replace("key G\n", "") + ONE + "key G\n")[1] if d.code == "header-late"]
    assert d.help == "move the line above the first section"
