"""The file behind the open project: new, open, save, recovery copies, and who else has it open."""

from pathlib import Path

from PySide6.QtCore import QObject, QTimer, Signal

from workbench.base.errors import FileError, WorkbenchError
from workbench.base.files import FileLock
from workbench.base.paths import demo_projects
from workbench.base.text import _, plural
from workbench.document import edits
from workbench.document.project import Project
from workbench.storage.project_file import Loaded, content_hash, load_project, save_project
from workbench.storage.recent import add_recent, forget_recent
from workbench.storage.recovery import Recovered, RecoveryCopy, discard, find_recovery, list_orphans
from workbench.storage.structure import Extras
from workbench.ui.actions import UserAction
from workbench.ui.messages import Messages
from workbench.ui.session import Session, empty_project

SUFFIX = ".fare"
RECOVERY_AFTER_MS = 5000


class Documents(QObject):
    """File work of one window.  ``titleChanged`` comes when name or state of the file changed."""

    titleChanged = Signal()

    def __init__(self, session: Session, messages: Messages, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self._messages = messages
        self.path: Path | None = None
        self.read_only = False
        self._suggested = ""
        self._extras: Extras = {}
        self._hash = ""
        self._lock: FileLock | None = None
        self._recovery = RecoveryCopy(None)
        self._complained = False
        self.recovery_timer = QTimer(self)
        self.recovery_timer.setSingleShot(True)
        self.recovery_timer.setInterval(RECOVERY_AFTER_MS)
        self.recovery_timer.timeout.connect(self.keep_recovery_copy)
        session.documentChanged.connect(self._changed)
        session.undo_stack.cleanChanged.connect(self._clean_changed)

    # --- what is open -------------------------------------------------------------------------------------------

    @property
    def name(self) -> str:
        """What the title of the window calls it."""
        return self.path.name if self.path else self._session.project.title

    @property
    def folder(self) -> Path:
        """Where files beside the project go."""
        return self.path.parent if self.path else Path.home()

    @property
    def stem(self) -> str:
        """How the name of the project's file begins, or would begin."""
        return self.path.stem if self.path else self._suggested or self._session.project.title

    @property
    def dirty(self) -> bool:
        """Whether something would be lost."""
        return not self._session.undo_stack.isClean()

    def user_actions(self) -> tuple[UserAction, ...]:
        """File actions."""
        return (
            UserAction("file.new", _("new"), self.new, "Ctrl+N"),
            UserAction("file.open", _("open …"), self.open, "Ctrl+O"),
            UserAction("file.save", _("save"), self.save, "Ctrl+S"),
            UserAction("file.save_as", _("save as …"), self.save_as, "Ctrl+Shift+S"),
            UserAction("file.title", _("title of the project …"), self.rename),
        )

    # --- opening ------------------------------------------------------------------------------------------------

    def new(self, project: Project | None = None) -> bool:
        """An empty project, or another that was never saved."""
        if not self.may_leave():
            return False
        self._take(project or empty_project(), None, {}, "")
        return True

    def open(self, path: Path | str | None = None) -> bool:
        """Open a file; the window keeps what it had if that fails."""
        if not self.may_leave():
            return False
        if path is None:
            path = self._messages.ask_open(str(self.path.parent if self.path else Path.home()))
            if path is None:
                return False
        path = Path(path).absolute()
        try:
            loaded = load_project(path)
        except WorkbenchError as error:
            if not path.exists():
                self._recall(path, exists=False)
            return self._refuse(error)
        self._open_loaded(path, loaded)
        return True

    def _refuse(self, error: WorkbenchError) -> bool:
        self._messages.error(error)
        return False

    def _open_loaded(self, path: Path, loaded: Loaded) -> None:
        if self._lock is not None and path == self.path:
            self._lock.release()  # the same file again: it is this window that has it open
        lock = FileLock(path)
        read_only = lock.acquire() is not None
        recovered = None if read_only else find_recovery(path)
        if recovered is not None:
            answer = self._messages.ask_recovery(_recovery_words(path.name), _("open the saved file"))
            if answer == "later":
                lock.release()
                return
            if answer == "discard":
                discard(recovered.file)
                recovered = None
        shown = recovered.loaded if recovered else loaded
        self._take(shown.project, path, shown.extras, loaded.source_hash, lock, read_only)
        if recovered is not None:
            self._go_on_with(recovered)
        if read_only:
            words = _("“{name}” is open elsewhere: here it can be saved under another name only.", name=path.name)
            self._messages.problems(words, ())
        elif lock.notice:
            self._messages.notice(lock.notice)
        if shown.problems:
            count = len(shown.problems)
            words = plural("The file was opened with {n} remark.", "The file was opened with {n} remarks.", count)
            self._messages.problems(words, shown.problems)
        self._recall(path, exists=True)

    def open_demo(self, name: str) -> bool:
        """A copy of a ready project, as a project that was not saved yet."""
        if not self.may_leave():
            return False
        try:
            loaded = load_project(demo_projects() / f"{name}{SUFFIX}")
        except WorkbenchError as error:
            return self._refuse(error)
        self._take(loaded.project, None, {}, "")
        self._suggested = name
        return True

    def offer_recovery(self) -> bool:
        """At the start: projects that were never saved when the program stopped; True if one was opened."""
        for recovered in list_orphans():
            words = _recovery_words(recovered.loaded.project.title)
            answer = self._messages.ask_recovery(words, _("delete the copy"))
            if answer == "discard":
                discard(recovered.file)
            elif answer == "recover":
                self._take(recovered.loaded.project, None, recovered.loaded.extras, "")
                self._go_on_with(recovered)
                return True
        return False

    def _go_on_with(self, recovered: Recovered) -> None:
        """The recovered project counts as not saved, and has a copy of its own before the old one goes."""
        self._session.undo_stack.resetClean()
        self.keep_recovery_copy()
        if self._recovery.file is not None and self._recovery.file != recovered.file:
            discard(recovered.file)

    def _take(
        self,
        project: Project,
        path: Path | None,
        extras: Extras,
        source_hash: str,
        lock: FileLock | None = None,
        read_only: bool = False,
    ) -> None:
        self._let_go()
        self.path, self.read_only, self._suggested = path, read_only, ""
        self._extras, self._hash, self._lock = extras, source_hash, lock
        self._recovery = RecoveryCopy(None if read_only else path, source_hash)
        self._session.open(project)
        self.recovery_timer.stop()
        self.titleChanged.emit()

    def _let_go(self) -> None:
        self.recovery_timer.stop()
        self._recovery.remove()
        if self._lock is not None:
            self._lock.release()
            self._lock = None

    # --- saving -------------------------------------------------------------------------------------------------

    def save(self) -> bool:
        """Save, asking for a name where there is none or the file is not ours to write."""
        if self.path is None or self.read_only:
            return self.save_as()
        return self._write(self.path)

    def save_as(self) -> bool:
        """Save under another name, which the project then has."""
        suggested = self._suggested or self._session.project.title
        chosen = self._messages.ask_save_as(str(self.path or self.folder / f"{suggested}{SUFFIX}"))
        if chosen is None:
            return False
        path = Path(chosen).absolute()
        if not path.suffix:
            path = path.with_suffix(SUFFIX)
        if path == self.path and not self.read_only:
            return self._write(path)
        lock = FileLock(path)
        if path.parent.is_dir() and lock.acquire() is not None:
            summary = _("“{name}” is open elsewhere.", name=path.name)
            return self._refuse(FileError(summary, hint=_("Choose another name."), where=str(path)))
        self._hash = ""
        if not self._write(path):
            lock.release()
            return False
        self._recovery.remove()
        if self._lock is not None:
            self._lock.release()
        self.path, self.read_only, self._lock = path, False, lock
        self._recovery = RecoveryCopy(path, self._hash)
        self._recall(path, exists=True)
        self.titleChanged.emit()
        return True

    def _write(self, path: Path) -> bool:
        self._session.commit()
        if self._changed_on_disk(path) and not self._messages.confirm(
            _("“{name}” was changed by another program since it was opened.", name=path.name),
            _("replace it"),
            _("cancel"),
        ):
            return False
        try:
            self._hash = save_project(path, self._session.project, self._extras)
        except WorkbenchError as error:
            return self._refuse(error)
        self._session.undo_stack.setClean()
        self.recovery_timer.stop()
        self._recovery.remove()
        self._messages.notice(_("saved “{name}”", name=path.name))
        return True

    def _changed_on_disk(self, path: Path) -> bool:
        try:
            return bool(self._hash) and content_hash(path.read_bytes()) != self._hash
        except OSError:
            return False  # gone, or not readable: writing will say what is the matter

    def may_leave(self) -> bool:
        """Ask what to do with unsaved changes; True if the project may be left now."""
        self._session.commit()
        if not self.dirty:
            return True
        answer = self._messages.ask_save(self.name)
        return self.save() if answer == "save" else answer == "discard"

    def close(self) -> None:
        """The window closes for good."""
        self._let_go()

    # --- recovery copies ----------------------------------------------------------------------------------------

    def _changed(self) -> None:
        if not self.recovery_timer.isActive():
            self.recovery_timer.start()

    def _clean_changed(self, clean: bool) -> None:
        if clean:
            self.recovery_timer.stop()
            self._recovery.remove()
        self.titleChanged.emit()

    def keep_recovery_copy(self) -> None:
        """Write what is on screen beside the project."""
        if not self.dirty:
            return
        try:
            self._recovery.write(self._session.base, self._extras)
            self._complained = False
        except FileError as error:
            if not self._complained:  # once is enough until it works again
                self._complained = True
                self._messages.notice(_("no recovery copy can be kept: {reason}", reason=error.summary))

    # --- other --------------------------------------------------------------------------------------------------

    def _recall(self, path: Path, *, exists: bool) -> None:
        try:
            if exists:
                add_recent(path)
            else:
                forget_recent(path)
        except FileError as error:
            self._messages.notice(error.summary)

    def rename(self) -> None:
        """The title that stands on sheets and labels."""
        project = self._session.project
        title = self._messages.ask_text(_("title"), _("title of the project"), project.title)
        if title is not None and title != project.title:
            self._session.apply(edits.set_title(project, title))
            self.titleChanged.emit()


def _recovery_words(name: str) -> str:
    return _("The program stopped before “{name}” was saved. A copy with the last changes was kept.", name=name)


def demo_names() -> list[str]:
    """Names of the ready projects."""
    return sorted(path.stem for path in demo_projects().glob(f"*{SUFFIX}"))
