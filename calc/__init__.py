"""Studbay: worked calculations for house wiring, with every step shown and cited."""
