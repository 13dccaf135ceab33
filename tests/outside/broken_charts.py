"""Charts with one mistake each, as players make them, and the place and the correction that a player would give.

They were written from the language's reference alone, before the program was asked, so that they measure how it answers and not how it is
built. In the pieces below a `«` stands before the word at which a person would point; it is no part of the chart.
"""

from dataclasses import dataclass

POINT = "«"


@dataclass(frozen=True)
class Broken:
    """A chart with a mistake: its text, the place to point at (line and column from 1), how many mistakes of the same
    kind it has, and the text as a person would correct it."""

    name: str
    text: str
    line: int
    column: int
    fixed: str
    mistakes: int = 1


HEADERS = {
    "title": "title    The Miller's Second Boat",
    "key": "key      G",
    "meter": "meter    4/4",
    "tempo": "tempo    quarter = 112",
    "melody": "melody   D4 to B4",
    "form": "form     verse, chorus, verse",
}

BODY = """
section verse, 4 measures
  lead voice, fills banjo
| G | C | D | G |

section chorus, 4 measures
| C | G | D7 | G |
"""


def _whole(name: str, wrong: str, right: str, mistakes: int = 1) -> Broken:
    """A chart from its two whole texts; the first has the pointing mark exactly once."""
    before, _, after = wrong.partition(POINT)
    line = before.count("\n") + 1
    column = len(before) - (before.rfind("\n") + 1) + 1
    return Broken(name, before + after, line, column, right, mistakes)


def _head(name: str, line: str, wrong: str, right: str | None = None, mistakes: int = 1) -> Broken:
    """One header line is wrong; all other lines are good."""
    right = HEADERS[line] if right is None else right
    bad, good = ("\n".join({**HEADERS, line: text}.values()) + "\n" + BODY for text in (wrong, right))
    return _whole(name, bad, good, mistakes)


def _body(name: str, wrong: str, right: str, mistakes: int = 1, **headers: str) -> Broken:
    """The sections are wrong; the headers, without a form, are good."""
    lines = {**{word: text for word, text in HEADERS.items() if word != "form"}, **headers}
    top = "\n".join(lines.values()) + "\n\n"
    return _whole(name, top + wrong + "\n", top + right + "\n", mistakes)


def _rows(name: str, wrong: str, right: str, measures: int = 4, mistakes: int = 1, **headers: str) -> Broken:
    """The rows of a section are wrong; its own line is good."""
    top = f"section verse, {measures} measures\n"
    return _body(name, top + wrong, top + right, mistakes, **headers)


def _section(name: str, wrong: str, right: str = "section verse, 4 measures") -> Broken:
    """The line that begins a section, or the line of who does what below it, is wrong."""
    rows = "\n| G | C | D | G |"
    return _body(name, wrong + rows, right + rows)


def _chord(name: str, wrong: str, right: str) -> Broken:
    """One chord word of a row is wrong."""
    return _rows(name, f"| G | C | «{wrong} | G |", f"| G | C | {right} | G |")


def _beneath(name: str, wrong: str, right: str) -> Broken:
    """A row beneath the chords is wrong."""
    chords = "| G | C | D | G |\n"
    return _rows(name, chords + wrong, chords + right)


