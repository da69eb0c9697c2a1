"""The library as the rest of the program uses it."""

import contextlib
import sqlite3
from collections.abc import Callable, Iterable, Mapping
from pathlib import Path
from typing import TypeVar

import msgspec

from workbench.base import paths
from workbench.base.progress import Progress
from workbench.base.text import _
from workbench.composition.food import Food
from workbench.composition.library import backup, importing, merging, opening, rules
from workbench.composition.library.connection import LibraryError, connect, give_memory_back, only_writer, worded
from workbench.composition.library.reading import Reading
from workbench.composition.library.records import (
    Choice,
    Entry,
    ImportSummary,
    Lot,
    MadeFrom,
    Rule,
    Step,
    TableInfo,
)
from workbench.composition.library.steps import Writer, last_step, transaction, turn

_T = TypeVar("_T")
_IMPORT_CACHE_KIB = 24_000  # an import of 8,000 foods fits: until its end, others read on undisturbed


class Library(Reading):
    """One open library file.

    Read from the thread that opened it.  Whatever writes opens a connection of its own and may run in another thread;
    it is one step of the library's undo, in one transaction, and refused while another program writes.

    Attributes
    ----------
    path : Path
    readonly : bool
    index : LibraryIndex
        The search of this library alone.
    notices : tuple of str
        What was found on opening, in words: damage, a back-up taken, write protection.
    """

    @classmethod
    def open(
        cls, path: Path | None = None, *, readonly: bool = False, patience_s: float = 5.0, mend: bool = True
    ) -> "Library":
        """Open the library at ``path`` (the user's own if None), making it where there is none.

        Parameters
        ----------
        path : Path, optional
        readonly : bool
            Change nothing, not even a damaged file.
        patience_s : float
            How long reading waits for another program that is just writing. [s]
        mend : bool
            Set a damaged file aside; not what somebody named by hand, which may be no library at all.

        Raises
        ------
        LibraryError
            If there is none to read, it is another program's file or of a newer version, or cannot be opened.
        LibraryBusy
            If another program is writing to it.
        LibraryDamaged
            If it is damaged and ``readonly`` or not ``mend``; otherwise it is set aside and the last back-up taken,
            see ``notices``.
        """
        path = paths.library() if path is None else path
        opened = opening.open_file(path, readonly=readonly, patience_s=patience_s, mend=mend)
        return cls(path, opened.connection, opened.readonly, opened.notices)

    def close(self) -> None:
        """Close the file; the library is of no use afterwards."""
        self._connection.close()

    def __enter__(self) -> "Library":
        return self

    def __exit__(self, *_exception: object) -> None:
        self.close()

    # --- writing ------------------------------------------------------------------------------------------------------

    def _refuse_if_readonly(self) -> None:
        if self.readonly:
            raise LibraryError(
                _("The library is open for reading only."),
                hint=_("Change the permissions of the file and its folder."),
                where=str(self.path),
            )

    def _transact(
        self, work: Callable[[sqlite3.Connection], _T], progress: Progress | None, *, copy_first: bool = False
    ) -> _T:
        self._refuse_if_readonly()
        progress = Progress() if progress is None else progress
        with worded(self.path), only_writer(self.path):
            if (copy_first or backup.is_due(self.path)) and backup.is_worth_it(self.path):
                backup.back_up(self.path, backup.rolling(self.path), progress)
            kib = _IMPORT_CACHE_KIB if copy_first else 8_000
            writing = connect(self.path, readonly=False, patience_s=5.0, cache_kib=kib)
            try:
                with contextlib.closing(writing), transaction(writing, progress):
                    return work(writing)
            finally:
                if copy_first:
                    give_memory_back()

    def _step(
        self,
        words: str,
        work: Callable[[sqlite3.Connection, Writer], _T],
        progress: Progress | None = None,
        *,
        copy_first: bool = False,
    ) -> _T:
        def whole(connection: sqlite3.Connection) -> _T:
            writer = Writer(connection, words)
            result = work(connection, writer)
            writer.finish()
            return result

        return self._transact(whole, progress, copy_first=copy_first)

    def _change(self, food_id: str, words: str, change: Callable[[Entry], Entry]) -> None:
        """Write the next revision of one food that is there."""

        def work(_connection: sqlite3.Connection, writer: Writer) -> None:
            entry, packed = writer.state(food_id)
            if entry is None:
                raise LibraryError(_("The library has no food “{id}”.", id=food_id), hint=_("Look it up by its name."))
            changed = change(entry)
            if writer.packed(changed) != packed:
                writer.record(food_id, changed)

        self._step(words, work)

    def put(self, food: Food, *, note: str = "", made_from: MadeFrom | None = None, words: str = "") -> None:
        """Keep a food, new or changed.

        Parameters
        ----------
        food : Food
            By its id it is new, or the next revision of the one that is there.
        note : str
            Why, for the list of revisions.
        made_from : MadeFrom, optional
            The recipe of a composite ingredient; without one, a food that had a recipe keeps it.
        words : str
            What the step of the undo is called, where it is more than that the food is kept.

        Raises
        ------
        LibraryError
            If the library cannot be written.
        """
        self._step(
            words or _("“{name}” kept", name=food.name),
            lambda _connection, writer: _keep(writer, food, note=note, made_from=made_from),
        )

    def put_all(self, foods: Iterable[Food], *, words: str) -> None:
        """Keep several foods in one step of the undo, which ``words`` name; of two with one id the last."""

        def work(_connection: sqlite3.Connection, writer: Writer) -> None:
            for food in {food.id: food for food in foods}.values():
                _keep(writer, food)

        self._step(words, work)

    def deactivate(self, food_id: str) -> None:
        """Hide a food from the search; projects and composites that use it keep it."""
        self._change(food_id, _("food deactivated"), lambda entry: _with_active(entry, False))

    def reactivate(self, food_id: str) -> None:
        """Show a deactivated food again."""
        self._change(food_id, _("food reactivated"), lambda entry: _with_active(entry, True))

    def delete(self, food_id: str) -> None:
        """Delete a food of one's own that nothing in the library is made of; the caller knows which projects use it.

        Raises
        ------
        LibraryError
            If it was imported, or a composite ingredient is made of it.
        """

        def work(connection: sqlite3.Connection, writer: Writer) -> None:
            entry, _packed = writer.state(food_id)
            if entry is None:
                return
            users = connection.execute("SELECT count(*) FROM part WHERE id = ?", (food_id,)).fetchone()[0]
            if entry.table or users:
                reason = _("a composite ingredient is made of it") if users else _("it belongs to an imported table")
                raise LibraryError(
                    _("“{name}” cannot be deleted: {reason}.", name=entry.food.name, reason=reason),
                    hint=_("Deactivate it instead."),
                )
            writer.record(food_id, None)

        self._step(_("food deleted"), work)

    def set_tags(self, food_id: str, tags: Iterable[str]) -> None:
        """Tag a food with words of one's own."""
        tags = tuple(dict.fromkeys(tag.strip() for tag in tags if tag.strip()))
        self._change(food_id, _("tags changed"), lambda entry: msgspec.structs.replace(entry, tags=tags))

    def set_note(self, food_id: str, note: str) -> None:
        """Write a note on a food."""
        self._change(food_id, _("note changed"), lambda entry: msgspec.structs.replace(entry, note=note))

    def set_lots(self, food_id: str, lots: Iterable[Lot]) -> None:
        """Say which deliveries of a food are there."""
        lots = tuple(lots)
        self._change(food_id, _("lots changed"), lambda entry: msgspec.structs.replace(entry, lots=lots))

    def apply_rule(self, rule: Rule, progress: Progress | None = None) -> int:
        """State role, origin or allergens of every food that a rule fits; returns how many changed."""
        return self._step(
            _("facts stated by rule"),
            lambda connection, writer: rules.apply_rule(connection, writer, rule, progress or Progress()),
            progress,
        )

    def import_table(self, info: TableInfo, foods: Iterable[Food], progress: Progress) -> ImportSummary:
        """Take a whole table in, or replace the rows of its earlier import, in one transaction.

        Parameters
        ----------
        info : TableInfo
        foods : iterable of Food
            May be a generator: it is read once and never held whole.  ``food.id`` is its code in the table; the library
            makes it ``"{info.key}:{code}"`` and stamps ``taken_from`` (table version, row hash) itself.
        progress : Progress
            ``step(done, None)`` is called for every food.

        Raises
        ------
        LibraryError
            If a code stands twice, naming both foods, or the library cannot be written.
        Cancelled
            If ``progress`` is stopped; the library is as it was.
        """
        if not info.key or any(sign in info.key for sign in ":;") or not info.key.isprintable():
            raise LibraryError(
                _("“{key}” cannot be the key of a table.", key=info.key), hint=_("Use letters, digits and _.")
            )
        return self._step(
            _("import of {title}", title=info.title),
            lambda connection, writer: importing.write_table(connection, writer, info, foods, progress),
            progress,
            copy_first=True,
        )

    def undo(self, progress: Progress | None = None) -> Step | None:
        """Take the last step back; returns it, or None if there is none."""
        return self._turn(progress, back=True)

    def redo(self, progress: Progress | None = None) -> Step | None:
        """Do the step again that was taken back last; returns it, or None if there is none."""
        return self._turn(progress, back=False)

    def _turn(self, progress: Progress | None, *, back: bool) -> Step | None:
        def work(connection: sqlite3.Connection) -> Step | None:
            step = last_step(connection, undone=not back)
            if step is not None:
                turn(connection, step, back=back, progress=progress or Progress())
            return step

        return self._transact(work, progress)

    # --- copies and other libraries -----------------------------------------------------------------------------------

    def back_up(self, target: Path, progress: Progress | None = None) -> None:
        """Copy the whole library into one file, wholly or not at all."""
        backup.back_up(self.path, target, progress or Progress())

    def what_restoring_changes(self, copy: Path | None = None) -> backup.Restoring:
        """What ``restore`` would change; ``copy`` is the last automatic one if None."""
        return backup.what_restoring_changes(self.path, copy or backup.rolling(self.path))

    def restore(self, copy: Path | None = None, progress: Progress | None = None) -> Path:
        """Make the library what a back-up is; returns where the state before is kept."""
        self._refuse_if_readonly()
        with only_writer(self.path):
            return backup.restore(self.path, copy or backup.rolling(self.path), progress or Progress())

    def what_merging_changes(self, other: Path, progress: Progress | None = None) -> merging.Merging:
        """Compare with another library: what it has that is new, the same, or differs."""
        with worded(self.path):
            return merging.preview(self._connection, other, progress or Progress())

    def merge(
        self,
        other: Path,
        choices: Mapping[str, Choice] | None = None,
        *,
        otherwise: Choice = "mine",
        progress: Progress | None = None,
    ) -> int:
        """Take over another library's foods in one step; returns how many were added or changed.

        Parameters
        ----------
        other : Path
        choices : mapping of str to {"mine", "theirs", "newer"}, optional
            By id, for foods that differ.
        otherwise : {"mine", "theirs", "newer"}
            For those that ``choices`` does not name.
        """
        return self._step(
            _("merge with {file}", file=other.name),
            lambda connection, writer: merging.merge(
                connection, writer, other, choices or {}, otherwise, progress or Progress()
            ),
            progress,
            copy_first=True,
        )


def _keep(writer: Writer, food: Food, *, note: str = "", made_from: MadeFrom | None = None) -> None:
    food = msgspec.structs.replace(food, taken_from=None)
    old, packed = writer.state(food.id)
    entry = Entry(food=food) if old is None else rules.with_food(old, food)
    if made_from is not None:
        entry = msgspec.structs.replace(entry, made_from=made_from)
    if writer.packed(entry) != packed:
        writer.record(food.id, entry, note=note)


def _with_active(entry: Entry, active: bool) -> Entry:
    stated = (*entry.stated, "active") if entry.table and "active" not in entry.stated else entry.stated
    return msgspec.structs.replace(entry, active=active, stated=stated)
