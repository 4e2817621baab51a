"""Files that people bring: read a part at a time, whatever their size."""
