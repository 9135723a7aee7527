"""What a job covers, how it stands there, and the one verdict of the whole."""
