"""Theme: colours, fonts and measures of the window, in light and dark, each also in high contrast.

``apply_theme`` dresses the whole application once and follows the system where asked to.  Whatever paints for itself
takes its colours from ``colours(widget)``, so that it changes with the palette and needs no signal of its own.

Contrast by the WCAG formula, and the distance of neighbouring chart colours under simulated colour blindness, are
measured in ``tests/gui/test_theme.py``.
"""

import math
from dataclasses import dataclass
from typing import Literal

from PySide6.QtCore import QObject, Qt, Slot
from PySide6.QtGui import QColor, QFont, QFontInfo, QFontMetrics, QPalette
from PySide6.QtWidgets import QApplication, QStyleFactory, QWidget

Mode = Literal["system", "light", "dark", "contrast"]

_GRID_PX = 4
_SMALLEST_TEXT_PX = 13  # the system's size counts where it is larger
_FRAMED = (
    *("QLineEdit", "QAbstractSpinBox", "QComboBox", "QPlainTextEdit", "QPushButton"),
    *("QCheckBox", "QRadioButton", "QListView", "QTreeWidget"),
)


@dataclass(frozen=True)
class Colours:
    """The colours of one look; chart families run from dark to light."""

    paper: QColor  # where one writes: table, fields
    panel: QColor  # where one reads: window, charts
    ink: QColor
    muted: QColor
    accent: QColor
    met: QColor
    near: QColor
    missed: QColor
    edge: QColor  # around a chart segment
    outline: QColor  # around a field or a button
    track: QColor  # the empty part of a bar
    grid: QColor
    band: QColor  # a target behind a bar
    pattern: QColor  # lies on the chart families, which are the same in all looks
    line_px: int  # of edges and focus frames
    carbohydrate: tuple[QColor, ...]
    fat: tuple[QColor, ...]
    fibre: tuple[QColor, ...]
    undigested: tuple[QColor, ...]


def mixed(top: QColor, ground: QColor, share: float) -> QColor:
    """``top`` at an opacity of ``share`` on an opaque ``ground``."""

    def part(above: int, below: int) -> int:
        return round(share * above + (1.0 - share) * below)

    return QColor(part(top.red(), ground.red()), part(top.green(), ground.green()), part(top.blue(), ground.blue()))


def _family(*names: str) -> tuple[QColor, ...]:
    return tuple(QColor(name) for name in names)


def _look(
    paper: str, panel: str, ink: str, muted: str, accent: str, met: str, near: str, missed: str, *, strong: bool = False
) -> Colours:
    on_panel, dark, edge, pattern = QColor(panel), QColor(ink), QColor(ink), QColor("#1F2328")
    if not strong:
        edge.setAlphaF(0.6)
        pattern.setAlphaF(0.55)
    return Colours(
        paper=QColor(paper),
        panel=on_panel,
        ink=dark,
        muted=QColor(muted),
        accent=QColor(accent),
        met=QColor(met),
        near=QColor(near),
        missed=QColor(missed),
        edge=edge,
        outline=mixed(dark, on_panel, 0.9 if strong else 0.55),
        track=mixed(dark, on_panel, 0.0 if strong else 0.07),
        grid=mixed(dark, on_panel, 0.65 if strong else 0.22),
        band=mixed(QColor(accent), on_panel, 0.25),
        pattern=pattern,
        line_px=2 if strong else 1,
        # The families are the same in all looks: the edge of every segment, not its fill, sets it off from the ground.
        carbohydrate=_family("#B35C00", "#E69F00", "#F3D08A", "#FAEFD6"),
        fat=_family("#00594E", "#1F9681", "#76C6B3", "#CDEFE6", "#DDD9D0"),
        fibre=_family("#5B4A8A", "#9387C4", "#C9C2E3"),
        undigested=_family("#7A5C4A"),
    )


