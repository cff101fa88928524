"""Room 9: what is kept: append-only logs, immutable block revisions, decisions."""
