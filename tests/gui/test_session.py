"""The session: undo, previews, variants, and figures that always belong to the document on screen."""

import pytest
from pytestqt.qtbot import QtBot

from workbench.document import edits, variant_edits
from workbench.document.edits import Change
from workbench.document.project import Project
from workbench.recipe.evaluation import evaluate
from workbench.recipe.preparation import prepare
from workbench.ui.session import Session

SYRUP = "line-corn_syrup_light"


def carbohydrate(session: Session) -> float:
    return session.evaluation.bound("CHOAVLDF").value


def fresh_carbohydrate(session: Session) -> float:
    """As computed from nothing, without anything the session kept."""
    return evaluate(prepare(session.project, session.variant)).bound("CHOAVLDF").value


@pytest.fixture
def session(qtbot: QtBot, project: Project) -> Session:
    return Session(project)


def set_syrup(session: Session, grams: float) -> edits.Edit:
    return edits.set_amount(session.base, session.variant_id, SYRUP, grams)


def test_a_whole_drag_is_one_undo_step(session: Session) -> None:
    before, figure = session.project, carbohydrate(session)
    for grams in (130, 150, 170, 200):
        session.preview(set_syrup(session, grams))
        session.flush()
        assert carbohydrate(session) == pytest.approx(fresh_carbohydrate(session))
    session.commit()
    assert session.undo_stack.count() == 1
    assert carbohydrate(session) > figure
    session.undo_stack.undo()
    assert session.project == before
    assert carbohydrate(session) == figure


def test_many_moves_between_two_frames_are_evaluated_once(qtbot: QtBot, session: Session) -> None:
    seen: list[float] = []
    session.evaluated.connect(lambda evaluation: seen.append(evaluation.amount_g.sum()))
    with qtbot.waitSignal(session.evaluated):
        for grams in range(121, 161):
            session.preview(set_syrup(session, grams))
    assert len(seen) == 1
    assert session.variant.lines[3].amount_g == 160


def test_a_cancelled_drag_leaves_no_trace(session: Session) -> None:
    before, figure = session.project, carbohydrate(session)
    session.preview(set_syrup(session, 300))
    session.flush()
    session.cancel_preview()
    assert session.project is before
    assert carbohydrate(session) == figure
    assert session.undo_stack.count() == 0


def test_a_drag_back_to_the_start_is_no_step(session: Session) -> None:
    session.preview(set_syrup(session, 300))
    session.preview(set_syrup(session, 120))
    session.commit()
    assert session.undo_stack.count() == 0


def test_an_edit_during_a_drag_keeps_both(session: Session) -> None:
    session.preview(set_syrup(session, 200))
    session.apply(edits.set_lock(session.project, session.variant_id, [SYRUP], True))
    assert (session.variant.lines[3].amount_g, session.variant.lines[3].lock) == (200, True)
    assert session.undo_stack.count() == 2


def test_undo_leads_to_the_start_through_edits_of_every_kind(session: Session, project: Project) -> None:
    variant_id = session.variant_id
    session.apply(edits.set_amount(session.project, variant_id, SYRUP, 90))
    edit, copy_id = variant_edits.new_variant(session.project, "Race", variant_id)
    session.apply(edit, copy_id)
    session.apply(edits.remove_lines(session.project, copy_id, ["line-coconut_cream"]))
    session.apply(edits.remove_stage(session.project, copy_id, "press"))
    session.apply(variant_edits.set_pace(session.project, copy_id, 4))
    last = session.project
    while session.undo_stack.canUndo():
        session.undo_stack.undo()
        assert carbohydrate(session) == pytest.approx(fresh_carbohydrate(session))
    assert session.project == project
    assert session.variant_id == variant_id
    while session.undo_stack.canRedo():
        session.undo_stack.redo()
        assert carbohydrate(session) == pytest.approx(fresh_carbohydrate(session))
    assert session.project == last
    assert session.variant_id == copy_id


def test_undo_shows_the_variant_that_it_changes(session: Session) -> None:
    edit, copy_id = variant_edits.new_variant(session.project, "Race", "original")
    session.apply(edit, copy_id)
    session.apply(edits.set_amount(session.project, copy_id, SYRUP, 200))
    session.switch_variant("original")
    session.undo_stack.undo()
    assert session.variant_id == copy_id
    assert session.variant.lines[3].amount_g == 120


def test_a_variant_inside_another_moves_its_figures(session: Session) -> None:
    edit, outer_id = variant_edits.new_variant(session.project, "Two layers")
    session.apply(edit, outer_id)
    session.apply(edits.add_line(session.project, outer_id, session.variant.stages[0].id, "original", 500))
    before = session.evaluation_of(outer_id).bound("CHOAVLDF").value
    session.switch_variant("original")
    session.apply(edits.set_amount(session.project, "original", SYRUP, 400))
    session.switch_variant(outer_id)
    assert carbohydrate(session) > before
    assert carbohydrate(session) == pytest.approx(fresh_carbohydrate(session))


def test_the_marker_is_the_parent_or_what_was_viewed_before(session: Session) -> None:
    assert session.marker_variant_id is None
    edit, copy_id = variant_edits.new_variant(session.project, "Race", "original")
    session.apply(edit, copy_id)
    assert session.marker_variant_id == "original"
    session.switch_variant("original")
    assert session.marker_variant_id == copy_id
    session.apply(variant_edits.remove_variant(session.project, copy_id))
    assert session.marker_variant_id is None


def test_opening_another_project_forgets_the_last_one(session: Session) -> None:
    session.apply(edits.set_amount(session.project, session.variant_id, SYRUP, 200))
    changes: list[Change] = []
    session.documentChanged.connect(lambda _project, change: changes.append(change))
    session.open(Project(id="empty", title="empty"))
    assert not session.undo_stack.canUndo()
    assert session.undo_stack.isClean()
    assert session.variant.stages  # there is a place to add something
    assert not session.evaluation.valid
    assert Change.LINES in changes[-1]
    assert Change.PROJECT in changes[-1]
