"""Room 11: the face in a browser, for the coach at a desk and the trainee on the floor. Parse, call one deed, show."""
