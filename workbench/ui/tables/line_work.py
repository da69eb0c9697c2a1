"""What can be done with the chosen lines of the recipe, as user actions; each is one undo step.

Dialogs and the clipboard are loaded when they are first used, so that the window starts without them.
"""

from collections.abc import Callable

from workbench.base.text import _
from workbench.document import edits, line_edits
from workbench.document.edits import Edit
from workbench.document.project import Line, Project
from workbench.ui.actions import UserAction
from workbench.ui.messages import Messages
from workbench.ui.session import Session
from workbench.ui.tables.recipe_table import RecipeTable
from workbench.ui.tables.row_drag import neighbour


class LineWork:
    """Edits of the lines that are chosen in a table."""

    def __init__(self, session: Session, table: RecipeTable, messages: Messages) -> None:
        self._session = session
        self._table = table
        self._messages = messages

    def user_actions(self) -> tuple[UserAction, ...]:
        """What can be done with the current line, and with all chosen ones."""
        table, has_line, has_choice = self._table, self._has_line, self._has_choice
        return (
            UserAction("line.amount", _("type the amount"), table.type_amount, enabled=has_line),
            UserAction("line.lock", _("lock the amount"), self.toggle_lock, "L", has_line, self._is("lock"), table),
            UserAction(
                "line.as_bought",
                _("weighed as bought, before trimming"),
                lambda: self._switch(edits.set_as_bought, "as_bought"),
                enabled=lambda: (line := table.current_line()) is not None and line.food_ref.kind != "variant",
                checked=self._is("as_bought"),
            ),
            UserAction(
                "line.cooking_water",
                _("cooking water, inside the typical weight"),
                lambda: self._switch(edits.set_cooking_water, "cooking_water"),
                enabled=has_line,
                checked=self._is("cooking_water"),
            ),
            UserAction("line.replace", _("replace by another ingredient …"), self.replace, "Ctrl+R", has_line),
            UserAction("line.scale", _("scale the chosen amounts …"), self.scale, "Ctrl+M", has_choice),
            UserAction("line.group", _("keep the chosen in proportion"), self.group, "Ctrl+G", self._has_several),
            UserAction("line.ungroup", _("free from proportion"), self.ungroup, "Ctrl+Shift+G", self._has_group),
            UserAction("line.up", _("move up"), lambda: self.move(-1), "Alt+Up", lambda: self._can_move(-1)),
            UserAction("line.down", _("move down"), lambda: self.move(1), "Alt+Down", lambda: self._can_move(1)),
            UserAction("line.remove", _("remove"), self.remove, "Del", has_choice, only_in=table),
            UserAction("line.choose_all", _("choose all ingredients"), table.selectAll, "Ctrl+A", only_in=table),
            UserAction("line.copy", _("copy the chosen rows"), self.copy, "Ctrl+C", has_choice, only_in=table),
            UserAction("line.copy_all", _("copy the whole recipe"), self.copy_all, "Ctrl+Shift+C", self._has_lines),
            UserAction("line.paste", _("paste rows"), self.paste, "Ctrl+V", only_in=table),
        )

    # --- what is possible -----------------------------------------------------------------------------------------

    def _has_line(self) -> bool:
        return self._table.current_line() is not None

    def _has_lines(self) -> bool:
        return bool(self._session.variant.lines)

    def _has_choice(self) -> bool:
        return bool(self._table.chosen_line_ids())

    def _has_several(self) -> bool:
        return len(self._table.chosen_line_ids()) > 1

    def _has_group(self) -> bool:
        return any(line.group for line in self._chosen())

    def _is(self, field: str) -> Callable[[], bool]:
        return lambda: (line := self._table.current_line()) is not None and bool(getattr(line, field))

    def _can_move(self, by: int) -> bool:
        return neighbour(self._session.variant, self._table.chosen_line_ids(), by) is not None

    def _chosen(self) -> list[Line]:
        ids = frozenset(self._table.chosen_line_ids())
        return [line for line in self._session.variant.lines if line.id in ids]

    # --- one line -------------------------------------------------------------------------------------------------

    def _switch(self, edit: Callable[[Project, str, str, bool], Edit], field: str) -> None:
        line = self._table.current_line()
        if line is not None:
            session = self._session
            session.apply(edit(session.project, session.variant_id, line.id, not getattr(line, field)))

    def replace(self) -> None:
        """Make the current line of another ingredient."""
        from workbench.ui.dialogs.replace_dialog import ask_replacement

        session, line = self._session, self._table.current_line()
        if line is None:
            return
        session.commit()
        name = edits.food_name(session.project, line)
        answer = ask_replacement(session, line, name, self._table.window())
        if answer is not None:
            session.apply(
                line_edits.replace_food(session.project, session.variant_id, line.id, answer.what, answer.amount_g)
            )
            self._table.choose(line.id)

    # --- all chosen lines -------------------------------------------------------------------------------------------

    def toggle_lock(self) -> None:
        """Lock the chosen lines, or free them if the current one is locked."""
        line, session = self._table.current_line(), self._session
        if line is not None:
            ids = self._table.chosen_line_ids() or [line.id]
            session.apply(edits.set_lock(session.project, session.variant_id, ids, not line.lock))

    def remove(self) -> None:
        """Take the chosen lines out."""
        session, ids = self._session, self._table.chosen_line_ids()
        if ids:
            session.apply(edits.remove_lines(session.project, session.variant_id, ids))

    def scale(self) -> None:
        """Ask for a factor or a weight, and scale the chosen amounts."""
        from workbench.ui.dialogs.scale_dialog import ask_scale

        session, chosen = self._session, self._chosen()
        free, locked = [x for x in chosen if not x.lock], [x for x in chosen if x.lock]
        free_g = sum(line.amount_g for line in free)
        if free_g <= 0:
            self._messages.notice(_("nothing to scale: the chosen amounts are locked or 0 g"))
            return
        session.commit()
        locked_g = sum(line.amount_g for line in locked)
        factor = ask_scale(free_g, len(free), locked_g, len(locked), self._table.window())
        if factor is not None and factor != 1.0:
            ids = [line.id for line in chosen]
            session.apply(line_edits.scale_lines(session.project, session.variant_id, ids, factor))

    def group(self) -> None:
        """Keep the proportion of the chosen lines."""
        self._group(together=True)

    def ungroup(self) -> None:
        """Let the chosen lines go their own ways."""
        self._group(together=False)

    def _group(self, *, together: bool) -> None:
        session, ids = self._session, self._table.chosen_line_ids()
        if ids:
            session.apply(line_edits.group_lines(session.project, session.variant_id, ids, together=together))

    def move(self, by: int) -> None:
        """Put the chosen lines one place up or down."""
        ids = self._table.chosen_line_ids()
        target = neighbour(self._session.variant, ids, by)
        if target is not None:
            self._place(ids, *target)

    def move_to_stage(self, stage_id: str) -> None:
        """Put the chosen lines at the end of another stage."""
        ids = self._table.chosen_line_ids()
        there = [line for line in self._session.variant.lines if line.stage_id == stage_id and line.id not in ids]
        if any(line.stage_id != stage_id for line in self._chosen()):
            self._place(ids, stage_id, len(there))

    def _place(self, ids: list[str], stage_id: str, position: int) -> None:
        session = self._session
        session.apply(edits.move_lines(session.project, session.variant_id, ids, stage_id, position))
        self._table.choose_all(ids)

    # --- the clipboard ----------------------------------------------------------------------------------------------

    def copy(self) -> None:
        """Put the chosen rows on the clipboard, as a spreadsheet takes them."""
        self._copy(self._table.chosen_line_ids())

    def copy_all(self) -> None:
        """Put all rows on the clipboard."""
        self._copy([line.id for line in self._session.variant.lines])

    def _copy(self, ids: list[str]) -> None:
        from workbench.ui.tables.row_clipboard import copy_rows

        copy_rows(self._session, ids, self._messages)

    def paste(self) -> None:
        """Add the rows on the clipboard; asks about those that are not certain."""
        from workbench.ui.tables.row_clipboard import paste_rows

        self._session.commit()
        added = paste_rows(self._session, self._table.current_stage_id(), self._messages, self._table.window())
        self._table.choose_all(added)
