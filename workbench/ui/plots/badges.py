"""Badges: a letter in a box stands for a variant wherever several are shown beside each other."""

from typing import NamedTuple

from PySide6.QtCore import QRect, Qt
from PySide6.QtGui import QPainter, QPen

from workbench.ui.plots.faces import Face
from workbench.ui.theme import Colours


class Badge(NamedTuple):
    """One variant.  The box of the reference and that of the variant being edited are filled."""

    letter: str
    name: str
    reference: bool = False
    edited: bool = False


def badge_side(face: Face) -> int:
    """Height and width of a badge whose letter is written in a bold face. [px]"""
    return face.height + 1


def draw_badge(painter: QPainter, face: Face, look: Colours, badge: Badge, x: int, top: int) -> None:
    """Draw a badge with its corner at a place; ``face`` is bold."""
    side = badge_side(face)
    box = QRect(x, top, side, side)
    filled = badge.reference or badge.edited
    tone = look.accent if badge.edited else look.muted
    painter.fillRect(box, tone if filled else look.paper)
    painter.setBrush(Qt.BrushStyle.NoBrush)
    painter.setPen(QPen(tone, 1))
    painter.drawRect(box.adjusted(0, 0, -1, -1))
    painter.setFont(face.font)
    painter.setPen(look.paper if filled else look.ink)
    face.draw(painter, x + (side - face.width(badge.letter)) // 2, top + (side - face.height) // 2, badge.letter)
