"""Settings of the served app. What a clinic may set comes from CALCAR_ variables."""

import os
from pathlib import Path

import dj_database_url

from config.first_look import rows_are_there
from config.local import secret_key, time_zone
from programs import languages

BASE_DIR = Path(__file__).resolve().parent.parent
STATE_DIR = Path(os.environ.get("CALCAR_STATE", BASE_DIR / "var"))
#: Typefaces of the clinic's own, for letters of names that the bundled ones lack.
FONTS_DIR = Path(os.environ["CALCAR_FONTS"]) if os.environ.get("CALCAR_FONTS") else None
TLS = os.environ.get("CALCAR_TLS") == "1"
HOSTS = [name for name in os.environ.get("CALCAR_HOSTS", "").split(",") if name]

DEBUG = False
ALLOWED_HOSTS = ["127.0.0.1", "localhost", "[::1]", *HOSTS]

INSTALLED_APPS = [
    # First, for its changepassword stands in for Django's.
    "programs",
    "django.contrib.auth",
    "django.contrib.contenttypes",
    "django.contrib.sessions",
    "django.contrib.messages",
    "whitenoise.runserver_nostatic",
    "django.contrib.staticfiles",
    "crispy_forms",
    "crispy_bootstrap5",
    "js_lib_bootstrap5",
    "django_htmx",
    "patients",
    "safety",
]

# What stands as a mark in every picture on Measures; patients knows nothing of programs, so
# that the name is given here. Each takes a patient and returns patients.measured.chart.Mark.
MEASURES_MARKS = ["programs.views.chart_marks.signed_programs"]
# What every page of a patient says below her name, likewise. Each takes a patient and the context
# of the page and returns a list of patients.views.common.BannerNote.
BANNER_NOTES = ["programs.views.banner.banner_notes"]

# What stands under a record that was joined to another one, likewise. Each takes a patient and
# returns a list of patients.views.kept_under.KeptLine.
KEPT_UNDER = ["safety.views.kept_under.clearances", "programs.views.kept_under.programs"]

MIDDLEWARE = [
    "config.middleware.response_headers",
    "config.middleware.head_and_options",
    "config.middleware.title_of_an_error",
    "django.middleware.security.SecurityMiddleware",
    "whitenoise.middleware.WhiteNoiseMiddleware",
    "django.contrib.sessions.middleware.SessionMiddleware",
    "django.middleware.common.CommonMiddleware",
    "django.middleware.csrf.CsrfViewMiddleware",
    "django.contrib.auth.middleware.AuthenticationMiddleware",
    "config.middleware.nobody_on_her_phone",
    "config.middleware.sign_out_after_a_day",
    "config.middleware.keep_signed_in",
    "config.middleware.SignInRequired",
    "patients.middleware.remember_source",
    "patients.middleware.keep_looks",
    "django.contrib.messages.middleware.MessageMiddleware",
    "config.codes_first.CodesFirst",
    "patients.middleware.tell_of_erased",
    "patients.middleware.let_go_what_is_saved",
    "config.allowed.OnlyAllowed",
    "patients.middleware.FormsAsMade",
    "patients.middleware.OnlyOpenRecords",
    "django.middleware.clickjacking.XFrameOptionsMiddleware",
    "django_htmx.middleware.HtmxMiddleware",
    "programs.middleware.TellsWhatIsNotAsSigned",
]

ROOT_URLCONF = "config.urls"
WSGI_APPLICATION = "config.wsgi.application"

TEMPLATES = [
    {
        "BACKEND": "django.template.backends.django.DjangoTemplates",
        "DIRS": [BASE_DIR / "templates"],
        "APP_DIRS": True,
        "OPTIONS": {
            "context_processors": [
                "django.template.context_processors.request",
                "django.contrib.auth.context_processors.auth",
                "django.contrib.messages.context_processors.messages",
                "config.allowed.rights",
            ],
        },
    },
]
CRISPY_ALLOWED_TEMPLATE_PACKS = "bootstrap5"
CRISPY_TEMPLATE_PACK = "bootstrap5"
CRISPY_FAIL_SILENTLY = False

