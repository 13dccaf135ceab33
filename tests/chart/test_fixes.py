"""What is put right without asking: each slip with what it becomes, and what is left to the writer."""

from __future__ import annotations

import pytest
from hypothesis import example, given, settings

from chartc.chart import read_chart
from chartc.chart.habits import HABITS
from chartc.text.diagnostic import has_errors, show
from chartc.text.edit import Mended, mend
from chartc.text.source import Source
from tests.chart.charts import HEAD, VOCABULARY
from tests.chart.test_properties import damaged

ONE = "section verse, 1 measure\n| G |\n"
TWO = "section verse, 2 measures\n"
ROUND = "section verse, 4 measures\n{}\n| G |\n{}\n| C |\n{}\n| D |\n{}\n"
GOOD_ROUND = ROUND.format("repeat", "ending 1", "ending 2", "end repeat")

FIXED: dict[str, tuple[str, str]] = {
    "a keyword with a colon": (HEAD.replace("title", "Title:") + ONE, HEAD + ONE),
    "a keyword with a letter too many": (HEAD.replace("meter", "metter") + ONE, HEAD + ONE),
    "letters swapped in a keyword": (HEAD.replace("tempo", "tmepo") + ONE, HEAD + ONE),
    "a meter without a stroke": (HEAD.replace("4/4", "4 4") + ONE, HEAD + ONE),
    "a meter with a word too many": (HEAD.replace("4/4", "4/4 time") + ONE, HEAD + ONE),
    "a tempo without a sign": (HEAD.replace("quarter =", "quarter") + ONE, HEAD + ONE),
    "a tempo the other way round": (HEAD.replace("quarter = 112", "112 = quarter") + ONE, HEAD + ONE),
    "a tempo with a word too many": (HEAD.replace("112", "112 bpm") + ONE, HEAD + ONE),
    "a misspelled note": (HEAD.replace("quarter", "quater") + ONE, HEAD + ONE),
    "a key in small letters": (HEAD.replace("key G", "key g-minor") + ONE, HEAD.replace("key G", "key G minor") + ONE),
    "a misspelled mode": (HEAD.replace("key G", "key A mixolidian") + ONE, HEAD.replace("key G", "key A mixolydian") + ONE),
    "a melody without its word": (HEAD + "melody D4 - B4\n" + ONE, HEAD + "melody D4 to B4\n" + ONE),
    "a melody from above": (HEAD + "melody B4 to D4\n" + ONE, HEAD + "melody D4 to B4\n" + ONE),
    "a form without commas": (HEAD + "form verse verse\n" + ONE, HEAD + "form verse, verse\n" + ONE),
    "a form with commas doubled": (HEAD + "form verse,, verse\n" + ONE, HEAD + "form verse, verse\n" + ONE),
    "a form with other signs": (HEAD + "form verse / verse > verse\n" + ONE, HEAD + "form verse, verse, verse\n" + ONE),
    "a misspelled section": (HEAD + "form vesre\n" + ONE, HEAD + "form verse\n" + ONE),
    "a section without its word": (HEAD + ONE.replace("section ", ""), HEAD + ONE),
    "a section in bars": (HEAD + ONE.replace("1 measure", "1 bar"), HEAD + ONE),
    "a section without a comma": (HEAD + "section verse 2 measures\n| G | C |\n", HEAD + TWO + "| G | C |\n"),
    "a section without a noun": (HEAD + "section verse: 2\n| G | C |\n", HEAD + TWO + "| G | C |\n"),
    "jobs without commas": (
        HEAD + "section verse, 1 measure\n lead voice and fills banjo chop mandolin\n| G |\n",
        HEAD + "section verse, 1 measure\n lead voice, fills banjo, chop mandolin\n| G |\n",
    ),
    "a row without bar lines at its ends": (HEAD + TWO + "G | C\n", HEAD + TWO + "| G | C |\n"),
    "a row beneath without its first bar line": (HEAD + ONE + "voice sung |\n", HEAD + ONE + "voice | sung |\n"),
    "a length without its colon": (HEAD + TWO + "| in 2/4 G | C |\n", HEAD + TWO + "| in 2/4: G | C |\n"),
    "chords joined": (HEAD + TWO + "| G-C | C,D |\n", HEAD + TWO + "| G C | C D |\n"),
    "minor chords in small letters": (HEAD + TWO + "| am7 | em |\n", HEAD + TWO + "| Am7 | Em |\n"),
    "no chord in small letters": (HEAD + TWO + "| n.c. | G |\n", HEAD + TWO + "| NC | G |\n"),
    "a misspelled voice": (HEAD + ONE + "voice | sungg |\n", HEAD + ONE + "voice | sung |\n"),
    "a misspelled role": (HEAD + ONE + "ask | rolll |\n", HEAD + ONE + "ask | roll |\n"),
    "repeats in short": (HEAD + "section verse, 3 measures\nrepeat x3\n| G |\nend\n",
                         HEAD + "section verse, 3 measures\nrepeat 3 times\n| G |\nend repeat\n"),
    "endings by order": (HEAD + ROUND.format("repeat twice", "1st ending", "2. time", "end of the repeat"), HEAD + GOOD_ROUND),
    "endings with a dash": (
        HEAD + ROUND.format("repeat", "ending 1-1", "ending 2nd", "repeat end").replace("1-1", "1."), HEAD + GOOD_ROUND),
    "several endings with a dash": (
        HEAD + "section verse, 6 measures\nrepeat 3 times\n| G |\nending 1-2\n| C |\nending 3\n| D |\nend repeat\n",
        HEAD + "section verse, 6 measures\nrepeat 3 times\n| G |\nending 1, 2\n| C |\nending 3\n| D |\nend repeat\n"),
    "three endings and no number": (
        HEAD + "section verse, 6 measures\nrepeat\n| G |\nending 1\n| C |\nending 2\n| D |\nending 3\n| G |\nend repeat\n",
        HEAD + "section verse, 6 measures\nrepeat 3 times\n| G |\nending 1\n| C |\nending 2\n| D |\nending 3\n| G |\nend repeat\n"),
    "sections named with how often they are played": (
        HEAD + "form verse x2, Chorus 3 times, verse twice, 2 x verse\n" + ONE + "section chorus, 1 measure\n| C |\n",
        HEAD + "form verse, verse, chorus, chorus, chorus, verse, verse, verse, verse\n" + ONE + "section chorus, 1 measure\n| C |\n"),
    "characters that do not show": (HEAD.replace("Ferry", "Fer\u200bry\u202e") + ONE, HEAD + ONE),
}  # fmt: skip

