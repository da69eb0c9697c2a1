"""Colours that can be read and told apart, and a window that follows the system's light or dark look."""

import itertools
from collections.abc import Iterator

import numpy as np
import numpy.typing as npt
import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QColor, QFont, QFontMetrics, QPalette
from PySide6.QtWidgets import (
    QApplication,
    QHBoxLayout,
    QLineEdit,
    QPushButton,
    QStyle,
    QStyleOptionButton,
    QWidget,
)
from pytestqt.qtbot import QtBot

from workbench.base.settings import SettingsFile
from workbench.ui.readings import PATTERNS
from workbench.ui.theme import (
    DARK,
    DARK_STRONG,
    LIGHT,
    LIGHT_STRONG,
    Colours,
    Mode,
    apply_theme,
    colours,
    mixed,
    number_font,
    row_height,
)

ALL = {"light": LIGHT, "dark": DARK, "light contrast": LIGHT_STRONG, "dark contrast": DARK_STRONG}
STRONG = (LIGHT_STRONG, DARK_STRONG)
LOOKS = pytest.mark.parametrize("look", ALL.values(), ids=ALL)
FAMILIES = ("carbohydrate", "fat", "fibre", "undigested")

# G. M. Machado, M. M. Oliveira, L. A. F. Fernandes, "A Physiologically-based Model for Simulation of Color Vision
# Deficiency", IEEE Transactions on Visualization and Computer Graphics 15(6), 2009, 1291-1298,
# doi:10.1109/TVCG.2009.113: matrices of severity 1.0, which act on linear RGB.
DICHROMATS = {
    "protan": [[0.152286, 1.052583, -0.204868], [0.114503, 0.786281, 0.099216], [-0.003882, -0.048116, 1.051998]],
    "deutan": [[0.367322, 0.860646, -0.227968], [0.280085, 0.672501, 0.047413], [-0.011820, 0.042940, 0.968881]],
    "tritan": [[1.255528, -0.076749, -0.178779], [-0.078411, 0.930809, 0.147602], [0.004733, 0.691367, 0.303900]],
}
# IEC 61966-2-1 (sRGB, D65): linear RGB to XYZ.
TO_XYZ = np.array(
    [[0.4124564, 0.3575761, 0.1804375], [0.2126729, 0.7151522, 0.0721750], [0.0193339, 0.1191920, 0.9503041]]
)
LEAST_DISTANCE = 16.0


def linear(colour: QColor) -> npt.NDArray[np.float64]:
    """Linear RGB of an sRGB colour (IEC 61966-2-1)."""
    part = np.array(colour.getRgbF()[:3])
    return np.where(part <= 0.04045, part / 12.92, ((part + 0.055) / 1.055) ** 2.4)


def contrast(one: QColor, other: QColor) -> float:
    """Contrast ratio of WCAG 2.2, "contrast ratio" and "relative luminance"."""
    dark, light = sorted(float(linear(c) @ [0.2126, 0.7152, 0.0722]) for c in (one, other))
    return (light + 0.05) / (dark + 0.05)


def lab(rgb: npt.NDArray[np.float64]) -> npt.NDArray[np.float64]:
    """CIE 1976 L*a*b* of linear RGB (CIE 15)."""
    ratio = TO_XYZ @ rgb / TO_XYZ.sum(axis=1)
    f = np.where(ratio > 216 / 24389, np.cbrt(ratio), (24389 / 27 * ratio + 16) / 116)
    return np.array([116 * f[1] - 16, 500 * (f[0] - f[1]), 200 * (f[1] - f[2])])


def distance(one: QColor, other: QColor, vision: str) -> float:
    """CIE76 distance as someone with that colour vision sees it."""
    seen = [lab(np.clip(np.array(DICHROMATS[vision]) @ linear(c), 0, 1)) for c in (one, other)]
    return float(np.linalg.norm(seen[0] - seen[1]))


