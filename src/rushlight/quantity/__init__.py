"""What a maker types and reads, and SI between the two."""
