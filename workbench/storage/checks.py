"""What the schema cannot say: ids and references that must fit together, and figures that no food can have.

Works on a project whose shape is sound.  A finding of severity "error" means that the project must not be opened; for a
warning or a notice the project was mended, or can be used as it is.
"""

from collections.abc import Iterable, Iterator

from msgspec.structs import replace

from workbench.composition.components import COMPONENTS, HIGHEST
from workbench.composition.food import ALLERGENS, GUT_FLAGS, POSSIBLE, WATCHED, Food
from workbench.document.avoid import Avoid
from workbench.document.project import Project, Variant
from workbench.storage.findings import (
    DUPLICATE_ID,
    FOOD_ADDED,
    FOOD_KEY,
    FOOD_NUMBER,
    GONE_PARENT,
    GONE_TARGETS,
    GONE_VARIANT,
    NO_STAGE,
    NOT_A_CHOICE,
    PARENT_RING,
    UNKNOWN_ALLERGEN,
    UNKNOWN_COMPONENT,
    UNKNOWN_FOOD,
    UNKNOWN_STAGE,
    UNKNOWN_VARIANT,
    VARIANT_RING,
    Finding,
    Path,
)

_ALLERGENS = ALLERGENS + WATCHED
_TAGS = tuple(COMPONENTS)
_MOST_OF_UNKNOWN = 1e9  # in whatever unit a component is that nobody knows here


def check(project: Project) -> tuple[Project, list[Finding]]:
    """The project with small things mended, and everything found."""
    findings = [*_twice(project), *_stages(project), *_foods(project), *_avoided(project), *_links(project)]
    project, more = _mend(project)
    findings += more
    project, more = _complete_foods(project)
    findings += more
    return project, [*findings, *_rings(project)]


# --- ids --------------------------------------------------------------------------------------------------------------


def _twice(project: Project) -> Iterator[Finding]:
    yield from _duplicates((x.id for x in project.variants), ("variants",))
    yield from _duplicates((x.id for x in project.target_sets), ("target_sets",))
    yield from _duplicates((x.id for x in project.plans), ("plans",))
    yield from _duplicates((x.id for x in project.trials), ("trials",))
    for k, variant in enumerate(project.variants):
        yield from _duplicates((x.id for x in variant.lines), ("variants", k, "lines"))
        yield from _duplicates((x.id for x in variant.stages), ("variants", k, "stages"))
    for k, target_set in enumerate(project.target_sets):
        yield from _duplicates((x.id for x in target_set.targets), ("target_sets", k, "targets"))


def _duplicates(ids: Iterable[str], path: Path) -> Iterator[Finding]:
    seen: set[str] = set()
    said: set[str] = set()
    for identity in ids:
        if identity in seen and identity not in said:
            said.add(identity)
            yield Finding(path, DUPLICATE_ID, {"id": identity})
        seen.add(identity)


def _stages(project: Project) -> Iterator[Finding]:
    for k, variant in enumerate(project.variants):
        stages = tuple(stage.id for stage in variant.stages)
        if not stages:
            yield Finding(("variants", k), NO_STAGE)
            continue
        for j, line in enumerate(variant.lines):
            if line.stage_id not in stages:
                path = ("variants", k, "lines", j, "stage_id")
                yield Finding(path, UNKNOWN_STAGE, {"id": line.stage_id}, line.stage_id, stages)


# --- foods ------------------------------------------------------------------------------------------------------------


def _foods(project: Project) -> Iterator[Finding]:
    for key, food in project.foods.items():
        if food.id != key:
            yield Finding(("foods", key), FOOD_KEY, {"id": food.id, "key": key})
        yield from _figures(food, ("foods", key))
        for field, named in (("contains", food.contains or ()), ("may_contain", food.may_contain)):
            for word in named:
                if word not in _ALLERGENS:
                    yield Finding(("foods", key, field), UNKNOWN_ALLERGEN, {"id": word}, word, _ALLERGENS)
        yield from _components(food.values, ("foods", key, "values"))
        yield from _components(food.limits, ("foods", key, "limits"))
        yield from _components(food.cannot_contain, ("foods", key, "cannot_contain"))
    for k, variant in enumerate(project.variants):
        for j, line in enumerate(variant.lines):
            yield from _components(line.retention, ("variants", k, "lines", j, "retention"))


def _avoided(project: Project) -> Iterator[Finding]:
    yield from _unknown_words(project.avoid, ("avoid",))
    for k, variant in enumerate(project.variants):
        if variant.avoid is not None:
            yield from _unknown_words(variant.avoid, ("variants", k, "avoid"))


def _unknown_words(avoid: Avoid, path: Path) -> Iterator[Finding]:
    for k, word in enumerate(avoid.allergens):
        if word not in _ALLERGENS:
            yield Finding((*path, "allergens", k), UNKNOWN_ALLERGEN, {"id": word}, word, _ALLERGENS)
    for k, word in enumerate(avoid.gut):
        if word not in GUT_FLAGS:
            yield Finding((*path, "gut", k), NOT_A_CHOICE, {"found": f"“{word}”"}, word, GUT_FLAGS)


def _components(tags: Iterable[str], path: Path) -> Iterator[Finding]:
    for tag in tags:
        if tag not in COMPONENTS:
            yield Finding(path, UNKNOWN_COMPONENT, {"id": tag}, tag, _TAGS)


