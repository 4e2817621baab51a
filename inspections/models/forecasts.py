"""The last forecast of bar force of each span, made every night and after each reading or stressing."""

from django.db import models


class BarForecast(models.Model):
    """One row per stressing system and level, replaced when it is made again. Nothing here decides anything by itself.

    `inputs` and `results` are the kernel's as JSON. The dates stand in columns because lists sort by them.
    """

    structure = models.ForeignKey("inventory.Structure", on_delete=models.CASCADE, related_name="bar_forecasts")
    system = models.ForeignKey("inventory.StressingSystem", on_delete=models.CASCADE, related_name="forecasts")
    level = models.CharField(max_length=8, default="mid")
    made_on = models.DateField()
    made_at = models.DateTimeField()
    kernel_version = models.CharField(max_length=20)
    digest = models.CharField(max_length=64, help_text="Of the inputs, the policy and what was pooled.")
    inputs = models.JSONField(default=dict)
    results = models.JSONField(default=dict)
    problem = models.CharField(max_length=400, blank=True, help_text="Why there is no forecast.")
    lower_psi_today = models.FloatField("least local pressure today, lower edge", null=True, blank=True)
    middle_psi_today = models.FloatField("least local pressure today, middle", null=True, blank=True)
    needed_psi = models.FloatField(null=True, blank=True)
    chance_below_need_ratio = models.FloatField(null=True, blank=True)
    need_reached_early_on = models.DateField("need reached at the lower edge", null=True, blank=True)
    need_reached_middle_on = models.DateField("need reached at the middle", null=True, blank=True)
    posting_psi = models.FloatField("pressure at which the posting would change", null=True, blank=True)
    posting_horizon_on = models.DateField(null=True, blank=True)
    posting_words = models.CharField(max_length=300, blank=True)
    recommended_on = models.DateField("re-tension by", null=True, blank=True)
    recommended_why = models.CharField(max_length=400, blank=True)

    class Meta:
        ordering = ["structure", "system", "level"]
        constraints = [models.UniqueConstraint(fields=["system", "level"], name="one_forecast_per_row_of_bars")]
        indexes = [models.Index(fields=["made_on"]), models.Index(fields=["recommended_on"])]

    def __str__(self):
        return f"forecast of bars of {self.structure_id}, {self.made_on}"


class BarPool(models.Model):
    """What the bridges of one kind in one agency say together about loss; each row's forecast leans on it a little.

    Made in the first stage of the nightly run and read in the second, so that a run can be cut in pieces.
    """

    agency = models.ForeignKey("inventory.Agency", on_delete=models.CASCADE, related_name="bar_pools")
    kind = models.CharField(max_length=80, help_text="System and level of the bars.")
    made_on = models.DateField()
    made_at = models.DateTimeField()
    rows = models.PositiveIntegerField("rows of bars in it", default=0)
    pool = models.JSONField(default=dict, help_text="The kernel's pool as JSON.")

    class Meta:
        ordering = ["agency", "kind"]
        constraints = [models.UniqueConstraint(fields=["agency", "kind"], name="one_bar_pool_per_kind")]

    def __str__(self):
        return f"pool of {self.kind}, {self.made_on}"
