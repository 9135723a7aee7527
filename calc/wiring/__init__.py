"""What families share: the tree of panels and runs, conductors, conditions of use and ampacity, protection, impedance."""
