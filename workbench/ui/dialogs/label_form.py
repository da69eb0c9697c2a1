"""The fields of the label dialog: the lines of the label, and what else is known of the food."""

import html
import re

from msgspec.structs import replace
from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import (
    QComboBox,
    QFormLayout,
    QGridLayout,
    QLabel,
    QLineEdit,
    QWidget,
)

from workbench.base.errors import AmountError
from workbench.base.text import _, decimal_sign
from workbench.composition.bundled import digestibility_groups, fat_profiles
from workbench.composition.food import Food, Pack
from workbench.composition.label import LINES
from workbench.recipe.words import ORIGINS
from workbench.ui.dialogs.allergen_fields import AllergenFields
from workbench.ui.theme import colours

ERROR_SIGN = "✕"
_INDENT = 16
_FIELD_EMS = 9
_AMOUNT = re.compile(r"(\d{1,6}(?:[.,]\d{1,6})?)\s*([a-z/]*)", re.IGNORECASE | re.ASCII)
GRAMS = {"": 1.0, "g": 1.0, "kg": 1000.0}
_DENSITY = {"": 1.0, "g/ml": 1.0, "kg/l": 1.0}


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
