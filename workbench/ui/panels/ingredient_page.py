"""About an ingredient: what the project knows of one food, where it is from, and what is not known."""

from collections.abc import Iterator, Mapping
from typing import Any

from PySide6.QtCore import QSize, Qt, Slot
from PySide6.QtGui import QGuiApplication, QResizeEvent
from PySide6.QtWidgets import (
    QFrame,
    QHBoxLayout,
    QLabel,
    QPushButton,
    QScrollArea,
    QSizePolicy,
    QToolButton,
    QVBoxLayout,
    QWidget,
)

from workbench.base.text import N_, _, number
from workbench.composition.bundled import alternatives, bundled_foods, sources
from workbench.composition.components import COMPONENTS, Component
from workbench.composition.derive import RULES, fill_gaps
from workbench.composition.food import Food, Value
from workbench.composition.similar import kin_of, standing
from workbench.composition.sources import Alternative
from workbench.document.project import Assumptions, Project, Variant
from workbench.recipe.food_row import rules_in_use
from workbench.recipe.food_words import GUT_WORDS, named, source_words
from workbench.recipe.words import ALLERGEN_WORDS, ORIGINS, VALUE_KINDS, figure_text
from workbench.ui.guard import guarded
from workbench.ui.plots.dot_strips import DotStrips
from workbench.ui.session import Session
from workbench.ui.side_page import SidePage
from workbench.ui.similar_readings import COMPARED, kind_words, legend_words, rows, strips
from workbench.ui.tables.figure_tree import FigureRow, FigureTree

_LEAST_ROWS = 4  # of text, that chart and table have at the least
_COLUMNS = (N_("component"), N_("per 100 g"), N_("spread"), N_("source"))

_STORAGE_WORDS = {
    "dry": N_("dry"),
    "cool": N_("cool"),
    "fridge": N_("in the fridge"),
    "freezer": N_("in the freezer"),
    "unknown": N_("not stated"),
}
_SAID_BY = {"CHOCDF": "CHOAVLDF", "CHOAVLDF": "CHOCDF"}
"""Two conventions of one figure: where a table states one of them, the other is no gap."""


