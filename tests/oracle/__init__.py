"""Second implementations in plain arithmetic, written from the rules without reading the families."""
