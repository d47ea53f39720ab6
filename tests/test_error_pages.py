"""The page of each form that was refused: it says so first, once, and leads to each field."""

from __future__ import annotations

import re
from collections import Counter
from html.parser import HTMLParser
from typing import Any

import pytest
from django.test import Client
from django.urls import resolve

from tests.test_every_form import HIDDEN, Form, forms, tried

__all__ = ["forms"]
#: What somebody types that is wrong in most fields: nothing, a word, a number far too great.
WRONG = ("", "x", "9" * 30)
#: Asked for by what else was answered or chosen, so that it is not always required.
BY_THE_REST = ("Falls in week", "Reason for the discharge", "Densities", "Seen: ")
KEPT = {*HIDDEN, "patient", "token", "life", "csrfmiddlewaretoken", "preview", "number"}


class Said(HTMLParser):
    """What a page says of itself: its title, its ids, the links and words of its summary."""

    def __init__(self, page: str) -> None:
        super().__init__()
        self.ids: list[str] = []
        self.links: list[tuple[str, str]] = []
        self.pointed: list[str] = []
        self.title, self.summaries, self.at, self.deep = "", 0, "", 0
        self.feed(page)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        held = {name: value or "" for name, value in attrs}
        self.ids += [held["id"]] if "id" in held else []
        for name in ("for", "aria-describedby", "aria-labelledby"):
            self.pointed += held.get(name, "").split()
        if "error-summary" in held.get("class", "").split():
            self.summaries += 1
            self.deep = 1
        elif self.deep and tag == "div":
            self.deep += 1
        if tag == "title" and not self.title:
            self.at = "title"
        elif tag == "a" and self.deep:
            self.at = "link"
            self.links.append((held.get("href", ""), ""))

    def handle_endtag(self, tag: str) -> None:
        if tag == "div" and self.deep:
            self.deep -= 1
        if tag in ("title", "a"):
            self.at = ""

    def handle_data(self, data: str) -> None:
        if self.at == "title":
            self.title += data
        elif self.at == "link":
            href, words = self.links[-1]
            self.links[-1] = (href, words + data)


def wrong_ways(form: Form) -> list[dict[str, Any]]:
    """Return the form as its page holds it, each of its fields filled wrongly in turn."""
    ways = []
    for typed in WRONG:
        kept = {n: v for n, v in form.fields.items() if n in KEPT}
        others = {n: [typed] for n in form.fields if n not in KEPT and typed}
        sent = kept | others | {name: [typed] for name in form.typed}
        ways.append({n: v for n, v in sent.items() if n != "preview" and "file" not in n})
    return ways


def faults(page: str) -> list[str]:
    """Return what is wrong with the page of a form that was refused."""
    said = Said(page)
    found = [f"id twice: {one}" for one, count in Counter(said.ids).items() if count > 1]
    found += [f"points at nothing: {one}" for one in {*said.pointed} - {*said.ids}]
    if not said.title.startswith("Error: "):
        found.append(f"title: {said.title}")
    if said.summaries != 1:
        found.append(f"summaries: {said.summaries}")
    if said.summaries and not said.links:
        found.append("a summary without a link")
    found += [
        f"leads nowhere: {to}" for to, _ in said.links if to.removeprefix("#") not in said.ids
    ]
    found += [f"said twice: {one}" for one, count in Counter(said.links).items() if count > 1]
    return found


def unmarked(page: str) -> list[str]:
    """Return each field that an empty form was refused for, and that does not say "required"."""
    found = []
    for to, words in Said(page).links:
        name = to.removeprefix("#")
        if any(one in words for one in BY_THE_REST):
            continue
        label = re.search(rf'<label[^>]* for="{re.escape(name)}"[^>]*>(.*?)</label>', page, re.S)
        group = page.partition(f'id="div_{name.removesuffix("_0")}"')[2].partition("</legend>")[0]
        if name != "content" and 'class="needed"' not in (label[1] if label else "") + group:
            found.append(f"required, unsaid: {words}")
    return found


@pytest.mark.long
@pytest.mark.no_cover
@pytest.mark.django_db
def test_the_page_of_a_refused_form_says_so_and_leads_to_each_field(
    signed_in: Client, forms: list[Form]
) -> None:
    """WCAG 2.2, 3.3.1 and 2.4.2; one id one place, one error once (common practice)."""
    wrong, seen = {}, set()
    for form in forms:
        for typed, sent in zip(WRONG, wrong_ways(form), strict=True):
            answer = tried(signed_in, form.address, sent)
            view = resolve(form.address.partition("?")[0]).view_name
            if answer.status_code == 200 and b'class="invalid-feedback' in answer.getvalue():
                wrong[view] = ["refused, and answered with 200"]
            if answer.status_code != 422:
                continue
            seen.add(view)
            page = answer.content.decode()
            if found := faults(page) + ([] if typed else unmarked(page)):
                wrong[view] = sorted({*wrong.get(view, []), *found})
    assert not wrong, "\n".join(f"{view}: {found}" for view, found in wrong.items())
    assert {"programs:plan_edit", "patients:section", "programs:log"} <= seen
    assert len(seen) > 30, sorted(seen)


@pytest.mark.parametrize("address", ["/sign-in/", "/password/"])
def test_the_pages_that_ask_for_a_password_do_the_same(signed_in: Client, address: str) -> None:
    """They end the session or are counted as a guess, so the walk above leaves them out."""
    if address == "/sign-in/":
        signed_in.logout()
    answer = signed_in.post(address, {})
    assert answer.status_code == 422
    assert faults(answer.content.decode()) + unmarked(answer.content.decode()) == []


def test_the_measure_of_faults() -> None:
    """What the walk above looks for is found where it is."""
    summary = '<div class="error-summary"><a href="#b">Height: x</a></div>'
    good = f'<title>Error: Height</title>{summary}<input id="b"><label for="b">'
    assert faults(good) == []
    assert faults(good.replace("Error: ", "")) == ["title: Height"]
    assert faults(good.replace('id="b"', 'id="c"')) == ["points at nothing: b", "leads nowhere: #b"]
    assert faults(good + '<p id="b">') == ["id twice: b"]
    assert faults(good + summary) == ["summaries: 2", "said twice: ('#b', 'Height: x')"]
    assert re.search("without a link", str(faults(good.replace("<a", "<i"))))
