"""Results and declaration as Markdown, for notes and mail.  Text of users stays text."""

import re
from collections.abc import Iterable, Sequence
from datetime import date

from workbench.base.text import _, number
from workbench.document.project import Basis, Project
from workbench.recipe.evaluation import Evaluation
from workbench.recipe.list_words import Segment
from workbench.recipe.pack_statement import PackStatement
from workbench.recipe.quantities import BASIS_TITLES, QUANTITIES
from workbench.recipe.verdict import verdicts
from workbench.recipe.words import (
    CAUTIONS,
    portions_text,
    quantity_text,
    verdict_text,
)
from workbench.solve.avoid import offending

_BASES: tuple[Basis, ...] = ("portion", "per_100g", "per_25g_carbohydrate", "per_hour")
_MARKUP = re.compile(r"([\\`*_{}\[\]<>#|~])")


def escaped(text: str) -> str:
    """Text of users on one line, so that no sign of it is markup."""
    line = _MARKUP.sub(r"\\\1", " ".join(text.split()))
    return re.sub(r"^(?=[-+=]+( |$))", r"\\", re.sub(r"^(\d+)(?=[.)] )", r"\1\\", line))


def table(head: Sequence[str], rows: Iterable[Sequence[str]], figures: int = 1) -> list[str]:
    """A table whose columns from ``figures`` on stand to the right."""
    under = ["---" if k < figures else "---:" for k in range(len(head))]
    return [f"| {' | '.join(row)} |" for row in (head, under, *rows)]


def cautions() -> list[str]:
    """The usual cautions under their heading."""
    return [f"## {_('Cautions')}", "", *(f"- {_(text)}" for text in CAUTIONS)]


def joined(parts: Iterable[str]) -> str:
    """Lines as the content of a file."""
    return "\n".join(parts) + "\n"


def heading(title: str, subtitle: str, written: date | None) -> list[str]:
    """What it is of, what it is, and when it was written."""
    said = [subtitle, _("written on {date}", date=written.isoformat()) if written else ""]
    return [f"# {escaped(title)}", "", " · ".join(filter(None, said)), ""]


def results_markdown(project: Project, evaluations: Sequence[Evaluation], written: date | None = None) -> str:
    """What every variant delivers, on four bases, with targets, findings and the usual cautions."""
    parts = heading(project.title, _("what each variant delivers"), written)
    sets = {targets.id: targets for targets in project.target_sets}
    for each in evaluations:
        parts += [f"## {escaped(each.variant.name)}", ""]
        avoided = offending(project, each.variant, project.wish_of(each.variant))
        parts += [f"- {escaped(f'{offence.name}: {offence.marks}')}" for offence in avoided]
        parts += [f"- {escaped(problem.sentence())}" for problem in each.problems]
        if each.valid:
            parts += [portions_text(each.portions), ""]
            head = [_("quantity"), *(_(BASIS_TITLES[basis]) for basis in _BASES)]
            rows = [
                [_(q.title), *(quantity_text(each.bound(q.key, basis), q.key) for basis in _BASES)]
                for q in QUANTITIES.values()
            ]
            parts += table(head, rows)
            targets = sets.get(each.variant.target_set_id or "")
            if targets is not None:
                parts += ["", *(f"- {escaped(verdict_text(verdict))}" for verdict in verdicts(each, targets))]
        parts.append("")
    return joined([*parts, *cautions()])


def declaration_markdown(
    project: Project, statements: Sequence[tuple[str, PackStatement]], written: date | None = None
) -> str:
    """What packs of some variants have to say, with what an analysis may find; allergens bold and in capitals."""
    parts = heading(project.title, _("declaration: estimated from published averages, not analysed"), written)
    for variant, said in statements:
        parts += [f"## {escaped(said.title)}: {escaped(variant)}", "", *_statement(said), ""]
    return joined([*parts, *cautions()])


def _strong(segments: Iterable[Segment]) -> str:
    plain = ((_MARKUP.sub(r"\\\1", text), strong) for text, strong in segments)
    return "".join(f"**{text.upper()}**" if strong else text for text, strong in plain)


def _statement(said: PackStatement) -> list[str]:
    entries = (
        (_("ingredients"), _strong(said.ingredients)),
        (_("contains"), escaped("; ".join(said.contains)) or said.none_named),
        (_("watched beside the law"), escaped("; ".join(said.watched))),
        (_("also inside, not asked for by this law"), escaped("; ".join(said.left_out))),
        (_("may contain"), escaped("; ".join(said.may_contain))),
        (_("allergens not stated, a risk"), escaped("; ".join(said.not_stated))),
        (_("compound, not opened: enter it from its pack, with what is inside"), escaped("; ".join(said.closed))),
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
    return [*parts, "", *table(head, rows), "", *(f"- {note}" for note in said.notes)]