class IngredientPage(SidePage):
    """One food of the project's snapshot; ``begin(food_id=...)`` says which."""

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self._food_id = ""
        self._wants_chart = True
        self._about: tuple[Food, Assumptions, tuple[FigureRow, ...]] | None = None
        self.message = QLabel(_("Choose a line of the recipe that is made of an ingredient."), self)
        self.message.setWordWrap(True)
        self.chart_button = QToolButton(self)
        self.chart_button.setAutoRaise(True)
        self.chart_button.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.chart_button.setToolButtonStyle(Qt.ToolButtonStyle.ToolButtonTextBesideIcon)
        self.chart = DotStrips(_("this ingredient among similar ones"), self)
        self._chart_room = _ChartRoom(self.chart, self)
        self.tree = FigureTree(_("about this ingredient"), tuple(_(words) for words in _COLUMNS), self)
        self.tree.setMinimumHeight(_LEAST_ROWS * self.fontMetrics().height())
        self.copy_button = QPushButton(_("copy as text"), self)
        self.copy_button.setAutoDefault(False)
        below = QHBoxLayout()
        below.addStretch(1)
        below.addWidget(self.copy_button)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 8, 8)
        column.setSpacing(4)
        column.addWidget(self.message)
        column.addWidget(self.chart_button)
        column.addWidget(self._chart_room)
        column.addWidget(self.tree, 1)
        column.addLayout(below)
        self.setFocusProxy(self.tree)
        self.chart_button.clicked.connect(lambda: self._show_chart(self._chart_room.isHidden()))
        self.copy_button.clicked.connect(self.copy)
        self.tree.copyRequested.connect(self.copy)

    # --- what the panel asks ----------------------------------------------------------------------------------------

    def begin(self, *, food_id: str = "", **_other: Any) -> None:
        """Show a food of the project; the one shown before where none is named."""
        self._food_id = food_id or self._food_id
        self.follow()

    @Slot()
    def follow(self) -> None:
        """Take up the project's present food, and who uses it."""
        project = self._session.project
        food = project.foods.get(self._food_id)
        self.message.setVisible(food is None)
        self.tree.setVisible(food is not None)
        self.copy_button.setVisible(food is not None)
        if food is None:
            self._about = None
            self.chart_button.hide()
            self._chart_room.hide()
            return
        before = self._about
        if before is None or before[0] is not food or before[1] is not project.assumptions:
            self._about = (food, project.assumptions, self._rows_about(food))
        assert self._about is not None
        rows = (*self._about[2], _section("used", _("used in"), _used_rows(project, food)))
        if rows != self.tree.rows():
            self.tree.show_rows(rows, resting=not self._session.previewing)
        if before is None or before[0].id != food.id:
            self._open_disputed(food)

    def _rows_about(self, food: Food) -> tuple[FigureRow, ...]:
        """Rows for the food, with its place among similar ones; the chart shows that too."""
        project = self._session.project
        kin = kin_of(food, {**bundled_foods(), **project.foods}.values())
        standings = standing(food, kin, COMPARED, rules_in_use(project.assumptions)) if kin.foods else ()
        self.chart.show_strips(strips(food, kin, standings), legend_words(kin))
        self.chart_button.setText(kind_words(kin))
        self.chart_button.setEnabled(bool(standings))
        self.chart_button.show()
        self._show_chart(bool(standings) and self._wants_chart)
        head, *others = _about(food, project.assumptions)
        similar = _section("similar", kind_words(kin), rows(kin, standings))
        return (head, *others[:1], similar, *others[1:])

    def _show_chart(self, shown: bool) -> None:
        if self.chart_button.isEnabled():
            self._wants_chart = shown
        self.chart_button.setArrowType(Qt.ArrowType.DownArrow if shown else Qt.ArrowType.RightArrow)
        self._chart_room.setVisible(shown)
        self._chart_room.updateGeometry()

    # --- what is shown ----------------------------------------------------------------------------------------------

    @property
    def food_id(self) -> str:
        """The food that was asked for."""
        return self._food_id

    def text(self) -> str:
        """The page as plain text, indented as on screen; "" where nothing is shown."""
        return "\n".join(_lines(self.tree.rows())) if self._about is not None else ""

    def copy(self) -> None:
        """Put the page on the clipboard."""
        QGuiApplication.clipboard().setText(self.text())

    def _open_disputed(self, food: Food) -> None:
        """Of the components, open those of which another source says something else; and begin at the top."""
        disputed = _others(food)
        for row in next(row for row in self.tree.rows() if row.key == "composition").children:
            if row.children:
                self.tree.item_of("composition", row.key).setExpanded(row.key in disputed)
        first = self.tree.topLevelItem(0)
        assert first is not None
        self.tree.setCurrentItem(first)
        self.tree.scrollToTop()