HEADER_SLIPS = (
    _head("key in a small letter", "key", "key      «g"),
    _head("key by its German name", "key", "key      «H", "key      B"),
    _head("German H minor", "key", "key      «Hm", "key      Bm"),
    _head("key with a double sharp", "key", "key      «F##", "key      G"),
    _head("sharp and flat at once", "key", "key      «Gb#", "key      Gb"),
    _head("key of", "key", "key      «of G"),
    _head(
        "a language by its name", "title", f"{HEADERS['title']}\nlanguage «Irish", f"{HEADERS['title']}\nlanguage ga"
    ),
    _head("a language misspelt", "title", f"{HEADERS['title']}\nlanguage «Czec", f"{HEADERS['title']}\nlanguage cs"),
    _head(
        "a language by its own name",
        "title",
        f"{HEADERS['title']}\nlanguage «Čeština",
        f"{HEADERS['title']}\nlanguage cs",
    ),
    _head(
        "a low line for a hyphen",
        "title",
        f"{HEADERS['title']}\nlanguage «pt_BR",
        f"{HEADERS['title']}\nlanguage pt-BR",
    ),
    _head("a country for a language", "title", f"{HEADERS['title']}\nlanguage «cz", f"{HEADERS['title']}\nlanguage cs"),
    _head("key forgotten after its word", "key", "«key", "key      G"),
    _head("flat as a word", "key", "key      B «flat", "key      Bb"),
    _head("flat with a hyphen", "key", "key      «B-flat", "key      Bb"),
    _head("mode misspelt", "key", "key      G «mixolidian", "key      G mixolydian"),
    _head("minor misspelt", "key", "key      E «minro", "key      E minor"),
    _head("dorian with a capital", "key", "key      E «Dorain", "key      E dorian"),
    _head("colon after key", "key", "«key:     G"),
    _head("key misspelt", "key", "«kye      G"),
    _head("two keys", "key", "key      G «and A", "key      G"),
    _head("capo after the key", "key", "key      G «capo 2", "key      G"),
    _head("equals sign after key", "key", "key      «= G"),
    _head("one number for the meter", "meter", "meter    «4"),
    _head("meter in words", "meter", "meter    «four four"),
    _head("meter with a hyphen", "meter", "meter    «4-4"),
    _head("common time", "meter", "meter    «common"),
    _head("meter over five", "meter", "meter    «4/5"),
    _head("meter of no beats", "meter", "meter    «0/4"),
    _head("meter and a word more", "meter", "meter    4/4 «time"),
    _head("waltz", "meter", "meter    «waltz", "meter    3/4"),
    _head("meter misspelt", "meter", "«metre    4/4"),
    _head("time for meter", "meter", "«time     4/4"),
    _head("meter empty", "meter", "«meter", "meter    4/4"),
    _head("colon in the meter", "meter", "meter    «4:4"),
    _head("cut time", "meter", "meter    «cut time", "meter    2/2"),
    _head("tempo without a note", "tempo", "tempo    «112"),
    _head("tempo with bpm only", "tempo", "tempo    «112 bpm"),
    _head("bpm after the number", "tempo", "tempo    quarter = 112 «bpm"),
    _head("equals sign forgotten", "tempo", "tempo    quarter «112"),
    _head("quarter misspelt", "tempo", "tempo    «quater = 112"),
    _head("quarter with one letter", "tempo", "tempo    «q = 112"),
    _head("British note name", "tempo", "tempo    «crotchet = 112"),
    _head("tempo by character", "tempo", "tempo    «fast", "tempo    quarter = 160"),
    _head("tempo far too high", "tempo", "tempo    quarter = «1120"),
    _head("tempo too low", "tempo", "tempo    quarter = «2", "tempo    quarter = 20"),
    _head("tempo as a range", "tempo", "tempo    quarter = «100-112"),
    _head("dotted without a note", "tempo", "tempo    «dotted = 112", "tempo    dotted quarter = 112"),
    _head("fraction for the note", "tempo", "tempo    «1/4 = 112"),
    _head("number before the note", "tempo", "tempo    «112 = quarter"),
    _head("tempo misspelt", "tempo", "«temop    quarter = 112"),
    _head("speed for tempo", "tempo", "«speed    quarter = 112"),
    _head("letter O for nought", "tempo", "tempo    quarter = «1O0", "tempo    quarter = 100"),
    _head("to forgotten", "melody", "melody   D4 «B4"),
    _head("melody without octaves", "melody", "melody   «D to B"),
    _head("one octave forgotten", "melody", "melody   D4 to «B"),
    _head("melody upside down", "melody", "melody   «B4 to D4"),
    _head("melody with a dash", "melody", "melody   «D4-B4"),
    _head("melody with one note", "melody", "melody   «D4", "melody   D4 to D4"),
    _head("melody in small letters", "melody", "melody   «d4 to B4"),
    _head("German H in the melody", "melody", "melody   D4 to «H4"),
    _head("melody misspelt", "melody", "«meldoy   D4 to B4"),
    _head("range for melody", "melody", "«range    D4 to B4"),
    _head("form names no section", "form", "form     verse, «bridge, verse"),
    _head("form name misspelt", "form", "form     verse, «chrous, verse"),
    _head("comma forgotten in the form", "form", "form     «verse chorus, verse"),
    _head("comma twice in the form", "form", "form     verse,, «chorus, verse"),
    _head("form of abbreviations", "form", "form     «v, chorus, verse"),
    _head("hyphens in the form", "form", "form     «verse - chorus - verse"),
    _head("form empty", "form", "«form", "form     verse, chorus, verse"),
    _head(
        "break over an unknown section",
        "form",
        "form     verse, chorus, break as «vrese",
        "form     verse, chorus, break as verse",
    ),
    _head("break as nothing", "form", "form     verse, break «as, chorus", "form     verse, break as verse, chorus"),
    _head(
        "a times sign in the form", "form", "form     verse, «chorus x2, verse", "form     verse, chorus, chorus, verse"
    ),
    _head("break not written", "form", "form     verse, «break, chorus", "form     verse, break as verse, chorus"),
    _head("order for form", "form", "«order    verse, chorus, verse"),
    _head("title with a capital", "title", "«Title    The Miller's Second Boat"),
    _head("colon after title", "title", "«title:   The Miller's Second Boat"),
    _head("title misspelt", "title", "«titel    The Miller's Second Boat"),
    _head("title without a text", "title", "«title", "title    The Miller's Second Boat"),
    _head("title without its word", "title", "«The Miller's Second Boat"),
    _head("title twice", "title", "title    One Boat\n«title    Two Boats", "title    Two Boats"),
    _head("key twice", "key", "key      G\n«key      A", "key      A"),
    _head("meter twice", "meter", "meter    4/4\n«meter    2/4", "meter    4/4"),
    _head("tempo twice", "tempo", "tempo    quarter = 112\n«tempo    quarter = 120"),
    _head(
        "an unknown header",
        "title",
        "title    Mill Boat\n«composer Orla Fenn",
        "title    Mill Boat\ncredit   Orla Fenn",
    ),
    _head("capo header", "key", "key      G\n«capo     2", "key      G"),
    _head("remark with a hash", "title", "«# for Saturday\ntitle    Mill Boat", "; for Saturday\ntitle    Mill Boat"),
    _head("remark with slashes", "key", "key      G «// or A", "key      G ; or A"),
)

