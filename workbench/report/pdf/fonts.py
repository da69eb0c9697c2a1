"""The bundled font: which characters it has, and how wide a text is.  Nothing of it is loaded before it is used."""

import threading
from functools import cache, lru_cache
from pathlib import Path
from typing import Any

from workbench.base.paths import resources

FAMILY = "body"
MM_PER_PT = 25.4 / 72.0
X_HEIGHT = 0.547  # of the size; DejaVu Sans
CAP_HEIGHT = 0.729

_measuring = threading.Lock()  # a preview and an export may measure at the same time
_MEASURED_PT = 100.0


def font_file(*, bold: bool) -> Path:
    """The file of the font."""
    return resources() / "fonts" / f"DejaVuSansCondensed{'-Bold' if bold else ''}.ttf"


def with_fonts(document: Any) -> Any:
    """Give an ``fpdf.FPDF`` the font, shaped by HarfBuzz so that every script it has reads as it should."""
    document.add_font(FAMILY, "", font_file(bold=False))
    document.add_font(FAMILY, "B", font_file(bold=True))
    document.set_text_shaping(True)
    return document


@cache
def covered() -> frozenset[int]:
    """Code points that the font has in both weights."""
    import uharfbuzz  # type: ignore[import-untyped]

    faces = (uharfbuzz.Face(uharfbuzz.Blob.from_file_path(font_file(bold=bold))) for bold in (False, True))
    return frozenset.intersection(*(frozenset(face.unicodes) for face in faces))


@cache
def _measurer() -> Any:
    from fpdf import FPDF

    return with_fonts(FPDF(unit="pt"))


@lru_cache(maxsize=20_000)
def _width_at_100_pt(text: str, bold: bool) -> float:
    with _measuring:
        measurer = _measurer()
        measurer.set_font(FAMILY, "B" if bold else "", _MEASURED_PT)
        return float(measurer.get_string_width(text))


def width_mm(text: str, size_pt: float, *, bold: bool = False) -> float:
    """Width of a text that the font has. [mm]"""
    return _width_at_100_pt(text, bold) * size_pt / _MEASURED_PT * MM_PER_PT
