"""What the program itself is: its files, its fonts and the libraries that its output depends on."""

from __future__ import annotations

import hashlib
import os
import platform
import zlib
from functools import cache
from importlib.util import find_spec
from pathlib import Path

_PACKAGE = Path(__file__).resolve().parent.parent
_SUFFIXES = (".py", ".yaml", ".lark", ".ttf", ".json")
_LIBRARIES = ("lark", "reportlab", "rl_accel", "yaml", "numpy")
_FONTS = "fontpkg_ibm_plex_sans_condensed"


@cache
def program() -> str:
    """A digest of everything but the user's own files that outputs depend on: the program's files with their content, the faces,
    and the versions of Python, zlib and the libraries. Nothing of it is imported."""
    known = hashlib.sha256(f"{platform.python_version()} {zlib.ZLIB_RUNTIME_VERSION}".encode())
    folders = [_PACKAGE]
    if not (_PACKAGE / "grammar").is_dir():
        folders.append(_PACKAGE.parent / "grammar")
    fonts = find_spec(_FONTS)
    folders += [Path(p) for p in (fonts.submodule_search_locations or ())] if fonts is not None else []
    for folder in folders:
        for path in _files(str(folder)):
            with open(path, "rb") as file:
                known.update(f"{os.path.relpath(path, folder)} {hashlib.sha256(file.read()).hexdigest()}\n".encode())
    for name in _LIBRARIES:
        known.update(f"{name} {_library(name)}\n".encode())
    return known.hexdigest()


def _files(folder: str) -> list[str]:
    out = []
    for root, below, names in os.walk(folder):
        below[:] = sorted(b for b in below if b != "__pycache__")
        out += [os.path.join(root, n) for n in sorted(names) if n.endswith(_SUFFIXES)]
    return out


def _library(name: str) -> str:
    """The library's own version, as far as it is said where it is installed: the name of its record, or its file's size and time."""
    spec = find_spec(name)
    if spec is None or spec.origin is None:
        return "none"
    try:
        place = Path(spec.origin)
        site = place.parent.parent if place.stem == "__init__" else place.parent
        wanted = {f"{n}-" for n in (name, "pyyaml" if name == "yaml" else name)}
        records = [e for e in _listed(str(site)) if e.endswith(".dist-info") and e.lower().startswith(tuple(wanted))]
        if records:
            return " ".join(sorted(records))
        about = os.stat(place)
        return f"{about.st_size} {about.st_mtime_ns}"
    except OSError:
        return "none"


@cache
def _listed(folder: str) -> tuple[str, ...]:
    return tuple(os.listdir(folder))
