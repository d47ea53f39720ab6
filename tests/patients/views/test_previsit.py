"""The paper of before the first visit, typed in on one page and saved in one go."""

import datetime as dt
import html
import re

import pytest
from django.db import connection
from django.template.loader import render_to_string
from django.test.utils import CaptureQueriesContext
from django.utils import timezone

from patients.facts import before_first_visit, codes, her_words
from patients.models.patient import Assessment, Audit, FractureRow
from patients.rows_to_facts import facts_of
from programs.papers.paper_parts import ENGLISH
from programs.papers.questionnaire import questionnaire
from tests.factories import AssessmentFactory, FractureFactory, PatientFactory
from tests.patients.pages import Inputs, filled, text_of, url
from tests.patients.test_rows_to_facts import ANSWERS
from tests.programs.sample_papers import OF_TODAY

pytestmark = [pytest.mark.django_db, pytest.mark.long]
TYPED = {
    "conditions-hernia__answer": "yes",
    "symptoms-fever__answer": "no",
    "medicines-opioid__answer": "no",
    "bones-wrist__date": "2011",
    "bones-rib__broke": "on",
    "falls-last_12_months": "2",
    "falls-injury": "yes",
    "help-watcher": "yes",
    "plate-plate": "no",
    "equipment-equipment": ["chair", "bands"],
    "days-days": ["mon", "thu"],
    "days-minutes_per_day": "40",
    "aims-falls": "1",
    "aims-hip": "2",
    "goal-own_goal": "Carry my own bags from O'Dell's",
}


@pytest.fixture
def patient():
    return PatientFactory()


def now(patient):
    return facts_of(patient, timezone.localdate())


def send(client, patient, **typed):
    page = url("previsit", patient.pk)
    return client.post(page, filled(client, page, **typed))


def test_one_save_fills_every_section(signed_in, patient):
    response = send(signed_in, patient, **TYPED)
    assert response.url == url("facts", patient.pk)
    facts = now(patient)
    assert facts.condition("hernia").answer is True
    assert facts.condition("stroke").answer is None
    assert facts.symptom("fever").answer is False
    assert facts.medicine("opioid").answer is False
    assert (facts.falls.last_12_months, facts.falls.injury, facts.falls.worried) == (2, True, None)
    assert (facts.resources.watcher, facts.resources.support_rail) == (True, None)
    assert (facts.resources.plates, facts.resources.equipment) == ((), ("chair", "bands"))
    assert (facts.resources.days, facts.resources.minutes_per_day) == (("mon", "thu"), 40)
    assert facts.aims == ("falls", "hip")
    assert facts.own_goal == "Carry my own bags from O'Dell's"
    rows = {row.site: (row.date, row.date_is) for row in FractureRow.objects.all()}
    assert rows == {"wrist": (dt.date(2011, 12, 31), "year"), "rib": (None, "day")}
    assert "2011 (year only)" in text_of(signed_in.get(url("facts", patient.pk)))


def test_the_page_asks_what_the_paper_asks_in_its_order(signed_in, patient):
    form = questionnaire(ENGLISH, OF_TODAY)
    paper = text_of_paper(form)
    page = text_of(signed_in.get(url("previsit", patient.pk)))
    hers = [label for _, _, labels in before_first_visit.TABLES for label in labels.values()]
    tables = [
        *codes.CONDITIONS.values(),
        *codes.SYMPTOMS.values(),
        *codes.MEDICINES.values(),
    ]
    rest = [
        *before_first_visit.FALLS.values(),
        *before_first_visit.HELP.values(),
        before_first_visit.PLATE,
    ]
    days = [*codes.DAYS.values(), "What matters most to you?", before_first_visit.OWN_GOAL]
    bones = [label.capitalize() for label in codes.FRACTURE_SITES.values()]
    page_asks = [*tables, "Broken bones", *bones, *rest, *codes.EQUIPMENT.values(), *days]
    assert in_order(page_asks, page)
    paper_asks = [*hers, "Broken bones", *her_words.BONES.values(), *rest]
    paper_asks += [*her_words.EQUIPMENT.values(), *days]
    assert in_order([label.lower() for label in paper_asks], html.unescape(paper).lower())


def text_of_paper(form):
    made = render_to_string("paper/questionnaire.html", {"form": form})
    return re.sub(r"<[^>]+>", "\n", made)


def in_order(labels, text):
    at = 0
    for label in labels:
        found = text.find(label, at)
        assert found >= 0, label
        at = found + len(label)
    return True


def test_a_paper_left_blank_saves_nothing(signed_in, patient):
    html = text_of(signed_in.post(*sent(signed_in, patient), follow=True))
    assert "Nothing was changed" in html
    assert not Assessment.objects.exists()
    assert not Audit.objects.exists()


