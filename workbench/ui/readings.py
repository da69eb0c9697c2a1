"""Readings: an evaluation put into what the charts show.  It words and picks figures, and computes none."""

import math
from typing import NamedTuple

from workbench.base.errors import Problem
from workbench.base.text import N_, UNKNOWN, _, number
from workbench.document.project import Basis, Target
from workbench.recipe.bound import Bound
from workbench.recipe.evaluation import Evaluation
from workbench.recipe.quantities import BASIS_TITLES, QUANTITIES
from workbench.recipe.verdict import Verdict
from workbench.recipe.words import STATES, band_text, bound_text, quantity_text, verdict_text
from workbench.ui.plots.fills import Pattern, Shape
from workbench.ui.plots.lines import MarkedLine, Share
from workbench.ui.plots.reading import NO_READING, Band, Mark, Marker, Reading

_MOST_SHARES = 6
PATTERNS: tuple[Pattern, ...] = ("plain", "plain", "dots", "lines", "hatch")
"""From the third part on a pattern says what the colour says; the fifth, the rest of fat, relies on it."""


class Block(NamedTuple):
    """One bar: a quantity, its parts with the words for them, and where it stands."""

    key: str
    family: str  # a chart family of ``theme.Colours``
    parts: tuple[tuple[str, str], ...]  # key, words
    scale: str = "grams"  # bars of one scale can be compared by eye
    thin: bool = False
    large: bool = False
    axis: bool = False
    note: str = ""
    title: str = ""  # where the catalogue's is too long for a chart
    same_as: tuple[str, ...] = ()  # keys whose targets are targets of this bar too

    @property
    def keys(self) -> tuple[str, ...]:
        """The quantities whose targets stand behind this bar; a new target is on the first."""
        return (self.key, *self.same_as)

    def heading(self) -> str:
        return _(self.title or QUANTITIES[self.key].title)


_LAURIC = ("F12D0", N_("lauric C12"))
_MEDIUM = ("mct_c6_c10", N_("medium-chain C6–C10"))
_OWN_INDEX = N_("own index")
_ENERGIES = ("energy_kcal", "energy_kj")


def blocks(lauric_counts: bool) -> tuple[Block, ...]:
    """The bars from top to bottom; ``lauric_counts`` says what medium-chain fat is to this project."""
    return (
        Block(
            "CHOAVLDF",
            "carbohydrate",
            (
                ("glucose_type", N_("glucose-type")),
                ("fructose_type", N_("fructose-type")),
                ("galactose", N_("galactose")),
                ("other_carbohydrate", N_("other")),
            ),
            large=True,
            axis=True,
        ),
        Block(
            "FAT",
            "fat",
            (
                _MEDIUM,
                _LAURIC,
                ("other_saturated", N_("other saturated")),
                ("unsaturated", N_("unsaturated")),
                ("fat_rest", N_("rest")),
            ),
        ),
        Block(
            "medium_chain",
            "fat",
            (_MEDIUM, _LAURIC) if lauric_counts else (_MEDIUM,),
            scale="fine",
            axis=True,
            note=N_("finer scale"),
            title=N_("medium-chain fat C6–C12") if lauric_counts else N_("medium-chain fat C6–C10"),
            same_as=("mct_c6_c12",) if lauric_counts else ("mct_c6_c10",),
        ),
        Block(
            "FIBTG",
            "fibre",
            (("FIBINS", N_("insoluble")), ("FIBSOL", N_("soluble")), ("fibre_unsplit", N_("not split"))),
        ),
        Block("residue_organic", "undigested", (("residue_organic", ""),), thin=True, note=_OWN_INDEX),
        Block("residue_fibre_based", "undigested", (("residue_fibre_based", ""),), thin=True, note=_OWN_INDEX),
    )


