"""Rows of what comes in and goes out: text, files, pages, the papers, the browser."""

from __future__ import annotations

from config.asvs.row import Chapter, found, holds, not_here

_DOOR = "config/test_door.py"
_PAGES = "config/test_pages.py"
_MARKS = "patients/views/test_form_marks.py"

IN_AND_OUT = (
    Chapter(
        name="Text that comes in and goes out",
        rows=(
            holds(
                "1.2.1",
                1,
                "What somebody wrote is shown as text wherever it stands, never as markup.",
                found(
                    "patients/views/test_people_and_facts.py",
                    "test_c01_a_name_is_shown_as_it_is",
                    "test_odd_marks_in_a_form_do_no_harm",
                ),
                found(
                    "patients/views/test_files_and_laboratory.py",
                    "TestImport::test_a_cell_is_text_and_never_markup",
                ),
                found("rendered/test_handout_texts.py", "test_hostile_text_is_only_text"),
            ),
            holds(
                "1.2.4",
                1,
                "No query is put together from text.",
                found("gate/test_house_rules.py", "test_no_sql_by_hand"),
                found("patients/test_search.py", "test_hostile_searches_are_plain_text"),
                note="What is written as SQL names tables and columns alone; values are bound.",
            ),
            holds(
                "1.2.10",
                3,
                "No cell of a table that is given out sets off a formula; numbers stand bare.",
                found(
                    "patients/files/test_rows.py",
                    "TestRoundTrip::test_e07_no_cell_of_text_sets_off_a_formula_and_numbers_stand_bare",
                ),
                found(
                    "programs/views/test_record.py",
                    "test_the_file_holds_all_lines_and_no_formula",
                ),
                found(
                    "programs/outcomes/test_figures.py",
                    "test_text_that_sets_off_a_formula_is_guarded_and_numbers_stand_bare",
                ),
            ),
            holds(
                "1.3.6, 13.2.4",
                2,
                "Nothing is fetched but what is on a fixed list; no request leaves the machine.",
                found("rendered/test_press.py", "test_what_is_asked_for_outside_is_refused"),
                found(
                    "rendered/test_handout_texts.py",
                    "test_the_fetcher_stops_the_printing",
                    "test_the_canary_would_have_sung",
                ),
                found("gate/test_house_rules.py", "test_no_page_reaches_outside_or_runs_inline"),
                found("gate/test_guards.py", "test_no_connection_leaves_this_machine"),
                note="The list is one style sheet and the typefaces of the papers.",
            ),
            holds(
                "1.3.7",
                2,
                "No template is made from what somebody wrote.",
                found("rendered/test_handout_texts.py", "test_hostile_text_is_only_text"),
                found(
                    "patients/views/test_people_and_facts.py", "test_c01_a_name_is_shown_as_it_is"
                ),
            ),
            holds(
                "1.5.2",
                2,
                "Nothing that is read can become running code.",
                found(_DOOR, "test_nothing_is_read_that_could_run"),
            ),
        ),
    ),
    Chapter(
        name="The order of the work",
        rows=(
            holds(
                "2.1.2, 2.2.3",
                2,
                "Facts that do not fit together are noticed, by rules that are written down.",
                found(
                    "patients/facts/test_document.py",
                    "test_what_is_refused_and_where",
                    "test_days_lie_between_birth_and_assessment",
                ),
                found("patients/test_rows_to_facts.py", "test_what_does_not_fit_together_is_named"),
                note="The rules are the declarations of the facts (patients/facts/declared.py).",
            ),
            holds(
                "2.2.2",
                1,
                "Whatever the browser checks, the server checks.",
                found("test_every_form.py", "test_no_form_makes_it_fail"),
                found(
                    "patients/views/test_people_and_facts.py",
                    "test_b13_no_page_has_a_number_input",
                ),
                note="The browser checks nothing: every limit of a form is the server's.",
            ),
            holds(
                "2.3.1",
                1,
                "Steps are taken in their order, and none is left out.",
                found(
                    "programs/views/test_after_signing.py",
                    "test_d12_no_form_of_a_signed_plan_changes_it",
                ),
                found(
                    "programs/actions/test_signing.py",
                    "test_an_older_lock_and_a_dropped_draft_are_refused",
                    "test_what_has_changed_since_is_drafted_anew",
                    "test_nothing_is_issued_while_a_red_flag_stands",
                ),
                found(
                    "config/test_second_step.py",
                    "test_no_code_is_asked_for_before_the_right_password",
                ),
            ),
            holds(
                "2.3.3",
                2,
                "A step is done wholly or not at all.",
                found(
                    "patients/actions/test_patient_record.py",
                    "test_save_section_adds_rows_and_answers_together_or_neither",
                ),
                found(
                    "programs/views/test_full_disk.py",
                    "test_o09_nothing_half_is_signed_on_a_full_disk",
                ),
            ),
            holds(
                "2.4.1",
                2,
                "What costs much is bounded, and the pages still answer.",
                found(
                    "programs/actions/test_pdf_process.py",
                    "test_one_thread_is_always_left_for_the_pages",
                ),
                found(
                    "rendered/test_press.py",
                    "test_what_takes_too_long_is_stopped",
                    "test_what_takes_too_much_memory_is_stopped",
                ),
                found(
                    "programs/management/test_serve.py",
                    "TestBounds::test_half_open_connections_stop_nobody",
                    "TestBounds::test_a_huge_body_is_refused_before_it_is_read",
                ),
            ),
            holds(
                "15.3.3",
                2,
                "A field that a form does not have is not taken.",
                found(_DOOR, "test_fields_that_no_form_has_are_not_taken"),
            ),
            holds(
                "15.4.2",
                3,
                "What is looked at and what is done after it are one.",
                found("programs/actions/test_signing.py", "test_five_at_once_make_one_signature"),
                found(
                    "patients/actions/test_guessing.py",
                    "test_k07_a_burst_over_several_servers_gets_five_in_all",
                ),
                found(
                    "programs/views/test_after_signing.py",
                    "test_d01_five_clicks_on_sign_are_one_signature",
                ),
            ),
        ),
    ),
    Chapter(
        name="Files",
        rows=(
            not_here(
                "3.2.1",
                1,
                "A file that somebody sent is never shown as a page.",
                "No file that was sent is ever given out: it is read as a table and what it says "
                "is shown as text. Whoever sent it sees it, nobody else.",
                found(
                    "patients/views/test_files_and_laboratory.py",
                    "TestImport::test_nobody_else_s_file",
                    "TestImport::test_a_cell_is_text_and_never_markup",
                ),
            ),
            holds(
                "5.1.1, 5.2.1, 5.2.2",
                1,
                "Of a file the size, the kind and the content are looked at before it is taken.",
                found(
                    "patients/views/test_files_and_laboratory.py",
                    "TestImport::test_no_file",
                    "TestImport::test_too_large",
                ),
                found(
                    "patients/files/test_files.py",
                    "TestBytes::test_what_is_no_text_is_refused",
                    "TestBytes::test_as_large_as_is_taken",
                    "TestGrid::test_most_rows_and_columns",
                    "TestHeads::test_what_does_not_fit_is_refused",
                ),
                found("programs/views/test_log_files.py", "test_no_file_and_one_too_large"),
            ),
            holds(
                "5.3.2, 5.4.1, 5.4.2",
                2,
                "Names of files are made by the server, of letters that lead nowhere.",
                found(
                    "programs/views/test_person_export.py",
                    "test_the_file_is_named_by_the_id_and_told_on_the_page",
                ),
                note="No name of a file that was sent is used; names are made of numbers and of "
                "words of the program.",
            ),
        ),
    ),
    Chapter(
        name="The browser",
        rows=(
            holds(
                "3.3.1 to 3.3.4",
                2,
                "Cookies are held to this place: Secure, __Host-, HttpOnly, SameSite.",
                found(_DOOR, "test_no_cookie_is_loose"),
                note="Where it is served by TLS. On the machine itself, without TLS, they are "
                "HttpOnly and SameSite.",
            ),
            holds(
                "3.4.1",
                1,
                "Browsers are told to come by TLS alone, for a year.",
                found(_DOOR, "test_by_tls_alone_and_for_a_year"),
                found("gate/test_tools.py", "test_ready_to_be_served_by_tls"),
            ),
            holds(
                "3.4.3 to 3.4.6",
                2,
                "Each answer says what a page may load, who may frame it, what it tells others.",
                found(_DOOR, "test_every_answer_has_the_headers_and_asking_changes_nothing"),
                found(_PAGES, "test_headers_on_every_answer"),
                found(
                    "patients/views/test_people_and_facts.py",
                    "test_no_page_has_inline_style_or_script",
                ),
            ),
            holds(
                "3.5.1, 3.5.3",
                1,
                "No other site can send a form in her name, and asking for a page changes nothing.",
                found(
                    _DOOR,
                    "test_no_form_is_taken_without_its_token_against_forgery",
                    "test_every_answer_has_the_headers_and_asking_changes_nothing",
                ),
                found(_PAGES, "TestLateForm::test_another_sites_form_is_not_offered_for_sending"),
                found(
                    _MARKS,
                    "test_no_page_of_a_patient_takes_a_form_without_her_mark",
                    "test_no_other_page_takes_a_form_without_the_mark_of_this_life",
                ),
                found(
                    "patients/views/test_people_and_facts.py",
                    "test_every_page_takes_few_queries_and_changes_nothing",
                ),
            ),
            holds(
                "14.3.1 to 14.3.3",
                2,
                "Nothing of a patient stays in the browser.",
                found(
                    _DOOR,
                    "test_every_answer_has_the_headers_and_asking_changes_nothing",
                    "test_signing_out_asks_the_browser_to_forget",
                ),
                note="The log that is carried away on purpose keeps its days in the browser that "
                "opens it, without a name.",
            ),
        ),
    ),
)