def sent(client, patient, **typed):
    page = url("previsit", patient.pk)
    return page, filled(client, page, **typed)


def test_what_is_on_record_stands_on_the_page_and_sending_it_back_changes_nothing(signed_in):
    patient = AssessmentFactory(answers=ANSWERS).patient
    FractureFactory(patient=patient)
    before = now(patient)
    assert "Nothing was changed" in text_of(signed_in.post(*sent(signed_in, patient), follow=True))
    assert Assessment.objects.count() == 1
    html = text_of(signed_in.get(url("previsit", patient.pk)))
    assert "On record:</strong> wrist, 1 May 2019." in html
    assert now(patient) == before


def test_what_a_section_asks_beyond_the_paper_stays(signed_in):
    patient = AssessmentFactory(answers=ANSWERS).patient
    send(signed_in, patient, **{"days-minutes_per_day": "30", "aims-hip": "2", "aims-falls": "1"})
    facts = now(patient)
    assert (facts.resources.minutes_per_day, facts.resources.load_step_kg) == (30, 1)
    assert facts.resources.supervised is False
    assert len(facts.resources.plates) == 1
    assert facts.experience.impact == "some"
    assert facts.aims == ("falls", "hip")
    assert facts.spine_image.answer is True
    assert Assessment.objects.count() == 2  # one section was changed


def test_her_own_goal_stands_on_her_record_and_stays(signed_in, patient):
    send(signed_in, patient, **{"goal-own_goal": "Dance <again> & walk"})
    page = signed_in.get(url("facts", patient.pk)).content.decode()
    assert "Dance &lt;again&gt; &amp; walk" in page
    send(signed_in, patient, **{"days-minutes_per_day": "30"})
    assert now(patient).own_goal == "Dance <again> & walk"
    again = sent(signed_in, patient, **{"goal-own_goal": "x" * 201, "days-minutes_per_day": "20"})
    html = text_of(signed_in.post(*again))
    assert "Shorten this to 200 characters." in html
    assert "x" * 201 in html
    assert (now(patient).own_goal, now(patient).resources.minutes_per_day) == (
        "Dance <again> & walk",
        30,
    )
    send(signed_in, patient, **{"goal-own_goal": ""})
    assert now(patient).own_goal is None


def test_sent_twice_counts_once(signed_in, patient):
    page, form = sent(signed_in, patient, **TYPED)
    for _ in range(2):
        assert signed_in.post(page, form).url == url("facts", patient.pk)
    assert FractureRow.objects.count() == 2
    assert Assessment.objects.count() == 6


def test_bones_alone_sent_twice_count_once(signed_in, patient):
    page, form = sent(signed_in, patient, **{"bones-hip__broke": "on"})
    for _ in range(2):
        assert signed_in.post(page, form).status_code == 302
    assert FractureRow.objects.count() == 1
    assert not Assessment.objects.exists()


def test_a_form_of_another_patient_changes_nobody(signed_in, patient):
    _, form = sent(signed_in, patient, **TYPED)
    wrong = signed_in.post(url("previsit", PatientFactory().pk), form)
    assert wrong.status_code == 409
    assert not Assessment.objects.exists()


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        ({"falls-last_12_months": "many"}, "not a whole number"),
        ({"bones-wrist__date": "2199"}, "after the day of the assessment"),
        ({"bones-wrist__date": "1950"}, "before the date of birth"),
        ({"bones-wrist__date": "May"}, "Write the date like 14 Mar 1959"),
        ({"aims-hip": "1", "aims-spine": "1"}, "Another aim has 1."),
        ({"aims-hip": "6"}, "Write 1 to 5."),
        ({"aims-hip": "0"}, "Write 1 to 5."),
        ({"no_bones-none": "on", "bones-hip__broke": "on"}, "Untick this, or clear it."),
    ],
)
def test_nothing_typed_is_lost_and_nothing_saved_on_an_error(signed_in, patient, typed, said):
    response = send(signed_in, patient, **{**TYPED, "bones-wrist__date": "", **typed})
    html = text_of(response)
    assert response.status_code == 422
    assert said in html
    again = Inputs(html).sent
    assert again["medicines-opioid__answer"] == ["no"]
    assert again["days-days"] == ["mon", "thu"]
    assert all(again.get(name) == [text] for name, text in typed.items())
    assert not Assessment.objects.exists()
    assert not FractureRow.objects.exists()


