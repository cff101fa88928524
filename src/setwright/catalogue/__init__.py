"""Room 2: exercises, progressions, equipment and cautions as data, and what is derived from them."""
