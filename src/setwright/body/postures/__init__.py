"""Models of exercises: how a body stands, hangs or leans in each, from its own lengths and the dials set."""
