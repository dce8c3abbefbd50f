"""One file a command: arguments and exit status, nothing else."""
