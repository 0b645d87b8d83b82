"""A candle as plain frozen data; what to weigh for one jar and for a batch."""