@pytest.mark.parametrize(
    ("held", "typed", "fits"),
    [
        ({"date": dt.date(2011, 5, 3)}, "2011", False),
        ({"date": dt.date(2011, 5, 3)}, "2012", True),
        ({"date": dt.date(2011, 12, 31), "date_is": "year"}, "2011-02", False),
        ({"date": None}, "2012", False),
        ({"date": dt.date(2011, 5, 3)}, "", False),
        ({"date": dt.date(2011, 5, 3), "site": "hip"}, "2011", True),
        ({"date": dt.date(2011, 5, 3), "withdrawn": True}, "2011", True),
    ],
)
def test_a_bone_that_may_be_on_record_already_is_asked_about(signed_in, patient, held, typed, fits):
    FractureFactory(patient=patient, **held)
    bones = {"bones-wrist__broke": "on", "bones-wrist__date": typed}
    response = send(signed_in, patient, **bones)
    assert (response.status_code == 302) is fits
    assert ("On record already: wrist" in text_of(response)) is not fits


def test_no_bone_is_an_answer_and_a_bone_takes_it_back(signed_in, patient):
    send(signed_in, patient, **{"no_bones-none": "on"})
    assert now(patient).fractures == ()
    page, form = sent(signed_in, patient, **{"bones-hip__broke": "on"})
    form.pop("no_bones-none")
    assert signed_in.post(page, form).status_code == 302
    assert [f.site for f in now(patient).fractures] == ["hip"]


def test_a_plate_is_described_on_its_own_page(signed_in, patient):
    response = send(signed_in, patient, **{"plate-plate": "yes"})
    assert response.url == url("section", patient.pk, "plates")
    assert "Describe it here." in text_of(signed_in.get(response.url))
    assert now(patient).resources is None


def test_a_plate_on_record_is_not_talked_away(signed_in):
    patient = AssessmentFactory(answers=ANSWERS).patient
    response = send(signed_in, patient, **{"plate-plate": "no"})
    assert response.status_code == 422
    assert "Take it off under Vibration plates." in text_of(response)
    assert send(signed_in, patient, **{"plate-plate": ""}).status_code == 302
    assert len(now(patient).resources.plates) == 1


def test_no_plate_so_far_and_one_now(signed_in, patient):
    send(signed_in, patient, **{"plate-plate": "no"})
    assert now(patient).resources.plates == ()
    send(signed_in, patient, **{"plate-plate": "yes"})
    assert now(patient).resources is None


class TestTwoAtOnce:
    def test_what_the_other_changed_and_i_did_not_stays(self, signed_in, patient):
        page, form = sent(signed_in, patient, **{"symptoms-fever__answer": "no"})
        theirs = url("section", patient.pk, "falls")
        signed_in.post(theirs, filled(signed_in, theirs, **{"falls-last_12_months": "5"}))
        assert signed_in.post(page, form).status_code == 302
        facts = now(patient)
        assert (facts.falls.last_12_months, facts.symptom("fever").answer) == (5, False)

    def test_every_clash_is_shown_at_once_and_nothing_is_saved(self, signed_in, patient):
        page, form = sent(signed_in, patient, **TYPED)
        for code, name, text in (
            ("falls", "falls-last_12_months", "5"),
            ("symptoms", "symptoms-fever__answer", "yes"),
        ):
            theirs = url("section", patient.pk, code)
            signed_in.post(theirs, filled(signed_in, theirs, **{name: text}))
        response = signed_in.post(page, form)
        html = text_of(response)
        assert response.status_code == 409
        assert "<td>5</td><td>2</td>" in html
        assert "Fever" in html
        assert "Hernia" not in html
        assert not FractureRow.objects.exists()
        assert now(patient).condition("hernia").answer is None
        assert signed_in.post(page, Inputs(html).sent).status_code == 302
        facts = now(patient)
        assert (facts.falls.last_12_months, facts.symptom("fever").answer) == (2, False)
        assert facts.condition("hernia").answer is True

    def test_the_same_answer_of_both_is_no_clash(self, signed_in, patient):
        page, form = sent(signed_in, patient, **{"falls-last_12_months": "5"})
        theirs = url("section", patient.pk, "falls")
        signed_in.post(theirs, filled(signed_in, theirs, **{"falls-last_12_months": "5"}))
        assert signed_in.post(page, form).status_code == 302
        assert Assessment.objects.count() == 1


def test_few_queries(signed_in):
    patient = AssessmentFactory(answers=ANSWERS).patient
    for site in ("hip", "rib", "wrist"):
        FractureFactory(patient=patient, site=site)
    with CaptureQueriesContext(connection) as captured:
        assert signed_in.get(url("previsit", patient.pk)).status_code == 200
    # A dozen of its own; session and person take two, the look two, and three more once a minute.
    assert len(captured) <= 12 + 7


def test_reached_from_the_facts(signed_in, patient):
    assert url("previsit", patient.pk) in text_of(signed_in.get(url("facts", patient.pk)))
