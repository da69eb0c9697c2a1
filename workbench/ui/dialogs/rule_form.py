"""Role, origin and allergens of one food or of many at once: which foods, and what is stated of them."""

from collections.abc import Mapping

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import (
    QCheckBox,
    QComboBox,
    QFormLayout,
    QLabel,
    QLineEdit,
    QListWidget,
    QListWidgetItem,
    QPushButton,
    QVBoxLayout,
    QWidget,
)

from workbench.base.text import N_, _
from workbench.composition.library.records import Rule, TableInfo
from workbench.recipe.food_words import ROLE_WORDS
from workbench.recipe.words import ALLERGEN_WORDS, ORIGINS

_KEY = int(Qt.ItemDataRole.UserRole)
_CONTAINS = {
    "": N_("nothing is stated"),
    "none": N_("contains none of them"),
    "contains": N_("contains those ticked"),
    "may_contain": N_("may contain those ticked"),
}


class RuleForm(QWidget):
    """The rule.  ``asked()`` wants ``rule()`` to be applied."""

    asked = Signal()

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.table, self.role, self.origin, self.contains = (QComboBox(self) for _k in range(4))
        self.group, self.word = QLineEdit(self), QLineEdit(self)
        self.table.addItem(_("any table"), "")
        self.group.setPlaceholderText(_("as the table names it"))
        self.word.setPlaceholderText(_("such as almond"))
        self.role.addItem(_("leave as it is"), "")
        for key, words in ROLE_WORDS.items():
            self.role.addItem(_(words), key)
        self.origin.addItem(_("leave as it is"), "")
        for key, words in ORIGINS.items():
            if key != "unknown":
                self.origin.addItem(_(words), key)
        for key, words in _CONTAINS.items():
            self.contains.addItem(_(words), key)
        self.allergens = QListWidget(self)
        self.allergens.setAccessibleName(_("allergens"))
        self.allergens.setFixedHeight(6 * self.fontMetrics().lineSpacing() + 12)
        for key, words in ALLERGEN_WORDS.items():
            item = QListWidgetItem(_(words), self.allergens)
            item.setData(_KEY, key)
            item.setFlags(item.flags() | Qt.ItemFlag.ItemIsUserCheckable)
            item.setCheckState(Qt.CheckState.Unchecked)
        self.allergens.setCurrentRow(0)
        self.only_chosen = QCheckBox(_("only the food chosen on the left"), self)
        self.only_unstated = QCheckBox(_("only where nothing is stated yet"), self)
        self.only_unstated.setChecked(True)
        self.apply_button = QPushButton(_("state it"), self)
        self.apply_button.setAutoDefault(False)
        form = QFormLayout()
        form.setRowWrapPolicy(QFormLayout.RowWrapPolicy.WrapLongRows)
        form.addRow(self.only_chosen)
        form.addRow(QLabel(_("or all foods that fit every one of these:"), self))
        for title, field in ((_("table"), self.table), (_("group"), self.group), (_("word in the name"), self.word)):
            form.addRow(title, field)
            field.setAccessibleName(title)
        form.addRow(QLabel(_("this is stated of them:"), self))
        for title, box in ((_("role"), self.role), (_("origin"), self.origin), (_("allergens"), self.contains)):
            form.addRow(title, box)
            box.setAccessibleName(title)
        form.addRow("", self.allergens)
        form.addRow("", self.only_unstated)
        column = QVBoxLayout(self)
        column.addLayout(form)
        column.addWidget(self.apply_button, 0, Qt.AlignmentFlag.AlignRight)
        column.addStretch(1)
        self.apply_button.clicked.connect(self.asked)
        self.contains.currentIndexChanged.connect(self._follow)
        self.only_chosen.toggled.connect(self._one_or_many)
        self._follow()

    def _follow(self) -> None:
        self.allergens.setVisible(self.contains.currentData() in ("contains", "may_contain"))

    def _one_or_many(self, one: bool) -> None:
        for field in (self.table, self.group, self.word):
            field.setEnabled(not one)
        self.only_unstated.setChecked(not one)  # of one food it is meant to hold

    def offer_tables(self, tables: Mapping[str, TableInfo]) -> None:
        """Tables that a rule may be about."""
        chosen = self.table.currentData()
        while self.table.count() > 1:
            self.table.removeItem(1)
        for key, info in tables.items():
            self.table.addItem(info.title, key)
        self.table.setCurrentIndex(max(self.table.findData(chosen), 0))

    def rule(self, chosen_id: str) -> Rule:
        """What the form says; the library refuses a rule that fits everything or states nothing."""
        items = [self.allergens.item(k) for k in range(self.allergens.count())]
        ticked = tuple(item.data(_KEY) for item in items if item.checkState() == Qt.CheckState.Checked)
        about = self.contains.currentData()
        role, origin = self.role.currentData(), self.origin.currentData()
        one = self.only_chosen.isChecked()
        return Rule(
            ids=(chosen_id,) if one and chosen_id else (),
            table="" if one else self.table.currentData(),
            group="" if one else self.group.text().strip(),
            word="" if one else self.word.text().strip(),
            roles=(role,) if role else None,
            origin=origin or None,
            contains=ticked if about == "contains" and ticked else () if about == "none" else None,
            may_contain=ticked if about == "may_contain" and ticked else None,
            only_unstated=self.only_unstated.isChecked(),
        )
