"""Addresses of the app. Every page needs a signed-in person unless it says otherwise."""

from django.contrib.auth.views import LoginView, LogoutView
from django.urls import include, path

from config import views
from config.sign_in import SignInForm

handler400 = views.bad_request
handler403 = views.not_allowed
handler404 = views.not_found
handler500 = views.failed

sign_in = LoginView.as_view(
    template_name="registration/sign_in.html",
    authentication_form=SignInForm,
    redirect_authenticated_user=True,
)

urlpatterns = [
    path("sign-in/", sign_in, name="sign_in"),
    path("sign-out/", LogoutView.as_view(), name="sign_out"),
    path("password/", views.ChangePassword.as_view(), name="password_change"),
    path("stay/", views.stay, name="stay"),
    path("", include("patients.urls")),
    path("", include("safety.urls")),
    path("", include("programs.urls")),
]