_NO_TITLE = "\n".join(text for word, text in HEADERS.items() if word != "title") + "\n" + BODY
_NO_KEY = "\n".join(text for word, text in HEADERS.items() if word != "key") + "\n" + BODY
_NO_METER = "\n".join(text for word, text in HEADERS.items() if word != "meter") + "\n" + BODY
_GOOD = "\n".join(HEADERS.values()) + "\n" + BODY

WHOLE_SLIPS = (
    _whole("title forgotten", POINT + _NO_TITLE, _GOOD),
    _whole("key forgotten", POINT + _NO_KEY, _GOOD),
    _whole("meter forgotten", POINT + _NO_METER, _GOOD),
    _whole("tempo below the sections", _NO_TITLE.replace("tempo    quarter = 112\n", "title    Boat\n") + "«tempo    half = 90\n",
           _NO_TITLE.replace("tempo    quarter = 112\n", "title    Boat\ntempo    half = 90\n")),
    _whole("rows without a section", _GOOD.replace("section verse, 4 measures\n  lead voice, fills banjo\n| G", "«| G")
           .replace("form     verse, chorus, verse\n", ""), _GOOD.replace("form     verse, chorus, verse\n", "")),
)  # fmt: skip

SECTION_SLIPS = (
    _section("comma before the count forgotten", "section verse «4 measures"),
    _section("measures forgotten", "section verse, «4"),
    _section("count forgotten", "section «verse"),
    _section("bars for measures", "section verse, 4 «bars"),
    _section("count in words", "section verse, «four measures"),
    _section("name forgotten", "section«, 4 measures"),
    _section("the word section forgotten", "«verse, 4 measures"),
    _section("colon for comma", "section «verse: 4 measures"),
    _section("no measures at all", "section verse, «0 measures"),
    _section("section misspelt", "«secton verse, 4 measures"),
    _section("section with a capital", "«Section verse, 4 measures"),
    _section("measures misspelt", "section verse, 4 «mesures"),
    _section("part for section", "«part verse, 4 measures"),
    _section("measures before the number", "section verse, «measures 4"),
    _section("typographic quotes", "section «“verse”, 4 measures"),
    _section("brackets round a name", "section «[verse], 4 measures"),
    _section("brackets instead of section", "«[verse]"),
    _section("one measure too many counted", "section verse, «5 measures"),
    _section("one measure too few counted", "section verse, «3 measures"),
    _section("twice as many counted", "section verse, «8 measures"),
    _section("lead misspelt", "section verse, 4 measures\n  «laed voice", "section verse, 4 measures\n  lead voice"),
    _section("leads for lead", "section verse, 4 measures\n  «leads voice", "section verse, 4 measures\n  lead voice"),
    _section("lead nobody", "section verse, 4 measures\n  «lead", "section verse, 4 measures\n  lead voice"),
    _section("colon after lead", "section verse, 4 measures\n  «lead: voice", "section verse, 4 measures\n  lead voice"),
    _section("fill for fills", "section verse, 4 measures\n  lead voice, «fill banjo",
             "section verse, 4 measures\n  lead voice, fills banjo"),
    _section("chops for chop", "section verse, 4 measures\n  lead voice, «chops mandolin",
             "section verse, 4 measures\n  lead voice, chop mandolin"),
    _section("two leads", "section verse, 4 measures\n  lead voice, «lead fiddle",
             "section verse, 4 measures\n  lead voice, fills fiddle"),
    _section("who does what, without a comma", "section verse, 4 measures\n  lead voice «fills banjo",
             "section verse, 4 measures\n  lead voice, fills banjo"),
    _section("backup banjo", "section verse, 4 measures\n  lead voice, «backup banjo",
             "section verse, 4 measures\n  lead voice, fills banjo"),
    _section("comma at the end", "section verse, 4 measures\n  lead voice«,", "section verse, 4 measures\n  lead voice"),
    _body("section written twice", "section verse, 1 measure\n| G |\nsection «verse, 1 measure\n| C |",
          "section verse, 1 measure\n| G |\nsection verse 2, 1 measure\n| C |"),
    _body("section without rows", "section verse, 1 measure\n| G |\n«section tag, 1 measure",
          "section verse, 1 measure\n| G |\nsection tag, 1 measure\n| G |"),
    _body("borrowed from nowhere", "section verse, 1 measure\n| G |\nsection break as «verce\n  lead banjo",
          "section verse, 1 measure\n| G |\nsection break as verse\n  lead banjo"),
    _body("borrowed with a count", "section verse, 1 measure\n| G |\nsection break as verse, «1 measure\n  lead banjo",
          "section verse, 1 measure\n| G |\nsection break as verse\n  lead banjo"),
    _body("borrowed with rows", "section verse, 1 measure\n| G |\nsection break as verse\n  lead banjo\n«| C |",
          "section verse, 1 measure\n| G |\nsection break as verse\n  lead banjo"),
    _body("borrowed from itself", "section verse, 1 measure\n| G |\nsection break as «break\n  lead banjo",
          "section verse, 1 measure\n| G |\nsection break as verse\n  lead banjo"),
    _body("like for as", "section verse, 1 measure\n| G |\nsection break «like verse\n  lead banjo",
          "section verse, 1 measure\n| G |\nsection break as verse\n  lead banjo"),
    _body("same misspelling of measures twice",
          "section verse, 1 «mesure\n| G |\nsection tag, 1 mesure\n| G |",
          "section verse, 1 measure\n| G |\nsection tag, 1 measure\n| G |", 2),
)  # fmt: skip

