"""Routes of the inspections room."""

app_name = "inspections"

urlpatterns = []
