"""Hazards of deciding and signing: over-reliance, no reason given, a signature that is none."""

from __future__ import annotations

from safety.hazards.hazard import (
    Carrier,
    Hazard,
    Likelihood,
    Severity,
    design,
    found,
    guard,
    risk,
    told,
)

OF_THE_SIGNATURE = (
    Hazard(
        code="H20",
        what="The draft is believed and not read",
        cause="It looks finished, and time is short.",
        harm="What an examination would have shown is not looked for.",
        before=risk(Severity.MAJOR, Likelihood.HIGH),
        controls=(
            told(
                "Each line says on which facts and source it rests, what is missing and what "
                "would change it.",
                found(
                    "programs/why/test_why.py",
                    "test_every_rule_has_ten_parts",
                    "test_everyone_s_plan_has_ten_parts_for_every_line",
                    "test_each_input_taken_away_is_named_as_missing",
                ),
            ),
            guard(
                "Nothing is chosen beforehand at a review, and a signature asks for the password "
                "again.",
                found("programs/views/test_review.py", "test_nothing_is_chosen_beforehand"),
                found(
                    "programs/views/test_sign.py",
                    "test_a_signature_needs_the_password_even_in_a_session",
                ),
            ),
        ),
        after=risk(Severity.MAJOR, Likelihood.MEDIUM),
        missing=(
            "Whether clinicians read what they sign was not tried with people.",
            "The proposals of a review can be taken as they are in one press.",
        ),
        left="The judgement itself.",
        carried_by=Carrier.CLINICIAN,
    ),
    Hazard(
        code="H08",
        what="A caution is passed over and nobody can say why",
        cause="More than the rules propose is entered without a word.",
        harm="The next reader takes it for the rule.",
        before=risk(Severity.CONSIDERABLE, Likelihood.HIGH),
        controls=(
            design(
                "More than proposed, and past a judgement, goes only with a written reason, "
                "kept with the limit.",
                found(
                    "programs/actions/test_editing.py",
                    "test_a_judgement_needs_a_reason_and_the_limit_is_written_down",
                    "test_leaving_out_needs_a_reason_and_is_taken_back",
                ),
                found(
                    "programs/actions/test_reviewing.py",
                    "test_more_than_proposed_needs_a_reason",
                ),
                found("programs/actions/test_signing.py", "test_what_is_signed_holds_all_of_it"),
            ),
            told(
                "The letter to the referring doctor tells each change.",
                found("programs/papers/test_summary.py", "test_the_summary_tells_each_change"),
            ),
        ),
        after=risk(Severity.CONSIDERABLE, Likelihood.VERY_LOW),
        missing=(),
        left="A reason that is none.",
        carried_by=Carrier.CLINICIAN,
    ),
    Hazard(
        code="H12",
        what="A program is changed after it was signed",
        cause="A change by hand in the database, an error, ill will.",
        harm="She is handed a dose that nobody signed.",
        before=risk(Severity.MAJOR, Likelihood.MEDIUM),
        controls=(
            design(
                "The pages refuse it, and so does the database itself.",
                found(
                    "programs/views/test_plan.py",
                    "test_every_edit_address_of_a_signed_plan_refuses_and_offers_a_version",
                ),
                found(
                    "programs/models/test_program.py",
                    "test_raw_sql_is_refused",
                    "test_the_triggers_stand_after_all_migrations",
                ),
            ),
            guard(
                "A text that is not the one sealed prints nothing; a look over the record names "
                "the program that was changed or signed again behind it.",
                found(
                    "programs/actions/test_papers.py",
                    "test_nothing_is_printed_from_a_text_that_does_not_hold",
                    "test_a_paper_that_changed_is_not_shown",
                ),
                found("programs/signed/test_snapshot.py", "test_each_flipped_bit_is_found"),
                found(
                    "programs/actions/test_record_check.py",
                    "test_a_changed_program_is_named",
                    "test_a_program_signed_anew_behind_the_record_is_named",
                ),
            ),
            guard(
                "Each signature has a seal with a key that is not in the database; every page "
                "and paper reads it verified, or says in words that it does not hold.",
                found(
                    "programs/actions/test_tampers.py",
                    "test_a_flip_in_a_signed_program_is_said_on_every_page",
                    "test_a_dose_changed_with_all_digests_made_anew_is_said",
                    "test_a_plan_changed_beside_its_signature_is_never_shown",
                ),
                found(
                    "programs/models/test_refused.py",
                    "test_nothing_of_a_plan_changes_once_it_is_signed",
                    "test_no_row_is_put_in_the_place_of_another",
                ),
            ),
        ),
        after=risk(Severity.MAJOR, Likelihood.LOW),
        missing=(),
        left="Who has the machine and its key has everything.",
        carried_by=Carrier.CLINIC,
    ),
    Hazard(
        code="H13",
        what="A signature is made twice, is lost, or stands over somebody else's",
        cause="A double click, a crash, two people at once.",
        harm="Two programs are in force, or none that she was told of.",
        before=risk(Severity.CONSIDERABLE, Likelihood.MEDIUM),
        controls=(
            design(
                "One form makes one signature, whole or not at all.",
                found(
                    "programs/actions/test_signing.py",
                    "test_a_second_click_gives_the_same_signature",
                    "test_five_at_once_make_one_signature",
                    "test_nobody_signs_over_somebody_elses_signature",
                ),
                found("browser/test_base_look.py", "test_a_second_click_sends_nothing"),
                found("programs/models/test_program.py", "test_the_chain_of_digests_cannot_fork"),
            ),
        ),
        after=risk(Severity.CONSIDERABLE, Likelihood.VERY_LOW),
        missing=(),
        left="After a crash, look whether it is signed.",
        carried_by=Carrier.MAKERS,
    ),
    Hazard(
        code="H24",
        what="Two people change the same record and one change is lost",
        cause="Both have the page open.",
        harm="A new fracture or a fall is overwritten by what was known before.",
        before=risk(Severity.MAJOR, Likelihood.MEDIUM),
        controls=(
            guard(
                "The second one sees both and chooses; what the other changed and she did not "
                "stays.",
                found(
                    "patients/actions/test_two_at_once.py",
                    "test_d06_the_second_saver_sees_both_and_may_choose",
                ),
                found("programs/actions/test_editing.py", "test_two_editors_notice_each_other"),
                found("programs/actions/test_log_days.py", "test_two_editors_notice_each_other"),
                found(
                    "programs/actions/test_many_at_once.py",
                    "test_d11_twenty_people_saving_at_once_all_are_kept",
                ),
            ),
            design(
                "A draft made from facts that have changed since is not signed.",
                found(
                    "programs/actions/test_signing.py",
                    "test_what_has_changed_since_is_drafted_anew",
                ),
            ),
        ),
        after=risk(Severity.MAJOR, Likelihood.VERY_LOW),
        missing=(),
        left="Whoever chooses between the two may choose wrongly.",
        carried_by=Carrier.MAKERS,
    ),
    Hazard(
        code="H70",
        what="Somebody signs who is not licensed to",
        cause="Somebody who prepares also signs, or an account has a role it should not have.",
        harm="No clinician has looked.",
        before=risk(Severity.MAJOR, Likelihood.MEDIUM),
        controls=(
            guard(
                "Nobody signs without a full name, which stays on the program as it was.",
                found(
                    "programs/actions/test_signing.py",
                    "test_a_signer_without_a_full_name_is_refused",
                    "test_the_name_stays_as_it_was_signed",
                ),
            ),
            guard(
                "Only who has the role of a clinician signs: the page, its address and the act "
                "itself ask. Each role given or taken is on record.",
                found(
                    "programs/actions/test_signing.py",
                    "test_whoever_does_not_sign_is_refused_though_the_button_was_there",
                ),
                found(
                    "config/test_rights_of_pages.py", "test_k04_refused_where_the_right_is_missing"
                ),
                found(
                    "patients/views/test_staff.py", "test_name_and_roles_are_changed_and_on_record"
                ),
            ),
        ),
        after=risk(Severity.MAJOR, Likelihood.LOW),
        missing=(),
        left="The clinic gives the role to those who are licensed; Calcar cannot look that up.",
        carried_by=Carrier.CLINIC,
    ),
    Hazard(
        code="H40",
        what="A plate is bought or used for what it does not do",
        cause="The trials are told from one side.",
        harm="Money and minutes go where nothing is gained, and something better is left out.",
        before=risk(Severity.SIGNIFICANT, Likelihood.HIGH),
        controls=(
            told(
                "Both sides stand for each aim, a retracted trial counts for nothing, and a "
                "gentle plate says that density did not gain.",
                found(
                    "programs/plates/test_evidence.py",
                    "test_both_sides_stand_where_the_sources_disagree",
                    "test_the_retracted_trial_is_listed_with_its_date_and_never_used",
                ),
                found(
                    "programs/draft/test_draft.py",
                    "test_a_low_magnitude_plate_says_plainly_that_density_did_not_gain",
                ),
                found("programs/actions/test_plates_for_a_person.py", "test_no_page_urges_anyone"),
            ),
            told(
                "What rests on a paper that was retracted, corrected or put under concern is "
                "listed, and a file that leaves a notice out is not taken in silence.",
                found(
                    "programs/views/test_evidence_watch.py",
                    "test_the_products_own_file_is_told_of_on_each_page",
                ),
                found(
                    "programs/actions/test_evidence_watch.py",
                    "test_an_older_one_or_one_that_says_less_asks_for_a_reason",
                ),
            ),
        ),
        after=risk(Severity.SIGNIFICANT, Likelihood.LOW),
        missing=(),
        left="Some figures were read in the abstract alone; each says so. How a paper stands is "
        "known only where somebody looked, and no page looks by itself.",
        carried_by=Carrier.CLINICIAN,
    ),
)
