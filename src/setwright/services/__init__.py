"""Room 10: one function for each deed of a coach; the only place where pure rooms meet files and the clock."""
