"""House wiring solved by a general-purpose power-flow library, beside our own sheets."""
