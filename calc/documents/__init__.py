"""What stands in each reader's document, as objects: of a house that is worked, and of how it stands."""