ROW_SLIPS = (
    _rows("first bar line forgotten", "«G | C | D | G |", "| G | C | D | G |"),
    _rows("last bar line forgotten", "| G | C | D | «G", "| G | C | D | G |"),
    _rows("small l for the first bar line", "«l G | C | D | G |", "| G | C | D | G |"),
    _rows("exclamation mark for a bar line", "| G | C «! D | G |", "| G | C | D | G |"),
    _rows("double bar line", "| G | C | D | G «||", "| G | C | D | G |"),
    _rows("repeat signs on the row", "«|: G | C :|", "repeat\n| G | C |\nend repeat"),
    _rows("times sign behind the row", "| G | C | «x2", "repeat\n| G | C |\nend repeat"),
    _rows("an empty measure", "| G | C |« | G |", "| G | C | D | G |"),
    _rows("three words in four beats", "| G | «G C D | D | G |", "| G | G C D / | D | G |"),
    _rows("five words in four beats", "| G | «G C D G C | D | G |", "| G | G C D G | D | G |"),
    _rows("two words in three beats", "| G | «G C | D | G |", "| G | G / C | D | G |", meter="meter 3/4"),
    _rows("four words in three beats", "| G | «G / / C | D | G |", "| G | G / C | D | G |", meter="meter 3/4"),
    _rows("three words in two beats", "| G | «G / C | D | G |", "| G | G C | D | G |", meter="meter 2/4"),
    _rows("three words in 6/8", "| G | «G / C | D | G |", "| G | G C | D | G |", meter="meter 6/8"),
    _rows("a held beat too many", "| G | «G / / / D | D | G |", "| G | G / / D | D | G |"),
    _rows("a held beat at the start", "| G | «/ / G D | D | G |", "| G | G / G D | D | G |"),
    _rows("dashes for held beats", "| G | G «- / D | D | G |", "| G | G / / D | D | G |"),
    _rows("once more at the start of a section", "| «% | C | D | G |", "| G | C | D | G |"),
    _rows("once more beside a chord", "| G | «% C | D | G |", "| G | G C | D | G |"),
    _rows("once more at the start of a repeat", "repeat\n| «% | D |\nend repeat", "repeat\n| G | D |\nend repeat"),
    _rows("comma between chords", "| G | «G, C | D | G |", "| G | G C | D | G |"),
    _rows("spaces round the bass note's slash", "| G | «C / G | D | G |", "| G | C/G | D | G |"),
    _rows("typographic bar line", "| G | C «¦ D | G |", "| G | C | D | G |"),
    _rows("the same wrong chord twice", "| G | «Cx | Cx | G |", "| G | C | C | G |", mistakes=2),
    _rows("wrong beats in two measures", "| G | «G C D | G C D | G |", "| G | G C D / | G C D / | G |", mistakes=2),
    _rows("lower-case roots in a whole row", "| «g | G | d | G |", "| G | G | D | G |", mistakes=2),
    _rows("pickup in the second measure", "| G | «pickup 1/4: D | C | D | G |", "| pickup 1/4: D | G | G | C | D |", 4),
    _rows("pickup at the end", "| G | C | D | G | «pickup 1/4: D |", "| pickup 1/4: D | G | C | D | G |"),
    _rows("pickup without its length", "| «pickup: D | G | C | D | G |", "| pickup 1/4: D | G | C | D | G |"),
    _rows("pickup without a colon", "| «pickup 1/4 D | G | C | D | G |", "| pickup 1/4: D | G | C | D | G |"),
    _rows("pickup as long as a measure", "| pickup «4/4: D | G | C | D | G |", "| pickup 3/4: D | G | C | D | G |"),
    _rows("pickup in beats", "| pickup «1: D | G | C | D | G |", "| pickup 1/4: D | G | C | D | G |"),
    _rows("pickup of a third", "| pickup «1/3: D | G | C | D | G |", "| pickup 1/4: D | G | C | D | G |"),
    _rows("pickup misspelt", "| «pikcup 1/4: D | G | C | D | G |", "| pickup 1/4: D | G | C | D | G |"),
    _rows("other meter without in", "| G | «2/4: C | D | G |", "| G | in 2/4: C | D | G |"),
    _rows("other meter without a colon", "| G | «in 2/4 C | D | G |", "| G | in 2/4: C | D | G |"),
    _rows("other meter in one number", "| G | in «2: C | D | G |", "| G | in 2/4: C | D | G |"),
    _rows("other meter over five", "| G | in «2/5: C | D | G |", "| G | in 2/4: C | D | G |"),
    _rows("too many words in the other meter", "| G | in 2/4: «C D G | D | G |", "| G | in 2/4: C D | D | G |"),
)  # fmt: skip

