"""The same deeds as the pages, for programs: JSON under /api/, described by OpenAPI 3.1, under the same permissions."""
