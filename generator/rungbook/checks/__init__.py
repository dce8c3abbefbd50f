"""One file a check, found by listing this folder."""
