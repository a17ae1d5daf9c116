"""Break sheets down into parts: the layout on the sheets, the order of cuts, and their checks."""
