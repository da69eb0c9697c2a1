"""Lines of a recipe as text that a spreadsheet takes: cells between tabs, one line a row, under a header."""

from collections.abc import Sequence

from workbench.base.text import _, decimal_sign, number
from workbench.composition.pasting import HEADER
from workbench.recipe.evaluation import Evaluation
from workbench.recipe.words import STAGE_KINDS


def rows_text(evaluation: Evaluation, lines: Sequence[int]) -> str:
    """Header and rows of these lines of the variant: name, grams, share of the batch, as bought, stage."""
    rows = [[_(title) for title in HEADER.values()]]
    stages = {stage.id: stage for stage in evaluation.variant.stages}
    for k in lines:
        line = evaluation.variant.lines[k]
        share = 100.0 * evaluation.edible_g[k] / evaluation.raw_g if evaluation.raw_g > 0 else None
        stage = stages.get(line.stage_id)
        rows.append(
            [
                evaluation.prepared.names[k],
                f"{line.amount_g:.10g}".replace(".", decimal_sign()),
                number(share, 2),
                _("yes") if line.as_bought else "",
                (stage.name or _(STAGE_KINDS[stage.kind])) if stage else "",
            ]
        )
    return "".join("\t".join(map(_cell, row)) + "\n" for row in rows)


def _cell(text: str) -> str:
    """Text that is a cell of its own and never a formula."""
    plain = " ".join(text.split())
    return f"'{plain}" if plain.startswith(("=", "+", "-", "@")) else plain
