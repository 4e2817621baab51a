"""Start of the inspections room: its sections are hung on the shared pages here."""

from django.apps import AppConfig


class InspectionsConfig(AppConfig):
    name = "inspections"
    default_auto_field = "django.db.models.BigAutoField"

    def ready(self) -> None:
        # Pages read models, which are not there before this moment.
        from inspections import pages

        pages.register()
