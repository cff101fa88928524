"""Room 4: how strong a trainee is, and how sure that is."""
