"""What a browser calls itself, in words that its owner knows it by."""

from __future__ import annotations

#: The first that is found counts: most browsers also name those whose pages they can show.
_BROWSERS = (
    ("Edg", "Edge"),
    ("OPR/", "Opera"),
    ("Firefox/", "Firefox"),
    ("Chrome/", "Chrome"),
    ("Chromium/", "Chromium"),
    ("Safari/", "Safari"),
)
_SYSTEMS = (
    ("iPhone", "iPhone"),
    ("iPad", "iPad"),
    ("Android", "Android"),
    ("Windows", "Windows"),
    ("CrOS", "ChromeOS"),
    ("Mac OS", "Mac"),
    ("Linux", "Linux"),
)


def browser_words(user_agent: str) -> str:
    """Return what is shown of a browser, like "Firefox on Windows"."""
    browser = next((name for sign, name in _BROWSERS if sign in user_agent), "Another browser")
    system = next((f" on {name}" for sign, name in _SYSTEMS if sign in user_agent), "")
    return browser + system
