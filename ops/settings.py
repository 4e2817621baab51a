"""Settings of a running site, each from one environment variable with a safe default.

What a site writes (database, uploads, sockets, the key) lives in STATE_DIR, `.state/` beside this checkout.
"""

import importlib.util
import os
import secrets
from pathlib import Path

import dj_database_url
from django.core.exceptions import ImproperlyConfigured

# One thread of linear algebra a process, before numpy is loaded: the matrices here are small, and several workers whose
# threads fight for the same processors take many times as long. A value given from outside stands.
for _threads in ("OPENBLAS_NUM_THREADS", "OMP_NUM_THREADS", "MKL_NUM_THREADS"):
    os.environ.setdefault(_threads, "1")

BASE_DIR = Path(__file__).resolve().parent.parent
STATE_DIR = Path(os.environ.get("SPANLEDGER_STATE", BASE_DIR / ".state"))
# Records, photographs and the key: nobody else on the machine may look in, whichever program comes first.
STATE_DIR.mkdir(mode=0o700, parents=True, exist_ok=True)

DEBUG = os.environ.get("SPANLEDGER_DEBUG") == "1"


def _secret_key() -> str:
    """The site's own key: made once, kept readable by its owner only."""
    if given := os.environ.get("SPANLEDGER_SECRET_KEY"):
        return given
    path = STATE_DIR / "secret-key"
    try:
        # O_EXCL: two processes starting at once must not each make a key.
        with os.fdopen(os.open(path, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600), "w") as handle:
            handle.write(secrets.token_urlsafe(64))
    except FileExistsError:
        pass
    key = path.read_text()
    if not key:
        raise ImproperlyConfigured(f"{path} is empty: delete it and start again, or set SPANLEDGER_SECRET_KEY.")
    return key


SECRET_KEY = _secret_key()
ALLOWED_HOSTS = os.environ.get("SPANLEDGER_HOSTS", "localhost,127.0.0.1,[::1],testserver").split(",")
CSRF_TRUSTED_ORIGINS = [o for o in os.environ.get("SPANLEDGER_ORIGINS", "").split(",") if o]

INSTALLED_APPS = [
    "maps",
    "inspections",
    "inventory",
    "django.contrib.admin",
    "django.contrib.auth",
    "django.contrib.contenttypes",
    "django.contrib.sessions",
    "django.contrib.messages",
    "whitenoise.runserver_nostatic",
    "django.contrib.staticfiles",
    "django_filters",
    "django_htmx",
]

MIDDLEWARE = [
    "django.middleware.security.SecurityMiddleware",
    "whitenoise.middleware.WhiteNoiseMiddleware",
    "inventory.views.middleware.ContentSecurityPolicy",
    "django.contrib.sessions.middleware.SessionMiddleware",
    "django.middleware.common.CommonMiddleware",
    "django.middleware.csrf.CsrfViewMiddleware",
    "django.contrib.auth.middleware.AuthenticationMiddleware",
    "django.contrib.auth.middleware.LoginRequiredMiddleware",
    "django.contrib.messages.middleware.MessageMiddleware",
    "django.middleware.clickjacking.XFrameOptionsMiddleware",
    "django_htmx.middleware.HtmxMiddleware",
]

ROOT_URLCONF = "ops.urls"
WSGI_APPLICATION = "ops.wsgi.application"
AUTH_USER_MODEL = "inventory.Person"
LOGIN_URL = "inventory:sign_in"
LOGIN_REDIRECT_URL = "/"
LOGOUT_REDIRECT_URL = "inventory:sign_in"

TEMPLATES = [
    {
        "BACKEND": "django.template.backends.django.DjangoTemplates",
        "APP_DIRS": True,
        "OPTIONS": {
            "context_processors": [
                "django.template.context_processors.request",
                "django.contrib.auth.context_processors.auth",
                "django.contrib.messages.context_processors.messages",
                "inventory.pages.frame",
            ]
        },
    }
]

SQLITE_OPTIONS = {
    # An acknowledged write survives a power cut (synchronous FULL in WAL), and a writer waits its turn at BEGIN
    # instead of failing in the middle (IMMEDIATE).
    "transaction_mode": "IMMEDIATE",
    "timeout": 30,
    "init_command": (
        "PRAGMA journal_mode=WAL; PRAGMA synchronous=FULL; PRAGMA foreign_keys=ON; PRAGMA cache_size=-64000;"
    ),
}


def _database() -> dict:
    url = os.environ.get("DATABASE_URL") or f"sqlite:///{STATE_DIR / 'spanledger.sqlite3'}"
    try:
        database = dj_database_url.parse(url, conn_max_age=60)
    except Exception as problem:
        raise ImproperlyConfigured(
            f"DATABASE_URL is not understood ({problem}); write sqlite:////path/file or postgresql://user@host/name."
        ) from problem
    if database["ENGINE"].endswith("sqlite3"):
        database["OPTIONS"] = {**SQLITE_OPTIONS}
        # A closed connection per request keeps WAL checkpoints short.
        database["CONN_MAX_AGE"] = 0
        # Threads of a live test server see one database only if the test database is a file.
        database["TEST"] = {"NAME": os.environ.get("SPANLEDGER_TEST_SQLITE") or None}
    elif not database["ENGINE"].endswith("postgresql"):
        raise ImproperlyConfigured("DATABASE_URL must be a sqlite or a postgresql address.")
    return database


