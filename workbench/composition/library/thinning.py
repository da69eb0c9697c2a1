"""How much the library remembers: which steps can be taken back, and which states of foods are kept.

The last `MOST_STEPS` steps can be taken back; fewer where they hold more than `MOST_STATES` states together, as imports
do, but always the last `FEWEST_STEPS`.  Earlier steps are closed: the states that they replaced are deleted where the
food was imported.  Foods of one's own are few and keep every state.
"""

import sqlite3

MOST_STEPS, FEWEST_STEPS = 200, 3
MOST_STATES = 50_000  # a state of a food of a hundred values takes about 1.2 kB


def thin(connection: sqlite3.Connection) -> None:
    """Close the steps that are too old, inside the transaction that is open and in which no step is taken back."""
    steps = connection.execute("SELECT number, last - first + 1 FROM step WHERE NOT closed ORDER BY number DESC")
    states = 0
    for place, (number, n_states) in enumerate(steps.fetchall()):
        states += n_states
        if place >= FEWEST_STEPS and (place >= MOST_STEPS or states > MOST_STATES):
            _close(connection, number)
            return


_REPLACING = (
    "SELECT revision.row FROM step JOIN revision ON revision.row BETWEEN step.first AND step.last"
    " JOIN food ON food.row = revision.food WHERE step.number <= ? AND NOT step.closed AND NOT food.own"
)


def _close(connection: sqlite3.Connection, number: int) -> None:
    """Close a step and all before it."""
    run = connection.execute
    run(f"DELETE FROM revision WHERE row IN (SELECT before FROM revision WHERE row IN ({_REPLACING}))", (number,))
    run(f"UPDATE revision SET before = NULL WHERE before IS NOT NULL AND row IN ({_REPLACING})", (number,))
    run("UPDATE step SET closed = 1 WHERE number <= ?", (number,))
