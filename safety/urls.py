from django.urls import URLPattern, path

from safety.views import risk, screen

app_name = "safety"
urlpatterns: list[URLPattern] = [
    path("rulebook/", screen.rulebook, name="rulebook"),
    path("patients/<int:patient_id>/screen/", screen.screen, name="screen"),
    path("patients/<int:patient_id>/screen/clearance/", screen.clearance_add, name="clearance_add"),
    path(
        "patients/<int:patient_id>/screen/clearance/<int:row_id>/withdraw/",
        screen.clearance_withdraw,
        name="clearance_withdraw",
    ),
    path("patients/<int:patient_id>/risk/", risk.risk, name="risk"),
]
