from django.urls import URLPattern

app_name = "patients"
urlpatterns: list[URLPattern] = []
