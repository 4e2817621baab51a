"""The door of the production web server."""

import os

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "ops.settings")

from django.core.wsgi import get_wsgi_application  # noqa: E402

import ops.celery  # noqa: E402, F401  (shared tasks need the application before the first nudge)

application = get_wsgi_application()
