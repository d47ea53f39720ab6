from django.urls import URLPattern, path

from programs.views import caseload, edit, handout, log, plan, plates, review, sign

app_name = "programs"
urlpatterns: list[URLPattern] = [
    path("", caseload.caseload, name="caseload"),
    path("patients/<int:patient_id>/plan/", plan.plan, name="plan"),
    path("patients/<int:patient_id>/plan/draft/", plan.draft, name="plan_draft"),
    path("patients/<int:patient_id>/plan/undo/", plan.undo, name="plan_undo"),
    path("patients/<int:patient_id>/plan/<int:number>/", plan.version, name="plan_version"),
    path("patients/<int:patient_id>/plan/<slug:code>/", edit.edit, name="plan_edit"),
    path(
        "patients/<int:patient_id>/plan/<slug:code>/leave-out/",
        edit.leave_out,
        name="plan_leave_out",
    ),
    path("patients/<int:patient_id>/sign/", sign.sign, name="sign"),
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
    path("plates/", plates.plates, name="plates"),
    path("plates/add/", plates.plate_add, name="plate_add"),
    path("plates/import/", plates.plates_import, name="plates_import"),
    path("plates/<int:plate_id>/", plates.plate_change, name="plate_change"),
    path("plates/<int:plate_id>/measured/", plates.plate_measure, name="plate_measure"),
    path("plates/<int:plate_id>/retire/", plates.plate_retire, name="plate_retire"),
    path(
        "plates/measured/<int:measurement_id>/withdraw/",
        plates.plate_withdraw,
        name="plate_withdraw",
    ),
]
