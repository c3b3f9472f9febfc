"""How much of everything, what it costs, and what people have to lift."""
