"""Lines on the county sheet: roads, streams and outlines, as WKB with indexed bounds."""

from django.db import models


class Line(models.Model):
    """A drawn line of an agency's map; coordinates are longitude and latitude, WGS 84."""

    KINDS = [("road", "Road"), ("stream", "Stream"), ("outline", "County outline"), ("township", "Township line")]

    agency = models.ForeignKey("inventory.Agency", on_delete=models.CASCADE, related_name="lines")
    kind = models.CharField(max_length=10, choices=KINDS)
    name = models.CharField(max_length=80, blank=True)
    road_class = models.CharField(max_length=20, blank=True)
    surface = models.CharField(max_length=20, blank=True)
    wkb = models.BinaryField()
    min_lon = models.FloatField()
    min_lat = models.FloatField()
    max_lon = models.FloatField()
    max_lat = models.FloatField()

    class Meta:
        ordering = ["agency", "kind", "name", "id"]
        indexes = [models.Index(fields=["agency", "kind", "min_lon", "max_lon"])]

    def __str__(self):
        return f"{self.kind} {self.name}".strip()
