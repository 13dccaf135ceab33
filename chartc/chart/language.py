"""The language of a song's words, by its tag: RFC 5646, "Tags for Identifying Languages", whose first part is a code of ISO 639."""

from __future__ import annotations

import re
import unicodedata

from chartc.chart.findings import slip

_TWO = (
    " aa ab ae af ak am an ar as av ay az ba be bg bi bm bn bo br bs ca ce ch co cr cs cu cv cy da de dv dz ee el en eo es et eu fa "
    "ff fi fj fo fr fy ga gd gl gn gu gv ha he hi ho hr ht hu hy hz ia id ie ig ii ik io is it iu ja jv ka kg ki kj kk kl km kn ko "
    "kr ks ku kv kw ky la lb lg li ln lo lt lu lv mg mh mi mk ml mn mr ms mt my na nb nd ne ng nl nn no nr nv ny oc oj om or os pa "
    "pi pl ps pt qu rm rn ro ru rw sa sc sd se sg si sk sl sm sn so sq sr ss st su sv sw ta te tg th ti tk tl tn to tr ts tt tw ty "
    "ug uk ur uz ve vi vo wa wo xh yi yo za zh zu "
)
"""The codes of two letters (ISO 639-1), from memory; codes of three letters are taken as they are."""

NAMES: dict[str, str] = {
    "basque": "eu", "breton": "br", "bulgarian": "bg", "catalan": "ca", "chinese": "zh", "croatian": "hr", "czech": "cs", "danish": "da",
    "dutch": "nl", "english": "en", "esperanto": "eo", "estonian": "et", "finnish": "fi", "french": "fr", "frisian": "fy", "gaelic": "gd",
    "german": "de", "greek": "el", "hebrew": "he", "hungarian": "hu", "icelandic": "is", "irish": "ga", "italian": "it", "japanese": "ja",
    "korean": "ko", "latin": "la", "latvian": "lv", "lithuanian": "lt", "maltese": "mt", "norwegian": "no", "polish": "pl",
    "portuguese": "pt", "romanian": "ro", "russian": "ru", "scottish gaelic": "gd", "serbian": "sr", "slovak": "sk", "slovene": "sl",
    "slovenian": "sl", "spanish": "es", "swedish": "sv", "turkish": "tr", "ukrainian": "uk", "welsh": "cy", "yiddish": "yi",
    "brezhoneg": "br", "cestina": "cs", "cesky": "cs", "cymraeg": "cy", "dansk": "da", "deutsch": "de", "espanol": "es", "euskara": "eu",
    "francais": "fr", "gaeilge": "ga", "hrvatski": "hr", "islenska": "is", "italiano": "it", "magyar": "hu", "nederlands": "nl",
    "norsk": "no", "polski": "pl", "portugues": "pt", "romana": "ro", "slovencina": "sk", "slovenscina": "sl", "suomi": "fi",
    "svenska": "sv", "turkce": "tr",
    "cn": "zh", "cz": "cs", "dk": "da", "gr": "el", "jp": "ja", "sp": "es", "ua": "uk",
}  # fmt: skip
"""What players may write for a language, in small letters without accents: its English name, its own, or the code of a country."""

# without the extended languages that RFC 5646 has for other codes' sake
_TAG = re.compile(
    r"([a-z]{2,3})((?:-[a-z]{4})?(?:-(?:[a-z]{2}|[0-9]{3}))?(?:-(?:[a-z0-9]{5,8}|[0-9][a-z0-9]{3}))*"
    r"(?:-[a-wyz0-9](?:-[a-z0-9]{2,8})+)*(?:-x(?:-[a-z0-9]{1,8})+)?)",
    re.IGNORECASE,
)


def language_tag(text: str) -> str | None:
    """The tag, its first part in small letters; None where the text is none."""
    match = _TAG.fullmatch(text)
    if match is None:
        return None
    first = match[1].lower()
    return first + match[2] if len(first) == 3 or f" {first} " in _TWO else None


def language_meant(text: str) -> str:
    """The tag that is meant by a text that is none, where one may be sure of it, else nothing: by a name, or a tag with other marks between
    its parts."""
    plain = "".join(c for c in unicodedata.normalize("NFD", text.casefold()) if not unicodedata.combining(c))
    name = plain if plain in NAMES else slip(plain, NAMES) if len(plain) > 3 else ""
    return NAMES.get(name) or language_tag(re.sub(r"[_ ]+", "-", text)) or ""
