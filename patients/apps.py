from django.apps import AppConfig


class PatientsConfig(AppConfig):
    name = "patients"
    default_auto_field = "django.db.models.BigAutoField"
