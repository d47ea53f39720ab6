"""A page as a browser sees it: its fields, ready to be sent, and its text."""

from html import unescape
from html.parser import HTMLParser

from django.urls import reverse


class Inputs(HTMLParser):
    """The fields of a page as a browser would send them."""

    def __init__(self, html):
        super().__init__()
        self.sent, self.types, self.select = {}, set(), None
        self.feed(html)

    def handle_starttag(self, tag, attrs):
        attrs = dict(attrs)
        if tag == "input":
            self.types.add(attrs.get("type"))
            ticked = attrs.get("type") not in ("radio", "checkbox") or "checked" in attrs
            # A box without a value is sent as "on".
            empty = "on" if attrs.get("type") == "checkbox" else ""
            if ticked and "name" in attrs:
                self.sent.setdefault(attrs["name"], []).append(attrs.get("value") or empty)
        elif tag == "select":
            self.select = attrs["name"]
        elif tag == "option" and "selected" in attrs:
            self.sent.setdefault(self.select, []).append(attrs.get("value") or "")


def url(name, *args):
    return reverse(f"patients:{name}", args=args)


def filled(client, address, **typed):
    """Return what the page's form would send, with what was typed over it."""
    sent = Inputs(client.get(address).content.decode()).sent
    return sent | typed


def text_of(response):
    return unescape(response.content.decode())
