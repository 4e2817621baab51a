"""Files that carry structures in: what they are, how they are split, which column is which."""
