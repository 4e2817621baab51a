"""What comes in from the field: kept first, then filed, held for a person where it cannot be."""
