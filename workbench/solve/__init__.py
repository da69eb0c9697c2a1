"""Amounts from targets: the smallest change that meets them, kitchen figures, why it cannot be, and what would help.

Everything here is a pure function on a project: nothing is changed until ``document.line_edits.set_amounts`` is applied
to what a proposal says.  Every figure handed out is computed by ``recipe.evaluate``, never taken from a solver.

===================  =================================================================================================
``wishes``           targets read as limits; what is wrong with them (crossed limits, unknown quantity, no figure)
``fractions``        a quantity on a basis as a quotient of two straight lines in the amounts
``limit_rows``       every limit as a row on all lines, made together
``space``            what may move and how far: locks, limits, links
``programme``        targets, rules and what is held as rows on what moves, ready to be solved again and again
``smallest_change``  what keeps all limits and reaches all aims, or comes as near as can be
``fewest``           the fewest ingredients that do it
``reach``            how far a quantity can go while everything else is kept
``solvers``          the only module that calls SciPy, Clarabel and HiGHS
``proposal``         ``Options``, ``Proposal``, ``AmountChange``: what the others hand back
``matching``         ``match``, ``follow``, ``Holder``: smallest change, hold while dragging
``rounding``         ``round_amounts``; ``kitchen_steps`` has ``possible_steps``: what a scale, spoon or pack can do
``clash``            ``why_not``: the smallest set of targets, locks and limits that clash, and what relaxing each buys
``effects``          ``effects``, ``helpers``, ``break_even``: what one gram more does
``front``            ``trade_off``: the best trade-off between two quantities
``starting_sets``    ``starting_target_sets``: our own sets for race and long ride, with their sources
``words``            all of these in words
``substitution``     says what the modules on other ingredients hold
===================  =================================================================================================

Public functions::

    match(project, variant, targets, options=Options(), prepared=None) -> Proposal
    Holder(project, variant, line_id, targets, options=Options(), prepared=None).at(grams) -> Proposal
    follow(project, variant, line_id, grams, targets, options=Options(), prepared=None) -> Proposal
    round_amounts(project, variant, targets, amounts=None, options=Options(), prepared=None) -> Rounding
    possible_steps(line, food) -> tuple[KitchenStep, ...]
    why_not(project, variant, targets, options=Options(), prepared=None) -> Clash | None
    effects(project, variant, pairs, prepared=None) -> Effects          # pairs: (quantity key, basis)
    helpers(project, variant, target, others=(), prepared=None) -> tuple[Helper, ...]
    break_even(project, variant, line_id, key, basis, limit, prepared=None) -> BreakEven | None
    trade_off(project, variant, targets, Axis(key, basis, "less"), Axis(...), n_points=15, ...) -> Front
    starting_target_sets() -> tuple[TargetSet, ...]
    wish_problems(targets) -> tuple[Problem, ...]

``variant`` is a ``Variant`` of the project, ``targets`` a ``TargetSet``; a window passes its ``Prepared`` so that
nothing is prepared twice.  To apply a proposal::

    line_edits.set_amounts(project, variant.id, proposal.amounts, words) -> Edit
"""
