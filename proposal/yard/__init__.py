"""Many vessels: an index over all projects and seals of a folder."""
