"""A structure and its spans: identity, place, size, traffic, state."""

from django.db import models
from django.db.models import Q

from inventory.vocabulary.structures import Status, System

from .people import Agency


class Structure(models.Model):
    """One timber structure.

    `hand_entered` names the fields the county typed itself: an import never overwrites them. `revision` counts the
    changes that bear on the rating (members, bars, surfacing); a sweep compares it with what was last rated.
    """

    agency = models.ForeignKey(Agency, on_delete=models.PROTECT, related_name="structures")
    number = models.CharField("structure number", max_length=20, help_text="As on the State's record; text.")
    state_code = models.CharField(max_length=2, blank=True)
    county_code = models.CharField(max_length=3, blank=True)
    name = models.CharField(max_length=120, blank=True)
    road_name = models.CharField("road", max_length=80, blank=True)
    route_number = models.CharField(max_length=10, blank=True)
    feature_crossed = models.CharField(max_length=80, blank=True)
    location = models.CharField(max_length=120, blank=True)
    status = models.CharField(max_length=12, choices=Status.choices(), default=Status.IN_SERVICE.value)
    system = models.CharField(max_length=24, choices=System.choices(), default=System.UNKNOWN.value)
    owner_code = models.CharField("owner", max_length=2, blank=True, help_text="Item 22.")
    maintenance_code = models.CharField(max_length=2, blank=True, help_text="Item 21.")

    lon_deg = models.FloatField("longitude", null=True, blank=True)
    lat_deg = models.FloatField("latitude", null=True, blank=True)
    bearing_deg = models.FloatField(
        "bearing of the roadway", null=True, blank=True, help_text="Degrees clockwise from north."
    )
    geometry_wkb = models.BinaryField(null=True, blank=True, editable=False)

    year_built = models.PositiveSmallIntegerField(null=True, blank=True)
    installed_on = models.DateField("opened to traffic", null=True, blank=True)
    year_reconstructed = models.PositiveSmallIntegerField(null=True, blank=True)
    length_ft = models.FloatField("structure length", null=True, blank=True)
    max_span_ft = models.FloatField("longest span", null=True, blank=True)
    span_count = models.PositiveSmallIntegerField(null=True, blank=True)
    roadway_width_ft = models.FloatField("roadway, curb to curb", null=True, blank=True)
    deck_width_ft = models.FloatField("deck, out to out", null=True, blank=True)
    lanes = models.PositiveSmallIntegerField(null=True, blank=True)
    skew_deg = models.FloatField("skew", null=True, blank=True)
    adt = models.PositiveIntegerField("average daily traffic", null=True, blank=True)
    adt_year = models.PositiveSmallIntegerField(null=True, blank=True)
    truck_pct = models.FloatField("trucks, percent", null=True, blank=True)
    adtt = models.PositiveIntegerField(
        "trucks a day, one direction", null=True, blank=True, help_text="Chooses the live-load factor of legal loads."
    )
    detour_mi = models.FloatField("detour on record", null=True, blank=True)
    is_bridge_length = models.BooleanField("longer than 20 ft", null=True, blank=True)
    is_nhs = models.BooleanField("on the National Highway System", default=False)
    over_water = models.BooleanField(null=True, blank=True)
    interval_months = models.PositiveSmallIntegerField("inspection interval on record", null=True, blank=True)
    notes = models.TextField(blank=True)

    hand_entered = models.JSONField(default=list, blank=True, editable=False)
    revision = models.PositiveIntegerField(default=0, editable=False)
    created_at = models.DateTimeField(auto_now_add=True)
    updated_at = models.DateTimeField(auto_now=True)

    class Meta:
        ordering = ["agency", "number"]
        constraints = [
            models.UniqueConstraint(fields=["agency", "number"], name="structure_number_once_per_agency"),
            models.CheckConstraint(
                condition=Q(lon_deg__isnull=True) | Q(lon_deg__gte=-180, lon_deg__lte=180), name="longitude_on_earth"
            ),
            models.CheckConstraint(
                condition=Q(lat_deg__isnull=True) | Q(lat_deg__gte=-90, lat_deg__lte=90), name="latitude_on_earth"
            ),
            models.CheckConstraint(
                condition=Q(length_ft__isnull=True) | Q(length_ft__gt=0), name="structure_length_positive"
            ),
        ]
        indexes = [
            models.Index(fields=["agency", "system"]),
            models.Index(fields=["agency", "road_name"]),
            models.Index(fields=["lon_deg", "lat_deg"]),
            models.Index(fields=["state_code", "number"]),
        ]

    def __str__(self):
        return f"{self.number} {self.name or self.title}".strip()

    @property
    def title(self) -> str:
        """Road over feature, the way a county speaks of a bridge."""
        parts = [part for part in (self.road_name, self.feature_crossed) if part]
        return self.name or " over ".join(parts) or f"Structure {self.number}"


class Span(models.Model):
    structure = models.ForeignKey(Structure, on_delete=models.CASCADE, related_name="spans")
    index = models.PositiveSmallIntegerField("span", default=1, help_text="1 from the start of the route.")
    length_ft = models.FloatField("span, centre to centre of bearings")
    system = models.CharField(max_length=24, choices=System.choices())
    deck_kind = models.CharField(max_length=20, blank=True)
    deck_thickness_in = models.FloatField(null=True, blank=True)
    lanes_loaded = models.PositiveSmallIntegerField(
        default=2, help_text="Lanes that can stand side by side; two, the heavier case, until somebody says one."
    )
    skew_deg = models.FloatField(default=0)
    camber_in = models.FloatField(null=True, blank=True, help_text="As built at midspan.")
    butt_jointed = models.BooleanField("laminations butt-jointed", null=True, blank=True)
    interconnected = models.BooleanField("nails or dowels between laminations proven on record", default=False)
    surface_finish = models.CharField(
        max_length=10, default="surfaced", choices=[("surfaced", "Surfaced"), ("rough", "Rough sawn")]
    )
    joint_every = models.PositiveSmallIntegerField(
        "one lamination jointed in",
        null=True,
        blank=True,
        help_text="4 where every fourth lamination has a butt joint.",
    )
    wet_service = models.BooleanField(default=True, help_text="Bridges are wet unless shown dry.")
    continuous_with_next = models.BooleanField(
        default=False, help_text="The stringers run through over the pier to the next span."
    )
    held_down = models.BooleanField(
        "held down at every support",
        null=True,
        blank=True,
        help_text="Stringers that run through, tied down against uplift at every bearing; empty where not known.",
    )
    distribution = models.CharField(
        "share of wheel loads",
        max_length=8,
        default="rules",
        choices=[("rules", "By the published rules"), ("refined", "Refined: the deck as an orthotropic plate")],
        help_text="The engineer's choice; every rating shows which was used.",
    )

    class Meta:
        ordering = ["structure", "index"]
        constraints = [
            models.UniqueConstraint(fields=["structure", "index"], name="span_index_once"),
            models.CheckConstraint(condition=Q(length_ft__gt=0), name="span_length_positive"),
        ]

    def __str__(self):
        return f"span {self.index}, {self.length_ft:g} ft"
