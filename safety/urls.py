from django.urls import URLPattern, path

from safety import views, views_risk

app_name = "safety"
urlpatterns: list[URLPattern] = [
    path("rulebook/", views.rulebook, name="rulebook"),
    path("patients/<int:patient_id>/screen/", views.screen, name="screen"),
    path("patients/<int:patient_id>/screen/clearance/", views.clearance_add, name="clearance_add"),
    path(
        "patients/<int:patient_id>/screen/clearance/<int:row_id>/withdraw/",
        views.clearance_withdraw,
        name="clearance_withdraw",
    ),
    path("patients/<int:patient_id>/risk/", views_risk.risk, name="risk"),
]
