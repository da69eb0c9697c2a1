"""Two to six variants side by side: what changed in the recipe, what it did, and from whom each descends.

One variant is the reference; every difference is to it.  Variants of other project files may stand among them.
"""

from collections.abc import Iterable, Sequence
from typing import NamedTuple

from msgspec.structs import replace

from workbench.base.errors import ProblemKind, WorkbenchError
from workbench.base.text import N_, _
from workbench.document.project import Basis, Project, TargetSet
from workbench.recipe.bound import Bound
from workbench.recipe.change import NOTHING, KeptChanges, Way, way
from workbench.recipe.descent import Step, descent, forebears
from workbench.recipe.evaluation import Evaluation, evaluate
from workbench.recipe.food_row import FoodRows
from workbench.recipe.ingredient_rows import IngredientRow, ingredient_rows
from workbench.recipe.preparation import prepare
from workbench.recipe.quantities import BASES, HEADLINE, QUANTITIES, Quantity
from workbench.recipe.verdict import Verdict, verdicts

FEWEST, MOST = 2, 6
LETTERS = "ABCDEF"  # short names of the columns

OTHER_RULES = ProblemKind(
    "other_rules",
    "notice",
    N_("gaps are filled by other rules there; here its figures follow those of the open project."),
)


class Column(NamedTuple):
    """One variant; ``column_of`` makes it."""

    evaluation: Evaluation
    title: str
    project: str = ""  # "" for the open project, else what the other one is called
    note: str = ""
    parent: str = ""  # title of the variant it descends from; "" if none
    pace_per_hour: float = 0.0
    targets: TargetSet | None = None

    @property
    def full_title(self) -> str:
        """The title, with the project where that is another one."""
        return _("{name} ({file})", name=self.title, file=self.project) if self.project else self.title


class Band(NamedTuple):
    """Limits of a target on the basis of the comparison; None where there is no limit."""

    low: float | None
    high: float | None
    aim: float | None


class Row(NamedTuple):
    """One quantity.

    Attributes
    ----------
    quantity : Quantity
        Its title, unit and decimals.
    bounds : tuple of Bound
        One a column.
    changes : tuple of Bound
        Against the reference; exactly nothing in the reference itself (see ``change.Changes``).
    ways : tuple
        Which way each figure went against the reference, as shown.
    verdicts : tuple of Verdict or None
        Against the column's own targets, whatever their basis; the worst one where there are several.
    bands : tuple of Band or None
        The target of that verdict on the basis of the comparison, where it can be said on that.
    certain : bool
        Whether some column differs from the reference beyond what is not known.
    weight : float
        The spread of the known figures as shown, relative to the largest: 0 alike, 1 something against nothing.
    """

    quantity: Quantity
    bounds: tuple[Bound, ...]
    changes: tuple[Bound, ...]
    ways: tuple[Way, ...]
    verdicts: tuple[Verdict | None, ...]
    bands: tuple[Band | None, ...]
    certain: bool
    weight: float


class SideBySide(NamedTuple):
    """The whole comparison."""

    columns: tuple[Column, ...]
    reference: int
    basis: Basis
    rows: tuple[Row, ...]
    ingredients: tuple[IngredientRow, ...]
    descent: tuple[Step, ...]

    @property
    def order(self) -> tuple[str, ...]:
        """Keys in their order, to be handed back while a hand moves something."""
        return tuple(row.quantity.key for row in self.rows)


def column_of(project: Project, evaluation: Evaluation, called: str = "") -> Column:
    """A variant of a project as a column.

    Parameters
    ----------
    project : Project
        The one the variant belongs to.
    evaluation : Evaluation
        What the variant gives.
    called : str
        What the project is called, where it is not the open one; the ending of project files is left off.
    """
    variant = evaluation.variant
    parent = next((v.name for v in project.variants if v.id == variant.parent_id), "")
    targets = project.targets_of(variant)
    return Column(
        evaluation, variant.name, called.removesuffix(".fare"), variant.notes, parent, variant.pace_per_hour, targets
    )


def by_rules_of(project: Project, other: Project) -> Project:
    """Another project whose gaps are filled by the rules of this one, so that both are measured alike."""
    return other if other.assumptions == project.assumptions else replace(other, assumptions=project.assumptions)


class Others(NamedTuple):
    """Variants of another project, with what that is called."""

    project: Project
    called: str
    evaluations: Sequence[Evaluation]


def compared(
    project: Project,
    evaluations: Sequence[Evaluation],
    basis: Basis,
    *,
    reference: int = 0,
    others: Sequence[Others] = (),
) -> SideBySide:
    """Compare variants of a project, and of others behind them, with all they descend from.

    Raises
    ------
    WorkbenchError
        If there are too few or too many.
    """
    rows = FoodRows()
    columns: list[Column] = []
    family: list[Column] = []
    for source, called, found in (Others(project, "", evaluations), *others):
        columns += [column_of(source, each, called) for each in found]
        older = forebears(source, [each.variant for each in found])
        family += [column_of(source, evaluate(prepare(source, variant, rows)), called) for variant in older]
    return side_by_side(columns, reference, basis, family=family)


