"""What each code of a chart's diagnostics means, with an example wrong and right."""

from __future__ import annotations

from chartc.text.explanation import Explanation

CODES: dict[str, Explanation] = {
    "ask-fret": Explanation(
        "The word fret in an ask row is followed by the fret of the index finger, 1 to 24, as in: fret 5.",
        "section verse, 1 measure\n| G |\nask | fret |",
        "section verse, 1 measure\n| G |\nask | fret 5 |",
    ),
    "ask-nothing": Explanation(
        "The row asks for something where the banjo fills nothing: over a measure without a chord, or a "
        "pickup. The request is left out; the chart is read all the same.",
        "section verse, 2 measures\n| NC | G |\nask | roll | roll |",
        "section verse, 2 measures\n| NC | G |\nask | | roll |",
    ),
    "ask-parts": Explanation(
        "A place in an ask row has one request for the whole measure, or one for each chord of the measure, "
        "with commas between. Neighbouring beats of one chord count as one chord. A request may stay empty.",
        "section verse, 1 measure\n| G / / D |\nask | roll, fill, roll |",
        "section verse, 1 measure\n| G / / D |\nask | roll, fill |",
    ),
    "ask-twice": Explanation(
        "A request names at most one role, one place (low, middle, high), one fret and one lick.",
        "section verse, 1 measure\n| G |\nask | roll low high |",
        "section verse, 1 measure\n| G |\nask | roll high |",
    ),
    "ask-word": Explanation(
        "The words of an ask row are roles, places (low, middle, high), fret with a number, or names of licks.",
        "section verse, 1 measure\n| G |\nask | rool high |",
        "section verse, 1 measure\n| G |\nask | roll high |",
    ),
    "character": Explanation(
        "The line has a character that does not show, such as a control character, a zero-width space or a "
        "mark that changes the direction of writing. It would make a name differ from what you see.",
        "form ver\u200bse",
        "form verse",
    ),
    "chart-empty": Explanation(
        "The file has no line that says anything: only blank lines and remarks.",
        "; the old mill song, still to be written",
        "title  Six in the Mill\nkey    G\nmeter  3/4\ntempo  quarter = 96\n\nsection verse, 2 measures\n| G | D |",
    ),
    "chord-unknown": Explanation(
        "The word is no chord. A chord is written by letter (G, Am, D7, F#m7b5, C/G) or by degree of the key "
        "(1, 6m, b7, V7, 4/1). One chord is one word, without spaces.",
        "section verse, 3 measures\n| am | H7 | G C7x |",
        "section verse, 3 measures\n| Am | B7 | G C7 |",
    ),
    "chord-unusual": Explanation(
        "The chord belongs to no mode on the song's tonic and leads to no chord that does. It may be a slip of the pen; if it "
        "is meant, leave it as it is: this is a warning, and the chart is built all the same.",
        "section verse, 3 measures\n| G | C# | G |",
        "section verse, 3 measures\n| G | C | G |",
    ),
    "ending-empty": Explanation(
        "An ending has at least one measure: its rows stand beneath its line.",
        "section verse, 4 measures\nrepeat\n| G |\nending 1\nending 2\n| D |\nend repeat",
        "section verse, 4 measures\nrepeat\n| G |\nending 1\n| C |\nending 2\n| D |\nend repeat",
    ),
    "ending-numbers": Explanation(
        "Each time that a repeat is played has exactly one ending: none is missing, none is there twice, and "
        "none is beyond the number of times. A repeat without a number is played twice.",
        "section verse, 4 measures\nrepeat\n| G |\nending 1\n| C |\nending 3\n| D |\nend repeat",
        "section verse, 4 measures\nrepeat\n| G |\nending 1\n| C |\nending 2\n| D |\nend repeat",
    ),
    "ending-outside": Explanation(
        "A numbered ending stands inside a repeat, below the rows that are played each time.",
        "section verse, 2 measures\n| G |\nending 1\n| C |",
        "section verse, 4 measures\nrepeat\n| G |\nending 1\n| C |\nending 2\n| D |\nend repeat",
    ),
    "header-late": Explanation(
        "The headers (title, credit, language, key, meter, tempo, melody, form) stand above the first section. A chart has one key: a section that "
        "goes up is written with its chords as they sound.",
        "section verse, 1 measure\n| G |\ncredit  the Mossgate Packet",
        "credit  the Mossgate Packet\nsection verse, 1 measure\n| G |",
    ),
    "header-missing": Explanation(
        "Each chart says its title, its key and its meter.",
        "title  Six in the Mill\nmeter  3/4\ntempo  quarter = 96\n\nsection verse, 1 measure\n| G |",
        "title  Six in the Mill\nkey    G\nmeter  3/4\ntempo  quarter = 96\n\nsection verse, 1 measure\n| G |",
    ),
    "header-twice": Explanation(
        "Each header is given once; only the form may take several lines, which add up.",
        "credit  the Mossgate Packet\ncredit  Hob Farrow",
        "credit  the Mossgate Packet, Hob Farrow",
    ),
    "job-comma": Explanation(
        "Who leads, who fills and who chops stand on one line with commas between, or on lines of their own.",
        "section verse, 1 measure\n  lead voice fills banjo\n| G |",
        "section verse, 1 measure\n  lead voice, fills banjo\n| G |",
    ),
    "job-twice": Explanation(
        "A section has one lead, one that fills and one that chops.",
        "section verse, 1 measure\n  lead voice, lead fiddle\n| G |",
        "section verse, 1 measure\n  lead voice, fills fiddle\n| G |",
    ),
    "key-value": Explanation(
        "A key is a capital letter, perhaps with b or #, and a mode: major where none is written, minor (or "
        "m), mixolydian, dorian. Its signature has seven accidentals at most.",
        "key  g minor",
        "key  G minor",
    ),
    "language-value": Explanation(
        "A language is its code of two or three letters (ISO 639), with a country or script behind a hyphen where that is needed: cs, ga, "
        "pt-BR. It is the language of title, credit and words, by which a screen reader speaks them.",
        "language  Czech",
        "language  cs",
    ),
    "limit-form": Explanation(
        "The form with its repeats plays more than 20,000 measures.",
    ),
    "limit-line": Explanation(
        "A line of more than 10,000 characters is not read; no page has room for it. A long row, or a long form, is written in "
        "several lines."
    ),
    "limit-measures": Explanation(
        "The sections together have more than 10,000 printed measures.",
    ),
    "limit-sections": Explanation(
        "A chart has 200 sections at most, those that only the form names included.",
    ),
    "line-form": Explanation(
        "The line begins with a keyword, but goes on in a way that cannot be read.",
        "section verse 1 measure\n| G |",
        "section verse, 1 measure\n| G |",
    ),
    "line-unknown": Explanation(
        "Each line begins with a keyword or a bar line. A remark begins with a semicolon.",
        "form verse\nchorus\nsection verse, 1 measure\n| G |",
        "form verse\n; chorus\nsection verse, 1 measure\n| G |",
    ),
    "measure-again": Explanation(
        "The sign % stands alone in its measure and means the chords of the measure before. It cannot stand "
        "in the first measure of a section, nor where the measure before is another one each time: first in a "
        "repeat or in a later ending.",
        "section verse, 2 measures\n| % | C |",
        "section verse, 2 measures\n| G | C |",
    ),
    "measure-beats": Explanation(
        "One word fills its measure; as many words as beats are one each; two words in an even number of "
        "beats are half and half. Measures of 6/8, 9/8 and 12/8 also take a word for each eighth, and meters "
        "of half notes one for each quarter. The sign / holds the chord before it one beat more.",
        "section verse, 1 measure\n| G C D |",
        "section verse, 1 measure\n| G / C D |",
    ),
    "measure-count": Explanation(
        "A section declares how many measures it has, played once through: repeats and endings played out, "
        "the pickup left out. The rows beneath must agree with it.",
        "section verse, 4 measures\n| G | C | D |",
        "section verse, 4 measures\n| G | C | D | G |",
    ),
    "measure-empty": Explanation(
        "Between two bar lines of a chord row there is a chord, % or NC.",
        "section verse, 2 measures\n| G | |",
        "section verse, 2 measures\n| G | NC |",
    ),
    "measure-hold": Explanation(
        "The sign / holds the chord before it in the same measure, so no measure begins with it.",
        "section verse, 2 measures\n| G | / / C / |",
        "section verse, 2 measures\n| G | G / C / |",
    ),
    "measure-length": Explanation(
        "The sign % repeats a measure of the same length; here the measure before is shorter or longer.",
        "section verse, 2 measures\n| in 2/4: G | % |",
        "section verse, 2 measures\n| in 2/4: G | G |",
    ),
    "melody-value": Explanation(
        "The melody is given by its lowest and its highest note, with octaves (C4 is middle C), the lower one "
        "first, from C2 to C7 and at most three octaves apart.",
        "melody  B4 to D4",
        "melody  D4 to B4",
    ),
    "meter-value": Explanation(
        "A meter is 1 to 24 over 2, 4, 8 or 16.",
        "meter  4/3",
        "meter  4/4",
    ),
    "phrase-length": Explanation(
        "One row of the section has a measure more or less than all the others, which have equally many. A measure may be "
        "missing from the row and from the declared number. Where the tune is crooked, leave it: this is a warning.",
        "section verse, 11 measures\n| G | G | C | G |\n| G | C | D |\n| G | C | D | G |",
        "section verse, 12 measures\n| G | G | C | G |\n| G | C | D | D |\n| G | C | D | G |",
    ),
    "pickup-length": Explanation(
        "A pickup is shorter than a full measure. Its length is a fraction of a whole note: 1/4 is one quarter.",
        "section verse, 1 measure\n| pickup 4/4: D | G |",
        "section verse, 1 measure\n| pickup 1/4: D | G |",
    ),
    "pickup-place": Explanation(
        "A pickup is the first measure of a section.",
        "section verse, 2 measures\n| G | pickup 1/4: D | C |",
        "section verse, 2 measures\n| pickup 1/4: D | G | C |",
    ),
    "repeat-empty": Explanation(
        "A repeat has rows of chords between its first and its last line, and before its first ending.",
        "section verse, 1 measure\n| G |\nrepeat\nend repeat",
        "section verse, 2 measures\nrepeat\n| G |\nend repeat",
    ),
    "repeat-nested": Explanation(
        "A repeat ends before the next one begins.",
        "section verse, 8 measures\nrepeat\n| G |\nrepeat\n| C |\nend repeat\nend repeat",
        "section verse, 4 measures\nrepeat\n| G |\nend repeat\nrepeat\n| C |\nend repeat",
    ),
    "repeat-open": Explanation(
        "A repeat ends with a line of its own: end repeat.",
        "section verse, 2 measures\nrepeat\n| G |",
        "section verse, 2 measures\nrepeat\n| G |\nend repeat",
    ),
    "repeat-outside": Explanation(
        "The line end repeat closes a repeat, and none has begun.",
        "section verse, 1 measure\n| G |\nend repeat",
        "section verse, 2 measures\nrepeat\n| G |\nend repeat",
    ),
    "repeat-times": Explanation(
        "A repeat is played 2 to 12 times.",
        "section verse, 1 measure\nrepeat 1 times\n| G |\nend repeat",
        "section verse, 3 measures\nrepeat 3 times\n| G |\nend repeat",
    ),
    "row-alone": Explanation(
        "The rows voice, ask and words stand beneath a row of chords.",
        "section verse, 1 measure\nvoice | sung |\n| G |",
        "section verse, 1 measure\n| G |\nvoice | sung |",
    ),
    "row-bar": Explanation(
        "A row begins with a bar line (after its keyword, if it has one) and ends with a bar line.",
        "section verse, 2 measures\n| G | C",
        "section verse, 2 measures\n| G | C |",
    ),
    "row-cells": Explanation(
        "A row beneath the chords is cut by the same bar lines: it has as many places as the chords have "
        "measures. A place may stay empty.",
        "section verse, 2 measures\n| G | C |\nvoice | sung |",
        "section verse, 2 measures\n| G | C |\nvoice | sung | |",
    ),
    "row-outside": Explanation(
        "Rows, repeats and the lines that say who leads belong to a section.",
        "| G |\nsection verse, 1 measure\n| G |",
        "section verse, 1 measure\n| G |",
    ),
    "row-twice": Explanation(
        "A row of chords has at most one row of each kind beneath it.",
        "section verse, 1 measure\n| G |\nvoice | sung |\nvoice | held |",
        "section verse, 1 measure\n| G |\nvoice | sung held |",
    ),
    "section-borrow": Explanation(
        "A section borrows from one that has measures of its own, not from one that borrows itself.",
        "form verse, break, tag\nsection verse, 1 measure\n| G |\nsection break as verse\nsection tag as break",
        "form verse, break, tag\nsection verse, 1 measure\n| G |\nsection break as verse\nsection tag as verse",
    ),
    "section-empty": Explanation(
        "A section has rows of chords, or borrows those of another section.",
        "section verse, 1 measure\n| G |\nsection tag, 2 measures\n  lead banjo",
        "section verse, 1 measure\n| G |\nsection tag, 2 measures\n  lead banjo\n| D7 | G |",
    ),
    "section-missing": Explanation(
        "A chart has at least one section.",
        "form verse",
        "form verse\nsection verse, 1 measure\n| G |",
    ),
    "section-name": Explanation(
        "A section's name is letters, digits, spaces, hyphens and apostrophes, begins with a letter or a "
        "digit, and has not the word as in it, which is kept for borrowing.",
        "section 'cross the river, 1 measure\n| G |",
        "section cross the river, 1 measure\n| G |",
    ),
    "section-rows": Explanation(
        "A section that borrows the measures of another has no rows of its own.",
        "section verse, 1 measure\n| G |\nsection break as verse\n| C |",
        "section verse, 1 measure\n| G |\nsection break, 1 measure\n| C |",
    ),
    "section-twice": Explanation(
        "Each section has a name of its own; capitals make no difference.",
        "section verse, 1 measure\n| G |\nsection Verse, 1 measure\n| C |",
        "section verse 1, 1 measure\n| G |\nsection verse 2, 1 measure\n| C |",
    ),
    "section-unknown": Explanation(
        "The form, or a section that borrows, names a section that the chart does not have.",
        "form verse, chorous\nsection verse, 1 measure\n| G |\nsection chorus, 1 measure\n| C |",
        "form verse, chorus\nsection verse, 1 measure\n| G |\nsection chorus, 1 measure\n| C |",
    ),
    "section-unused": Explanation(
        "A section is named in the form or lends its measures. Without a form, each section is played once.",
        "form verse\nsection verse, 1 measure\n| G |\nsection tag, 1 measure\n| G |",
        "form verse, tag\nsection verse, 1 measure\n| G |\nsection tag, 1 measure\n| G |",
    ),
    "tempo-missing": Explanation(
        "Without a tempo, a quarter note = 100 is taken.",
        "title  Six in the Mill\nkey    G\nmeter  3/4\n\nsection verse, 1 measure\n| G |",
        "title  Six in the Mill\nkey    G\nmeter  3/4\ntempo  quarter = 96\n\nsection verse, 1 measure\n| G |",
    ),
    "tempo-unlikely": Explanation(
        "A tempo usually counts the beat of the meter, or the note twice or half as long: quarter or half in 4/4, dotted "
        "quarter in 6/8. With another note, or a song slower than quarter = 40 or faster than 400, the licks would be chosen "
        "for a speed that you do not mean. This is a warning.",
        "tempo  whole = 112",
        "tempo  half = 112",
    ),
    "tempo-value": Explanation(
        "A tempo is a note length and how many of them go to a minute, 20 to 400: quarter = 112, dotted quarter = 60.",
        "tempo  quater = 112",
        "tempo  quarter = 112",
    ),
    "text-long": Explanation(
        "The text is longer than a sheet has room for: 200 characters in a title, a credit or a measure's "
        "words, 60 in the name of a section.",
    ),
    "voice-beats": Explanation(
        "The words of the voice share the beats of a measure as chords do.",
        "section verse, 1 measure\n| G |\nvoice | sung held silent |",
        "section verse, 1 measure\n| G |\nvoice | sung / held silent |",
    ),
    "voice-word": Explanation(
        "The voice is sung, held or silent; / holds the word before it one beat more.",
        "section verse, 1 measure\n| G |\nvoice | sang |",
        "section verse, 1 measure\n| G |\nvoice | sung |",
    ),
}
"""Each code with its meaning."""
