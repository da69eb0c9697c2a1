"""Results, comparison and declaration as Markdown, for notes and mail.  Text of users stays text."""

import re
from collections.abc import Iterable, Sequence
from datetime import date

from workbench.base.text import _, number
from workbench.document.project import Basis, Project
from workbench.recipe.comparison import differences, line_changes
from workbench.recipe.evaluation import Evaluation
from workbench.recipe.pack_statement import PackStatement, Segment
from workbench.recipe.quantities import BASIS_TITLES, QUANTITIES
from workbench.recipe.verdict import verdicts
from workbench.recipe.words import (
    CAUTIONS,
    change_text,
    line_change_text,
    portions_text,
    quantity_text,
    verdict_text,
)

_BASES: tuple[Basis, ...] = ("portion", "per_100g", "per_25g_carbohydrate", "per_hour")
_MARKUP = re.compile(r"([\\`*_{}\[\]<>#|~])")


def escaped(text: str) -> str:
    """Text of users on one line, so that no sign of it is markup."""
    line = _MARKUP.sub(r"\\\1", " ".join(text.split()))
    return re.sub(r"^(?=[-+=]+( |$))", r"\\", re.sub(r"^(\d+)(?=[.)] )", r"\1\\", line))


def _table(head: Sequence[str], rows: Iterable[Sequence[str]], figures: int = 1) -> list[str]:
    """A table whose columns from ``figures`` on stand to the right."""
    under = ["---" if k < figures else "---:" for k in range(len(head))]
    return [f"| {' | '.join(row)} |" for row in (head, under, *rows)]


def _cautions() -> list[str]:
    return [f"## {_('Cautions')}", "", *(f"- {_(text)}" for text in CAUTIONS)]


def _joined(parts: Iterable[str]) -> str:
    return "\n".join(parts) + "\n"


def _heading(project: Project, subtitle: str, written: date | None) -> list[str]:
    said = [subtitle, _("written on {date}", date=written.isoformat()) if written else ""]
    return [f"# {escaped(project.title)}", "", " · ".join(filter(None, said)), ""]


def results_markdown(project: Project, evaluations: Sequence[Evaluation], written: date | None = None) -> str:
    """What every variant delivers, on four bases, with targets, findings and the usual cautions."""
    parts = _heading(project, _("what each variant delivers"), written)
    sets = {targets.id: targets for targets in project.target_sets}
    for each in evaluations:
        parts += [f"## {escaped(each.variant.name)}", ""]
        parts += [f"- {escaped(problem.sentence())}" for problem in each.problems]
        if each.valid:
            parts += [portions_text(each.portions), ""]
            head = [_("quantity"), *(_(BASIS_TITLES[basis]) for basis in _BASES)]
            rows = [
                [_(q.title), *(quantity_text(each.bound(q.key, basis), q.key) for basis in _BASES)]
                for q in QUANTITIES.values()
            ]
            parts += _table(head, rows)
            targets = sets.get(each.variant.target_set_id or "")
            if targets is not None:
                parts += ["", *(f"- {escaped(verdict_text(verdict))}" for verdict in verdicts(each, targets))]
        parts.append("")
    return _joined([*parts, *_cautions()])


def comparison_markdown(
    project: Project, evaluations: Sequence[Evaluation], basis: Basis, written: date | None = None
) -> str:
    """Variants beside each other: every quantity, and what changed against the first of them."""
    names = [escaped(each.variant.name) for each in evaluations]
    parts = _heading(project, _("variants of one recipe"), written)
    head = [_(BASIS_TITLES[basis]), *names, *(_("change: {name}", name=name) for name in names[1:])]
    changes = [differences(evaluations[0], other, basis, tuple(QUANTITIES)) for other in evaluations[1:]]
    rows = []
    for k, quantity in enumerate(QUANTITIES.values()):
        figures = [quantity_text(each.bound(quantity.key, basis), quantity.key) for each in evaluations]
        rows.append([_(quantity.title), *figures, *(change_text(found[k]) for found in changes)])
    parts += [*_table(head, rows), ""]
    for other, name in zip(evaluations[1:], names[1:], strict=True):
        parts += [f"## {_('{before} → {after}', before=names[0], after=name)}", ""]
        parts += [f"- {escaped(line_change_text(change))}" for change in line_changes(evaluations[0], other)]
        parts.append("")
    return _joined([*parts, *_cautions()])


def declaration_markdown(
    project: Project, statements: Sequence[tuple[str, PackStatement]], written: date | None = None
) -> str:
    """What packs of some variants have to say, with what an analysis may find; allergens bold and in capitals."""
    parts = _heading(project, _("declaration: estimated from published averages, not analysed"), written)
    for variant, said in statements:
        parts += [f"## {escaped(said.title)}: {escaped(variant)}", "", *_statement(said), ""]
    return _joined([*parts, *_cautions()])


def _strong(segments: Iterable[Segment]) -> str:
    plain = ((_MARKUP.sub(r"\\\1", text), strong) for text, strong in segments)
    return "".join(f"**{text.upper()}**" if strong else text for text, strong in plain)


def _statement(said: PackStatement) -> list[str]:
    entries = (
        (_("ingredients"), _strong(said.ingredients)),
        (_("contains"), escaped("; ".join(said.contains)) or _("none of the watched allergens was entered")),
        (_("watched beside the law"), escaped("; ".join(said.watched))),
        (_("may contain"), escaped("; ".join(said.may_contain))),
        (_("allergens not stated, a risk"), escaped("; ".join(said.not_stated))),
        (_("exempt"), escaped("; ".join(said.exempt))),
        (_("origin"), escaped(said.origin)),
    )
    parts = [f"- {words}: {text}" for words, text in entries if text]
    piece = _("one piece, {grams} g", grams=number(said.piece_g, 0))
    head = ["", _(BASIS_TITLES["per_100g"]), piece, _("an analysis may find")]
    rows = []
    for per_100g, per_piece in zip(said.per_100g, said.per_piece, strict=True):
        title = f"– {_(per_100g.title)}" if per_100g.part else _(per_100g.title)
        found = per_100g.tolerance_text() if said.rules == "eu" else per_piece.tolerance_text()
        rows.append([title, escaped(per_100g.text()), escaped(per_piece.text()), found])
    if said.rules == "eu":
        head[3] = _("an analysis may find, per 100 g")
    return [*parts, "", *_table(head, rows), "", *(f"- {note}" for note in said.notes)]
