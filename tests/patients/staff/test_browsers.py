"""Browsers by the words of their own headers (shapes of them, written for the test)."""

import pytest

from patients.staff.browsers import browser_words

ENGINE = "Mozilla/5.0 ({}) AppleWebKit/537.36 (KHTML, like Gecko) {}"


@pytest.mark.parametrize(
    ("user_agent", "words"),
    [
        (ENGINE.format("X11; Linux x86_64", "Chrome/140.0 Safari/537.36"), "Chrome on Linux"),
        (
            ENGINE.format("Windows NT 10.0", "Chrome/140.0 Safari/537.36 Edg/140.0"),
            "Edge on Windows",
        ),
        (ENGINE.format("Macintosh; Intel Mac OS X 15_0", "Version/18 Safari/605"), "Safari on Mac"),
        (ENGINE.format("iPad; CPU OS 18_0 like Mac OS X", "Safari/605"), "Safari on iPad"),
        ("Mozilla/5.0 (Android 15; Mobile) Gecko/140.0 Firefox/140.0", "Firefox on Android"),
        ("", "Another browser"),
    ],
)
def test_known_by(user_agent: str, words: str) -> None:
    assert browser_words(user_agent) == words
