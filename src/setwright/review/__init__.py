"""Room 7: from a log to volume, load, pain, findings and changes."""
