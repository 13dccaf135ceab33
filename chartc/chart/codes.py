"""What each code of a chart's diagnostics means, in a few sentences: for a player who asks for more than the message."""

from __future__ import annotations

CODES: dict[str, str] = {
    "ask-fret": "The word fret in an ask row is followed by the fret of the index finger, 1 to 24, as in: fret 5.",
    "ask-nothing": "The row asks for something where the banjo fills nothing: over a measure without a chord, or a pickup. "
    "The request is left out; the chart is read all the same.",
    "ask-parts": "A place in an ask row has one request for the whole measure, or one for each chord of the measure, with "
    "commas between. Neighbouring beats of one chord count as one chord. A request may stay empty.",
    "ask-twice": "A request names at most one role, one place (low, middle, high), one fret and one lick.",
    "ask-word": "The words of an ask row are roles, places (low, middle, high), fret with a number, or names of licks.",
    "character": "The line has a character that does not show, such as a control character, a zero-width space or a mark that "
    "changes the direction of writing. It would make a name differ from what you see.",
    "chart-empty": "The file has no line that says anything: only blank lines and remarks.",
    "chord-unknown": "The word is no chord. A chord is written by letter (G, Am, D7, F#m7b5, C/G) or by degree of the key (1, 6m, "
    "b7, V7, 4/1). One chord is one word, without spaces.",
    "ending-empty": "An ending has at least one measure: its rows stand beneath its line.",
    "ending-numbers": "Each time that a repeat is played has exactly one ending: none is missing, none is there twice, and none "
    "is beyond the number of times. A repeat without a number is played twice.",
    "ending-outside": "A numbered ending stands inside a repeat, below the rows that are played each time.",
    "header-late": "The headers (title, credit, key, meter, tempo, melody, form) stand above the first section.",
    "header-missing": "Each chart says its title, its key and its meter.",
    "header-twice": "Each header is given once; only the form may take several lines, which add up.",
    "job-comma": "Who leads, who fills and who chops stand on one line with commas between, or on lines of their own.",
    "job-twice": "A section has one lead, one that fills and one that chops.",
    "key-value": "A key is a capital letter, perhaps with b or #, and a mode: major where none is written, minor (or m), "
    "mixolydian, dorian. Its signature has seven accidentals at most.",
    "limit-form": "The form with its repeats plays more than 20,000 measures.",
    "limit-measures": "The sections together have more than 10,000 printed measures.",
    "limit-sections": "A chart has 200 sections at most, those that only the form names included.",
    "line-form": "The line begins with a keyword, but goes on in a way that cannot be read.",
    "line-unknown": "Each line begins with a keyword or a bar line. A remark begins with a semicolon.",
    "measure-again": "The sign % stands alone in its measure and means the chords of the measure before. It cannot stand in the first "
    "measure of a section, nor where the measure before is another one each time: first in a repeat or in a later ending.",
    "measure-beats": "One word fills its measure; as many words as beats are one each; two words in an even number of beats are half and "
    "half. Measures of 6/8, 9/8 and 12/8 also take a word for each eighth, and meters of half notes one for each quarter. "
    "The sign / holds the chord before it one beat more.",
    "measure-count": "A section declares how many measures it has, played once through: repeats and endings played out, "
    "the pickup left out. The rows beneath must agree with it.",
    "measure-empty": "Between two bar lines of a chord row there is a chord, % or NC.",
    "measure-hold": "The sign / holds the chord before it in the same measure, so no measure begins with it.",
    "measure-length": "The sign % repeats a measure of the same length; here the measure before is shorter or longer.",
    "melody-value": "The melody is given by its lowest and its highest note, with octaves (C4 is middle C), the lower one first, from "
    "C2 to C7 and at most three octaves apart.",
    "meter-value": "A meter is 1 to 24 over 2, 4, 8 or 16.",
    "pickup-length": "A pickup is shorter than a full measure. Its length is a fraction of a whole note: 1/4 is one quarter.",
    "pickup-place": "A pickup is the first measure of a section.",
    "repeat-empty": "A repeat has rows of chords between its first and its last line, and before its first ending.",
    "repeat-nested": "A repeat ends before the next one begins.",
    "repeat-open": "A repeat ends with a line of its own: end repeat.",
    "repeat-outside": "The line end repeat closes a repeat, and none has begun.",
    "repeat-times": "A repeat is played 2 to 12 times.",
    "row-alone": "The rows voice, ask and words stand beneath a row of chords.",
    "row-bar": "A row begins with a bar line (after its keyword, if it has one) and ends with a bar line.",
    "row-cells": "A row beneath the chords is cut by the same bar lines: it has as many places as the chords have measures. A place "
    "may stay empty.",
    "row-outside": "Rows, repeats and the lines that say who leads belong to a section.",
    "row-twice": "A row of chords has at most one row of each kind beneath it.",
    "section-borrow": "A section borrows from one that has measures of its own, not from one that borrows itself.",
    "section-empty": "A section has rows of chords, or borrows those of another section.",
    "section-missing": "A chart has at least one section.",
    "section-name": "A section's name is letters, digits, spaces, hyphens and apostrophes, begins with a letter or a digit, and has not "
    "the word as in it, which is kept for borrowing.",
    "section-rows": "A section that borrows the measures of another has no rows of its own.",
    "section-twice": "Each section has a name of its own; capitals make no difference.",
    "section-unknown": "The form, or a section that borrows, names a section that the chart does not have.",
    "section-unused": "A section is named in the form or lends its measures. Without a form, each section is played once.",
    "tempo-missing": "Without a tempo, a quarter note = 100 is taken.",
    "tempo-value": "A tempo is a note length and how many of them go to a minute, 20 to 400: quarter = 112, dotted quarter = 60.",
    "text-long": "The text is longer than a sheet has room for: 200 characters in a title, a credit or a measure's words, 60 in "
    "the name of a section.",
    "voice-beats": "The words of the voice share the beats of a measure as chords do.",
    "voice-word": "The voice is sung, held or silent; / holds the word before it one beat more.",
}
"""Each code with its meaning."""
