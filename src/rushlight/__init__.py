"""Rushlight: what to weigh, how it will set and burn, what it costs and when to pour."""
