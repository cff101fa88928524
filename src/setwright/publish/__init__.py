"""Room 8: sheets, notes, calendars and exchange formats. Values in, bytes out."""
