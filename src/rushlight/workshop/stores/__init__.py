"""The ledger under the workshop: lots, traced pours, finished jars, orders, true cost."""