def test_the_measures_themselves() -> None:
    # WCAG 2.2: black on white is 21:1; #767676 is the lightest grey that passes 4.5 on white.
    assert contrast(QColor("black"), QColor("white")) == pytest.approx(21)
    assert contrast(QColor("#767676"), QColor("white")) >= 4.5 > contrast(QColor("#777777"), QColor("white"))
    # Machado 2009: greys look the same to everyone.
    for matrix in DICHROMATS.values():
        assert np.array(matrix).sum(axis=1) == pytest.approx([1, 1, 1], abs=1e-5)
    # CIE 15: white has L* 100 and no colour.
    assert lab(linear(QColor("white"))) == pytest.approx([100, 0, 0], abs=1e-6)


def least_contrast(look: Colours) -> float:
    """WCAG 2.2: 4.5 is success criterion 1.4.3 (text), 7 is 1.4.6 (text, enhanced)."""
    return 7.0 if look in STRONG else 4.5


@LOOKS
def test_every_text_colour_can_be_read_on_every_ground(look: Colours) -> None:
    for name, ground in itertools.product(("ink", "muted", "accent", "met", "near", "missed"), ("paper", "panel")):
        measured = contrast(getattr(look, name), getattr(look, ground))
        assert measured >= least_contrast(look), f"{name} on {ground}: {measured:.2f}"
    chosen = mixed(look.accent, look.paper, 0.15)  # the ground of the row under the keyboard
    assert contrast(look.ink, chosen) >= least_contrast(look)
    assert contrast(look.muted, chosen) >= 4.5
    assert contrast(look.paper, look.accent) >= least_contrast(look)  # selected text, and the figure on a moved edge


@LOOKS
def test_lines_that_mean_something_stand_out(look: Colours) -> None:
    # WCAG 2.2, success criteria 1.4.11 (non-text contrast) and 2.4.13 (focus appearance): 3:1.
    for ground in (look.paper, look.panel):
        assert contrast(look.accent, ground) >= 3.0  # focus, the edges and the aim of a target
        assert contrast(look.outline, ground) >= 3.0  # fields
        assert contrast(mixed(look.edge, ground, look.edge.alphaF()), ground) >= 3.0  # parts of a bar
    assert contrast(look.accent, look.band) >= 3.0
    assert contrast(look.ink, look.band) >= 3.0  # the marker on a target
    assert look.line_px == (2 if look in STRONG else 1)


@pytest.mark.parametrize(
    ("mode", "scheme", "look"),
    [
        ("light", Qt.ColorScheme.Dark, LIGHT),
        ("dark", Qt.ColorScheme.Light, DARK),
        ("contrast", Qt.ColorScheme.Light, LIGHT_STRONG),
        ("contrast", Qt.ColorScheme.Dark, DARK_STRONG),
    ],
    ids=ALL,
)
def test_what_the_widgets_really_paint_can_be_read(
    mode: Mode, scheme: Qt.ColorScheme, look: Colours, app: QApplication, qtbot: QtBot
) -> None:
    apply_theme(app, mode)
    app.styleHints().colorSchemeChanged.emit(scheme)
    window = QWidget()
    qtbot.addWidget(window)
    field = QLineEdit(window)
    field.setGeometry(10, 10, 120, 30)
    window.show()
    assert colours(window) is look
    role, palette = QPalette.ColorRole, window.palette()
    for text, ground in (
        (role.WindowText, role.Window),
        (role.Text, role.Base),
        (role.Text, role.AlternateBase),
        (role.ButtonText, role.Button),
        (role.PlaceholderText, role.Base),
        (role.HighlightedText, role.Highlight),
        (role.ToolTipText, role.ToolTipBase),
        (role.Link, role.Window),
    ):
        measured = contrast(palette.color(text), palette.color(ground))
        assert measured >= least_contrast(look), f"{text} on {ground}: {measured:.2f}"
    image = window.grab().toImage()
    ratio = image.devicePixelRatio()
    left = [image.pixelColor(round(x * ratio), round(25 * ratio)) for x in range(9, 14)]
    assert max(contrast(colour, look.panel) for colour in left) >= 3.0  # the frame of a field