LIGHT = _look("#FBFAF7", "#F1EFEA", "#1F2328", "#5A6068", "#0B5C7A", "#1B6E4B", "#8A5A00", "#A32A2A")
DARK = _look("#16191C", "#1F2428", "#E8E6E1", "#A3A9B0", "#6CC3E0", "#6FCF9F", "#E6B450", "#F08A80")
LIGHT_STRONG = _look(
    "#FFFFFF", "#F7F7F7", "#000000", "#3A3F45", "#00405C", "#00492B", "#5E3C00", "#7F1010", strong=True
)
DARK_STRONG = _look("#000000", "#0A0A0A", "#FFFFFF", "#D2D6DB", "#8FDCF5", "#8FEBBB", "#FFD070", "#FFB0A8", strong=True)
_BY_GROUND = {look.panel.rgb(): look for look in (LIGHT, DARK, LIGHT_STRONG, DARK_STRONG)}


def colours(source: QWidget | QPalette) -> Colours:
    """The colours that belong to a widget or a palette."""
    palette = source if isinstance(source, QPalette) else source.palette()
    ground = palette.color(QPalette.ColorRole.Window)
    return _BY_GROUND.get(ground.rgb()) or (DARK if ground.lightness() < 128 else LIGHT)


def row_height(metrics: QFontMetrics) -> int:
    """Height of a table row for a font: 32 at 100 %, on the grid of 4. [px]"""
    return _GRID_PX * math.ceil(2 * metrics.height() / _GRID_PX)


def number_font(base: QFont | None = None) -> QFont:
    """``base`` (default: the application's font) with figures of equal width, so that digits stay in their columns."""
    font = QFont(QApplication.font() if base is None else base)
    font.setFeature(QFont.Tag("tnum"), 1)
    return font


def apply_theme(app: QApplication, mode: Mode, *, styled: bool = True) -> None:
    """Dress the application; without ``styled`` the stylesheet waits for ``add_stylesheet``.

    With ``system`` it follows the light or dark look of the system, and its wish for more contrast, from then on; with
    ``contrast`` it follows light and dark.
    """
    follower = app.findChild(_SystemFollower) or _SystemFollower(app)
    follower.mode = mode
    hints = app.styleHints()
    if mode == "light" or mode == "dark":  # window frames and native dialogs come along
        hints.setColorScheme(Qt.ColorScheme.Dark if mode == "dark" else Qt.ColorScheme.Light)
    else:
        hints.unsetColorScheme()
    if app.style().objectName().lower() != "fusion":
        app.setStyle(QStyleFactory.create("Fusion"))
    font = app.font()
    if QFontInfo(font).pixelSize() < _SMALLEST_TEXT_PX:
        font.setPixelSize(_SMALLEST_TEXT_PX)
        app.setFont(font)
    dark = mode == "dark" or (mode != "light" and hints.colorScheme() == Qt.ColorScheme.Dark)
    _dress(app, _choose(mode, dark), styled)


def add_stylesheet(app: QApplication) -> None:
    """The rest of the dress.  A window is built in half the time before it than after it."""
    app.setStyleSheet(_stylesheet(colours(app.palette())))


def _choose(mode: Mode, dark: bool) -> Colours:
    asked = QApplication.styleHints().accessibility().contrastPreference()
    if mode == "contrast" or (mode == "system" and asked == Qt.ContrastPreference.HighContrast):
        return DARK_STRONG if dark else LIGHT_STRONG
    return DARK if dark else LIGHT


class _SystemFollower(QObject):
    """Lives with the application and repeats the system's changes of look where the mode asks for that."""

    def __init__(self, app: QApplication) -> None:
        super().__init__(app)
        self.mode: Mode = "system"
        hints = app.styleHints()
        hints.colorSchemeChanged.connect(self._follow)
        hints.accessibility().contrastPreferenceChanged.connect(lambda: self._follow(hints.colorScheme()))

    @Slot(Qt.ColorScheme)
    def _follow(self, scheme: Qt.ColorScheme) -> None:
        app = self.parent()
        if self.mode in ("system", "contrast") and isinstance(app, QApplication):
            _dress(app, _choose(self.mode, scheme == Qt.ColorScheme.Dark))


