"""Benchmarks: ratios of runs made side by side. `make bench` runs them; nothing here is asserted."""
