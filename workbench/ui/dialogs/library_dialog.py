"""The library: what is in it, what can be changed of it, and its own undo.

It is read and written on a thread of its own, each time by a connection of its own; what goes wrong stands below.
"""

from functools import partial

from PySide6.QtCore import QSignalBlocker, QSize, Qt, QTimer
from PySide6.QtWidgets import (
    QComboBox,
    QDialog,
    QHBoxLayout,
    QHeaderView,
    QLabel,
    QLineEdit,
    QPushButton,
    QScrollArea,
    QSplitter,
    QTabWidget,
    QTreeWidget,
    QTreeWidgetItem,
    QVBoxLayout,
    QWidget,
)

from workbench.base.text import N_, _, plural
from workbench.ui.dialogs.library_copies import CopiesForm
from workbench.ui.dialogs.library_desk import Desk
from workbench.ui.dialogs.library_export import ExportForm
from workbench.ui.dialogs.library_food import FoodPage
from workbench.ui.dialogs.library_goods import GoodsPage
from workbench.ui.dialogs.library_reading import (
    DEACTIVATED,
    EVERYTHING,
    OWN,
    Detail,
    Listed,
    detail,
    listed,
)
from workbench.ui.dialogs.room import resize_within
from workbench.ui.dialogs.rule_form import RuleForm
from workbench.ui.guard import guarded

_ID = int(Qt.ItemDataRole.UserRole)
_TYPING_MS = 120
_FROM_EM = 13  # width of the table's title in the list: the name of a food says more
_SHOWN = {EVERYTHING: N_("everything"), OWN: N_("your own"), DEACTIVATED: N_("deactivated")}