# A view that reads and then writes takes the write lock at its start (IMMEDIATE): a lock asked
# for half-way fails at once, whatever the timeout. For the same reason no ATOMIC_REQUESTS, which
# would make every page view a writer. FULL: a confirmed signature survives a power cut.
SQLITE_OPTIONS = {
    "timeout": 20,
    "transaction_mode": "IMMEDIATE",
    "init_command": "PRAGMA journal_mode=WAL; PRAGMA synchronous=FULL;",
}
DATABASES = {"default": dj_database_url.config(default=f"sqlite:///{STATE_DIR / 'calcar.sqlite3'}")}
if DATABASES["default"]["ENGINE"].endswith("sqlite3"):
    DATABASES["default"]["OPTIONS"] = SQLITE_OPTIONS

SECRET_KEY = secret_key(
    STATE_DIR / "secret_key", rows_are_there=lambda: rows_are_there({**DATABASES["default"]})
)

# Twelve hours at most, fifteen minutes without a request; a request starts the fifteen anew, and
# that is written once a minute.
SESSION_COOKIE_AGE = 15 * 60
SESSION_SAVE_EVERY_S = 60
SIGNED_IN_AT_MOST_S = 12 * 60 * 60
SESSION_COOKIE_NAME = "__Host-calcar_session" if TLS else "calcar_session"
CSRF_COOKIE_NAME = "__Host-calcar_form" if TLS else "calcar_form"
SESSION_COOKIE_SAMESITE = CSRF_COOKIE_SAMESITE = "Strict"
SESSION_COOKIE_HTTPONLY = CSRF_COOKIE_HTTPONLY = True
CSRF_FAILURE_VIEW = "config.views.form_expired"

SESSION_COOKIE_SECURE = CSRF_COOKIE_SECURE = SECURE_SSL_REDIRECT = TLS
SECURE_HSTS_SECONDS = 365 * 24 * 60 * 60 if TLS else 0
SECURE_HSTS_INCLUDE_SUBDOMAINS = SECURE_HSTS_PRELOAD = TLS
SECURE_REFERRER_POLICY = "same-origin"
X_FRAME_OPTIONS = "DENY"

# Each directive of the Content-Security-Policy header, on every answer.
CONTENT_SECURITY_POLICY = {
    "default-src": "'self'",
    "object-src": "'none'",
    "base-uri": "'none'",
    "frame-ancestors": "'none'",
    "form-action": "'self'",
}

# Eight weeks of a log in one form have some two thousand cells.
DATA_UPLOAD_MAX_NUMBER_FIELDS = 4000

LOGIN_URL = "sign_in"
LOGIN_REDIRECT_URL = "/"
LOGOUT_REDIRECT_URL = "sign_in"
# The first makes new hashes; a password hashed by another is hashed anew when it is next typed.
PASSWORD_HASHERS = [
    "django.contrib.auth.hashers.Argon2PasswordHasher",
    "django.contrib.auth.hashers.PBKDF2PasswordHasher",
    "django.contrib.auth.hashers.PBKDF2SHA1PasswordHasher",
    "django.contrib.auth.hashers.ScryptPasswordHasher",
]
AUTH_PASSWORD_VALIDATORS = [
    {
        "NAME": "django.contrib.auth.password_validation.MinimumLengthValidator",
        "OPTIONS": {"min_length": 15},
    },
    {"NAME": "config.password_rule.NotSoonGuessed"},
]

LANGUAGE_CODE = "en"
# Of the patients' papers alone; the pages are in English.
LANGUAGES = [(one.code, one.name) for one in languages.ready()]
# Before any other app's, so that a paper says what ours says.
LOCALE_PATHS = [BASE_DIR / "programs" / "locale"]
FORMAT_MODULE_PATH = ["config.formats"]
USE_TZ = True
TIME_ZONE = os.environ.get("CALCAR_TIME_ZONE") or time_zone()

STATIC_URL = "/static/"
STATICFILES_DIRS = [BASE_DIR / "static"]
# Static files are served from where they are: nothing to collect, nothing to go stale.
WHITENOISE_USE_FINDERS = True
WHITENOISE_ALLOW_ALL_ORIGINS = False

LOGGING = {
    "version": 1,
    "disable_existing_loggers": False,
    "formatters": {
        "line": {
            "()": "config.logs.WithoutCodes",
            "format": "{asctime} {levelname} {name}: {message}",
            "style": "{",
        }
    },
    "handlers": {"stderr": {"class": "logging.StreamHandler", "formatter": "line"}},
    "root": {"handlers": ["stderr"], "level": "WARNING"},
    "loggers": {"django": {"handlers": ["stderr"], "level": "ERROR", "propagate": False}},
}
