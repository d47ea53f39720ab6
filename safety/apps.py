from django.apps import AppConfig


class SafetyConfig(AppConfig):
    name = "safety"
    default_auto_field = "django.db.models.BigAutoField"
