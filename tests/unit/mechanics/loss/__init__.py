"""Loss of bar force in time: forms, fit, pool and forecast."""
