"""Invented rules, sites and papers for the checks on the rules of the place."""

from dataclasses import replace
from datetime import date

from eavewell.site.authority import Authority, PaperAsked, Setback, Sourced, Trigger
from eavewell.site.permission import PaperDone, Permission

WRITTEN = Sourced("Invented County rules", "section 1")
TODAY = date(2027, 3, 10)
GALLON_L = 3.785411784
FOOT_M = 0.3048


def trigger(measure="tank volume", name="large", **fields):
    return Trigger(name, measure, "a permit", WRITTEN, **fields)


def setback(least_m=3.0, to="building"):
    return Setback("tank", to, least_m, WRITTEN)


def paper(name="pre-approval", when="before purchase", **fields):
    return PaperAsked(name, when, WRITTEN, **fields)


def rules(**fields):
    return Authority("Invented County", "2026", **fields)


def permission(*papers, **fields):
    return Permission(authority="county.toml", papers=papers, **fields)


def done(name="pre-approval", day=date(2027, 3, 1), by=""):
    return PaperDone(name, day, by)


def with_permission(site, *papers, **fields):
    return replace(site, permission=permission(*papers, **fields))
