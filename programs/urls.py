from django.urls import URLPattern, path

from programs.views import handout, log, review

app_name = "programs"
urlpatterns: list[URLPattern] = [
    path("patients/<int:patient_id>/handout/", handout.handout, name="handout"),
    path("patients/<int:patient_id>/draft.pdf", handout.draft_pdf, name="draft_pdf"),
    path(
        "patients/<int:patient_id>/handout/<int:handout_id>.pdf",
        handout.handout_pdf,
        name="handout_pdf",
    ),
    path(
        "patients/<int:patient_id>/programs/<int:signed_id>/days.ics",
        handout.session_calendar,
        name="session_calendar",
    ),
    path("papers/questions.pdf", handout.questionnaire, name="questionnaire"),
    path("patients/<int:patient_id>/log/", log.log, name="log"),
    path("patients/<int:patient_id>/log/add/", log.log_add, name="log_add"),
    path(
        "patients/<int:patient_id>/log/<int:row_id>/withdraw/",
        log.log_withdraw,
        name="log_withdraw",
    ),
    path("patients/<int:patient_id>/review/", review.review, name="review"),
    path("patients/<int:patient_id>/review/decide/", review.review_decide, name="review_decide"),
]