def _dress(app: QApplication, look: Colours, styled: bool = True) -> None:
    palette = _palette(look)
    app.setPalette(palette)
    # Fusion draws the frame of a field in its Window colour, darkened by 1.4; else it could hardly be seen.
    outline = look.outline
    palette.setColor(
        QPalette.ColorRole.Window,
        QColor.fromHsv(outline.hue(), outline.saturation(), min(255, round(1.4 * outline.value()))),
    )
    for kind in _FRAMED:
        app.setPalette(palette, kind)  # type: ignore[arg-type]  # the stub of 6.11 asks for bytes, the call for text
    if styled:
        add_stylesheet(app)


def _palette(look: Colours) -> QPalette:
    role, group = QPalette.ColorRole, QPalette.ColorGroup
    palette = QPalette(look.panel)  # shades of the frames are derived from it
    for name, colour in (
        (role.Window, look.panel),
        (role.WindowText, look.ink),
        (role.Base, look.paper),
        (role.AlternateBase, mixed(look.panel, look.paper, 0.5)),
        (role.Text, look.ink),
        (role.Button, look.panel),
        (role.ButtonText, look.ink),
        (role.BrightText, look.missed),
        (role.ToolTipBase, look.paper),
        (role.ToolTipText, look.ink),
        (role.PlaceholderText, look.muted),
        (role.Highlight, look.accent),
        (role.HighlightedText, look.paper),
        (role.Accent, look.accent),
        (role.Link, look.accent),
        (role.LinkVisited, look.accent),
    ):
        palette.setColor(name, colour)
    faint = mixed(look.muted, look.panel, 0.7)
    for name in (role.WindowText, role.Text, role.ButtonText):
        palette.setColor(group.Disabled, name, faint)
    return palette


def _stylesheet(look: Colours) -> str:
    """The one stylesheet.  It names few widgets, because a styled widget paints slower; no item view is among them.

    Scroll bars are flat, because Fusion's take about 1 ms to paint, as long as all the charts together.
    A button with the property ``choice`` is one of a row of which one is chosen.
    """
    paper, ink, muted, accent = look.paper.name(), look.ink.name(), look.muted.name(), look.accent.name()
    line, track, chosen = look.grid.name(), look.track.name(), mixed(look.accent, look.panel, 0.14).name()
    grip, px = mixed(look.muted, look.panel, 0.6).name(), look.line_px
    return f"""
        QToolTip {{ background: {paper}; color: {ink}; border: 1px solid {line}; padding: 4px; }}
        QStatusBar::item {{ border: none; }}
        QPushButton:focus {{
            border: {px + 1}px solid {accent}; border-radius: 3px; padding: 0 2px;
            background: {chosen}; outline: none;
        }}
        QScrollBar {{ background: {track}; border: none; margin: 0; }}
        QScrollBar:vertical {{ width: 12px; }}
        QScrollBar:horizontal {{ height: 12px; }}
        QScrollBar::handle {{ background: {grip}; margin: 2px; }}
        QScrollBar::handle:vertical {{ min-height: 28px; }}
        QScrollBar::handle:horizontal {{ min-width: 28px; }}
        QScrollBar::handle:hover {{ background: {accent}; }}
        QScrollBar::add-line, QScrollBar::sub-line {{ width: 0; height: 0; border: none; background: none; }}
        QScrollBar::add-page, QScrollBar::sub-page {{ background: none; }}
        QToolButton[choice="true"] {{
            border: {px}px solid transparent; border-bottom: 2px solid {line}; padding: 3px 4px; color: {muted};
        }}
        QToolButton[choice="true"]:hover {{ color: {ink}; background: {track}; }}
        QToolButton[choice="true"]:checked {{
            color: {ink}; background: {chosen}; border-bottom: 2px solid {accent};
        }}
        QToolButton[choice="true"]:focus {{ border: {px}px solid {accent}; border-bottom-width: {px + 1}px; }}
    """
