"""A face: the command line. It parses, calls one service, shows."""
