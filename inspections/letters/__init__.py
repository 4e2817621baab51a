"""Papers that leave the office: shaped from stored rows, saved nowhere."""
