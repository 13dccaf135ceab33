"""Tags of languages."""

from __future__ import annotations

import pytest

from chartc.chart.language import language_meant, language_tag


@pytest.mark.parametrize(
    "tag",
    [
        "de", "fr", "ja", "zh-Hant", "zh-Hans", "sr-Cyrl", "sr-Latn", "zh-Hans-CN", "sr-Latn-RS", "sl-rozaj", "sl-nedis", "de-CH-1901",
        "hy-Latn-IT-arevela", "de-DE", "en-US", "es-419", "de-CH-x-phonebk", "en-US-u-islamcal", "zh-CN-a-myext-x-private",
        "ast", "cs", "ga", "pl",
    ],
)  # fmt: skip
def test_tags_of_the_standard(tag: str) -> None:
    """Protects every language: the standard's own examples are taken as they are. Source: RFC 5646, appendix A, from memory (but for extended and
    grandfathered tags)."""
    assert language_tag(tag) == tag


@pytest.mark.parametrize(
    "text", ["", "e", "cz", "czech", "de-419-DE", "en-GB-GB", "a-DE", "pt_BR", "xx", "de-", "en us"]
)
def test_what_is_no_tag(text: str) -> None:
    """Protects screen readers from tags that mean nothing. The fifth and seventh are RFC 5646's own examples of tags that are wrong."""
    assert language_tag(text) is None


@pytest.mark.parametrize(
    ("text", "tag"),
    [
        ("Czech", "cs"), ("čeština", "cs"), ("cz", "cs"), ("Deutsch", "de"), ("svenska", "sv"), ("español", "es"), ("pt_BR", "pt-BR"),
        ("en US", "en-US"), ("Polsh", "pl"), ("Scottish Gaelic", "gd"), ("klingon", ""), ("xx", ""), ("latin", "la"), ("dk", "da"),
    ],
)  # fmt: skip
def test_what_is_meant(text: str, tag: str) -> None:
    """Protects the remedy: names in English and in the language itself, countries, and other marks between the parts lead to the tag; what
    nobody can tell leads nowhere."""
    assert language_meant(text) == tag