def side_by_side(
    columns: Sequence[Column],
    reference: int,
    basis: Basis,
    *,
    order: Sequence[str] | None = None,
    family: Iterable[Column] = (),
    kept: KeptChanges | None = None,
) -> SideBySide:
    """Compare variants.

    Parameters
    ----------
    columns : sequence of Column
        Two to six.
    reference : int
        Which of them the others are held against.
    basis : Basis
        What figures are per; an hour is at each one's pace.
    order : sequence of str, optional
        Keys in a fixed order, such as an earlier result's ``order``; without it what matters comes first: quantities
        with a target (missed, cannot tell, met), then headline figures, then the rest; in each what differs for certain
        before what may not, and what differs more before what differs less.
    family : iterable of Column
        Variants that are not compared but may be forebears of those that are.
    kept : KeptChanges, optional
        Changes worked out before; a window hands in the same object again and again.

    Raises
    ------
    WorkbenchError
        If there are too few or too many.
    """
    columns = tuple(columns)
    if len(columns) < FEWEST:
        raise WorkbenchError(_("A comparison needs two variants."), hint=_("Name two to {most}.", most=MOST))
    if len(columns) > MOST:
        raise WorkbenchError(
            _("{n} variants are too many to compare.", n=len(columns)), hint=_("Name two to {most}.", most=MOST)
        )
    kept = kept or KeptChanges()
    made = _Making(columns, reference, basis, kept)
    if order is None:
        rows = sorted((made.row(key) for key in QUANTITIES if basis in _bases(key)), key=_rank)
    else:
        rows = [made.row(key) for key in order if basis in _bases(key)]
    steps = descent(
        [(c.evaluation, c.project) for c in columns], [(c.evaluation, c.project) for c in family], basis, kept
    )
    ingredients = ingredient_rows([column.evaluation for column in columns], reference)
    return SideBySide(columns, reference, basis, tuple(rows), ingredients, steps)


def _bases(key: str) -> tuple[Basis, ...]:
    quantity = QUANTITIES[key]
    if quantity.kind == "ratio":  # the same on all
        return BASES
    return quantity.bases


_STATE_RANK = {"short": 0, "over": 0, "cannot_tell": 1, "met": 2}


def _rank(row: Row) -> tuple[int, bool, bool, float]:
    ranks = [_STATE_RANK[verdict.state] for verdict in row.verdicts if verdict is not None]
    return min(ranks, default=3), row.quantity.key not in HEADLINE, not row.certain, -row.weight


class _Making:
    """Rows of one comparison."""

    def __init__(self, columns: tuple[Column, ...], reference: int, basis: Basis, kept: KeptChanges) -> None:
        self._columns = columns
        self._reference = reference
        self._basis: Basis = basis
        before = columns[reference].evaluation
        self._changes = [kept.between(before, column.evaluation) for column in columns]
        self._verdicts = [_worst(column, basis) for column in columns]

    def row(self, key: str) -> Row:
        quantity, basis = QUANTITIES[key], self._basis
        bounds = tuple(column.evaluation.bound(key, basis) for column in self._columns)
        changes = tuple(
            NOTHING if k == self._reference else each.change(key, basis) for k, each in enumerate(self._changes)
        )
        ways = tuple(way(change, quantity.decimals) for change in changes)
        found = tuple(each.get(key) for each in self._verdicts)
        bands = tuple(
            None if verdict is None else _band(verdict, column.evaluation, basis)
            for verdict, column in zip(found, self._columns, strict=True)
        )
        certain = any(each in ("up", "down") for each in ways)
        return Row(quantity, bounds, changes, ways, found, bands, certain, _spread(bounds, quantity.decimals))


def _spread(bounds: tuple[Bound, ...], decimals: int) -> float:
    known = [round(bound.value, decimals) for bound in bounds if bound.known]
    most = max(known, default=0.0)
    return (most - min(known)) / most if most > 0 else 0.0


def _worst(column: Column, basis: Basis) -> dict[str, Verdict]:
    """The verdict of each quantity that has a target: the worst, then that on the basis of the comparison."""
    if column.targets is None:
        return {}

    def rank(verdict: Verdict) -> tuple[int, bool, bool]:
        target = verdict.target
        return _STATE_RANK[verdict.state], target.strength != "must", target.basis != basis

    found: dict[str, Verdict] = {}
    for verdict in verdicts(column.evaluation, column.targets):
        held = found.get(verdict.target.quantity)
        if held is None or rank(verdict) < rank(held):
            found[verdict.target.quantity] = verdict
    return found


def _band(verdict: Verdict, evaluation: Evaluation, basis: Basis) -> Band | None:
    """The target on the basis of the comparison; None where the two bases have no fixed ratio."""
    target = verdict.target
    times = 1.0
    if target.basis != basis and QUANTITIES[target.quantity].kind != "ratio":
        if "per_25g_carbohydrate" in (target.basis, basis) or not evaluation.factor(target.basis) > 0:
            return None
        times = evaluation.factor(basis) / evaluation.factor(target.basis)
    low, high, aim = (None if x is None else x * times for x in (target.low, target.high, target.aim))
    return Band(low, high, aim)
