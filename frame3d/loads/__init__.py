"""What makes a frame weaker: designs compared under the same unit loads, and a model for engineers.

Nothing here says what a frame carries.
"""
