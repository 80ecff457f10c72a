"""Reading a PDF back: its text as a person would copy it, page by page, and where that text stands."""

from __future__ import annotations

import io
import re
from collections.abc import Iterator

import numpy as np
import pypdfium2
from PIL import Image

Box = tuple[float, float, float, float]


def pages_of(pdf: bytes) -> list[str]:
    """Text of each page: one space between words, soft breaks taken out."""
    document = pypdfium2.PdfDocument(pdf)
    return [plain(page.get_textpage().get_text_range()) for page in document]


def plain(text: str) -> str:
    """Fraction slashes plain, soft breaks and doubled spaces out."""
    text = text.replace("\u200b", "").replace("\u2044", "/").replace("\ufffe", "").replace("\u00a0", " ")
    return re.sub(r"\s+", " ", text)


def squeezed(text: str) -> str:
    """Without any space: where a table broke a text onto two lines, nobody knows where."""
    return re.sub(r"\s+", "", plain(text))


def rendered(pdf: bytes, dots: float = 100.0) -> Iterator[np.ndarray]:
    """Each page as grey levels, 0 black to 255 white."""
    for page in pypdfium2.PdfDocument(pdf):
        yield np.asarray(page.render(scale=dots / 72).to_pil().convert("L"))


def greys(png: bytes) -> np.ndarray:
    return np.asarray(Image.open(io.BytesIO(png)).convert("L"))


def boxes(pdf: bytes) -> Iterator[tuple[int, str, Box]]:
    """Every run of text on every page: page, text, left, bottom, right, top in points."""
    for number, page in enumerate(pypdfium2.PdfDocument(pdf)):
        texts = page.get_textpage()
        for index in range(texts.count_rects()):
            box = texts.get_rect(index)
            yield number, texts.get_text_bounded(*box), box
