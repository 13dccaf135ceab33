"""Pictures of pages, to look at on a screen. Needs the optional library that renders PDF (`pip install 'chartc[preview]'`)."""

from __future__ import annotations

import struct
import zlib
from importlib.util import find_spec
from typing import Any

DPI = 144
"""Dots to an inch: an A4 page is 1191 dots wide."""

NEEDED = "pypdfium2"


def available() -> bool:
    """Whether pictures can be made here."""
    return find_spec(NEEDED) is not None


def picture(document: bytes, index: int = 0, dpi: int = DPI) -> bytes:
    """A page of a PDF document as a PNG file in greys; `index` counts from 0. Raises ModuleNotFoundError without the library."""
    import pypdfium2

    opened: Any = pypdfium2.PdfDocument(document)
    try:
        bitmap = opened[index].render(scale=dpi / 72, grayscale=True)
        return png(bitmap.width, bitmap.height, bitmap.stride, bytes(bitmap.buffer))
    finally:
        opened.close()


def page_count(document: bytes) -> int:
    """How many pages a PDF document has. Raises ModuleNotFoundError without the library."""
    import pypdfium2

    opened: Any = pypdfium2.PdfDocument(document)
    try:
        return len(opened)
    finally:
        opened.close()


def png(width: int, height: int, stride: int, grey: bytes) -> bytes:
    """Rows of 8-bit greys, `stride` bytes from one to the next, as a PNG file. Form of the file: ISO/IEC 15948."""
    import numpy as np

    rows = np.frombuffer(grey, np.uint8)[: stride * height].reshape(height, stride)[:, :width]
    # each row as what differs from the one above: lines and white paper become zeros
    out = np.empty((height, width + 1), np.uint8)
    out[:, 0] = 2
    out[0, 1:] = rows[0]
    out[1:, 1:] = rows[1:] - rows[:-1]
    head = struct.pack(">IIBBBBB", width, height, 8, 0, 0, 0, 0)
    return b"".join(
        (
            b"\x89PNG\r\n\x1a\n",
            _chunk(b"IHDR", head),
            _chunk(b"IDAT", zlib.compress(out.tobytes(), 6)),
            _chunk(b"IEND", b""),
        )
    )


def _chunk(name: bytes, data: bytes) -> bytes:
    return struct.pack(">I", len(data)) + name + data + struct.pack(">I", zlib.crc32(name + data))
