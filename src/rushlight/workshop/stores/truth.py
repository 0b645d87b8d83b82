"""What is true of costs: of a pour, of a material over time, of the stores, of what was sold."""

from rushlight.workshop.stores.margins import margins
from rushlight.workshop.stores.pour_truth import pour_truth
from rushlight.workshop.stores.price_history import price_history
from rushlight.workshop.stores.valuation import valuation

__all__ = ["margins", "pour_truth", "price_history", "valuation"]
