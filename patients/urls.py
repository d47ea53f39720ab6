from django.urls import URLPattern, path

from patients.views import facts, people

app_name = "patients"
urlpatterns: list[URLPattern] = [
    path("patients/", people.caseload, name="caseload"),
    path("patients/new/", people.new, name="new"),
    path("patients/<int:patient_id>/change/", people.change, name="change"),
    path("patients/<int:patient_id>/facts/", facts.facts, name="facts"),
    path("patients/<int:patient_id>/facts/<slug:code>/", facts.section, name="section"),
    path(
        "patients/<int:patient_id>/withdraw/<slug:kind>/<int:row_id>/",
        facts.withdraw,
        name="withdraw",
    ),
]
