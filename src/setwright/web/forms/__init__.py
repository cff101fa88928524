"""Documents by forms: what is typed becomes the same document that a file would hold, and the same reader judges it."""
