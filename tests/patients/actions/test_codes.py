"""One-time codes: each used once, and none made or changed by whoever has the file."""

from __future__ import annotations

import datetime as dt
from typing import Any

import pytest
from django.contrib.auth.models import User
from django.core.management import call_command
from django.core.management.base import CommandError

from patients.actions import codes
from patients.actions.codes import With, ask_codes_of, asked_of, take_away, turn_off, use_code
from patients.actions.open_sessions import note_sign_in
from patients.actions.refusals import Refused
from patients.actions.sealed_secret import NotOpened, opened, seal
from patients.actions.told_codes import why_codes_not_as_told
from patients.audit import verify_chain
from patients.models.codes import CodesAsked, OneTimeCodes, RecoveryCode
from patients.models.patient import Audit
from patients.staff.one_time_codes import Whom
from patients.staff.rights import Role
from programs.actions.record_check import check_record
from tests.factories import MOMENT
from tests.patients.codes import STEP, code_at, with_codes
from tests.staff import person_of

pytestmark = pytest.mark.django_db
#: A moment in the middle of a step.
NOON = dt.datetime(2026, 3, 2, 12, 0, 15, tzinfo=dt.UTC)
LATER = NOON + 10 * STEP
REASON = "Telephone lost on the tram"


@pytest.fixture
def her() -> User:
    return person_of(Role.CLINICIAN, username="p.lund")


@pytest.fixture
def keeper() -> User:
    return person_of(Role.KEEPER, username="k.vale")


def written() -> list[str]:
    return list(Audit.objects.order_by("seq").values_list("action", flat=True))


def test_the_code_of_the_rfc_itself_is_taken(her: User) -> None:
    """RFC 6238, appendix B: at 59 s the secret "12345678901234567890" gives 94287082."""
    secret, at = b"12345678901234567890", dt.datetime.fromtimestamp(59, tz=dt.UTC)
    assert code_at(secret, at, digits=8) == "94287082"
    sealed = seal(secret, her.pk)
    assert codes.turn_on(user=her, sealed=sealed, code="287082", at=at) is not None


def test_turned_on_by_a_first_code_alone(her: User) -> None:
    sealed = codes.new_secret(her)
    right = code_at(opened(sealed, her.pk), NOON)
    wrong = f"{(int(right) + 1) % 10**6:06d}"
    for bad in (wrong, "", "letters", right[:5]):
        assert codes.turn_on(user=her, sealed=sealed, code=bad, at=NOON) is None
    assert codes.codes_of(her) is None
    made = codes.turn_on(user=her, sealed=sealed, code=right, at=NOON)
    assert made is not None
    assert len(set(made)) == codes.recovery_left(her) == 10
    with pytest.raises(Refused, match="on already"):
        codes.turn_on(user=her, sealed=sealed, code=right, at=LATER)
    assert written() == ["turn one-time codes on"]


def test_one_step_of_drift_each_way_and_no_more(her: User) -> None:
    secret, _ = with_codes(her, NOON - 100 * STEP)
    for steps, taken in ((-2, False), (2, False), (-1, True), (0, True), (1, True)):
        used = use_code(user=her, typed=code_at(secret, NOON + steps * STEP), at=NOON)
        assert (used is With.CODE) is taken, steps


def test_a_code_is_used_once_and_none_from_before_it(her: User) -> None:
    secret, _ = with_codes(her, NOON)
    first = code_at(secret, NOON)
    assert use_code(user=her, typed=first, at=NOON) is None, "it was spent on turning on"
    now = code_at(secret, LATER)
    assert use_code(user=her, typed=now, at=LATER) is With.CODE
    assert use_code(user=her, typed=now, at=LATER) is None
    assert use_code(user=her, typed=now, at=LATER + STEP) is None
    before = code_at(secret, LATER - STEP)
    assert use_code(user=her, typed=before, at=LATER) is None


def test_a_recovery_code_is_used_once_by_her_alone(her: User, keeper: User) -> None:
    _, made = with_codes(her, NOON)
    with_codes(keeper, NOON)
    typed = f" {made[0].lower().replace('-', ' ')} "
    assert use_code(user=keeper, typed=typed, at=LATER) is None
    assert use_code(user=her, typed=typed, at=LATER) is With.RECOVERY
    assert use_code(user=her, typed=typed, at=LATER) is None
    assert codes.recovery_left(her) == 9
    assert written()[-1] == "use recovery code"


