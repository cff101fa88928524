"""Room 6: from a brief or a written block to a block that can be explained and proven."""