@guarded
class LibraryDialog(QDialog):
    """A list to search on the left, the chosen food on the right, the library's undo below."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setWindowTitle(_("library"))
        self._closing = False
        self.desk = Desk(self)
        self.message = self.desk.message
        self.has_changed = False  # the library, since this was opened
        self.desk.changed.connect(self._was_changed)
        self.desk.rested.connect(self._may_close)
        self._typing = QTimer(self)
        self._typing.setSingleShot(True)
        self._typing.setInterval(_TYPING_MS)
        self._typing.timeout.connect(self.list_again)
        self._lay_out()
        self.search.textEdited.connect(self._typing.start)
        self.show_box.activated.connect(self.list_again)
        self.foods.currentItemChanged.connect(self._look_at)
        self.rule.asked.connect(self.apply_rule)
        self.undo_button.clicked.connect(partial(self._turn, True))
        self.redo_button.clicked.connect(partial(self._turn, False))
        self.list_again()

    def _list_side(self) -> QWidget:
        self.search = QLineEdit(self)
        self.search.setPlaceholderText(_("search the library"))
        self.search.setAccessibleName(_("search the library"))
        self.search.setClearButtonEnabled(True)
        self.show_box = QComboBox(self)
        self.show_box.setAccessibleName(_("what is listed"))
        for key, words in _SHOWN.items():
            self.show_box.addItem(_(words), key)
        self.foods = QTreeWidget(self)
        self.foods.setAccessibleName(_("foods of the library"))
        self.foods.setHeaderLabels([_("food"), _("from")])
        self.foods.setRootIsDecorated(False)
        self.foods.setUniformRowHeights(True)
        self.foods.header().setStretchLastSection(False)
        self.foods.header().setSectionResizeMode(0, QHeaderView.ResizeMode.Stretch)
        self.foods.header().resizeSection(1, _FROM_EM * self.fontMetrics().horizontalAdvance("m"))
        self.count = QLabel(self)
        self.count.setWordWrap(True)
        self.enter_button = QPushButton(_("enter from a label …"), self)
        self.enter_button.setAutoDefault(False)
        self.enter_button.clicked.connect(self.enter_food)
        top = QHBoxLayout()
        top.addWidget(self.search, 1)
        top.addWidget(self.show_box)
        left = QWidget(self)
        column = QVBoxLayout(left)
        column.setContentsMargins(0, 0, 0, 0)
        column.addLayout(top)
        column.addWidget(self.foods, 1)
        column.addWidget(self.count)
        column.addWidget(self.enter_button, 0, Qt.AlignmentFlag.AlignLeft)
        return left

    def _lay_out(self) -> None:
        splitter = QSplitter(Qt.Orientation.Horizontal, self)
        splitter.setChildrenCollapsible(False)
        splitter.addWidget(self._list_side())
        self.food, self.goods = FoodPage(self.desk), GoodsPage(self.desk)
        self.rule, self.copies = RuleForm(self), CopiesForm(self.desk)
        self.export = ExportForm(self.desk, self._shown)
        self.tabs = QTabWidget(self)
        self.tabs.addTab(_scrolled(self.food), _("this food"))
        self.tabs.addTab(_scrolled(self.goods), _("packs, lots"))
        self.tabs.addTab(_scrolled(self.rule), _("role, allergens"))
        self.tabs.addTab(_scrolled(self.copies), _("copies"))
        self.tabs.addTab(_scrolled(self.export), _("table"))
        splitter.addWidget(self.tabs)
        splitter.setStretchFactor(0, 3)
        splitter.setStretchFactor(1, 2)
        self.undo_button = QPushButton(_("nothing to undo"), self)
        self.redo_button = QPushButton(_("nothing to redo"), self)
        close = QPushButton(_("close"), self)
        close.clicked.connect(self.accept)
        self.below = QHBoxLayout()
        for button in (self.undo_button, self.redo_button):
            button.setAutoDefault(False)
            button.setEnabled(False)  # until the library is read
            self.below.addWidget(button)
        self.below.addStretch(1)
        close.setAutoDefault(False)
        self.below.addWidget(close)
        self.setTabOrder(close, self.desk.stop_button)  # it was made first
        whole = QVBoxLayout(self)
        whole.addWidget(splitter, 1)
        whole.addWidget(self.desk)
        whole.addLayout(self.below)
        em = self.fontMetrics().horizontalAdvance("m")
        resize_within(self, QSize(84 * em, 46 * em))
        self.search.setFocus()

    # --- closing --------------------------------------------------------------------------------------------------

    def is_settled(self) -> bool:
        """Whether nothing is under way or waits."""
        return self.desk.resting and not self._typing.isActive()

    def reject(self) -> None:
        """Close; the second time, stop what is still being written."""
        if self._closing and self.desk.asked:
            self.desk.stop()
        super().reject()

    def done(self, result: int) -> None:
        """Close once everything that was asked for is written; stay where that fails."""
        if self.desk.asked:
            self._closing, self.desk.failed = True, False
            return
        self.desk.close_down()
        super().done(result)

    def _may_close(self) -> None:
        closing, self._closing = self._closing, False
        if closing and not self.desk.failed:
            self.accept()

    # --- the list -------------------------------------------------------------------------------------------------

    def _was_changed(self) -> None:
        self.has_changed = True
        self.list_again()

    def list_again(self) -> None:
        """Read the list anew."""
        self.desk.do("list", partial(listed, *self._shown()), self._show_list)

    def _shown(self) -> tuple[str, str]:
        """Words and kind of what is listed."""
        return self.search.text(), self.show_box.currentData()

    def _show_list(self, found: Listed) -> None:
        chosen = self.chosen_id
        with QSignalBlocker(self.foods):
            self.foods.clear()
            for row in found.rows:
                item = QTreeWidgetItem(self.foods, [row.name, row.source])
                item.setData(0, _ID, row.id)
                item.setToolTip(0, row.name)
                item.setToolTip(1, row.source)
                if row.id == chosen:
                    self.foods.setCurrentItem(item)
            first = self.foods.topLevelItem(0)
            if not self.foods.selectedItems() and first is not None:
                self.foods.setCurrentItem(first)
        self._offer_tables(found)
        self.rule.offer_tables(found.tables)
        self.export.offer(found)
        self.count.setText(_count_words(found))
        for button, step, words, none in (
            (self.undo_button, found.undo, N_("undo: {what}"), N_("nothing to undo")),
            (self.redo_button, found.redo, N_("redo: {what}"), N_("nothing to redo")),
        ):
            button.setText(_(words, what=step.words[:48]) if step else _(none))
            button.setEnabled(step is not None)
        self._look_at()

    def _offer_tables(self, found: Listed) -> None:
        shown = self.show_box.currentData()
        with QSignalBlocker(self.show_box):
            while self.show_box.count() > len(_SHOWN):
                self.show_box.removeItem(self.show_box.count() - 1)
            for key, info in found.tables.items():
                self.show_box.addItem(info.title, f"table:{key}")
            for tag in found.tags:
                self.show_box.addItem(_("tagged “{tag}”", tag=tag), f"tag:{tag}")
            self.show_box.setCurrentIndex(max(self.show_box.findData(shown), 0))

    @property
    def chosen_id(self) -> str:
        """Id of the chosen food; "" without one."""
        item = self.foods.currentItem()
        return str(item.data(0, _ID)) if item is not None else ""

    def enter_food(self) -> None:
        """Ask for the label of a pack, and keep what it says as a food of one's own."""
        from workbench.ui.dialogs.label_dialog import ask_label

        food = ask_label(self)
        if food is not None:
            self.desk.change(
                lambda library, _progress: library.put(food),
                lambda _none: self.desk.tell(_("✓ “{name}” is in the library", name=food.name)),
            )

    # --- the chosen food, and many --------------------------------------------------------------------------------

    def _look_at(self) -> None:
        if self.chosen_id:
            self.desk.do("detail", partial(detail, self.chosen_id), self._show_detail)
        else:
            self._show_detail(None)

    def _show_detail(self, shown: Detail | None) -> None:
        self.food.show_detail(shown)
        self.goods.show_detail(shown)

    def apply_rule(self) -> None:
        """State what the form says of all foods that it fits."""
        rule = self.rule.rule(self.chosen_id)
        self.desk.change(
            lambda library, progress: library.apply_rule(rule, progress),
            lambda n: self.desk.tell(plural("✓ {n} food was changed", "✓ {n} foods were changed", n)),
        )

    def _turn(self, back: bool) -> None:
        self.desk.change(lambda library, progress: library.undo(progress) if back else library.redo(progress))


def _scrolled(inside: QWidget) -> QScrollArea:
    scroll = QScrollArea()
    scroll.setWidgetResizable(True)
    scroll.setFrameShape(QScrollArea.Shape.NoFrame)
    scroll.setFocusPolicy(Qt.FocusPolicy.NoFocus)
    scroll.setWidget(inside)
    return scroll


def _count_words(found: Listed) -> str:
    if not found.n_active and not found.rows:
        return _("The library is empty. Import a table, or keep an ingredient of your project in it.")
    total = plural("the library has {n} active food", "the library has {n} active foods", found.n_active)
    if found.more:
        return _("{total}; the first {n} are listed, type to find others", total=total, n=len(found.rows))
    return _("{total}; {listed}", total=total, listed=plural("{n} is listed", "{n} are listed", len(found.rows)))
