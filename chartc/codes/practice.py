"""Codes of the file in which a player marks progress."""

from __future__ import annotations

from chartc.text.explanation import Explanation

PRACTICE: dict[str, Explanation] = {
    "progress-word": Explanation(
        "A line of the progress file begins with what it marks: known, learning or resting for licks, clean or unclean for joins, "
        "forget for either. A semicolon begins a comment.",
        "; progress\nknwon ferry-plank",
        "; progress\nknown ferry-plank",
    ),
    "progress-empty": Explanation(
        "After the word stand names of licks, or joins, with commas between them.",
        "; progress\nlearning",
        "; progress\nlearning ferry-plank, lock-gate",
    ),
    "progress-entry": Explanation(
        "known, learning and resting mark licks by name; clean and unclean mark joins, written as two names with the word into "
        "between them.",
        "; progress\nclean ferry-plank",
        "; progress\nclean ferry-plank into lock-gate",
    ),
    "progress-lick": Explanation(
        "The library has no lick of that name: perhaps a slip, perhaps a lick of another player's file. The mark is kept, but "
        "nothing uses it.",
        "; progress\nknown ferry-plonk",
        "; progress\nknown ferry-plank",
    ),
}
"""Each code with its explanation."""
