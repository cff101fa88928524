"""Room 5: from a wanted effort to a load that exists in the place, and the minutes it takes."""
