"""The row of portions: little room, and nothing of it cut."""

from itertools import pairwise

import pytest
from msgspec.structs import replace
from PySide6.QtWidgets import QDoubleSpinBox
from pytestqt.qtbot import QtBot

from workbench.document.project import ByCount, ByWeight, Portioning, Project
from workbench.ui.panels.portions_row import PortionsRow
from workbench.ui.session import Session

SIDE_PX = 510  # the side beside a recipe in a window of 1280 pixels with text at 200 %


@pytest.mark.parametrize("portioning", [ByCount(count=20), ByWeight(piece_g=123.4, trimmings_percent=12.5)])
def test_at_twice_the_text_it_takes_three_lines_and_shows_all_its_figures(
    portioning: Portioning, project: Project, qtbot: QtBot
) -> None:
    variant = replace(project.variants[0], portioning=portioning, pace_per_hour=2.5)
    row = PortionsRow(Session(replace(project, variants=(variant,))))
    qtbot.addWidget(row)
    font = row.font()
    font.setPixelSize(2 * 12)
    row.setFont(font)
    row.resize(SIDE_PX, row.heightForWidth(SIDE_PX))
    row.show()
    boxes = (row.portion, row.pace, row.trimmings)
    middles = sorted(field.mapTo(row, field.rect().center()).y() for field in (*boxes, row.by, row.holds))
    lines = 1 + sum(after - before > font.pixelSize() for before, after in pairwise(middles))
    assert lines == 2, "with the words below it that makes three"
    row.portion.setValue(54321.0)
    row.resize(SIDE_PX, row.heightForWidth(SIDE_PX))
    for box in boxes:
        line = box.lineEdit()
        assert isinstance(box, QDoubleSpinBox) and line is not None
        assert box.fontMetrics().horizontalAdvance(box.text()) <= line.width(), box.text()
        assert box.toolTip() == box.accessibleName() != ""