FIGURES: tuple[tuple[str, str, str], ...] = (
    ("PROCNT", N_("protein"), "g"),
    ("SUGAR", N_("sugars"), "g"),
    ("salt", N_("salt"), "g"),
    ("NA", N_("sodium"), "mg"),
    ("WATER", N_("water"), "%"),
    ("fructose_to_glucose", N_("fructose : glucose"), ": 1"),
    ("energy_from_carbohydrate", N_("energy from carbohydrate"), "%"),
    ("energy_from_fat", N_("energy from fat"), "%"),
    ("energy_from_protein", N_("energy from protein"), "%"),
)
"""The short list below the bars: key, words, unit."""


ASKED_MOST = (
    "CHOAVLDF",
    "glucose_type",
    "fructose_type",
    "SUGAR",
    "FAT",
    "medium_chain",
    "FIBTG",
    "residue_organic",
    "residue_fibre_based",
    "PROCNT",
    "salt",
    "NA",
    "energy_kcal",
    "energy_kj",
    "WATER",
    "fructose_to_glucose",
)
"""What is asked for most, for the top of a list of all quantities."""


class Bounds(dict[str, Bound]):
    """The figures of one evaluation on one basis, by key, each worked out once, when it is first asked for."""

    def __init__(self, evaluation: Evaluation, basis: Basis) -> None:
        super().__init__()
        self.evaluation, self.basis = evaluation, basis

    def __missing__(self, key: str) -> Bound:
        found = self[key] = self.evaluation.bound(key, self.basis)
        return found


def figure_text(bounds: Bounds, key: str) -> str:
    """A figure of the short list, without its unit; water is a percentage whatever the basis."""
    if not bounds.evaluation.valid:
        return UNKNOWN
    bound = bounds.evaluation.bound(key, "per_100g") if key == "WATER" else bounds[key]
    return bound_text(bound, QUANTITIES[key].decimals)


def reading(bounds: Bounds, block: Block) -> Reading:
    """What a bar shows."""
    if not bounds.evaluation.valid:
        return NO_READING
    whole = bounds[block.key]
    decimals = QUANTITIES[block.key].decimals
    parts = [bounds[key] for key, _words in block.parts]
    return Reading(
        whole.value if whole.certainty != "not_known" else math.nan,
        whole.low,
        whole.high,
        bound_text(whole, decimals),
        tuple(part.value for part in parts),
        tuple(short_text(part, decimals) for part in parts),
    )


def short_text(bound: Bound, decimals: int) -> str:
    """A part's figure for the legend, where there is no room for words."""
    least, most = number(bound.low, decimals), number(bound.high, decimals)
    if least == most:
        return least
    if math.isinf(bound.high):
        return _("≥ {low}", low=least) if bound.low > 0 else _("not known")
    return _("≤ {high}", high=most) if not least.strip("0.,") else _("{low}–{high}", low=least, high=most)


def band(target: Target | None) -> Band | None:
    """A target behind its bar."""
    if target is None:
        return None
    words = band_text(target.low, target.high, QUANTITIES[target.quantity].decimals, target.aim)
    return Band(target.low, target.high, target.aim, words)


def marker(other: Evaluation | None, block: Block, basis: Basis) -> Marker | None:
    """Where another variant stands."""
    if other is None or not other.valid:
        return None
    bound = other.bound(block.key, basis)
    return Marker(other.variant.name, bound.value, quantity_text(bound, block.key))


def room(shown: Reading, target: Band | None, other: Marker | None) -> float:
    """How far an axis has to reach; an upper limit counts only as far as it leaves the known part readable."""
    wanted = [shown.value, min(shown.high, 1.5 * shown.value)]
    if target is not None:
        wanted += [limit for limit in (target.low, target.high, target.aim) if limit is not None]
    if other is not None:
        wanted.append(other.value)
    return max((figure for figure in wanted if math.isfinite(figure)), default=0.0)


