"""A user at random: a state machine that edits, drags, undoes and switches through a real session.

Whatever the order, the figures can be computed or say why not, nothing raises, undoing everything gives the first
project back, redoing everything the last, and the project can be saved and read again.
"""

import math

from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, initialize, invariant, precondition, rule
from msgspec.structs import replace

from workbench.base.paths import demo_projects
from workbench.composition.bundled import bundled_foods
from workbench.document import edits, line_edits, variant_edits
from workbench.document.project import (
    Assumptions,
    ByCount,
    ByWeight,
    FinalWater,
    Line,
    Loss,
    Project,
    Stage,
    Target,
    TargetSet,
    Typical,
    Unchanged,
    WaterLost,
    Weighed,
    new_id,
)
from workbench.recipe.preparation import prepare
from workbench.recipe.quantities import LINEAR
from workbench.storage.project_file import decode_project, encode_project, load_project
from workbench.ui.session import Session

FOODS = sorted(bundled_foods())
grams = st.floats(0, 5000, allow_nan=False).map(lambda x: round(x, 2))
pick = st.integers(0, 10_000)
weights = st.one_of(
    st.just(Unchanged()),
    st.just(Typical()),
    st.builds(WaterLost, amount=st.floats(-50, 120), unit=st.sampled_from(["g", "%"])),
    st.builds(FinalWater, percent=st.floats(0, 99)),
    st.builds(Weighed, in_g=st.floats(1, 5000), out_g=st.floats(1, 5000)),
)
portionings = st.one_of(
    st.builds(ByCount, count=st.integers(1, 60), trimmings_percent=st.floats(0, 50)),
    st.builds(ByWeight, piece_g=st.floats(1, 500), trimmings_percent=st.floats(0, 50)),
)


