"""A reading, a rain that may come, a task that is done: typed and pressed in a browser."""

import re

import pytest
from playwright.sync_api import expect

SITE = "/sites/barrels"


@pytest.fixture
def today(window, address):
    """A phone that has read 20 in on the first screen."""
    page = window(width=360, height=740, has_touch=True, is_mobile=True)
    page.goto(f"{address}{SITE}/today")
    page.get_by_label("On the stick").fill("20 in")
    page.get_by_role("button", name="Write it").tap()
    expect(page.locator(".lasts b")).to_contain_text("Lasts until")
    return page


def test_a_reading_on_a_phone_begins_the_log(today, address):
    expect(today.locator(".taken")).to_have_text("Written: 20 in.")
    expect(today.locator(".last b")).to_have_text("20 in")
    expect(today.get_by_label("On the stick")).to_have_value("")
    today.goto(address)
    today.locator(f"a[href='{SITE}/today']").tap()
    expect(today.locator(".lasts b")).to_contain_text("Lasts until")


def test_a_question_is_answered_beside_the_field(today):
    today.get_by_label("On the stick").fill("300 in")
    today.get_by_role("button", name="Write it").tap()
    expect(today.locator(".doubt").first).to_be_visible()
    today.get_by_label("What the stick says").fill("19 in")
    today.get_by_role("button", name="Mend it").tap()
    expect(today.locator(".last b")).to_have_text("19 in")
    expect(today.locator(".question")).to_have_count(0)


def test_a_doubtful_reading_may_be_kept(today):
    today.get_by_label("On the stick").fill("300 in")
    today.get_by_role("button", name="Write it").tap()
    today.get_by_role("button", name="Keep it").tap()
    expect(today.locator(".question")).to_have_count(0)
    expect(today.locator(".last b")).to_have_text("300 in")


def test_what_is_no_figure_stays_in_the_field(today):
    field = today.get_by_label("On the stick")
    field.fill("about half")
    today.get_by_role("button", name="Write it").tap()
    expect(today.locator("#refused")).to_be_visible()
    expect(field).to_have_value("about half")


def test_a_rain_moves_the_look_ahead_at_once(today, address):
    today.goto(f"{address}{SITE}/ahead")
    until = today.locator(".lasting strong").first
    before = until.inner_text()
    today.get_by_label("It rains").fill("0.3 in on tomorrow")
    today.get_by_label("It rains").press("Tab")
    expect(until).not_to_have_text(before)
    expect(today).to_have_url(re.compile(r"\?rain=0\.3\+in\+on\+tomorrow$"))
    after = until.inner_text()
    today.reload()
    expect(until).to_have_text(after)
    today.get_by_label("It rains").fill("wet")
    today.get_by_label("It rains").press("Tab")
    expect(today.locator("#wrong .fault")).to_be_visible()
    expect(until).to_have_text(after)


def test_a_task_is_done_at_a_press_of_the_keyboard(today, address):
    today.goto(f"{address}{SITE}/due")
    today.get_by_label("Done by", exact=True).fill("Ada")
    button = today.get_by_role("button", name="Done: clean the screens")
    button.focus()
    today.keyboard.press("Enter")
    expect(today.locator(".taken")).to_contain_text("clean the screens")
    today.locator("summary", has_text="Put off").first.click()
    today.get_by_role("button", name="Put off").first.click()
    expect(today.locator(".taken")).to_contain_text("put off to")


def test_a_fault_is_narrowed_by_answers_and_going_back_takes_them_back(today, address):
    today.goto(f"{address}{SITE}/faults")
    today.get_by_role("link", name=re.compile("falls faster")).tap()
    check = today.locator(".check")
    first = check.inner_text()
    today.get_by_role("link", name="yes", exact=True).tap()
    expect(check).not_to_have_text(first)
    expect(today.locator(".out")).to_have_count(1)
    today.go_back()
    expect(check).to_have_text(first)
