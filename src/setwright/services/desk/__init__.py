"""The deeds of coach and trainee on the records of a data base: what the pages and the API call."""
