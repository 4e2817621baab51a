"""A stressing day: how one pull relaxes its neighbours, and the loads that leave every bar at its target."""
