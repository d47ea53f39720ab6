"""Addresses of the app. Every page needs a signed-in person unless it says otherwise."""

from django.urls import include, path

from config import views
from config.door import door
from config.second_step import sign_in_code
from config.sign_in import ChangePassword, SignIn, SignOut
from patients.views import account
from patients.views.form_marks import of_any_life

handler400 = views.bad_request
handler403 = views.not_allowed
handler404 = views.not_found
handler500 = views.failed

urlpatterns = [
    path("sign-in/", of_any_life(SignIn.as_view()), name="sign_in"),
    path("sign-in/code/", sign_in_code, name="sign_in_code"),
    path("sign-out/", of_any_life(SignOut.as_view()), name="sign_out"),
    path("password/", ChangePassword.as_view(), name="password_change"),
    path("stay/", views.stay, name="stay"),
    path("time-left/", views.time_left, name="time_left"),
    path("new-password/", account.new_password, name="new_password"),
    path("clinic/door/", door, name="door"),
    path("", include("patients.urls")),
    path("", include("safety.urls")),
    path("", include("programs.urls")),
]
