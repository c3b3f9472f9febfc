"""What differs between two designs, and marks that outlive a change of the design."""
