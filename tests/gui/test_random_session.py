"""Two thousand random actions in every run; ``python -m tests.proof`` goes on for as long as it is told to."""

from hypothesis import settings
from hypothesis.stateful import run_state_machine_as_test
from pytestqt.qtbot import QtBot

from tests.gui.random_session import RandomUser


def test_random_actions_never_break_a_session(qtbot: QtBot) -> None:
    run_state_machine_as_test(
        RandomUser, settings=settings(max_examples=40, stateful_step_count=50, deadline=None, derandomize=True)
    )
