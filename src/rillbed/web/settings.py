"""Django settings: one SQLite file, one data folder, nothing loaded from elsewhere."""

from __future__ import annotations

from rillbed.web.options import data_folder, secret_key

DATA = data_folder()
SECRET_KEY = secret_key(DATA)
DEBUG = False
ALLOWED_HOSTS = ["localhost", "127.0.0.1", "[::1]"]
INSTALLED_APPS = [
    "django.contrib.auth",
    "django.contrib.contenttypes",
    "django.contrib.sessions",
    "rillbed.web.log",
]
MIDDLEWARE = [
    "django.middleware.security.SecurityMiddleware",
    "rillbed.web.access.content_policy",
    "django.contrib.sessions.middleware.SessionMiddleware",
    "django.middleware.common.CommonMiddleware",
    "django.middleware.csrf.CsrfViewMiddleware",
    "django.contrib.auth.middleware.AuthenticationMiddleware",
    "django.contrib.auth.middleware.LoginRequiredMiddleware",
]
ROOT_URLCONF = "rillbed.web.urls"
DATABASES = {
    "default": {
        "ENGINE": "django.db.backends.sqlite3",
        "NAME": DATA / "rillbed.sqlite3",
        # A writer takes its lock at the start, so two writers wait for each other instead of failing half-way.
        "OPTIONS": {"transaction_mode": "IMMEDIATE", "timeout": 20, "init_command": "PRAGMA journal_mode=WAL;"},
    }
}
DEFAULT_AUTO_FIELD = "django.db.models.BigAutoField"
USE_TZ = True
TIME_ZONE = "UTC"
