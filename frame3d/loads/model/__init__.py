"""From a frame to a space frame of bars: axes, joints, ground, own weight."""
