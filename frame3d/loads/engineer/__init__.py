"""What an engineer's own calculation begins with: the model, areas, weights, unit results."""