def _figures(food: Food, path: Path) -> Iterator[Finding]:
    figures: list[tuple[Path, float | None, float, float]] = [
        ((field,), getattr(food, field), *POSSIBLE[field])
        for field in ("edible_fraction", "density_g_per_ml", "typical_yield", "nitrogen_factor")
    ]
    for tag, limit in food.limits.items():
        figures.append((("limits", tag), limit, 0.0, HIGHEST.get(tag, _MOST_OF_UNKNOWN)))
    for tag, value in food.values.items():
        highest = HIGHEST.get(tag, _MOST_OF_UNKNOWN)
        figures.append((("values", tag, "value"), value.value, 0.0, highest))
        figures.append((("values", tag, "sd"), value.sd, 0.0, highest))
        figures.append((("values", tag, "n"), value.n, *POSSIBLE["n"]))
    for k, measure in enumerate(food.measures):
        figures.append((("measures", k, "grams"), measure.grams, *POSSIBLE["grams"]))
    for k, pack in enumerate(food.packs):
        figures.append((("packs", k, "size_g"), pack.size_g, *POSSIBLE["size_g"]))
        figures.append((("packs", k, "price"), pack.price, *POSSIBLE["price"]))
    for field, found, low, high in figures:
        if found is not None and not low <= found <= high:
            parts = {"found": found, "low": low, "high": high}
            yield Finding((*path, *field), FOOD_NUMBER, {name: f"{x:.10g}" for name, x in parts.items()})


def _complete_foods(project: Project) -> tuple[Project, list[Finding]]:
    """Take foods that lines name and the file lacks from the bundled table, where they are bundled ones."""
    foods = dict(project.foods)
    findings = []
    for k, variant in enumerate(project.variants):
        for j, line in enumerate(variant.lines):
            reference, path = line.food_ref, ("variants", k, "lines", j, "food_ref", "id")
            if reference.kind == "variant" or reference.id in foods:
                continue
            known = tuple(foods)
            if reference.kind == "bundled":
                from workbench.composition.bundled import bundled_foods  # reads the table; most files never need it

                bundled = bundled_foods()
                if reference.id in bundled:
                    foods[reference.id] = bundled[reference.id]
                    findings.append(Finding((), FOOD_ADDED, {"name": bundled[reference.id].name}))
                    continue
                known = (*known, *bundled)
            findings.append(Finding(path, UNKNOWN_FOOD, {"id": reference.id}, reference.id, known))
    return (replace(project, foods=foods) if len(foods) > len(project.foods) else project), findings


# --- links between variants -------------------------------------------------------------------------------------------


def _links(project: Project) -> Iterator[Finding]:
    variants = tuple(variant.id for variant in project.variants)
    for k, variant in enumerate(project.variants):
        for j, line in enumerate(variant.lines):
            reference = line.food_ref
            if reference.kind == "variant" and reference.id not in variants:
                path = ("variants", k, "lines", j, "food_ref", "id")
                yield Finding(path, UNKNOWN_VARIANT, {"id": reference.id}, reference.id, variants)
    for k, plan in enumerate(project.plans):
        for item in plan.items:
            if item.variant_id not in variants:
                yield Finding(("plans", k), GONE_VARIANT, {"id": item.variant_id})
    for k, trial in enumerate(project.trials):
        if trial.variant_id not in variants:
            yield Finding(("trials", k), GONE_VARIANT, {"id": trial.variant_id})


def _mend(project: Project) -> tuple[Project, list[Finding]]:
    """Remove links to targets and parents that are not there."""
    sets = {target_set.id for target_set in project.target_sets}
    parents = {variant.id: variant.parent_id for variant in project.variants}
    findings = []
    mended = []
    for k, variant in enumerate(project.variants):
        if variant.target_set_id is not None and variant.target_set_id not in sets:
            findings.append(Finding(("variants", k), GONE_TARGETS, {"id": variant.target_set_id}))
            variant = replace(variant, target_set_id=None)
        if variant.parent_id is not None and variant.parent_id not in parents:
            findings.append(Finding(("variants", k), GONE_PARENT, {"id": variant.parent_id}))
            variant = replace(variant, parent_id=None)
        elif variant.id in _ancestors(variant.id, parents):
            findings.append(Finding(("variants", k), PARENT_RING))
            variant = replace(variant, parent_id=None)
        parents[variant.id] = variant.parent_id
        mended.append(variant)
    return (replace(project, variants=tuple(mended)) if findings else project), findings


def _ancestors(identity: str, parents: dict[str, str | None]) -> set[str]:
    found: set[str] = set()
    parent = parents[identity]
    while parent is not None and parent not in found:
        found.add(parent)
        parent = parents.get(parent)
    return found


def _rings(project: Project) -> Iterator[Finding]:
    """Variants that are made of one another, each ring named once."""
    position = {variant.id: k for k, variant in enumerate(project.variants)}
    done: set[str] = set()
    trail: list[str] = []

    def visit(variant: Variant) -> Iterator[Finding]:
        trail.append(variant.id)
        for j, line in enumerate(variant.lines):
            used = line.food_ref.id
            if line.food_ref.kind != "variant" or used not in position or used in done:
                continue
            if used in trail:
                ring = [project.variants[position[one]].name for one in (*trail[trail.index(used) :], used)]
                yield Finding(("variants", position[variant.id], "lines", j), VARIANT_RING, {"ring": " → ".join(ring)})
            else:
                yield from visit(project.variants[position[used]])
        done.add(trail.pop())

    for variant in project.variants:
        if variant.id not in done:
            yield from visit(variant)
