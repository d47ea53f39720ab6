from django.apps import AppConfig


class ProgramsConfig(AppConfig):
    name = "programs"
    default_auto_field = "django.db.models.BigAutoField"
