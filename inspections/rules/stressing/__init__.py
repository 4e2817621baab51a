"""What decides on a stressing day: what may be asked of it, stop rules, finishing."""