def test_new_recovery_codes_end_those_from_before(her: User) -> None:
    with pytest.raises(Refused, match="are off"):
        codes.make_recovery_codes(user=her, at=NOON)
    _, before = with_codes(her, NOON)
    now = codes.make_recovery_codes(user=her, at=NOON)
    assert not set(before) & set(now)
    assert use_code(user=her, typed=before[1], at=LATER) is None
    assert use_code(user=her, typed=now[1], at=LATER) is With.RECOVERY


def test_turned_off_nothing_is_kept(her: User) -> None:
    secret, made = with_codes(her, NOON)
    turn_off(user=her, at=NOON)
    turn_off(user=her, at=NOON)
    assert not OneTimeCodes.objects.exists()
    assert not RecoveryCode.objects.exists()
    for typed in (code_at(secret, LATER), made[0]):
        assert use_code(user=her, typed=typed, at=LATER) is None
    assert written() == ["turn one-time codes on", "turn one-time codes off"]


class TestKept:
    """What stands in the file gives no code away."""

    def test_neither_secret_nor_recovery_code_stands_there(self, her: User) -> None:
        secret, made = with_codes(her, NOON)
        kept = OneTimeCodes.objects.get().secret
        told = "".join(Audit.objects.values_list("new", flat=True))
        digests = "".join(RecoveryCode.objects.values_list("digest", flat=True))
        for hidden in (secret.hex(), *made, *(one.replace("-", "") for one in made)):
            assert hidden not in kept + told + digests
        assert opened(kept, her.pk) == secret

    def test_the_same_secret_is_never_sealed_alike(self, her: User) -> None:
        assert seal(b"x" * 20, her.pk) != seal(b"x" * 20, her.pk)

    def test_it_opens_for_her_and_with_the_key_alone(
        self, her: User, keeper: User, settings: Any
    ) -> None:
        sealed = seal(b"x" * 20, her.pk)
        for kept in (sealed[:-8] + "AAAAAAA=", "no base64!", "", "AAAA"):
            with pytest.raises(NotOpened):
                opened(kept, her.pk)
        with pytest.raises(NotOpened):
            opened(sealed, keeper.pk)
        settings.SECRET_KEY_FALLBACKS = [settings.SECRET_KEY]
        settings.SECRET_KEY = "another key that is long enough to be one"
        assert opened(sealed, her.pk) == b"x" * 20
        settings.SECRET_KEY_FALLBACKS = []
        with pytest.raises(NotOpened):
            opened(sealed, her.pk)

    def test_a_key_from_before_still_opens_all(self, her: User, settings: Any) -> None:
        secret, made = with_codes(her, NOON)
        settings.SECRET_KEY_FALLBACKS = [settings.SECRET_KEY]
        settings.SECRET_KEY = "another key that is long enough to be one"
        assert why_codes_not_as_told(her) == ""
        assert use_code(user=her, typed=code_at(secret, LATER), at=LATER) is With.CODE
        assert use_code(user=her, typed=made[0], at=LATER) is With.RECOVERY

    def test_with_another_key_no_code_is_right(self, her: User, settings: Any) -> None:
        secret, _ = with_codes(her, NOON)
        settings.SECRET_KEY = "another key that is long enough to be one"
        assert use_code(user=her, typed=code_at(secret, LATER), at=LATER) is None


def put_a_secret_in(user: User) -> None:
    OneTimeCodes.objects.filter(who=user).update(secret=seal(b"y" * 20, user.pk))


def set_a_step_back(user: User) -> None:
    OneTimeCodes.objects.filter(who=user).update(last_step=0)


def take_the_row_out(user: User) -> None:
    OneTimeCodes.objects.filter(who=user).delete()


def take_all_out(user: User) -> None:
    take_the_row_out(user)
    RecoveryCode.objects.filter(who=user).delete()


def put_a_recovery_code_in(user: User) -> None:
    RecoveryCode.objects.create(who=user, digest="0" * 64)


def take_a_recovery_code_out(user: User) -> None:
    RecoveryCode.objects.filter(who=user).first().delete()  # type: ignore[union-attr]


PAST_THE_PROGRAM = [
    *(put_a_secret_in, set_a_step_back, take_the_row_out, take_all_out),
    *(put_a_recovery_code_in, take_a_recovery_code_out),
]


