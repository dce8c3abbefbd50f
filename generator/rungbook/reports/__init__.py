"""One file a format for findings and comparisons."""
