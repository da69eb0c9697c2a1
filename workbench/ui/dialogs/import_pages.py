"""The pages of the import: which table, what is what in it, what was found, what has come in."""

from pathlib import Path

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import (
    QAbstractItemView,
    QFileDialog,
    QHBoxLayout,
    QLabel,
    QLineEdit,
    QPlainTextEdit,
    QPushButton,
    QScrollArea,
    QSplitter,
    QTableWidget,
    QTableWidgetItem,
    QVBoxLayout,
    QWidget,
)

from workbench.base.text import _
from workbench.composition.components import COMPONENTS
from workbench.composition.food import Food
from workbench.ui.dialogs.import_choices import ChoicesForm
from workbench.ui.dialogs.import_columns import ColumnsForm
from workbench.ui.dialogs.import_ways import WaysForm
from workbench.ui.dialogs.import_words import figure_words

_CODE_AT_MOST, _NAME_AT_LEAST, _NAME_AT_MOST = 10, 12, 20  # columns of the preview, in widths of an m


class ChoosePage(QWidget):
    """Where the table lies.  ``chosen(path)`` tells of one that was picked."""

    chosen = Signal(object)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.path = QLineEdit(self)
        self.path.setAccessibleName(_("file or folder of the table"))
        self.path.setPlaceholderText(_("a CSV, XLSX, JSON or zip file, or a folder of them"))
        file_button, folder_button = QPushButton(_("file …"), self), QPushButton(_("folder …"), self)
        file_button.clicked.connect(self._ask_file)
        folder_button.clicked.connect(self._ask_folder)
        row = QHBoxLayout()
        row.addWidget(self.path, 1)
        for button in (file_button, folder_button):
            button.setAutoDefault(False)
            row.addWidget(button)
        words = QLabel(
            _(
                "What can be read:\n"
                "•  USDA FoodData Central: the folder or zip of CSV files, or the JSON file\n"
                "•  the older USDA standard reference: text files with carets between the fields\n"
                "•  a spreadsheet or CSV file with one row a food, or one row a value\n"
                "•  a supplier’s sheet of one product\n"
                "•  the Indian Food Composition Tables of 2017, as CSV\n"
                "•  a table that this program wrote\n\n"
                "Nothing is changed before the last step, and an import can be undone in the library."
            ),
            self,
        )
        words.setWordWrap(True)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 8, 0, 8)
        column.addLayout(row)
        column.addSpacing(12)
        column.addWidget(words)
        column.addStretch(1)

    def _ask_file(self) -> None:
        kinds = _("tables (*.csv *.tsv *.txt *.gz *.zip *.xlsx *.xlsm *.json);;all files (*)")
        path, _kind = QFileDialog.getOpenFileName(self, _("a table to import"), self.path.text(), kinds)
        self._take(path)

    def _ask_folder(self) -> None:
        self._take(QFileDialog.getExistingDirectory(self, _("a folder with a table"), self.path.text()))

    def _take(self, path: str) -> None:
        if path:
            self.path.setText(path)
            self.chosen.emit(Path(path))


class WhatPage(QWidget):
    """What is what: how the table is laid out, its columns, what it leaves open, and its first foods."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.found = QLabel(self)
        self.found.setTextFormat(Qt.TextFormat.PlainText)
        self.found.setWordWrap(True)
        self.ways, self.columns, self.choices = WaysForm(self), ColumnsForm(self), ChoicesForm(self)
        self.sample = SampleTable(self)
        self.sample.setMinimumHeight(7 * self.fontMetrics().lineSpacing())
        scroll = QScrollArea(self)
        scroll.setWidgetResizable(True)
        scroll.setFrameShape(QScrollArea.Shape.NoFrame)
        scroll.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        scroll.setWidget(self.choices)
        top, whole = QSplitter(Qt.Orientation.Horizontal, self), QSplitter(Qt.Orientation.Vertical, self)
        for splitter, first, second in ((top, self.columns, scroll), (whole, top, self.sample)):
            splitter.setChildrenCollapsible(False)
            splitter.addWidget(first)
            splitter.addWidget(second)
            splitter.setStretchFactor(0, 3)
            splitter.setStretchFactor(1, 2)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.addWidget(self.found)
        column.addWidget(self.ways)
        column.addWidget(whole, 1)


class FindingsPage(QWidget):
    """What reading everything has found."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.counts = QLabel(self)
        self.counts.setWordWrap(True)
        self.findings = QPlainTextEdit(self)
        self.findings.setReadOnly(True)
        self.findings.setTabChangesFocus(True)
        self.findings.setAccessibleName(_("what was found"))
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.addWidget(self.counts)
        column.addWidget(self.findings, 1)


class SummaryPage(QWidget):
    """What has come in."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.words = QLabel(self)
        self.words.setTextFormat(Qt.TextFormat.PlainText)
        self.words.setTextInteractionFlags(Qt.TextInteractionFlag.TextSelectableByMouse)
        self.words.setWordWrap(True)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 8, 0, 8)
        column.addWidget(self.words)
        column.addStretch(1)


class SampleTable(QTableWidget):
    """The first foods, as they would come in: a dash where a figure is not known."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setAccessibleName(_("the first foods, as they would come in"))
        self.setEditTriggers(QAbstractItemView.EditTrigger.NoEditTriggers)
        self.setTabKeyNavigation(False)
        self.verticalHeader().hide()

    def show_foods(self, foods: tuple[Food, ...]) -> None:
        """Show these foods with every component that one of them has."""
        tags = [tag for tag in COMPONENTS if any(tag in food.values or tag in food.limits for food in foods)]
        titles = [_("code"), _("food"), *map(_title, tags)]
        self.setColumnCount(len(titles))
        self.setRowCount(len(foods))
        self.setHorizontalHeaderLabels(titles)
        for k, food in enumerate(foods):
            texts = (food.id, food.name, *(figure_words(food, tag) for tag in tags))
            for place, text in enumerate(texts):
                item = QTableWidgetItem(text)
                item.setToolTip(text[:300])
                if place > 1:
                    item.setTextAlignment(Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter)
                self.setItem(k, place, item)
        em = self.fontMetrics().horizontalAdvance("m")
        self.resizeColumnsToContents()
        self.setColumnWidth(0, min(self.columnWidth(0), _CODE_AT_MOST * em))
        self.setColumnWidth(1, min(max(self.columnWidth(1), _NAME_AT_LEAST * em), _NAME_AT_MOST * em))


def _title(tag: str) -> str:
    """A component with its unit, over several lines so that columns are narrow and nothing of it is cut."""
    component = COMPONENTS[tag]
    return f"{_(component.title)}\n{component.unit}".replace(" (", "\n(")