LEFT = {
    "a key by a small letter alone, which may be minor": HEAD.replace("key G", "key g") + ONE,
    "a chord by a small letter alone, which may be minor": HEAD + TWO + "| g | C |\n",
    "a section with a number and nothing after it": HEAD + "section verse 2\n| G |\n",
    "a numbered section that is not there": HEAD + "form verse 1, verse 3\nsection verse 1, 1 measure\n| G |\n"
    "section verse 2, 1 measure\n| G |\n",
    "how often a row is played, behind its end": HEAD + TWO + "| G | C | x2\n",
    "which ending a row is, behind its end": HEAD + TWO + "| G | C | 1st time\n",
    "a word that is like two": HEAD + "form veose\nsection verse, 1 measure\n| G |\nsection venose, 1 measure\n| G |\n",
    "a short word": HEAD + ONE + "ask | lov |\n",
    "a control character, which may end a line": HEAD.replace("Ferry", "Fer\x0bry") + ONE,
    "a tempo without a note": HEAD.replace("quarter = 112", "112") + ONE,
    "too few measures": HEAD + "section verse, 3 measures\n| G | C |\n",
    "too few chords": HEAD + TWO + "| G C D | C |\n",
}


def mended(text: str) -> Mended:
    """The text mended."""
    return mend(Source("test.chartc", text), lambda s: read_chart(s, VOCABULARY)[1])


@pytest.mark.parametrize("name", FIXED)
def test_what_can_mean_one_thing_only_is_put_right(name: str) -> None:
    """Protects the fixes: a slip becomes exactly what was meant, and nothing is left to complain about."""
    wrong, right = FIXED[name]
    done = mended(wrong)
    assert done.source.text == right
    assert done.mended and not done.left, show(done.left)


@pytest.mark.parametrize("name", LEFT)
def test_what_is_in_doubt_is_left(name: str) -> None:
    """Protects the writer: where two things could be meant, nothing is changed, and the error stays."""
    done = mended(LEFT[name])
    assert done.source.text == LEFT[name] and not done.mended
    assert has_errors(done.left)


def test_every_habit_is_tested() -> None:
    """Protects the list of habits: each kind of line that has some is mended in a test above."""
    firsts = {wrong.split(" ")[0] for pair in FIXED.values() for wrong in pair[0].split("\n")}
    assert set(HABITS) - {"ask", "words", "chords"} <= firsts
    for kind in ("ask", "words"):
        done = mended(HEAD + ONE + f"{kind} roll |\n")
        assert done.source.text == HEAD + ONE + f"{kind} | roll |\n"


@settings(max_examples=300)
@given(damaged())
@example("\ntempo section verse, 3 measures\n|\n D |tempo section verse, 3 measures\n|\n D | D A | D / / A / G |\n")
def test_mending_never_makes_a_chart_worse(text: str) -> None:
    """Protects charts from their mending: whatever is written, there are never more errors than before, a chart that can be
    read means the same, and mending again changes nothing."""
    before = read_chart(Source("test.chartc", text), VOCABULARY)[1]
    done = mended(text)
    assert sum(d.severity == "error" for d in done.left) <= sum(d.severity == "error" for d in before)
    assert done.mended or done.source.text == text
    if not has_errors(before):
        assert done.source.text == text
    again = mended(done.source.text)
    assert again.source.text == done.source.text
