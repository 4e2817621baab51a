"""What would be: computed from rows or a file, and saved nowhere."""
