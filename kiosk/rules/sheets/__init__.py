"""Plan what a job is cut from: sheets, offcuts, strips of cleats, and the order of cuts."""
