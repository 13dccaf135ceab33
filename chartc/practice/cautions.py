"""What stands on every drill and plan. It is published advice; the program gives none of its own."""

from __future__ import annotations

CAUTIONS = (
    "Warm up first. Rest five minutes in each half hour. Raise the daily time in small steps. Never play through pain; if it lasts or "
    "comes back, see a health professional who knows musicians. (After the British Association for Performing Arts Medicine.)"
)
"""Source: advice to musicians of the British Association for Performing Arts Medicine (BAPAM), in short."""

EVIDENCE = (
    "Short turns in mixed order may help; the evidence is small and mixed. Clarinettists judged mixed practice better (Carter and Grahn "
    "2016); practice in random order is worse at first and better kept (Shea and Morgan 1979); others found little."
)
"""What is known of interleaved practice, and how little."""
