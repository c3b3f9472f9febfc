"""Model files: STEP, STL and GLB."""
