"""Settings of the tests: those of the served app, made quick and the same on every machine."""

import os
import tempfile
from pathlib import Path

from config.settings import *  # noqa: F403
from config.settings import DATABASES, SQLITE_OPTIONS

SECRET_KEY = "the tests' key, never used by a served app, long enough for the deploy checks"
TIME_ZONE = "Europe/London"
ALLOWED_HOSTS = ["testserver", "127.0.0.1", "localhost"]
# Nothing of a test is written beside the clinic's own database.
STATE_DIR = Path(tempfile.gettempdir()) / f"calcar-test-{os.getpid()}"
FONTS_DIR = None
PASSWORD_HASHERS = ["django.contrib.auth.hashers.MD5PasswordHasher"]

# In a file, as served: threads of the live server have connections of their own.
if "DATABASE_URL" not in os.environ:
    database = Path(tempfile.gettempdir()) / f"calcar-test-{os.getpid()}.sqlite3"
    DATABASES["default"]["TEST"] = {"NAME": str(database)}
    DATABASES["default"]["OPTIONS"] = SQLITE_OPTIONS | {
        "init_command": "PRAGMA journal_mode=WAL; PRAGMA synchronous=OFF;"
    }
