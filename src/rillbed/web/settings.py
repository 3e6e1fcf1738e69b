"""Django settings: one database, one data folder, nothing loaded from elsewhere."""

from __future__ import annotations

from pathlib import Path

from rillbed.tongue import LOCALE
from rillbed.web.database import database
from rillbed.web.options import address, data_folder, hosts, secret_key

WEB = Path(__file__).parent
DATA = data_folder()
SECRET_KEY = secret_key(DATA)
DEBUG = False
ADDRESS = address()
ALLOWED_HOSTS = hosts(ADDRESS.host)
FORCE_SCRIPT_NAME = ADDRESS.path
CSRF_TRUSTED_ORIGINS = [ADDRESS.origin] if ADDRESS.origin else []
if ADDRESS.https:
    # Only behind a proxy that speaks https and says so; it must set this header itself, whatever came in.
    SECURE_PROXY_SSL_HEADER = ("HTTP_X_FORWARDED_PROTO", "https")
    SESSION_COOKIE_SECURE = CSRF_COOKIE_SECURE = True
SESSION_COOKIE_PATH = CSRF_COOKIE_PATH = ADDRESS.path or "/"
INSTALLED_APPS = [
    "django.contrib.auth",
    "django.contrib.contenttypes",
    "django.contrib.sessions",
    "django.contrib.messages",
    "django.contrib.staticfiles",
    "rillbed.web.log",
    "rillbed.web.forecasts",
    "rillbed.web.people",
    "rillbed.web.api",
    "rillbed.web.calendar",
]
MIDDLEWARE = [
    "rillbed.web.access.content_policy",
    # Tokens in forms are masked anew in every page, and a name of random length is sent along: what is packed with a
    # secret cannot be told from how long it gets.
    "django.middleware.gzip.GZipMiddleware",
    "django.middleware.security.SecurityMiddleware",
    "whitenoise.middleware.WhiteNoiseMiddleware",
    "django.contrib.sessions.middleware.SessionMiddleware",
    "rillbed.web.frame.tongue.spoken",
    "django.middleware.common.CommonMiddleware",
    "django.middleware.csrf.CsrfViewMiddleware",
    "django.contrib.auth.middleware.AuthenticationMiddleware",
    "rillbed.web.offline.replies.replies",
    "django.contrib.auth.middleware.LoginRequiredMiddleware",
    "rillbed.web.frame.roles.Roles",
    "django.contrib.messages.middleware.MessageMiddleware",
    "django.middleware.clickjacking.XFrameOptionsMiddleware",
]
ROOT_URLCONF = "rillbed.web.urls"
TEMPLATES = [
    {
        "BACKEND": "django.template.backends.django.DjangoTemplates",
        "DIRS": [WEB],  # a page's template lies beside its view
        "OPTIONS": {
            "builtins": ["rillbed.web.frame.filters"],
            "context_processors": [
                "django.template.context_processors.request",
                "django.contrib.auth.context_processors.auth",
                "django.contrib.messages.context_processors.messages",
                "rillbed.web.frame.context.frame",
            ],
        },
    }
]
STATIC_URL = f"{ADDRESS.path or ''}/static/"
STATICFILES_DIRS = [WEB / "static"]
STATICFILES_FINDERS = ["django.contrib.staticfiles.finders.FileSystemFinder"]
WHITENOISE_USE_FINDERS = True  # straight from the installed package; there is nothing to collect
DATABASES = {"default": database(DATA)}
FILE_UPLOAD_HANDLERS = [
    "rillbed.web.access.Bounded",
    "django.core.files.uploadhandler.MemoryFileUploadHandler",
    "django.core.files.uploadhandler.TemporaryFileUploadHandler",
]
DEFAULT_AUTO_FIELD = "django.db.models.BigAutoField"
LOGIN_URL = "sign-in"
LOGIN_REDIRECT_URL = "today"
LOGOUT_REDIRECT_URL = "sign-in"
AUTH_PASSWORD_VALIDATORS = [
    {"NAME": "django.contrib.auth.password_validation.MinimumLengthValidator", "OPTIONS": {"min_length": 12}},
    {"NAME": "django.contrib.auth.password_validation.CommonPasswordValidator"},
]
SESSION_COOKIE_AGE = 90 * 24 * 3600  # a season without asking again on the same phone
MESSAGE_STORAGE = "django.contrib.messages.storage.session.SessionStorage"
USE_TZ = True
LANGUAGE_CODE = "en"
LOCALE_PATHS = [LOCALE]  # one catalogue for templates and for what Python says
TIME_ZONE = "UTC"
# Faults and the worker's say go to where the server was started; without this Django keeps them to itself.
LOGGING = {
    "version": 1,
    "disable_existing_loggers": False,
    "formatters": {"line": {"format": "{asctime} {levelname} {name}: {message}", "style": "{"}},
    "filters": {"no_secrets": {"()": "rillbed.web.access.NoSecrets"}},
    "handlers": {"console": {"class": "logging.StreamHandler", "formatter": "line", "filters": ["no_secrets"]}},
    "loggers": {
        "django": {"handlers": ["console"], "level": "ERROR", "propagate": False},
        "rillbed": {"handlers": ["console"], "level": "INFO"},
    },
}
