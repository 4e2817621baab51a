"""Routes of the maps room."""

app_name = "maps"

urlpatterns = []
