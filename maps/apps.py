"""Start of the maps room: its sections are hung on the shared pages here."""

from django.apps import AppConfig


class MapsConfig(AppConfig):
    name = "maps"
    default_auto_field = "django.db.models.BigAutoField"

    def ready(self):
        from maps.pages import hang_on_pages

        hang_on_pages()