@guarded
class _ChartRoom(QScrollArea):
    """As tall as the chart, or less where the table below it would have no room; then it scrolls."""

    def __init__(self, chart: DotStrips, parent: QWidget) -> None:
        super().__init__(parent)
        self._chart = chart
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self.setWidgetResizable(True)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Maximum)
        self.setMinimumHeight(_LEAST_ROWS * self.fontMetrics().height())
        self.setWidget(chart)
        chart.strode.connect(lambda top, height: self.ensureVisible(0, top + height // 2, 0, height // 2 + 1))

    def sizeHint(self) -> QSize:
        return QSize(self.width(), self._chart.heightForWidth(self.viewport().width()))

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self.updateGeometry()


# --- rows ------------------------------------------------------------------------------------------------------------


def _about(food: Food, assumptions: Assumptions) -> tuple[FigureRow, ...]:
    """Everything that depends on the food and the rules alone."""
    values = fill_gaps(food, rules_in_use(assumptions)).values
    return (
        _section("head", food.name, tuple(_wide(f"fact {k}", words) for k, words in enumerate(_facts(food)))),
        _section("composition", _("composition per 100 g of the edible part"), _component_rows(food, values)),
        _section("measures", _("measures"), _measure_rows(food)),
        _section("citations", _("sources in full"), _citation_rows(food, values)),
    )


def _wide(key: str, words: str, figure: str = "", *, muted: bool = False) -> FigureRow:
    return FigureRow(key, (words,), wide=True, figure=figure, muted=muted)


def _section(key: str, title: str, rows: tuple[FigureRow, ...]) -> FigureRow:
    rows = rows or (_wide("none", _("none"), muted=True),)
    return FigureRow(key, (title,), wide=True, bold=True, children=rows)


def _facts(food: Food) -> Iterator[str]:
    """What the kitchen needs to know, a sentence each."""
    yield _("group: {group}", group=food.group or _("not stated"))
    yield _("origin: {origin}", origin=_(ORIGINS[food.origin]))
    if food.contains is None:
        yield _("allergens: not stated, so count on any")
    else:
        yield _("allergens: contains {names}", names=named(food.contains, ALLERGEN_WORDS))
    if food.may_contain:
        yield _("allergens: may contain {names}", names=named(food.may_contain, ALLERGEN_WORDS))
    if food.gut:
        yield _("for a sensitive gut or sleep: {names}", names=named(food.gut, GUT_WORDS))
    if food.doping:
        yield _("doping: {caution}", caution=food.doping)
    yield _("storage: {place}", place=_(_STORAGE_WORDS[food.storage]))
    edible = number(100.0 * food.edible_fraction, 0)
    bought = _(", bought {how}", how=food.bought_as) if food.bought_as else ""
    yield _("edible: {percent} % of the weight as bought{bought}", percent=edible, bought=bought)
    density = food.density_g_per_ml
    if density is None:
        yield _("density: not known")
    else:
        yield _("density: {figure} g per ml", figure=figure_text(density)) + _in_brackets(food.density_source)
    if food.typical_yield is not None:
        words = _("typical weight after cooking: {figure} × the raw weight", figure=figure_text(food.typical_yield))
        yield words + _in_brackets(food.yield_source)
    if food.nitrogen_factor is not None:
        yield _("protein: nitrogen × {figure}, as its table counts it", figure=figure_text(food.nitrogen_factor))
    if food.note:
        yield food.note


def _in_brackets(words: str) -> str:
    return f" ({words})" if words else ""


def _component_rows(food: Food, values: Mapping[str, Value]) -> tuple[FigureRow, ...]:
    """A row for each component that is known or has an upper limit; the gaps last, by name."""
    rows, gaps, others = [], [], _others(food)
    for tag, component in COMPONENTS.items():
        title = _(component.title)
        other = tuple(_other_row(k, other, component) for k, other in enumerate(others.get(tag, ())))
        if tag in values:
            rows.append(_value_row(component, values[tag], other))
        elif tag in food.limits:
            limit = _("less than {limit} {unit}", limit=figure_text(food.limits[tag]), unit=component.unit)
            rows.append(FigureRow(tag, (title, limit, "", _("from a label")), children=other))
        elif other:
            rows.append(FigureRow(tag, (title, _("not known"), "", ""), muted=True, children=other))
        elif _SAID_BY.get(tag) not in values:
            gaps.append(title)
    if gaps:
        rows.append(_wide("gaps", _("not known: {names}", names=", ".join(gaps)), muted=True))
    return tuple(rows)


def _value_row(component: Component, value: Value, other: tuple[FigureRow, ...]) -> FigureRow:
    computed = value.kind in ("derived", "assumed_zero")
    figure = number(value.value, component.decimals + 1) if value.kind == "derived" else figure_text(value.value)
    spread = []
    if value.sd is not None:
        spread.append(f"± {figure_text(value.sd)}")
    if value.n is not None:
        spread.append(_("n {n}", n=value.n))
    source = source_words(value.source, value.code)
    kind = _(VALUE_KINDS[value.kind])
    rule = _("rule: {title}", title=_(RULES[value.rule].title)) if value.rule in RULES else value.rule
    origin = ", ".join(filter(None, (kind, rule, source, _(value.note) if value.note else "")))
    return FigureRow(
        component.tag,
        (
            _(component.title),
            f"{figure} {component.unit}",
            ", ".join(spread),
            kind if computed or not source else source,
        ),
        children=(_wide("origin", origin), *other),
    )


def _other_row(k: int, other: Alternative, component: Component) -> FigureRow:
    source, figure = source_words(other.source, other.code), f"{figure_text(other.value)} {component.unit}"
    words = _("≠ {source} says {figure}", source=source, figure=figure)
    return _wide(f"other {k}", f"{words}: {other.note}" if other.note else words)


def _others(food: Food) -> dict[str, list[Alternative]]:
    """What other publications say, by component; only of foods that were taken from the bundled table."""
    found: dict[str, list[Alternative]] = {}
    origin = food.taken_from
    if origin is not None and origin.kind == "bundled":
        for other in alternatives().get(origin.key, ()):
            found.setdefault(other.tag, []).append(other)
    return found


def _measure_rows(food: Food) -> tuple[FigureRow, ...]:
    return tuple(
        _wide(
            f"measure {k}",
            _("1 {name}", name=measure.name) + _in_brackets(source_words(measure.source, measure.code)),
            _("{grams} g", grams=figure_text(measure.grams)),
        )
        for k, measure in enumerate(food.measures)
    )


def _citation_rows(food: Food, values: Mapping[str, Value]) -> tuple[FigureRow, ...]:
    """Publications behind anything above, each once; free text of one's own stands beside its value already."""
    named = [value.source for value in values.values()] + [measure.source for measure in food.measures]
    named += [other.source for others in _others(food).values() for other in others]
    known = sources()
    cited = (known[key] for key in dict.fromkeys(named) if key in known)
    return tuple(_wide(f"source {source.key}", f"{source.short}: {source.citation}") for source in cited)


def _used_rows(project: Project, food: Food) -> tuple[FigureRow, ...]:
    """Variants that hold the food, with its grams, or that hold a variant that holds it."""
    variants = {variant.id: variant for variant in project.variants}
    rows = []
    for variant in project.variants:
        grams = _grams_in(variant, food)
        inside = [v.name for v in _inside(variants, variant) if _grams_in(v, food)]
        if grams:
            rows.append(_wide(variant.id, variant.name, _("{grams} g", grams=number(sum(grams), 1))))
        elif inside:
            rows.append(_wide(variant.id, _("{name}, in {inside}", name=variant.name, inside=", ".join(inside))))
    return tuple(rows)


def _grams_in(variant: Variant, food: Food) -> list[float]:
    """Amounts of the lines that are made of the food. [g]"""
    return [line.amount_g for line in variant.lines if line.food_ref.kind != "variant" and line.food_ref.id == food.id]


def _inside(variants: Mapping[str, Variant], variant: Variant) -> list[Variant]:
    """Variants that are ingredients of a variant, at any depth, each once."""
    found: dict[str, Variant] = {}
    waiting = [variant]
    while waiting:
        for line in waiting.pop().lines:
            inner = variants.get(line.food_ref.id) if line.food_ref.kind == "variant" else None
            if inner is not None and inner.id not in found:
                found[inner.id] = inner
                waiting.append(inner)
    return list(found.values())


def _lines(rows: tuple[FigureRow, ...], depth: int = 0) -> Iterator[str]:
    for row in rows:
        yield "  " * depth + row.words()
        yield from _lines(row.children, depth + 1)
