"""Texts that mean to be more than text: 25 of them and more, each with a mark to find it by.

Each is our own; what it aims at stands beside it.
"""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

#: Stands in a text for its mark, small letters and figures: it is the same as a tag's name.
_MARK = "MARK"
_LONG = "very long " * 400

#: What each aims at, and the text. A mark that came through as code would be a tag, an
#: attribute, a comment, a script or a line of a file.
TEXTS: Mapping[str, str] = MappingProxyType(
    {
        "a script": "<script>MARK()</script>",
        "a picture that fails": "<img src=x onerror=MARK()>",
        "the end of an attribute": '"><b MARK=1>',
        "the end of an attribute in apostrophes": "'><b MARK=1><i class='",
        "an attribute more": '" MARK=1 onfocus="MARK()" autofocus x="',
        "the end of a text area": "</textarea><MARK>",
        "the end of what is not read as a page": "</title></style></script><MARK>",
        "a comment": "<!--MARK--><!--",
        "an address that runs": "javascript:MARK()",
        "a drawing that runs": "<svg onload=MARK()><MARK/></svg>",
        "a template": "{{ 7|add:35 }}{% debug %}MARK{# gone #}",
        "another template": "{0} {MARK.__class__} ${7*7} #{7*7}",
        "a format": "%s %(x)s %d 100% MARK %",
        "a formula": "=1+1+cmd|' /C MARK'!A1",
        "a formula with a plus": "+1+cmd|MARK",
        "a formula with a minus": "-1-cmd|MARK",
        "a formula with an at": "@SUM(1+1)*MARK",
        "a formula behind a tab": "\t=MARK",
        "a formula behind a return": "\r=MARK",
        "a formula in wide letters": "＝1+1 MARK",
        "a line of a calendar": "MARK\r\nEND:VEVENT\r\nBEGIN:VEVENT\r\nSUMMARY:MARK",
        "cells and lines of a table": '",MARK;\n"=MARK",,\n\x0b\x0c',
        "lines that a script sees": "MARK\u2028=MARK\u2029\x85\\u003cMARK\\u003e",
        "letters turned round": "\u202eMARK\u202c\u2066\u200b\ufeff",
        "more than one holds": f"MARK {_LONG}",
        "quotes and apostrophes": "O'MARK \"said\" ‘so’ \\' `MARK`",
        "pictures for letters": "👩🏽‍⚕️ MARK e\u0301 𝕏",
        "a way to a file": "../../../etc/MARK%2e%2e%2f",
        "a statement": "'; DROP TABLE patients_patient; -- MARK",
        "signs already written as signs": "&lt;MARK&gt; &amp;lt; &#60;MARK&#62; ]]>",
        "nothing where text ends": "MARK\x00after",
    }
)
#: No database of either kind takes it, so that nothing below the forms is given it.
REFUSED_BY_FORMS = "nothing where text ends"


def marked(name: str, mark: str) -> str:
    """Return one of the texts with its mark in it."""
    return TEXTS[name].replace(_MARK, mark)
