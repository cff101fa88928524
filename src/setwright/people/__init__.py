"""Room 3: the trainee, the place, restrictions, goals, and the files that describe them."""
