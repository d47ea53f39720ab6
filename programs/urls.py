from django.urls import URLPattern

app_name = "programs"
urlpatterns: list[URLPattern] = []
