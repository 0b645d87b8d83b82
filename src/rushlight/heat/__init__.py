"""Heat: the pitcher on the bench, the candle setting, the candle burning."""
