"""How each family of exercises is posed for its small figure: start and end, from the angles of the entry."""
