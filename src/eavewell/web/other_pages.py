"""Every page beside the register; loaded when the first of them is asked for."""

from fastapi import FastAPI

from eavewell.web import (
    ahead_page,
    built_page,
    due_page,
    faults_page,
    fixes,
    leaks_page,
    levels_moved,
    log_bring,
    log_entries,
    log_month,
    log_page,
    log_whole,
    papers_page,
    parts_page,
    phone_log,
    rain_page,
    reconciled_page,
    roofs_page,
    site_page,
    tests_page,
    today_page,
    trace_page,
    twins,
    versions_page,
    year_page,
)
from eavewell.web.field_sheet import page as field_sheet_page
from eavewell.web.field_sheet import photographs as field_photographs
from eavewell.web.pages import Pages

# in the order in which an address is looked for
PARTS = (
    built_page,
    roofs_page,
    papers_page,
    rain_page,
    field_sheet_page,
    field_photographs,
    versions_page,
    trace_page,
    today_page,
    leaks_page,
    ahead_page,
    due_page,
    tests_page,
    faults_page,
    year_page,
    reconciled_page,
    log_page,
    log_entries,
    log_bring,
    log_month,
    log_whole,
    phone_log,
    site_page,
    parts_page,
    levels_moved,
    fixes,
)


def take_in(app: FastAPI, shared: Pages) -> None:
    """Put the pages and the data behind them behind those that an app has already."""
    for part in PARTS:
        app.include_router(part.router(shared))
    app.include_router(twins.router(shared, app))
    twins.declare(app)
