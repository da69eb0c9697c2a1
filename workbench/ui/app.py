"""Start of the window: builds everything, wires it, and shows what goes wrong instead of a traceback."""

import gc
import signal
import sys
import threading
import traceback
from collections.abc import Callable, Iterator
from functools import partial
from types import TracebackType
from typing import TYPE_CHECKING

from PySide6.QtCore import QEvent, QLocale, QObject, QTimer, Signal
from PySide6.QtWidgets import QApplication

from workbench.base.crash import write_report
from workbench.base.errors import WorkbenchError
from workbench.base.settings import SettingsFile
from workbench.base.text import _, use_language
from workbench.ui.guard import guarded
from workbench.ui.theme import add_stylesheet, apply_theme

if TYPE_CHECKING:
    from workbench.ui.main_window import MainWindow

_FIRST_DEMO = "maize_squares"
_SHOWN_MS = 100
_PLAIN_ENGLISH = ("", "C", "en", "en_US", "en_GB")  # as the program is written: no catalogue and signs to read


def main(argv: list[str]) -> int:
    """Run the window: ``demo [NAME]`` opens a copy of a ready project, ``[open] FILE`` a file; or a new project."""
    app, _window = build(argv)
    return app.exec()


def build(argv: list[str]) -> tuple[QApplication, "MainWindow"]:
    """The application and its window on the screen, ready to run."""
    from workbench.ui.main_window import MainWindow

    signal.signal(signal.SIGINT, signal.SIG_DFL)  # Ctrl+C in the terminal ends the program
    app = QApplication(sys.argv[:1])
    app.setApplicationName("Pocketfare")
    settings = SettingsFile()
    _speak(settings.settings.language)
    apply_theme(app, settings.settings.theme, styled=False)
    window = MainWindow(settings, lambda theme: apply_theme(app, theme))
    add_stylesheet(app)
    reporter = Reporter(window)
    reporter.install()
    _open(window, argv)
    if not argv:
        window.show_start_page()
    window.show()
    _Later(window, lambda: _after_first_paint(window, offer=not argv))
    return app, window


@guarded
class _Later(QObject):
    """Does something once the window was painted for the first time, and the screen had time to show it."""

    def __init__(self, window: "MainWindow", do: Callable[[], None]) -> None:
        super().__init__(window)
        self._do = do
        window.installEventFilter(self)

    def eventFilter(self, window: QObject, event: QEvent) -> bool:
        if event.type() == QEvent.Type.Paint:
            window.removeEventFilter(self)
            QTimer.singleShot(_SHOWN_MS, self, self._do)
        return False


def _speak(language: str) -> None:
    language = language or QLocale.system().name()
    QLocale.setDefault(QLocale(language))
    if language not in _PLAIN_ENGLISH:
        use_language(language)


def _open(window: "MainWindow", argv: list[str]) -> None:
    from workbench.ui.documents import demo_names

    words = argv[1:] if argv and argv[0] in ("demo", "open") else argv
    if argv and argv[0] == "demo":
        name = words[0] if words else _FIRST_DEMO
        if name in demo_names():
            window.documents.open_demo(name)
        else:
            known = ", ".join(demo_names())
            summary = _("There is no ready project “{name}”.", name=name)
            error = WorkbenchError(summary, hint=_("Known: {known}.", known=known))
            QTimer.singleShot(0, lambda: window.messages.error(error))
    elif words:
        QTimer.singleShot(0, lambda: window.documents.open(words[0]))  # may ask something: over the window


def _after_first_paint(window: "MainWindow", *, offer: bool) -> None:
    """What is not needed to show the window, step by step: what a user does meanwhile comes between two of them."""
    from workbench.composition.bundled import bundled_foods
    from workbench.ui.models.shared_search import SharedSearch

    def settle() -> None:
        from workbench.ui.session import keep_out_of_collection

        keep_out_of_collection()
        gc.enable()
        if offer:
            window.documents.offer_recovery()

    search = SharedSearch.of(window.session)
    steps = (bundled_foods, partial(search.find, "", None), window.details.prepare, settle)
    _one_by_one(window, iter(steps))


def _one_by_one(window: "MainWindow", steps: Iterator[Callable[[], object]]) -> None:
    if (step := next(steps, None)) is not None:
        step()
        QTimer.singleShot(0, window, partial(_one_by_one, window, steps))


class Reporter(QObject):
    """Takes what nobody caught, on any thread, and shows it on the window's own."""

    caught = Signal(str)

    def __init__(self, window: "MainWindow") -> None:
        super().__init__(window)
        self._window = window
        self._busy = False
        self._last = ""
        self.caught.connect(self._show)

    def install(self) -> None:
        """Become the last resort of this process."""
        sys.excepthook = self._hook
        threading.excepthook = lambda args: self._hook(args.exc_type, args.exc_value, args.exc_traceback)

    def _hook(self, kind: type[BaseException], error: BaseException | None, trace: TracebackType | None) -> None:
        if issubclass(kind, KeyboardInterrupt):
            return
        report = "".join(traceback.format_exception(kind, error, trace))
        if error is not None and report != self._last:  # a mistake in painting comes back with every frame
            write_report(error)
        self._last = report
        self.caught.emit(report)

    def _show(self, report: str) -> None:
        if self._busy:
            return  # one at a time: a mistake in painting comes back with every frame
        self._busy = True
        try:
            self._window.documents.keep_recovery_copy()
            self._window.messages.bug(report)
        finally:
            self._busy = False
