from django.urls import URLPattern, path

from patients.views import facts, files, laboratory, measures, people, previsit, scanners

app_name = "patients"
urlpatterns: list[URLPattern] = [
    path("patients/", people.caseload, name="caseload"),
    path("patients/new/", people.new, name="new"),
    path("patients/<int:patient_id>/change/", people.change, name="change"),
    path("patients/<int:patient_id>/facts/", facts.facts, name="facts"),
    path("patients/<int:patient_id>/facts/previsit/", previsit.previsit, name="previsit"),
    path("patients/<int:patient_id>/facts/<slug:code>/", facts.section, name="section"),
    path(
        "patients/<int:patient_id>/withdraw/<slug:kind>/<int:row_id>/",
        facts.withdraw,
        name="withdraw",
    ),
    path("patients/<int:patient_id>/measures/", measures.measures, name="measures"),
    path("patients/<int:patient_id>/export.csv", measures.export, name="export"),
    path("scanners/", scanners.scanners, name="scanners"),
    path("scanners/<int:scanner_id>/", scanners.scanner, name="scanner"),
    path("scanners/<int:scanner_id>/change/", scanners.change, name="scanner_change"),
    path("scanners/studies/<int:study_id>/withdraw/", scanners.strike, name="study_withdraw"),
    path("laboratory/", laboratory.laboratory, name="laboratory"),
    path(
        "laboratory/<int:error_id>/withdraw/",
        laboratory.strike,
        name="marker_error_withdraw",
    ),
    path("import/", files.send, name="import"),
    path("import/<int:file_id>/", files.parked, name="import_file"),
]
