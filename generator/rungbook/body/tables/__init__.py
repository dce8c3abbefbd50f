"""Published segment tables and positions, as data files with their sources."""