REPEAT_SLIPS = (
    _rows("repeat not closed", "«repeat\n| G | D |", "repeat\n| G | D |\nend repeat"),
    _rows("end without a repeat", "| G | D | G | C |\n«end repeat", "| G | D | G | C |"),
    _rows("repeat within a repeat", "repeat\n| G |\n«repeat\n| D |\nend repeat", "repeat\n| G |\n| D |\nend repeat"),
    _rows("repeat once", "repeat «1 times\n| G | D | C | G |\nend repeat", "repeat 2 times\n| G | D |\nend repeat"),
    _rows("repeat a hundred times", "repeat «100 times\n| G |\nend repeat", "repeat 4 times\n| G |\nend repeat"),
    _rows("number of times in words", "repeat «four times\n| G |\nend repeat", "repeat 4 times\n| G |\nend repeat"),
    _rows("times forgotten", "repeat «4\n| G |\nend repeat", "repeat 4 times\n| G |\nend repeat"),
    _rows("repeat twice", "repeat «twice\n| G | D |\nend repeat", "repeat\n| G | D |\nend repeat"),
    _rows("repeat misspelt", "«repaet\n| G | D |\nend repeat", "repeat\n| G | D |\nend repeat"),
    _rows("end repeat in one word", "repeat\n| G | D |\n«endrepeat", "repeat\n| G | D |\nend repeat"),
    _rows("end alone", "repeat\n| G | D |\n«end", "repeat\n| G | D |\nend repeat"),
    _rows("nothing to repeat", "«repeat\nend repeat\n| G | D | G | C |", "| G | D | G | C |"),
    _rows("second ending forgotten", "repeat\n| G |\n«ending 1\n| D |\nend repeat",
          "repeat\n| G |\nending 1\n| D |\nending 2\n| D |\nend repeat"),
    _rows("an ending too many", "repeat\n| G |\nending 1\n| D |\nending 2\n| G |\nending «3\n| C |\nend repeat",
          "repeat\n| G |\nending 1\n| D |\nending 2\n| G |\nend repeat"),
    _rows("the same ending twice", "repeat\n| G |\nending 1\n| D |\nending «1\n| G |\nend repeat",
          "repeat\n| G |\nending 1\n| D |\nending 2\n| G |\nend repeat"),
    _rows("ending outside a repeat", "| G | D |\n«ending 1\n| D | G |", "| G | D |\n| D | G |"),
    _rows("ending without a number", "repeat\n| G |\n«ending\n| D |\nending 2\n| G |\nend repeat",
          "repeat\n| G |\nending 1\n| D |\nending 2\n| G |\nend repeat"),
    _rows("ending misspelt", "repeat\n| G |\n«endign 1\n| D |\nending 2\n| G |\nend repeat",
          "repeat\n| G |\nending 1\n| D |\nending 2\n| G |\nend repeat"),
    _rows("ordinal ending", "repeat\n| G |\n«1st ending\n| D |\nending 2\n| G |\nend repeat",
          "repeat\n| G |\nending 1\n| D |\nending 2\n| G |\nend repeat"),
    _rows("empty ending", "repeat\n| G |\n«ending 1\nending 2\n| G |\nend repeat",
          "repeat\n| G |\nending 1\n| D |\nending 2\n| G |\nend repeat"),
    _rows("colon after ending", "repeat\n| G |\nending «1:\n| D |\nending 2\n| G |\nend repeat",
          "repeat\n| G |\nending 1\n| D |\nending 2\n| G |\nend repeat"),
    _rows("once more at the start of the second ending", "repeat\n| G |\nending 1\n| D |\nending 2\n| «% |\nend repeat",
          "repeat\n| G |\nending 1\n| D |\nending 2\n| G |\nend repeat"),
)  # fmt: skip

