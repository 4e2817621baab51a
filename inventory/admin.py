"""The administrator's room: agencies, people and what each may do; the events, to read only."""

from django.contrib import admin
from django.contrib.auth.admin import UserAdmin
from django.contrib.auth.models import Group
from django.utils import timezone

from inventory.actions.tell import tell_event
from inventory.models import Agency, Event, Membership, Person
from inventory.queries.people import agencies_of

admin.site.site_header = "Spanledger: people and settings"
admin.site.site_title = "Spanledger"
admin.site.index_title = "People and settings"
# What a person may do comes from memberships; a second way would only confuse.
admin.site.unregister(Group)


class Told:
    """Every change made here leaves an event in the agencies it concerns, in the same transaction."""

    def log_addition(self, request, obj, message):
        entry = super().log_addition(request, obj, message)
        self._tell(request, obj, "settings_added", entry.get_change_message())
        return entry

    def log_change(self, request, obj, message):
        entry = super().log_change(request, obj, message)
        self._tell(request, obj, "settings_changed", entry.get_change_message())
        return entry

    def log_deletions(self, request, queryset):
        for obj in queryset:
            self._tell(request, obj, "settings_removed", "Removed.")
        return super().log_deletions(request, queryset)

    def _tell(self, request, obj, verb: str, what: str) -> None:
        own = [obj] if isinstance(obj, Agency) and verb != "settings_removed" else []
        for agency in own or (agencies_of(obj) if isinstance(obj, Person) else []):
            sentence = f"{obj._meta.verbose_name.capitalize()} {obj}: {what}"
            tell_event(verb=verb, sentence=sentence, at=timezone.now(), by=request.user, agency=agency)


class MembershipLines(admin.TabularInline):
    model = Membership
    extra = 1


@admin.register(Person)
class PersonAdmin(Told, UserAdmin):
    inlines = [MembershipLines]
    list_display = ["username", "first_name", "last_name", "licence", "is_active"]
    list_filter = ["memberships__role", "memberships__agency", "is_active"]
    fieldsets = (
        (None, {"fields": ("username", "password")}),
        ("Person", {"fields": ("first_name", "last_name", "email", "licence")}),
        ("May sign in", {"fields": ("is_active", "is_staff", "is_superuser")}),
        ("Dates", {"fields": ("last_login", "date_joined")}),
    )
    filter_horizontal = ()


@admin.register(Agency)
class AgencyAdmin(Told, admin.ModelAdmin):
    list_display = ["name", "state_code", "county_code", "posting_level", "resurfacing_years", "treatment_years"]
    # How the county rates is changed on its own page, with a reason, and every structure is then rated again; when it
    # inspects on another, with a reason too.
    readonly_fields = ["posting_level", "rounding"]


@admin.register(Event)
class EventAdmin(admin.ModelAdmin):
    """Read only: an event is never changed and never taken away."""

    list_display = ["at", "by", "agency", "structure", "verb", "sentence"]
    list_filter = ["agency", "verb"]
    date_hierarchy = "at"
    list_select_related = ["by", "agency", "structure"]

    def has_add_permission(self, request):
        return False

    def has_change_permission(self, request, obj=None):
        return False

    def has_delete_permission(self, request, obj=None):
        return False
