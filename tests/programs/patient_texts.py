"""Every English text that a patient's paper may hold, found in the source that holds it."""

from __future__ import annotations

import ast
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from gettext import NullTranslations

from django.template import engines
from django.templatetags.i18n import BlockTranslateNode, TranslateNode

from programs.exercises import DAILY_MOVEMENTS, EXERCISES
from programs.papers.kinds import ENGLISH_CODE, KINDS, SAFETY_FILE
from programs.papers.questionnaire import questionnaire
from programs.signed.program import Clinic
from tests.gate.project import ROOT, files

#: All papers, the pages of her phone and their parts; those in English alone are for colleagues.
PAPERS = (
    "handout.html",
    *sorted(
        f"{room}/{p.name}"
        for room in ("paper", "phone")
        for p in (ROOT / "templates" / room).iterdir()
    ),
)
FOR_COLLEAGUES = {
    one.template for one in (*KINDS.values(), SAFETY_FILE) if one.languages == (ENGLISH_CODE,)
}
#: Rooms with texts for patients: the papers, and the log that she carries away.
ROOMS = {("programs", "papers"), ("programs", "log")}
#: Files with texts of the papers beside them.
PLACES = {"printing.py", "before_first_visit.py", "her_words.py", "modalities.py"}
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
        if path.parts[:2] in ROOMS or path.name in PLACES:
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

    def ngettext(self, msgid1: str, msgid2: str, n: int) -> str:
        self.asked.append(msgid1)
        return super().ngettext(msgid1, msgid2, n)

    def pgettext(self, context: str, message: str) -> str:
        self.asked.append(message)
        return message


def _of_labels() -> Iterator[tuple[str, Text]]:
    """Yield what the blank form asks."""
    noted = Asked()
    questionnaire(noted, Clinic(name="", phone="", address="", emergency=""))
    for label in noted.asked:
        yield "programs/papers/questionnaire.py", Text(english=label)
