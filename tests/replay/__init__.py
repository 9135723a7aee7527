"""An independent replay of every printed number: it knows the sheet's public format, not the program."""