CHORD_SLIPS = (
    _chord("lower-case root", "d", "D"),
    _chord("lower-case minor chord", "am", "Am"),
    _chord("lower-case seventh chord", "d7", "D7"),
    _chord("German H", "H", "B"),
    _chord("German H seventh", "H7", "B7"),
    _chord("German Es", "Es", "Eb"),
    _chord("Cmajor", "Cmajor", "C"),
    _chord("Aminor", "Aminor", "Am"),
    _chord("a letter that is no root", "J", "D"),
    _chord("letters turned round", "7D", "D7"),
    _chord("sharp twice and a word", "F##x", "G"),
    _chord("flat written out", "Bflat", "Bb"),
    _chord("sharp written out", "F-sharp", "F#"),
    _chord("letters behind the chord", "Dxy", "D"),
    _chord("bass note of no name", "D/H", "D/B"),
    _chord("bass note in a small letter", "D/f#", "D/F#"),
    _chord("bass note forgotten", "D/", "D"),
    _chord("backslash for a bass note", "C\\G", "C/G"),
    _chord("brackets round the chord", "[D]", "D"),
    _chord("degree eight", "8", "1"),
    _chord("Roman eight", "VIII", "I"),
    _chord("a question mark", "D?", "D"),
    _chord("a quoted chord", "“D”", "D"),
    _chord("full stop behind the chord", "D.", "D"),
    _chord("no such extension", "D8", "D7"),
)

