"""The table of rights, read once by hand: a change here is a decision."""

from patients.staff.rights import ROLE_WORDS, RULES, Right, Role, rights_of, why_not

#: Clinician, assistant, keeper.
TABLE = {
    Right.READ: (1, 1, 0),
    Right.ENTER: (1, 1, 0),
    Right.JOIN: (1, 0, 0),
    Right.CLEAR: (1, 0, 0),
    Right.DRAFT: (1, 1, 0),
    Right.SIGN: (1, 0, 0),
    Right.PRINT: (1, 1, 0),
    Right.LOG: (1, 1, 0),
    Right.STOP: (1, 1, 0),
    Right.REVIEW: (1, 0, 0),
    Right.ERASE: (1, 0, 0),
    Right.LIMITS: (1, 0, 0),
    Right.SETTINGS: (1, 0, 1),
    Right.EVIDENCE: (0, 0, 1),
    Right.LOOK_OVER: (1, 0, 1),
    Right.PEOPLE: (0, 0, 1),
}


def test_who_may_do_what() -> None:
    held = {right: tuple(int(right in rights_of([role])) for role in Role) for right in RULES}
    assert held == TABLE
    assert set(RULES) == set(Right)


def test_roles_add_up_and_none_is_none() -> None:
    assert rights_of([]) == frozenset()
    assert rights_of([Role.CLINICIAN, Role.KEEPER]) == frozenset(Right)


def test_each_right_has_its_reason_and_each_role_its_words() -> None:
    assert all(len(rule.why.split()) >= 6 for rule in RULES.values())
    assert [*ROLE_WORDS] == [*Role]


def test_who_may_not_is_told_who_may() -> None:
    assert why_not(Right.SIGN) == (
        "Your account may not sign a program. The role that may: clinician."
    )
    assert "clinician or keeper" in why_not(Right.SETTINGS)
