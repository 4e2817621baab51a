"""What people type, shaped and checked; nothing is saved here."""
