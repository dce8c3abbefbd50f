"""One file a format for the library itself, in and out."""
