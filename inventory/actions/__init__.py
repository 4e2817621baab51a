"""One transaction each: lock, ask the rules, write the rows and the event."""