class TestPastTheProgram:
    """Whatever was changed beside the program is said, until a keeper has taken all away."""

    @pytest.mark.parametrize("change", PAST_THE_PROGRAM, ids=lambda one: one.__name__)
    def test_it_is_noticed_and_healed(self, her: User, keeper: User, change: Any) -> None:
        with_codes(her, NOON)
        assert why_codes_not_as_told(her) == ""
        change(her)
        assert "The one-time codes of p.lund were changed past" in why_codes_not_as_told(her)
        found = check_record(by=keeper, at=LATER)
        assert "The one-time codes of p.lund were changed past" in found.broken
        take_away(user=her, reason=REASON, by=keeper, at=LATER)
        assert why_codes_not_as_told(her) == ""
        assert codes.codes_of(her) is None

    def test_codes_put_in_where_there_never_were_any(self, her: User) -> None:
        assert why_codes_not_as_told(her) == ""
        OneTimeCodes.objects.create(who=her, secret="x", last_step=0, since=NOON)
        assert why_codes_not_as_told(her)

    def test_a_code_that_was_used_and_put_back(self, her: User) -> None:
        _, made = with_codes(her, NOON)
        before = list(RecoveryCode.objects.values("who_id", "digest"))
        use_code(user=her, typed=made[0], at=LATER)
        assert why_codes_not_as_told(her) == ""
        used = {row["digest"] for row in before} - set(
            RecoveryCode.objects.values_list("digest", flat=True)
        )
        RecoveryCode.objects.create(who=her, digest=used.pop())
        assert why_codes_not_as_told(her)

    def test_of_whom_they_are_asked(self, keeper: User) -> None:
        ask_codes_of(whom=Whom.EVERYBODY, by=keeper, at=NOON)
        CodesAsked.objects.bulk_create([CodesAsked(whom="nobody", by=keeper, at=NOON)])
        found = check_record(by=keeper, at=LATER)
        assert "no line of the record tells of it" in found.broken


class TestTakenAway:
    """Somebody lost the telephone."""

    def test_by_a_keeper_with_a_reason_and_told(self, her: User, keeper: User) -> None:
        with pytest.raises(Refused, match="no one-time codes"):
            take_away(user=her, reason=REASON, by=keeper, at=NOON)
        with_codes(her, NOON)
        with pytest.raises(Refused, match="Write down the reason"):
            take_away(user=her, reason="  ", by=keeper, at=NOON)
        take_away(user=her, reason=REASON, by=keeper, at=NOON)
        assert codes.codes_of(her) is None
        line = codes.taken_away(her)
        assert line is not None
        assert (line.actor, line.reason, line.object_id) == (keeper, REASON, str(her.pk))
        note_sign_in(by=her, session_key="x" * 32, user_agent="", at=LATER)
        assert codes.taken_away(her) is None
        assert verify_chain() is None

    def test_by_nobody_else_and_not_ones_own(self, her: User, keeper: User) -> None:
        with_codes(her, NOON)
        with_codes(keeper, NOON)
        with pytest.raises(Refused, match="look after the people"):
            take_away(user=keeper, reason=REASON, by=her, at=NOON)
        with pytest.raises(Refused, match="Your own"):
            take_away(user=keeper, reason=REASON, by=keeper, at=NOON)
        assert OneTimeCodes.objects.count() == 2

    def test_the_shell_takes_the_last_keepers_own(self, keeper: User, capsys: Any) -> None:
        with_codes(keeper, NOON)
        more = {"by": "k.vale", "reason": REASON}
        with pytest.raises(CommandError, match="user name nobody"):
            call_command("take_codes_away", "k.vale", **more | {"by": "nobody"})
        with pytest.raises(CommandError, match="Write down the reason"):
            call_command("take_codes_away", "k.vale", **more | {"reason": " "})
        call_command("take_codes_away", "k.vale", reason=REASON)
        assert "signs in with the password alone" in capsys.readouterr().out
        assert codes.codes_of(keeper) is None
        line = codes.taken_away(keeper)
        assert line is not None
        assert line.actor_name.startswith("on this machine, by the system user")


class TestAsked:
    """Of whom the clinic asks codes."""

    def test_set_by_a_keeper_and_on_record(self, her: User, keeper: User) -> None:
        assert asked_of() is Whom.NOBODY
        with pytest.raises(Refused, match="look after the people"):
            ask_codes_of(whom=Whom.EVERYBODY, by=her, at=NOON)
        for _ in range(2):
            ask_codes_of(whom=Whom.SIGNERS, by=keeper, at=NOON)
        assert written() == ["ask one-time codes"]
        assert codes.must_have_codes(her)
        assert not codes.must_have_codes(person_of(Role.ASSISTANT, username="a.holm"))

    def test_who_must_use_them_turns_none_off(self, her: User, keeper: User) -> None:
        with_codes(her, NOON)
        ask_codes_of(whom=Whom.EVERYBODY, by=keeper, at=NOON)
        with pytest.raises(Refused, match="They stay on"):
            turn_off(user=her, at=MOMENT)
        assert codes.codes_of(her) is not None
