"""Text that tries to be more than text, driven through every path that a job file's words can take."""
