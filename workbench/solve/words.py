"""Words: proposals, kitchen amounts and clashes as a cook reads them.  Window and terminal say the same."""

from workbench.base.text import _, number, plural
from workbench.recipe.quantities import QUANTITIES
from workbench.recipe.verdict import Verdict
from workbench.recipe.words import quantity_text, target_title, verdict_text
from workbench.solve.clash import Clash, Member, Relief
from workbench.solve.effects import BreakEven
from workbench.solve.proposal import AmountChange, Proposal
from workbench.solve.rounding import Rounding
from workbench.solve.wishes import Limit


def grams_text(grams: float) -> str:
    """Grams as a scale shows them: ``370 g``, ``22.2 g``, ``0.35 g``."""
    decimals = 0 if grams >= 100 or grams == round(grams) else 1 if grams >= 2 else 2
    return _("{grams} g", grams=number(grams, decimals))


def change_text(change: AmountChange) -> str:
    """One changed amount: ``milk, whole: 700 g → 523 g (−25 %)``."""
    parts = {"name": change.name, "before": grams_text(change.before_g), "after": grams_text(change.after_g)}
    if change.before_g <= 0:
        return _("{name}: {before} → {after}", **parts)
    percent = 100 * change.change_g / change.before_g
    sign = "+" if percent > 0 else "−" if percent < 0 else ""
    share = f"{sign}{number(abs(percent), 0 if abs(percent) >= 1 else 1)}"
    return _("{name}: {before} → {after} ({share} %)", share=share, **parts)


def proposal_summary(proposal: Proposal) -> str:
    """What a proposal comes to, in one line."""
    met = sum(verdict.state == "met" for verdict in proposal.verdicts)
    if not proposal.changes:
        if proposal.met:
            return _("all targets are met as it is")
        return _("no amounts come nearer: {met} of {n} targets met", met=met, n=len(proposal.verdicts))
    changed = plural("{n} ingredient changes", "{n} ingredients change", len(proposal.changes))
    if proposal.met:
        return _("{changed}; all targets met", changed=changed)
    return _("{changed}; {met} of {n} targets met", changed=changed, met=met, n=len(proposal.verdicts))


def rounding_text(rounding: Rounding) -> str:
    """What rounding cost: how far amounts moved, and which targets it lost."""
    moved = _("kitchen amounts are {percent} % off on average", percent=number(100 * rounding.change, 1))
    lost = [v for v in rounding.proposal.verdicts if v.target.id in rounding.lost]
    if not lost:
        return _("{moved}; no target is lost by it", moved=moved)
    return _("{moved}; lost by it: {targets}", moved=moved, targets="; ".join(_lost_text(v) for v in lost))


def _lost_text(verdict: Verdict) -> str:
    key = verdict.target.quantity
    return f"{target_title(verdict.target)} {quantity_text(verdict.bound, key)}"


def judged_text(verdict: Verdict, currency: str) -> str:
    """A verdict in words; one on cost says the currency, or that nothing has a price."""
    if verdict.target.quantity != "cost":
        return verdict_text(verdict)
    if not currency:
        title = target_title(verdict.target)
        return _("{title}: cannot tell, as no ingredient has a pack with a price", title=title)
    return f"{verdict_text(verdict)} ({currency})"


def limit_text(limit: Limit, currency: str = "") -> str:
    """One side of a target: ``fat per piece at most 1.5 g``."""
    key = limit.target.quantity
    figure = f"{_figure(limit.value, key)} {currency if key == 'cost' else ''}".rstrip()
    parts = {"title": target_title(limit.target), "figure": figure}
    words = _("{title} at least {figure}", **parts) if limit.side == "low" else _("{title} at most {figure}", **parts)
    return _("{limit} (preferred)", limit=words) if not limit.must else words


def _figure(value: float, key: str) -> str:
    quantity = QUANTITIES[key]
    return f"{number(value, quantity.decimals)} {quantity.unit}".rstrip()


def member_text(member: Member, currency: str = "") -> str:
    """One member of a clash; ``currency`` is what costs are counted in."""
    if member.limit is not None:
        return limit_text(member.limit, currency)
    parts = {"name": member.name, "grams": grams_text(member.grams)}
    sentences = {
        "lock": _("{name} locked at {grams}", **parts),
        "least": _("{name} at least {grams}", **parts),
        "most": _("{name} at most {grams}", **parts),
        "linked": _("{name} kept in proportion", **parts),
        "held": _("batch weight held at {grams}", **parts),
    }
    return sentences[member.kind]


def relief_text(relief: Relief, currency: str = "") -> str:
    """What giving way in one member would buy."""
    member = relief.member
    rest = _("the others hold") if relief.all_hold else _("this clash is gone, another one is left")
    if member.limit is not None and relief.bound is not None:
        key = member.limit.target.quantity
        figure = f"{quantity_text(relief.bound, key)} {currency if key == 'cost' else ''}".rstrip()
        parts = {"title": target_title(member.limit.target), "figure": figure, "rest": rest}
        if member.limit.side == "high":
            return _("with {title} up to {figure}, {rest}", **parts)
        return _("with {title} down to {figure}, {rest}", **parts)
    if relief.grams is not None:
        what = _("the batch") if member.kind == "held" else member.name
        return _("with {grams} g of {name}, {rest}", grams=number(relief.grams, 1), name=what, rest=rest)
    if member.kind == "linked":
        return _("with {name} free from proportion, {rest}", name=member.name, rest=rest)
    return _("without “{member}”, {rest}", member=member_text(member, currency), rest=rest)


def clash_lines(clash: Clash, currency: str = "") -> list[str]:
    """A clash as it is read: what cannot hold together, then what each could do about it."""
    if len(clash.members) == 1:
        head = _("This cannot hold, whatever the amounts:")
    else:
        head = _("These cannot all hold, and without any one of them the others can:")
    members = (f"• {member_text(member, currency)}" for member in clash.members)
    reliefs = (f"• {relief_text(relief, currency)}" for relief in clash.reliefs)
    return [head, *members, _("What giving way would buy:"), *reliefs]


def break_even_text(found: BreakEven | None, name: str, key: str) -> str:
    """How much of an ingredient until a quantity passes a limit."""
    if found is None:
        return _("no amount of {name} alone does it", name=name)
    return _(
        "{grams} of {name}: {figure}", grams=grams_text(found.grams), name=name, figure=quantity_text(found.bound, key)
    )
