"""ComparisonSheet: what a comparison shows, below each other or, where there is room, in two columns."""

import itertools

from PySide6.QtCore import QCoreApplication, QEvent, QPoint, QSize, Qt
from PySide6.QtGui import QPixmap, QResizeEvent
from PySide6.QtWidgets import QGridLayout, QLabel, QSizePolicy, QVBoxLayout, QWidget

from workbench.base.text import _, plural
from workbench.recipe.side_by_side import Row, SideBySide
from workbench.ui.fold_heading import FoldHeading
from workbench.ui.guard import guarded
from workbench.ui.models import comparison_model as model
from workbench.ui.plots.badges import Badge
from workbench.ui.plots.descent_lines import DescentLines, VariantLine
from workbench.ui.plots.multiples import Multiples
from workbench.ui.plots.share_grid import ShareGrid
from workbench.ui.theme import colours

_PICTURE_RATIO, _PICTURE_EMS = 2, 100
_MARGIN_PX = 12
_TWO_COLUMNS_EMS = 80  # from this width on


@guarded
class ComparisonSheet(QWidget):
    """Title, descent, charts and shares.  What is folded away costs nothing."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._rows: tuple[tuple[Row, ...], tuple[Row, ...]] = ((), ())
        self.title = QLabel(self)
        self.title.setTextFormat(Qt.TextFormat.PlainText)  # names are never markup
        self.title.setWordWrap(True)
        self.descent = DescentLines(_("variants compared"), self)
        self.descent.setToolTip(_("Enter: edit a variant; R: hold the others against it; Delete: leave it out"))
        self.charts = Multiples(_("what it did"), self)
        self.shares = ShareGrid(_("what changed in the recipe"), self)
        self.other_charts = Multiples(_("all other quantities"), self)
        for painted in (self.descent, self.charts, self.shares, self.other_charts):
            policy = painted.sizePolicy()
            policy.setVerticalPolicy(QSizePolicy.Policy.Preferred)  # else a grid holds them to the height of their hint
            painted.setSizePolicy(policy)
        self.charts_head = FoldHeading(_("what it did"), self.charts, self)
        self.shares_head = FoldHeading(_("what changed in the recipe"), self.shares, self)
        self.others_head = FoldHeading("", self.other_charts, self, opened=False)
        self.notes_head = FoldHeading(_("notes of the steps"), None, self)
        self.notes_head.folded.connect(self.descent.show_notes)
        self._delivers, self._made_of = _under(self.charts_head, self.charts), _under(self.shares_head, self.shares)
        self._grid = QGridLayout(self)
        self._grid.setContentsMargins(0, 0, 8, 8)
        self._grid.setHorizontalSpacing(24)
        self._grid.setVerticalSpacing(4)
        self._wide: bool | None = None
        self._arrange(wide=False)
        order = (
            *(self.notes_head, self.descent, self.charts_head, self.charts),
            *(self.shares_head, self.shares, self.others_head, self.other_charts),
        )
        for first, then in itertools.pairwise(order):
            QWidget.setTabOrder(first, then)

    def _arrange(self, *, wide: bool) -> None:
        if wide == self._wide:
            return
        self._wide = wide
        grid, top = self._grid, Qt.AlignmentFlag.AlignTop
        parts = self.title, self.notes_head, self.descent, self._delivers, self._made_of
        for widget in (*parts, self.others_head, self.other_charts):
            grid.removeWidget(widget)
        across = 2 if wide else 1
        grid.addWidget(self.title, 0, 0, 1, across)
        grid.addWidget(self.notes_head, 1, 0)
        grid.addWidget(self.descent, 2, 0)
        if wide:
            grid.addWidget(self._made_of, 3, 0)
            grid.addWidget(self._delivers, 1, 1, 4, 1, top)
        else:
            grid.addWidget(self._delivers, 3, 0)
            grid.addWidget(self._made_of, 4, 0)
        grid.setRowStretch(4, 1 if wide else 0)  # what the charts are taller by goes below the shares
        grid.addWidget(self.others_head, 5, 0, 1, across)
        grid.addWidget(self.other_charts, 6, 0, 1, across)
        grid.setRowStretch(7, 1)
        for column in range(2):
            grid.setColumnStretch(column, 1 if wide or column == 0 else 0)

    def resizeEvent(self, event: QResizeEvent) -> None:
        self._arrange(wide=self.width() >= _TWO_COLUMNS_EMS * self.fontMetrics().horizontalAdvance("m"))

    # --- what is shown ------------------------------------------------------------------------------------------------

    @property
    def rows(self) -> tuple[tuple[Row, ...], tuple[Row, ...]]:
        """The quantities of both groups of charts, in their order."""
        return self._rows

    def keys_in_sight(self) -> list[str]:
        """The quantities whose charts can be seen now."""
        return [*self.charts.keys_in_sight(), *self.other_charts.keys_in_sight()]

    def show_side(self, side: SideBySide, badges: tuple[Badge, ...], *, resting: bool) -> None:
        """Show other figures; nothing changes its place unless ``resting``, and what ``side`` lacks stays as it is."""
        if resting:
            self._rows = model.first_rows(side.rows), model.other_rows(side.rows)
            count = len(self._rows[1])
            self.others_head.set_words(plural("{n} more quantity", "{n} more quantities", count))
        else:
            found = {row.quantity.key: row for row in side.rows}
            first, others = self._rows
            self._rows = (
                tuple(found.get(row.quantity.key, row) for row in first),
                tuple(found.get(row.quantity.key, row) for row in others),
            )
        shares = model.share_rows(side)
        if not resting:
            shares = model.held(shares, self.shares.rows)
        self.shares.show_rows(badges, shares, model.share_signs(side), resting=resting)
        present = {row.quantity.key for row in side.rows}
        for charts, rows in zip((self.charts, self.other_charts), self._rows, strict=True):
            known = {chart.key: chart for chart in charts.charts}
            shown = tuple(
                model.chart(side, row) if row.quantity.key in present else known[row.quantity.key] for row in rows
            )
            closing = model.chart_signs(side, rows) if charts is self.charts else ""
            charts.show_charts(badges, shown, closing, resting=resting)

    def _heads(self) -> tuple[FoldHeading, ...]:
        return self.notes_head, self.charts_head, self.shares_head, self.others_head

    def picture_of(
        self, title: str, lines: tuple[VariantLine, ...], side: SideBySide, badges: tuple[Badge, ...]
    ) -> QPixmap:
        """The same where there is room for two columns, on its own ground; what is folded away is not in it."""
        made = ComparisonSheet()
        made.setAttribute(Qt.WidgetAttribute.WA_DontShowOnScreen)
        for own, other in zip(made._heads(), self._heads(), strict=True):
            own.set_opened(other.opened)
            own.be_plain()
        made.title.setText(title)
        made.descent.show_lines(lines)
        made.show_side(side, badges, resting=True)
        width = _PICTURE_EMS * self.fontMetrics().horizontalAdvance("m")
        made._arrange(wide=True)
        made.resize(width, width)
        made.show()
        for _turn in range(2):  # what is painted knows its height only when it knows its width
            QCoreApplication.sendPostedEvents(None, QEvent.Type.LayoutRequest)
            made.resize(width, made._grid.heightForWidth(width))
        picture = QPixmap((made.size() + QSize(2, 2) * _MARGIN_PX) * _PICTURE_RATIO)
        picture.setDevicePixelRatio(_PICTURE_RATIO)
        picture.fill(colours(self).panel)
        made.render(picture, QPoint(_MARGIN_PX, _MARGIN_PX), renderFlags=QWidget.RenderFlag.DrawChildren)
        made.close()
        return picture


def _under(head: FoldHeading, below: QWidget) -> QWidget:
    both = QWidget()
    column = QVBoxLayout(both)
    column.setContentsMargins(0, 0, 0, 0)
    column.setSpacing(4)
    column.addWidget(head)
    column.addWidget(below)
    return both
