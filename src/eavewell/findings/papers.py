"""Whether what the authority asks for is there in time; nothing here is an approval."""

import difflib
from collections.abc import Iterator
from datetime import date

from eavewell.findings.rounding import no_less
from eavewell.rules.judged import Judged, Spacing
from eavewell.rules.papers import Paper
from eavewell.rules.triggers import Met
from eavewell.site.finding import Finding
from eavewell.site.permission import Permission
from eavewell.site.site import Site
from eavewell.units import show

DECIDES = "The authority having jurisdiction decides."
CHECK_YOURS = "Model rules, check yours with the authority having jurisdiction."
_WHERE = "rules of the place"
_UNITS = {"tank volume": "L", "total volume": "L", "height over width": "times as high as wide"}


def papers_ready(site: Site, judged: Judged) -> Iterator[Finding]:
    """Checks of a site against the rules of its place."""
    if judged.authority.is_model:
        yield _model(judged)
    else:
        yield from _triggers(judged)
    for tank in site.tanks:
        mine = [one for one in judged.spacings if one.tank == tank.name]
        yield from _spacings(site, mine, asked=bool(tank.distances or site.permission.authority))
    yield from _unmeasured(judged)
    for paper in judged.papers:
        yield from _late(site, paper, today=judged.today)
    yield from _not_asked(judged)
    yield from _ready(site, judged)


def _model(judged: Judged) -> Finding:
    """What the model rules would ask for, in one note."""
    asks: dict[str, list[str]] = {}
    for met in judged.triggers:
        if met.is_met:
            asks.setdefault(met.trigger.asks, []).extend(met.things)
    asked = "; ".join(f"{what} ({', '.join(things)})" for what, things in asks.items())
    nothing = "nothing beyond the papers" if judged.papers else "nothing"
    return Finding(
        "model-rules",
        "note",
        _WHERE,
        f"{CHECK_YOURS} By them is asked for: {asked or nothing}.",
        source=f"{judged.authority.name}: each row there names its own",
        fix="your authority's rules in a file of their own, named by authority in [rules]",
    )


def _triggers(judged: Judged) -> Iterator[Finding]:
    for met in judged.triggers:
        if met.is_met:
            yield _asked(met)
    unknown: dict[str, list[str]] = {}
    for met in judged.triggers:
        for thing in met.unknown:
            unknown.setdefault(thing, []).append(met.trigger.end_use or met.trigger.measure)
    for thing, what in unknown.items():
        says = f"Not checked: {', '.join(dict.fromkeys(what))} unknown. {DECIDES}"
        yield Finding("rule-not-checked", "note", thing, says)


def _asked(met: Met) -> Finding:
    trigger = met.trigger
    things = ", ".join(met.things)
    return Finding(
        "rule-asks",
        "watch",
        _WHERE,
        f"{trigger.name[:1].upper()}{trigger.name[1:]} ({things}) asks for: {trigger.asks}. "
        f"{DECIDES}",
        measured=met.measured if trigger.above is not None else None,
        limit=trigger.above,
        unit=_UNITS.get(trigger.measure, ""),
        source=trigger.written.in_words,
    )


def _spacings(site: Site, mine: list[Spacing], *, asked: bool) -> Iterator[Finding]:
    for one in mine:
        if one.is_kept is False and one.known_m is not None:
            yield _too_near(site, one, known_m=one.known_m)
    unknown = [one.setback.to for one in mine if one.is_kept is None]
    if unknown and asked:
        says = f"Not checked: distance to {', '.join(dict.fromkeys(unknown))} unknown. {DECIDES}"
        yield Finding("setback-unknown", "note", f"tank {mine[0].tank!r}", says)


