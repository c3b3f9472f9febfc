"""Two designs under the same unit loads: which reaches its end later, and how sure that is."""
