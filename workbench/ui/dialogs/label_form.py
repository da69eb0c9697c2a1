"""The fields of the label dialog: the lines of the label, what else is known of the food, and the list of allergens."""

import html
import re

from msgspec.structs import replace
from PySide6.QtCore import QAbstractItemModel, QEvent, QModelIndex, QPersistentModelIndex, QRectF, QSize, Qt, Signal
from PySide6.QtGui import QKeyEvent, QMouseEvent, QPainter, QPen
from PySide6.QtWidgets import (
    QAbstractItemView,
    QComboBox,
    QFormLayout,
    QGridLayout,
    QHeaderView,
    QLabel,
    QLineEdit,
    QStyle,
    QStyledItemDelegate,
    QStyleOptionViewItem,
    QTableWidget,
    QTableWidgetItem,
    QVBoxLayout,
    QWidget,
)

from workbench.base.errors import AmountError
from workbench.base.text import N_, _, decimal_sign
from workbench.composition.bundled import digestibility_groups, fat_profiles
from workbench.composition.food import ALLERGENS, WATCHED, Food, Pack
from workbench.composition.label import LINES
from workbench.recipe.words import ALLERGEN_WORDS, ORIGINS
from workbench.ui.guard import guarded
from workbench.ui.plots.fills import draw_shape
from workbench.ui.theme import colours

ERROR_SIGN = "✕"
_INDENT = 16
_FIELD_EMS = 9
_WATCHED = (*ALLERGENS, *WATCHED)
_AMOUNT = re.compile(r"(\d{1,6}(?:[.,]\d{1,6})?)\s*([a-z/]*)", re.IGNORECASE | re.ASCII)
GRAMS = {"": 1.0, "g": 1.0, "kg": 1000.0}
_DENSITY = {"": 1.0, "g/ml": 1.0, "kg/l": 1.0}
_CHECKED, _OPEN = Qt.CheckState.Checked, Qt.CheckState.Unchecked


class LabelFields(QWidget):
    """One field a line of the label, in the label's order; ``changed`` follows every key."""

    changed = Signal()

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.fields: dict[str, QLineEdit] = {}
        self._marks: dict[str, QLabel] = {}
        grid = QGridLayout(self)
        grid.setContentsMargins(0, 0, 0, 0)
        grid.setVerticalSpacing(2)
        grid.setColumnStretch(4, 1)
        em = self.fontMetrics().horizontalAdvance("m")
        for row, line in enumerate(LINES):
            title, unit = QLabel(_(line.title), self), QLabel(line.units[0], self)
            title.setIndent(_INDENT if line.part_of else 0)
            field, mark = QLineEdit(self), QLabel(self)
            field.setFixedWidth(_FIELD_EMS * em)
            field.setAlignment(Qt.AlignmentFlag.AlignRight)
            field.setAccessibleName(_("{line}, {unit}", line=_(line.title), unit=line.units[0]))
            field.textChanged.connect(self.changed)
            title.setBuddy(field)
            mark.setMinimumWidth(2 * em)
            mark.setAlignment(Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter)
            for column, widget in enumerate((title, mark, field, unit)):
                grid.addWidget(widget, row, column)
            self.fields[line.key], self._marks[line.key] = field, mark
        grid.setRowStretch(len(LINES), 1)

    def entries(self) -> dict[str, str]:
        """What was typed, by key of the line."""
        return {key: field.text() for key, field in self.fields.items()}

    def mark(self, signs: dict[str, str], sentences: dict[str, str]) -> None:
        """Put a sign before the fields that something is said about."""
        look = colours(self)
        for key, label in self._marks.items():
            sign = signs.get(key, "")
            if label.text() != sign:
                palette = label.palette()
                palette.setColor(label.foregroundRole(), look.missed if sign == ERROR_SIGN else look.near)
                label.setPalette(palette)
                label.setText(sign)
            self.fields[key].setToolTip(_tooltip(sentences.get(key, "")))
            self.fields[key].setAccessibleDescription(sentences.get(key, ""))


