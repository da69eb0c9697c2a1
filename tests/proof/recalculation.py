"""``python -m tests.proof.recalculation --recipes 50 --seed 1``: random workbooks, recalculated.

LibreOffice works them out.  The suite does the same for the demos and its own fifty recipes.
Prints the largest relative deviation from the engine.
"""

import argparse
import random
import shutil
import sys
import tempfile
from pathlib import Path

from tests.external.workbooks import (
    change,
    compare,
    evaluations,
    following,
    random_project,
    read,
    recalculate,
    with_inputs,
    written,
)


def main() -> int:
    """Make, change, recalculate and compare; exit code 1 where a cell is apart."""
    parser = argparse.ArgumentParser(prog="python -m tests.proof.recalculation", description=__doc__)
    parser.add_argument("--recipes", type=int, default=50)
    parser.add_argument("--seed", type=int, default=random.randrange(1_000_000))
    arguments = parser.parse_args()
    soffice = shutil.which("soffice")
    if soffice is None:
        print("needs soffice (LibreOffice Calc)")
        return 2
    print(f"seed {arguments.seed}", flush=True)
    projects = {f"r{k}": random_project(arguments.seed * 1000 + k) for k in range(arguments.recipes)}
    contents = {name: written(project) for name, project in projects.items()}
    changes = {name: change(project, contents[name], k) for k, (name, project) in enumerate(projects.items())}
    files = contents | {f"{n}c": with_inputs(contents[n], made.cells) for n, made in changes.items() if made}
    with tempfile.TemporaryDirectory() as folder:
        found = {name: read(content).values for name, content in recalculate(soffice, files, Path(folder)).items()}
    deviation, n_numbers, apart, valid = 0.0, 0, [], 0
    for name, content in contents.items():
        expected = read(content).values
        compared = [compare(expected, found[name], set(expected) | set(found[name]))]
        made = changes[name]
        if made:
            variant = next(iter(made.cells))[0]
            changed = next(e for e in evaluations(made.project) if e.variant.name == variant)
            if changed.valid:
                valid += 1
                after = written(made.project)
                where = following(content, after, {variant, f"{variant} calculation"})
                compared.append(compare(read(after).values, found[f"{name}c"], where))
        for each in compared:
            deviation = max(deviation, each.deviation)
            n_numbers += each.n_numbers
            apart += [f"{name} {text}" for text in each.apart]
    print(f"{len(projects)} recipes, {valid} of them changed as well, {n_numbers} numbers", flush=True)
    print(f"largest relative deviation {deviation:.1e}; {len(apart)} cells apart")
    for text in apart[:20]:
        print(text)
    return 1 if apart else 0


if __name__ == "__main__":
    sys.exit(main())