def _too_near(site: Site, one: Spacing, *, known_m: float) -> Finding:
    least_m, system = one.setback.least_m, site.place.show
    farther = no_less(least_m - known_m, "length", system=system)
    return Finding(
        "setback-not-kept",
        "fix",
        f"tank {one.tank!r}",
        f"It stands {show(known_m, 'length', system=system)} from the {one.setback.to}. {DECIDES}",
        measured=known_m,
        limit=least_m,
        unit="m",
        source=one.setback.written.in_words,
        fix=f"move it {farther} farther from the {one.setback.to}",
    )


def _unmeasured(judged: Judged) -> Iterator[Finding]:
    for one in judged.spacings:
        if not one.tank:
            says = (
                f"Not checked: distance of {one.setback.of} to {one.setback.to} unknown. {DECIDES}"
            )
            yield Finding("setback-unknown", "note", _WHERE, says)


def _late(site: Site, paper: Paper, *, today: date) -> Iterator[Finding]:
    if paper.state not in ("overdue", "too late") or paper.due is None:
        return
    given = paper.done if paper.state == "too late" and paper.done else today
    bought = paper.asked.when == "before purchase"
    word = f"dated {paper.done}" if paper.done else "not given"
    lost = " What is bought before it, a rebate often does not pay." if bought else ""
    yield Finding(
        "bought-before-approval" if bought else "paper-late",
        "fix",
        f"paper {paper.asked.name!r}",
        f"Asked for {paper.asked.when}, by {paper.due}; {word}.{lost} {DECIDES}",
        measured=float((given - paper.due).days),
        limit=0.0,
        unit="days late",
        source=paper.asked.written.in_words,
        fix=_way_out(site.permission, paper, today=today),
    )


def _way_out(permission: Permission, paper: Paper, *, today: date) -> str:
    """Put off what is still to come; else get the paper and ask whether it still counts."""
    if paper.state == "too late" and paper.due and paper.done and paper.due >= today:
        step = _STEPS[paper.asked.when]
        return f"put off the {step} to {paper.done} or later"
    if paper.asked.when == "before purchase":
        return "buy nothing more before it is given, and ask in writing whether it still counts"
    if paper.state == "too late":
        return f"ask {paper.by or 'whoever asks for it'} in writing whether it still counts"
    return f"get it{f' from {paper.by}' if paper.by else ''} and write its day into the site file"


_STEPS = {
    "before purchase": "purchase",
    "before building": "building",
    "before covering": "first day of use",
    "before use": "first day of use",
    "each year": "first day of use",
}


def _not_asked(judged: Judged) -> Iterator[Finding]:
    known = [paper.asked.name for paper in judged.papers]
    for one in judged.unasked:
        close = difflib.get_close_matches(one.name, known, n=1)
        meant = f" Is {close[0]!r} meant?" if close else ""
        says = f"The rules do not ask for it here; it stays in the list.{meant}"
        yield Finding("paper-not-asked", "note", f"paper {one.name!r}", says)


def _ready(site: Site, judged: Judged) -> Iterator[Finding]:
    missing, asked = judged.missing, len(judged.papers)
    if judged.is_ready:
        if asked:
            says = f"All {asked} papers are dated in time; that is no approval. {DECIDES}"
            yield Finding("papers-complete", "note", _WHERE, says)
        return
    untouched = site.permission == Permission()
    yield Finding(
        "not-ready",
        "note" if untouched else "watch",
        _WHERE,
        f"Not ready; {_open(missing, untouched=untouched)}. {DECIDES}",
        measured=float(asked - len(missing)),
        limit=float(asked),
        unit="papers",
        source=_whose(judged),
        fix="the open papers, each with its day in the site file" if missing else "",
    )


def _open(missing: tuple[Paper, ...], *, untouched: bool) -> str:
    if not missing:
        return "a setback is not kept"
    if untouched:
        return "no paper of the list is dated yet"
    return f"open: {', '.join(paper.asked.name for paper in missing)}"


def _whose(judged: Judged) -> str:
    authority = judged.authority
    return authority.name if authority.is_model else f"{authority.name}, {authority.edition}"