@pytest.mark.parametrize("vision", DICHROMATS)
@LOOKS
def test_neighbours_in_a_bar_can_be_told_apart_by_anyone(look: Colours, vision: str) -> None:
    for name in FAMILIES:
        for k, (one, other) in enumerate(itertools.pairwise(getattr(look, name))):
            measured = distance(one, other, vision)
            if PATTERNS[k + 1] != "hatch":  # the hatched rest of fat relies on its pattern
                assert measured >= LEAST_DISTANCE, f"{name} {k} and {k + 1}: {measured:.1f}"


def test_light_parts_carry_a_pattern() -> None:
    assert all(pattern != "plain" for pattern in PATTERNS[2:])
    assert len(set(PATTERNS[2:])) == len(PATTERNS[2:])
    assert max(len(getattr(LIGHT, name)) for name in FAMILIES) <= len(PATTERNS)


@pytest.fixture
def app(qapp: QApplication) -> Iterator[QApplication]:
    font = qapp.font()
    yield qapp
    qapp.setFont(font)
    apply_theme(qapp, "light")


def test_the_look_changes_at_once_and_follows_the_system_only_where_asked(app: QApplication, qtbot: QtBot) -> None:
    window = QWidget()
    qtbot.addWidget(window)
    window.show()
    system = app.styleHints().colorSchemeChanged
    apply_theme(app, "dark")
    assert colours(window) is DARK
    assert window.grab().toImage().pixelColor(5, 5) == DARK.panel
    system.emit(Qt.ColorScheme.Light)
    assert colours(window) is DARK
    apply_theme(app, "system")
    system.emit(Qt.ColorScheme.Dark)
    assert colours(window) is DARK
    system.emit(Qt.ColorScheme.Light)
    assert colours(window) is LIGHT
    assert window.grab().toImage().pixelColor(5, 5) == LIGHT.panel


def test_high_contrast_follows_light_and_dark(app: QApplication, qtbot: QtBot) -> None:
    window = QWidget()
    qtbot.addWidget(window)
    window.show()
    apply_theme(app, "contrast")
    app.styleHints().colorSchemeChanged.emit(Qt.ColorScheme.Dark)
    assert colours(window) is DARK_STRONG
    app.styleHints().colorSchemeChanged.emit(Qt.ColorScheme.Light)
    assert colours(window) is LIGHT_STRONG
    assert SettingsFile().settings.theme == "system"
    SettingsFile().change(theme="contrast")
    assert SettingsFile().settings.theme == "contrast"


def test_small_system_text_is_enlarged_and_large_text_is_left_alone(app: QApplication) -> None:
    for asked, shown in ((9, 13), (22, 22)):
        font = QFont(app.font())
        font.setPixelSize(asked)
        app.setFont(font)
        apply_theme(app, "light")
        assert app.font().pixelSize() == shown


def test_rows_grow_with_the_text_and_figures_keep_their_columns(app: QApplication) -> None:
    font = number_font()
    font.setPixelSize(13)
    assert font.isFeatureSet(QFont.Tag("tnum"))
    metrics = QFontMetrics(font)
    assert len({metrics.horizontalAdvance(digit * 8) for digit in "0123456789"}) == 1
    small = row_height(metrics)
    font.setPixelSize(26)
    assert small >= 32
    assert row_height(QFontMetrics(font)) >= 1.8 * small


@pytest.mark.parametrize("mode", ["light", "contrast"])
def test_the_words_of_a_button_are_whole_where_the_keyboard_is(qtbot: QtBot, app: QApplication, mode: Mode) -> None:
    apply_theme(app, mode)
    field = QWidget()
    qtbot.addWidget(field)
    row = QHBoxLayout(field)
    for _k in range(2):
        row.addWidget(QPushButton("tick all of animal origin", field))
    field.show()
    field.activateWindow()
    button = field.findChildren(QPushButton)[1]
    button.setFocus()
    qtbot.waitUntil(button.hasFocus)
    option = QStyleOptionButton()
    button.initStyleOption(option)
    inside = button.style().subElementRect(QStyle.SubElement.SE_PushButtonContents, option, button)
    assert inside.width() >= button.fontMetrics().horizontalAdvance(button.text())
