"""Rows of the recipe on the clipboard: copied as a spreadsheet takes them, pasted once nothing is open about them."""

from PySide6.QtGui import QGuiApplication
from PySide6.QtWidgets import QWidget

from workbench.base.errors import WorkbenchError
from workbench.base.text import _, plural
from workbench.composition.pasting import MOST_CHARACTERS, KnownNames, ReadRow, read_rows
from workbench.composition.search import folded
from workbench.document.line_edits import NewLine, paste_lines
from workbench.document.project import Stage
from workbench.recipe.copying import rows_text
from workbench.recipe.words import STAGE_KINDS
from workbench.storage.structure import MAX_LINES
from workbench.ui.dialogs.paste_dialog import Settled, ask_open_rows
from workbench.ui.messages import Messages
from workbench.ui.models.ingredient_choices import IngredientChoices
from workbench.ui.session import Session


def copy_rows(session: Session, line_ids: list[str], messages: Messages) -> None:
    """Put lines on the clipboard."""
    rows = [k for k, line in enumerate(session.variant.lines) if line.id in line_ids]
    QGuiApplication.clipboard().setText(rows_text(session.evaluation, rows))
    messages.notice(plural("{n} row copied", "{n} rows copied", len(rows)))


def paste_rows(session: Session, stage_id: str, messages: Messages, parent: QWidget) -> list[str]:
    """Add what is on the clipboard to the stages it names, or else to one; ids of the new lines."""
    text = QGuiApplication.clipboard().text()
    rows = read_rows(text) if len(text) <= MOST_CHARACTERS else []
    room = MAX_LINES - len(session.variant.lines)
    if len(text) > MOST_CHARACTERS or len(rows) > room:
        messages.error(_too_many(len(rows), room))
        return []
    if not rows:
        messages.notice(_("nothing to paste: copy rows with a name and an amount"))
        return []
    choices = IngredientChoices(session)
    foods = choices.foods()
    names = KnownNames(foods, {variant.id: variant.name for variant in choices.variants()})
    read = [names.read(row, session.project.measures) for row in rows]
    settled = [
        Settled(one, foods.get(one.key, one.key), one.parsed)
        for one in read
        if not one.problem and one.key is not None and one.parsed is not None
    ]
    open_rows = [one for one in read if one.problem]
    if open_rows:
        answers = ask_open_rows(open_rows, len(settled), choices, session.project.measures, parent)
        if answers is None:
            return []
        settled = sorted([*settled, *answers], key=lambda one: one.row.row.number)
    if not settled:
        return []
    before = {line.id for line in session.variant.lines}
    stages = session.variant.stages
    new = [
        NewLine(one.what, _named(stages, one.row) or stage_id, one.parsed.grams, _entered(one), one.row.row.as_bought)
        for one in settled
    ]
    session.apply(paste_lines(session.project, session.variant_id, new))
    return [line.id for line in session.variant.lines if line.id not in before]


def _named(stages: tuple[Stage, ...], read: ReadRow) -> str:
    """Id of the stage that a row names; empty where it names none of these."""
    wanted = folded(read.row.stage)
    names = {folded(" ".join((stage.name or _(STAGE_KINDS[stage.kind])).split())): stage.id for stage in stages}
    return names.get(wanted, "") if wanted else ""


def _entered(one: Settled) -> str:
    """The text as typed, where it says more than grams do."""
    return "" if one.parsed.entered.replace(" ", "").strip("0123456789.,") in ("", "g") else one.parsed.entered


def _too_many(count: int, room: int) -> WorkbenchError:
    if not count:
        return WorkbenchError(_("What was copied is too long for a recipe."), hint=_("Copy fewer rows."))
    return WorkbenchError(
        plural("{n} row was copied.", "{n} rows were copied.", count),
        hint=_(
            "A variant holds {most} ingredients at most, and there is room for {room} more. Nothing was pasted.",
            most=MAX_LINES,
            room=max(room, 0),
        ),
    )
