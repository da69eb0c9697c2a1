"""What goes out, before it goes out: pages as pictures, or the text itself."""

import re
from collections import deque

from PySide6.QtCore import QEvent, QObject, QTimer, Signal
from PySide6.QtGui import QTextBlockFormat, QTextCharFormat, QTextCursor, QTextDocument
from PySide6.QtWidgets import (
    QHBoxLayout,
    QLabel,
    QPushButton,
    QScrollArea,
    QStackedWidget,
    QTextEdit,
    QVBoxLayout,
    QWidget,
)

from workbench.base.text import _
from workbench.report.labels.sheet import LabelSheet
from workbench.report.pdf.page import Page
from workbench.ui.dialogs.page_picture import PagePicture
from workbench.ui.guard import guarded

_SECTION = re.compile(r"(?m)^(?=## )")
_MOST_SHOWN = 60_000  # characters
_LEAST_PX = 560  # width of a page on which small print can be read
_MARKDOWN = QTextDocument.MarkdownFeature.MarkdownDialectGitHub | QTextDocument.MarkdownFeature.MarkdownNoHTML


@guarded
class HandOverPreview(QWidget):
    """``positionClicked(n)`` tells which label of the first sheet was clicked."""

    positionClicked = Signal(int)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._pages: tuple[Page, ...] = ()
        self._sheet: LabelSheet | None = None
        self._taken = 0
        self._at = 0
        self._sections: deque[str] = deque()  # of a text, still to be shown
        self._adding = QTimer(self)
        self._adding.setSingleShot(True)
        self._adding.timeout.connect(self._add_section)
        self.caption = QLabel(self)
        self.caption.setWordWrap(True)
        self.text = QTextEdit(self)
        self.text.setReadOnly(True)
        self.text.setTabChangesFocus(True)
        self.text.setAccessibleName(_("the text that goes out"))
        self.picture = PagePicture(self)
        self.picture.positionClicked.connect(self._clicked)
        self.around = QScrollArea(self)
        self.around.setWidget(self.picture)
        self.around.setWidgetResizable(True)
        self.around.setAccessibleName(_("the page that goes out"))
        self.around.viewport().installEventFilter(self)
        self.stack = QStackedWidget(self)
        self.stack.addWidget(self.text)
        self.stack.addWidget(self.around)
        self.earlier = QPushButton(_("page before"), self)
        self.later = QPushButton(_("next page"), self)
        self.where = QLabel(self)
        self.larger = QPushButton(_("larger"), self)
        self.larger.setCheckable(True)
        self.earlier.clicked.connect(lambda: self._turn(-1))
        self.later.clicked.connect(lambda: self._turn(1))
        self.larger.toggled.connect(self._fit)
        for button in (self.earlier, self.later, self.larger):
            button.setAutoDefault(False)
        self._turning = QWidget(self)
        row = QHBoxLayout(self._turning)
        row.setContentsMargins(0, 0, 0, 0)
        row.addWidget(self.earlier)
        row.addWidget(self.where)
        row.addWidget(self.later)
        row.addStretch(1)
        row.addWidget(self.larger)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.addWidget(self.caption)
        layout.addWidget(self.stack, 1)
        layout.addWidget(self._turning)

    def show_pages(
        self, pages: tuple[Page, ...], caption: str, sheet: LabelSheet | None = None, taken: int = 0
    ) -> None:
        """Show pages; of a sheet of labels with its first ``taken`` positions used up."""
        self._pages, self._sheet, self._taken = pages, sheet, taken
        self._at = min(self._at, max(len(pages) - 1, 0))
        self._say(caption)
        self.stack.setCurrentWidget(self.around)
        self._turning.setVisible(True)
        self._turn(0)

    def show_text(self, text: str, caption: str, *, markdown: bool, at_once: bool = False) -> None:
        """Show a text as it is or, of Markdown, as its reader will see it: section by section, unless ``at_once``."""
        self._pages, self._at = (), 0
        shown = text[:_MOST_SHOWN]
        self._sections.clear()
        if markdown:
            first, *rest = [shown] if at_once else _SECTION.split(shown)
            self._sections.extend(rest)
            self.text.setLineWrapMode(QTextEdit.LineWrapMode.WidgetWidth)
            self.text.document().setMarkdown(first, _MARKDOWN)
            if rest:
                self._adding.start()
        else:
            self.text.setLineWrapMode(QTextEdit.LineWrapMode.NoWrap)
            self.text.setPlainText(shown)
        cut = _("only its beginning is shown; the file holds all of it") if len(text) > len(shown) else ""
        self._say(" · ".join(filter(None, (caption, cut))))
        self.stack.setCurrentWidget(self.text)
        self._turning.setVisible(False)

    def _add_section(self) -> None:
        """Tables take long to be laid out: one at a time, below what can be read already."""
        if self._sections:
            end = QTextCursor(self.text.document())
            end.movePosition(QTextCursor.MoveOperation.End)
            end.insertBlock(QTextBlockFormat(), QTextCharFormat())  # else its title would end the line before it
            end.insertMarkdown(self._sections.popleft(), _MARKDOWN)
        if self._sections:
            self._adding.start()

    def show_nothing(self) -> None:
        """There is nothing that could go out."""
        self.show_text(_("nothing can go out yet: the reason is below"), "", markdown=False)

    def _say(self, caption: str) -> None:
        self.caption.setText(caption)
        self.caption.setVisible(bool(caption))

    def _turn(self, by: int) -> None:
        self._at = min(max(self._at + by, 0), max(len(self._pages) - 1, 0))
        page = self._pages[self._at] if self._pages else None
        self.picture.show_page(page, self._sheet, self._taken if self._at == 0 else 0)
        self.where.setText(_("page {page} of {pages}", page=self._at + 1, pages=len(self._pages)))
        self.earlier.setEnabled(self._at > 0)
        self.later.setEnabled(self._at + 1 < len(self._pages))
        self._fit()

    def _fit(self) -> None:
        """The whole page, or all of its width."""
        if self.larger.isChecked():
            width = max(self.around.viewport().width(), _LEAST_PX)
            self.picture.setFixedSize(width, self.picture.height_for(width))
        else:
            self.picture.setMinimumSize(160, 160)
            self.picture.setMaximumSize(16777215, 16777215)

    def _clicked(self, position: int) -> None:
        if self._at == 0:
            self.positionClicked.emit(position)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        if event.type() == QEvent.Type.Resize and self.larger.isChecked():
            self._fit()
        return False