class RandomUser(RuleBasedStateMachine):
    """See the module's text."""

    @initialize(name=st.sampled_from(["maize_squares", "buckwheat_fig_bars"]))
    def open(self, name: str) -> None:
        self.first = load_project(demo_projects() / f"{name}.fare").project
        self.session = Session(self.first)

    # --- what a hand does ---------------------------------------------------------------------------------------------

    def _line(self, which: int) -> Line | None:
        lines = self.session.variant.lines
        return lines[which % len(lines)] if lines else None

    def _stage(self, which: int) -> Stage:
        stages = self.session.variant.stages
        return stages[which % len(stages)]

    @rule(which=pick, amounts=st.lists(grams, min_size=1, max_size=5), let_go=st.booleans())
    def drag(self, which: int, amounts: list[float], let_go: bool) -> None:
        line = self._line(which)
        if line is None or line.lock:
            return
        for amount in amounts:
            session = self.session
            session.preview(edits.set_amount(session.base, session.variant_id, line.id, amount))
        if let_go:
            self.session.commit()
        else:
            self.session.cancel_preview()

    @rule(which=pick, amount=grams)
    def drag_and_do_something_else(self, which: int, amount: float) -> None:
        line = self._line(which)
        if line is not None:
            session = self.session
            session.preview(edits.set_amount(session.base, session.variant_id, line.id, amount))
            session.apply(edits.set_title(session.project, "squares"))

    @rule(food=st.sampled_from(FOODS), stage=pick, amount=grams)
    def add(self, food: str, stage: int, amount: float) -> None:
        session = self.session
        if len(session.variant.lines) < 40:
            made_of = bundled_foods()[food]
            stage_id = self._stage(stage).id
            session.apply(edits.add_line(session.project, session.variant_id, stage_id, made_of, amount))

    @rule(which=pick)
    def remove(self, which: int) -> None:
        line = self._line(which)
        if line is not None:
            self.session.apply(edits.remove_lines(self.session.project, self.session.variant_id, [line.id]))

    @rule(which=pick, food=st.sampled_from(FOODS), amount=grams)
    def replace_food(self, which: int, food: str, amount: float) -> None:
        line = self._line(which)
        if line is not None:
            session = self.session
            made_of = bundled_foods()[food]
            session.apply(line_edits.replace_food(session.project, session.variant_id, line.id, made_of, amount))

    @rule(which=pick, lock=st.booleans())
    def lock(self, which: int, lock: bool) -> None:
        line = self._line(which)
        if line is not None:
            self.session.apply(edits.set_lock(self.session.project, self.session.variant_id, [line.id], lock))

    @rule(first=pick, second=pick, factor=st.floats(0, 20))
    def group_and_scale(self, first: int, second: int, factor: float) -> None:
        lines = [line.id for line in (self._line(first), self._line(second)) if line is not None]
        if lines:
            session = self.session
            session.apply(line_edits.group_lines(session.project, session.variant_id, lines, together=True))
            session.apply(line_edits.scale_lines(session.project, session.variant_id, lines, factor))

    @rule(which=pick, as_bought=st.booleans(), water=st.booleans())
    def mark(self, which: int, as_bought: bool, water: bool) -> None:
        line = self._line(which)
        if line is not None:
            session = self.session
            session.apply(edits.set_as_bought(session.project, session.variant_id, line.id, as_bought))
            session.apply(edits.set_cooking_water(session.project, session.variant_id, line.id, water))

    @rule(which=pick, weight=weights, fat_left=st.floats(0, 90))
    def cook_otherwise(self, which: int, weight: object, fat_left: float) -> None:
        session = self.session
        losses = (Loss(kind="fat_left", percent=fat_left),) if fat_left > 45 else ()
        stage = replace(self._stage(which), weight=weight, losses=losses)
        session.apply(edits.set_stage(session.project, session.variant_id, stage))

    @rule()
    def add_stage(self) -> None:
        session = self.session
        if len(session.variant.stages) < 8:
            session.apply(edits.add_stage(session.project, session.variant_id, Stage(id=new_id())))

    @rule(which=pick)
    def remove_stage(self, which: int) -> None:
        session = self.session
        if len(session.variant.stages) > 1:
            session.apply(edits.remove_stage(session.project, session.variant_id, self._stage(which).id))

    @rule(portioning=portionings, hold=st.booleans(), pace=st.floats(0, 100))
    def portion_otherwise(self, portioning: object, hold: bool, pace: float) -> None:
        session = self.session
        session.apply(variant_edits.set_portioning(session.project, session.variant_id, portioning, hold))  # type: ignore[arg-type]  # of either kind
        session.apply(variant_edits.set_pace(session.project, session.variant_id, pace))

    @rule(name=st.text(max_size=12))
    def new_variant(self, name: str) -> None:
        session = self.session
        if len(session.project.variants) < 8:
            edit, made_id = variant_edits.new_variant(session.project, name, session.variant_id)
            session.apply(edit, made_id)

    @rule(which=pick)
    def use_a_variant_as_ingredient(self, which: int) -> None:
        session = self.session
        variants = session.project.variants
        used = variants[which % len(variants)].id
        stage_id = self._stage(which).id
        edit = edits.add_line(session.project, session.variant_id, stage_id, used, 50.0)
        if _has_ring(edit.project):  # the window does not offer it; figures must say why there are none all the same
            assert not session.trial(edit).valid
        else:
            session.apply(edit)

    @precondition(lambda self: len(self.session.project.variants) > 1)
    @rule(which=pick)
    def delete_variant(self, which: int) -> None:
        session = self.session
        variants = session.project.variants
        gone = variants[which % len(variants)].id
        if not variant_edits.variants_using(session.project, gone):
            stays = next(variant.id for variant in variants if variant.id != gone)
            session.apply(variant_edits.remove_variant(session.project, gone), stays)

    @rule(which=pick)
    def switch(self, which: int) -> None:
        variants = self.session.project.variants
        self.session.switch_variant(variants[which % len(variants)].id)

    @rule(zeros=st.booleans(), starch=st.booleans(), profile=st.booleans(), lauric=st.booleans())
    def assume_otherwise(self, zeros: bool, starch: bool, profile: bool, lauric: bool) -> None:
        wanted = Assumptions(
            true_zeros=zeros, starch_by_difference=starch, medium_chain_from_profile=profile, lauric_counts=lauric
        )
        self.session.apply(edits.set_assumptions(self.session.project, wanted))

    @rule(quantity=st.sampled_from([q.key for q in LINEAR]), low=st.floats(0, 30), width=st.floats(0, 30))
    def want(self, quantity: str, low: float, width: float) -> None:
        targets = (Target(id=new_id(), quantity=quantity, low=low, high=low + width),)
        wanted = TargetSet(id=new_id(), name="wanted", targets=targets)
        session = self.session
        if len(session.project.target_sets) < 8:
            session.apply(edits.put_target_set(session.project, session.variant_id, wanted))

    @rule(steps=st.integers(1, 6))
    def undo(self, steps: int) -> None:
        for _ in range(steps):
            self.session.undo_stack.undo()

    @rule(steps=st.integers(1, 6))
    def redo(self, steps: int) -> None:
        for _ in range(steps):
            self.session.undo_stack.redo()

    # --- what always holds --------------------------------------------------------------------------------------------

    @invariant()
    def figures_or_a_reason(self) -> None:
        if not hasattr(self, "session"):
            return
        result = self.session.evaluation
        carbohydrate = result.bound("CHOAVLDF")
        if result.valid:
            assert carbohydrate.low <= carbohydrate.value <= carbohydrate.high
        else:
            assert math.isnan(carbohydrate.value)
            assert any(problem.severity == "error" for problem in result.problems)

    @invariant()
    def ids_are_unique(self) -> None:
        if hasattr(self, "session"):
            for variant in self.session.project.variants:
                assert len({line.id for line in variant.lines}) == len(variant.lines)
                assert {line.stage_id for line in variant.lines} <= {stage.id for stage in variant.stages}

    def teardown(self) -> None:
        if not hasattr(self, "session"):
            return
        session = self.session
        session.commit()
        last, stack = session.project, session.undo_stack
        assert decode_project(encode_project(last)).project == last
        at = stack.index()
        stack.setIndex(0)
        assert session.project == self.first
        stack.setIndex(at)
        assert session.project == last
        session.deleteLater()


def _has_ring(project: Project) -> bool:
    found = (prepare(project, variant).problems for variant in project.variants)
    return any(problem.code == "variant_cycle" for problems in found for problem in problems)
