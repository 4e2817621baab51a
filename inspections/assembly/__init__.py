"""The only place where rows become kernel inputs: a frozen snapshot, safe as JSON, with its digest."""
