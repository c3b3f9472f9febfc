"""The plot plan: the boundary with all that stands on the plot, for whoever gives the permit."""
