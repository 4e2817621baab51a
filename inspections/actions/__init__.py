"""One transaction each: lock, ask the rules and the kernel, write rows and the event."""