DATABASES = {"default": _database()}
DEFAULT_AUTO_FIELD = "django.db.models.BigAutoField"

PASSWORD_HASHERS = [
    "django.contrib.auth.hashers.ScryptPasswordHasher",
    "django.contrib.auth.hashers.PBKDF2PasswordHasher",
]
AUTH_PASSWORD_VALIDATORS = [
    {"NAME": "django.contrib.auth.password_validation.UserAttributeSimilarityValidator"},
    {"NAME": "django.contrib.auth.password_validation.MinimumLengthValidator", "OPTIONS": {"min_length": 12}},
    {"NAME": "django.contrib.auth.password_validation.CommonPasswordValidator"},
]

LANGUAGE_CODE = "en-us"
TIME_ZONE = os.environ.get("SPANLEDGER_TIME_ZONE", "America/Chicago")
USE_I18N = False
USE_TZ = True

STATIC_URL = "/static/"
STATIC_ROOT = STATE_DIR / "static"
# The Leaflet files come out of the installed package; its Django application is not used (it wants a system GDAL).
STATICFILES_DIRS = [Path(importlib.util.find_spec("leaflet").origin).parent / "static"]
STORAGES = {
    "default": {"BACKEND": "django.core.files.storage.FileSystemStorage"},
    "staticfiles": {"BACKEND": "whitenoise.storage.CompressedManifestStaticFilesStorage"},
}
WHITENOISE_USE_FINDERS = DEBUG
MEDIA_ROOT = STATE_DIR / "files"
FILE_UPLOAD_PERMISSIONS = 0o640
DATA_UPLOAD_MAX_MEMORY_SIZE = 5 * 1024 * 1024
DATA_UPLOAD_MAX_NUMBER_FIELDS = 5000
# The national file of one State is under 20 MB; what is larger is not one county's records.
RECORD_FILE_MAX_BYTES = 100 * 1024 * 1024

# Cookies travel only over TLS where the server says it speaks TLS.
TLS = os.environ.get("SPANLEDGER_TLS") == "1"
SESSION_COOKIE_SECURE = CSRF_COOKIE_SECURE = TLS
SESSION_COOKIE_HTTPONLY = True
SESSION_COOKIE_SAMESITE = "Lax"
# A device in the field is answered in JSON.
CSRF_FAILURE_VIEW = "inspections.views.field_access.csrf_failure"
SECURE_CONTENT_TYPE_NOSNIFF = True
SECURE_REFERRER_POLICY = "same-origin"
X_FRAME_OPTIONS = "DENY"
SECURE_HSTS_SECONDS = 31536000 if TLS and os.environ.get("SPANLEDGER_HSTS") == "1" else 0

SILENCED_SYSTEM_CHECKS = [
    "security.W005",  # subdomains of a county's name are not this site's to promise
    "security.W008",  # the server speaks either TLS or, on one machine, plain HTTP: there is nothing to redirect
    "security.W021",  # a browser's preload list is the county's to join
]

MESSAGE_STORAGE = "django.contrib.messages.storage.session.SessionStorage"

# The table is the queue: a lost message costs one sweep, so the broker may be a folder on this disk.
BROKER_FOLDER = STATE_DIR / "broker"
CELERY_BROKER_URL = os.environ.get("SPANLEDGER_BROKER") or os.environ.get("REDIS_URL") or "filesystem://"
CELERY_TASK_IGNORE_RESULT = True
CELERY_TASK_ACKS_LATE = True
CELERY_TASK_REJECT_ON_WORKER_LOST = True
CELERY_WORKER_PREFETCH_MULTIPLIER = 1
CELERY_TASK_TIME_LIMIT = 600
CELERY_TIMEZONE = TIME_ZONE
CELERY_BROKER_CONNECTION_RETRY_ON_STARTUP = True
# A nudge that cannot be sent must not hold the page: the sweep will find the row.
CELERY_TASK_PUBLISH_RETRY = False
if CELERY_BROKER_URL.startswith("filesystem"):
    for folder in ("messages", "control"):
        (BROKER_FOLDER / folder).mkdir(parents=True, exist_ok=True)
    CELERY_BROKER_TRANSPORT_OPTIONS = {
        "data_folder_in": str(BROKER_FOLDER / "messages"),
        "data_folder_out": str(BROKER_FOLDER / "messages"),
        "control_folder": str(BROKER_FOLDER / "control"),
    }
else:
    CELERY_BROKER_TRANSPORT_OPTIONS = {
        "visibility_timeout": 1200,
        "socket_connect_timeout": 2,
        "socket_timeout": 10,
    }

# How often the sweeps look for owed work, in seconds.
SWEEP_SECONDS = int(os.environ.get("SPANLEDGER_SWEEP_SECONDS", "60"))

LOGGING = {
    "version": 1,
    "disable_existing_loggers": False,
    "formatters": {"line": {"format": "%(asctime)s %(levelname)s %(name)s %(message)s"}},
    "handlers": {"console": {"class": "logging.StreamHandler", "formatter": "line"}},
    "root": {"handlers": ["console"], "level": os.environ.get("SPANLEDGER_LOG", "INFO")},
}