BENEATH_SLIPS = (
    _beneath("voice word misspelt", "voice | sung | «hled | sung | silent |", "voice | sung | held | sung | silent |"),
    _beneath("sing for sung", "voice | «sing | held | sung | silent |", "voice | sung | held | sung | silent |"),
    _beneath("hold for held", "voice | sung | «hold | sung | silent |", "voice | sung | held | sung | silent |"),
    _beneath("rest for silent", "voice | sung | held | sung | «rest |", "voice | sung | held | sung | silent |"),
    _beneath("voice word with a capital", "voice | «Sung | held | sung | silent |",
             "voice | sung | held | sung | silent |"),
    _beneath("voice misspelt", "«vioce | sung | held | sung | silent |", "voice | sung | held | sung | silent |"),
    _beneath("vocals for voice", "«vocals | sung | held | sung | silent |", "voice | sung | held | sung | silent |"),
    _beneath("first bar line beneath forgotten", "voice «sung | held | sung | silent |",
             "voice | sung | held | sung | silent |"),
    _beneath("last bar line beneath forgotten", "voice | sung | held | sung | «silent",
             "voice | sung | held | sung | silent |"),
    _beneath("colon after voice", "«voice: | sung | held | sung | silent |", "voice | sung | held | sung | silent |"),
    _beneath("too few voice places", "«voice | sung | held | sung |", "voice | sung | held | sung | silent |"),
    _beneath("too many voice places", "voice | sung | held | sung | silent | «sung |",
             "voice | sung | held | sung | silent |"),
    _beneath("three voice words in four beats", "voice | sung | «held sung silent | sung | silent |",
             "voice | sung | held sung silent / | sung | silent |"),
    _beneath("comma between voice words", "voice | sung | «held, silent | sung | silent |",
             "voice | sung | held silent | sung | silent |"),
    _beneath("two voice rows", "voice | sung | held | sung | held |\n«voice | sung | sung | sung | held |",
             "voice | sung | held | sung | held |"),
    _beneath("role misspelt", "ask | «rol | | | |", "ask | roll | | | |"),
    _beneath("fill misspelt", "ask | | | | «fil |", "ask | | | | fill |"),
    _beneath("vamp misspelt", "ask | | «vampp | | |", "ask | | vamp | | |"),
    _beneath("place misspelt", "ask | roll «hihg | | | |", "ask | roll high | | | |"),
    _beneath("up for high", "ask | «up | | | |", "ask | high | | | |"),
    _beneath("two places on the neck", "ask | low «high | | | |", "ask | low | | | |"),
    _beneath("two roles without a comma", "ask | roll «fill | | | |", "ask | roll | | | |"),
    _beneath("fret without a number", "ask | «fret | | | |", "ask | fret 5 | | | |"),
    _beneath("number before fret", "ask | «5 fret | | | |", "ask | fret 5 | | | |"),
    _beneath("fret off the neck", "ask | fret «55 | | | |", "ask | fret 5 | | | |"),
    _beneath("more requests than chords", "ask | roll, «fill | | | |", "ask | roll | | | |"),
    _beneath("too few ask places", "«ask | roll | | |", "ask | roll | | | |"),
    _beneath("lick misspelt in two words", "ask | «leadin | | | |", "ask | lead-in | | | |"),
    _beneath("ask misspelt", "«aks | roll | | | |", "ask | roll | | | |"),
    _beneath("too few places for words", "«words | Down the | water | side |", "words | Down the | water | side | |"),
    _beneath("too many places for words", "words | Down | the | water | side | «now |",
             "words | Down | the | water | side now |"),
    _beneath("lyrics for words", "«lyrics | Down | the | water | side |", "words | Down | the | water | side |"),
    _beneath("words without bar lines", "words «Down the water side", "words | Down the water side | | | |"),
    _beneath("words without their word", "«Down the water side", "words | Down the water side | | | |"),
    _beneath("word for words", "«word | Down | the | water | side |", "words | Down | the | water | side |"),
    _rows("voice row above the chords", "«voice | sung | held |\n| G | C |\n| D | G |",
          "| G | C |\nvoice | sung | held |\n| D | G |"),
)  # fmt: skip

BROKEN: tuple[Broken, ...] = (
    *HEADER_SLIPS,
    *WHOLE_SLIPS,
    *SECTION_SLIPS,
    *ROW_SLIPS,
    *REPEAT_SLIPS,
    *CHORD_SLIPS,
    *BENEATH_SLIPS,
)
