"""Every English text that a patient's paper may hold, found in the source that holds it."""

from __future__ import annotations

import ast
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from gettext import NullTranslations

from django.template import engines
from django.templatetags.i18n import BlockTranslateNode, TranslateNode

from programs.actions.signing import MEANING
from programs.exercises import DAILY_MOVEMENTS, EXERCISES
from programs.handout.questionnaire import questionnaire
from tests.gate.project import ROOT, files

#: The papers that a patient reads; the summary is for a colleague and stays in English.
PAPERS = ("handout.html", *sorted(f"paper/{p.name}" for p in (ROOT / "templates/paper").iterdir()))
FOR_COLLEAGUES = {"paper/summary.html"}
#: Files with texts of the papers, beside those of programs/handout.
PLACES = {"printing.py", "previsit.py"}
MARKS = {"gettext", "gettext_noop", "ngettext", "pgettext"}


@dataclass(frozen=True, kw_only=True)
class Text:
    """One text: in English, in the plural where it counts, its context where it needs one."""

    english: str
    plural: str = ""
    context: str = ""


def texts() -> Mapping[Text, str]:
    """Return every text with the file that holds it first."""
    found: dict[Text, str] = {}
    for where, text in (*_of_code(), *_of_templates(), *_of_exercises(), *_of_labels()):
        found.setdefault(text, where)
    return found


def _of_code() -> Iterator[tuple[str, Text]]:
    for path in files(".py"):
        if path.parts[:2] == ("programs", "handout") or path.name in PLACES:
            for node in ast.walk(ast.parse((ROOT / path).read_text())):
                if isinstance(node, ast.Call) and _name(node) in MARKS:
                    yield from ((str(path), text) for text in _marked(node))


def _name(call: ast.Call) -> str:
    return str(getattr(call.func, "attr", getattr(call.func, "id", "")))


def _marked(call: ast.Call) -> Iterator[Text]:
    """Yield the text of a call whose text stands in it; another is found where it is marked."""
    held = [arg.value for arg in call.args if isinstance(arg, ast.Constant)]
    said = [value for value in held if isinstance(value, str)]
    if not said:
        return
    if _name(call) == "ngettext":
        yield Text(english=said[0], plural=said[1])
    elif _name(call) == "pgettext":
        yield Text(english=said[1], context=said[0])
    else:
        yield Text(english=said[0])


def _of_templates() -> Iterator[tuple[str, Text]]:
    for name in PAPERS:
        if name in FOR_COLLEAGUES:
            continue
        nodes = engines["django"].get_template(name).template.nodelist
        for one in nodes.get_nodes_by_type(TranslateNode):
            yield f"templates/{name}", Text(english=one.filter_expression.var.literal)
        for one in nodes.get_nodes_by_type(BlockTranslateNode):
            yield f"templates/{name}", Text(english=one.render_token_list(one.singular)[0])


def _of_exercises() -> Iterator[tuple[str, Text]]:
    for one in EXERCISES.values():
        where = f"programs/exercises: {one.code}"
        for line in (one.name, one.start, *one.steps, one.feel, one.avoid):
            yield where, Text(english=line)
    for move in DAILY_MOVEMENTS:
        for line in (move.name, move.leave_out, move.instead):
            yield "programs/exercises/daily.py", Text(english=line)


class Asked(NullTranslations):
    """Notes each text that it is asked for."""

    def __init__(self) -> None:
        super().__init__()
        self.asked: list[str] = []

    def gettext(self, message: str) -> str:
        self.asked.append(message)
        return message


def _of_labels() -> Iterator[tuple[str, Text]]:
    """Yield what the blank form asks, and what a signature means."""
    noted = Asked()
    questionnaire(noted)
    for label in noted.asked:
        yield "programs/handout/questionnaire.py", Text(english=label)
    yield "programs/actions/signing.py", Text(english=MEANING)
