"""Reading what was found and what it means; nothing here writes."""
