"""Changes that the tests must notice."""
