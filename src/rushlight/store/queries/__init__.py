"""Reads: each a plain function of a connection, returning rows or small values."""
