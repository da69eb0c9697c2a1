"""The tree of words and figures where there is little room."""

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from workbench.ui.tables.figure_tree import FigureRow, FigureTree


def test_words_keep_room_beside_wide_figures_and_the_arrows_bring_what_is_cut_into_sight(qtbot: QtBot) -> None:
    tree = FigureTree("figures", ("ingredient", "per 100 g", "brings", "share"))
    qtbot.addWidget(tree)
    tree.resize(400, 300)
    tree.show()
    tree.show_rows((FigureRow("maize", ("maize meal", "75.550 g", "302.200 g", "66 %")),))
    assert tree.horizontalScrollBar().maximum() == 0
    letters = tree.fontMetrics().horizontalAdvance("maize meal")
    assert tree.columnWidth(0) > letters
    tree.resize(150, 300)
    QApplication.processEvents()
    assert tree.columnWidth(0) > letters / 2
    bar = tree.horizontalScrollBar()
    assert bar.maximum() > 0
    for _k in range(50):
        qtbot.keyClick(tree, Qt.Key.Key_Right)
    assert bar.value() == bar.maximum()
    tree.resize(400, 300)
    QApplication.processEvents()
    assert bar.maximum() == 0
