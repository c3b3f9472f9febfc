"""The few calls to the CAD kernel, and what a checked solid is."""
