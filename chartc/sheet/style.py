"""Sizes of the backup sheet, in points: made to be read from a music stand at 60 cm."""

from __future__ import annotations

from chartc.type.faces import CAP_HEIGHT

LINE_GAP = 9.0
"""Between two lines of the tablature staff."""
STAFF_HEIGHT = 4 * LINE_GAP
FRET = 10.0
FRET_HALF_HEIGHT = FRET * CAP_HEIGHT / 2
CHORD = 14.0
SECTION = 14.0
LEADS = 9.5
PICK = 9.0
FINGER = 9.0
TECHNIQUE = 8.5
TRIPLET = 9.0
NAME = 7.5
MOVE = 9.0
VOICE = 7.5
WORDS = 10.0
NUMBER = 8.0
METER = 17.0
BRACKET = 9.0

THIN = 0.6
STAFF = 0.45
STEM = 0.9
BEAM = 2.4
THICK = 2.4

LEAD = 7.5
"""From a bar line to the first number's left edge."""
TAIL = 4.5
"""From the last number's right edge to the bar line, at the least."""
METER_ROOM = 15.0
"""For a meter of one-digit numbers; a second digit takes `METER_DIGIT` more."""
METER_DIGIT = 8.0
REPEAT_ROOM = 9.0
CLOSE_ROOM = 4.5
"""For the double bar at a section's end."""
CHOKE_ROOM = 8.0
"""What a choke's arrow takes at the right of its number."""

STEM_TOP = 5.2
"""Beneath the staff; numbers on the lowest line end above it."""
STEM_FOOT = 17.0
HALF_FOOT = 11.0

HELPER = 0.25
"""Grey of what only helps."""
