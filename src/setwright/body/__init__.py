"""Room 1: the person as a mechanism: joints, what they do, and the muscles that do it."""