class FactFields(QWidget):
    """What a pack says beside its table, and what the estimates need to know; everything may stay open."""

    changed = Signal()

    def __init__(self, food: Food | None, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        origins = {"unknown": ORIGINS["unknown"], **ORIGINS}  # what is not stated comes first
        self.origin = _choice(self, _("origin"), {key: _(words) for key, words in origins.items()})
        self.allergens = AllergenFields(food.contains if food else None, food.may_contain if food else (), self)
        groups = {"": _("not known"), **{key: _(group.name) for key, group in digestibility_groups().items()}}
        self.digestibility = _choice(self, _("kind of food, for the undigested estimate"), groups)
        profiles = {"": _("not known"), **{key: _(profile.name) for key, profile in fat_profiles().items()}}
        self.fat_profile = _choice(self, _("kind of fat, for medium-chain fat"), profiles)
        self.made_of = text_field(self, _("the ingredients inside, as the pack lists them"), _("ingredients inside"))
        self._density_field = text_field(self, _("g/ml"), _("density"))
        self._pack_field = text_field(self, _("such as 500 g"), _("pack size"))
        form = QFormLayout(self)
        form.setContentsMargins(0, 0, 0, 0)
        for words, field in (
            (_("origin"), self.origin),
            (_("made of"), self.made_of),
            (_("allergens"), self.allergens),
            (_("kind of food"), self.digestibility),
            (_("kind of fat"), self.fat_profile),
            (_("density"), self._density_field),
            (_("pack"), self._pack_field),
        ):
            form.addRow(words, field)
        if food is not None:
            self._fill(food)
        self.made_of.textChanged.connect(self.changed)
        self._density_field.textChanged.connect(self.changed)
        self._pack_field.textChanged.connect(self.changed)

    def _fill(self, food: Food) -> None:
        for box, key in (
            (self.origin, food.origin),
            (self.digestibility, food.digestibility),
            (self.fat_profile, food.fat_profile),
        ):
            box.setCurrentIndex(max(box.findData(key), 0))
        self.made_of.setText(food.made_of)
        if food.density_g_per_ml is not None:
            self._density_field.setText(_typed(food.density_g_per_ml))
        if food.packs:
            self._pack_field.setText(f"{_typed(food.packs[0].size_g)} g")

    def in_order(self) -> list[QWidget]:
        """The fields as the keyboard goes through them."""
        first: list[QWidget] = [self.origin, self.made_of, self.allergens.choice, self.allergens.table]
        return [*first, self.digestibility, self.fat_profile, self._density_field, self._pack_field]

    def density(self) -> float | None:
        """Density, None where it is not stated. [g/ml]

        Raises
        ------
        AmountError
            If it cannot be read.
        """
        hint = _("Type the grams of 1 ml, such as 1.03.")
        density = amount(self._density_field.text(), _DENSITY, _("density"), hint)
        if density is not None and not 0.05 <= density <= 3.0:
            words = _("{density} g/ml is no density of food.", density=f"{density:g}")
            raise AmountError(words, hint=hint, where=_("density"))
        return density

    def pack_g(self) -> float | None:
        """Size of the pack, None where it is not stated. [g]

        Raises
        ------
        AmountError
            If it cannot be read.
        """
        return amount(self._pack_field.text(), GRAMS, _("pack"), _("Type its weight, such as 500 g."))

    def added_to(self, food: Food) -> Food:
        """The food with what these fields say."""
        contains, may_contain = self.allergens.answer()
        density, pack_g, packs = self.density(), self.pack_g(), food.packs
        if pack_g is None:
            packs = ()
        elif not packs or packs[0].size_g != pack_g:
            packs = (Pack(size_g=pack_g), *packs[1:])
        return replace(
            food,
            origin=self.origin.currentData(),
            made_of=" ".join(self.made_of.text().split()),
            contains=contains,
            may_contain=may_contain,
            digestibility=self.digestibility.currentData(),
            fat_profile=self.fat_profile.currentData(),
            density_g_per_ml=density,
            density_source=food.density_source if density == food.density_g_per_ml else "",
            packs=packs,
        )


class AllergenFields(QWidget):
    """What the label says of allergens: nothing was entered, none is named, or those that are ticked."""

    _NOT_STATED, _NONE, _TICKED = range(3)
    _CHOICES = (N_("not stated"), N_("none on the label"), N_("as ticked below"))

    def __init__(
        self, contains: tuple[str, ...] | None, may_contain: tuple[str, ...], parent: QWidget | None = None
    ) -> None:
        super().__init__(parent)
        self.choice = QComboBox(self)
        self.choice.addItems([_(words) for words in self._CHOICES])
        self.choice.setAccessibleName(_("allergens on the label"))
        self.table = _TickTable(self)
        for row, key in enumerate(_WATCHED):
            ticks = (_CHECKED if key in (contains or ()) else _OPEN, _CHECKED if key in may_contain else _OPEN)
            self.table.add(row, _(ALLERGEN_WORDS[key]), ticks)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.addWidget(self.choice)
        layout.addWidget(self.table, 1)
        if contains or may_contain:
            self.choice.setCurrentIndex(self._TICKED)
        else:
            self.choice.setCurrentIndex(self._NOT_STATED if contains is None else self._NONE)
        self.choice.currentIndexChanged.connect(self._show_choice)
        self._show_choice()

    def _show_choice(self) -> None:
        self.table.setEnabled(self.choice.currentIndex() == self._TICKED)

    def tick(self, key: str, column: int) -> None:
        """Tick one allergen: 1 contains, 2 may contain."""
        self.choice.setCurrentIndex(self._TICKED)
        item = self.table.item(_WATCHED.index(key), column)
        if item is not None:
            item.setCheckState(_CHECKED)

    def answer(self) -> tuple[tuple[str, ...] | None, tuple[str, ...]]:
        """Allergens that it contains (None: not stated) and may contain."""
        if self.choice.currentIndex() == self._TICKED:
            return self.table.ticked(1), self.table.ticked(2)
        return (None if self.choice.currentIndex() == self._NOT_STATED else ()), ()


@guarded
class _TickTable(QTableWidget):
    """Two columns of ticks beside a name; arrows move, the space bar ticks, and one line has one tick at most."""

    def __init__(self, parent: QWidget) -> None:
        super().__init__(len(_WATCHED), 3, parent)
        self.setHorizontalHeaderLabels([_("allergen"), _("contains"), _("may contain")])
        self.setAccessibleName(_("allergens"))
        self.verticalHeader().hide()
        header = self.horizontalHeader()
        header.setSectionResizeMode(QHeaderView.ResizeMode.ResizeToContents)
        header.setSectionResizeMode(0, QHeaderView.ResizeMode.Stretch)
        header.setSectionsClickable(False)
        header.setHighlightSections(False)
        self.setTabKeyNavigation(False)
        self.setShowGrid(False)
        self.setSelectionMode(QAbstractItemView.SelectionMode.SingleSelection)
        self.setEditTriggers(QAbstractItemView.EditTrigger.NoEditTriggers)
        self.setVerticalScrollMode(QAbstractItemView.ScrollMode.ScrollPerPixel)
        self.verticalHeader().setDefaultSectionSize(round(1.5 * self.fontMetrics().height()))
        self.setItemDelegate(_TickDelegate(self))
        self.itemChanged.connect(self._one_tick)

    def add(self, row: int, name: str, ticks: tuple[Qt.CheckState, Qt.CheckState]) -> None:
        """Fill one line."""
        enabled, selectable = Qt.ItemFlag.ItemIsEnabled, Qt.ItemFlag.ItemIsSelectable
        title = QTableWidgetItem(name)
        title.setFlags(enabled)
        self.setItem(row, 0, title)
        for column, (state, words) in enumerate(zip(ticks, (_("contains"), _("may contain")), strict=True), 1):
            item = QTableWidgetItem()
            item.setFlags(enabled | selectable | Qt.ItemFlag.ItemIsUserCheckable)
            item.setCheckState(state)
            item.setData(Qt.ItemDataRole.AccessibleTextRole, f"{words} {name}")
            self.setItem(row, column, item)

    def ticked(self, column: int) -> tuple[str, ...]:
        """Keys of the lines with a tick in a column."""
        items = ((key, self.item(row, column)) for row, key in enumerate(_WATCHED))
        return tuple(key for key, item in items if item is not None and item.checkState() == _CHECKED)

    def _one_tick(self, item: QTableWidgetItem) -> None:
        if item.column() > 0 and item.checkState() == _CHECKED:
            other = self.item(item.row(), 3 - item.column())
            if other is not None:
                other.setCheckState(_OPEN)

    def changeEvent(self, event: QEvent) -> None:
        super().changeEvent(event)
        if event.type() == QEvent.Type.EnabledChange:
            self.viewport().update()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        item: QTableWidgetItem | None = self.currentItem()
        if event.key() == Qt.Key.Key_Space and item is not None and item.column() > 0:
            item.setCheckState(_OPEN if item.checkState() == _CHECKED else _CHECKED)
        elif event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            event.ignore()  # moves on to the next field
        else:
            super().keyPressEvent(event)

    def sizeHint(self) -> QSize:
        return QSize(super().sizeHint().width(), 8 * self.verticalHeader().defaultSectionSize())


@guarded
class _TickDelegate(QStyledItemDelegate):
    """Draws ticks in ink, with boxes that can be seen on dark paper too."""

    def paint(
        self, painter: QPainter, option: QStyleOptionViewItem, index: QModelIndex | QPersistentModelIndex
    ) -> None:
        state = index.data(Qt.ItemDataRole.CheckStateRole)
        if state is None:
            super().paint(painter, option, index)
            return
        table = option.widget
        look = colours(option.palette)
        enabled = bool(option.state & QStyle.StateFlag.State_Enabled)
        ink = look.ink if enabled else look.grid
        side = 0.8 * option.fontMetrics.height()
        box = QRectF(0, 0, side, side)
        box.moveCenter(QRectF(option.rect).center())
        painter.save()
        painter.setPen(QPen(look.muted if enabled else look.grid, 1))
        painter.drawRect(box)
        if isinstance(table, QTableWidget) and table.hasFocus() and table.currentIndex() == index:
            painter.setPen(QPen(look.accent, 2))
            painter.drawRect(box.adjusted(-3, -3, 3, 3))
        if Qt.CheckState(state) == _CHECKED:
            draw_shape(painter, "tick", box.adjusted(2, 2, -2, -2), ink)
        painter.restore()

    def editorEvent(
        self,
        event: QEvent,
        model: QAbstractItemModel,
        option: QStyleOptionViewItem,
        index: QModelIndex | QPersistentModelIndex,
    ) -> bool:
        """A click anywhere in the cell ticks it."""
        state = index.data(Qt.ItemDataRole.CheckStateRole)
        enabled = bool(option.state & QStyle.StateFlag.State_Enabled)
        if state is None or not enabled or not isinstance(event, QMouseEvent):
            return super().editorEvent(event, model, option, index)
        if event.type() == QEvent.Type.MouseButtonRelease and event.button() == Qt.MouseButton.LeftButton:
            model.setData(
                index, _OPEN if Qt.CheckState(state) == _CHECKED else _CHECKED, Qt.ItemDataRole.CheckStateRole
            )
        return True


def _tooltip(text: str) -> str:
    """Words with what was typed in them, which is never markup."""
    return f"<p>{html.escape(text)}</p>" if text else ""


def text_field(parent: QWidget, hint: str, name: str) -> QLineEdit:
    """A field with a hint in it."""
    field = QLineEdit(parent)
    field.setPlaceholderText(hint)
    field.setAccessibleName(name)
    return field


def _choice(parent: QWidget, name: str, words: dict[str, str]) -> QComboBox:
    box = QComboBox(parent)
    box.setAccessibleName(name)
    box.setSizeAdjustPolicy(QComboBox.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon)
    box.setMinimumContentsLength(18)
    for key, title in words.items():
        box.addItem(title, key)
    return box


def amount(text: str, units: dict[str, float], what: str, hint: str) -> float | None:
    """An amount in the first unit; None where the field is blank.

    Raises
    ------
    AmountError
        If it cannot be read.
    """
    typed = text.strip()
    if not typed:
        return None
    found = _AMOUNT.fullmatch(typed)
    factor = units.get(found[2].casefold(), 0.0) if found else 0.0
    read = float(found[1].replace(",", ".")) * factor if found else 0.0
    if not 0.0 < read <= 100_000.0:
        raise AmountError(_("“{text}” cannot be used.", text=typed[:30]), hint=hint, where=what)
    return read


def _typed(read: float) -> str:
    return f"{read:.6g}".replace(".", decimal_sign())