def headline(bounds: Bounds) -> tuple[str, tuple[tuple[str, str], ...]]:
    """Title and figures of the first line: weight and energy."""
    evaluation, basis = bounds.evaluation, bounds.basis
    title = _(BASIS_TITLES[basis])
    if basis == "per_hour":
        title = _("one hour, {pace} pieces", pace=f"{evaluation.variant.pace_per_hour:g}")
    if not evaluation.valid:
        return title, ()
    figures = [(bound_text(bounds[key], 0), QUANTITIES[key].unit) for key in _ENERGIES]
    if basis != "per_100g":
        mass = evaluation.mass_g(basis)
        figures.insert(0, (bound_text(mass, 0 if mass.value >= 20 else 1), "g"))
    return title, tuple(figures)


def headline_key(basis: Basis, k: int) -> str:
    """The quantity of a figure of the headline; "" for the weight, which is no quantity of the catalogue."""
    return ("", *_ENERGIES)[k] if basis != "per_100g" else _ENERGIES[k]


_VERDICT_MARKS: dict[str, tuple[Shape, str]] = {
    "met": ("tick", "met"),
    "short": ("down", "missed"),
    "over": ("up", "missed"),
    "cannot_tell": ("ask", "near"),
}
_PROBLEM_MARKS: dict[str, tuple[Shape, str]] = {
    "error": ("cross", "missed"),
    "warning": ("ask", "near"),
    "notice": ("point", "muted"),
}


def _sign(verdict: Verdict) -> tuple[Shape, str]:
    """Shape and tone; a target that is only preferred is never missed."""
    shape, tone = _VERDICT_MARKS[verdict.state]
    return shape, "near" if tone == "missed" and verdict.target.strength == "prefer" else tone


def mark(verdict: Verdict) -> Mark:
    """How a figure stands to its target, beside the figure."""
    return Mark(*_sign(verdict), _(STATES[verdict.state]))


def verdict_line(verdict: Verdict) -> MarkedLine:
    """A target in words."""
    text = verdict_text(verdict)
    if verdict.target.strength == "prefer":
        text = _("{verdict} (preferred)", verdict=text)
    return MarkedLine(*_sign(verdict), text)


def problem_line(problem: Problem) -> MarkedLine:
    """A finding in words."""
    return MarkedLine(*_PROBLEM_MARKS[problem.severity], problem.sentence())


def shares(evaluation: Evaluation, key: str, basis: Basis) -> tuple[Share, ...]:
    """The ingredients that bring most of a quantity, largest first."""
    brought = evaluation.contributions(key, basis)
    total, largest = float(brought.sum()), float(brought.max(initial=0.0))
    if largest <= 0:
        return ()
    quantity, names = QUANTITIES[key], evaluation.prepared.names
    order = [k for k in (-brought).argsort(kind="stable")[:_MOST_SHARES] if brought[k] > 0]
    return tuple(
        Share(
            names[k],
            float(brought[k]) / largest,
            f"{number(float(brought[k]), quantity.decimals)} {quantity.unit}",
            f"{number(100.0 * float(brought[k]) / total, 0)} %",
        )
        for k in order
    )


def closing(evaluation: Evaluation, key: str, count: int) -> str:
    """What to add below the ingredients of a quantity: where values are missing, and what kind of figure it is."""
    said = []
    unknown = evaluation.unknown(key)
    if unknown:
        said.append(_("not exactly known for {foods}.", foods=", ".join(unknown)))
    elif count == 0:
        said.append(_("no ingredient brings any."))
    if key.startswith("residue_"):
        said.append(_("{source}.", source=_(QUANTITIES[key].source)))
    return " ".join(said)


def blanks(bounds: Bounds, shown: tuple[Block, ...]) -> tuple[str, ...]:
    """Which ingredients make the figures of the bars uncertain; one sentence for figures with the same ones."""
    titles: dict[tuple[str, ...], list[str]] = {}
    for block in shown:
        bound = bounds[block.key]
        if bound.unknown and bound.certainty != "exact":
            titles.setdefault(bound.unknown, []).append(block.heading())
    return tuple(
        _("{figures}: not exactly known for {foods}.", figures=", ".join(names), foods=", ".join(foods))
        for foods, names in titles.items()
    )
