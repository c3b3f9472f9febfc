"""Earth to be moved for the frame, and where water runs beside it."""
