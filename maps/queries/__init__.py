"""Reading the map: scoped by what the person may see, few queries whatever the number of rows, writes nothing."""
