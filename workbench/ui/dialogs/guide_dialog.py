"""The guide: a page with pictures, in a window that stays open beside the work."""

from PySide6.QtCore import QSize, Qt, QUrl
from PySide6.QtGui import QKeySequence, QShortcut, QTextDocument
from PySide6.QtWidgets import QDialog, QTextBrowser, QVBoxLayout, QWidget

from workbench.base.paths import resources
from workbench.base.text import _
from workbench.ui.dialogs.room import resize_within
from workbench.ui.guard import guarded

_WIDTH_EMS, _HEIGHT_EMS = 46, 44


def show_guide(parent: QWidget) -> "GuideDialog":
    """Show the guide; where it is open already, bring it to the front."""
    dialog = parent.findChild(GuideDialog) or GuideDialog(parent)
    dialog.show()
    dialog.raise_()
    dialog.activateWindow()
    return dialog


class GuideDialog(QDialog):
    """The viewer."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setWindowTitle(_("guide"))
        folder = resources() / "guide"
        self.page = _Page(self)
        self.page.setAccessibleName(_("guide"))
        self.page.setOpenExternalLinks(True)
        self.page.document().setDocumentMargin(self.fontMetrics().height())
        self.page.setSearchPaths([str(folder)])
        self.page.document().setBaseUrl(QUrl.fromLocalFile(f"{folder}/"))
        self.page.setMarkdown((folder / "guide.md").read_text(encoding="utf-8"))
        layout = QVBoxLayout(self)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.addWidget(self.page)
        em = self.fontMetrics().height()
        resize_within(self, QSize(_WIDTH_EMS * em, _HEIGHT_EMS * em))
        close = QShortcut(QKeySequence(QKeySequence.StandardKey.Close), self)
        close.activated.connect(self.close)


@guarded
class _Page(QTextBrowser):
    """Pictures as wide as the page where they are wider."""

    def loadResource(self, kind: int, name: QUrl | str) -> object:
        loaded = super().loadResource(kind, name)
        if kind == int(QTextDocument.ResourceType.ImageResource.value):
            from PySide6.QtGui import QImage

            path = self.document().baseUrl().resolved(QUrl(name)).toLocalFile()
            image = QImage(path)
            room = self.viewport().width() - 2 * self.fontMetrics().height()
            if not image.isNull() and 0 < room < image.width():
                return image.scaledToWidth(room, Qt.TransformationMode.SmoothTransformation)
            return image if not image.isNull() else loaded
        return loaded
