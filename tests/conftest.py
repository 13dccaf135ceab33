"""Settings for every test."""

from __future__ import annotations

from hypothesis import settings

# a busy machine must not fail a test: times are measured in tests/bench only
settings.register_profile("chartc", deadline=None)
settings.register_profile("long", deadline=None, max_examples=20_000)
settings.load_profile("chartc")
