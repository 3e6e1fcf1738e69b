"""A family shares a loop: who is invited to read finds nothing to write with, and two helpers feed the fish once."""

import re
from uuid import uuid4

import pytest

pytestmark = pytest.mark.e2e
PHRASE = "four plain words here"
# Where the forms of a page go that can be sent.
SENDS = """() => Array.from(document.querySelectorAll('button:enabled'))
    .filter(b => b.form && b.form.method === 'post')
    .map(b => new URL(b.hasAttribute('formaction') ? b.formAction : b.form.action).pathname)"""
# What is left to a reader is their own: leaving, their calendar and tokens, which loop they look at, a loop taken in.
OWN = {"/people/leave", "/calendar", "/tokens", "/loops/choose", "/exchange/import"}


def invited(owner, base: str, role: str) -> str:
    """Make an invitation on the page of people; gives its link."""
    owner.page.goto(f"{base}/people")
    owner.tap(owner.page.locator(f"label.pick:has(input[name=role][value={role}])"))
    owner.tap(owner.page.get_by_role("button", name="Make a link"))
    return owner.page.get_by_label(f"Link for one {role}").input_value()


def joined(person, link: str, name: str) -> None:
    """Come in by an invitation, as somebody new."""
    person.page.goto(link)
    person.page.get_by_label("What should the log call you?").fill(name)
    person.page.get_by_label("Choose a pass phrase").fill(PHRASE)
    assert person.axe() == []
    person.tap(person.page.get_by_role("button", name="Come in", exact=True))
    person.page.wait_for_url(re.compile("/$"))


def named(role: str) -> str:
    """Name nobody has had yet: the server outlives the test."""
    return f"{role}-{uuid4().hex[:4]}"


def test_a_reader_sees_every_page_and_can_write_nothing(stocked, window) -> None:
    owner, reader = window(), window()
    owner.sign_in(stocked, "keeper", PHRASE)
    link = invited(owner, stocked, "reader")
    joined(reader, link, named("reader"))
    reader.until("it knows every entry of the log")
    page = reader.page
    assert page.get_by_text("You read along").is_visible()
    page.goto(f"{stocked}/pages")
    paths = [door.get_attribute("href") for door in page.locator(".doors a").all()]
    assert {"/", "/water", "/log", "/fish", "/setup", "/people"} <= set(paths)
    sent = set()
    for path in [*paths, "/log/add/note", "/log/add/feeding", "/household", "/products", "/source-water"]:
        assert page.goto(stocked + path).status in (200, 403), path
        sent |= {(path, action) for action in page.evaluate(SENDS)}
        assert reader.sideways() <= 0, path
    assert {action for _, action in sent} == OWN, sent

    # Whoever sends a form all the same is refused, and nothing is stored.
    page.goto(f"{stocked}/people")
    token = page.locator("input[name=csrfmiddlewaretoken]").first.input_value()
    loop = page.locator("input[name=loop]").first.input_value()
    note = {"csrfmiddlewaretoken": token, "loop": loop, "uuid": str(uuid4()), "text": "written by a reader"}
    for path in ("/log/add/note", "/done", "/setup", "/people/invite"):
        answer = reader.context.request.post(stocked + path, form=note, headers={"Referer": stocked})
        assert answer.status == 403, path
        assert "You are a reader of" in answer.text()
    owner.page.goto(f"{stocked}/log")
    assert owner.page.get_by_text("written by a reader").count() == 0


def test_two_people_feed_the_fish_once(stocked, window) -> None:
    owner, helper = window(), window()
    owner.sign_in(stocked, "keeper", PHRASE)
    name = named("helper")
    joined(helper, invited(owner, stocked, "helper"), name)
    for person in (owner, helper):
        person.page.goto(stocked)
        person.until("it knows every entry of the log")
        assert person.page.get_by_role("button", name=re.compile("^Done: Feed carp")).count() == 1

    # Both stand at the tank with the same page open; the owner is quicker.
    owner.tap(owner.page.get_by_role("button", name=re.compile("^Done: Feed carp")))
    owner.page.get_by_text("Saved: Fed").wait_for()
    helper.tap(helper.page.get_by_role("button", name=re.compile("^Done: Feed carp")))
    helper.page.get_by_text(re.compile("keeper wrote this down already.*Fed")).wait_for()

    # Fed once, and both see by whom.
    for person in (helper, owner):
        person.page.goto(stocked)
        done = person.page.locator(".rill > .done").filter(has_text="Fed carp")
        assert done.count() == 1
        assert "by keeper" in done.inner_text()
        person.page.goto(f"{stocked}/log")
        assert person.page.locator("#entries > li:not(.gone)").filter(has_text="Fed carp").count() == 1
    owner.page.goto(stocked)
    owner.tap(owner.page.get_by_role("button", name=re.compile("^Undo: Fed carp")))
    owner.page.get_by_text("Taken back").first.wait_for()
    assert [one for one in owner.complaints + helper.complaints if "400 (Bad Request)" not in one] == []
